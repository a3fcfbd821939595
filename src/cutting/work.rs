//! Work is counted, not timed, so that a result does not depend on the machine.

/// How long to look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Effort {
    /// While typing.
    Quick,
    /// A second or two.
    #[default]
    Normal,
    /// Many times that.
    Long,
}

/// Units of work left in a phase; a unit is about a nanosecond of a desktop machine of 2025.
#[derive(Clone, Debug)]
pub(super) struct Work {
    left: i64,
    spent: i64,
}

impl Work {
    pub fn new(units: i64) -> Work {
        Work {
            left: units,
            spent: 0,
        }
    }

    pub fn spend(&mut self, units: usize) {
        let units = i64::try_from(units).unwrap_or(i64::MAX);
        self.left = self.left.saturating_sub(units);
        self.spent = self.spent.saturating_add(units);
    }

    pub fn done(&self) -> bool {
        self.left <= 0
    }

    pub fn left(&self) -> i64 {
        self.left.max(0)
    }

    pub fn spent(&self) -> i64 {
        self.spent
    }

    /// Runs a phase with at most so many of the units left.
    pub fn share<T>(&mut self, units: i64, phase: impl FnOnce(&mut Work) -> T) -> T {
        let mut part = Work {
            left: units.min(self.left()),
            spent: self.spent,
        };
        let out = phase(&mut part);
        self.left = self.left.saturating_sub(part.spent - self.spent);
        self.spent = part.spent;
        out
    }
}

/// Numbers that look random and are the same everywhere (SplitMix64; Steele, Lea & Flood 2014).
#[derive(Clone, Debug)]
pub(crate) struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Less than `n`.
    pub fn below(&mut self, n: usize) -> usize {
        (self.next() % (n.max(1) as u64)) as usize
    }

    /// Between 0 and 1.
    pub fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
    /// Puts a list in any order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.below(i + 1));
        }
    }
}
