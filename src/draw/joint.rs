//! Joints at a large scale: for the first example of each kind a section through both parts, with
//! how deep, how thick and what is left.

use super::dimension::{Beyond, Chain, Stop, Way};
use super::frame::{Frame, Scale};
use super::mark;
use super::piece_view::{hatch_cut, thickness};
use super::region::{Region, Segment, length, steps};
use super::scene::{Pen, Point, Rect, Scene};
use super::solid::{Block, Spot, plane_axes};
use super::text::Content;
use crate::measure::Length;
use crate::model::{Axis, Box3, Joint, JointKind, LocalAxis, Model, Part, PartId, PartRef, Piece};

/// Most details of one piece.
const MOST: usize = 8;
/// Paper that one may take, two to a row.
const WIDE: f64 = 68.0;
const HIGH: f64 = 76.0;

/// A detail.
#[derive(Clone, Debug)]
pub struct Detail {
    /// `B`, `C`, …
    pub letter: String,
    /// The joint.
    pub joint: crate::model::JointId,
    /// `Floor into side: dado`.
    pub caption: String,
    /// `seen from the front`, `cut level, front below`.
    pub view: &'static str,
    /// The drawing.
    pub scene: Scene,
    /// Its scale.
    pub scale: Scale,
    /// The plane that it lies in.
    pub normal: Axis,
    /// Where it is.
    pub spot: Spot,
}

fn mm(length: Length) -> f64 {
    length.to_f64_mm()
}

/// What a joint is called.
pub fn joint_word(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Butt => "butt",
        JointKind::Dado => "dado",
        JointKind::Groove => "groove",
        JointKind::Rabbet => "rabbet",
        JointKind::DadoRabbet => "dado and rabbet",
        JointKind::Tongue => "tongue",
        JointKind::Mortise => "mortise and tenon",
        JointKind::Bridle => "bridle",
        JointKind::Breadboard => "breadboard end",
        JointKind::Finger => "fingers",
        JointKind::Lap => "lap",
        JointKind::DovetailSliding => "sliding dovetail",
        JointKind::DovetailDropped => "dropped dovetail",
        JointKind::Dowels => "dowels",
        JointKind::LooseTenons => "loose tenons",
        JointKind::PocketScrews => "pocket screws",
        JointKind::Buttons => "buttons",
        JointKind::Mitre => "mitre",
        JointKind::Spline => "spline",
        JointKind::Key => "key",
        JointKind::DovetailThrough => "through dovetails",
        JointKind::DovetailHalfBlind => "half-blind dovetails",
        JointKind::Biscuits => "biscuits",
        JointKind::Screws => "screws",
        JointKind::Bolts => "bolts",
        JointKind::Nails => "nails",
        JointKind::Edging => "edging",
    }
}

/// The first joint of each kind and size, as drawn.
pub fn details(model: &Model, piece_index: usize) -> Vec<Detail> {
    let Some(piece) = model.pieces.get(piece_index) else {
        return Vec::new();
    };
    let mut had = Vec::new();
    let mut out: Vec<Detail> = Vec::new();
    for joint in &piece.joints {
        if out.len() == MOST {
            break;
        }
        // Dovetails are drawn on the sheets of their parts; what is only nailed shows nothing.
        if matches!(
            joint.kind,
            JointKind::DovetailThrough
                | JointKind::DovetailHalfBlind
                | JointKind::DovetailDropped
                | JointKind::Finger
                | JointKind::Spline
                | JointKind::Key
                | JointKind::Nails
                | JointKind::Screws
                | JointKind::Bolts
        ) || (joint.kind == JointKind::Butt)
            || (joint.kind == JointKind::Edging && joint.deep.is_zero())
        {
            continue;
        }
        let (a, b) = (piece.part(joint.a), piece.part(joint.b));
        let key = (joint.kind, joint.deep, a.size.thick, b.size.thick);
        if had.contains(&key) {
            continue;
        }
        let Some((scene, scale, normal, spot)) = section(model, piece_index, piece, joint) else {
            continue;
        };
        had.push(key);
        let letter = char::from(b'B' + out.len() as u8).to_string();
        let enters = matches!(
            joint.kind,
            JointKind::Mitre
                | JointKind::Lap
                | JointKind::Biscuits
                | JointKind::Dowels
                | JointKind::LooseTenons
                | JointKind::PocketScrews
                | JointKind::Buttons
                | JointKind::Edging
        );
        let word = if enters { "to" } else { "into" };
        out.push(Detail {
            letter,
            joint: joint.id,
            caption: match joint.kind {
                JointKind::Edging => format!("Edging on {}", b.label.to_lowercase()),
                kind => format!(
                    "{} {word} {}: {}",
                    a.label,
                    b.label.to_lowercase(),
                    joint_word(kind)
                ),
            },
            view: match normal {
                Axis::X => "seen from the right",
                Axis::Y => "seen from the front",
                Axis::Z => "cut level, front below",
            },
            scene,
            scale,
            normal,
            spot,
        });
    }
    out
}

