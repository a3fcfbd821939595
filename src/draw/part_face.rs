//! A part as it lies on the bench: face side up, reference edge toward the reader, every cut with
//! figures that run from the reference edge and end.

use super::dimension::{Mark, Running, Stop, Way};
use super::frame::Scale;
use super::hatch;
use super::mark;
use super::region::{Region, Segment, steps};
use super::scene::{Pen, Point, Rect, Scene, Text, TextSize};
use super::text::Content;
use super::words::{face_word, surface_word};
use crate::measure::{Length, Units};
use crate::model::{Cut, CutKind, Hand, LocalAxis, LocalBox, Part, Piece, Shape, Side, Solid};

/// Paper that the outline of a part may take.
const WIDE: f64 = 152.0;
const HIGH: f64 = 92.0;
/// A long part is broken where that lets it be drawn at least this high.
const LOW: f64 = 16.0;
/// Paper left on either side of a cut beside a break.
const BESIDE: f64 = 9.0;
/// Paper between the two sides of a break.
const GAP: f64 = 3.0;

/// A part drawn.
#[derive(Clone, Debug)]
pub struct PartFace {
    /// The drawing.
    pub scene: Scene,
    /// Its scale.
    pub scale: Scale,
    /// Whether its length is broken.
    pub broken: bool,
    /// Whether the reference end is at the left.
    pub end_at_left: bool,
    /// Whether some figures run from an edge or end that edging covers by then.
    pub edged: bool,
}

/// Where lengths of the part stand on the paper; stretches without cuts may be left out.
#[derive(Clone, Debug)]
pub struct Along {
    factor: f64,
    /// Start and end in the part, start on the paper.
    kept: Vec<(f64, f64, f64)>,
    flip: Option<f64>,
}

impl Along {
    fn whole(long: f64, factor: f64) -> Along {
        Along {
            factor,
            kept: vec![(0.0, long, 0.0)],
            flip: None,
        }
    }

    /// Leaves out what is far from every place of interest.
    fn broken(long: f64, factor: f64, busy: &[(f64, f64)]) -> Along {
        let pad = BESIDE / factor;
        let mut kept: Vec<(f64, f64)> = Vec::new();
        let ends = [(0.0, 2.0 * pad), (long - 2.0 * pad, long)];
        let mut spans: Vec<(f64, f64)> = busy.iter().copied().chain(ends).collect();
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (a, b) in spans {
            let (a, b) = ((a - pad).max(0.0), (b + pad).min(long));
            match kept.last_mut() {
                // A break must leave out more than it takes.
                Some(last) if a <= last.1 + (GAP + 4.0) / factor => last.1 = last.1.max(b),
                _ => kept.push((a, b)),
            }
        }
        let mut at = 0.0;
        let kept = kept
            .into_iter()
            .map(|(a, b)| {
                let start = at;
                at += (b - a) * factor + GAP;
                (a, b, start)
            })
            .collect();
        Along {
            factor,
            kept,
            flip: None,
        }
    }

    fn paper(&self) -> f64 {
        self.kept
            .last()
            .map_or(0.0, |(a, b, x)| x + (b - a) * self.factor)
    }

    /// The x of a length.
    pub fn x(&self, l: f64) -> f64 {
        let plain = self
            .kept
            .iter()
            .rev()
            .find(|(a, ..)| *a <= l + 1e-9)
            .map_or(0.0, |(a, b, x)| x + (l.min(*b) - a) * self.factor);
        self.flip.map_or(plain, |wide| wide - plain)
    }

    /// A span, in the pieces that are drawn; each with whether its start and its end are breaks.
    fn spans(&self, from: f64, to: f64) -> Vec<(f64, f64)> {
        self.kept
            .iter()
            .filter_map(|(a, b, _)| {
                let (p, q) = (from.max(*a), to.min(*b));
                (q > p + 1e-9).then_some((p, q))
            })
            .collect()
    }

    /// Both sides of every break, on the paper.
    fn breaks(&self) -> Vec<(f64, f64)> {
        self.kept
            .windows(2)
            .map(|w| (self.x(w[0].1), self.x(w[1].0 + 1e-6)))
            .collect()
    }
}

fn mm(length: Length) -> f64 {
    length.to_f64_mm()
}

/// How a solid lies to the two faces of its part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shows {
    /// Open at the face side.
    Face,
    /// Open at the reverse, or inside.
    Hidden,
}

fn shows(b: &LocalBox) -> Shows {
    if b.lo[2].is_zero() {
        Shows::Face
    } else {
        Shows::Hidden
    }
}

