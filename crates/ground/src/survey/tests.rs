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
    // The mark is 5 ft up the stick: what is read from it does not hold that height a second time.
    let RodReading::FromMark(back) = done.rod_reading(0, done.shots[0].z) else { panic!("read from a mark") };
    assert!((back.in_inches() - 0.5).abs() < 1e-9);
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

/// Loop of a textbook problem, 30.5 km, closing 0.244 m low; the answers are computed in the references.
#[test]
fn misclosure_by_distance() {
    let run: Vec<RunPoint> = [
        (5.245, 783.213),
        (11.271, 891.764),
        (17.718, 843.195),
        (21.964, 739.708),
        (25.247, 702.956),
        (30.5, 728.486),
    ]
    .map(|(along, z)| RunPoint { along, elevation: Length::metres(z) })
    .to_vec();
    let done = adjust_run(&run, Length::metres(728.730)).unwrap();
    assert!((done.misclosure.in_metres() + 0.244).abs() < 1e-9);
    let answers = [783.25496, 891.854168, 843.336744, 739.883712, 703.157976, 728.730];
    for (found, answer) in done.corrected.iter().zip(answers) {
        assert!((found.in_metres() - answer).abs() < 1e-9);
    }
    assert_eq!(adjust_run(&[], Length::ZERO), None);
}

/// Two textbook problems: 120 m and 20 m from the end set-up; 0.630 true against 0.615 over 25 m.
#[test]
fn two_peg_problems() {
    let m = Length::metres;
    let found =
        two_peg(Peg { a: m(2.0), b: m(3.0) }, Peg { a: m(1.5), b: m(2.75) }, [m(120.0), m(20.0)]).unwrap();
    assert!((found.collimation + 0.0025).abs() < 1e-12);
    assert!((found.corrected.a.in_metres() - 1.80).abs() < 1e-9);
    assert!((found.corrected.b.in_metres() - 2.80).abs() < 1e-9);
    let short = two_peg(Peg { a: m(0.0), b: m(0.630) }, Peg { a: m(0.0), b: m(0.615) }, [m(25.0), m(0.0)]);
    assert!((short.unwrap().collimation * 100.0 - 0.060).abs() < 1e-9);
    assert_eq!(two_peg(Peg { a: m(1.0), b: m(1.0) }, Peg { a: m(1.0), b: m(1.0) }, [m(5.0), m(5.0)]), None);
}

/// Accuracy classes of lasers as angles (computed in the references).
#[test]
fn tilt_classes() {
    let seconds = |rise: Length, run: Length| {
        laser_error([rise * 2.0, Length::ZERO], run)
            .map(|t| Angle::radians(t) / Angle::arcseconds(1.0))
            .unwrap()
    };
    let (ft, m) = (Length::feet(100.0), Length::metres(30.0));
    for (rise, run, printed) in [
        (Length::inches(1.0 / 16.0), ft, 10.743),
        (Length::inches(3.0 / 32.0), ft, 16.11),
        (Length::inches(0.125), ft, 21.49),
        (Length::millimetres(1.5), m, 10.31),
        (Length::millimetres(2.0), m, 13.75),
    ] {
        assert!((seconds(rise, run) - printed).abs() < 6e-3);
    }
    assert_eq!(laser_error([ft, m], Length::ZERO), None);
}

#[test]
fn figures_that_are_no_instruments_are_told() {
    let mut bad = setup("1", sight("BM-A", rod(4.0)), vec![]);
    bad.errors.rod = Length::metres(f64::NAN);
    bad.station = Some(P2::new(1e300, 0.0));
    let mut all = survey(vec![bad]);
    all.benchmarks[0].elevation = Length::metres(f64::INFINITY);
    let codes: Vec<_> = level(&all).notes.iter().map(|n| n.code).collect();
    assert_eq!(codes, ["benchmark-out-of-range", "instrument-errors-out-of-range", "setup-out-of-range"]);
}

