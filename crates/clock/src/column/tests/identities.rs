//! Laws that hold for every column.

use basis::math;
use proptest::prelude::*;

use super::*;
use crate::surface::Cover;

/// Any weather of 14 hours.
fn weather() -> impl Strategy<Value = Vec<Exposure>> {
    let instant =
        (-10.0..38.0_f64, 0.2..1.0_f64, 0.0..9.0_f64, 0.0..1000.0_f64, 200.0..430.0_f64, 0.0..3.0_f64);
    prop::collection::vec(instant, 15).prop_map(|rows| {
        rows.into_iter()
            .map(|(air, humidity, wind, sun, sky, rain)| Exposure {
                air: Temperature::celsius(air),
                vapour: Pressure::pascals(humidity * 610.94 * math::exp(17.625 * air / (air + 243.04))),
                wind: Speed::metres_per_second(wind),
                sun,
                sky,
                rain: (rain - 2.5).max(0.0),
            })
            .collect()
    })
}

fn cover() -> impl Strategy<Value = Cover> {
    prop_oneof![
        Just(Cover::Bare),
        Just(Cover::CuringCompound),
        Just(Cover::ClearSheet),
        Just(Cover::WhiteSheet),
        (0.0..2.0_f64).prop_map(Cover::Blanket),
    ]
}

/// Any slab: thickness, placing temperature, ground, cement, age, minute of placing, cover and its hour.
#[derive(Debug, Clone)]
struct Case {
    weather: Vec<Exposure>,
    thickness: f64,
    placed_at: f64,
    ground: f64,
    cement: f64,
    minute: f64,
    covers: Vec<Covering>,
}

fn case() -> impl Strategy<Value = Case> {
    (
        weather(),
        0.07..0.3_f64,
        8.0..34.0_f64,
        -5.0..30.0_f64,
        250.0..450.0_f64,
        0.0..60.0_f64,
        cover(),
        0.0..10.0_f64,
    )
        .prop_map(|(weather, thickness, placed_at, ground, cement, minute, cover, from)| Case {
            weather,
            thickness,
            placed_at,
            ground,
            cement,
            minute,
            covers: vec![Covering { from: TimeSpan::hours(from), cover }],
        })
}

