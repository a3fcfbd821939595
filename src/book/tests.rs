//! The book as a whole: hygiene of its markup, and that it is the same each time.

use super::*;
use crate::model::fixture;
use crate::plan;

/// The fixture's book with findings and options of the test's own.
fn book_of(
    model: &Model,
    findings: &[Finding],
    templates: &Templates,
) -> Result<String, BookFault> {
    let plans = plan::make(model);
    let facts = Facts {
        model,
        plans: &plans,
        findings,
        paper: Paper::A4,
        revision: Some("3"),
        date: Some(jiff::civil::date(2027, 1, 12)),
    };
    write(&facts, templates)
}

fn book(model: &Model) -> String {
    book_of(model, &[], &Templates::built_in()).expect("the built-in templates can be filled in")
}

/// Values of an attribute in the markup.
fn attributes<'a>(html: &'a str, name: &str) -> Vec<&'a str> {
    let opening = format!(" {name}=\"");
    html.split(opening.as_str())
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect()
}

/// The book without its style sheet.
fn body(html: &str) -> &str {
    html.split("</style>")
        .nth(1)
        .expect("the book has a style sheet")
}

#[test]
fn ids_are_unique_and_every_reference_finds_one() {
    let html = book(&fixture::cabinet());
    let mut ids = attributes(&html, "id");
    ids.sort_unstable();
    for pair in ids.windows(2) {
        assert_ne!(pair[0], pair[1], "an id stands twice");
    }
    let by_id = ["aria-labelledby", "aria-describedby", "headers"];
    let named = by_id.iter().flat_map(|name| attributes(&html, name));
    let anchors = attributes(&html, "href")
        .into_iter()
        .filter_map(|h| h.strip_prefix('#'));
    let clips = html
        .split("url(#")
        .skip(1)
        .filter_map(|rest| rest.split(')').next());
    for id in named
        .flat_map(str::split_whitespace)
        .chain(anchors)
        .chain(clips)
    {
        assert!(ids.binary_search(&id).is_ok(), "nothing has the id {id}");
    }
}

#[test]
fn elements_nest() {
    const VOID: [&str; 6] = ["meta", "br", "hr", "img", "col", "wbr"];
    let html = book(&fixture::cabinet());
    let mut open = vec!["html", "head"]; // before the style sheet
    for rest in body(&html).split('<').skip(1) {
        let tag = rest.split('>').next().expect("a tag");
        let name = tag.split([' ', '\n', '/']).next().expect("a name");
        if let Some(closed) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(closed), "an element is closed out of turn");
        } else if !tag.ends_with('/') && !VOID.contains(&name) {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "left open: {open:?}");
}

#[test]
fn headings_do_not_skip_a_level() {
    let html = book(&fixture::cabinet());
    let mut last = 0;
    for rest in body(&html).split("<h").skip(1) {
        let Some(level) = rest.chars().next().and_then(|c| c.to_digit(10)) else {
            continue;
        };
        assert!(level <= last + 1, "h{level} after h{last}");
        last = level;
    }
    assert_eq!(html.matches("<h1>").count(), 1);
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let model = fixture::cabinet();
    assert_eq!(book(&model), book(&model));
}

#[test]
fn a_users_text_never_becomes_markup() {
    let hostile = "<script>alert(1)</script> & \"x\" </style> '\n{{ 7 * 7 }}";
    let mut model = fixture::cabinet();
    for piece in &mut model.pieces {
        piece.title = hostile.to_owned();
        piece.docs = hostile.to_owned();
        for part in &mut piece.parts {
            part.label = hostile.to_owned();
        }
        for opening in &mut piece.openings {
            opening.path = hostile.to_owned();
        }
        for assembly in &mut piece.assemblies {
            assembly.label = hostile.to_owned();
        }
    }
    for group in &mut model.groups {
        group.label = hostile.to_owned();
    }
    for stock in &mut model.stocks {
        stock.title = hostile.to_owned();
    }
    for hardware in &mut model.hardware {
        hardware.title = hostile.to_owned();
    }
    let html = book(&model);
    assert!(!html.contains("<script") && !html.contains("& \""));
    assert!(
        html.contains("{{ 7 * 7 }}"),
        "a user's text is not read as a template"
    );
    assert_eq!(html.matches("</style>").count(), 1);
    assert!(html.contains("&lt;script&gt;"));
}

#[test]
fn no_network_and_no_script() {
    let html = book(&fixture::cabinet());
    for bad in [
        "<script",
        "<link",
        "@import",
        "<img",
        " src=",
        "javascript:",
        " onload",
        " onclick",
    ] {
        assert!(!html.contains(bad), "{bad} in the book");
    }
    assert!(!html.contains("url(http"));
}

#[test]
fn an_undefined_name_is_reported_in_its_template() {
    let text = "<h1>\n{{ book.tilte }}</h1>";
    let templates = Templates::with_overrides([("title.html".to_owned(), text.to_owned())]);
    let fault = book_of(&fixture::cabinet(), &[], &templates).expect_err("tilte is no name");
    assert_eq!(
        (fault.template.as_str(), fault.line),
        ("title.html", Some(2))
    );
    assert_eq!(fault.what, "`book.tilte` is undefined");
    let mut sources = crate::source::Sources::default();
    let report = fault.diagnostic(&mut sources);
    assert_eq!(report.code.name, "book.template");
    assert_eq!(sources.text(report.span()), "book.tilte");
}

#[test]
fn a_fault_in_an_included_template_names_that_template() {
    let templates =
        Templates::with_overrides([("legend.html".to_owned(), "\n\n{{ nobody }}".to_owned())]);
    let fault = book_of(&fixture::cabinet(), &[], &templates).expect_err("no such name");
    assert_eq!(
        (fault.template.as_str(), fault.line),
        ("legend.html", Some(3))
    );
}

#[test]
fn a_template_that_cannot_be_read_or_does_not_end_is_a_fault() {
    for (text, what) in [
        ("{% if %}", "syntax error"),
        (
            "{% for a in range(9999) %}{% for b in range(9999) %}{{ b }}{% endfor %}{% endfor %}",
            "the template does not come to an end",
        ),
    ] {
        let templates = Templates::with_overrides([("title.html".to_owned(), text.to_owned())]);
        let fault = book_of(&fixture::cabinet(), &[], &templates).expect_err("a fault");
        assert!(fault.what.starts_with(what), "{}", fault.what);
    }
}

#[test]
fn every_chapter_has_a_template_and_an_id_of_its_own() {
    let mut numbers = 0;
    for chapter in CHAPTERS {
        assert!(chapter.number > numbers, "chapters are in order of number");
        numbers = chapter.number;
        assert!(Templates::built_in().get(chapter.template).is_some());
        assert_eq!(chapter.template, format!("{}.html", chapter.id));
    }
}

#[test]
fn the_cautions_cannot_be_left_out() {
    for text in ["<p>all is well</p>", "<!-- {{ cautions }} -->"] {
        let templates = Templates::with_overrides([("start.html".to_owned(), text.to_owned())]);
        let fault = book_of(&fixture::cabinet(), &[], &templates).expect_err("no cautions");
        assert_eq!(fault.template, "start.html");
        assert!(fault.what.contains("cautions"), "{}", fault.what);
    }
}
