//! Order, loads and trucks in the report.

use basis::Volume;
use pour::loads::{LoadLine, LoadPlan};
use pour::order::{Basis, Hold, Measure, Need, Order, OrderRow};
use pour::trucks::{Band, SpacingBasis, SpacingTrial, Timeline, Totals, TruckRow};
use serde_json::Value;

use super::part::Part;
use super::units::{self, list, or_null, refer};

pub(super) fn order() -> Part<Order> {
    let evened = or_null(&list(&refer("volume")));
    Part::<Order>::new("What to order.")
        .part("need", "What the floor will take.", need(), |o| &o.need)
        .part("recommended", "The quantity to order.", row(), |o| &o.recommended)
        .word("basis", "By what rule.", &["least-cost", "odds"], |o| match o.basis {
            Basis::LeastCost => "least-cost",
            Basis::Odds(_) => "odds",
        })
        .maybe("odds", "The largest chance of short accepted, when by odds.", |o| match o.basis {
            Basis::LeastCost => None,
            Basis::Odds(chance) => Some(chance),
        })
        .quantities("loads", "Full trucks first, the balance last.", |o| &o.loads)
        .any("loads_evened", "The last loads made even; null when that gains nothing.", evened, |o, _| {
            o.loads_evened.as_ref().map_or(Value::Null, |l| l.iter().copied().map(units::quantity).collect())
        })
        .list("rows", "Every quantity in the range of the odds, rising.", row(), |o| &o.rows)
        .maybe_part("hold", "The open order with a hold; null when there is none.", hold(), |o| {
            o.hold.as_ref()
        })
}

fn need() -> Part<Need> {
    Part::<Need>::new("What the floor will take.")
        .estimate("forms", "Volume inside the forms.", |n| n.forms)
        .estimate("allowance", "Extra as a share of that.", |n| n.allowance)
        .estimate("loss", "Concrete that never reaches the floor.", |n| n.loss)
        .estimate("total", "All together.", |n| n.total)
}

fn row() -> Part<OrderRow> {
    Part::<OrderRow>::new("One quantity with its odds.")
        .quantity("quantity", "What is ordered.", |r| r.quantity)
        .quantity("chance_short", "Chance that it does not fill the floor.", |r| r.chance_short)
        .quantity("expected_short", "Expected lack.", |r| r.expected_short)
        .quantity("expected_left", "Expected left over.", |r| r.expected_left)
        .any("cost", "Expected cost; null when terms are missing.", or_null(&refer("money")), |r, c| {
            units::money(r.cost, c.job)
        })
}

fn hold() -> Part<Hold> {
    Part::<Hold>::new("An open order with a hold.")
        .quantity("open_order", "The most that may be needed.", |h| h.open_order)
        .quantity("hold", "Comes without asking; then measure and call.", |h| h.hold)
        .quantities("loads", "Loads up to the hold.", |h| &h.loads)
        .word("measure", "When to measure.", &["at-truck-change", "left-in-drum"], |h| match h.measure {
            Measure::AtTruckChange => "at-truck-change",
            Measure::LeftInDrum(_) => "left-in-drum",
        })
        .maybe("left_in_drum", "When so much is left in the only drum.", |h| match h.measure {
            Measure::AtTruckChange => None,
            Measure::LeftInDrum(left) => Some(left),
        })
        .quantity("chance_too_much", "Chance that the hold is too much.", |h| h.chance_too_much)
        .quantity::<Volume>("balance_low", "Smallest balance to expect.", |h| h.balance.0)
        .quantity::<Volume>("balance_high", "Largest balance to expect.", |h| h.balance.1)
        .any(
            "cost",
            "Expected cost of all loads and the call; null when the odds chose the hold.",
            or_null(&refer("money")),
            |h, c| units::money(h.ahead.map(|ahead| ahead.cost), c.job),
        )
        .any("saves", "What that is under the order placed once.", or_null(&refer("money")), |h, c| {
            units::money(h.ahead.map(|ahead| ahead.saves), c.job)
        })
        .maybe("wait", "How long the crew waits for the called load.", |h| h.ahead.map(|ahead| ahead.wait))
        .maybe("spread_at_order", "Spread of what is still needed, as seen now.", |h| {
            h.ahead.map(|a| a.spread[0])
        })
        .maybe("spread_at_call", "The same as seen at the call.", |h| h.ahead.map(|a| a.spread[1]))
}

