//! Parts made alike, found by geometry: the same shape under the turns of a box is the same part, a
//! mirror image is the other hand. Matched fronts stand for themselves.

use crate::measure::Length;
use crate::model::{
    Cut, CutKind, Grain, Group, Hand, Lay, LocalAxis, LocalBox, Model, Part, PartRef, Piece, Shape,
    Side, Size, Solid, StockId, StockKind,
};
use std::collections::BTreeMap;

/// What must be equal for two parts to be alike: size, stock, cuts, edging and shapes in the part's frame.
type Alike = (
    StockId,
    [Length; 3],
    Vec<(CutKind, Side, Vec<Solid>)>,
    Vec<(Side, Length, StockId)>,
    Vec<(Shape, Side, LocalBox)>,
);

/// A way in which a part may lie otherwise: what was along axis `from[i]` is along axis `i`, and where
/// `flip[i]` runs the other way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Turn {
    from: [usize; 3],
    flip: [bool; 3],
}

const FLIPS: [[bool; 3]; 8] = [
    [false, false, false],
    [true, true, false],
    [true, false, true],
    [false, true, true],
    [true, false, false],
    [false, true, false],
    [false, false, true],
    [true, true, true],
];

/// Turning over end for end, edge for edge, or face for face keeps the grain; two at a time are a turn of
/// the whole part, one or three a mirror image. A quarter turn swaps two axes.
const AS_IT_LIES: [usize; 3] = [0, 1, 2];
/// Length for width.
const ON_ITS_FACE: [usize; 3] = [1, 0, 2];
/// Width for thickness.
const ABOUT_ITS_LENGTH: [usize; 3] = [0, 2, 1];

impl Turn {
    const NONE: Turn = Turn {
        from: AS_IT_LIES,
        flip: FLIPS[0],
    };

    /// What undoes it: a flip of an axis is one of the axis to which it has come.
    fn back(self) -> Turn {
        let mut flip = self.flip;
        for i in 0..3 {
            flip[self.from[i]] = self.flip[i];
        }
        // A swap of two axes is its own opposite.
        Turn {
            from: self.from,
            flip,
        }
    }

    fn is_mirror(self) -> bool {
        let swaps = usize::from(self.from != AS_IT_LIES);
        (self.flip.iter().filter(|f| **f).count() + swaps) % 2 == 1
    }

    /// Where an axis of the part as it lay has come to.
    fn axis(self, axis: LocalAxis) -> LocalAxis {
        LocalAxis::ALL
            .into_iter()
            .find(|to| self.from[to.index()] == axis.index())
            .unwrap_or(axis)
    }

    fn side(self, side: Side) -> Side {
        let axis = self.axis(side.axis());
        let far = side.is_far() != self.flip[axis.index()];
        let to = Side::ALL
            .into_iter()
            .find(|to| to.axis() == axis && to.is_far() == far);
        to.unwrap_or(side)
    }

    /// A place in the part as it lay; sizes along swapped axes are equal.
    fn place(self, at: [Length; 3], size: [Length; 3]) -> [Length; 3] {
        [0, 1, 2].map(|i| {
            let place = at[self.from[i]];
            if self.flip[i] { size[i] - place } else { place }
        })
    }
}

/// Every way in which a part may lie and be the same part, or its mirror image; turns first.
///
/// A square of sheet without grain may be turned on its face; a square stick of solid wood about its
/// length, as legs are. Sheet may not: its plies show which face is which.
fn turns(model: &Model, part: &Part) -> Vec<Turn> {
    let stock = model
        .stocks
        .get(part.stock.0 as usize)
        .map(|stock| &stock.kind);
    let board = matches!(stock, Some(StockKind::Board { .. }));
    let mut ways = vec![AS_IT_LIES];
    if part.grain == Grain::None && part.size.length == part.size.width {
        ways.push(ON_ITS_FACE);
    }
    if board && part.size.width == part.size.thick {
        ways.push(ABOUT_ITS_LENGTH);
    }
    let mut all: Vec<Turn> = ways
        .into_iter()
        .flat_map(|from| FLIPS.map(|flip| Turn { from, flip }))
        .collect();
    all.sort_by_key(|turn| turn.is_mirror());
    all
}

