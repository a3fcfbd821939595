//! The wording of the reader's messages; each function is one mistake.

use super::head::{Context, Head, Kind, Shape, Use};
use super::table;
use crate::diag::{Diagnostic, Edit, code, nearest, surely};
use crate::source::Span;

/// Whether the word is one slip away from one of these.
pub(super) fn is_slip(word: &str, candidates: &[&str]) -> bool {
    candidates
        .iter()
        .any(|candidate| strsim::damerau_levenshtein(word, candidate) == 1)
}

/// `a`, `a` and `b`, `a`, `b` and `c`, each in backticks.
pub(super) fn listed<'a>(words: impl IntoIterator<Item = &'a str>, last: &str) -> String {
    let words: Vec<String> = words.into_iter().map(|word| format!("`{word}`")).collect();
    match words.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((end, rest)) => format!("{} {last} {end}", rest.join(", ")),
    }
}

/// What a word wants, for a sentence: `a length`.
pub(super) fn wants(shape: Shape) -> String {
    match shape {
        Shape::Flag => "nothing".into(),
        Shape::Length | Shape::FlagOrLength => "a length".into(),
        Shape::Lengths => "lengths".into(),
        Shape::Number => "a number".into(),
        Shape::Numbers => "numbers".into(),
        Shape::Angle => "an angle".into(),
        Shape::Mass => "a mass".into(),
        Shape::Time => "a time".into(),
        Shape::Money => "an amount of money".into(),
        Shape::Amount => "an amount with its unit".into(),
        Shape::Text => "words in quotes".into(),
        Shape::Value => "a value".into(),
        Shape::Code => "a code".into(),
        Shape::Name => "a name".into(),
        Shape::Thing => "the name of a stock, hardware, piece or pattern".into(),
        Shape::Opening => "an opening".into(),
        Shape::Parts => "the names of parts".into(),
        Shape::Edges => "edges".into(),
        Shape::Choice(words) | Shape::Choices(words) => listed(words.iter().copied(), "or"),
        Shape::Joint | Shape::JointOf(_) => "a kind of joint".into(),
        Shape::Kind => "a kind".into(),
        Shape::Place => "a length, an edge or a face".into(),
        Shape::Places => "two edges or faces".into(),
        Shape::Unit => "a unit".into(),
        Shape::Extent => "a length, or `from`, `to` or `between`".into(),
        Shape::Range => "an amount, or `from` and `to`".into(),
    }
}

/// A value to show after the word, for help.
fn sample(shape: Shape) -> &'static str {
    match shape {
        Shape::Flag | Shape::Value | Shape::Code | Shape::Kind => "",
        Shape::Length | Shape::FlagOrLength | Shape::Extent => "18mm",
        Shape::Lengths => "27mm, 52mm",
        Shape::Number => "2",
        Shape::Numbers => "120, 180",
        Shape::Angle => "95deg",
        Shape::Mass => "30kg",
        Shape::Time => "2h",
        Shape::Money => "14EUR",
        Shape::Amount => "30kg",
        Shape::Text => "\"words\"",
        Shape::Name => "white_oak",
        Shape::Thing => "oak18",
        Shape::Opening => "cupboard",
        Shape::Parts => "left, right",
        Shape::Edges => "front",
        Shape::Choice(words) | Shape::Choices(words) => words.first().copied().unwrap_or(""),
        Shape::Joint => "dado deep 5mm",
        Shape::JointOf(_) => "tongue thick 4mm deep 5mm",
        Shape::Place => "rear.front",
        Shape::Places => "left, post",
        Shape::Unit => "piece",
        Shape::Range => "10m2",
    }
}

pub(super) fn unknown_head(
    word: &str,
    span: Span,
    context: Context,
    owner: Option<&Head>,
) -> Diagnostic {
    let here = table::heads()
        .filter(|head| head.places.contains(&context))
        .map(|head| head.word);
    let clauses = owner.into_iter().flat_map(Head::words).map(|row| row.word);
    let report = Diagnostic::new(
        &code::NAME_UNKNOWN_HEAD,
        format!("`{word}` starts no line of the language"),
        span,
        "not a head",
    );
    let here: Vec<&str> = here.chain(clauses).collect();
    match nearest(word, here.iter().copied())
        .or_else(|| nearest(word, table::heads().map(|head| head.word)))
    {
        Some(near) => report.meant(word, near, span, here.into_iter()),
        None => report.help(format!(
            "what may stand {}: `casewright words`",
            context.phrase()
        )),
    }
}

