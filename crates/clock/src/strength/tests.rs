use basis::{Pressure, TimeSpan};
use proptest::prelude::*;

use super::*;
use crate::fixture::{ENERGY, plain, steady};
use crate::mix::{Admixture, Cement};

fn model(mix: &Mix) -> StrengthModel {
    StrengthModel::of(mix, &SetModel::of(mix))
}

/// Hours of moist curing at 23 °C as the equivalent age at 21.1 °C that this crate counts in.
fn standard(days: f64) -> f64 {
    24.0 * days / STANDARD_CURING
}

/// ACI 209R-92 [@aci-209], moist-cured Type I and III (constants from memory): parts of the 28-day strength worked apart
/// from them to four digits.
#[test]
fn arithmetic_curve_worked_apart() {
    let type_one = model(&plain());
    for (days, part) in
        [(0.5, 0.1130), (1.0, 0.2062), (2.0, 0.3509), (3.0, 0.4580), (7.0, 0.7035), (28.0, 1.0072)]
    {
        let found = type_one.psi(standard(days), 1.0) / 3000.0;
        assert!((found - part).abs() < 6e-5, "{days} d: {found} against {part}");
    }
    let type_three = model(&Mix { cement: Cement::TypeIII, ..plain() });
    // Type III sets sooner; its curve is late by what its own set is late, which is nothing.
    for (days, part) in [(1.0, 0.3106), (3.0, 0.5929), (7.0, 0.8009)] {
        let found = type_three.psi(standard(days), 1.0) / 3000.0;
        assert!((found - part).abs() < 6e-5, "{days} d: {found} against {part}");
    }
}

/// NRMCA CIP 27 [@nrmca-cip-27]: concrete kept at 50 °F reaches 500 psi in about two days. A quarter either way is "about".
#[test]
fn literature_freeze_safe_in_two_days_at_fifty() {
    let when =
        model(&plain()).when(&steady(50.0, 96.0, ENERGY), Pressure::psi(FREEZE_SAFE_PSI), 1.0).unwrap();
    assert!((36.0..=60.0).contains(&when.in_hours()), "{} h", when.in_hours());
}

/// PCA [@kosmatka-wilson-2016, chapter on cold weather]: 500 psi within 24 h at normal temperature for w/c under 0.60.
#[test]
fn literature_freeze_safe_within_a_day_at_normal_temperature() {
    let when =
        model(&plain()).when(&steady(73.4, 96.0, ENERGY), Pressure::psi(FREEZE_SAFE_PSI), 1.0).unwrap();
    assert!(when.in_hours() < 24.0, "{} h", when.in_hours());
}

/// A trade article: Type III has 190 % of Type I's strength at one day and 150 % at three. ACI 209's constants say 151 and
/// 129 %: the disagreement stands in the page; that Type III is ahead and the lead shrinks holds in both.
#[test]
fn literature_type_three_is_ahead() {
    let ahead = |days: f64| {
        model(&Mix { cement: Cement::TypeIII, ..plain() }).psi(standard(days), 1.0)
            / model(&plain()).psi(standard(days), 1.0)
    };
    assert!((ahead(1.0) - 1.51).abs() < 0.01 && (ahead(3.0) - 1.29).abs() < 0.01);
    assert!(ahead(1.0) < 1.9 && ahead(1.0) > ahead(3.0) && ahead(3.0) > 1.0);
}

/// Common practice, no source: on foot after about a day, a car after about seven days, moist at 70 °F.
#[test]
fn foot_and_car_come_when_crews_expect_them() {
    let line = steady(70.0, 24.0 * 12.0, ENERGY);
    let found = crate::events(&line, &plain(), &crate::FinishSpec::of(crate::Finish::Broom), 1.0);
    let days = |milestone| found.time(crate::Event::At(milestone)).unwrap().in_days();
    assert!(
        (0.6..=1.2).contains(&days(crate::Milestone::FootTraffic)),
        "{}",
        days(crate::Milestone::FootTraffic)
    );
    assert!((6.0..=9.0).contains(&days(crate::Milestone::Vehicles)), "{}", days(crate::Milestone::Vehicles));
}

/// Oluokun and others 1991 [@oluokun-1991] (coefficient from memory), worked apart from the code.
#[test]
fn arithmetic_early_tension_worked_apart() {
    for (psi, tension) in [(500.0, 79.2), (1000.0, 136.9), (3000.0, 326.1), (4000.0, 409.3)] {
        assert!((early_tension(Pressure::psi(psi)).in_psi() - tension).abs() < 0.06, "{psi}");
    }
    assert_eq!(early_tension(Pressure::ZERO), Pressure::ZERO);
}

#[test]
fn nothing_before_final_set_and_the_weakest_depth_counts() {
    let plain_model = model(&plain());
    let set = SetModel::of(&plain());
    assert_eq!(plain_model.strength(TimeSpan::hours(set.last - 0.01), 1.0), Pressure::ZERO);
    assert!(plain_model.strength(TimeSpan::hours(set.last), 1.0) > Pressure::ZERO);
    let mut cold_bottom = steady(70.0, 96.0, ENERGY);
    let whole = plain_model.when(&cold_bottom, Pressure::psi(500.0), 1.0).unwrap();
    for state in &mut cold_bottom.states {
        state.age_bottom *= 0.5;
    }
    let weak = plain_model.when(&cold_bottom, Pressure::psi(500.0), 1.0).unwrap();
    assert!(weak.in_hours() > 1.8 * whole.in_hours());
}

#[test]
fn retarded_concrete_is_late_by_its_retardation() {
    let retarded = Mix { admixtures: vec![Admixture::Retarder(TimeSpan::hours(3.0))], ..plain() };
    let line = steady(70.0, 96.0, ENERGY);
    let when = |mix: &Mix| model(mix).when(&line, Pressure::psi(1000.0), 1.0).unwrap().in_hours();
    // At 70 °F an hour on the clock is an hour of equivalent age, to the reference's 0.01 K.
    assert!((when(&retarded) - when(&plain()) - 3.0).abs() < 0.01);
}

proptest! {
    #[test]
    fn strength_and_age_are_inverse(psi in 250.0..3000.0_f64, factor in 0.7..1.5_f64) {
        let model = model(&plain());
        let age = model.age_at(psi, factor);
        let back = model.psi(age, factor);
        prop_assert!(back >= psi * (1.0 - 1e-9));
        // Equality but where final set alone holds it back.
        let at_set = age <= factor * model.last_set * (1.0 + 1e-12);
        prop_assert!(at_set || (back / psi - 1.0).abs() < 1e-9);
    }

    #[test]
    fn strength_never_falls(age in 0.0..700.0_f64, more in 0.0..50.0_f64, factor in 0.7..1.5_f64) {
        let model = model(&plain());
        prop_assert!(model.psi(age + more, factor) >= model.psi(age, factor));
        prop_assert!(model.psi(age, factor) <= 3000.0 / model.b);
    }
}