/// Groups the parts of a model, numbers the groups, and lays the members of a group alike.
pub fn group_parts(model: &mut Model) {
    let refs: Vec<PartRef> = model.parts().map(|(at, _)| at).collect();
    let mut groups: Vec<Vec<(PartRef, Turn)>> = Vec::new();
    let mut found: BTreeMap<Alike, (usize, Turn)> = BTreeMap::new();
    // Only parts of one size out of one stock can be alike.
    let mut sizes: BTreeMap<(StockId, Size), usize> = BTreeMap::new();
    for (_, part) in model.parts() {
        *sizes.entry((part.stock, part.size)).or_default() += 1;
    }
    for at in refs {
        let (_, part) = model.part(at);
        // A front whose grain runs on from another's has one place in the row, and one way up.
        let in_a_row = |piece: &Piece| piece.matched.iter().any(|row| row.parts.contains(&at.part));
        if model.pieces.get(at.piece as usize).is_some_and(in_a_row) {
            groups.push(vec![(at, Turn::NONE)]);
            continue;
        }
        if sizes.get(&(part.stock, part.size)) == Some(&1) {
            groups.push(vec![(at, Turn::NONE)]);
            continue;
        }
        let natural = shape(model, part, Turn::NONE, at);
        match found.get(&natural) {
            Some((group, turn)) => {
                if let Some(members) = groups.get_mut(*group) {
                    members.push((at, *turn));
                }
            }
            None => {
                let group = groups.len();
                groups.push(vec![(at, Turn::NONE)]);
                // Every way in which a later part may turn out to be this one, and what brings it back
                // into this part's frame.
                for turn in turns(model, part) {
                    found
                        .entry(shape(model, part, turn, at))
                        .or_insert((group, turn.back()));
                }
            }
        }
    }
    for members in &groups {
        for (at, turn) in members {
            relay(model, *at, *turn);
        }
    }
    let mut out: Vec<Group> = groups
        .iter()
        .map(|members| name_group(model, members.iter().map(|(at, _)| *at).collect()))
        .collect();
    for (i, group) in out.iter_mut().enumerate() {
        group.mark = i as u32 + 1;
    }
    tell_apart(model, &mut out);
    model.groups = out;
}

/// Of an array whose parts are not all alike each group says which it holds: `Gate 1, door`. More than
/// three are known by their number alone.
fn tell_apart(model: &Model, groups: &mut [Group]) {
    let mut shared: BTreeMap<String, usize> = BTreeMap::new();
    for group in groups.iter() {
        *shared.entry(group.label.clone()).or_default() += 1;
    }
    for group in groups.iter_mut().filter(|group| shared[&group.label] > 1) {
        let index = |(at, _): &(PartRef, Option<Hand>)| {
            let (_, after) = model.part(*at).1.path.split_once('[')?;
            after.split_once(']').map(|(index, _)| index.to_owned())
        };
        let Some(mut found) = group
            .members
            .iter()
            .map(index)
            .collect::<Option<Vec<String>>>()
        else {
            continue;
        };
        found.dedup();
        if found.len() > 3 {
            continue;
        }
        let (head, rest) = match group.label.split_once(", ") {
            Some((head, rest)) => (head, format!(", {rest}")),
            None => (group.label.as_str(), String::new()),
        };
        group.label = format!("{head} {}{rest}", join_labels(&found));
    }
}

