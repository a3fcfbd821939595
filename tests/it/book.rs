//! The book from text to page: what a maker writes, compiled, planned and written.

use casewright::book::{self, Facts, Paper, Templates};
use casewright::compile;
use casewright::elaborate::Options;
use casewright::plan;
use casewright::source::{Files, ReadFault};

/// A tall cabinet in inches: a drawer on side runners over a pair of doors, a loose shelf.
const CABINET: &str = r#"edition 1

/// Birch plywood.
stock birch18 sheet {
    thick 18mm measured 17.6mm
    sold  long 2440mm wide 1220mm
    grain long
}
/// Side runner, 350 mm.
hardware runner350 runner {
    mounts side
    long   350mm
    beside 12.7mm
    above  6mm
    below  8mm
}
/// Cup hinge.
hardware cup_hinge hinge {
    mounts cup
    bore   35mm deep 13mm set_in 5mm
    covers from 14mm to 18mm
}
/// Turned knob.
hardware knob pull {
    bore 4.5mm
}
/// Shelf pin, 5 mm.
hardware pin5 pin {
    thick 5mm deep 10mm
}
/// Wiped on.
finish oiled {
    sand 120, 180
    coat oil 2 dry 12h covers 12m2 per L
}

piece cabinet "Stand <cabinet> & more" {
    units  UNITS
    finish oiled
    note """
    # At the bench
    Mark the **face sides** first. <script>alert(1)</script> [no](javascript:alert(1))
    """
    case body {
        size   wide 600mm high 900mm deep 400mm
        side   left, right of birch18
        bottom floor       of birch18 at 80mm
        top    lid         of birch18
        back   rear        of birch18
        divide inside downward {
            opening tray high 140mm
            shelf   deck of birch18
            opening cupboard
        }
        join floor, deck into left, right            with dado   deep 6mm
        join lid         into left, right            with rabbet deep 8mm
        join rear        into left, right, lid       with rabbet deep 8mm
        join rear        to   floor                  with butt
        drawer till in tray {
            box    of birch18 high 100mm
            bottom of birch18 at 10mm
            join   front, back into left, right with dado deep 5mm
            join   bottom into left, right, front, back with groove deep 5mm
            runner of runner350
            face   of birch18 overlay reveal 1.5mm gap 3mm
            pull   1 of knob
        }
        doors gates in cupboard of birch18 overlay reveal 1.5mm gap 3mm {
            hinge 2 of cup_hinge
            pull  1 of knob at 60mm from top at 40mm from meeting
        }
        shelves loose 1 of birch18 in cupboard set_back 30mm gap 1mm {
            pins 4 of pin5 pitch 32mm set_back 67mm from 96mm to 416mm
        }
    }
}
"#;

struct One(String);

impl Files for One {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        if path == "main.case" {
            Ok(self.0.clone())
        } else {
            Err(ReadFault::Missing)
        }
    }
}

fn write(units: &str, paper: Paper, templates: &Templates) -> Result<String, book::BookFault> {
    let files = One(CABINET.replace("UNITS", units));
    let compiled = compile(&files, "main.case", &Options::default()).expect("the text is there");
    let reports: Vec<&str> = compiled
        .diagnostics
        .iter()
        .map(|d| d.title.as_str())
        .collect();
    let model = compiled
        .model
        .as_ref()
        .unwrap_or_else(|| panic!("{reports:?}"));
    let plans = plan::make(model);
    let facts = Facts {
        model,
        plans: &plans,
        findings: &compiled.findings,
        paper,
        revision: Some("B"),
        date: Some(jiff::civil::date(2027, 1, 12)),
        since: None,
    };
    book::write(&facts, templates)
}

fn built_in(units: &str, paper: Paper) -> String {
    write(units, paper, &Templates::built_in()).expect("the built-in templates can be filled in")
}

/// Tags out, blanks single.
fn words(html: &str) -> String {
    let mut out = String::new();
    for piece in html.split('<').skip(1) {
        out.push_str(piece.split_once('>').map_or("", |(_, text)| text));
        out.push(' ');
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn attributes<'a>(html: &'a str, name: &str) -> Vec<&'a str> {
    let opening = format!(" {name}=\"");
    html.split(opening.as_str())
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect()
}

