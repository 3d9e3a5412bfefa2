use basis::{Angle, Origin};

use super::*;

fn rod(feet: f64) -> RodReading {
    RodReading::Rod(Length::feet(feet))
}

fn sight(on: &str, reading: RodReading) -> Sight {
    Sight { on: on.into(), reading, place: Place::job() }
}

fn shot(name: &str, x: f64, y: f64, reading: RodReading) -> Shot {
    Shot { name: name.into(), at: P2::new(x, y), reading, on: ShotOn::Base, place: Place::job() }
}

fn setup(name: &str, backsight: Sight, shots: Vec<Shot>) -> Setup {
    Setup {
        name: name.into(),
        station: None,
        mark: None,
        backsight,
        closing: None,
        shots,
        errors: InstrumentErrors {
            backsight: Length::inches(1.0 / 16.0),
            tilt: Angle::arcseconds(10.0),
            rod: Length::inches(0.125),
            origin: Origin::Assumed,
        },
        place: Place::job(),
    }
}

fn survey(setups: Vec<Setup>) -> Survey {
    let datum = Benchmark { name: "BM-A".into(), elevation: Length::feet(100.0), at: None };
    Survey { benchmarks: vec![datum], setups, misclosure_limit: Length::inches(0.25) }
}

/// The worked run of a survey-school page (100.000 ft to 95.870 ft over three turning points).
#[test]
fn worked_levelling_run() {
    let tp = |name: &str, reading: f64| shot(name, 0.0, 0.0, rod(reading));
    let run = survey(vec![
        setup("1", sight("BM-A", rod(4.320)), vec![tp("TP1", 6.420)]),
        setup("2", sight("TP1", rod(5.180)), vec![tp("TP2", 4.850)]),
        setup("3", sight("TP2", rod(3.070)), vec![tp("TP3", 5.160)]),
        setup("4", sight("TP3", rod(2.940)), vec![tp("BM-B", 3.210)]),
    ]);
    let done = level(&run).value.unwrap();
    let heights: Vec<f64> = done.setups.iter().map(|s| s.instrument.in_feet()).collect();
    for (found, printed) in heights.iter().zip([104.320, 103.080, 101.300, 99.080]) {
        assert!((found - printed).abs() < 1e-9);
    }
    for (shot, printed) in done.shots.iter().zip([97.900, 98.230, 96.140, 95.870]) {
        assert!((Length::metres(shot.z).in_feet() - printed).abs() < 1e-9);
    }
    // ΣBS − ΣFS = last − first.
    assert!((15.510 - 19.640 - (95.870 - 100.0_f64)).abs() < 1e-9);
}

/// −0.05 over five intervals is −0.01 each, −0.04 at the fourth (survey-school page).
#[test]
fn misclosure_is_spread_evenly_over_the_intervals() {
    let at = |name: &str| shot(name, 0.0, 0.0, rod(5.0));
    let mut one = setup("1", sight("BM-A", rod(4.0)), vec![at("a"), at("b"), at("c"), at("d")]);
    one.closing = Some(sight("BM-A", rod(4.05)));
    let mut loose = survey(vec![one.clone()]);
    loose.misclosure_limit = Length::feet(0.1);
    let done = level(&loose).value.unwrap();
    assert!((done.setups[0].misclosure.unwrap().in_feet() + 0.05).abs() < 1e-9);
    for (i, shot) in done.shots.iter().enumerate() {
        let corrected = 99.0 + 0.01 * (i + 1) as f64;
        assert!((Length::metres(shot.z).in_feet() - corrected).abs() < 1e-9);
    }
    let tight = level(&survey(vec![one]));
    assert!(tight.value.is_none());
    assert_eq!(tight.notes[0].code, "misclosure-over-limit");
}

