//! Local times of a site, as people read them off the clock on the wall.

use basis::{TimeSpan, UnitSystem};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// The clock on the wall of a site.
#[derive(Debug, Clone, Copy)]
pub struct Wall<'a> {
    /// Zone of the site.
    pub zone: &'a TimeZone,
    /// The instant from which times are counted; other days than its own are told.
    pub start: Timestamp,
    /// Twelve hours twice or twenty-four.
    pub units: UnitSystem,
}

impl Wall<'_> {
    /// An instant: `2:30 pm`, `14:30`, `Sat 7:05 am` on another day.
    #[must_use]
    pub fn at(&self, instant: Timestamp) -> String {
        let (other_day, time) = self.parts(instant);
        other_day.map_or_else(|| time.clone(), |day| format!("{} {time}", weekday(day)))
    }

    /// An instant in parts: the day where it is not that of the start, and the time.
    #[must_use]
    pub fn parts(&self, instant: Timestamp) -> (Option<Date>, String) {
        let local = self.zone.to_datetime(instant);
        let day = local.date();
        let (hour, minute) = (local.hour(), local.minute());
        let time = match self.units {
            UnitSystem::Metric => format!("{hour}:{minute:02}"),
            UnitSystem::Us => {
                let half = if hour < 12 { "am" } else { "pm" };
                format!("{}:{minute:02} {half}", (hour + 11) % 12 + 1)
            }
        };
        let first = self.zone.to_datetime(self.start).date();
        (Some(day).filter(|day| *day != first), time)
    }

    /// The instant so long after the start, to the whole minute: nobody reads seconds off a slab.
    #[must_use]
    pub fn instant(&self, span: TimeSpan) -> Option<Timestamp> {
        self.start.checked_add(SignedDuration::from_mins(span.in_minutes().round() as i64)).ok()
    }

    /// A time after the start.
    #[must_use]
    pub fn after(&self, span: TimeSpan) -> String {
        self.instant(span).map_or_else(|| "-".into(), |at| self.at(at))
    }

    /// A time after the start, or a dash.
    #[must_use]
    pub fn perhaps(&self, span: Option<TimeSpan>) -> String {
        span.map_or_else(|| "-".into(), |span| self.after(span))
    }
}

/// A day by three letters.
#[must_use]
pub fn weekday(day: Date) -> &'static str {
    match day.weekday() {
        jiff::civil::Weekday::Monday => "Mon",
        jiff::civil::Weekday::Tuesday => "Tue",
        jiff::civil::Weekday::Wednesday => "Wed",
        jiff::civil::Weekday::Thursday => "Thu",
        jiff::civil::Weekday::Friday => "Fri",
        jiff::civil::Weekday::Saturday => "Sat",
        jiff::civil::Weekday::Sunday => "Sun",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_local_and_other_days_are_told() {
        let zone = TimeZone::get("America/Chicago").unwrap();
        let start: Timestamp = "2026-06-12T12:00:00Z".parse().unwrap();
        let wall = Wall { zone: &zone, start, units: UnitSystem::Us };
        // Central daylight time is five hours behind.
        assert_eq!(wall.after(TimeSpan::ZERO), "7:00 am");
        assert_eq!(wall.after(TimeSpan::hours(5.5)), "12:30 pm");
        assert_eq!(wall.after(TimeSpan::hours(17.02)), "Sat 12:01 am");
        assert_eq!(Wall { units: UnitSystem::Metric, ..wall }.after(TimeSpan::hours(7.5)), "14:30");
        assert_eq!(wall.perhaps(None), "-");
    }

    /// On 2026-11-01 the clocks of Chicago go back at 2:00: an hour after 1:30 it is 1:30.
    #[test]
    fn the_clocks_going_back_are_followed() {
        let zone = TimeZone::get("America/Chicago").unwrap();
        let start: Timestamp = "2026-11-01T06:30:00Z".parse().unwrap();
        let wall = Wall { zone: &zone, start, units: UnitSystem::Us };
        assert_eq!(
            (wall.after(TimeSpan::ZERO), wall.after(TimeSpan::hours(1.0))),
            ("1:30 am".into(), "1:30 am".into())
        );
    }
}
