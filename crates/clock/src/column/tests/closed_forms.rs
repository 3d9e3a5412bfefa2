//! Conduction against closed forms. The bar is 0.05 K; where temperatures are far apart it is the same share of them.

use basis::math::{cos, erfc, exp, sin, tan};

use super::*;

const MINUTES: f64 = 60.0;
const HOUR: f64 = 3600.0;

fn material(conductivity: f64, density: f64, heat_capacity: f64) -> Material {
    Material { conductivity, density, heat_capacity }
}

/// A deep body of one material with nodes `spacing` apart in the first `fine` metres, `depth` in all.
fn deep(material: Material, fine: f64, depth: f64, spacing: f64) -> Mesh {
    let rest = [Layer { material, thickness: Length::metres(depth - fine) }];
    mesh(fine, material, &rest, spacing, Foot::Fixed)
}

/// A plate with a closed bottom.
fn plate(material: Material, thickness: f64, spacing: f64) -> Mesh {
    mesh(thickness, material, &[], spacing, Foot::Closed)
}

fn march(step: f64, stride: usize, kept: usize) -> March {
    March { step, stride, kept }
}

/// The first ten roots of ζ·tan ζ = Bi, by bisection.
fn roots(biot: f64) -> Vec<f64> {
    (0..10)
        .map(|n| {
            let (mut low, mut high) =
                (f64::from(n) * std::f64::consts::PI, (f64::from(n) + 0.5) * std::f64::consts::PI - 1e-12);
            for _ in 0..100 {
                let middle = 0.5 * (low + high);
                if middle * tan(middle) < biot { low = middle } else { high = middle }
            }
            low
        })
        .collect()
}

/// Share of the first difference left in a plate, closed at x = 0, convection at x = 1 [@incropera-dewitt].
fn left(biot: f64, fourier: f64, x: f64) -> f64 {
    roots(biot)
        .into_iter()
        .map(|z| 4.0 * sin(z) / (2.0 * z + sin(2.0 * z)) * exp(-z * z * fourier) * cos(z * x))
        .sum()
}

/// Water main [@incropera-dewitt]: soil at 20 °C, its surface at −15 °C from one day to the next; after 60 days 0 °C is
/// 0.68 m down (printed). A convection of 10⁴ W/(m²·K) stands for the fixed surface.
#[test]
fn literature_depth_of_frost_over_a_water_main() {
    let soil = material(0.52, 2050.0, 1840.0);
    let problem = conduction(deep(soil, 3.0, 10.0, 0.02), 20.0, -15.0, 1e4, 0.0, march(HOUR, 12, 120));
    let mut lanes = Lanes::<1>::new([&problem]);
    lanes.run(1);
    let temperature = lanes.temperatures(0);
    let (depth, t) = (&problem.mesh.depth, &temperature);
    let i = t.iter().position(|t| *t > 0.0).unwrap();
    let zero = depth[i - 1] + (depth[i] - depth[i - 1]) * (0.0 - t[i - 1]) / (t[i] - t[i - 1]);
    assert!((zero - 0.68).abs() < 0.005, "{zero}");
    let spread = 2.0 * (soil.diffusivity() * 60.0 * 24.0 * HOUR).sqrt();
    for (z, t) in depth.iter().zip(t).filter(|(z, _)| **z < 1.0) {
        let exact = -15.0 + 35.0 * (1.0 - erfc(z / spread));
        assert!((t - exact).abs() < 0.05, "{z} m: {t} against {exact}");
    }
}

/// Half-space with convection, case of [@nellis-klein]: 393 K, air of 355 K, h 50, k 10, α 4.029e-6; 3 mm under the surface
/// after 100 s it has 389.5 K (printed).
#[test]
fn literature_half_space_with_convection() {
    let body = material(10.0, 1000.0, 10.0 / 4.029e-6 / 1000.0);
    let problem = conduction(deep(body, 0.1, 0.4, 0.0005), 393.0, 355.0, 50.0, 0.0, march(1.0, 20, 5));
    let mut lanes = Lanes::<1>::new([&problem]);
    lanes.run(1);
    let at = problem.mesh.depth.iter().position(|z| (z - 0.003).abs() < 1e-9).unwrap();
    let found = lanes.temperatures(0)[at];
    assert!((found - 389.5).abs() < 0.05, "{found}");
    assert!((found - 389.543).abs() < 0.01, "{found}");
}

