//! A joint on a face of a leg where a taper has begun: its shoulder stands off the leg.
//!
//! The taper is a wedge: at a height it is as deep as its foot's depth x the way down from where it
//! begins / its whole length.

use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{Axis, Cut, CutKind, Edge, Joint, Part};
use crate::rules::report::{Measured, Report, help_with, up};
use crate::rules::view::View;

const RULE: &str = "tapers, placement rules 2.7";

/// What a taper takes at the lower edge of a joint.
struct Off {
    by: Length,
    sum: String,
    /// Where the taper would have to begin, down from the leg's upper end.
    from: Length,
}

/// Holds every taper against the joints of its leg.
pub fn check(view: &View, report: &mut Report) {
    for leg in &view.piece.parts {
        for cut in leg.cuts.iter().filter(|cut| cut.kind == CutKind::Taper) {
            for joint in view.joints_of(leg.id) {
                let other = if joint.a == leg.id { joint.b } else { joint.a };
                let off = off(view, leg, cut, joint);
                let subject = format!("{}, taper at {}", view.label(leg), view.tick(other));
                let by = off.as_ref().map_or(Length::ZERO, |off| off.by);
                let measured = Measured::at_most(&code::CUT_IN_TAPER, subject, by, Length::ZERO)
                    .by(off.as_ref().map_or_else(String::new, |off| off.sum.clone()))
                    .from(RULE)
                    .lines([cut.origin.span, joint.origin.span])
                    .of_many();
                match off {
                    Some(off) => report.fails(measured, diagnostic(view, leg, cut, joint, &off)),
                    None => report.holds(measured),
                }
            }
        }
    }
}

/// How far the wood of a leg lies behind a joint at its lower edge; `None` where the taper leaves it alone.
fn off(view: &View, leg: &Part, cut: &Cut, joint: &Joint) -> Option<Off> {
    let face = leg.lay.looks(cut.entry);
    let wedge = leg.to_piece(&cut.bounds());
    let begin = wedge.face(Edge::Top);
    let down = begin - joint.contact.face(Edge::Bottom);
    if !down.is_positive() || joint.contact.extent(Axis::Z).is_zero() {
        return None;
    }
    let long = wedge.extent(Axis::Z);
    let deep = cut.depth.scale(down.ratio(long));
    // A meeting on a face beside it lies so far in from the face that is tapered.
    let near = joint.contact.face(face);
    let within = (near - leg.core.face(face)).abs();
    let by = deep - within;
    let top = leg.core.face(Edge::Top);
    by.is_positive().then(|| {
        let slope = format!(
            "{} x {} / {}",
            view.plain(cut.depth),
            view.plain(down),
            view.plain(long)
        );
        Off {
            by,
            sum: match within.is_zero() {
                true => slope,
                false => format!("{slope} - {}", view.plain(within)),
            },
            from: top - joint.contact.face(Edge::Bottom),
        }
    })
}

fn diagnostic(view: &View, leg: &Part, cut: &Cut, joint: &Joint, off: &Off) -> Diagnostic {
    let other = view.tick(if joint.a == leg.id { joint.b } else { joint.a });
    let leg = view.tick(leg.id);
    let out = Diagnostic::new(
        &code::CUT_IN_TAPER,
        format!("the taper of {leg} has begun where {other} meets it"),
        cut.origin.at("from"),
        "the leg gets thinner from here down",
    )
    .at(joint.origin.span, "here it is to be flat")
    .note(format!(
        "{} = {}: so far {leg} lies behind the lower edge of {other}",
        off.sum,
        view.about(off.by)
    ));
    help_with(out, up(view, off.from), |from| {
        format!("let the taper begin below the joint: `from {from}`")
    })
}
