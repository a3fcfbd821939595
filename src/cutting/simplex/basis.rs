//! The basis and its inverse: what changes when a column enters, and both anew from time to time.

use super::{Basic, Program, SMALL};

impl Program {
    pub(super) fn direction(&self, enters: Basic) -> Vec<f64> {
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
            .map(|row| {
                entries
                    .iter()
                    .map(|(k, a)| row[*k as usize] * f64::from(*a))
                    .sum()
            })
            .collect()
    }

    /// The row that empties first; ties to the larger pivot, then the lower row.
    pub(super) fn leaving(&self, direction: &[f64]) -> Option<usize> {
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

    pub(super) fn pivot(&mut self, row: usize, enters: Basic, direction: &[f64]) {
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
    pub(super) fn refresh(&mut self) {
        let rows = self.rows();
        let mut a = vec![0.0; rows * rows];
        for (j, basic) in self.basis.iter().enumerate() {
            match basic {
                Basic::Column(c) => {
                    for (i, v) in self.column(*c) {
                        a[*i as usize * rows + j] = f64::from(*v);
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
