//! Text to tree: what is read, and what is said about what is not.

use casewright::diag::{Style, render};
use casewright::source::{Source, Sources, Span};
use casewright::syntax::parse;
use casewright::syntax::tree::{Block, Expr, ExprKind, Item, Line, Node, Tree};

pub const EXAMPLE: &str = include_str!("../good/score-cabinet.case");

pub struct Read {
    pub sources: Sources,
    pub tree: Tree,
    pub reports: Vec<casewright::diag::Diagnostic>,
}

pub fn read(text: &str) -> Read {
    let mut sources = Sources::default();
    let file = sources.add(Source::new("a.case", text));
    let (tree, reports) = parse(&sources, file);
    Read {
        sources,
        tree,
        reports,
    }
}

impl Read {
    /// `line:column code: help; help`, one a line.
    fn told(&self) -> String {
        let line = |report: &casewright::diag::Diagnostic| {
            let place = self.sources.place(report.span());
            format!(
                "{} {}: {}",
                place.trim_start_matches("a.case:"),
                report.code.name,
                report.help.join("; ")
            )
        };
        self.reports.iter().map(line).collect::<Vec<_>>().join("\n")
    }
}

/// The one report on a line that stands between two sound ones, which must both be read.
fn told(line: &str) -> String {
    let read = read(&format!("top lid\n{line}\nbottom floor\n"));
    let sound = |node: &Node, head: &str| matches!(node, Node::Line(line) if line.head.text == head && !line.damaged);
    assert!(
        read.tree.nodes.first().is_some_and(|n| sound(n, "top")),
        "the line above is lost: {line}"
    );
    assert!(
        read.tree.nodes.last().is_some_and(|n| sound(n, "bottom")),
        "the line below is lost: {line}"
    );
    read.told()
}

#[track_caller]
fn check(cases: &[(&str, &str)]) {
    for (line, report) in cases {
        assert_eq!(&told(line), report, "on `{line}`");
    }
}

#[test]
fn the_example_of_the_language_reads_without_a_report() {
    let read = read(EXAMPLE);
    assert_eq!(render(&read.reports, &read.sources, Style::Plain), "");
    assert!(read.tree.nodes.len() > 10);
}

#[test]
fn a_unit_is_glued_to_its_number() {
    check(&[
        (
            "wide 16 1/2 in high 3mm",
            "2:6 value.unit_apart: glue the unit: `16 1/2in`",
        ),
        (
            "wide 3/4 in",
            "2:6 value.unit_apart: glue the unit: `3/4in`",
        ),
        ("wide 16 in", "2:6 value.unit_apart: glue the unit: `16in`"),
        (
            "wide 16.5 in high 2in",
            "2:6 value.unit_apart: glue the unit: `16.5in`",
        ),
        (
            "wide 18 mm high 3mm",
            "2:6 value.unit_apart: glue the unit: `18mm`",
        ),
        (
            "rough 27 mm, 52 mm",
            "2:7 value.unit_apart: glue the unit: `27mm`\n2:14 value.unit_apart: glue the unit: `52mm`",
        ),
        // Two things in a box, never inches.
        ("shelves 2 in box", ""),
        ("shelves loose 2 of oak18 in cupboard", ""),
    ]);
}

#[test]
fn numbers_are_not_written_as_elsewhere() {
    check(&[
        ("wide 16-1/2in", "2:6 value.mixed: write `16 1/2in`"),
        (
            "sold 2400x1200mm",
            "2:10 value.unit: give each size its word: `long 2400mm wide 1200mm`",
        ),
        ("wide 18MM", "2:8 value.unit: write `18mm`"),
        (
            "wide 18milimeters",
            "2:8 value.unit: the units of length are `mm`, `cm`, `m`, `in` and `ft`; a name cannot start with a digit; a number and a word have a blank between them",
        ),
        ("wide 3inches", "2:7 value.unit: write `3in`"),
        (
            "wide 2e3mm",
            "2:7 value.unit: write the number out; powers of ten are not read",
        ),
        ("wide 16\" high 3\"", "2:8 value.inch_sign: write `16in`"),
        ("wide 16 1/2\"", "2:12 value.inch_sign: write `16 1/2in`"),
        ("wide 5'", "2:7 value.inch_sign: write `5ft`"),
        ("wide 16½in", "2:8 value.number: write `16 1/2in`"),
        ("wide ¾in", "2:6 value.number: write `3/4in`"),
        ("price 118€", "2:10 value.inch_sign: write `118EUR`"),
        (
            "price $118",
            "2:7 value.inch_sign: write `118EUR`, `118USD` or `118GBP`",
        ),
        (
            "thick 17,6mm",
            "2:7 value.comma: write `17.6mm`; of a list each number has its unit, and a blank follows the comma",
        ),
        ("rough 27mm,52mm", ""),
        ("sand 120,180,220", ""),
        ("gap .5mm", "2:5 value.number: write `0.5mm`"),
        ("gap 5.mm", "2:6 value.number: write `5mm`"),
        ("gap 5.5.5mm", "2:8 value.number: a number has one point"),
        (
            "gap 1/0in",
            "2:5 value.divide_zero: write the number below the line, as in `3/4in`",
        ),
        (
            "gap 99999999999999999999999999999999999999999999mm",
            "2:5 value.overflow: write fewer digits",
        ),
        (
            "gap 99999999999999999999999999999999999999999999",
            "2:5 value.overflow: write fewer digits",
        ),
    ]);
}

