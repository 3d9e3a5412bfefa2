//! The day's weather at the slab, as it is told and as it may come out.

use basis::{Length, Note, Place, Share};
use clock::Exposure;
use clock::perturb::{Draw, ForecastError, perturbed};
use clock::sun::{Spot, TURBIDITY};
use clock::weather::{Light, Roof, SaidHumidity, Series, Shade, ShadeSpell, Site, Spoken};
use clock::wind::{Shelter, down_to_the_slab};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use rand::Rng;
use rand_distr::{Distribution, StandardNormal};

use super::defaults::Taken;
use crate::job::{self, Job, Weather};

/// Minutes between two exposures that are handed to the column.
const EVERY: i64 = 30;
const STEP: SignedDuration = SignedDuration::from_mins(EVERY);

/// The weather of a job.
#[derive(Debug, Clone)]
pub(super) struct DayWeather {
    pub site: Site,
    pub series: Series,
    pub error: ForecastError,
}

/// One course that the weather may take, from the first truck on in even steps.
#[derive(Debug, Clone)]
pub(super) struct Course {
    pub exposures: Vec<Exposure>,
    pub every: SignedDuration,
}

/// Zone, site and series of the job; `None` with faults noted.
pub(super) fn of_day(
    job: &Job,
    first: jiff::civil::DateTime,
    taken: &mut Taken,
    notes: &mut Vec<Note>,
) -> Option<DayWeather> {
    let (stated, weather) = (job.site.as_ref()?, job.weather.as_ref()?);
    let zone = match jiff::tz::TimeZoneDatabase::bundled().get(&job.zone) {
        Ok(zone) => zone,
        Err(_) => {
            let message = format!("there is no time zone \"{}\"", job.zone);
            notes.push(Note::fault("unknown-zone", Place::at("job.zone"), message, "write the IANA name"));
            return None;
        }
    };
    let site = site(stated, zone, taken);
    notes.extend(site.check(&Place::at("site")));
    if basis::has_fault(notes) {
        return None;
    }
    let place = Place::at("weather");
    let (series, error) = match weather {
        Weather::Hourly { series, .. } => (series.clone(), ForecastError::CUSTOMARY),
        Weather::Said(said) => {
            let spoken = Spoken {
                date: first.date(),
                low: said.low,
                high: said.high,
                humidity: SaidHumidity::Day(said.humidity),
                wind: said.wind,
                cloud: said.cloud,
            };
            (spoken.series(&site, &place).unload(notes)?, ForecastError::SPOKEN)
        }
    };
    notes.extend(series.check_site(&site, &place, job.units));
    Some(DayWeather { site, series, error })
}

fn site(stated: &job::Site, zone: TimeZone, taken: &mut Taken) -> Site {
    let height: Length = taken.height(stated.elevation);
    let wind = taken.wind_share(stated.wind_share);
    let spells =
        stated.shade.iter().map(|shade| ShadeSpell { from: shade.from, to: shade.until, share: shade.share });
    let under_roof = stated.roof == Roof::Over;
    Site {
        spot: Spot { latitude: stated.latitude, longitude: stated.longitude, height },
        zone,
        shelter: Shelter::Share(wind.in_ratio() / down_to_the_slab().mean),
        shade: Shade {
            roof: stated.roof,
            sky_view: if under_roof { Share::ZERO } else { Share::ratio(1.0) },
            spells: spells.collect(),
        },
        turbidity: TURBIDITY,
    }
}

impl DayWeather {
    /// The weather as told, from an instant on for as long as the series has it, at most `most` hours.
    pub fn told(&self, from: Timestamp, most: i64) -> Option<Course> {
        let exposures = self.series.track(&self.site, from, STEP, self.count(from, most)?)?;
        Some(Course { exposures, every: STEP })
    }

    /// Exposures from an instant on for as long as the series goes, at most so many hours of them; absent for none.
    fn count(&self, from: Timestamp, most: i64) -> Option<usize> {
        let there = self.series.end().duration_since(from).as_mins() / EVERY;
        let count = there.min(most * 60 / EVERY) + 1;
        usize::try_from(count).ok().filter(|count| *count >= 2)
    }

    /// Courses that the weather may take; the first is the weather as told.
    pub fn courses(
        &self,
        from: Timestamp,
        most: i64,
        count: usize,
        rng: &mut impl Rng,
    ) -> Option<Vec<Course>> {
        // The sun goes its way whatever the weather does.
        let lights = Light::track(&self.site, from, STEP, self.count(from, most)?)?;
        let course = |series: &Series| {
            let exposures = series.track_in(&self.site, from, STEP, &lights)?;
            Some(Course { exposures, every: STEP })
        };
        let mut courses = vec![course(&self.series)?];
        for _ in 1..count {
            let mut normal = || StandardNormal.sample(rng);
            let draw = Draw { temperature: normal(), dew_point: normal(), wind: normal(), cloud: normal() };
            courses.push(course(&perturbed(&self.series, from, &self.error, &draw))?);
        }
        Some(courses)
    }
}
