//! What the cuts of a sheet ask of whoever makes them, besides the cuts.

use super::{CutDo, Sheet, SheetCut};

/// How often fence and stop are set, and the work is turned. What is trimmed off first counts as no
/// setting: it takes as little as trues the edge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Handling {
    /// Settings of the fence, for rips.
    pub fence: u32,
    /// Settings of the stop, for cross-cuts.
    pub stop: u32,
    /// Quarter turns: from cuts along to cuts across, or back. The first comes after all cuts that go
    /// through the whole sheet.
    pub turns: u32,
}

impl Handling {
    /// Fence and stop together.
    pub fn settings(&self) -> u32 {
        self.fence + self.stop
    }
}

/// Of each cut, whether fence or stop still stands where it needs it, from the cut the same way that came
/// before.
fn stays(cuts: &[SheetCut]) -> Vec<bool> {
    let (mut fence, mut stop) = (None, None);
    let stands = |cut: &SheetCut| {
        let set = match cut.what {
            CutDo::Rip => &mut fence,
            CutDo::CrossCut => &mut stop,
            CutDo::TrueEdge | CutDo::SquareEnd => return false,
        };
        set.replace(cut.setting) == Some(cut.setting)
    };
    cuts.iter().map(stands).collect()
}

impl Handling {
    /// What cuts ask for that follow each other.
    pub(super) fn of(cuts: &[SheetCut]) -> Handling {
        let mut out = Handling::default();
        let mut lies = None;
        for (cut, stays) in cuts.iter().zip(stays(cuts)) {
            match cut.what {
                CutDo::Rip if !stays => out.fence += 1,
                CutDo::CrossCut if !stays => out.stop += 1,
                _ => {}
            }
            let along = matches!(cut.what, CutDo::Rip | CutDo::TrueEdge);
            out.turns += u32::from(lies.is_some_and(|before| before != along));
            lies = Some(along);
        }
        out
    }
}

impl Sheet {
    /// Of each cut, whether fence or stop still stands where it needs it.
    pub fn stays(&self) -> Vec<bool> {
        stays(&self.cuts)
    }

    /// What its cuts ask for in all.
    pub fn handling(&self) -> Handling {
        Handling::of(&self.cuts)
    }
}