#[test]
fn a_minus_has_a_blank_on_both_sides_or_on_neither() {
    check(&[
        (
            "wide 100mm -3mm",
            "2:12 syntax.minus: to subtract, put a blank on both sides: `100mm - 3mm`",
        ),
        (
            "wide deck.high -3mm",
            "2:16 syntax.minus: to subtract, put a blank on both sides: `deck.high - 3mm`",
        ),
        (
            "wide a- b",
            "2:7 syntax.minus: to subtract, put a blank on both sides: `a - b`",
        ),
        ("wide a - b", ""),
        ("wide a-b", ""),
        ("at -3mm from top", ""),
        ("param x from -3mm to 3mm", ""),
    ]);
}

#[test]
fn brackets_and_dots_are_glued_and_paired() {
    check(&[
        (
            "drawer box [2, 6]",
            "2:12 syntax.apart: glue it: `box[2, 6]`",
        ),
        (
            "at 0mm from deck .top",
            "2:18 syntax.apart: glue it: `deck.top`",
        ),
        (
            "at 0mm from deck. top",
            "2:17 syntax.apart: glue it: `deck.top`",
        ),
        (
            "at 0mm from deck.",
            "2:17 syntax.apart: write what you want of it, as in `deck.wide`",
        ),
        ("join a into (b", "2:13 syntax.bracket: close it with `)`"),
        (
            "join a into b)",
            "2:14 syntax.bracket: take it out, or open it with `(`",
        ),
        ("join a into b[1", "2:14 syntax.bracket: close it with `]`"),
        (
            "make 3 of p(width 3mm)",
            "2:19 syntax.unreadable: put `,` before `3mm`",
        ),
        (
            "make 3 of p(width = 3mm)",
            "2:19 syntax.unreadable: an argument is written `name: value`; `==` compares",
        ),
        (
            "wide (a b)",
            "2:9 syntax.unreadable: put `)` before `b`, or an operator",
        ),
        (
            "join (a, b) into c",
            "2:8 syntax.unreadable: a list stands without brackets: `left, right`",
        ),
        (
            "wide 3(4)",
            "2:7 syntax.unreadable: an operator or a blank belongs before it",
        ),
    ]);
}

#[test]
fn a_missing_value_is_missed_where_it_belongs() {
    check(&[
        (
            "join a, , b",
            "2:9 syntax.value_missing: write a value between `,` and `,`",
        ),
        (
            "join a,",
            "2:8 syntax.value_missing: take the comma out, or name another one; a line goes on after a comma",
        ),
        (
            "let x = ",
            "2:8 syntax.value_missing: write what follows `=`, or take it out",
        ),
        (
            "let x = a +",
            "2:12 syntax.value_missing: write what follows `+`, or take it out",
        ),
        (
            "let x = a -",
            "2:12 syntax.value_missing: write what follows `-`, or take it out",
        ),
        (
            "let x = a and",
            "2:14 syntax.value_missing: write what follows `and`, or take it out",
        ),
        (
            "let x = a * (b + )",
            "2:18 syntax.value_missing: write a value between `+` and `)`",
        ),
        (
            "make 3 of p(width: )",
            "2:20 syntax.value_missing: write a value between `:` and `)`",
        ),
        (
            "let x = not",
            "2:12 syntax.value_missing: write what follows `not`, or take it out",
        ),
        (
            "let x = if a",
            "2:13 syntax.unreadable: a choice reads `if a then b else c`",
        ),
        (
            "let x = if a then b",
            "2:20 syntax.unreadable: a choice reads `if a then b else c`",
        ),
    ]);
}

