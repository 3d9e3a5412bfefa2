//! Forms: what a person typed or tapped, as a change of the job.

use basis::{Length, Temperature, UnitSystem, Volume};
use clock::finish::Round;
use clock::observe::Seen;
use formats::events::{Address, After, Change, EventId, Fingerprint};
use jiff::Timestamp;
use pour::loads::Extent;
use pour::log::{Entry, TruckStep, WarmthOf, What};
use serde::Deserialize;

/// A tap of the log.
#[derive(Debug, Clone, Deserialize)]
pub struct Tap {
    /// What every form carries.
    #[serde(flatten)]
    pub stamp: Stamp,
    /// What was told: `truck`, `line`, `water` …
    #[serde(default)]
    pub what: String,
    /// Number of the load.
    #[serde(default)]
    pub load: String,
    /// Number of the bay.
    #[serde(default)]
    pub bay: String,
    /// The value, or the step, or the words.
    #[serde(default)]
    pub value: String,
}

/// What every form carries: the id of the event that it becomes, and one more than what the page had seen.
#[derive(Debug, Clone, Default, Deserialize)]
pub struct Stamp {
    event: String,
    tick: String,
}

impl Stamp {
    /// What a form brought.
    #[must_use]
    pub const fn new(event: String, tick: String) -> Self {
        Self { event, tick }
    }
    /// The stamp.
    ///
    /// # Errors
    /// Words for a form that was not made here.
    pub fn read(&self) -> Result<(EventId, u64), String> {
        let broken = || "this form is broken: open the page anew".to_owned();
        let tick: u64 = self.tick.parse().map_err(|_| broken())?;
        if tick == 0 || tick > formats::events::HIGHEST_TICK {
            return Err(broken());
        }
        Ok((self.event.parse().map_err(|_| broken())?, tick))
    }
}

/// A value with its unit; without one, the job's own is meant, as the page shows it.
pub fn with_unit(typed: &str, unit: &str) -> String {
    let typed = typed.trim();
    let bare = !typed.is_empty() && typed.bytes().all(|b| b.is_ascii_digit() || b" ./".contains(&b));
    if bare { format!("{typed} {unit}") } else { typed.to_owned() }
}

fn read<T: std::str::FromStr<Err = basis::quantity::QuantityError>>(
    typed: &str,
    unit: &str,
) -> Result<T, String> {
    with_unit(typed, unit)
        .parse()
        .map_err(|e: basis::quantity::QuantityError| format!("\"{typed}\": {}; {}", e.message, e.hint))
}

/// The entry of the log that a tap tells.
///
/// # Errors
/// Words for what cannot be read, with what to write instead.
pub fn entry(tap: &Tap, units: UnitSystem, at: Timestamp) -> Result<Change, String> {
    let us = units == UnitSystem::Us;
    let number = |text: &str, what: &str| {
        text.trim().parse::<usize>().map_err(|_| format!("say which {what}, by its number"))
    };
    let load = || number(&tap.load, "load");
    let some_load = || if tap.load.trim().is_empty() { Ok(None) } else { load().map(Some) };
    let bay = || number(&tap.bay, "bay");
    let (inch, foot, yard, gallon, degree) =
        if us { ("in", "ft", "yd3", "gal", "degF") } else { ("mm", "m", "m3", "l", "degC") };
    let what = match tap.what.as_str() {
        "truck" => What::Truck { load: load()?, step: step(&tap.value)?, ticket: None },
        "ticket" => What::Truck {
            load: load()?,
            step: TruckStep::Arrived,
            ticket: Some(read::<Volume>(&tap.value, yard)?),
        },
        "drum" => What::Drum { load: load()?, left: read::<Volume>(&tap.value, yard)? },
        "line" => What::Line { bay: bay()?, reached: Extent::To(read::<Length>(&tap.value, foot)?) },
        "bay-done" => What::Line { bay: bay()?, reached: Extent::Done },
        "water" => What::Water { load: load()?, added: read::<Volume>(&tap.value, gallon)? },
        "slump" => What::Slump { load: some_load()?, slump: read::<Length>(&tap.value, inch)? },
        "concrete" => What::Warmth {
            of: WarmthOf::Concrete { load: some_load()? },
            temperature: read::<Temperature>(&tap.value, degree)?,
        },
        "air" => What::Warmth { of: WarmthOf::Air, temperature: read::<Temperature>(&tap.value, degree)? },
        "print" => What::OnBay { bay: bay()?, seen: Seen::Print(read::<Length>(&tap.value, inch)?) },
        "sheen" => What::OnBay { bay: bay()?, seen: Seen::SheenGone },
        "float-on" => What::OnBay { bay: bay()?, seen: Seen::FloatStart },
        "round" => What::RoundDone { bay: bay()?, round: round(&tap.value)? },
        "remark" => What::Remark { words: words(&tap.value)? },
        _ => return Err("this form is broken: open the page anew".to_owned()),
    };
    match what.impossible() {
        Some(why) => Err(why.to_owned()),
        None => Ok(Change::Log(Entry { at, what })),
    }
}