pub(super) fn unconditional(word: &str, span: Span, around: &str) -> Diagnostic {
    Diagnostic::new(
        &code::NAME_MISPLACED,
        format!("`{word}` cannot stand in the block of `{around}`"),
        span,
        "read before anything is computed",
    )
    .help(format!("move it out of the block of `{around}`"))
}

pub(super) fn edition_late(span: Span, above: Span) -> Diagnostic {
    Diagnostic::new(
        &code::NAME_MISPLACED,
        "`edition` does not stand first",
        span,
        "says how the whole file is read",
    )
    .at(above, "stands before it")
    .help("move it to the first line of the file")
}

pub(super) fn misplaced(word: &str, span: Span, context: Context) -> Diagnostic {
    let mut places: Vec<&str> = Vec::new();
    for head in table::heads().filter(|head| head.word == word) {
        for place in head.places {
            if !places.contains(&place.phrase()) {
                places.push(place.phrase());
            }
        }
    }
    let report = Diagnostic::new(
        &code::NAME_MISPLACED,
        format!("`{word}` cannot stand {}", context.phrase()),
        span,
        "not here",
    );
    let (shown, more) = places.split_at(places.len().min(4));
    let rest = if more.is_empty() {
        ""
    } else {
        ", among others"
    };
    report.help(format!("`{word}` stands {}{rest}", shown.join(", ")))
}

pub(super) fn not_here(word: &str, span: Span, owner: &str, takes: &[&str]) -> Diagnostic {
    let report = Diagnostic::new(
        &code::NAME_WORD_NOT_HERE,
        format!("`{owner}` does not take `{word}`"),
        span,
        format!("no word of `{owner}`"),
    );
    match takes {
        [] => report.help(format!("`{owner}` takes no words")),
        _ => report.help(format!(
            "`{owner}` takes {}",
            listed(takes.iter().copied(), "and")
        )),
    }
}

pub(super) fn unknown_word(word: &str, span: Span, owner: &str, takes: &[&str]) -> Diagnostic {
    let report = Diagnostic::new(
        &code::NAME_UNKNOWN_WORD,
        format!("`{word}` is no word of `{owner}`"),
        span,
        "a word that the line takes belongs here",
    );
    if let Some(near) = nearest(word, takes.iter().copied()) {
        return report.meant(word, near, span, takes.iter().copied());
    }
    if takes.contains(&"of") {
        return report
            .help(format!("stock or hardware follows `of`: `of {word}`"))
            .might_mend(span, format!("of {word}"));
    }
    match takes {
        [] => report.help(format!("`{owner}` takes no words")),
        _ => report.help(format!(
            "`{owner}` takes {}",
            listed(takes.iter().copied(), "and")
        )),
    }
}

/// Two names of a list without a comma between them.
pub(super) fn no_comma(first: &str, first_span: Span, second: &str, span: Span) -> Diagnostic {
    // `side left oak` may lack another word.
    let certain = table::EDGES.contains(&first) && table::EDGES.contains(&second);
    Diagnostic::new(
        &code::NAME_UNKNOWN_WORD,
        format!("`{second}` follows `{first}` without a comma"),
        span,
        "one more of the list, it seems",
    )
    .help(format!("a list has commas: `{first}, {second}`"))
    .mends([Edit::new(first_span.after(), ",")], certain)
}

pub(super) fn reserved(word: &str, span: Span) -> Diagnostic {
    let instead = match word {
        "wide" => "width".to_string(),
        "high" => "height".to_string(),
        "deep" => "depth".to_string(),
        "long" => "length".to_string(),
        "thick" => "thickness".to_string(),
        "under" => "lower".to_string(),
        "over" => "upper".to_string(),
        _ => format!("{word}_1"),
    };
    Diagnostic::new(
        &code::NAME_RESERVED,
        format!("`{word}` cannot be a name"),
        span,
        "a word of the language",
    )
    .help(format!(
        "`{word}` is a word of the language; call it `{instead}`"
    ))
}

pub(super) fn later(word: &str, span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::NAME_LATER,
        format!("`{word}` is a word that this edition does not build yet"),
        span,
        "known, but not built",
    )
    .help("what this edition builds: `casewright words`")
}

