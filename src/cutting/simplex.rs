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
    columns: Vec<Column>,
    basis: Vec<Basic>,
    /// Row by row.
    inverse: Vec<f64>,
    values: Vec<f64>,
    penalty: f64,
    in_basis: Vec<bool>,
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
            columns: Vec::new(),
            basis: Vec::new(),
            inverse: vec![0.0; rows * rows],
            values: Vec::new(),
            penalty,
            in_basis: Vec::new(),
            since: 0,
        };
        program.reset();
        program
    }

    /// Other right-hand sides, with the same columns; starts anew.
    pub fn restart(&mut self, wanted: &[u32], copies: &[u32]) {
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
        self.columns.push(column);
        self.in_basis.push(false);
        self.columns.len() - 1
    }

    fn rows(&self) -> usize {
        self.rhs.len()
    }

    fn cost(&self, basic: Basic) -> f64 {
        match basic {
            Basic::Column(j) => self.columns[j].cost,
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
        for _ in 0..40 * (rows + 10) {
            let y = self.multipliers();
            work += rows * rows / 4 + self.columns.len() * 8;
            let Some((enters, column)) = self.entering(&y, stalled > 2 * rows) else {
                break;
            };
            let direction = self.direction(&column);
            work += rows * column.len();
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
            }
        }
        work
    }

    /// The column with the least reduced cost by its cost (the first one below zero when stalled).
    fn entering(&self, y: &[f64], stalled: bool) -> Option<(Basic, Vec<(usize, f64)>)> {
        let mut best: Option<(f64, Basic)> = None;
        let mut see = |gain: f64, basic: Basic| {
            if gain < -1e-7 && best.is_none_or(|(g, _)| gain < g && !stalled) {
                best = Some((gain, basic));
            }
        };
        for (j, column) in self.columns.iter().enumerate() {
            if self.in_basis[j] {
                continue;
            }
            let worth: f64 = column.entries.iter().map(|(i, a)| y[*i] * a).sum();
            let scale = column.cost.max(1e-6);
            see((column.cost - worth) / scale, Basic::Column(j));
        }
        for (i, y) in y.iter().enumerate() {
            // Slack of a "wanted" row has entry -1, of a "copies" row +1.
            let reduced = if i < self.wanted { *y } else { -*y };
            if reduced < -SMALL && !self.basis.contains(&Basic::Slack(i)) {
                see(10.0 * reduced / self.penalty, Basic::Slack(i));
            }
        }
        let (_, basic) = best?;
        let entries = match basic {
            Basic::Column(j) => self.columns[j].entries.clone(),
            Basic::Slack(i) if i < self.wanted => vec![(i, -1.0)],
            Basic::Slack(i) | Basic::Bought(i) => vec![(i, 1.0)],
        };
        Some((basic, entries))
    }

    fn direction(&self, column: &[(usize, f64)]) -> Vec<f64> {
        let rows = self.rows();
        (0..rows)
            .map(|i| {
                let row = &self.inverse[i * rows..(i + 1) * rows];
                column.iter().map(|(k, a)| row[*k] * a).sum()
            })
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
                    for (i, v) in &self.columns[*c].entries {
                        a[i * rows + j] = *v;
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
