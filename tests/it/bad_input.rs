//! Whatever the input, reading gives a tree and reports: it never panics, and every span lies within
//! the text on borders of characters.

use crate::syntax::{EXAMPLE, Read, read};
use casewright::diag::{Style, render};
use casewright::source::Span;
use casewright::syntax::tree::{Block, Expr, ExprKind, Item, Line, Node};
use proptest::prelude::*;
use std::fs;
use std::path::Path;

/// Walks a tree and complains of spans that do not lie where they should.
struct Walk<'a> {
    text: &'a str,
    /// Where the last node ended.
    from: u32,
}

impl Walk<'_> {
    fn span(&self, span: Span, within: Span) {
        assert!(span.start <= span.end, "{span:?}");
        assert!(
            self.text
                .get(span.start as usize..span.end as usize)
                .is_some(),
            "{span:?} cuts a character or leaves the text"
        );
        assert!(
            within.start <= span.start && span.end <= within.end,
            "{span:?} leaves {within:?}"
        );
    }

    /// Nodes stand in the order of the text and do not overlap.
    fn next(&mut self, span: Span) {
        assert!(
            span.start >= self.from,
            "{span:?} begins before {}",
            self.from
        );
        self.from = span.end;
    }

    fn nodes(&mut self, nodes: &[Node], within: Span) {
        for node in nodes {
            match node {
                Node::Line(line) => self.line(line, within),
                Node::If(branch) => {
                    self.span(branch.span, within);
                    assert!(branch.span.start >= self.from);
                    self.from = branch.span.start;
                    self.expr(&branch.condition, branch.span);
                    branch
                        .comment
                        .iter()
                        .for_each(|comment| self.span(*comment, branch.span));
                    self.block(&branch.then, branch.span);
                    if let Some(block) = &branch.otherwise {
                        self.block(block, branch.span);
                    }
                    self.from = self.from.max(branch.span.end);
                }
                Node::Comment(span) | Node::Bad(span) => {
                    self.span(*span, within);
                    self.next(*span);
                }
                Node::Blank => {}
            }
        }
    }

    fn block(&mut self, block: &Block, within: Span) {
        self.span(block.span, within);
        assert!(
            block.span.start >= self.from,
            "a block begins before its line's words end"
        );
        self.from = block.span.start;
        self.nodes(&block.nodes, block.span);
        self.from = self.from.max(block.span.end);
        if let Some(comment) = block.comment {
            self.next(comment);
        }
    }

    fn line(&mut self, line: &Line, within: Span) {
        for doc in &line.docs {
            self.span(doc.span, within);
            self.next(doc.span);
        }
        self.span(line.span, within);
        assert!(line.span.start >= self.from);
        self.span(line.head.span, line.span);
        self.next(line.head.span);
        for item in line.items.iter().chain(line.set.iter().flatten()) {
            self.item(item, line.span);
            self.next(item.span);
        }
        line.inner_comments
            .iter()
            .for_each(|comment| self.span(*comment, within));
        match (&line.block, line.comment) {
            (Some(block), Some(comment)) => {
                self.span(comment, within);
                self.block(block, line.span);
            }
            (Some(block), None) => self.block(block, line.span),
            (None, Some(comment)) => self.next(comment),
            (None, None) => {}
        }
    }

    fn item(&self, item: &Item, within: Span) {
        self.span(item.span, within);
        assert!(!item.exprs.is_empty());
        item.exprs
            .iter()
            .for_each(|expr| self.expr(expr, item.span));
    }

    fn expr(&self, expr: &Expr, within: Span) {
        self.span(expr.span, within);
        let inner = |inner: &Expr| self.expr(inner, expr.span);
        match &expr.kind {
            ExprKind::Member(of, name) => {
                inner(of);
                self.span(name.span, expr.span);
            }
            ExprKind::Index(of, at) => {
                inner(of);
                at.iter().for_each(inner);
            }
            ExprKind::Call(of, args) => {
                inner(of);
                args.iter().for_each(|arg| inner(&arg.value));
            }
            ExprKind::Neg(of) | ExprKind::Not(of) => inner(of),
            ExprKind::Binary(left, _, op, right) => {
                inner(left);
                self.span(*op, expr.span);
                inner(right);
            }
            ExprKind::Choice(a, b, c) => [a, b, c].into_iter().for_each(|part| inner(part)),
            ExprKind::Measure(_)
            | ExprKind::BadUnit
            | ExprKind::Number(_)
            | ExprKind::Text(_)
            | ExprKind::Markdown(_)
            | ExprKind::Name(_) => {}
        }
    }
}

