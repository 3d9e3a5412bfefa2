//! A job as a job file.

mod exact;
mod finishing;
mod floor;
mod joints;
mod supplies;

use std::fmt::Write as _;

use basis::{Currency, Place, RodMarks, UnitSystem};
use ground::survey::{RodReading, Setup, Shot, ShotOn, Sight, Survey};
use ground::{P2, P3};
use pour::Job;
use pour::job::{Base, Chutes, Crew, Plant, TruckStand};

pub(crate) use exact::WriteQuantity;
use exact::{estimate, money, price_per_time, price_per_volume, share};

/// Writes a job as a job file that reads back as the same job.
///
/// Falls and angles that no file has ever stated may differ in their last bit; all else is exact.
/// Values that were taken by default are left out, so that they stay assumed. Shots that stood in a CSV
/// file are written into the job file. The layout of the user's own file, with its remarks, is not kept.
///
/// ```
/// let no_file = |_: &str| Err("none".to_owned());
/// let job = formats::read_job(formats::starter(), "new.toml", &no_file).report.value;
/// let again = job.as_ref().map(formats::write_job).unwrap_or_default();
/// assert_eq!(formats::read_job(&again, "again.toml", &no_file).report.value, job);
/// ```
#[must_use]
pub fn write_job(job: &Job) -> String {
    let mut out = Writer { text: String::from("flatwright = 1\n"), units: job.units, job };
    out.head();
    floor::outline(&mut out);
    floor::finish(&mut out);
    out.table("slab");
    out.value("nominal", &job.slab.nominal.text(job.units));
    out.stated("slab.minimum", &job.slab.minimum.text(job.units));
    out.survey(&job.survey);
    out.base(&job.base);
    out.forms();
    out.crew(&job.crew);
    out.chutes(&job.chutes);
    job.stands.iter().for_each(|stand| out.stand(stand));
    out.plant(&job.plant);
    out.order();
    finishing::all(&mut out);
    joints::all(&mut out);
    supplies::all(&mut out);
    out.text
}

/// The text so far, and what the whole of it goes by.
pub(crate) struct Writer<'j> {
    text: String,
    pub units: UnitSystem,
    pub job: &'j Job,
}

/// A string as TOML writes it.
pub(crate) fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

