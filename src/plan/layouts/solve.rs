//! A stock put to the engine of [`crate::cutting`]: exact lengths and prices become integers, its trees
//! of cuts become exact again.

use super::item::{Item, Node, Source};
use super::style::Style;
use super::{area, fewer};
use crate::cutting::{
    self, Becomes, Effort, LARGEST, MOST, Objective, Outcome, Part, Piece, Problem, Sheet, Trim,
};
use crate::measure::{Length, Rational};
use crate::model::Price;
use num_integer::Integer;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What the sheets of a stock cost, and how far from the least that can be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayoutCost {
    /// Of what is laid out.
    pub cost: Rational,
    /// Proven: no layout from these sizes in as many rounds of cuts costs less.
    pub bound: Rational,
    /// How much of the cost is for what was on hand, at what it counts (see [`cutting::rack_worth`]).
    pub on_hand: Rational,
    /// Of all three; `None` where not every size has a price in one currency: square millimetres.
    pub currency: Option<String>,
}

impl LayoutCost {
    /// Whether no layout is cheaper.
    pub fn is_least(&self) -> bool {
        self.cost == self.bound
    }

    /// In whole units for print, wherever that is; `None` if they are too many.
    pub fn in_units(&self, unit: Rational) -> Option<CostUnits> {
        let cost = (self.cost / unit).round()?;
        let to_buy = ((self.cost - self.on_hand) / unit).round()?;
        Some(CostUnits {
            cost,
            to_buy,
            on_hand: cost - to_buy,
            bound: (self.bound / unit).floor()?,
        })
    }

    /// What could be saved at most: thousandths of the cost, rounded up; none of nothing.
    pub fn saving(&self) -> i128 {
        match self.cost.is_zero() {
            true => 0,
            false => ((self.cost - self.bound) / self.cost * Rational::int(1000))
                .ceil()
                .unwrap_or(1000),
        }
    }
}

/// A cost in whole units: to the nearest, what is proven down; its two parts add up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CostUnits {
    /// All of it.
    pub cost: i128,
    /// What is paid for.
    pub to_buy: i128,
    /// What the rack's share counts for.
    pub on_hand: i128,
    /// Not less than this.
    pub bound: i128,
}

/// What is asked of the engine.
pub(super) struct Question<'a> {
    pub(super) items: &'a [Item],
    pub(super) sources: &'a [Source],
    /// Of what the sources cost; `None` where that is their area.
    pub(super) currency: Option<String>,
    pub(super) kerf: Length,
    pub(super) style: Style,
    /// Whether an item may be smaller than its last piece, and gets one more cut.
    pub(super) trimming: bool,
    pub(super) effort: Effort,
}

/// What comes out of which source.
pub(super) struct Solved {
    /// Indices of the sources, and what becomes of each.
    pub(super) laid: Vec<(usize, Node)>,
    /// Items that no source holds, in order.
    pub(super) unplaced: Vec<usize>,
    pub(super) cost: LayoutCost,
}

