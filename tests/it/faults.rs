//! What a maker sees of each mistake, and that one mistake gives one report or few: the good example,
//! spoilt in many ways, never panics, never floods, never goes silent.

use crate::explain::PAGE;
use crate::support::Texts;
use casewright::Compiled;
use casewright::diag::{Style, explain, pages, render, sources};

const HUMAN: Style = Style::Human {
    color: false,
    width: 90,
};

fn compile(files: &[(&str, &str)]) -> Compiled {
    let (entry, _) = files.first().expect("a first file");
    casewright::compile(&Texts::of(files), entry, &Default::default()).expect("the file is there")
}

/// Families whose reports the elaboration gives, with what reading and the rules give in them.
const FAMILIES: &[&str] = &[
    "allow", "band", "expect", "fit", "join", "name", "note", "place", "require", "stock", "sum",
    "type", "use", "value",
];

#[test]
fn the_reports_of_the_pages_read_well() {
    for family in FAMILIES {
        let mut shown = String::new();
        for code in pages() {
            if code.split('.').next() != Some(family) {
                continue;
            }
            let page = explain(&code).expect("listed");
            let sample = sources(page).expect("a source that fails");
            let mut files = vec![(PAGE, sample.fails)];
            files.extend(&sample.fails_with);
            let compiled = compile(&files);
            shown += &render(&compiled.diagnostics, &compiled.sources, HUMAN);
            shown.push('\n');
        }
        insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(format!("faults-{family}"), shown);
        });
    }
}
