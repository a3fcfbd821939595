//! Cards of loose shelves: their pins and rows of holes.

use super::OfPiece;
use crate::book::chapters::PartMark;
use crate::book::html;
use crate::model::{HardwareId, HardwareKind, PartId, PinRow, ShelfSet};
use minijinja::Value;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct ShelfCard {
    pub(super) number: u32,
    name: String,
    opening: String,
    count: usize,
    size: Option<Value>,
    mark: Option<PartMark>,
    pins: Option<PinWords>,
    /// The case's rows, if the holes are of those.
    in_rows: Option<String>,
    rows: Vec<RowFacts>,
}

#[derive(Serialize)]
struct PinWords {
    title: String,
    each: u32,
    diameter: Option<Value>,
    deep: Option<Value>,
}

#[derive(Serialize)]
struct RowFacts {
    panels: Vec<PartMark>,
    set_back: Value,
    first: Value,
    last: Value,
    pitch: Value,
    count: u32,
    floor: Value,
}

impl OfPiece<'_> {
    pub(super) fn shelf(&self, set: &ShelfSet) -> ShelfCard {
        let floor = self.piece.opening(set.opening).clear.lo[2];
        let mut rows: Vec<(&PinRow, Vec<PartId>)> = Vec::new();
        for row in &set.rows {
            let alike = |a: &PinRow| {
                (
                    a.set_back,
                    a.first_z - self.foot(a.part),
                    a.first_z,
                    a.pitch,
                    a.count,
                )
            };
            match rows
                .iter_mut()
                .find(|(known, _)| alike(known) == alike(row))
            {
                Some((_, parts)) => parts.push(row.part),
                None => rows.push((row, vec![row.part])),
            }
        }
        let part = set.parts.first().map(|id| self.piece.part(*id));
        let name = set.path.rsplit('.').next().unwrap_or(&set.path);
        ShelfCard {
            number: 0,
            name: name.replace('_', " "),
            opening: self.opening_name(set.opening),
            count: set.parts.len(),
            size: part.map(|p| {
                let size = p.finished_size;
                html::sizes(self.units, &[size.length, size.width, size.thick])
            }),
            mark: set.parts.first().and_then(|id| self.mark(*id)),
            pins: set.pins.map(|(id, each)| self.pins(id, each)),
            in_rows: set.in_rows.as_ref().map(|name| name.replace('_', " ")),
            rows: rows
                .into_iter()
                .map(|(row, parts)| {
                    let first = row.first_z - self.foot(row.part);
                    let last = first + row.pitch * (i64::from(row.count).max(1) - 1);
                    RowFacts {
                        panels: parts.into_iter().filter_map(|id| self.mark(id)).collect(),
                        set_back: self.column(row.set_back),
                        first: self.column(first),
                        last: self.column(last),
                        pitch: self.column(row.pitch),
                        count: row.count,
                        floor: self.column(row.first_z - floor),
                    }
                })
                .collect(),
        }
    }

    fn pins(&self, id: HardwareId, each: u32) -> PinWords {
        let hardware = self.hardware(id);
        let (diameter, deep) = match hardware.map(|h| &h.kind) {
            Some(HardwareKind::Pin { diameter, deep }) => (Some(*diameter), Some(*deep)),
            _ => (None, None),
        };
        PinWords {
            title: hardware.map_or_else(String::new, |h| h.title.clone()),
            each,
            diameter: diameter.map(|length| self.figure(length)),
            deep: deep.map(|length| self.figure(length)),
        }
    }
}
