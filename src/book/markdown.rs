//! A maker's words, written as Markdown, made into markup that can do no harm.
//!
//! Raw HTML becomes text, links keep only harmless targets, headings sink below those of the book,
//! and footnotes get ids of their own. No sanitizer is needed, since no markup of the maker's is
//! ever let through.

use super::html;
use minijinja::Value;
use pulldown_cmark::{CowStr, Event, HeadingLevel, Options, Parser, Tag, TagEnd};

/// Markdown to markup.
///
/// `prefix` makes the ids of its footnotes unique in the book; the first heading becomes one of
/// level `level`, and none skips a level.
pub fn to_html(text: &str, prefix: &str, level: u8) -> Value {
    let options = Options::ENABLE_TABLES
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_TASKLISTS;
    let mut walk = Walk {
        prefix,
        level,
        shift: None,
        last: level.saturating_sub(1),
        ..Walk::default()
    };
    let text = dedent(text);
    for event in Parser::new_ext(&text, options) {
        walk.event(event);
    }
    html::safe(walk.finish())
}

/// Takes off the indentation that all lines share, so that a note may be set in with its block: four
/// blanks would make it code. The first line, which may follow the opening quotes, has its own.
fn dedent(text: &str) -> String {
    let blanks = |line: &str| line.len() - line.trim_start_matches([' ', '\t']).len();
    let shared = text
        .lines()
        .skip(1)
        .filter(|line| !line.trim().is_empty())
        .map(blanks)
        .min()
        .unwrap_or(0);
    text.lines()
        .enumerate()
        .map(|(i, line)| match i {
            0 => line.trim_start(),
            _ => line.get(shared.min(blanks(line))..).unwrap_or(""),
        })
        .collect::<Vec<_>>()
        .join("\n")
}

/// Whether a link may stay: `http`, `https`, `mailto`, or a path beside the book.
///
/// Blanks and control characters are taken out first, as browsers do. A target on another host
/// without a scheme (`//host`) and an anchor in the book (whose ids are ours) may not.
pub fn is_harmless(target: &str) -> bool {
    let plain: String = target
        .chars()
        .filter(|c| !c.is_control() && !c.is_whitespace())
        .collect();
    let bytes = plain.as_bytes();
    let slash = |i: usize| matches!(bytes.get(i), Some(b'/' | b'\\'));
    if plain.is_empty() || plain.starts_with('#') || (slash(0) && slash(1)) {
        return false;
    }
    let end = plain.find(['/', '?', '#', '\\']).unwrap_or(plain.len());
    match plain.get(..end).and_then(|start| start.split_once(':')) {
        Some((scheme, _)) => ["http", "https", "mailto"]
            .iter()
            .any(|known| scheme.eq_ignore_ascii_case(known)),
        None => true,
    }
}

/// Events of the text and of its footnotes while they are gathered.
#[derive(Default)]
struct Walk<'a, 'p> {
    prefix: &'p str,
    level: u8,
    /// Difference between the text's heading levels and ours, known from its first heading.
    shift: Option<i16>,
    /// The level of the heading before.
    last: u8,
    body: Vec<Event<'a>>,
    /// Footnotes in order of first mention: name and events.
    notes: Vec<(CowStr<'a>, Vec<Event<'a>>)>,
    /// Footnotes that are being read, innermost last.
    open: Vec<usize>,
    /// For each open link or image, whether it is written as a link.
    links: Vec<bool>,
}

impl<'a> Walk<'a, '_> {
    fn push(&mut self, event: Event<'a>) {
        let target = match self.open.last().and_then(|i| self.notes.get_mut(*i)) {
            Some((_, events)) => events,
            None => &mut self.body,
        };
        target.push(event);
    }

    fn note(&mut self, name: CowStr<'a>) -> usize {
        match self.notes.iter().position(|(known, _)| *known == name) {
            Some(i) => i,
            None => {
                self.notes.push((name, Vec::new()));
                self.notes.len() - 1
            }
        }
    }

    /// Markup of ours.
    fn markup(&mut self, markup: String) {
        self.push(Event::InlineHtml(markup.into()));
    }

    fn event(&mut self, event: Event<'a>) {
        match event {
            Event::Html(text) | Event::InlineHtml(text) => self.push(Event::Text(text)),
            Event::Start(Tag::HtmlBlock) => self.push(Event::Start(Tag::Paragraph)),
            Event::End(TagEnd::HtmlBlock) => self.push(Event::End(TagEnd::Paragraph)),
            Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => {
                // A picture would need the network or a second file, so it is a link to it. Links
                // don't nest.
                let nested = self.links.contains(&true);
                let linked = !nested && is_harmless(&dest_url);
                self.links.push(linked);
                if linked {
                    self.markup(format!("<a href=\"{}\">", html::escape(&dest_url)));
                }
            }
            Event::End(TagEnd::Link | TagEnd::Image) => {
                if self.links.pop() == Some(true) {
                    self.markup("</a>".to_owned());
                }
            }
            Event::Start(Tag::Heading { level, .. }) => {
                let shift = *self
                    .shift
                    .get_or_insert(i16::from(self.level) - level as i16);
                let wanted = (level as i16 + shift).clamp(i16::from(self.level), 6) as u8;
                self.last = wanted.min(self.last + 1).min(6);
                let level = heading(self.last);
                self.push(Event::Start(Tag::Heading {
                    level,
                    id: None,
                    classes: Vec::new(),
                    attrs: Vec::new(),
                }));
            }
            Event::End(TagEnd::Heading(_)) => {
                self.push(Event::End(TagEnd::Heading(heading(self.last))));
            }
            Event::Start(Tag::FootnoteDefinition(name)) => {
                let i = self.note(name);
                self.open.push(i);
            }
            Event::End(TagEnd::FootnoteDefinition) => {
                self.open.pop();
            }
            Event::FootnoteReference(name) => {
                let n = self.note(name) + 1;
                let prefix = html::escape(self.prefix);
                self.markup(format!("<sup><a href=\"#fn-{prefix}-{n}\">{n}</a></sup>"));
            }
            Event::TaskListMarker(done) => {
                let (class, label) = if done {
                    ("bx on", "done")
                } else {
                    ("bx", "to do")
                };
                self.markup(format!(
                    "<i class=\"{class}\" role=\"img\" aria-label=\"{label}\"></i> "
                ));
            }
            other => self.push(other),
        }
    }

    fn finish(self) -> String {
        let mut out = String::new();
        pulldown_cmark::html::push_html(&mut out, self.body.into_iter());
        if !self.notes.is_empty() {
            out.push_str("<ol class=\"notes\">");
            let prefix = html::escape(self.prefix);
            for (i, (_, events)) in self.notes.into_iter().enumerate() {
                out.push_str(&format!("<li id=\"fn-{prefix}-{}\">", i + 1));
                pulldown_cmark::html::push_html(&mut out, events.into_iter());
                out.push_str("</li>");
            }
            out.push_str("</ol>");
        }
        out
    }
}

