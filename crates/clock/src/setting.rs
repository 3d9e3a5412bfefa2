//! Set: at which equivalent age the surface reaches a penetration resistance.
//!
//! Initial set is a penetration resistance of 500 psi in sieved mortar, final set one of 4,000 psi [@astm-c403].
//! Plain cement sets at a degree of hydration of 0.15 and 0.26 times w/cm [@schindler-set-2004]; ash, slag and
//! admixtures move that by factors of experience, not by the regression of hydration, which has high-lime ash
//! slower than low-lime ash against what was measured. Times that the plant states stand in for all of it.

use basis::math::{exp, log};
use basis::{Note, Place, Pressure, Report, Share, Temperature, TimeSpan};

use crate::hydration::{self, hydration};
use crate::maturity::Activation;
use crate::mix::{Admixture, AshClass, Mix};

/// Degree of hydration at initial set as a multiple of w/cm; constant from memory.
const INITIAL_DEGREE: f64 = 0.15;
/// The same at final set.
const FINAL_DEGREE: f64 = 0.26;
/// Penetration resistance at initial set, psi.
pub const INITIAL_PSI: f64 = 500.0;
/// Penetration resistance at final set, psi.
pub const FINAL_PSI: f64 = 4000.0;
/// Set times under this part of plain cement's are no accelerator's: chloride takes off "as much as two thirds".
const LEAST_PART: f64 = 1.0 / 3.0;

/// How much each thing in the mix moves the set at 70 °F.
///
/// The defaults are proposals fitted to few published figures, told in `docs/methods/setting.md`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetEffects {
    /// Longer by this part for each part of low-lime ash.
    pub ash_f: f64,
    /// Longer by this part for each part of high-lime ash.
    pub ash_c: f64,
    /// Longer by this part for each part of slag over [`SetEffects::slag_from`].
    pub slag: f64,
    /// Up to this share slag does little.
    pub slag_from: Share,
    /// Shorter by this part for each per cent of calcium chloride.
    pub chloride_per_percent: f64,
}

impl Default for SetEffects {
    fn default() -> Self {
        Self {
            ash_f: 0.65,
            ash_c: 0.50,
            slag: 0.5,
            slag_from: Share::percent(20.0),
            chloride_per_percent: 0.28,
        }
    }
}

/// Set of one mix in equivalent age at 21.1 °C since water contact, at a set factor of 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetModel {
    /// Initial set, h.
    pub initial: f64,
    /// Final set, h.
    pub last: f64,
    /// Final set of the same mix with plain cement and no admixture, h.
    pub plain_last: f64,
    /// Exponent of the power law of penetration resistance over equivalent age.
    pub exponent: f64,
}

impl SetModel {
    /// The set of a mix with the default effects. All ages are NaN for a mix that cannot exist.
    #[must_use]
    pub fn of(mix: &Mix) -> Self {
        Self::with(mix, &SetEffects::default())
    }

    /// The set of a mix with the crew's own effects.
    #[must_use]
    pub fn with(mix: &Mix, effects: &SetEffects) -> Self {
        let plain = plain_ages(mix);
        let (initial, last) = match stated_ages(mix) {
            Some(ages) => ages,
            None => moved(mix, effects, plain),
        };
        Self::from_ages(initial, last, plain.1)
    }