/// A part's shape as it lies after a turn. Strips are told by their stock, so that a banded and
/// a bare panel differ.
fn shape(model: &Model, part: &Part, turn: Turn, at: PartRef) -> Alike {
    let size = [part.size.length, part.size.width, part.size.thick];
    let mut cuts: Vec<_> = part
        .cuts
        .iter()
        .map(|cut| {
            let mut solids: Vec<Solid> = cut
                .solids
                .iter()
                .map(|s| turn_solid(s, turn, size))
                .collect();
            solids.sort();
            (cut.kind, turn.side(cut.entry), solids)
        })
        .collect();
    cuts.sort();
    let piece = &model.pieces[at.piece as usize];
    let mut bands: Vec<_> = part
        .bands
        .iter()
        .map(|band| {
            (
                turn.side(band.side),
                band.thick,
                piece.part(band.strip).stock,
            )
        })
        .collect();
    bands.sort();
    let shaped = part.shaped.iter();
    let mut shaped: Vec<_> = shaped
        .map(|s| {
            (
                s.shape.clone(),
                turn.side(s.side),
                turn_box(&s.zone, turn, size),
            )
        })
        .collect();
    shaped.sort();
    (part.stock, size, cuts, bands, shaped)
}

fn turn_box(b: &LocalBox, turn: Turn, size: [Length; 3]) -> LocalBox {
    let (a, b) = (turn.place(b.lo, size), turn.place(b.hi, size));
    LocalBox {
        lo: [0, 1, 2].map(|i| a[i].min(b[i])),
        hi: [0, 1, 2].map(|i| a[i].max(b[i])),
    }
}

fn turn_solid(solid: &Solid, turn: Turn, size: [Length; 3]) -> Solid {
    let between = |lo, hi| turn_box(&LocalBox { lo, hi }, turn, size);
    match solid {
        Solid::Box(b) => Solid::Box(between(b.lo, b.hi)),
        Solid::Bore {
            mouth,
            entry,
            diameter,
            depth,
        } => Solid::Bore {
            mouth: turn.place(*mouth, size),
            entry: turn.side(*entry),
            diameter: *diameter,
            depth: *depth,
        },
        Solid::Prism {
            axis,
            outline,
            far,
            lo,
            hi,
        } => {
            let others = |axis: LocalAxis| (0..3).filter(move |i| *i != axis.index());
            let spot = |corner: &[Length; 2], along: Length| {
                let mut at = [along; 3];
                for (i, place) in others(*axis).zip(corner) {
                    at[i] = *place;
                }
                at
            };
            let to = turn.axis(*axis);
            let corner = |corner: &[Length; 2]| {
                let at = turn.place(spot(corner, *lo), size);
                let mut places = others(to).map(|i| at[i]);
                [0; 2].map(|_| places.next().unwrap_or_default())
            };
            // Both ends of each side, the first the nearer one.
            let ahead = far.as_ref().unwrap_or(outline);
            let back = turn.flip[to.index()];
            let mut corners: Vec<[[Length; 2]; 2]> = outline
                .iter()
                .zip(ahead)
                .map(|(near, far)| if back { [far, near] } else { [near, far] })
                .map(|ends| ends.map(corner))
                .collect();
            // The same outline may start at another corner or run the other way.
            canonical(&mut corners);
            let ends = between([*lo; 3], [*hi; 3]);
            let outline: Vec<[Length; 2]> = corners.iter().map(|c| c[0]).collect();
            let ahead: Vec<[Length; 2]> = corners.iter().map(|c| c[1]).collect();
            Solid::Prism {
                axis: to,
                far: (ahead != outline).then_some(ahead),
                outline,
                lo: ends.lo[to.index()],
                hi: ends.hi[to.index()],
            }
        }
    }
}

/// Of all ways to write an outline, from any corner and either way round, the least: corners may coincide.
fn canonical<C: Copy + Ord>(corners: &mut Vec<C>) {
    let back: Vec<C> = corners.iter().rev().copied().collect();
    let ways = [corners.as_slice(), &back]
        .into_iter()
        .flat_map(|way| (0..way.len()).map(|start| [&way[start..], &way[..start]].concat()));
    if let Some(least) = ways.min() {
        *corners = least;
    }
}

