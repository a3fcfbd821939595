//! From rough to size: plane, true an edge, rip, square an end, cut to length. A part wider than any board
//! begins as staves: they are planed over-thick, jointed and glued up, and what they give is sized as one.
//!
//! A strip whose groove or tongue runs its whole length is run in a long length together with others,
//! and cut to its own length after: short strips are no work for a saw (common practice).
//! Thin ready-made edging is no machine's work at all.
//!
//! Breaking sheets down to rough sizes is told by the cutting layouts, not here.

use super::operation::{Lies, Machine, Operation, Phase, Process, Setting, Tooling, Work};
use crate::measure::Length;
use crate::model::{CutKind, Model, Part, PartRef, Side, StockKind};

/// What comes off when an edge is trued, unless the shop's allowance is less (common practice).
fn trim(model: &Model, board: bool) -> Length {
    let allowed = if board {
        model.shop.rough_board.1
    } else {
        model.shop.rough_sheet.1
    };
    Length::um(1500).min(allowed)
}

/// Whether the end is finished by its mitre, so that no square cut is made there.
pub(super) fn mitred(part: &Part, side: Side) -> bool {
    part.cuts
        .iter()
        .any(|cut| cut.kind == CutKind::Mitre && cut.entry == side)
}

/// The sizing of one part.
pub(super) fn operations(model: &Model, at: PartRef) -> Vec<Operation> {
    let (piece, part) = model.part(at);
    let early = part.host.is_some_and(|host| {
        let bands = &piece.part(host).bands;
        bands.iter().any(|band| band.strip == part.id && band.early)
    });
    let (sawn, ripped_off) = (model.sawn_size(at), model.ripped_off(at));
    let kind = model.stocks.get(part.stock.0 as usize).map(|s| &s.kind);
    let (board, strip) = match kind {
        Some(StockKind::Board { .. }) => (true, false),
        Some(StockKind::Edging { .. }) => (false, true),
        Some(StockKind::Sheet { .. }) | None => (false, false),
    };
    if part.is_tape(&model.stocks) {
        return Vec::new();
    }
    let (square, to_length, crosscut) = match (part.runs_in_lengths(&model.stocks), early) {
        (false, _) => (Phase::SquareEnd, Phase::CutToLength, Machine::Saw),
        (true, false) => (Phase::StripSquare, Phase::StripLength, Machine::MitreSaw),
        (true, true) => (
            Phase::EarlyStripSquare,
            Phase::EarlyStripLength,
            Machine::MitreSaw,
        ),
    };
    let flat = |against| Lies {
        down: Side::Reverse,
        against,
        leads: None,
    };
    let op = |work, phase, process, machine, setting, against| {
        Operation::new(
            at,
            work,
            (phase, process),
            Tooling::plain(machine),
            setting,
            flat(against),
        )
    };
    let mut out = Vec::new();
    let staves = model.staves(at);
    if let Some(staves) = staves {
        let steps = [
            (
                Work::StavePlane,
                Phase::StavePlane,
                Process::Plane,
                Machine::Planer,
                Setting::Thickness(staves.thick),
            ),
            (
                Work::StaveJoint,
                Phase::StaveJoint,
                Process::JointEdges,
                Machine::Planer,
                Setting::Fence {
                    at: staves.wide,
                    last: None,
                },
            ),
            (
                Work::StaveGlue,
                Phase::StaveGlue,
                Process::Panel,
                Machine::Bench,
                Setting::Free,
            ),
        ];
        let ops = steps.map(|(work, phase, process, machine, setting)| {
            op(work, phase, process, machine, setting, None)
        });
        out.extend(ops);
    }
    if board {
        out.push(op(
            Work::Plane,
            Phase::Plane,
            Process::Plane,
            // Few planers take a panel.
            match staves {
                Some(_) => Machine::Bench,
                None => Machine::Planer,
            },
            Setting::Thickness(if ripped_off { sawn.width } else { sawn.thick }),
            None,
        ));
    }
    if !strip {
        out.push(op(
            Work::TrueEdge,
            Phase::TrueEdge,
            Process::TrueEdge,
            Machine::Saw,
            Setting::Trim(trim(model, board)),
            Some(Side::FarEdge),
        ));
        out.push(op(
            Work::Rip,
            Phase::Rip,
            Process::Rip,
            Machine::Saw,
            Setting::Fence {
                at: if ripped_off { sawn.thick } else { sawn.width },
                last: None,
            },
            Some(Side::Edge),
        ));
    }
    if !mitred(part, Side::End) {
        out.push(op(
            Work::SquareEnd,
            square,
            Process::SquareEnd,
            crosscut,
            Setting::Free,
            Some(Side::Edge),
        ));
    }
    if !mitred(part, Side::FarEnd) {
        out.push(op(
            Work::CutToLength,
            to_length,
            Process::CutToLength,
            crosscut,
            Setting::Stop(sawn.length),
            Some(Side::End),
        ));
    }
    out
}
