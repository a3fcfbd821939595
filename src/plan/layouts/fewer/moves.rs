//! A walk from layout to layout.

use super::state::{Cut, Score, Shop};
use crate::cutting::Dice;

/// How many steps back a layout is compared with.
const MEMORY: usize = 400;

/// How much worse a layout may be where a round begins anew: a setting and a half.
const SLACK: i64 = 1500;

/// What is moved to where: from a place on one sheet to a place on it or on another.
#[derive(Clone, Copy, Debug)]
enum Move {
    ExchangeParts,
    PartToStack,
    PartToNewStack,
    PartToNewStrip,
    StackToStrip,
    StackToNewStrip,
    ExchangeStacks,
    /// To another sheet; of one sheet a part is turned instead.
    StripOrTurn,
    /// Of two sheets.
    ExchangeStrips,
}

/// Each as often as it is picked.
const MOVES: [Move; 11] = [
    Move::ExchangeParts,
    Move::ExchangeParts,
    Move::ExchangeParts,
    Move::PartToStack,
    Move::PartToNewStack,
    Move::PartToNewStrip,
    Move::StackToStrip,
    Move::StackToNewStrip,
    Move::ExchangeStacks,
    Move::StripOrTurn,
    Move::ExchangeStrips,
];

/// A walk, and where it is.
#[derive(Debug)]
pub(super) struct Walk<'a> {
    shop: &'a Shop,
    cuts: Vec<Cut>,
    scores: Vec<Score>,
    /// What stayed over of the layout at the start.
    squares: i128,
    kept: Vec<i64>,
    dice: Dice,
}

