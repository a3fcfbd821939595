//! Parts made alike, found by geometry: the same shape under the turns of a box is the same part, a
//! mirror image is the other hand.

use crate::measure::Length;
use crate::model::{
    Cut, CutKind, Group, Hand, Lay, LocalAxis, LocalBox, Model, Part, PartRef, Side, Size, Solid,
    StockId,
};
use std::collections::BTreeMap;

/// What must be equal for two parts to be alike: size, stock, cuts and edging in the part's frame.
type Shape = (
    StockId,
    [Length; 3],
    Vec<(CutKind, Side, Vec<Solid>)>,
    Vec<(Side, Length, StockId)>,
);

/// Which ends of the part's axes are swapped.
type Flip = [bool; 3];

/// Turning a part over end for end, edge for edge, or face for face; two at a time are a turn of the
/// whole part, one or three a mirror image.
const FLIPS: [Flip; 8] = [
    [false, false, false],
    [true, true, false],
    [true, false, true],
    [false, true, true],
    [true, false, false],
    [false, true, false],
    [false, false, true],
    [true, true, true],
];

fn is_mirror(flip: Flip) -> bool {
    flip.iter().filter(|f| **f).count() % 2 == 1
}

/// Groups the parts of a model, numbers the groups, and lays the members of a group alike.
pub fn group_parts(model: &mut Model) {
    let refs: Vec<PartRef> = model.parts().map(|(at, _)| at).collect();
    let mut groups: Vec<Vec<(PartRef, Flip)>> = Vec::new();
    let mut found: BTreeMap<Shape, (usize, Flip)> = BTreeMap::new();
    // Only parts of one size out of one stock can be alike.
    let mut sizes: BTreeMap<(StockId, Size), usize> = BTreeMap::new();
    for (_, part) in model.parts() {
        *sizes.entry((part.stock, part.size)).or_default() += 1;
    }
    for at in refs {
        let (_, part) = model.part(at);
        if sizes.get(&(part.stock, part.size)) == Some(&1) {
            groups.push(vec![(at, FLIPS[0])]);
            continue;
        }
        let natural = shape(model, part, FLIPS[0], at);
        match found.get(&natural) {
            Some((group, flip)) => {
                if let Some(members) = groups.get_mut(*group) {
                    members.push((at, *flip));
                }
            }
            None => {
                let group = groups.len();
                groups.push(vec![(at, FLIPS[0])]);
                // Every way in which a later part may turn out to be this one. Its own flip brings
                // it back into this part's frame. Turns come before mirror images.
                for flip in FLIPS {
                    found
                        .entry(shape(model, part, flip, at))
                        .or_insert((group, flip));
                }
            }
        }
    }
    for members in &groups {
        for (at, flip) in members {
            relay(model, *at, *flip);
        }
    }
    let mut out: Vec<Group> = groups
        .iter()
        .map(|members| name_group(model, members.iter().map(|(at, _)| *at).collect()))
        .collect();
    for (i, group) in out.iter_mut().enumerate() {
        group.mark = i as u32 + 1;
    }
    model.groups = out;
}

/// A part's shape seen with some axes swapped. Strips are told by their stock, so that a banded and
/// a bare panel differ.
fn shape(model: &Model, part: &Part, flip: Flip, at: PartRef) -> Shape {
    let size = [part.size.length, part.size.width, part.size.thick];
    let mut cuts: Vec<_> = part
        .cuts
        .iter()
        .map(|cut| {
            let mut solids: Vec<Solid> = cut
                .solids
                .iter()
                .map(|s| flip_solid(s, flip, size))
                .collect();
            solids.sort();
            (cut.kind, flip_side(cut.entry, flip), solids)
        })
        .collect();
    cuts.sort();
    let piece = &model.pieces[at.piece as usize];
    let mut bands: Vec<_> = part
        .bands
        .iter()
        .map(|band| {
            (
                flip_side(band.side, flip),
                band.thick,
                piece.part(band.strip).stock,
            )
        })
        .collect();
    bands.sort();
    (part.stock, size, cuts, bands)
}

fn flip_side(side: Side, flip: Flip) -> Side {
    if flip[side.axis().index()] {
        side.opposite()
    } else {
        side
    }
}

fn flip_box(b: &LocalBox, flip: Flip, size: [Length; 3]) -> LocalBox {
    let mut out = *b;
    for i in 0..3 {
        if flip[i] {
            out.lo[i] = size[i] - b.hi[i];
            out.hi[i] = size[i] - b.lo[i];
        }
    }
    out
}

