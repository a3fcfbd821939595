//! Small views for fitting: a drawer in its opening from the front, a door from the front with its
//! hinges and pulls. Sizes come from the model; nothing is computed but the scale.

use super::dimension::{Beyond, Chain, Mark, Running, Stop, Way};
use super::scene::{Pen, Rect, Scene, Text};
use super::text::Content;
use crate::measure::{Length, Units};
use crate::model::{Axis, Box3, Edge, Gaps};

/// Wood over paper, so that a view fills its room. These are sketches whose figures are read, never
/// measured, so no usual scale is kept; small things are drawn at most at full size.
fn scale(wide: Length, high: Length, room: (f64, f64)) -> f64 {
    let (wide, high) = (wide.to_f64_mm(), high.to_f64_mm());
    (wide / room.0).max(high / room.1).max(1.0)
}

fn label(units: Units, length: Length) -> Content {
    Content::new().length(units, length)
}

/// A drawer's box in its opening, seen from the front.
///
/// `opening` is what the box has to pass, `face` the applied face if there is one.
pub fn drawer(
    units: Units,
    opening: &Box3,
    outside: &Box3,
    face: Option<&Box3>,
    title: &str,
) -> Scene {
    let all = face
        .map_or(*opening, |face| opening.union(face))
        .union(outside);
    let n = scale(all.extent(Axis::X), all.extent(Axis::Z), (84.0, 46.0));
    let left = all.lo[0].to_f64_mm();
    let top = all.hi[2].to_f64_mm();
    let x = |place: Length| (place.to_f64_mm() - left) / n;
    let y = |place: Length| (top - place.to_f64_mm()) / n;
    let rect = |b: &Box3| Rect::of((x(b.lo[0]), y(b.hi[2])), (x(b.hi[0]), y(b.lo[2])));
    let mut scene = Scene::new(0.0, 0.0, title);
    // What passes the opening on paper is no error: an overlay face covers the case round it.
    if let Some(face) = face {
        scene.rect(rect(face), Pen::THIN.hidden());
    }
    scene.rect(rect(opening), Pen::MEDIUM);
    scene.rect(rect(outside), Pen::THICK);
    let foot = rect(&all).y1;
    let mut level = Chain::new(Way::Level, foot + 7.0, Beyond::More);
    level.stops = [opening.lo[0], outside.lo[0], outside.hi[0], opening.hi[0]]
        .map(|place| Stop::new(x(place), foot))
        .to_vec();
    level.labels = vec![
        label(units, outside.lo[0] - opening.lo[0]),
        label(units, outside.extent(Axis::X)),
        label(units, opening.hi[0] - outside.hi[0]),
    ];
    level.draw(&mut scene);
    Chain::overall(
        Way::Level,
        foot + 16.0,
        Beyond::More,
        Stop::new(x(opening.lo[0]), foot),
        Stop::new(x(opening.hi[0]), foot),
        label(units, opening.extent(Axis::X)),
    )
    .draw(&mut scene);
    let mut upright = Chain::new(Way::Upright, -7.0, Beyond::Less);
    upright.stops = [opening.hi[2], outside.hi[2], outside.lo[2], opening.lo[2]]
        .map(|place| Stop::new(y(place), 0.0))
        .to_vec();
    upright.labels = vec![
        label(units, opening.hi[2] - outside.hi[2]),
        label(units, outside.extent(Axis::Z)),
        label(units, outside.lo[2] - opening.lo[2]),
    ];
    upright.draw(&mut scene);
    scene.fitted(1.0)
}

/// What a view of a door shows.
#[derive(Clone, Debug)]
pub struct DoorView<'a> {
    /// In which figures are lettered.
    pub units: Units,
    /// Of the finished leaf.
    pub wide: Length,
    /// Of the finished leaf.
    pub high: Length,
    /// The edge that it is hung on.
    pub hung: Option<Edge>,
    /// Middle of each hinge along the hung edge: above the lower end, or from the left.
    pub hinges: &'a [Length],
    /// For cup hinges: centre of the bore from the hung edge, and its diameter.
    pub cup: Option<(Length, Length)>,
    /// For butt hinges: length along the edge.
    pub butt: Option<Length>,
    /// Pulls from the left and from the lower edge.
    pub pulls: &'a [(Length, Length)],
    /// In words.
    pub title: &'a str,
}

