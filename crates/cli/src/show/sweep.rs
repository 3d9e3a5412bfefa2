//! The sweep: the best start, the best of each day, and what speaks against the rest.

use basis::quantity::temperature;
use clock::evaporation;
use jiff::Timestamp;
use pour::Job;
use pour::sweep::{Against, Start, Sweep, Why, best};
use pour::wall::{Wall, weekday};

use super::count;
use crate::page::{Align, Table, heading, paragraph};

/// Letters that a row has for what speaks against a start.
const ROOM: usize = 31;

/// The whole page.
pub fn page(job: &Job, sweep: &Sweep) -> String {
    let page = Page { job, sweep };
    [page.best(), page.rule(), page.day_of_the_best(), page.days(), page.reasons(), page.unscored(), limits()]
        .concat()
}

struct Page<'a> {
    job: &'a Job,
    sweep: &'a Sweep,
}

impl Page<'_> {
    fn best(&self) -> String {
        let mut text = heading(&format!("{}: when to start", self.job.name));
        text += &paragraph(&format!(
            "{} scored, each hour of the weather tried as the first truck.",
            count(self.sweep.starts.len(), "start")
        ));
        let Some(best) = self.sweep.best() else { return text };
        let outside = if best.in_hours { "" } else { " No start in the crew's hours could be scored." };
        text + &paragraph(&format!(
            "Best: {} {}. The last bay is struck off at {} and its last useful round closes at {}: {:.1} h of finishing. \
             Concrete {}; evaporation before set at most {}. Against it: {}.{outside}",
            self.date(best.at),
            self.time(best.at),
            self.after(best, best.struck_off),
            self.after(best, best.ends),
            best.finishing.in_hours(),
            temperature(best.fresh, self.job.units),
            evaporation::shown(best.evaporation, self.job.units),
            against(best, usize::MAX),
        ))
    }

    fn rule(&self) -> String {
        let hours = self.sweep.hours;
        let time = |time: jiff::civil::Time| match self.job.units {
            basis::UnitSystem::Metric => time.strftime("%-H:%M").to_string(),
            basis::UnitSystem::Us => time.strftime("%-I:%M %P").to_string(),
        };
        paragraph(&format!(
            "Ranked by plain rules, one after the other: a first truck from {} to {}, when crews start{}; the fewest reasons \
             that can spoil the slab; the fewest others; the shortest finishing, from the last bay struck off to the close of \
             its last useful round; the earliest.",
            time(hours.from),
            time(hours.until),
            if hours == pour::sweep::StartHours::CUSTOMARY {
                " (common practice, no source; --start-hours moves it)"
            } else {
                ", as asked"
            },
        ))
    }

    fn day_of_the_best(&self) -> String {
        let Some(best) = self.sweep.best() else { return String::new() };
        let day = self.sweep.days().find(|day| day.iter().any(|start| start.at == best.at));
        let mut table = table("start");
        for start in day.unwrap_or_default().iter().filter(|start| start.in_hours == best.in_hours) {
            table.row(self.row(self.time(start.at), start));
        }
        heading(&format!("Hour by hour on {}", self.date(best.at))) + &table.print()
    }

    fn days(&self) -> String {
        let mut table = table("best start");
        for start in self.sweep.days().filter_map(best) {
            table.row(self.row(format!("{} {}", self.date(start.at), self.time(start.at)), start));
        }
        heading("The best start of each day") + &table.print()
    }

    fn row(&self, first: String, start: &Start) -> [String; 4] {
        let finishing = format!("{:.1} h", start.finishing.in_hours());
        let outside = if start.in_hours { "" } else { "out of hours; " };
        let told = format!("{outside}{}", against(start, ROOM - outside.len()));
        [first, finishing, self.after(start, start.ends), told]
    }

    fn reasons(&self) -> String {
        let mut table =
            Table::new(&[("starts", Align::Right), ("", Align::Left), ("what speaks against", Align::Left)]);
        for (grave, class) in [(true, "can spoil it"), (false, "")] {
            for reason in Against::ALL.into_iter().filter(|reason| reason.is_grave() == grave) {
                let many = self.sweep.starts.iter().filter(|start| start.against.contains(&reason)).count();
                if many > 0 {
                    table.row([many.to_string(), class.to_owned(), meaning(reason).to_owned()]);
                }
            }
        }
        heading("What speaks against the starts") + &table.print()
    }

    fn unscored(&self) -> String {
        if self.sweep.unscored.is_empty() {
            return String::new();
        }
        let mut text = heading("Not scored");
        for why in Why::ALL {
            let starts: Vec<Timestamp> =
                self.sweep.unscored.iter().filter(|start| start.why == why).map(|start| start.at).collect();
            let (Some(first), Some(last)) = (starts.first(), starts.last()) else { continue };
            text += &paragraph(&format!(
                "{} from {} {} to {} {}: {}.",
                count(starts.len(), "start"),
                self.date(*first),
                self.time(*first),
                self.date(*last),
                self.time(*last),
                reason(why),
            ));
        }
        text + &paragraph("Nothing is guessed beyond the weather given.")
    }

    fn date(&self, at: Timestamp) -> String {
        let date = self.sweep.day(at);
        format!("{} {date}", weekday(date))
    }

    /// A start's time of day; with its offset where the clocks show that time twice.
    fn time(&self, at: Timestamp) -> String {
        let zone = &self.sweep.zone;
        let told = Wall { zone, start: at, units: self.job.units }.at(at);
        let local = zone.to_datetime(at);
        if zone.to_ambiguous_timestamp(local).is_ambiguous() {
            format!("{told} ({})", zone.to_offset(at))
        } else {
            told
        }
    }

    /// A later time of a start's day.
    fn after(&self, start: &Start, at: Timestamp) -> String {
        Wall { zone: &self.sweep.zone, start: start.at, units: self.job.units }.at(at)
    }
}

