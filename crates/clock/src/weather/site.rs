//! The site of a pour: where it lies, and what keeps sun, sky, wind and rain off.

use basis::{Note, Place, Share};
use jiff::Timestamp;
use jiff::civil::Time;
use jiff::tz::TimeZone;

use crate::sun::{self, Spot};
use crate::wind::Shelter;

/// Where a slab lies and what stands around it.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// Latitude, longitude and height.
    pub spot: Spot,
    /// The site's time zone: shade is told in its local time.
    pub zone: TimeZone,
    /// What keeps wind off.
    pub shelter: Shelter,
    /// What keeps sun and sky off.
    pub shade: Shade,
    /// Haze as Linke's turbidity; [`sun::TURBIDITY`] where unknown.
    pub turbidity: f64,
}

impl Site {
    /// An open site: no shelter, no shade, usual haze.
    #[must_use]
    pub const fn open(spot: Spot, zone: TimeZone) -> Self {
        Self { spot, zone, shelter: Shelter::Open, shade: Shade::none(), turbidity: sun::TURBIDITY }
    }

    /// Faults and warnings of the site itself: places that are none, shade that is none, a zone that does not fit.
    #[must_use]
    pub fn check(&self, place: &Place) -> Vec<Note> {
        let mut notes = Vec::new();
        let (latitude, longitude) = (self.spot.latitude.in_degrees(), self.spot.longitude.in_degrees());
        if !(-90.0..=90.0).contains(&latitude) || !(-180.0..=180.0).contains(&longitude) {
            let message = format!("{latitude} N, {longitude} E is no place on the earth");
            let hint = "latitude from -90 to 90, north positive; longitude from -180 to 180, east positive";
            notes.push(Note::fault("site-not-on-earth", place.clone(), message, hint));
            return notes;
        }
        let height = self.spot.height.in_metres();
        if !(-450.0..=6000.0).contains(&height) {
            let message = format!("a height of {height:.0} m over the sea is no building site");
            notes.push(Note::fault(
                "site-not-on-earth",
                place.key("elevation"),
                message,
                "check number and unit",
            ));
        }
        if !(1.0..=10.0).contains(&self.turbidity) {
            let message = format!("a turbidity of {} is none: 2 is very clear, 5 hazy", self.turbidity);
            notes.push(Note::fault(
                "turbidity-impossible",
                place.key("turbidity"),
                message,
                "leave it out for 3",
            ));
        }
        notes.extend(self.check_zone(longitude, place));
        notes.extend(self.shade.check(&place.key("shade")));
        notes
    }

    /// A zone hours away from the sun is legal, but more often a longitude that has lost its sign.
    fn check_zone(&self, longitude: f64, place: &Place) -> Option<Note> {
        // The offset of one January day: daylight saving adds at most an hour to it.
        let january = Timestamp::from_second(1_767_225_600).unwrap_or_default();
        let offset = f64::from(self.zone.to_offset(january).seconds()) / 3600.0;
        let apart = (offset - longitude / 15.0).rem_euclid(24.0);
        let apart = apart.min(24.0 - apart);
        (apart > 4.0).then(|| {
            let message = format!(
                "the zone's clocks are {apart:.0} h off the sun's time at a longitude of {longitude:.1} degrees"
            );
            let hint = "west of Greenwich is negative; check longitude and zone";
            Note::warning("zone-far-from-longitude", place.key("longitude"), message, hint)
        })
    }
}

/// Whether a roof is over the slab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Roof {
    /// Nothing is overhead.
    #[default]
    None,
    /// A roof keeps sun and rain off; the sky is seen only at its sides.
    Over,
}

/// What keeps sun and sky off a slab.
#[derive(Debug, Clone, PartialEq)]
pub struct Shade {
    /// A roof, or none.
    pub roof: Roof,
    /// Share of the sky that the slab sees: 1 on open ground; under a roof what is left at the sides.
    pub sky_view: Share,
    /// Spells of the day in which walls or trees keep the direct sun off.
    pub spells: Vec<ShadeSpell>,
}

/// A spell of every day in which part of a slab lies in shade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShadeSpell {
    /// Local time at which it begins.
    pub from: Time,
    /// Local time at which it ends; before `from`, it runs past midnight.
    pub to: Time,
    /// Share of the slab, or of the sun through leaves, that is shaded.
    pub share: Share,
}

impl Default for Shade {
    fn default() -> Self {
        Self::none()
    }
}

impl Shade {
    /// No shade, all of the sky.
    #[must_use]
    pub const fn none() -> Self {
        Self { roof: Roof::None, sky_view: Share::ratio(1.0), spells: Vec::new() }
    }

    /// A closed roof from wall to wall.
    #[must_use]
    pub const fn full_roof() -> Self {
        Self { roof: Roof::Over, sky_view: Share::ZERO, spells: Vec::new() }
    }

    pub(super) fn sky_view_under(&self) -> Share {
        Share::ratio(self.sky_view.in_ratio().clamp(0.0, 1.0))
    }

    /// Share of the direct sun that is kept off at a local time; of spells that overlap, the deepest.
    pub(super) fn of_the_sun(&self, time: Time) -> Share {
        if self.roof == Roof::Over {
            return Share::ratio(1.0);
        }
        let spells = self.spells.iter().filter(|spell| spell.holds(time));
        let deepest = spells.map(|spell| spell.share.in_ratio()).fold(0.0, f64::max);
        Share::ratio(deepest.clamp(0.0, 1.0))
    }

    fn check(&self, place: &Place) -> Vec<Note> {
        let spells = self.spells.iter().enumerate();
        let shares = spells.map(|(index, spell)| (place.index(index), spell.share));
        let all = std::iter::once((place.key("sky_view"), self.sky_view)).chain(shares);
        all.filter(|(_, share)| !(0.0..=1.0).contains(&share.in_ratio()))
            .map(|(place, share)| {
                let message = format!("{} % is no share of sun or sky", share.in_percent());
                Note::fault("shade-impossible", place, message, "state 0 to 100 %")
            })
            .collect()
    }
}

impl ShadeSpell {
    fn holds(&self, time: Time) -> bool {
        if self.from <= self.to {
            self.from <= time && time < self.to
        } else {
            self.from <= time || time < self.to
        }
    }
}