#[test]
fn beam_above_the_mark_is_a_low_point() {
    let mark = |inches: f64| RodReading::FromMark(Length::inches(inches));
    let one = setup("1", sight("BM-A", mark(0.0)), vec![shot("a", 0.0, 0.0, mark(0.5))]);
    let done = level(&survey(vec![one.clone()])).value.unwrap();
    assert!((Length::metres(done.shots[0].z).in_inches() - 1199.5).abs() < 1e-9);
    let RodReading::FromMark(back) = done.rod_reading(0, done.shots[0].z) else { panic!("read from a mark") };
    assert!((back.in_inches() - 0.5).abs() < 1e-9);
    let mut mixed = one;
    mixed.shots.push(shot("b", 1.0, 1.0, rod(5.0)));
    assert_eq!(level(&survey(vec![mixed.clone()])).notes[0].code, "mark-height-missing");
    mixed.mark = Some(Length::feet(5.0));
    let done = level(&survey(vec![mixed])).value.unwrap();
    assert!((Length::metres(done.shots[1].z).in_feet() - 100.0).abs() < 1e-9);
}

#[test]
fn faults_of_a_survey_are_all_told() {
    let mut bad = setup("1", sight("nowhere", rod(4.0)), vec![shot("a", f64::NAN, 0.0, rod(400.0))]);
    bad.shots.push(shot("b", 0.0, 0.0, rod(-1.0)));
    let codes: Vec<_> = level(&survey(vec![bad])).notes.iter().map(|n| n.code).collect();
    let expected =
        ["reading-out-of-range", "reading-out-of-range", "shot-out-of-range", "sight-on-unknown-point"];
    assert_eq!(codes, expected);
}

#[test]
fn repeated_spots_are_compared() {
    let shots = vec![
        shot("a", 1.0, 1.0, rod(5.0)),
        shot("b", 1.01, 1.0, rod(5.01)),
        shot("c", 9.0, 9.0, rod(5.0)),
        shot("d", 9.0, 9.0, rod(5.2)),
    ];
    let report = level(&survey(vec![setup("1", sight("BM-A", rod(4.0)), shots)]));
    let codes: Vec<_> = report.notes.iter().map(|n| n.code).collect();
    assert_eq!(codes, ["shots-disagree", "shots-repeat"]);
    assert!(report.notes[0].message.contains("c and d"));
}

/// The errors that a set-up on a turning point carries, written out by hand.
#[test]
fn chained_covariance_adds_up_by_hand() {
    let far = P2::new(12.0, 3.0);
    let run = survey(vec![
        setup(
            "1",
            sight("BM-A", rod(4.0)),
            vec![shot("TP", 8.0, 0.0, rod(5.0)), shot("p", -8.0, 0.0, rod(5.0))],
        ),
        setup("2", sight("TP", rod(4.0)), vec![shot("q", far.x, far.y, rod(5.0))]),
    ]);
    let mut run = run;
    for s in &mut run.setups {
        s.errors.tilt = Angle::arcseconds(40.0);
    }
    let done = level(&run).value.unwrap();
    let (b, t, r) = (
        Length::inches(1.0 / 16.0).in_metres(),
        Angle::arcseconds(40.0).in_radians(),
        Length::inches(0.125).in_metres(),
    );
    let p = P2::new(-8.0, 0.0);
    let same = b * b + t * t * (p.dot(P2::new(8.0, 0.0)));
    assert!((done.common_covariance((0, p), (1, far)) - same).abs() < 1e-15);
    let own = b * b;
    let at_turning_point = b * b + t * t * 64.0 + r * r;
    let var = done.common_covariance((1, far), (1, far));
    assert!((var - own - at_turning_point).abs() < 1e-15);
}

/// Common error of 1/16 in over 576 ft²: 0.1111 yd³ (derived in the references; A·σ_B).
#[test]
fn common_error_over_a_two_car_garage() {
    let done = level(&survey(vec![setup("1", sight("BM-A", rod(4.0)), vec![shot("a", 0.0, 0.0, rod(5.0))])]));
    let common = done.value.unwrap().common_covariance((0, P2::default()), (0, P2::default())).sqrt();
    let volume = basis::Area::square_feet(576.0) * Length::metres(common);
    assert!((volume.in_cubic_yards() - 0.1111).abs() < 5e-5);
}