/// The axis along which a joint's faces meet flat.
fn entry_axis(contact: &Box3) -> Axis {
    Axis::ALL
        .into_iter()
        .min_by_key(|axis| contact.extent(*axis))
        .unwrap_or(Axis::X)
}

fn section(
    model: &Model,
    piece_index: usize,
    piece: &Piece,
    joint: &Joint,
) -> Option<(Scene, Scale, Axis, Spot)> {
    let (a, b) = (piece.part(joint.a), piece.part(joint.b));
    let entry = entry_axis(&joint.contact);
    // The joint runs along the longer of the two other axes; the plane is square to that.
    let others: Vec<Axis> = Axis::ALL.into_iter().filter(|x| *x != entry).collect();
    let through = |part: &Part| part.lay.axis(LocalAxis::Thickness);
    // A mitre in one plane slopes across the faces, and is seen on them.
    let flat = joint.kind == JointKind::Mitre && through(a) == through(b);
    let longer = others
        .iter()
        .copied()
        .max_by_key(|axis| joint.contact.extent(*axis))?;
    let normal = if flat { through(a) } else { longer };
    let cross = entry.third(normal);
    let plane = mm(joint.contact.middle(normal));
    // Wood to show: the receiving part as thick as it is (or 16 mm into it), 12 mm of what enters;
    // across, what enters with 8 mm on either side.
    let at = joint.contact.middle(entry);
    let (elo, ehi) = (b.core.lo[entry.index()], b.core.hi[entry.index()]);
    let b_below = b.core.middle(entry) < a.core.middle(entry);
    let deep_in = match flat {
        true => b.core.extent(entry),
        false => Length::mm(16).max(joint.deep + Length::mm(8)),
    };
    let deep_a = Length::mm(12).max(joint.deep + Length::mm(6));
    let (mut lo, mut hi) = if b_below {
        (
            if at - elo <= Length::mm(36) {
                elo
            } else {
                at - deep_in
            },
            at + deep_a,
        )
    } else {
        (
            at - deep_a,
            if ehi - at <= Length::mm(36) {
                ehi
            } else {
                at + deep_in
            },
        )
    };
    // Strips stand outside the edge that they cover; show all of a thin one.
    let (alo, ahi) = (a.core.lo[entry.index()], a.core.hi[entry.index()]);
    if ahi - alo <= Length::mm(36) {
        lo = lo.min(alo);
        hi = hi.max(ahi);
    }
    let margin = Length::mm(8);
    let c = cross.index();
    let (clo, chi) = (
        (joint.contact.lo[c] - margin).max(a.core.lo[c].min(b.core.lo[c])),
        (joint.contact.hi[c] + margin).min(a.core.hi[c].max(b.core.hi[c])),
    );
    let (ui, vi) = plane_axes(normal);
    let (u, v) = (Axis::ALL[ui], Axis::ALL[vi]);
    let span = |axis: Axis| {
        if axis == entry {
            (mm(lo), mm(hi))
        } else {
            (mm(clo), mm(chi))
        }
    };
    let (us, vs) = (span(u), span(v));
    let window = Rect::of((us.0, vs.0), (us.1, vs.1));
    let scale = [
        Scale::DOUBLE,
        Scale::FULL,
        Scale { paper: 1, wood: 2 },
        Scale { paper: 1, wood: 5 },
    ]
    .into_iter()
    .find(|s| window.width() * s.factor() <= WIDE && window.height() * s.factor() <= HIGH)
    .unwrap_or(Scale { paper: 1, wood: 10 });
    let frame = Frame::new(scale);
    let mut scene = Scene::new(
        0.0,
        0.0,
        format!("{} and {}, {}", a.label, b.label, scale.text()),
    );
    // Every part as sawn, strips apart, also of fronts.
    let all: Vec<Block> = piece
        .parts
        .iter()
        .map(|part| Block {
            part,
            size: part.core,
            cuts: true,
            front: false,
            shift: [0.0; 3],
        })
        .collect();
    let mut shown: Vec<(&Block, Region)> = Vec::new();
    for block in &all {
        let same = block.part.assembly == a.assembly || block.part.assembly == b.assembly;
        let Some(region) = same.then(|| block.section(normal, plane)).flatten() else {
            continue;
        };
        let Some(kept) = clamp(&region, &window) else {
            continue;
        };
        shown.push((block, kept));
    }
    // The receiving part first, then what enters, then what stands by.
    shown.sort_by_key(|(block, _)| {
        (
            block.part.id != b.id,
            block.part.id != a.id,
            block.part.id.0,
        )
    });
    for (block, region) in &shown {
        let paper = frame.region(region);
        hatch_cut(
            &mut scene,
            model,
            block.part,
            &paper,
            &frame,
            (u, v),
            normal,
        );
        outline(&mut scene, &paper, &window, &frame);
    }
    sizes(
        &mut scene,
        piece,
        joint,
        &frame,
        Cross {
            entry,
            cross,
            u,
            window,
        },
    );
    for (block, region) in &shown {
        let paper = frame.region(region);
        let at = PartRef {
            piece: piece_index as u32,
            part: block.part.id,
        };
        if let (Some(mark), Some(place)) = (mark_of(model, at), clear_spot(&paper)) {
            mark::balloon(&mut scene, place, mark);
        }
    }
    let mut spot = [plane; 3];
    spot[entry.index()] = mm(at);
    spot[cross.index()] = mm(joint.contact.middle(cross));
    Some((scene.fitted(0.3), scale, normal, spot))
}

