//! The colouring of sources in editors, `grammar/casewright.tmLanguage.json`: written from the table of
//! the language, so that it knows each word, and tried on real sources with a small reader of such
//! grammars.
//!
//! `INSTA_UPDATE=always cargo test highlight` writes the file anew.

use crate::tidy::sources_in;
use casewright::measure::UNITS;
use casewright::schema::{Head, Names, table};
use casewright::source::{Source, Sources};
use casewright::syntax::{self, tree::*};
use fancy_regex::Regex;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

const FILE: &str = "grammar/casewright.tmLanguage.json";

/// A group of words, the longest first.
fn any<'w>(words: impl Iterator<Item = &'w str>) -> String {
    let words: BTreeSet<&str> = words.collect();
    let mut words: Vec<&str> = words.into_iter().collect();
    words.sort_by_key(|word| std::cmp::Reverse(word.len()));
    let escaped: Vec<String> = words.into_iter().map(regex_escape).collect();
    format!("(?:{})", escaped.join("|"))
}

fn regex_escape(word: &str) -> String {
    fancy_regex::escape(word).into_owned()
}

fn scope(name: &str) -> String {
    format!("{name}.casewright")
}

fn one(name: &str, pattern: impl Into<String>) -> Value {
    json!({ "name": scope(name), "match": pattern.into() })
}

fn with_captures(pattern: String, captures: &[(usize, &str)]) -> Value {
    let captures: BTreeMap<String, Value> = captures
        .iter()
        .map(|(i, name)| (i.to_string(), json!({ "name": scope(name) })))
        .collect();
    json!({ "match": pattern, "captures": captures })
}

