use basis::{Angle, Length, Origin, Place};
use nalgebra::{DMatrix, DVector};

use super::krige::krige;
use super::*;
use crate::P2;
use crate::outline::{Corner, Edge, EdgeKind, EdgeShape, Outline};
use crate::survey::{FromMark, InstrumentErrors, Levelled, LevelledSetup};
use crate::{doubt, floor, quadrature};

const ISAAKS: [(f64, f64, f64); 7] = [
    (61.0, 139.0, 477.0),
    (63.0, 140.0, 696.0),
    (64.0, 129.0, 227.0),
    (68.0, 128.0, 646.0),
    (71.0, 140.0, 606.0),
    (73.0, 141.0, 791.0),
    (75.0, 128.0, 783.0),
];

struct Case {
    points: Vec<P2>,
    heights: DVector<f64>,
    kernel: Kernel,
    variance: f64,
    length: f64,
    noise: f64,
}

impl Case {
    fn system(&self, trend: &dyn Fn(P2) -> Vec<f64>) -> krige::Krige {
        let n = self.points.len();
        let k = DMatrix::from_fn(n, n, |i, j| {
            let noise = if i == j { self.noise } else { 0.0 };
            self.variance * self.kernel.correlation(self.points[i].distance(self.points[j]), self.length)
                + noise
        });
        let p = trend(self.points[0]).len();
        krige(k, DMatrix::from_fn(n, p, |i, j| trend(self.points[i])[j]), &self.heights).unwrap()
    }

    fn predict(&self, at: P2, trend: &dyn Fn(P2) -> Vec<f64>) -> (f64, f64) {
        let system = self.system(trend);
        let with = DVector::from_iterator(
            self.points.len(),
            self.points.iter().map(|p| self.variance * self.kernel.correlation(p.distance(at), self.length)),
        );
        let f = DVector::from_vec(trend(at));
        (system.mean(&with, &f), system.variance(self.variance, &with, &f))
    }
}

fn isaaks() -> Case {
    Case {
        points: ISAAKS.iter().map(|p| P2::new(p.0, p.1)).collect(),
        heights: DVector::from_iterator(7, ISAAKS.iter().map(|p| p.2)),
        kernel: Kernel::Exponential,
        variance: 10.0,
        length: 1.0 / 0.3,
        noise: 0.0,
    }
}

fn close(found: f64, printed: f64, tolerance: f64) {
    assert!((found - printed).abs() <= tolerance, "{found} against {printed}");
}

/// Isaaks & Srivastava, chapter 12 (data from memory; 592.7 and 8.96 printed; further digits from two
/// kriging libraries that agree) [@isaaks1989].
#[test]
fn isaaks_and_srivastava_chapter_12() {
    let (mean, variance) = isaaks().predict(P2::new(65.0, 137.0), &|_| vec![1.0]);
    close(mean, 592.728_942_789_8, 1e-8);
    close(variance, 8.956_052_788_7, 1e-9);
}

/// The same points with a linear drift: 567.662 and 9.0383 (a kriging library, universal kriging).
#[test]
fn isaaks_points_with_linear_drift() {
    let (mean, variance) = isaaks().predict(P2::new(65.0, 137.0), &|p| vec![1.0, p.x - 65.0, p.y - 137.0]);
    close(mean, 567.662_108_484_9, 1e-7);
    close(variance, 9.038_283_427_7, 1e-8);
}

/// Simple kriging about the known mean: 592.1694207659 and 8.5790368065 (a Gaussian process library).
#[test]
fn isaaks_points_about_a_known_mean() {
    let mut case = isaaks();
    let about = case.heights.mean();
    case.heights.add_scalar_mut(-about);
    let (mean, variance) = case.predict(P2::new(65.0, 137.0), &|_| vec![]);
    close(mean + about, 592.169_420_765_9, 1e-8);
    close(variance, 8.579_036_806_5, 1e-9);
}

/// The 52 points of Davis (1973) and their heights [@davis1973].
fn davis() -> (Vec<P2>, DVector<f64>) {
    let rows: Vec<Vec<f64>> = include_str!("../../tests/data/topo.csv")
        .lines()
        .skip(1)
        .map(|l| l.split(',').map(|c| c.parse().unwrap()).collect())
        .collect();
    let points = rows.iter().map(|r| P2::new(r[0], r[1])).collect();
    (points, DVector::from_iterator(rows.len(), rows.iter().map(|r| r[2])))
}