#[test]
fn signs_of_other_languages_are_named_in_ours() {
    check(&[
        (
            "require a => b",
            "2:11 syntax.unreadable: `at least` is written `>=`",
        ),
        (
            "require a === b",
            "2:11 syntax.unreadable: equality is written `==`",
        ),
        (
            "require a <> b",
            "2:11 syntax.unreadable: `not equal` is written `!=`",
        ),
        ("require a && b", "2:11 syntax.unreadable: write `and`"),
        ("require !a", "2:9 syntax.unreadable: write `not`"),
        (
            "require a < b < c",
            "2:15 syntax.compare_chain: join two comparisons with `and`: `a < b and b < c`",
        ),
        (
            "let x = a ** 2",
            "2:11 syntax.unreadable: powers are not read: write `a * a`",
        ),
        (
            "let x = 3mm = 4mm",
            "2:13 syntax.unreadable: a line has one `=`; equality is written `==`",
        ),
        (
            "size: wide",
            "2:5 syntax.unreadable: no `:` stands after a word; it belongs to arguments alone: `base_case(width: 600mm)`",
        ),
        (
            "size wide;",
            "2:10 syntax.unreadable: a line ends by itself; write each decision on its own line",
        ),
        (
            "note “abc”",
            "2:6 syntax.unreadable: a text stands between straight double quotes: `\"Score cabinet\"`",
        ),
        (
            "note 'abc'",
            "2:6 syntax.unreadable: a text stands between straight double quotes: `\"Score cabinet\"`",
        ),
        (
            "note \"abc",
            "2:6 syntax.quote: close it with `\"`; words over several lines stand between `\"\"\"` and `\"\"\"`",
        ),
        (
            "moisture 9 %",
            "2:12 syntax.unreadable: per cent is glued to its number: `9%`",
        ),
        ("# hello", "2:1 syntax.head: a remark starts with `//`"),
        (
            "- size wide",
            "2:1 syntax.head: lines need no bullet; a line starts with its head",
        ),
        (
            "18mm thick",
            "2:1 syntax.head: a line starts with its head: `size`, `side`, `join`, …",
        ),
        (
            "then a",
            "2:1 syntax.head: a line starts with its head: `size`, `side`, `join`, …",
        ),
        (
            "and a",
            "2:1 syntax.head: a line goes on after an operator: put `and` at the end of the line above",
        ),
        (
            "wide\u{a0}3mm",
            "2:5 syntax.hidden: replace it by a plain blank",
        ),
        ("wide a // \u{202e}", "2:11 syntax.hidden: take it out"),
        (
            "wide a /// x",
            "2:8 syntax.doc_place: put it just above the line, or write a remark with `//`",
        ),
        (
            "size wide } high",
            "2:11 syntax.brace_extra: take it out, or open its block with `{` at the end of a line",
        ),
    ]);
}

#[test]
fn blocks_and_conditions_have_their_place() {
    check(&[
        (
            "a { b } c",
            "2:9 syntax.after_block: put it on a line of its own",
        ),
        (
            "if",
            "2:3 syntax.value_missing: write what follows `if`, or take it out",
        ),
        (
            "if a",
            "2:1 syntax.block_missing: open its block with `{` at the end of the line",
        ),
        (
            "if a b { c }",
            "2:6 syntax.unreadable: put a blank or an operator before it",
        ),
        (
            "if a { c } else",
            "2:12 syntax.block_missing: write `else { … }` or `else if … { … }`",
        ),
        (
            "if a { c } else b { d }",
            "2:17 syntax.block_missing: write `else { … }` or `else if … { … }`",
        ),
        ("if a { c } else if b { d } else { e }", ""),
        (
            "if a {\n  c\n}\nelse {\n  d\n}",
            "5:1 syntax.else_place: write `} else {` on one line",
        ),
        (
            "else { a }",
            "2:1 syntax.else_place: write `if … { } else { }`",
        ),
        (
            "case body\n{\n    size wide\n}",
            "3:1 syntax.brace_place: put `{` at the end of the line above",
        ),
        (
            "/// words\n\ncase a",
            "2:1 syntax.doc_place: put it just above what it describes, or write a remark with `//`",
        ),
    ]);
}

#[test]
fn a_lost_brace_is_found_by_indentation_and_its_lines_stay_where_they_belong() {
    let read = read(
        "piece p {\n    case a {\n        drawer x {\n            gap 1mm\n        side left\n    }\n    case b { }\n}\npiece q { }\n",
    );
    assert_eq!(
        read.told(),
        "3:18 syntax.brace_missing: add `}` above line 5"
    );
    assert_eq!(
        outline(&read.tree.nodes),
        "piece(case(drawer(gap) side) case()) piece()"
    );
}

