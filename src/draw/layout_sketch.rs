//! A sheet, board or strip with its parts, to scale: labels, grain, every cut with its number, offcuts
//! and waste. Boards and strips are long and narrow, so their width is drawn at a larger scale than
//! their length, and both are told.

use super::dimension::spread;
use super::hatch::{self, Run};
use super::mark;
use super::region::Region;
use super::scene::{Pen, Point, Rect, Scene, Text, TextSize};
use super::text::Content;
use crate::measure::{Length, Units};
use crate::model::Hand;
use crate::plan::layouts::{CutDo, Placed, Rect as Wood, Sheet, SheetCut, numbers, place_sign};

/// Scales of layouts; nobody measures off them, so 1 : 15 and others are allowed here.
const SCALES: [u32; 10] = [2, 5, 8, 10, 15, 20, 25, 30, 40, 50];

/// Room at the left for the numbers of rips, and above for those of cross-cuts.
const LEFT: f64 = 10.0;
const ABOVE: f64 = 8.0;
/// Largest sheet on paper.
const WIDE: f64 = 164.0;
const HIGH: f64 = 118.0;

/// Scales of the width of boards, where that of their length is not larger.
const ACROSS: [u32; 7] = [1, 2, 3, 4, 5, 8, 10];
/// Largest board on paper.
const BOARD: f64 = 34.0;

/// Draws a sheet, or several that are cut alike, of which places bear signs; returns the scene and its scale,
/// 1 to so much.
pub fn sheet(alike: &[Sheet], thick: Length, units: Units) -> (Scene, u32) {
    let sheet = &alike[0];
    let (long, wide) = (sheet.long.to_f64_mm(), sheet.wide.to_f64_mm());
    let scale = SCALES
        .into_iter()
        .find(|s| long / f64::from(*s) <= WIDE && wide / f64::from(*s) <= HIGH)
        .unwrap_or(100);
    let title = format!("{}, layout at 1 to {scale}", numbered(alike, "Sheet"));
    (draw(alike, thick, units, [scale; 2], title), scale)
}

/// Draws a board or a strip, as `noun` says, or several that are cut alike; returns the scene and the scales of
/// its length and width, 1 to so much.
pub fn board(alike: &[Sheet], noun: &str, thick: Length, units: Units) -> (Scene, [u32; 2]) {
    let sheet = &alike[0];
    let (long, wide) = (sheet.long.to_f64_mm(), sheet.wide.to_f64_mm());
    let pick = |scales: &[u32], size: f64, most: f64| {
        let fits = |s: &&u32| size / f64::from(**s) <= most;
        scales.iter().find(fits).copied().unwrap_or(100)
    };
    let along = pick(&SCALES, long, WIDE);
    let scales = [along, pick(&ACROSS, wide, BOARD).min(along)];
    let title = format!(
        "{}, length at 1 to {}, width at 1 to {}",
        numbered(alike, noun),
        scales[0],
        scales[1]
    );
    (draw(alike, thick, units, scales, title), scales)
}

/// `Sheet 3`; of several `Sheets 3 to 6`.
fn numbered(alike: &[Sheet], noun: &str) -> String {
    let several = if alike.len() > 1 { "s" } else { "" };
    format!("{noun}{several} {}", numbers(alike, 0))
}

