//! The water on the surface: what bleeds and rains comes, what the air takes goes.

use super::fast;
use super::lanes::{GAMMA, Row};
use super::ledger::WaterBooks;
use super::problem::{Drive, Rising};
use super::skin::Face;
use crate::history::State;
use crate::surface::Skin;

/// Water over this runs off, kg/m²: 3 mm, our own choice.
const STANDING: f64 = 3.0;

/// Water that covers the whole surface, kg/m²: with less of it the sheen is in patches, and as much less evaporates. A tenth
/// of a millimetre, our own choice: the sheen then breaks up over a quarter of an hour, as on site. A surface fresh from the
/// straightedge begins with it.
const FILM: f64 = 0.1;

/// A fifth of the film is taken for none: the sheen is gone.
const GONE: f64 = 0.2 * FILM;

/// What a step brings to the surfaces of all lanes.
pub(super) struct Coming<'a, const L: usize> {
    /// Seconds since placing.
    pub time: Row<L>,
    /// Length of the step, s.
    pub step: Row<L>,
    pub drives: &'a [Drive; L],
    /// Surface temperature that is to come.
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

/// Water on the surface after a time: it comes at an even rate, and leaves as the air asks from what is wet.
///
/// Over the film it falls evenly; under it it nears the balance of coming and leaving, `S' = rate − asked·S/film`.
fn later(water: f64, rate: f64, asked: f64, time: f64) -> f64 {
    let net = rate - asked;
    let even = water + net * time;
    let over = if water > FILM { water - FILM } else { 0.0 };
    if asked <= 0.0 || (net >= 0.0 && water >= FILM) || even >= FILM {
        return even;
    }
    let in_patches = if over > 0.0 { time - over / -net } else { time };
    let balance = FILM * rate / asked;
    balance + (water - over - balance) * fast::exp(-asked * in_patches / FILM)
}

impl<const L: usize> Sheen<L> {
    pub(super) fn new(rising: [Rising; L]) -> Self {
        let none = [0.0; L];
        Self {
            rising,
            step: [1.0; L],
            water: [FILM; L],
            wet: [none; 3],
            bled: none,
            rained: none,
            gone: none,
            books: [WaterBooks { first: FILM, left: FILM, ..WaterBooks::default() }; L],
        }
    }

    /// What comes in the step, and what share of the surface stays wet: the air asks at the surface temperature to come.
    #[inline(never)]
    pub(super) fn begin(&mut self, coming: &Coming<'_, L>) {
        let skins = *coming.skins;
        let asked = Face { skins }.flux(coming.drives, coming.surface, &[1.0; L]).vapour;
        self.step = coming.step;
        for l in 0..L {
            let (rising, step, time) = (&self.rising[l], coming.step[l], coming.time[l]);
            let open = skins[l].open;
            let rests = |time: f64| rising.most * fast::exp(-time / rising.time);
            let [from, to] = coming.ages.map(|age| age[l]);
            let until_set = ((rising.until - from) / (to - from)).clamp(0.0, 1.0);
            self.bled[l] = until_set * (rests(time) - rests(time + step));
            self.rained[l] = open * coming.drives[l].rain * step;
            let rate = (self.bled[l] + self.rained[l]) / step;
            for (wet, share) in self.wet.iter_mut().zip([0.0, GAMMA, 1.0]) {
                let share = later(self.water[l], rate, open * asked[l], share * step) * (1.0 / FILM);
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
