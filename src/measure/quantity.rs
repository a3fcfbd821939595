//! Quantities: an exact number with a dimension, and the units that a maker may write.

use super::{Length, Rational};
use std::fmt;

/// The dimension of a quantity, as exponents of the base kinds.
///
/// Base units: millimetre, kilogram, second, currency unit, degree of angle, degree Celsius.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Dimension {
    /// Exponent of length.
    pub length: i8,
    /// Exponent of mass.
    pub mass: i8,
    /// Exponent of time.
    pub time: i8,
    /// Exponent of money.
    pub money: i8,
    /// Exponent of angle.
    pub angle: i8,
    /// Exponent of temperature.
    pub temperature: i8,
}

impl Dimension {
    /// A bare number.
    pub const NONE: Dimension = Dimension {
        length: 0,
        mass: 0,
        time: 0,
        money: 0,
        angle: 0,
        temperature: 0,
    };
    /// A length.
    pub const LENGTH: Dimension = Dimension {
        length: 1,
        ..Dimension::NONE
    };
    /// An area.
    pub const AREA: Dimension = Dimension {
        length: 2,
        ..Dimension::NONE
    };
    /// A volume.
    pub const VOLUME: Dimension = Dimension {
        length: 3,
        ..Dimension::NONE
    };
    /// A mass.
    pub const MASS: Dimension = Dimension {
        mass: 1,
        ..Dimension::NONE
    };
    /// A time.
    pub const TIME: Dimension = Dimension {
        time: 1,
        ..Dimension::NONE
    };
    /// Money.
    pub const MONEY: Dimension = Dimension {
        money: 1,
        ..Dimension::NONE
    };
    /// An angle.
    pub const ANGLE: Dimension = Dimension {
        angle: 1,
        ..Dimension::NONE
    };
    /// A temperature.
    pub const TEMPERATURE: Dimension = Dimension {
        temperature: 1,
        ..Dimension::NONE
    };

    /// A force.
    pub const FORCE: Dimension = Dimension {
        length: 1,
        mass: 1,
        time: -2,
        ..Dimension::NONE
    };
    /// A pressure: a force on an area.
    pub const PRESSURE: Dimension = Dimension {
        length: -1,
        mass: 1,
        time: -2,
        ..Dimension::NONE
    };

    fn zip(self, other: Dimension, f: impl Fn(i8, i8) -> i8) -> Dimension {
        Dimension {
            length: f(self.length, other.length),
            mass: f(self.mass, other.mass),
            time: f(self.time, other.time),
            money: f(self.money, other.money),
            angle: f(self.angle, other.angle),
            temperature: f(self.temperature, other.temperature),
        }
    }

    /// The dimension of a product.
    pub fn times(self, other: Dimension) -> Dimension {
        self.zip(other, i8::saturating_add)
    }

    /// The dimension of a quotient.
    pub fn per(self, other: Dimension) -> Dimension {
        self.zip(other, i8::saturating_sub)
    }
}

impl fmt::Display for Dimension {
    /// The word that a maker would use: `length`, `area`, `mass per area`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = |d: Dimension| match d {
            Dimension::NONE => Some("number"),
            Dimension::LENGTH => Some("length"),
            Dimension::AREA => Some("area"),
            Dimension::VOLUME => Some("volume"),
            Dimension::MASS => Some("mass"),
            Dimension::TIME => Some("time"),
            Dimension::MONEY => Some("money"),
            Dimension::ANGLE => Some("angle"),
            Dimension::TEMPERATURE => Some("temperature"),
            Dimension::FORCE => Some("force"),
            Dimension::PRESSURE => Some("pressure"),
            _ => None,
        };
        if let Some(word) = word(*self) {
            return f.write_str(word);
        }
        let part = |sign: i8| {
            self.zip(
                Dimension::NONE,
                |e, _| if e * sign > 0 { e.abs() } else { 0 },
            )
        };
        if let (Some(above), Some(below)) = (word(part(1)), word(part(-1))) {
            return write!(f, "{above} per {below}");
        }
        let mut first = true;
        for (name, e) in [
            ("length", self.length),
            ("mass", self.mass),
            ("time", self.time),
            ("money", self.money),
            ("angle", self.angle),
            ("temperature", self.temperature),
        ] {
            if e != 0 {
                write!(f, "{}{name}^{e}", if first { "" } else { " x " })?;
                first = false;
            }
        }
        Ok(())
    }
}

