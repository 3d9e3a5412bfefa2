//! What was seen on the day, as a person says it: `10:40 bay 1 print 1/4 in`, `9:55 bay 2 sheen gone`, `load 2 at 7:58`.

use basis::quantity::QuantityError;
use basis::{Length, Note, Place, Pressure, Report, Temperature};
use clock::finish::Round;
use clock::observe::Seen;
use jiff::civil::Time;
use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{SignedDuration, Timestamp};
use pour::forecast::Sight;

/// A time of day this long before the first truck is of the next day.
const NEXT_DAY: SignedDuration = SignedDuration::from_hours(2);
/// Longest text that is looked at, in bytes.
const LONGEST: usize = 200;

/// The day on which things are seen.
#[derive(Debug, Clone, Copy)]
pub struct DayOfPour<'a> {
    /// The instant for which the first truck is asked.
    pub first_truck: Timestamp,
    /// Zone of the site.
    pub zone: &'a TimeZone,
}

/// Something seen, with the floor that was named.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SaidSight {
    /// Number of the floor from 1, when one was named.
    pub floor: Option<usize>,
    /// What was seen.
    pub sight: Sight,
}

/// Reads something seen.
///
/// A time of day, then `bay N` with `print 1/4 in`, `needle 90 psi`, `surface 74 degF`, `sheen gone`, `float on` or a round that is
/// done (`edges done`, `trowel 1 done`), or `load N`; `floor N` names the floor where there are two, and the time may stand anywhere,
/// after `at` or not.
///
/// # Errors
/// What is unclear is a fault at `place` that says what to write. A time that could be morning or evening is one too.
///
/// ```
/// use formats::{DayOfPour, read_sight};
/// let zone = jiff::tz::TimeZone::UTC;
/// let day = DayOfPour { first_truck: "2026-06-12T07:00:00Z".parse().unwrap(), zone: &zone };
/// let said = read_sight("load 2 at 7:58", &day, &basis::Place::at("--seen")).value.unwrap();
/// let at = "2026-06-12T07:58:00Z".parse().unwrap();
/// assert_eq!(said.sight, pour::forecast::Sight::Came { load: 2, at });
/// ```
#[must_use]
pub fn read_sight(text: &str, day: &DayOfPour<'_>, place: &Place) -> Report<SaidSight> {
    let mut notes = Vec::new();
    let read = words(text).and_then(|words| {
        let (local, rest) = time_of(&words)?;
        let at = instant(local, day, place, &mut notes)?;
        said(&rest, at)
    });
    match read {
        Ok(said) => Report::with(said, notes),
        Err(why) => Report::refused(vec![unclear(text, &why, place)]),
    }
}

/// Reads a time of the day of the pour: `11:05`, `1:30 pm`.
///
/// # Errors
/// As [`read_sight`].
#[must_use]
pub fn read_time_of_pour(text: &str, day: &DayOfPour<'_>, place: &Place) -> Report<Timestamp> {
    let mut notes = Vec::new();
    let read = words(text).and_then(|words| match time_of(&words)? {
        (local, rest) if rest.is_empty() => instant(local, day, place, &mut notes),
        _ => {
            Err(Why("only a time of day is wanted".into(), "write it as in \"11:05\" or \"1:30 pm\"".into()))
        }
    });
    match read {
        Ok(at) => Report::with(at, notes),
        Err(why) => Report::refused(vec![unclear(text, &why, place)]),
    }
}

/// What is wrong, and what to write.
struct Why(String, String);

const FORMS: &str = "write it as in \"10:40 bay 1 print 1/4 in\", \"9:55 bay 2 sheen gone\", \"10:20 bay 1 needle 90 psi\", \"10:20 bay \
                     1 surface 74 degF\", \"11:00 bay 1 float on\", \"11:30 bay 1 trowel 1 done\" or \"load 2 at 7:58\"";

fn why(message: impl Into<String>) -> Why {
    Why(message.into(), FORMS.into())
}

fn unclear(text: &str, why: &Why, place: &Place) -> Note {
    let shown: String = text.chars().take(60).map(|c| if c.is_control() { ' ' } else { c }).collect();
    Note::fault("seen-unclear", place.clone(), format!("\"{shown}\": {}", why.0), why.1.clone())
}