/// Places of interest along an axis of the part, with a figure each: walls, and the middles of
/// what is set by its middle.
fn interest(part: &Part, cut: &Cut, axis: LocalAxis) -> Vec<Length> {
    let i = axis.index();
    let end = part.size.along(axis);
    let middle = |s: &Solid| {
        let b = s.bounds();
        (b.lo[i] + b.hi[i]).half()
    };
    match cut.kind {
        CutKind::PinHoles => {
            let all: Vec<Length> = cut.solids.iter().map(middle).collect();
            let mut ends: Vec<Length> = all.iter().min().into_iter().copied().collect();
            ends.extend(all.iter().max());
            ends
        }
        CutKind::CupBore
        | CutKind::PullHole
        | CutKind::ScrewHole
        | CutKind::DowelHole
        | CutKind::PocketHole
        | CutKind::BiscuitSlot => cut
            .solids
            .iter()
            .filter(|_| cut.entry.axis() != axis)
            .map(middle)
            .collect(),
        // Their spacing is told by a drawing of the end.
        CutKind::Tails | CutKind::Sockets | CutKind::Fingers if axis == LocalAxis::Width => {
            Vec::new()
        }
        _ => cut
            .solids
            .iter()
            .map(Solid::bounds)
            .flat_map(|b| [b.lo[i], b.hi[i]])
            .filter(|l| l.is_positive() && *l < end)
            .collect(),
    }
}

/// Where shapes begin and end along an axis of the part.
fn shaped_places(part: &Part, axis: LocalAxis) -> Vec<Length> {
    let (i, end) = (axis.index(), part.size.along(axis));
    let zones = part.shaped.iter().map(|shaped| &shaped.zone);
    zones
        .flat_map(|zone| [zone.lo[i], zone.hi[i]])
        .filter(|l| l.is_positive() && *l < end)
        .collect()
}

/// How far the edging that is on by the time of a cut has moved a surface out: hinges and pulls are
/// bored when all of it is on, and edging glued on early comes before every cut but its own.
pub fn edging_before(part: &Part, cut: &Cut, side: Side) -> Length {
    let late = matches!(
        cut.kind,
        CutKind::CupBore | CutKind::PullHole | CutKind::HingeRecess
    );
    let own = |strip| cut.filler == Some(strip);
    let serves_early = part.bands.iter().any(|b| b.early && own(b.strip));
    part.bands
        .iter()
        .filter(|band| band.side == side && (late || (band.early && !serves_early)))
        .map(|band| band.thick)
        .sum()
}

/// The surface that figures along an axis run from.
fn near(axis: LocalAxis) -> Side {
    match axis {
        LocalAxis::Length => Side::End,
        LocalAxis::Width => Side::Edge,
        LocalAxis::Thickness => Side::Face,
    }
}

fn unique(mut all: Vec<Length>) -> Vec<Length> {
    all.sort();
    all.dedup();
    all
}

/// Which cuts have which numbers in their squares.
pub type Numbers<'a> = &'a dyn Fn(usize) -> Option<String>;

/// Draws a part; `numbers` gives the setup of each cut by its index.
pub fn part_face(piece: &Piece, part: &Part, hand: Option<Hand>, numbers: Numbers) -> PartFace {
    let (long, wide) = (mm(part.size.length), mm(part.size.width));
    let busy: Vec<(f64, f64)> = part
        .cuts
        .iter()
        .filter(|cut| cut.kind != CutKind::BiscuitSlot || cut.solids.len() < 12)
        .flat_map(|cut| {
            if cut.kind == CutKind::PinHoles {
                let b = cut.bounds();
                return vec![(mm(b.lo[0]), mm(b.hi[0]))];
            }
            interest(part, cut, LocalAxis::Length)
                .into_iter()
                .map(|l| (mm(l), mm(l)))
                .collect()
        })
        .chain(
            shaped_places(part, LocalAxis::Length)
                .into_iter()
                .map(|l| (mm(l), mm(l))),
        )
        .collect();
    let end_at_left = part.lay.end_at_left();
    let (scale, mut along) = choose(long, wide, &busy);
    if !end_at_left {
        along.flip = Some(along.paper());
    }
    let broken = along.kept.len() > 1;
    let mut sheet = Sheet {
        piece,
        part,
        scene: Scene::new(0.0, 0.0, String::new()),
        along,
        factor: scale.factor(),
        taken: Vec::new(),
    };
    sheet.outline();
    sheet.cuts();
    sheet.bands();
    sheet.shapes();
    sheet.running();
    sheet.notes(numbers);
    sheet.shape_notes();
    sheet.marks(hand);
    let mut scene = sheet.scene;
    scene.title = format!(
        "{}, {} up, {} toward you, at {}",
        part.label,
        face_word(piece, part),
        surface_word(piece, part, Side::Edge),
        scale.text()
    );
    PartFace {
        scene: scene.fitted(0.3),
        scale,
        broken,
        end_at_left,
        edged: [LocalAxis::Length, LocalAxis::Width]
            .into_iter()
            .any(|axis| after_edging(part, axis).is_some()),
    }
}

/// Figures along an axis that run from the covered edge: how far it has moved out, and the places
/// from the sawn one.
fn after_edging(part: &Part, axis: LocalAxis) -> Option<(Length, Vec<Length>)> {
    let mut moved = Length::ZERO;
    let mut places = Vec::new();
    for cut in &part.cuts {
        let by = edging_before(part, cut, near(axis));
        let own = interest(part, cut, axis);
        if by.is_positive() && !own.is_empty() {
            moved = by;
            places.extend(own);
        }
    }
    (!places.is_empty()).then(|| (moved, unique(places)))
}