/// An exact number of base units with its dimension. Percent is a bare number (9% is 9/100).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quantity {
    /// The number of base units (mm, kg, s, currency unit, degree, degree Celsius).
    pub value: Rational,
    /// What it measures.
    pub dimension: Dimension,
}

impl Quantity {
    /// A bare number.
    pub fn number(value: Rational) -> Quantity {
        Quantity {
            value,
            dimension: Dimension::NONE,
        }
    }

    /// A length.
    pub fn length(value: Length) -> Quantity {
        Quantity {
            value: value.as_mm(),
            dimension: Dimension::LENGTH,
        }
    }

    /// As a length, if it is one.
    pub fn as_length(self) -> Option<Length> {
        (self.dimension == Dimension::LENGTH).then(|| Length::from_mm(self.value))
    }

    /// As a bare number, if it is one.
    pub fn as_number(self) -> Option<Rational> {
        (self.dimension == Dimension::NONE).then_some(self.value)
    }
}

/// A unit that may be glued to a number.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// As written.
    pub symbol: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Base units in one of it, as a fraction.
    pub factor: (i64, i64),
    /// One sentence for the reference, with the source of the factor.
    pub doc: &'static str,
}

impl Unit {
    /// The unit with this symbol.
    pub fn find(symbol: &str) -> Option<&'static Unit> {
        UNITS.iter().find(|unit| unit.symbol == symbol)
    }

    /// `number` of this unit as a quantity.
    pub fn of(&self, number: Rational) -> Quantity {
        let factor = Rational::new(i128::from(self.factor.0), i128::from(self.factor.1));
        Quantity {
            value: number * factor,
            dimension: self.dimension,
        }
    }
}

const fn unit(
    symbol: &'static str,
    dimension: Dimension,
    num: i64,
    den: i64,
    doc: &'static str,
) -> Unit {
    Unit {
        symbol,
        dimension,
        factor: (num, den),
        doc,
    }
}