    /// The model through initial and final set.
    ///
    /// ```
    /// use basis::Pressure;
    /// let set = clock::setting::SetModel::from_ages(4.34, 6.71, 6.71);
    /// assert!((set.exponent - 4.77).abs() < 0.01);
    /// assert!((set.penetration(4.34).in_psi() - 500.0).abs() < 1e-6);
    /// assert!((set.penetration(6.71).in_psi() - 4000.0).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn from_ages(initial: f64, last: f64, plain_last: f64) -> Self {
        let exponent = log(FINAL_PSI / INITIAL_PSI) / log(last / initial);
        Self { initial, last, plain_last, exponent }
    }

    /// Penetration resistance at an equivalent age in hours, at a set factor of 1.
    ///
    /// `500·(te/ti)^d` through both sets, straight in the logarithms as readings are fitted [@astm-c403]. Under
    /// about 50 psi and over 4,000 psi the law is carried beyond what is measured.
    #[must_use]
    pub fn penetration(&self, age: f64) -> Pressure {
        if age <= 0.0 {
            return Pressure::ZERO;
        }
        Pressure::psi(INITIAL_PSI * exp(self.exponent * log(age / self.initial)))
    }

    /// Equivalent age in hours at which a penetration resistance is reached, at a set factor of 1.
    #[must_use]
    pub fn age_at(&self, resistance: Pressure) -> f64 {
        if resistance <= Pressure::ZERO {
            return 0.0;
        }
        self.initial * exp(log(resistance.in_psi() / INITIAL_PSI) / self.exponent)
    }
}

/// Initial and final set of plain cement at the mix's w/cm, h of equivalent age.
fn plain_ages(mix: &Mix) -> (f64, f64) {
    let plain = Mix { ash: None, slag: Share::ZERO, admixtures: Vec::new(), ..mix.clone() };
    hydration(&plain).value.map_or((f64::NAN, f64::NAN), |curve| {
        let water = mix.water_per_cementitious;
        (curve.age_at(INITIAL_DEGREE * water), curve.age_at(FINAL_DEGREE * water))
    })
}

/// Set times as the plant states them, as equivalent ages.
fn stated_ages(mix: &Mix) -> Option<(f64, f64)> {
    let stated = mix.stated_set?;
    let energy = hydration(mix).value?.energy;
    let speed = Activation::Constant(energy).speed(stated.at, Temperature::kelvins(hydration::REFERENCE));
    Some((speed * stated.initial.in_hours(), speed * stated.last.in_hours()))
}

/// The set of plain cement, moved by ash, slag and admixtures.
fn moved(mix: &Mix, effects: &SetEffects, plain: (f64, f64)) -> (f64, f64) {
    let ash = mix.ash.map_or(0.0, |ash| {
        let per_part = match ash.class {
            AshClass::F => effects.ash_f,
            AshClass::C => effects.ash_c,
        };
        per_part * ash.share.in_ratio()
    });
    let slag = effects.slag * (mix.slag - effects.slag_from).in_ratio().max(0.0);
    let mut factor = (1.0 + ash) * (1.0 + slag);
    let mut later = 0.0;
    for admixture in &mix.admixtures {
        match admixture {
            Admixture::CalciumChloride(share) => {
                factor *= 1.0 - effects.chloride_per_percent * share.in_percent().clamp(0.0, 2.0);
            }
            Admixture::Accelerator(earlier) => factor *= 1.0 - earlier.in_hours() / plain.0,
            Admixture::Retarder(span) => later += span.in_hours(),
        }
    }
    let factor = factor.max(LEAST_PART);
    (factor * plain.0 + later, factor * plain.1 + later)
}

/// How much longer the set takes for the admixtures alone, or for what the plant states against the model without them.
///
/// The factor for [`hydration::Hydration::slowed`]: ash and slag are in the regression of heat already.
///
/// ```
/// # use basis::{Density, Estimate, Origin, Pressure, Share, TimeSpan};
/// # use clock::mix::{Admixture, Aggregate, Air, Cement, Mix};
/// # let mut mix = Mix {
/// #     cement: Cement::TypeI, cementitious: Density::pounds_per_cubic_yard(564.0), water_per_cementitious: 0.5,
/// #     ash: None, slag: Share::ZERO, admixtures: vec![], air: Air::Entrapped, strength: Pressure::psi(4000.0),
/// #     aggregate: Aggregate::Medium, stated_set: None, set_factor: Estimate::new(1.0, 0.2, Origin::Assumed),
/// # };
/// assert!((clock::setting::admixture_slowing(&mix) - 1.0).abs() < 1e-12);
/// mix.admixtures = vec![Admixture::CalciumChloride(Share::percent(1.0))];
/// assert!((clock::setting::admixture_slowing(&mix) - 0.72).abs() < 1e-12);
/// ```
#[must_use]
pub fn admixture_slowing(mix: &Mix) -> f64 {
    let without = Mix { admixtures: Vec::new(), stated_set: None, ..mix.clone() };
    SetModel::of(mix).initial / SetModel::of(&without).initial
}

