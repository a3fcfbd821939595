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

/// The two sources of a page, each with the files that it uses.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sample<'a> {
    /// Gives exactly the code of the page.
    pub fails: &'a str,
    /// The other files of the failing project: name and text.
    pub fails_with: Vec<(&'a str, &'a str)>,
    /// The same, mended: gives nothing.
    pub mended: &'a str,
    /// The other files of the mended project.
    pub mended_with: Vec<(&'a str, &'a str)>,
}

/// The sources between ```` ```case fails ```` and ```` ```case mended ````, if the page has exactly one of
/// each. A block ```` ```case file NAME ```` is another file of the project; below the mended source it
/// is a file that is mended too.
pub fn sources(page: &str) -> Option<Sample<'_>> {
    let (mut fails, mut mended) = (None, None);
    let mut fails_with: Vec<(&str, &str)> = Vec::new();
    let mut mended_with: Vec<(&str, &str)> = Vec::new();
    for (kind, text) in blocks(page) {
        match (kind, kind.strip_prefix("file ")) {
            ("fails", _) if fails.is_none() => fails = Some(text),
            ("mended", _) if mended.is_none() => mended = Some(text),
            (_, Some(name)) if mended.is_none() => fails_with.push((name, text)),
            (_, Some(name)) => mended_with.push((name, text)),
            _ => return None,
        }
    }
    for (name, text) in &fails_with {
        if !mended_with.iter().any(|(other, _)| other == name) {
            mended_with.push((name, text));
        }
    }
    Some(Sample {
        fails: fails?,
        fails_with,
        mended: mended?,
        mended_with,
    })
}

/// The blocks that begin with ```` ```case KIND ````: kind and text.
fn blocks(page: &str) -> impl Iterator<Item = (&str, &str)> {
    page.split("```case ").skip(1).filter_map(|rest| {
        let (kind, rest) = rest.split_once('\n')?;
        let (text, _) = rest.split_once("```")?;
        Some((kind, text))
    })
}