fn draw(alike: &[Sheet], thick: Length, units: Units, scales: [u32; 2], title: String) -> Scene {
    let sheet = &alike[0];
    let (long, wide) = (sheet.long.to_f64_mm(), sheet.wide.to_f64_mm());
    let to = Paper {
        factors: scales.map(|s| 1.0 / f64::from(s)),
    };
    let outline = Rect::of(to.at(0.0, 0.0), to.at(long, wide));
    let mut scene = Scene::new(outline.x1 + 1.0, outline.y1 + 8.0, title);
    for waste in &sheet.waste {
        hatch::slope(&mut scene, &Region::rect(to.rect(waste)), 0.9, Pen::HATCH);
    }
    let mut taken = Vec::new();
    for (i, placed) in sheet.placed.iter().enumerate() {
        let label = Label::of(alike, i, units);
        part(
            &mut scene,
            &to,
            sheet,
            (placed, label),
            i as u32,
            &mut taken,
        );
    }
    for (i, offcut) in sheet.offcuts.iter().enumerate() {
        let r = to.rect(&offcut.area);
        let (x, y) = r.middle();
        let names = alike.iter().filter_map(|s| s.offcuts.get(i));
        let names: Vec<&str> = names.map(|offcut| offcut.name.as_str()).collect();
        let names = names.join(", ");
        let words = format!("keep {names}");
        let level = |words: &[&str]| {
            let all = words.iter();
            all.map(|w| Text::new((x, y + 1.2), *w).italic().middle())
                .find(|t| t.width() + 1.0 < r.width() && r.height() > 4.0)
        };
        let upright = || {
            Some(
                Text::new((x + 1.2, y), words.as_str())
                    .italic()
                    .middle()
                    .upright(),
            )
            .filter(|t| t.width() + 1.0 < r.height() && r.width() > 4.0)
        };
        // Where many names have no room, a table tells them.
        let label = level(&[&words, &names]).or_else(upright);
        if let Some(text) = label.or_else(|| level(&["keep"])) {
            taken.push(text.ink());
            scene.text(text);
        }
    }
    scene.rect(outline, Pen::THICK);
    cuts(&mut scene, &to, sheet, &outline, &mut taken);
    foot(&mut scene, sheet, thick, units, &outline);
    scene
}

struct Paper {
    factors: [f64; 2],
}

impl Paper {
    fn at(&self, x: f64, y: f64) -> Point {
        (LEFT + x * self.factors[0], ABOVE + y * self.factors[1])
    }

    fn point(&self, p: [Length; 2]) -> Point {
        self.at(p[0].to_f64_mm(), p[1].to_f64_mm())
    }

    fn rect(&self, r: &Wood) -> Rect {
        Rect::of(self.point(r.lo), self.point(r.hi))
    }
}

/// Between words of small letters: a name that ends in a figure must not run into a size.
const MINI: f64 = 2.6;

/// What is written on a part.
struct Label {
    /// None where sheets that are cut alike give different ones.
    mark: Option<u32>,
    hand: Option<Hand>,
    /// The copy; on sheets that are cut alike the sign of the place.
    letter: String,
    name: String,
    size: Content,
}

impl Label {
    /// Of a place by its index.
    fn of(alike: &[Sheet], index: usize, units: Units) -> Label {
        let placed = &alike[0].placed[index];
        let others = || alike.iter().map(|sheet| &sheet.placed[index].part);
        let same_mark = others().all(|part| part.mark == placed.part.mark);
        let same_hand = others().all(|part| part.hand == placed.part.hand);
        let letter = match (alike.len(), placed.more.len()) {
            (2.., _) => place_sign(index),
            (_, 0) => placed.part.letter.clone(),
            (_, more) => format!("\u{d7}\u{2009}{}", more + 1),
        };
        let step = units.rough_step();
        let figure = |l: Length| units.figure_to(l, step);
        Label {
            mark: same_mark.then_some(placed.part.mark),
            hand: placed.part.hand.filter(|_| same_mark && same_hand),
            letter: match placed.sequence {
                Some((at, of)) => format!("{letter} {at}/{of}"),
                None => letter,
            },
            name: match same_mark {
                true => placed.part.label.clone(),
                false => String::new(),
            },
            size: Content::new()
                .figure(&figure(placed.length), false)
                .words("\u{2009}\u{d7}\u{2009}")
                .figure(&figure(placed.width), false),
        }
    }

    /// Width of number, hand and letter in a row.
    fn head(&self) -> f64 {
        let hand = if self.hand.is_some() { 7.2 } else { 0.0 };
        let letter = Text::new((0.0, 0.0), self.letter.as_str()).width();
        self.balloon() + hand + letter
    }

