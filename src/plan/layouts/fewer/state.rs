//! What lies where on the sheets of a stock, in integers, and what that asks for at the saw.

use super::super::order::{self, Strip};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Parts of one size that may lie the same ways; a run is a kind of its own.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    /// With kerf, along `x` and `y`.
    pub size: [i64; 2],
    pub turns: bool,
    /// Of a run: along which axis its parts follow each other, and how far each reaches along it, with kerf.
    pub run: Option<(usize, Vec<i64>)>,
}

/// A part in its place: its kind, and whether it is turned.
pub(super) type Put = (usize, bool);

/// Parts that follow each other along the axis of the first cuts.
pub(super) type Stack = Vec<Put>;

/// Sheets that are cut alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Cut {
    /// Which source they are from.
    pub source: usize,
    /// How many.
    pub times: u32,
    /// Along which the strips follow each other, 0 is `x`.
    pub axis: usize,
    /// The strips, with the stacks that follow each other in them.
    pub strips: Vec<Vec<Stack>>,
}

/// What may be cut from a source.
#[derive(Clone, Debug)]
pub(super) struct Room {
    /// Inside the trimmed edges, with kerf.
    pub usable: [i64; 2],
    /// Up to the far raw edges, with kerf: what is cut from.
    pub raw: [i64; 2],
    /// The widest strip, with kerf, where they follow each other along `x` and `y`.
    pub widest: [i64; 2],
    /// Whether the saw reaches right through the sheet where strips follow each other along `x` and along `y`.
    pub reached: [bool; 2],
}

/// What does not change while parts are moved.
#[derive(Clone, Debug)]
pub(super) struct Shop {
    pub kinds: Vec<Kind>,
    pub rooms: Vec<Room>,
    pub kerf: i64,
    /// How often pieces are cut before they are trimmed: 1 to 3.
    pub rounds: u32,
    /// Whether what is larger than its part is trimmed in one more round.
    pub trimming: bool,
    /// The least extents of what is kept, along `x` and `y`; or, if so, of its longer and its shorter side.
    pub keep: ([i64; 2], bool),
}

/// What a sheet asks for, and what stays over of it.
#[derive(Clone, Debug, Default)]
pub(super) struct Score {
    /// The fewer the better: settings, and in thousandths of one how far it is to fewer.
    pub effort: i64,
    /// Squares of the areas of what stays over.
    pub squares: i128,
    /// Areas of what is kept.
    pub kept: Vec<i64>,
}

/// What a setting weighs in [`Score::effort`].
const SETTING: i64 = 1000;

impl Cut {
    /// Every place on it: strip, stack, part.
    pub(super) fn places(&self) -> impl Iterator<Item = [usize; 3]> {
        self.strips.iter().enumerate().flat_map(|(s, strip)| {
            let stacks = strip.iter().enumerate();
            stacks.flat_map(move |(k, stack)| (0..stack.len()).map(move |i| [s, k, i]))
        })
    }

    /// Drops what holds nothing any more.
    pub(super) fn tidy(&mut self) {
        for strip in &mut self.strips {
            strip.retain(|stack| !stack.is_empty());
        }
        self.strips.retain(|strip| !strip.is_empty());
    }
}

impl Shop {
    /// A part's extents as it lies.
    pub(super) fn lies(&self, (kind, turned): Put) -> [i64; 2] {
        let mut size = self.kinds[kind].size;
        if turned {
            size.swap(0, 1);
        }
        size
    }

    /// A stack's extents: along the axis of the first cuts, and across it.
    fn stack(&self, axis: usize, stack: &Stack) -> [i64; 2] {
        let sizes = stack.iter().map(|put| self.lies(*put));
        sizes.fold([0, 0], |[long, wide], size| {
            [long + size[axis], wide.max(size[1 - axis])]
        })
    }