fn heading(level: u8) -> HeadingLevel {
    HeadingLevel::try_from(usize::from(level)).unwrap_or(HeadingLevel::H6)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn html(text: &str) -> String {
        to_html(text, "n1", 4).to_string()
    }

    #[test]
    fn raw_html_is_text() {
        for hostile in [
            "<script>alert(1)</script>",
            "a <b onclick=\"x()\">b</b>",
            "<img src=x onerror=alert(1)>",
            "<!-- c --><style>*{display:none}</style>",
            "<svg/onload=alert(1)>",
            "<div>\n\n[a](javascript:b)\n\n</div>",
        ] {
            let out = html(hostile);
            for bad in [
                "<script", "<b ", "<img", "<style", "<svg", "<div", "<!--", "href",
            ] {
                assert!(!out.contains(bad), "{hostile} gave {out}");
            }
        }
        assert_eq!(html("<u>x</u>"), "<p>&lt;u&gt;x&lt;/u&gt;</p>\n");
    }

    #[test]
    fn a_note_may_be_set_in_with_its_block() {
        assert_eq!(
            html("\n    # A\n    b\n\n        code\n    "),
            "<h4>A</h4>\n<p>b</p>\n<pre><code>code\n</code></pre>\n"
        );
        assert_eq!(html("a\n        b"), "<p>a\nb</p>\n");
    }

    #[test]
    fn only_harmless_links_stay() {
        for bad in [
            "javascript:alert(1)",
            "JaVaScRiPt:alert(1)",
            "java\tscript:alert(1)",
            " \u{1}javascript:alert(1)",
            "data:text/html,x",
            "vbscript:x",
            "file:///etc/passwd",
            "//host/x",
            "\\\\host\\x",
            "#checks",
            "",
        ] {
            assert!(!is_harmless(bad), "{bad:?}");
        }
        for good in [
            "https://example.org/a:b",
            "HTTP://example.org",
            "mailto:a@example.org",
            "notes/sketch.pdf",
            "./a?b:c",
        ] {
            assert!(is_harmless(good), "{good}");
        }
        let out =
            html("[a](&#106;avascript:x) <javascript:x> ![p](data:x) [b](https://e.org/?a=\"b)");
        assert_eq!(out.matches("href").count(), 1, "{out}");
        assert!(
            out.contains("<a href=\"https://e.org/?a=&quot;b\">b</a>"),
            "{out}"
        );
    }

    #[test]
    fn headings_sink_and_never_skip() {
        let out = html("# One\n\n### Deep\n\n###### Deeper\n\n# Two");
        assert_eq!(
            out,
            "<h4>One</h4>\n<h5>Deep</h5>\n<h6>Deeper</h6>\n<h4>Two</h4>\n"
        );
        assert_eq!(
            html("### Low first\n\n# High"),
            "<h4>Low first</h4>\n<h4>High</h4>\n"
        );
    }

    #[test]
    fn footnotes_have_ids_of_their_own() {
        let out = html("a[^x] b[^y] c[^x]\n\n[^y]: why\n[^x]: ex");
        assert_eq!(out.matches("href=\"#fn-n1-1\"").count(), 2, "{out}");
        assert_eq!(out.matches("id=\"fn-n1-1\"").count(), 1, "{out}");
        assert!(out.contains("<li id=\"fn-n1-2\"><p>why</p>"), "{out}");
    }

    #[test]
    fn tasks_are_boxes_to_tick() {
        let out = html("- [ ] plane\n- [x] buy");
        assert_eq!(out.matches("class=\"bx\"").count(), 1);
        assert_eq!(out.matches("class=\"bx on\"").count(), 1);
        assert!(!out.contains("<input"));
    }

    #[test]
    fn a_picture_is_a_link() {
        assert_eq!(
            html("![the *old* one](old.jpg)"),
            "<p><a href=\"old.jpg\">the <em>old</em> one</a></p>\n"
        );
        let out = html("[![p](a.png)](b.html)");
        assert_eq!(out.matches("<a ").count(), 1, "{out}");
    }
}