/// A shot that was called out.
#[derive(Debug, Clone, Deserialize)]
pub struct Shot {
    /// What every form carries.
    #[serde(flatten)]
    pub stamp: Stamp,
    /// Address of the list of shots.
    pub list: String,
    /// Its name.
    pub name: String,
    /// To the right of the origin.
    pub right: String,
    /// Up the sheet.
    pub up: String,
    /// What the stick reads.
    pub reading: String,
    /// What it is on.
    #[serde(default)]
    pub on: String,
}

/// The row that a shot adds.
///
/// # Errors
/// Words for each part that cannot be read.
pub fn shot(shot: &Shot, units: UnitSystem) -> Result<Change, String> {
    let list: Address =
        shot.list.parse().map_err(|_| "this form is broken: open the page anew".to_owned())?;
    let unit = if units == UnitSystem::Us { "ft" } else { "m" };
    let part = |what: &str, typed: &str, unit: &str| {
        let said = with_unit(typed, unit);
        let read = said
            .parse::<Length>()
            .map_err(|e| format!("{what} \"{}\": {}; {}", typed.trim(), e.message, e.hint));
        read.map(|_| said)
    };
    let rod = if units == UnitSystem::Us { "ft" } else { "mm" };
    let parts =
        [part("right", &shot.right, unit), part("up", &shot.up, unit), part("the stick", &shot.reading, rod)];
    let name = words(&shot.name).map_err(|_| "name the shot".to_owned());
    let faults: Vec<String> =
        std::iter::once(&name).chain(&parts).filter_map(|p| p.as_ref().err().cloned()).collect();
    if !faults.is_empty() {
        return Err(faults.join(". "));
    }
    let mut row: Vec<String> = std::iter::once(name).chain(parts).flatten().collect();
    if shot.on == "form" {
        row.push("form".to_owned());
    }
    let row: Vec<String> = row.into_iter().map(|text| toml::Value::String(text).to_string()).collect();
    Ok(Change::Add { list, after: After::End, row: format!("[{}]", row.join(", ")) })
}

/// The whole text of a job.
#[derive(Debug, Clone, Deserialize)]
pub struct WholeText {
    /// What every form carries.
    #[serde(flatten)]
    pub stamp: Stamp,
    /// Fingerprint of the text that the page showed.
    pub saw: String,
    /// The text.
    pub text: String,
}

/// The change to a whole text; browsers send lines that end in two signs.
///
/// # Errors
/// Words for what is no TOML, or too long.
pub fn whole_text(form: &WholeText) -> Result<Change, String> {
    let text = form.text.replace("\r\n", "\n");
    if text.len() > formats::events::LARGEST_TEXT {
        return Err(format!(
            "the text has {} kB; {} are kept",
            text.len() / 1000,
            formats::events::LARGEST_TEXT / 1000
        ));
    }
    text.parse::<toml::Table>()
        .map_err(|error| format!("this cannot be kept yet, it is no TOML: {}", error.message()))?;
    let saw: Fingerprint =
        form.saw.parse().map_err(|_| "this form is broken: open the page anew".to_owned())?;
    Ok(Change::Text { text, saw: Some(saw) })
}

