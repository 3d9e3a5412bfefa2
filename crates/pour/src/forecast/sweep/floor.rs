//! What every start of a sweep has in common, and the columns of many starts worked together.

use basis::{Length, Note, Place, TimeSpan};
use clock::column::{Column, Outcome, run_batch};
use clock::events::EventModel;
use clock::finish::FinishSpec;
use clock::setting::SetModel;
use clock::{Exposure, setting, sun};
use jiff::{SignedDuration, Timestamp};
use rand::Rng;

use super::score::score;
use super::{Start, StartHours, Why};
use crate::forecast::defaults::Taken;
use crate::forecast::placing::placed;
use crate::forecast::slab::{self, SlabOfJob, Spot};
use crate::forecast::weather::{self, Course, DayWeather};
use crate::forecast::{BATCHING, ForecastInput, day_mean};
use crate::job::{Job, MixOrdered, Weather};
use crate::trucks::{self, TruckInput};

/// Days of trucks over which the placing times are averaged.
const DAYS: u32 = 200;

/// What every start has in common.
pub(super) struct Floor<'a> {
    job: Job,
    pub ordered: &'a MixOrdered,
    pub thickness: Length,
    pub day: DayWeather,
    pub hours: StartHours,
    /// What the slab feels at each hour of the file.
    exposures: Vec<Option<Exposure>>,
    /// How high the sun's centre stands at each hour of the file, degrees.
    elevations: Vec<f64>,
    set: SetModel,
    pub model: EventModel,
    pub last: LastBay,
}

/// The last bay of the mean of many days of trucks, from the first truck on.
#[derive(Debug, Clone, Copy)]
pub(super) struct LastBay {
    /// Its middle is placed.
    pub middle: TimeSpan,
    /// It is struck off to its end.
    pub until: TimeSpan,
    /// Age of the concrete in its middle.
    age: TimeSpan,
}

/// What became of a start.
pub(super) enum Worked {
    Scored(Start),
    Refused(Why),
}

/// A start made ready: its slab and the hours before it that the weather has.
struct Ready {
    slab: SlabOfJob,
    course: Course,
}

impl<'a> Floor<'a> {
    /// Gathers it from the job.
    pub fn of(
        input: &ForecastInput<'a>,
        hours: StartHours,
        rng: &mut impl Rng,
        notes: &mut Vec<Note>,
    ) -> Option<Self> {
        let ordered = stated(input.job, notes)?;
        let mut job = input.job.clone();
        // What was measured on the base holds for one day only.
        job.bed.temperature = None;
        let mut taken = Taken { list: Vec::new(), units: job.units };
        let set = setting::setting(&ordered.mix, &slab::place()).unload(notes);
        // The date matters to weather in words alone, and here there are hours.
        let day = weather::of_day(&job, jiff::civil::DateTime::default(), &mut taken, notes)?;
        let spec = FinishSpec::of(taken.finish(job.finishing.finish));
        notes.extend(spec.check(&Place::at("finishing")));
        let set = set?;
        if basis::has_fault(notes) {
            return None;
        }
        let felt = |hour: usize| day.series.exposure(&day.site, day.series.instant(hour));
        let exposures = (0..day.series.records.len()).map(felt).collect();
        let elevation = |hour: usize| elevation(&day, day.series.instant(hour));
        let elevations = (0..day.series.records.len()).map(elevation).collect();
        Some(Self {
            elevations,
            job,
            ordered,
            thickness: input.thickness,
            hours,
            exposures,
            set,
            model: EventModel::new(&ordered.mix, &spec),
            last: last_bay(input, rng),
            day,
        })
    }

    /// Works the columns of some starts together and scores them, in the order given.
    pub fn work(&self, starts: &[Timestamp], followed: i64) -> Vec<Worked> {
        let ready: Vec<Result<Ready, Why>> = starts.iter().map(|at| self.ready(*at, followed)).collect();
        let columns: Vec<Option<Column<'_>>> =
            ready.iter().map(|ready| self.column(ready.as_ref().ok()?)).collect();
        let mut outcomes = outcomes(&columns).into_iter();
        let mut worked = Vec::with_capacity(starts.len());
        for ((at, ready), column) in starts.iter().zip(&ready).zip(&columns) {
            let outcome = column.as_ref().and_then(|_| outcomes.next());
            worked.push(match (ready, outcome) {
                (Err(why), _) => Worked::Refused(*why),
                (Ok(ready), None) => Worked::Refused(self.cut_short(*at, &ready.course)),
                (Ok(_), Some(None)) => Worked::Refused(Why::Impossible),
                (Ok(ready), Some(Some(outcome))) => {
                    match score(self, *at, ready.slab.fresh.mean, &outcome.history) {
                        Some(start) => Worked::Scored(start),
                        None => Worked::Refused(self.cut_short(*at, &ready.course)),
                    }
                }
            });
        }
        worked
    }