fn table(first: &str) -> Table {
    Table::new(&[
        (first, Align::Right),
        ("finishing", Align::Right),
        ("until", Align::Right),
        ("against it", Align::Left),
    ])
}

fn limits() -> String {
    paragraph(
        "Scored on the likely course alone, for the last bay, bare, on a base as warm as the day's mean air. Ask clock for the \
         odds, the cautions and the people of the day that you choose. Forecasts change: sweep again before you order.",
    )
}

/// What speaks against a start, in as many letters as there is room for.
fn against(start: &Start, room: usize) -> String {
    if start.against.is_empty() {
        return "nothing".to_owned();
    }
    let mut told = String::new();
    for (i, reason) in start.against.iter().enumerate() {
        let word = match reason {
            Against::Dark => format!("dark {:.1} h", start.dark.in_hours()),
            other => short(*other).to_owned(),
        };
        let left = start.against.len() - i;
        if i > 0 && told.len() + word.len() + 2 + if left > 1 { 4 } else { 0 } > room {
            return format!("{told}, +{left}");
        }
        if i > 0 {
            told += ", ";
        }
        told += &word;
    }
    told
}

const fn short(reason: Against) -> &'static str {
    match reason {
        Against::FrozenBase => "frozen base",
        Against::Frost => "frost",
        Against::Rain => "rain",
        Against::Shrinkage => "shrinkage",
        Against::Crusting => "crusting",
        Against::Drying => "drying",
        Against::BleedWater => "bleed water",
        Against::Dark => "dark",
        Against::Cold => "cold",
        Against::Hot => "hot",
        Against::NotFollowed => "500 psi late",
    }
}

const fn meaning(reason: Against) -> &'static str {
    match reason {
        Against::FrozenBase => "frozen base: the day's mean air is at the frost point or below",
        Against::Frost => "frost in the slab before 500 psi (3.5 MPa)",
        Against::Rain => "rain between first truck and final set",
        Against::Shrinkage => "plastic shrinkage: evaporation over 1 kg/m2/h (0.2 lb/ft2/h)",
        Against::Crusting => "crusting: dries or closes over soft, bleeding concrete",
        Against::Drying => "drying: evaporation over 0.5 kg/m2/h (0.1 lb/ft2/h)",
        Against::BleedWater => "bleed water stands until a round is too late: drag it off",
        Against::Dark => "dark: finishing between sunset and sunrise",
        Against::Cold => "cold weather: 40 degF (5 degC) or less in the days of protection",
        Against::Hot => "hot concrete: over 90 degF (32 degC)",
        Against::NotFollowed => "500 psi late: not in two days, or after the weather's end",
    }
}

const fn reason(why: Why) -> &'static str {
    match why {
        Why::Hole => "hours of weather are missing before last round and final set",
        Why::WeatherEnds => "the weather ends before last round and final set",
        Why::TooSlow => "the slab is not through in two days",
        Why::Impossible => "slab or weather lie outside what can be worked",
    }
}