/// Half-space with a fixed surface, case of [@nellis-klein]: 378 K, surface 303 K, α 9.547e-5; 50 mm down after 2 s it has
/// 377.2 K (printed).
#[test]
fn literature_half_space_with_fixed_surface() {
    let body = material(95.47, 1000.0, 1000.0);
    let problem = conduction(deep(body, 0.06, 0.4, 0.001), 378.0, 303.0, 1e7, 0.0, march(0.01, 20, 10));
    let mut lanes = Lanes::<1>::new([&problem]);
    lanes.run(1);
    let at = problem.mesh.depth.iter().position(|z| (z - 0.05).abs() < 1e-9).unwrap();
    let found = lanes.temperatures(0)[at];
    assert!((found - 377.2).abs() < 0.05, "{found}");
    assert!((found - 377.212).abs() < 0.02, "{found}");
}

/// Steel pipe wall [@incropera-dewitt, example 5.4]: after 480 s the closed face has 42.9 °C by one term of the series with
/// rounded constants (printed); the whole series gives 43.016 and 45.362 °C.
#[test]
fn literature_steel_wall() {
    let steel = material(63.9, 7832.0, 434.0);
    let problem = conduction(plate(steel, 0.04, 0.002), -20.0, 60.0, 500.0, 0.0, march(5.0, 24, 4));
    let end = states(&problem)[4];
    assert!((end.bottom - 42.9).abs() < 0.15, "{}", end.bottom);
    assert!((end.bottom - 43.016).abs() < 0.05, "{}", end.bottom);
    assert!((end.surface - 45.362).abs() < 0.05, "{}", end.surface);
    let flux = 500.0 * (end.surface - 60.0);
    // The printed flux, −7,400 W/m², is rounded to hundreds and rests on the one-term surface.
    assert!((flux + 7_400.0).abs() < 150.0, "{flux}");
}

/// Brass plate, textbook example from memory: 282 °C read from charts; the series gives 279.6 on the surface and 277.2
/// inside. Charts read to a few degrees.
#[test]
fn literature_brass_plate_in_an_oven() {
    let brass = material(110.0, 8530.0, 110.0 / 33.9e-6 / 8530.0);
    let problem = conduction(plate(brass, 0.02, 0.001), 20.0, 500.0, 120.0, 0.0, march(5.0, 42, 2));
    let end = states(&problem)[2];
    assert!((end.surface - 282.0).abs() < 6.0, "{}", end.surface);
    assert!((end.surface - 279.6).abs() < 0.06, "{}", end.surface);
    assert!((end.bottom - 277.2).abs() < 0.06, "{}", end.bottom);
}

/// Plate with both faces fixed: the share left at its centre by the series of Carslaw and Jaeger [@carslaw-jaeger].
#[test]
fn literature_plate_with_fixed_faces() {
    // α = 1e-6 m²/s and half a thickness of 0.1 m: the Fourier number is the time in units of 10⁴ s.
    let body = material(1.0, 1000.0, 1000.0);
    let problem = conduction(plate(body, 0.1, 0.0025), 1.0, 0.0, 1e6, 0.0, march(50.0, 10, 20));
    let found = states(&problem);
    for (fourier, share) in
        [(0.05, 0.996_87), (0.1, 0.949_31), (0.2, 0.772_31), (0.5, 0.370_78), (1.0, 0.107_98)]
    {
        let at = (fourier * 20.0_f64).round() as usize;
        // 0.05 K of 25 K.
        assert!((found[at].bottom - share).abs() < 0.002, "{fourier}: {} against {share}", found[at].bottom);
    }
}

/// A slab on insulation cooled by convection, at the working step and spacing, against the series: shares of a difference
/// of 25 K within 0.05 K.
#[test]
fn literature_slab_on_insulation() {
    for (thickness, convection) in [(0.10, 10.0), (0.10, 20.0), (0.10, 30.0), (0.15, 10.0), (0.15, 20.0)] {
        let slab = plate(CONCRETE, thickness, 0.0075);
        let problem = conduction(slab, 25.0, 0.0, convection, 0.0, march(5.0 * MINUTES, 12, 24));
        let found = states(&problem);
        let biot = convection * thickness / CONCRETE.conductivity;
        for hours in [1, 2, 4, 8, 24] {
            let fourier = CONCRETE.diffusivity() * f64::from(hours) * HOUR / (thickness * thickness);
            let state = found[hours as usize];
            let (top, bottom) = (25.0 * left(biot, fourier, 1.0), 25.0 * left(biot, fourier, 0.0));
            assert!(
                (state.surface - top).abs() < 0.05,
                "{thickness} {convection} {hours}: {} {top}",
                state.surface
            );
            assert!(
                (state.bottom - bottom).abs() < 0.05,
                "{thickness} {convection} {hours}: {} {bottom}",
                state.bottom
            );
        }
    }
}

