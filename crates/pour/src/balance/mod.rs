//! The last-load call: how much still to order, from what this pour has shown.

mod ahead;
mod call;
mod check;
mod condition;

use basis::{Estimate, Note, Origin, Place, Report, TimeSpan, UnitSystem, Volume};

pub use ahead::{CallAhead, Foreseen, foresee};
pub use call::{CallTimes, call_times};
pub use condition::{Belief, Conditioned, Seen};

use crate::chance::Normal;
use crate::job::{Crew, Plant};
use crate::order::{Basis, Charges, OrderRow, Table, grid, known_charges, priors, split, table};
use crate::{defaults, words};

/// The floor in two parts, as far as it is placed and what remains: volumes inside the forms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regions {
    /// Expected volume behind the line.
    pub placed: Volume,
    /// Expected volume beyond the line.
    pub remaining: Volume,
    /// Their covariance, m⁶.
    pub covariance: [[f64; 2]; 2],
    /// Doubt of the volume between the line as told and the line as it lies, one standard deviation.
    pub line: Volume,
}

/// What the last-load call is figured from.
#[derive(Debug, Clone, Copy)]
pub struct BalanceInput<'a> {
    /// The floor on both sides of the line.
    pub regions: Regions,
    /// Tickets of the trucks that stand on site or have left it.
    pub delivered: &'a [Volume],
    /// What of that is still in a drum, as looked at.
    pub in_drum: Estimate<Volume>,
    /// What is batched or called already and has not arrived.
    pub on_the_way: Volume,
    /// Allowance before the pour; absent: the published default.
    pub allowance: Option<Estimate<f64>>,
    /// Loss before the pour; absent: the customary default.
    pub loss: Option<Estimate<Volume>>,
    /// Share of the loss that is already behind; absent: as the volume placed.
    pub loss_share: Option<f64>,
    /// The plant's terms.
    pub plant: &'a Plant,
    /// The crew.
    pub crew: &'a Crew,
    /// Units of the messages.
    pub units: UnitSystem,
}

/// How much to call, and what may come of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// Concrete used so far: tickets less what is in the drum; assumed when that is.
    pub used: Estimate<Volume>,
    /// What was expected for the part placed, before the pour.
    pub expected_used: Estimate<Volume>,
    /// Distance of the two in standard deviations.
    pub surprise: f64,
    /// Allowance as this pour shows it.
    pub allowance: Estimate<f64>,
    /// Volume inside the forms beyond the line.
    pub remaining: Estimate<Volume>,
    /// What is still to be called: the rest with allowance and loss, less what is in drums and on the way. May be negative.
    pub need: Estimate<Volume>,
    /// Every quantity that can be called, rising; the first may be nothing.
    pub rows: Vec<OrderRow>,
    /// The recommended one.
    pub recommended: OrderRow,
    /// By what rule.
    pub basis: Basis,
    /// The recommended call as loads.
    pub loads: Vec<Volume>,
    /// When to call.
    pub times: CallTimes,
}

/// Figures the last-load call.
///
/// Method, sources and limits: `docs/methods/balance.md`. Refused with faults when a stated quantity is impossible; a
/// delivery more than three standard deviations from what was expected gets a warning to check line and tickets.
#[must_use]
pub fn balance(input: &BalanceInput<'_>) -> Report<Balance> {
    let mut notes = Vec::new();
    let (allowance, loss) = priors(input.allowance, input.loss, input.units, &mut notes);
    check::check(input, allowance, loss, &mut notes);
    if basis::report::has_fault(&notes) {
        return Report::refused(notes);
    }
    let share = loss_share(input, &mut notes);
    let (seen, used) = seen(input, share);
    let conditioned = ahead::belief(&input.regions, allowance, loss, input.in_drum).condition(seen);
    let need = still_needed(input, &conditioned.belief, share);
    warn_of_surprise(&conditioned, used, input.units, &mut notes);
    let times = call_times(input.in_drum.mean + input.on_the_way, input.plant, input.crew);
    let Some((rows, recommended, basis, loads)) = choose(input, need, &times, &mut notes) else {
        return Report::refused(notes);
    };
    remark_on_time(&times, recommended, &mut notes);
    let balance = Balance {
        used,
        expected_used: conditioned.expected_used,
        surprise: conditioned.surprise,
        allowance: conditioned.belief.allowance(),
        remaining: conditioned.belief.remaining(),
        need,
        rows,
        recommended,
        basis,
        loads,
        times,
    };
    Report::with(balance, notes)
}