/// Lays a part otherwise, so that its cuts have the coordinates of its group.
fn relay(model: &mut Model, at: PartRef, turn: Turn) {
    let Some(part) = model
        .pieces
        .get_mut(at.piece as usize)
        .and_then(|p| p.parts.get_mut(at.part.0 as usize))
    else {
        return;
    };
    if turn == Turn::NONE {
        return;
    }
    let size = [part.size.length, part.size.width, part.size.thick];
    let near = [part.lay.end, part.lay.edge, part.lay.face];
    let [end, edge, face] = [0, 1, 2].map(|i| {
        let near = near[turn.from[i]];
        if turn.flip[i] { near.opposite() } else { near }
    });
    part.lay = Lay { end, edge, face };
    for cut in &mut part.cuts {
        turn_cut(cut, turn, size);
    }
    for band in &mut part.bands {
        band.side = turn.side(band.side);
    }
    for shaped in &mut part.shaped {
        shaped.side = turn.side(shaped.side);
        shaped.zone = turn_box(&shaped.zone, turn, size);
    }
    let finished = |axis| part.finished.extent(part.lay.axis(axis));
    part.finished_size = Size {
        length: finished(LocalAxis::Length),
        width: finished(LocalAxis::Width),
        thick: finished(LocalAxis::Thickness),
    };
}

fn turn_cut(cut: &mut Cut, turn: Turn, size: [Length; 3]) {
    for solid in &mut cut.solids {
        *solid = turn_solid(solid, turn, size);
    }
    cut.entry = turn.side(cut.entry);
    cut.along = turn.axis(cut.along);
    if turn.flip[cut.along.index()] {
        cut.stopped.swap(0, 1);
    }
}

