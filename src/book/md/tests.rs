//! The edition as a whole: that nothing of the HTML book is missing, and that no text of a maker's
//! becomes markup. What one library writes, another reads.

use super::block::Block;
use super::inline::{Inline, Place, line};
use super::table::Table;
use super::tree::{self, Node};
use super::*;
use crate::book::{CHAPTERS, Since, html, markdown, sample, write as write_html};
use crate::diff::{Built, Revision, diff};
use crate::model::{Finding, Model, fixture};
use crate::plan;
use comrak::nodes::NodeValue;
use comrak::{Arena, parse_document};
use proptest::prelude::*;
use std::sync::OnceLock;

/// Both editions of a book, with a chapter of changes.
fn editions(model: &Model, findings: &[Finding], templates: &Templates) -> (String, Pages) {
    let plans = plan::make(model);
    let revision = || Revision {
        lines: &[],
        built: Some(Built {
            model,
            plans: Some(&plans),
            findings,
        }),
        errors: 0,
    };
    let before = fixture::cabinet();
    let before_plans = plan::make(&before);
    let old = Revision {
        lines: &[],
        built: Some(Built {
            model: &before,
            plans: Some(&before_plans),
            findings: &[],
        }),
        errors: 0,
    };
    let changes = diff(&old, &revision());
    let facts = Facts {
        model,
        plans: &plans,
        findings,
        paper: Paper::A4,
        revision: Some("3"),
        date: Some(jiff::civil::date(2027, 1, 12)),
        since: Some(Since {
            name: "main",
            changes: &changes,
        }),
    };
    (
        write_html(&facts, templates).expect("the built-in templates can be filled in"),
        write(&facts, templates, "book").expect("and so can they for Markdown"),
    )
}

/// A book of each kind: bare, full, in inches, of several pieces.
struct Sample {
    model: Model,
    html: String,
    pages: Pages,
}

/// Planned and written once for all tests.
fn samples() -> &'static [Sample] {
    static SAMPLES: OnceLock<Vec<Sample>> = OnceLock::new();
    SAMPLES.get_or_init(|| {
        [
            (fixture::cabinet(), Vec::new()),
            sample::full(),
            sample::inches(),
            sample::commission(),
        ]
        .into_iter()
        .map(|(model, findings)| {
            let (html, pages) = editions(&model, &findings, &Templates::built_in());
            Sample { model, html, pages }
        })
        .collect()
    })
}

/// What comrak reads out of a text, blocks apart: the words of each, in the order of the text.
fn blocks_read(text: &str) -> Vec<String> {
    let arena = Arena::new();
    let root = parse_document(&arena, text, &print::options());
    root.descendants()
        .filter(|node| {
            let value = &node.data().value;
            value.contains_inlines()
                || matches!(value, NodeValue::TableCell | NodeValue::CodeBlock(_))
        })
        .map(|node| words_under(node))
        .collect()
}

fn words_under<'a>(node: comrak::nodes::Node<'a>) -> String {
    let mut out = String::new();
    for node in node.descendants() {
        match &node.data().value {
            NodeValue::Text(text) => out.push_str(text),
            NodeValue::Code(code) => out.push_str(&code.literal),
            NodeValue::CodeBlock(code) => out.push_str(&code.literal),
            NodeValue::LineBreak | NodeValue::SoftBreak => out.push(' '),
            _ => {}
        }
    }
    single(&out)
}

