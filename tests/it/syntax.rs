//! Text to tree.
use casewright::diag::{Style, render};
use casewright::source::{Source, Sources};
use casewright::syntax::parse;

#[test]
fn the_example_of_the_language_reads_without_a_report() {
    let mut sources = Sources::default();
    let file = sources.add(Source::new(
        "good.case",
        include_str!("../good/score-cabinet.case"),
    ));
    let (tree, reports) = parse(&sources, file);
    assert_eq!(render(&reports, &sources, Style::Plain), "");
    assert!(tree.nodes.len() > 10);
}
