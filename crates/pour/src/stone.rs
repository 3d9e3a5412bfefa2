//! What working the base over would save or cost: stone against concrete.
//!
//! Where the base is low, compacted stone takes the place of as much concrete; where it is high, cutting it
//! to grade takes as much more. Which is worth it is for the foreman: the tool tells both amounts.

use basis::{Length, Money, Price, UnitSystem, Volume};
use ground::advice::{Advice, Wanted, advise};
use ground::overlay::Mesh;

use crate::job::{Base, Slab};

/// Patches that are told on each side.
const PATCHES: usize = 3;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct StoneInput<'a> {
    /// Finish, base and dug depth overlaid.
    pub mesh: &'a Mesh,
    /// Thickness asked for.
    pub slab: &'a Slab,
    /// The base: bulking and price of its stone.
    pub base: &'a Base,
    /// Price of the mix, if known.
    pub mix: Option<Price<Volume>>,
    /// Units, for the size of a step.
    pub units: UnitSystem,
}

/// Stone against concrete.
#[derive(Debug, Clone, PartialEq)]
pub struct StoneAdvice {
    /// One step of the whole base, and how much over the nominal thickness a patch counts as deep.
    pub step: Length,
    /// Where the base is thin and where it is deep.
    pub patches: Advice,
    /// Filling every low place to design grade.
    pub fill_low: Exchange,
    /// Cutting every high place to design grade.
    pub cut_high: Exchange,
    /// Raising the whole base by one step; lowering it is the same the other way round, but brings no stone.
    pub raise_all: Exchange,
}

/// Stone that goes in or comes out for as much concrete.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exchange {
    /// Volume as it lies: compacted stone, and the concrete that it stands for.
    pub compacted: Volume,
    /// As it comes on a truck; absent when the stone's bulking is not stated.
    pub loose: Option<Volume>,
    /// What the loose stone costs; absent when bulking or price are not stated, or are none.
    pub stone: Option<Money>,
    /// What as much concrete costs by the price of the mix alone; absent when that is not stated.
    pub concrete: Option<Money>,
}

/// Change of the whole base that a crew thinks in: common practice, no source.
#[must_use]
pub const fn step(units: UnitSystem) -> Length {
    match units {
        UnitSystem::Us => Length::inches(0.5),
        UnitSystem::Metric => Length::millimetres(10.0),
    }
}

/// Tells what filling, cutting and raising the base would save or cost.
///
/// Volumes are exact for what is drawn, and as doubtful as the base between its shots. Money is volume times
/// price, without fees, delivery, labour or allowance.
#[must_use]
pub fn stone(input: &StoneInput<'_>) -> StoneAdvice {
    let step = step(input.units);
    let wanted = Wanted {
        nominal: input.slab.nominal,
        minimum: input.slab.minimum,
        tolerance: step,
        step,
        patches: PATCHES,
    };
    let patches = advise(input.mesh, &wanted);
    let filled = |volume| exchange(volume, input.base, input.mix);
    let cut = Exchange { loose: None, stone: None, ..filled(patches.whole.high) };
    StoneAdvice {
        step,
        fill_low: filled(patches.whole.low),
        cut_high: cut,
        raise_all: filled(patches.step),
        patches,
    }
}

fn exchange(compacted: Volume, base: &Base, mix: Option<Price<Volume>>) -> Exchange {
    let loose = base.loose_per_compacted.map(|factor| compacted * factor);
    Exchange {
        compacted,
        loose,
        stone: loose.zip(base.stone_price).and_then(|(loose, price)| cost(loose, price)),
        concrete: mix.and_then(|price| cost(compacted, price)),
    }
}

/// Volume times price; nothing when the price is per nothing or beyond any money.
fn cost(volume: Volume, price: Price<Volume>) -> Option<Money> {
    let amount = price.amount.in_units() * (volume / price.per);
    (amount.abs() < 1e12).then(|| Money::ten_thousandths((amount * 1e4).round() as i64))
}

#[cfg(test)]
mod tests {
    use super::*;
    use ground::overlay::Cell;
    use ground::{P2, Plane};

    fn base(bulking: Option<f64>, price: Option<i64>) -> Base {
        let price = price.map(|units| Price { amount: dollars(units), per: Volume::cubic_yards(1.0) });
        Base {
            kind: String::new(),
            loose_per_compacted: bulking,
            stone_price: price,
            breaks: Vec::new(),
            zones: Vec::new(),
        }
    }

    const fn dollars(units: i64) -> Money {
        Money::ten_thousandths(units * 10_000)
    }

    /// 27 ft by 12 ft with 5 in., so that an inch is a yard; a further 27 ft by 3 ft with 3 in. is high.
    fn mesh() -> Mesh {
        let slab = |y: f64, wide: f64, inches: f64| {
            let (low, high) = (P2::new(0.0, 0.3048 * y), P2::new(27.0 * 0.3048, 0.3048 * (y + wide)));
            Cell {
                ring: ground::Polygon::rectangle(low, high).corners().to_vec(),
                finish: Plane::level(inches * 0.0254),
                base: Plane::level(0.0),
                dug: Plane::level(0.0),
            }
        };
        Mesh { cells: vec![slab(0.0, 12.0, 5.0), slab(12.0, 3.0, 3.0)], uncovered: 0.0 }
    }

    fn told(base: &Base, mix: Option<Price<Volume>>) -> StoneAdvice {
        let slab = Slab { nominal: Length::inches(4.0), minimum: Length::inches(3.5) };
        stone(&StoneInput { mesh: &mesh(), slab: &slab, base, mix, units: UnitSystem::Us })
    }

    /// By hand: a yard of stone at 20 % bulking is 1.2 yd³ at 30 dollars; a yard of concrete is 160. Half an inch
    /// over 15 ft by 27 ft is 5/8 yd³.
    #[test]
    fn stone_against_concrete_by_hand() {
        let mix = Price { amount: dollars(160), per: Volume::cubic_yards(1.0) };
        let advice = told(&base(Some(1.2), Some(30)), Some(mix));
        let yards = |volume: Volume| volume.in_cubic_yards();
        assert!((yards(advice.fill_low.compacted) - 1.0).abs() < 1e-9);
        assert!((advice.fill_low.loose.map_or(0.0, yards) - 1.2).abs() < 1e-9);
        assert_eq!(advice.fill_low.stone, Some(dollars(36)));
        assert_eq!(advice.fill_low.concrete, Some(dollars(160)));
        assert!((yards(advice.raise_all.compacted) - 0.625).abs() < 1e-9);
        assert_eq!(advice.raise_all.concrete, Some(dollars(100)));
        // The high strip is 1 in. short of 4 in. over 81 ft²: a quarter yard, and under the minimum.
        assert!((yards(advice.cut_high.compacted) - 0.25).abs() < 1e-9);
        assert_eq!((advice.cut_high.stone, advice.cut_high.concrete), (None, Some(dollars(40))));
        assert_eq!((advice.patches.thin.len(), advice.patches.deep.len()), (1, 1));
    }

    #[test]
    fn what_is_not_stated_stays_unknown() {
        let advice = told(&base(None, Some(30)), None);
        let unknown = |e: Exchange| e.loose.is_none() && e.stone.is_none() && e.concrete.is_none();
        assert!(unknown(advice.fill_low) && unknown(advice.raise_all) && unknown(advice.cut_high));
        let per_nothing = Price { amount: dollars(160), per: Volume::ZERO };
        assert_eq!(told(&base(Some(1.2), None), Some(per_nothing)).fill_low.concrete, None);
    }
}
