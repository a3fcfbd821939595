//! A flap that runs into something on its way from shut to square before the case.
//!
//! On butts a flap turns about one line: an inset one about the edge of its front face, an overlay one
//! about that of its inner face. It is turned in 64 steps, each laid against the boxes of what stands
//! near. How a leaf on cup hinges travels is for the sheet of the hinge to say.

use super::{FRONTS, hinge, label};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Box3, Edge, Hinge, Leaf, LeafKind, Part, PartId};
use crate::rules::report::{Measured, Report};
use crate::rules::view::View;
use std::collections::BTreeSet;

const STEPS: u32 = 64;
/// Closer than this is touching, in millimetres.
const TOUCH_MM: f64 = 0.01;

/// Turns every flap on butts by a quarter.
pub fn check(view: &View, report: &mut Report) {
    for leaf in &view.piece.leaves {
        let Some(swing) = Swing::of(view, leaf) else {
            continue;
        };
        let subject = format!("{}, opening by a quarter turn", label(view, &leaf.path));
        let mut clear = true;
        let own = view.part(leaf.part).assembly;
        let mut seen: BTreeSet<PartId> = BTreeSet::new();
        for part in view.near(&swing.around()) {
            let main = part.host.map_or(part, |host| view.part(host));
            if main.assembly == own || seen.contains(&main.id) {
                continue;
            }
            let Some(degrees) = swing.hits(&part.core) else {
                continue;
            };
            clear = false;
            seen.insert(main.id);
            let near = swing.nearest(&part.core);
            let measured =
                Measured::at_least(&code::FIT_FLAP_SWING, subject.clone(), near, swing.reach)
                    .by(format!("{} lies on its way", view.tick(main.id)))
                    .from(FRONTS)
                    .lines([leaf.origin.span, main.origin.span]);
            report.fails(measured, swing.diagnostic(view, main, degrees, near));
        }
        if clear {
            report.holds(
                Measured::none_of(&code::FIT_FLAP_SWING, subject, 0)
                    .by("things on its way")
                    .from(FRONTS)
                    .lines([leaf.origin.span]),
            );
        }
    }
}

/// A flap seen from its end: `u` out of the case from the line on which it turns, `v` along the shut flap.
struct Swing<'m> {
    leaf: &'m Leaf,
    shut: Box3,
    hung: Edge,
    /// The line on which it turns: y and z.
    pin: [Length; 2],
    /// How far its furthest corner is from that line, to the hundredth of a millimetre.
    reach: Length,
}

impl<'m> Swing<'m> {
    fn of(view: &View<'m>, leaf: &'m Leaf) -> Option<Swing<'m>> {
        let hung = leaf.hung.filter(|_| leaf.kind == LeafKind::Flap)?;
        let (kind, _) = hinge(view, leaf.hinges.first()?.hardware)?;
        if matches!(kind, Hinge::Cup { .. }) {
            return None;
        }
        let shut = view.piece.leaf_box(leaf);
        let turns_at = if leaf.inset { Edge::Front } else { Edge::Rear };
        let pin = [shut.face(turns_at), shut.face(hung)];
        let mut swing = Swing {
            leaf,
            shut,
            hung,
            pin,
            reach: Length::ZERO,
        };
        let corners = swing.corners(&shut);
        let far = corners
            .iter()
            .map(|(u, v)| libm::hypot(*u, *v))
            .fold(0.0, f64::max);
        swing.reach = hundredths(far);
        Some(swing)
    }

    /// The span of a box in `u` and in `v`.
    fn spans(&self, b: &Box3) -> [(f64, f64); 2] {
        let u = |y: Length| (self.pin[0] - y).to_f64_mm();
        let v = |z: Length| {
            let up = (z - self.pin[1]).to_f64_mm();
            if self.hung.is_high() { -up } else { up }
        };
        let (a, b) = ([u(b.hi[1]), u(b.lo[1])], [v(b.lo[2]), v(b.hi[2])]);
        [(a[0], a[1]), (b[0].min(b[1]), b[0].max(b[1]))]
    }

    fn corners(&self, b: &Box3) -> [(f64, f64); 4] {
        let [u, v] = self.spans(b);
        [(u.0, v.0), (u.1, v.0), (u.1, v.1), (u.0, v.1)]
    }

    /// The space in which it can come near something.
    fn around(&self) -> Box3 {
        let mut out = self.shut;
        out.lo[1] = self.pin[0] - self.reach;
        out.hi[1] = out.hi[1].max(self.pin[0]);
        out.lo[2] = self.pin[1] - self.reach;
        out.hi[2] = self.pin[1] + self.reach;
        out
    }

    /// How far open the flap is, in degrees, where it first runs into a box.
    fn hits(&self, b: &Box3) -> Option<f64> {
        if b.lo[0] >= self.shut.hi[0] || self.shut.lo[0] >= b.hi[0] {
            return None;
        }
        let other = self.corners(b);
        let own = self.corners(&self.shut);
        (1..=STEPS).find_map(|step| {
            // Half the angle has this tangent: so sine and cosine come without rounding of their own.
            let t = f64::from(step) / f64::from(STEPS);
            let (cos, sin) = ((1.0 - t * t) / (1.0 + t * t), 2.0 * t / (1.0 + t * t));
            let turned = own.map(|(u, v)| (u * cos + v * sin, v * cos - u * sin));
            let axes = [(1.0, 0.0), (0.0, 1.0), (cos, -sin), (sin, cos)];
            let shared = axes.iter().all(|(x, y)| {
                let along = |points: &[(f64, f64); 4]| {
                    let on = points.map(|(u, v)| u * x + v * y);
                    on.iter().fold((f64::MAX, f64::MIN), |(lo, hi), at| {
                        (lo.min(*at), hi.max(*at))
                    })
                };
                let (a, b) = (along(&turned), along(&other));
                a.0 + TOUCH_MM < b.1 && b.0 + TOUCH_MM < a.1
            });
            shared.then(|| 2.0 * libm::atan(t).to_degrees())
        })
    }

    /// How near a box comes to the line on which the flap turns.
    fn nearest(&self, b: &Box3) -> Length {
        let [u, v] = self.spans(b).map(|(lo, hi)| lo.max(0.0).max(-hi));
        hundredths(libm::hypot(u, v))
    }

    fn diagnostic(&self, view: &View, part: &Part, degrees: f64, near: Length) -> Diagnostic {
        let leaf = view.name(&self.leaf.path);
        let way = if self.hung.is_high() { "up" } else { "down" };
        Diagnostic::new(
            &code::FIT_FLAP_SWING,
            format!(
                "`{leaf}` can't open {way}: {} is in its way",
                view.tick(part.id)
            ),
            self.leaf.origin.span,
            format!("runs into it at {degrees:.0} degrees"),
        )
        .at(part.origin.span, "in its way")
        .note(format!(
            "its furthest corner turns {} from its hinges; {} comes as near to them as {}",
            view.plain(self.reach),
            view.tick(part.id),
            view.plain(near)
        ))
        .help("make room there, hang it on the other edge, or take hinges that carry it clear")
    }
}

fn hundredths(mm: f64) -> Length {
    Length::um((mm * 100.0).round() as i64 * 10)
}
