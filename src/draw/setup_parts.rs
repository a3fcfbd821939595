//! Parts of a setup as they lie: for each hand its outline with the cuts in red, the reference edge,
//! the fence and the feed; and plans at the fence for stopped cuts.

use super::dimension::{Beyond, Chain, Stop, Way};
use super::hatch;
use super::mark;
use super::region::Region;
use super::setup_sketch::{set, side_words};
use super::{Content, Pen, Point, Rect, Scene, Text, TextSize};
use crate::measure::Units;
use crate::model::{Box3, Edge, Hand, LocalBox, Model, Part, PartRef, Side, Solid};
use crate::plan::setups::{Card, Operation, Process, Setting, Stops, Work, cross};

/// Room for one part.
const WIDE: f64 = 30.0;
const HIGH: f64 = 36.0;

/// A part seen from outside, square to one of its sides: two directions of the piece on paper.
struct Plane<'a> {
    part: &'a Part,
    right: Edge,
    up: Edge,
    scale: (f64, f64),
    origin: Point,
}

impl<'a> Plane<'a> {
    /// Looking at `side` of the part as it stands in the piece: up is up, or the rear if it lies.
    fn new(part: &'a Part, side: Side, wide: f64, high: f64) -> Option<Plane<'a>> {
        let toward = part.lay.looks(side);
        let up = if toward.axis() == Edge::Top.axis() {
            Edge::Rear
        } else {
            Edge::Top
        };
        let right = cross(up, toward)?;
        let extent = |edge: Edge| part.core.extent(edge.axis()).to_f64_mm().max(0.1);
        let fit = (wide / extent(right)).min(high / extent(up));
        // A narrow strip is drawn wider than it is, so that its cuts can be seen.
        let least = |e: f64| fit.max(5.0 / e);
        Some(Plane {
            part,
            right,
            up,
            scale: (least(extent(right)), least(extent(up))),
            origin: (0.0, 0.0),
        })
    }

    fn size(&self) -> (f64, f64) {
        let extent = |edge: Edge| self.part.core.extent(edge.axis()).to_f64_mm();
        (
            extent(self.right) * self.scale.0,
            extent(self.up) * self.scale.1,
        )
    }

    fn outline(&self) -> Rect {
        let (w, h) = self.size();
        Rect::of(self.origin, (self.origin.0 + w, self.origin.1 + h))
    }

    fn rect(&self, b: &LocalBox) -> Rect {
        let b: Box3 = self.part.to_piece(b);
        let core = &self.part.core;
        let along = |edge: Edge| {
            let i = edge.axis().index();
            let (lo, hi) = if edge.is_high() {
                (b.lo[i] - core.lo[i], b.hi[i] - core.lo[i])
            } else {
                (core.hi[i] - b.hi[i], core.hi[i] - b.lo[i])
            };
            (lo.to_f64_mm(), hi.to_f64_mm())
        };
        let ((x0, x1), (y0, y1)) = (along(self.right), along(self.up));
        let (_, h) = self.size();
        Rect::of(
            (
                self.origin.0 + x0 * self.scale.0,
                self.origin.1 + h - y1 * self.scale.1,
            ),
            (
                self.origin.0 + x1 * self.scale.0,
                self.origin.1 + h - y0 * self.scale.1,
            ),
        )
    }

    /// The direction on paper of a side of the piece; none if it looks at the reader.
    fn toward(&self, edge: Edge) -> Option<(f64, f64)> {
        if edge == self.right {
            Some((1.0, 0.0))
        } else if edge == self.right.opposite() {
            Some((-1.0, 0.0))
        } else if edge == self.up {
            Some((0.0, -1.0))
        } else if edge == self.up.opposite() {
            Some((0.0, 1.0))
        } else {
            None
        }
    }
}

/// One part of a card with every operation on it.
struct Shown<'a> {
    at: PartRef,
    hand: Option<Hand>,
    mark: u32,
    operations: Vec<(&'a Operation, &'a Setting)>,
}

