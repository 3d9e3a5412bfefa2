//! Every hour of a year as the first truck of the demo floor: the whole sweep behind the command, scores and all.

use clock::weather::{Record, Series};
use jiff::Timestamp;
use pour::Job;
use pour::job::Weather;
use pour::sweep::{Asked, Sweep};

use crate::row::{Row, best_of};

const FLOOR: &str = include_str!("../../../demo/boat-shed.toml");

/// The demo floor on a made-up year by the hour.
fn job() -> Result<Job, String> {
    let parsed = formats::read_job(FLOOR, "floor.toml", &|_| Err(String::new()));
    let mut job = parsed.report.value.ok_or_else(|| format!("{:?}", parsed.report.notes))?;
    let records = crate::column::year().into_iter().map(|felt| {
        Some(Record {
            air: felt.air,
            vapour: felt.vapour,
            wind: felt.wind,
            cloud: basis::Share::ratio(0.5),
            sun: None,
            long_wave: Some(felt.sky),
            pressure: None,
            rain: felt.rain,
        })
    });
    let start: Timestamp = "2026-01-01T06:00:00Z".parse().map_err(|why| format!("{why}"))?;
    let series = Series { start, records: records.collect() };
    job.weather = Some(Weather::Hourly { file: "year".to_owned(), series });
    Ok(job)
}

/// 8,760 starts scored, three days of weather after the last.
pub fn row() -> Row {
    let what = "sweep of 8,760 first trucks of the boat shed, scored";
    let planned = job().and_then(|job| {
        let plan = pour::plan::plan(&Job { weather: None, ..job.clone() }, 1);
        Ok((job, plan.value.ok_or_else(|| format!("{:?}", plan.notes))?))
    });
    let (job, plan) = match planned {
        Ok(both) => both,
        Err(why) => return Row::failed(what, "3 s", why),
    };
    let mut last: Option<Sweep> = None;
    let took = best_of(3, || last = pour::plan::swept(&job, &plan, &Asked::default(), 1).value);
    let (scored, left) = last.map_or((0, 0), |sweep| (sweep.starts.len(), sweep.unscored.len()));
    Row::judged(
        what,
        "3 s",
        format!("{:.2} s ({scored} scored, {left} not covered)", took.as_secs_f64()),
        took.as_secs_f64() <= 3.0 && scored >= 8_760,
    )
}
