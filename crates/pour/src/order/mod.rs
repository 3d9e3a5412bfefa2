//! How much concrete to order, with the odds of running short.

mod charges;
mod check;
mod example;
mod grid;
mod hold;
mod loads;
mod need;
mod stages;
mod table;

use basis::{Estimate, Note, Place, Report, TimeSpan, UnitSystem, Volume};

pub use charges::{Charges, charges, wait_for_a_further_truck};
pub(crate) use check::check_estimates;
pub use example::example_terms;
pub use grid::{Grid, grid};
pub use hold::{Ahead, Hold, Measure, hold};
pub use loads::{LoadLimits, Split, split};
pub use need::{Need, need};
pub use stages::Stages;
pub use table::{OrderRow, Table, expected_cost, row, table};

use crate::balance::Regions;
use crate::job::{Crew, Plant};
use crate::{defaults, words};

/// What an order is figured from.
#[derive(Debug, Clone, Copy)]
pub struct OrderInput<'a> {
    /// Volume inside the forms with its doubt.
    pub forms: Estimate<Volume>,
    /// Extra as a share of that; absent: the published default.
    pub allowance: Option<Estimate<f64>>,
    /// Concrete that never reaches the floor; absent: the customary default.
    pub loss: Option<Estimate<Volume>>,
    /// The plant's terms.
    pub plant: &'a Plant,
    /// The crew, for what its waiting costs.
    pub crew: &'a Crew,
    /// The floor on both sides of lines along the placing, in the order in which the placing reaches them: what a call
    /// will know. Without any the hold goes by the odds.
    pub cuts: &'a [Regions],
    /// Units of the messages.
    pub units: UnitSystem,
}

/// By what rule a quantity is recommended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Basis {
    /// The least expected cost by the plant's terms.
    LeastCost,
    /// The least quantity whose chance of short is at most this; money is not known.
    Odds(f64),
}

/// How much to order, and what may come of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// What the floor will take.
    pub need: Need,
    /// Every quantity that can be ordered across the relevant range, rising.
    pub rows: Vec<OrderRow>,
    /// The recommended one.
    pub recommended: OrderRow,
    /// By what rule.
    pub basis: Basis,
    /// The recommended order as loads: full trucks first, the balance last.
    pub loads: Vec<Volume>,
    /// The same with the last loads made even, where full trucks first would leave a short last load.
    pub loads_evened: Option<Vec<Volume>>,
    /// The open order with a hold; absent when one truck brings the recommended order.
    pub hold: Option<Hold>,
}

/// Figures the order: the odds for every quantity, the recommended one, its loads and the hold.
///
/// Method, sources and limits: `docs/methods/order.md`. Refused with faults when the volume or a term is impossible;
/// when plant terms are missing, the odds come without money and a note for each says so.
///
/// ```
/// # use basis::{Estimate, Origin, UnitSystem, Volume};
/// # let (plant, crew) = pour::order::example_terms();
/// let forms = Estimate::new(Volume::cubic_yards(14.0), Volume::cubic_yards(0.4), Origin::Derived);
/// let input = pour::order::OrderInput { forms, allowance: None, loss: None, plant: &plant, crew: &crew, cuts: &[], units: UnitSystem::Us };
/// let report = pour::order::order(&input);
/// let order = report.value.expect("a plain floor has an order");
/// // Need 14 × 1.04 + 4/27 = 14.71 yd³; the order stands above it.
/// assert!((order.need.total.mean.in_cubic_yards() - 14.708).abs() < 1e-3);
/// assert!(order.recommended.quantity > order.need.total.mean);
/// ```
#[must_use]
pub fn order(input: &OrderInput<'_>) -> Report<Order> {
    let mut notes = Vec::new();
    let (allowance, loss) = priors(input.allowance, input.loss, input.units, &mut notes);
    check_estimates(input.forms, allowance, loss, input.units, &mut notes);
    notes.extend(charges::bad_terms(input.plant, input.crew, input.units));
    let need = need(input.forms, allowance, loss);
    let law = need.law();
    let grid = match grid(input.plant, law.mean + 8.0 * law.sd, input.units) {
        Ok(grid) => grid,
        Err(faults) => return refuse(notes, faults),
    };
    if basis::report::has_fault(&notes) {
        return Report::refused(notes);
    }
    let charges = known_charges(input.plant, input.crew, input.units, &mut notes);
    let basis = charges.map_or(Basis::Odds(defaults::ODDS_OF_SHORT), |_| Basis::LeastCost);
    let Table { rows, recommended } = table(law, &grid, charges.as_ref(), defaults::ODDS_OF_SHORT);
    let recommended = rows[recommended];
    remark_on_odds(&recommended, basis, &mut notes);
    let once = grid.down(recommended.quantity.in_cubic_metres());
    let loads = split(once, grid.limits);
    // An order that one truck brings leaves nothing to call, even if the most that may be needed takes two.
    let several = loads.full_first.len() > 1;
    let hold = if several { best_hold(input, &need, grid, charges.as_ref(), once) } else { None };
    let quantities = |loads: Vec<u32>| loads.into_iter().map(|load| grid.quantity(load)).collect::<Vec<_>>();
    let order = Order {
        need,
        rows,
        recommended,
        basis,
        loads: quantities(loads.full_first),
        loads_evened: loads.evened.map(quantities),
        hold,
    };
    Report::with(order, notes)
}