/// The grammar, by the table of the language.
fn grammar() -> Value {
    let heads = any(table::heads().map(|head| head.word));
    let names_one = |head: &&Head| {
        head.declares && matches!(head.names, Names::One | Names::MayOne) && head.word != "pattern"
    };
    let naming = any(table::heads().filter(names_one).map(|head| head.word));
    let words = any(table::WORDS.iter().map(|row| row.word));
    let joints = any(table::joints().iter().map(|kind| kind.word));
    let edges = any(table::EDGES.iter().copied());
    let kinds = any(table::heads()
        .flat_map(|head| head.kinds)
        .map(|kind| kind.word));
    let units = any(UNITS.iter().map(|unit| unit.symbol));
    // A line begins at its start, or behind the brace of a block on one line.
    let begin = r"(?:^\s*|(?<=\{)\s*)";
    let name = r"[\p{L}_][\p{L}\p{N}_]*";
    let amount = r"\d+(?: \d+/\d+|/\d+|\.\d+)?";
    json!({
        "name": "Casewright",
        "scopeName": "source.casewright",
        "fileTypes": ["case"],
        "patterns": [
            { "include": "#remarks" },
            { "include": "#texts" },
            { "include": "#heads" },
            { "include": "#values" },
        ],
        "repository": {
            "remarks": { "patterns": [
                one("comment.line.documentation", r"^\s*///(?!/).*$"),
                one("comment.line.double-slash", r"//.*$"),
            ] },
            "texts": { "patterns": [
                {
                    "name": scope("string.quoted.triple"),
                    "contentName": scope("markup.raw.note"),
                    "begin": "\"\"\"",
                    "end": "\"\"\"",
                    "patterns": [{ "include": "#computed" }],
                },
                one("string.quoted.double", r#"(?<!\d)"[^"]*""#),
            ] },
            // `{expr}` within a note.
            "computed": {
                "name": scope("meta.embedded.computed"),
                "begin": r"\{",
                "end": r#"\}|(?=""")"#,
                "patterns": [{ "include": "#values" }],
            },
            "heads": { "patterns": [
                with_captures(
                    format!(r"{begin}(pattern)\s+({heads})(?![\p{{L}}\p{{N}}_])(?:\s+({name}))?"),
                    &[(1, "keyword.other.head"), (2, "keyword.other.head"), (3, "entity.name.type")],
                ),
                with_captures(
                    format!(
                        r"{begin}({naming})\s+(?!{words}(?![\p{{L}}\p{{N}}_]))({name})(?=\s|$)(?!\s*[,=])"
                    ),
                    &[(1, "keyword.other.head"), (2, "entity.name.type")],
                ),
                with_captures(
                    format!(r"{begin}({heads})(?![\p{{L}}\p{{N}}_])"),
                    &[(1, "keyword.other.head")],
                ),
                // A clause as a line of its own.
                with_captures(
                    format!(r"{begin}({words})(?![\p{{L}}\p{{N}}_])"),
                    &[(1, "keyword.other.clause")],
                ),
            ] },
            "values": { "patterns": [
                one("keyword.control", r"(?<![\p{L}\p{N}_.])(?:if|then|else)(?![\p{L}\p{N}_])"),
                one("keyword.operator.logical", r"(?<![\p{L}\p{N}_.])(?:and|or|not)(?![\p{L}\p{N}_])"),
                with_captures(
                    format!(r"(?<![\p{{L}}\p{{N}}_.])(\d+)(ft) ({amount})(in)(?![\p{{L}}\p{{N}}_])"),
                    &[
                        (1, "constant.numeric"),
                        (2, "keyword.other.unit"),
                        (3, "constant.numeric"),
                        (4, "keyword.other.unit"),
                    ],
                ),
                with_captures(
                    format!(r"(?<![\p{{L}}\p{{N}}_.])({amount})({units})(?![\p{{L}}\p{{N}}_])"),
                    &[(1, "constant.numeric"), (2, "keyword.other.unit")],
                ),
                one("constant.numeric", r"(?<![\p{L}\p{N}_.])\d+(?:\.\d+)?(?![\p{L}\p{N}_])"),
                with_captures(
                    format!(r"(?<![\p{{L}}\p{{N}}_.])(with)\s+({joints})(?![\p{{L}}\p{{N}}_])"),
                    &[(1, "keyword.other.clause"), (2, "support.type.joint")],
                ),
                with_captures(
                    format!(r"(\.)({name})"),
                    &[(1, "punctuation.accessor"), (2, "variable.other.member")],
                ),
                with_captures(
                    format!(r"({name})(?=:)"),
                    &[(1, "variable.parameter")],
                ),
                // One word is both: an edge far more often.
                one(
                    "constant.language.edge",
                    format!(r"(?<![\p{{L}}\p{{N}}_]){edges}(?![\p{{L}}\p{{N}}_])"),
                ),
                one(
                    "keyword.other.clause",
                    format!(r"(?<![\p{{L}}\p{{N}}_]){words}(?![\p{{L}}\p{{N}}_])"),
                ),
                one(
                    "support.type.kind",
                    format!(r"(?<![\p{{L}}\p{{N}}_]){kinds}(?=\s*(?:\{{|$))"),
                ),
                one("keyword.operator", r"<=|>=|==|!=|[-+*/<>=]"),
                one("punctuation.separator", ","),
                one("variable.other", name),
            ] },
        },
    })
}

/// The words of the language for the fuzzer, which need not guess them then.
fn dictionary() -> String {
    let mut words: BTreeSet<String> = BTreeSet::new();
    words.extend(table::heads().map(|head| head.word.to_owned()));
    words.extend(table::WORDS.iter().map(|row| row.word.to_owned()));
    words.extend(table::joints().iter().map(|kind| kind.word.to_owned()));
    words.extend(table::EDGES.iter().map(|edge| (*edge).to_owned()));
    words.extend(UNITS.iter().map(|unit| format!("1{}", unit.symbol)));
    let signs = [
        " if ",
        " then ",
        " else ",
        " and ",
        " or ",
        "not ",
        " = ",
        " {",
        "}",
        "//",
        "///",
        ", ",
        "==",
        "<=",
        ">=",
        "!=",
        "16 1/2in",
        "5ft 3 1/2in",
        "-1/2in",
        "`",
    ];
    words.extend(signs.map(str::to_owned));
    let quoted = words.iter().map(|word| format!("{word:?}\n"));
    let mut out =
        String::from("# Words of the language, by its table; see tests/it/highlight.rs.\n");
    out.extend(quoted);
    out.push_str("\"\\x0a\"\n\"\\\"\\\"\\\"\"\n");
    out
}

#[test]
fn the_grammar_is_that_of_the_language() {
    let grammar = serde_json::to_string_pretty(&grammar()).unwrap() + "\n";
    is_up_to_date(FILE, &grammar);
}

#[test]
fn the_words_of_the_fuzzer_are_those_of_the_language() {
    is_up_to_date("tests/fuzz/words.dict", &dictionary());
}

/// Compares a file with what it should hold, or writes it.
fn is_up_to_date(name: &str, wanted: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    if std::env::var("INSTA_UPDATE").is_ok_and(|how| how == "always") {
        fs::write(&path, wanted).unwrap();
    }
    let found = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        found == wanted,
        "{name} is not what the table yields; `INSTA_UPDATE=always cargo test highlight` writes it"
    );
}