fn single(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Cells of the rows of all tables, and the headings between them, as comrak reads them.
fn headings(text: &str) -> Vec<String> {
    let arena = Arena::new();
    let root = parse_document(&arena, text, &print::options());
    root.children()
        .filter(|node| matches!(node.data().value, NodeValue::Heading(_)))
        .map(|node| words_under(node))
        .collect()
}

#[test]
fn every_chapter_of_the_html_is_in_the_markdown() {
    for Sample { model, html, pages } in samples() {
        let headings = headings(&pages.text);
        let mut at = 0;
        for chapter in CHAPTERS {
            if !html.contains(&format!("id=\"{}\" aria-label", chapter.id)) {
                continue;
            }
            let heading = match chapter.id {
                "title" => model.commission.as_ref().map_or_else(
                    || model.pieces[0].title.clone(),
                    |commission| commission.title.clone(),
                ),
                _ => format!("{} {}", chapter.number, chapter.title),
            };
            let found = headings[at..].iter().position(|h| *h == single(&heading));
            at += found.unwrap_or_else(|| panic!("no {heading} after {at} in {headings:?}")) + 1;
        }
    }
}

/// Words of the HTML that stand beside each other, without what is for paper: rules of scale, boxes
/// and the heads of their columns.
fn runs(nodes: &[Node], out: &mut Vec<String>) {
    for node in nodes {
        match node {
            Node::Text(text) => out.push(single(text)),
            Node::Drawing(_) => {}
            Node::Element(element) => {
                let paper = ["rule", "dn", "bxs", "nr", "no", "xl"];
                let ticked = ["Got", "Kept", "Done"].contains(&element.text().trim());
                if element.name != "nav" && !paper.iter().any(|c| element.is(c)) && !ticked {
                    runs(&element.children, out);
                }
            }
        }
    }
}

#[test]
fn no_word_of_the_html_is_missing() {
    for Sample { html, pages, .. } in samples() {
        let body = html.split("<main>").nth(1).expect("a body");
        let mut said = Vec::new();
        runs(&tree::read(body), &mut said);
        let read = blocks_read(&pages.text).join("\n");
        let mut missing: Vec<String> = said
            .into_iter()
            .filter(|run| !run.is_empty() && !read.contains(run.as_str()))
            .collect();
        missing.retain(|run| {
            // Cards that go on, and terms that are blank.
            !run.ends_with(", continued")
                && !["Due", "For", "Checked at the bench"].contains(&run.as_str())
        });
        missing.dedup();
        assert!(missing.is_empty(), "{missing:#?}");
    }
}

#[test]
fn every_row_of_the_cut_list_is_a_row() {
    for Sample { model, pages, .. } in samples() {
        let plans = plan::make(model);
        let chapter = pages
            .text
            .split("\n## ")
            .find(|c| c.starts_with("6 Cut list"));
        let chapter = chapter.expect("a cut list");
        let arena = Arena::new();
        let root = parse_document(&arena, chapter, &print::options());
        let read: Vec<Vec<String>> = root
            .descendants()
            .filter(|node| matches!(node.data().value, NodeValue::TableRow(false)))
            .map(|row| row.children().map(|cell| words_under(cell)).collect())
            .collect();
        let rows: Vec<_> = plans.cut_list.stocks.iter().flat_map(|s| &s.rows).collect();
        assert_eq!(read.len(), rows.len());
        for (row, cells) in rows.iter().zip(&read) {
            let units = model.pieces[0].units;
            let length = tree::text(&tree::read(
                &html::figure_column(units, row.sawn.length).to_string(),
            ));
            assert_eq!(cells[0], row.mark.to_string());
            assert!(cells[1].starts_with(&row.label), "{cells:?}");
            assert_eq!(cells[3], row.off.to_string());
            assert_eq!(cells[4], single(&length));
            for (letter, n) in row.copies.iter().filter(|(_, n)| *n > 0) {
                let copies = match n {
                    1 => letter.clone(),
                    n => format!("{letter} {n}"),
                };
                let told = cells.last().expect("a row has cells");
                assert!(told.split(", ").any(|c| c == copies), "{copies} in {told}");
            }
        }
    }
}

#[test]
fn what_is_drawn_is_a_file_and_every_file_is_shown() {
    for Sample { pages, .. } in samples() {
        let arena = Arena::new();
        let root = parse_document(&arena, &pages.text, &print::options());
        let mut shown: Vec<String> = Vec::new();
        for node in root.descendants() {
            if let NodeValue::Image(image) = &node.data().value {
                shown.push(image.url.clone());
            }
        }
        let files: Vec<String> = pages
            .drawings
            .iter()
            .map(|f| format!("book/{}", f.name))
            .collect();
        assert_eq!(shown, files);
        let mut names: Vec<&str> = files.iter().map(String::as_str).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), files.len(), "a name stands for two files");
        for file in &pages.drawings {
            assert!(file.svg.starts_with(&first_line(&file.name)));
            assert!(
                file.name
                    .chars()
                    .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || "-.".contains(c))
            );
            for word in ["var(--mm)", "&nbsp;", "<script"] {
                assert!(!file.svg.contains(word), "{word} in {}", file.name);
            }
        }
    }
}

#[test]
fn nothing_is_put_on_paper_or_padded() {
    let pages = &samples()[1].pages;
    assert!(!pages.text.contains(", continued"));
    for line in pages.text.lines().filter(|line| line.starts_with('|')) {
        let head = line.starts_with("| -") || line.contains("| --");
        // An empty cell is two blanks; anything wider is padding.
        assert!(head || !line.contains("   "), "{line}");
    }
    let (model, findings) = sample::full();
    let again = editions(&model, &findings, &Templates::built_in()).1;
    assert_eq!(*pages, again);
}

