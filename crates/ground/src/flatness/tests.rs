use basis::math::sin;
use basis::{Area, Length, Place};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

use super::*;
use crate::P2;

const INCH: f64 = 0.0254;
const TAU: f64 = std::f64::consts::TAU;

/// Heights of a concrete test pad, mm, read every 300 mm [@slac-e1155m].
const PAD: [&[f64]; 5] = [
    &[
        418.617, 419.938, 421.894, 423.748, 425.221, 424.739, 423.799, 424.307, 425.425, 424.688, 423.164,
        422.758, 420.472, 416.738,
    ],
    &[
        418.592, 421.081, 422.072, 421.513, 420.040, 421.132, 420.675, 421.640, 421.894, 421.538, 421.183,
        421.894, 419.684, 420.040, 417.982,
    ],
    &[
        418.338, 419.659, 419.227, 419.227, 418.668, 418.186, 418.973, 419.379, 420.141, 419.532, 418.643,
        418.719, 416.763, 414.782,
    ],
    &[
        418.617, 418.973, 419.100, 420.878, 419.989, 419.227, 419.684, 420.751, 420.065, 421.259, 421.386,
        418.846, 419.887, 418.363,
    ],
    &[
        418.846, 418.135, 418.998, 419.405, 420.294, 420.370, 421.640, 421.259, 422.910, 423.926, 424.053,
        423.164, 422.732, 422.834, 421.513,
    ],
];

/// The curvatures that the same sheet prints, mm.
const PRINTED: [&[f64]; 5] = [
    &[0.635, -0.102, -0.381, -1.956, -0.457, 1.448, 0.610, -1.854, -0.787, 1.118, -1.880, -1.448],
    &[-1.499, -1.549, -0.914, 2.565, -1.549, 1.422, -0.711, -0.610, 0.0, 1.067, -2.921, 2.565, -2.413],
    &[-1.753, 0.432, -0.559, 0.076, 1.270, -0.381, 0.356, -1.372, -0.279, 0.965, -2.032, -0.025],
    &[-0.229, 1.651, -2.667, 0.127, 1.219, 0.610, -1.753, 1.880, -1.067, -2.667, 3.581, -2.565],
    &[1.575, -0.457, 0.483, -0.813, 1.194, -1.651, 2.032, -0.635, -0.889, -1.016, 0.457, 0.533, -1.422],
];

/// The sixth line, of which only the curvatures are printed, mm.
const SIXTH: [f64; 11] = [0.635, -0.711, 0.584, -0.737, -0.279, 0.686, -1.829, 1.016, 0.610, -2.743, 0.610];

fn kept(name: &str, spacing: Spacing, elevations: Vec<f64>) -> Kept {
    Kept {
        name: name.to_owned(),
        readings: 0..elevations.len(),
        from: P2::default(),
        toward: P2::new(1.0, 0.0),
        spacing,
        elevations,
        place: Place::job(),
    }
}

fn pad() -> Vec<Kept> {
    let line = |(i, heights): (usize, &&[f64])| {
        kept(&i.to_string(), Spacing::Metric, heights.iter().map(|mm| mm * 1e-3).collect())
    };
    PAD.iter().enumerate().map(line).collect()
}

/// All 62 curvatures of five lines as printed to a thousandth of a mm; the sheet's heights carry digits that it does not print, so
/// the last digit may differ by one.
#[test]
fn literature_curvatures_of_the_test_pad() {
    let mut compared = 0;
    for (run, printed) in pad().iter().zip(PRINTED) {
        let found = curvatures(&run.elevations);
        assert_eq!(found.len(), printed.len());
        for (q, printed) in found.iter().zip(printed) {
            assert!((q * 1e3 - printed).abs() < 0.0021, "{} against {printed}", q * 1e3);
            compared += 1;
        }
    }
    assert_eq!(compared, 62);
}

