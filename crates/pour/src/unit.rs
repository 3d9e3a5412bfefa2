//! In what unit something is bought, and how much of it there is, as a decimal that a calculator follows.

use basis::{Area, Length, Mass, TimeSpan, UnitSystem, Volume};

/// A unit in which something is bought or paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unit {
    /// Cubic yard.
    CubicYard,
    /// Cubic metre.
    CubicMetre,
    /// US gallon.
    Gallon,
    /// Litre.
    Litre,
    /// Short ton of 2,000 lb.
    Ton,
    /// Tonne.
    Tonne,
    /// Pound.
    Pound,
    /// Kilogram.
    Kilogram,
    /// Square foot.
    SquareFoot,
    /// Square metre.
    SquareMetre,
    /// Foot.
    Foot,
    /// Metre.
    Metre,
    /// Minute.
    Minute,
    /// Hour.
    Hour,
    /// Day, begun or whole.
    Day,
    /// Piece: a sheet, a bar, a load.
    Each,
}

/// How much of something there is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// By volume.
    Volume(Volume),
    /// By mass.
    Mass(Mass),
    /// By area.
    Area(Area),
    /// By length.
    Length(Length),
    /// By time.
    Time(TimeSpan),
    /// By the piece.
    Count(u32),
    /// By begun days.
    Days(u32),
    /// Goods: by the piece or by what the pieces hold, whichever the price is for.
    Goods(Goods),
}

/// Goods as they are bought: how many, and what they hold together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Goods {
    /// Pieces; absent for what comes in bulk.
    pub count: Option<u32>,
    /// Their length.
    pub length: Option<Length>,
    /// Their area.
    pub area: Option<Area>,
    /// Their volume.
    pub volume: Option<Volume>,
    /// Their mass.
    pub mass: Option<Mass>,
}

impl Goods {
    /// In every way in which they can be told, pieces first.
    pub fn amounts(self) -> impl Iterator<Item = Amount> {
        let all = [
            self.count.map(Amount::Count),
            self.volume.map(Amount::Volume),
            self.length.map(Amount::Length),
            self.area.map(Amount::Area),
            self.mass.map(Amount::Mass),
        ];
        all.into_iter().flatten()
    }
}

/// The units with their words, the first one printed.
const WORDS: &[(Unit, &[&str])] = &[
    (Unit::CubicYard, &["yd3", "cy"]),
    (Unit::CubicMetre, &["m3"]),
    (Unit::Gallon, &["gal"]),
    (Unit::Litre, &["l"]),
    (Unit::Ton, &["ton"]),
    (Unit::Tonne, &["t"]),
    (Unit::Pound, &["lb"]),
    (Unit::Kilogram, &["kg"]),
    (Unit::SquareFoot, &["ft2", "sf"]),
    (Unit::SquareMetre, &["m2"]),
    (Unit::Foot, &["ft", "lf"]),
    (Unit::Metre, &["m"]),
    (Unit::Minute, &["min"]),
    (Unit::Hour, &["h"]),
    (Unit::Day, &["day", "d"]),
    (Unit::Each, &["each", "piece", "sheet", "roll", "bar", "board", "stake", "bag", "load"]),
];

impl Unit {
    /// The unit of a word, as in `yd3`, `ton` or `sheet`.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        WORDS.iter().find(|(_, words)| words.contains(&word)).map(|(unit, _)| *unit)
    }

    /// How it is printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        WORDS.iter().find(|(unit, _)| *unit == self).map_or("", |(_, words)| words[0])
    }

    /// Every word that is known, for hints.
    pub fn words() -> impl Iterator<Item = &'static str> {
        WORDS.iter().flat_map(|(_, words)| words.iter().copied())
    }
}