/// Lays out the items, as cheaply as the effort finds.
pub(super) fn solve(ask: &Question) -> Solved {
    let (items, kerf) = (ask.items, ask.kerf);
    let sources: Vec<(usize, &Source)> = ask
        .sources
        .iter()
        .enumerate()
        .filter(|(_, source)| source.usable().iter().all(|side| side.is_positive()))
        .collect();
    let runs = items.iter().filter_map(|item| item.run.as_ref());
    let in_runs: BTreeSet<usize> = runs.flat_map(|(_, of)| of).copied().collect();
    // What fits nowhere must not coarsen the unit of the others.
    let (fit, unplaced): (Vec<usize>, Vec<usize>) = (0..items.len())
        .filter(|i| !in_runs.contains(i))
        .partition(|i| sources.iter().any(|(_, s)| items[*i].fits(s.usable())));
    let price = Scale::of(sources.iter().map(|(_, source)| source.worth));
    let sides = sources.iter().flat_map(|(_, source)| source.usable());
    let extents = fit.iter().flat_map(|i| [items[*i].long, items[*i].wide]);
    let length = Scale::of(sides.chain(extents).chain([kerf]).map(Length::as_mm));
    let mut out = Solved {
        laid: Vec::new(),
        unplaced,
        cost: LayoutCost {
            cost: Rational::ZERO,
            bound: Rational::ZERO,
            on_hand: Rational::ZERO,
            currency: ask.currency.clone(),
        },
    };
    let sheets: Vec<Sheet> = sources
        .iter()
        .map(|(_, source)| {
            let [w, h] = source.usable().map(|side| length.down(side.as_mm()));
            Sheet {
                w,
                h,
                trim: Trim::default(),
                cost: price.down(source.worth),
                copies: source.copies,
                widest: source.widest.map(|most| Some(length.down(most?.as_mm()))),
            }
        })
        .collect();
    // A first cut goes through the trimmed edges too.
    let trim = sources
        .iter()
        .map(|(_, s)| s.trim)
        .max()
        .unwrap_or_default();
    let longest = ask
        .style
        .longest
        .map(|l| length.down((l - trim * 2).as_mm()));
    let mut left: Vec<Option<u32>> = sheets.iter().map(|s| s.copies).collect();
    // More parts than the engine takes at once are laid out lot by lot.
    for lot in fit.chunks(MOST as usize) {
        let mut kinds: BTreeMap<(i64, i64, bool), VecDeque<usize>> = BTreeMap::new();
        for i in lot {
            let item = &items[*i];
            let (w, h) = (length.up(item.long.as_mm()), length.up(item.wide.as_mm()));
            kinds
                .entry((w, h, item.may_turn))
                .or_default()
                .push_back(*i);
        }
        let parts = kinds.iter().map(|((w, h, turns), of)| Part {
            w: *w,
            h: *h,
            demand: of.len() as u32,
            turns: *turns,
            profit: 0,
        });
        let problem = Problem {
            sheets: sheets
                .iter()
                .zip(&left)
                .map(|(sheet, copies)| Sheet {
                    copies: *copies,
                    ..sheet.clone()
                })
                .collect(),
            parts: parts.collect(),
            kerf: length.up(kerf.as_mm()),
            stages: ask.style.stages,
            trimming: ask.trimming,
            first_cut: ask.style.first_cut(),
            longest_cut: [longest; 2],
            objective: Objective::LeastCost,
        };
        let outcome = cheapest(&problem, ask.effort);
        // Copies are dealt out in their order, sheet by sheet.
        let mut kinds: Vec<VecDeque<usize>> = kinds.into_values().collect();
        for cut in &outcome.layout.sheets {
            let (index, source) = sources[cut.sheet];
            for _ in 0..cut.times {
                if let Some(node) = node(&cut.piece, items, &mut kinds) {
                    out.laid.push((index, node));
                    out.cost.cost = out.cost.cost + source.worth;
                    if source.copies.is_some() {
                        out.cost.on_hand = out.cost.on_hand + source.worth;
                    }
                    if let Some(left) = &mut left[cut.sheet] {
                        *left -= 1;
                    }
                }
            }
        }
        out.unplaced.extend(kinds.into_iter().flatten());
        // Lengths that were rounded prove nothing. What a lot costs at least, all cost at least.
        if length.exact {
            let bound = price.unit * Rational::int(outcome.bound);
            out.cost.bound = out.cost.bound.max(bound);
        }
    }
    // A run that fits nowhere leaves its items over.
    out.unplaced = out
        .unplaced
        .iter()
        .flat_map(|i| match &items[*i].run {
            Some((_, members)) => members.clone(),
            None => vec![*i],
        })
        .collect();
    out.unplaced.sort_unstable();
    if length.exact {
        fewer::rearrange(ask, length.unit, &mut out.laid);
    }
    out
}

/// A tree of the engine with items dealt out to its parts; `None` if it holds none.
fn node(piece: &Piece, items: &[Item], kinds: &mut [VecDeque<usize>]) -> Option<Node> {
    match &piece.becomes {
        Becomes::Rest => None,
        Becomes::Part { part, turned } => {
            let item = kinds.get_mut(*part)?.pop_front()?;
            Some(match &items[item].run {
                Some((axis, members)) => Node::Run(*axis, members.clone()),
                None => Node::Item(item, *turned),
            })
        }
        Becomes::Cut { axis, pieces } => {
            let nodes: Vec<Node> = pieces
                .iter()
                .filter_map(|p| node(p, items, kinds))
                .collect();
            (!nodes.is_empty()).then_some(Node::Cut(axis.index(), nodes))
        }
    }
}