/// Figures of the same lines, computed independently with numpy from the printed heights and curvatures: the sheet's own results were
/// not at hand. The lines pooled into one sample would give 25.951: that is not the procedure.
#[test]
fn numbers_of_the_test_pad() {
    let found = section(&pad(), Area::square_metres(20.53), Length::ZERO).value.unwrap();
    let rows = [
        (-0.4212, 1.2012, 28.841, -0.2663, 5.1480, 20.210),
        (-0.3498, 1.7760, 20.444, -0.5030, 2.1341, 45.980),
        (-0.2752, 1.0256, 34.630, -1.8860, 2.0476, 39.545),
        (-0.1567, 2.0390, 18.502, 0.2285, 2.1924, 46.653),
        (-0.0469, 1.1753, 32.490, 3.7236, 1.6019, 37.224),
    ];
    for (line, (q, sq, flat, z, sz, level)) in found.lines.iter().zip(rows) {
        let mm = |s: Sample| (s.mean * 1e3, s.sd * 1e3);
        assert!((mm(line.curvature).0 - q).abs() < 1e-4 && (mm(line.curvature).1 - sq).abs() < 1e-4);
        assert!((mm(line.difference).0 - z).abs() < 1e-4 && (mm(line.difference).1 - sz).abs() < 1e-4);
        assert!((line.flatness - flat).abs() < 1e-3 && (line.levelness - level).abs() < 1e-3);
    }
    assert!((found.flatness.number - 24.546).abs() < 1e-3, "{}", found.flatness.number);
    assert!((found.levelness.number - 33.032).abs() < 1e-3, "{}", found.levelness.number);
    let sixth: Vec<f64> = SIXTH.iter().map(|mm| mm * 1e-3).collect();
    let sixth = sample(&sixth).unwrap().number(FLATNESS);
    assert!((sixth - 30.414).abs() < 2e-3);
    let lines = found.lines.iter().map(|l| (l.flatness, l.curvature.count as f64));
    let six = combined(lines.chain([(sixth, 11.0)])).unwrap();
    assert!((six - 25.217).abs() < 2e-3, "{six}");
}

fn numbers(inches: &[f64]) -> (f64, f64) {
    let h: Vec<f64> = inches.iter().map(|h| h * INCH).collect();
    (
        sample(&curvatures(&h)).unwrap().number(FLATNESS),
        sample(&ten_space_differences(&h)).unwrap().number(LEVELNESS),
    )
}

fn close((flat, level): (f64, f64), (f, l): (f64, f64)) {
    assert!((flat - f).abs() < 1e-5 && (level - l).abs() < 1e-5, "{flat} {level} against {f} {l}");
}

/// Closed forms: a slope of 1/8 in/ft has levelness 12.5/(10/8); a parabola bends everywhere alike.
#[test]
fn closed_forms() {
    let line = |f: &dyn Fn(f64) -> f64| (0..25).map(|i| f(f64::from(i))).collect::<Vec<f64>>();
    let (flat, level) = numbers(&line(&|i| i / 8.0));
    assert!(flat > 1e12 && (level - 10.0).abs() < 1e-9);
    assert!((numbers(&line(&|i| i / 4.0)).1 - 5.0).abs() < 1e-9);
    close(numbers(&line(&|i| 0.005 * i * i)), (457.0, 4.918_083));
    close(numbers(&line(&|i| sin(TAU * i / 6.0) / 16.0)), (33.001_649, 50.429_788));
    // From here figures computed with numpy.
    close(numbers(&line(&|i| if i == 12.0 { 0.125 } else { 0.0 })), (23.335_690, 88.191_710));
    let uneven = [
        0.0, 0.02, 0.05, 0.03, -0.01, -0.04, -0.02, 0.01, 0.06, 0.08, 0.05, 0.02, 0.0, -0.03, -0.05, -0.02,
        0.01, 0.04, 0.03, 0.0, -0.02,
    ];
    close(numbers(&uneven), (52.704_657, 80.365_174));
}

#[test]
fn a_level_line_is_flat_without_end() {
    let level = section(&[kept("a", Spacing::Foot, vec![1.0; 20])], Area::square_feet(400.0), Length::ZERO);
    let found = level.value.unwrap();
    assert!(found.flatness.number.is_infinite() && found.levelness.number.is_infinite());
    assert!(found.flatness.range.low.is_infinite() && !found.flatness.range.low.is_nan());
}