/// The 52 points of Davis (1973) under a smooth kernel: mean, likelihood and four predictions, computed
/// independently and by a Gaussian process library [@davis1973].
#[test]
fn davis_topography_process() {
    let (points, heights) = davis();
    let case = Case {
        points,
        heights,
        kernel: Kernel::SquaredExponential,
        variance: 3600.0,
        length: 1.5,
        noise: 25.0,
    };
    let system = case.system(&|_| vec![1.0]);
    close(system.beta[0], 831.073_907_85, 1e-6);
    close(system.log_likelihood, -271.867_284_07, 1e-6);
    let (mean, variance) = case.predict(P2::new(3.0, 3.0), &|_| vec![1.0]);
    close(mean, 820.115_709, 2e-6);
    close(variance.sqrt(), 5.737_832, 2e-6);
    // The other spreads are printed for the mean taken as known.
    let mut about = case;
    let beta = system.beta[0];
    about.heights.add_scalar_mut(-beta);
    for (x, y, mean, sd) in [
        (3.0, 3.0, 820.115_709, 5.736_608),
        (1.0, 5.0, 813.733_428, 6.211_293),
        (5.0, 2.0, 836.062_053, 4.253_203),
        (4.2, 5.1, 752.603_281, 3.982_999),
    ] {
        let (found, variance) = about.predict(P2::new(x, y), &|_| vec![]);
        close(found + beta, mean, 2e-6);
        close(variance.sqrt(), sd, 2e-6);
    }
}

/// The same 52 points under a rough kernel of length 0.7 and a trend of the second order, no noise: heights
/// and standard errors of a kriging routine's documented model, computed independently [@davis1973].
#[test]
fn davis_topography_with_a_curved_trend() {
    let (points, heights) = davis();
    let case =
        Case { points, heights, kernel: Kernel::Exponential, variance: 680.250_73, length: 0.7, noise: 0.0 };
    let curved = |p: P2| vec![1.0, p.x, p.y, p.x * p.x, p.x * p.y, p.y * p.y];
    for (x, y, mean, error) in [(3.0, 3.0, 815.536_925, 23.848_457), (5.0, 2.0, 846.106_276, 21.223_140)] {
        let (found, variance) = case.predict(P2::new(x, y), &curved);
        close(found, mean, 2e-6);
        close(variance.sqrt(), error, 2e-6);
    }
}

fn setup(backsight: Length) -> LevelledSetup {
    LevelledSetup {
        name: "1".into(),
        instrument: Length::metres(1.5),
        misclosure: None,
        station: P2::default(),
        errors: InstrumentErrors {
            backsight,
            tilt: Angle::ZERO,
            rod: Length::inches(0.125),
            origin: Origin::Assumed,
        },
        from_mark: FromMark::No,
        mark: Length::ZERO,
        stands_on: None,
    }
}

fn shots(count: usize, setup: usize, height: impl Fn(P2) -> f64) -> Vec<BaseShot> {
    (0..count)
        .map(|i| {
            // A low-discrepancy spread over a 24 ft square.
            let at =
                P2::new((0.5 + i as f64 * 0.754_877_67).fract(), (0.5 + i as f64 * 0.569_840_29).fract())
                    * 7.3152;
            let variance = Length::inches(0.125).in_metres().powi(2);
            BaseShot {
                name: format!("{i}"),
                at,
                z: height(at),
                variance,
                setup,
                zone: 0,
                place: Place::job(),
            }
        })
        .collect()
}

fn garage() -> crate::outline::Floor {
    let corner =
        |(x, y): (f64, f64)| Corner { name: format!("{x}{y}"), at: P2::new(x, y), place: Place::job() };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let side = 7.3152;
    let corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)].map(corner).to_vec();
    floor::lay_out(&Outline { corners, edges: vec![edge; 4], ..Outline::default() }).value.unwrap()
}

fn volume_sd(process: &Process) -> f64 {
    let q = quadrature::quadrature(&garage(), 144);
    doubt::doubt(process, &q, &|_| 0).volume_sd(&q.weights).in_cubic_yards()
}

