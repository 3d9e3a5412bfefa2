//! When things happen on a bay: its windows and milestones, for one draw of what is not known.

use basis::TimeSpan;

use crate::finish::{FinishSpec, Round};
use crate::saw::SawModel;
use crate::setting::SetModel;
use crate::strength::StrengthModel;
use crate::timeline::Timeline;
use crate::windows::{self, Window};
use crate::{History, Mix};

/// A single instant in the life of a bay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Milestone {
    /// The bleed sheen is gone for good.
    SheenGone,
    /// Penetration resistance of 500 psi at the surface.
    InitialSet,
    /// Penetration resistance of 4,000 psi at the surface.
    FinalSet,
    /// The last round that still moves mortar must be done.
    LastUseful,
    /// An early-entry saw may start.
    EarlyEntryFrom,
    /// A conventional saw may start.
    SawFrom,
    /// Joints must be in before this.
    SawBefore,
    /// 500 psi through the depth: one freeze does no lasting harm.
    FreezeSafe,
    /// People may walk on it.
    FootTraffic,
    /// Side forms may come off.
    FormsOff,
    /// Light vehicles may drive on it.
    Vehicles,
}

/// Anything with a time: the ends of a window, or a milestone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Event {
    /// A round's window opens.
    Opens(Round),
    /// A round's window closes.
    Closes(Round),
    /// A milestone.
    At(Milestone),
}

/// The windows and milestones of a bay for one draw. Times count from placing; `None` is after the history's end.
#[derive(Debug, Clone, PartialEq)]
pub struct Events {
    /// The rounds in their order.
    pub windows: Vec<Window>,
    /// The milestones in the order of [`Milestone`].
    pub milestones: Vec<(Milestone, Option<TimeSpan>)>,
}

impl Events {
    /// When an event happens; `None` if the finish does not have it or it lies after the history's end.
    #[must_use]
    pub fn time(&self, event: Event) -> Option<TimeSpan> {
        match event {
            Event::At(milestone) => {
                self.milestones.iter().find(|(m, _)| *m == milestone).and_then(|(_, t)| *t)
            }
            Event::Opens(round) => self.window(round).and_then(|window| window.opens),
            Event::Closes(round) => self.window(round).and_then(|window| window.closes),
        }
    }

    /// The window of a round; `None` if the finish does not have it.
    #[must_use]
    pub fn window(&self, round: Round) -> Option<&Window> {
        self.windows.iter().find(|window| window.round == round)
    }

    /// All events of the finish with their times, windows first.
    pub fn list(&self) -> impl Iterator<Item = (Event, Option<TimeSpan>)> {
        let windows = self.windows.iter().flat_map(|window| {
            [(Event::Opens(window.round), window.opens), (Event::Closes(window.round), window.closes)]
        });
        windows.chain(self.milestones.iter().map(|(milestone, time)| (Event::At(*milestone), *time)))
    }
}

/// What a mix and a finish say about events, computed once for many draws.
#[derive(Debug, Clone, PartialEq)]
pub struct EventModel {
    /// Set and penetration.
    pub set: SetModel,
    /// Strength.
    pub strength: StrengthModel,
    /// Sawing.
    pub saw: SawModel,
    /// The finish.
    pub spec: FinishSpec,
    /// Equivalent ages at which the rounds open and close, at a set factor of 1.
    pub(crate) rounds: Vec<windows::RoundAges>,
}

impl EventModel {
    /// The model of a mix with a finish.
    #[must_use]
    pub fn new(mix: &Mix, spec: &FinishSpec) -> Self {
        let set = SetModel::of(mix);
        Self {
            set,
            strength: StrengthModel::of(mix, &set),
            saw: SawModel::of(mix.aggregate),
            spec: *spec,
            rounds: windows::round_ages(&set, spec),
        }
    }

    /// The events of one draw: a history and a set factor.
    #[must_use]
    pub fn events(&self, history: &History, set_factor: f64) -> Events {
        let line = Timeline::of(history);
        let surface = |age: f64| line.reaches(|state| state.age_surface, set_factor * age);
        let windows = windows::windows(self, line, set_factor);
        let initial = surface(self.set.initial);
        let last = surface(self.set.last);
        let weakest = |psi: f64| self.strength.reaches(line, psi, set_factor);
        let vehicles = self.strength.vehicles();
        let times = [
            (Milestone::SheenGone, windows::sheen_gone(&self.spec, line, initial)),
            (Milestone::InitialSet, initial),
            (Milestone::FinalSet, last),
            (Milestone::LastUseful, windows.last().and_then(|window| window.closes.map(TimeSpan::in_hours))),
            (Milestone::EarlyEntryFrom, last),
            (Milestone::SawFrom, self.saw.from(&self.strength, line, set_factor)),
            (Milestone::SawBefore, self.saw.before(&self.strength, line, set_factor)),
            (Milestone::FreezeSafe, weakest(crate::strength::FREEZE_SAFE_PSI)),
            (Milestone::FootTraffic, weakest(crate::strength::FOOT_TRAFFIC_PSI)),
            (Milestone::FormsOff, weakest(crate::strength::FORMS_OFF_PSI)),
            (Milestone::Vehicles, weakest(vehicles)),
        ];
        let milestones = times.map(|(milestone, hours)| (milestone, hours.map(TimeSpan::hours))).to_vec();
        Events { windows, milestones }
    }
}

/// When everything happens on a bay, for one history and one set factor.
///
/// Times count from placing. For many draws of one mix build the [`EventModel`] once.
#[must_use]
pub fn events(history: &History, mix: &Mix, spec: &FinishSpec, set_factor: f64) -> Events {
    EventModel::new(mix, spec).events(history, set_factor)
}