fn normal(rng: &mut ChaCha12Rng) -> f64 {
    let (u, v): (f64, f64) = (rng.random_range(f64::MIN_POSITIVE..1.0), rng.random());
    (-2.0 * basis::math::log(u)).sqrt() * basis::math::cos(TAU * v)
}

/// Perfectly flat floors read with noise show the ceilings: the mean over 2,000 lines of 31 readings. The expected spread of 29
/// overlapping readings is a little under the true one and the mean's share adds a little, so 3 % are allowed.
#[test]
fn simulated_noise_meets_the_ceilings() {
    let mut rng = ChaCha12Rng::seed_from_u64(5);
    let noise = Length::inches(1.0 / 32.0);
    let runs: Vec<Kept> = (0..2000)
        .map(|_| kept("n", Spacing::Foot, (0..61).map(|_| noise.in_metres() * normal(&mut rng)).collect()))
        .collect();
    let found = section(&runs, Area::square_feet(1000.0), noise).value.unwrap();
    let limits = ceilings(noise);
    assert!((limits.flatness - 19.901).abs() < 1e-3 && (limits.levelness - 94.281).abs() < 1e-3);
    assert!((found.flatness.number / limits.flatness - 1.0).abs() < 0.05, "{:?}", found.flatness);
    assert!((found.levelness.number / limits.levelness - 1.0).abs() < 0.08, "{:?}", found.levelness);
    assert!((found.flatness.noise_share - 1.0).abs() < 0.02 && found.flatness.without_noise().is_none());
}

/// Readings to the nearest mark of an eighth on a floor that runs through all of them: 17.2 at best, 34.5 for sixteenths.
#[test]
fn rounding_to_marks_is_noise() {
    for (step, ceiling) in [(1.0 / 16.0, 34.47), (1.0 / 8.0, 17.23), (0.12, 17.95)] {
        assert!((ceilings(mark_noise(Length::inches(step))).flatness - ceiling).abs() < 0.01);
        let mut rng = ChaCha12Rng::seed_from_u64(6);
        let line = |rng: &mut ChaCha12Rng| {
            let (start, rise) = (rng.random_range(0.0..10.0), rng.random_range(0.11..0.19));
            let read = |i: i32| ((start + rise * f64::from(i)) / step).round() * step * INCH;
            kept("r", Spacing::Foot, (0..41).map(read).collect())
        };
        let runs: Vec<Kept> = (0..400).map(|_| line(&mut rng)).collect();
        let found = section(&runs, Area::square_feet(1000.0), Length::ZERO).value.unwrap();
        // Rounding errors of a straight line follow each other and are no pure noise: a tenth is allowed.
        assert!((found.flatness.number / ceiling - 1.0).abs() < 0.1, "{} {step}", found.flatness.number);
    }
}

/// A floor whose heights are white noise smoothed over some readings; its own numbers are those of 1,500 long lines.
fn wavy(rng: &mut ChaCha12Rng, smooth: usize, count: usize) -> Vec<f64> {
    let white: Vec<f64> = (0..count + smooth).map(|_| 1e-3 * normal(rng)).collect();
    white.windows(smooth).take(count).map(|w| w.iter().sum::<f64>() / (smooth as f64).sqrt()).collect()
}