/// A rule, ready to be tried.
struct Rule {
    name: Option<String>,
    content: Option<String>,
    start: Regex,
    end: Option<Regex>,
    captures: Vec<(usize, String)>,
    inner: Vec<Value>,
}

/// Reads grammars of this kind, as far as this one goes: `match`, `begin` and `end`, `include`.
struct Reader {
    repository: Value,
    rules: BTreeMap<String, std::rc::Rc<Vec<Rule>>>,
}

impl Reader {
    fn new(grammar: &Value) -> Reader {
        Reader {
            repository: grammar["repository"].clone(),
            rules: BTreeMap::new(),
        }
    }

    /// The rules of a list of patterns, with what they include.
    fn rules(&mut self, patterns: &[Value]) -> std::rc::Rc<Vec<Rule>> {
        let key = Value::Array(patterns.to_vec()).to_string();
        if let Some(rules) = self.rules.get(&key) {
            return rules.clone();
        }
        let mut flat = Vec::new();
        self.flatten(patterns, &mut flat);
        let regex = |text: &Value| Regex::new(text.as_str().unwrap()).unwrap();
        let rules = flat.iter().map(|rule| Rule {
            name: rule["name"].as_str().map(str::to_owned),
            content: rule["contentName"].as_str().map(str::to_owned),
            start: regex(if rule["match"].is_string() {
                &rule["match"]
            } else {
                &rule["begin"]
            }),
            end: rule["end"].is_string().then(|| regex(&rule["end"])),
            captures: rule["captures"]
                .as_object()
                .into_iter()
                .flatten()
                .map(|(i, capture)| {
                    (
                        i.parse().unwrap(),
                        capture["name"].as_str().unwrap().to_owned(),
                    )
                })
                .collect(),
            inner: rule["patterns"].as_array().cloned().unwrap_or_default(),
        });
        let rules = std::rc::Rc::new(rules.collect::<Vec<_>>());
        self.rules.insert(key, rules.clone());
        rules
    }

    fn flatten(&self, patterns: &[Value], out: &mut Vec<Value>) {
        for pattern in patterns {
            match pattern["include"].as_str() {
                Some(include) => {
                    let rule = &self.repository[include.trim_start_matches('#')];
                    assert!(rule.is_object(), "{include} is not there");
                    self.flatten(std::slice::from_ref(rule), out);
                }
                None if pattern["match"].is_string() || pattern["begin"].is_string() => {
                    out.push(pattern.clone());
                }
                None => self.flatten(pattern["patterns"].as_array().unwrap(), out),
            }
        }
    }

    /// The scope of each byte of a text: the innermost, or nothing.
    fn scopes(&mut self, grammar: &Value, text: &str) -> Vec<Option<String>> {
        let top = grammar["patterns"].as_array().unwrap().clone();
        let mut scopes: Vec<Option<String>> = vec![None; text.len()];
        // What is open: its end, its scope, its patterns.
        let mut open: Vec<(Regex, Option<String>, Vec<Value>)> = Vec::new();
        let mut start = 0;
        for line in text.split_inclusive('\n') {
            let words = line.trim_end_matches(['\n', '\r']);
            let mut at = 0;
            while at <= words.len() {
                let patterns = open
                    .last()
                    .map_or(&top, |(_, _, patterns)| patterns)
                    .clone();
                let inside = open.last().and_then(|(_, scope, _)| scope.clone());
                let rules = self.rules(&patterns);
                let end = open.last().and_then(|(end, _, _)| {
                    end.find_from_pos(words, at)
                        .unwrap()
                        .map(|m| (m.start(), m.end()))
                });
                let found = rules
                    .iter()
                    .filter_map(|rule| {
                        let captures = rule.start.captures_from_pos(words, at).unwrap()?;
                        Some((captures.get(0).unwrap().start(), rule, captures))
                    })
                    .min_by_key(|(start, _, _)| *start);
                let mut fill = |from: usize, to: usize, scope: &Option<String>| {
                    for place in &mut scopes[start + from..start + to] {
                        *place = scope.clone();
                    }
                };
                match (end, found) {
                    (Some((from, to)), found)
                        if found.as_ref().is_none_or(|(start, _, _)| from <= *start) =>
                    {
                        fill(at, to, &inside);
                        open.pop();
                        at = if to > at {
                            to
                        } else {
                            at + usize::from(from == to && at == words.len())
                        };
                        if from == to && at == words.len() {
                            break;
                        }
                    }
                    (_, Some((from, rule, captures))) => {
                        let to = captures.get(0).unwrap().end();
                        fill(at, from, &inside);
                        fill(from, to, &rule.name);
                        for (i, scope) in &rule.captures {
                            if let Some(part) = captures.get(*i) {
                                fill(part.start(), part.end(), &Some(scope.clone()));
                            }
                        }
                        if let Some(end) = &rule.end {
                            let scope = rule.content.clone().or(rule.name.clone());
                            open.push((end.clone(), scope, rule.inner.clone()));
                        }
                        at = to.max(at + usize::from(to == at));
                    }
                    (_, None) => {
                        fill(at, words.len(), &inside);
                        break;
                    }
                }
            }
            start += line.len();
        }
        scopes
    }
}