/// The first part of each mark and hand, side by side, as many as there is room for.
pub fn parts(model: &Model, units: Units, card: &Card, wide: f64) -> Option<Scene> {
    let mut shown: Vec<Shown> = Vec::new();
    for row in &card.rows {
        for run in &row.runs {
            let Some(first) = run.operations.first() else {
                continue;
            };
            let ops = |at| {
                run.operations
                    .iter()
                    .filter(move |op| op.at == at)
                    .map(|op| (op, &row.setting))
            };
            match shown
                .iter_mut()
                .find(|s| (s.mark, s.hand) == (run.mark, run.hand))
            {
                Some(s) => s.operations.extend(ops(s.at)),
                None => shown.push(Shown {
                    at: first.at,
                    hand: run.hand,
                    mark: run.mark,
                    operations: ops(first.at).collect(),
                }),
            }
        }
    }
    let mut scene = Scene::new(wide, HIGH + 12.0, "Parts as they lie, with their cuts");
    let mut x = 4.0;
    let mut any = false;
    for s in &shown {
        let Some((op, _)) = s.operations.first() else {
            continue;
        };
        let part = model.part(op.at).1;
        let Some(mut plane) = Plane::new(part, seen_from(part, op), WIDE, HIGH) else {
            continue;
        };
        let (w, h) = plane.size();
        let room = w.max(caption(&plane, op)).max(13.0);
        if any && x + room > wide {
            break;
        }
        // The words under a narrow part are wider than it is.
        plane.origin = (x + (room - w).max(0.0) / 2.0, 2.0 + (HIGH - h) / 2.0);
        part_sketch(&mut scene, units, &plane, s);
        any = true;
        x += room + 9.0;
    }
    any.then(|| scene.fitted(0.5))
}

/// The side of the part that shows its cuts best.
fn seen_from(part: &Part, op: &Operation) -> Side {
    let entry = match op.work {
        Work::Cut { cut, .. } | Work::Score { cut, .. } => part.cuts.get(cut).map(|c| c.entry),
        _ => None,
    };
    match entry {
        Some(Side::Reverse) => Side::Reverse,
        _ => Side::Face,
    }
}