/// The range holds the floor's own number about 9 times in 10 on floors from choppy to rolling; simulated with numpy beforehand it
/// was 84 to 95 times in 100 for 4 to 8 lines of 15 to 41 readings.
#[test]
fn the_range_holds_nine_times_in_ten() {
    for (smooth, seed) in [(1, 1_u64), (6, 2), (20, 3)] {
        let mut rng = ChaCha12Rng::seed_from_u64(seed);
        let square = |values: Vec<f64>| values.iter().map(|v| v * v).sum::<f64>() / values.len() as f64;
        let (mut bend, mut level) = (0.0, 0.0);
        for _ in 0..300 {
            let long = wavy(&mut rng, smooth, 400);
            bend += square(curvatures(&long)) / 300.0;
            level += square(ten_space_differences(&long)) / 300.0;
        }
        let truth =
            [FLATNESS.in_metres() / (3.0 * bend.sqrt()), LEVELNESS.in_metres() / (3.0 * level.sqrt())];
        let mut held = [0; 2];
        for _ in 0..300 {
            let runs: Vec<Kept> =
                (0..5).map(|_| kept("w", Spacing::Foot, wavy(&mut rng, smooth, 21))).collect();
            let found = section(&runs, Area::square_feet(400.0), Length::ZERO).value.unwrap();
            for (held, (figure, truth)) in
                held.iter_mut().zip([found.flatness, found.levelness].iter().zip(truth))
            {
                *held += i32::from(figure.range.low <= truth && truth <= figure.range.high);
            }
        }
        // Three standard errors of 300 draws at 84 % and at 95 % are 6 and 4 %.
        assert!(held.iter().all(|h| (234..=297).contains(h)), "{smooth}: {held:?} of 300");
    }
}

#[test]
fn readings_needed_by_area() {
    let needed = |feet: f64| readings_needed(Area::square_feet(feet));
    assert_eq!([needed(576.0), needed(1600.0), needed(3600.0), needed(9000.0)], [48, 80, 120, 300]);
}

fn floor() -> crate::outline::Floor {
    use crate::outline::{Corner, Edge, EdgeKind, EdgeShape, Opening, OpeningKind, Outline, Shape};
    let corner =
        |(name, x, y): (&str, f64, f64)| Corner { name: name.into(), at: P2::new(x, y), place: Place::job() };
    let corners = [("A", 0.0, 0.0), ("B", 12.0, 0.0), ("C", 12.0, 8.0), ("D", 0.0, 8.0)].map(corner).to_vec();
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let size = Length::millimetres(400.0);
    let post = Opening {
        name: "post".into(),
        kind: OpeningKind::Column,
        shape: Shape::Rectangle { centre: P2::new(6.0, 4.0), width: size, height: size },
        place: Place::job(),
    };
    let outline = Outline { corners, edges: vec![edge; 4], openings: vec![post], ..Outline::default() };
    crate::floor::lay_out(&outline).value.unwrap()
}

fn line(y: f64, count: usize) -> LineOnFloor {
    LineOnFloor {
        name: "l".into(),
        from: P2::new(0.0, y),
        toward: P2::new(2.0, 0.0),
        spacing: Spacing::Metric,
        elevations: vec![0.0; count],
        place: Place::job(),
    }
}

/// 12 m at 300 mm: 41 readings, of which those from 0.6 to 11.4 m count; through the post the line falls into two runs of too few.
#[test]
fn readings_near_edges_and_posts_do_not_count() {
    let floor = floor();
    let mut notes = Vec::new();
    let clear = kept_runs(&line(2.0, 41), &floor, &[], &mut notes);
    assert_eq!(clear.iter().map(|k| k.readings.clone()).collect::<Vec<_>>(), vec![2..39]);
    assert!(notes.is_empty() && (clear[0].from.x - 0.6).abs() < 1e-12);
    // The post's box ends at 5.8 m; with its margin at 5.2 m: readings 2 to 17, 16 of them, on either side.
    let beside = kept_runs(&line(4.0, 41), &floor, &[], &mut notes);
    assert_eq!(beside.iter().map(|k| k.readings.clone()).collect::<Vec<_>>(), vec![2..18, 23..39]);
    let joint = Obstacle { a: P2::new(4.05, 0.0), b: P2::new(4.05, 8.0) };
    let cut = kept_runs(&line(2.0, 41), &floor, &[joint], &mut notes);
    assert_eq!(cut.iter().map(|k| k.readings.clone()).collect::<Vec<_>>(), vec![16..39]);
    assert!(notes.is_empty());
    assert!(kept_runs(&line(0.3, 41), &floor, &[], &mut notes).is_empty());
    assert!(kept_runs(&line(2.0, 11), &floor, &[], &mut notes).is_empty());
    let codes: Vec<&str> = notes.iter().map(|n| n.code).collect();
    assert_eq!(codes, ["line-too-near-the-edge", "line-too-short"]);
}

