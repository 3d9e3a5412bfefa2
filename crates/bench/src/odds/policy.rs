//! What each way of ordering comes to on one floor.

use basis::{Estimate, Money, Origin, Price, TimeSpan, UnitSystem, Volume};
use pour::balance::{Balance, BalanceInput, Regions, balance};
use pour::chance::{Normal, standard_normal};
use pour::defaults::{DRUM_DOUBT, TICKET_DOUBT};
use pour::job::{Crew, Plant};
use pour::order::{Charges, Grid, Hold, Measure, Order, OrderInput, charges, grid, order};
use rand::Rng;

use super::floor::{Floor, Shots, World};
use super::judge::Judge;

/// Doubt of where the line is, averaged over its width and read with a tape: 3 in. (common practice, no source).
const LINE: f64 = 0.25 * 0.3048;

/// Plant and crew of all floors, with the plant's terms in plain numbers.
pub struct Terms {
    /// The plant.
    pub plant: Plant,
    /// The crew.
    pub crew: Crew,
    /// Its charges.
    pub charges: Charges,
    /// Its increments.
    pub grid: Grid,
}

/// What is hidden while the floor is ordered and placed.
pub struct Truth {
    /// True allowance.
    pub allowance: f64,
    /// True loss, m³.
    pub loss: f64,
    /// True volume inside the forms, m³.
    pub forms: f64,
    /// The allowance as the crew's own pours let it state it; absent: it has none.
    pub stated: Option<Estimate<f64>>,
}

impl Truth {
    /// What the floor takes, m³.
    pub fn need(&self) -> f64 {
        self.forms * (1.0 + self.allowance) + self.loss
    }
}

impl Terms {
    /// Invented terms, an example: those of `pour::order::example_terms` with a further truck as in one crew's account, 2 yd³ at
    /// the least and 430 dollars for them, and 30 min from the call to a truck that the plant holds ready.
    pub fn example() -> Self {
        Self::with(110, 40)
    }

    /// The same with another fee for a short load and another price of being rid of a yard, in dollars.
    pub fn with(fee: i64, disposal: i64) -> Self {
        let (mut plant, crew) = pour::order::example_terms();
        plant.minimum_load = Some(Volume::cubic_yards(2.0));
        plant.short_load_fee = Some(Money::ten_thousandths(fee * 10_000));
        plant.fuel = Some(Money::cents(1_250));
        plant.disposal =
            Some(Price { amount: Money::ten_thousandths(disposal * 10_000), per: Volume::cubic_yards(1.0) });
        plant.call_lead = Some(TimeSpan::minutes(30.0));
        let units = UnitSystem::Us;
        let charges = charges(&plant, &crew, units).expect("the example states every term").0;
        let grid = grid(&plant, 100.0, units).expect("the example's increment suits 100 m³");
        Self { plant, crew, charges, grid }
    }

    /// What loads cost beyond the price of what they bring: what a minimum leaves unused, short-load fees, standby.
    pub fn beyond(&self, loads: &[Volume]) -> f64 {
        loads
            .iter()
            .map(|load| load.in_cubic_metres())
            .map(|v| self.charges.load(v) - self.charges.price * v)
            .sum()
    }

    /// What the plant adds to the loads that no order can do without: the least trucks that bring the need.
    pub fn least_trips(&self, need: f64) -> f64 {
        let trucks = self.grid.up(need).div_ceil(self.grid.limits.truck);
        self.charges.each_load.unwrap_or(0.0) * f64::from(trucks)
    }

    /// The same for a quantity in the cheaper of its splits.
    pub fn beyond_split(&self, ordered: f64) -> f64 {
        let steps = self.grid.up(ordered);
        self.charges.order(steps, &self.grid) - self.charges.price * self.grid.volume(steps)
    }

    /// Cost of being wrong: all that is paid after the order beyond the price of what the floor takes.
    ///
    /// Left over: its price and its disposal. Short: the further truck with minimum, fee, waiting crew and the disposal of
    /// its own rest, less the price of the lack. What the order's own loads cost beyond their price: [`Self::beyond`].
    pub fn wrong(&self, ordered: f64, need: f64) -> f64 {
        let lack = need - ordered;
        if lack <= 0.0 {
            return -lack * (self.charges.price + self.charges.disposal);
        }
        let further = self.grid.up(lack);
        let rest = (self.grid.volume(further) - lack).max(0.0);
        self.charges.order(further, &self.grid) + self.charges.waiting + rest * self.charges.disposal
            - lack * self.charges.price
    }
}

