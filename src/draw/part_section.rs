//! Sections of single cuts at full size, face side up, with the sizes that a machine is set to; and
//! the layout of a dovetailed end.

use super::dimension::{Beyond, Chain, Mark, Running, Stop, Way};
use super::frame::{Frame, Scale};
use super::hatch::{self, Run};
use super::mark;
use super::part_face::edging_before;
use super::region::{Region, Segment, middle, steps};
use super::scene::{Pen, Rect, Scene, Text, TextSize};
use super::text::Content;
use crate::measure::{Length, Units};
use crate::model::{
    Cut, CutKind, LocalAxis, LocalBox, Model, Part, Piece, Side, Size, Solid, StockKind,
};

/// Wood shown beside a cut.
const BESIDE: f64 = 9.0;

/// A section drawn.
#[derive(Clone, Debug)]
pub struct CutSection {
    /// The drawing.
    pub scene: Scene,
    /// Its scale.
    pub scale: Scale,
}

/// What makes two cuts alike to the person at the machine.
pub type CutShape = (CutKind, LocalAxis, bool, Vec<[Length; 2]>, Length, Length);

/// Cuts with equal shapes share a section.
pub fn shape(part: &Part, cut: &Cut) -> CutShape {
    let mut through: Vec<[Length; 2]> = cut
        .solids
        .iter()
        .map(|s| {
            let b = s.bounds();
            [b.lo[2], b.hi[2]]
        })
        .collect();
    through.sort();
    through.dedup();
    let at_edge = super::words::edge_of(part, cut).is_some();
    (cut.kind, cut.along, at_edge, through, cut.width, cut.depth)
}

/// Whether a section tells more than the part's own drawing.
pub fn wants_section(cut: &Cut) -> bool {
    match cut.kind {
        CutKind::Dado
        | CutKind::Groove
        | CutKind::EdgeGroove
        | CutKind::Rabbet
        | CutKind::Tongue
        | CutKind::Mitre
        | CutKind::SplineSlot => cut.along != LocalAxis::Thickness,
        CutKind::BiscuitSlot => cut.entry.axis() != LocalAxis::Thickness,
        CutKind::HingeRecess => cut.along != LocalAxis::Thickness,
        CutKind::Fingers => cut.entry.axis() == LocalAxis::Length,
        CutKind::Tails | CutKind::Sockets => prism(cut).is_some(),
        CutKind::Pocket => cut.along != LocalAxis::Thickness,
        CutKind::Tenon | CutKind::OpenMortise => cut.along != LocalAxis::Thickness,
        CutKind::DovetailKey | CutKind::DovetailHousing => prism(cut).is_some(),
        CutKind::Taper
        | CutKind::Mortise
        | CutKind::WedgeSlot
        | CutKind::Lap
        | CutKind::DowelHole
        | CutKind::LooseMortise
        | CutKind::PocketHole
        | CutKind::ButtonSlot
        | CutKind::ScrewSlot
        | CutKind::KeySlot
        | CutKind::Notch
        | CutKind::EdgeNotch
        | CutKind::Opening
        | CutKind::PinHoles
        | CutKind::CupBore
        | CutKind::PullHole
        | CutKind::ScrewHole => false,
    }
}

fn prism(cut: &Cut) -> Option<LocalAxis> {
    cut.solids.iter().find_map(|s| match s {
        Solid::Prism { axis, .. } => Some(*axis),
        _ => None,
    })
}

fn mm(length: Length) -> f64 {
    length.to_f64_mm()
}

