//! The pages that explain codes: every code has one, every page has a code, and both of its sources
//! do what the page says.

use crate::support::Texts;
use casewright::diag::{CODES, explain, pages, sources};

/// The name that the sources of a page bear in their project.
pub const PAGE: &str = "page.case";

/// The codes that the whole compiler gives for a source of a page, in order.
fn compiled(text: &str, with: &[(&str, &str)]) -> Vec<String> {
    let mut files = vec![(PAGE, text)];
    files.extend(with);
    let compiled = casewright::compile(&Texts::of(&files), PAGE, &Default::default())
        .expect("the file is there");
    compiled
        .diagnostics
        .iter()
        .map(|report| report.code.name.to_string())
        .collect()
}

/// Codes that the verifiers of plans give, not the checks of the text.
const FROM_PLANS: &[&str] = &["shop.no_cutter", "order.open_time", "order.clamps"];

/// The codes that the plans of a source find wanting.
fn planned(text: &str) -> Vec<String> {
    let files = Texts::of(&[(PAGE, text)]);
    let mut compiled =
        casewright::compile(&files, PAGE, &Default::default()).expect("the file is there");
    let Some(model) = &compiled.model else {
        return vec!["no model".into()];
    };
    compiled.judge(casewright::plan::findings(model));
    let codes = compiled.diagnostics.iter().map(|d| d.code.name.to_owned());
    let mut codes: Vec<String> = codes
        .filter(|code| FROM_PLANS.contains(&code.as_str()))
        .collect();
    codes.dedup();
    codes
}

/// What is wrong with a page, if anything.
fn faults(code: &str) -> Vec<String> {
    let Some(page) = explain(code) else {
        return vec![format!("{code} has no page")];
    };
    let mut faults = Vec::new();
    if page.lines().next() != Some(&format!("# {code}")) {
        faults.push(format!("the page of {code} does not start with `# {code}`"));
    }
    let Some(sample) = sources(page) else {
        faults.push(format!(
            "the page of {code} does not hold one source that fails and one that is mended"
        ));
        return faults;
    };
    if FROM_PLANS.contains(&code) {
        let found = [planned(sample.fails), planned(sample.mended)];
        if found != [vec![code.to_owned()], Vec::new()] {
            faults.push(format!(
                "the plans of the two sources of {code} give {found:?}"
            ));
        }
        return faults;
    }
    // A page about reading may show words that this edition reads and does not build.
    let read = |mut found: Vec<String>| {
        found.retain(|other| !(code.starts_with("syntax.") && other == "name.later"));
        found
    };
    let found = read(compiled(sample.fails, &sample.fails_with));
    if found != [code] {
        faults.push(format!("the source that fails gives {found:?}, not {code}"));
    }
    let found = read(compiled(sample.mended, &sample.mended_with));
    if !found.is_empty() {
        faults.push(format!("the mended source of {code} gives {found:?}"));
    }
    faults
}

/// Cautions that the plans give, which compiling does not make yet.
const OF_PLANS: &[&str] = &["shop.no_cutter", "order.open_time", "order.clamps"];

#[test]
fn the_sources_of_pages_do_what_the_pages_say() {
    let faults: Vec<String> = pages()
        .iter()
        // What is wrong with a template cannot be shown in a source.
        .filter(|code| !code.starts_with("book.") && !OF_PLANS.contains(&code.as_str()))
        .flat_map(|code| faults(code))
        .collect();
    assert_eq!(faults, Vec::<String>::new());
}

#[test]
fn every_code_has_a_page_with_its_two_sources_and_every_page_a_code() {
    let mut codes: Vec<String> = CODES.iter().map(|code| code.name.to_string()).collect();
    codes.sort();
    let pages = pages();
    let without_page: Vec<&String> = codes.iter().filter(|code| !pages.contains(code)).collect();
    let without_code: Vec<&String> = pages.iter().filter(|page| !codes.contains(page)).collect();
    assert_eq!(without_page, Vec::<&String>::new(), "codes without a page");
    assert_eq!(without_code, Vec::<&String>::new(), "pages without a code");
    // What is wrong with a template cannot be shown in a source.
    for code in codes.iter().filter(|code| !code.starts_with("book.")) {
        let page = explain(code).expect("listed above");
        assert!(sources(page).is_some(), "{code} lacks a source");
    }
}

#[test]
fn names_and_titles_of_codes_keep_the_house_style() {
    for code in CODES {
        let (family, fault) = code.name.split_once('.').expect("family.fault");
        let plain = |word: &str| {
            !word.is_empty()
                && word
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b == b'_' || b.is_ascii_digit())
        };
        assert!(plain(family) && plain(fault), "{}", code.name);
        assert!(!code.title.ends_with('.'), "{}", code.title);
        assert!(
            !code.title.starts_with(char::is_uppercase),
            "{}",
            code.title
        );
    }
    let mut names: Vec<&str> = CODES.iter().map(|code| code.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), CODES.len(), "a code stands twice in the table");
}
