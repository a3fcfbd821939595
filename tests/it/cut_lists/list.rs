//! Lists worked by hand: each size stands as the sum that gives it, and is compared exactly.
//!
//! A list names every part of a piece:
//!
//! ```text
//! piece NAME
//! part PATH : LENGTH x WIDTH x THICK = FINISHED x FINISHED x FINISHED @ X, Y, Z
//! cut KIND X .. X, Y .. Y, Z .. Z
//! ```
//!
//! `box` and `core` give a part by its place instead: `box NAME : x LOW .. HIGH, y …`, and where the
//! sawn box is another. `let T = SUM` names a figure of the piece.
//!
//! `part` gives what is sawn; `=` the finished size where it is another; `@` the low corner of the
//! finished part in the piece. `cut` lines under a part name every cut but bores and tails by the box
//! round it, in the piece; `bore` lines every mouth of the bores of their kinds, perhaps with diameter
//! and depth behind it; `shape` every length or edge that is shaped; `uncut` says that there is none. Further lines: `outline` (of a mitre or tail,
//! in the part), `corners XZ` (of a slanted cut, along two axes of the piece, in any order), `opening`, `row`, `hinges`, `stays`, `places`, `alike`,
//! `hands`, `mirrored`, `unlike`. Figures are millimetres, inches after a line `inches`, and may say `mm` or `in`.

use casewright::measure::{Length, Rational};
use casewright::model::{
    Box3, CutKind, Group, Hand, LocalBox, Model, Part, PartId, Piece, Shape, Solid,
};
use std::collections::BTreeSet;

/// Works out a sum: `742.4 + 6`, `(864.8 + 2 * 16.1 - 3) / 2`, `29 1/4in`, `441.64375mm`.
struct Sum<'t> {
    rest: &'t str,
    unit: Rational,
}

fn inch() -> Rational {
    Rational::new(254, 10)
}

impl Sum<'_> {
    fn length(text: &str, unit: Rational) -> Length {
        let mut sum = Sum { rest: text, unit };
        let value = sum.added();
        assert!(sum.rest.trim().is_empty(), "can't read `{text}`");
        Length::from_mm(value)
    }

    fn take(&mut self, sign: char) -> bool {
        let rest = self.rest.trim_start();
        match rest.strip_prefix(sign) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    /// A sum of products. Each product has one length, which carries the unit; factors have none.
    fn added(&mut self) -> Rational {
        let mut value = self.product();
        loop {
            if self.take('+') {
                value = value + self.product();
            } else if self.take('-') {
                value = value - self.product();
            } else {
                return value;
            }
        }
    }

    fn product(&mut self) -> Rational {
        let mut value = Rational::int(1);
        let mut measured = false;
        let mut divide = false;
        loop {
            let (factor, is_length) = self.factor();
            value = if divide {
                value / factor
            } else {
                value * factor
            };
            measured |= is_length;
            if self.take('*') {
                divide = false;
            } else if self.take('/') {
                divide = true;
            } else {
                return if measured { value } else { value * self.unit };
            }
        }
    }

    fn factor(&mut self) -> (Rational, bool) {
        if self.take('-') {
            let (value, is_length) = self.factor();
            return (Rational::ZERO - value, is_length);
        }
        if self.take('(') {
            let value = self.added();
            assert!(self.take(')'), "a bracket is open before `{}`", self.rest);
            return (value, true);
        }
        let mut value = self.number();
        // A whole number and a fraction, one space between: 29 1/4.
        if let Some(rest) = self.rest.strip_prefix(' ')
            && let Some((above, rest)) = digits(rest)
            && let Some((below, rest)) = rest.strip_prefix('/').and_then(digits)
        {
            self.rest = rest;
            value = value + Rational::new(above.parse().unwrap(), below.parse().unwrap());
        }
        for (unit, size) in [("mm", Rational::int(1)), ("in", inch())] {
            if let Some(rest) = self.rest.strip_prefix(unit) {
                self.rest = rest;
                return (value * size, true);
            }
        }
        (value, false)
    }

    fn number(&mut self) -> Rational {
        let text = self.rest.trim_start();
        let end = text
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(text.len());
        self.rest = &text[end..];
        Rational::parse_decimal(&text[..end]).unwrap_or_else(|| panic!("no number in `{text}`"))
    }
}

fn digits(text: &str) -> Option<(&str, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    (end > 0).then(|| text.split_at(end))
}