/// The number of the group that a part is of.
pub fn mark_of(model: &Model, at: PartRef) -> Option<u32> {
    model
        .groups
        .iter()
        .find(|g| g.members.iter().any(|(m, _)| *m == at))
        .map(|g| g.mark)
}

/// A region with its solids kept within a window; `None` if none are.
fn clamp(region: &Region, window: &Rect) -> Option<Region> {
    let solids: Vec<Vec<Point>> = region
        .solids
        .iter()
        .filter_map(|o| Region::of(o.clone()).bounds())
        .filter(|b| b.overlaps(window))
        .map(|b| {
            Rect {
                x0: b.x0.max(window.x0),
                y0: b.y0.max(window.y0),
                x1: b.x1.min(window.x1),
                y1: b.y1.min(window.y1),
            }
            .corners()
            .to_vec()
        })
        .collect();
    (!solids.is_empty()).then(|| Region {
        solids,
        voids: region.voids.clone(),
    })
}

/// Thick where the wood ends, a thin break where the window cuts it.
fn outline(scene: &mut Scene, paper: &Region, window: &Rect, frame: &Frame) {
    let w = Rect::of(
        frame.at((window.x0, window.y0)),
        frame.at((window.x1, window.y1)),
    );
    let on = |s: &Segment| {
        let same = |a: f64, b: f64, edge: f64| (a - edge).abs() < 1e-3 && (b - edge).abs() < 1e-3;
        same(s.0.0, s.1.0, w.x0)
            || same(s.0.0, s.1.0, w.x1)
            || same(s.0.1, s.1.1, w.y0)
            || same(s.0.1, s.1.1, w.y1)
    };
    let edge = paper.edge();
    let solid: Vec<Segment> = edge.iter().filter(|s| !on(s)).copied().collect();
    scene.path(steps(&solid), Pen::THICK);
    // A part may end at the window; that is seen by its own figure, so a break there does no harm.
    for s in edge.iter().filter(|s| on(s)) {
        if length(*s) > 9.0 {
            mark::broken(scene, s.0, s.1);
        } else {
            scene.line(s.0, s.1, Pen::THIN);
        }
    }
}

struct Cross {
    entry: Axis,
    cross: Axis,
    u: Axis,
    window: Rect,
}