/// Every unit of the language. `in` and `ft` also form mixed lengths (`5ft 3 1/2in`).
pub const UNITS: &[Unit] = &[
    unit(
        "mm",
        Dimension::LENGTH,
        1,
        1,
        "millimetre, the unit of account",
    ),
    unit("cm", Dimension::LENGTH, 10, 1, "centimetre"),
    unit("m", Dimension::LENGTH, 1000, 1, "metre"),
    unit(
        "in",
        Dimension::LENGTH,
        127,
        5,
        "inch, 25.4 mm exactly (international yard agreement, 1959)",
    ),
    unit("ft", Dimension::LENGTH, 1524, 5, "foot, 304.8 mm exactly"),
    unit("mm2", Dimension::AREA, 1, 1, "square millimetre"),
    unit("cm2", Dimension::AREA, 100, 1, "square centimetre"),
    unit("m2", Dimension::AREA, 1_000_000, 1, "square metre"),
    unit("in2", Dimension::AREA, 16129, 25, "square inch"),
    unit("ft2", Dimension::AREA, 2_322_576, 25, "square foot"),
    unit("m3", Dimension::VOLUME, 1_000_000_000, 1, "cubic metre"),
    unit("ft3", Dimension::VOLUME, 3_539_605_824, 125, "cubic foot"),
    unit(
        "bdft",
        Dimension::VOLUME,
        294_967_152,
        125,
        "board foot, 144 cubic inches",
    ),
    unit("ml", Dimension::VOLUME, 1000, 1, "millilitre"),
    unit("L", Dimension::VOLUME, 1_000_000, 1, "litre"),
    unit(
        "gal",
        Dimension::VOLUME,
        473_176_473,
        125,
        "US gallon, 231 cubic inches",
    ),
    unit("g", Dimension::MASS, 1, 1000, "gram"),
    unit("kg", Dimension::MASS, 1, 1, "kilogram"),
    unit(
        "lb",
        Dimension::MASS,
        45_359_237,
        100_000_000,
        "pound, 0.45359237 kg exactly",
    ),
    unit("N", Dimension::FORCE, 1000, 1, "newton"),
    unit(
        "lbf",
        Dimension::FORCE,
        8_896_443_230_521,
        2_000_000_000,
        "pound-force, 0.45359237 kg x 9.80665 m/s2 exactly",
    ),
    unit(
        "MPa",
        Dimension::PRESSURE,
        1000,
        1,
        "megapascal, a newton on a square millimetre",
    ),
    unit(
        "GPa",
        Dimension::PRESSURE,
        1_000_000,
        1,
        "gigapascal, 1000 MPa",
    ),
    unit(
        "psi",
        Dimension::PRESSURE,
        8_896_443_230_521,
        1_290_320_000_000,
        "pound-force on a square inch",
    ),
    unit("s", Dimension::TIME, 1, 1, "second"),
    unit("min", Dimension::TIME, 60, 1, "minute"),
    unit("h", Dimension::TIME, 3600, 1, "hour"),
    unit("d", Dimension::TIME, 86400, 1, "day of 24 hours"),
    unit("deg", Dimension::ANGLE, 1, 1, "degree of angle"),
    unit("degC", Dimension::TEMPERATURE, 1, 1, "degree Celsius"),
    unit("%", Dimension::NONE, 1, 100, "per cent, a bare number"),
    unit("EUR", Dimension::MONEY, 1, 1, "euro"),
    unit("USD", Dimension::MONEY, 1, 1, "US dollar"),
    unit("GBP", Dimension::MONEY, 1, 1, "pound sterling"),
    unit("CHF", Dimension::MONEY, 1, 1, "Swiss franc"),
    unit("CAD", Dimension::MONEY, 1, 1, "Canadian dollar"),
    unit("AUD", Dimension::MONEY, 1, 1, "Australian dollar"),
    unit("SEK", Dimension::MONEY, 1, 1, "Swedish krona"),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Board foot 144 in3, gallon 231 in3, from 1 in = 25.4 mm: 144 x 25.4^3 = 2,359,737.216 mm3.
    #[test]
    fn derived_units_follow_from_the_inch() {
        let cubic_inch = Rational::new(254, 10) * Rational::new(254, 10) * Rational::new(254, 10);
        let value = |s: &str| Unit::find(s).unwrap().of(Rational::ONE).value;
        assert_eq!(value("bdft"), cubic_inch * Rational::int(144));
        assert_eq!(value("gal"), cubic_inch * Rational::int(231));
        assert_eq!(value("ft3"), cubic_inch * Rational::int(1728));
        assert_eq!(
            value("ft2"),
            Rational::new(254, 10) * Rational::new(254, 10) * Rational::int(144)
        );
    }

    /// 1 lbf = 0.45359237 kg x 9.80665 m/s2; 1 psi = 1 lbf on 25.4 x 25.4 mm = 6.894757 kPa (Wood
    /// Handbook FPL-GTR-282, table 5-3b converts with that figure).
    #[test]
    fn forces_and_pressures_are_exact() {
        let value = |s: &str| Unit::find(s).unwrap().of(Rational::ONE).value;
        let pound_force = Rational::new(45_359_237, 100_000_000) * Rational::new(9_806_650, 1000);
        assert_eq!(value("lbf"), pound_force);
        let square_inch = Rational::new(64_516, 100);
        assert_eq!(value("psi"), pound_force / square_inch);
        assert_eq!(
            (value("psi") / value("MPa") * Rational::int(1_000_000_000)).round(),
            Some(6_894_757)
        );
        assert_eq!(
            Dimension::FORCE.per(Dimension::AREA),
            Dimension::PRESSURE,
            "a newton on a square millimetre"
        );
        assert_eq!(
            (
                Dimension::FORCE.to_string(),
                Dimension::PRESSURE.to_string()
            ),
            ("force".into(), "pressure".into())
        );
    }

    #[test]
    fn dimensions_read_as_words() {
        assert_eq!(
            Dimension::MASS.per(Dimension::AREA).to_string(),
            "mass per area"
        );
        assert_eq!(
            Dimension::LENGTH.times(Dimension::LENGTH).to_string(),
            "area"
        );
        assert_eq!(Dimension::NONE.to_string(), "number");
    }
}
