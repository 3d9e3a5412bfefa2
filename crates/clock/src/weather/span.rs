//! Whether a series reaches as far as a pour needs, and whether it fits its site.

use basis::{Note, Place, UnitSystem};
use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::{Series, Site};
use crate::sun;

/// An instant in local time, to the minute.
fn local(at: Timestamp, zone: &TimeZone) -> String {
    zone.to_datetime(at).strftime("%Y-%m-%d %H:%M").to_string()
}

impl Series {
    /// Whether every instant from one to the other can be given.
    #[must_use]
    pub fn covers(&self, from: Timestamp, to: Timestamp) -> bool {
        from >= self.start && to <= self.end() && self.first_hole(from, to).is_none()
    }

    /// The first hole that touches a span: the last hour before it and the first after it.
    fn first_hole(&self, from: Timestamp, to: Timestamp) -> Option<(Timestamp, Timestamp)> {
        let hour = |at: Timestamp| (at.duration_since(self.start).as_secs_f64() / 3600.0).max(0.0);
        let (first, last) = (hour(from).floor() as usize, hour(to).ceil() as usize);
        let missing = (first..=last.min(self.records.len().saturating_sub(1)))
            .find(|hour| self.records.get(*hour).is_some_and(Option::is_none))?;
        let present = |hour: &usize| self.records.get(*hour).is_some_and(Option::is_some);
        let before = (0..missing).rev().find(present)?;
        let after = (missing..self.records.len()).find(present)?;
        Some((self.instant(before), self.instant(after)))
    }

    /// Faults of a series that does not cover what a forecast needs: it is not run on past its ends.
    #[must_use]
    pub fn check_span(&self, from: Timestamp, to: Timestamp, zone: &TimeZone, place: &Place) -> Vec<Note> {
        let mut notes = Vec::new();
        if from < self.start {
            let message = format!(
                "the weather begins at {}, but is needed from {}",
                local(self.start, zone),
                local(from, zone)
            );
            notes.push(Note::fault(
                "weather-starts-late",
                place.clone(),
                message,
                "give the hours from before the first truck",
            ));
        }
        if to > self.end() {
            let message = format!(
                "the weather ends at {}, but is needed until {}",
                local(self.end(), zone),
                local(to, zone)
            );
            let hint = "get a longer forecast: it is not run on past its end";
            notes.push(Note::fault("weather-ends-early", place.clone(), message, hint));
        }
        if let Some((before, after)) = self.first_hole(from, to) {
            let message =
                format!("no weather is known between {} and {}", local(before, zone), local(after, zone));
            let hint = "fill the missing hours: the pour or its finishing falls in them";
            notes.push(Note::fault("weather-hole", place.clone(), message, hint));
        }
        notes
    }

    /// Warnings of a series that does not fit its site: sun by night, pressure of another height, a summer too cold.
    #[must_use]
    pub fn check_site(&self, site: &Site, place: &Place, units: UnitSystem) -> Vec<Note> {
        [
            self.sun_by_night(site, place),
            self.other_pressure(site, place),
            self.cold_summer(site, place, units),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn hours(&self) -> impl Iterator<Item = (Timestamp, &super::Record)> {
        let records = self.records.iter().enumerate();
        records.filter_map(|(hour, record)| Some((self.instant(hour), record.as_ref()?)))
    }

    /// Measured sun in an hour that lies wholly in the dark means clocks of another zone.
    fn sun_by_night(&self, site: &Site, place: &Place) -> Option<Note> {
        let lit = self.hours().filter(|(_, record)| record.sun.is_some_and(|sun| sun.global > 30.0));
        let dark = |at: Timestamp| {
            let hour_before = at.saturating_sub(jiff::SignedDuration::from_hours(1)).unwrap_or(at);
            [at, hour_before].into_iter().all(|t| {
                sun::position(&site.spot, t).is_some_and(|sun| sun.apparent_elevation.in_degrees() < -2.0)
            })
        };
        let wrong: Vec<Timestamp> = lit.map(|(at, _)| at).filter(|at| dark(*at)).collect();
        let first = wrong.first()?;
        let message = format!(
            "{} hours have sun in the dark of this site, the first at {}",
            wrong.len(),
            local(*first, &site.zone)
        );
        let hint =
            "the file's clock or place is another: check its zone, and the site's latitude and longitude";
        Some(Note::warning("sun-by-night", place.clone(), message, hint))
    }

    /// Pressure 8 % off the standard at the site's height: weather makes 5 %, the rest is height or sea-level values.
    fn other_pressure(&self, site: &Site, place: &Place) -> Option<Note> {
        let known: Vec<f64> =
            self.hours().filter_map(|(_, record)| Some(record.pressure?.in_kilopascals())).collect();
        if known.is_empty() {
            return None;
        }
        let mean = known.iter().sum::<f64>() / known.len() as f64;
        let standard = crate::moist_air::standard_pressure(site.spot.height).in_kilopascals();
        ((mean / standard - 1.0).abs() > 0.08).then(|| {
            let message = format!("the air pressure is {mean:.1} kPa on average; at the site's height it is about {standard:.1} kPa");
            let hint = "pressure brought down to sea level, or weather of another place; the clock itself does not use it";
            Note::warning("pressure-of-another-height", place.key("pressure"), message, hint)
        })
    }

    /// High sun over cold air, far below the mountains, suggests Celsius in a Fahrenheit column.
    fn cold_summer(&self, site: &Site, place: &Place, units: UnitSystem) -> Option<Note> {
        if site.spot.height.in_metres() > 2500.0 || self.records.len() < 6 {
            return None;
        }
        let high = self.hours().any(|(at, _)| {
            sun::position(&site.spot, at).is_some_and(|sun| sun.elevation.in_degrees() > 60.0)
        });
        let warmest = self.hours().map(|(_, record)| record.air).reduce(|a, b| if a > b { a } else { b })?;
        (high && warmest.in_celsius() < 5.0).then(|| {
            let message = format!(
                "the sun stands over 60 degrees high, but the air never passes {}",
                basis::quantity::temperature(warmest, units)
            );
            let hint = "the temperatures look like Celsius in a Fahrenheit column: correct the heading";
            Note::warning("temperatures-look-celsius", place.key("temperature"), message, hint)
        })
    }
}
