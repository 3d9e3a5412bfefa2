//! The whole plan of a pour: a pure function of the job and a seed.
//!
//! In the order of the data: outline, floor, bays, finish, pads, survey, ground, order, loads, trucks,
//! reach, prep sheet. Every intermediate is kept. Faults of all stages that can still run are gathered.

mod call;

use basis::{Length, Note, Place, Report, Volume};
use ground::assemble::zones;
use ground::finish::FinishSurface;
use ground::outline::{Floor, Outline};
use ground::survey::{Levelled, ShotOn};
use ground::walk::AdjustedWalk;
use ground::{Ground, GroundInput, P2, Polygon, ground as assemble};
use rand::SeedableRng;
use rand::rngs::ChaCha12Rng;

use crate::bays::{BayInput, BayPlan, bays};
use crate::forecast::{Forecast, ForecastInput, forecast, sweep};
use crate::job::Job;
use crate::joints::{JointPlan, joints_of};
use crate::loads::{LoadInput, LoadPlan, loads};
use crate::order::{Order, OrderInput, order};
use crate::pads::{PadInput, PadPlan, pads};
use crate::prep::{PrepInput, PrepSheet, Verdict, above_the_laser, prep};
use crate::reach::{Reach, ReachInput, reach};
use crate::stone::{StoneAdvice, StoneInput, stone};
use crate::trucks::{Timeline, TruckInput, timeline};

pub use call::{Call, call};

/// Days drawn for the trucks.
pub const DRAWS: u32 = 200;
/// Sets the stream of the clock's draws apart from that of the trucks.
const CLOCK_STREAM: u64 = 0x636c_6f63_6b00_0001;

/// Everything figured for one pour.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The outline with its corners, adjusted if it was walked.
    pub outline: Outline,
    /// What the walk said, if it was walked.
    pub walk: Option<AdjustedWalk>,
    /// The floor.
    pub floor: Floor,
    /// The shots as elevations.
    pub levelled: Levelled,
    /// Index of the set-up in use: forms are set and pads are shot from it.
    pub datum: usize,
    /// The designed top.
    pub design: FinishSurface,
    /// Surfaces, thickness, volume and doubt.
    pub ground: Ground,
    /// The floor in bays.
    pub bays: BayPlan,
    /// Pads with their readings.
    pub pads: PadPlan,
    /// Where to saw, and what else keeps cracks away.
    pub joints: JointPlan,
    /// What to order.
    pub order: Order,
    /// Where each load ends.
    pub loads: LoadPlan,
    /// The trucks over many days.
    pub trucks: Timeline,
    /// What the chutes reach; absent when no stand is given.
    pub reach: Option<Reach>,
    /// Readings for forms and base.
    pub prep: PrepSheet,
    /// When each bay can be worked; absent when the job states no weather.
    pub forecast: Option<Forecast>,
    /// What working the base over would save or cost.
    pub stone: StoneAdvice,
}

/// The floor before anything is shot: outline, walk, bays.
struct Drawn {
    outline: Outline,
    walk: Option<AdjustedWalk>,
    floor: Floor,
}

/// Figures the plan of a job; the same job and seed give the same plan.
///
/// # Errors
/// Refused with the faults of every stage that could still be run.
#[must_use]
pub fn plan(job: &Job, seed: u64) -> Report<Plan> {
    let Report { value, notes } = figured(job, seed);
    Report { value, notes: notes.into_iter().map(|note| note.in_units(job.units)).collect() }
}