/// The series itself, against first roots and shares worked apart.
#[test]
fn arithmetic_series_of_the_slab() {
    assert!((roots(0.666_667)[0] - 0.736_01).abs() < 1e-5);
    assert!((roots(2.0)[0] - 1.076_87).abs() < 1e-5);
    let fourier = CONCRETE.diffusivity() * HOUR / 0.01;
    assert!((left(20.0 * 0.1 / 1.5, fourier, 1.0) - 0.5497).abs() < 1e-4);
    assert!((left(20.0 * 0.1 / 1.5, fourier, 0.0) - 0.9178).abs() < 1e-4);
}

/// Two half-spaces in contact [@carslaw-jaeger]: concrete of 25 °C on ground of 5 °C, and on frozen ground. The temperature
/// of contact is the mean by √(k·ρ·c), and each side follows the error function.
#[test]
fn literature_contact_with_a_cold_base() {
    for (ground, cold) in [(crate::material::DRY_SOIL, 5.0), (STONE, 5.0), (STONE, -4.0)] {
        let under = [Layer { material: ground, thickness: Length::metres(1.5) }];
        let slab = mesh(0.8, CONCRETE, &under, 0.0075, Foot::Fixed);
        let last = slab.slab.len() - 1;
        let mut problem = conduction(slab, cold, 0.0, 0.0, 0.0, march(5.0 * MINUTES, 6, 6));
        problem.start[..last].fill(25.0);
        let share = problem.mesh.slab[last] * CONCRETE.volumetric() / problem.mesh.capacity[last];
        problem.start[last] = share * 25.0 + (1.0 - share) * cold;
        let effusivity = |m: Material| (m.conductivity * m.volumetric()).sqrt();
        let (above, below) = (effusivity(CONCRETE), effusivity(ground));
        let contact = (above * 25.0 + below * cold) / (above + below);
        assert!((problem.start[last] - contact).abs() < 1e-9, "{} {contact}", problem.start[last]);
        let mut lanes = Lanes::<1>::new([&problem]);
        let kept = lanes.run(1);
        for (i, state) in kept[0].iter().enumerate().skip(1) {
            assert!((state.bottom - contact).abs() < 0.05, "after {} h/2: {}", i, state.bottom);
        }
        let (time, interface) = (3.0 * HOUR, problem.mesh.depth[last]);
        for (z, t) in problem.mesh.depth.iter().zip(lanes.temperatures(0)).filter(|(z, _)| **z > 0.4) {
            let (from, material) = if *z < interface { (25.0, CONCRETE) } else { (cold, ground) };
            let away = (z - interface).abs() / (2.0 * (material.diffusivity() * time).sqrt());
            let exact = from + (contact - from) * erfc(away);
            // The bar is for the slab; the growing cells of the ground, which hand nothing on, err a little more.
            let bar = if *z <= interface { 0.05 } else { 0.07 };
            assert!((t - exact).abs() < bar, "{z} m: {t} against {exact}");
        }
    }
}

/// The contact as printed by its formula: concrete on dry soil 20.037 °C, on moist stone 15.531 °C, and 50 mm above the
/// soil after an hour 22.713 °C, worked apart.
#[test]
fn arithmetic_contact_worked_apart() {
    let effusivity = |m: Material| (m.conductivity * m.volumetric()).sqrt();
    let contact = |m: Material| {
        (effusivity(CONCRETE) * 25.0 + effusivity(m) * 5.0) / (effusivity(CONCRETE) + effusivity(m))
    };
    assert!((contact(crate::material::DRY_SOIL) - 20.037).abs() < 1e-3);
    assert!((contact(STONE) - 15.531).abs() < 1e-3);
}

/// A constant flux of 600 W/m² into a half-space of concrete warms its surface by 2q/k·√(αt/π) [@carslaw-jaeger]: 21.636 K
/// in an hour.
#[test]
fn literature_constant_flux() {
    let problem =
        conduction(deep(CONCRETE, 0.3, 1.5, 0.0075), 0.0, 0.0, 0.0, 600.0, march(5.0 * MINUTES, 6, 6));
    for (i, state) in states(&problem).iter().enumerate().skip(1) {
        let time = i as f64 * 0.5 * HOUR;
        let exact = 2.0 * 600.0 / 1.5 * (CONCRETE.diffusivity() * time / std::f64::consts::PI).sqrt();
        // The bar is for the 25 K of a slab; here up to 53 K.
        assert!((state.surface - exact).abs() < 0.05, "{time} s: {} against {exact}", state.surface);
    }
}

