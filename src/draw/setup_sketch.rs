//! Sketches of a setup: the section at the cutter, with the figures that are set.
//!
//! A sketch is to scale where it can be; a long way from the fence is drawn broken. Parts as they lie
//! and the plans of stopped cuts are in [`super::setup_parts`].

pub mod mitre;

use super::dimension::{Beyond, Chain, Stop, Way};
use super::hatch::{self, Run};
use super::mark;
use super::region::Region;
use super::{Content, Pen, Rect, Scene, Text, TextSize};
use crate::measure::{Length, Units};
use crate::model::{LocalAxis, Model, Part, Side, StockKind};
use crate::plan::setups::{Card, Operation, Process, Setting, Work};

/// Left and right of the table, and its top.
const TABLE: (f64, f64, f64) = (2.0, 92.0, 31.0);
/// The fence's working face.
const FENCE: f64 = 12.0;
/// Longest way from the fence that is drawn unbroken.
const REACH: f64 = 44.0;
/// A way from the fence in which its figure finds no room.
const NARROW: f64 = 11.0;

/// A length that a machine is set to, with its decimals.
pub(super) fn set(units: Units, length: Length) -> Content {
    Content::new().figure(&units.setting(length), true)
}

/// How a surface is called on a card: `bottom end`, `front edge`, `face side`.
pub fn side_words(part: &Part, side: Side) -> String {
    let word = part.lay.looks(side).word();
    match side {
        Side::End | Side::FarEnd => format!("{word} end"),
        Side::Edge | Side::FarEdge => format!("{word} edge"),
        Side::Face => "face side".into(),
        Side::Reverse => "reverse".into(),
    }
}

/// The section at the cutter of a card's first row; none where there is nothing to see.
pub fn section(model: &Model, units: Units, card: &Card) -> Option<Scene> {
    let op = card.operations().next()?;
    let part = model.part(op.at).1;
    let view = View {
        model,
        units,
        part,
        op,
    };
    match card.process {
        Process::Housing if matches!(op.setting, Setting::Guided { .. }) => view.guided(),
        Process::Housing => view.housing(card),
        Process::EdgeGroove => view.edge_groove(card),
        Process::Rabbet | Process::Tongue | Process::Tenon => view.step(card),
        Process::HoleRow | Process::Bore => view.bore(),
        Process::Slot => view.slot(),
        Process::Tails | Process::Sockets => view.dovetail(),
        Process::Mortise
        | Process::OpenMortise
        | Process::SplineSlot
        | Process::KeySlot
        | Process::WedgeSlot
        | Process::Taper
        | Process::Lap
        | Process::Fingers
        | Process::DovetailKey
        | Process::DovetailHousing
        | Process::PocketHole
        | Process::JointEdges
        | Process::Panel
        | Process::Plane
        | Process::TrueEdge
        | Process::Rip
        | Process::SquareEnd
        | Process::CutToLength
        | Process::Score
        | Process::Notch
        | Process::Recess
        | Process::CutOut
        | Process::Mitre
        | Process::Profile
        | Process::Turn
        | Process::Round
        | Process::Band
        | Process::Tape => None,
    }
}

struct View<'a> {
    model: &'a Model,
    units: Units,
    part: &'a Part,
    op: &'a Operation,
}

/// Millimetres of paper a millimetre, so that `size` comes near `want`.
fn scale(size: f64, want: f64) -> f64 {
    [2.0, 1.0, 0.5, 0.2, 0.1]
        .into_iter()
        .find(|s| size * s <= want)
        .unwrap_or(0.1)
}

