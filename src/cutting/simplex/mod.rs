//! The linear program over patterns: a primal revised simplex with a dense inverse of the basis.
//!
//! Rows: for each kind of part, patterns make at least what is wanted; for each bin with few copies,
//! patterns use no more. Columns arrive one after the other. Choices are made in a fixed order, so
//! that the same program gives the same answer everywhere. What the multipliers prove is calculated
//! in integers elsewhere: nothing here is trusted.

mod basis;

/// A pattern as a column.
#[derive(Clone, Debug)]
pub(super) struct Column {
    /// Cost of its bin.
    pub cost: f64,
    /// Rows and entries.
    pub entries: Vec<(usize, f64)>,
}

/// What stands in the basis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Basic {
    Column(usize),
    /// Parts made beyond what is wanted, or copies not used.
    Slack(usize),
    /// Parts bought at a price that no pattern reaches.
    Bought(usize),
}

/// The program and its basis.
#[derive(Clone, Debug)]
pub(super) struct Program {
    /// Right-hand sides: at least (the first `wanted` rows), at most (the others).
    rhs: Vec<f64>,
    wanted: usize,
    /// Cost of each column.
    costs: Vec<f64>,
    /// Rows and entries, column after column, and where each begins.
    entries: Vec<(u32, f32)>,
    begins: Vec<usize>,
    basis: Vec<Basic>,
    /// Row by row.
    inverse: Vec<f64>,
    values: Vec<f64>,
    penalty: f64,
    in_basis: Vec<bool>,
    /// One by the cost of each column.
    scales: Vec<f64>,
    /// Columns that may enter, and the sum of their entries.
    open: Vec<usize>,
    opened: usize,
    /// Columns looked at first: the best when all were last looked at (multiple pricing;
    /// Orchard-Hays 1968, Advanced Linear-Programming Computing Techniques; from memory).
    likely: Vec<usize>,
    since: usize,
    /// Work of the last restart, which the next solution is charged with.
    owed: usize,
}

const SMALL: f64 = 1e-9;

/// How many columns are looked at first.
const LIKELY: usize = 24;

impl Program {
    /// A program without columns: everything is bought at the penalty.
    pub fn new(wanted: &[u32], copies: &[u32], penalty: f64) -> Program {
        let rhs: Vec<f64> = wanted.iter().chain(copies).map(|n| f64::from(*n)).collect();
        let rows = rhs.len();
        let mut program = Program {
            rhs,
            wanted: wanted.len(),
            costs: Vec::new(),
            entries: Vec::new(),
            begins: vec![0],
            basis: Vec::new(),
            inverse: vec![0.0; rows * rows],
            values: Vec::new(),
            penalty,
            in_basis: Vec::new(),
            scales: Vec::new(),
            open: Vec::new(),
            opened: 0,
            likely: Vec::new(),
            since: 0,
            owed: 0,
        };
        program.reset();
        program
    }

    /// Other right-hand sides, with the columns that may enter now; starts anew. If `proper`, columns
    /// that make more than is wanted, or use more copies, may not.
    pub fn restart(
        &mut self,
        wanted: &[u32],
        copies: &[u32],
        proper: bool,
        admits: impl Fn(usize) -> bool,
    ) {
        self.rhs = wanted.iter().chain(copies).map(|n| f64::from(*n)).collect();
        let least: Vec<f32> = self.rhs.iter().map(|n| *n as f32).collect();
        let suits = |column: &[(u32, f32)]| column.iter().all(|(i, a)| *a <= least[*i as usize]);
        self.open = (0..self.costs.len())
            .filter(|j| admits(*j) && (!proper || suits(self.column(*j))))
            .collect();
        self.opened = self.open.iter().map(|j| self.column(*j).len()).sum();
        self.owed = 8 * self.costs.len() + 4 * self.opened + self.rhs.len().pow(2);
        self.likely.clear();
        self.reset();
    }

    /// Looks at these columns first, of those that may enter.
    pub fn try_first(&mut self, columns: &[usize]) {
        let open = |j: &&usize| self.open.binary_search(j).is_ok();
        self.likely = columns.iter().filter(open).copied().collect();
    }

    fn reset(&mut self) {
        let rows = self.rhs.len();
        self.basis = (0..rows)
            .map(|i| {
                if i < self.wanted {
                    Basic::Bought(i)
                } else {
                    Basic::Slack(i)
                }
            })
            .collect();
        self.inverse = vec![0.0; rows * rows];
        for i in 0..rows {
            self.inverse[i * rows + i] = 1.0;
        }
        self.values.clone_from(&self.rhs);
        self.in_basis.iter_mut().for_each(|b| *b = false);
        self.since = 0;
    }

    /// Adds a column and gives its number.
    pub fn add(&mut self, column: Column) -> usize {
        self.costs.push(column.cost);
        self.scales.push(1.0 / column.cost.max(1e-6));
        self.open.push(self.costs.len() - 1);
        self.opened += column.entries.len();
        let entries = column.entries.into_iter();
        self.entries
            .extend(entries.map(|(row, a)| (row as u32, a as f32)));
        self.begins.push(self.entries.len());
        self.in_basis.push(false);
        self.likely.push(self.costs.len() - 1);
        self.costs.len() - 1
    }

    #[inline]
    fn column(&self, j: usize) -> &[(u32, f32)] {
        &self.entries[self.begins[j]..self.begins[j + 1]]
    }

    fn rows(&self) -> usize {
        self.rhs.len()
    }

    fn cost(&self, basic: Basic) -> f64 {
        match basic {
            Basic::Column(j) => self.costs[j],
            Basic::Slack(_) => 0.0,
            Basic::Bought(_) => self.penalty,
        }
    }