impl Amount {
    /// In hundredths of a unit, halves rounded up; absent when the unit measures something else.
    ///
    /// ```
    /// # use basis::Volume; use pour::unit::{Amount, Unit};
    /// let base = Amount::Volume(Volume::cubic_yards(8.915));
    /// assert_eq!(base.hundredths(Unit::CubicYard), Some(892));
    /// assert_eq!(base.hundredths(Unit::Ton), None);
    /// ```
    #[must_use]
    pub fn hundredths(self, unit: Unit) -> Option<i64> {
        let count = match (self, unit) {
            (Self::Goods(goods), _) => return goods.amounts().find_map(|amount| amount.hundredths(unit)),
            (Self::Volume(v), Unit::CubicYard) => v.in_cubic_yards(),
            (Self::Volume(v), Unit::CubicMetre) => v.in_cubic_metres(),
            (Self::Volume(v), Unit::Gallon) => v.in_gallons(),
            (Self::Volume(v), Unit::Litre) => v.in_litres(),
            (Self::Mass(m), Unit::Ton) => m.in_short_tons(),
            (Self::Mass(m), Unit::Tonne) => m.in_tonnes(),
            (Self::Mass(m), Unit::Pound) => m.in_pounds(),
            (Self::Mass(m), Unit::Kilogram) => m.in_kilograms(),
            (Self::Area(a), Unit::SquareFoot) => a.in_square_feet(),
            (Self::Area(a), Unit::SquareMetre) => a.in_square_metres(),
            (Self::Length(l), Unit::Foot) => l.in_feet(),
            (Self::Length(l), Unit::Metre) => l.in_metres(),
            (Self::Time(t), Unit::Minute) => t.in_minutes(),
            (Self::Time(t), Unit::Hour) => t.in_hours(),
            (Self::Count(n), Unit::Each) | (Self::Days(n), Unit::Day) => f64::from(n),
            _ => return None,
        };
        // A part in a thousand million of slack: 9.255 yd from a sum of metres is not to fall under its half.
        let hundredths = (count * 100.0 * (1.0 + 1e-9) + 0.5).floor();
        (hundredths.is_finite() && hundredths.abs() < 1e15).then_some(hundredths as i64)
    }

    /// The unit in which it is told when no price says another.
    #[must_use]
    pub fn unit(self, units: UnitSystem) -> Unit {
        let is_us = matches!(units, UnitSystem::Us);
        match self {
            Self::Volume(_) if is_us => Unit::CubicYard,
            Self::Volume(_) => Unit::CubicMetre,
            Self::Mass(_) if is_us => Unit::Ton,
            Self::Mass(_) => Unit::Tonne,
            Self::Area(_) if is_us => Unit::SquareFoot,
            Self::Area(_) => Unit::SquareMetre,
            Self::Length(_) if is_us => Unit::Foot,
            Self::Length(_) => Unit::Metre,
            Self::Time(_) => Unit::Hour,
            Self::Count(_) => Unit::Each,
            Self::Days(_) => Unit::Day,
            Self::Goods(goods) => goods.amounts().next().map_or(Unit::Each, |amount| amount.unit(units)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every word leads to its unit, and what is printed is read.
    #[test]
    fn words_lead_to_units() {
        for (unit, words) in WORDS {
            assert!(words.iter().all(|word| Unit::of_word(word) == Some(*unit)));
            assert_eq!(Unit::of_word(unit.word()), Some(*unit));
        }
        assert_eq!(Unit::of_word("furlong"), None);
        assert_eq!(Unit::words().count(), WORDS.iter().map(|(_, words)| words.len()).sum::<usize>());
    }

    /// A short ton is 2,000 lb and 0.90718474 t; a yard is 0.76455486 m³ (NIST SP 811, appendix B.8, from memory).
    #[test]
    fn amounts_turn_into_the_unit_of_the_price() {
        let tons = Amount::Mass(Mass::short_tons(13.0));
        assert_eq!(tons.hundredths(Unit::Pound), Some(2_600_000));
        assert_eq!(tons.hundredths(Unit::Tonne), Some(1_179));
        assert_eq!(Amount::Volume(Volume::cubic_yards(10.0)).hundredths(Unit::CubicMetre), Some(765));
        assert_eq!(Amount::Volume(Volume::cubic_metres(f64::NAN)).hundredths(Unit::CubicMetre), None);
    }

    /// A roll of poly of 20 by 100 ft is priced by the roll or by its 2,000 ft², mesh by the sheet, the area or the ton.
    #[test]
    fn goods_are_priced_by_piece_or_by_what_they_hold() {
        let area = Area::square_feet(2000.0);
        let roll = Amount::Goods(Goods { count: Some(1), area: Some(area), ..Goods::default() });
        assert_eq!(roll.hundredths(Unit::Each), Some(100));
        assert_eq!(roll.hundredths(Unit::SquareFoot), Some(200_000));
        assert_eq!(roll.hundredths(Unit::Ton), None);
        assert_eq!(roll.unit(UnitSystem::Us), Unit::Each);
        let stone = Amount::Goods(Goods { volume: Some(Volume::cubic_yards(8.92)), ..Goods::default() });
        assert_eq!(stone.unit(UnitSystem::Metric), Unit::CubicMetre);
        assert_eq!(Amount::Goods(Goods::default()).hundredths(Unit::Each), None);
    }
}