fn words(text: &str) -> Result<Vec<String>, Why> {
    if text.len() > LONGEST {
        return Err(why("that is longer than anything that is seen at once"));
    }
    let words: Vec<String> = text
        .split(|c: char| c.is_whitespace() || c == ',')
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    if words.is_empty() { Err(why("nothing is said")) } else { Ok(words) }
}

/// A time of day as said: with its half of the day, if that was said.
struct Said {
    time: Time,
    half: Option<Half>,
}

#[derive(Clone, Copy, PartialEq)]
enum Half {
    Am,
    Pm,
}

/// Takes the one time of day out of the words.
fn time_of(words: &[String]) -> Result<(Said, Vec<&str>), Why> {
    let mut found = None;
    let mut rest = Vec::new();
    let mut i = 0;
    while let Some(word) = words.get(i) {
        i += 1;
        if !word.contains(':') {
            rest.push(word.as_str());
            continue;
        }
        let (figures, mut half) = half_of(word);
        if let (None, Some(next)) = (half, words.get(i))
            && let ("", Some(own)) = half_of(next)
        {
            half = Some(own);
            i += 1;
        }
        let time = time(figures, half).ok_or_else(|| why(format!("\"{word}\" is no time of day")))?;
        if found.replace(Said { time, half }).is_some() {
            return Err(why("two times are said"));
        }
        if rest.last() == Some(&"at") {
            rest.pop();
        }
    }
    found.map(|said| (said, rest)).ok_or_else(|| why("no time of day is said, such as 10:40"))
}

fn half_of(word: &str) -> (&str, Option<Half>) {
    for (ending, half) in [("am", Half::Am), ("a.m.", Half::Am), ("pm", Half::Pm), ("p.m.", Half::Pm)] {
        if let Some(figures) = word.strip_suffix(ending) {
            return (figures, Some(half));
        }
    }
    (word, None)
}

fn time(figures: &str, half: Option<Half>) -> Option<Time> {
    let (hour, minute) = figures.split_once(':')?;
    let number = |text: &str, most: i8| -> Option<i8> {
        let plain = (1..=2).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        text.parse().ok().filter(|number| plain && *number <= most)
    };
    let (hour, minute) = (number(hour, 23)?, number(minute, 59).filter(|_| minute.len() == 2)?);
    let hour = match half {
        None => hour,
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(Half::Am) => hour % 12,
        Some(Half::Pm) => hour % 12 + 12,
    };
    Time::new(hour, minute, 0, 0).ok()
}

/// The instant of a time of day: on the day of the first truck, or the night after.
fn instant(said: Said, day: &DayOfPour<'_>, place: &Place, notes: &mut Vec<Note>) -> Result<Timestamp, Why> {
    let first = day.zone.to_datetime(day.first_truck);
    let earliest = first.checked_sub(NEXT_DAY).map_err(|_| why("the day is out of range"))?;
    let mut local = first.date().to_datetime(said.time);
    if local < earliest {
        let hour = said.time.hour();
        if said.half.is_none() && (1..12).contains(&hour) {
            let minute = said.time.minute();
            let message = format!("{hour}:{minute:02} is before the first truck");
            let hint = format!(
                "write {hour}:{minute:02} pm or {}:{minute:02}; for the night after, {hour}:{minute:02} am",
                hour + 12
            );
            return Err(Why(message, hint));
        }
        local =
            local.checked_add(SignedDuration::from_hours(24)).map_err(|_| why("the day is out of range"))?;
    }
    let found = day.zone.to_ambiguous_timestamp(local);
    match found.offset() {
        AmbiguousOffset::Unambiguous { .. } => {}
        AmbiguousOffset::Gap { .. } => {
            return Err(Why(
                format!("the clocks skip {local} on that day"),
                "say a time that the clocks show".into(),
            ));
        }
        AmbiguousOffset::Fold { .. } => {
            let message = format!("the clocks show {local} twice on that day; the earlier is taken");
            let hint = "say a time outside the hour that is shown twice, if the later is meant";
            notes.push(Note::warning("time-doubled", place.clone(), message, hint));
        }
    }
    found.earlier().map_err(|_| why("the day is out of range"))
}

