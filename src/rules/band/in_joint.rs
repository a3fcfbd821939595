//! An edge with edging that enters a joint, or where another part enters.

use crate::diag::{Diagnostic, code};
use crate::model::{Banding, Edge, Joint, JointKind, LocalAxis, Part, PartId};
use crate::rules::report::{Measured, Report};
use crate::rules::solids;
use crate::rules::view::View;
use crate::rules::words;

struct InJoint<'v, 'm> {
    view: &'v View<'m>,
    joint: &'m Joint,
    part: &'m Part,
    band: &'m Banding,
}

/// Looks at the edges of both parts of every joint in which one enters the other.
pub fn check(view: &View, report: &mut Report) {
    let mut count = 0;
    let mut looked = 0;
    for joint in view.piece.joints.iter().filter(|joint| enters(joint.kind)) {
        looked += 1;
        let toward = view.toward(joint);
        // A strip of B may stand where A enters: beside A's faces, at a corner over which B runs, or
        // before an edge of A whose own strip was there before.
        let around = Edge::ALL
            .into_iter()
            .filter(|edge| edge.axis() != toward.axis())
            .map(|edge| (joint.b, edge, true));
        let ends = [
            (joint.a, toward, false),
            (joint.b, toward.opposite(), false),
        ];
        for (id, edge, corner) in ends.into_iter().chain(around) {
            let part = view.part(id);
            let Some(band) = part.band_on(part.lay.side(edge)) else {
                continue;
            };
            let in_the_way = if corner {
                entering(view, joint, edge)
                    .into_iter()
                    .any(|id| !solids::shared(view, id, band.strip).is_empty())
            } else {
                touches_strip(view, joint, part, band)
            };
            if in_the_way {
                count += 1;
                let fact = InJoint {
                    view,
                    joint,
                    part,
                    band,
                };
                report.tell(band.strip, part.id);
                let other = if id == joint.a { joint.b } else { joint.a };
                report.tell(band.strip, other);
                for strip in &view.part(other).bands {
                    report.tell(band.strip, strip.strip);
                }
                let subject = format!("{}, edging at the {}", view.label(part), edge.word());
                let measured = Measured::none_of(&code::BAND_IN_JOINT, subject, 1)
                    .by("edges with a strip that enter or receive a part")
                    .from("placement rules 1.6, 7")
                    .lines([view.part(band.strip).origin.span, joint.origin.span]);
                report.fails(measured, fact.diagnostic());
            }
        }
    }
    if count == 0 {
        let subject = format!("{}, edging in the way of joints", view.piece.title);
        report.holds(
            Measured::none_of(&code::BAND_IN_JOINT, subject, 0)
                .by(format!("{looked} joints in which one part enters another"))
                .from("placement rules 1.6, 7"),
        );
    }
}

/// What goes into B before its strips do, and for which a strip at this edge could not be meant to
/// make room: A if it turns a face there, and A's early strips.
fn entering(view: &View, joint: &Joint, edge: Edge) -> Vec<PartId> {
    let a = view.part(joint.a);
    let early = a.bands.iter().filter(|b| b.early).map(|b| b.strip);
    let face = edge.axis() == a.lay.axis(LocalAxis::Thickness);
    early.chain(face.then_some(a.id)).collect()
}

/// Whether the strip lies where the joint is: it may be shorter than the edge.
fn touches_strip(view: &View, joint: &Joint, part: &Part, band: &Banding) -> bool {
    let strip = view.part(band.strip).finished;
    let axis = part.lay.axis(band.side.axis());
    (0..3).all(|i| {
        i == axis.index()
            || (strip.lo[i] < joint.contact.hi[i] && joint.contact.lo[i] < strip.hi[i])
    })
}

/// Whether one part enters the other; in a mitre or dovetail both run out and neither may be banded.
fn enters(kind: JointKind) -> bool {
    kind.enters() || kind.is_corner()
}

impl InJoint<'_, '_> {
    fn diagnostic(&self) -> Diagnostic {
        let (view, joint) = (self.view, self.joint);
        let edge = self.part.lay.looks(self.band.side).word();
        let name = view.tick(self.part.id);
        let entering = self.part.id == joint.a;
        let (title, other) = if entering {
            (
                format!("the {edge} edge of {name} has edging and enters a joint"),
                format!("enters {} here", view.tick(joint.b)),
            )
        } else {
            (
                format!(
                    "{} enters the {edge} edge of {name}, which has edging",
                    view.tick(joint.a)
                ),
                format!("{} enters here", view.tick(joint.a)),
            )
        };
        let strip = self.band.strip;
        let line = view
            .joints_of(strip)
            .find(|glued| glued.a == strip && glued.kind == JointKind::Edging)
            .map_or(&view.part(strip).origin, |glued| &glued.origin);
        Diagnostic::new(
            &code::BAND_IN_JOINT,
            title,
            line.at("on"),
            "edging here",
        )
        .at(joint.origin.span, other)
        .note(format!(
            "a {} needs the wood of the panel itself; edging would be cut away or stand in between",
            words::joint(joint.kind)
        ))
        .help(format!("take `{edge}` out of this band"))
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{box3, id};
    use crate::model::{Banding, Side};
    use crate::rules::testing;

    #[test]
    fn a_strip_on_the_end_that_enters() {
        let mut model = testing::sound();
        let piece = &mut model.pieces[0];
        let strip = &mut piece.parts[id::STRIP_FLOOR.0 as usize];
        strip.core = box3([96, 176], [80, 3940], [900, 1076]);
        strip.finished = strip.core;
        piece.parts[id::FLOOR.0 as usize].bands = vec![Banding {
            side: Side::End,
            strip: id::STRIP_FLOOR,
            thick: crate::model::fixture::dmm(80),
            tongue: None,
            mitred: false,
            early: false,
        }];
        let checked = testing::checked(model);
        let said = testing::of(&checked, "band.in_joint");
        assert_eq!(
            said[0].title,
            "the left edge of `floor` has edging and enters a joint"
        );
    }
}
