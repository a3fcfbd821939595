//! What is sawn of a part before it is glued: strips of edging are sawn to stand proud of their panel
//! and are flushed to it afterwards (common practice). The model's own sizes are those of the piece.

use super::{LocalAxis, Model, Part, PartRef, Piece, Side, Size, StockKind};
use crate::measure::{Length, Rational, Units};

/// What a strip has more than its size in the piece, until it is flushed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Proud {
    /// Beyond its reference edge.
    pub edge: Length,
    /// Beyond its other edge.
    pub far_edge: Length,
    /// In length, both ends together: it is trimmed on the panel.
    pub length: Length,
}

impl Proud {
    /// Whether there is nothing to flush.
    pub fn is_none(&self) -> bool {
        *self == Proud::default()
    }

    /// Beyond an edge.
    pub fn beyond(&self, side: Side) -> Length {
        match side {
            Side::Edge => self.edge,
            Side::FarEdge => self.far_edge,
            _ => Length::ZERO,
        }
    }
}

/// The boards that a wide part is glued up of, edge to edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Staves {
    /// How many.
    pub count: u32,
    /// How wide each is for breakdown.
    pub rough: Length,
    /// How wide each is once its edges are jointed: together over-wide by the shop's allowance, which comes
    /// off when the panel is trued and ripped.
    pub wide: Length,
    /// To what they are planed: a millimetre or 1/32 in thicker than the part, so that the panel can be
    /// flattened (common practice).
    pub thick: Length,
}

impl Model {
    /// How far a strip sawn from a board stands proud of its panel: over each face that it is flush
    /// with, and in length where both its ends are flush with the panel's and nothing is cut there.
    pub fn proud(&self, at: PartRef) -> Proud {
        let (piece, part) = self.part(at);
        if !self.is_board(part) {
            return Proud::default();
        }
        let Some((host, before)) = host(piece, part) else {
            return Proud::default();
        };
        let (long, wide) = self.shop.rough_strip;
        let across = part.lay.axis(LocalAxis::Width);
        let flush = |side: Side| {
            let high = part.lay.looks(side).is_high();
            let of = |b: &super::Box3| {
                let (lo, hi) = (b.lo[across as usize], b.hi[across as usize]);
                if high { hi } else { lo }
            };
            if of(&part.finished) == of(&host.finished) {
                wide.half()
            } else {
                Length::ZERO
            }
        };
        let trimmed = {
            let i = part.lay.axis(LocalAxis::Length) as usize;
            let (mut lo, mut hi) = (host.core.lo[i], host.core.hi[i]);
            for strip in before {
                lo = lo.min(strip.finished.lo[i]);
                hi = hi.max(strip.finished.hi[i]);
            }
            let ends_free = part.cuts.iter().all(|cut| {
                let b = cut.bounds();
                cut.stopped == [false, false]
                    && cut.along == LocalAxis::Length
                    && b.lo[0] <= Length::ZERO
                    && b.hi[0] >= part.size.length
            });
            ends_free && (part.finished.lo[i], part.finished.hi[i]) == (lo, hi)
        };
        Proud {
            edge: flush(Side::Edge),
            far_edge: flush(Side::FarEdge),
            length: if trimmed { long } else { Length::ZERO },
        }
    }

    /// The size to which a part is sawn: its own, and what stands proud until it is flushed.
    pub fn sawn_size(&self, at: PartRef) -> Size {
        let size = self.part(at).1.size;
        let proud = self.proud(at);
        Size {
            length: size.length + proud.length,
            width: size.width + proud.edge + proud.far_edge,
            thick: size.thick,
        }
    }

    /// Whether a strip is ripped off the edge of a board that is planed to the strip's width, rather
    /// than planed to its thickness: so where the board need not be thicker for it and less wood goes
    /// to chips.
    pub fn ripped_off(&self, at: PartRef) -> bool {
        let part = self.part(at).1;
        let Some(StockKind::Board { rough, .. }) =
            self.stocks.get(part.stock.0 as usize).map(|s| &s.kind)
        else {
            return false;
        };
        if part.host.is_none() {
            return false;
        }
        let size = self.sawn_size(at);
        let (_, more_wide, planing) = self.shop.rough_board;
        let board = |thick: Length| {
            rough
                .iter()
                .copied()
                .filter(|r| *r >= thick + planing)
                .min()
        };
        match (board(size.width), board(size.thick)) {
            (Some(a), Some(b)) => (a, size.thick + self.strip_trim()) < (b, size.width + more_wide),
            (Some(_), None) => true,
            _ => false,
        }
    }