fn walk(text: &str) -> Read {
    let read = read(text);
    let whole = Span {
        file: read.tree.file,
        start: 0,
        end: text.len() as u32,
    };
    let mut walk = Walk { text, from: 0 };
    walk.nodes(&read.tree.nodes, whole);
    for report in &read.reports {
        report
            .labels
            .iter()
            .for_each(|label| walk.span(label.span, whole));
        assert!(!report.help.is_empty(), "{} says no cure", report.title);
        assert!(!report.title.ends_with('.') && !report.title.is_empty());
    }
    for style in [
        Style::Human {
            color: true,
            width: 60,
        },
        Style::Plain,
        Style::Json,
    ] {
        let few = read
            .reports
            .get(..read.reports.len().min(20))
            .unwrap_or_default();
        render(few, &read.sources, style);
    }
    read
}

/// The codes for a file of the corpus, which may hold any bytes.
fn codes(path: &Path) -> Vec<&'static str> {
    let bytes = fs::read(path).expect("a file of the corpus");
    let mut codes: Vec<&str> = walk(&String::from_utf8_lossy(&bytes))
        .reports
        .iter()
        .map(|r| r.code.name)
        .collect();
    codes.dedup();
    codes
}

#[test]
fn the_corpus_of_bad_input_gives_reports_and_no_panic() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad-input");
    let mut paths: Vec<_> = fs::read_dir(folder)
        .expect("the corpus")
        .map(|entry| entry.expect("an entry").path())
        .collect();
    paths.sort();
    let lines = paths.iter().map(|path| {
        format!(
            "{}: {}\n",
            path.file_name().unwrap_or_default().to_string_lossy(),
            codes(path).join(" ")
        )
    });
    let lines: String = lines.collect();
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("bad-input", lines);
    });
}

/// What would fill the stack if it were followed blindly: each is refused or read, never a crash.
#[test]
fn depth_of_every_kind_is_limited() {
    let deep = |text: String| {
        let read = walk(&text);
        read.reports
            .iter()
            .map(|report| report.code.name)
            .collect::<Vec<_>>()
    };
    for n in [129, 20_000] {
        assert_eq!(deep("a {\n".repeat(n)), ["syntax.deep"]);
        assert_eq!(
            deep(format!("a {}{}", "(".repeat(n), ")".repeat(n))),
            ["syntax.deep"]
        );
        assert_eq!(
            deep(format!("a {}1{}", "b[".repeat(n), "]".repeat(n))),
            ["syntax.deep"]
        );
        assert_eq!(deep(format!("a {}", "b[".repeat(n))), ["syntax.deep"]);
        assert_eq!(deep(format!("a {}1", "-".repeat(n))), ["syntax.deep"]);
        assert_eq!(deep(format!("a {}b", "not ".repeat(n))), ["syntax.deep"]);
        assert_eq!(deep(format!("a 1{}", " + 1".repeat(n))), ["syntax.deep"]);
        assert_eq!(deep(format!("a b{}", ".c".repeat(n))), ["syntax.deep"]);
        assert_eq!(deep(format!("a b{}", "()".repeat(n))), ["syntax.deep"]);
        assert_eq!(
            deep(format!("a {}1", "if b then c else ".repeat(n))),
            ["syntax.deep"]
        );
        assert_eq!(
            deep(format!("if a {{ }}{}", " else if a { }".repeat(n))),
            ["syntax.deep"]
        );
    }
    // Close below the limit all is read, on the small stack of a test's thread too.
    let nested = format!("{}{}", "a {\n".repeat(100), "}\n".repeat(100));
    assert_eq!(deep(nested), Vec::<&str>::new());
    assert_eq!(
        deep(format!("a {}1{}", "(".repeat(120), ")".repeat(120))),
        Vec::<&str>::new()
    );
    assert_eq!(
        deep(format!("a {}1{}", "f(x: ".repeat(60), ")".repeat(60))),
        Vec::<&str>::new()
    );
    assert_eq!(
        deep(format!("a 1{}", " + 1".repeat(120))),
        Vec::<&str>::new()
    );
    assert_eq!(
        deep(format!("if a {{ }}{}", " else if a { }".repeat(100))),
        Vec::<&str>::new()
    );
}

