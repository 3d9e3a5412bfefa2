//! Mixes and histories for tests.

use basis::{Density, Estimate, Origin, Pressure, Share, Temperature, TimeSpan};

use crate::History;
use crate::history::State;
use crate::maturity::Activation;
use crate::mix::{Aggregate, Air, Cement, CementAnalysis, Mix};

/// A Type I/II cement: the composition that the set constants were tried with.
pub(crate) const TYPE_I_II: CementAnalysis = CementAnalysis {
    c3s: 0.55,
    c2s: 0.18,
    c3a: 0.08,
    c4af: 0.09,
    so3: 0.028,
    free_lime: 0.01,
    magnesia: 0.02,
    blaine: 370.0,
};

/// Activation energy of that cement by the regression, J/mol.
pub(crate) const ENERGY: f64 = 44_952.0;

/// Plain concrete at w/cm 0.50, 3,000 psi.
pub(crate) fn plain() -> Mix {
    Mix {
        cement: Cement::Analysis(TYPE_I_II),
        cementitious: Density::pounds_per_cubic_yard(564.0),
        water_per_cementitious: 0.50,
        ash: None,
        slag: Share::ZERO,
        admixtures: Vec::new(),
        air: Air::Entrapped,
        strength: Pressure::psi(3000.0),
        aggregate: Aggregate::Medium,
        stated_set: None,
        set_factor: Estimate::new(1.0, 0.2, Origin::Assumed),
    }
}

/// A dry slab that keeps one temperature all through, placed half an hour after water contact.
pub(crate) fn steady(fahrenheit: f64, hours: f64, energy: f64) -> History {
    course(|_| fahrenheit, hours, energy)
}

/// A dry slab whose temperature in °F follows the hours since placing, the same over the depth.
pub(crate) fn course(fahrenheit: impl Fn(f64) -> f64, hours: f64, energy: f64) -> History {
    let step = TimeSpan::minutes(10.0);
    let haul = TimeSpan::minutes(30.0);
    let speed = |at: f64| {
        Activation::Constant(energy).speed(Temperature::fahrenheit(at), Temperature::kelvins(294.25))
    };
    let mut age = speed(fahrenheit(0.0)) * haul.in_hours();
    let count = (hours / step.in_hours()).ceil() as usize;
    let states = (0..=count)
        .map(|i| {
            let at = fahrenheit(i as f64 * step.in_hours());
            let celsius = Temperature::fahrenheit(at).in_celsius();
            let state = State {
                surface: celsius,
                middle: celsius,
                bottom: celsius,
                mean: celsius,
                age_surface: age,
                age_middle: age,
                age_bottom: age,
                ..State::default()
            };
            age += speed(at) * step.in_hours();
            state
        })
        .collect();
    History { step, age_at_placing: haul, states }
}

/// The same with bleed water standing on the surface between two hours.
pub(crate) fn wet(mut history: History, from: f64, until: f64) -> History {
    let step = history.step.in_hours();
    for (i, state) in history.states.iter_mut().enumerate() {
        let hours = i as f64 * step;
        state.water = if hours >= from && hours < until { 0.3 } else { 0.0 };
    }
    history
}