pub(super) fn unknown_kind<'a>(
    what: &str,
    word: &str,
    span: Span,
    kinds: impl Iterator<Item = &'a Kind>,
) -> Diagnostic {
    let kinds: Vec<&str> = kinds
        .filter(|kind| !kind.later)
        .map(|kind| kind.word)
        .collect();
    let report = Diagnostic::new(
        &code::NAME_UNKNOWN_KIND,
        format!("there is no {what} `{word}`"),
        span,
        format!("not a {what}"),
    );
    match nearest(word, kinds.iter().copied()) {
        Some(near) => report.meant(word, near, span, kinds.into_iter()),
        None => report.help(format!("there are {}", listed(kinds, "and"))),
    }
}

pub(super) fn unknown_edge(word: &str, span: Span) -> Diagnostic {
    let meant = match word {
        "back" | "behind" => Some(("rear", word == "back")),
        "sides" => Some(("left, right", true)),
        "ends" => Some(("left, right", false)),
        _ => nearest(word, table::EDGES.iter().copied()).map(|edge| {
            let sure = surely(word, table::EDGES.iter().copied());
            (edge, sure == Some(edge))
        }),
    };
    let report = Diagnostic::new(
        &code::NAME_UNKNOWN_EDGE,
        format!("`{word}` is no edge"),
        span,
        "an edge belongs here",
    );
    match meant {
        Some((edge, certain)) => report
            .help(format!("did you mean `{edge}`?"))
            .mends([Edit::new(span, edge)], certain),
        None => report.help(format!(
            "edges are {}",
            listed(table::EDGES.iter().copied(), "and")
        )),
    }
}

pub(super) fn not_an_edge(span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::NAME_UNKNOWN_EDGE,
        "something else stands where edges belong",
        span,
        "an edge belongs here",
    )
    .help(format!(
        "edges are {}",
        listed(table::EDGES.iter().copied(), "and")
    ))
}

pub(super) fn unknown_choice(
    owner: &str,
    word: Option<&str>,
    span: Span,
    choices: &[&str],
) -> Diagnostic {
    let title = match word {
        Some(word) => format!("`{owner}` cannot be `{word}`"),
        None => format!("`{owner}` cannot have this value"),
    };
    let report = Diagnostic::new(
        &code::NAME_UNKNOWN_CHOICE,
        title,
        span,
        "not one of the words that may stand here",
    );
    let near = word.and_then(|word| Some((word, nearest(word, choices.iter().copied())?)));
    match near {
        Some((word, near)) => report.meant(word, near, span, choices.iter().copied()),
        None => report.help(format!("it is {}", listed(choices.iter().copied(), "or"))),
    }
}

pub(super) fn no_value(word: &str, span: Span, shape: Shape) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_NO_VALUE,
        format!("`{word}` has no value"),
        span,
        format!("needs {}", wants(shape)),
    )
    .help(match sample(shape) {
        "" => format!("put its value after it: `{word} …`"),
        sample => format!("put its value after it, as in `{word} {sample}`"),
    })
}

pub(super) fn flag_value(word: &str, word_span: Span, value: Span) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_FLAG_VALUE,
        format!("`{word}` takes no value"),
        value,
        "this value is too much",
    )
    .at(word_span, "says it all by itself")
    .help("leave the value out")
}

pub(super) fn value_first(word: &str, word_span: Span, value: Span) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_VALUE_FIRST,
        format!("a value stands before `{word}`"),
        value,
        "the value",
    )
    .at(word_span, "its word")
    .help(format!("first the word, then its value: `{word} …`"))
    .mends(
        [
            Edit::new(
                Span {
                    end: value.start,
                    ..value
                },
                format!("{word} "),
            ),
            Edit::new(value.after().to(word_span), ""),
        ],
        true,
    )
}

pub(super) fn stray_value(
    owner: &str,
    span: Span,
    after: Option<(&str, Span)>,
    takes: &[&str],
) -> Diagnostic {
    let report = Diagnostic::new(
        &code::LINE_STRAY_VALUE,
        "a value belongs to no word",
        span,
        "no word before it takes this",
    );
    let report = match after {
        Some((word, at)) => report.at(at, format!("`{word}` has its value")),
        None => report,
    };
    match takes {
        [] => report.help(format!("`{owner}` takes no more; leave it out")),
        _ => report.help(format!(
            "put its word before it: {}",
            listed(takes.iter().copied(), "or")
        )),
    }
}

