//! The forecast anew after something was seen, on the demo floor and on one of 24 bays.

use basis::Length;
use clock::observe::Seen;
use jiff::SignedDuration;
use pour::forecast::{Forecast, Sight, seen};

use crate::row::{Row, best_of, milliseconds};

const FLOOR: &str = include_str!("../../../demo/boat-shed.toml");

/// The demo floor with bays of another width.
fn forecast(width: &str) -> Result<Forecast, String> {
    let text = FLOOR.replace("straightedge = \"12 ft\"", &format!("straightedge = \"{width}\""));
    let parsed = formats::read_job(&text, "floor.toml", &|_| Err(String::new()));
    let job = parsed.report.value.ok_or_else(|| format!("{:?}", parsed.report.notes))?;
    let report = pour::plan::plan(&job, 1);
    let plan = report.value.ok_or_else(|| format!("{:?}", report.notes))?;
    plan.forecast.ok_or_else(|| "the floor has no forecast".to_owned())
}

/// A print and the end of the sheen; with a late load the columns are worked again too.
fn sights(forecast: &Forecast) -> [Sight; 3] {
    let at =
        |minutes| forecast.first_truck.checked_add(SignedDuration::from_mins(minutes)).unwrap_or_default();
    [
        Sight::OnBay { bay: 1, at: at(200), seen: Seen::Print(Length::inches(0.25)) },
        Sight::OnBay { bay: 2, at: at(190), seen: Seen::SheenGone },
        Sight::Came { load: 2, at: at(75) },
    ]
}

/// Shortest of several runs, with and without the late load.
pub fn rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for width in ["12 ft", "3 ft"] {
        let what =
            |bays: usize, sights: &str| format!("forecast anew on a live event, {bays} bays, {sights}");
        match forecast(width) {
            Ok(forecast) => {
                let sights = sights(&forecast);
                let now = sights[0].at();
                for (count, words) in [(2, "two looks"), (3, "two looks and a late load")] {
                    let time = best_of(11, || seen(&forecast, &sights[..count], now));
                    let met = time.as_secs_f64() <= 0.1;
                    rows.push(Row::judged(
                        what(forecast.bays.len(), words),
                        "100 ms",
                        milliseconds(time),
                        met,
                    ));
                }
            }
            Err(why) => rows.push(Row::failed(what(0, width), "100 ms", why)),
        }
    }
    rows
}
