//! Marks and notes on a part: its reference surfaces, its hand, its cuts by number and in words.

use super::{Numbers, Sheet, Shows, mm, shows};
use crate::draw::mark;
use crate::draw::scene::{Pen, Point, Rect, Text, TextSize};
use crate::draw::text::Content;
use crate::draw::words::{face_word, surface_word};
use crate::measure::Length;
use crate::model::{Cut, CutKind, Hand, Shape, Side, Solid};

impl Sheet<'_> {
    /// What each shape is, told once.
    pub(super) fn shape_notes(&mut self) {
        let units = self.units();
        let mut told: Vec<&Shape> = Vec::new();
        for shaped in &self.part.shaped {
            if told.contains(&&shaped.shape) {
                continue;
            }
            told.push(&shaped.shape);
            let lines = match &shaped.shape {
                Shape::Profile { cutter, wide, high } => vec![
                    Content::from(cutter.as_str()),
                    Content::new()
                        .setting(units, *wide)
                        .words(" in, ")
                        .setting(units, *high)
                        .words(" down"),
                ],
                Shape::Turned { least: Some(least) } => {
                    vec![Content::from("turned, down to ").setting(units, *least)]
                }
                Shape::Turned { least: None } => vec![Content::from("turned")],
                Shape::Rounded => vec![Content::from("rounded")],
            };
            let zone = &shaped.zone;
            let tip = self.at(
                mm((zone.lo[0] + zone.hi[0]).half()),
                mm((zone.lo[1] + zone.hi[1]).half()),
            );
            self.lead(tip, &lines);
        }
    }

    /// Reference edge, face side, grain, hand and the names of the surfaces.
    pub(super) fn marks(&mut self, hand: Option<Hand>) {
        let area = self.area();
        let part = self.part;
        let lipped = |side: Side| -> String {
            let word = surface_word(self.piece, part, side);
            match part.band_on(side) {
                Some(band) => {
                    let thick = Content::new().setting(self.units(), band.thick);
                    format!("{word}, lipped {}", thick.plain())
                }
                None => word,
            }
        };
        let names = [
            (Side::Edge, lipped(Side::Edge)),
            (Side::FarEdge, lipped(Side::FarEdge)),
            (Side::End, lipped(Side::End)),
            (Side::FarEnd, lipped(Side::FarEnd)),
        ];
        let wide = Text::new((0.0, 0.0), names[0].1.as_str())
            .small()
            .italic()
            .width();
        let free = |x: f64| {
            let r = Rect::of((x - 2.4, area.y1 + 0.2), (x + 4.0 + wide, area.y1 + 5.0));
            !self.taken.iter().any(|t| t.overlaps(&r))
        };
        let along = [0.42, 0.32, 0.52, 0.22, 0.62, 0.12, 0.04, 0.72]
            .map(|t| area.x0 + area.width() * t)
            .into_iter()
            .find(|x| free(*x));
        let touch = (along.unwrap_or(area.x0 + area.width() * 0.42), area.y1);
        mark::reference_edge(&mut self.scene, touch);
        for (side, name) in names {
            let text = match side {
                Side::Edge => Text::new((touch.0 + 3.2, area.y1 + 4.2), name)
                    .small()
                    .italic(),
                Side::FarEdge if area.height() > 12.0 => {
                    let wide = Text::new((0.0, 0.0), name.as_str())
                        .small()
                        .italic()
                        .width();
                    let room = self.room(
                        (wide + 1.0, 3.4),
                        (area.x0 + area.width() * 0.3, area.y0 + 3.0),
                    );
                    if room.y1 > area.y1 {
                        continue;
                    }
                    Text::new((room.x0 + 0.5, room.y1 - 0.9), name)
                        .small()
                        .italic()
                }
                Side::End | Side::FarEnd => {
                    let left = (side == Side::End) == self.along.flip.is_none();
                    let wide = Text::new((0.0, 0.0), name.as_str())
                        .small()
                        .italic()
                        .width();
                    if wide + 4.0 > area.height() {
                        continue;
                    }
                    let x = if left { area.x0 + 3.0 } else { area.x1 - 3.0 };
                    let room = self.room((3.4, wide + 1.0), (x, area.middle().1));
                    if room.y1 > area.y1 || (room.middle().0 - x).abs() > 24.0 {
                        continue;
                    }
                    Text::new((room.x1 - 0.9, room.middle().1), name)
                        .small()
                        .italic()
                        .middle()
                        .upright()
                }
                _ => continue,
            };
            self.taken.push(text.ink().grown(0.4));
            self.scene.text(text);
        }
        self.taken.push(Rect::of(
            (touch.0 - 2.4, area.y1),
            (touch.0 + 2.4, area.y1 + 4.2),
        ));
        if area.height() > 16.0 {
            let room = self.room((5.5, 11.4), (area.x1 - area.width() * 0.08, area.y1 - 6.8));
            if (room.y1 - area.y1).abs() < 2.9 && room.y1 < area.y1 {
                mark::face_loop(&mut self.scene, (room.x0 + 1.6, area.y1));
                self.taken.push(room);
            }
        }
        // Name of the face and hand.
        let word = Text::new((0.0, 0.0), face_word(self.piece, part)).italic();
        let (wide, high) = match hand {
            Some(_) => (word.width().max(14.0) + 2.0, 16.0),
            None => (word.width() + 2.0, 4.6),
        };
        let room = self.room((wide, high), (area.middle().0 + 8.0, area.middle().1));
        self.taken.push(room);
        let mut word = word.middle();
        word.at = (room.middle().0, room.y0 + 3.6);
        self.scene.text(word);
        if let Some(hand) = hand {
            let foot = match hand {
                Hand::Left => room.middle().0 + 4.5,
                Hand::Right => room.middle().0 - 4.5,
            };
            mark::hand(&mut self.scene, (foot, room.y1 - 0.8), hand, TextSize::T4);
        }
        if part.grain == crate::model::Grain::Lengthwise {
            let long = (area.width() * 0.3).clamp(8.0, 44.0);
            let room = self.room(
                (long + 1.0, 2.6),
                (area.middle().0, area.middle().1 - area.height() * 0.16),
            );
            if room.y1 < area.y1 {
                let y = room.middle().1;
                mark::grain(&mut self.scene, (room.x0 + 0.5, y), (room.x1 - 0.5, y));
                self.taken.push(room);
            }
        }
    }

    /// Numbers of setups on their cuts, and notes on what figures at the edges don't say.
    pub(super) fn notes(&mut self, numbers: Numbers) {
        let part = self.part;
        let mut said: Vec<(String, usize)> = Vec::new();
        for (i, cut) in part.cuts.iter().enumerate() {
            let round = matches!(cut.solids.first(), Some(Solid::Bore { .. }));
            if round || cut.kind == CutKind::BiscuitSlot {
                let lines = self.note_lines(cut);
                let key = lines
                    .iter()
                    .map(Content::plain)
                    .collect::<Vec<_>>()
                    .join("\n");
                match said.iter_mut().find(|(k, _)| *k == key) {
                    Some((_, n)) => *n += 1,
                    None => said.push((key, 1)),
                }
            } else if let Some(number) = numbers(i) {
                self.number(cut, &number);
            }
        }
        // The first of each kind carries the note for all.
        let mut done: Vec<String> = Vec::new();
        for cut in &part.cuts {
            let round = matches!(cut.solids.first(), Some(Solid::Bore { .. }));
            if !round && cut.kind != CutKind::BiscuitSlot {
                continue;
            }
            let mut lines = self.note_lines(cut);
            let key = lines
                .iter()
                .map(Content::plain)
                .collect::<Vec<_>>()
                .join("\n");
            if done.contains(&key) {
                continue;
            }
            let times = said.iter().find(|(k, _)| *k == key).map_or(1, |(_, n)| *n);
            done.push(key);
            if times > 1 {
                let word = match times {
                    2 => "; twice".to_string(),
                    n => format!("; {n} times"),
                };
                if let Some(last) = lines.last_mut() {
                    *last = last.clone().words(word);
                }
            }
            let Some(solid) = cut.solids.get(cut.solids.len() / 2) else {
                continue;
            };
            let b = solid.bounds();
            let tip = self.at(
                mm((b.lo[0] + b.hi[0]).half()),
                mm((b.lo[1] + b.hi[1]).half()),
            );
            self.lead(tip, &lines);
        }
    }

    pub(super) fn note_lines(&self, cut: &Cut) -> Vec<Content> {
        let units = self.units();
        let length = |l| Content::new().setting(units, l);
        let n = cut.solids.len();
        let Some(Solid::Bore {
            diameter, depth, ..
        }) = cut.solids.first()
        else {
            let word = if n == 1 { "slot" } else { "slots" };
            return vec![Content::from(format!("{n} {word} for biscuits"))];
        };
        let through = *depth >= self.part.size.along(cut.entry.axis());
        let bore = length(*diameter).words(" dia");
        let bore = if through {
            bore.words(", through")
        } else {
            bore.words(", ").setting(units, *depth).words(" deep")
        };
        let bore = if cut.entry == Side::Reverse && !through {
            bore.words(", from below")
        } else {
            bore
        };
        if cut.kind == CutKind::PinHoles && n > 1 {
            let i = cut.along.index();
            let mut centres: Vec<Length> = cut
                .solids
                .iter()
                .map(|s| {
                    let b = s.bounds();
                    (b.lo[i] + b.hi[i]).half()
                })
                .collect();
            centres.sort();
            if let [a, b, ..] = centres.as_slice() {
                return vec![
                    Content::from(format!("{n} holes, "))
                        .setting(units, *b - *a)
                        .words(" apart"),
                    bore,
                ];
            }
        }
        match n {
            1 => vec![bore],
            n => vec![Content::from(format!("{n} holes")), bore],
        }
    }

    pub(super) fn lead(&mut self, tip: Point, lines: &[Content]) {
        let texts: Vec<Text> = lines.iter().map(|c| Text::new((0.0, 0.0), c)).collect();
        let wide = texts.iter().map(Text::width).fold(0.0, f64::max);
        let tall = lines.iter().any(Content::is_tall);
        let pitch = if tall { 5.4 } else { 4.4 };
        let high = pitch * lines.len() as f64 + 0.8;
        let room = self.room((wide + 5.6, high), (tip.0 + wide / 2.0 + 8.0, tip.1 + 9.0));
        self.taken.push(room);
        let right = room.middle().0 >= tip.0;
        let y = room.y0 + pitch / 2.0 + 0.2;
        let (elbow, x) = if right {
            ((room.x0 + 0.6, y), room.x0 + 3.4)
        } else {
            ((room.x1 - 0.6, y), room.x1 - 3.4)
        };
        self.scene.polyline(
            &[tip, elbow, (if right { x - 0.5 } else { x + 0.5 }, y)],
            Pen::THIN,
        );
        self.scene.circle(tip, 0.55, Pen::BLACK);
        for i in 0..12 {
            let t = f64::from(i) / 12.0;
            let p = (tip.0 + (elbow.0 - tip.0) * t, tip.1 + (elbow.1 - tip.1) * t);
            self.taken.push(Rect::of(p, p).grown(0.8));
        }
        for (i, text) in texts.into_iter().enumerate() {
            let mut text = text.halo();
            text.at = (x, y + 1.25 + pitch * i as f64);
            self.scene.text(if right { text } else { text.end() });
        }
    }

    /// A square on a cut.
    pub(super) fn number(&mut self, cut: &Cut, number: &str) {
        let b = cut.bounds();
        if shows(&b) == Shows::Hidden {
            return;
        }
        let half = 2.6;
        let area = self.area();
        let (l0, l1) = (self.along.x(mm(b.lo[0])), self.along.x(mm(b.hi[0])));
        let rect = Rect::of((l0, self.y(mm(b.lo[1]))), (l1, self.y(mm(b.hi[1]))));
        let upright = rect.height() > rect.width();
        let middle = rect.middle();
        // Along the cut, first a third from its end; squares keep off each other and off lettering.
        let spots = [0.22, 0.35, 0.5, 0.65, 0.78, 0.12, 0.9];
        for t in spots {
            let p = if upright {
                (middle.0, rect.y0 + rect.height() * t)
            } else {
                (rect.x0 + rect.width() * t, middle.1)
            };
            let p = (
                p.0.clamp(area.x0 + 3.4, (area.x1 - 3.4).max(area.x0 + 3.4)),
                p.1.clamp(area.y0 + 3.4, (area.y1 - 3.4).max(area.y0 + 3.4)),
            );
            let square = Rect::of(p, p).grown(half);
            let own = rect.grown(0.7);
            let clear = !self.taken.iter().any(|t| {
                t.overlaps(&square)
                    && !(t.x0 >= own.x0 && t.x1 <= own.x1 && t.y0 >= own.y0 && t.y1 <= own.y1)
            }) && !self
                .scene
                .lettering()
                .iter()
                .any(|(_, ink)| ink.overlaps(&square));
            if clear && area.height() > 8.0 {
                mark::square(&mut self.scene, p, number);
                self.taken.push(square);
                return;
            }
        }
    }
}
