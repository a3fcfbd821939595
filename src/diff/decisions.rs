//! What was decided otherwise: lines against lines, block by block.
//!
//! Lines are matched by head and names, those that say the same first; what is left over, by how much
//! of the line is alike, so that a line that got another name is one changed line. Lines of all files
//! are one block: a line that moved to another file decides nothing.

use super::changes::{Decision, DecisionKind, Place, Word};
use super::figure::Figure;
use super::lines::{canonical, label};
use super::words::changed_words;
use crate::model::{Token, WrittenLine, WrittenOrder, text_of};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Compares the lines of two revisions.
pub(super) fn compare(old: &[WrittenLine], new: &[WrittenLine]) -> Vec<Decision> {
    let mut out = Vec::new();
    block(old, new, &[], &mut out);
    out
}

/// More lines of one head than this are not compared each with each.
const MOST: usize = 200;

fn block(old: &[WrittenLine], new: &[WrittenLine], within: &[String], out: &mut Vec<Decision>) {
    if old.is_empty() && new.is_empty() {
        return;
    }
    let pairs = pairs(old, new);
    let moved = moved(old, new, &pairs);
    let stays: BTreeSet<usize> = pairs.iter().map(|(o, _)| *o).collect();
    let gone = (0..old.len()).filter(|i| !stays.contains(i));
    let mut gone = gone.peekable();
    let by_new: BTreeMap<usize, usize> = pairs.iter().map(|(o, n)| (*n, *o)).collect();
    for (n, line) in new.iter().enumerate() {
        let Some(o) = by_new.get(&n) else {
            out.push(alone(line, DecisionKind::Added, within));
            continue;
        };
        // What went is told where it stood.
        while let Some(first) = gone.next_if(|first| first < o) {
            out.extend(old.get(first).map(|l| alone(l, DecisionKind::Gone, within)));
        }
        let Some(was) = old.get(*o) else { continue };
        if moved.contains(&n) {
            out.push(Decision {
                kind: DecisionKind::Moved,
                within: within.to_vec(),
                line: vec![Word::Same(text_of(line.tokens()))],
                more: 0,
                old: Some(place(was)),
                new: Some(place(line)),
                by: None,
            });
        }
        pair(was, line, within, out);
    }
    for first in gone {
        out.extend(old.get(first).map(|l| alone(l, DecisionKind::Gone, within)));
    }
}

/// A line that is in both.
fn pair(old: &WrittenLine, new: &WrittenLine, within: &[String], out: &mut Vec<Decision>) {
    let words = changed_words(old, new);
    if words.iter().any(|word| !matches!(word, Word::Same(_))) {
        out.push(Decision {
            kind: DecisionKind::Changed,
            within: within.to_vec(),
            by: difference(old, new),
            line: words,
            more: 0,
            old: Some(place(old)),
            new: Some(place(new)),
        });
    }
    let mut within = within.to_vec();
    within.push(label(new));
    block(&old.lines, &new.lines, &within, out);
}

/// The difference, where one number of the line is another and nothing else.
fn difference(old: &WrittenLine, new: &WrittenLine) -> Option<Figure> {
    let (old, new) = (old.tokens(), new.tokens());
    let mut differ = old
        .iter()
        .zip(&new)
        .filter(|(a, b)| !a.says(b))
        .map(|(a, b)| (*a, *b));
    let (a, b): (&Token, &Token) = differ.next()?;
    if old.len() != new.len() || differ.next().is_some() {
        return None;
    }
    let (a, b) = (a.value?, b.value?);
    if let (Some(a), Some(b)) = (a.as_length(), b.as_length()) {
        return Some(Figure::Length(b - a));
    }
    let (a, b) = (a.as_number()?, b.as_number()?);
    let whole = a.is_integer() && b.is_integer();
    whole.then(|| Figure::number(b - a, "", 0))
}

/// A line that is in one only.
fn alone(line: &WrittenLine, kind: DecisionKind, within: &[String]) -> Decision {
    let text = text_of(line.tokens());
    let here = Some(place(line));
    let added = kind == DecisionKind::Added;
    Decision {
        kind,
        within: within.to_vec(),
        line: vec![if added {
            Word::New(text)
        } else {
            Word::Old(text)
        }],
        more: (line.count() - 1) as u32,
        old: here.clone().filter(|_| !added),
        new: here.filter(|_| added),
        by: None,
    }
}