fn column(case: &Case) -> Column<'_> {
    let mut column = garage(&case.weather);
    column.slab.thickness = Length::metres(case.thickness);
    column.slab.temperature = Temperature::celsius(case.placed_at);
    column.ground.top = Temperature::celsius(case.ground);
    column.hydration.cementitious = case.cement;
    column.weather.placed = TimeSpan::minutes(case.minute);
    column.covers = &case.covers;
    column.span = TimeSpan::hours(12.0);
    column
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn heat_and_water_close_at_every_step(case in case()) {
        let out = outcome(&column(&case));
        let books = out.books;
        // A step moves some 1e5 J/m² through sums of 25 nodes of 1e7 J/m² each: rounding of 1e-15 × 1e9.
        prop_assert!(books.worst_step < 1e-4, "{books:?}");
        let open = books.stored - books.top - books.foot - books.hydration;
        prop_assert!(open.abs() < 1e-2, "{books:?}");
        let water = books.water;
        let open = water.first + water.bled + water.rained - water.evaporated - water.ran_off - water.left;
        prop_assert!(open.abs() < 1e-9, "{water:?}");
        prop_assert!(water.left > -0.02, "{water:?}");
        prop_assert!(water.bled <= 0.35 + 1e-9);
    }

    #[test]
    fn hydration_books_what_the_ages_tell(case in case()) {
        let column = column(&case);
        let out = outcome(&column);
        let end = out.history.states.last().unwrap();
        let degrees = [end.age_surface, end.age_middle, end.age_bottom].map(|age| column.hydration.released(age));
        let (low, high) = (degrees.iter().copied().fold(f64::MAX, f64::min), degrees.iter().copied().fold(0.0, f64::max));
        let start = column.hydration.released(0.001 + 0.75 * crate::maturity::Activation::Constant(column.hydration.energy)
            .speed(column.slab.temperature, Temperature::kelvins(crate::hydration::REFERENCE)));
        let per_volume = out.books.hydration / case.thickness;
        // Between the least and the most aged node; a node between the three may lie a little beyond them.
        prop_assert!(per_volume > 0.95 * low - start && per_volume < 1.05 * high, "{per_volume} {low} {high}");
    }

    #[test]
    fn alone_and_in_a_batch_give_the_same_bits(cases in prop::collection::vec(case(), 11)) {
        let columns: Vec<Column<'_>> = cases.iter().map(column).collect();
        let together = run_batch(&columns).value.unwrap();
        for (column, batched) in columns.iter().zip(&together) {
            let alone = outcome(column);
            prop_assert_eq!(&alone.books, &batched.books);
            prop_assert_eq!(alone.history.states.len(), batched.history.states.len());
            for (a, b) in alone.history.states.iter().zip(&batched.history.states) {
                prop_assert_eq!(a.surface.to_bits(), b.surface.to_bits());
                prop_assert_eq!(a.age_bottom.to_bits(), b.age_bottom.to_bits());
                prop_assert_eq!(a.water.to_bits(), b.water.to_bits());
            }
        }
    }

    #[test]
    fn more_cement_never_hydrates_later(case in case(), more in 1.0..100.0_f64) {
        // Covered from the start: where water evaporates, a warmer slab may lose it sooner, which is no matter of the cement.
        let covers = [Covering { from: TimeSpan::ZERO, cover: Cover::CuringCompound }];
        let lean = outcome(&Column { covers: &covers, ..column(&case) });
        let rich = Case { cement: case.cement + more, ..case.clone() };
        let rich = outcome(&Column { covers: &covers, ..column(&rich) });
        for (lean, rich) in lean.history.states.iter().zip(&rich.history.states) {
            prop_assert!(rich.age_surface >= lean.age_surface);
            prop_assert!(rich.age_middle >= lean.age_middle);
            prop_assert!(rich.age_bottom >= lean.age_bottom);
        }
    }

    #[test]
    fn warmer_never_hydrates_later(case in case(), more in 0.5..8.0_f64) {
        // Warmer concrete, ground and air, covered from the start as above.
        let covers = [Covering { from: TimeSpan::ZERO, cover: Cover::CuringCompound }];
        let warm = Case {
            placed_at: case.placed_at + more,
            ground: case.ground + more,
            weather: case.weather.iter().map(|e| Exposure { air: Temperature::celsius(e.air.in_celsius() + more), ..*e }).collect(),
            ..case.clone()
        };
        let cool = outcome(&Column { covers: &covers, ..column(&case) });
        let warmed = outcome(&Column { covers: &covers, ..column(&warm) });
        for (cool, warm) in cool.history.states.iter().zip(&warmed.history.states) {
            prop_assert!(warm.age_surface >= cool.age_surface);
            prop_assert!(warm.age_middle >= cool.age_middle);
            prop_assert!(warm.age_bottom >= cool.age_bottom);
        }
    }

    #[test]
    fn ages_and_states_stay_within_reason(case in case()) {
        let out = outcome(&column(&case));
        let mut before = 0.0;
        for state in &out.history.states {
            prop_assert!(state.age_middle >= before && state.water >= 0.0 && state.bleeding >= 0.0);
            prop_assert!(state.surface > -40.0 && state.surface < 100.0, "{state:?}");
            prop_assert!(state.evaporation <= state.demand.max(0.0) + state.bleeding + 3.0, "{state:?}");
            before = state.age_middle;
        }
    }
}

/// Nothing warmer or colder anywhere, nothing reacting: all stays as it is.
#[test]
fn no_heat_comes_from_nothing() {
    let sky = crate::surface::STEFAN_BOLTZMANN * 291.15_f64.powi(4);
    let even = Exposure {
        air: Temperature::celsius(18.0),
        vapour: Pressure::pascals(500.0),
        wind: Speed::metres_per_second(3.0),
        sun: 0.0,
        sky,
        rain: 0.0,
    };
    let weather = [even; 60];
    let mut column = garage(&weather);
    column.slab.temperature = Temperature::celsius(18.0);
    column.ground = Ground { top: Temperature::celsius(18.0), deep: Temperature::celsius(18.0) };
    column.hydration.heat = 0.0;
    column.bleeding.most = 0.0;
    for covers in [
        vec![Covering { from: TimeSpan::ZERO, cover: Cover::ClearSheet }],
        vec![Covering { from: TimeSpan::ZERO, cover: Cover::Blanket(0.5) }],
    ] {
        let out = outcome(&Column { covers: &covers, ..column });
        for state in out.history.states {
            for t in [state.surface, state.middle, state.bottom, state.mean] {
                assert!((t - 18.0).abs() < 1e-9, "{t}");
            }
        }
        assert!(out.books.top.abs() < 1e-3 && out.books.foot.abs() < 1e-3);
    }
}

