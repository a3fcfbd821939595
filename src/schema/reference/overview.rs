//! The first page of the reference.

use super::{Context, Shape, Use, Word, heads_in, listed, table};
use std::fmt::Write;

/// What is said about edges.
pub(super) const EDGES: &str = "Edges are `left`, `right`, `front`, `rear`, `top`, `bottom`; `all` of them; `meeting`, \
that of a pair of doors; `inside` and `outside`, toward and away from the middle. A bare word is an edge of the thing \
that is spoken of; with a dot it is a face of a part: `rear.front`.";

const SHAPE: &str = "Every line is `head item item … { lines }`. First comes what it speaks of: names, then how many. \
Then come clauses: a word and its value, or a word alone. A clause may instead be a line of the head's block, one \
decision a line. `with` and the kind of joint come last; what follows are the joint's options. `from`, `to`, \
`between`, `on` and `per` belong to the nearest word before them that takes them.";

const OUT: &str = "Angled work is outside this edition: splayed legs, canted corners, bow fronts. Every part is placed \
along the three directions of its case; only mitres and dovetails are cut at an angle.";

pub(super) fn overview() -> String {
    let mut text = String::from("# The language, edition 1\n\n");
    text.push_str(SHAPE);
    text.push_str("\n\nMore about one word: `casewright words WORD`; about editions, and what stays as it is: `casewright words edition`.\n");
    for topic in super::TOPICS {
        let (title, example) = (topic.title, super::indented(topic.example.text));
        let _ = write!(text, "\n## {title}\n\n{}\n\n{example}\n", topic.text);
    }
    for context in Context::ALL {
        let mut rows = heads_in(*context)
            .filter(|head| !is_common(head.word) || *context == Context::File)
            .peekable();
        if rows.peek().is_none() {
            continue;
        }
        let _ = write!(text, "\n## Lines {}\n\n", context.phrase());
        for head in rows {
            let _ = writeln!(text, "- `{}`: {}", head.word, head.doc);
        }
    }
    let _ = write!(
        text,
        "\n## Lines in most blocks\n\n{}: see each.\n",
        listed(COMMON.iter().copied(), "and")
    );
    text.push_str("\n## Kinds of joint\n\n");
    for kind in table::joints().iter().filter(|kind| !kind.later) {
        let preposition = kind
            .preposition
            .map_or("", |preposition| preposition.word());
        let _ = writeln!(text, "- `{}` (`{preposition}`): {}", kind.word, kind.doc);
    }
    for head in table::heads().filter(|head| !head.kinds.is_empty()) {
        let _ = write!(text, "\n## Kinds of {}\n\n", head.word);
        for kind in head.kinds.iter().filter(|kind| !kind.later) {
            let _ = writeln!(text, "- `{}`: {}", kind.word, kind.doc);
        }
    }
    let _ = write!(text, "\n## Edges\n\n{EDGES}\n");
    text.push_str("\n## Words of a line\n\nNone of these can be a name, and no edge can. A head can, built or not: a `top` may be called `lid`, a `bottom` `floor`.\n\n");
    for word in table::WORDS.iter().filter(|word| !word.free) {
        let later = if is_built(word) {
            ""
        } else {
            " (not built yet)"
        };
        let _ = writeln!(text, "- `{}`{later}: {}", word.word, word.doc);
    }
    text.push_str(
        "\nWords of stock, hardware, shop and finish only; a maker may use them as names.\n\n",
    );
    for word in table::WORDS
        .iter()
        .filter(|word| word.free && is_built(word))
    {
        let _ = writeln!(text, "- `{}`: {}", word.word, word.doc);
    }
    text.push_str(
        "\n## Units\n\nA unit is glued to its number: `18mm`, `16 1/2in`, `5ft 3in`, `9%`.\n\n",
    );
    for unit in crate::measure::UNITS {
        let _ = writeln!(text, "- `{}`: {}", unit.symbol, unit.doc);
    }
    let _ = write!(
        text,
        "\n## Not in this edition\n\n{OUT}\n\nThese words are known and not built yet: {}. So are {}, as words \
         of a clause: elsewhere they are an edge or a choice.\n",
        unbuilt(),
        listed(clauses_to_come().filter(|word| is_value(word)), "and")
    );
    text
}

/// Heads that stand in most blocks.
const COMMON: &[&str] = &["let", "note", "allow", "require", "expect"];

fn is_common(word: &str) -> bool {
    COMMON.contains(&word)
}

/// The words of later editions, heads and kinds, each once.
fn unbuilt() -> String {
    let heads = table::heads()
        .filter(|head| head.later)
        .map(|head| head.word);
    let joints = table::joints()
        .iter()
        .filter(|kind| kind.later)
        .map(|kind| kind.word);
    let kinds = table::heads()
        .flat_map(|head| head.kinds)
        .filter(|kind| kind.later)
        .map(|kind| kind.word);
    let mut words: Vec<&str> = Vec::new();
    let clauses = clauses_to_come().filter(|word| !is_value(word));
    for word in heads.chain(joints).chain(kinds).chain(clauses) {
        let built = table::heads().any(|head| head.word == word && !head.later);
        if !built && !words.contains(&word) {
            words.push(word);
        }
    }
    listed(words, "and")
}

/// Whether anything that is built takes this word.
pub(super) fn is_built(word: &Word) -> bool {
    let takes = |uses: &[Use]| uses.iter().any(|row| row.word == word.word && !row.later);
    table::heads().filter(|head| !head.later).any(|head| {
        head.words().any(|row| row.word == word.word && !row.later)
            || head
                .kinds
                .iter()
                .any(|kind| !kind.later && takes(kind.clauses))
    }) || table::joints()
        .iter()
        .any(|kind| !kind.later && takes(kind.clauses))
        || table::WORDS.iter().any(|other| takes(other.tails))
}

/// The words of clauses that nothing takes yet.
fn clauses_to_come() -> impl Iterator<Item = &'static str> {
    let words = table::WORDS.iter().filter(|word| !is_built(word));
    words.map(|word| word.word)
}

/// Whether a word also stands for an edge, or is a choice of something that is built.
fn is_value(word: &str) -> bool {
    let chosen = |uses: &[Use]| {
        uses.iter()
            .filter(|row| !row.later)
            .any(|row| match crate::schema::read::shape_of(row) {
                Shape::Choice(words) | Shape::Choices(words) => words.contains(&word),
                _ => false,
            })
    };
    table::EDGES.contains(&word)
        || table::heads()
            .filter(|head| !head.later)
            .any(|head| head.clauses.iter().any(|uses| chosen(uses)))
}