fn figured(job: &Job, seed: u64) -> Report<Plan> {
    let mut notes = Vec::new();
    let drawn = drawn(job, &mut notes);
    let levelled = ground::survey::level(&job.survey).unload(&mut notes);
    let zone_rings: Vec<(Vec<P2>, Place)> =
        job.base.zones.iter().map(|z| (z.corners.clone(), z.place.clone())).collect();
    let zones = zones(&zone_rings).unload(&mut notes);
    let datum = levelled.as_ref().and_then(|l| datum(job, l, &mut notes));
    let design =
        drawn.as_ref().and_then(|d| ground::finish::surface(&job.finish, &d.floor).unload(&mut notes));
    let (Some(drawn), Some(levelled), Some(zones), Some(datum), Some(design)) =
        (drawn, levelled, zones, datum, design)
    else {
        return Report::refused(notes);
    };
    forms_above_ground(&drawn.floor, &design, &levelled, &mut notes);
    let Some((bays, pads)) = laid_out(job, &drawn, &design, (&levelled, datum), &mut notes) else {
        return Report::refused(notes);
    };
    let joints = joints_of(job, &drawn.floor, &drawn.outline, &bays).unload(&mut notes);
    let controls: Vec<P2> = pads.pads.iter().map(|p| p.at).collect();
    let input = GroundInput {
        floor: &drawn.floor,
        outline: &drawn.outline,
        design: &design,
        levelled: &levelled,
        datum,
        breaks: &job.base.breaks,
        zones: &zones,
        controls: &controls,
        setting: job.forms.setting.sd,
        minimum: job.slab.minimum,
    };
    let Some(ground) = assemble(&input).unload(&mut notes) else { return Report::refused(notes) };
    let order_input = OrderInput {
        forms: ground.forms_volume(),
        allowance: job.allowance,
        loss: job.loss,
        plant: &job.plant,
        crew: &job.crew,
        cuts: &call::cuts(job, &bays.bays, &ground),
        units: job.units,
    };
    let Some(order) = order(&order_input).unload(&mut notes) else { return Report::refused(notes) };
    let volume = |window: &Polygon| ground.volume_in(window);
    let load_input = LoadInput {
        bays: &bays.bays,
        loads: &order.loads,
        allowance: order.need.allowance.mean,
        loss: order.need.loss.mean,
        volume: &volume,
        units: job.units,
    };
    let load_plan = loads(&load_input).unload(&mut notes);
    let mut rng = ChaCha12Rng::seed_from_u64(seed);
    let truck_input = TruckInput {
        loads: &order.loads,
        plant: &job.plant,
        crew: &job.crew,
        lateness: None,
        draws: DRAWS,
        units: job.units,
    };
    let trucks = timeline(&truck_input, &mut rng).unload(&mut notes);
    let finish = |p: P2| ground.finish.z(p);
    let reach = reached(job, &drawn.floor, &bays, &finish, &volume, &mut notes);
    let reading = |z: f64| levelled.rod_reading(datum, z);
    let shot_base = |p: P2| ground.base_z(p);
    let prep = prep(&PrepInput {
        floor: &drawn.floor,
        outline: &drawn.outline,
        finish_z: &|p| design.z(p),
        base_z: &shot_base,
        dug: &|p| ground.dug_at(p),
        nominal: job.slab.nominal,
        shot: &ground.forms,
        tolerance: job.forms.tolerance,
        reading: &reading,
        units: job.units,
    });
    forms_off(job, &prep, &ground, &mut notes);
    let setup = levelled.setups.get(datum).map_or("", |s| s.name.as_str());
    notes.extend(above_the_laser(&prep, setup, job.units));
    let (Some(load_plan), Some(trucks), Some(joints)) = (load_plan, trucks, joints) else {
        return Report::refused(notes);
    };
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let stone = stone(&StoneInput {
        mesh: &ground.mesh,
        slab: &job.slab,
        base: &job.base,
        mix: job.plant.price,
        units: job.units,
    });
    let clock_input = ForecastInput {
        job,
        bays: &bays.bays,
        loads: &load_plan,
        trucks: truck_input,
        thickness: mean_thickness(&ground, &drawn.floor),
    };
    let forecast = job.weather.as_ref().and_then(|_| drawn_forecast(&clock_input, seed).unload(&mut notes));
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let Drawn { outline, walk, floor } = drawn;
    let plan = Plan {
        outline,
        walk,
        floor,
        levelled,
        datum,
        design,
        ground,
        bays,
        pads,
        joints,
        order,
        loads: load_plan,
        trucks,
        reach,
        prep,
        stone,
        forecast,
    };
    Report::with(plan, notes)
}

/// The forecast, with draws of its own, so that the weather does not move the trucks' figures.
fn drawn_forecast(input: &ForecastInput<'_>, seed: u64) -> Report<Forecast> {
    forecast(input, &mut ChaCha12Rng::seed_from_u64(seed ^ CLOCK_STREAM))
}

/// Forecasts a planned floor anew for a job that differs from the planned one in mix, weather, day, trucks or finish only.
///
/// # Errors
/// As [`forecast`].
#[must_use]
pub fn forecast_again(job: &Job, plan: &Plan, seed: u64) -> Report<Forecast> {
    drawn_forecast(&again(job, plan), seed)
}

/// Scores every hourly start of the job's weather file on a planned floor; the plan may come from the job without weather.
///
/// # Errors
/// As [`sweep`](crate::forecast::sweep::sweep).
#[must_use]
pub fn swept(job: &Job, plan: &Plan, asked: &sweep::Asked, seed: u64) -> Report<sweep::Sweep> {
    sweep::sweep(&again(job, plan), asked, &mut ChaCha12Rng::seed_from_u64(seed ^ CLOCK_STREAM))
}

/// What a planned floor is forecast anew from.
fn again<'a>(job: &'a Job, plan: &'a Plan) -> ForecastInput<'a> {
    ForecastInput {
        job,
        bays: &plan.bays.bays,
        loads: &plan.loads,
        trucks: TruckInput {
            loads: &plan.order.loads,
            plant: &job.plant,
            crew: &job.crew,
            lateness: None,
            draws: DRAWS,
            units: job.units,
        },
        thickness: mean_thickness(&plan.ground, &plan.floor),
    }
}

/// Mean thickness of the slab without what is dug below it.
fn mean_thickness(ground: &Ground, floor: &Floor) -> Length {
    let slab = ground.forms_volume().mean - ground::volume::dug_volume(&ground.mesh);
    Length::metres(slab.in_cubic_metres() / floor.area)
}