/// Even heat of 500 W/m³ in a plate on insulation with h 20 W/(m²·K): in the end the top is 2.5 K over the air and the bottom
/// q·L²/2k = 1.667 K over the top.
#[test]
fn literature_even_source() {
    let mut problem =
        conduction(plate(CONCRETE, 0.10, 0.010), 0.0, 0.0, 20.0, 0.0, march(10.0 * MINUTES, 6, 100));
    // With β = 1 and τ far off, e^(−τ/t) grows evenly for a while round t = τ/2, where its second derivative is nothing;
    // 100 h of 10⁷ are a while.
    let half = 0.5e7;
    let slope = basis::math::exp(-2.0) * 2.0 / half / HOUR;
    problem.heating = Heating {
        heat: 500.0 / slope,
        ultimate: 1.0,
        log_time: basis::math::log(2.0 * half),
        shape: 1.0,
        activation: 0.0,
        age: half,
    };
    let mut lanes = Lanes::<1>::new([&problem]);
    let end = *lanes.run(1)[0].last().unwrap();
    assert!((end.surface - 2.5).abs() < 0.005, "{}", end.surface);
    assert!((end.bottom - end.surface - 1.6667).abs() < 0.002, "{}", end.bottom);
}

/// The day's wave dies out with depth as exp(−z/√(2α/ω)) [@carslaw-jaeger]: √(2α/ω) is 0.1325 m in concrete.
#[test]
fn literature_daily_damping_depth() {
    let steps = 24 * 12 * 20;
    let mut problem =
        conduction(deep(CONCRETE, 0.4, 2.0, 0.010), 0.0, 0.0, 1e5, 0.0, march(5.0 * MINUTES, 1, steps));
    problem.drive_step = 5.0 * MINUTES;
    problem.drives = (0..=steps)
        .map(|i| Drive {
            air: 10.0 * sin(std::f64::consts::TAU * i as f64 / 288.0),
            convection: 1e5,
            ..Drive::default()
        })
        .collect();
    let found = states(&problem);
    let swing = |get: fn(&State) -> f64| {
        let last = &found[steps - 288..];
        let most = last.iter().map(get).fold(f64::MIN, f64::max);
        0.5 * (most - last.iter().map(get).fold(f64::MAX, f64::min))
    };
    let damping = 0.2 / basis::math::log(swing(|s| s.surface) / swing(|s| s.middle));
    assert!((damping - 0.1325).abs() < 0.0005, "{damping}");
}

/// Adiabatic: the rise is heat × degree / capacity at every step, whatever the step; and the rise over time, worked apart
/// with steps of 18 s, is met at the working step.
#[test]
fn arithmetic_adiabatic_rise_worked_apart() {
    let cases = [
        (21.1, [(6, 10.16), (12, 23.25), (24, 36.17), (48, 43.14), (72, 45.31), (168, 47.78)]),
        (10.0, [(6, 2.96), (12, 10.02), (24, 23.70), (48, 37.08), (72, 41.67), (168, 46.36)]),
    ];
    let insulated = material(1.5, 2350.0, 1000.0);
    for (start, rises) in cases {
        let mut problem =
            conduction(plate(insulated, 0.10, 0.010), start, 0.0, 0.0, 0.0, march(5.0 * MINUTES, 12, 168));
        problem.heating = Heating {
            heat: PLAIN.heat * PLAIN.cementitious,
            ultimate: PLAIN.ultimate,
            log_time: basis::math::log(PLAIN.time),
            shape: PLAIN.shape,
            activation: PLAIN.energy / crate::maturity::GAS,
            age: 1e-3,
        };
        let found = states(&problem);
        for state in &found {
            let rise = PLAIN.released(state.age_middle) / insulated.volumetric();
            assert!((state.middle - start - rise).abs() < 1e-6, "{} {rise}", state.middle);
        }
        for (hours, rise) in rises {
            let ours = found[hours].middle - start;
            assert!((ours - rise).abs() < 0.05, "{start} °C, {hours} h: {ours} against {rise}");
        }
    }
}