fn said(words: &[&str], at: Timestamp) -> Result<SaidSight, Why> {
    let (floor, words) = match words {
        ["floor", number, rest @ ..] => (Some(count(number)?), rest),
        words => (None, words),
    };
    let sight = match words {
        ["load" | "truck", number] | ["load" | "truck", number, "came"] => {
            Sight::Came { load: count(number)?, at }
        }
        ["bay", number, what @ ..] => on_bay(count(number)?, what, at)?,
        _ => return Err(why("it says neither a bay nor a load with its number")),
    };
    Ok(SaidSight { floor, sight })
}

fn count(word: &str) -> Result<usize, Why> {
    let plain = word.len() <= 4 && word.bytes().all(|byte| byte.is_ascii_digit());
    word.parse()
        .ok()
        .filter(|_| plain)
        .ok_or_else(|| why(format!("\"{word}\" is no number of a bay, load or floor")))
}

fn on_bay(bay: usize, what: &[&str], at: Timestamp) -> Result<Sight, Why> {
    let seen = match what {
        ["sheen", "gone"] => Seen::SheenGone,
        ["float", "on"] | ["float", "went", "on"] => Seen::FloatStart,
        ["print", depth @ ..] | ["boot", "print", depth @ ..] => Seen::Print(read::<Length>(depth)?),
        ["needle", reading @ ..] => Seen::Penetration(read::<Pressure>(reading)?),
        ["surface", warmth @ ..] => Seen::SurfaceTemperature(read::<Temperature>(warmth)?),
        [round @ .., "done"] => return Ok(Sight::Done { bay, at, round: done(round)? }),
        [] => return Err(why(format!("it does not say what was seen on bay {bay}"))),
        other => return Err(why(format!("\"{}\" is nothing that can be seen on a bay", other.join(" ")))),
    };
    Ok(Sight::OnBay { bay, at, seen })
}

fn done(round: &[&str]) -> Result<Round, Why> {
    match round {
        ["edges"] => Ok(Round::Edges),
        ["bull", "float"] => Ok(Round::BullFloat),
        ["float"] => Ok(Round::Float),
        ["broom"] => Ok(Round::Broom),
        ["trowel", number] => {
            let number = count(number)?;
            u8::try_from(number)
                .map(Round::Trowel)
                .map_err(|_| why(format!("there is no trowel round {number}")))
        }
        other => Err(why(format!("\"{}\" is no round: edges, float, trowel 1, broom", other.join(" ")))),
    }
}

