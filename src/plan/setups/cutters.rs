//! Which of the shop's cutters can make a cut.

use super::operation::{Listed, Machine, Tooling};
use crate::measure::Length;
use crate::model::{Cutter, CutterKind, Shop};

/// A cutter found for a cut.
#[derive(Clone, Debug)]
pub(super) struct Choice {
    /// Machine and cutter.
    pub tooling: Tooling,
    /// Across the head or bit, if the shop says.
    pub across: Option<Length>,
    /// Passes side by side.
    pub passes: u32,
}

/// More passes than this side by side are no way to make a cut (judgement).
const MOST_PASSES: i128 = 4;

fn deep_enough(cutter: &Cutter, depth: Length) -> bool {
    cutter.deep.is_none_or(|deep| depth <= deep)
}

/// Passes of a cutter of at most `most` across for a cut `width` wide.
fn passes(width: Length, most: Length) -> Option<u32> {
    let n = width.ratio(most).ceil()?;
    (1..=MOST_PASSES).contains(&n).then_some(n as u32)
}

/// What it says that none was found; profiles are bought for their shape and make no list of a kind.
fn listed(shop: &Shop) -> Listed {
    if shop.cutters.iter().all(|c| c.kind == CutterKind::Profile) {
        Listed::NoList
    } else {
        Listed::NoneFits
    }
}

fn machine(kind: CutterKind) -> Machine {
    match kind {
        CutterKind::Dado => Machine::SawHead,
        CutterKind::Groove | CutterKind::Rabbet | CutterKind::Profile => Machine::RouterTable,
        CutterKind::Bore => Machine::Drill,
        CutterKind::Dovetail => Machine::Router,
    }
}

/// A housing in a face or a groove in an edge, `width` across, `depth` deep. `kinds` in the order in
/// which they are tried; the fewest passes win.
pub(super) fn housing(
    shop: &Shop,
    kinds: [CutterKind; 2],
    usual: Machine,
    width: Length,
    depth: Length,
) -> Choice {
    let mut best: Option<(u32, &Cutter)> = None;
    for kind in kinds {
        for cutter in shop.cutters.iter().filter(|c| c.kind == kind) {
            let (least, most) = cutter.thick;
            if least > width || !deep_enough(cutter, depth) {
                continue;
            }
            if let Some(n) = passes(width, most)
                && best.is_none_or(|(fewest, _)| n < fewest)
            {
                best = Some((n, cutter));
            }
        }
    }
    match best {
        Some((passes, cutter)) => Choice {
            tooling: Tooling {
                machine: machine(cutter.kind),
                cutter: Some(cutter.name.clone()),
                width: Some(width.min(cutter.thick.1)),
                slope: None,
                listed: Listed::Shop,
            },
            across: cutter.across,
            passes,
        },
        None => Choice {
            tooling: Tooling {
                machine: usual,
                cutter: None,
                width: Some(width),
                slope: None,
                listed: listed(shop),
            },
            across: None,
            passes: 1,
        },
    }
}

/// A step `exposed` wide and `depth` high. A head is buried in the fence, so any stacking that is
/// wide enough will do: one of `stacked` (cutter, width) that is wanted anyway is taken first. At an
/// `end` that no head covers, the fullest one takes the shoulder, then the rest drawn away from the
/// fence.
pub(super) fn step(
    shop: &Shop,
    exposed: Length,
    depth: Length,
    end: bool,
    stacked: &[(Option<String>, Length)],
) -> Choice {
    let fits = |c: &&Cutter| c.thick.1 >= exposed && deep_enough(c, depth);
    if let Some(cutter) = shop
        .cutters
        .iter()
        .filter(|c| c.kind == CutterKind::Rabbet)
        .find(fits)
    {
        return Choice {
            tooling: Tooling {
                machine: Machine::RouterTable,
                cutter: Some(cutter.name.clone()),
                width: None,
                slope: None,
                listed: Listed::Shop,
            },
            across: cutter.across,
            passes: 1,
        };
    }
    let heads = || shop.cutters.iter().filter(|c| c.kind == CutterKind::Dado);
    let head = heads().find(fits);
    let narrower = heads().filter(|c| head.is_none() && end && deep_enough(c, depth));
    let fewest = narrower
        .filter_map(|c| Some((passes(exposed, c.thick.1)?, c)))
        .min_by_key(|(n, _)| *n);
    let (passes, head) = fewest.map_or((1, head), |(n, c)| (n, Some(c)));
    let name = head.map(|c| c.name.clone());
    let width = stacked
        .iter()
        .filter(|(cutter, width)| *cutter == name && *width >= exposed)
        .map(|(_, width)| *width)
        .min()
        .or_else(|| head.map(|c| c.thick.1));
    Choice {
        tooling: Tooling {
            machine: Machine::SawHead,
            slope: None,
            listed: if head.is_some() {
                Listed::Shop
            } else {
                listed(shop)
            },
            cutter: name,
            width,
        },
        across: head.and_then(|c| c.across),
        passes,
    }
}

/// A round hole.
pub(super) fn bore(shop: &Shop, diameter: Length, depth: Length) -> Tooling {
    let found = shop.cutters.iter().find(|c| {
        c.kind == CutterKind::Bore
            && c.thick.0 <= diameter
            && diameter <= c.thick.1
            && deep_enough(c, depth)
    });
    Tooling {
        machine: Machine::Drill,
        cutter: found.map(|c| c.name.clone()),
        width: Some(diameter),
        slope: None,
        listed: if found.is_some() {
            Listed::Shop
        } else {
            listed(shop)
        },
    }
}

/// Dovetails: a bit in a template guide, or by hand from the lines where the shop lists none.
pub(super) fn dovetail(shop: &Shop, depth: Length) -> Tooling {
    let found = shop
        .cutters
        .iter()
        .find(|c| c.kind == CutterKind::Dovetail && deep_enough(c, depth));
    Tooling {
        machine: Machine::Router,
        cutter: found.map(|c| c.name.clone()),
        width: None,
        slope: None,
        listed: if found.is_some() {
            Listed::Shop
        } else {
            Listed::NotAsked
        },
    }
}