/// The cheapest layout that the effort finds among all sizes; a short one may miss what is plain with one
/// size alone, so each is tried as well.
fn cheapest(problem: &Problem, effort: Effort) -> Outcome {
    let lay_out = |problem: &Problem, effort| match cutting::solve(problem, effort) {
        Ok(outcome) => outcome,
        Err(fault) => panic!("parts and sheets have sizes that the engine takes: {fault:?}"),
    };
    let rank = |outcome: &Outcome| {
        let sheets = outcome.layout.sheets.iter().map(|cut| cut.times);
        (
            outcome.unplaced.iter().sum::<u32>(),
            outcome.value,
            sheets.sum::<u32>(),
        )
    };
    let mut best = lay_out(problem, effort);
    let sold: Vec<usize> = (0..problem.sheets.len())
        .filter(|k| problem.sheets[*k].copies.is_none())
        .collect();
    if sold.len() < 2 || best.value == best.bound {
        return best;
    }
    for size in &sold {
        let mut one = problem.clone();
        for other in sold.iter().filter(|k| *k != size) {
            one.sheets[*other].copies = Some(0);
        }
        let found = lay_out(&one, Effort::Quick);
        if rank(&found) < rank(&best) {
            // What is proven of one size alone is not of all.
            best = Outcome {
                bound: best.bound,
                ..found
            };
        }
    }
    best
}

/// What one of each size counts, of a length, width and price: that price where all have one in one currency,
/// else its area.
pub(super) fn worths<'a>(
    sizes: impl Iterator<Item = (Length, Length, Option<&'a Price>)>,
    thick: Length,
) -> (Vec<Rational>, Option<String>) {
    let sizes: Vec<_> = sizes.collect();
    let price = |(long, wide, price): &(Length, Length, Option<&Price>)| {
        price.and_then(|price| price.of_size(*long, *wide, thick))
    };
    let prices: Option<Vec<Rational>> = sizes.iter().map(price).collect();
    let mut currencies = sizes.iter().filter_map(|s| Some(&s.2?.currency));
    let currency = currencies.next().cloned();
    let one = currencies.all(|other| Some(other) == currency.as_ref());
    match prices {
        Some(prices) if one && prices.iter().any(|price| !price.is_zero()) => (prices, currency),
        _ => (sizes.iter().map(|s| area(s.0, s.1)).collect(), None),
    }
}

/// Exact figures in integers of one unit.
struct Scale {
    unit: Rational,
    /// Whether every figure is a whole number of units.
    exact: bool,
}

impl Scale {
    /// The largest unit of which all figures are whole numbers; where the largest figure would be more
    /// of them than the engine takes, the finest of which it is not.
    fn of(figures: impl Iterator<Item = Rational>) -> Scale {
        let (mut largest, mut common) = (Rational::ZERO, Some((0, 1)));
        for figure in figures {
            largest = largest.max(figure);
            common = common.and_then(|(num, den): (i128, i128)| {
                let more = figure.denom() / den.gcd(&figure.denom()).max(1);
                let den = den.checked_mul(more).filter(|den| *den > 0)?;
                Some((num.gcd(&figure.numer()), den))
            });
        }
        let most = Rational::int(LARGEST);
        match common.map(|(num, den)| Rational::new(num, den)) {
            Some(unit) if unit.is_zero() => Scale {
                unit: Rational::ONE,
                exact: true,
            },
            Some(unit) if largest / unit <= most => Scale { unit, exact: true },
            _ => Scale {
                unit: largest / most,
                exact: false,
            },
        }
    }

    /// Units, not fewer than it has.
    fn up(&self, figure: Rational) -> i64 {
        let units = (figure / self.unit).ceil();
        units.and_then(|n| i64::try_from(n).ok()).unwrap_or(LARGEST)
    }

    /// Units, not more than it has.
    fn down(&self, figure: Rational) -> i64 {
        let units = (figure / self.unit).floor();
        units.and_then(|n| i64::try_from(n).ok()).unwrap_or(0)
    }
}
