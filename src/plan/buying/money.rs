//! Amounts of money.

use crate::measure::Rational;

/// An amount in a currency.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Money {
    /// Exact; where it stands for a line or a total it is whole cents.
    pub amount: Rational,
    /// `EUR`.
    pub currency: String,
}

/// Rounded to whole cents, halves away from zero.
pub fn cents(amount: Rational) -> Rational {
    match (amount * Rational::int(100)).round() {
        Some(n) => Rational::new(n, 100),
        None => Rational::OVERFLOW,
    }
}

impl Money {
    /// The amount with two decimals: `1204.50`.
    pub fn plain(&self) -> String {
        let n = (self.amount * Rational::int(100)).round().unwrap_or(0);
        let sign = if n < 0 { "\u{2212}" } else { "" };
        let n = n.unsigned_abs();
        format!("{sign}{}.{:02}", n / 100, n % 100)
    }
}