#[test]
fn the_cautions_stand_in_it_whatever_the_templates_say() {
    let (model, findings) = sample::full();
    let plans = plan::make(&model);
    let facts = Facts {
        model: &model,
        plans: &plans,
        findings: &findings,
        paper: Paper::A4,
        revision: None,
        date: None,
        since: None,
    };
    let read = blocks_read(&samples()[1].pages.text).join("\n");
    let mut runs_of = Vec::new();
    runs(&tree::read(&safety::block(&facts)), &mut runs_of);
    for run in runs_of.iter().filter(|run| !run.is_empty()) {
        assert!(read.contains(run.as_str()), "{run}");
    }
    for text in [
        "<p>all is well</p>",
        "<!-- {{ cautions }} -->",
        "<template>{{ cautions }}</template>",
        "<p class=\"dn\"><span>{{ cautions }}</span></p><div class=\"rule\">{{ cautions }}</div>",
        "<table><tr><td>{{ cautions }}</td></tr></table>",
    ] {
        let own = Templates::with_overrides([("start.html".to_owned(), text.to_owned())]);
        let fault = write(&facts, &own, "book").expect_err("no cautions");
        assert_eq!(fault.template, "start.html");
        assert!(fault.what.contains("cautions"), "{}", fault.what);
    }
}

#[test]
fn a_makers_own_templates_word_it_too() {
    let (model, findings) = sample::full();
    let own = "<header class=\"ch\"><span class=\"no\">9</span><h2>Mine</h2></header><p>Sharp & bright</p>\
               <svg class=\"dw\" viewBox=\"0 0 1 1\" aria-label=\"A spark\"><path d=\"M0 0\"/></svg>";
    let templates = Templates::with_overrides([("cutlist.html".to_owned(), own.to_owned())]);
    let (_, pages) = editions(&model, &findings, &templates);
    assert!(
        pages
            .text
            .contains("## 9 Mine\n\nSharp & bright\n\n![A spark](book/cutlist-a-spark.svg)\n"),
        "{}",
        pages.text
    );
}

fn paragraph(html: &str) -> Vec<Inline> {
    line(&tree::read(html), Place::Prose, &mut |_| None)
}

fn in_markdown(html: &str) -> String {
    print::print(&[Block::Paragraph(paragraph(html))])
}

#[test]
fn marks_are_told_in_words() {
    for (html, markdown) in [
        ("<b class=\"pt\">7</b> Side", "**7** Side\n"),
        ("run<b class=\"sq\">4</b>now", "run `4` now\n"),
        (
            "16\u{202f}<span class=\"fr\"><span>1</span><i>/</i><span>2</span></span>",
            "16 1/2\n",
        ),
        (
            "<span class=\"lab\">Sheet 3</span>Front",
            "Sheet 3: Front\n",
        ),
        (
            "<span class=\"lab\">A</span><span class=\"lab\">B</span>",
            "A; B\n",
        ),
        ("a <small>b</small><small> </small>", "a; b\n"),
        ("fix <i class=\"bx\"></i>", "fix \u{2610}\n"),
        ("<span class=\"blank\">deep</span>", "deep \u{2026}\n"),
        ("<s>12</s> <b>13</b>", "~~12~~ **13**\n"),
        (
            "<code>at <s>4</s> <b>5{</b> mm</code>",
            "`at` ~~`4`~~ **`5{`** `mm`\n",
        ),
        ("<b><b>x</b> y</b>", "**x y**\n"),
        ("a<b>(b)</b>c", "a(b)c\n"),
        ("a <b> b </b> c", "a **b** c\n"),
        ("<b>a</b><b>b</b>", "**a** **b**\n"),
        ("$ 4 and $ 5", "\\$ 4 and \\$ 5\n"),
        (
            "<a href=\"javascript:x\">a</a> <a href=\"b.pdf\">b</a>",
            "a [b](b.pdf)\n",
        ),
        ("n<sup><a href=\"#fn\">1</a></sup>", "n\\[1\\]\n"),
    ] {
        assert_eq!(in_markdown(html), markdown, "{html}");
    }
}