fn choose(long: f64, wide: f64, busy: &[(f64, f64)]) -> (Scale, Along) {
    let mut whole = None;
    for scale in Scale::reductions() {
        let f = scale.factor();
        whole = Some((scale, Along::whole(long, f)));
        if long * f <= WIDE && wide * f <= HIGH {
            break;
        }
    }
    let (scale, along) = whole.unwrap_or((Scale::FULL, Along::whole(long, 1.0)));
    if wide * scale.factor() >= LOW {
        return (scale, along);
    }
    for larger in Scale::reductions().take_while(|s| s.factor() > scale.factor()) {
        let f = larger.factor();
        let broken = Along::broken(long, f, busy);
        if wide * f <= 2.5 * LOW && broken.paper() <= WIDE {
            return (larger, broken);
        }
    }
    (scale, along)
}

struct Sheet<'a> {
    piece: &'a Piece,
    part: &'a Part,
    scene: Scene,
    along: Along,
    factor: f64,
    /// Paper that lettering must keep off.
    taken: Vec<Rect>,
}

impl Sheet<'_> {
    fn y(&self, w: f64) -> f64 {
        -w * self.factor
    }

    fn at(&self, l: f64, w: f64) -> Point {
        (self.along.x(l), self.y(w))
    }

    fn units(&self) -> Units {
        self.piece.units
    }

    fn area(&self) -> Rect {
        Rect::of(
            self.at(0.0, 0.0),
            self.at(mm(self.part.size.length), mm(self.part.size.width)),
        )
    }

    /// A rectangle of the part on the paper, in the pieces that are drawn.
    fn region(&self, b: &LocalBox) -> Region {
        let solids = self
            .along
            .spans(mm(b.lo[0]), mm(b.hi[0]))
            .into_iter()
            .map(|(p, q)| {
                // A place inside the piece, so that its start is not taken for the end of the last.
                let (x0, x1) = (self.along.x(p + 1e-6), self.along.x(q - 1e-6));
                Rect::of((x0, self.y(mm(b.lo[1]))), (x1, self.y(mm(b.hi[1]))))
                    .corners()
                    .to_vec()
            })
            .collect();
        Region {
            solids,
            voids: Vec::new(),
        }
    }

    /// Pieces of an edge that are not the sides of a break.
    fn unbroken(&self, pieces: Vec<Segment>) -> Vec<Segment> {
        let breaks = self.along.breaks();
        pieces
            .into_iter()
            .filter(|(a, b)| {
                let upright = (a.0 - b.0).abs() < 1e-3;
                !(upright
                    && breaks
                        .iter()
                        .any(|(p, q)| (a.0 - p).abs() < 2e-3 || (a.0 - q).abs() < 2e-3))
            })
            .collect()
    }

    fn whole(&self) -> LocalBox {
        LocalBox {
            lo: [Length::ZERO; 3],
            hi: [
                self.part.size.length,
                self.part.size.width,
                self.part.size.thick,
            ],
        }
    }

    fn outline(&mut self) {
        let region = self.region(&self.whole());
        let edge = self.unbroken(region.edge());
        self.scene.path(steps(&edge), Pen::THICK.white());
        let area = self.area();
        for (a, b) in self.along.breaks() {
            for x in [a, b] {
                mark::broken(&mut self.scene, (x, area.y0 - 1.2), (x, area.y1 + 1.2));
            }
            self.taken
                .push(Rect::of((a, area.y0), (b, area.y1)).grown(0.8));
        }
    }

    fn cuts(&mut self) {
        let part = self.part;
        let mut drawn: Vec<LocalBox> = Vec::new();
        // Hidden cuts first, so that what is seen lies over them.
        for pass in [Shows::Face, Shows::Hidden] {
            for cut in &part.cuts {
                for solid in &cut.solids {
                    let b = solid.bounds();
                    if shows(&b) != pass {
                        continue;
                    }
                    if matches!(solid, Solid::Bore { .. })
                        && cut.entry.axis() == LocalAxis::Thickness
                    {
                        continue;
                    }
                    let flat = LocalBox {
                        lo: [b.lo[0], b.lo[1], Length::ZERO],
                        hi: [b.hi[0], b.hi[1], Length::ZERO],
                    };
                    match pass {
                        Shows::Face => {
                            let region = self.solid_region(solid, &b);
                            hatch::cut_away(&mut self.scene, &region, true);
                            let edge = self.unbroken(region.edge());
                            self.scene.path(steps(&edge), Pen::THICK.red());
                            self.keep_off(&region);
                            drawn.push(flat);
                        }
                        Shows::Hidden if !drawn.contains(&flat) => {
                            let region = self.region(&b);
                            let area = self.area();
                            let inside: Vec<Segment> = self
                                .unbroken(region.edge())
                                .into_iter()
                                .filter(|(p, q)| {
                                    let m = ((p.0 + q.0) / 2.0, (p.1 + q.1) / 2.0);
                                    m.0 > area.x0 + 0.01
                                        && m.0 < area.x1 - 0.01
                                        && m.1 > area.y0 + 0.01
                                        && m.1 < area.y1 - 0.01
                                })
                                .collect();
                            self.scene.path(steps(&inside), Pen::THIN.hidden().red());
                            self.keep_off(&region);
                            drawn.push(flat);
                        }
                        Shows::Hidden => {}
                    }
                }
            }
        }
        for cut in &part.cuts {
            self.bores(cut);
        }
    }

    fn keep_off(&mut self, region: &Region) {
        for outline in &region.solids {
            if let Some(b) = Region::of(outline.clone()).bounds() {
                self.taken.push(b.grown(0.6));
            }
        }
    }

    fn solid_region(&self, solid: &Solid, b: &LocalBox) -> Region {
        match solid {
            Solid::Prism {
                axis: LocalAxis::Thickness,
                outline,
                ..
            } => Region::of(
                outline
                    .iter()
                    .map(|p| self.at(mm(p[0]), mm(p[1])))
                    .collect(),
            ),
            _ => self.region(b),
        }
    }

    /// Round bores in a face.
    fn bores(&mut self, cut: &Cut) {
        if cut.entry.axis() != LocalAxis::Thickness {
            return;
        }
        let mut centres: Vec<(Point, f64)> = Vec::new();
        for solid in &cut.solids {
            if let Solid::Bore {
                mouth, diameter, ..
            } = solid
            {
                let at = self.at(mm(mouth[0]), mm(mouth[1]));
                centres.push((at, mm(diameter.half()) * self.factor));
            }
        }
        let seen = cut.entry == Side::Face;
        for (at, radius) in &centres {
            let small = *radius < 1.2;
            let pen = match (seen, small) {
                (true, true) => Pen::BLACK.red(),
                (true, false) => Pen::THICK.red(),
                (false, _) => Pen::THIN.hidden().red(),
            };
            self.scene.circle(*at, radius.max(0.5), pen);
            if !small || cut.kind != CutKind::PinHoles {
                let reach = radius.max(0.5) + 1.3;
                self.scene.lines(
                    &[
                        ((at.0 - reach, at.1), (at.0 + reach, at.1)),
                        ((at.0, at.1 - reach), (at.0, at.1 + reach)),
                    ],
                    Pen::THIN,
                );
            }
            self.taken
                .push(Rect::of(*at, *at).grown(radius.max(0.5) + 1.4));
        }
        if let (CutKind::PinHoles, Some((a, _)), Some((b, _))) =
            (cut.kind, centres.first(), centres.last())
        {
            {
                let (dx, dy) = if (a.1 - b.1).abs() < 1e-6 {
                    (if b.0 >= a.0 { 4.0 } else { -4.0 }, 0.0)
                } else {
                    (0.0, if b.1 >= a.1 { 4.0 } else { -4.0 })
                };
                let (a, b) = (*a, *b);
                self.scene.line(
                    (a.0 - dx, a.1 - dy),
                    (b.0 + dx, b.1 + dy),
                    Pen::THIN.centre(),
                );
                for at in [a, b] {
                    self.scene.circle(at, 1.15, Pen::THIN);
                }
                self.taken
                    .push(Rect::of((a.0 - dx, a.1 - dy), (b.0 + dx, b.1 + dy)).grown(1.4));
            }
        }
    }

    /// Lipped edges: a heavy line outside.
    fn bands(&mut self) {
        let area = self.area();
        for band in &self.part.bands {
            let y = match band.side {
                Side::Edge => area.y1 + 1.0,
                Side::FarEdge => area.y0 - 1.0,
                Side::End | Side::FarEnd => {
                    let left = (band.side == Side::End) == self.along.flip.is_none();
                    let x = if left { area.x0 - 1.0 } else { area.x1 + 1.0 };
                    self.scene.line((x, area.y0), (x, area.y1), Pen::HEAVY);
                    continue;
                }
                Side::Face | Side::Reverse => continue,
            };
            for (p, q) in self.along.spans(0.0, mm(self.part.size.length)) {
                let (x0, x1) = (self.along.x(p + 1e-6), self.along.x(q - 1e-6));
                self.scene.line((x0, y), (x1, y), Pen::HEAVY);
            }
        }
    }

    /// Where a shape may take wood: a broken line, and for what is turned or rounded a line along its
    /// middle.
    fn shapes(&mut self) {
        for shaped in &self.part.shaped {
            let region = self.region(&shaped.zone);
            let edge = self.unbroken(region.edge());
            self.scene.path(steps(&edge), Pen::THIN.hidden().red());
            if !matches!(shaped.shape, Shape::Profile { .. }) {
                let w = mm(self.part.size.width) / 2.0;
                for (p, q) in self
                    .along
                    .spans(mm(shaped.zone.lo[0]), mm(shaped.zone.hi[0]))
                {
                    let y = self.y(w);
                    let (x0, x1) = (self.along.x(p + 1e-6), self.along.x(q - 1e-6));
                    self.scene.line((x0, y), (x1, y), Pen::THIN.centre());
                }
            }
        }
    }

    /// What each shape is, told once.
    fn shape_notes(&mut self) {
        let units = self.units();
        let mut told: Vec<&Shape> = Vec::new();
        for shaped in &self.part.shaped {
            if told.contains(&&shaped.shape) {
                continue;
            }
            told.push(&shaped.shape);
            let lines = match &shaped.shape {
                Shape::Profile { cutter, wide, high } => vec![
                    Content::from(cutter.as_str()),
                    Content::new()
                        .setting(units, *wide)
                        .words(" in, ")
                        .setting(units, *high)
                        .words(" down"),
                ],
                Shape::Turned { least: Some(least) } => {
                    vec![Content::from("turned, down to ").setting(units, *least)]
                }
                Shape::Turned { least: None } => vec![Content::from("turned")],
                Shape::Rounded => vec![Content::from("rounded")],
            };
            let zone = &shaped.zone;
            let tip = self.at(
                mm((zone.lo[0] + zone.hi[0]).half()),
                mm((zone.lo[1] + zone.hi[1]).half()),
            );
            self.lead(tip, &lines);
        }
    }

    fn figure(&self, length: Length) -> Content {
        Content::new().figure(&self.units().setting(length), true)
    }

    fn running(&mut self) {
        // Farther out, so first: the figures of the nearer row lie over its lines.
        self.running_after_edging(LocalAxis::Length);
        self.running_after_edging(LocalAxis::Width);
        let part = self.part;
        let area = self.area();
        let places = |axis: LocalAxis| {
            unique(
                part.cuts
                    .iter()
                    .filter(|cut| edging_before(part, cut, near(axis)).is_zero())
                    .flat_map(|cut| interest(part, cut, axis))
                    .chain(shaped_places(part, axis))
                    .collect(),
            )
        };
        let level: Vec<Mark> = places(LocalAxis::Length)
            .into_iter()
            .filter(|l| *l != part.size.length)
            .map(|l| (l, false))
            .chain([(part.size.length, true)])
            .map(|(l, bold)| Mark {
                at: self.along.x(mm(l)),
                outline: area.y0,
                label: self.figure(l),
                bold,
                red: false,
            })
            .collect();
        let upright: Vec<Mark> = places(LocalAxis::Width)
            .into_iter()
            .filter(|l| *l != part.size.width)
            .map(|l| (l, false))
            .chain([(part.size.width, true)])
            .map(|(l, bold)| Mark {
                at: self.y(mm(l)),
                outline: area.x0,
                label: self.figure(l),
                bold,
                red: false,
            })
            .collect();
        let crowded = |n: usize, room: f64| (n as f64 + 1.0) * 3.7 > room + 24.0;
        let size = |n: usize, room: f64| {
            if crowded(n, room) {
                TextSize::T1
            } else {
                TextSize::T2
            }
        };
        Running {
            way: Way::Level,
            row: area.y0 - 5.5,
            zero: Stop::new(self.along.x(0.0), area.y0),
            size: size(level.len(), area.width()),
            marks: level,
            within: None,
        }
        .draw(&mut self.scene);
        Running {
            way: Way::Upright,
            row: area.x0 - 5.5,
            zero: Stop::new(self.y(0.0), area.x0),
            size: size(upright.len(), area.height()),
            marks: upright,
            within: None,
        }
        .draw(&mut self.scene);
    }

    /// A second ring at the covered edge, for what is set out when the edging is on.
    fn running_after_edging(&mut self, axis: LocalAxis) {
        let part = self.part;
        let Some((moved, places)) = after_edging(part, axis) else {
            return;
        };
        let area = self.area();
        let (way, outline, finished) = match axis {
            LocalAxis::Length => (Way::Level, area.y0, part.finished_size.length),
            _ => (Way::Upright, area.x0, part.finished_size.width),
        };
        // Off the figures of the first row, which are as long as the part's own size.
        let row = outline - 20.5;
        let size = part.size.along(axis);
        let paper = |l: Length| {
            let within = l.max(Length::ZERO).min(size);
            let beyond = mm(l - within) * self.factor;
            match axis {
                LocalAxis::Length => {
                    self.along.x(mm(within))
                        + if self.along.flip.is_some() {
                            -beyond
                        } else {
                            beyond
                        }
                }
                _ => self.y(mm(within)) - beyond,
            }
        };
        let mark = |place: Length, bold: bool| Mark {
            at: paper(place),
            outline,
            label: self.figure(place + moved),
            bold,
            red: false,
        };
        let marks: Vec<Mark> = places
            .into_iter()
            .map(|l| mark(l, false))
            .chain([mark(finished - moved, true)])
            .collect();
        let zero = paper(-moved);
        let words = Text::new((0.0, 0.0), "after edging").small().italic();
        let words = match (way, self.along.flip) {
            (Way::Upright, _) => {
                // The words of the other row, at this corner, say it for both.
                let other = after_edging(part, LocalAxis::Length).is_some();
                if other && self.along.flip.is_none() {
                    None
                } else {
                    let mut words = words.upright();
                    words.at = (row + 1.0, paper(finished - moved) - 2.6);
                    Some(words)
                }
            }
            (Way::Level, None) => {
                let mut words = words.end();
                words.at = (zero - 2.6, row + 1.0);
                Some(words)
            }
            (Way::Level, Some(_)) => {
                let mut words = words;
                words.at = (zero + 2.6, row + 1.0);
                Some(words)
            }
        };
        Running {
            way,
            row,
            zero: Stop::new(zero, outline),
            size: TextSize::T2,
            marks,
            within: None,
        }
        .draw(&mut self.scene);
        if let Some(words) = words {
            self.scene.text(words);
        }
    }

    /// Free paper of this size, as near to a wanted middle as can be: in the part, else below it.
    fn room(&self, size: (f64, f64), wanted: Point) -> Rect {
        let area = self.area();
        let at = |m: Point| {
            Rect::of(
                (m.0 - size.0 / 2.0, m.1 - size.1 / 2.0),
                (m.0 + size.0 / 2.0, m.1 + size.1 / 2.0),
            )
        };
        let inner = area.grown(-1.0);
        let fits_in =
            |r: &Rect| r.x0 >= inner.x0 && r.x1 <= inner.x1 && r.y0 >= inner.y0 && r.y1 <= inner.y1;
        let free = |r: &Rect| !self.taken.iter().any(|t| t.overlaps(r));
        let mut best: Option<(f64, Rect)> = None;
        let mut try_at = |m: Point, needs_inside: bool, cost: f64| {
            let r = at(m);
            if (!needs_inside || fits_in(&r)) && free(&r) {
                let d = (m.0 - wanted.0).powi(2) + (m.1 - wanted.1).powi(2) + cost;
                if best.is_none_or(|(b, _)| d < b) {
                    best = Some((d, r));
                }
            }
        };
        let step = 2.0;
        let (nx, ny) = (
            (area.width() / step) as i32 + 1,
            (area.height() / step) as i32 + 1,
        );
        for i in 0..=nx {
            for j in 0..=ny {
                let m = (area.x0 + f64::from(i) * step, area.y0 + f64::from(j) * step);
                try_at(m, true, 0.0);
            }
        }
        // Below the part there is always room further down.
        for j in 0..60 {
            for i in 0..=nx {
                let m = (
                    area.x0 + f64::from(i) * step,
                    area.y1 + 6.0 + size.1 / 2.0 + f64::from(j) * step,
                );
                let r = at(m);
                if r.x0 >= area.x0 - 2.0 && r.x1 <= area.x1.max(area.x0 + size.0) + 4.0 {
                    try_at(m, false, 1.0e6 * (1.0 + f64::from(j)));
                }
            }
        }
        best.map_or_else(|| at((area.middle().0, area.y1 + 130.0)), |(_, r)| r)
    }

    /// Reference edge, face side, grain, hand and the names of the surfaces.
    fn marks(&mut self, hand: Option<Hand>) {
        let area = self.area();
        let part = self.part;
        let lipped = |side: Side| -> String {
            let word = surface_word(self.piece, part, side);
            match part.band_on(side) {
                Some(band) => {
                    let thick = Content::new().setting(self.units(), band.thick);
                    format!("{word}, lipped {}", thick.plain())
                }
                None => word,
            }
        };
        let names = [
            (Side::Edge, lipped(Side::Edge)),
            (Side::FarEdge, lipped(Side::FarEdge)),
            (Side::End, lipped(Side::End)),
            (Side::FarEnd, lipped(Side::FarEnd)),
        ];
        let wide = Text::new((0.0, 0.0), names[0].1.as_str())
            .small()
            .italic()
            .width();
        let free = |x: f64| {
            let r = Rect::of((x - 2.4, area.y1 + 0.2), (x + 4.0 + wide, area.y1 + 5.0));
            !self.taken.iter().any(|t| t.overlaps(&r))
        };
        let along = [0.42, 0.32, 0.52, 0.22, 0.62, 0.12, 0.04, 0.72]
            .map(|t| area.x0 + area.width() * t)
            .into_iter()
            .find(|x| free(*x));
        let touch = (along.unwrap_or(area.x0 + area.width() * 0.42), area.y1);
        mark::reference_edge(&mut self.scene, touch);
        for (side, name) in names {
            let text = match side {
                Side::Edge => Text::new((touch.0 + 3.2, area.y1 + 4.2), name)
                    .small()
                    .italic(),
                Side::FarEdge if area.height() > 12.0 => {
                    let wide = Text::new((0.0, 0.0), name.as_str())
                        .small()
                        .italic()
                        .width();
                    let room = self.room(
                        (wide + 1.0, 3.4),
                        (area.x0 + area.width() * 0.3, area.y0 + 3.0),
                    );
                    if room.y1 > area.y1 {
                        continue;
                    }
                    Text::new((room.x0 + 0.5, room.y1 - 0.9), name)
                        .small()
                        .italic()
                }
                Side::End | Side::FarEnd => {
                    let left = (side == Side::End) == self.along.flip.is_none();
                    let wide = Text::new((0.0, 0.0), name.as_str())
                        .small()
                        .italic()
                        .width();
                    if wide + 4.0 > area.height() {
                        continue;
                    }
                    let x = if left { area.x0 + 3.0 } else { area.x1 - 3.0 };
                    let room = self.room((3.4, wide + 1.0), (x, area.middle().1));
                    if room.y1 > area.y1 || (room.middle().0 - x).abs() > 24.0 {
                        continue;
                    }
                    Text::new((room.x1 - 0.9, room.middle().1), name)
                        .small()
                        .italic()
                        .middle()
                        .upright()
                }
                _ => continue,
            };
            self.taken.push(text.ink().grown(0.4));
            self.scene.text(text);
        }
        self.taken.push(Rect::of(
            (touch.0 - 2.4, area.y1),
            (touch.0 + 2.4, area.y1 + 4.2),
        ));
        if area.height() > 16.0 {
            let room = self.room((5.5, 11.4), (area.x1 - area.width() * 0.08, area.y1 - 6.8));
            if (room.y1 - area.y1).abs() < 2.9 && room.y1 < area.y1 {
                mark::face_loop(&mut self.scene, (room.x0 + 1.6, area.y1));
                self.taken.push(room);
            }
        }
        // Name of the face and hand.
        let word = Text::new((0.0, 0.0), face_word(self.piece, part)).italic();
        let (wide, high) = match hand {
            Some(_) => (word.width().max(14.0) + 2.0, 16.0),
            None => (word.width() + 2.0, 4.6),
        };
        let room = self.room((wide, high), (area.middle().0 + 8.0, area.middle().1));
        self.taken.push(room);
        let mut word = word.middle();
        word.at = (room.middle().0, room.y0 + 3.6);
        self.scene.text(word);
        if let Some(hand) = hand {
            let foot = match hand {
                Hand::Left => room.middle().0 + 4.5,
                Hand::Right => room.middle().0 - 4.5,
            };
            mark::hand(&mut self.scene, (foot, room.y1 - 0.8), hand, TextSize::T4);
        }
        if part.grain == crate::model::Grain::Lengthwise {
            let long = (area.width() * 0.3).clamp(8.0, 44.0);
            let room = self.room(
                (long + 1.0, 2.6),
                (area.middle().0, area.middle().1 - area.height() * 0.16),
            );
            if room.y1 < area.y1 {
                let y = room.middle().1;
                mark::grain(&mut self.scene, (room.x0 + 0.5, y), (room.x1 - 0.5, y));
                self.taken.push(room);
            }
        }
    }

    /// Numbers of setups on their cuts, and notes on what figures at the edges don't say.
    fn notes(&mut self, numbers: Numbers) {
        let part = self.part;
        let mut said: Vec<(String, usize)> = Vec::new();
        for (i, cut) in part.cuts.iter().enumerate() {
            let round = matches!(cut.solids.first(), Some(Solid::Bore { .. }));
            if round || cut.kind == CutKind::BiscuitSlot {
                let lines = self.note_lines(cut);
                let key = lines
                    .iter()
                    .map(Content::plain)
                    .collect::<Vec<_>>()
                    .join("\n");
                match said.iter_mut().find(|(k, _)| *k == key) {
                    Some((_, n)) => *n += 1,
                    None => said.push((key, 1)),
                }
            } else if let Some(number) = numbers(i) {
                self.number(cut, &number);
            }
        }
        // The first of each kind carries the note for all.
        let mut done: Vec<String> = Vec::new();
        for cut in &part.cuts {
            let round = matches!(cut.solids.first(), Some(Solid::Bore { .. }));
            if !round && cut.kind != CutKind::BiscuitSlot {
                continue;
            }
            let mut lines = self.note_lines(cut);
            let key = lines
                .iter()
                .map(Content::plain)
                .collect::<Vec<_>>()
                .join("\n");
            if done.contains(&key) {
                continue;
            }
            let times = said.iter().find(|(k, _)| *k == key).map_or(1, |(_, n)| *n);
            done.push(key);
            if times > 1 {
                let word = match times {
                    2 => "; twice".to_string(),
                    n => format!("; {n} times"),
                };
                if let Some(last) = lines.last_mut() {
                    *last = last.clone().words(word);
                }
            }
            let Some(solid) = cut.solids.get(cut.solids.len() / 2) else {
                continue;
            };
            let b = solid.bounds();
            let tip = self.at(
                mm((b.lo[0] + b.hi[0]).half()),
                mm((b.lo[1] + b.hi[1]).half()),
            );
            self.lead(tip, &lines);
        }
    }

    fn note_lines(&self, cut: &Cut) -> Vec<Content> {
        let units = self.units();
        let length = |l| Content::new().setting(units, l);
        let n = cut.solids.len();
        let Some(Solid::Bore {
            diameter, depth, ..
        }) = cut.solids.first()
        else {
            let word = if n == 1 { "slot" } else { "slots" };
            return vec![Content::from(format!("{n} {word} for biscuits"))];
        };
        let through = *depth >= self.part.size.along(cut.entry.axis());
        let bore = length(*diameter).words(" dia");
        let bore = if through {
            bore.words(", through")
        } else {
            bore.words(", ").setting(units, *depth).words(" deep")
        };
        let bore = if cut.entry == Side::Reverse && !through {
            bore.words(", from below")
        } else {
            bore
        };
        if cut.kind == CutKind::PinHoles && n > 1 {
            let i = cut.along.index();
            let mut centres: Vec<Length> = cut
                .solids
                .iter()
                .map(|s| {
                    let b = s.bounds();
                    (b.lo[i] + b.hi[i]).half()
                })
                .collect();
            centres.sort();
            if let [a, b, ..] = centres.as_slice() {
                return vec![
                    Content::from(format!("{n} holes, "))
                        .setting(units, *b - *a)
                        .words(" apart"),
                    bore,
                ];
            }
        }
        match n {
            1 => vec![bore],
            n => vec![Content::from(format!("{n} holes")), bore],
        }
    }

    fn lead(&mut self, tip: Point, lines: &[Content]) {
        let texts: Vec<Text> = lines.iter().map(|c| Text::new((0.0, 0.0), c)).collect();
        let wide = texts.iter().map(Text::width).fold(0.0, f64::max);
        let tall = lines.iter().any(Content::is_tall);
        let pitch = if tall { 5.4 } else { 4.4 };
        let high = pitch * lines.len() as f64 + 0.8;
        let room = self.room((wide + 5.6, high), (tip.0 + wide / 2.0 + 8.0, tip.1 + 9.0));
        self.taken.push(room);
        let right = room.middle().0 >= tip.0;
        let y = room.y0 + pitch / 2.0 + 0.2;
        let (elbow, x) = if right {
            ((room.x0 + 0.6, y), room.x0 + 3.4)
        } else {
            ((room.x1 - 0.6, y), room.x1 - 3.4)
        };
        self.scene.polyline(
            &[tip, elbow, (if right { x - 0.5 } else { x + 0.5 }, y)],
            Pen::THIN,
        );
        self.scene.circle(tip, 0.55, Pen::BLACK);
        for i in 0..12 {
            let t = f64::from(i) / 12.0;
            let p = (tip.0 + (elbow.0 - tip.0) * t, tip.1 + (elbow.1 - tip.1) * t);
            self.taken.push(Rect::of(p, p).grown(0.8));
        }
        for (i, text) in texts.into_iter().enumerate() {
            let mut text = text.halo();
            text.at = (x, y + 1.25 + pitch * i as f64);
            self.scene.text(if right { text } else { text.end() });
        }
    }

    /// A square on a cut.
    fn number(&mut self, cut: &Cut, number: &str) {
        let b = cut.bounds();
        if shows(&b) == Shows::Hidden {
            return;
        }
        let half = 2.6;
        let area = self.area();
        let (l0, l1) = (self.along.x(mm(b.lo[0])), self.along.x(mm(b.hi[0])));
        let rect = Rect::of((l0, self.y(mm(b.lo[1]))), (l1, self.y(mm(b.hi[1]))));
        let upright = rect.height() > rect.width();
        let middle = rect.middle();
        // Along the cut, first a third from its end; squares keep off each other and off lettering.
        let spots = [0.22, 0.35, 0.5, 0.65, 0.78, 0.12, 0.9];
        for t in spots {
            let p = if upright {
                (middle.0, rect.y0 + rect.height() * t)
            } else {
                (rect.x0 + rect.width() * t, middle.1)
            };
            let p = (
                p.0.clamp(area.x0 + 3.4, (area.x1 - 3.4).max(area.x0 + 3.4)),
                p.1.clamp(area.y0 + 3.4, (area.y1 - 3.4).max(area.y0 + 3.4)),
            );
            let square = Rect::of(p, p).grown(half);
            let own = rect.grown(0.7);
            let clear = !self.taken.iter().any(|t| {
                t.overlaps(&square)
                    && !(t.x0 >= own.x0 && t.x1 <= own.x1 && t.y0 >= own.y0 && t.y1 <= own.y1)
            }) && !self
                .scene
                .lettering()
                .iter()
                .any(|(_, ink)| ink.overlaps(&square));
            if clear && area.height() > 8.0 {
                mark::square(&mut self.scene, p, number);
                self.taken.push(square);
                return;
            }
        }
    }
}
