//! Writes a scene as SVG for the book: classes of the book's style sheet, numbers to 0.01 mm, all
//! text escaped. Nothing is laid out here.

use super::scene::{Anchor, Dash, Fill, Pen, Point, Scene, Shape, Step, Text, TextSize, Weight};
use super::text::{CAPITAL, Glyphs, fraction_size};
use std::fmt::Write;

/// The drawing as an `<svg>` element.
pub fn write(scene: &Scene) -> String {
    let (w, h) = (num(scene.width), num(scene.height));
    let mut out = format!(
        "<svg class=\"dw\" style=\"--w:{w};--h:{h}\" viewBox=\"0 0 {w} {h}\"{} role=\"img\" aria-label=\"{}\">",
        if scene.exact {
            " preserveAspectRatio=\"none\""
        } else {
            ""
        },
        escape(&scene.title)
    );
    for shape in &scene.shapes {
        put_shape(&mut out, shape);
    }
    out.push_str("</svg>");
    out
}

fn put_shape(out: &mut String, shape: &Shape) {
    match shape {
        Shape::Path { steps, pen } => {
            put(out, format_args!("<path class=\"{}\" d=\"", pen_class(pen)));
            for step in steps {
                match step {
                    Step::Move(p) => put(out, format_args!("M{}", point(*p))),
                    Step::Line(p) => put(out, format_args!("L{}", point(*p))),
                    Step::Curve(a, b, p) => put(
                        out,
                        format_args!("C{} {} {}", point(*a), point(*b), point(*p)),
                    ),
                    Step::Close => out.push('Z'),
                }
            }
            out.push_str("\"/>");
        }
        Shape::Circle {
            centre,
            radius,
            pen,
        } => put(
            out,
            format_args!(
                "<circle class=\"{}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                pen_class(pen),
                num(centre.0),
                num(centre.1),
                num(*radius)
            ),
        ),
        Shape::Text(text) => put_text(out, text),
    }
}

/// Formatting into a string can't fail.
fn put(out: &mut String, args: std::fmt::Arguments<'_>) {
    let _ = out.write_fmt(args);
}

fn put_text(out: &mut String, text: &Text) {
    let turn = if text.turn == 0.0 {
        String::new()
    } else {
        format!(
            " transform=\"rotate({} {})\"",
            num(text.turn),
            point(text.at)
        )
    };
    if let [Glyphs::Words(words)] = text.content.pieces.as_slice() {
        let anchor = match text.anchor {
            Anchor::Start => "",
            Anchor::Middle => " am",
            Anchor::End => " ae",
        };
        put(
            out,
            format_args!(
                "<text class=\"{}{anchor}\" x=\"{}\" y=\"{}\"{turn}>{}</text>",
                text_class(text),
                num(text.at.0),
                num(text.at.1),
                escape(words)
            ),
        );
        return;
    }
    // With a stacked fraction each piece is set at its own place.
    let size = text.size.mm(text.italic);
    let small = fraction_size(size);
    let mut x = match text.anchor {
        Anchor::Start => text.at.0,
        Anchor::Middle => text.at.0 - text.width() / 2.0,
        Anchor::End => text.at.0 - text.width(),
    };
    put(out, format_args!("<g{turn}>"));
    for piece in &text.content.pieces {
        let width = piece.width(size, text.bold, text.italic);
        match piece {
            Glyphs::Words(words) => put(
                out,
                format_args!(
                    "<text class=\"{}\" x=\"{}\" y=\"{}\">{}</text>",
                    text_class(text),
                    num(x),
                    num(text.at.1),
                    escape(words)
                ),
            ),
            Glyphs::Fraction(n, d) => {
                let bar = text.at.1 - CAPITAL / 2.0 * size;
                let middle = x + width / 2.0;
                let weight = format!(
                    "am{}{}{}",
                    if text.bold { " b" } else { "" },
                    if text.accent { " ra" } else { "" },
                    if text.halo { " h" } else { "" }
                );
                for (figure, y) in [
                    (n, bar - 0.09 * size),
                    (d, bar + 0.1 * size + CAPITAL * small),
                ] {
                    put(
                        out,
                        format_args!(
                            "<text class=\"{weight}\" font-size=\"{}\" x=\"{}\" y=\"{}\">{figure}</text>",
                            num(small),
                            num(middle),
                            num(y)
                        ),
                    );
                }
                put(
                    out,
                    format_args!(
                        "<path class=\"n{}\" d=\"M{} {}H{}\"/>",
                        if text.accent { " a" } else { "" },
                        num(x + 0.05 * size),
                        num(bar),
                        num(x + width - 0.05 * size)
                    ),
                );
            }
        }
        x += width;
    }
    out.push_str("</g>");
}

fn text_class(text: &Text) -> String {
    let mut class = String::from(match text.size {
        TextSize::T1 => "t1",
        TextSize::T2 => "t2",
        TextSize::T3 => "t3",
        TextSize::T4 => "t4",
    });
    for (so, name) in [
        (text.bold, " b"),
        (text.italic, " i"),
        (text.accent, " ra"),
        (text.halo, " h"),
    ] {
        if so {
            class.push_str(name);
        }
    }
    class
}

fn pen_class(pen: &Pen) -> String {
    let mut class: Vec<&str> = Vec::new();
    match pen.weight {
        Some(Weight::Heavy) => class.push("kk"),
        Some(Weight::Thick) => class.push("k"),
        Some(Weight::Medium) => class.push("m"),
        Some(Weight::Thin) => class.push("n"),
        Some(Weight::Hatch) => class.push("x"),
        None => {}
    }
    match pen.dash {
        Dash::Solid => {}
        Dash::Hidden => class.push("hid"),
        Dash::Centre => class.push("cl"),
        Dash::Swing => class.push("swing"),
    }
    match (pen.fill, pen.weight.is_some()) {
        (Fill::None, _) => {}
        (Fill::White, true) => class.push("w"),
        (Fill::White, false) => class.push("wf"),
        (Fill::Black, true) => class.push("blk2"),
        (Fill::Black, false) => class.push("blk"),
    }
    if pen.accent {
        class.push(if pen.weight.is_some() { "a" } else { "ra_f" });
    }
    class.join(" ")
}

fn point(p: Point) -> String {
    format!("{} {}", num(p.0), num(p.1))
}

/// To 0.01, without trailing zeros, never `-0`.
fn num(value: f64) -> String {
    let hundredths = (value * 100.0).round();
    if hundredths == 0.0 {
        return "0".to_string();
    }
    let text = format!("{:.2}", hundredths / 100.0);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        assert_eq!(
            [0.0, -0.001, 1.0, 2.5, 17.604, -3.999].map(num),
            ["0", "0", "1", "2.5", "17.6", "-4"]
        );
    }

    #[test]
    fn text_and_title_are_escaped() {
        let mut scene = Scene::new(10.0, 10.0, "a \"b\" <c>");
        scene.text(Text::new((1.0, 2.0), "1 < 2 & 3").bold().middle());
        scene.line((0.0, 0.0), (5.0, 0.0), Pen::THIN.hidden().red());
        assert_eq!(
            write(&scene),
            "<svg class=\"dw\" style=\"--w:10;--h:10\" viewBox=\"0 0 10 10\" role=\"img\" aria-label=\"a &quot;b&quot; &lt;c&gt;\">\
             <text class=\"t2 b am\" x=\"1\" y=\"2\">1 &lt; 2 &amp; 3</text>\
             <path class=\"n hid a\" d=\"M0 0L5 0\"/></svg>"
        );
    }
}
