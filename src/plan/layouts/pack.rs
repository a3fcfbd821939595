//! First fit in strips, columns and stacks.
//!
//! Shelf packing after the "first fit, decreasing height" of Coffman, Garey, Johnson and Tarjan
//! (SIAM Journal on Computing 9, 1980), with a second level in the columns, so that what stands over
//! a low part of a strip can be used. Nothing here knows of parts, prices or order of cuts.

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

/// An item where it was put.
#[derive(Clone, Debug)]
pub(super) struct Put {
    pub(super) item: usize,
    pub(super) turned: bool,
    pub(super) long: Length,
    pub(super) wide: Length,
}

/// Items one behind the other across a strip.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) long: Length,
    pub(super) stack: Vec<Put>,
}

/// A strip over the whole length of a bin.
#[derive(Clone, Debug)]
pub(super) struct Strip {
    pub(super) wide: Length,
    pub(super) columns: Vec<Column>,
}

/// A sheet or board that was opened.
#[derive(Clone, Debug)]
pub(super) struct Bin {
    /// Which kind, as the opener said.
    pub(super) kind: usize,
    pub(super) long: Length,
    pub(super) wide: Length,
    pub(super) strips: Vec<Strip>,
}

/// In which order items are placed, largest first.
#[derive(Clone, Copy, Debug)]
pub(super) enum Order {
    Wide,
    Long,
    Area,
}

/// How an item that may turn is offered.
#[derive(Clone, Copy, Debug)]
pub(super) enum Turn {
    /// Longer side along the strip.
    Along,
    /// Longer side across the strip.
    Across,
    /// Either, as it comes.
    Either,
}

/// How a place is chosen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    pub(super) order: Order,
    pub(super) turn: Turn,
    /// The place that wastes least rather than the first.
    pub(super) best: bool,
}

impl Manner {
    /// All of them, the plainest first.
    pub(super) fn all() -> Vec<Manner> {
        let mut out = Vec::new();
        for turn in [Turn::Along, Turn::Either, Turn::Across] {
            for order in [Order::Wide, Order::Long, Order::Area] {
                for best in [false, true] {
                    out.push(Manner { order, turn, best });
                }
            }
        }
        out
    }
}

/// The room that things take in a row with a kerf between each two.
fn row(extents: impl Iterator<Item = Length>, kerf: Length) -> Length {
    extents.fold(
        Length::ZERO,
        |sum, e| {
            if sum.is_zero() { e } else { sum + kerf + e }
        },
    )
}

/// What remains of `whole` for one thing more.
fn rest(whole: Length, used: Length, kerf: Length) -> Length {
    if used.is_zero() {
        whole
    } else {
        whole - used - kerf
    }
}

impl Bin {
    fn rest(&self, kerf: Length) -> Length {
        let used = row(self.strips.iter().map(|s| s.wide), kerf);
        rest(self.wide, used, kerf)
    }
}

impl Strip {
    fn rest(&self, long: Length, kerf: Length) -> Length {
        rest(long, row(self.columns.iter().map(|c| c.long), kerf), kerf)
    }
}

impl Column {
    fn rest(&self, wide: Length, kerf: Length) -> Length {
        rest(wide, row(self.stack.iter().map(|p| p.wide), kerf), kerf)
    }
}

#[derive(Clone, Copy)]
enum Place {
    Stack(usize, usize, usize),
    Column(usize, usize),
    Strip(usize),
}

/// Opens a bin for extents `long` by `wide`: its kind, length and width; `None` if there is none.
pub(super) type Open<'a> = dyn Fn(Length, Length) -> Option<(usize, Length, Length)> + 'a;

