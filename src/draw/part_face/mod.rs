//! A part as it lies on the bench: face side up, reference edge toward the reader, every cut with
//! figures that run from the reference edge and end.

mod along;
mod figures;
mod notes;

use crate::draw::frame::Scale;
use crate::draw::hatch;
use crate::draw::mark;
use crate::draw::region::{Region, Segment, steps};
use crate::draw::scene::{Pen, Point, Rect, Scene};
use crate::draw::text::Content;
use crate::draw::words::{face_word, surface_word};
use crate::measure::{Length, Units};
use crate::model::{Cut, CutKind, Hand, LocalAxis, LocalBox, Part, Piece, Shape, Side, Solid};
pub use along::Along;
use along::choose;
use figures::{after_edging, interest, shaped_places};

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

    fn figure(&self, length: Length) -> Content {
        Content::new().figure(&self.units().setting(length), true)
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
                let away = [m.0 - wanted.0, m.1 - wanted.1];
                let d = away[0] * away[0] + away[1] * away[1] + cost;
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
}
