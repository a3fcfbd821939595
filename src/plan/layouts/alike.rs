//! Sheets, boards and strips that are cut in the same way, whatever comes out of them: each setting is made
//! once for all of them, and one drawing serves.

use super::{Placed, Sheet};

impl Sheet {
    /// Whether another one is cut by the same list of cuts, into the same places.
    pub fn is_alike(&self, other: &Sheet) -> bool {
        let raw = |s: &Sheet| (s.taken, s.long, s.wide, s.trim, s.grain_long);
        let place = |p: &Placed| {
            (
                p.area,
                p.length,
                p.width,
                p.across,
                p.sequence,
                p.more.len(),
            )
        };
        raw(self) == raw(other)
            && self.cuts == other.cuts
            && self.placed.len() == other.placed.len()
            && self
                .placed
                .iter()
                .map(place)
                .eq(other.placed.iter().map(place))
            && self.offcuts.len() == other.offcuts.len()
    }
}

/// Sheets that follow each other and are cut alike, together.
pub fn alike(sheets: &[Sheet]) -> impl Iterator<Item = &[Sheet]> {
    sheets.chunk_by(Sheet::is_alike)
}

/// Numbers of sheets that follow each other, counted from after so many: `3`, `3 and 4`, `3 to 6`.
pub fn numbers(alike: &[Sheet], before: u32) -> String {
    let number = |sheet: &Sheet| sheet.number - before;
    match alike {
        [] => String::new(),
        [one] => number(one).to_string(),
        [one, other] => format!("{} and {}", number(one), number(other)),
        [first, .., last] => format!("{} to {}", number(first), number(last)),
    }
}

/// Moves each sheet behind the one that it is alike to.
pub(super) fn together(sheets: &mut Vec<Sheet>) {
    let mut groups: Vec<Vec<Sheet>> = Vec::new();
    for sheet in sheets.drain(..) {
        match groups.iter_mut().find(|group| group[0].is_alike(&sheet)) {
            Some(group) => group.push(sheet),
            None => groups.push(vec![sheet]),
        }
    }
    sheets.extend(groups.into_iter().flatten());
}

/// The sign of a place on sheets that are cut alike, by its index: a to z, then aa, ab and so on.
pub fn place_sign(index: usize) -> String {
    let letter = char::from(b'a' + (index % 26) as u8);
    match index / 26 {
        0 => letter.to_string(),
        more => format!("{}{letter}", place_sign(more - 1)),
    }
}

#[cfg(test)]
mod tests {
    use super::place_sign;

    #[test]
    fn places_have_signs_of_their_own() {
        let signs = [0, 25, 26, 51, 52, 701, 702].map(place_sign);
        assert_eq!(signs, ["a", "z", "aa", "az", "ba", "zz", "aaa"]);
    }
}