#[test]
fn the_markup_is_sound_in_both_systems_on_both_papers() {
    for units in ["mm", "in"] {
        for paper in [Paper::A4, Paper::Letter] {
            let html = built_in(units, paper);
            let mut ids = attributes(&html, "id");
            ids.sort_unstable();
            for pair in ids.windows(2) {
                assert_ne!(pair[0], pair[1], "an id stands twice");
            }
            for target in attributes(&html, "href") {
                if let Some(id) = target.strip_prefix('#') {
                    assert!(ids.binary_search(&id).is_ok(), "nothing has the id {id}");
                }
            }
            for bad in [
                "<script",
                "<link",
                "<img",
                " src=",
                "href=\"javascript",
                "url(http",
                "@import",
            ] {
                assert!(!html.contains(bad), "{bad} in the book");
            }
            for style in attributes(&html, "style") {
                let wide = style
                    .strip_prefix("--w:")
                    .and_then(|rest| rest.split(';').next())
                    .and_then(|wide| wide.parse::<f64>().ok());
                assert!(
                    wide.is_none_or(|wide| wide <= 175.0),
                    "{style} is wider than the measure"
                );
            }
            assert!(html.contains(&format!("size:{} portrait", paper.word())));
            assert!(
                html.contains("Stand &lt;cabinet&gt; &amp;"),
                "the title is escaped"
            );
            assert_eq!(
                html,
                built_in(units, paper),
                "the same text gives the same bytes"
            );
        }
    }
}

#[test]
fn every_chapter_in_the_list_stands_in_the_book_in_order() {
    let html = built_in("mm", Paper::A4);
    let sections: Vec<&str> = html
        .split("<section ")
        .skip(1)
        .filter_map(|rest| rest.split("id=\"").nth(1)?.split('"').next())
        .collect();
    let listed: Vec<&str> = attributes(&html, "href")
        .into_iter()
        .filter_map(|target| target.strip_prefix('#'))
        .filter(|id| book::CHAPTERS.iter().any(|chapter| chapter.id == *id))
        .take(sections.len())
        .collect();
    assert_eq!(sections, listed);
    for id in ["title", "start", "fitting"] {
        assert!(sections.contains(&id), "{id}");
        assert!(html.contains(&format!("#{id}{{page:p-{id}}}")));
    }
}

/// Sides 17.6, so the opening is 600 - 35.2 = 564.8 wide and the box 564.8 - 25.4 = 539.4; the
/// cup's centre is 5 + 17.5 from the edge.
#[test]
fn figures_of_the_text_reach_the_page() {
    let words = words(&built_in("mm", Paper::A4));
    for said in [
        "600 × 900 × 400 mm",
        "wide 564.8 539.4 25.4 12.7 left, 12.7 right",
        "Centre of the cup from the leaf’s edge 22.5 rim 5 + half of 35",
        "Mark the face sides first. &lt;script&gt;",
        "can fall forward when drawers and doors stand open",
        "Rags, pads and sanding dust with oil or varnish heat up by themselves",
        "Revision B",
    ] {
        assert!(words.contains(said), "{said}\nin {words}");
    }
}

#[test]
fn a_makers_template_takes_the_place_of_one_and_only_one() {
    let own = Templates::with_overrides([(
        "fitting.html".to_owned(),
        "<h2>{{ chapter.title }} of ours</h2>{{ pieces|length }}".to_owned(),
    )]);
    let html = write("mm", Paper::A4, &own).expect("the template can be filled in");
    assert!(html.contains("<h2>Fitting of ours</h2>1") && html.contains("Before you start"));
    let wrong =
        Templates::with_overrides([("base.html".to_owned(), "{{ style }}\n{{ nme }}".to_owned())]);
    let fault = write("mm", Paper::A4, &wrong).expect_err("nme is no name");
    assert_eq!(fault.to_string(), "base.html:2: `nme` is undefined");
    let bare = Templates::with_overrides([("base.html".to_owned(), "<p>nothing</p>".to_owned())]);
    let fault = write("mm", Paper::A4, &bare).expect_err("the cautions are gone");
    assert!(fault.what.contains("cautions"));
}