/// The hold: of least expected cost where terms, lead time and the course of the floor are known, else by the odds.
fn best_hold(
    input: &OrderInput<'_>,
    need: &Need,
    grid: Grid,
    charges: Option<&Charges>,
    once: u32,
) -> Option<Hold> {
    let at_hand = placed_during_lead(input.plant, input.crew);
    let (Some(charges), Some(at_hand), Some(lead), false) =
        (charges, at_hand, input.plant.call_lead, input.cuts.is_empty())
    else {
        return hold(need.law(), &grid, at_hand);
    };
    let idle = input.crew.idle_cost.zip(longest_wait(input.plant));
    let idle = idle.map(|(idle, longest)| (idle.amount.in_units() / idle.per.in_seconds(), longest));
    Stages { need, cuts: input.cuts, grid, charges, lead, at_hand, idle }.hold(once)
}

/// The longest wait that a plan may ask of an open edge: its cold-joint age less twice the doubt of a truck's arrival.
fn longest_wait(plant: &Plant) -> Option<TimeSpan> {
    plant.cold_joint.map(|age| (age - defaults::lateness() * 2.0).max(TimeSpan::ZERO))
}

/// What the crew places between the call and the truck, m³.
fn placed_during_lead(plant: &Plant, crew: &Crew) -> Option<f64> {
    let placed = (crew.placing_rate.mean * plant.call_lead?).in_cubic_metres();
    (placed.is_finite() && placed >= 0.0).then_some(placed)
}

fn refuse<T>(mut notes: Vec<Note>, faults: Vec<Note>) -> Report<T> {
    notes.extend(faults);
    Report::refused(notes)
}

/// Allowance and loss as stated, or the defaults with a remark that they are assumed.
pub(crate) fn priors(
    allowance: Option<Estimate<f64>>,
    loss: Option<Estimate<Volume>>,
    units: UnitSystem,
    notes: &mut Vec<Note>,
) -> (Estimate<f64>, Estimate<Volume>) {
    let allowance = allowance.unwrap_or_else(|| {
        let assumed = defaults::allowance();
        let (mean, sd) = (100.0 * assumed.mean, 100.0 * assumed.sd);
        notes.push(Note::remark(
            "allowance-assumed",
            Place::at("allowance"),
            format!("allowance of {mean:.0} % \u{b1} {sd:.0} % assumed; {}", defaults::ALLOWANCE_SOURCE),
        ));
        assumed
    });
    let loss = loss.unwrap_or_else(|| {
        let assumed = defaults::loss();
        let (mean, sd) = (words::volume(assumed.mean, units), words::volume(assumed.sd, units));
        notes.push(Note::remark(
            "loss-assumed",
            Place::at("loss"),
            format!("loss of {mean} \u{b1} {sd} assumed; {}", defaults::LOSS_SOURCE),
        ));
        assumed
    });
    (allowance, loss)
}

/// The charges if they are known, with all that there is to say about them.
pub(crate) fn known_charges(
    plant: &Plant,
    crew: &Crew,
    units: UnitSystem,
    notes: &mut Vec<Note>,
) -> Option<Charges> {
    let (charges, said) = match charges(plant, crew, units) {
        Ok((charges, said)) => (Some(charges), said),
        Err(said) => (None, said),
    };
    notes.extend(said);
    charges
}

/// The cheapest order may still be often short: the money does not know what a cold joint costs.
fn remark_on_odds(row: &OrderRow, basis: Basis, notes: &mut Vec<Note>) {
    if basis == Basis::LeastCost && row.chance_short > 0.2 {
        let odds = words::percent(row.chance_short);
        notes.push(Note::remark(
            "cheapest-is-often-short",
            Place::job(),
            format!(
                "the cheapest order runs short with a chance of {odds}; a cold joint is not in the money"
            ),
        ));
    }
}

#[cfg(test)]
mod tests;