impl View<'_> {
    fn cut(&self) -> Option<&crate::model::Cut> {
        match self.op.work {
            Work::Cut { cut, .. } => self.part.cuts.get(cut),
            _ => None,
        }
    }

    /// The axis of the part that runs along the table, away from the fence.
    fn level(&self, up: LocalAxis) -> LocalAxis {
        let along = self.cut().map_or(LocalAxis::Length, |cut| cut.along);
        LocalAxis::ALL
            .into_iter()
            .find(|axis| *axis != up && *axis != along)
            .unwrap_or(LocalAxis::Length)
    }

    /// Wood as it shows in the section: plies, rings or fibres.
    fn wood(&self, scene: &mut Scene, region: &Region, up: LocalAxis, faces: (f64, f64)) {
        let sheet = matches!(
            self.model
                .stocks
                .get(self.part.stock.0 as usize)
                .map(|s| &s.kind),
            Some(StockKind::Sheet { .. })
        );
        let along = self.cut().map_or(LocalAxis::Length, |cut| cut.along);
        let run = if up == LocalAxis::Thickness {
            Run::Level
        } else {
            Run::Upright
        };
        let seed = self.op.at.part.0;
        if sheet {
            hatch::sheet(scene, region, run, faces, self.part.size.thick.to_f64_mm());
        } else if along == LocalAxis::Length {
            hatch::end_grain(scene, region, seed);
        } else {
            hatch::long_grain(scene, region, run, seed);
        }
        scene.path(region.outline(), Pen::THICK);
    }

    /// The table, open over `slot`, and the fence up to `high`.
    fn bench(&self, scene: &mut Scene, slot: (f64, f64), high: f64, buried: Option<Rect>) {
        let (left, right, top) = TABLE;
        scene.line((left, top), (slot.0, top), Pen::THICK);
        scene.line((slot.1, top), (right, top), Pen::THICK);
        for (a, b) in [(left, slot.0), (slot.1, right)] {
            if b > a {
                hatch::machine(scene, &Region::rect(Rect::of((a, top), (b, top + 3.0))));
            }
        }
        let fence = Rect::of((5.0, high), (FENCE, top));
        let mut region = Region::rect(fence);
        if let Some(buried) = buried {
            region = region.without(buried.corners().to_vec());
        }
        hatch::machine(scene, &region);
        scene.path(region.outline(), Pen::THICK);
        scene.text(Text::new((0.6, high - 1.2), "fence").small().italic());
    }

    fn cutter(&self, scene: &mut Scene, box_: Rect) {
        let region = Region::rect(box_);
        scene.rect(box_, Pen::WHITE);
        hatch::slope(scene, &region, 1.1, Pen::HATCH.red());
        scene.polyline(
            &[
                (box_.x0, box_.y1),
                (box_.x0, box_.y0),
                (box_.x1, box_.y0),
                (box_.x1, box_.y1),
            ],
            Pen::THICK.red(),
        );
    }

    /// How the part lies, below the table.
    fn lies(&self, scene: &mut Scene) {
        let mut words = format!("{} down", side_words(self.part, self.op.lies.down));
        if let Some(against) = self.op.lies.against {
            words.push_str(&format!(
                ", {} to the fence",
                side_words(self.part, against)
            ));
        }
        scene.text(Text::new((4.0, TABLE.2 + 12.6), words).small().italic());
    }

    fn chain(&self, way: Way, row: f64, stops: &[Stop], labels: Vec<Content>) -> Chain {
        Chain {
            stops: stops.to_vec(),
            labels,
            bold: true,
            size: TextSize::T3,
            // Figures keep clear of the fence and of the table.
            within: Some(match way {
                Way::Level => (FENCE + 0.8, TABLE.1),
                Way::Upright => (2.0, TABLE.2 - 2.6),
            }),
            ..Chain::new(
                way,
                row,
                if way == Way::Level {
                    Beyond::Less
                } else {
                    Beyond::More
                },
            )
        }
    }

    /// A housing in a face: the part lies on the table, the cutter reaches into it from below.
    fn housing(&self, card: &Card) -> Option<Scene> {
        let Setting::Fence { at, last } = self.op.setting else {
            return None;
        };
        let (width, height) = (self.op.width?, card.height?);
        let thick = self.part.size.thick.to_f64_mm();
        let s = scale(thick.max(width.to_f64_mm() / 2.0), 10.0);
        let top = TABLE.2 - thick * s;
        let way = at.to_f64_mm() * s;
        let near = FENCE + way.min(REACH);
        let far = near + (width.to_f64_mm() * s).max(1.0);
        let up = (height.to_f64_mm() * s).max(0.8);
        let whole = self.part.size.along(self.level(LocalAxis::Thickness));
        let rest = (whole - at - width).to_f64_mm() * s;
        let end = far + rest.clamp(0.0, 12.0);
        let mut scene = Scene::new(
            94.0,
            46.0,
            "Section at the cutter: the part on the table, its reference against the fence",
        );
        self.bench(&mut scene, (near - 1.0, far + 1.0), 8.0, None);
        let cutter = Rect::of((near, TABLE.2 - up), (far, TABLE.2 + 8.0));
        let body = Rect::of((FENCE, top), (end, TABLE.2));
        let region = Region::rect(body).without(
            Rect::of((near, TABLE.2 - up), (far, TABLE.2 + 1.0))
                .corners()
                .to_vec(),
        );
        self.wood(&mut scene, &region, LocalAxis::Thickness, (top, TABLE.2));
        if rest > 12.0 {
            broken(&mut scene, end, top, TABLE.2);
        }
        if way > REACH {
            gap(&mut scene, (FENCE + near) / 2.0, top, TABLE.2);
        }
        self.cutter(&mut scene, cutter);
        let label = if last.is_some() {
            card.tooling.width.unwrap_or(width)
        } else {
            width
        };
        if near - FENCE < NARROW {
            self.beside(&mut scene, top - 4.0, (near, far, top), label);
            self.beside(&mut scene, top - 9.5, (FENCE, near, top), at);
        } else {
            self.chain(
                Way::Level,
                top - 5.0,
                &[
                    Stop::new(FENCE, top),
                    Stop::new(near, top),
                    Stop::new(far, top),
                ],
                vec![set(self.units, at), set(self.units, label)],
            )
            .draw(&mut scene);
        }
        self.height(&mut scene, end.max(far) + 6.0, TABLE.2 - up, height, far);
        self.lies(&mut scene);
        Some(scene)
    }

    /// A level size too narrow for its figure: the figure stands at the right of its row.
    fn beside(
        &self,
        scene: &mut Scene,
        row: f64,
        (from, to, outline): (f64, f64, f64),
        label: Length,
    ) {
        self.chain(
            Way::Level,
            row,
            &[Stop::new(from, outline), Stop::new(to, outline)],
            Vec::new(),
        )
        .draw(scene);
        let text = Text::new((to + 2.0, row + 1.3), set(self.units, label));
        scene.text(text.size(TextSize::T3).bold());
    }

    /// From the table to the top of the cutter.
    fn height(&self, scene: &mut Scene, row: f64, top: f64, height: Length, from: f64) {
        let row = row.min(TABLE.1 - 14.0);
        self.chain(
            Way::Upright,
            row,
            &[
                Stop::new(top, from.min(row - 2.0)),
                Stop {
                    at: TABLE.2,
                    outline: None,
                },
            ],
            vec![set(self.units, height)],
        )
        .draw(scene);
    }

    /// A groove in an edge or end: the part stands on it, a face against the fence.
    fn edge_groove(&self, card: &Card) -> Option<Scene> {
        let Setting::Fence { at, .. } = self.op.setting else {
            return None;
        };
        let (width, height) = (self.op.width?, card.height?);
        let up_axis = self.op.lies.down.axis();
        let thick = self.part.size.along(self.level(up_axis)).to_f64_mm();
        let s = scale(thick, 40.0);
        let (near, high) = (FENCE + at.to_f64_mm() * s, 12.0);
        let cutter_wide = card.tooling.width.unwrap_or(width).to_f64_mm() * s;
        let far = near + width.to_f64_mm() * s;
        let up = height.to_f64_mm() * s;
        let mut scene = Scene::new(
            94.0,
            46.0,
            "Section at the cutter: the part on its edge, a face against the fence",
        );
        self.bench(&mut scene, (near - 1.5, far + 1.5), 8.0, None);
        let right = FENCE + thick * s;
        let region = Region::rect(Rect::of((FENCE, high), (right, TABLE.2))).without(
            Rect::of((near, TABLE.2 - up), (far, TABLE.2 + 1.0))
                .corners()
                .to_vec(),
        );
        self.wood(&mut scene, &region, up_axis, (FENCE, right));
        level_break(&mut scene, high, FENCE, right);
        self.cutter(
            &mut scene,
            Rect::of((near, TABLE.2 - up), (near + cutter_wide, TABLE.2 + 8.0)),
        );
        self.chain(
            Way::Level,
            high - 3.5,
            &[
                Stop::new(FENCE, high),
                Stop::new(near, high),
                Stop::new(far, high),
            ],
            vec![set(self.units, at), set(self.units, width)],
        )
        .draw(&mut scene);
        self.height(&mut scene, right + 7.0, TABLE.2 - up, height, far);
        self.lies(&mut scene);
        Some(scene)
    }

    /// A step: the cutter partly buried in a sacrificial fence, or at the shoulder where it takes more
    /// passes than one.
    fn step(&self, card: &Card) -> Option<Scene> {
        let Setting::Exposed(exposed) = self.op.setting else {
            return None;
        };
        let height = card.height?;
        let up_axis = self.op.lies.down.axis();
        let thick = self.part.size.along(up_axis).to_f64_mm();
        let s = scale(thick, 19.0);
        let top = TABLE.2 - thick * s;
        let near = FENCE + exposed.to_f64_mm() * s;
        let up = height.to_f64_mm() * s;
        let whole = self.part.size.along(self.level(up_axis)).to_f64_mm() * s;
        let end = FENCE + whole.min(exposed.to_f64_mm() * s + 20.0);
        let narrower = self
            .op
            .tooling
            .width
            .filter(|width| self.op.passes > 1 && *width < exposed);
        let (title, far) = match narrower {
            Some(width) => (
                "Section at the cutter, at the shoulder",
                near - width.to_f64_mm() * s,
            ),
            None => (
                "Section at the cutter, partly buried in a sacrificial fence",
                FENCE - 4.0,
            ),
        };
        let mut scene = Scene::new(94.0, 46.0, title);
        let cutter = Rect::of((far, TABLE.2 - up), (near, TABLE.2 + 8.0));
        self.bench(
            &mut scene,
            (FENCE - 5.0, near + 1.0),
            8.0,
            Some(cutter.grown(0.6)),
        );
        let mut region = Region::rect(Rect::of((FENCE, top), (end, TABLE.2))).without(
            Rect::of((FENCE - 1.0, TABLE.2 - up), (near, TABLE.2 + 1.0))
                .corners()
                .to_vec(),
        );
        // The shoulder at the other side of a tongue.
        let other = self
            .cut()
            .filter(|cut| cut.solids.len() > 1)
            .map(|_| Rect::of((FENCE - 1.0, top - 1.0), (near, top + up)));
        if let Some(other) = other.filter(|o| o.y1 < TABLE.2 - up) {
            region = region.without(other.corners().to_vec());
        }
        self.wood(&mut scene, &region, up_axis, (top, TABLE.2));
        if end < FENCE + whole {
            broken(&mut scene, end, top, TABLE.2);
        }
        self.cutter(&mut scene, cutter);
        self.chain(
            Way::Level,
            top.min(26.0) - 5.0,
            &[Stop::new(FENCE, top), Stop::new(near, top)],
            vec![set(self.units, exposed)],
        )
        .draw(&mut scene);
        self.height(&mut scene, end + 7.0, TABLE.2 - up, height, near);
        self.lies(&mut scene);
        Some(scene)
    }

    /// A housing with the router in the hands: the part face up, the guide beside the cut.
    fn guided(&self) -> Option<Scene> {
        let Setting::Guided { wall, .. } = self.op.setting else {
            return None;
        };
        let (width, depth) = (self.op.width?.to_f64_mm(), self.op.height?);
        let thick = self.part.size.thick.to_f64_mm();
        let s = scale(thick, 14.0);
        let top = TABLE.2 - thick * s;
        let way = wall.to_f64_mm() * s;
        // A guide has no table to draw, and the depth stands beyond the part.
        let reach = REACH - width * s - 6.0;
        let near = FENCE + way.min(reach);
        let far = near + width * s;
        let deep = depth.to_f64_mm() * s;
        let whole = self
            .part
            .size
            .along(self.level(LocalAxis::Thickness))
            .to_f64_mm();
        let rest = (whole - wall.to_f64_mm() - width) * s;
        let end = far + rest.clamp(0.0, 14.0);
        let mut scene = Scene::new(
            94.0,
            46.0,
            "Section at the bit: the part face up, the cut measured from its reference",
        );
        scene.line((TABLE.0, TABLE.2), (TABLE.1, TABLE.2), Pen::THICK);
        let hole = Rect::of((near, top - 1.0), (far, top + deep));
        let region =
            Region::rect(Rect::of((FENCE, top), (end, TABLE.2))).without(hole.corners().to_vec());
        self.wood(&mut scene, &region, LocalAxis::Thickness, (top, TABLE.2));
        if rest > 14.0 {
            broken(&mut scene, end, top, TABLE.2);
        }
        if way > reach {
            gap(&mut scene, (FENCE + near) / 2.0, top, TABLE.2);
        }
        self.bit(&mut scene, Rect::of((near, top - 8.0), (far, top + deep)));
        self.chain(
            Way::Level,
            TABLE.2 + 6.0,
            &[
                Stop::new(FENCE, TABLE.2 + 1.0),
                Stop::new(near, TABLE.2 + 1.0),
            ],
            vec![set(self.units, wall)],
        )
        .beyond(Beyond::More)
        .draw(&mut scene);
        self.depth(&mut scene, (top, top + deep), end, depth);
        let against = self.op.lies.against.unwrap_or(Side::End);
        let words = format!("measured from the {}", side_words(self.part, against));
        scene.text(Text::new((4.0, TABLE.2 + 14.0), words).small().italic());
        Some(scene)
    }

    /// A bit that comes from above.
    fn bit(&self, scene: &mut Scene, bit: Rect) {
        scene.rect(bit, Pen::WHITE);
        hatch::slope(scene, &Region::rect(bit), 1.1, Pen::HATCH.red());
        scene.polyline(
            &[
                (bit.x0, bit.y0),
                (bit.x0, bit.y1),
                (bit.x1, bit.y1),
                (bit.x1, bit.y0),
            ],
            Pen::THICK.red(),
        );
    }

    /// How deep a bit from above goes.
    fn depth(&self, scene: &mut Scene, (top, floor): (f64, f64), end: f64, depth: Length) {
        self.chain(
            Way::Upright,
            (end + 5.0).min(TABLE.1 - 14.0),
            &[
                Stop::new(top, end),
                Stop {
                    at: floor,
                    outline: None,
                },
            ],
            vec![set(self.units, depth)],
        )
        .draw(scene);
    }

    /// A bit from above; the part lies on its back, or stands where an edge or end is bored.
    fn bore(&self) -> Option<Scene> {
        let (back, depth) = match &self.op.setting {
            Setting::Row { back, .. } => (*back, self.op.height),
            Setting::Points(points) => (points.first()?[1], self.op.height),
            _ => return None,
        };
        /// What shows of a part that stands.
        const STANDS: f64 = 22.0;
        let across = self.op.width?.to_f64_mm();
        let entry = self.op.lies.down.axis();
        let thick = self.part.size.along(entry).to_f64_mm();
        let level = self.op.lies.against.map_or(LocalAxis::Width, Side::axis);
        let whole = self.part.size.along(level).to_f64_mm();
        // A part that lies is drawn by its thickness; of one that stands, its depth of hole.
        let stands = entry != LocalAxis::Thickness;
        let s = if stands {
            let deep = depth.map_or(thick, Length::to_f64_mm);
            scale(deep.max(whole / 2.0), 14.0)
        } else {
            scale(thick, 14.0)
        };
        let tall = if stands {
            (thick * s).min(STANDS)
        } else {
            thick * s
        };
        let top = TABLE.2 - tall;
        let way = back.to_f64_mm() * s;
        let mid = FENCE + way.min(REACH);
        let deep = (depth.map_or(thick, Length::to_f64_mm) * s).min(tall);
        let room = mid + across * s / 2.0 + 14.0;
        let end = room.min(FENCE + (whole * s).max(across * s));
        let mut scene = Scene::new(94.0, 46.0, "Section at the bit");
        self.bench(&mut scene, (TABLE.0, TABLE.0), 12.0, None);
        let hole = Rect::of(
            (mid - across * s / 2.0, top - 1.0),
            (mid + across * s / 2.0, top + deep),
        );
        let region =
            Region::rect(Rect::of((FENCE, top), (end, TABLE.2))).without(hole.corners().to_vec());
        let up = if stands { entry } else { LocalAxis::Thickness };
        let faces = if stands { (FENCE, end) } else { (top, TABLE.2) };
        self.wood(&mut scene, &region, up, faces);
        if end < FENCE + whole * s {
            broken(&mut scene, end, top, TABLE.2);
        }
        if tall < thick * s {
            level_break(&mut scene, TABLE.2 - 2.5, FENCE, end);
        }
        if way > REACH {
            gap(&mut scene, (FENCE + mid) / 2.0, top, TABLE.2);
        }
        let bit = Rect::of((hole.x0, (top - 8.0).max(3.5)), (hole.x1, top + deep));
        self.bit(&mut scene, bit);
        scene.line((mid, bit.y0 - 3.0), (mid, bit.y1 + 1.5), Pen::THIN.centre());
        if mid - FENCE < NARROW {
            self.beside(&mut scene, TABLE.2 + 6.5, (FENCE, mid, TABLE.2 + 2.0), back);
        } else {
            self.chain(
                Way::Level,
                TABLE.2 + 6.5,
                &[
                    Stop::new(FENCE, TABLE.2 + 2.0),
                    Stop::new(mid, TABLE.2 + 2.0),
                ],
                vec![set(self.units, back)],
            )
            .beyond(Beyond::More)
            .draw(&mut scene);
        }
        if let Some(depth) = depth {
            self.depth(&mut scene, (top, top + deep), end, depth);
        }
        Some(scene)
    }

    /// A slot for a biscuit: its middle above the face that the machine's base lies on.
    fn slot(&self) -> Option<Scene> {
        let Setting::Slots { height, .. } = &self.op.setting else {
            return None;
        };
        let depth = self.op.height?;
        let up_axis = self.op.lies.down.axis();
        let thick = self.part.size.along(up_axis).to_f64_mm();
        let s = scale(thick.min(40.0), 20.0);
        let tall = (thick * s).min(22.0);
        let (left, end) = (30.0, 70.0);
        let top = TABLE.2 - tall;
        let middle = TABLE.2 - (height.to_f64_mm() * s).min(tall - 2.0);
        let deep = left + depth.to_f64_mm() * s;
        let mut scene = Scene::new(94.0, 40.0, "Section at the slot");
        let slot = Rect::of((left - 1.0, middle - 1.2), (deep, middle + 1.2));
        let region =
            Region::rect(Rect::of((left, top), (end, TABLE.2))).without(slot.corners().to_vec());
        self.wood(&mut scene, &region, up_axis, (top, TABLE.2));
        broken(&mut scene, end, top, TABLE.2);
        scene.line(
            (left - 6.0, middle),
            (deep + 2.0, middle),
            Pen::THIN.centre(),
        );
        scene.polyline(
            &[
                (left, slot.y0),
                (deep, slot.y0),
                (deep, slot.y1),
                (left, slot.y1),
            ],
            Pen::THICK.red(),
        );
        self.chain(
            Way::Upright,
            left - 5.0,
            &[
                Stop {
                    at: middle,
                    outline: None,
                },
                Stop::new(TABLE.2, left),
            ],
            vec![set(self.units, *height)],
        )
        .beyond(Beyond::Less)
        .draw(&mut scene);
        self.chain(
            Way::Level,
            top - 4.0,
            &[Stop::new(left, top), Stop::new(deep, top)],
            vec![set(self.units, depth)],
        )
        .draw(&mut scene);
        Some(scene)
    }

    /// The layout of tails or pins from the reference edge, waste in red.
    fn dovetail(&self) -> Option<Scene> {
        let Setting::Spaces(spaces) = &self.op.setting else {
            return None;
        };
        let cut = self.cut()?;
        let width = self.part.size.width.to_f64_mm();
        let s = (84.0 / width).min(1.0);
        let bounds = cut.bounds();
        let axis = if cut.kind == crate::model::CutKind::Tails {
            LocalAxis::Length
        } else {
            LocalAxis::Thickness
        };
        let deep = (bounds.extent(axis).to_f64_mm() * s).max(5.0);
        // The outside of the corner is drawn upward.
        let (left, base) = (5.0, 20.0);
        let x = |w: Length| left + w.to_f64_mm() * s;
        let mut scene = Scene::new(94.0, base + deep + 14.0, "Layout from the reference edge");
        let board = Rect::of((left, base), (left + width * s, base + deep + 8.0));
        let mut region = Region::rect(board);
        let shapes: Vec<Vec<super::Point>> = spaces
            .iter()
            .map(|space| {
                let (out, inner) = (space.outside, space.inside);
                vec![
                    (x(out[0]), base),
                    (x(out[1]), base),
                    (x(inner[1]), base + deep),
                    (x(inner[0]), base + deep),
                ]
            })
            .collect();
        for shape in &shapes {
            region = region.without(shape.clone());
            hatch::cut_away(&mut scene, &Region::of(shape.clone()), true);
        }
        scene.path(region.outline(), Pen::THICK);
        for shape in &shapes {
            scene.polygon(shape, Pen::MEDIUM.red());
        }
        mark::reference_edge_upright(&mut scene, (left, base + deep + 4.0), false);
        let mut places: Vec<Length> = spaces
            .iter()
            .flat_map(|space| space.outside)
            .filter(|w| w.is_positive() && *w < self.part.size.width)
            .collect();
        places.sort();
        places.dedup();
        super::dimension::Running {
            way: Way::Level,
            row: base - 4.0,
            zero: Stop::new(left, base),
            marks: places
                .iter()
                .map(|w| super::dimension::Mark {
                    at: x(*w),
                    outline: base,
                    label: Content::new().figure(&self.units.figure(*w), true),
                    bold: false,
                    red: false,
                })
                .collect(),
            size: TextSize::T2,
            within: Some((2.0, 92.0)),
        }
        .draw(&mut scene);
        Some(scene.fitted(1.0))
    }
}