fn place(line: &WrittenLine) -> Place {
    Place {
        file: line.file.clone(),
        line: line.line,
    }
}

/// Which old line is which new one, by index; in the order of the new lines.
fn pairs(old: &[WrittenLine], new: &[WrittenLine]) -> Vec<(usize, usize)> {
    let texts = |lines: &[WrittenLine]| lines.iter().map(canonical).collect::<Vec<_>>();
    let (old_texts, new_texts) = (texts(old), texts(new));
    let key = |line: &WrittenLine| {
        let mut names = line.names.clone();
        names.sort();
        (line.head.clone(), names)
    };
    let mut out: Vec<(usize, usize)> = Vec::new();
    let (mut old_left, mut new_left): (BTreeSet<usize>, BTreeSet<usize>) =
        ((0..old.len()).collect(), (0..new.len()).collect());
    let mut zip = |old_keys: &dyn Fn(usize) -> String,
                   new_keys: &dyn Fn(usize) -> String,
                   old_left: &mut BTreeSet<usize>,
                   new_left: &mut BTreeSet<usize>| {
        let mut waiting: BTreeMap<String, VecDeque<usize>> = BTreeMap::new();
        for o in old_left.iter() {
            waiting.entry(old_keys(*o)).or_default().push_back(*o);
        }
        for n in new_left.clone() {
            if let Some(o) = waiting.get_mut(&new_keys(n)).and_then(VecDeque::pop_front) {
                out.push((o, n));
                old_left.remove(&o);
                new_left.remove(&n);
            }
        }
    };
    let text = |texts: &[String], i: usize| texts.get(i).cloned().unwrap_or_default();
    zip(
        &|o| text(&old_texts, o),
        &|n| text(&new_texts, n),
        &mut old_left,
        &mut new_left,
    );
    let keys = |lines: &[WrittenLine], i: usize| {
        lines
            .get(i)
            .map_or(String::new(), |l| format!("{:?}", key(l)))
    };
    zip(
        &|o| keys(old, o),
        &|n| keys(new, n),
        &mut old_left,
        &mut new_left,
    );
    out.extend(alike(
        old, new, &old_left, &new_left, &old_texts, &new_texts,
    ));
    out.sort_by_key(|(_, n)| *n);
    out
}

/// Pairs of lines that have another name, or the same head and much of the same words.
fn alike(
    old: &[WrittenLine],
    new: &[WrittenLine],
    old_left: &BTreeSet<usize>,
    new_left: &BTreeSet<usize>,
    old_texts: &[String],
    new_texts: &[String],
) -> Vec<(usize, usize)> {
    type Side = Vec<usize>;
    let mut heads: BTreeMap<&str, (Side, Side)> = BTreeMap::new();
    for (lines, left, is_new) in [(old, old_left, false), (new, new_left, true)] {
        for i in left {
            let Some(line) = lines.get(*i) else { continue };
            let sides = heads.entry(line.head.as_str()).or_default();
            if is_new { &mut sides.1 } else { &mut sides.0 }.push(*i);
        }
    }
    let mut found = Vec::new();
    for (olds, news) in heads.into_values() {
        if olds.len() > MOST || news.len() > MOST {
            continue;
        }
        let only = olds.len() == 1 && news.len() == 1;
        // Best first; what is alike as much is told apart by its text, the same way round or not.
        let mut scores: Vec<(u64, (&String, &String), usize, usize)> = Vec::new();
        for o in &olds {
            for n in &news {
                let (Some(a), Some(b)) = (old.get(*o), new.get(*n)) else {
                    continue;
                };
                let score = likeness(a, b);
                let plain = a.lines.is_empty() && b.lines.is_empty() && !a.names.is_empty();
                if score * 2 < SCALE && !(only && plain && !b.names.is_empty()) {
                    continue;
                }
                if let (Some(x), Some(y)) = (old_texts.get(*o), new_texts.get(*n)) {
                    scores.push((score, (x.min(y), x.max(y)), *o, *n));
                }
            }
        }
        scores.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
        let (mut used_old, mut used_new) = (BTreeSet::new(), BTreeSet::new());
        for (_, _, o, n) in scores {
            if !used_old.contains(&o) && !used_new.contains(&n) {
                used_old.insert(o);
                used_new.insert(n);
                found.push((o, n));
            }
        }
    }
    found
}