/// A plate heated alike from both sides is the half of it on insulation: same middle, same faces.
#[test]
fn symmetric_inputs_give_symmetric_results() {
    let march = March { step: 300.0, stride: 6, kept: 24 };
    let whole = mesh(0.2, CONCRETE, &[], 0.0125, Foot::Closed);
    let mut both = conduction(whole, 30.0, 10.0, 25.0, 0.0, march);
    // The other face: a link to a ground at the air's temperature that conducts as the wind does.
    *both.mesh.link.last_mut().unwrap() = 25.0;
    both.foot = 10.0;
    let half = conduction(mesh(0.1, CONCRETE, &[], 0.0125, Foot::Closed), 30.0, 10.0, 25.0, 0.0, march);
    for (both, half) in states(&both).iter().zip(&states(&half)) {
        assert!((both.surface - both.bottom).abs() < 1e-9, "{both:?}");
        assert!((both.surface - half.surface).abs() < 1e-9, "{both:?} {half:?}");
        assert!((both.middle - half.bottom).abs() < 1e-9, "{both:?} {half:?}");
    }
}

#[test]
fn a_blanket_keeps_warm_and_a_sheet_keeps_water() {
    let cold: Vec<Exposure> = days()
        .iter()
        .map(|e| Exposure {
            air: Temperature::celsius(2.0),
            sun: 0.0,
            sky: 230.0,
            vapour: Pressure::pascals(500.0),
            ..*e
        })
        .collect();
    let run = |cover| {
        let covers = [Covering { from: TimeSpan::ZERO, cover }];
        outcome(&Column { covers: &covers, ..garage(&cold) })
    };
    let (bare, sheet, blanket) = (run(Cover::Bare), run(Cover::ClearSheet), run(Cover::Blanket(0.5)));
    let at_night = |o: &Outcome| o.history.states[120].mean;
    assert!(at_night(&blanket) > at_night(&sheet) + 2.0);
    assert!(at_night(&sheet) > at_night(&bare));
    assert!(sheet.books.water.evaporated == 0.0 && sheet.books.water.left > 0.2);
    assert!(bare.books.water.evaporated > 0.1);
}

#[test]
fn impossible_columns_are_refused_with_all_their_faults() {
    let weather = days();
    let mut column = garage(&weather);
    column.slab.thickness = Length::metres(f64::NAN);
    column.span = TimeSpan::hours(-1.0);
    column.layers = &[];
    let places: Vec<String> = column.run().notes.iter().map(|note| note.place.path().to_owned()).collect();
    assert_eq!(places, ["column.slab.thickness", "column.span", "column.layers"]);

    let late = Column {
        weather: Weather { placed: TimeSpan::hours(14.0), ..garage(&weather).weather },
        ..garage(&weather)
    };
    let notes = late.run().notes;
    assert_eq!(notes[0].code, "weather-too-short");
    assert!(
        notes[0].message.contains("60.0 h") && notes[0].message.contains("62.0 h"),
        "{}",
        notes[0].message
    );

    let mut odd = days();
    odd[20].wind = Speed::metres_per_second(-3.0);
    odd[30].sun = 3600.0;
    let notes = run_batch(&[garage(&weather), garage(&odd)]).notes;
    assert_eq!(notes[0].place.path(), "column[1].weather.exposures[20]");
    assert!(notes[0].message.contains("2 instants"), "{}", notes[0].message);

    let mut frozen = garage(&weather);
    frozen.ground.top = Temperature::celsius(-4.0);
    let report = frozen.run();
    assert_eq!(report.notes[0].code, "base-frozen");
    assert!(report.value.is_some());
}
