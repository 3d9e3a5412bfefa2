//! Every hour of a weather file as the start of the pour: how long the finishing lasts and what speaks against it.
//!
//! Method and limits: `docs/methods/sweep.md`.

mod floor;
mod score;

use basis::{Note, Place, Report, Temperature, TimeSpan};
use jiff::Timestamp;
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use rand::Rng;

use super::ForecastInput;
use floor::{Floor, Worked};

/// Columns worked together: enough to fill the lanes, few enough to stay in memory.
const TOGETHER: usize = 256;
/// A slab is first followed for so many hours, and again for longer if it is not through or not safe by then.
const FOLLOWED: [i64; 2] = [24, 48];

/// The local hours at which a crew takes its first truck, both ends included; they may run past midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StartHours {
    /// Earliest.
    pub from: Time,
    /// Latest.
    pub until: Time,
}

impl StartHours {
    /// 5:00 to 15:00: plants deliver on working days from early morning to mid-afternoon; common practice, no source.
    pub const CUSTOMARY: Self = Self { from: Time::constant(5, 0, 0, 0), until: Time::constant(15, 0, 0, 0) };

    /// Whether a first truck at this local time lies in them.
    #[must_use]
    pub fn hold(&self, time: Time) -> bool {
        if self.from <= self.until {
            self.from <= time && time <= self.until
        } else {
            self.from <= time || time <= self.until
        }
    }
}

/// Which starts are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// First local day; the first of the file, where nothing is said.
    pub from: Option<Date>,
    /// Last local day; the last of the file, where nothing is said.
    pub until: Option<Date>,
    /// When the crew takes its first truck. Other hours are scored too, and stand behind these.
    pub hours: StartHours,
}

impl Default for Asked {
    fn default() -> Self {
        Self { from: None, until: None, hours: StartHours::CUSTOMARY }
    }
}

/// What speaks against a start, in order of weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Against {
    /// The base is frozen: the day's mean air is at the frost point or below.
    FrozenBase,
    /// Frost in the slab before 500 psi.
    Frost,
    /// Rain between the first truck and final set of the last bay.
    Rain,
    /// Evaporation of 1 kg/m²/h or more before final set: plastic shrinkage cracks.
    Shrinkage,
    /// The surface dries before it can be floated, or is closed over bleeding concrete.
    Crusting,
    /// Evaporation of 0.5 kg/m²/h or more before final set.
    Drying,
    /// Bleed water stands until a round's window closes: it has to be dragged off.
    BleedWater,
    /// Some of the finishing falls between sunset and sunrise.
    Dark,
    /// Cold weather within the days of protection.
    Cold,
    /// Concrete over 90 °F.
    Hot,
    /// 500 psi does not come in two days or before the weather's end: frost after that is not judged.
    NotFollowed,
}

impl Against {
    /// All of them, in order of weight.
    pub const ALL: [Self; 11] = [
        Self::FrozenBase,
        Self::Frost,
        Self::Rain,
        Self::Shrinkage,
        Self::Crusting,
        Self::Drying,
        Self::BleedWater,
        Self::Dark,
        Self::Cold,
        Self::Hot,
        Self::NotFollowed,
    ];

    /// Whether it can spoil the slab, rather than make the day harder.
    #[must_use]
    pub const fn is_grave(self) -> bool {
        matches!(self, Self::FrozenBase | Self::Frost | Self::Rain | Self::Shrinkage)
    }

    /// The reason that a caution of the clock stands for; none for those that are alike for every start.
    #[must_use]
    pub fn of_caution(code: &str) -> Option<Self> {
        Some(match code {
            "base-frozen" => Self::FrozenBase,
            "frost-before-500-psi" => Self::Frost,
            "rain-on-fresh-slab" => Self::Rain,
            "evaporation-high" => Self::Shrinkage,
            "crusting-likely" | "sealing-too-early" => Self::Crusting,
            "evaporation-caution" => Self::Drying,
            "round-lost" => Self::BleedWater,
            "cold-weather"
            | "concrete-too-cold"
            | "concrete-hot-in-frost"
            | "fresh-may-freeze"
            | "base-near-freezing" => Self::Cold,
            "concrete-hot" | "concrete-too-hot" => Self::Hot,
            _ => return None,
        })
    }
}

/// One start and how it goes, on the likely course.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// The first truck.
    pub at: Timestamp,
    /// Whether it lies in the crew's start hours.
    pub in_hours: bool,
    /// The last bay is struck off.
    pub struck_off: Timestamp,
    /// The last useful round of the last bay closes.
    pub ends: Timestamp,
    /// Between the two.
    pub finishing: TimeSpan,
    /// How much of that the sun is down.
    pub dark: TimeSpan,
    /// The concrete at the chute.
    pub fresh: Temperature,
    /// Highest evaporation of a wet surface before final set, kg/m²/h.
    pub evaporation: f64,
    /// What speaks against it, in order of weight.
    pub against: Vec<Against>,
}

impl Start {
    /// How many reasons against it can spoil the slab.
    #[must_use]
    pub fn grave(&self) -> usize {
        self.against.iter().filter(|reason| reason.is_grave()).count()
    }

    /// Whether this start is better than another: in the crew's hours, then fewer grave reasons, then fewer others, then
    /// the shorter finishing.
    #[must_use]
    pub fn is_better(&self, other: &Self) -> bool {
        let rank = |start: &Self| {
            (!start.in_hours, start.grave(), start.against.len(), start.finishing.in_seconds())
        };
        rank(self) < rank(other)
    }
}