fn drawn(job: &Job, notes: &mut Vec<Note>) -> Option<Drawn> {
    let mut outline = job.outline.clone();
    let walk = match &job.walk {
        Some(walk) => {
            let adjusted = ground::walk::adjust(walk).unload(notes)?;
            outline.corners.clone_from(&adjusted.corners);
            for (edge, shape) in outline.edges.iter_mut().zip(&adjusted.shapes) {
                edge.shape = *shape;
            }
            Some(adjusted)
        }
        None => None,
    };
    let floor = ground::floor::lay_out(&outline).unload(notes)?;
    Some(Drawn { outline, walk, floor })
}

/// The set-up in use: the one named, or the last.
fn datum(job: &Job, levelled: &Levelled, notes: &mut Vec<Note>) -> Option<usize> {
    let found = match &job.forms.setup {
        Some(name) => levelled.setups.iter().position(|s| s.name == *name),
        None => levelled.setups.len().checked_sub(1),
    };
    if found.is_none() {
        let names: Vec<&str> = levelled.setups.iter().map(|s| s.name.as_str()).collect();
        let message = match &job.forms.setup {
            Some(name) => format!("no set-up is called {name}; there are: {}", names.join(", ")),
            None => "there is no set-up of the laser".to_owned(),
        };
        notes.push(Note::fault(
            "setup-unknown",
            Place::at("forms.setup"),
            message,
            "name a set-up, or shoot the base from one",
        ));
    }
    found
}

/// Forms as shot must not stand below the base beside them.
fn forms_above_ground(floor: &Floor, design: &FinishSurface, levelled: &Levelled, notes: &mut Vec<Note>) {
    let base: Vec<_> = levelled.shots.iter().filter(|s| s.on == ShotOn::Base).collect();
    for form in
        levelled.shots.iter().filter(|s| s.on == ShotOn::Form && floor.boundary.distance_to_edge(s.at) < 0.15)
    {
        let near = base.iter().filter(|b| b.at.distance(form.at) < 1.5).map(|b| b.z);
        let lowest = near.fold(f64::INFINITY, f64::min);
        if form.z <= lowest && lowest.is_finite() {
            let message = format!(
                "form {} stands {:.0} mm below the ground beside it",
                form.name,
                (lowest - form.z) * 1e3
            );
            notes.push(Note::fault(
                "form-below-ground",
                form.place.clone(),
                message,
                "check the reading; `on` may say form for base",
            ));
        } else if design.z(form.at).is_some_and(|z| (z - form.z).abs() > 0.15) {
            let message = format!("form {} is over 150 mm from the designed edge", form.name);
            notes.push(Note::warning(
                "form-far-from-design",
                form.place.clone(),
                message,
                "check finish and reading",
            ));
        }
    }
}

fn laid_out(
    job: &Job,
    drawn: &Drawn,
    design: &FinishSurface,
    (levelled, datum): (&Levelled, usize),
    notes: &mut Vec<Note>,
) -> Option<(BayPlan, PadPlan)> {
    let bay_input = BayInput {
        floor: &drawn.floor,
        outline: &drawn.outline,
        crew: &job.crew,
        stands: &job.stands,
        units: job.units,
    };
    let bays = bays(&bay_input).unload(notes)?;
    let pad_input = PadInput {
        floor: &drawn.floor,
        outline: &drawn.outline,
        bays: &bays,
        crew: &job.crew,
        finish: &|p| design.z(p),
        reading: &|z| levelled.rod_reading(datum, z),
        units: job.units,
    };
    let pads = pads(&pad_input).unload(notes)?;
    Some((bays, pads))
}

fn reached(
    job: &Job,
    floor: &Floor,
    bays: &BayPlan,
    finish: &dyn Fn(P2) -> Option<f64>,
    volume: &dyn Fn(&Polygon) -> Volume,
    notes: &mut Vec<Note>,
) -> Option<Reach> {
    if job.stands.is_empty() {
        notes.push(Note::remark(
            "no-truck-stand",
            Place::at("stand"),
            "no place for a truck is given: reach is not figured",
        ));
        return None;
    }
    let input = ReachInput {
        floor,
        bays: &bays.bays,
        chutes: &job.chutes,
        stands: &job.stands,
        carry: job.crew.carry.as_ref(),
        finish,
        volume,
        units: job.units,
    };
    reach(&input).unload(notes)
}

/// Forms further off than the tolerance are told to be reset.
fn forms_off(job: &Job, prep: &PrepSheet, ground: &Ground, notes: &mut Vec<Note>) {
    let checked = prep.checks.iter().zip(&ground.forms).filter(|(c, _)| c.verdict == Verdict::Reset);
    for (_, form) in checked {
        let word = if form.deviation > Length::ZERO { "high" } else { "low" };
        let off = basis::quantity::thickness(form.deviation.abs(), job.units);
        let message = format!("form {} stands {off} {word}; the floor follows it", form.name);
        notes.push(Note::warning(
            "form-off-grade",
            form.place.clone(),
            message,
            "reset the form, or leave it knowing",
        ));
    }
}
