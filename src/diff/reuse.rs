//! What can be done with a part that is cut already: whether the new part can still be made from it.

use super::changes::Reuse;
use crate::measure::Length;
use crate::model::{Cut, LocalAxis, LocalBox, Size, Solid};

/// A part as sawn and cut.
pub(super) struct Cutting<'a> {
    pub(super) size: Size,
    pub(super) cuts: &'a [Cut],
}

/// Compares what is cut with what is wanted: material can be taken off, never put on. A part may be
/// trimmed at either end and either edge; whatever is cut already must then lie in what is to go.
pub(super) fn reuse(old: &Cutting<'_>, new: &Cutting<'_>, restocked: bool, board: bool) -> Reuse {
    let (was, is) = (old.size, new.size);
    if restocked || is.length > was.length || is.width > was.width || is.thick > was.thick {
        return Reuse::MakeAgain;
    }
    let thinner = is.thick < was.thick;
    if thinner && !board {
        return Reuse::MakeAgain;
    }
    let shifts = |old: Length, new: Length| {
        let mut out = vec![Length::ZERO];
        if old != new {
            out.push(new - old);
        }
        out
    };
    let mut best: Option<bool> = None;
    for along in shifts(was.length, is.length) {
        for across in shifts(was.width, is.width) {
            // Planing takes off the reverse; the face side stays the reference.
            if let Some(same) = serves(old, new, [along, across, Length::ZERO]) {
                best = Some(best.unwrap_or(false) || same);
            }
        }
    }
    let trimmed = is.length != was.length || is.width != was.width;
    match (best, trimmed, thinner) {
        (None, ..) => Reuse::MakeAgain,
        (Some(true), false, false) => Reuse::Usable,
        (Some(true), true, false) => Reuse::Trim,
        (Some(false), false, false) => Reuse::CutFurther,
        (Some(false), true, false) => Reuse::TrimAndCut,
        (Some(true), false, true) => Reuse::Plane,
        // Planed and cut further or trimmed: what is left on the reverse is not followed here.
        (Some(_), _, true) => Reuse::MakeAgain,
    }
}

/// Whether every cut, moved by this, lies in what is to go now; and whether that is then all of it.
fn serves(old: &Cutting<'_>, new: &Cutting<'_>, by: [Length; 3]) -> Option<bool> {
    let wanted: Vec<&Solid> = new.cuts.iter().flat_map(|cut| &cut.solids).collect();
    let mut same = true;
    let mut met = 0;
    for solid in old.cuts.iter().flat_map(|cut| &cut.solids) {
        let solid = moved(solid, by);
        if outside(&solid.bounds(), &new.size) {
            continue;
        }
        if wanted.iter().any(|other| equal(&solid, other, &new.size)) {
            met += 1;
        } else if wanted.iter().any(|other| holds(other, &solid, &new.size)) {
            same = false;
        } else {
            return None;
        }
    }
    Some(same && met >= wanted.len())
}

/// Whether nothing of a box is left in a part.
fn outside(b: &LocalBox, size: &Size) -> bool {
    LocalAxis::ALL.into_iter().any(|axis| {
        let i = axis.index();
        b.hi[i] <= Length::ZERO || b.lo[i] >= size.along(axis)
    })
}

fn clipped(b: &LocalBox, size: &Size) -> LocalBox {
    let mut out = *b;
    for axis in LocalAxis::ALL {
        let i = axis.index();
        out.lo[i] = out.lo[i].max(Length::ZERO);
        out.hi[i] = out.hi[i].min(size.along(axis));
    }
    out
}

fn equal(a: &Solid, b: &Solid, size: &Size) -> bool {
    match (a, b) {
        (Solid::Box(a), Solid::Box(b)) => clipped(a, size) == clipped(b, size),
        _ => a == b,
    }
}

