//! A local time as typed on the command line.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime, Time};
use jiff::tz::{AmbiguousOffset, TimeZone};

/// The instant of a local time: `11:30` and `2:15 pm` on the day of the pour, `2026-06-13 07:00` on any day.
///
/// # Errors
/// Words for what is no time, and for one that the clocks skip or show twice on that day.
pub fn read(typed: &str, zone: &TimeZone, pour: Timestamp) -> Result<Timestamp, String> {
    let day = zone.to_datetime(pour).date();
    let local = local(typed.trim(), day)
        .ok_or_else(|| format!("--at {typed}: no time of day; write 11:30, 2:15 pm or 2026-06-13 07:00\n"))?;
    let found = zone.to_ambiguous_timestamp(local);
    match found.offset() {
        AmbiguousOffset::Unambiguous { .. } => {}
        AmbiguousOffset::Gap { .. } => return Err(format!("--at {typed}: the clocks skip this time\n")),
        AmbiguousOffset::Fold { .. } => {
            return Err(format!(
                "--at {typed}: the clocks show this time twice; ask for one outside that hour\n"
            ));
        }
    }
    found.earlier().map_err(|_| format!("--at {typed}: beyond the calendar\n"))
}

fn local(typed: &str, day: Date) -> Option<DateTime> {
    match typed.split_once([' ', 'T']) {
        Some((date, time)) if date.contains('-') => {
            Some(date.parse::<Date>().ok()?.to_datetime(clock(time)?))
        }
        _ => Some(day.to_datetime(clock(typed)?)),
    }
}

/// A time of day: `11:30`, `2:15 pm`, `2 pm`.
pub fn clock(typed: &str) -> Option<Time> {
    let typed = typed.trim().to_ascii_lowercase();
    let (figures, half) = [("am", 0), ("pm", 12)]
        .into_iter()
        .find_map(|(half, by)| Some((typed.strip_suffix(half)?.trim_end(), Some(by))))
        .unwrap_or((typed.as_str(), None));
    let (hour, minute) = match figures.split_once(':') {
        Some((hour, minute)) if minute.len() == 2 => (hour, minute.parse::<i8>().ok()?),
        Some(_) => return None,
        None => (half.map(|_| figures)?, 0),
    };
    let hour: i8 = hour.parse().ok()?;
    let hour = match half {
        Some(by) if (1..=12).contains(&hour) => hour % 12 + by,
        Some(_) => return None,
        None => hour,
    };
    Time::new(hour, minute, 0, 0).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(typed: &str) -> Result<String, String> {
        let zone = TimeZone::get("America/Chicago").unwrap();
        let pour: Timestamp = "2026-06-12T12:00:00Z".parse().unwrap();
        read(typed, &zone, pour).map(|at| at.to_string())
    }

    #[test]
    fn times_are_read_as_people_write_them() {
        for (typed, instant) in [
            ("11:30", "2026-06-12T16:30:00Z"),
            ("2:15 pm", "2026-06-12T19:15:00Z"),
            ("2:15PM", "2026-06-12T19:15:00Z"),
            ("12 am", "2026-06-12T05:00:00Z"),
            ("12:05 pm", "2026-06-12T17:05:00Z"),
            ("2026-06-13 07:00", "2026-06-13T12:00:00Z"),
            ("2026-06-13T07:00", "2026-06-13T12:00:00Z"),
        ] {
            assert_eq!(told(typed).as_deref(), Ok(instant), "{typed}");
        }
        for typed in ["", "25:00", "11:3", "13:00 pm", "noon", "11", "2026-13-01 07:00", "-1:30", "7:60"] {
            assert!(told(typed).is_err(), "{typed}");
        }
    }

    /// The clocks of Chicago skip 2:30 on 2026-03-08 and show 1:30 twice on 2026-11-01.
    #[test]
    fn skipped_and_doubled_times_are_refused() {
        assert!(told("2026-03-08 02:30").unwrap_err().contains("skip"));
        assert!(told("2026-11-01 01:30").unwrap_err().contains("twice"));
    }
}