pub(super) fn loads() -> Part<LoadPlan> {
    Part::<LoadPlan>::new("Where each load ends.")
        .quantities("bays", "Volume in the forms of each bay, in order.", |l| &l.bays)
        .quantity("forms", "Of all bays.", |l| l.forms)
        .quantity("uncovered", "Of that, covered by no load.", |l| l.uncovered)
        .list("lines", "One a load.", load_line(), |l| &l.lines)
}

fn load_line() -> Part<LoadLine> {
    Part::<LoadLine>::new("One load.")
        .count("load", "Its number, from 1.", |l| l.load)
        .quantity("size", "What the ticket says.", |l| l.size)
        .quantity("covers", "Volume in the forms that it covers.", |l| l.covers)
        .quantity("covered", "With all before it.", |l| l.covered)
        .quantity("over", "What it would still cover when the floor is full.", |l| l.over)
        .count("bay", "Number of the bay where it ends.", |l| l.end.bay)
        .quantity("along", "Tape from that bay's start.", |l| l.end.along)
        .points("line", "The line across the bay.", |l| &l.end.line)
}

pub(super) fn trucks() -> Part<Timeline> {
    let money = || or_null(&refer("money"));
    Part::<Timeline>::new("The trucks over many drawn days; times from when the first is asked for.")
        .quantities("loads", "The loads.", |t| &t.loads)
        .maybe("spacing", "Time between trucks as ordered; null when on call.", |t| t.spacing)
        .quantity("matched_spacing", "Time between full trucks at the placing rate.", |t| t.matched)
        .list("trucks", "One row a truck.", truck(), |t| &t.trucks)
        .part("totals", "All together.", totals(), |t| &t.totals)
        .any("standby_charge", "Mean; null when terms are missing.", money(), |t, c| {
            units::money(t.standby_charge, c.job)
        })
        .any("idle_cost", "Mean; null when it is not stated.", money(), |t, c| {
            units::money(t.idle_cost, c.job)
        })
        .maybe_count("trucks_needed", "Keep the crew going; null without a haul.", |t| {
            t.trucks_needed.map(u64::from)
        })
        .list("spacings", "Other spacings on the same days.", trial(), |t| &t.spacings)
        .count("best_spacing", "Index of the best of them, from 0.", |t| t.best_spacing)
        .word("spacing_basis", "By what rule.", &["least-cost", "least-minutes"], |t| match t.spacing_basis {
            SpacingBasis::LeastCost => "least-cost",
            SpacingBasis::LeastMinutes => "least-minutes",
        })
}

pub(super) fn band() -> Part<Band> {
    Part::<Band>::new("A time over all days.")
        .quantity("low", "One day in ten is under this.", |b| b.low)
        .quantity("middle", "As many days under as over.", |b| b.middle)
        .quantity("high", "One day in ten is over this.", |b| b.high)
        .quantity("mean", "The average.", |b| b.mean)
}

fn truck() -> Part<TruckRow> {
    Part::<TruckRow>::new("One truck.")
        .quantity("asked", "When it is asked for on site.", |t| t.asked)
        .part("arrive", "When it arrives.", band(), |t| &t.arrive)
        .part("start", "When it starts to unload.", band(), |t| &t.start)
        .part("done", "When it is empty.", band(), |t| &t.done)
        .part("wait", "How long it waits.", band(), |t| &t.wait)
        .part("idle", "How long the crew idles before it.", band(), |t| &t.idle)
        .part("age", "Age of its concrete when it is empty.", band(), |t| &t.age)
        .maybe("chance_cold_joint", "Chance that the open edge is too old.", |t| t.chance_cold_joint)
        .maybe("chance_over_limit", "Chance of passing the discharge limit.", |t| t.chance_over_limit)
}

fn totals() -> Part<Totals> {
    Part::<Totals>::new("All trucks together.")
        .part("end", "When the last concrete is placed.", band(), |t| &t.end)
        .part("wait", "Sum of the trucks' waits.", band(), |t| &t.wait)
        .maybe_part("standby", "On site beyond the free time; null when not stated.", band(), |t| {
            t.standby.as_ref()
        })
        .part("idle", "How long the crew idles.", band(), |t| &t.idle)
        .maybe("chance_cold_joint", "Chance that some edge is too old.", |t| t.chance_cold_joint)
        .maybe("chance_over_limit", "Chance that some concrete is past its limit.", |t| t.chance_over_limit)
}

fn trial() -> Part<SpacingTrial> {
    Part::<SpacingTrial>::new("One spacing.")
        .quantity("spacing", "Time between two trucks.", |s| s.spacing)
        .part("totals", "What comes of it.", totals(), |s| &s.totals)
        .any("cost", "Standby and idle crew; null when not known.", or_null(&refer("money")), |s, c| {
            units::money(s.cost, c.job)
        })
}