#[test]
fn bad_sections_are_told() {
    let area = Area::square_feet(400.0);
    let codes = |runs: &[Kept], area, noise| -> Vec<&str> {
        section(runs, area, noise).notes.iter().map(|n| n.code).collect()
    };
    assert_eq!(codes(&[], area, Length::ZERO), ["no-line-counts"]);
    let feet = kept("a", Spacing::Foot, vec![0.0; 20]);
    let metric = kept("b", Spacing::Metric, vec![0.0; 20]);
    assert_eq!(codes(&[feet.clone(), metric], area, Length::ZERO), ["spacings-mixed"]);
    assert_eq!(codes(std::slice::from_ref(&feet), area, Length::ZERO), ["too-few-readings"]);
    let small = codes(&[feet], Area::square_feet(60.0), Length::millimetres(1.0));
    assert_eq!(small, ["too-few-readings", "flatness-hidden-by-noise", "area-under-the-standard"]);
}

/// A slip of 1/2 in. among readings good to 1/32 in. is named, and only it; clean lines name none.
#[test]
fn one_wild_reading_is_named() {
    let mut rng = ChaCha12Rng::seed_from_u64(8);
    let mut runs: Vec<Kept> = (0..5)
        .map(|_| kept("w", Spacing::Foot, (0..21).map(|_| INCH / 32.0 * normal(&mut rng)).collect()))
        .collect();
    assert!(wild(&runs).is_empty());
    for at in [0, 1, 7, 19, 20] {
        let mut slipped = runs.clone();
        slipped[3].elevations[at] += INCH / 2.0;
        let found = wild(&slipped);
        assert_eq!(found.iter().map(|w| (w.run, w.reading)).collect::<Vec<_>>(), vec![(3, at)]);
        assert!((found[0].off / INCH - 0.5).abs() < 0.25 && found[0].spreads > 5.0);
    }
    // A quiet line of one height: what cannot be read is not wild.
    runs.truncate(1);
    runs[0].elevations = vec![0.0; 21];
    runs[0].elevations[9] = 5e-4;
    assert!(wild(&runs).is_empty() && wild(&[]).is_empty());
}

proptest::proptest! {
    /// Order of lines, a common height and a mirror change nothing; a longer scale changes both by its inverse.
    #[test]
    fn laws_of_both_numbers(seed in 0_u64..1000, scale in 0.1_f64..10.0) {
        let mut rng = ChaCha12Rng::seed_from_u64(seed);
        let runs: Vec<Kept> = (0..4).map(|i| kept("p", Spacing::Foot, wavy(&mut rng, 1 + i, 14 + 3 * i))).collect();
        let of = |runs: &[Kept]| {
            let found = section(runs, Area::square_feet(400.0), Length::ZERO).value.unwrap();
            [found.flatness, found.levelness].map(|f| [f.number, f.range.low, f.range.high, f.range.degrees])
        };
        let changed = |f: &dyn Fn(f64) -> f64| -> Vec<Kept> {
            let mut runs = runs.clone();
            runs.reverse();
            for run in &mut runs {
                run.elevations.iter_mut().for_each(|h| *h = f(*h));
            }
            runs
        };
        let plain = of(&runs);
        let shifted = of(&changed(&|h| 3.0 - h));
        let scaled = of(&changed(&|h| scale * h));
        for ((p, s), k) in plain.iter().zip(&shifted).zip(&scaled) {
            for (a, b) in p.iter().zip(s) {
                proptest::prop_assert!((a / b - 1.0).abs() < 1e-6);
            }
            for (a, b) in p[..3].iter().zip(k) {
                proptest::prop_assert!((a / b / scale - 1.0).abs() < 1e-9);
            }
            proptest::prop_assert!(p[1] <= p[0] && p[0] <= p[2] && p[3] >= 1.0);
        }
    }
}
