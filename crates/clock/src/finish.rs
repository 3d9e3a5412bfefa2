//! What finish a bay gets, and at which stiffness each round is worked.

use basis::{Note, Place, Pressure, TimeSpan};

/// Most trowel rounds that are planned.
pub const MOST_TROWEL_ROUNDS: u8 = 8;

/// The finish of a bay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finish {
    /// Floated by hand and broomed.
    Broom,
    /// Floated by machine, no trowel.
    Float,
    /// Floated, then trowelled by machine.
    Trowel {
        /// Trowel rounds after the float.
        rounds: u8,
    },
    /// Trowelled until the blades ring: the last round is on nearly hard concrete.
    HardTrowel {
        /// Trowel rounds after the float, the hard one included.
        rounds: u8,
    },
}

impl Finish {
    /// Trowel rounds after the float.
    #[must_use]
    pub const fn trowel_rounds(self) -> u8 {
        match self {
            Self::Broom | Self::Float => 0,
            Self::Trowel { rounds } | Self::HardTrowel { rounds } => rounds,
        }
    }

    /// Whether a machine goes on the slab.
    #[must_use]
    pub const fn by_machine(self) -> bool {
        !matches!(self, Self::Broom)
    }
}

/// One kind of pass over a bay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Round {
    /// Bull float, straight after strike-off.
    BullFloat,
    /// Edges and around pipes, by hand.
    Edges,
    /// First machine float.
    Float,
    /// A trowel round, counted from 1.
    Trowel(u8),
    /// The broom.
    Broom,
}

/// From which to which penetration resistance a round is worked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Stiff enough from here.
    pub opens: Pressure,
    /// Too stiff from here.
    pub closes: Pressure,
}

impl Span {
    /// A span from its two limits in psi.
    #[must_use]
    pub const fn psi(opens: f64, closes: f64) -> Self {
        Self { opens: Pressure::psi(opens), closes: Pressure::psi(closes) }
    }
}

/// Stiffness of the surface at which each round is worked, as penetration resistance of sieved mortar.
///
/// All defaults are proposals: no document was found that gives resistances for finishing passes. They are
/// set so that the machine float at 70 °F starts at the survey's 2.75 h [@ascc-15] and rounds follow 20 to
/// 45 minutes apart; see `docs/methods/finishing-windows.md`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// The bull float tears from here.
    pub bull_float_latest: Pressure,
    /// Edging by hand.
    pub edges: Span,
    /// First float by a walk-behind machine.
    pub float: Span,
    /// First trowel round.
    pub first_trowel: Span,
    /// Last trowel round; those between lie between in even ratios.
    pub last_trowel: Span,
    /// Last round of a hard-trowelled floor.
    pub hard_trowel: Span,
    /// The broom.
    pub broom: Span,
    /// Water on the surface that makes it shine, kg/m²: more than this is bleed water not to be worked in.
    pub sheen: f64,
    /// Bleed water that must not have come up before the bull float is done, kg/m².
    pub bull_float_bleeding: f64,
}

impl Default for Thresholds {
    fn default() -> Self {
        Self {
            bull_float_latest: Pressure::psi(10.0),
            edges: Span::psi(40.0, 400.0),
            float: Span::psi(125.0, 500.0),
            first_trowel: Span::psi(250.0, 700.0),
            last_trowel: Span::psi(600.0, 1000.0),
            hard_trowel: Span::psi(700.0, 1000.0),
            broom: Span::psi(60.0, 250.0),
            sheen: 0.02,
            bull_float_bleeding: 0.10,
        }
    }
}

/// What is wanted of a bay, and what has been seen on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FinishSpec {
    /// The finish.
    pub finish: Finish,
    /// Stiffness at which the rounds are worked.
    pub thresholds: Thresholds,
    /// When the sheen was seen gone, since placing: it stands in for the bleeding model.
    pub sheen_gone: Option<TimeSpan>,
}

impl FinishSpec {
    /// A finish at the default stiffness, with nothing seen yet.
    #[must_use]
    pub fn of(finish: Finish) -> Self {
        Self { finish, thresholds: Thresholds::default(), sheen_gone: None }
    }

    /// The rounds of the finish in their order, each with the stiffness at which it is worked.
    ///
    /// ```
    /// use clock::finish::{Finish, FinishSpec, Round};
    /// let rounds = FinishSpec::of(Finish::Trowel { rounds: 2 }).rounds();
    /// let names: Vec<Round> = rounds.iter().map(|(round, _)| *round).collect();
    /// assert_eq!(names, [Round::BullFloat, Round::Edges, Round::Float, Round::Trowel(1), Round::Trowel(2)]);
    /// ```
    #[must_use]
    pub fn rounds(&self) -> Vec<(Round, Span)> {
        let limits = &self.thresholds;
        let bull_float = Span { opens: Pressure::ZERO, closes: limits.bull_float_latest };
        let mut rounds = vec![(Round::BullFloat, bull_float), (Round::Edges, limits.edges)];
        if self.finish.by_machine() {
            rounds.push((Round::Float, limits.float));
        } else {
            rounds.push((Round::Broom, limits.broom));
        }
        let count = self.finish.trowel_rounds().min(MOST_TROWEL_ROUNDS);
        rounds.extend((1..=count).map(|round| (Round::Trowel(round), self.trowel(round, count))));
        rounds
    }