/// Text that is made to be read as markup.
fn hostile() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("|".to_owned()),
        Just("\\".to_owned()),
        Just("\\|".to_owned()),
        Just("`".to_owned()),
        Just("``".to_owned()),
        Just("*".to_owned()),
        Just("**".to_owned()),
        Just("_".to_owned()),
        Just("~~".to_owned()),
        Just("$".to_owned()),
        Just("&amp;".to_owned()),
        Just("&#124;".to_owned()),
        Just("<script>".to_owned()),
        Just("</td>".to_owned()),
        Just("<!--".to_owned()),
        Just("[x](javascript:alert(1))".to_owned()),
        Just("![x](y)".to_owned()),
        Just("[^1]:".to_owned()),
        Just("[a]: b".to_owned()),
        Just("- [ ] ".to_owned()),
        Just("# ".to_owned()),
        Just("> ".to_owned()),
        Just("1. ".to_owned()),
        Just("1) ".to_owned()),
        Just("+ ".to_owned()),
        Just("---".to_owned()),
        Just("===".to_owned()),
        Just("\n".to_owned()),
        Just("\n\n".to_owned()),
        Just("    ".to_owned()),
        Just("| --- |\n".to_owned()),
        Just("https://example.org/a|b".to_owned()),
        Just("a@example.org".to_owned()),
        "[a-z]{1,3}",
        "[0-9]{1,2}",
        " ",
        "\\PC",
    ];
    prop::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat())
}

/// Text as a template puts it, set in some way.
fn dressed(text: &str, how: u8) -> String {
    let text = html::escape(text);
    match how % 9 {
        0 => text,
        1 => format!("<b>{text}</b>"),
        2 => format!("x<i>{text}</i>y"),
        3 => format!("<code>{text}</code>"),
        4 => format!("<s>{text}</s><b>{text}</b>"),
        6 => format!("<code>a <s>{text}</s><b>{text}</b>.</code>"),
        7 => format!("x<b><code>{text}</code></b>"),
        5 => format!("<b>a <i>{text}</i></b>{text}"),
        _ => format!("<a href=\"b\">{text}</a>"),
    }
}

/// The cells that pulldown-cmark reads.
fn cells_of_the_other(text: &str) -> Vec<String> {
    use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
    let options =
        Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH | Options::ENABLE_TASKLISTS;
    let mut cells = Vec::new();
    let mut open: Option<String> = None;
    for event in Parser::new_ext(text, options) {
        match event {
            Event::Start(Tag::TableCell) => open = Some(String::new()),
            Event::End(TagEnd::TableCell) => cells.extend(open.take().map(|c| single(&c))),
            Event::Text(text) | Event::Code(text) => {
                if let Some(open) = &mut open {
                    open.push_str(&text);
                }
            }
            Event::Html(html) | Event::InlineHtml(html) => panic!("markup: {html}"),
            _ => {}
        }
    }
    cells
}

