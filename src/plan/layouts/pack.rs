//! First fit in strips, columns and stacks.
//!
//! Shelf packing after the "first fit, decreasing height" of Coffman, Garey, Johnson and Tarjan
//! (SIAM Journal on Computing 9, 1980), with a second level in the columns, so that what stands over
//! a low part of a strip can be used. Nothing here knows of parts, prices or order of cuts.
//!
//! Packing is tried many times, so it works in whole nanometres: what is placed is rounded up and
//! what it is placed on rounded down, by less than one; [`Bin::exact`] goes back to exact lengths.

use crate::measure::Length;

/// What is to be placed.
#[derive(Clone, Debug)]
pub(super) struct Item {
    /// Extent along `x`.
    pub(super) long: Length,
    /// Extent along `y`.
    pub(super) wide: Length,
    /// Whether it may lie the other way.
    pub(super) may_turn: bool,
}

impl Item {
    /// Whether it fits into a rectangle, lying as it may.
    pub(super) fn fits(&self, [long, wide]: [Length; 2]) -> bool {
        let ways = [self.lies(false), self.lies(self.may_turn)];
        ways.iter().any(|(l, w)| *l <= long && *w <= wide)
    }

    /// Its extents, turned or not.
    fn lies(&self, turned: bool) -> (Length, Length) {
        if turned {
            (self.wide, self.long)
        } else {
            (self.long, self.wide)
        }
    }
}

/// Whole nanometres, not less than a length.
pub(super) fn up(length: Length) -> i64 {
    clamped(length.as_nm().ceil())
}

/// Whole nanometres, not more than a length.
pub(super) fn down(length: Length) -> i64 {
    clamped(length.as_nm().floor())
}

/// Kept so small that sums of a few can't overflow.
fn clamped(nm: Option<i128>) -> i64 {
    const MOST: i128 = 1 << 52;
    i64::try_from(nm.unwrap_or(0).clamp(-MOST, MOST)).unwrap_or(0)
}

/// An item where it was put.
#[derive(Clone, Debug)]
pub(super) struct Put<L> {
    pub(super) item: usize,
    pub(super) turned: bool,
    pub(super) long: L,
    pub(super) wide: L,
}

/// Items one behind the other across a strip.
#[derive(Clone, Debug)]
pub(super) struct Column<L> {
    pub(super) long: L,
    pub(super) stack: Vec<Put<L>>,
    /// Across it, for one thing more.
    left: L,
}

/// A strip over the whole length of a bin.
#[derive(Clone, Debug)]
pub(super) struct Strip<L> {
    pub(super) wide: L,
    pub(super) columns: Vec<Column<L>>,
    /// Along it, for one thing more.
    left: L,
}

/// A sheet or board that was opened.
#[derive(Clone, Debug)]
pub(super) struct Bin<L> {
    /// Which kind, as the opener said.
    pub(super) kind: usize,
    pub(super) long: L,
    pub(super) wide: L,
    pub(super) strips: Vec<Strip<L>>,
    /// Across it, for one thing more.
    left: L,
}

/// In which order items are placed, largest first.
#[derive(Clone, Copy, Debug)]
pub(super) enum Order {
    Wide,
    Long,
    Area,
}

/// How a place is chosen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    pub(super) order: Order,
    /// The place that wastes least rather than the first.
    pub(super) best: bool,
}

impl Bin<i64> {
    /// The same in exact lengths.
    pub(super) fn exact(self, items: &[Item], kerf: Length, size: [Length; 2]) -> Bin<Length> {
        let stack = |c: Column<i64>| c.stack.iter().map(|p| (p.item, p.turned)).collect();
        let columns = |s: Strip<i64>| s.columns.into_iter().map(stack).collect();
        let strips = self.strips.into_iter().map(columns).collect();
        Bin::of(self.kind, size, strips, items, kerf)
    }
}

impl Bin<Length> {
    /// A bin that holds items, turned or not, in strips, their columns, and stacks: a column is as long
    /// as its longest part, a strip as wide as its widest stack needs.
    pub(super) fn of(
        kind: usize,
        [long, wide]: [Length; 2],
        strips: Vec<Vec<Vec<(usize, bool)>>>,
        items: &[Item],
        kerf: Length,
    ) -> Bin<Length> {
        let put = |(item, turned): (usize, bool)| {
            let (long, wide) = items
                .get(item)
                .map_or((Length::ZERO, Length::ZERO), |i| i.lies(turned));
            Put {
                item,
                turned,
                long,
                wide,
            }
        };
        let column = |stack: Vec<(usize, bool)>| {
            let stack: Vec<Put<Length>> = stack.into_iter().map(put).collect();
            Column {
                long: stack.iter().map(|p| p.long).max().unwrap_or_default(),
                stack,
                left: Length::ZERO,
            }
        };
        let strip = |columns: Vec<Vec<(usize, bool)>>| {
            let columns: Vec<Column<Length>> = columns.into_iter().map(column).collect();
            let across = |c: &Column<Length>| {
                let sum: Length = c.stack.iter().map(|p| p.wide).sum();
                sum + kerf * (c.stack.len() as i64 - 1).max(0)
            };
            Strip {
                wide: columns.iter().map(across).max().unwrap_or_default(),
                columns,
                left: Length::ZERO,
            }
        };
        Bin {
            kind,
            long,
            wide,
            strips: strips.into_iter().map(strip).collect(),
            left: Length::ZERO,
        }
    }
}

