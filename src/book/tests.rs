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
        since: None,
    };
    write(&facts, templates)
}

fn book((model, findings): &(Model, Vec<Finding>)) -> String {
    book_of(model, findings, &Templates::built_in())
        .expect("the built-in templates can be filled in")
}

/// Books of several kinds: bare, full, in inches, of several pieces.
fn samples() -> Vec<(Model, Vec<Finding>)> {
    vec![
        (fixture::cabinet(), Vec::new()),
        sample::full(),
        sample::inches(),
        sample::commission(),
    ]
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
    for sample in samples() {
        let html = book(&sample);
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
}

#[test]
fn elements_nest() {
    for sample in samples() {
        let html = book(&sample);
        const VOID: [&str; 6] = ["meta", "br", "hr", "img", "col", "wbr"];
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
}

#[test]
fn headings_do_not_skip_a_level() {
    for sample in samples() {
        let html = book(&sample);
        let mut last = 0;
        for rest in body(&html).split("<h").skip(1) {
            let Some(level) = rest.chars().next().and_then(|c| c.to_digit(10)) else {
                continue;
            };
            assert!(level <= last + 1, "h{level} after h{last}");
            last = level;
        }
        assert_eq!(html.matches("<h1").count(), 1);
    }
}

/// Wider than the measure of 175 mm and Chromium shrinks the whole book; higher than a Letter page
/// less its margins and the chapter's line, and a drawing is cut off.
#[test]
fn no_drawing_is_larger_than_a_page() {
    for sample in samples() {
        let html = book(&sample);
        for style in attributes(&html, "style") {
            let size = |name: &str| {
                let value = style.split(name).nth(1)?.split(';').next()?;
                value.parse::<f64>().ok()
            };
            if let (Some(wide), Some(high)) = (size("--w:"), size("--h:")) {
                assert!(wide <= 175.0 && high <= 225.0, "{wide} by {high}");
            }
        }
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let sample = sample::full();
    assert_eq!(book(&sample), book(&sample::full()));
}

#[test]
fn a_users_text_never_becomes_markup() {
    let hostile = "<script>alert(1)</script> & \"x\" </style> '\n{{ 7 * 7 }}";
    let (mut model, mut findings) = sample::full();
    for piece in &mut model.pieces {
        piece.title = hostile.to_owned();
        piece.docs = hostile.to_owned();
        piece.params = vec![(hostile.to_owned(), hostile.to_owned())];
        for stated in &mut piece.stated {
            stated.text = hostile.to_owned();
            stated.why = Some(hostile.to_owned());
        }
        for shelves in &mut piece.shelves {
            shelves.path = hostile.to_owned();
        }
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
    for finding in &mut findings {
        finding.subject = hostile.to_owned();
        finding.arithmetic = hostile.to_owned();
        finding.source = hostile.to_owned();
        finding.outcome = crate::model::Outcome::Allowed(hostile.to_owned());
    }
    for finish in &mut model.finishes {
        finish.title = hostile.to_owned();
    }
    if let Some(commission) = &mut model.commission {
        commission.title = hostile.to_owned();
        commission.client = Some(hostile.to_owned());
        commission.notes[0].markdown = hostile.to_owned();
    }
    let html = book(&(model, findings));
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
    for sample in samples() {
        let html = book(&sample);
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

/// Tags out, all blanks single (thin ones too): the words of a book.
fn words(html: &str) -> String {
    let mut out = String::new();
    for (i, piece) in body(html).split('<').enumerate() {
        out.push_str(if i == 0 {
            piece
        } else {
            piece.split_once('>').map_or("", |(_, t)| t)
        });
        out.push(' ');
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn fitting_says_where_things_go() {
    let words = words(&book(&sample::full()));
    for said in [
        // Centre of the cup = rim 5 + half of 35.
        "Centre of the cup from the leaf’s edge 22.5 rim 5 + half of 35",
        "Bore, diameter × depth 35 × 13",
        // The leaf's lower edge is at 91.5, its hinges 52.6 and 263 above that; the floor at 107.6.
        "Gates, left 1 L 144.1,&ensp;354.5 36.5,&ensp;246.9",
        // 564.8 less twice 12.7.
        "wide 564.8 539.4 25.4 12.7 left, 12.7 right",
        "high 284.8 100.0 184.8 8.0 below, 176.8 above",
        "deep 394.0 350.0 44.0 0.0 in front, 44.0 behind",
        // The face is from 1.5 to 598.5, the box from 30.3 to 569.7.
        "28.8 beyond the box at the left",
        "15.5 beyond the box at the bottom",
        // First hole at 480, four pitches of 32 more.
        "1 L &ensp; 1 R 37.0 480.0 32.0 5 608.0 62.4",
    ] {
        assert!(words.contains(said), "{said}\nin {words}");
    }
}

#[test]
fn checks_are_counted_and_shown_with_their_reasons() {
    let words = words(&book(&sample::full()));
    for said in [
        "4 checks: 2 hold, 1 caution, 1 allowed, no faults.",
        "Allowed by the maker: “glue fills the corner”",
        "Weight to lift 47.8 at most 25 kg",
        "− 22.8",
        "564.8 − 2 × 12.7 common practice",
        "1 holds with nothing to spare.",
        "The narrowest of the others is Dado against the side, with 2.3 mm to spare",
        "Upper, high",
    ] {
        assert!(
            words.contains(said) || words.contains(&html::escape(said)),
            "{said}\nin {words}"
        );
    }
}

#[test]
fn cautions_follow_from_the_work() {
    let bare = words(&book(&(fixture::cabinet(), Vec::new())));
    let full = words(&book(&sample::full()));
    let oily = "Rags, pads and sanding dust with oil or varnish heat up by themselves";
    assert!(full.contains(oily) && !bare.contains(oily));
    assert!(full.contains("can fall forward") && !bare.contains("can fall forward"));
    assert!(full.contains("Stopped cuts") && full.contains("Dust of oak"));
    for book in [bare, full] {
        assert!(book.contains("The manual of the machine, the label and data sheet"));
        assert!(book.contains("weighs about 36 kg: two carry it"));
    }
}

#[test]
fn the_title_page_says_what_for_whom_and_when() {
    let words = words(&book(&sample::full()));
    for said in [
        "Due Friday 12 March 2027",
        "Revision 3",
        "12 January 2027",
        "For Music school",
    ] {
        assert!(words.contains(said), "{said}\nin {words}");
    }
}