#[test]
fn a_lost_brace_at_the_end_is_missed_where_it_was_opened() {
    let read = read("piece p {\n    case a {\n        side left\n    }\n");
    assert_eq!(
        read.told(),
        "1:9 syntax.brace_missing: add `}` at the end of the block"
    );
    assert_eq!(outline(&read.tree.nodes), "piece(case(side))");
    let both = self::read("piece p {\n    case a {\n");
    assert_eq!(
        both.told(),
        "2:12 syntax.brace_missing: add `}` 2 times at the end"
    );
    let flat = self::read("piece p {\ncase a {\nside left\n}\n");
    assert_eq!(
        flat.told(),
        "1:9 syntax.brace_missing: add `}` at the end of the block"
    );
}

#[test]
fn a_brace_too_many_is_found_by_indentation() {
    let read = read(
        "piece p {\n    case a {\n        side left\n    }\n    }\n    case b { }\n}\npiece q { }\n",
    );
    assert_eq!(
        read.told(),
        "5:5 syntax.brace_extra: take it out, or open its block with `{` at the end of a line"
    );
    assert_eq!(
        outline(&read.tree.nodes),
        "piece(case(side) case()) piece()"
    );
}

#[test]
fn braces_that_balance_decide_whatever_the_indentation() {
    let read = read("piece p {\ncase a {\n            side left\n}\n    }\n  piece q {\n}\n");
    assert_eq!(read.told(), "");
    assert_eq!(outline(&read.tree.nodes), "piece(case(side)) piece()");
}

#[test]
fn several_mistakes_are_reported_in_one_run_one_each() {
    let read = read("a 18 mm\nb {\n    c ;\n    d 3(\n}\n;\ne f\n");
    assert_eq!(
        read.reports.iter().map(|r| r.code.name).collect::<Vec<_>>(),
        [
            "value.unit_apart",
            "syntax.unreadable",
            "syntax.bracket",
            "syntax.head"
        ]
    );
    assert_eq!(outline(&read.tree.nodes), "a b(c! d!) ? e");
}

#[test]
fn what_was_read_before_a_fault_is_kept_with_its_block() {
    let read = read("join a into b ; c {\n    allow cut.web_thin \"why\"\n}\n");
    let Some(Node::Line(line)) = read.tree.nodes.first() else {
        panic!("a line")
    };
    assert!(line.damaged);
    assert_eq!(line.items.len(), 3);
    assert_eq!(line.block.as_ref().map(|block| block.nodes.len()), Some(1));
}

#[test]
fn a_line_goes_on_after_a_comma_or_an_operator_if_it_stands_further_right() {
    let read = read(
        "join a, // one\n    b into c with dado deep 2mm +\n      3mm\nlet x = (1 +\n2\n)\nd\n",
    );
    assert_eq!(read.told(), "");
    assert_eq!(outline(&read.tree.nodes), "join let d");
    let Some(Node::Line(line)) = read.tree.nodes.first() else {
        panic!("a line")
    };
    assert_eq!(
        line.inner_comments
            .iter()
            .map(|c| read.sources.text(*c))
            .collect::<Vec<_>>(),
        ["// one"]
    );
    assert_eq!(line.items.first().map(|item| item.exprs.len()), Some(2));
}

#[test]
fn a_line_that_goes_on_ends_with_its_newline() {
    let read = read("join a,\n    b\n    into c\n");
    assert_eq!(outline(&read.tree.nodes), "join into");
}

#[test]
fn comments_blank_lines_and_descriptions_are_kept() {
    let read = read(
        "\u{feff}// top\r\n\r\n\r\n/// A thing.\r\n/// Two lines.\r\ncase a { // in\r\n\tside left // end\r\n} // after\r\n//////\r\nlast",
    );
    assert_eq!(read.told(), "");
    let text = |span: Span| read.sources.text(span);
    let [
        Node::Comment(top),
        Node::Blank,
        Node::Line(case),
        Node::Comment(bar),
        Node::Line(last),
    ] = read.tree.nodes.as_slice()
    else {
        panic!("{:?}", read.tree.nodes)
    };
    assert_eq!(
        (text(*top), text(*bar), last.head.text.as_str()),
        ("// top", "//////", "last")
    );
    assert_eq!(
        case.docs
            .iter()
            .map(|d| d.text.as_str())
            .collect::<Vec<_>>(),
        ["A thing.", "Two lines."]
    );
    assert_eq!(case.comment.map(text), Some("// in"));
    let block = case.block.as_ref().expect("a block");
    assert_eq!(block.comment.map(text), Some("// after"));
    assert!(text(block.span).starts_with('{') && text(block.span).ends_with('}'));
    assert_eq!(text(case.span), text(case.head.span.to(block.span)));
    let [Node::Line(side)] = block.nodes.as_slice() else {
        panic!("{:?}", block.nodes)
    };
    assert_eq!(
        (side.comment.map(text), text(side.span)),
        (Some("// end"), "side left")
    );
}

