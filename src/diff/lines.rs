//! Lines in one canonical wording, in which layout and the order of free lines no longer show.

use super::changes::Word;
use crate::model::{Token, WrittenClause, WrittenLine, WrittenOrder};

/// What a token says.
pub(super) fn token(token: &Token) -> String {
    match token.value {
        Some(quantity) => {
            let digit = |c: char| c.is_ascii_digit() || c == '.';
            let unit = token.text.trim_start_matches(digit);
            let currency = if quantity.dimension.money == 0 {
                ""
            } else {
                unit
            };
            format!("{}~{}{currency}", quantity.value, quantity.dimension)
        }
        None => token.text.clone(),
    }
}

/// What a line says with its block: equal for two lines that decide the same.
pub(super) fn canonical(line: &WrittenLine) -> String {
    let words = |tokens: &[Token]| tokens.iter().map(token).collect::<Vec<_>>().join(" ");
    let mut clauses: Vec<String> = line.clauses.iter().map(clause).collect();
    clauses.sort();
    let mut lines: Vec<String> = line.lines.iter().map(canonical).collect();
    let ordered = line.lines.iter().any(|l| l.order != WrittenOrder::Free);
    if !ordered {
        lines.sort();
    }
    format!(
        "{} {} [{}] {:?} {{{}}}",
        words(&line.subject),
        words(&line.set),
        clauses.join("; "),
        line.docs,
        lines.join("\n")
    )
}

fn clause(of: &WrittenClause) -> String {
    let words: Vec<String> = of.tokens.iter().map(token).collect();
    let mut tails: Vec<String> = of.tails.iter().map(clause).collect();
    tails.sort();
    format!("{} ({})", words.join(" "), tails.join("; "))
}

/// What a block is called: `piece score_cabinet`, `join floor, deck`.
pub(super) fn label(line: &WrittenLine) -> String {
    let names = line.names.join(", ");
    format!("{} {names}", line.head).trim_end().to_owned()
}

/// Whether a blank stands between two words of a line.
pub fn spaced(before: &str, after: &str) -> bool {
    !(before.is_empty()
        || before.ends_with(['(', '[', '.'])
        || after.starts_with([',', ')', ']', '.', ':', '[']))
}

/// Words as one text, the old ones left out.
pub fn as_it_is(words: &[Word]) -> String {
    let mut out = String::new();
    for word in words {
        let text = match word {
            Word::Same(text) | Word::New(text) => text,
            Word::Old(_) => continue,
        };
        if spaced(&out, text) {
            out.push(' ');
        }
        out.push_str(text);
    }
    out
}
