//! Reports as a maker, a screen reader and a program see them.

use crate::syntax::read;
use casewright::diag::{Diagnostic, Style, code, render};
use casewright::source::{FileId, Source, Sources, Span};

const HUMAN: Style = Style::Human {
    color: false,
    width: 80,
};

fn snapshot(name: &str, text: &str) {
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!(format!("render-{name}"), text);
    });
}

/// A faulty piece with faults of many kinds.
const FAULTY: &str = "\
piece rack \"Score rack\" {
    param  width = 16-1/2in
    case body {
        size   wide width high 760 mm deep 460mm -3mm
        side   left, right of oak18
        shelf  decks [2] of oak18
        drawer tray in well {
            gap 1,5mm
        join   decks into left, right with dado deep (5mm
        note   \"wax the runners
    }
    require body.wide => 300mm
}
";

#[test]
fn faults_in_reading() {
    let read = read(FAULTY);
    snapshot("human", &render(&read.reports, &read.sources, HUMAN));
    snapshot("plain", &render(&read.reports, &read.sources, Style::Plain));
    let first = read.reports.get(..2).unwrap_or_default();
    snapshot("json", &render(first, &read.sources, Style::Json));
}

fn span_of(sources: &Sources, file: FileId, text: &str) -> Span {
    let at = sources
        .get(file)
        .text
        .find(text)
        .expect("the text is there") as u32;
    Span {
        file,
        start: at,
        end: at + text.len() as u32,
    }
}

/// A report with labels on several lines and in two files, notes, and long help.
fn far_apart() -> (Sources, Diagnostic) {
    let mut sources = Sources::default();
    let piece = sources.add(Source::new(
        "score_cabinet.case",
        "divide inside downward {\n    opening well high 130mm\n}\n\n\ndrawer tray in well {\n\tbox of birch12 wide 852.1mm // größer\n}\n",
    ));
    let stock = sources.add(Source::new(
        "stock.case",
        "hardware runner400 runner {\n    beside 12.7mm\n}\n",
    ));
    let diag = Diagnostic::new(
        &code::SYNTAX_UNREADABLE,
        "drawer `tray` is 12.7 mm too wide for `well`",
        span_of(&sources, piece, "wide 852.1mm"),
        "the box is to be 852.1 mm wide",
    )
    .at(span_of(&sources, piece, "well"), "clear width 864.8 mm, between `left` and `right`")
    .at(span_of(&sources, stock, "12.7mm"), "each side")
    .at(span_of(&sources, piece, "{\n\tbox of birch12 wide 852.1mm // größer\n}"), "in this block")
    .note("864.8 - 2 x 12.7 (runner400, beside) = 839.4")
    .help("leave `wide` out and the box is made to fit")
    .help("or choose a runner that stands closer to the side, so that the box can be as wide as it is stated here");
    (sources, diag)
}

#[test]
fn labels_far_apart_and_in_another_file() {
    let (sources, diag) = far_apart();
    let color = Style::Human {
        color: true,
        width: 60,
    };
    snapshot(
        "far-human",
        &render(std::slice::from_ref(&diag), &sources, HUMAN),
    );
    snapshot(
        "far-color",
        &render(std::slice::from_ref(&diag), &sources, color),
    );
    snapshot("far-plain", &render(&[diag], &sources, Style::Plain));
}

#[test]
fn a_place_at_the_end_of_the_file_is_shown() {
    for text in ["", "a", "a\n", "a\r\n", "a\n\n\n", "\u{feff}"] {
        let mut sources = Sources::default();
        let file = sources.add(Source::new("a.case", text));
        let end = text.len() as u32;
        let diag = Diagnostic::new(
            &code::SYNTAX_UNREADABLE,
            "t",
            Span {
                file,
                start: end,
                end,
            },
            "here",
        );
        let shown = render(&[diag], &sources, HUMAN);
        assert!(shown.contains("╰── here"), "{text:?} gives\n{shown}");
    }
}

#[test]
fn columns_count_characters_and_tabs_do_not_shift_the_arrow() {
    let read = read("näme\tgrößer 18MM\n");
    let plain = render(&read.reports, &read.sources, Style::Plain);
    assert!(
        plain.starts_with("a.case:1:15: error[value.unit]"),
        "{plain}"
    );
    let human = render(&read.reports, &read.sources, HUMAN);
    let lines: Vec<&str> = human.lines().collect();
    let column = |line: usize, sign: char| {
        lines
            .get(line)
            .and_then(|l| l.chars().position(|c| c == sign))
    };
    assert_eq!(column(2, 'M'), column(3, '─').or(column(3, '┬')), "{human}");
}

#[test]
fn nothing_in_a_source_steers_the_terminal() {
    let read = read("a \u{1b}[31m\u{202e}\u{9b} b\n");
    assert!(!read.reports.is_empty());
    for style in [HUMAN, Style::Plain] {
        let shown = render(&read.reports, &read.sources, style);
        assert!(
            !shown.contains(['\u{1b}', '\u{202e}', '\u{9b}']),
            "{shown:?}"
        );
    }
}

#[test]
fn errors_stand_before_cautions_each_by_file_and_place() {
    let (sources, _) = far_apart();
    let at = |file: u32, start: u32| Span {
        file: FileId(file),
        start,
        end: start + 1,
    };
    static CAUTION: casewright::diag::Code = casewright::diag::Code {
        name: "load.sag",
        severity: casewright::diag::Severity::Caution,
        title: "a shelf sags",
    };
    let diags = [
        Diagnostic::new(&CAUTION, "c", at(0, 0), ""),
        Diagnostic::new(&code::SYNTAX_HEAD, "b", at(1, 0), ""),
        Diagnostic::new(&code::SYNTAX_HEAD, "a2", at(0, 9), ""),
        Diagnostic::new(&code::SYNTAX_HEAD, "a1", at(0, 3), ""),
    ];
    let plain = render(&diags, &sources, Style::Plain);
    let titles: Vec<&str> = plain
        .lines()
        .filter_map(|line| line.rsplit(": ").next())
        .collect();
    assert_eq!(titles, ["a1", "a2", "b", "c"]);
    assert!(plain.contains("caution[load.sag]"));
}

/// The library's own source type took 14 s for 200 reports on such a file in a debug build.
#[test]
fn many_reports_on_a_large_file_are_written_quickly() {
    let text = "side left of oak18 18MM\n".repeat(10_000);
    let read = read(&text);
    assert_eq!(read.reports.len(), 10_000);
    let some: Vec<Diagnostic> = read.reports.iter().step_by(50).cloned().collect();
    let start = std::time::Instant::now();
    let shown = render(&some, &read.sources, HUMAN);
    assert!(shown.lines().count() > 1000);
    assert!(start.elapsed().as_secs() < 5, "{:?}", start.elapsed());
}
