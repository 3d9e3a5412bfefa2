//! The sun over a site, whatever the weather does.

use jiff::{SignedDuration, Timestamp};

use super::{Record, Site};
use crate::sun::{self, Sunshine};

/// Where the sun stands over a site at an instant, and what shade leaves of it.
///
/// It does not depend on the weather: found once, it serves every course that the weather may take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Light {
    /// Sun on the level in the open under a clear sky; none with the sun under the horizon.
    clear: Option<Sunshine>,
    /// Share of the direct sun that no shade takes.
    lit: f64,
}

impl Light {
    /// The light at an instant, or none for a site that is not on the earth.
    #[must_use]
    pub fn at(site: &Site, at: Timestamp) -> Option<Self> {
        let stands = sun::position(&site.spot, at)?;
        let clear = (stands.apparent_elevation.in_radians() > 0.0).then(|| {
            let outside = sun::outside_the_air(at);
            sun::clear_sky_at(&stands, site.spot.height, outside, site.turbidity)
        });
        let shaded = site.shade.of_the_sun(site.zone.to_datetime(at).time());
        Some(Self { clear, lit: 1.0 - shaded.in_ratio() })
    }

    /// The light at even steps from an instant.
    #[must_use]
    pub fn track(site: &Site, from: Timestamp, step: SignedDuration, count: usize) -> Option<Vec<Self>> {
        let mut at = from;
        let mut track = Vec::with_capacity(count.min(1 << 20));
        for _ in 0..count {
            track.push(Self::at(site, at)?);
            at = at.checked_add(step).ok()?;
        }
        Some(track)
    }

    /// Sun on a level slab in this weather, W/m²: the direct part less what shade takes, the rest by the sky that it sees.
    pub(super) fn on_the_slab(&self, now: &Record, sky_view: f64) -> f64 {
        let open = match (self.clear, now.sun) {
            (None, _) => Sunshine::default(),
            (Some(_), Some(measured)) => measured,
            (Some(clear), None) => sun::clouded(clear, now.cloud),
        };
        open.direct().max(0.0) * self.lit + open.diffuse * sky_view
    }
}