    /// Room for the number in its circle.
    fn balloon(&self) -> f64 {
        if self.mark.is_some() { 6.2 } else { 0.0 }
    }

    fn name(&self) -> Text {
        Text::new((0.0, 0.0), self.name.as_str()).italic()
    }

    fn size(&self) -> Text {
        Text::new((0.0, 0.0), &self.size)
    }

    /// Hand, letter and what else is asked for, in small letters.
    fn mini(&self, name: bool, size: bool) -> Vec<Text> {
        let hand = match self.hand {
            Some(Hand::Left) => "L ",
            Some(Hand::Right) => "R ",
            None => "",
        };
        let letters = Text::new((0.0, 0.0), format!("{hand}{}", self.letter));
        let mut out = vec![letters.small()];
        out.extend(name.then(|| self.name().small()));
        out.extend(size.then(|| self.size().small()));
        out
    }

    /// Number and letter alone, in small letters.
    fn small(&self) -> Text {
        let words = match self.mark {
            Some(mark) => format!("{mark} {}", self.letter),
            None => self.letter.clone(),
        };
        Text::new((0.0, 0.0), words).small()
    }

    /// Number, hand and letter, from the left end, about a level line.
    fn draw_head(&self, scene: &mut Scene, left: f64, y: f64) {
        let mut x = left;
        if let Some(mark) = self.mark {
            mark::balloon(scene, (left + 2.7, y), mark);
            x += 6.4;
        }
        match self.hand {
            Some(Hand::Left) => {
                mark::hand(scene, (x + 5.4, y + 1.7), Hand::Left, TextSize::T2);
                x += 7.2;
            }
            Some(Hand::Right) => {
                mark::hand(scene, (x, y + 1.7), Hand::Right, TextSize::T2);
                x += 7.2;
            }
            None => {}
        }
        scene.text(Text::new((x, y + 1.25), self.letter.as_str()));
    }
}

fn part(
    scene: &mut Scene,
    to: &Paper,
    sheet: &Sheet,
    (placed, label): (&Placed, Label),
    seed: u32,
    taken: &mut Vec<Rect>,
) {
    let r = to.rect(&placed.area);
    let lines = set(&label, &r);
    let blank = lines.blank.map(|b| b.grown(0.8));
    if let Some(long) = sheet.grain_long {
        let mut region = Region::rect(r);
        if let Some(blank) = blank {
            region = region.without(blank.corners().to_vec());
        }
        let run = if long { Run::Level } else { Run::Upright };
        hatch::face_grain(scene, &region, run, seed + 7 * sheet.number);
    }
    scene.rect(r, Pen::THIN);
    taken.extend(blank);
    lines.draw(scene, &label);
}

/// How a label is set in its part.
struct Set {
    how: How,
    blank: Option<Rect>,
}

enum How {
    /// Number line, and under it the name and the size where asked for.
    Lines { name: bool, size: bool },
    /// All in one line.
    Row { name: bool, size: bool },
    /// A row that reads from the right; the number stands upright at its foot.
    Upright { name: bool, size: bool },
    /// All in one line of small letters, with a small circle.
    Mini { name: bool, size: bool },
    /// Number and letter in small letters alone.
    Small(bool),
    /// No room.
    None,
}