    /// The multipliers of the rows.
    pub fn multipliers(&self) -> Vec<f64> {
        let rows = self.rows();
        let mut y = vec![0.0; rows];
        for (i, basic) in self.basis.iter().enumerate() {
            let cost = self.cost(*basic);
            if cost != 0.0 {
                for (y, b) in y.iter_mut().zip(&self.inverse[i * rows..(i + 1) * rows]) {
                    *y += cost * b;
                }
            }
        }
        y
    }

    /// Cost of the present solution.
    pub fn objective(&self) -> f64 {
        self.basis
            .iter()
            .zip(&self.values)
            .map(|(b, v)| self.cost(*b) * v)
            .sum()
    }

    /// Whether parts are bought.
    pub fn buys(&self) -> bool {
        let mut rows = self.basis.iter().zip(&self.values);
        rows.any(|(basic, value)| matches!(basic, Basic::Bought(_)) && *value > SMALL)
    }

    /// Columns in use and how much of each.
    pub fn solution(&self) -> Vec<(usize, f64)> {
        let mut out: Vec<(usize, f64)> = self
            .basis
            .iter()
            .zip(&self.values)
            .filter_map(|(b, v)| match b {
                Basic::Column(j) if *v > SMALL => Some((*j, *v)),
                _ => None,
            })
            .collect();
        out.sort_by_key(|(j, _)| *j);
        out
    }

    /// Improves until no column does; gives the work spent.
    pub fn solve(&mut self) -> usize {
        let rows = self.rows();
        let mut work = std::mem::take(&mut self.owed);
        let mut stalled = 0;
        let mut y = self.multipliers();
        let mut exact = true;
        for _ in 0..40 * (rows + 10) {
            work += self.likely.len() * 16;
            let mut found = if stalled > 2 * rows {
                None
            } else {
                self.best_of(&y, &self.likely)
            };
            if found.is_none() {
                work += 8 * self.open.len() + 3 * self.opened;
                found = self.entering(&y, stalled > 2 * rows);
            }
            let Some((gain, enters)) = found else {
                // What was added up may have drifted: looked at once more.
                if exact {
                    break;
                }
                y = self.multipliers();
                exact = true;
                work += rows * rows / 2;
                continue;
            };
            let direction = self.direction(enters);
            work += rows * 12;
            let Some(row) = self.leaving(&direction) else {
                break;
            };
            stalled = if self.values[row] > SMALL {
                0
            } else {
                stalled + 1
            };
            self.pivot(row, enters, &direction);
            work += rows * rows / 2;
            if self.since > 120 {
                self.refresh();
                work += rows * rows * rows;
                y = self.multipliers();
                exact = true;
                continue;
            }
            for (y, b) in y
                .iter_mut()
                .zip(&self.inverse[row * rows..(row + 1) * rows])
            {
                *y += gain * b;
            }
            exact = false;
        }
        work
    }

    /// Reduced cost of a column, and the same by its cost.
    #[inline]
    fn reduced(&self, j: usize, y: &[f64]) -> (f64, f64) {
        let entries = self.column(j).iter();
        let worth: f64 = entries.map(|(i, a)| y[*i as usize] * f64::from(*a)).sum();
        let reduced = self.costs[j] - worth;
        (reduced * self.scales[j], reduced)
    }

    /// Of some columns the one whose reduced cost is least by its cost.
    fn best_of(&self, y: &[f64], columns: &[usize]) -> Option<(f64, Basic)> {
        let mut best: Option<(f64, f64, usize)> = None;
        for j in columns.iter().copied().filter(|j| !self.in_basis[*j]) {
            let (gain, reduced) = self.reduced(j, y);
            if gain < -1e-7 && best.is_none_or(|(g, ..)| gain < g) {
                best = Some((gain, reduced, j));
            }
        }
        best.map(|(_, reduced, j)| (reduced, Basic::Column(j)))
    }

    /// What enters, of all there is, with its reduced cost: the least by the column's cost (the first
    /// one below zero when stalled). The best columns are likely to enter later.
    fn entering(&mut self, y: &[f64], stalled: bool) -> Option<(f64, Basic)> {
        let mut best: Option<(f64, f64, Basic)> = None;
        let mut likely: Vec<(f64, usize)> = Vec::new();
        let mut enough = -1e-7;
        for j in self.open.iter().copied().filter(|j| !self.in_basis[*j]) {
            let (gain, reduced) = self.reduced(j, y);
            if gain >= enough {
                continue;
            }
            if best.is_none_or(|(g, ..)| gain < g && !stalled) {
                best = Some((gain, reduced, Basic::Column(j)));
            }
            likely.push((gain, j));
            if likely.len() == 2 * LIKELY {
                likely
                    .select_nth_unstable_by(LIKELY, |a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
                likely.truncate(LIKELY);
                // Ties stay out: those that came first are as good.
                let worst = likely.iter().map(|(gain, _)| *gain);
                enough = worst.fold(f64::NEG_INFINITY, f64::max);
            }
        }
        self.likely.clear();
        self.likely.extend(likely.iter().map(|(_, j)| *j));
        for (i, y) in y.iter().enumerate() {
            // Slack of a "wanted" row has entry -1, of a "copies" row +1.
            let reduced = if i < self.wanted { *y } else { -*y };
            if reduced < -SMALL && !self.basis.contains(&Basic::Slack(i)) {
                let gain = 10.0 * reduced / self.penalty;
                if gain < -1e-7 && best.is_none_or(|(g, ..)| gain < g && !stalled) {
                    best = Some((gain, reduced, Basic::Slack(i)));
                }
            }
        }
        best.map(|(_, reduced, basic)| (reduced, basic))
    }
}