/// Rows below and at the left: faces of both parts, the floor and the walls of the cuts, the end of
/// what enters.
fn sizes(scene: &mut Scene, piece: &Piece, joint: &Joint, frame: &Frame, at: Cross) {
    let (a, b) = (piece.part(joint.a), piece.part(joint.b));
    let mut along: Vec<Length> = Vec::new();
    let mut across: Vec<Length> = Vec::new();
    let faces = |part: &Part, axis: Axis| [part.core.lo[axis.index()], part.core.hi[axis.index()]];
    along.extend(faces(a, at.entry));
    along.extend(faces(b, at.entry));
    along.push(joint.contact.middle(at.entry));
    across.extend(faces(a, at.cross));
    let of_joint = |part: &Part, other: PartId| -> Vec<Box3> {
        part.cuts
            .iter()
            .filter(|cut| cut.joint == Some(joint.id) || cut.filler == Some(other))
            .flat_map(|cut| &cut.solids)
            .map(|solid| part.to_piece(&solid.bounds()))
            .collect()
    };
    for cut in of_joint(a, b.id).into_iter().chain(of_joint(b, a.id)) {
        along.extend([cut.lo[at.entry.index()], cut.hi[at.entry.index()]]);
        across.extend([cut.lo[at.cross.index()], cut.hi[at.cross.index()]]);
    }
    // What is flush with the receiving part counts too.
    if thickness(b) == at.cross {
        across.extend(faces(b, at.cross));
    }
    let row = |mut places: Vec<Length>, low: f64, high: f64| -> Vec<Length> {
        places.retain(|l| mm(*l) >= low - 1e-6 && mm(*l) <= high + 1e-6);
        places.sort();
        places.dedup();
        // Room to slide in is told by the setup, not here: faces nearer than 0.3 mm are one.
        let mut kept: Vec<Length> = Vec::new();
        for place in places {
            if kept
                .last()
                .is_none_or(|last| place - *last > Length::um(300))
            {
                kept.push(place);
            }
        }
        kept
    };
    let w = &at.window;
    for (axis, places) in [(at.entry, along), (at.cross, across)] {
        let level = axis == at.u;
        let (low, high) = if level { (w.x0, w.x1) } else { (w.y0, w.y1) };
        let places = row(places, low, high);
        if places.len() < 2 {
            continue;
        }
        let labels = places
            .windows(2)
            .map(|p| Content::new().length(piece.units, p[1] - p[0]))
            .collect();
        if level {
            let foot = frame.y(w.y0);
            Chain {
                stops: places
                    .iter()
                    .map(|l| Stop::new(frame.x(mm(*l)), foot))
                    .collect(),
                labels,
                ..Chain::new(Way::Level, foot + 6.0, Beyond::More)
            }
            .draw(scene);
        } else {
            let left = frame.x(w.x0);
            Chain {
                stops: places
                    .iter()
                    .map(|l| Stop::new(frame.y(mm(*l)), left))
                    .collect(),
                labels,
                ..Chain::new(Way::Upright, left - 5.0, Beyond::Less)
            }
            .draw(scene);
        }
    }
}

/// A place inside a region with room for a balloon, as near to its middle as can be.
fn clear_spot(paper: &Region) -> Option<Point> {
    let b = paper.bounds()?;
    let reach = 2.9;
    let around = [
        (0.0, 0.0),
        (1.0, 0.0),
        (-1.0, 0.0),
        (0.0, 1.0),
        (0.0, -1.0),
        (0.7, 0.7),
        (-0.7, 0.7),
        (0.7, -0.7),
        (-0.7, -0.7),
    ];
    let middle = b.middle();
    let mut best: Option<(f64, Point)> = None;
    for i in 0..=20 {
        for j in 0..=20 {
            let p = (
                b.x0 + b.width() * (f64::from(i) + 0.013) / 20.0,
                b.y0 + b.height() * (f64::from(j) + 0.017) / 20.0,
            );
            if around
                .iter()
                .all(|(x, y)| paper.holds((p.0 + x * reach, p.1 + y * reach)))
            {
                let d = length((p, middle));
                if best.is_none_or(|(far, _)| d < far) {
                    best = Some((d, p));
                }
            }
        }
    }
    best.map(|(_, p)| p)
}
