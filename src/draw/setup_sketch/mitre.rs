//! Mitred strips of a card: both ends of each at one scale, the middle broken out, with the long
//! point's length and the names of the ends.

use super::super::dimension::{Beyond, Chain, Stop, Way};
use super::super::region::Region;
use super::super::{Pen, Point, Scene, Text, TextSize, hatch, mark};
use super::{set, side_words};
use crate::measure::{Length, Units};
use crate::model::{CutKind, Hand, LocalAxis, Model, Part, Side, Solid};
use crate::plan::setups::{Card, Run};

/// From end to end on paper, and each end's share of it.
const LONG: f64 = 60.0;
const END: f64 = 24.0;
/// Through the strip on paper.
const DEEP: f64 = 7.0;
/// From one strip to the next.
const PITCH: f64 = 27.0;

/// The strips of a card that are mitred across their ends; none where edges are mitred.
pub fn mitres(model: &Model, units: Units, card: &Card) -> Option<Scene> {
    let runs: Vec<(&Run, &Part)> = card
        .rows
        .iter()
        .flat_map(|row| &row.runs)
        .filter_map(|run| Some((run, model.part(run.operations.first()?.at).1)))
        .filter(|(_, part)| mitres_of(part).next().is_some())
        .collect();
    if runs.is_empty() {
        return None;
    }
    let rows = runs.len().div_ceil(2);
    let mut scene = Scene::new(
        150.0,
        rows as f64 * PITCH + 2.0,
        "Mitred strips: their ends, and the length to the long point",
    );
    for (i, (run, part)) in runs.iter().enumerate() {
        let at = (6.0 + (i % 2) as f64 * 76.0, 8.0 + (i / 2) as f64 * PITCH);
        strip(&mut scene, model, units, (run, part), at);
    }
    Some(scene.fitted(0.5))
}

/// Outlines of the mitres across a part's ends: along its length, and the axis that they slope over.
fn mitres_of(part: &Part) -> impl Iterator<Item = (LocalAxis, Side, &Vec<[Length; 2]>)> {
    part.cuts
        .iter()
        .filter(|cut| cut.kind == CutKind::Mitre && cut.entry.axis() == LocalAxis::Length)
        .flat_map(|cut| cut.solids.iter().map(move |solid| (cut.entry, solid)))
        .filter_map(|(entry, solid)| match solid {
            Solid::Prism { axis, outline, .. } if *axis != LocalAxis::Length => {
                let over = match axis {
                    LocalAxis::Width => LocalAxis::Thickness,
                    LocalAxis::Thickness | LocalAxis::Length => LocalAxis::Width,
                };
                Some((over, entry, outline))
            }
            Solid::Prism { .. } | Solid::Box(_) | Solid::Bore { .. } => None,
        })
}

fn strip(scene: &mut Scene, model: &Model, units: Units, (run, part): (&Run, &Part), at: Point) {
    let Some((over, ..)) = mitres_of(part).next() else {
        return;
    };
    let whole = part.size.length.to_f64_mm();
    let deep = part.size.along(over).to_f64_mm().max(0.1);
    let s = DEEP / deep;
    let place = |point: &[Length; 2]| {
        let (l, d) = (point[0].to_f64_mm(), point[1].to_f64_mm());
        let x = if l <= whole / 2.0 {
            (l * s).min(END)
        } else {
            LONG - ((whole - l) * s).min(END)
        };
        (at.0 + x, at.1 + d * s)
    };
    let corner = |l: Length, d: Length| place(&[l, d]);
    let (zero, long, thick) = (Length::ZERO, part.size.length, part.size.along(over));
    let mut region = Region::of(vec![
        corner(zero, zero),
        corner(long, zero),
        corner(long, thick),
        corner(zero, thick),
    ]);
    for (_, _, outline) in mitres_of(part) {
        let waste: Vec<Point> = outline.iter().map(place).collect();
        region = region.without(waste.clone());
        hatch::cut_away(scene, &Region::of(waste.clone()), true);
        scene.polygon(&waste, Pen::THIN.red());
    }
    scene.path(region.outline(), Pen::THICK);
    let middle = at.0 + LONG / 2.0;
    for x in [middle - 5.0, middle + 5.0] {
        mark::broken(scene, (x, at.1 - 1.0), (x, at.1 + DEEP + 1.0));
    }
    mark::balloon(scene, (middle, at.1 + DEEP / 2.0), run.mark);
    if let Some(hand) = run.hand {
        // The letter stands before a left hand's foot, behind a right hand's.
        let foot = if hand == Hand::Left { 12.5 } else { 9.0 };
        mark::hand(scene, (middle + foot, at.1 + 5.5), hand, TextSize::T2);
    }
    // On the side of the long points the waste is no more than the corner.
    let at_low = mitres_of(part).all(|(_, entry, outline)| {
        let end = if entry.is_far() { long } else { zero };
        outline.iter().filter(|p| p[1] == zero).all(|p| p[0] == end)
    });
    let row = if at_low {
        at.1 - 4.4
    } else {
        at.1 + DEEP + 4.4
    };
    let edge = if at_low { at.1 } else { at.1 + DEEP };
    Chain {
        stops: vec![Stop::new(at.0, edge), Stop::new(at.0 + LONG, edge)],
        labels: vec![set(units, part.size.length)],
        bold: true,
        ..Chain::new(
            Way::Level,
            row,
            if at_low { Beyond::Less } else { Beyond::More },
        )
    }
    .draw(scene);
    let low_side = if over == LocalAxis::Width {
        Side::Edge
    } else {
        Side::Face
    };
    let outer = if at_low {
        low_side
    } else {
        low_side.opposite()
    };
    let foot = at.1 + DEEP + if at_low { 3.4 } else { 8.6 };
    scene.text(
        Text::new((at.0, foot), side_words(part, Side::End))
            .small()
            .italic(),
    );
    scene.text(
        Text::new((at.0 + LONG, foot), side_words(part, Side::FarEnd))
            .small()
            .italic()
            .end(),
    );
    let mut words = format!("long point on the {} side", part.lay.looks(outer).word());
    let turned = run
        .operations
        .iter()
        .any(|op| model.part(op.at).1.lay.end_at_left() != part.lay.end_at_left());
    if turned && run.hand.is_none() {
        words.push_str("; its twin is the same, turned over");
    }
    scene.text(
        Text::new((middle, foot + 3.6), words)
            .small()
            .italic()
            .middle(),
    );
}