fn part_sketch(scene: &mut Scene, units: Units, plane: &Plane<'_>, shown: &Shown<'_>) {
    let part = plane.part;
    let outline = plane.outline();
    scene.rect(outline, Pen::THICK.white());
    let mut labels: Vec<(f64, Content)> = Vec::new();
    for (op, setting) in &shown.operations {
        let (Work::Cut { cut, solid } | Work::Score { cut, solid }) = op.work else {
            continue;
        };
        let Some(cut) = part.cuts.get(cut) else {
            continue;
        };
        let solids: Vec<&Solid> = cut
            .solids
            .iter()
            .enumerate()
            .filter(|(k, _)| solid.is_none_or(|s| s == *k))
            .map(|(_, s)| s)
            .collect();
        for solid in &solids {
            let rect = seen(plane.rect(&solid.bounds()), outline);
            match solid {
                Solid::Bore { .. } => {
                    scene.circle(
                        rect.middle(),
                        (rect.width() / 2.0).max(0.5),
                        Pen::MEDIUM.red(),
                    );
                }
                Solid::Box(_) | Solid::Prism { .. } => {
                    // What is thinner than a line is drawn as one.
                    let thin = rect.width().min(rect.height()) < 0.8;
                    if thin {
                        let (a, b) = if rect.width() < rect.height() {
                            let x = rect.middle().0;
                            ((x, rect.y0), (x, rect.y1))
                        } else {
                            let y = rect.middle().1;
                            ((rect.x0, y), (rect.x1, y))
                        };
                        scene.line(a, b, Pen::HEAVY.red());
                    } else {
                        hatch::cut_away(scene, &Region::rect(rect), true);
                        scene.rect(rect, Pen::MEDIUM.red());
                    }
                }
            }
        }
        if let (Setting::Fence { at, .. }, Process::Housing) = (setting, op.process) {
            let rect = plane.rect(&cut.bounds());
            if rect.width() > rect.height() && shown.hand != Some(Hand::Right) {
                labels.push((rect.middle().1, set(units, *at)));
            }
        }
    }
    labels.sort_by(|a, b| a.0.total_cmp(&b.0));
    let wanted: Vec<f64> = labels.iter().map(|(y, _)| *y).collect();
    let places = super::dimension::spread(&wanted, 4.0, None);
    for ((_, label), y) in labels.iter().zip(&places) {
        scene.text(Text::new((outline.x1 + 1.2, y + 1.25), label.clone()).bold());
    }
    if let Some((dx, dy)) = plane.toward(part.lay.looks(Side::Edge)) {
        let (mx, my) = outline.middle();
        let touch = (
            mx + dx * outline.width() / 2.0,
            my + dy * outline.height() / 2.0,
        );
        v_mark(scene, touch, (dx, dy));
    }
    if let Some((op, _)) = shown.operations.first() {
        fence_and_feed(scene, plane, op, outline);
    }
    if let Some(hand) = shown.hand {
        let (mx, my) = outline.middle();
        // In a narrow part there is no room for the mark: it stands above.
        let my = if outline.width() < 9.0 {
            outline.y0 - 5.0
        } else {
            my
        };
        let x = if hand == Hand::Left {
            mx + 2.5
        } else {
            mx - 2.5
        };
        mark::hand(scene, (x, my + 3.0), hand, TextSize::T3);
    } else if outline.width() > 9.0 && outline.height() > 9.0 {
        mark::balloon(scene, outline.middle(), shown.mark);
    } else if outline.height() > 9.0 {
        // Beside a narrow part there is room for its number.
        mark::balloon(scene, (outline.x1 + 5.0, outline.middle().1), shown.mark);
    } else {
        // Above a low one, clear of the arrow of the feed.
        let hand_work = shown.operations.first().is_some_and(|(op, _)| by_hand(op));
        let up = if hand_work { 5.0 } else { 8.0 };
        mark::balloon(scene, (outline.middle().0, outline.y0 - up), shown.mark);
    }
}

/// A small notch is drawn large enough to be seen, within the part.
fn seen(rect: Rect, part: Rect) -> Rect {
    const LEAST: f64 = 1.8;
    if rect.width() >= LEAST || rect.height() >= LEAST {
        return rect;
    }
    let stretch = |a: f64, b: f64, low: f64, high: f64| {
        let more = (LEAST - (b - a)).max(0.0) / 2.0;
        let shift = (low - (a - more)).max(0.0) - ((b + more) - high).max(0.0);
        (a - more + shift, b + more + shift)
    };
    let (x0, x1) = stretch(rect.x0, rect.x1, part.x0, part.x1);
    let (y0, y1) = stretch(rect.y0, rect.y1, part.y0, part.y1);
    Rect { x0, y0, x1, y1 }
}

/// The V of the reference edge, its point at `touch`, its arms outward.
fn v_mark(scene: &mut Scene, touch: Point, out: (f64, f64)) {
    let arm = |side: f64| {
        (
            touch.0 + out.0 * 2.4 - out.1 * side * 1.4,
            touch.1 + out.1 * 2.4 + out.0 * side * 1.4,
        )
    };
    scene.polyline(&[arm(-1.0), touch, arm(1.0)], Pen::MEDIUM);
}

/// Whether no fence is drawn: the part is worked by hand or with a guide.
fn by_hand(op: &Operation) -> bool {
    matches!(
        op.process,
        Process::Notch | Process::Score | Process::Slot | Process::Taper
    ) || matches!(op.setting, Setting::Guided { .. } | Setting::Sliding(_))
}

/// How wide the words under a part are.
fn caption(plane: &Plane<'_>, op: &Operation) -> f64 {
    op.lies
        .against
        .filter(|_| !by_hand(op))
        .map_or(0.0, |against| {
            Content::new()
                .words(fence_words(plane.part, against))
                .width(TextSize::T1.mm(false), false, true)
        })
}

