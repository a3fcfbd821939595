//! A list of boards put to the engine: on listed sizes, or on the least that random boards promise.

use super::super::item::{Item, Node, Source};
use super::super::sheets::sheet;
use super::super::solve::{Question, Solved, solve, worths};
use super::super::style::{self, Style};
use super::super::{Placed, Sheet, Taken, rack};
use super::{Blank, BoardList, BoardPiece, IfWide, Sold, ask, blanks, widths};
use crate::cutting::Effort;
use crate::measure::{Length, Rational, Units};
use crate::model::{Model, Price, StockId, StockKind};

/// What is sawn out of boards of one stock and thickness.
struct Job<'a> {
    model: &'a Model,
    stock: StockId,
    thick: Length,
    /// Pieces by themselves, and blanks.
    items: Vec<Item>,
    style: Style,
}

/// What an item may be sawn from.
struct Offer {
    /// New boards in the order in which they were told, then those on hand.
    sources: Vec<Source>,
    /// Of what they count; `None` where that is their area.
    currency: Option<String>,
}

/// A length, width and price of boards that are sold.
type Priced<'a> = (Length, Length, Option<&'a Price>);

impl Job<'_> {
    /// New boards, of each size without limit, and those on hand.
    fn offer(&self, sold: &[Priced]) -> Offer {
        let (worths, currency) = worths(sold.iter().copied(), self.thick);
        let one = |(k, (&(long, wide, _), worth)): (usize, (&Priced, Rational))| Source {
            taken: Taken::Bought(k),
            long,
            wide,
            trim: Length::ZERO,
            worth,
            copies: None,
            widest: [None; 2],
        };
        let mut sources: Vec<Source> = sold.iter().zip(worths).enumerate().map(one).collect();
        let new = rack::cheapest(&sources);
        let on_hand = rack::sources(self.model, self.stock, self.thick, new);
        sources.extend(on_hand);
        Offer { sources, currency }
    }

    fn lay(&self, on: &Offer, effort: Effort) -> Solved {
        solve(&Question {
            items: &self.items,
            sources: &on.sources,
            currency: on.currency.clone(),
            kerf: self.model.shop.kerf,
            style: self.style,
            trimming: true,
            effort,
        })
    }
}

/// Lays a list out on the boards of its stock, if that states their sizes, and returns what it was laid out
/// on.
pub(super) fn lay_out(
    model: &Model,
    list: &mut BoardList,
    kind: &StockKind,
    effort: Effort,
) -> Vec<Source> {
    let StockKind::Board { sizes, price, .. } = kind else {
        return Vec::new();
    };
    let units = list.pieces.first().map(|p| model.part(p.part.part).0.units);
    let up = |l: Length| units.map_or(l, |units| units.rough_up(l));
    let widths_of = |long| kind.board_widths(long);
    let blanks = blanks(&list.pieces, model.shop.kerf, widths_of, up);
    let (sawn, items) = sawn(&list.pieces, &blanks);
    let job = Job {
        model,
        stock: list.stock,
        thick: list.rough.unwrap_or(list.needed),
        items,
        style: style::of_boards(model),
    };
    let (offer, solved) = match &list.sold {
        Sold::Open => return Vec::new(),
        Sold::In(_) => {
            let listed = sizes.iter();
            let sold: Vec<Priced> = listed
                .map(|size| (size.long, size.wide, size.price.as_ref()))
                .collect();
            let offer = job.offer(&sold);
            let solved = job.lay(&offer, effort);
            (offer, solved)
        }
        Sold::Random { long, wide } => {
            let at_least = |least: Length| {
                let sizes = ask::sizes(&job.items, *long, (least, wide.1));
                let sold = sizes.into_iter().map(|(l, w)| (l, w, price.as_ref()));
                job.offer(&sold.collect::<Vec<Priced>>())
            };
            let offer = at_least(wide.0);
            let solved = job.lay(&offer, effort);
            let step = match units {
                Some(Units::Inch(_)) => Length::um(12_700),
                Some(Units::Mm) | None => Length::mm(10),
            };
            let wider = widths::beyond(*wide, step);
            list.if_wide = if_wide(&job, &wider, at_least, (&offer, &solved));
            (offer, solved)
        }
    };
    let left = solved.unplaced.iter().flat_map(|i| &sawn[*i]);
    list.unplaced = left.copied().collect();
    list.unplaced.sort_unstable();
    list.blanks = blanks;
    let boards = solved.laid.into_iter();
    list.boards = boards
        .map(|(source, node)| board(&job, list, &sawn, &offer.sources[source], node))
        .collect();
    list.cost = (!list.boards.is_empty()).then_some(solved.cost);
    offer.sources
}

/// What is sawn out, pieces by themselves and blanks: the pieces in each, and its size.
fn sawn(pieces: &[BoardPiece], blanks: &[Blank]) -> (Vec<Vec<usize>>, Vec<Item>) {
    let item = |long, wide| Item {
        long,
        wide,
        may_turn: false,
        run: None,
    };
    let alone = pieces
        .iter()
        .enumerate()
        .filter(|(_, piece)| !piece.planed_first)
        .map(|(i, piece)| (vec![i], item(piece.long, piece.wide)));
    let together = blanks
        .iter()
        .map(|blank| (blank.strips.clone(), item(blank.long, blank.wide)));
    alone.chain(together).unzip()
}

/// How many boards do if all of them come so wide, for each of these widths; `planned` is what is laid out on
/// those that are promised.
fn if_wide(
    job: &Job,
    wider: &[Length],
    at_least: impl Fn(Length) -> Offer,
    planned: (&Offer, &Solved),
) -> Vec<IfWide> {
    let bought = |(offer, solved): (&Offer, &Solved), least: Length| {
        let all = solved
            .laid
            .iter()
            .map(|(source, _)| &offer.sources[*source]);
        let bought = all.filter(|source| source.copies.is_none());
        bought.map(|s| (s.long, s.wide.max(least))).collect()
    };
    let ways = wider.iter().filter_map(|wide| {
        // What is laid out on narrower boards lies on wider ones too.
        let same = bought(planned, *wide);
        let offer = at_least(*wide);
        let anew = job.lay(&offer, Effort::Quick);
        widths::fewer(*wide, job.thick, [same, bought((&offer, &anew), *wide)])
    });
    ways.filter(|way| way.boards > 0).collect()
}

/// A board with what is sawn out of it.
fn board(job: &Job, list: &BoardList, sawn: &[Vec<usize>], source: &Source, node: Node) -> Sheet {
    let shop = &job.model.shop;
    let placed = |item: usize, _, at| {
        let of = &sawn[item];
        let first = &list.pieces[of[0]];
        Placed {
            part: first.part.clone(),
            more: of[1..]
                .iter()
                .map(|i| list.pieces[*i].part.clone())
                .collect(),
            stave: first.stave,
            sequence: None,
            area: at,
            length: job.items[item].long,
            width: job.items[item].wide,
            across: false,
        }
    };
    let kept = (Some(true), shop.keep_board);
    sheet(node, source, &job.items, shop.kerf, kept, placed)
}