/// Packs all items; the second list holds those for which no bin can be opened.
pub(super) fn pack(
    items: &[Item],
    manner: Manner,
    kerf: Length,
    open: &Open<'_>,
) -> (Vec<Bin>, Vec<usize>) {
    let lies: Vec<Vec<(Length, Length, bool)>> = items.iter().map(|i| ways(i, manner)).collect();
    let key = |i: usize| {
        let (long, wide) = lies[i]
            .first()
            .map_or((Length::ZERO, Length::ZERO), |w| (w.0, w.1));
        let area = long.as_mm() * wide.as_mm();
        match manner.order {
            Order::Wide => (wide.as_mm(), long.as_mm()),
            Order::Long => (long.as_mm(), wide.as_mm()),
            Order::Area => (area, long.as_mm()),
        }
    };
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by(|a, b| key(*b).cmp(&key(*a)).then(a.cmp(b)));
    let (mut bins, mut left) = (Vec::<Bin>::new(), Vec::new());
    for item in order {
        let mut chosen: Option<(Place, Length, Put)> = None;
        for (long, wide, turned) in &lies[item] {
            let put = Put {
                item,
                turned: *turned,
                long: *long,
                wide: *wide,
            };
            if let Some((place, waste)) = find(&bins, &put, manner.best, kerf)
                && chosen
                    .as_ref()
                    .is_none_or(|(_, w, _)| manner.best && waste < *w)
            {
                chosen = Some((place, waste, put));
            }
        }
        if let Some((place, _, put)) = chosen {
            settle(&mut bins, place, put);
            continue;
        }
        let opened = lies[item]
            .iter()
            .find_map(|(long, wide, turned)| Some((open(*long, *wide)?, *long, *wide, *turned)));
        let Some(((kind, bin_long, bin_wide), long, wide, turned)) = opened else {
            left.push(item);
            continue;
        };
        bins.push(Bin {
            kind,
            long: bin_long,
            wide: bin_wide,
            strips: Vec::new(),
        });
        let put = Put {
            item,
            turned,
            long,
            wide,
        };
        let last = bins.len() - 1;
        settle(&mut bins, Place::Strip(last), put);
    }
    left.sort_unstable();
    (bins, left)
}

/// The ways in which an item may lie, the one to try first in front.
fn ways(item: &Item, manner: Manner) -> Vec<(Length, Length, bool)> {
    let (as_is, turned) = ((item.long, item.wide, false), (item.wide, item.long, true));
    if !item.may_turn {
        return vec![as_is];
    }
    let along_first = item.long >= item.wide;
    let (along, across) = if along_first {
        (as_is, turned)
    } else {
        (turned, as_is)
    };
    match manner.turn {
        Turn::Along | Turn::Either => vec![along, across],
        Turn::Across => vec![across, along],
    }
}

/// A place among the open bins and what is wasted across it.
fn find(bins: &[Bin], put: &Put, best: bool, kerf: Length) -> Option<(Place, Length)> {
    let mut found: Option<(Place, Length)> = None;
    for (b, bin) in bins.iter().enumerate() {
        for (s, strip) in bin.strips.iter().enumerate() {
            for (c, column) in strip.columns.iter().enumerate() {
                if put.long <= column.long && put.wide <= column.rest(strip.wide, kerf) {
                    let waste = column.long - put.long;
                    if !best {
                        return Some((Place::Stack(b, s, c), waste));
                    }
                    if found.is_none_or(|(_, w)| waste < w) {
                        found = Some((Place::Stack(b, s, c), waste));
                    }
                }
            }
            if put.wide <= strip.wide && put.long <= strip.rest(bin.long, kerf) {
                let waste = strip.wide - put.wide;
                if !best {
                    return Some((Place::Column(b, s), waste));
                }
                if found.is_none_or(|(_, w)| waste < w) {
                    found = Some((Place::Column(b, s), waste));
                }
            }
        }
        if found.is_none() && put.long <= bin.long && put.wide <= bin.rest(kerf) {
            let waste = bin.rest(kerf) - put.wide;
            if !best {
                return Some((Place::Strip(b), waste));
            }
            found = Some((Place::Strip(b), waste));
        }
    }
    found
}

fn settle(bins: &mut [Bin], place: Place, put: Put) {
    let column = |put: Put| Column {
        long: put.long,
        stack: vec![put],
    };
    match place {
        Place::Stack(b, s, c) => bins[b].strips[s].columns[c].stack.push(put),
        Place::Column(b, s) => bins[b].strips[s].columns.push(column(put)),
        Place::Strip(b) => bins[b].strips.push(Strip {
            wide: put.wide,
            columns: vec![column(put)],
        }),
    }
}
