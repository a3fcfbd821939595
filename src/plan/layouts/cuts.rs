//! The order of cuts of a sheet: true an edge, rip the strips, square one end, cross-cut, then rip
//! and cut to length what is smaller than its column. Each setting of fence or stop comes once.

use super::pack::Bin;
use super::{Offcut, Rect, Sheet, offcut_worth_keeping};
use crate::measure::Length;

/// What a cut does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutDo {
    /// Takes the shop's trim off the long edge that becomes the reference edge.
    TrueEdge,
    /// Rips a strip over the whole length.
    Rip,
    /// Squares one end of every strip.
    SquareEnd,
    /// Cuts a strip across.
    CrossCut,
    /// Rips a part from a column.
    RipPart,
    /// Cuts a part to length that is shorter than its column.
    CrossCutPart,
}

/// One setting and every cut that is made with it.
#[derive(Clone, Debug)]
pub struct SheetCut {
    /// Its number on this sheet, from 1.
    pub number: u32,
    /// What it does.
    pub what: CutDo,
    /// Fence, stop, or what is taken off.
    pub setting: Length,
    /// How many cuts.
    pub times: u32,
    /// The parts (indices of [`Sheet::placed`]) in the strips or columns that come off.
    pub holds: Vec<usize>,
    /// Those of them that need no further cut.
    pub gives: Vec<usize>,
    /// Where the saw goes: the near side of each kerf.
    pub lines: Vec<CutLine>,
}

/// A cut on the sheet, along the near side of its kerf.
#[derive(Clone, Copy, Debug)]
pub struct CutLine {
    /// Start.
    pub from: [Length; 2],
    /// End.
    pub to: [Length; 2],
}

/// One cut before cuts with one setting are gathered.
struct Single {
    what: CutDo,
    setting: Length,
    holds: Vec<usize>,
    gives: Vec<usize>,
    line: CutLine,
}

/// The cuts of a sheet that was set out from `bin` (strips and columns already in order).
pub(super) fn sheet_cuts(
    sheet: &Sheet,
    bin: &Bin<Length>,
    kerf: Length,
    trim: Length,
) -> Vec<SheetCut> {
    let mut singles: Vec<Single> = Vec::new();
    let mut push = |what, setting, holds: Vec<usize>, gives: Vec<usize>, from, to| {
        singles.push(Single {
            what,
            setting,
            holds,
            gives,
            line: CutLine { from, to },
        });
    };
    if trim.is_positive() {
        push(
            CutDo::TrueEdge,
            trim,
            Vec::new(),
            Vec::new(),
            [Length::ZERO, trim],
            [sheet.long, trim],
        );
    }
    let (mut y, mut next) = (trim, 0usize);
    let mut bottom = trim;
    for strip in &bin.strips {
        let first = next;
        let end = y + strip.wide;
        let mut x = trim;
        for column in &strip.columns {
            let start = next;
            let column_end = x + column.long;
            let mut at = y;
            for put in &column.stack {
                let this = next;
                next += 1;
                let part_end = at + put.wide;
                let shorter = put.long < column.long;
                // No cut where the column's own far side is the part's.
                if part_end < end {
                    push(
                        CutDo::RipPart,
                        put.wide,
                        vec![this],
                        if shorter { Vec::new() } else { vec![this] },
                        [x, part_end],
                        [column_end, part_end],
                    );
                }
                if shorter {
                    push(
                        CutDo::CrossCutPart,
                        put.long,
                        vec![this],
                        vec![this],
                        [x + put.long, at],
                        [x + put.long, part_end],
                    );
                }
                at = part_end + kerf;
            }
            let all: Vec<usize> = (start..next).collect();
            let whole = column
                .stack
                .iter()
                .all(|put| put.wide == strip.wide && put.long == column.long);
            if column_end < sheet.long {
                push(
                    CutDo::CrossCut,
                    column.long,
                    all.clone(),
                    if whole { all } else { Vec::new() },
                    [column_end, y],
                    [column_end, end],
                );
            }
            x = column_end + kerf;
        }
        if end < sheet.wide {
            push(
                CutDo::Rip,
                strip.wide,
                (first..next).collect(),
                Vec::new(),
                [Length::ZERO, end],
                [sheet.long, end],
            );
        }
        bottom = end;
        y = end + kerf;
    }
    if trim.is_positive() {
        push(
            CutDo::SquareEnd,
            trim,
            Vec::new(),
            Vec::new(),
            [trim, trim],
            [trim, bottom],
        );
    }
    gather(singles)
}

/// Puts cuts in order and one number on those that share a setting.
fn gather(mut singles: Vec<Single>) -> Vec<SheetCut> {
    // Larger settings first: the rest always stays long enough to hold.
    singles.sort_by(|a, b| (a.what as u8, b.setting).cmp(&(b.what as u8, a.setting)));
    let mut out: Vec<SheetCut> = Vec::new();
    for single in singles {
        match out.last_mut() {
            Some(last) if last.what == single.what && last.setting == single.setting => {
                last.times += 1;
                last.holds.extend(single.holds);
                last.gives.extend(single.gives);
                last.lines.push(single.line);
            }
            _ => out.push(SheetCut {
                number: out.len() as u32 + 1,
                what: single.what,
                setting: single.setting,
                times: 1,
                holds: single.holds,
                gives: single.gives,
                lines: vec![single.line],
            }),
        }
    }
    out
}

/// What stays over, at the usable size (trimmed edges off): what is large enough to keep, and waste.
pub(super) fn offcuts(
    sheet: &Sheet,
    bin: &Bin<Length>,
    kerf: Length,
    trim: Length,
) -> (Vec<Offcut>, Vec<Rect>) {
    let (far_x, far_y) = (sheet.long - trim, sheet.wide - trim);
    let mut rects = Vec::new();
    let mut y = trim;
    for strip in &bin.strips {
        let end = y + strip.wide;
        let mut x = trim;
        for column in &strip.columns {
            let column_end = x + column.long;
            let mut at = y;
            for put in &column.stack {
                rects.push(Rect {
                    lo: [x + put.long + kerf, at],
                    hi: [column_end, at + put.wide],
                });
                at += put.wide + kerf;
            }
            rects.push(Rect {
                lo: [x, at],
                hi: [column_end, end],
            });
            x = column_end + kerf;
        }
        rects.push(Rect {
            lo: [x, y],
            hi: [far_x, end],
        });
        y = end + kerf;
    }
    rects.push(Rect {
        lo: [trim, y],
        hi: [far_x, far_y],
    });
    let (along, across) = offcut_worth_keeping();
    rects.retain(|r| r.long().is_positive() && r.wide().is_positive());
    let (kept, waste): (Vec<Rect>, Vec<Rect>) =
        rects.into_iter().partition(|r| match sheet.grain_long {
            Some(true) => r.long() >= along && r.wide() >= across,
            Some(false) => r.wide() >= along && r.long() >= across,
            None => r.long().max(r.wide()) >= along && r.long().min(r.wide()) >= across,
        });
    let named = |area| Offcut {
        name: String::new(),
        area,
    };
    (kept.into_iter().map(named).collect(), waste)
}
