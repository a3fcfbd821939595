//! How much a width of solid wood changes over a year.

use super::Figure;
use crate::measure::{Length, Rational};

/// A room's temperature, degrees Celsius (judgement): from 10 to 30 it changes the result by less than a
/// tenth.
const ROOM: f64 = 20.0;

/// Moisture of wood that has come to rest in air of a relative humidity (as a fraction) and a temperature
/// in degrees Celsius, per cent: Wood Handbook, FPL-GTR-190, equation 4-5 (Hailwood and Horrobin, two
/// hydrates), with the constants for degrees Celsius.
pub fn equilibrium_moisture(humidity: f64, celsius: f64) -> f64 {
    let t = celsius;
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000736 * t - 0.00000273 * t * t;
    let k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000293 * t * t;
    let kh = k * humidity;
    let bound = k1 * kh + 2.0 * k1 * k2 * kh * kh;
    let all = 1.0 + k1 * kh + k1 * k2 * kh * kh;
    1800.0 / w * (kh / (1.0 - kh) + bound / all)
}

/// What a width of flat-sawn wood changes over a year.
#[derive(Clone, Debug)]
pub struct Yearly<'m> {
    /// The change, to the micrometre.
    pub change: Length,
    /// Per 1 % of moisture, a share of the width.
    pub coefficient: &'m Figure,
    /// Moisture in the dry and in the damp season, per cent.
    pub moisture: [f64; 2],
    /// Relative humidity in the dry and in the damp season.
    pub humidity: [Rational; 2],
}

impl<'m> Yearly<'m> {
    /// The yearly change of a width across the grain: width x coefficient x change of moisture (Wood
    /// Handbook, FPL-GTR-190, equation 13-2, from 6 to 14 % moisture; somewhat too much for boards that are
    /// not flat-sawn, page 13-17). `tangential` is the species' coefficient, a share of the width per 1 %;
    /// `climate` the relative humidity of the dry and of the damp season.
    pub fn of(width: Length, tangential: &'m Figure, climate: (Rational, Rational)) -> Yearly<'m> {
        let humidity = [climate.0, climate.1];
        let moisture = humidity.map(|h| equilibrium_moisture(h.to_f64(), ROOM));
        let share = tangential.value.to_f64() * (moisture[1] - moisture[0]);
        Yearly {
            change: Length::um((width.to_f64_mm() * share * 1000.0).round() as i64),
            coefficient: tangential,
            moisture,
            humidity,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::equilibrium_moisture;

    /// Rows of Table 4-2 of the Wood Handbook, FPL-GTR-190, as printed; the formula is within 0.1 of all.
    #[test]
    fn as_the_handbook_prints_it() {
        let humid = (1..=19).map(|i| f64::from(i) * 0.05);
        let rows = [
            (
                50.0,
                "1.4 2.6 3.6 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.3 11.2 12.3 13.4 14.8 16.4 18.4 20.9 24.3",
            ),
            (
                70.0,
                "1.3 2.5 3.5 4.5 5.4 6.2 6.9 7.7 8.5 9.2 10.1 11.0 12.0 13.1 14.4 16.0 17.9 20.5 23.9",
            ),
            (
                90.0,
                "1.2 2.3 3.4 4.3 5.1 5.9 6.7 7.4 8.1 8.9 9.7 10.5 11.5 12.6 13.9 15.4 17.3 19.8 23.3",
            ),
        ];
        for (fahrenheit, row) in rows {
            let celsius = (fahrenheit - 32.0) / 1.8;
            for (h, printed) in humid.clone().zip(row.split(' ')) {
                let printed: f64 = printed.parse().unwrap();
                let found = equilibrium_moisture(h, celsius);
                assert!(
                    (found - printed).abs() < 0.1,
                    "{fahrenheit} F, {h}: {found}"
                );
            }
        }
    }
}
