//! Past pours as a crew writes them down, and what each of them showed.

use basis::math::log;
use basis::{Estimate, TimeSpan, Volume};
use jiff::civil::Date;

use super::{Factor, Scale, Seen};
use crate::defaults;

/// Doubt of the volume figured where none was written down, as a share: 2 % (our choice; shots every 8 ft leave 1 to 3).
const FIGURED_DOUBT: f64 = 0.02;
/// A usual load, for how many tickets a delivery had.
const LOAD: Volume = Volume::cubic_yards(8.0);
/// Doubt of one lateness, minutes, and of hours and costs as written down, as shares (our choice).
const CLOCK_DOUBT: f64 = 1.0;
const BOOK_DOUBT: f64 = 0.03;

/// One pour of the past; what was not written down is absent.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Past {
    /// Its day.
    pub day: Date,
    /// Its name.
    pub pour: String,
    /// The base, in a word.
    pub base: Option<String>,
    /// Volume in the forms as figured; without a doubt of its own it has 2 %.
    pub figured: Option<(Volume, Option<Volume>)>,
    /// Concrete on all tickets.
    pub delivered: Option<Volume>,
    /// Concrete that went home or elsewhere.
    pub left: Option<Volume>,
    /// Mix and season, in a word.
    pub mix: Option<String>,
    /// Time of set over the model's, as boot prints showed it, with its doubt as a share.
    pub set_factor: Option<(f64, Option<f64>)>,
    /// The crew, in a word.
    pub crew: Option<String>,
    /// Placing rate as figured and as found, volume per hour.
    pub rate: [Option<Volume>; 2],
    /// The plant, in a word.
    pub plant: Option<String>,
    /// How late its trucks came, in the mean.
    pub late: Option<TimeSpan>,
    /// The finish, in a word.
    pub finish: Option<String>,
    /// Hours of people as figured and as worked.
    pub hours: [Option<TimeSpan>; 2],
    /// Cost as figured and as it came, in one currency.
    pub cost: [Option<f64>; 2],
}

/// What the pours showed of a value, in their order; of values that spread by factors the natural logarithm.
///
/// The allowance is `(delivered − left − loss) / figured − 1`, with the default loss; its doubt holds those of the figure, the tickets, what
/// was left and the loss.
///
/// ```
/// use basis::Volume;
/// use pour::learn::{Factor, Past, seen};
/// // 20 yd³ figured, 21.5 delivered, half a yard left, 4 ft³ lost: 4.26 % over.
/// let yards = |v| Some(Volume::cubic_yards(v));
/// let past = Past { figured: yards(20.0).map(|v| (v, None)), delivered: yards(21.5), left: yards(0.5), ..Past::default() };
/// assert!((seen(&[past], Factor::Allowance)[0].value - 0.0426).abs() < 1e-4);
/// ```
#[must_use]
pub fn seen(past: &[Past], factor: Factor) -> Vec<Seen> {
    let showed = past.iter().filter_map(|pour| {
        let (kind, value) = one(pour, factor)?;
        let name = format!("{} {}", pour.day, pour.pour);
        let value = match factor.scale() {
            Scale::Even => value,
            // The doubt is small against the value: to first order that of the logarithm is the share.
            Scale::Factors if value.mean > 0.0 => {
                Estimate::new(log(value.mean), value.sd / value.mean, value.origin)
            }
            Scale::Factors => return None,
        };
        Some(Seen {
            pour: name.trim().to_owned(),
            kind: kind.unwrap_or_default(),
            value: value.mean,
            sd: value.sd,
        })
    });
    showed.filter(|seen| seen.value.is_finite() && seen.sd.is_finite()).collect()
}

fn one(pour: &Past, factor: Factor) -> Option<(Option<String>, Estimate<f64>)> {
    let found = |mean, sd| Estimate::new(mean, sd, basis::Origin::Measured);
    let ratio = |[figured, came]: [Option<f64>; 2]| {
        let (figured, came) = (figured?, came?);
        (figured > 0.0).then(|| found(came / figured, BOOK_DOUBT * came / figured))
    };
    match factor {
        Factor::Allowance => Some((pour.base.clone(), allowance(pour)?)),
        Factor::PlacingRate => {
            Some((pour.crew.clone(), ratio(pour.rate.map(|rate| rate.map(Volume::in_cubic_metres)))?))
        }
        Factor::Lateness => Some((pour.plant.clone(), found(pour.late?.in_minutes(), CLOCK_DOUBT))),
        Factor::SetFactor => {
            let (factor, doubt) = pour.set_factor?;
            Some((pour.mix.clone(), found(factor, doubt.unwrap_or(0.1) * factor)))
        }
        Factor::Hours => {
            Some((pour.finish.clone(), ratio(pour.hours.map(|hours| hours.map(TimeSpan::in_hours)))?))
        }
        Factor::Cost => Some((pour.finish.clone(), ratio(pour.cost)?)),
    }
}

fn allowance(pour: &Past) -> Option<Estimate<f64>> {
    let (figured, doubt) = pour.figured?;
    let (figured, doubt) = (figured.in_cubic_metres(), doubt.map(Volume::in_cubic_metres));
    let (delivered, left) = (pour.delivered?.in_cubic_metres(), pour.left?.in_cubic_metres());
    if figured <= 0.0 {
        return None;
    }
    let loss = defaults::loss();
    let share = (delivered - left - loss.mean.in_cubic_metres()) / figured;
    let tickets = (delivered / LOAD.in_cubic_metres()).max(1.0);
    let parts = [
        share * doubt.unwrap_or(FIGURED_DOUBT * figured),
        defaults::TICKET_DOUBT * delivered / tickets.sqrt(),
        defaults::DRUM_DOUBT * left,
        loss.sd.in_cubic_metres(),
    ];
    let sd = parts.iter().map(|part| part * part).sum::<f64>().sqrt() / figured;
    Some(Estimate::new(share - 1.0, sd, basis::Origin::Measured))
}