#[derive(Clone, Copy)]
enum Place {
    Stack(usize, usize, usize),
    Column(usize, usize),
    Strip(usize),
}

/// Opens a bin for extents `long` by `wide` when so many are open: its kind, length and width; `None`
/// if there is none.
pub(super) type Open<'a> = dyn Fn(i64, i64, usize) -> Option<(usize, i64, i64)> + 'a;

/// Packs all items; the second list holds those for which no bin can be opened.
pub(super) fn pack(
    items: &[Item],
    manner: Manner,
    kerf: i64,
    open: &Open<'_>,
) -> (Vec<Bin<i64>>, Vec<usize>) {
    let lies: Vec<Vec<(i64, i64, bool)>> = items.iter().map(ways).collect();
    let key = |i: usize| {
        let (long, wide) = lies[i].first().map_or((0, 0), |w| (w.0, w.1));
        let area = i128::from(long) * i128::from(wide);
        let (long, wide) = (i128::from(long), i128::from(wide));
        match manner.order {
            Order::Wide => (wide, long),
            Order::Long => (long, wide),
            Order::Area => (area, long),
        }
    };
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by(|a, b| key(*b).cmp(&key(*a)).then(a.cmp(b)));
    let (mut bins, mut left) = (Vec::<Bin<i64>>::new(), Vec::new());
    for item in order {
        let mut chosen: Option<(Place, i64, Put<i64>)> = None;
        for (long, wide, turned) in &lies[item] {
            let put = Put {
                item,
                turned: *turned,
                long: *long,
                wide: *wide,
            };
            if let Some((place, waste)) = find(&bins, &put, manner.best)
                && chosen
                    .as_ref()
                    .is_none_or(|(_, w, _)| manner.best && waste < *w)
            {
                chosen = Some((place, waste, put));
            }
        }
        if let Some((place, _, put)) = chosen {
            settle(&mut bins, place, put, kerf);
            continue;
        }
        let opened = lies[item].iter().find_map(|(long, wide, turned)| {
            Some((open(*long, *wide, bins.len())?, *long, *wide, *turned))
        });
        let Some(((kind, bin_long, bin_wide), long, wide, turned)) = opened else {
            left.push(item);
            continue;
        };
        bins.push(Bin {
            kind,
            long: bin_long,
            wide: bin_wide,
            strips: Vec::new(),
            left: bin_wide,
        });
        let put = Put {
            item,
            turned,
            long,
            wide,
        };
        let last = bins.len() - 1;
        settle(&mut bins, Place::Strip(last), put, kerf);
    }
    left.sort_unstable();
    (bins, left)
}

/// The ways in which an item may lie, its longer side along the strip first.
fn ways(item: &Item) -> Vec<(i64, i64, bool)> {
    let (long, wide) = (up(item.long), up(item.wide));
    let mut ways = vec![(long, wide, false)];
    if item.may_turn {
        ways.insert(usize::from(long >= wide), (wide, long, true));
    }
    ways
}

/// A place among the open bins and what is wasted across it.
fn find(bins: &[Bin<i64>], put: &Put<i64>, best: bool) -> Option<(Place, i64)> {
    let mut found: Option<(Place, i64)> = None;
    for (b, bin) in bins.iter().enumerate() {
        for (s, strip) in bin.strips.iter().enumerate() {
            for (c, column) in strip.columns.iter().enumerate() {
                if put.long <= column.long && put.wide <= column.left {
                    let waste = column.long - put.long;
                    if !best {
                        return Some((Place::Stack(b, s, c), waste));
                    }
                    if found.is_none_or(|(_, w)| waste < w) {
                        found = Some((Place::Stack(b, s, c), waste));
                    }
                }
            }
            if put.wide <= strip.wide && put.long <= strip.left {
                let waste = strip.wide - put.wide;
                if !best {
                    return Some((Place::Column(b, s), waste));
                }
                if found.is_none_or(|(_, w)| waste < w) {
                    found = Some((Place::Column(b, s), waste));
                }
            }
        }
        if found.is_none() && put.long <= bin.long && put.wide <= bin.left {
            let waste = bin.left - put.wide;
            if !best {
                return Some((Place::Strip(b), waste));
            }
            found = Some((Place::Strip(b), waste));
        }
    }
    found
}

fn settle(bins: &mut [Bin<i64>], place: Place, put: Put<i64>, kerf: i64) {
    let column = |put: Put<i64>, wide: i64| Column {
        long: put.long,
        left: wide - put.wide - kerf,
        stack: vec![put],
    };
    match place {
        Place::Stack(b, s, c) => {
            let column = &mut bins[b].strips[s].columns[c];
            column.left -= put.wide + kerf;
            column.stack.push(put);
        }
        Place::Column(b, s) => {
            let strip = &mut bins[b].strips[s];
            strip.left -= put.long + kerf;
            strip.columns.push(column(put, strip.wide));
        }
        Place::Strip(b) => {
            let bin = &mut bins[b];
            bin.left -= put.wide + kerf;
            bin.strips.push(Strip {
                wide: put.wide,
                left: bin.long - put.long - kerf,
                columns: vec![column(put.clone(), put.wide)],
            });
        }
    }
}