#[test]
fn operators_bind_as_makers_expect() {
    for (text, tree) in [
        ("a + b * c", "(a + (b * c))"),
        ("a - b - c", "((a - b) - c)"),
        ("a-b*c", "(a - (b * c))"),
        ("(a + b) * c", "((a + b) * c)"),
        ("-a * b", "(-a * b)"),
        ("not a == b and c", "(not(a == b) and c)"),
        ("a or b and c", "(a or (b and c))"),
        ("a < b + 1 or c", "((a < (b + 1)) or c)"),
        ("f(x: 1, 2).y[3, z]", "f(x: 1, 2).y[3, z]"),
        (
            "if a then b else if c then d else e",
            "if a then b else if c then d else e",
        ),
        ("a + (if b then c else d)", "(a + if b then c else d)"),
        ("wide.not_a_word", "wide.not_a_word"),
        ("android", "android"),
        ("a / b / c", "((a / b) / c)"),
        ("16 1/2in + 1", "(419.1 + 1)"),
    ] {
        let read = read(&format!("let x = {text}"));
        assert_eq!(read.told(), "", "{text}");
        let Some(Node::Line(line)) = read.tree.nodes.first() else {
            panic!("a line")
        };
        let items = line.set.as_deref().unwrap_or_default();
        assert_eq!(items.iter().map(item).collect::<Vec<_>>(), [tree], "{text}");
    }
}

/// An expression with all its brackets.
fn shown(expr: &Expr) -> String {
    let list = |exprs: &[Expr]| exprs.iter().map(shown).collect::<Vec<_>>().join(", ");
    match &expr.kind {
        ExprKind::Measure(quantity) => quantity.value.to_string(),
        ExprKind::BadUnit => "?".to_string(),
        ExprKind::Number(number) => number.to_string(),
        ExprKind::Text(text) | ExprKind::Markdown(text) => format!("{text:?}"),
        ExprKind::Name(name) => name.clone(),
        ExprKind::Member(of, name) => format!("{}.{}", shown(of), name.text),
        ExprKind::Index(of, at) => format!("{}[{}]", shown(of), list(at)),
        ExprKind::Call(of, args) => {
            let arg = |arg: &casewright::syntax::tree::Arg| match &arg.name {
                Some(name) => format!("{}: {}", name.text, shown(&arg.value)),
                None => shown(&arg.value),
            };
            format!(
                "{}({})",
                shown(of),
                args.iter().map(arg).collect::<Vec<_>>().join(", ")
            )
        }
        ExprKind::Neg(of) => format!("-{}", shown(of)),
        ExprKind::Not(of) => format!("not{}", shown(of)),
        ExprKind::Binary(left, op, _, right) => {
            format!("({} {} {})", shown(left), op.symbol(), shown(right))
        }
        ExprKind::Choice(a, b, c) => format!("if {} then {} else {}", shown(a), shown(b), shown(c)),
    }
}

fn item(item: &Item) -> String {
    item.exprs.iter().map(shown).collect::<Vec<_>>().join(", ")
}

/// The heads of a tree; `!` marks a damaged line, `?` an unreadable one.
fn outline(nodes: &[Node]) -> String {
    let block = |block: &Block| format!("({})", outline(&block.nodes));
    let line = |line: &Line| {
        let damaged = if line.damaged && line.block.is_none() {
            "!"
        } else {
            ""
        };
        format!(
            "{}{damaged}{}",
            line.head.text,
            line.block.as_ref().map(block).unwrap_or_default()
        )
    };
    let shown = nodes.iter().filter_map(|node| match node {
        Node::Line(node) => Some(line(node)),
        Node::If(node) => Some(format!("if{}", block(&node.then))),
        Node::Bad(_) => Some("?".to_string()),
        Node::Comment(_) | Node::Blank => None,
    });
    shown.collect::<Vec<_>>().join(" ")
}
