//! The pages that explain each code at length, one file a code: `explain/<family>/<fault>.md`.

use include_dir::{Dir, include_dir};

static PAGES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/diag/explain");

/// The page of a code, as Markdown.
pub fn explain(code: &str) -> Option<&'static str> {
    let (family, fault) = code.split_once('.')?;
    PAGES
        .get_file(format!("{family}/{fault}.md"))?
        .contents_utf8()
}

/// The codes that have a page, in order.
pub fn pages() -> Vec<String> {
    let mut codes: Vec<String> = PAGES
        .dirs()
        .flat_map(|family| family.files())
        .filter_map(|file| {
            let path = file.path().with_extension("");
            let fault = path.file_name()?.to_str()?;
            let family = path.parent()?.file_name()?.to_str()?;
            Some(format!("{family}.{fault}"))
        })
        .collect();
    codes.sort();
    codes
}

/// The two sources of a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sample<'a> {
    /// Gives exactly the code of the page.
    pub fails: &'a str,
    /// The same, mended: gives nothing.
    pub mended: &'a str,
}

/// The sources between ```` ```case fails ```` and ```` ```case mended ````, if the page has exactly one of each.
pub fn sources(page: &str) -> Option<Sample<'_>> {
    Some(Sample {
        fails: fenced(page, "fails")?,
        mended: fenced(page, "mended")?,
    })
}

fn fenced<'a>(page: &'a str, kind: &str) -> Option<&'a str> {
    let open = format!("```case {kind}\n");
    let (_, rest) = page.split_once(&open)?;
    let (source, rest) = rest.split_once("```")?;
    (!rest.contains(&open)).then_some(source)
}