/// The section of a cut; of tails and sockets the layout of the end.
pub fn cut_section(model: &Model, piece: &Piece, part: &Part, cut: &Cut) -> Option<CutSection> {
    if matches!(
        cut.kind,
        CutKind::Tails | CutKind::Sockets | CutKind::Fingers
    ) {
        return dovetails(piece, part, cut);
    }
    // A slot lies across the direction in which the edge runs; all else is cut across its run.
    let normal = if cut.kind == CutKind::BiscuitSlot {
        match cut.entry.axis() {
            LocalAxis::Length => LocalAxis::Width,
            _ => LocalAxis::Length,
        }
    } else {
        cut.along
    };
    let across = match normal {
        LocalAxis::Length => LocalAxis::Width,
        LocalAxis::Width => LocalAxis::Length,
        LocalAxis::Thickness => return None,
    };
    let (i, n) = (across.index(), normal.index());
    let first = cut.solids.first()?.bounds();
    let bounds = if cut.kind == CutKind::BiscuitSlot {
        first
    } else {
        cut.bounds()
    };
    // In the middle of the cut's run.
    let plane = mm((first.lo[n] + first.hi[n]).half());
    // Strips that are on by then are cut too where the cut reaches them.
    let [low, high] = match across {
        LocalAxis::Length => [Side::End, Side::FarEnd],
        _ => [Side::Edge, Side::FarEdge],
    };
    let whole = part.size.along(across);
    let strips = [
        if bounds.lo[i].is_negative() {
            edging_before(part, cut, low)
        } else {
            Length::ZERO
        },
        if bounds.hi[i] > whole {
            edging_before(part, cut, high)
        } else {
            Length::ZERO
        },
    ];
    let (start, end) = (-mm(strips[0]), mm(whole + strips[1]));
    let thick = mm(part.size.thick);
    let (from, to) = (mm(bounds.lo[i]), mm(bounds.hi[i]));
    let snap = |v: f64| {
        if v < start + BESIDE * 0.5 {
            start
        } else if v > end - BESIDE * 0.5 {
            end
        } else {
            v
        }
    };
    let window = (snap(from - BESIDE - 3.0), snap(to + BESIDE + 3.0));
    let scale = if window.1 - window.0 <= 78.0 && thick <= 60.0 {
        Scale::FULL
    } else if window.1 - window.0 <= 160.0 {
        Scale { paper: 1, wood: 2 }
    } else {
        Scale { paper: 1, wood: 5 }
    };
    let frame = Frame::new(scale);
    // Face side up: the view's v is minus the distance from the face.
    let rect = |b: &LocalBox| {
        Rect::of((mm(b.lo[i]), -mm(b.lo[2])), (mm(b.hi[i]), -mm(b.hi[2])))
            .corners()
            .to_vec()
    };
    let outline = |s: &Solid| match s {
        Solid::Prism { axis, outline, .. } if *axis == normal => outline
            .iter()
            .map(|p| (mm(p[0]), -mm(p[1])))
            .collect::<Vec<_>>(),
        s => rect(&s.bounds()),
    };
    let crosses = |s: &Solid| {
        let b = s.bounds();
        mm(b.lo[n]) < plane && plane < mm(b.hi[n])
    };
    let mut region = Region::rect(Rect::of((window.0, 0.0), (window.1, -thick)));
    for other in &part.cuts {
        for solid in other.solids.iter().filter(|s| crosses(s)) {
            region.voids.push(outline(solid));
        }
    }
    let paper = frame.region(&region);
    let mut scene = Scene::new(0.0, 0.0, format!("Section of {}", part.label));
    hatch_local(&mut scene, model, part, &paper, &frame, normal, across);
    // The outline: black, red where this cut made it, thin and broken where the part goes on.
    let own: Vec<_> = cut
        .solids
        .iter()
        .filter(|s| crosses(s))
        .map(|s| frame.outline(&outline(s)))
        .collect();
    let (x0, x1) = (frame.x(window.0), frame.x(window.1));
    let goes_on = |x: f64| {
        ((x - x0).abs() < 1e-3 && window.0 > start) || ((x - x1).abs() < 1e-3 && window.1 < end)
    };
    let edge = paper.edge();
    let on_break = |s: &Segment| (s.0.0 - s.1.0).abs() < 1e-6 && goes_on(s.0.0);
    let touches = |s: &Segment| {
        own.iter()
            .any(|o| super::region::sides(o).any(|(a, b)| near_line(a, b, middle(*s))))
    };
    let black: Vec<Segment> = edge.iter().filter(|s| !on_break(s)).copied().collect();
    let red: Vec<Segment> = black.iter().filter(|s| touches(s)).copied().collect();
    scene.path(steps(&black), Pen::THICK);
    scene.path(steps(&red), Pen::THICK.red());
    for (strip, at) in strips.iter().zip([Length::ZERO, whole]) {
        if strip.is_positive() {
            seam(&mut scene, &paper, &frame, mm(at), thick);
        }
    }
    for x in [x0, x1] {
        if goes_on(x) {
            mark::broken(
                &mut scene,
                (x, frame.y(0.0) - 1.0),
                (x, frame.y(-thick) + 1.0),
            );
        }
    }
    sizes(
        &mut scene,
        piece,
        part,
        cut,
        &frame,
        across,
        (window, strips),
    );
    Some(CutSection {
        scene: scene.fitted(0.3),
        scale,
    })
}

