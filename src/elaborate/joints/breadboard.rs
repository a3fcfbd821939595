//! Breadboard ends (placement rules 2.2): a cap across the end of a solid panel, which keeps it flat and lets
//! it move. A tongue runs along the whole end; tenons reach deeper, the middle one close and glued, the others
//! in mortises that are longer than they are by the room that the panel needs.

use super::Options;
use super::cut::work;
use super::housing::{notch, stop_short};
use crate::diag::{Diagnostic, code};
use crate::elaborate::bands::shoulders_round;
use crate::elaborate::build::{Builder, CutWork, JointWork, Work};
use crate::elaborate::stmt::Scoped;
use crate::elaborate::{Poison, Res, value};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Box3, CutKind, JointId, Yearly};
use crate::schema::Clause;

/// Tenons where a line does not say how many (common practice).
const TENONS: u32 = 3;

/// The width of a tenon as a multiple of its thickness: at most that (Notes on Building Construction).
const WIDE: i64 = 5;

/// Wood between a mortise and the end of the panel or the next one, in millimetres (common practice).
const LEAST_BETWEEN_MM: i64 = 6;

/// What a line says of the tenons of a breadboard end.
#[derive(Debug)]
pub struct Tenons {
    count: u32,
    /// How far the tongue enters.
    tongue: Option<Length>,
    wide: Option<Length>,
    /// From the ends of the panel to the middle of the first and the last.
    from_ends: Option<Length>,
    /// On each side of all but the middle one.
    room: Option<Length>,
}