    fn column<'r>(&self, ready: &'r Ready) -> Option<Column<'r>> {
        let spot = Spot { placed: self.last.middle, age: self.last.age, fresh: ready.slab.fresh.mean };
        ready.slab.column(&ready.course, spot, &[])
    }

    fn ready(&self, at: Timestamp, followed: i64) -> Result<Ready, Why> {
        let most = followed + self.last.middle.in_hours().ceil() as i64;
        let course = self.course(at, most);
        let Some(first) = course.exposures.first().filter(|_| course.exposures.len() >= 2) else {
            return Err(self.cut_short(at, &course));
        };
        let mean = day_mean(&self.day.series, at).ok_or(Why::Hole)?;
        // What was assumed is told by the clock, for the day that is chosen.
        let mut taken = Taken { list: Vec::new(), units: self.job.units };
        let air = (mean, first.air);
        let slab = slab::of_job(
            &self.job,
            self.ordered,
            self.thickness,
            &self.set,
            air,
            &mut taken,
            &mut Vec::new(),
        );
        slab.map(|slab| Ready { slab, course }).ok_or(Why::Impossible)
    }

    /// The weather of the hours from a start on, up to a hole or its end.
    fn course(&self, from: Timestamp, most: i64) -> Course {
        let hours = self.exposures.iter().skip(self.hour(from)).take(most.max(0) as usize + 1);
        let exposures = hours.map_while(|exposure| *exposure).collect();
        Course { exposures, every: SignedDuration::from_hours(1) }
    }

    /// Why a slab on these hours has not come to its last round.
    fn cut_short(&self, from: Timestamp, course: &Course) -> Why {
        match self.exposures.get(self.hour(from) + course.exposures.len()) {
            None => Why::WeatherEnds,
            Some(None) => Why::Hole,
            Some(Some(_)) => Why::TooSlow,
        }
    }

    /// Number of an hour of the file.
    fn hour(&self, at: Timestamp) -> usize {
        usize::try_from(at.duration_since(self.day.series.start).as_hours()).unwrap_or(0)
    }

    /// How high the sun's centre stands, degrees. Between two hours of the file it goes straight: near the horizon that is off
    /// by a sixth of a degree at most up to 60° of latitude, about two minutes of sunset. Finding its place for every look
    /// took half of a sweep.
    pub fn sun(&self, at: Timestamp) -> f64 {
        let hours = at.duration_since(self.day.series.start).as_secs_f64() / 3600.0;
        let before = hours.max(0.0).floor() as usize;
        match (self.elevations.get(before), self.elevations.get(before + 1)) {
            (Some(a), Some(b)) => a + (hours - before as f64) * (b - a),
            _ => elevation(&self.day, at),
        }
    }

    /// Whether it rains on the slab in the hours after an instant, until a time after it.
    pub fn rains(&self, from: Timestamp, until: TimeSpan) -> bool {
        let hours = self.exposures.iter().skip(self.hour(from) + 1).take(until.in_hours().ceil() as usize);
        hours.flatten().any(|exposure| exposure.rain > 0.0)
    }
}

/// How high the sun's centre stands, degrees; under the horizon where its place cannot be found.
fn elevation(day: &DayWeather, at: Timestamp) -> f64 {
    sun::position(&day.site.spot, at).map_or(-90.0, |sun| sun.elevation.in_degrees())
}

/// The mix, when the job has all that a sweep needs; else each thing that is missing, told.
fn stated<'a>(job: &'a Job, notes: &mut Vec<Note>) -> Option<&'a MixOrdered> {
    if !matches!(job.weather, Some(Weather::Hourly { .. })) {
        let hint = "name a file of hours: [weather] file = \"weather.csv\", or --weather weather.csv";
        let message = "every hour of a weather file is tried as a start, and there is none";
        notes.push(Note::fault("sweep-needs-hours", Place::at("weather"), message, hint));
    }
    for (table, missing) in [("mix", job.mix.is_none()), ("site", job.site.is_none())] {
        if missing {
            let hint = if table == "mix" { "set goes by the mix" } else { "sun and wind go by the site" };
            let message = format!("the sweep needs [{table}]");
            notes.push(Note::fault("missing-table", Place::at(table), message, hint));
        }
    }
    if basis::has_fault(notes) { None } else { job.mix.as_ref() }
}

/// Placing of the last bay, mean of many days of trucks.
fn last_bay(input: &ForecastInput<'_>, rng: &mut impl Rng) -> LastBay {
    let bays: Vec<f64> = input.loads.bays.iter().map(|volume| volume.in_cubic_metres()).collect();
    let covers: Vec<f64> = input.loads.lines.iter().map(|line| line.covers.in_cubic_metres()).collect();
    let days = trucks::drawn_days(&TruckInput { draws: DAYS, ..input.trucks }, rng).passages(&[]);
    let last: Vec<_> =
        days.iter().filter_map(|passages| placed(&bays, &covers, passages).last().copied()).collect();
    let count = last.len().max(1) as f64;
    let mean = |sum: f64| TimeSpan::seconds((sum / count).max(0.0));
    LastBay {
        middle: mean(last.iter().map(|bay| bay.middle()).sum()),
        until: mean(last.iter().map(|bay| bay.until).sum()),
        age: mean(last.iter().map(|bay| bay.age).sum()) + BATCHING,
    }
}

/// The outcomes of the columns that are there; none for a column that cannot be worked.
fn outcomes(columns: &[Option<Column<'_>>]) -> Vec<Option<Outcome>> {
    let there: Vec<Column<'_>> = columns.iter().filter_map(|column| *column).collect();
    match run_batch(&there).value {
        Some(outcomes) => outcomes.into_iter().map(Some).collect(),
        // One that cannot be worked must not take the others with it.
        None => there.iter().map(|column| column.run().value).collect(),
    }
}
