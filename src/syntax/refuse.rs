//! Texts that are not read, and characters that are refused wherever they stand.

use crate::diag::{Diagnostic, code};
use crate::source::{FileId, Span};

/// Why a text is not read at all.
pub(super) fn not_text(text: &str, file: FileId) -> Option<Diagnostic> {
    let span = |at: usize| Span {
        file,
        start: at as u32,
        end: at as u32 + 1,
    };
    if let Some(at) = text.find('\0') {
        let title = "a file is not text";
        let report = Diagnostic::new(&code::SYNTAX_NOT_TEXT, title, span(at), "a zero byte");
        return Some(report.help("give a text file that was written in an editor"));
    }
    let mut returns = text.match_indices('\r').map(|(at, _)| at);
    let lone = returns.find(|at| text.as_bytes().get(at + 1) != Some(&b'\n'))?;
    let title = "a carriage return stands without its newline";
    let here = "hides what stands before it on some screens";
    let report = Diagnostic::new(&code::SYNTAX_HIDDEN, title, span(lone), here);
    Some(report.help("save the file with line ends of one usual kind"))
}

/// Characters that change the order in which the rest of a line is shown: text that reads otherwise
/// than it is compiled must not pass a review unseen.
///
/// The first sign that another program lost is reported too: the maker must look at the original.
pub(super) fn hidden(text: &str, file: FileId) -> Vec<Diagnostic> {
    let mut reports = Vec::new();
    let span = |at: usize, c: char| Span {
        file,
        start: at as u32,
        end: (at + c.len_utf8()) as u32,
    };
    if let Some(at) = text.find('\u{fffd}') {
        reports.push(
            Diagnostic::new(
                &code::SYNTAX_NOT_TEXT,
                "a letter was lost before the file was saved",
                span(at, '\u{fffd}'),
                "stands for a letter that some program could not read",
            )
            .help("write the letter again, and save the file as UTF-8"),
        );
    }
    // All characters that turn the direction begin with this byte in UTF-8.
    for at in text
        .bytes()
        .enumerate()
        .filter(|(_, byte)| *byte == 0xe2)
        .map(|(at, _)| at)
    {
        if let Some(c @ ('\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')) =
            text.get(at..).and_then(|t| t.chars().next())
        {
            let here = format!("U+{:04X} turns the direction of what follows", c as u32);
            reports.push(
                Diagnostic::new(
                    &code::SYNTAX_HIDDEN,
                    "a character that cannot be seen changes how the text reads",
                    span(at, c),
                    here,
                )
                .help("take it out"),
            );
            if reports.len() > 20 {
                break; // enough to find the rest by
            }
        }
    }
    reports
}