/// Where a part goes on: its outline opened by a break.
fn broken(scene: &mut Scene, x: f64, top: f64, bottom: f64) {
    scene.rect(
        Rect::of((x - 0.4, top - 0.4), (x + 0.6, bottom - 0.3)),
        Pen::WHITE,
    );
    mark::broken(scene, (x, top - 1.0), (x, bottom + 0.6));
}

/// The same, level.
fn level_break(scene: &mut Scene, y: f64, left: f64, right: f64) {
    scene.rect(
        Rect::of((left + 0.3, y - 0.5), (right + 0.4, y + 0.4)),
        Pen::WHITE,
    );
    mark::broken(scene, (left - 0.4, y), (right + 1.0, y));
}

/// A piece left out of a long way.
fn gap(scene: &mut Scene, x: f64, top: f64, bottom: f64) {
    scene.rect(
        Rect::of((x - 1.2, top - 0.6), (x + 1.2, bottom - 0.3)),
        Pen::WHITE,
    );
    for side in [-1.2, 1.2] {
        mark::broken(scene, (x + side, top - 1.0), (x + side, bottom + 0.6));
    }
}

impl Chain {
    /// Labels that don't fit go to this side.
    fn beyond(mut self, side: Beyond) -> Chain {
        self.beyond = side;
        self
    }
}
