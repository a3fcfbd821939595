//! What changes from one text to another, line by line, as it is shown to the maker.

use super::mend::Change;
use similar::{ChangeTag, TextDiff};

/// So many changed lines are shown of one file.
const SHOWN: usize = 60;

/// The lines that change, with their numbers in the old text; `-` was, `+` will be.
///
/// Ends with how many more there are where the list would be long.
pub(super) fn between(name: &str, old: &str, new: &str) -> String {
    let diff = TextDiff::from_lines(old, new);
    let changed: Vec<_> = diff
        .iter_all_changes()
        .filter(|change| change.tag() != ChangeTag::Equal)
        .collect();
    let width = old.lines().count().to_string().len();
    let mut out = format!("{name}: {} would change\n", lines(&changed));
    let mut last = 0;
    for change in changed.iter().take(SHOWN) {
        let (sign, number) = match change.tag() {
            ChangeTag::Delete => ('-', change.old_index().map(|i| i + 1)),
            _ => ('+', None),
        };
        if let Some(number) = number {
            if last > 0 && number > last + 1 {
                out.push('\n');
            }
            last = number;
        }
        let number = number.map_or_else(String::new, |n| n.to_string());
        let line = change.value();
        let line = line.strip_suffix('\n').unwrap_or(line);
        let line = format!("  {number:>width$} {sign} {}", printable(line));
        out.push_str(line.trim_end());
        out.push('\n');
    }
    if let Some(more) = changed.len().checked_sub(SHOWN).filter(|more| *more > 0) {
        out.push_str(&format!("  … and {more} more\n"));
    }
    out
}

/// A cure: what was wrong, the lines as they were and as they are.
pub(super) fn cure(name: &str, change: &Change) -> String {
    let mut out = format!("{name}:{}: {}\n", change.line, printable(&change.title));
    for (sign, text) in [('-', &change.before), ('+', &change.after)] {
        for line in text.lines() {
            out.push_str(format!("  {sign} {}", printable(line)).trim_end());
            out.push('\n');
        }
    }
    out
}

fn lines(changed: &[similar::Change<&str>]) -> String {
    let of = |tag| changed.iter().filter(|c| c.tag() == tag).count();
    match of(ChangeTag::Delete).max(of(ChangeTag::Insert)) {
        1 => "1 line".to_owned(),
        n => format!("{n} lines"),
    }
}

/// A line without signs that would move the terminal's cursor; a carriage return is shown.
fn printable(line: &str) -> String {
    line.chars()
        .map(|c| match c {
            '\r' => '␍',
            '\t' => '→',
            c if c.is_control() => '�',
            c => c,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn shows_what_was_and_what_will_be_with_line_numbers() {
        let old = "a\nb  c\nd\ne\nf\r\n";
        let new = "a\nb c\nd\ne\nf\n";
        assert_eq!(
            super::between("x.case", old, new),
            "x.case: 2 lines would change\n  2 - b  c\n    + b c\n\n  5 - f␍\n    + f\n"
        );
    }
}