impl Writer<'_> {
    pub fn line(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }

    pub fn table(&mut self, path: &str) {
        // Writing to a string cannot fail.
        let _ = write!(self.text, "\n[{path}]\n");
    }

    pub fn one_of(&mut self, path: &str) {
        // Writing to a string cannot fail.
        let _ = write!(self.text, "\n[[{path}]]\n");
    }

    pub fn value(&mut self, key: &str, text: &str) {
        self.line(&format!("{key} = {}", quoted(text)));
    }

    pub fn some(&mut self, key: &str, text: Option<String>) {
        if let Some(text) = text {
            self.value(key, &text);
        }
    }

    /// A value whose default may have been taken: then it is left out.
    pub fn stated(&mut self, path: &str, text: &str) {
        if !self.is_assumed(path) {
            self.value(path.rsplit('.').next().unwrap_or(path), text);
        }
    }

    pub fn is_assumed(&self, path: &str) -> bool {
        self.job.assumed.iter().any(|assumed| assumed.place.path() == path)
    }

    pub fn stated_at(&mut self, place: &Place, key: &str, text: &str) {
        self.stated(place.key(key).path(), text);
    }

    fn metres(&self, metres: f64) -> String {
        quoted(&basis::Length::metres(metres).text(self.units))
    }

    pub fn point(&self, at: P2) -> String {
        format!("[{}, {}]", self.metres(at.x), self.metres(at.y))
    }

    pub fn spot(&self, at: P3) -> String {
        format!("[{}, {}, {}]", self.metres(at.x), self.metres(at.y), self.metres(at.z))
    }

    pub fn spots(&self, spots: &[P3]) -> String {
        let spots: Vec<_> = spots.iter().map(|&spot| self.spot(spot)).collect();
        format!("[{}]", spots.join(", "))
    }

    pub fn points(&self, points: &[P2]) -> String {
        let points: Vec<_> = points.iter().map(|&point| self.point(point)).collect();
        format!("[{}]", points.join(", "))
    }

    fn lines(&self, key: &str, lines: &[Vec<P3>]) -> String {
        let lines: Vec<_> = lines.iter().map(|line| format!("  {},\n", self.spots(line))).collect();
        format!("{key} = [\n{}]", lines.concat())
    }

    pub fn breaks(&mut self, lines: &[Vec<P3>]) {
        if !lines.is_empty() {
            let text = self.lines("breaks", lines);
            self.line(&text);
        }
    }

    fn head(&mut self) {
        self.table("job");
        self.value("name", &self.job.name);
        self.value("zone", &self.job.zone);
        self.value("units", if self.units == UnitSystem::Us { "us" } else { "metric" });
        let rod = match self.job.rod {
            RodMarks::Sixteenths => "sixteenths",
            RodMarks::Eighths => "eighths",
            RodMarks::Tenths => "tenths",
            RodMarks::Millimetres => "mm",
        };
        self.value("rod", rod);
    }

    fn survey(&mut self, survey: &Survey) {
        self.table("survey");
        self.stated("survey.misclosure_limit", &survey.misclosure_limit.text(self.units));
        for benchmark in &survey.benchmarks {
            self.one_of("benchmark");
            self.value("name", &benchmark.name);
            self.value("elevation", &benchmark.elevation.text(self.units));
            if let Some(at) = benchmark.at {
                let at = self.point(at);
                self.line(&format!("at = {at}"));
            }
        }
        survey.setups.iter().enumerate().for_each(|(index, setup)| self.setup(index, setup));
    }

    fn setup(&mut self, index: usize, setup: &Setup) {
        self.one_of("setup");
        self.value("name", &setup.name);
        if let Some(station) = setup.station {
            let station = self.point(station);
            self.line(&format!("station = {station}"));
        }
        self.some("mark", setup.mark.map(|mark| mark.text(self.units)));
        self.sight("backsight", &setup.backsight);
        if let Some(closing) = &setup.closing {
            self.sight("closing", closing);
        }
        let errors = [
            ("backsight", setup.errors.backsight.text(self.units)),
            ("tilt", setup.errors.tilt.text(self.units)),
            ("rod", setup.errors.rod.text(self.units)),
        ];
        let stated =
            errors.iter().filter(|(key, _)| !self.is_assumed(&format!("setup[{index}].errors.{key}")));
        let stated: Vec<_> = stated.map(|(key, text)| format!("{key} = {}", quoted(text))).collect();
        if !stated.is_empty() {
            self.line(&format!("errors = {{ {} }}", stated.join(", ")));
        }
        if !setup.shots.is_empty() {
            self.line("shots = [");
            setup.shots.iter().for_each(|shot| self.shot(shot));
            self.line("]");
        }
    }

    fn sight(&mut self, key: &str, sight: &Sight) {
        let reading = self.reading(sight.reading);
        self.line(&format!("{key} = {{ on = {}, reading = {reading} }}", quoted(&sight.on)));
    }

    fn reading(&self, reading: RodReading) -> String {
        quoted(&match reading {
            RodReading::Rod(length) => length.text(self.units),
            RodReading::FromMark(up) if up >= basis::Length::ZERO => format!("up {}", up.text(self.units)),
            RodReading::FromMark(down) => format!("down {}", down.abs().text(self.units)),
        })
    }

    fn shot(&mut self, shot: &Shot) {
        let on = match shot.on {
            ShotOn::Base => "",
            ShotOn::Form => ", \"form\"",
            ShotOn::TurningPoint => ", \"turn\"",
        };
        let (x, y, reading) = (self.metres(shot.at.x), self.metres(shot.at.y), self.reading(shot.reading));
        self.line(&format!("  [{}, {x}, {y}, {reading}{on}],", quoted(&shot.name)));
    }

    fn currency(&self) -> Currency {
        // XXX is the code of ISO 4217 for no currency.
        self.job.plant.currency.unwrap_or(Currency(*b"XXX"))
    }

    fn base(&mut self, base: &Base) {
        self.table("base");
        if base.kind != crate::job_toml::BASE_NOT_STATED {
            self.value("kind", &base.kind);
        }
        let bulking = base.loose_per_compacted.map(|loose| share(loose - 1.0, |read| 1.0 + read == loose));
        self.some("bulking", bulking);
        self.some("stone_price", base.stone_price.map(|price| price_per_volume(price, self.currency())));
        self.breaks(&base.breaks);
        finishing::bed(self);
        for zone in &base.zones {
            self.one_of("base.zone");
            self.value("name", &zone.name);
            let corners = self.points(&zone.corners);
            self.line(&format!("corners = {corners}"));
        }
    }

    fn forms(&mut self) {
        let forms = &self.job.forms;
        self.table("forms");
        self.some("setup", forms.setup.clone());
        self.stated("forms.setting_error", &forms.setting.sd.text(self.units));
        self.stated("forms.tolerance", &forms.tolerance.text(self.units));
    }

    fn crew(&mut self, crew: &Crew) {
        self.table("crew");
        if !self.is_assumed("crew.people") {
            self.line(&format!("people = {}", crew.people));
        }
        self.stated("crew.straightedge", &crew.straightedge.text(self.units));
        self.stated("crew.lap", &crew.lap.text(self.units));
        self.stated("crew.placing_rate", &estimate(crew.placing_rate, self.units));
        self.some("bay_direction", crew.bay_direction.map(|toward| floor::direction(toward, self.units)));
        self.some("exit", crew.exit.clone());
        self.some("idle_cost", crew.idle_cost.map(|price| price_per_time(price, self.currency())));
        if let Some(carry) = &crew.carry {
            let load = quoted(&carry.load.text(self.units));
            self.line(&format!("carry = {{ by = {}, load = {load} }}", quoted(&carry.by)));
        }
    }

    fn chutes(&mut self, chutes: &Chutes) {
        self.table("chutes");
        self.stated("chutes.main", &chutes.main.text(self.units));
        if !chutes.extensions.is_empty() {
            let lengths: Vec<_> =
                chutes.extensions.iter().map(|chute| quoted(&chute.text(self.units))).collect();
            self.line(&format!("extensions = [{}]", lengths.join(", ")));
        }
        self.stated("chutes.discharge_height", &chutes.discharge_height.text(self.units));
        self.stated("chutes.least_fall", &chutes.least_fall.text(self.units));
    }

    fn stand(&mut self, stand: &TruckStand) {
        self.one_of("stand");
        self.value("name", &stand.name);
        let at = self.point(stand.at);
        self.line(&format!("at = {at}"));
        self.some("elevation", stand.elevation.map(|elevation| elevation.text(self.units)));
        self.value("facing", &floor::direction(stand.facing, self.units));
        self.stated_at(&stand.place, "swing", &stand.swing.text(self.units));
    }

    fn plant(&mut self, plant: &Plant) {
        let (units, currency) = (self.units, self.currency());
        let volume = |volume: Option<basis::Volume>| volume.map(|volume| volume.text(units));
        let span = |span: Option<basis::TimeSpan>| span.map(|span| span.text(units));
        self.table("plant");
        self.value("truck", &plant.truck.text(units));
        self.value("increment", &plant.increment.text(units));
        self.some("price", plant.price.map(|price| price_per_volume(price, currency)));
        self.some("minimum_load", volume(plant.minimum_load));
        self.some("short_load_below", volume(plant.short_load_below));
        self.some("short_load_fee", plant.short_load_fee.map(|fee| money(fee, currency)));
        self.some("fuel", plant.fuel.map(|fee| money(fee, currency)));
        self.some("free_unloading", plant.free_unloading.map(|free| floor::time_per_volume(free, units)));
        self.some("standby", plant.standby.map(|price| price_per_time(price, currency)));
        self.some("disposal", plant.disposal.map(|price| price_per_volume(price, currency)));
        self.some("call_lead", span(plant.call_lead));
        self.some("spacing", span(plant.spacing));
        if let Some(trucks) = plant.trucks {
            self.line(&format!("trucks = {trucks}"));
        }
        self.some("haul", plant.haul.map(|haul| estimate(haul, units)));
        self.some("turnaround", span(plant.turnaround));
        self.some("discharge_limit", span(plant.discharge_limit));
        self.some("cold_joint", span(plant.cold_joint));
    }

    fn order(&mut self) {
        self.table("order");
        let allowance = self.job.allowance.map(|allowance| {
            let mean = share(allowance.mean, |read| read == allowance.mean);
            format!("{mean} +- {}", share(allowance.sd, |read| read == allowance.sd))
        });
        self.some("allowance", allowance);
        self.some("loss", self.job.loss.map(|loss| estimate(loss, self.units)));
        if let Some(time) = self.job.day.first_truck {
            self.table("day");
            self.line(&format!("first_truck = {time}"));
        }
    }
}