/// Draws what is hidden.
pub fn truth(floor: &Floor, world: &World, rng: &mut impl Rng) -> Truth {
    let loss = pour::defaults::loss();
    let (allowance, stated) = match world.history {
        0 => (world.allowance.0 + world.allowance.1 * standard_normal(rng), None),
        pours => with_history(world.allowance, pours, rng),
    };
    Truth {
        allowance,
        loss: (loss.mean + loss.sd * standard_normal(rng)).in_cubic_metres().max(0.0),
        forms: floor.volume_to(floor.length),
        stated,
    }
}

/// From pour to pour of one crew the allowance strays by this (our choice: half of the doubt about any crew's).
const WITHIN: f64 = 0.01;

/// Doubt of the allowance that one earlier pour shows: the volume inside the forms, figured from shots, is known to 2.5 %.
const FIGURED: f64 = 0.025;

/// The allowance of one pour, and what the crew makes of its earlier ones: the crew's own mean is a draw about the default,
/// each earlier pour shows it with `WITHIN` and `FIGURED`, and the two are weighed by their precisions.
fn with_history((mean, sd): (f64, f64), pours: u32, rng: &mut impl Rng) -> (f64, Option<Estimate<f64>>) {
    let between = sd * sd - WITHIN * WITHIN;
    let own = mean + between.sqrt() * standard_normal(rng);
    let noise = (WITHIN * WITHIN + FIGURED * FIGURED) / f64::from(pours);
    let shown = own + noise.sqrt() * standard_normal(rng);
    let precision = 1.0 / between + 1.0 / noise;
    let learned = (mean / between + shown / noise) / precision;
    let spread = (1.0 / precision + WITHIN * WITHIN).sqrt();
    (own + WITHIN * standard_normal(rng), Some(Estimate::new(learned, spread, Origin::Learned)))
}

/// The tool's order for a volume inside the forms.
pub fn our_order(forms: Estimate<Volume>, cuts: &[Regions], truth: &Truth, terms: &Terms) -> Order {
    let input = OrderInput {
        forms,
        allowance: truth.stated,
        loss: None,
        plant: &terms.plant,
        crew: &terms.crew,
        cuts,
        units: UnitSystem::Us,
    };
    order(&input).value.expect("a simulated floor has a volume")
}

/// Volume inside the forms as judged from the shots.
pub fn judged_volume(judge: &Judge, floor: &Floor) -> Estimate<Volume> {
    let judged = judge.split_at(0.5 * floor.length);
    let c = judged.covariance;
    let sd = (c[0][0] + 2.0 * c[0][1] + c[1][1]).max(0.0).sqrt();
    let mean = judged.mean[0] + judged.mean[1];
    Estimate::new(Volume::cubic_metres(mean), Volume::cubic_metres(sd), Origin::Derived)
}

/// What the tool hands its order of how the placing goes: the floor cut at twelfths of its length.
pub fn cuts(judge: &Judge, floor: &Floor) -> Vec<Regions> {
    (1..12).map(|i| regions(judge, floor, floor.length * f64::from(i) / 12.0)).collect()
}

/// Average of the shots times the area, plus a flat share, up to the increment.
pub fn flat_order(shots: &Shots, floor: &Floor, share: f64, grid: &Grid) -> f64 {
    let mean = -shots.points.iter().map(|p| p[2]).sum::<f64>() / shots.points.len() as f64;
    grid.volume(grid.up(mean * floor.length * floor.width * (1.0 + share)))
}

/// What the last-load call came to.
pub struct Called {
    /// Cost of being wrong, the wait for the called load included.
    pub cost: f64,
    /// Spread of the need when called, m³.
    pub spread: f64,
    /// The same for a crew that knew exactly what the rest of the floor takes: the least that any call can cost.
    pub perfect: f64,
    /// Chances that the tool gave to a need above the true one: even, if they are right.
    pub rank: f64,
}