/// What [`likeness`] gives for lines that are alike in every word.
const SCALE: u64 = 1000;

/// How much of two lines of the same head is alike, their blocks included.
fn likeness(a: &WrittenLine, b: &WrittenLine) -> u64 {
    let (a, b) = (bag(a), bag(b));
    let common: u64 = a
        .iter()
        .map(|(word, n)| (*n).min(b.get(word).copied().unwrap_or(0)))
        .sum();
    let most = a.values().sum::<u64>().max(b.values().sum());
    (common * SCALE).checked_div(most).unwrap_or(0)
}

/// The words of a line and its block, but for its head and signs.
fn bag(line: &WrittenLine) -> BTreeMap<String, u64> {
    let mut out = BTreeMap::new();
    let mut todo = vec![line];
    while let Some(line) = todo.pop() {
        for token in line.tokens().into_iter().skip(1) {
            if token.text.chars().any(char::is_alphanumeric) {
                *out.entry(super::lines::token(token)).or_insert(0) += 1;
            }
        }
        todo.extend(&line.lines);
    }
    out
}

/// New lines that stand elsewhere among their neighbours, where that says something: the fewest whose
/// move makes the order.
fn moved(old: &[WrittenLine], new: &[WrittenLine], pairs: &[(usize, usize)]) -> BTreeSet<usize> {
    let mut groups: BTreeMap<&str, Vec<(usize, usize)>> = BTreeMap::new();
    for (o, n) in pairs {
        let Some(line) = new.get(*n) else { continue };
        match line.order {
            WrittenOrder::Free => {}
            WrittenOrder::Block => groups.entry("").or_default().push((*o, *n)),
            WrittenOrder::Head => groups.entry(&line.head).or_default().push((*o, *n)),
        }
    }
    let mut out = BTreeSet::new();
    for (head, group) in groups {
        let keep = longest_rising(&group.iter().map(|(o, _)| *o).collect::<Vec<_>>());
        for (i, (o, n)) in group.iter().enumerate() {
            if keep.contains(&i) {
                continue;
            }
            // Bands of different panels may stand in any order.
            let crosses = group.iter().any(|(o2, n2)| {
                let shares = || match (old.get(*o), old.get(*o2)) {
                    (Some(a), Some(b)) => a.names.iter().any(|name| b.names.contains(name)),
                    _ => false,
                };
                (o < o2) != (n < n2) && o != o2 && (head != "band" || shares())
            });
            if crosses {
                out.insert(*n);
            }
        }
    }
    out
}

/// The places of a longest rising run in a list of different numbers (patience sorting).
fn longest_rising(list: &[usize]) -> BTreeSet<usize> {
    let mut ends: Vec<usize> = Vec::new(); // places, by length of the run that ends there
    let mut before: Vec<Option<usize>> = vec![None; list.len()];
    for (i, value) in list.iter().enumerate() {
        let at = ends.partition_point(|place| list.get(*place).is_some_and(|v| v < value));
        if let Some(slot) = before.get_mut(i) {
            *slot = at.checked_sub(1).and_then(|k| ends.get(k)).copied();
        }
        match ends.get_mut(at) {
            Some(end) => *end = i,
            None => ends.push(i),
        }
    }
    let mut out = BTreeSet::new();
    let mut next = ends.last().copied();
    while let Some(place) = next {
        out.insert(place);
        next = before.get(place).copied().flatten();
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fewest_lines_move() {
        let keep = |list: &[usize]| longest_rising(list).into_iter().collect::<Vec<_>>();
        assert_eq!(keep(&[3, 0, 1, 2]), [1, 2, 3]);
        assert_eq!(keep(&[0, 1, 2]), [0, 1, 2]);
        assert_eq!(keep(&[]), Vec::<usize>::new());
    }
}