/// Shot and formed from one set-up, the common error drops out; from another it adds A·σ_B for each.
#[test]
fn the_common_error_cancels_within_one_setup() {
    let z = |p: P2| 0.004 * (p.x * 1.3).sin() - 0.002 * p.y;
    let sd_for = |sigma_b: f64, datum: usize| {
        let levelled = Levelled {
            setups: vec![setup(Length::inches(sigma_b)), setup(Length::inches(sigma_b))],
            shots: vec![],
        };
        let base = shots(14, 0, z);
        volume_sd(
            &fit(&ProcessInput {
                shots: &base,
                levelled: &levelled,
                datum: Some(datum),
                intended: P2::default(),
            })
            .value
            .unwrap(),
        )
    };
    let (none, same) = (sd_for(0.0, 0), sd_for(1.0 / 16.0, 0));
    assert!((none - same).abs() < 1e-6 * none, "{none} {same}");
    // Two set-ups, each off by 1/16 in over 576 ft²: 0.1111 yd³ twice, in quadrature.
    let apart = sd_for(1.0 / 16.0, 1);
    let expected = (none * none + 2.0 * (1.0 / 9.0_f64).powi(2)).sqrt();
    assert!((apart - expected).abs() < 1e-4 * expected, "{apart} {expected}");
}

#[test]
fn regions_add_up_and_more_shots_narrow() {
    let levelled = Levelled { setups: vec![setup(Length::inches(0.0625))], shots: vec![] };
    let base = shots(20, 0, |p| 0.005 * (p.x * 0.9).sin() * (p.y * 0.7).cos());
    let process =
        fit(&ProcessInput { shots: &base, levelled: &levelled, datum: Some(0), intended: P2::default() })
            .value
            .unwrap();
    let q = quadrature::quadrature(&garage(), 100);
    let d = doubt::doubt(&process, &q, &|_| 0);
    let left = q.weights_in(&crate::Polygon::rectangle(P2::new(-1.0, -1.0), P2::new(3.1, 9.0)));
    let right: Vec<f64> = q.weights.iter().zip(&left).map(|(w, l)| w - l).collect();
    let parts = d.covariance(&left, &left) + d.covariance(&right, &right) + 2.0 * d.covariance(&left, &right);
    let whole = d.covariance(&q.weights, &q.weights);
    assert!((parts - whole).abs() < 1e-12 * whole.abs().max(1e-9));
    assert_eq!(d.covariance(&left, &right), d.covariance(&right, &left));
    let next = d.next_shots(&q.weights, 1e-5, 3);
    let mut before = d.volume_sd(&q.weights);
    for shot in next {
        assert!(shot.volume_sd < before);
        before = shot.volume_sd;
    }
}

/// A plane graded as intended comes back exactly; one that falls 2 % otherwise is pulled by a hundredth of that at most.
#[test]
fn the_mean_passes_a_plane_through() {
    let levelled = Levelled { setups: vec![setup(Length::ZERO)], shots: vec![] };
    let plane = |p: P2| 3.0 + 0.01 * p.x - 0.02 * p.y;
    let base = shots(12, 0, plane);
    for (intended, tolerance) in [(P2::new(0.01, -0.02), 1e-9), (P2::default(), 0.01 * 0.02 * 3.7)] {
        let input = ProcessInput { shots: &base, levelled: &levelled, datum: None, intended };
        let process = fit(&input).value.unwrap();
        for p in [P2::new(0.0, 0.0), P2::new(7.0, 3.0)] {
            close(process.means(&[Piece { at: p, area: 0.0, zone: 0 }])[0], plane(p), tolerance);
        }
    }
}

/// Three shots at one height in one line along x: the cross fall is the intended one with its spread of 1 %, so that 3 m to the
/// side the height is off by 30 mm, with what the base does by itself on top.
#[test]
fn shots_in_one_line_leave_the_cross_fall_to_the_prior() {
    let levelled = Levelled { setups: vec![setup(Length::ZERO)], shots: vec![] };
    let mut line = shots(3, 0, |_| 1.0);
    for (i, shot) in line.iter_mut().enumerate() {
        shot.at = P2::new(i as f64, 0.0);
    }
    let intended = P2::new(0.0, 0.015);
    let process =
        fit(&ProcessInput { shots: &line, levelled: &levelled, datum: None, intended }).value.unwrap();
    let aside = P2::new(1.0, 3.0);
    close(process.means(&[Piece { at: aside, area: 0.0, zone: 0 }])[0], 1.0 + 3.0 * 0.015, 1e-9);
    let spread = process.variance(aside, 0).sqrt();
    assert!((0.030..0.040).contains(&spread), "{spread}");
}