pub(super) fn stray_text(owner: &Head, span: Span) -> Diagnostic {
    let report = Diagnostic::new(
        &code::LINE_STRAY_VALUE,
        "words in quotes belong to nothing",
        span,
        "nothing takes these words",
    );
    if owner.title == super::Need::No {
        report
            .help("a description stands before the line, after `///`; words for the book in `note`")
    } else {
        report.help(format!(
            "words of `{}` stand before its other words, once",
            owner.word
        ))
    }
}

pub(super) fn stray_tail(word: &str, span: Span, takers: &[&str]) -> Diagnostic {
    let report = Diagnostic::new(
        &code::LINE_STRAY_TAIL,
        format!("`{word}` attaches to nothing"),
        span,
        format!("no word before it takes `{word}`"),
    );
    match takers {
        [] => report.help(format!("leave `{word}` and what follows it out")),
        _ => report.help(format!(
            "here `{word}` follows {}",
            listed(takers.iter().copied(), "or")
        )),
    }
}

pub(super) fn after_with(
    word: &str,
    span: Span,
    kind: &Kind,
    with: Span,
    owner: &str,
) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_AFTER_WITH,
        format!("`{word}` stands after `with {}`", kind.word),
        span,
        format!("a word of `{owner}`, not of `{}`", kind.word),
    )
    .at(with, "from here on, options of the joint")
    .help(format!("`with` comes last: put `{word}` before it"))
}

pub(super) fn needs(
    owner: &str,
    example: &str,
    span: Span,
    missing: &[&'static Use],
) -> Diagnostic {
    let list = listed(missing.iter().map(|row| row.word), "and");
    let mut report = Diagnostic::new(
        &code::LINE_NEEDS,
        format!("`{owner}` lacks {list}"),
        span,
        if missing.len() == 1 {
            format!("without {list}")
        } else {
            "not complete".to_string()
        },
    );
    for row in missing {
        let shape = super::read::shape_of(row);
        let what = if row.doc.is_empty() {
            wants(shape)
        } else {
            row.doc.to_string()
        };
        let clause = from_example(example, row.word).unwrap_or_else(|| {
            format!("{} {}", row.word, sample(shape))
                .trim_end()
                .to_string()
        });
        report = report.help(format!("add `{clause}`: {what}"));
    }
    report
}

/// The word and its value as they stand in an example.
fn from_example(example: &str, word: &str) -> Option<String> {
    let mut tokens = example
        .split_whitespace()
        .skip_while(|token| *token != word);
    let mut clause = tokens.next()?.to_string();
    for token in tokens {
        clause.push(' ');
        clause.push_str(token);
        if !token.ends_with(',') {
            return Some(clause);
        }
    }
    None
}

pub(super) fn no_subject(owner: &Head, span: Span, what: &str, title: String) -> Diagnostic {
    let first = owner
        .example
        .lines()
        .next()
        .unwrap_or("")
        .trim_end_matches('{')
        .trim_end();
    Diagnostic::new(
        &code::LINE_NO_SUBJECT,
        title,
        span,
        format!("{what} belongs after this word"),
    )
    .help(format!("as in `{first}`"))
}

pub(super) fn no_count(kind: &Kind, span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_NO_SUBJECT,
        format!("`{}` does not say how many", kind.word),
        span,
        "how many a meeting belongs after this word",
    )
    .help(format!("as in `{} 2`", kind.word))
}

pub(super) fn too_many(owner: &str, span: Span, what: &str) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_TOO_MANY,
        format!("`{owner}` takes one {what}"),
        span,
        format!("more than one {what}"),
    )
    .help("write one line for each")
}

pub(super) fn opposed(first: &str, at: Span, second: &str, span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::NAME_WORD_NOT_HERE,
        format!("`{first}` and `{second}` on one line"),
        span,
        "says the opposite",
    )
    .at(at, "said first")
    .help("keep one of them")
}

pub(super) fn alone(word: &str, span: Span, beside: &[&str]) -> Diagnostic {
    let beside = listed(beside.iter().copied(), "or");
    Diagnostic::new(
        &code::NAME_WORD_NOT_HERE,
        format!("`{word}` without {beside}"),
        span,
        "says nothing by itself",
    )
    .help(format!("add {beside}, or leave `{word}` out"))
}