fn no_markup(text: &str) {
    let arena = Arena::new();
    let root = parse_document(&arena, text, &print::options());
    for node in root.descendants() {
        match &node.data().value {
            NodeValue::HtmlInline(html) => panic!("{html} in {text}"),
            NodeValue::HtmlBlock(block) => {
                assert_eq!(block.literal.trim(), "<!-- end list -->", "{text}");
            }
            NodeValue::Image(image) => panic!("{} in {text}", image.url),
            NodeValue::Link(link) => {
                assert!(markdown::is_harmless(&link.url), "{} in {text}", link.url);
            }
            _ => {}
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn cells_are_read_back_as_they_were(
        texts in prop::collection::vec((hostile(), any::<u8>()), 1..7),
    ) {
        let cells: Vec<Vec<Inline>> = texts
            .iter()
            .map(|(text, how)| line(&tree::read(&dressed(text, *how)), Place::Cell, &mut |_| None))
            .collect();
        let said: Vec<String> = cells.iter().map(|cell| single(&inline::plain(cell))).collect();
        for ((text, how), said) in texts.iter().zip(&said) {
            if how % 9 < 2 {
                prop_assert_eq!(said, &single(text), "what the tree holds");
            }
        }
        let width = cells.len();
        let table = Table {
            figures: vec![true; width],
            head: cells.clone(),
            rows: vec![cells.clone(), cells],
        };
        let markdown = print::print(&[
            Block::Paragraph(vec![inline::words("before")]),
            Block::Table(table),
            Block::Paragraph(vec![inline::words("after")]),
        ]);
        let mut all = said.clone();
        all.extend(said.clone());
        all.extend(said);
        let read = blocks_read(&markdown);
        prop_assert_eq!(&read[1..read.len() - 1], all.as_slice(), "{}", markdown);
        prop_assert_eq!(cells_of_the_other(&markdown), all, "{}", markdown);
        no_markup(&markdown);
    }

    #[test]
    fn blocks_are_read_back_as_they_were(text in hostile(), how in any::<u8>()) {
        let line = paragraph(&dressed(&text, how));
        let said = single(&inline::plain(&line));
        if said.is_empty() {
            return Ok(());
        }
        let item = |blocks| block::Item { done: None, blocks };
        let paragraph = || Block::Paragraph(line.clone());
        let markdown = print::print(&[
            Block::Heading(2, line.clone()),
            paragraph(),
            Block::Quote(vec![paragraph(), paragraph()]),
            Block::List { start: None, items: vec![item(vec![paragraph()]), item(vec![paragraph()])] },
            paragraph(),
            Block::List { start: Some(1), items: vec![item(vec![paragraph(), paragraph()])] },
        ]);
        let read = blocks_read(&markdown);
        prop_assert_eq!(read, vec![said; 9], "{}", markdown);
        no_markup(&markdown);
    }

    /// A maker's note, through the HTML of the book and back: the same words, and no markup.
    #[test]
    fn notes_keep_their_words(text in hostile()) {
        let html = markdown::to_html(&text, "n", 4).to_string();
        let nodes = tree::read(&html);
        let mut draw = |_: &tree::Drawing, _: &str| None;
        let blocks = Blocks::new(&mut draw).read(&nodes);
        let markdown = print::print(&blocks);
        no_markup(&markdown);
        let squeezed = |text: &str| -> String {
            let kept = |c: &char| !c.is_whitespace() && !"[]\u{2610}\u{2611}".contains(*c);
            text.chars().filter(kept).collect()
        };
        let read = blocks_read(&markdown).concat();
        prop_assert_eq!(squeezed(&read), squeezed(&tree::text(&nodes)), "{}\n{}", html, markdown);
    }
}

/// Two lines with bars are words here, and a table to who reads the Markdown unless they are escaped.
#[test]
fn bars_make_no_table() {
    let html = markdown::to_html("|    \n| --- |\n", "n", 4).to_string();
    let mut draw = |_: &tree::Drawing, _: &str| None;
    let markdown = print::print(&Blocks::new(&mut draw).read(&tree::read(&html)));
    assert_eq!(blocks_read(&markdown).concat(), "| | --- |");
}

#[test]
fn notes_without_end_are_no_end_of_it() {
    for text in [
        ">".repeat(20_000) + "x",
        "* ".repeat(5_000) + "x",
        "*".repeat(9_999) + "x",
    ] {
        let html = markdown::to_html(&text, "n", 4).to_string();
        let mut draw = |_: &tree::Drawing, _: &str| None;
        let blocks = Blocks::new(&mut draw).read(&tree::read(&html));
        assert!(print::print(&blocks).contains('x'));
    }
}

#[test]
fn rows_that_stand_for_themselves() {
    let html = "<table><caption>C</caption><thead><tr><th>Set</th><th class=\"bxs\"><span>A</span><span>B</span></th><th class=\"n\">n</th><th>Got</th></tr></thead>\
        <tbody><tr class=\"grp\"><th colspan=\"4\"><span>G</span> <span class=\"num\">12</span><em>2 parts</em></th></tr>\
        <tr><th>40</th><td class=\"bxs\"><span><i class=\"bx\"></i></span><span></span></td><td class=\"n\">1</td><td><i class=\"bx\"></i></td></tr>\
        <tr class=\"same\"><th></th><td class=\"bxs\"><span></span><span>5 <i class=\"bx\"></i></span></td><td>2</td><td><i class=\"bx\"></i></td></tr>\
        <tr class=\"more\"><td colspan=\"4\">mind it</td></tr></tbody>\
        <tfoot><tr><th colspan=\"3\">Together</th><td>3</td></tr></tfoot></table>";
    let mut draw = |_: &tree::Drawing, _: &str| None;
    let blocks = Blocks::new(&mut draw).read(&tree::read(html));
    assert_eq!(
        print::print(&blocks),
        "**C**\n\n**G, 12; 2 parts**\n\n| Set | Copies | n |\n| --- | --- | --: |\n| 40 | A | 1 |\n| 40 | B 5 | 2. mind it |\n\nTogether: 3\n"
    );
}
