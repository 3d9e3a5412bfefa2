//! Temperature of fresh concrete from its ingredients: a balance of their heat.

use basis::{Mass, Note, Place, Temperature, UnitSystem};

/// Heat of dry cement and aggregate against water's, for the same mass and warming.
pub const DRY_HEAT: f64 = 0.22;

/// Heat that melts ice, as so many kelvins of water: 80 K, published as 144 °F [@tm-5-852-4].
///
/// A laboratory's method has 143.5 Btu/lb [@crd-c-307]: 0.3 % less.
pub const MELTING: f64 = 80.0;

/// Ice as a share of all mixing water above which the balance is told to stray [@jabbar-2017].
const MUCH_ICE: f64 = 0.5;

/// Ingredients of a batch, any amount of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Batch {
    /// Cement and other powders.
    pub cement: Portion,
    /// Aggregate, by its dry mass.
    pub aggregate: Portion,
    /// Free water on the aggregate, at the aggregate's temperature.
    pub free_water: Mass,
    /// Mixing water that is added as water.
    pub water: Portion,
    /// Ice that is added as part of the mixing water, at its melting point.
    pub ice: Mass,
}

/// A mass at a temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Portion {
    /// How much.
    pub mass: Mass,
    /// How warm.
    pub temperature: Temperature,
}

/// What a batch holds: heat over melted ice at 0 °C, and what one kelvin more takes, both in kg of water by kelvin.
fn heat_and_capacity(batch: &Batch) -> (f64, f64) {
    let parts = [
        (DRY_HEAT, batch.cement),
        (DRY_HEAT, batch.aggregate),
        (1.0, Portion { mass: batch.free_water, temperature: batch.aggregate.temperature }),
        (1.0, batch.water),
    ];
    let capacity: f64 = parts.iter().map(|(share, part)| share * part.mass.in_kilograms()).sum();
    let heat: f64 = parts
        .iter()
        .map(|(share, part)| share * part.mass.in_kilograms() * part.temperature.in_celsius())
        .sum();
    let ice = batch.ice.in_kilograms();
    (heat - MELTING * ice, capacity + ice)
}

/// Temperature of fresh concrete as mixed, or none for a batch that holds nothing.
///
/// `T = [0.22 (Ta Wa + Tc Wc) + Tw Ww + Ta Wwa - 80 Wi] / [0.22 (Wa + Wc) + Ww + Wwa + Wi]`, °C. The mixer, the drum and
/// the sun on the way are left out; the balance is reliable to about a fifth of the water as ice [@jabbar-2017].
///
/// ```
/// use basis::{Mass, Temperature};
/// use clock::mix_temperature::{Batch, Portion, fresh_temperature};
/// let part = |pounds, f| Portion { mass: Mass::pounds(pounds), temperature: Temperature::fahrenheit(f) };
/// // A trade journal's example: 470 lb of cement at 150 °F, 3,300 lb of aggregate and 260 lb of water at 70 °F: 77.6 °F.
/// let batch = Batch {
///     cement: part(470.0, 150.0),
///     aggregate: part(3300.0, 70.0),
///     free_water: Mass::ZERO,
///     water: part(260.0, 70.0),
///     ice: Mass::ZERO,
/// };
/// let fresh = fresh_temperature(&batch).expect("a batch");
/// assert!((fresh.in_fahrenheit() - 77.6).abs() < 0.05);
/// ```
#[must_use]
pub fn fresh_temperature(batch: &Batch) -> Option<Temperature> {
    let (heat, capacity) = heat_and_capacity(batch);
    (capacity > 0.0 && heat.is_finite()).then(|| Temperature::celsius(heat / capacity))
}

/// Temperature that the mixing water needs for a wanted one of the concrete, ice left as it is.
///
/// None without mixing water, or where the answer lies outside 0 to 100 °C: then water alone cannot do it.
#[must_use]
pub fn water_temperature_for(batch: &Batch, wanted: Temperature) -> Option<Temperature> {
    let water = batch.water.mass.in_kilograms();
    let (heat, capacity) = heat_and_capacity(batch);
    let lacking = wanted.in_celsius() * capacity - heat;
    let celsius = batch.water.temperature.in_celsius() + lacking / water;
    (water > 0.0 && (0.0..=100.0).contains(&celsius)).then(|| Temperature::celsius(celsius))
}

