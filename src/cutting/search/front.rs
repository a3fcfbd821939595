//! How far a partial layout has come on its sheet, and which of those were seen before.

/// Extents of a partial layout on its current sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Front {
    pub bin: u16,
    pub axis: u16,
    /// Rank of the last part of the row.
    pub last: u32,
    /// The strip.
    pub u: [i32; 2],
    /// The row.
    pub v: [i32; 2],
    /// How far the row is filled.
    pub at: i32,
}

/// Fronts that were seen, by the set of parts placed.
#[derive(Debug, Default)]
pub(super) struct Seen {
    /// By the low bits of the hash: where its chain starts, plus one.
    heads: Vec<u32>,
    entries: Vec<(u64, Front, i64, u32)>,
}

impl Seen {
    /// Whether no front seen with the same parts placed is at least as good; notes it then.
    pub fn fresh(&mut self, hash: u64, new: &Front, cost: i64) -> bool {
        if self.entries.len() >= self.heads.len() {
            self.grow();
        }
        let slot = (hash as usize) & (self.heads.len() - 1);
        let mut at = self.heads[slot];
        while at != 0 {
            let (other, front, closed, next) = &self.entries[at as usize - 1];
            if *other == hash && *closed <= cost && front.beats(new) {
                return false;
            }
            at = *next;
        }
        let entry = (hash, *new, cost, self.heads[slot]);
        self.entries.push(entry);
        self.heads[slot] = self.entries.len() as u32;
        true
    }

    fn grow(&mut self) {
        let size = (self.heads.len() * 4).max(1 << 10);
        self.heads = vec![0; size];
        for (i, entry) in self.entries.iter_mut().enumerate() {
            let slot = (entry.0 as usize) & (size - 1);
            entry.3 = self.heads[slot];
            self.heads[slot] = i as u32 + 1;
        }
    }
}

impl Front {
    /// Whether what this one leaves free holds whatever the other's does.
    fn beats(&self, other: &Front) -> bool {
        if self.bin != other.bin || self.axis != other.axis {
            return false;
        }
        self.u[1] <= other.u[0]
            || (self.u == other.u
                && (self.v[1] <= other.v[0]
                    || (self.v == other.v && self.at <= other.at && self.last <= other.last)))
    }
}
