//! The water on the surface: what bleeds and rains comes, what the air takes goes.

use super::fast;
use super::lanes::{GAMMA, OF_STAGE, Row};
use super::ledger::WaterBooks;
use super::problem::{Drive, Rising};
use super::skin::Face;
use crate::history::State;
use crate::surface::Skin;

/// Water over this runs off, kg/m²: 3 mm, our own choice.
const STANDING: f64 = 3.0;

/// Water of the film, kg/m²: with as much as this two thirds of the surface are wet, with three times as much all but a
/// twentieth. A twentieth of a millimetre, our own choice: the sheen then breaks up over a quarter of an hour, as on site.
const FILM: f64 = 0.05;

/// Water on a surface fresh from the straightedge, kg/m².
const FRESH: f64 = 2.0 * FILM;

/// A fifth of the film is taken for none: the sheen is gone.
const GONE: f64 = 0.2 * FILM;

/// What a step brings to the surfaces of all lanes.
pub(super) struct Coming<'a, const L: usize> {
    /// Seconds since placing.
    pub time: Row<L>,
    /// Length of the step, s.
    pub step: Row<L>,
    /// Weather at the step's start, inner stage and end.
    pub drives: [&'a [Drive; L]; 3],
    /// Surface temperature in the middle of the step.
    pub surface: &'a Row<L>,
    /// Equivalent age at mid-depth at the start of the step and at its end, hours.
    pub ages: [&'a Row<L>; 2],
    pub skins: &'a [Skin; L],
}

/// Surface water of all lanes.
pub(super) struct Sheen<const L: usize> {
    rising: [Rising; L],
    step: Row<L>,
    /// kg/m²; may fall short of zero by what the flux of a step overdraws, which the next step pays back.
    water: Row<L>,
    /// Share of the surface that is wet at the start, the inner stage and the end of the present step.
    pub wet: [Row<L>; 3],
    bled: Row<L>,
    rained: Row<L>,
    gone: Row<L>,
    books: [WaterBooks; L],
}

/// Share of the surface that is wet after a time. Water comes at an even rate and leaves as the air asks from what is wet.
///
/// Patches lie as by chance, so `1 − exp(−S/film)` is wet, and `S' = rate − asked·(1 − exp(−S/film))` is linear in
/// `exp(S/film)`: solved exactly, however long the step.
fn wet_share(water: f64, rate: f64, asked: f64, time: f64) -> f64 {
    let grows = (rate - asked) * time / FILM;
    let power = fast::exp(grows);
    let mean = if grows.abs() < 1e-5 { 1.0 + 0.5 * grows } else { (power - 1.0) / grows };
    1.0 - 1.0 / (fast::exp(water / FILM) * power + asked * time / FILM * mean)
}

impl<const L: usize> Sheen<L> {
    pub(super) fn new(rising: [Rising; L]) -> Self {
        let none = [0.0; L];
        Self {
            rising,
            step: [1.0; L],
            water: [FRESH; L],
            wet: [none; 3],
            bled: none,
            rained: none,
            gone: none,
            books: [WaterBooks { first: FRESH, left: FRESH, ..WaterBooks::default() }; L],
        }
    }

    /// What comes in the step, and what share of the surface stays wet: the air asks at the temperature of the step's middle.
    #[inline(never)]
    pub(super) fn begin(&mut self, coming: &Coming<'_, L>) {
        let skins = *coming.skins;
        let asked = Face { skins }.flux(coming.drives[1], coming.surface, &[1.0; L]).vapour;
        self.step = coming.step;
        for l in 0..L {
            let (rising, step, time) = (&self.rising[l], coming.step[l], coming.time[l]);
            let open = skins[l].open;
            let rests = |time: f64| rising.most * fast::exp(-time / rising.time);
            let [from, to] = coming.ages.map(|age| age[l]);
            let until_set = ((rising.until - from) / (to - from)).clamp(0.0, 1.0);
            self.bled[l] = until_set * (rests(time) - rests(time + step));
            // The weights of the scheme: exact while the rain grows or falls evenly.
            let [from, within, to] = coming.drives.map(|drives| drives[l].rain);
            self.rained[l] = open * 0.5 * GAMMA * step * (OF_STAGE * (from + within) + to);
            let rate = (self.bled[l] + self.rained[l]) / step;
            for (wet, share) in self.wet.iter_mut().zip([0.0, GAMMA, 1.0]) {
                let share = wet_share(self.water[l], rate, open * asked[l], share * step);
                // Dew falls on the dry as well.
                let share = if asked[l] < 0.0 { 1.0 } else { share };
                wet[l] = share.clamp(0.0, 1.0);
            }
        }
    }

    /// Takes off what has left, kg/m².
    pub(super) fn end(&mut self, vapour: &Row<L>) {
        for (l, vapour) in vapour.iter().copied().enumerate() {
            let water = self.water[l] + self.bled[l] + self.rained[l] - vapour;
            let over = if water > STANDING { water - STANDING } else { 0.0 };
            self.water[l] = water - over;
            self.gone[l] = vapour;
            let books = &mut self.books[l];
            books.bled += self.bled[l];
            books.rained += self.rained[l];
            books.evaporated += vapour;
            books.ran_off += over;
            books.left = self.water[l];
        }
    }

    pub(super) fn evaporation(&self, l: usize) -> f64 {
        3600.0 * self.gone[l] / self.step[l]
    }
    pub(super) fn bleeding(&self, l: usize) -> f64 {
        3600.0 * self.bled[l] / self.step[l]
    }
    pub(super) fn water(&self, l: usize) -> f64 {
        if self.water[l] > GONE { self.water[l] } else { 0.0 }
    }
    pub(super) const fn books(&self) -> [WaterBooks; L] {
        self.books
    }
}

/// Rates are those of the step that ends at a state; the first state has none behind it and takes those of the next.
pub(super) fn first_as_second(states: &mut [State]) {
    if let [first, second, ..] = states {
        first.evaporation = second.evaporation;
        first.bleeding = second.bleeding;
    }
}