/// The set of a mix with what there is to say about it.
///
/// # Errors
/// A mix that cannot exist, set times out of order, and admixtures beyond any use are faults; effects carried
/// beyond the published range are warnings.
#[must_use]
pub fn setting(mix: &Mix, place: &Place) -> Report<SetModel> {
    let mut notes = hydration(mix).notes;
    notes.extend(stated_notes(mix, place));
    notes.extend(admixture_notes(mix, place));
    if mix.stated_set.is_none() && mix.ash.is_some_and(|ash| ash.share > Share::percent(25.0)) {
        notes.push(Note::warning(
            "set-beyond-ash-range",
            place.key("ash"),
            "the effect of ash on the set is known to about 25 %; here it is carried on",
            "high-lime ash can retard much more from there on; ask the plant for set times",
        ));
    }
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    Report::with(SetModel::of(mix), notes)
}

/// Faults of the set times that the plant states.
fn stated_notes(mix: &Mix, place: &Place) -> Vec<Note> {
    let Some(stated) = mix.stated_set else { return Vec::new() };
    let at = place.key("stated_set");
    let hours = (stated.initial.in_hours(), stated.last.in_hours());
    let mut notes = Vec::new();
    if !(hours.0 >= 0.5 && hours.0 * 1.1 <= hours.1 && hours.1 <= 72.0) {
        notes.push(Note::fault(
            "stated-set-impossible",
            at.clone(),
            format!("set times of {:.2} h and {:.2} h are no concrete's", hours.0, hours.1),
            "state initial and final set from water contact, as in 4 h 15 min and 5 h 40 min",
        ));
    }
    let celsius = stated.at.in_celsius();
    if !(0.0..=45.0).contains(&celsius) {
        notes.push(Note::fault(
            "stated-set-impossible",
            at.key("at"),
            format!("set times are stated at {:.0} degF", stated.at.in_fahrenheit()),
            "state the temperature of the concrete in the test, commonly 73 degF",
        ));
    }
    if !mix.admixtures.is_empty() && notes.is_empty() {
        notes.push(Note::remark(
            "stated-set-holds-admixtures",
            at,
            "the stated set times are taken to hold for the mix as sold, admixtures included",
        ));
    }
    notes
}

/// Faults and warnings of the admixtures.
fn admixture_notes(mix: &Mix, place: &Place) -> Vec<Note> {
    let mut notes = Vec::new();
    for (i, admixture) in mix.admixtures.iter().enumerate() {
        let at = place.key("admixture").index(i);
        let (sane, told) = match admixture {
            Admixture::CalciumChloride(share) => {
                if *share > Share::percent(2.0) {
                    notes.push(Note::warning(
                        "chloride-over-limit",
                        at.clone(),
                        format!("{:.1} % calcium chloride by cement is over the customary limit of 2 %", share.in_percent()),
                        "2 lb in 100 lb of cement is the most; none where steel, aluminium or a specification forbids it",
                    ));
                }
                ((0.0..=0.10).contains(&share.in_ratio()), "the dose of calcium chloride")
            }
            Admixture::Accelerator(span) => {
                (shift_is_sane(*span, 6.0), "how much earlier the accelerator sets")
            }
            Admixture::Retarder(span) => (shift_is_sane(*span, 24.0), "how much later the retarder sets"),
        };
        if !sane {
            notes.push(Note::fault(
                "admixture-out-of-range",
                at,
                format!("{told} is no such amount"),
                "state chloride as a share of the cement, other admixtures as hours earlier or later at 70 degF",
            ));
        }
    }
    notes
}

/// Whether a shift of the set is one: not negative, not over so many hours.
fn shift_is_sane(span: TimeSpan, most_hours: f64) -> bool {
    (0.0..=most_hours).contains(&span.in_hours())
}

#[cfg(test)]
mod tests;