    /// Length and width to which a part is broken down: sawn size and the shop's allowance, up to the
    /// next coarse step. Of a strip that is ripped off a planed edge the width is that of the rip; of
    /// ready-made edging only the length is cut. A board or strip that holds the exact size holds the part,
    /// whatever the step.
    pub fn rough_size(&self, at: PartRef) -> (Length, Length) {
        let (piece, part) = self.part(at);
        let size = self.sawn_size(at);
        let up = |length| piece.units.rough_up(length);
        let (sheet, board) = (self.shop.rough_sheet, self.shop.rough_board);
        let within = |exact: Length, most: Option<Length>| {
            let most = most.filter(|most| exact <= *most);
            most.map_or(up(exact), |most| up(exact).min(most))
        };
        match self.stocks.get(part.stock.0 as usize).map(|s| &s.kind) {
            Some(kind @ StockKind::Board { .. }) if self.ripped_off(at) => {
                let long = within(size.length + board.0, kind.longest_board());
                (long, up(size.thick + self.strip_trim()))
            }
            Some(kind @ StockKind::Board { .. }) => {
                let (long, wide) = (size.length + board.0, size.width + board.1);
                // Of boards that hold it whole, else of those that hold its staves.
                let whole = kind.longest_of_width(wide).filter(|most| long <= *most);
                let long = within(long, whole.or(kind.longest_board()));
                let widest = kind.board_widths(long).map(|(_, widest)| widest);
                (long, within(wide, widest))
            }
            Some(StockKind::Edging { long, .. }) => {
                (within(size.length + board.0, *long), size.width)
            }
            Some(StockKind::Sheet { .. }) | None => {
                (up(size.length + sheet.0), up(size.width + sheet.1))
            }
        }
    }

    /// Of a part of board that is wider than any board as long as it: the staves that it is glued up of. A
    /// board gives its greatest width less what is allowed for jointing its edges.
    pub fn staves(&self, at: PartRef) -> Option<Staves> {
        let (piece, part) = self.part(at);
        let kind = self.stocks.get(part.stock.0 as usize).map(|s| &s.kind);
        let (_, widest) = kind?.board_widths(self.rough_size(at).0)?;
        let (width, jointed) = (self.sawn_size(at).width, self.shop.rough_board.1);
        if self.ripped_off(at) || width + jointed <= widest || widest <= jointed {
            return None;
        }
        let count = width.ratio(widest - jointed).ceil()?;
        let share = |width: Length| width.scale(Rational::new(1, count));
        let up = |length| piece.units.rough_up(length);
        let flatten = match piece.units {
            Units::Mm => Length::mm(1),
            Units::Inch(_) => Length::from_mm(Rational::new(254, 320)),
        };
        let flatten = flatten.min(self.shop.rough_board.2.half());
        Some(Staves {
            count: u32::try_from(count).ok()?,
            rough: up(share(width) + jointed).min(widest),
            wide: up(share(width + jointed)),
            thick: part.size.thick + flatten,
        })
    }

    /// The board's edge is trued again before a strip is ripped off it: what that takes.
    pub fn strip_trim(&self) -> Length {
        Length::um(1500).min(self.shop.rough_board.1)
    }

    fn is_board(&self, part: &Part) -> bool {
        let kind = self.stocks.get(part.stock.0 as usize).map(|s| &s.kind);
        matches!(kind, Some(StockKind::Board { .. }))
    }
}

/// The panel of a strip, and the strips that go on it before.
fn host<'a>(piece: &'a Piece, part: &Part) -> Option<(&'a Part, Vec<&'a Part>)> {
    let host = piece.part(part.host?);
    let before = host.bands.iter().take_while(|band| band.strip != part.id);
    Some((host, before.map(|band| piece.part(band.strip)).collect()))
}

#[cfg(test)]
mod tests {
    use crate::measure::Length;
    use crate::model::fixture::{self, dmm};
    use crate::model::{PartId, PartRef};

    /// The side's strip is as long as the side and covers its whole edge: 1.5 wider, 6 longer. The
    /// deck's strip ends at the sides, where the deck's tongues go on: no longer.
    #[test]
    fn strips_stand_proud_where_they_are_flushed() {
        let model = fixture::cabinet();
        let piece = &model.pieces[0];
        let mut seen = [0, 0];
        for part in piece.parts.iter().filter(|p| p.host.is_some()) {
            let at = PartRef {
                piece: 0,
                part: PartId(part.id.0),
            };
            let proud = model.proud(at);
            let host = piece.part(part.host.expect("a strip"));
            assert_eq!(
                (proud.edge, proud.far_edge),
                (Length::um(750), Length::um(750))
            );
            let whole = host.size.length == part.size.length;
            assert_eq!(
                proud.length,
                if whole { Length::mm(6) } else { Length::ZERO }
            );
            seen[usize::from(whole)] += 1;
            // 13 thick from the 20 board, or 19.1 wide from the 52: the thinner board.
            assert!(!model.ripped_off(at));
            assert_eq!(model.sawn_size(at).width, part.size.width + dmm(15));
        }
        assert!(seen.iter().all(|n| *n > 0), "{seen:?}");
        let side = piece
            .parts
            .iter()
            .find(|p| p.host.is_none())
            .expect("a side");
        assert!(
            model
                .proud(PartRef {
                    piece: 0,
                    part: side.id
                })
                .is_none()
        );
    }
}