fn step(word: &str) -> Result<TruckStep, String> {
    match word {
        "arrived" => Ok(TruckStep::Arrived),
        "discharging" => Ok(TruckStep::Discharging),
        "done" => Ok(TruckStep::Done),
        _ => Err("a truck arrives, discharges, and is done".to_owned()),
    }
}

fn round(word: &str) -> Result<Round, String> {
    match word {
        "bull float" => Ok(Round::BullFloat),
        "edges" => Ok(Round::Edges),
        "float" => Ok(Round::Float),
        "broom" => Ok(Round::Broom),
        other => {
            let number = other.strip_prefix("trowel ").and_then(|n| n.parse().ok()).filter(|n| *n > 0);
            number.map(Round::Trowel).ok_or_else(|| format!("there is no round {other}"))
        }
    }
}

/// Words as they are kept.
///
/// # Errors
/// Words for what is empty, too long, or holds signs that no keyboard has.
pub fn words(typed: &str) -> Result<String, String> {
    let told = typed.trim();
    match told.chars().count() {
        0 => Err("write some words".to_owned()),
        n if n > formats::events::LONGEST_WORDS => {
            Err(format!("{n} letters are too many; {} are kept", formats::events::LONGEST_WORDS))
        }
        _ if told.chars().any(|c| c.is_control() && c != '\n' && c != '\t') => {
            Err("there are signs in it that no keyboard has".to_owned())
        }
        _ => Ok(told.to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tapped(what: &str, load: &str, bay: &str, value: &str) -> Result<What, String> {
        let stamp = Stamp { event: String::new(), tick: String::new() };
        let [what, load, bay, value] = [what, load, bay, value].map(str::to_owned);
        match entry(&Tap { stamp, what, load, bay, value }, UnitSystem::Us, Timestamp::UNIX_EPOCH)? {
            Change::Log(entry) => Ok(entry.what),
            other => Err(format!("{other:?}")),
        }
    }

    #[test]
    fn taps_become_entries() {
        assert_eq!(
            tapped("truck", "2", "", "discharging"),
            Ok(What::Truck { load: 2, step: TruckStep::Discharging, ticket: None })
        );
        assert_eq!(
            tapped("print", "", "1", "1/4"),
            Ok(What::OnBay { bay: 1, seen: Seen::Print(Length::inches(0.25)) })
        );
        assert_eq!(
            tapped("line", "", "3", "14 ft 6 in"),
            Ok(What::Line { bay: 3, reached: Extent::To(Length::feet(14.5)) })
        );
        assert_eq!(
            tapped("round", "", "3", "trowel 2"),
            Ok(What::RoundDone { bay: 3, round: Round::Trowel(2) })
        );
        let water = tapped("water", "1", "", "5");
        assert!(
            matches!(water, Ok(What::Water { load: 1, added }) if (added.in_cubic_metres() - 0.018_927).abs() < 1e-6),
            "{water:?}"
        );
    }

    #[test]
    fn what_cannot_be_is_refused_with_words() {
        for (what, load, bay, value) in [
            ("truck", "", "", "arrived"),
            ("truck", "1", "", "gone"),
            ("print", "", "1", "deep"),
            ("print", "", "1", "40"),
            ("line", "", "x", "3"),
            ("water", "1", "", ""),
            ("round", "", "1", "trowel 0"),
            ("remark", "", "", "  "),
            ("remark", "", "", "a\u{7}b"),
            ("other", "1", "1", "1"),
        ] {
            let told = tapped(what, load, bay, value);
            assert!(told.is_err(), "{what} {load} {bay} {value}: {told:?}");
        }
    }
}