/// Orders with a hold, measures when the hold says so, and calls the balance; `None` for a floor of one truck.
pub fn last_load_call(
    order: &Order,
    judge: &Judge,
    floor: &Floor,
    truth: &Truth,
    terms: &Terms,
    rng: &mut impl Rng,
) -> Option<Called> {
    let hold = order.hold.as_ref()?;
    let came: f64 = hold
        .loads
        .iter()
        .map(|load| load.in_cubic_metres() * (1.0 + TICKET_DOUBT * standard_normal(rng)))
        .sum();
    let (left, doubt) = match hold.measure {
        Measure::AtTruckChange => (*hold.loads.last()?, Volume::ZERO),
        Measure::LeftInDrum(left) => (left, left * DRUM_DOUBT),
    };
    let in_drum = (left + doubt * standard_normal(rng)).max(Volume::ZERO).min(hold.hold);
    let at = line(floor, truth, came - left.in_cubic_metres());
    let told = (at + LINE * standard_normal(rng)).clamp(0.0, floor.length);
    let call = call(
        hold,
        regions(judge, floor, told),
        Estimate::new(in_drum, doubt, Origin::Measured),
        truth,
        terms,
    );
    let drift = 1.0 + TICKET_DOUBT * standard_normal(rng);
    let ordered = call.recommended.quantity.in_cubic_metres();
    let rest = truth.need() - came;
    let paid = |steps: u32| {
        let wait = if steps > 0 { wait_cost(left, terms) } else { 0.0 };
        let called = terms.grid.volume(steps);
        let beyond = terms.beyond(&hold.loads) + terms.beyond_split(called) - terms.least_trips(truth.need());
        beyond + terms.wrong(called * drift, rest) + wait
    };
    let most = terms.grid.up(rest.max(0.0)) + 40;
    let perfect = (0..=most).map(paid).fold(f64::INFINITY, f64::min);
    let law = Normal { mean: call.need.mean.in_cubic_metres(), sd: call.need.sd.in_cubic_metres() };
    Some(Called {
        cost: paid(terms.grid.up(ordered)),
        spread: law.sd,
        perfect,
        rank: law.above(rest / drift),
    })
}

/// The tool's call.
fn call(hold: &Hold, regions: Regions, in_drum: Estimate<Volume>, truth: &Truth, terms: &Terms) -> Balance {
    let input = BalanceInput {
        regions,
        delivered: &hold.loads,
        in_drum,
        on_the_way: Volume::ZERO,
        allowance: truth.stated,
        loss: None,
        loss_share: None,
        plant: &terms.plant,
        crew: &terms.crew,
        units: UnitSystem::Us,
    };
    balance(&input).value.expect("a simulated pour can be called")
}

/// The floor on both sides of the line as told.
fn regions(judge: &Judge, floor: &Floor, told: f64) -> Regions {
    let judged = judge.split_at(told);
    let depth = (judged.mean[0] + judged.mean[1]) / (floor.length * floor.width);
    Regions {
        placed: Volume::cubic_metres(judged.mean[0].max(0.0)),
        remaining: Volume::cubic_metres(judged.mean[1].max(0.0)),
        covariance: judged.covariance,
        line: Volume::cubic_metres(LINE * floor.width * depth),
    }
}

/// Where the line lies when so much concrete has left the drums: bisection on the truth.
fn line(floor: &Floor, truth: &Truth, used: f64) -> f64 {
    let (mut low, mut high) = (0.0, floor.length);
    for _ in 0..50 {
        let x = 0.5 * (low + high);
        let takes = floor.volume_to(x) * (1.0 + truth.allowance) + truth.loss * x / floor.length;
        if takes < used { low = x } else { high = x }
    }
    0.5 * (low + high)
}

/// The crew's wait between placing what is at hand and the called load.
fn wait_cost(at_hand: Volume, terms: &Terms) -> f64 {
    let lead = terms.plant.call_lead.expect("the example states the lead");
    let idle = terms.crew.idle_cost.expect("the example states the cost of the crew");
    let wait = (lead - at_hand / terms.crew.placing_rate.mean).max(TimeSpan::ZERO);
    wait / idle.per * idle.amount.in_units()
}