/// Twice the input takes about twice the time, whatever the fault: eight times would be quadratic.
#[test]
fn time_grows_with_the_length_of_the_input() {
    let shapes: [&dyn Fn(usize) -> String; 9] = [
        &|n| "a b 18MM, c\n".repeat(n),
        &|n| "a (b\n".repeat(n),
        &|n| "a b)\n".repeat(n),
        &|n| "a \"b\n".repeat(n),
        &|n| "}\n".repeat(n),
        &|n| format!("a {}", "b;".repeat(n)),
        &|n| format!("a {}", "b,\n ".repeat(n)),
        &|n| format!("a {}", "\"\"\"".repeat(n)),
        &|n| "a {\nb\n}}\n".repeat(n),
    ];
    for (i, shape) in shapes.iter().enumerate() {
        let time = |n: usize| {
            let text = shape(n);
            // The best of three: other work on the machine only ever slows a run.
            let runs = (0..3).map(|_| {
                let start = std::time::Instant::now();
                read(&text);
                start.elapsed().as_secs_f64()
            });
            runs.fold(f64::MAX, f64::min)
        };
        let (short, long) = (time(500), time(8_000));
        assert!(
            long < 80.0 * short.max(0.01),
            "shape {i}: {short} s, then {long} s for sixteen times the input"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read(text in "\\PC*") {
        walk(&text);
    }

    #[test]
    fn any_row_of_the_language_is_read(
        words in proptest::collection::vec(
            prop_oneof![
                Just("a"), Just("size"), Just("18mm"), Just("16 1/2in"), Just("3/4"), Just(" "), Just(" "), Just(" "), Just("\n"), Just("\n    "),
                Just("{"), Just("}"), Just("("), Just(")"), Just("["), Just("]"), Just("\""), Just("\"\"\""), Just("//"), Just("///"),
                Just(","), Just("."), Just("="), Just("=="), Just("<"), Just("+"), Just("-"), Just("*"), Just("/"), Just("if"), Just("then"),
                Just("else"), Just("and"), Just("not"), Just(":"), Just("½"), Just("\u{a0}"), Just("\r\n"), Just("\r"), Just("\t"), Just("in"), Just("mm"),
            ],
            0..60,
        )
    ) {
        walk(&words.concat());
    }

    #[test]
    fn any_mutation_of_a_sound_source_is_read(
        edits in proptest::collection::vec((any::<prop::sample::Index>(), 0usize..12, "[\\x00-\\x7fé½{}()\"/ \n]{0,6}"), 1..6)
    ) {
        let mut chars: Vec<char> = EXAMPLE.chars().collect();
        for (at, remove, insert) in edits {
            let at = at.index(chars.len().max(1)).min(chars.len());
            let end = (at + remove).min(chars.len());
            chars.splice(at..end, insert.chars());
        }
        walk(&chars.into_iter().collect::<String>());
    }

    #[test]
    fn one_lost_brace_gives_one_report(which in any::<prop::sample::Index>()) {
        let braces: Vec<usize> = EXAMPLE.match_indices('}').map(|(at, _)| at).filter(|at| {
            // A brace in a line's middle shares its line with what it closes.
            let line = EXAMPLE.get(..*at).and_then(|t| t.rsplit('\n').next()).unwrap_or("");
            line.trim().is_empty()
        }).collect();
        let at = braces[which.index(braces.len())];
        let text = format!("{}{}", &EXAMPLE[..at], &EXAMPLE[at + 1..]);
        let read = walk(&text);
        let codes: Vec<&str> = read.reports.iter().map(|r| r.code.name).collect();
        prop_assert_eq!(codes, ["syntax.brace_missing"]);
    }
}