fn flip_solid(solid: &Solid, flip: Flip, size: [Length; 3]) -> Solid {
    match solid {
        Solid::Box(b) => Solid::Box(flip_box(b, flip, size)),
        Solid::Bore {
            mouth,
            entry,
            diameter,
            depth,
        } => {
            let mut at = *mouth;
            for i in 0..3 {
                if flip[i] {
                    at[i] = size[i] - mouth[i];
                }
            }
            Solid::Bore {
                mouth: at,
                entry: flip_side(*entry, flip),
                diameter: *diameter,
                depth: *depth,
            }
        }
        Solid::Prism {
            axis,
            outline,
            lo,
            hi,
        } => {
            let others: Vec<usize> = (0..3).filter(|i| *i != axis.index()).collect();
            let mut corners: Vec<[Length; 2]> = outline
                .iter()
                .map(|corner| {
                    let mut c = *corner;
                    for (k, i) in others.iter().enumerate() {
                        if flip[*i] {
                            c[k] = size[*i] - corner[k];
                        }
                    }
                    c
                })
                .collect();
            // The same outline may start at another corner or run the other way.
            canonical(&mut corners);
            let i = axis.index();
            let (lo, hi) = if flip[i] {
                (size[i] - *hi, size[i] - *lo)
            } else {
                (*lo, *hi)
            };
            Solid::Prism {
                axis: *axis,
                outline: corners,
                lo,
                hi,
            }
        }
    }
}

/// Starts an outline at its least corner and runs it toward the lesser neighbour.
fn canonical(corners: &mut [[Length; 2]]) {
    let Some(start) = (0..corners.len()).min_by_key(|i| corners[*i]) else {
        return;
    };
    corners.rotate_left(start);
    if corners.len() > 2 && corners[corners.len() - 1] < corners[1] {
        corners[1..].reverse();
    }
}

/// Lays a part with some axes swapped, so that its cuts have the coordinates of its group.
fn relay(model: &mut Model, at: PartRef, flip: Flip) {
    let Some(part) = model
        .pieces
        .get_mut(at.piece as usize)
        .and_then(|p| p.parts.get_mut(at.part.0 as usize))
    else {
        return;
    };
    if flip == FLIPS[0] {
        return;
    }
    let size = [part.size.length, part.size.width, part.size.thick];
    let turn = |edge: crate::model::Edge, swap: bool| if swap { edge.opposite() } else { edge };
    part.lay = Lay {
        end: turn(part.lay.end, flip[0]),
        edge: turn(part.lay.edge, flip[1]),
        face: turn(part.lay.face, flip[2]),
    };
    for cut in &mut part.cuts {
        flip_cut(cut, flip, size);
    }
    for band in &mut part.bands {
        band.side = flip_side(band.side, flip);
    }
}

fn flip_cut(cut: &mut Cut, flip: Flip, size: [Length; 3]) {
    for solid in &mut cut.solids {
        *solid = flip_solid(solid, flip, size);
    }
    cut.entry = flip_side(cut.entry, flip);
    if flip[cut.along.index()] {
        cut.stopped.swap(0, 1);
    }
    debug_assert!(LocalAxis::ALL.contains(&cut.along));
}

/// Members with hands, where the group has both; the label of all its members.
fn name_group(model: &Model, members: Vec<PartRef>) -> Group {
    let handed = |at: &PartRef| model.part(*at).1.lay.end_at_left();
    let symmetric = members.first().is_some_and(|at| {
        let (_, part) = model.part(*at);
        let natural = shape(model, part, FLIPS[0], *at);
        FLIPS
            .iter()
            .any(|flip| is_mirror(*flip) && shape(model, part, *flip, *at) == natural)
    });
    let both = members.iter().any(&handed) && !members.iter().all(&handed);
    let hands = both && !symmetric;
    // The hand that stands at the left is the left one.
    let place = |at: &PartRef| model.part(*at).1.core.lo[0];
    let left_is = members
        .iter()
        .min_by_key(|at| place(at))
        .is_some_and(&handed);
    let mut labels: Vec<String> = Vec::new();
    for at in &members {
        let label = &model.part(*at).1.label;
        if !labels.contains(label) {
            labels.push(label.clone());
        }
    }
    let label = join_labels(&labels);
    let members = members
        .into_iter()
        .map(|at| {
            let hand = hands.then(|| {
                if handed(&at) == left_is {
                    Hand::Left
                } else {
                    Hand::Right
                }
            });
            (at, hand)
        })
        .collect();
    Group {
        mark: 0,
        label,
        members,
    }
}

/// `Floor` and `Deck` are `Floor and deck`; more than three are the first and how many more.
fn join_labels(labels: &[String]) -> String {
    match labels {
        [] => String::new(),
        [one] => one.clone(),
        [first, rest @ ..] if rest.len() <= 2 => {
            let shared = first.split_once(", ").map(|(head, _)| head);
            let rest: Vec<String> = rest
                .iter()
                .map(|label| match (label.split_once(", "), shared) {
                    (Some((head, tail)), Some(shared)) if head == shared => tail.to_owned(),
                    _ => label.to_lowercase(),
                })
                .collect();
            match rest.split_last() {
                Some((last, [])) => format!("{first} and {last}"),
                Some((last, middle)) => format!("{first}, {} and {last}", middle.join(", ")),
                None => first.clone(),
            }
        }
        [first, rest @ ..] => format!("{first} and {} more", rest.len()),
    }
}
