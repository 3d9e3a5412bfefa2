//! Published or customary values that stand in until the crew states or learns its own.
//!
//! Each is an estimate marked assumed, with the text that says where it comes from. None is money.

use basis::{Estimate, Origin, Volume};

/// Extra concrete over the forms' volume when nobody has stated it: 4 % with 2 % of doubt.
///
/// CIP 8 [@nrmca-cip-8] asks for 4 to 10 % over the plan, for all causes together: base, forms, waste and
/// the loss of about 2 % of volume from fresh to hardened. Here the base is measured and waste stands
/// apart as loss, so the low end is the expected value: 2 % for hardening and 2 % for forms that spread
/// and a base that settles under the pour. The doubt is our choice: 0 % and 10 %, the ends of what the
/// trade orders, then lie two below and three standard deviations above.
#[must_use]
pub const fn allowance() -> Estimate<f64> {
    Estimate::new(0.04, 0.02, Origin::Assumed)
}

/// Where [`allowance`] comes from, for people.
pub const ALLOWANCE_SOURCE: &str = "published: order 4 to 10 % over plan, hardened volume about 2 % under fresh (NRMCA CIP 8); the low end, \
     because the base is shot and the loss is counted apart; the doubt is our choice";

/// Concrete that never reaches the floor when nobody has stated it: 4 ft³ with 2 ft³ of doubt.
///
/// Two barrow loads of 2 ft³ for what stays in drums, on chutes and tools and on the ground. Common
/// practice, no source for the sum; the barrow of 2 ft³ is an old handbook's mean wet load. The
/// doubt of half of it is our choice: nothing at all is then two standard deviations away.
#[must_use]
pub const fn loss() -> Estimate<Volume> {
    Estimate::new(Volume::cubic_feet(4.0), Volume::cubic_feet(2.0), Origin::Assumed)
}

/// Where [`loss`] comes from, for people.
pub const LOSS_SOURCE: &str =
    "common practice, no source: about two barrow loads stay in the drum, on the chute and on the ground";

/// Doubt of the volume on one ticket as a share of the load, one standard deviation: 1 %.
///
/// Batching tolerances are 1 % for cement and water and 2 % for aggregates (ASTM C94, from memory), which act
/// against each other in part. What is common to all loads of a day belongs to the allowance.
pub const TICKET_DOUBT: f64 = 0.01;

/// Spread of a look into a drum as a share of what is told to be in it, one standard deviation: 10 %.
///
/// Common practice, no source: a driver tells the yards that are left to about half a yard in five. What
/// is nearly empty is seen nearly exactly, so it is a share.
pub const DRUM_DOUBT: f64 = 0.10;

/// Most acceptable chance of running short when the plant's terms are not known: 1 in 6.
///
/// The newsvendor's ratio [@arrow-harris-marschak-1951]: order up to the point where the chance of being
/// short is `c_over / (c_over + c_short)`. Half a yard short has cost about five times half a yard left over
/// in the accounts of crews (a further truck at its minimum, the wait, the cold joint), so 1/(1 + 5).
pub const ODDS_OF_SHORT: f64 = 1.0 / 6.0;

/// How far a plant's departures stray from the ordered times, one standard deviation: 7.5 minutes.
///
/// Supplier terms commonly call 15 minutes to either side on time (a supplier's published terms); taken here as
/// two standard deviations.
#[must_use]
pub const fn lateness() -> basis::TimeSpan {
    basis::TimeSpan::minutes(7.5)
}

/// Where [`lateness`] comes from, for people.
pub const LATENESS_SOURCE: &str =
    "supplier terms commonly call 15 minutes to either side on time; taken as two standard deviations";
