//! What holds a flap open: stays between it and the sides of its opening (placement rules 2.4).

use super::build::{Builder, part_id};
use super::stmt::Stmt;
use super::value;
use super::{Poison, Res};
use crate::diag::{Diagnostic, code};
use crate::measure::{Length, Rational};
use crate::model::{Axis, Box3, Edge, HardwareKind, Leaf, LeafKind, StayPlace};

/// Where a stay is screwed to a flap unless its line says: so that along the open flap its ends are
/// seven tenths of its length apart, and it stands at about 45 degrees (judgement).
const ALONG: (i128, i128) = (7, 10);
/// Its screw in the side lies so far behind the inner face of the closed flap (judgement).
const BEHIND_MM: i64 = 10;

impl Builder<'_> {
    /// Where the stays of a flap are screwed on: one at the right, of two one on each side. Those of
    /// other leaves are fitted as their own sheets say.
    pub(super) fn place_stays(&mut self, line: &Stmt, flap: Box3, leaf: &mut Leaf) -> Res<()> {
        let Some(hung) = leaf.hung.filter(|_| leaf.kind == LeafKind::Flap) else {
            return self.report_place(line);
        };
        let (hardware, kind) = self.hardware_of(line)?;
        let HardwareKind::Stay { long } = kind else {
            return Err(Poison);
        };
        let ends: &[Edge] = match value::count(self, &line.env, line.count.as_ref().ok_or(Poison)?)?
        {
            1 => &[Edge::Right],
            2 => &[Edge::Left, Edge::Right],
            n => {
                let report = Diagnostic::new(
                    &code::VALUE_RANGE,
                    "a flap has one stay or two",
                    line.head_span,
                    format!("{n} of them, and two sides"),
                );
                self.sink.push(report.help("write `stay 2`"));
                return Err(Poison);
            }
        };
        let high = flap.extent(hung.axis());
        // On butts an inset flap turns about its front face, an overlay one about its inner face.
        let rise = match leaf.inset {
            true => flap.extent(Axis::Y),
            false => Length::ZERO,
        };
        let behind = rise + Length::mm(BEHIND_MM);
        let stated = self.stated_height(line, high)?;
        let from_hung = match stated {
            Some(above) if hung.is_high() => Some(high - above),
            Some(above) => Some(above),
            None => long.map(|long| {
                let along = long.scale(Rational::new(ALONG.0, ALONG.1));
                (along - behind).min(high)
            }),
        };
        if let Some(from_hung) = from_hung {
            self.check_reach(line, from_hung, behind, high, long)?;
        }
        for end in ends {
            let Some(side) = self.bounding(leaf.opening.0 as usize, *end)? else {
                let report = Diagnostic::new(
                    &code::PLACE_MISSING,
                    format!(
                        "nothing for the stay at the {} to be screwed to",
                        end.word()
                    ),
                    line.head_span,
                    "its opening is not bounded there",
                );
                self.sink
                    .push(report.help("put a side or a divider there, or leave `stay` out"));
                return Err(Poison);
            };
            leaf.stays.push(StayPlace {
                hardware,
                end: *end,
                part: part_id(side),
                from_hung,
                behind,
                rise,
                long,
            });
        }
        Ok(())
    }

    /// A stay that is screwed on beyond the flap, or so far out that its length does not reach the side.
    fn check_reach(
        &mut self,
        line: &Stmt,
        from_hung: Length,
        behind: Length,
        high: Length,
        long: Option<Length>,
    ) -> Res<()> {
        let span = line.clause("at").map_or(line.head_span, |at| at.of.span);
        let text = |length| self.units.text(length);
        let (here, note, help) = if !from_hung.is_positive() || from_hung > high {
            let here = format!("{} from the edge that it hangs on", text(from_hung));
            let note = format!("the flap is {} high", text(high));
            (
                here,
                note,
                "`at` counts from an edge of the flap inward".to_owned(),
            )
        } else if let Some(long) = long.filter(|long| from_hung + behind >= *long) {
            let here = format!(
                "{} from the hinges, and {} to its screw behind them",
                text(from_hung),
                text(behind)
            );
            let note = format!("drawn out it is {} long", text(long));
            (
                here,
                note,
                format!("less than {}, or a longer stay", text(long - behind)),
            )
        } else {
            return Ok(());
        };
        let report = Diagnostic::new(
            &code::VALUE_RANGE,
            "a stay that does not lie between flap and side",
            span,
            here,
        );
        self.sink.push(report.note(note).help(help));
        Err(Poison)
    }

    /// Only the stays of flaps have places of their own.
    pub(super) fn report_place(&mut self, line: &Stmt) -> Res<()> {
        let Some(at) = line.clause("at") else {
            return Ok(());
        };
        let report = Diagnostic::new(
            &code::NAME_WORD_NOT_HERE,
            "only the stays of a flap have a place",
            at.of.span,
            "of a flap",
        );
        self.sink
            .push(report.help("leave it out: it is fitted as its own sheet says"));
        Err(Poison)
    }
}