impl<'a> Walk<'a> {
    /// At a layout that can be cut.
    pub(super) fn new(shop: &'a Shop, cuts: Vec<Cut>) -> Walk<'a> {
        let mut walk = Walk {
            shop,
            cuts: Vec::new(),
            scores: Vec::new(),
            squares: 0,
            kept: Vec::new(),
            dice: Dice::new(1),
        };
        walk.stand(cuts);
        (walk.squares, walk.kept) = walk.over();
        walk
    }

    /// Goes to a layout that can be cut.
    fn stand(&mut self, cuts: Vec<Cut>) {
        self.scores = cuts.iter().filter_map(|cut| self.shop.score(cut)).collect();
        self.cuts = cuts;
    }

    /// Squares of what stays over, and what is kept, the largest first.
    pub(super) fn over(&self) -> (i128, Vec<i64>) {
        let (mut squares, mut kept) = (0i128, Vec::<i64>::new());
        for (cut, score) in self.cuts.iter().zip(&self.scores) {
            squares = squares.saturating_add(score.squares.saturating_mul(cut.times.into()));
            for _ in 0..cut.times {
                kept.extend(&score.kept);
            }
        }
        kept.sort_unstable_by(|a, b| b.cmp(a));
        (squares, kept)
    }

    /// What the layout asks for, and how far what stays over is from as good as it was.
    fn cost(&self) -> (i64, i64) {
        let effort = self.scores.iter().map(|score| score.effort).sum();
        let (squares, kept) = self.over();
        let mut worse = 0;
        if squares < self.squares {
            // Squares of areas in fine units leave no room to multiply.
            let share = (self.squares - squares) / (self.squares / 10_000).max(1);
            worse += 200 + 20 * i64::try_from(share).unwrap_or(10_000);
        }
        for (i, was) in self.kept.iter().enumerate() {
            let is = kept.get(i).copied().unwrap_or(0);
            if is < *was {
                let share = i128::from(was - is) * 1000 / i128::from(*was).max(1);
                worse += 200 + i64::try_from(share).unwrap_or(1000);
            }
        }
        (effort, worse)
    }

    /// Takes so many steps a round, each round from the best so far; `best` is told of each layout that asks for
    /// less than all before, with what stays over no worse.
    pub(super) fn run(&mut self, rounds: usize, steps: usize, mut best: impl FnMut(&[Cut])) {
        let (mut least, _) = self.cost();
        let mut found = self.cuts.clone();
        for round in 0..rounds {
            self.stand(found.clone());
            let mut now = least;
            let slack = if round == 0 { 0 } else { SLACK };
            let mut memory = [now + slack; MEMORY];
            for step in 0..steps {
                let at = step % MEMORY;
                if let Some(before) = self.change() {
                    let (effort, worse) = self.cost();
                    if effort + worse <= now.max(memory[at]) {
                        now = effort + worse;
                        if worse == 0 && effort < least {
                            (least, found) = (effort, self.cuts.clone());
                            best(&found);
                        }
                    } else {
                        self.back(before);
                    }
                }
                memory[at] = memory[at].min(now);
            }
        }
    }

    /// Makes a move; gives the sheets as they were, or `None` if it was none that can be cut.
    fn change(&mut self) -> Option<Vec<(usize, Cut, Score)>> {
        let changed = self.step()?;
        let scores = changed.iter().map(|(_, cut)| self.shop.score(cut));
        let scores: Vec<Score> = scores.collect::<Option<_>>()?;
        let mut before = Vec::new();
        for ((index, cut), score) in changed.into_iter().zip(scores) {
            let cut = std::mem::replace(&mut self.cuts[index], cut);
            let score = std::mem::replace(&mut self.scores[index], score);
            before.push((index, cut, score));
        }
        Some(before)
    }

    /// Puts sheets back as they were.
    fn back(&mut self, before: Vec<(usize, Cut, Score)>) {
        for (index, cut, score) in before {
            (self.cuts[index], self.scores[index]) = (cut, score);
        }
    }

    /// A place on a sheet picked at random: strip, stack, part.
    fn place(&mut self, cut: usize) -> [usize; 3] {
        let strips = &self.cuts[cut].strips;
        let strip = self.dice.below(strips.len());
        let stack = self.dice.below(strips[strip].len());
        [strip, stack, self.dice.below(strips[strip][stack].len())]
    }

    /// One sheet or two as they would be after a move picked at random; `None` if it moves nothing.
    fn step(&mut self) -> Option<Vec<(usize, Cut)>> {
        let [a, mut b] = [0; 2].map(|_| self.dice.below(self.cuts.len()));
        // Sheets that are cut alike stay so.
        if self.cuts[a].times != self.cuts[b].times {
            b = a;
        }
        let ([s, k, i], [t, l, j]) = (self.place(a), self.place(b));
        let mut out = vec![(a, self.cuts[a].clone())];
        if b != a {
            out.push((b, self.cuts[b].clone()));
        }
        let (x, y) = (0, out.len() - 1);
        let take = |out: &mut [(usize, Cut)]| out[x].1.strips[s][k].remove(i);
        match MOVES[self.dice.below(MOVES.len())] {
            Move::ExchangeParts => {
                let (one, other) = (out[x].1.strips[s][k][i], out[y].1.strips[t][l][j]);
                if one == other {
                    return None;
                }
                out[x].1.strips[s][k][i] = other;
                out[y].1.strips[t][l][j] = one;
            }
            Move::PartToStack => {
                let one = take(&mut out);
                out[y].1.strips[t][l].push(one);
            }
            Move::PartToNewStack => {
                let one = take(&mut out);
                out[y].1.strips[t].push(vec![one]);
            }
            Move::PartToNewStrip => {
                let one = take(&mut out);
                out[y].1.strips.push(vec![vec![one]]);
            }
            Move::StackToStrip => {
                let stack = out[x].1.strips[s].remove(k);
                out[y].1.strips[t].push(stack);
            }
            Move::StackToNewStrip => {
                let stack = out[x].1.strips[s].remove(k);
                out[y].1.strips.push(vec![stack]);
            }
            Move::ExchangeStacks => {
                let one = std::mem::take(&mut out[x].1.strips[s][k]);
                let other = std::mem::take(&mut out[y].1.strips[t][l]);
                out[x].1.strips[s][k] = other;
                out[y].1.strips[t][l] = one;
            }
            Move::StripOrTurn if x == y => {
                let (kind, turned) = &mut out[x].1.strips[s][k][i];
                if !self.shop.kinds[*kind].turns {
                    return None;
                }
                *turned = !*turned;
            }
            Move::ExchangeStrips if x == y => return None,
            Move::StripOrTurn => {
                let strip = out[x].1.strips.remove(s);
                out[y].1.strips.push(strip);
            }
            Move::ExchangeStrips => {
                let one = std::mem::take(&mut out[x].1.strips[s]);
                out[x].1.strips[s] = std::mem::replace(&mut out[y].1.strips[t], one);
            }
        }
        out.iter_mut().for_each(|(_, cut)| cut.tidy());
        Some(out)
    }
}