fn read<Q: std::str::FromStr<Err = QuantityError>>(words: &[&str]) -> Result<Q, Why> {
    words.join(" ").parse().map_err(|error: QuantityError| Why(error.message, error.hint))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(zone: &TimeZone) -> DayOfPour<'_> {
        let first = "2026-06-12T07:00:00".parse::<jiff::civil::DateTime>().unwrap();
        DayOfPour { first_truck: zone.to_timestamp(first).unwrap(), zone }
    }

    fn chicago() -> TimeZone {
        jiff::tz::TimeZoneDatabase::bundled().get("America/Chicago").unwrap()
    }

    fn sight(text: &str) -> Result<SaidSight, String> {
        let zone = chicago();
        let report = read_sight(text, &day(&zone), &Place::at("--seen"));
        report.value.ok_or_else(|| format!("{} {}", report.notes[0].message, report.notes[0].hint))
    }

    fn at(local: &str) -> Timestamp {
        chicago().to_timestamp(local.parse().unwrap()).unwrap()
    }

    #[test]
    fn what_is_seen_is_read_as_it_is_said() {
        let morning = at("2026-06-12T10:40:00");
        for (text, bay, seen) in [
            ("10:40 bay 1 print 1/4 in", 1, Seen::Print(Length::inches(0.25))),
            ("bay 1 boot print 6 mm at 10:40", 1, Seen::Print(Length::millimetres(6.0))),
            ("Bay 12, sheen gone, 10:40 AM", 12, Seen::SheenGone),
            ("10:40am bay 2 float on", 2, Seen::FloatStart),
            ("at 10:40 bay 2 float went on", 2, Seen::FloatStart),
            ("10:40 bay 3 needle 90 psi", 3, Seen::Penetration(Pressure::psi(90.0))),
            ("10:40 bay 3 surface 74 degF", 3, Seen::SurfaceTemperature(Temperature::fahrenheit(74.0))),
        ] {
            let expected = SaidSight { floor: None, sight: Sight::OnBay { bay, at: morning, seen } };
            assert_eq!(sight(text), Ok(expected), "{text}");
        }
        let done = Sight::Done { bay: 1, at: at("2026-06-12T13:05:00"), round: Round::Trowel(2) };
        assert_eq!(
            sight("1:05 pm floor 2 bay 1 trowel 2 done"),
            Ok(SaidSight { floor: Some(2), sight: done })
        );
        let came = Sight::Came { load: 2, at: at("2026-06-12T07:58:00") };
        assert_eq!(sight("load 2 at 7:58"), Ok(SaidSight { floor: None, sight: came }));
        assert_eq!(sight("7:58 truck 2 came"), Ok(SaidSight { floor: None, sight: came }));
    }

    #[test]
    fn times_are_of_the_day_or_of_the_night_after() {
        let came = |text: &str| sight(text).map(|said| said.sight.at());
        assert_eq!(came("load 1 5:10"), Ok(at("2026-06-12T05:10:00")));
        assert_eq!(came("load 1 13:30"), Ok(at("2026-06-12T13:30:00")));
        assert_eq!(came("load 1 12:15"), Ok(at("2026-06-12T12:15:00")));
        assert_eq!(came("load 1 0:40"), Ok(at("2026-06-13T00:40:00")));
        assert_eq!(came("load 1 12:40 am"), Ok(at("2026-06-13T00:40:00")));
        assert_eq!(came("load 1 1:30 am"), Ok(at("2026-06-13T01:30:00")));
        let asked = came("load 1 1:30").unwrap_err();
        assert!(asked.contains("1:30 pm or 13:30"), "{asked}");
    }

    #[test]
    fn what_is_unclear_is_told_with_what_to_write() {
        for (text, part) in [
            ("", "nothing is said"),
            ("bay 1 print 1/4 in", "no time of day"),
            ("10:40 bay 1 print 1/4", "has no unit"),
            ("10:40 bay 1 print 5 psi", "psi"),
            ("10:40 bay 1", "does not say what was seen"),
            ("10:40 bay one sheen gone", "no number"),
            ("10:40 bay 1 looks fine", "looks fine"),
            ("10:40 bay 1 polish done", "is no round"),
            ("10:40 bay 1 trowel 900 done", "trowel round 900"),
            ("10:40 print 1/4 in", "neither a bay nor a load"),
            ("10:40 11:40 load 2", "two times"),
            ("25:10 load 2", "no time of day"),
            ("13:10 pm load 2", "no time of day"),
            ("10:4 load 2", "no time of day"),
        ] {
            let told = sight(text).unwrap_err();
            assert!(told.contains(part), "{text}: {told}");
        }
        assert!(sight(&"bay ".repeat(100)).is_err());
    }

    #[test]
    fn an_hour_shown_twice_is_told_and_one_skipped_refused() {
        let zone = chicago();
        let on = |date: &str, text: &str| {
            let first = format!("{date}T20:00:00").parse::<jiff::civil::DateTime>().unwrap();
            let day = DayOfPour { first_truck: zone.to_timestamp(first).unwrap(), zone: &zone };
            read_sight(text, &day, &Place::at("--seen"))
        };
        let twice = on("2026-10-31", "load 1 1:30 am");
        assert_eq!(twice.notes[0].code, "time-doubled");
        assert_eq!(twice.value.unwrap().sight.at(), at("2026-11-01T01:30:00"));
        let skipped = on("2026-03-07", "load 1 2:30 am");
        assert!(skipped.value.is_none() && skipped.notes[0].message.contains("skip"), "{skipped:?}");
    }

    #[test]
    fn a_time_alone_is_read_and_nothing_beside_it() {
        let zone = chicago();
        let read = |text: &str| read_time_of_pour(text, &day(&zone), &Place::at("--now")).value;
        assert_eq!(read("11:05"), Some(at("2026-06-12T11:05:00")));
        assert_eq!(read("at 1:30 pm"), Some(at("2026-06-12T13:30:00")));
        assert_eq!((read("11:05 bay 1"), read("noon")), (None, None));
    }
}