#[test]
fn a_name_that_two_points_bear_carries_no_level() {
    let twice = vec![shot("TP", 0.0, 0.0, rod(5.0)), shot("TP", 9.0, 0.0, rod(5.0))];
    let run =
        survey(vec![setup("1", sight("BM-A", rod(4.0)), twice), setup("2", sight("TP", rod(4.0)), vec![])]);
    assert_eq!(level(&run).notes[0].code, "sight-on-ambiguous-point");
    let mut doubled = survey(vec![]);
    doubled.benchmarks.push(doubled.benchmarks[0].clone());
    assert_eq!(level(&doubled).notes[0].code, "benchmark-name-repeated");
}

/// A hundred thousand shots, all on a few spots, are compared in bounded work.
#[test]
fn many_shots_on_one_spot() {
    let shots = (0..100_000).map(|i| shot(&i.to_string(), f64::from(i % 7), 0.0, rod(5.0))).collect();
    let done = level(&survey(vec![setup("1", sight("BM-A", rod(4.0)), shots)]));
    assert_eq!(done.value.unwrap().shots.len(), 100_000);
    assert_eq!(done.notes[0].code, "shots-repeat");
}

/// Simulates the errors of three set-ups in a chain and levels each: the spread found is the one stated.
#[test]
fn simulated_chain_has_the_stated_covariance() {
    use rand::{RngExt, SeedableRng, rngs::ChaCha12Rng};
    let mut rng = ChaCha12Rng::seed_from_u64(7);
    // Twelve uniforms less six: mean 0, variance 1, near enough to normal for second moments.
    let mut normal = || (0..12).map(|_| rng.random::<f64>()).sum::<f64>() - 6.0;
    let station = |i: usize| P2::new(10.0 * i as f64, 2.0);
    let spots = [
        ("TP1", 0, 6.0, 1.0),
        ("p", 0, -5.0, 4.0),
        ("TP2", 1, 14.0, -3.0),
        ("q", 1, 12.0, 9.0),
        ("r", 2, 30.0, 5.0),
    ];
    let (backsight, tilt, own) = (0.002, 3e-4, 0.001);
    let rounds = 20_000;
    let mut sums = [[0.0; 5]; 5];
    let mut stated = None;
    for _ in 0..rounds {
        let setups = (0..3).map(|i| {
            let (b, tx, ty) = (backsight * normal(), tilt * normal(), tilt * normal());
            let of_mine = spots.iter().filter(|s| s.1 == i);
            let shots = of_mine.map(|&(name, _, x, y)| {
                let arm = P2::new(x, y) - station(i);
                // All points lie at the benchmark's height, 2 m under a true laser.
                let reading = 2.0 + tx * arm.x + ty * arm.y + own * normal();
                shot(name, x, y, RodReading::Rod(Length::metres(reading)))
            });
            let on = ["BM-A", "TP1", "TP2"][i];
            let mut one = setup(on, sight(on, RodReading::Rod(Length::metres(2.0 + b))), shots.collect());
            one.station = Some(station(i));
            one.errors = InstrumentErrors {
                backsight: Length::metres(backsight),
                tilt: Angle::radians(tilt),
                rod: Length::metres(own),
                origin: Origin::Assumed,
            };
            one
        });
        let done = level(&survey(setups.collect())).value.unwrap();
        let off: Vec<f64> = done.shots.iter().map(|s| s.z - Length::feet(100.0).in_metres()).collect();
        for i in 0..5 {
            for j in 0..5 {
                sums[i][j] += off[i] * off[j] / f64::from(rounds);
            }
        }
        stated = Some(done);
    }
    let stated = stated.unwrap();
    // The spots that carry the chain share their own rod error with it, so they are left to the test by hand.
    let covariance = |i: usize, j: usize| {
        let (a, b) = (&stated.shots[i], &stated.shots[j]);
        let own = if i == j { stated.rod_variance(a.setup) } else { 0.0 };
        stated.common_covariance((a.setup, a.at), (b.setup, b.at)) + own
    };
    for i in [1, 3, 4] {
        for j in [1, 3, 4] {
            let spread = (covariance(i, i) * covariance(j, j) + covariance(i, j).powi(2)) / f64::from(rounds);
            assert!((sums[i][j] - covariance(i, j)).abs() < 4.0 * spread.sqrt(), "{i} {j}");
        }
    }
}