fn scopes(text: &str) -> Vec<Option<String>> {
    let grammar = grammar();
    Reader::new(&grammar).scopes(&grammar, text)
}

/// The words of a text with their scopes, those without one left out.
fn told(text: &str) -> Vec<(String, String)> {
    let scopes = scopes(text);
    let mut out: Vec<(String, String)> = Vec::new();
    let mut last: Option<&str> = None;
    for (at, c) in text.char_indices() {
        let scope = scopes[at].as_deref();
        match (scope, out.last_mut()) {
            (Some(scope), Some((word, _))) if last == Some(scope) => {
                let _ = scope;
                word.push(c);
            }
            (Some(scope), _) => {
                let short = scope.trim_end_matches(".casewright");
                out.push((c.to_string(), short.to_owned()));
            }
            _ => {}
        }
        last = scope;
    }
    out
}

#[test]
fn a_line_is_told_word_by_word() {
    let line =
        "join left, deck.top into lid with dado_rabbet deep 5ft 3 1/2in stopped 9% on front // why";
    let told = told(line);
    let told: Vec<(&str, &str)> = told.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    assert_eq!(
        told,
        [
            ("join", "keyword.other.head"),
            ("left", "constant.language.edge"),
            (",", "punctuation.separator"),
            ("deck", "variable.other"),
            (".", "punctuation.accessor"),
            ("top", "variable.other.member"),
            ("into", "keyword.other.clause"),
            ("lid", "variable.other"),
            ("with", "keyword.other.clause"),
            ("dado_rabbet", "support.type.joint"),
            ("deep", "keyword.other.clause"),
            ("5", "constant.numeric"),
            ("ft", "keyword.other.unit"),
            ("3 1/2", "constant.numeric"),
            ("in", "keyword.other.unit"),
            ("stopped", "keyword.other.clause"),
            ("9", "constant.numeric"),
            ("%", "keyword.other.unit"),
            ("on", "keyword.other.clause"),
            ("front", "constant.language.edge"),
            ("// why", "comment.line.double-slash"),
        ]
    );
}