/// Compares a list with the model; what differs, one line each.
pub fn compare(list: &str, model: &Model) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut unit = Rational::int(1);
    let mut sheet: Option<Sheet> = None;
    let mut names: Vec<(String, String)> = Vec::new();
    let mut seen = BTreeSet::new();
    for line in list.lines() {
        let line = line.split('#').next().unwrap_or("").trim();
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        match word {
            "" => {}
            "inches" => unit = inch(),
            "piece" => {
                wrong.extend(sheet.take().map(Sheet::close).unwrap_or_default());
                seen.insert(rest.to_owned());
                unit = Rational::int(1);
                names.clear();
                sheet = Some(Sheet::open(model, rest));
            }
            "let" => {
                let (name, value) = rest.split_once('=').expect("let NAME = SUM");
                names.push((name.trim().to_owned(), format!("({})", value.trim())));
            }
            _ => {
                let sheet = sheet.as_mut().expect("a list begins with a piece");
                sheet.line(word, &named(rest, &names), unit);
            }
        }
    }
    wrong.extend(sheet.take().map(Sheet::close).unwrap_or_default());
    wrong.extend(
        model
            .pieces
            .iter()
            .filter(|p| !seen.contains(&p.name))
            .map(|p| format!("{} has no list", p.name)),
    );
    wrong
}

/// Puts what a `let` of the list names in the figures after the colon.
fn named(rest: &str, names: &[(String, String)]) -> String {
    let (name, figures) = rest.split_once(" : ").unwrap_or(("", rest));
    let mut out = String::new();
    let mut word = String::new();
    for c in figures.chars().chain([' ']) {
        if c.is_ascii_alphanumeric() || c == '.' {
            word.push(c);
            continue;
        }
        let value = names.iter().find(|(n, _)| *n == word);
        out.push_str(value.map_or(word.as_str(), |(_, v)| v.as_str()));
        word.clear();
        out.push(c);
    }
    if name.is_empty() {
        out
    } else {
        format!("{name} : {out}")
    }
}

/// `x 0 .. 600, z 18 .. 36`: the axes that are told of, with their ends.
fn ends(figures: &str, unit: Rational) -> Vec<(usize, [Length; 2])> {
    let one = |range: &str| {
        let (axis, ends) = range.trim().split_once(' ').expect("an axis and its ends");
        let (lo, hi) = ends.split_once(" .. ").expect("LOW .. HIGH");
        let axis = ["x", "y", "z"].iter().position(|a| *a == axis);
        let ends = [lo, hi].map(|end| Sum::length(end, unit));
        (axis.expect("x, y or z"), ends)
    };
    figures.split(',').map(one).collect()
}

/// The list of one piece, as far as it is read.
struct Sheet<'m> {
    model: &'m Model,
    piece: &'m Piece,
    at: usize,
    listed: BTreeSet<&'m str>,
    part: Option<&'m Part>,
    finished: Vec<(usize, [Length; 2])>,
    cuts: Option<Vec<String>>,
    bores: Vec<(String, Vec<Length>)>,
    shapes: Vec<String>,
    wrong: Vec<String>,
}

impl<'m> Sheet<'m> {
    fn open(model: &'m Model, name: &str) -> Sheet<'m> {
        let at = model.pieces.iter().position(|p| p.name == name);
        let at = at.unwrap_or_else(|| panic!("no piece {name}"));
        Sheet {
            model,
            piece: &model.pieces[at],
            at,
            listed: BTreeSet::new(),
            part: None,
            finished: Vec::new(),
            cuts: None,
            bores: Vec::new(),
            shapes: Vec::new(),
            wrong: Vec::new(),
        }
    }

    fn close(mut self) -> Vec<String> {
        self.close_cuts();
        for part in &self.piece.parts {
            if !self.listed.contains(part.path.as_str()) {
                self.say(format!("{} is not in the list", part.path));
            }
        }
        let name = &self.piece.name;
        self.wrong.iter().map(|w| format!("{name}: {w}")).collect()
    }

    fn say(&mut self, text: String) {
        self.wrong.push(text);
    }

    fn find(&self, path: &str) -> Option<&'m Part> {
        // A piece of one case calls it `body`, and its list leaves that out.
        let of_body = format!("body.{path}");
        let mut parts = self.piece.parts.iter();
        parts.find(|p| p.path == path || p.path == of_body)
    }

    fn same(&mut self, what: &str, wanted: &[Length], found: &[Length]) {
        if wanted != found {
            let show = |list: &[Length]| {
                let list: Vec<_> = list.iter().map(|l| l.as_mm().to_string()).collect();
                list.join(", ")
            };
            self.say(format!(
                "{what}: by hand {}, found {}",
                show(wanted),
                show(found)
            ));
        }
    }