/// Why a start is not scored. Nothing is guessed beyond the weather given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// Hours are missing in the weather before the last round has closed and the slab has set.
    Hole,
    /// The weather ends before last round and final set.
    WeatherEnds,
    /// The slab is not through in two days.
    TooSlow,
    /// Slab or weather lie outside what can be worked.
    Impossible,
}

impl Why {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Hole, Self::WeatherEnds, Self::TooSlow, Self::Impossible];
}

/// A start that is not scored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unscored {
    /// The first truck.
    pub at: Timestamp,
    /// Why.
    pub why: Why,
}

/// All starts of a weather file.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    /// Zone of the site.
    pub zone: TimeZone,
    /// The crew's start hours.
    pub hours: StartHours,
    /// The starts that were scored, in time.
    pub starts: Vec<Start>,
    /// The starts that were not, in time.
    pub unscored: Vec<Unscored>,
}

impl Sweep {
    /// The best of all starts; the earliest of equals.
    #[must_use]
    pub fn best(&self) -> Option<&Start> {
        best(&self.starts)
    }

    /// Local date of an instant.
    #[must_use]
    pub fn day(&self, at: Timestamp) -> Date {
        self.zone.to_datetime(at).date()
    }

    /// The scored starts of each local day, in time.
    pub fn days(&self) -> impl Iterator<Item = &[Start]> {
        self.starts.chunk_by(|a, b| self.day(a.at) == self.day(b.at))
    }
}

/// The best of some starts; the earliest of equals.
#[must_use]
pub fn best(starts: &[Start]) -> Option<&Start> {
    starts.iter().reduce(|best, start| if start.is_better(best) { start } else { best })
}

/// Scores every hourly start of the job's weather file on the likely course.
///
/// `rng` draws the trucks, whose mean gives the placing times. The base is taken as warm as the day's mean air.
///
/// # Errors
/// Refused with the faults of mix, site and weather; where the weather is words, not hours; and when no start can be scored.
#[must_use]
pub fn sweep(input: &ForecastInput<'_>, asked: &Asked, rng: &mut impl Rng) -> Report<Sweep> {
    let mut notes = Vec::new();
    match swept(input, asked, rng, &mut notes) {
        Some(sweep) if !basis::has_fault(&notes) => Report::with(sweep, notes),
        _ => Report::refused(notes),
    }
}

fn swept(
    input: &ForecastInput<'_>,
    asked: &Asked,
    rng: &mut impl Rng,
    notes: &mut Vec<Note>,
) -> Option<Sweep> {
    let floor = Floor::of(input, asked.hours, rng, notes)?;
    let mut open = wanted(&floor, asked, notes)?;
    let (mut starts, mut unscored) = (Vec::new(), Vec::new());
    for (round, followed) in FOLLOWED.into_iter().enumerate() {
        let last = round + 1 == FOLLOWED.len();
        let mut again = Vec::new();
        for together in open.chunks(TOGETHER) {
            for (at, worked) in together.iter().zip(floor.work(together, followed)) {
                match worked {
                    Worked::Scored(start) if last || !start.against.contains(&Against::NotFollowed) => {
                        starts.push(start);
                    }
                    Worked::Refused(why) if last || why == Why::Impossible => {
                        unscored.push(Unscored { at: *at, why });
                    }
                    _ => again.push(*at),
                }
            }
        }
        open = again;
    }
    starts.sort_by_key(|start| start.at);
    unscored.sort_by_key(|start| start.at);
    if starts.is_empty() {
        notes.push(nothing_scored(&unscored));
        return None;
    }
    Some(Sweep { zone: floor.day.site.zone, hours: asked.hours, starts, unscored })
}

/// The hours of the file on the days asked for.
fn wanted(floor: &Floor<'_>, asked: &Asked, notes: &mut Vec<Note>) -> Option<Vec<Timestamp>> {
    let (series, zone) = (&floor.day.series, &floor.day.site.zone);
    let on_the_days = |at: &Timestamp| {
        let date = zone.to_datetime(*at).date();
        asked.from.is_none_or(|from| date >= from) && asked.until.is_none_or(|until| date <= until)
    };
    let hours: Vec<Timestamp> =
        (0..series.records.len()).map(|hour| series.instant(hour)).filter(on_the_days).collect();
    if hours.is_empty() {
        let day = |at: Timestamp| zone.to_datetime(at).date();
        let message = format!(
            "no hour of the weather lies on the days asked for; it runs from {} to {}",
            day(series.start),
            day(series.end())
        );
        notes.push(Note::fault("sweep-empty", Place::at("weather"), message, "ask for days that it has"));
    }
    (!hours.is_empty()).then_some(hours)
}

fn nothing_scored(unscored: &[Unscored]) -> Note {
    let count = |why: Why| unscored.iter().filter(|start| start.why == why).count();
    let told: Vec<String> = [
        (Why::WeatherEnds, "the weather ends before last round and final set"),
        (Why::Hole, "hours are missing before last round and final set"),
        (Why::TooSlow, "the slab is not through in two days"),
        (Why::Impossible, "slab or weather lie outside what can be worked"),
    ]
    .into_iter()
    .filter(|(why, _)| count(*why) > 0)
    .map(|(why, words)| format!("{words} ({} starts)", count(why)))
    .collect();
    let message = format!("none of the {} starts can be scored: {}", unscored.len(), told.join(", "));
    let hint = "give hours from the first truck to the last round and, to judge frost, for two days after; nothing is guessed beyond them";
    Note::fault("sweep-nothing-scored", Place::at("weather"), message, hint)
}

#[cfg(test)]
mod tests;