    /// What a sheet asks for; `None` if it can't be cut so.
    pub(super) fn score(&self, cut: &Cut) -> Option<Score> {
        let room = &self.rooms[cut.source];
        let axis = cut.axis;
        if cut.strips.is_empty() {
            return None;
        }
        let mut strips = Vec::with_capacity(cut.strips.len() * 4);
        let mut out = Score::default();
        let mut over = |along: i64, across: i64| {
            let mut size = [0; 2];
            (size[axis], size[1 - axis]) = (along - self.kerf, across - self.kerf);
            if size.iter().all(|side| *side > 0) {
                let area = size[0] * size[1];
                let square = i128::from(area) * i128::from(area);
                out.squares = out.squares.saturating_add(square);
                let (least, either) = self.keep;
                if either {
                    size.sort_unstable_by_key(|side| Reverse(*side));
                }
                if size[0] >= least[0] && size[1] >= least[1] {
                    out.kept.push(area);
                }
            }
        };
        let strip = |phase, settings: Vec<i64>, room: i64| Strip {
            phase,
            full: settings.iter().sum::<i64>() == room,
            settings,
            in_order: false,
            last: None,
        };
        let mut extents = Vec::with_capacity(cut.strips.len());
        for stacks in &cut.strips {
            let sizes: Vec<[i64; 2]> = stacks.iter().map(|s| self.stack(axis, s)).collect();
            let extent = sizes.iter().map(|size| size[0]).max()?;
            let used = sizes.iter().map(|size| size[1]).sum::<i64>();
            let most = [room.widest[axis], room.usable[1 - axis]];
            let deep = match self.rounds {
                1 => stacks.len() > 1 || stacks[0].len() > 1,
                2 => stacks.iter().any(|stack| stack.len() > 1),
                _ => false,
            };
            if extent > most[0] || used > most[1] || deep {
                return None;
            }
            extents.push(extent);
            over(extent, room.usable[1 - axis] - used);
            let widths = sizes.iter().map(|size| size[1]).collect();
            strips.push(strip(1, widths, room.raw[1 - axis]));
            for (stack, [high, wide]) in stacks.iter().zip(sizes) {
                over(extent - high, wide);
                let lies: Vec<[i64; 2]> = stack.iter().map(|put| self.lies(*put)).collect();
                let heights = lies.iter().map(|size| size[axis]).collect();
                strips.push(strip(2, heights, extent));
                for (put, size) in stack.iter().zip(&lies) {
                    if size[1 - axis] == wide {
                        continue;
                    }
                    // A run the same way is cut up first, then its parts are trimmed one by one.
                    let along = match &self.kinds[put.0].run {
                        Some((of, parts)) if *of == axis => parts.as_slice(),
                        _ => &[size[axis]],
                    };
                    along
                        .iter()
                        .for_each(|long| over(*long, wide - size[1 - axis]));
                    strips.push(strip(3, vec![size[1 - axis]], wide));
                }
            }
        }
        let used = extents.iter().sum::<i64>();
        if used > room.usable[axis] {
            return None;
        }
        over(room.usable[axis] - used, room.usable[1 - axis]);
        strips.push(strip(0, extents, room.raw[axis]));
        let rounds = self.rounds as usize + usize::from(self.trimming);
        let made = |strip: &Strip<i64>| strip.settings.len() > usize::from(strip.full);
        let can_be =
            |strip: &Strip<i64>| strip.phase < rounds && (strip.phase > 0 || room.reached[axis]);
        if !strips.iter().all(|strip| can_be(strip) || !made(strip)) {
            return None;
        }
        // A setting of few cuts is nearer to none.
        let mut often: BTreeMap<(usize, i64), i64> = BTreeMap::new();
        for strip in &strips {
            let cuts = strip.settings.len() - usize::from(strip.full);
            for setting in &strip.settings[..cuts] {
                *often.entry((strip.phase, *setting)).or_default() += 1;
            }
        }
        let near = often
            .values()
            .map(|n| [0, 0, 40, 70, 90, 100][(*n).min(5) as usize]);
        out.effort = near.sum::<i64>();
        let mut phases: Vec<usize> = often.keys().map(|(phase, _)| *phase).collect();
        phases.dedup();
        out.effort += 150 * phases.len() as i64;
        out.effort += SETTING * order::settings(&mut strips) as i64;
        Some(out)
    }
}