    fn line(&mut self, word: &str, rest: &str, unit: Rational) {
        let sum = |text: &str| Sum::length(text, unit);
        let list = |text: &str, by: &str| text.split(by).map(sum).collect::<Vec<_>>();
        let (name, figures) = rest.split_once(" : ").unwrap_or((rest, ""));
        match word {
            "part" => {
                self.close_cuts();
                let (sizes, corner) = match figures.split_once('@') {
                    Some((sizes, corner)) => (sizes, Some(corner)),
                    None => (figures, None),
                };
                let (sawn, finished) = match sizes.split_once('=') {
                    Some((sawn, finished)) => (sawn, finished),
                    None => (sizes, sizes),
                };
                self.part = self.find(name);
                let Some(part) = self.part else {
                    self.say(format!("{name} is not there"));
                    return;
                };
                if !self.listed.insert(part.path.as_str()) {
                    self.say(format!("{name} is listed twice"));
                }
                let three = |s: casewright::model::Size| [s.length, s.width, s.thick];
                self.same(name, &list(sawn, " x "), &three(part.size));
                self.same(
                    &format!("{name}, finished"),
                    &list(finished, " x "),
                    &three(part.finished_size),
                );
                if let Some(corner) = corner {
                    let what = format!("{name}, place");
                    self.same(&what, &list(corner, ","), &part.finished.lo);
                }
            }
            "box" => {
                self.close_cuts();
                self.part = self.find(name);
                let Some(part) = self.part else {
                    self.say(format!("{name} is not there"));
                    return;
                };
                if !self.listed.insert(part.path.as_str()) {
                    self.say(format!("{name} is listed twice"));
                }
                self.finished = ends(figures, unit);
                for (i, wanted) in self.finished.clone() {
                    let found = [part.finished.lo[i], part.finished.hi[i]];
                    self.same(&format!("{name}, {}", ["x", "y", "z"][i]), &wanted, &found);
                }
            }
            "core" => {
                // Where the sawn box is another; along the axes that are not told of it is the same.
                let Some(part) = self.part else { return };
                let told = ends(rest, unit);
                for (i, same) in self.finished.clone() {
                    let wanted = told.iter().find(|(k, _)| *k == i).map_or(same, |(_, w)| *w);
                    let found = [part.core.lo[i], part.core.hi[i]];
                    self.same(&format!("{}, core", part.path), &wanted, &found);
                }
            }
            "within" => {
                // An opening's clear box, along some axes.
                let path = format!("body.{name}");
                let found = self.piece.openings.iter().find(|o| o.path == path);
                let Some(opening) = found else {
                    self.say(format!("no opening {name}"));
                    return;
                };
                for (i, wanted) in ends(figures, unit) {
                    let found = [opening.clear.lo[i], opening.clear.hi[i]];
                    self.same(name, &wanted, &found);
                }
            }
            "outline" => {
                // The corners of a prism of the part, in the part: along it, then across.
                let wanted: Vec<Length> = rest.split(';').flat_map(|p| list(p, ",")).collect();
                let mut found: Vec<Vec<Length>> = Vec::new();
                for solid in self
                    .part
                    .iter()
                    .flat_map(|p| &p.cuts)
                    .flat_map(|c| &c.solids)
                {
                    if let Solid::Prism { outline, .. } = solid {
                        found.push(outline.iter().flatten().copied().collect());
                    }
                }
                if !found.contains(&wanted) {
                    self.say(format!("no outline {rest}: {found:?}"));
                }
            }
            "uncut" => self.cuts = Some(Vec::new()),
            "cut" => {
                let (kind, figures) = rest.split_once(' ').unwrap_or((rest, ""));
                let corners: Vec<Length> = figures
                    .split(',')
                    .flat_map(|range| list(range, " .. "))
                    .collect();
                let text = cut_text(kind, &corners);
                self.cuts.get_or_insert_default().push(text);
            }
            "shape" => {
                let (kind, figures) = rest.split_once(' ').unwrap_or((rest, ""));
                let ranges = figures.split(',');
                let corners: Vec<Length> = ranges.flat_map(|range| list(range, " .. ")).collect();
                self.shapes.push(cut_text(kind, &corners));
            }
            "bore" => {
                let (kind, figures) = rest.split_once(' ').unwrap_or((rest, ""));
                self.bores.push((kind.to_owned(), list(figures, ",")));
            }
            "corners" => {
                let axes: Vec<usize> = name.chars().filter_map(|c| "xyz".find(c)).collect();
                let mut wanted: Vec<Vec<Length>> =
                    figures.split(';').map(|point| list(point, ",")).collect();
                wanted.sort();
                let mut found = Vec::new();
                if let Some(part) = self.part {
                    let solids = part.cuts.iter().flat_map(|cut| &cut.solids);
                    found.extend(solids.filter_map(|solid| in_piece(part, solid, &axes)));
                }
                if !found.contains(&wanted) {
                    self.say(format!("no corners {rest}: {found:?}"));
                }
            }
            "opening" | "daylight" => {
                let path = format!("body.{name}");
                let found = self.piece.openings.iter().find(|o| o.path == path);
                let Some(opening) = found else {
                    self.say(format!("no opening {name}"));
                    return;
                };
                let of = if word == "opening" {
                    opening.clear
                } else {
                    opening.daylight
                };
                let wanted: Vec<Length> = figures
                    .split(',')
                    .flat_map(|range| list(range, " .. "))
                    .collect();
                self.same(name, &wanted, &corners(&of));
            }
            "row" => {
                // PANEL : behind its front edge, first hole, pitch, and `n` holes.
                let Some(part) = self.find(name) else {
                    self.say(format!("{name} is not there"));
                    return;
                };
                let (figures, count) = figures.rsplit_once(',').unwrap();
                let (wanted, count) = (list(figures, ","), count.trim().parse::<u32>().unwrap());
                let rows = self.piece.shelves.iter().flat_map(|s| &s.rows);
                let there = rows
                    .filter(|r| r.part == part.id)
                    .any(|r| [r.set_back, r.first_z, r.pitch] == wanted[..] && r.count == count);
                if !there {
                    let all = self.piece.shelves.iter().flat_map(|s| &s.rows);
                    let all: Vec<_> = all.filter(|r| r.part == part.id).collect();
                    self.say(format!("{name} has no such row: {figures}: {all:?}"));
                }
            }
            "hinges" => {
                let path = format!("body.{name}");
                let found = self.piece.leaves.iter().find(|l| l.path == path);
                let heights: Vec<Length> = found
                    .map(|l| l.hinges.iter().map(|h| h.place).collect())
                    .unwrap_or_default();
                self.same(&format!("{name}, hinges"), &list(figures, ","), &heights);
            }
            "stays" => {
                // NAME : on the flap from its hinges, behind them, and along the side from them.
                let path = format!("body.{name}");
                let found = self.piece.leaves.iter().find(|l| l.path == path);
                let stay = found.and_then(|l| l.stays.first());
                let figures_of = |s: &casewright::model::StayPlace| {
                    [s.from_hung, Some(s.behind), s.from_pin()].map(Option::unwrap_or_default)
                };
                let found: Vec<Length> = stay.map(figures_of).into_iter().flatten().collect();
                self.same(&format!("{name}, stays"), &list(figures, ","), &found);
            }
            "places" => {
                // A to B : x, y, z; x, y, z
                let (a, b) = name.split_once(" to ").unwrap();
                let ids = [self.find(a), self.find(b)].map(|p| p.map(|p| p.id));
                let found = self
                    .piece
                    .joints
                    .iter()
                    .find(|j| [Some(j.a), Some(j.b)] == ids && j.fastening.is_some());
                let places: Vec<Length> = found
                    .and_then(|j| j.fastening.as_ref())
                    .map(|f| f.places.iter().flatten().copied().collect())
                    .unwrap_or_default();
                let wanted: Vec<Length> = figures.split(';').flat_map(|p| list(p, ",")).collect();
                self.same(name, &wanted, &places);
            }
            "alike" | "unlike" | "hands" | "mirrored" => {
                let (a, b) = rest.split_once(',').unwrap();
                let (a, b) = (self.find(a.trim()), self.find(b.trim()));
                let (Some(a), Some(b)) = (a, b) else {
                    self.say(format!("no such parts: {rest}"));
                    return;
                };
                let ((g, p), (h, q)) = (self.group(a.id), self.group(b.id));
                let found = match (g.mark == h.mark, p, q) {
                    (false, _, _) => "unlike",
                    (true, p, q) if p == q => "alike",
                    (true, Some(_), Some(_)) if word == "mirrored" => "mirrored",
                    (true, Some(Hand::Left), Some(Hand::Right)) => "hands",
                    _ => "hands the other way",
                };
                if found != word {
                    self.say(format!("{rest}: by hand {word}, found {found}"));
                }
            }
            _ => panic!("unknown line `{word} {rest}`"),
        }
    }