/// Members with hands, where the group has both; the label of all its members.
fn name_group(model: &Model, members: Vec<PartRef>) -> Group {
    let handed = |at: &PartRef| model.part(*at).1.lay.end_at_left();
    let symmetric = members.first().is_some_and(|at| {
        let (_, part) = model.part(*at);
        let natural = shape(model, part, Turn::NONE, *at);
        turns(model, part)
            .into_iter()
            .any(|turn| turn.is_mirror() && shape(model, part, turn, *at) == natural)
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
    if labels.len() > 3 {
        labels = labels.iter().map(|label| without_hand(label)).collect();
        let mut met: Vec<String> = Vec::new();
        labels.retain(|label| {
            let first = !met.contains(label);
            met.push(label.clone());
            first
        });
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

/// `Tray, left bearer` without its hand is `Tray, bearer`, `Pair, left, rail` is `Pair, rail`: where a group
/// has many members what they are says more than where they stand.
fn without_hand(label: &str) -> String {
    let mut words = label.split(", ");
    let head = words.next().unwrap_or_default();
    let rest = words
        .filter(|word| !matches!(*word, "left" | "right"))
        .map(|word| {
            let bare = word.strip_prefix("left ");
            bare.or(word.strip_prefix("right ")).unwrap_or(word)
        });
    std::iter::once(head)
        .chain(rest)
        .collect::<Vec<_>>()
        .join(", ")
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::fixture::{box3, cabinet, lay, line, part};
    use crate::model::{Axis, Edge, PartId, Role};
    use crate::solid::Wood;
    use proptest::prelude::*;

    /// A square stick of board, 60 x 20 x 20 mm (by `board`), or a square of sheet without grain,
    /// 60 x 60 x 20 mm, with pockets cut.
    fn stick(board: bool, cuts: &[Solid]) -> (Model, Part) {
        let mut model = cabinet();
        let stock = model.stocks.iter().position(|stock| {
            matches!(stock.kind, StockKind::Board { .. }) == board
                && !matches!(stock.kind, StockKind::Edging { .. })
        });
        let stock = stock.expect("the fixture has both") as u32;
        let b = if board {
            box3([0, 600], [0, 200], [0, 200])
        } else {
            box3([0, 600], [0, 600], [0, 200])
        };
        let at = lay(Edge::Left, Edge::Front, Edge::Bottom);
        let mut stick = part(0, "stick", "Stick", Role::Rail, 0, stock, b, b, at);
        stick.grain = if board {
            Grain::Lengthwise
        } else {
            Grain::None
        };
        stick.cuts = cuts.iter().map(|solid| pocket(solid.clone())).collect();
        model.pieces.truncate(1);
        model.pieces[0].joints.clear();
        model.pieces[0].parts.clear();
        (model, stick)
    }

    fn pocket(solid: Solid) -> Cut {
        Cut {
            kind: CutKind::Pocket,
            solids: vec![solid],
            entry: Side::Face,
            along: LocalAxis::Length,
            width: Length::ZERO,
            depth: Length::ZERO,
            fit: Length::ZERO,
            relief: Length::ZERO,
            stopped: [true, false],
            joint: None,
            filler: None,
            origin: line(1),
        }
    }

    /// Every part of a model so laid that its cuts read as given; groups are found anew.
    fn grouped(mut model: Model, parts: Vec<Part>) -> Model {
        model.pieces[0].parts = parts;
        for (i, part) in model.pieces[0].parts.iter_mut().enumerate() {
            part.id = PartId(i as u32);
        }
        group_parts(&mut model);
        model
    }

    fn any_cut() -> impl Strategy<Value = Solid> {
        let mm = Length::mm;
        let cut = (
            prop::array::uniform3(0i64..18),
            prop::array::uniform3(1i64..9),
        )
            .prop_map(move |(lo, size)| {
                Solid::Box(LocalBox {
                    lo: lo.map(mm),
                    hi: [0, 1, 2].map(|i| mm(lo[i] + size[i])),
                })
            });
        let wedge = (
            prop::sample::select(LocalAxis::ALL.to_vec()),
            prop::collection::vec(prop::array::uniform2(0i64..20), 3..5),
            0i64..10,
        )
            .prop_map(move |(axis, outline, lo)| Solid::Prism {
                far: None,
                axis,
                outline: outline.into_iter().map(|c| c.map(mm)).collect(),
                lo: mm(lo),
                hi: mm(lo + 7),
            });
        let bore = (
            prop::sample::select(Side::ALL.to_vec()),
            prop::array::uniform3(3i64..17),
        )
            .prop_map(move |(entry, at)| Solid::Bore {
                mouth: at.map(mm),
                entry,
                diameter: mm(3),
                depth: mm(2),
            });
        // A block of which one wall leans, to a point where it closes.
        let leaning = (
            prop::sample::select(LocalAxis::ALL.to_vec()),
            prop::array::uniform3(0i64..10),
            1i64..9,
            0i64..9,
        )
            .prop_map(move |(axis, [u, v, lo], near, far)| {
                let outline = |wide: i64| {
                    [[u, v], [u + wide, v], [u + wide, v + 6], [u, v + 6]].map(|c| c.map(mm))
                };
                Solid::Prism {
                    axis,
                    outline: outline(near).to_vec(),
                    far: (far != near).then(|| outline(far).to_vec()),
                    lo: mm(lo),
                    hi: mm(lo + 7),
                }
            });
        prop_oneof![cut, wedge, bore, leaning]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// Another lay with the cuts to match is the same wood in the same place; and however a part
        /// lies, it is known again: as the same part, or as the other hand.
        #[test]
        fn a_turn_changes_how_a_part_reads_and_nothing_else(
            board in any::<bool>(),
            cuts in prop::collection::vec(any_cut(), 1..4),
        ) {
            let (model, stick) = stick(board, &cuts);
            let wood = |part: &Part| {
                let mut bounds: Vec<_> =
                    part.cuts.iter().map(|cut| part.to_piece(&cut.bounds())).collect();
                bounds.sort();
                (bounds, Wood::of(part).unwrap().volume().unwrap())
            };
            let ways = turns(&model, &stick);
            prop_assert_eq!(ways.len(), 16);
            for turn in ways {
                let mut other = model.clone();
                other.pieces[0].parts = vec![stick.clone()];
                let at = PartRef { piece: 0, part: PartId(0) };
                relay(&mut other, at, turn);
                let laid = other.pieces[0].parts[0].clone();
                let ((was, volume), (is, same)) = (wood(&stick), wood(&laid));
                prop_assert_eq!(was, is);
                prop_assert!((volume - same).abs() < 1e-9);
                prop_assert_eq!(laid.lay.end_at_left() == stick.lay.end_at_left(), !turn.is_mirror());
                relay(&mut other, at, turn.back());
                prop_assert_eq!(other.pieces[0].parts[0].lay, stick.lay);
                // Read the same way, it is another piece of wood, turned or mirrored: found by either.
                let mut turned = laid;
                turned.lay = stick.lay;
                let found = grouped(model.clone(), vec![stick.clone(), turned]);
                prop_assert_eq!(found.groups.len(), 1);
                let [a, b] = [0, 1].map(|i| &found.pieces[0].parts[i]);
                for (one, same) in a.cuts.iter().zip(&b.cuts) {
                    prop_assert_eq!(&one.entry, &same.entry);
                }
                let read = |part: &Part| shape(&found, part, Turn::NONE, at);
                prop_assert_eq!(read(a), read(b));
            }
        }
    }

    /// Four legs with a mortise in each of two neighbouring faces: as high in both, all are one; the one
    /// higher than the other, two and two are hands.
    #[test]
    fn four_legs() {
        let mm = Length::mm;
        let legs = |second: i64| -> Model {
            let (model, stick) = stick(true, &[]);
            // Upright, at the corners of a square; mortises look along x and along y into it.
            let corners = [[0, 0], [1, 0], [0, 1], [1, 1]];
            let legs = corners.map(|[right, rear]| {
                let mut leg = stick.clone();
                leg.lay = Lay {
                    end: Edge::Top,
                    edge: Edge::Front,
                    face: Edge::Left,
                };
                let (x, y) = (right * 500, rear * 500);
                leg.core = box3([x, x + 200], [y, y + 200], [0, 600]);
                leg.finished = leg.core;
                let mortise = |axis: Axis, inward_high: bool, high: i64| {
                    let mut hole = leg.core;
                    hole.lo[2] = mm(high);
                    hole.hi[2] = mm(high + 10);
                    let across = axis.third(Axis::Z).index();
                    hole.lo[across] += mm(7);
                    hole.hi[across] -= mm(7);
                    let i = axis.index();
                    if inward_high {
                        hole.lo[i] = hole.hi[i] - mm(6);
                    } else {
                        hole.hi[i] = hole.lo[i] + mm(6);
                    }
                    hole
                };
                let holes = [
                    (Axis::X, mortise(Axis::X, right == 0, 40)),
                    (Axis::Y, mortise(Axis::Y, rear == 0, second)),
                ];
                leg.cuts = holes
                    .iter()
                    .map(|(axis, hole)| {
                        let high = if *axis == Axis::X {
                            right == 0
                        } else {
                            rear == 0
                        };
                        let looks = if high { axis.high() } else { axis.low() };
                        Cut {
                            entry: leg.lay.side(looks),
                            ..pocket(Solid::Box(leg.to_local(hole)))
                        }
                    })
                    .collect();
                leg
            });
            grouped(model, legs.to_vec())
        };
        let alike = legs(40);
        assert_eq!(alike.groups.len(), 1);
        assert!(
            alike.groups[0]
                .members
                .iter()
                .all(|(_, hand)| hand.is_none())
        );
        let hands = legs(20);
        assert_eq!(hands.groups.len(), 1);
        let members = &hands.groups[0].members;
        let left = members.iter().filter(|(_, hand)| *hand == Some(Hand::Left));
        assert_eq!(left.count(), 2);
        assert_eq!(
            members[0].1, members[3].1,
            "those across from each other are the same"
        );
        assert_ne!(members[0].1, members[1].1);
    }
}