impl Builder<'_> {
    /// `tenons`, `tongue`, `wide`, `from_ends` and `room`.
    pub(super) fn breadboard_options(&mut self, with: &Scoped<Clause>) -> Res<Tenons> {
        let mut length = |word: &str| {
            let value = with.of.tail(word).and_then(Clause::value);
            value
                .map(|v| value::positive_length(self, &with.env, v))
                .transpose()
        };
        let (tongue, wide) = (length("tongue")?, length("wide")?);
        let (from_ends, room) = (length("from_ends")?, length("room")?);
        let mut count = TENONS;
        if let Some(n) = with.of.tail("tenons").and_then(Clause::value) {
            count = value::count(self, &with.env, n)?;
            self.room_for_holes(count, n.span)?;
            if count < TENONS || count.is_multiple_of(2) {
                let report = Diagnostic::new(
                    &code::VALUE_RANGE,
                    "a breadboard end without a tenon in the middle",
                    n.span,
                    "not an odd number from 3 on",
                )
                .note("the middle one is glued, so that the panel moves alike to both sides")
                .help("`tenons 3`, or 5 in a wide panel");
                self.sink.push(report);
                return Err(Poison);
            }
        }
        Ok(Tenons {
            count,
            tongue,
            wide,
            from_ends,
            room,
        })
    }

    /// The tongue and tenons on the panel; the groove and mortises in the cap.
    pub(super) fn cut_breadboard(&mut self, j: &JointWork, id: JointId, o: &Options) {
        let Some(tenons) = &o.breadboard else {
            return;
        };
        if let Some(report) = self.not_for_breadboard(j) {
            self.sink.push(report);
            return;
        }
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let along = j.edge.axis().third(a.axis);
        let Some(room) = tenons.room.or_else(|| self.yearly_room(j.a, along)) else {
            let report = self.no_breadboard_room(j);
            self.sink.push(report);
            return;
        };
        let thick = o.thick.unwrap_or(a.thick / 3);
        let tongue = tenons.tongue.unwrap_or(thick);
        if tongue >= j.deep {
            let text = |length| self.units.text(length);
            let report = Diagnostic::new(
                &code::VALUE_RANGE,
                "a tongue as deep as its tenons",
                j.origin.at("tongue"),
                format!("{} of {}", text(tongue), text(j.deep)),
            )
            .note("the tenons hold the end: they reach deeper than the tongue between them")
            .help("a third of `deep` or less is common practice");
            self.sink.push(report);
            return;
        }
        let Some(zone) = a.core.meet(&b.core) else {
            return;
        };
        let low = (a.core.face(a.axis.low()) + a.core.face(a.axis.high()) - thick).half();
        let mut entering = zone;
        entering.set_face(a.axis.low(), low);
        entering.set_face(a.axis.high(), low + thick);
        let (entering, corners) = stop_short(o, along, entering, a.core);
        let wide = tenons.wide.unwrap_or(thick * WIDE);
        let Some(stand) = self.stand(j, tenons, &entering, along, wide, room) else {
            let report = self.no_room_for_tenons(j, tenons.count, wide, room, &entering, along);
            self.sink.push(report);
            return;
        };
        // What is cut away between the tenons, in front of the tongue.
        let mouth = j.edge.opposite();
        let face = b.core.face(mouth);
        let mut of_a = vec![work(
            CutKind::Tongue,
            shoulders_round(&a.core, &entering, j.edge, j.deep, a.axis),
            j.edge,
            along,
            thick,
            j.deep,
            id,
            None,
            &j.origin,
        )];
        let mut from = entering.face(along.low());
        let ends = stand
            .iter()
            .map(|t| (t.face(along.low()), t.face(along.high())));
        for (start, next) in ends.chain([(entering.face(along.high()), Length::ZERO)]) {
            let mut waste = entering;
            waste.set_face(j.edge, a.core.face(j.edge));
            waste.set_face(mouth, mouth.inward(face, tongue));
            waste.set_face(along.low(), from);
            waste.set_face(along.high(), start);
            of_a.push(work(
                CutKind::EdgeNotch,
                vec![waste],
                a.axis.high(),
                along,
                j.deep - tongue,
                thick,
                id,
                None,
                &j.origin,
            ));
            from = next;
        }
        of_a.extend(notch(j, id, o, along, corners));
        let shop = &self.project.shop;
        let fit = o.fit.unwrap_or(shop.fit);
        let side = self.room_side(a, a.axis);
        let in_b = |kind, solids: Vec<Box3>, depth: Length, relief: Length| {
            let dug = solids.into_iter().map(|mut hole| {
                hole.set_face(mouth, face);
                hole.set_face(j.edge, mouth.inward(face, depth));
                hole.grow(side, fit);
                hole.meet(&b.core).unwrap_or(hole)
            });
            CutWork {
                fit,
                relief,
                solids: dug.map(Work::Box).collect(),
                ..work(
                    kind,
                    Vec::new(),
                    mouth,
                    along,
                    thick + fit,
                    depth,
                    id,
                    Some(j.a),
                    &j.origin,
                )
            }
        };
        let (mut groove, mut loose) = (entering, stand.clone());
        let close = vec![loose.remove(stand.len() / 2)];
        for hole in loose.iter_mut().chain([&mut groove]) {
            hole.grow(along.low(), room);
            hole.grow(along.high(), room);
        }
        let (shallow, deep) = (shop.relief_groove, shop.relief_mortise);
        let of_b = [
            in_b(CutKind::EdgeGroove, vec![groove], tongue + shallow, shallow),
            in_b(CutKind::Mortise, close, j.deep + deep, deep),
            in_b(CutKind::Mortise, loose, j.deep + deep, deep),
        ];
        self.panels[j.a].cuts.extend(of_a);
        self.panels[j.b].cuts.extend(of_b);
        self.joints[id.0 as usize].glued_along = Some(wide);
    }

    /// The tenons, from the low end: the first and last as said, else at 60 mm or a quarter (placement rules
    /// 2.1), the rest equally between. `None` if they, or their mortises, do not fit.
    fn stand(
        &self,
        j: &JointWork,
        tenons: &Tenons,
        entering: &Box3,
        along: Axis,
        wide: Length,
        room: Length,
    ) -> Option<Vec<Box3>> {
        let panel = &self.panels[j.a].core;
        let (start, length) = (panel.face(along.low()), panel.extent(along));
        let usual = Length::mm(60).min(length / 4);
        let from = tenons.from_ends.unwrap_or(usual);
        let rest = length - from * 2;
        let place = |i: u32| {
            let part = Rational::new(i128::from(i), i128::from(tenons.count) - 1);
            let middle = start + from + rest.scale(part);
            let mut tenon = *entering;
            tenon.set_face(along.low(), middle - wide.half());
            tenon.set_face(along.high(), middle + wide.half());
            tenon
        };
        let all: Vec<Box3> = (0..tenons.count).map(place).collect();
        let least = Length::mm(LEAST_BETWEEN_MM) + room;
        let first = all.first()?.face(along.low()) - entering.face(along.low());
        let last = entering.face(along.high()) - all.last()?.face(along.high());
        // Two that move stand side by side from five on.
        let between = rest / i64::from(tenons.count - 1) - wide - room;
        (first >= least && last >= least && between >= least).then_some(all)
    }

    /// Half of what the panel's width changes over a year, up to a breakdown size, so that it may be fitted
    /// in any season. `None` where no climate is stated, or the species' figure is not known.
    fn yearly_room(&self, panel: usize, along: Axis) -> Option<Length> {
        let p = &self.panels[panel];
        let project = self.project;
        let (_, stock) = project.stocks.get_index(p.stock.0 as usize)?;
        let (_, material) = project.materials.get_index(stock.material?.0 as usize)?;
        let coefficient = material.tangential.as_ref()?;
        let year = Yearly::of(p.core.extent(along), coefficient, project.shop.climate?);
        Some(self.units.rough_up(year.change.half()))
    }

    fn no_breadboard_room(&self, j: &JointWork) -> Diagnostic {
        let name = &self.panels[j.a].name;
        let missing = if self.project.shop.climate.is_none() {
            "the shop states no `climate`".to_owned()
        } else {
            format!(
                "how much the wood of `{name}` moves is not known: its stock names no `species` that says it"
            )
        };
        Diagnostic::new(
            &code::LINE_NEEDS,
            "a breadboard end needs `room`",
            j.origin.at("with"),
            "no `room`, and nothing to work it out from",
        )
        .note(missing)
        .help(format!(
            "add `room` with half of what the width of `{name}` changes over a year, or `climate dry 30% damp 65%` to the shop"
        ))
    }

    fn no_room_for_tenons(
        &self,
        j: &JointWork,
        count: u32,
        wide: Length,
        room: Length,
        entering: &Box3,
        along: Axis,
    ) -> Diagnostic {
        let text = |length| self.units.text(length);
        Diagnostic::new(
            &code::JOIN_NO_ROOM,
            format!("no room for {count} tenons on `{}`", self.panels[j.a].name),
            j.origin.at("with"),
            format!(
                "{} wide, along {}",
                text(wide),
                text(entering.extent(along))
            ),
        )
        .note(format!(
            "each has {} of room on each side, and {} of wood to the end and to the next",
            text(room),
            text(Length::mm(LEAST_BETWEEN_MM))
        ))
        .help("fewer tenons, narrower ones (`wide`), or others from the ends (`from_ends`)")
    }

    /// What is wrong with the two parts, if anything is: a panel of solid wood with its grain into the cap, and
    /// a cap of solid wood that lies level with it and runs along all of its end.
    fn not_for_breadboard(&self, j: &JointWork) -> Option<Diagnostic> {
        let (a, b) = (&self.panels[j.a], &self.panels[j.b]);
        let along = j.edge.axis().third(a.axis);
        let report = |panel: usize, title: String, label: &str| {
            Diagnostic::new(&code::JOIN_BREADBOARD, title, j.origin.at("with"), label)
                .at(self.panels[panel].stmt.name_span(), "this part")
        };
        let short = a.core.face(along.low()) < b.core.face(along.low())
            || a.core.face(along.high()) > b.core.face(along.high());
        Some(if !self.is_solid(j.a) {
            report(
                j.a,
                format!("`{}` is no solid wood", a.name),
                "a breadboard end is for what moves",
            )
            .note("a sheet stays flat, and does not move")
            .help("`tongue`, or an edging with `band`")
        } else if a.grain != j.edge.axis() {
            report(j.a, format!("the grain of `{}` runs along the cap", a.name), "not the end of its grain")
                .note("along the grain a panel neither cups nor moves; glued edge to edge, the cap is one more board")
                .help("`butt` or `tongue` there, or turn the panel with `grain`")
        } else if !self.is_solid(j.b) {
            report(j.b, format!("`{}` is no solid wood", b.name), "a cap is")
                .help("make the cap of board")
        } else if b.axis != a.axis || b.grain != along {
            report(
                j.b,
                format!("`{}` does not run along the end of `{}`", b.name, a.name),
                "no cap",
            )
            .note("a cap lies level with the panel, its grain along the panel's end")
            .help(if b.axis == a.axis {
                "turn it with `grain`"
            } else {
                "`dado` or `mortise` lets an end into a part that stands up"
            })
        } else if short {
            report(
                j.b,
                format!("`{}` is shorter than the end of `{}`", b.name, a.name),
                "part of the end is bare",
            )
            .help("let it run along all of the end")
        } else {
            return None;
        })
    }
}