/// The glue line between a strip and its panel, where there is wood.
fn seam(scene: &mut Scene, wood: &Region, frame: &Frame, at: f64, thick: f64) {
    let x = frame.x(at);
    for (a, b) in wood.clip(((x, frame.y(0.0)), (x, frame.y(-thick)))) {
        scene.line(a, b, Pen::MEDIUM);
    }
}

fn near_line(a: (f64, f64), b: (f64, f64), p: (f64, f64)) -> bool {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long2 = dx * dx + dy * dy;
    if long2 < 1e-12 {
        return false;
    }
    let t = (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / long2).clamp(0.0, 1.0);
    let (ex, ey) = (a.0 + t * dx - p.0, a.1 + t * dy - p.1);
    ex * ex + ey * ey < 1e-6
}

fn hatch_local(
    scene: &mut Scene,
    model: &Model,
    part: &Part,
    paper: &Region,
    frame: &Frame,
    normal: LocalAxis,
    across: LocalAxis,
) {
    let sheet = model
        .stocks
        .get(part.stock.0 as usize)
        .is_some_and(|stock| matches!(stock.kind, StockKind::Sheet { .. }));
    if sheet {
        let thick = mm(part.size.thick);
        hatch::sheet(
            scene,
            paper,
            Run::Level,
            (frame.y(0.0), frame.y(-thick)),
            thick,
        );
    } else if normal == LocalAxis::Length {
        hatch::end_grain(scene, paper, part.id.0);
    } else {
        let run = if across == LocalAxis::Length {
            Run::Level
        } else {
            Run::Upright
        };
        hatch::long_grain(scene, paper, run, part.id.0);
    }
}

/// Width above, depth or the division of the thickness at the side.
fn sizes(
    scene: &mut Scene,
    piece: &Piece,
    part: &Part,
    cut: &Cut,
    frame: &Frame,
    across: LocalAxis,
    (window, strips): ((f64, f64), [Length; 2]),
) {
    let i = across.index();
    let units = piece.units;
    let figure = |l: Length| Content::new().figure(&units.setting(l), true);
    let boxes: Vec<LocalBox> = match cut.kind {
        CutKind::BiscuitSlot => cut.solids.iter().take(1).map(Solid::bounds).collect(),
        _ => cut.solids.iter().map(Solid::bounds).collect(),
    };
    let unique = |mut all: Vec<Length>| {
        all.sort();
        all.dedup();
        all
    };
    let level = unique(boxes.iter().flat_map(|b| [b.lo[i], b.hi[i]]).collect());
    let top = frame.y(0.0);
    let labels = |places: &[Length]| -> Vec<Content> {
        places.windows(2).map(|w| figure(w[1] - w[0])).collect()
    };
    let stop_tops: Vec<Stop> = level
        .iter()
        .map(|l| Stop::new(frame.x(mm(*l)), top))
        .collect();
    Chain {
        stops: stop_tops,
        labels: labels(&level),
        ..Chain::new(Way::Level, top - 4.0, Beyond::Less)
    }
    .draw(scene);
    let mut through: Vec<Length> = boxes.iter().flat_map(|b| [b.lo[2], b.hi[2]]).collect();
    let in_face = cut.entry.axis() == LocalAxis::Thickness && cut.kind != CutKind::Tongue;
    if !in_face {
        through.extend([Length::ZERO, part.size.thick]);
    }
    let through = unique(through);
    let at_low = level.first().is_some_and(|l| *l <= -strips[0]);
    let at_high = level
        .last()
        .is_some_and(|l| *l >= part.size.along(across) + strips[1]);
    let stops = |outline: Option<f64>| -> Vec<Stop> {
        through
            .iter()
            .map(|t| Stop {
                at: frame.y(-mm(*t)),
                outline,
            })
            .collect()
    };
    if at_low || at_high {
        // Beside the open side of the cut.
        let (outline, row, beyond) = if at_low {
            (frame.x(window.0), frame.x(window.0) - 4.0, Beyond::Less)
        } else {
            (frame.x(window.1), frame.x(window.1) + 5.4, Beyond::More)
        };
        Chain {
            stops: stops(Some(outline)),
            labels: labels(&through),
            size: match units {
                Units::Mm => TextSize::T1,
                Units::Inch(_) => TextSize::T2, // stacked fractions need it
            },
            ..Chain::new(Way::Upright, row, beyond)
        }
        .draw(scene);
    } else if let [a, b] = through.as_slice() {
        // Inside the cut, a third of its width from its near wall; the figure beside the strokes.
        let (w0, w1) = match (level.first(), level.last()) {
            (Some(a), Some(b)) => (frame.x(mm(*a)), frame.x(mm(*b))),
            _ => return,
        };
        let label = figure(*b - *a);
        let wide = label.width(TextSize::T2.mm(false), false, false);
        let (y0, y1) = (frame.y(-mm(*a)), frame.y(-mm(*b)));
        if w1 - w0 > wide + 5.0 {
            let x = w0 + 2.2;
            let bare = |at| Stop { at, outline: None };
            Chain {
                stops: vec![bare(y0), bare(y1)],
                labels: vec![Content::new()],
                ..Chain::new(Way::Upright, x, Beyond::More)
            }
            .draw(scene);
            let text = Text::new((x + 1.5, (y0 + y1) / 2.0 + 1.25), label).halo();
            scene.text(text);
        } else {
            // Too narrow for that: beside the wood.
            Chain {
                stops: vec![Stop::new(y0, w1), Stop::new(y1, w1)],
                labels: vec![label],
                ..Chain::new(Way::Upright, frame.x(window.1) + 5.4, Beyond::More)
            }
            .draw(scene);
        }
    }
}