fn fence_words(part: &Part, against: Side) -> String {
    format!("{} to the fence", side_words(part, against))
}

/// The fence along the side that lies against it, and an arrow toward the side that goes first.
fn fence_and_feed(scene: &mut Scene, plane: &Plane<'_>, op: &Operation, outline: Rect) {
    let lay = &plane.part.lay;
    let by_hand = by_hand(op);
    let Some(against) = op.lies.against.filter(|_| !by_hand) else {
        return;
    };
    // The V of a lower reference edge comes before the words.
    let below = if plane.toward(lay.looks(Side::Edge)) == Some((0.0, 1.0)) {
        2.6
    } else {
        0.0
    };
    let words = fence_words(plane.part, against);
    let Some((dx, dy)) = plane.toward(lay.looks(against)) else {
        // A face lies against the fence: words alone.
        scene.text(
            Text::new((outline.middle().0, outline.y1 + 3.8 + below), words)
                .small()
                .italic()
                .middle(),
        );
        return;
    };
    let gap = 1.4;
    let band = if dx != 0.0 {
        let x = if dx > 0.0 {
            outline.x1 + gap
        } else {
            outline.x0 - gap
        };
        Rect::of((x, outline.y0 - 2.0), (x + dx * 2.0, outline.y1 + 2.0))
    } else {
        let y = if dy > 0.0 {
            outline.y1 + gap
        } else {
            outline.y0 - gap
        };
        Rect::of((outline.x0 - 2.0, y), (outline.x1 + 2.0, y + dy * 2.0))
    };
    hatch::machine(scene, &Region::rect(band));
    let (from, to) = if dx != 0.0 {
        let x = if dx > 0.0 { band.x0 } else { band.x1 };
        ((x, band.y0), (x, band.y1))
    } else {
        let y = if dy > 0.0 { band.y0 } else { band.y1 };
        ((band.x0, y), (band.x1, y))
    };
    scene.line(from, to, Pen::THICK);
    scene.text(
        Text::new(
            (outline.middle().0, (outline.y1 + below).max(band.y1) + 3.4),
            words,
        )
        .small()
        .italic()
        .middle(),
    );
    if let Some((fx, fy)) = op.lies.leads.and_then(|side| plane.toward(lay.looks(side))) {
        // Beside the part, on the side away from the fence.
        let (mx, my) = outline.middle();
        let away = 2.6;
        let middle = if dx != 0.0 {
            (
                if dx > 0.0 {
                    outline.x0 - away
                } else {
                    outline.x1 + away
                },
                my,
            )
        } else {
            (
                mx,
                if dy > 0.0 {
                    outline.y0 - away
                } else {
                    outline.y1 + away
                },
            )
        };
        let tip = (middle.0 + fx * 5.0, middle.1 + fy * 5.0);
        let tail = (middle.0 - fx * 5.0, middle.1 - fy * 5.0);
        scene.line(tail, tip, Pen::MEDIUM);
        mark::arrow(scene, tail, tip);
    }
}

