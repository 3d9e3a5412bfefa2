//! Weather at a site, hour by hour, and what it makes a slab feel.
//!
//! A [`Series`] comes from a file ([`series`] judges and orders its rows) or from what a person says ([`Spoken`]).
//! With a [`Site`] it gives the [`Exposure`] at any instant that it covers. It is never run on past its ends nor
//! over long holes: there it gives nothing, and [`Series::check_span`] says why.

mod light;
mod rows;
mod site;
mod span;
mod spoken;

pub use light::Light;
pub use rows::{Row, series};
pub use site::{Roof, Shade, ShadeSpell, Site};
pub use spoken::{SaidHumidity, SkyWord, Spoken};

use basis::{Pressure, Share, Speed, Temperature};
use jiff::{SignedDuration, Timestamp};

use crate::Exposure;
use crate::sun::Sunshine;
use crate::{sky, wind};

/// The weather at an instant, as a weather service states it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Record {
    /// Air temperature in the shade, at 2 m.
    pub air: Temperature,
    /// Partial pressure of the water vapour.
    pub vapour: Pressure,
    /// Wind at 10 m, mean over some minutes; not gusts.
    pub wind: Speed,
    /// Share of the sky under cloud.
    pub cloud: Share,
    /// Measured sun on the level, W/m², mean over the hour up to this instant.
    pub sun: Option<Sunshine>,
    /// Measured long-wave radiation from the sky, W/m².
    pub long_wave: Option<f64>,
    /// Air pressure at the site.
    pub pressure: Option<Pressure>,
    /// Rain over the hour up to this instant, mm/h.
    pub rain: f64,
}

/// Weather at even hours.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Instant of the first record.
    pub start: Timestamp,
    /// One record for each hour from the start; none where hours are missing.
    pub records: Vec<Option<Record>>,
}

impl Series {
    /// Instant of the last record.
    #[must_use]
    pub fn end(&self) -> Timestamp {
        self.instant(self.records.len().saturating_sub(1))
    }

    /// Instant of a record by its number.
    #[must_use]
    pub fn instant(&self, hour: usize) -> Timestamp {
        let hours = i64::try_from(hour).unwrap_or(i64::MAX / 3600);
        self.start.saturating_add(SignedDuration::from_hours(hours)).unwrap_or(Timestamp::MAX)
    }

    /// Hours from the start to an instant.
    fn hours_to(&self, at: Timestamp) -> f64 {
        at.duration_since(self.start).as_secs_f64() / 3600.0
    }

    fn record(&self, hour: usize) -> Option<&Record> {
        self.records.get(hour)?.as_ref()
    }

    /// The weather at an instant, linear between records; none outside them or in a hole.
    ///
    /// Vapour is carried over as a pressure, not as relative humidity, which swings with the temperature. Rain is that
    /// of the hour in which the instant lies; measured sun goes from the middle of one hour to that of the next.
    #[must_use]
    pub fn at(&self, at: Timestamp) -> Option<Record> {
        let hours = self.hours_to(at);
        if hours.is_nan() || hours < 0.0 {
            return None;
        }
        let hour = hours.floor() as usize;
        let part = hours - hours.floor();
        let one = self.record(hour)?;
        let next = if part > 0.0 { self.record(hour + 1)? } else { one };
        let mid = |a: f64, b: f64| a + part * (b - a);
        Some(Record {
            air: Temperature::kelvins(mid(one.air.in_kelvins(), next.air.in_kelvins())),
            vapour: one.vapour + (next.vapour - one.vapour) * part,
            wind: one.wind + (next.wind - one.wind) * part,
            cloud: one.cloud + (next.cloud - one.cloud) * part,
            sun: self.measured_sun(hours),
            long_wave: one.long_wave.zip(next.long_wave).map(|(a, b)| mid(a, b)),
            pressure: one.pressure.zip(next.pressure).map(|(a, b)| a + (b - a) * part),
            rain: next.rain,
        })
    }

    /// Measured sun between the middles of two hours; near the ends, that of the outer hour.
    fn measured_sun(&self, hours: f64) -> Option<Sunshine> {
        let middle = hours + 0.5;
        let hour = middle.floor() as usize;
        let part = middle - middle.floor();
        let one = self.record(hour.min(self.records.len().saturating_sub(1)))?.sun?;
        let next = match self.records.get(hour + 1) {
            Some(record) => record.as_ref()?.sun?,
            None => one,
        };
        Some(Sunshine {
            global: one.global + part * (next.global - one.global),
            diffuse: one.diffuse + part * (next.diffuse - one.diffuse),
        })
    }

    /// What a slab at this site feels at an instant, or none where the series does not reach.
    ///
    /// Sun: measured where the series has it, else a clear sky's under the cloud stated; the direct part less what
    /// shade takes, the rest by the share of the sky that the slab sees. Long wave: measured or from dew point and
    /// cloud; roofs, walls and trees shine like a black body at the air's temperature. Wind: brought down to half a
    /// metre and sheltered. No rain falls under a roof.
    #[must_use]
    pub fn exposure(&self, site: &Site, at: Timestamp) -> Option<Exposure> {
        self.exposure_in(site, at, &Light::at(site, at)?)
    }

    fn exposure_in(&self, site: &Site, at: Timestamp, light: &Light) -> Option<Exposure> {
        let now = self.at(at)?;
        let view = site.shade.sky_view_under().in_ratio();
        let above = now.long_wave.unwrap_or_else(|| sky::down(now.air, now.vapour, now.cloud));
        Some(Exposure {
            air: now.air,
            vapour: now.vapour,
            wind: wind::at_slab(now.wind, site.shelter),
            sun: light.on_the_slab(&now, view),
            sky: view * above + (1.0 - view) * sky::black_body(now.air),
            rain: if site.shade.roof == Roof::Over { 0.0 } else { now.rain },
        })
    }

    /// Exposures at even steps from an instant: what many columns can share. None if any step is not covered.
    #[must_use]
    pub fn track(
        &self,
        site: &Site,
        from: Timestamp,
        step: SignedDuration,
        count: usize,
    ) -> Option<Vec<Exposure>> {
        self.track_in(site, from, step, &Light::track(site, from, step, count)?)
    }

    /// The same, one for each of the lights, which must be those of the site from that instant in those steps.
    #[must_use]
    pub fn track_in(
        &self,
        site: &Site,
        from: Timestamp,
        step: SignedDuration,
        lights: &[Light],
    ) -> Option<Vec<Exposure>> {
        let mut at = from;
        let mut track = Vec::with_capacity(lights.len());
        for light in lights {
            track.push(self.exposure_in(site, at, light)?);
            at = at.checked_add(step).ok()?;
        }
        Some(track)
    }
}

#[cfg(test)]
mod tests;