/// The fullest label that fits.
fn set(label: &Label, r: &Rect) -> Set {
    let (w, h) = (r.width() - 1.4, r.height() - 0.8);
    let (head, name, size) = (label.head(), label.name().width(), label.size().width());
    let around = |wide: f64, high: f64| {
        let (x, y) = r.middle();
        Some(Rect::of(
            (x - wide / 2.0, y - high / 2.0),
            (x + wide / 2.0, y + high / 2.0),
        ))
    };
    let of = |how, wide, high| Set {
        how,
        blank: around(wide, high),
    };
    let full = head.max(name).max(size);
    if full <= w && h >= 15.5 && !label.name.is_empty() {
        return of(
            How::Lines {
                name: true,
                size: true,
            },
            full,
            15.0,
        );
    }
    let two = head.max(size);
    if two <= w && h >= 10.6 {
        return of(
            How::Lines {
                name: false,
                size: true,
            },
            two,
            10.2,
        );
    }
    let row = |name_too: bool, size_too: bool| {
        let more = |on: bool, by: f64| if on { by + 1.6 } else { 0.0 };
        head + more(name_too, name) + more(size_too, size)
    };
    for (n, s) in [(true, true), (false, true), (false, false)] {
        if row(n, s) <= w && h >= 5.6 {
            return of(How::Row { name: n, size: s }, row(n, s), 5.2);
        }
    }
    // Upright the number takes its height, the rest its length.
    for (n, s) in [(true, true), (false, true), (false, false)] {
        if row(n, s) + 2.0 <= h && w >= 4.6 {
            return of(How::Upright { name: n, size: s }, 5.4, row(n, s) + 2.0);
        }
    }
    if h >= 3.2 {
        for (n, s) in [(true, true), (false, true), (false, false)] {
            let wide = label
                .mini(n, s)
                .iter()
                .map(|t| t.width() + MINI)
                .sum::<f64>()
                + label.mark.map_or(0.0, |_| 4.6);
            if wide <= w {
                return of(How::Mini { name: n, size: s }, wide, 4.0);
            }
        }
    }
    let small = label.small();
    if small.width() <= w && h >= 2.0 {
        return of(How::Small(false), small.width(), 2.4);
    }
    if small.width() <= h && w >= 2.0 {
        return of(How::Small(true), 2.4, small.width());
    }
    Set {
        how: How::None,
        blank: None,
    }
}

impl Set {
    fn draw(&self, scene: &mut Scene, label: &Label) {
        let Some(b) = self.blank else { return };
        let (x, y) = b.middle();
        match &self.how {
            How::Lines { name, size } => {
                let mut at = b.y0 + 2.7;
                label.draw_head(scene, x - label.head() / 2.0, at);
                at += 2.9;
                if *name {
                    at += 4.2;
                    scene.text(moved(label.name().middle(), (x, at)));
                }
                if *size {
                    at += 4.3;
                    scene.text(moved(label.size().middle(), (x, at)));
                }
            }
            How::Row { name, size } => {
                let mut left = b.x0;
                label.draw_head(scene, left, y);
                left += label.head() + 1.6;
                if *name {
                    let text = label.name();
                    let next = left + text.width() + 1.6;
                    scene.text(moved(text, (left, y + 1.3)));
                    left = next;
                }
                if *size {
                    scene.text(moved(label.size(), (left, y + 1.25)));
                }
            }
            How::Upright { name, size } => {
                let mut foot = b.y1;
                if let Some(mark) = label.mark {
                    mark::balloon(scene, (x, foot - 2.7), mark);
                    foot -= 6.3;
                }
                let hand = match label.hand {
                    Some(Hand::Left) => "L ",
                    Some(Hand::Right) => "R ",
                    None => "",
                };
                let letters = format!("{hand}{}", label.letter);
                let mut write = |text: Text| {
                    let next = foot - text.width() - 1.6;
                    scene.text(moved(text.upright(), (x + 1.25, foot)));
                    foot = next;
                };
                write(Text::new((0.0, 0.0), letters));
                if *name {
                    write(label.name());
                }
                if *size {
                    write(label.size());
                }
            }
            How::Mini { name, size } => {
                let mut left = b.x0;
                if let Some(mark) = label.mark {
                    let number = Text::new((b.x0 + 1.9, y + 0.93), mark.to_string())
                        .small()
                        .bold()
                        .middle();
                    scene.circle((b.x0 + 1.9, y), 1.9, Pen::THIN.white());
                    scene.text(number);
                    left += 4.6;
                }
                for text in label.mini(*name, *size) {
                    let next = left + text.width() + MINI;
                    scene.text(moved(text, (left, y + 0.93)));
                    left = next;
                }
            }
            How::Small(upright) => {
                let text = label.small().middle();
                scene.text(if *upright {
                    moved(text.upright(), (x + 0.9, y))
                } else {
                    moved(text, (x, y + 0.9))
                });
            }
            How::None => {}
        }
    }
}