    /// Stiffness of one of several trowel rounds: in even ratios between the first and the last.
    fn trowel(&self, round: u8, count: u8) -> Span {
        let limits = &self.thresholds;
        let last = if matches!(self.finish, Finish::HardTrowel { .. }) {
            limits.hard_trowel
        } else {
            limits.last_trowel
        };
        if round == count && count > 1 {
            return last;
        }
        let part = if count > 1 { f64::from(round - 1) / f64::from(count - 1) } else { 0.5 };
        let closes_part = if count > 1 { part } else { 1.0 };
        let first = limits.first_trowel;
        Span {
            opens: between(first.opens, last.opens, part),
            closes: between(first.closes, last.closes, closes_part),
        }
    }

    /// Faults of the figures: limits out of order, too many rounds.
    #[must_use]
    pub fn check(&self, place: &Place) -> Vec<Note> {
        let mut notes = Vec::new();
        let rounds = self.finish.trowel_rounds();
        let trowels = matches!(self.finish, Finish::Trowel { .. } | Finish::HardTrowel { .. });
        if trowels && !(1..=MOST_TROWEL_ROUNDS).contains(&rounds) {
            notes.push(Note::fault(
                "trowel-rounds-out-of-range",
                place.key("rounds"),
                format!("{rounds} trowel rounds are planned"),
                format!("state 1 to {MOST_TROWEL_ROUNDS}; without a trowel the finish is a float finish"),
            ));
        }
        let limits = &self.thresholds;
        let ordered = self.rounds().windows(2).all(|pair| {
            pair[0].1.opens <= pair[1].1.opens
                && (pair[0].1.closes <= pair[1].1.closes || pair[0].0 == Round::Edges)
        });
        let sane = self.rounds().iter().all(|(_, span)| span.opens < span.closes && span.closes.is_finite());
        let water = limits.sheen >= 0.0 && limits.bull_float_bleeding >= 0.0;
        if !(ordered && sane && water) {
            notes.push(Note::fault(
                "finishing-limits-out-of-order",
                place.key("limits"),
                "the stiffness limits of the rounds are not in order",
                "each round opens before it closes, and no round opens before the one ahead of it",
            ));
        }
        notes
    }
}

/// A pressure between two, in even ratios.
fn between(low: Pressure, high: Pressure, part: f64) -> Pressure {
    low * basis::math::exp(part * basis::math::log(high / low))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_defaults_are_in_order_for_every_finish() {
        let mut all = vec![Finish::Broom, Finish::Float];
        for rounds in 1..=MOST_TROWEL_ROUNDS {
            all.extend([Finish::Trowel { rounds }, Finish::HardTrowel { rounds }]);
        }
        for finish in all {
            assert_eq!(FinishSpec::of(finish).check(&Place::job()), [], "{finish:?}");
        }
    }

    #[test]
    fn wrong_figures_are_refused() {
        let codes = |spec: &FinishSpec| spec.check(&Place::job()).iter().map(|n| n.code).collect::<Vec<_>>();
        assert_eq!(codes(&FinishSpec::of(Finish::Trowel { rounds: 0 })), ["trowel-rounds-out-of-range"]);
        assert_eq!(codes(&FinishSpec::of(Finish::HardTrowel { rounds: 9 })), ["trowel-rounds-out-of-range"]);
        let mut spec = FinishSpec::of(Finish::Trowel { rounds: 2 });
        spec.thresholds.float = Span::psi(300.0, 500.0);
        assert_eq!(codes(&spec), ["finishing-limits-out-of-order"]);
        spec.thresholds = Thresholds::default();
        spec.thresholds.sheen = f64::NAN;
        assert_eq!(codes(&spec), ["finishing-limits-out-of-order"]);
    }

    #[test]
    fn three_trowel_rounds_stand_in_even_ratios() {
        let rounds = FinishSpec::of(Finish::Trowel { rounds: 3 }).rounds();
        let opens: Vec<f64> = rounds[3..].iter().map(|(_, span)| span.opens.in_psi()).collect();
        // By hand: the middle of 250 and 600 in ratio is sqrt(250 * 600) = 387.3.
        assert!((opens[0] - 250.0).abs() < 1e-9 && (opens[2] - 600.0).abs() < 1e-9);
        assert!((opens[1] - 387.298_334_6).abs() < 1e-6);
    }
}
