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

/// Families with reports of the elaboration.
const FAMILIES: &[&str] = &[
    "allow", "band", "expect", "fit", "join", "name", "note", "place", "require", "stock", "sum",
    "type", "use", "value",
];

/// Codes of these families that the rules give, which have snapshots of their own.
const OF_RULES: &[&str] = &["allow.unused", "stock.part_long", "stock.part_thick"];

/// Codes of joints that the elaboration gives.
const OF_JOINTS: &[&str] = &["join.apart", "join.face", "join.no_room", "join.two_depths"];

#[test]
fn the_reports_of_the_pages_read_well() {
    for family in FAMILIES {
        let mut shown = String::new();
        for code in pages() {
            let of_rules = OF_RULES.contains(&code.as_str())
                || (code.starts_with("fit.") && code != "fit.no_hinge")
                || code.starts_with("join.") && !OF_JOINTS.contains(&code.as_str());
            if code.split('.').next() != Some(family) || of_rules {
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
