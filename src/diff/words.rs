//! A line in its own words, with what is no longer said and what is said now.

use super::changes::Word;
use crate::model::{Token, WrittenClause, WrittenLine, text_of};

/// A line longer than this is shown without the clauses that stay, but for those that say what it is
/// about.
const LONG: usize = 72;
/// Clauses that say what a line is about.
const ABOUT: [&str; 5] = ["into", "to", "in", "of", "on"];

/// Both wordings of a line, merged; only [`Word::Same`] if they say the same.
pub(super) fn changed_words(old: &WrittenLine, new: &WrittenLine) -> Vec<Word> {
    if old.damaged || new.damaged {
        return whole(old, new);
    }
    let mut out = Vec::new();
    tokens(&old.subject, &new.subject, &mut out);
    tokens(&old.set, &new.set, &mut out);
    let long = text_of(new.tokens()).chars().count() > LONG;
    let merged = merge(&old.clauses, &new.clauses);
    for pair in &merged {
        let mut words = Vec::new();
        pair.words(&mut words);
        let stays = words.iter().all(|word| matches!(word, Word::Same(_)));
        if !(stays && long && !ABOUT.contains(&pair.word())) {
            out.extend(words);
        }
    }
    if old.docs != new.docs {
        let said = |docs: &str| format!("/// {docs}");
        if !old.docs.is_empty() {
            out.push(Word::Old(said(&old.docs)));
        }
        if !new.docs.is_empty() {
            out.push(Word::New(said(&new.docs)));
        }
    }
    join(out)
}

/// A line that could not be read as a whole, by its text.
fn whole(old: &WrittenLine, new: &WrittenLine) -> Vec<Word> {
    let split = |line: &WrittenLine| -> Vec<Token> {
        let text = text_of(line.tokens());
        let words = text.split_whitespace().map(|text| Token {
            text: text.to_owned(),
            spaced: true,
            value: None,
        });
        words.collect()
    };
    let mut out = Vec::new();
    tokens(&split(old), &split(new), &mut out);
    join(out)
}

/// A clause then and now.
struct Pair<'a> {
    old: Option<&'a WrittenClause>,
    new: Option<&'a WrittenClause>,
}

impl Pair<'_> {
    fn word(&self) -> &'static str {
        self.new.or(self.old).map_or("", |clause| clause.word)
    }

    fn words(&self, out: &mut Vec<Word>) {
        let all = |clause: &WrittenClause| {
            let mut tokens = Vec::new();
            clause.all(&mut tokens);
            text_of(tokens)
        };
        match (self.old, self.new) {
            (Some(old), Some(new)) => {
                tokens(&old.tokens, &new.tokens, out);
                for pair in merge(&old.tails, &new.tails) {
                    pair.words(out);
                }
            }
            (Some(old), None) => out.push(Word::Old(all(old))),
            (None, Some(new)) => out.push(Word::New(all(new))),
            (None, None) => {}
        }
    }
}

/// Clauses matched by their word: those that say the same, then those with the same tails, then the
/// rest in turn. In the order of the new line; what went comes last.
fn merge<'a>(old: &'a [WrittenClause], new: &'a [WrittenClause]) -> Vec<Pair<'a>> {
    let mut left: Vec<Option<&WrittenClause>> = old.iter().map(Some).collect();
    let mut found: Vec<Option<&WrittenClause>> = vec![None; new.len()];
    let tests: [fn(&WrittenClause, &WrittenClause) -> bool; 3] = [
        same,
        |a, b| a.word == b.word && same_list(&a.tails, &b.tails),
        |a, b| a.word == b.word,
    ];
    for test in tests {
        for (clause, found) in new.iter().zip(&mut found) {
            if found.is_some() {
                continue;
            }
            let slot = left
                .iter_mut()
                .find(|slot| slot.is_some_and(|old| test(old, clause)));
            *found = slot.and_then(Option::take);
        }
    }
    let mut out: Vec<Pair<'_>> = new
        .iter()
        .zip(found)
        .map(|(new, old)| Pair {
            old,
            new: Some(new),
        })
        .collect();
    out.extend(left.into_iter().flatten().map(|old| Pair {
        old: Some(old),
        new: None,
    }));
    out
}

fn same(a: &WrittenClause, b: &WrittenClause) -> bool {
    a.word == b.word
        && a.tokens.len() == b.tokens.len()
        && a.tokens.iter().zip(&b.tokens).all(|(a, b)| a.says(b))
        && same_list(&a.tails, &b.tails)
}

/// Whether both hold the same clauses, in any order.
fn same_list(a: &[WrittenClause], b: &[WrittenClause]) -> bool {
    let mut left: Vec<&WrittenClause> = b.iter().collect();
    a.len() == b.len()
        && a.iter().all(|clause| {
            let at = left.iter().position(|other| same(clause, other));
            at.map(|at| left.remove(at)).is_some()
        })
}

/// Tokens of both: what they begin and end with alike stays, the middle is old and new.
fn tokens(old: &[Token], new: &[Token], out: &mut Vec<Word>) {
    let start = old.iter().zip(new).take_while(|(a, b)| a.says(b)).count();
    let rest = old.len().min(new.len()) - start;
    let end = old
        .iter()
        .rev()
        .zip(new.iter().rev())
        .take(rest)
        .take_while(|(a, b)| a.says(b))
        .count();
    let (head, tail) = new.split_at(start);
    let (middle, tail) = tail.split_at(tail.len() - end);
    let was = old.get(start..old.len() - end).unwrap_or(&[]);
    for (part, word) in [
        (head, Word::Same as fn(String) -> Word),
        (was, Word::Old),
        (middle, Word::New),
        (tail, Word::Same),
    ] {
        if !part.is_empty() {
            out.push(word(text_of(part)));
        }
    }
}

/// Neighbours that stay as one.
fn join(words: Vec<Word>) -> Vec<Word> {
    let mut out: Vec<Word> = Vec::new();
    for word in words {
        if let (Some(Word::Same(before)), Word::Same(text)) = (out.last_mut(), &word) {
            if super::lines::spaced(before, text) {
                before.push(' ');
            }
            before.push_str(text);
        } else {
            out.push(word);
        }
    }
    out
}