/// A door or flap seen from the front; its bores are behind, so they are hidden lines.
pub fn door(view: &DoorView) -> Scene {
    let n = scale(view.wide, view.high, (58.0, 60.0));
    let (w, h) = (view.wide.to_f64_mm() / n, view.high.to_f64_mm() / n);
    let across = |place: Length| place.to_f64_mm() / n;
    let up = |place: Length| h - place.to_f64_mm() / n;
    let mut scene = Scene::new(0.0, 0.0, view.title);
    scene.rect(Rect::of((0.0, 0.0), (w, h)), Pen::THICK);
    let hung = view.hung.unwrap_or(Edge::Left);
    // A place so far along the hung edge, and so far in from it.
    let at = |along: f64, inward: f64| match hung {
        Edge::Right => (w - inward, h - along),
        Edge::Bottom => (along, h - inward),
        Edge::Top => (along, inward),
        _ => (inward, h - along),
    };
    for hinge in view.hinges {
        let along = across(*hinge);
        if let Some((centre, diameter)) = view.cup {
            let inward = across(centre);
            let radius = diameter.half().to_f64_mm() / n;
            let reach = radius + 1.0;
            let line = |from, to, pen| (at(from, inward), at(to, inward), pen);
            scene.circle(at(along, inward), radius, Pen::THIN.hidden());
            let (a, b, pen) = line(along - reach, along + reach, Pen::HATCH);
            scene.line(a, b, pen);
            scene.line(
                at(along, 0.0),
                at(along, inward + reach),
                Pen::THIN.centre(),
            );
        } else {
            scene.line(at(along, 0.0), at(along, 3.0), Pen::THIN.centre());
        }
        if let Some(long) = view.butt {
            let half = long.half().to_f64_mm() / n;
            scene.line(at(along - half, 0.0), at(along + half, 0.0), Pen::HEAVY);
        }
    }
    let upright = hung.axis() == Axis::X;
    let (up_hinges, level_hinges): (&[Length], &[Length]) = match upright {
        true => (view.hinges, &[]),
        false => (&[], view.hinges),
    };
    for (from_left, from_bottom) in view.pulls {
        let (x, y) = (across(*from_left), up(*from_bottom));
        scene.circle((x, y), 0.9, Pen::MEDIUM.white());
        scene.line((x - 2.0, y), (x + 2.0, y), Pen::HATCH);
        scene.line((x, y - 2.0), (x, y + 2.0), Pen::HATCH);
    }
    let mut heights: Vec<(Length, bool)> = up_hinges
        .iter()
        .chain(view.pulls.iter().map(|(_, up)| up))
        .map(|height| (*height, false))
        .chain([(view.high, true)])
        .collect();
    heights.sort();
    heights.dedup_by_key(|(height, _)| *height);
    Running {
        way: Way::Upright,
        row: -8.0,
        zero: Stop::new(h, 0.0),
        marks: heights
            .into_iter()
            .map(|(height, bold)| Mark {
                at: up(height),
                outline: 0.0,
                label: label(view.units, height),
                bold,
                red: false,
            })
            .collect(),
        size: super::TextSize::T2,
        within: None,
    }
    .draw(&mut scene);
    let mut places: Vec<(Length, bool)> = view
        .pulls
        .iter()
        .map(|(left, _)| left)
        .chain(level_hinges)
        .map(|place| (*place, false))
        .chain([(view.wide, true)])
        .collect();
    places.sort();
    places.dedup_by_key(|(place, _)| *place);
    Running {
        way: Way::Level,
        row: -8.0,
        zero: Stop::new(0.0, 0.0),
        marks: places
            .into_iter()
            .map(|(place, bold)| Mark {
                at: across(place),
                outline: 0.0,
                label: label(view.units, place),
                bold,
                red: false,
            })
            .collect(),
        size: super::TextSize::T2,
        within: None,
    }
    .draw(&mut scene);
    if let Some((centre, _)) = view.cup {
        let (edge, middle) = (at(0.0, 0.0), at(0.0, across(centre)));
        let mut chain = if upright {
            let mut chain = Chain::new(Way::Level, h + 7.0, Beyond::More);
            let (first, last) = (edge.0.min(middle.0), edge.0.max(middle.0));
            chain.stops = vec![Stop::new(first, h), Stop::new(last, h)];
            chain
        } else {
            let mut chain = Chain::new(Way::Upright, w + 7.0, Beyond::More);
            let (first, last) = (edge.1.min(middle.1), edge.1.max(middle.1));
            chain.stops = vec![Stop::new(first, w), Stop::new(last, w)];
            chain
        };
        chain.labels = vec![label(view.units, centre)];
        chain.draw(&mut scene);
    }
    let word = match view.hung {
        Some(edge) if upright => format!("hung {}", edge.word()),
        Some(Edge::Top) => "opens up".to_owned(),
        Some(_) => "opens down".to_owned(),
        None => String::new(),
    };
    if !word.is_empty() {
        scene.text(Text::new((w / 2.0, h / 2.0), word).italic().middle());
    }
    scene.fitted(1.0)
}

/// An inset front's gaps or an overlay front's cover, edge by edge.
pub fn edges(gaps: &Gaps) -> [(Edge, Length); 4] {
    [
        (Edge::Left, gaps.left),
        (Edge::Right, gaps.right),
        (Edge::Top, gaps.top),
        (Edge::Bottom, gaps.bottom),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn views_fill_their_room() {
        let mm = Length::mm;
        assert_eq!(scale(mm(50), mm(40), (60.0, 60.0)), 1.0);
        assert_eq!(scale(mm(840), mm(130), (84.0, 46.0)), 10.0);
        assert_eq!(scale(mm(84), mm(460), (84.0, 46.0)), 10.0);
    }

    #[test]
    fn a_door_letters_each_height_once() {
        let mm = Length::mm;
        let view = DoorView {
            units: Units::Mm,
            wide: mm(440),
            high: mm(510),
            hung: Some(Edge::Right),
            hinges: &[mm(85), mm(425)],
            cup: Some((Length::um(22_500), mm(35))),
            butt: None,
            pulls: &[(mm(40), mm(425))],
            title: "door",
        };
        let scene = door(&view);
        let count = |figure: &str| {
            let letters = scene.lettering();
            letters
                .iter()
                .filter(|(t, _)| t.content.plain() == figure)
                .count()
        };
        assert_eq!(
            [
                count("85"),
                count("425"),
                count("510"),
                count("22.5"),
                count("40")
            ],
            [1; 5]
        );
        assert!(scene.width <= 90.0 && scene.height <= 110.0);
    }
}
