//! Faults of what is stated for the last-load call.

use basis::{Estimate, Note, Origin, Place, Volume};

use super::BalanceInput;
use crate::order::check_estimates;
use crate::words;

/// Adds a fault for everything that no pour can have.
pub(super) fn check(
    input: &BalanceInput<'_>,
    allowance: Estimate<f64>,
    loss: Estimate<Volume>,
    notes: &mut Vec<Note>,
) {
    let whole = input.regions.placed + input.regions.remaining;
    let variance: f64 = input.regions.covariance.iter().flatten().sum();
    let forms = Estimate::new(whole, Volume::cubic_metres(variance.max(0.0).sqrt()), Origin::Derived);
    check_estimates(forms, allowance, loss, input.units, notes);
    check_covariance(input.regions.covariance, notes);
    check_amounts(input, notes);
    if input.loss_share.is_some_and(|share| !(0.0..=1.0).contains(&share)) {
        notes.push(Note::fault(
            "loss-out-of-range",
            Place::at("loss"),
            "the share of the loss already taken is not between 0 and 100 %",
            "leave it out to take it as of the floor",
        ));
    }
    let rate = input.crew.placing_rate.mean.in_cubic_metres_per_second();
    if !(rate.is_finite() && rate > 0.0) {
        notes.push(Note::fault(
            "placing-rate-impossible",
            Place::at("crew.placing_rate"),
            "a crew that places nothing has no time to call",
            "state a rate, as in \"12 yd3/h\"",
        ));
    }
}

fn check_covariance(c: [[f64; 2]; 2], notes: &mut Vec<Note>) {
    let finite = c.iter().flatten().all(|entry| entry.is_finite());
    // A hundred millionth of slack for covariances that come from sums.
    let bounded = c[0][1] * c[0][1] <= c[0][0] * c[1][1] * (1.0 + 1e-8);
    if !(finite && c[0][0] >= 0.0 && c[1][1] >= 0.0 && c[0][1] == c[1][0] && bounded) {
        notes.push(Note::fault(
            "covariance-impossible",
            Place::job(),
            "the doubts of the two parts of the floor contradict each other",
            "check the shots",
        ));
    }
}

fn check_amounts(input: &BalanceInput<'_>, notes: &mut Vec<Note>) {
    let delivered: Volume = input.delivered.iter().copied().sum();
    let amounts = [
        ("the part placed", input.regions.placed),
        ("the part remaining", input.regions.remaining),
        ("the doubt of the line", input.regions.line),
        ("the delivery", delivered),
        ("the doubt of the drum", input.in_drum.sd),
        ("what is on the way", input.on_the_way),
        ("what is in the drum", input.in_drum.mean),
    ];
    for (what, amount) in amounts.iter().filter(|(_, amount)| !amount.is_finite() || *amount < Volume::ZERO) {
        let message = format!("{what} is {}", words::volume(*amount, input.units));
        notes.push(Note::fault("balance-amount-impossible", Place::job(), message, "state it as 0 or more"));
    }
    if input.in_drum.mean > delivered {
        let drum = words::volume(input.in_drum.mean, input.units);
        let all = words::volume(delivered, input.units);
        notes.push(Note::fault(
            "more-in-drum-than-delivered",
            Place::job(),
            format!("{drum} in the drum, but {all} delivered"),
            "count the truck on site among the delivered ones",
        ));
    }
}