/// Ice that takes the place of mixing water, so that the concrete is as cool as wanted.
///
/// None where it is already cooler, or where all the mixing water as ice would not do.
#[must_use]
pub fn ice_for(batch: &Batch, wanted: Temperature) -> Option<Mass> {
    let (heat, capacity) = heat_and_capacity(batch);
    let target = wanted.in_celsius();
    let surplus = heat - target * capacity;
    // A kilogram of water that comes as ice takes its own warmth and the heat of melting out of the batch.
    let each = batch.water.temperature.in_celsius() + MELTING;
    let ice = Mass::kilograms(surplus / each);
    (surplus >= 0.0 && each > 0.0 && ice <= batch.water.mass).then_some(ice)
}

/// Faults and warnings of a batch: masses that are none, frozen aggregate, water too hot, much ice.
#[must_use]
pub fn check(batch: &Batch, place: &Place, units: UnitSystem) -> Vec<Note> {
    let shown = |t: Temperature| basis::quantity::temperature(t, units);
    let mut notes = Vec::new();
    let masses = [
        ("cement", batch.cement.mass),
        ("aggregate", batch.aggregate.mass),
        ("free_water", batch.free_water),
        ("water", batch.water.mass),
        ("ice", batch.ice),
    ];
    for (key, mass) in masses {
        if !(mass.in_kilograms() >= 0.0 && mass.is_finite()) {
            notes.push(Note::fault(
                "batch-impossible",
                place.key(key),
                "a mass is negative or no number",
                "state 0 or more",
            ));
        }
    }
    for (key, part, hottest) in
        [("cement", batch.cement, 120.0), ("aggregate", batch.aggregate, 90.0), ("water", batch.water, 100.0)]
    {
        if part.mass > Mass::ZERO && !(-30.0..=hottest).contains(&part.temperature.in_celsius()) {
            let message = format!("{key} at {}", shown(part.temperature));
            notes.push(Note::fault("batch-impossible", place.key(key), message, "check number and unit"));
        }
    }
    if batch.aggregate.mass > Mass::ZERO && batch.aggregate.temperature.in_celsius() < 0.0 {
        let hint = "aggregate must be thawed: the heat of melting it is not in the balance, and lumps stay in the concrete";
        notes.push(Note::warning(
            "aggregate-frozen",
            place.key("aggregate"),
            "the aggregate is below freezing",
            hint,
        ));
    }
    if batch.water.mass > Mass::ZERO && batch.water.temperature > Temperature::fahrenheit(140.0) {
        let message = format!("water at {} can set cement off at once", shown(batch.water.temperature));
        let hint = "mix water over 140 degF (60 degC) with the coarse aggregate before the cement goes in";
        notes.push(Note::warning("water-hot", place.key("water"), message, hint));
    }
    let all = batch.water.mass + batch.ice;
    if batch.ice > all * MUCH_ICE {
        let message = "more than half of the mixing water is ice; the balance strays there";
        notes.push(Note::warning(
            "much-ice",
            place.key("ice"),
            message,
            "measure the concrete's temperature at the truck",
        ));
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn us(cement: (f64, f64), aggregate: (f64, f64), free: f64, water: (f64, f64), ice: f64) -> Batch {
        let part = |(pounds, f): (f64, f64)| Portion {
            mass: Mass::pounds(pounds),
            temperature: Temperature::fahrenheit(f),
        };
        Batch {
            cement: part(cement),
            aggregate: part(aggregate),
            free_water: Mass::pounds(free),
            water: part(water),
            ice: Mass::pounds(ice),
        }
    }

    fn fahrenheit(batch: &Batch) -> f64 {
        fresh_temperature(batch).expect("a batch").in_fahrenheit()
    }

    /// Concrete Construction, "If you get it when it's hot", printed to 0.1 °F.
    #[test]
    fn the_journals_example() {
        assert!(
            (fahrenheit(&us((470.0, 150.0), (3300.0, 70.0), 0.0, (260.0, 70.0), 0.0)) - 77.6).abs() < 0.05
        );
    }

    /// Computed apart from this code by the same balance, in Fahrenheit with ice as -112 per pound.
    #[test]
    fn the_balance_by_hand_in_fahrenheit() {
        for (batch, apart) in [
            (us((564.0, 60.0), (3000.0, 40.0), 80.0, (200.0, 140.0), 0.0), 61.128),
            (us((564.0, 150.0), (3100.0, 85.0), 0.0, (275.0, 75.0), 0.0), 89.917),
            (us((564.0, 150.0), (3100.0, 85.0), 0.0, (200.0, 75.0), 75.0), 76.943),
        ] {
            assert!((fahrenheit(&batch) - apart).abs() < 1e-3, "{}", fahrenheit(&batch));
        }
    }

    /// The same in SI, ice at 0 °C.
    #[test]
    fn the_balance_by_hand_in_celsius() {
        let part =
            |kg: f64, c: f64| Portion { mass: Mass::kilograms(kg), temperature: Temperature::celsius(c) };
        let batch = Batch {
            cement: part(335.0, 65.0),
            aggregate: part(1840.0, 30.0),
            free_water: Mass::kilograms(40.0),
            water: part(105.0, 25.0),
            ice: Mass::ZERO,
        };
        let celsius = |batch: &Batch| fresh_temperature(batch).expect("a batch").in_celsius();
        assert!((celsius(&batch) - 33.295).abs() < 1e-3);
        let iced = Batch { water: part(60.0, 25.0), ice: Mass::kilograms(45.0), ..batch };
        assert!((celsius(&iced) - 25.717).abs() < 1e-3);
    }

    /// The rule that concrete cools by 1 °F for about 2 °F of cooler aggregate (told; here 1.9 for a common mix).
    #[test]
    fn cooler_aggregate_cools_by_half() {
        let warm = fahrenheit(&us((564.0, 80.0), (3100.0, 80.0), 0.0, (275.0, 80.0), 0.0));
        let cool = fahrenheit(&us((564.0, 80.0), (3100.0, 70.0), 0.0, (275.0, 80.0), 0.0));
        assert!((1.5..2.2).contains(&(10.0 / (warm - cool))), "{}", warm - cool);
    }

    #[test]
    fn ice_and_warm_water_that_reach_a_wanted_temperature() {
        let batch = us((564.0, 150.0), (3100.0, 85.0), 0.0, (275.0, 75.0), 0.0);
        let ice = ice_for(&batch, Temperature::fahrenheit(80.0)).expect("within the water");
        let iced = Batch { ice, water: Portion { mass: batch.water.mass - ice, ..batch.water }, ..batch };
        assert!((fahrenheit(&iced) - 80.0).abs() < 1e-9);
        assert_eq!(ice_for(&batch, Temperature::fahrenheit(95.0)), None, "it is cooler already");
        assert_eq!(ice_for(&batch, Temperature::fahrenheit(20.0)), None, "not with all the water as ice");

        let cold = us((564.0, 40.0), (3100.0, 40.0), 30.0, (245.0, 40.0), 0.0);
        let hot = water_temperature_for(&cold, Temperature::fahrenheit(55.0)).expect("below boiling");
        let warmed = Batch { water: Portion { temperature: hot, ..cold.water }, ..cold };
        assert!((fahrenheit(&warmed) - 55.0).abs() < 1e-9);
        assert_eq!(water_temperature_for(&cold, Temperature::fahrenheit(120.0)), None);
    }

    #[test]
    fn batches_that_cannot_be_or_need_care_are_told() {
        let good = us((564.0, 60.0), (3000.0, 40.0), 80.0, (200.0, 130.0), 0.0);
        let codes = |batch: &Batch| {
            check(batch, &Place::at("batch"), UnitSystem::Us).iter().map(|n| n.code).collect::<Vec<_>>()
        };
        assert!(codes(&good).is_empty());
        assert_eq!(codes(&Batch { ice: Mass::pounds(-1.0), ..good }), ["batch-impossible"]);
        assert_eq!(
            codes(&us((564.0, 60.0), (3000.0, 20.0), 0.0, (200.0, 160.0), 0.0)),
            ["aggregate-frozen", "water-hot"]
        );
        assert_eq!(codes(&us((564.0, 60.0), (3000.0, 400.0), 0.0, (200.0, 60.0), 0.0)), ["batch-impossible"]);
        assert_eq!(codes(&us((564.0, 60.0), (3000.0, 80.0), 0.0, (100.0, 60.0), 150.0)), ["much-ice"]);
        assert_eq!(fresh_temperature(&us((0.0, 60.0), (0.0, 80.0), 0.0, (0.0, 60.0), 0.0)), None);
    }

    proptest! {
        #[test]
        fn without_ice_the_mix_lies_between_its_ingredients(
            cement in 0.0..150.0_f64, aggregate in 32.0..110.0_f64, water in 33.0..160.0_f64, pounds in 100.0..400.0_f64,
        ) {
            let batch = us((564.0, cement), (3000.0, aggregate), 50.0, (pounds, water), 0.0);
            let fresh = fahrenheit(&batch);
            let low = cement.min(aggregate).min(water);
            let high = cement.max(aggregate).max(water);
            prop_assert!(low - 1e-9 <= fresh && fresh <= high + 1e-9);
        }
    }
}