/// The plan at the fence of a stopped cut, from above, with the operator at the right: mark 1 is the
/// outfeed mark, mark 2 the infeed mark.
pub fn stop_plan(part: &Part, units: Units, op: &Operation, hand: Option<Hand>) -> Option<Scene> {
    let stops: &Stops = op.stops.as_ref()?;
    let lies = &op.lies;
    let mut scene = Scene::new(
        140.0,
        36.0,
        "Plan at the fence from above: the marks on the fence and the stops",
    );
    let (fence, centre) = (Rect::of((2.0, 5.0), (102.0, 10.0)), 52.0);
    hatch::machine(&mut scene, &Region::rect(fence));
    scene.rect(fence, Pen::THICK);
    let s = 44.0 / stops.long.to_f64_mm().max(1.0);
    let c = (stops.reach.to_f64_mm() * s).clamp(1.2, 8.0);
    let (one, two) = (centre - c, centre + c);
    let paper = |length: crate::measure::Length| length.to_f64_mm() * s;
    let long = paper(stops.long);
    // Where the part begins (full line) and ends (broken line).
    let begin = match stops.start_block() {
        Some(block) => one + paper(block) - long,
        None => two + 0.8,
    };
    let end = stops.end_block().map(|block| two - paper(block));
    let (top, bottom) = (10.35, 27.0);
    if let Some(left) = end {
        let right = left + long;
        scene.polyline(
            &[(left, bottom - 2.4), (left, top), (right.min(begin), top)],
            Pen::THIN.hidden(),
        );
        scene.line(
            (left, bottom - 2.4),
            (right.min(begin), bottom - 2.4),
            Pen::THIN.hidden(),
        );
        stop_block(&mut scene, left - 4.0);
    }
    scene.polyline(
        &[
            (begin, bottom),
            (begin, top),
            (begin + long, top),
            (begin + long, bottom),
        ],
        Pen::THICK.white(),
    );
    mark::broken(
        &mut scene,
        (begin - 1.2, bottom),
        (begin + long + 1.2, bottom),
    );
    if stops.start_block().is_some() {
        stop_block(&mut scene, begin + long);
    }
    // The cut, under the part: from the leading end less what stays before, to what stays after.
    let (from, to) = (
        begin + paper(stops.before),
        begin + long - paper(stops.after),
    );
    scene.line((from, 12.4), (to, 12.4), Pen::THICK.red().hidden());
    for (x, label) in [(one, "1"), (two, "2")] {
        scene.line((x, 5.0), (x, 14.2), Pen::THICK.red());
        let text = Text::new((if label == "1" { x - 0.8 } else { x + 0.8 }, 3.8), label)
            .bold()
            .red();
        scene.text(if label == "1" { text.end() } else { text });
    }
    scene.circle((centre, 12.4), 1.0, Pen::MEDIUM.red().white());
    let from_mark = |length, mark: &str| set(units, length).words(format!(" from mark {mark}"));
    let chain = |row: f64, a: Stop, b: Stop, label: Content| Chain {
        stops: vec![a, b],
        labels: vec![label],
        bold: true,
        ..Chain::new(Way::Level, row, Beyond::More)
    };
    if let Some(block) = stops.start_block() {
        chain(
            33.0,
            Stop::new(one, 14.2),
            Stop::new(begin + long, bottom),
            from_mark(block, "1"),
        )
        .draw(&mut scene);
    }
    if let (Some(block), Some(left)) = (stops.end_block(), end) {
        chain(
            21.0,
            Stop::new(left, 16.0),
            Stop::new(two, 14.2),
            from_mark(block, "2"),
        )
        .draw(&mut scene);
    }
    if let Some(hand) = hand {
        let foot = (begin + long - 10.0, 20.0);
        let foot = if hand == Hand::Right {
            (foot.0 - 2.0, foot.1)
        } else {
            foot
        };
        mark::hand(&mut scene, foot, hand, TextSize::T3);
    }
    if let (Some(against), Some(leads)) = (lies.against, lies.leads) {
        let words = [
            format!("{} down,", side_words(part, lies.down)),
            format!("{} to the fence,", side_words(part, against)),
            format!("{} first", side_words(part, leads)),
        ];
        let mut y = 14.0;
        for line in words {
            scene.text(Text::new((106.0, y), line).small().italic());
            y += 4.0;
        }
    }
    scene.line((16.0, 32.5), (5.0, 32.5), Pen::MEDIUM);
    mark::arrow(&mut scene, (16.0, 32.5), (5.0, 32.5));
    scene.text(Text::new((17.5, 33.4), "feed").small().italic());
    Some(scene)
}

fn stop_block(scene: &mut Scene, x: f64) {
    let rect = Rect::of((x, 10.0), (x + 4.0, 16.5));
    scene.rect(rect, Pen::THICK.white());
    hatch::slope(scene, &Region::rect(rect), 0.8, Pen::HATCH);
}