/// A normal prior on two of three coefficients against conditioning the joint normal law of data and target directly: the
/// same mean and variance with the trend's own covariance put into the data's (and a level of spread 1e4 for an open one).
#[test]
fn a_known_trend_agrees_with_direct_conditioning() {
    let case = isaaks();
    let (n, at) = (case.points.len(), P2::new(65.0, 137.0));
    let trend = |p: P2| DVector::from_vec(vec![1.0, (p.x - 65.0) / 10.0, (p.y - 137.0) / 10.0]);
    let known = [(0.0, 1e-8), (40.0, 1.0 / 900.0), (-20.0, 1.0 / 2500.0)];
    let k = |a: P2, b: P2| case.variance * case.kernel.correlation(a.distance(b), case.length);
    let from_trend = |a: P2, b: P2| {
        let (f, g) = (trend(a), trend(b));
        (0..3).map(|i| f[i] * g[i] / known[i].1).sum::<f64>()
    };
    let expected = |p: P2| (0..3).map(|i| trend(p)[i] * known[i].0).sum::<f64>();
    let whole = DMatrix::from_fn(n, n, |i, j| k(case.points[i], case.points[j]));
    let with = DVector::from_fn(n, |i, _| k(case.points[i], at));
    let design = DMatrix::from_fn(n, 3, |i, j| trend(case.points[i])[j]);
    let prior = krige::TrendPrior {
        mean: DVector::from_fn(3, |i, _| known[i].0),
        precision: DVector::from_fn(3, |i, _| known[i].1),
    };
    let system = krige::krige_about(whole.clone(), design, &case.heights, &prior).unwrap();
    let joint = DMatrix::from_fn(n, n, |i, j| whole[(i, j)] + from_trend(case.points[i], case.points[j]));
    let reach = DVector::from_fn(n, |i, _| with[i] + from_trend(case.points[i], at));
    let weights = joint.lu().solve(&reach).unwrap();
    let off = DVector::from_fn(n, |i, _| case.heights[i] - expected(case.points[i]));
    // The level's variance of 1e8 costs eight of the sixteen digits.
    close(system.mean(&with, &trend(at)), expected(at) + weights.dot(&off), 1e-4);
    close(
        system.variance(case.variance, &with, &trend(at)),
        k(at, at) + from_trend(at, at) - weights.dot(&reach),
        1e-5,
    );
}

#[test]
fn faulty_shots_are_told() {
    let levelled = Levelled { setups: vec![setup(Length::ZERO)], shots: vec![] };
    let codes = |base: &[BaseShot]| -> Vec<&'static str> {
        fit(&ProcessInput { shots: base, levelled: &levelled, datum: None, intended: P2::default() })
            .notes
            .iter()
            .map(|n| n.code)
            .collect()
    };
    assert_eq!(codes(&shots(2, 0, |_| 0.0)), ["too-few-base-shots"]);
    assert_eq!(
        codes(&shots(5, 0, |p| if p.x > 3.0 { f64::NAN } else { 0.0 })).first(),
        Some(&"shot-out-of-range")
    );
    let mut line = shots(6, 0, |_| 0.0);
    for shot in &mut line {
        shot.at.y = 2.0 * shot.at.x;
    }
    assert_eq!(codes(&line), ["shots-in-one-line"]);
    let mut wild = shots(20, 0, |_| 0.0);
    wild[7].z = 0.3;
    assert!(codes(&wild).contains(&"shot-far-from-the-others"));
    assert_eq!(codes(&shots(400, 0, |_| 0.0)), ["shots-pooled"]);
}

/// Two parts of the base at different levels: neither pulls the other.
#[test]
fn a_step_in_the_base_stays_a_step() {
    let levelled = Levelled { setups: vec![setup(Length::ZERO)], shots: vec![] };
    let mut base = shots(20, 0, |p| if p.x < 3.0 { -0.3 } else { 0.0 });
    for shot in &mut base {
        shot.zone = usize::from(shot.at.x < 3.0);
    }
    let process =
        fit(&ProcessInput { shots: &base, levelled: &levelled, datum: None, intended: P2::default() })
            .value
            .unwrap();
    let at = |x: f64, zone| process.means(&[Piece { at: P2::new(x, 3.0), area: 0.0, zone }])[0];
    close(at(2.9, 1), -0.3, 1e-3);
    close(at(3.1, 0), 0.0, 1e-3);
}