fn moved(mut text: Text, at: Point) -> Text {
    text.at = at;
    text
}

/// Every cut as a thick line with its number: rips that begin at the squared end at the left, cross-cuts
/// that begin at the trued edge above, the rest on their own line where there is room.
fn cuts(scene: &mut Scene, to: &Paper, sheet: &Sheet, outline: &Rect, taken: &mut Vec<Rect>) {
    let (mut left, mut above, mut within) = (Vec::new(), Vec::new(), Vec::new());
    let edge = |what: CutDo, axis: usize| {
        let of = |cut: &&SheetCut| cut.what == what;
        let at = sheet.cuts.iter().find(of).map(|cut| cut.setting);
        let mut corner = [Length::ZERO; 2];
        corner[axis] = at.unwrap_or_default();
        to.point(corner)
    };
    let (squared, trued) = (edge(CutDo::SquareEnd, 0).0, edge(CutDo::TrueEdge, 1).1);
    for cut in &sheet.cuts {
        for line in &cut.lines {
            let (a, b) = (to.point(line.from), to.point(line.to));
            scene.line(a, b, Pen::THICK);
            let level = matches!(cut.what, CutDo::TrueEdge | CutDo::Rip);
            if level && cut.round <= 2 && a.0 <= squared + 0.01 {
                left.push((a.1, cut.number));
            } else if !level && cut.round <= 2 && a.1 <= trued + 0.01 {
                above.push((a.0, cut.number));
            } else {
                within.push((a, b, cut.number));
            }
        }
    }
    let mut numbers = |rows: &mut Vec<(f64, u32)>, upright: bool| {
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        let wanted: Vec<f64> = rows.iter().map(|r| r.0).collect();
        let pitch = if upright { 4.8 } else { 6.0 };
        for (place, (at, number)) in spread(&wanted, pitch, None).iter().zip(rows.iter()) {
            let (centre, tip) = if upright {
                ((outline.x0 - 5.2, *place), (outline.x0, *at))
            } else {
                ((*place, outline.y0 - 4.2), (*at, outline.y0))
            };
            scene.line(centre, tip, Pen::THIN);
            mark::square(scene, centre, &number.to_string());
        }
    };
    numbers(&mut left, true);
    numbers(&mut above, false);
    for (a, b, number) in within {
        let at = |t: f64| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
        let square = |t: f64| {
            let (x, y) = at(t);
            Rect::of((x - 2.6, y - 2.3), (x + 2.6, y + 2.3))
        };
        let places = [0.84, 0.16, 0.7, 0.3, 0.5, 0.94, 0.06];
        let free = |t: &&f64| !taken.iter().any(|r| r.overlaps(&square(**t)));
        if let Some(t) = places.iter().find(free) {
            mark::square(scene, at(*t), &number.to_string());
            taken.push(square(*t));
        }
    }
}

fn foot(scene: &mut Scene, sheet: &Sheet, thick: Length, units: Units, outline: &Rect) {
    let cross = "\u{2009}\u{d7}\u{2009}";
    let size = Content::new()
        .length(units, sheet.long)
        .words(cross)
        .length(units, sheet.wide)
        .words(cross)
        .length(units, thick);
    let y = outline.y1 + 5.6;
    scene.text(Text::new((outline.x0, y), size));
    if let Some(long) = sheet.grain_long {
        let x = outline.x1 - 26.0;
        scene.text(Text::new((x - 1.6, y), "grain").italic().end());
        if long {
            mark::grain(scene, (x, y - 1.2), (outline.x1, y - 1.2));
        } else {
            mark::grain(scene, (x + 3.0, y + 1.0), (x + 3.0, y - 4.4));
        }
    }
}
