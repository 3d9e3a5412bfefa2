//! Faults of the estimates from which an order is figured.

use basis::{Estimate, Note, Place, UnitSystem, Volume};

use crate::words;

/// Adds a fault for each estimate that no floor can have.
pub(crate) fn check_estimates(
    forms: Estimate<Volume>,
    allowance: Estimate<f64>,
    loss: Estimate<Volume>,
    units: UnitSystem,
    notes: &mut Vec<Note>,
) {
    let said =
        |e: Estimate<Volume>| format!("{} ± {}", words::volume(e.mean, units), words::volume(e.sd, units));
    let holds = |e: Estimate<Volume>| e.mean.is_finite() && e.sd.is_finite() && e.sd >= Volume::ZERO;
    if !(holds(forms) && forms.mean > Volume::ZERO) {
        notes.push(Note::fault(
            "volume-impossible",
            Place::job(),
            format!("the forms hold {}, which is no volume to order", said(forms)),
            "check base and finish: one is upside down or missing",
        ));
    }
    let (a, t) = (allowance.mean, allowance.sd);
    if !(a > -0.5 && a < 1.0 && (0.0..=0.5).contains(&t)) {
        notes.push(Note::fault(
            "allowance-out-of-range",
            Place::at("allowance"),
            format!("an allowance of {:.1} % ± {:.1} % is outside -50 to 100 %", 100.0 * a, 100.0 * t),
            "state the extra over the forms' volume, as in \"5 %\"",
        ));
    }
    if !(holds(loss) && loss.mean >= Volume::ZERO) {
        notes.push(Note::fault(
            "loss-out-of-range",
            Place::at("loss"),
            format!("a loss of {} is no volume", said(loss)),
            "state what stays in drum, chute and on the ground, 0 or more",
        ));
    }
}