    fn group(&self, id: PartId) -> (&'m Group, Option<Hand>) {
        let at = self.at as u32;
        let found = self.model.groups.iter().find_map(|g| {
            let member = g
                .members
                .iter()
                .find(|(m, _)| m.part == id && m.piece == at);
            member.map(|(_, hand)| (g, *hand))
        });
        found.expect("every part has a number")
    }

    /// Compares what is cut from the part whose lines end here.
    fn close_cuts(&mut self) {
        let (cuts, bores) = (self.cuts.take(), std::mem::take(&mut self.bores));
        let shapes = std::mem::take(&mut self.shapes);
        let Some(part) = self.part.take() else {
            return;
        };
        let found = part.shaped.iter().map(|shaped| {
            let kind = match shaped.shape {
                Shape::Profile { .. } => "Profile",
                Shape::Turned { .. } => "Turned",
                Shape::Rounded => "Rounded",
            };
            cut_text(kind, &corners(&part.to_piece(&shaped.zone)))
        });
        self.same_cuts(part, shapes, found.collect());
        let mut mouths = Vec::new();
        for cut in &part.cuts {
            let kind = format!("{:?}", cut.kind);
            for solid in &cut.solids {
                if let Solid::Bore {
                    mouth,
                    diameter,
                    depth,
                    ..
                } = solid
                    && let Some((_, like)) = bores.iter().find(|(k, _)| *k == kind)
                {
                    let mut figures = place_of(part, *mouth).to_vec();
                    figures.extend([*diameter, *depth]);
                    figures.truncate(like.len());
                    mouths.push(cut_text(&kind, &figures));
                }
            }
        }
        if !bores.is_empty() {
            let wanted = bores
                .iter()
                .map(|(kind, figures)| cut_text(kind, figures))
                .collect();
            self.same_cuts(part, wanted, mouths);
        }
        let Some(wanted) = cuts else {
            return;
        };
        let mut found = Vec::new();
        for cut in &part.cuts {
            for solid in &cut.solids {
                let practice = matches!(cut.kind, CutKind::Tails | CutKind::Sockets);
                if !practice && !matches!(solid, Solid::Bore { .. }) {
                    let kind = format!("{:?}", cut.kind);
                    let around = part.to_piece(&solid.bounds());
                    found.push(cut_text(&kind, &corners(&around)));
                }
            }
        }
        self.same_cuts(part, wanted, found);
    }