pub(super) fn no_such_side(word: &str, span: Span, sides: &[&str]) -> Diagnostic {
    Diagnostic::new(
        &code::NAME_UNKNOWN_EDGE,
        format!("`{word}` has nothing to say about this edge"),
        span,
        "not one of its edges",
    )
    .help(format!(
        "its edges here are {}",
        listed(sides.iter().copied(), "and")
    ))
}

pub(super) fn doubled(word: &str, span: Span, first: Span) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_DOUBLED,
        format!("`{word}` is stated twice"),
        span,
        "said again",
    )
    .at(first, "said before")
    .help("keep one of them")
}

pub(super) fn preposition(kind: &Kind, kind_span: Span, said: &str, said_span: Span) -> Diagnostic {
    use super::Preposition;
    let right = kind.preposition.unwrap_or(Preposition::To);
    let why = match right {
        Preposition::Into => "the first part enters the second",
        Preposition::To => "neither part enters the other, or both alike",
    };
    Diagnostic::new(
        &code::LINE_PREPOSITION,
        format!("a joint with `{}` cannot be `{said}`", kind.word),
        said_span,
        "the wrong preposition for this kind",
    )
    .at(kind_span, why)
    .help(format!("write `{}` instead of `{said}`", right.word()))
    .mend(said_span, right.word())
}

pub(super) fn no_second(kind: Option<&Kind>, span: Span) -> Diagnostic {
    let word = kind
        .and_then(|kind| kind.preposition)
        .map_or("into", super::Preposition::word);
    Diagnostic::new(
        &code::LINE_NEEDS,
        "the joint has no second part",
        span,
        format!("`{word}` and the parts belong on this line"),
    )
    .help(format!("add `{word} left, right`"))
}

pub(super) fn no_block(owner: &str, span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_NO_BLOCK,
        format!("`{owner}` takes no block"),
        span,
        "nothing may stand in it",
    )
    .help("put what it says on the line itself")
}

/// `before` is what stands before the `=`.
pub(super) fn equals(owner: &str, before: Span, span: Span) -> Diagnostic {
    let sign = Span {
        start: before.end,
        end: span.start,
        ..span
    };
    Diagnostic::new(&code::LINE_EQUALS, format!("`=` has no place in `{owner}`"), span, "after `=`")
        .help("a word is followed by its value, without `=`; `=` stands in `let`, `param` and `expect` only")
        .mend(sign, " ")
}

pub(super) fn no_equals(owner: &Head, span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_EQUALS,
        format!("`{}` has no `=`", owner.word),
        span,
        "`=` and a value belong here",
    )
    .help(format!("as in `{}`", owner.example))
}

pub(super) fn not_a_name(owner: &str, span: Span, what: &str) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_NOT_A_NAME,
        format!("`{owner}` is not followed by {what}"),
        span,
        format!("{what} belongs here"),
    )
    .help("a name is one word of letters, digits and `_`, and starts with a letter")
}

pub(super) fn no_pattern(word: &str, span: Span) -> Diagnostic {
    Diagnostic::new(
        &code::LINE_NO_PATTERN,
        format!("there is no pattern of `{word}`"),
        span,
        "not a thing that can be made `like` another",
    )
    .help("patterns are of cases, parts, joints, bands, doors, drawers and shelves: `pattern drawer tray { … }`")
}

pub(super) fn no_unit(word: &str, number: &str, span: Span, shape: Shape) -> Diagnostic {
    let (units, needs): (&[&str], String) = match shape {
        Shape::Mass => (&["kg", "lb"], wants(shape)),
        Shape::Time => (&["min", "h"], wants(shape)),
        Shape::Angle => (&["deg"], wants(shape)),
        Shape::Money => (&["EUR", "USD", "GBP"], wants(shape)),
        Shape::Amount => (&["kg", "lb"], wants(shape)),
        Shape::Range => (&["m2", "mm"], "an amount with its unit".to_string()),
        _ => (&["mm", "in"], "a length".to_string()),
    };
    let readings: Vec<String> = units
        .iter()
        .map(|unit| format!("{word} {number}{unit}"))
        .collect();
    Diagnostic::new(
        &code::TYPE_NO_UNIT,
        format!("`{word}` has a number without a unit"),
        span,
        format!("needs {needs}"),
    )
    .help(format!(
        "say the unit: {}",
        listed(readings.iter().map(String::as_str), "or")
    ))
}