/// Whether one holds all of the other, within the part.
fn holds(outer: &Solid, inner: &Solid, size: &Size) -> bool {
    let within =
        |a: &LocalBox, b: &LocalBox| (0..3).all(|i| a.lo[i] <= b.lo[i] && b.hi[i] <= a.hi[i]);
    match (outer, inner) {
        (Solid::Box(outer), inner) => {
            within(&clipped(outer, size), &clipped(&inner.bounds(), size))
        }
        (
            Solid::Bore {
                mouth,
                entry,
                diameter,
                depth,
            },
            Solid::Bore {
                mouth: m,
                entry: e,
                diameter: d,
                depth: far,
            },
        ) => mouth == m && entry == e && diameter >= d && depth >= far,
        _ => false,
    }
}

fn moved(solid: &Solid, by: [Length; 3]) -> Solid {
    let point = |p: &[Length; 3]| [p[0] + by[0], p[1] + by[1], p[2] + by[2]];
    match solid {
        Solid::Box(b) => Solid::Box(LocalBox {
            lo: point(&b.lo),
            hi: point(&b.hi),
        }),
        Solid::Bore {
            mouth,
            entry,
            diameter,
            depth,
        } => Solid::Bore {
            mouth: point(mouth),
            entry: *entry,
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
            let others: Vec<Length> = (0..3)
                .filter(|i| *i != axis.index())
                .filter_map(|i| by.get(i).copied())
                .collect();
            let (x, y) = match others.as_slice() {
                [x, y] => (*x, *y),
                _ => (Length::ZERO, Length::ZERO),
            };
            let along = by.get(axis.index()).copied().unwrap_or(Length::ZERO);
            let moved = |outline: &Vec<[Length; 2]>| -> Vec<[Length; 2]> {
                outline.iter().map(|p| [p[0] + x, p[1] + y]).collect()
            };
            Solid::Prism {
                axis: *axis,
                outline: moved(outline),
                far: far.as_ref().map(moved),
                lo: *lo + along,
                hi: *hi + along,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::fixture;

    /// The fixture's side with one thing changed: its size, or one of its cuts.
    fn after(size: impl Fn(&mut Size), cut: impl Fn(&mut Vec<Cut>)) -> Reuse {
        let model = fixture::cabinet();
        let side = &model.pieces[0].parts[0];
        let (mut new_size, mut cuts) = (side.size, side.cuts.clone());
        size(&mut new_size);
        cut(&mut cuts);
        let old = Cutting {
            size: side.size,
            cuts: &side.cuts,
        };
        let new = Cutting {
            size: new_size,
            cuts: &cuts,
        };
        reuse(&old, &new, false, false)
    }

    fn deepen(cut: &mut Cut, by: Length) {
        for solid in &mut cut.solids {
            if let Solid::Box(b) = solid {
                b.hi[2] += by;
            }
        }
    }

    /// The side's cuts are three housings, the rabbet for the back along its far edge, the groove for
    /// its strip along the near one, and two rows of holes.
    #[test]
    fn wood_is_taken_off_and_never_put_on() {
        let keep_size = |_: &mut Size| {};
        let keep_cuts = |_: &mut Vec<Cut>| {};
        let one = Length::mm(1);
        assert_eq!(after(keep_size, keep_cuts), Reuse::Usable);
        assert_eq!(after(|s| s.length += one, keep_cuts), Reuse::MakeAgain);
        assert_eq!(after(|s| s.thick -= one, keep_cuts), Reuse::MakeAgain);
        // Shorter at the far end: what ran out there runs out, the rest is measured from the near end.
        assert_eq!(after(|s| s.length -= one, keep_cuts), Reuse::Trim);
        // Narrower: the rabbet at the far edge would be too narrow, so the new one is cut further in.
        assert_eq!(
            after(
                |s| s.width -= one,
                |cuts| {
                    if let Some(Solid::Box(b)) = cuts[3].solids.first_mut() {
                        b.lo[1] -= one;
                        b.hi[1] -= one;
                    }
                    // The housings end at the rabbet's floor and may stay.
                }
            ),
            Reuse::TrimAndCut
        );
        assert_eq!(
            after(keep_size, |cuts| deepen(&mut cuts[0], one)),
            Reuse::CutFurther
        );
        assert_eq!(
            after(keep_size, |cuts| deepen(&mut cuts[0], -one)),
            Reuse::MakeAgain
        );
        assert_eq!(after(keep_size, |cuts| drop(cuts.pop())), Reuse::MakeAgain);
    }
}