    fn same_cuts(&mut self, part: &Part, mut wanted: Vec<String>, mut found: Vec<String>) {
        wanted.sort();
        found.sort();
        for text in &wanted {
            match found.iter().position(|f| f == text) {
                Some(at) => {
                    found.remove(at);
                }
                None => self.say(format!("{}: no {text}", part.path)),
            }
        }
        for text in found {
            self.say(format!("{}: not by hand: {text}", part.path));
        }
    }
}

/// A point of a part's frame in the piece.
fn place_of(part: &Part, point: [Length; 3]) -> [Length; 3] {
    let at = LocalBox {
        lo: point,
        hi: point,
    };
    part.to_piece(&at).lo
}

/// The corners of a prism along two axes of the piece, sorted.
fn in_piece(part: &Part, solid: &Solid, axes: &[usize]) -> Option<Vec<Vec<Length>>> {
    let Solid::Prism {
        axis, outline, lo, ..
    } = solid
    else {
        return None;
    };
    let corner = |flat: &[Length; 2]| {
        let mut point = [*lo; 3];
        let others = (0..3).filter(|i| *i != axis.index());
        others.zip(flat).for_each(|(i, at)| point[i] = *at);
        let place = place_of(part, point);
        axes.iter().map(|i| place[*i]).collect()
    };
    let mut corners: Vec<Vec<Length>> = outline.iter().map(corner).collect();
    corners.sort();
    Some(corners)
}

fn corners(b: &Box3) -> Vec<Length> {
    (0..3).flat_map(|i| [b.lo[i], b.hi[i]]).collect()
}

fn cut_text(kind: &str, corners: &[Length]) -> String {
    let pairs: Vec<String> = corners
        .chunks(2)
        .map(|c| {
            let c: Vec<_> = c.iter().map(|l| l.as_mm().to_string()).collect();
            c.join(" .. ")
        })
        .collect();
    format!("{kind} {}", pairs.join(", "))
}