/// The table of calls, the recommended one, by what rule, and its loads; `None` when a fault has been noted.
fn choose(
    input: &BalanceInput<'_>,
    need: Estimate<Volume>,
    times: &CallTimes,
    notes: &mut Vec<Note>,
) -> Option<(Vec<OrderRow>, OrderRow, Basis, Vec<Volume>)> {
    let law = Normal { mean: need.mean.in_cubic_metres(), sd: need.sd.in_cubic_metres() };
    let grid = grid(input.plant, law.mean.abs() + 8.0 * law.sd, input.units);
    let charges = known_charges(input.plant, input.crew, input.units, notes);
    let charges = charges.map(|charges| Charges { late: late(times, input.crew), ..charges });
    let grid = grid.map_err(|faults| notes.extend(faults)).ok()?;
    if basis::report::has_fault(notes) {
        return None;
    }
    let basis = charges.map_or(Basis::Odds(defaults::ODDS_OF_SHORT), |_| Basis::LeastCost);
    let Table { rows, recommended } = table(law, &grid, charges.as_ref(), defaults::ODDS_OF_SHORT);
    let recommended = rows[recommended];
    let loads = split(grid.down(recommended.quantity.in_cubic_metres()), grid.limits);
    let loads =
        loads.evened.unwrap_or(loads.full_first).into_iter().map(|load| grid.quantity(load)).collect();
    Some((rows, recommended, basis, loads))
}

/// Cost of the crew that waits for a called load because the call is late; 0 in time, or where it is not known.
fn late(times: &CallTimes, crew: &Crew) -> f64 {
    let (Some(call_by), Some(idle)) = (times.call_by, crew.idle_cost) else { return 0.0 };
    TimeSpan::ZERO.max(-call_by) / idle.per * idle.amount.in_units()
}

/// The tickets as a measurement, and the concrete used with its doubt for people.
fn seen(input: &BalanceInput<'_>, loss_share: f64) -> (Seen, Estimate<Volume>) {
    let delivered: Volume = input.delivered.iter().copied().sum();
    let variance: f64 =
        input.delivered.iter().map(|load| (defaults::TICKET_DOUBT * load.in_cubic_metres()).powi(2)).sum();
    let sd = Volume::cubic_metres((variance + input.in_drum.sd.in_cubic_metres().powi(2)).sqrt());
    let origin = if input.in_drum.origin == Origin::Assumed { Origin::Assumed } else { Origin::Measured };
    let used = Estimate::new(delivered - input.in_drum.mean, sd, origin);
    (Seen { delivered: delivered.in_cubic_metres(), variance, loss_share }, used)
}

/// What must still be called: loads to come stray from their tickets as those delivered did.
fn still_needed(input: &BalanceInput<'_>, belief: &Belief, share: f64) -> Estimate<Volume> {
    let (need, variance) = belief.still_needed(share);
    let tickets = (defaults::TICKET_DOUBT * need).powi(2);
    let mean = Volume::cubic_metres(need) - input.on_the_way;
    Estimate::new(mean, Volume::cubic_metres((variance + tickets).sqrt()), Origin::Derived)
}

fn loss_share(input: &BalanceInput<'_>, notes: &mut Vec<Note>) -> f64 {
    input.loss_share.unwrap_or_else(|| {
        let share = input.regions.placed / (input.regions.placed + input.regions.remaining);
        let message = format!("{} of the loss is taken as behind, as of the floor", words::percent(share));
        notes.push(Note::remark("loss-share-assumed", Place::job(), message));
        share
    })
}

fn warn_of_surprise(
    conditioned: &Conditioned,
    used: Estimate<Volume>,
    units: UnitSystem,
    notes: &mut Vec<Note>,
) {
    if conditioned.surprise.abs() <= 3.0 {
        return;
    }
    let expected = conditioned.expected_used;
    let message = format!(
        "{} used where {} \u{b1} {} was expected: {:.1} standard deviations",
        words::volume(used.mean, units),
        words::volume(expected.mean, units),
        words::volume(expected.sd, units),
        conditioned.surprise.abs(),
    );
    let hint = if conditioned.surprise > 0.0 {
        "check where the line is and add up the tickets; look for a form that gave way or a soft base"
    } else {
        "check where the line is and add up the tickets; look for a slab thinner than designed"
    };
    notes.push(Note::warning("delivery-far-from-expected", Place::job(), message, hint));
}

fn remark_on_time(times: &CallTimes, recommended: OrderRow, notes: &mut Vec<Note>) {
    if recommended.quantity <= Volume::ZERO {
        return;
    }
    if let Some(late) = times.call_by.filter(|t| t.in_seconds() < 0.0) {
        let message = format!(
            "the call was due {} ago; the crew will stand idle that long",
            words::minutes(late.abs())
        );
        notes.push(Note::warning("call-is-late", Place::at("plant.call_lead"), message, "call now"));
    } else if times.call_by.is_none() {
        notes.push(Note::remark(
            "call-time-unknown",
            Place::at("plant.call_lead"),
            "the plant's lead time is not stated, so there is no latest time to call",
        ));
    }
}

#[cfg(test)]
mod tests;