#[test]
fn names_texts_and_notes_are_told() {
    let text = "\
/// Why.
pattern case base {
stock oak18 sheet {
opening of oak
note \"\"\"
# Case, not a head
case {w + 1mm} of
\"\"\"
case a { size wide 3mm }
";
    let told = told(text);
    let has = |word: &str, scope: &str| {
        assert!(
            told.iter().any(|(w, s)| w == word && s == scope),
            "{word} is no {scope}: {told:#?}"
        );
    };
    has("/// Why.", "comment.line.documentation");
    has("base", "entity.name.type");
    has("oak18", "entity.name.type");
    has("sheet", "support.type.kind");
    has("of", "keyword.other.clause");
    has("1", "constant.numeric");
    has("size", "keyword.other.head");
    let scopes = scopes(text);
    let at = text.find("# Case").unwrap();
    assert_eq!(scopes[at].as_deref(), Some("markup.raw.note.casewright"));
    let after = text.find("case a").unwrap();
    assert_eq!(
        scopes[after].as_deref(),
        Some("keyword.other.head.casewright")
    );
}

/// Every head of every source of this project, every number, text and comment, as the compiler reads
/// them.
#[test]
fn sources_are_told_as_the_compiler_reads_them() {
    let mut lines = 0;
    let grammar = grammar();
    let mut reader = Reader::new(&grammar);
    for file in sources_in(&["examples", "tests/pieces", "tests/passes", "src/std"]) {
        let text = fs::read_to_string(&file).unwrap();
        let mut sources = Sources::default();
        let id = sources.add(Source::new("a.case", text.as_str()));
        let (tree, _) = syntax::parse(&sources, id);
        let scopes = reader.scopes(&grammar, &text);
        let mut seen = Seen {
            text: &text,
            scopes: &scopes,
            wrong: Vec::new(),
            lines: 0,
        };
        seen.nodes(&tree.nodes);
        lines += seen.lines;
        assert!(
            seen.wrong.is_empty(),
            "{}: {:#?}",
            file.display(),
            seen.wrong
        );
    }
    assert!(lines > 500, "{lines}");
}

struct Seen<'t> {
    text: &'t str,
    scopes: &'t [Option<String>],
    wrong: Vec<String>,
    lines: usize,
}

impl Seen<'_> {
    fn want(&mut self, span: casewright::source::Span, starts: &[&str]) {
        let at = span.start as usize;
        let found = self.scopes[at].as_deref().unwrap_or("nothing");
        if !starts.iter().any(|start| found.starts_with(start)) {
            let words = &self.text[at..span.end as usize];
            self.wrong
                .push(format!("{words} at {at} is {found}, not {starts:?}"));
        }
    }

    fn nodes(&mut self, nodes: &[Node]) {
        for node in nodes {
            match node {
                Node::Line(line) => self.line(line),
                Node::If(branch) => {
                    self.want(branch.span, &["keyword.control"]);
                    self.expr(&branch.condition);
                    self.nodes(&branch.then.nodes);
                    if let Some(block) = &branch.otherwise {
                        self.nodes(&block.nodes);
                    }
                }
                Node::Comment(span) => self.want(*span, &["comment"]),
                Node::Blank | Node::Bad(_) => {}
            }
        }
    }

    fn line(&mut self, line: &Line) {
        self.lines += 1;
        self.want(
            line.head.span,
            &["keyword.other.head", "keyword.other.clause"],
        );
        for doc in &line.docs {
            self.want(doc.span, &["comment.line.documentation"]);
        }
        if let Some(comment) = line.comment {
            self.want(comment, &["comment"]);
        }
        let items = line.items.iter().chain(line.set.iter().flatten());
        for expr in items.flat_map(|item| &item.exprs) {
            self.expr(expr);
        }
        if let Some(block) = &line.block {
            self.nodes(&block.nodes);
        }
    }

    fn expr(&mut self, expr: &Expr) {
        let inside = self.text[expr.span.start as usize..].starts_with('(');
        match &expr.kind {
            _ if inside => {}
            ExprKind::Measure(_) | ExprKind::Number(_) => {
                self.want(expr.span, &["constant.numeric"]);
            }
            ExprKind::Text(_) => self.want(expr.span, &["string"]),
            ExprKind::Markdown(_) => self.want(expr.span, &["string"]),
            ExprKind::Name(name) if table::reserved(name) => {
                // `lap` is both: after `with` the joint.
                let joint = table::joint(name).map(|_| "support.type.joint");
                let starts = std::iter::once("keyword.other.clause").chain(joint);
                self.want(expr.span, &starts.collect::<Vec<_>>());
            }
            ExprKind::Name(_) => self.want(
                expr.span,
                &[
                    "variable",
                    "entity",
                    "constant.language",
                    "support",
                    "keyword.other",
                ],
            ),
            ExprKind::Call(_, args) => args.iter().for_each(|arg| self.expr(&arg.value)),
            ExprKind::Binary(a, _, op, b) => {
                self.want(*op, &["keyword.operator"]);
                self.expr(a);
                self.expr(b);
            }
            _ => {}
        }
    }
}

/// Every word of the language has a colour where it stands.
#[test]
fn every_word_of_the_language_is_told() {
    let grammar = grammar();
    let mut reader = Reader::new(&grammar);
    let mut scope_at = |text: &str, word: &str| {
        let at = text.rfind(word).unwrap();
        reader.scopes(&grammar, text)[at]
            .clone()
            .unwrap_or_default()
    };
    for head in table::heads() {
        for text in [head.word.to_owned(), format!("    {} x", head.word)] {
            assert_eq!(
                scope_at(&text, head.word),
                scope("keyword.other.head"),
                "{text}"
            );
        }
    }
    let edge = |word: &str| table::EDGES.contains(&word);
    for row in table::WORDS.iter().filter(|row| !edge(row.word)) {
        let text = format!("x y {} z", row.word);
        assert_eq!(scope_at(&text, row.word), scope("keyword.other.clause"));
    }
    for kind in table::joints() {
        let text = format!("join a into b with {} deep 3mm", kind.word);
        assert_eq!(scope_at(&text, kind.word), scope("support.type.joint"));
    }
    for unit in UNITS {
        let text = format!("x 12.5{}", unit.symbol);
        assert_eq!(
            scope_at(&text, unit.symbol),
            scope("keyword.other.unit"),
            "{text}"
        );
    }
    for edge in table::EDGES {
        let text = format!("x y on {edge} z");
        let found = scope_at(&text, edge);
        assert_eq!(found, scope("constant.language.edge"), "{edge}");
    }
}