/// A dovetailed end: the waste hatched, its walls at the end or face as running figures from
/// the reference edge.
/// The corners of a solid as seen along the thickness: its own of a prism, four of a box.
fn corners(solid: &Solid) -> Option<Vec<[Length; 2]>> {
    match solid {
        Solid::Prism { outline, .. } => Some(outline.clone()),
        Solid::Box(b) => Some(vec![
            [b.lo[0], b.lo[1]],
            [b.hi[0], b.lo[1]],
            [b.hi[0], b.hi[1]],
            [b.lo[0], b.hi[1]],
        ]),
        Solid::Bore { .. } => None,
    }
}

fn dovetails(piece: &Piece, part: &Part, cut: &Cut) -> Option<CutSection> {
    // Fingers are boxes, laid out along the end like tails.
    let axis = prism(cut).unwrap_or(LocalAxis::Thickness);
    let Size {
        length,
        width,
        thick,
    } = part.size;
    let b = cut.bounds();
    let at_end = b.lo[0].is_zero();
    // From the reference edge along the end to the right; from the end inward, or from the face to
    // the reverse, down.
    let inward = |l: Length| if at_end { l } else { length - l };
    let deep = match axis {
        LocalAxis::Thickness => mm(inward(if at_end { b.hi[0] } else { b.lo[0] })) + BESIDE,
        LocalAxis::Length => mm(thick),
        LocalAxis::Width => return None,
    };
    let place = |p: &[Length; 2]| match axis {
        LocalAxis::Thickness => (mm(p[1]), -mm(inward(p[0]))),
        _ => (mm(p[0]), -mm(p[1])),
    };
    let wide = mm(width);
    let scale = Scale::reductions()
        .find(|s| wide * s.factor() <= 158.0)
        .unwrap_or(Scale { paper: 1, wood: 50 });
    let frame = Frame::new(scale);
    let outlines: Vec<Vec<(f64, f64)>> = cut
        .solids
        .iter()
        .filter_map(corners)
        .map(|outline| outline.iter().map(place).collect())
        .collect();
    let mut scene = Scene::new(0.0, 0.0, format!("Dovetails of {}", part.label));
    let area = Rect::of(
        (frame.x(0.0), frame.y(0.0)),
        (frame.x(wide), frame.y(-deep)),
    );
    let whole = Region::rect(area);
    if axis == LocalAxis::Thickness {
        let open: Vec<Segment> = whole
            .edge()
            .into_iter()
            .filter(|s| (middle(*s).1 - area.y1).abs() > 1e-3)
            .collect();
        scene.path(steps(&open), Pen::THICK);
        mark::broken(
            &mut scene,
            (area.x0 - 1.0, area.y1),
            (area.x1 + 1.0, area.y1),
        );
    } else {
        scene.path(whole.outline(), Pen::THICK);
    }
    for outline in &outlines {
        let region = Region::of(frame.outline(outline));
        hatch::cut_away(&mut scene, &region, true);
        scene.path(region.outline(), Pen::THICK.red());
    }
    let figure = |l: Length| Content::new().figure(&piece.units.figure(l), true);
    // Exact walls: corners of the outlines at the end, or at the face.
    let walls = || -> Vec<Length> {
        let mut all: Vec<Length> = Vec::new();
        for outline in cut.solids.iter().filter_map(corners) {
            let (along, down) = match axis {
                LocalAxis::Thickness => (1, 0),
                _ => (0, 1),
            };
            let low = outline.iter().map(|p| p[down]).min();
            let high = outline.iter().map(|p| p[down]).max();
            let far_side = axis == LocalAxis::Thickness && !at_end;
            let line = if far_side { high } else { low };
            all.extend(
                outline
                    .iter()
                    .filter(|p| Some(p[down]) == line)
                    .map(|p| p[along]),
            );
        }
        all.sort();
        all.dedup();
        all.retain(|l| l.is_positive() && *l < width);
        all
    };
    let marks = |outline: f64| -> Vec<Mark> {
        walls()
            .into_iter()
            .map(|l| (l, false))
            .chain([(width, true)])
            .map(|(l, bold)| Mark {
                at: frame.x(mm(l)),
                outline,
                label: figure(l),
                bold,
                red: false,
            })
            .collect()
    };
    let near = marks(area.y0);
    let small = (near.len() as f64 + 1.0) * 3.7 > area.width() + 20.0;
    let size = if small { TextSize::T1 } else { TextSize::T2 };
    Running {
        way: Way::Level,
        row: area.y0 - 5.0,
        zero: Stop::new(frame.x(0.0), area.y0),
        marks: near,
        size,
        within: None,
    }
    .draw(&mut scene);
    let drop = match axis {
        LocalAxis::Thickness => mm(if at_end { b.hi[0] } else { length - b.lo[0] }),
        _ => mm(b.hi[2]),
    };
    Chain {
        stops: vec![
            Stop::new(frame.y(0.0), area.x0),
            Stop::new(frame.y(-drop), area.x0),
        ],
        labels: vec![figure(match axis {
            LocalAxis::Thickness => {
                if at_end {
                    b.hi[0]
                } else {
                    length - b.lo[0]
                }
            }
            _ => b.hi[2],
        })],
        ..Chain::new(Way::Upright, area.x0 - 5.0, Beyond::Less)
    }
    .draw(&mut scene);
    let slope = cut.solids.iter().find_map(|s| slope_of(s, axis));
    let note = match (axis, slope) {
        (LocalAxis::Thickness, Some(n)) => Some(format!("figures at the end; slope 1 in {n}")),
        (_, Some(n)) => Some(format!("figures at the face; slope 1 in {n}")),
        _ => None,
    };
    if let Some(note) = note {
        scene.text(Text::new((area.x0, area.y1 + 4.6), note).small().italic());
    }
    Some(CutSection {
        scene: scene.fitted(0.3),
        scale,
    })
}

/// The slope of a dovetail's wall as n of "1 in n", to one place.
fn slope_of(solid: &Solid, axis: LocalAxis) -> Option<String> {
    let Solid::Prism { outline, .. } = solid else {
        return None;
    };
    let (along, down) = match axis {
        LocalAxis::Thickness => (1, 0),
        _ => (0, 1),
    };
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).find_map(|(a, b)| {
        let (da, dd) = ((a[along] - b[along]).abs(), (a[down] - b[down]).abs());
        if da.is_zero() || dd.is_zero() {
            return None;
        }
        let n = (dd.ratio(da).to_f64() * 10.0).round() / 10.0;
        Some(if n.fract() == 0.0 {
            format!("{n:.0}")
        } else {
            format!("{n:.1}")
        })
    })
}
