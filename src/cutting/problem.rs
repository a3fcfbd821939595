//! What is asked: sheets, parts and how the shop cuts. Plain integers in a unit the caller chooses.

/// One of the two directions of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Axis {
    /// Along a sheet's `w`.
    W,
    /// Along a sheet's `h`.
    H,
}

impl Axis {
    /// Index into `[w, h]`.
    pub fn index(self) -> usize {
        match self {
            Axis::W => 0,
            Axis::H => 1,
        }
    }

    /// The axis at an index of `[w, h]`.
    pub fn at(index: usize) -> Axis {
        if index == 0 { Axis::W } else { Axis::H }
    }

    /// The other one.
    pub fn other(self) -> Axis {
        Axis::at(1 - self.index())
    }
}

/// How many rounds of parallel cuts a sheet gets. The direction alternates from round to round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stages {
    /// Cross-cutting strips or boards to length (one-dimensional).
    One,
    /// Strips, then pieces of a strip.
    Two,
    /// Strips, columns of a strip, pieces of a column.
    Three,
    /// As many as it takes; the first round may then be one without cuts, so that either direction
    /// can come first.
    Any,
}

/// Which way the first cuts of a sheet run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FirstCut {
    /// Along `w`: strips have the full width `w` and follow each other along `h`.
    AlongW,
    /// Along `h`: strips have the full height `h` and follow each other along `w`.
    AlongH,
    /// Chosen sheet by sheet.
    Any,
}

/// What is sought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Objective {
    /// All parts from sheets of the least total cost.
    LeastCost,
    /// The parts of the greatest total profit from one sheet; the others are left out.
    MostProfit,
}

/// Cut off the four edges before anything else.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Trim {
    /// At the start of `w`.
    pub left: i64,
    /// At the end of `w`.
    pub right: i64,
    /// At the start of `h`.
    pub bottom: i64,
    /// At the end of `h`.
    pub top: i64,
}

impl Trim {
    /// The same off each edge.
    pub fn all(trim: i64) -> Trim {
        Trim {
            left: trim,
            right: trim,
            bottom: trim,
            top: trim,
        }
    }
}

/// A size of sheet, an offcut of the rack, or a board.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// Along its grain, edges included.
    pub w: i64,
    /// Across it, edges included.
    pub h: i64,
    /// Taken off the edges first.
    pub trim: Trim,
    /// Price, or what an offcut is worth (see [`rack_worth`]).
    pub cost: i64,
    /// How many there are; `None` without limit.
    pub copies: Option<u32>,
    /// The widest strip that the first cuts may take off, where strips follow each other along `w` and
    /// along `h`: so that one person carries it.
    pub widest: [Option<i64>; 2],
}

impl Sheet {
    /// What is left inside the trimmed edges, `[w, h]`.
    pub fn usable(&self) -> [i64; 2] {
        [
            self.w - self.trim.left - self.trim.right,
            self.h - self.trim.bottom - self.trim.top,
        ]
    }
}

/// A part, as often as it is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Along the sheet's `w`.
    pub w: i64,
    /// Along the sheet's `h`.
    pub h: i64,
    /// How many.
    pub demand: u32,
    /// Whether it may lie with its `w` along the sheet's `h` (no grain to follow).
    pub turns: bool,
    /// What one is worth ([`Objective::MostProfit`] only).
    pub profit: i64,
}

/// Everything the engine is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What there is to cut from.
    pub sheets: Vec<Sheet>,
    /// What is wanted.
    pub parts: Vec<Part>,
    /// Width of the blade: lost between two pieces. A piece that ends at the edge, or closer to it
    /// than a kerf, needs no further kerf.
    pub kerf: i64,
    /// Rounds of cuts.
    pub stages: Stages,
    /// Whether a part may be smaller than its last piece in the other direction, and gets one more
    /// cut ("non-exact" in the literature).
    pub trimming: bool,
    /// Direction of the first cuts.
    pub first_cut: FirstCut,
    /// The longest cut that the saw takes along `w` and along `h`. A first cut goes right through
    /// the sheet; a strip is no wider than the cuts across it may be long.
    pub longest_cut: [Option<i64>; 2],
    /// What is sought.
    pub objective: Objective,
}

/// Why a problem cannot be taken up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A part without length or width (its index).
    Part(usize),
    /// A sheet of which nothing is left inside its trim (its index).
    Sheet(usize),
    /// A cost below nothing (index of the sheet).
    Cost(usize),
    /// A kerf or trim below nothing.
    Blade,
    /// Sizes, costs or numbers so large that their products could overflow.
    Range,
    /// [`Objective::MostProfit`] is for one sheet.
    OneSheet,
}

/// The largest size, cost and profit that the engine calculates with.
pub const LARGEST: i64 = 1 << 29;

/// The most parts in all.
pub const MOST: i64 = 1 << 18;

impl Problem {
    /// Looks for what would make a layout meaningless.
    ///
    /// # Errors
    ///
    /// The first fault found.
    pub fn check(&self) -> Result<(), Fault> {
        if self.kerf < 0 {
            return Err(Fault::Blade);
        }
        let mut total = 0;
        for (i, part) in self.parts.iter().enumerate() {
            if part.w <= 0 || part.h <= 0 {
                return Err(Fault::Part(i));
            }
            total += i64::from(part.demand);
            if part.w.max(part.h).max(part.profit.abs()) > LARGEST || total > MOST {
                return Err(Fault::Range);
            }
        }
        for (i, sheet) in self.sheets.iter().enumerate() {
            let t = sheet.trim;
            if [t.left, t.right, t.bottom, t.top].iter().any(|t| *t < 0) {
                return Err(Fault::Blade);
            }
            if [sheet.w, sheet.h, sheet.cost, self.kerf]
                .iter()
                .any(|v| *v > LARGEST)
                || [t.left, t.right, t.bottom, t.top]
                    .iter()
                    .any(|t| *t > LARGEST)
            {
                return Err(Fault::Range);
            }
            if sheet.usable().iter().any(|side| *side <= 0) {
                return Err(Fault::Sheet(i));
            }
            if sheet.cost < 0 {
                return Err(Fault::Cost(i));
            }
        }
        if self.objective == Objective::MostProfit && self.sheets.len() != 1 {
            return Err(Fault::OneSheet);
        }
        Ok(())
    }
}

/// What an offcut of the rack costs a layout: by area, less the smaller the offcut is, so that small
/// ones go first and a small part does not spoil a large one. At the size of a full sheet it costs
/// `19/20` of a new one; the factor falls in proportion to the root of the area (common practice is
/// to use up the rack first; the curve is our own).
pub fn rack_worth(offcut: [i64; 2], sheet: [i64; 2], sheet_cost: i64) -> i64 {
    let area = |side: [i64; 2]| i128::from(side[0]) * i128::from(side[1]);
    let whole = area(sheet).max(1);
    // What is larger than a new one still comes before it.
    let part = area(offcut).min(whole);
    // cost * 19/20 * (part / whole) ^ 1.5, in integers
    let root = (part * 1_000_000 / whole).max(0).isqrt();
    let worth = i128::from(sheet_cost) * part * root * 19 / (whole * 1_000 * 20);
    i64::try_from(worth).unwrap_or(sheet_cost).max(1)
}
