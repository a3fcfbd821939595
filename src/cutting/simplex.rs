//! The linear program over patterns: a primal revised simplex with a dense inverse of the basis.
//!
//! Rows: for each kind of part, patterns make at least what is wanted; for each bin with few copies,
//! patterns use no more. Columns arrive one after the other. Choices are made in a fixed order, so
//! that the same program gives the same answer everywhere. What the multipliers prove is calculated
//! in integers elsewhere: nothing here is trusted.

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
    entries: Vec<(u32, f64)>,
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
    since: usize,
}

const SMALL: f64 = 1e-9;

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
            since: 0,
        };
        program.reset();
        program
    }

    /// Other right-hand sides, with the columns that may enter now; starts anew.
    pub fn restart(&mut self, wanted: &[u32], copies: &[u32], open: Vec<usize>) {
        self.opened = open.iter().map(|j| self.column(*j).len()).sum();
        self.open = open;
        self.rhs = wanted.iter().chain(copies).map(|n| f64::from(*n)).collect();
        self.reset();
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
        self.entries.extend(entries.map(|(row, a)| (row as u32, a)));
        self.begins.push(self.entries.len());
        self.in_basis.push(false);
        self.costs.len() - 1
    }

    fn column(&self, j: usize) -> &[(u32, f64)] {
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
        let mut work = 0;
        let mut stalled = 0;
        let mut y = self.multipliers();
        let mut exact = true;
        for _ in 0..40 * (rows + 10) {
            work += 4 * self.open.len() + 2 * self.opened;
            let Some((gain, enters)) = self.entering(&y, stalled > 2 * rows) else {
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
            work += rows * 8;
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

    /// The reduced cost of what enters, which is the column where it is least by the column's cost (the
    /// first one below zero when stalled).
    fn entering(&self, y: &[f64], stalled: bool) -> Option<(f64, Basic)> {
        let mut best: Option<(f64, f64, Basic)> = None;
        let mut see = |gain: f64, reduced: f64, basic: Basic| {
            if gain < -1e-7 && best.is_none_or(|(g, ..)| gain < g && !stalled) {
                best = Some((gain, reduced, basic));
            }
        };
        for j in self.open.iter().copied().filter(|j| !self.in_basis[*j]) {
            let entries = self.column(j).iter();
            let worth: f64 = entries.map(|(i, a)| y[*i as usize] * a).sum();
            let reduced = self.costs[j] - worth;
            see(reduced * self.scales[j], reduced, Basic::Column(j));
        }
        for (i, y) in y.iter().enumerate() {
            // Slack of a "wanted" row has entry -1, of a "copies" row +1.
            let reduced = if i < self.wanted { *y } else { -*y };
            if reduced < -SMALL && !self.basis.contains(&Basic::Slack(i)) {
                see(10.0 * reduced / self.penalty, reduced, Basic::Slack(i));
            }
        }
        best.map(|(_, reduced, basic)| (reduced, basic))
    }

    fn direction(&self, enters: Basic) -> Vec<f64> {
        let one;
        let entries = match enters {
            Basic::Column(j) => self.column(j),
            Basic::Slack(i) if i < self.wanted => {
                one = [(i as u32, -1.0)];
                &one
            }
            Basic::Slack(i) | Basic::Bought(i) => {
                one = [(i as u32, 1.0)];
                &one
            }
        };
        self.inverse
            .chunks(self.rows().max(1))
            .map(|row| entries.iter().map(|(k, a)| row[*k as usize] * a).sum())
            .collect()
    }

    /// The row that empties first; ties to the larger pivot, then the lower row.
    fn leaving(&self, direction: &[f64]) -> Option<usize> {
        let mut best: Option<(f64, f64, usize)> = None;
        for (i, d) in direction.iter().enumerate() {
            if *d <= 1e-8 {
                continue;
            }
            let ratio = self.values[i].max(0.0) / d;
            let wins = best
                .is_none_or(|(r, pivot, _)| ratio < r - SMALL || (ratio < r + SMALL && *d > pivot));
            if wins {
                best = Some((ratio, *d, i));
            }
        }
        best.map(|(_, _, i)| i)
    }

    fn pivot(&mut self, row: usize, enters: Basic, direction: &[f64]) {
        let rows = self.rows();
        let step = self.values[row].max(0.0) / direction[row];
        for (i, d) in direction.iter().enumerate() {
            if i != row {
                self.values[i] -= step * d;
                if self.values[i] < 0.0 {
                    self.values[i] = 0.0;
                }
            }
        }
        self.values[row] = step;
        let scale = 1.0 / direction[row];
        let (before, rest) = self.inverse.split_at_mut(row * rows);
        let (pivot, after) = rest.split_at_mut(rows);
        pivot.iter_mut().for_each(|b| *b *= scale);
        let lines = before.chunks_mut(rows).chain(after.chunks_mut(rows));
        let others = (0..rows).filter(|i| *i != row);
        for (line, i) in lines.zip(others) {
            let d = direction[i];
            if d != 0.0 {
                for (b, p) in line.iter_mut().zip(pivot.iter()) {
                    *b -= d * p;
                }
            }
        }
        if let Basic::Column(j) = self.basis[row] {
            self.in_basis[j] = false;
        }
        if let Basic::Column(j) = enters {
            self.in_basis[j] = true;
        }
        self.basis[row] = enters;
        self.since += 1;
    }

    /// Calculates the inverse anew from the basis (Gauss-Jordan), so that errors do not pile up.
    fn refresh(&mut self) {
        let rows = self.rows();
        let mut a = vec![0.0; rows * rows];
        for (j, basic) in self.basis.iter().enumerate() {
            match basic {
                Basic::Column(c) => {
                    for (i, v) in self.column(*c) {
                        a[*i as usize * rows + j] = *v;
                    }
                }
                Basic::Slack(i) if *i < self.wanted => a[i * rows + j] = -1.0,
                Basic::Slack(i) | Basic::Bought(i) => a[i * rows + j] = 1.0,
            }
        }
        let mut inverse = vec![0.0; rows * rows];
        for i in 0..rows {
            inverse[i * rows + i] = 1.0;
        }
        for k in 0..rows {
            let pivot = (k..rows)
                .max_by(|x, y| {
                    a[x * rows + k]
                        .abs()
                        .total_cmp(&a[y * rows + k].abs())
                        .then(y.cmp(x))
                })
                .unwrap_or(k);
            if a[pivot * rows + k].abs() < 1e-11 {
                return; // near singular: the updated inverse has to do
            }
            for c in 0..rows {
                a.swap(pivot * rows + c, k * rows + c);
                inverse.swap(pivot * rows + c, k * rows + c);
            }
            let scale = 1.0 / a[k * rows + k];
            for c in 0..rows {
                a[k * rows + c] *= scale;
                inverse[k * rows + c] *= scale;
            }
            for i in 0..rows {
                let f = a[i * rows + k];
                if i != k && f != 0.0 {
                    for c in 0..rows {
                        a[i * rows + c] -= f * a[k * rows + c];
                        inverse[i * rows + c] -= f * inverse[k * rows + c];
                    }
                }
            }
        }
        self.inverse = inverse;
        for i in 0..rows {
            let row = &self.inverse[i * rows..(i + 1) * rows];
            let value: f64 = row.iter().zip(&self.rhs).map(|(b, r)| b * r).sum();
            self.values[i] = value.max(0.0);
        }
        self.since = 0;
    }
}
