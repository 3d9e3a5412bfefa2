//! What a bay is like at an instant, from the middle of its bands, and what it becomes next.

use basis::TimeSpan;
use clock::Round;
use clock::band::RoundBand;
use clock::events::{Event, Milestone};

use super::BayForecast;

/// What a bay is like to who stands before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BayState {
    /// No concrete yet.
    NotPlaced,
    /// Between its first concrete and its strike-off.
    BeingPlaced,
    /// Struck off, soft enough for the bull float.
    Fresh,
    /// Bleed water stands, and no round is due.
    Bleeding,
    /// Dull, but not stiff enough for the next round.
    Waiting,
    /// The window of this round is open; of several, the last to open.
    Ready(Round),
    /// The last round is past, the first saw not yet due.
    TooStiff,
    /// An early-entry saw may start.
    EarlySaw,
    /// A conventional saw may start.
    Saw,
    /// People may walk on it.
    WalkOn,
    /// Light vehicles may drive on it.
    DriveOn,
}

impl std::fmt::Display for BayState {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let told = match self {
            Self::NotPlaced => "not placed",
            Self::BeingPlaced => "being placed",
            Self::Fresh => "fresh: bull float",
            Self::Bleeding => "bleeding",
            Self::Waiting => "dull, too soft",
            Self::Ready(round) => return write!(f, "ready for {}", RoundName(*round)),
            Self::TooStiff => "too stiff to work",
            Self::EarlySaw => "saw, early entry",
            Self::Saw => "saw",
            Self::WalkOn => "walk on it",
            Self::DriveOn => "light vehicles",
        };
        f.write_str(told)
    }
}

/// A round in words: `trowel 2`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoundName(pub Round);

impl std::fmt::Display for RoundName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.0 {
            Round::BullFloat => f.write_str("bull float"),
            Round::Edges => f.write_str("edges"),
            Round::Float => f.write_str("float"),
            Round::Trowel(number) => write!(f, "trowel {number}"),
            Round::Broom => f.write_str("broom"),
        }
    }
}

/// A change of a bay: from this time on it is like that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Time from the first truck.
    pub at: TimeSpan,
    /// What the bay is like from then on.
    pub state: BayState,
}

/// A bay at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StateAt {
    /// What it is like.
    pub state: BayState,
    /// What it becomes next, if that comes within the weather given.
    pub next: Option<Change>,
    /// Whether bleed water likely stands on it.
    pub surface: Surface,
}

/// Whether bleed water stands on a bay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// It shines: water has to go before any round.
    Wet,
    /// No water stands, or none is there yet.
    Dry,
}

/// A bay at a time from the first truck, from the middle of its bands.
///
/// Half of all days are later than the middle: what this tells is where to look, not what will be.
#[must_use]
pub fn state_at(bay: &BayForecast, at: TimeSpan) -> StateAt {
    let next = course(bay).into_iter().find(|change| change.at > at);
    let is_down = at >= bay.until.middle;
    let is_wet = is_down && !has_come(bay, Milestone::SheenGone, at);
    StateAt { state: state(bay, at), next, surface: if is_wet { Surface::Wet } else { Surface::Dry } }
}

/// All changes of a bay in order, from the middle of its bands.
#[must_use]
pub fn course(bay: &BayForecast) -> Vec<Change> {
    let windows = bay.rounds.iter().flat_map(|round| [round.opens.middle, round.closes.middle]);
    let events = bay.events.iter().map(|band| band.middle);
    let mut times: Vec<TimeSpan> =
        [bay.from.middle, bay.until.middle].into_iter().chain(windows.chain(events).flatten()).collect();
    times.sort_by(TimeSpan::total_cmp);
    let mut changes: Vec<Change> = Vec::new();
    for at in times {
        let state = state(bay, at);
        if changes.last().map_or(BayState::NotPlaced, |change| change.state) != state {
            changes.push(Change { at, state });
        }
    }
    changes
}

/// Instants worth a drawing: the first bay to come to each state, the most telling states first, then in order of time.
///
/// Whole minutes, rounded up, so that the state holds at the minute that is told; no minute twice.
#[must_use]
pub fn telling(bays: &[BayForecast], most: usize) -> Vec<Change> {
    let mut first: Vec<Change> = Vec::new();
    for change in bays.iter().flat_map(course) {
        match first.iter_mut().find(|known| known.state == change.state) {
            Some(known) => known.at = known.at.min(change.at),
            None => first.push(change),
        }
    }
    let last_trowel = bays.iter().flat_map(|bay| &bay.rounds).map(|band| band.round).max();
    first.sort_by(|a, b| {
        (rank(a.state, last_trowel), a.at)
            .partial_cmp(&(rank(b.state, last_trowel), b.at))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let mut kept: Vec<Change> = Vec::new();
    for change in first {
        let at = TimeSpan::minutes(change.at.in_minutes().ceil());
        if kept.len() < most && !kept.iter().any(|other| other.at == at) {
            kept.push(Change { at, ..change });
        }
    }
    kept.sort_by(|a, b| a.at.total_cmp(&b.at));
    kept
}

/// How telling a state is, the least first: rounds of a kind of their own, then what ends the work, then what follows.
fn rank(state: BayState, last: Option<Round>) -> u8 {
    match state {
        BayState::Ready(round) if Some(round) == last => 0,
        BayState::Ready(Round::Float) => 1,
        BayState::Ready(Round::Edges) => 2,
        BayState::Bleeding => 3,
        BayState::TooStiff => 4,
        BayState::EarlySaw => 5,
        BayState::WalkOn => 6,
        BayState::Ready(_) => 7,
        _ => 8,
    }
}

fn state(bay: &BayForecast, at: TimeSpan) -> BayState {
    if at < bay.from.middle {
        return BayState::NotPlaced;
    }
    if at < bay.until.middle {
        return BayState::BeingPlaced;
    }
    let worked = || bay.rounds.iter().filter(|band| band.round != Round::BullFloat);
    if let Some(open) = worked().rfind(|band| is_open(band, at)) {
        return BayState::Ready(open.round);
    }
    if worked().any(|band| !is_lost(band) && band.closes.middle.is_none_or(|closes| closes > at)) {
        let is_fresh = bay.rounds.iter().any(|band| band.round == Round::BullFloat && is_open(band, at));
        return if is_fresh {
            BayState::Fresh
        } else if has_come(bay, Milestone::SheenGone, at) {
            BayState::Waiting
        } else {
            BayState::Bleeding
        };
    }
    let gates = [
        (Milestone::Vehicles, BayState::DriveOn),
        (Milestone::FootTraffic, BayState::WalkOn),
        (Milestone::SawFrom, BayState::Saw),
        (Milestone::EarlyEntryFrom, BayState::EarlySaw),
    ];
    let passed = gates.into_iter().find(|(milestone, _)| has_come(bay, *milestone, at));
    passed.map_or(BayState::TooStiff, |(_, state)| state)
}

fn is_open(band: &RoundBand, at: TimeSpan) -> bool {
    let closes = band.closes.middle;
    band.opens.middle.is_some_and(|opens| opens <= at) && closes.is_none_or(|closes| at < closes)
}

/// Whether the likely window closes before it opens.
fn is_lost(band: &RoundBand) -> bool {
    matches!((band.opens.middle, band.closes.middle), (Some(opens), Some(closes)) if opens >= closes)
}

fn has_come(bay: &BayForecast, milestone: Milestone, at: TimeSpan) -> bool {
    bay.event(Event::At(milestone)).and_then(|band| band.middle).is_some_and(|middle| middle <= at)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trucks::Band;
    use basis::Share;
    use clock::band::EventBand;

    fn hours(value: f64) -> TimeSpan {
        TimeSpan::hours(value)
    }

    fn band(event: Event, middle: Option<f64>) -> EventBand {
        // A wide band: only its middle may count.
        let around = |by: f64| middle.map(|middle| hours(middle + by));
        EventBand {
            event,
            low: around(-0.9),
            middle: around(0.0),
            high: around(0.9),
            absent: Share::percent(0.0),
        }
    }

    fn round(round: Round, opens: f64, closes: f64) -> RoundBand {
        RoundBand {
            round,
            opens: band(Event::Opens(round), Some(opens)),
            closes: band(Event::Closes(round), Some(closes)),
            lost: Share::percent(0.0),
        }
    }

    fn placed(at: f64) -> Band {
        Band { low: hours(at - 0.2), middle: hours(at), high: hours(at + 0.4), mean: hours(at + 0.1) }
    }

    /// Placed from 1 to 2 h; bull float until 2.5; water until 4; edges 4.5 to 6, float 5 to 6, one trowel 6.5 to 7;
    /// saws from 9 and 12 h, people from 11 h, vehicles never within the weather.
    fn bay() -> BayForecast {
        let at = |milestone: Milestone, time: Option<f64>| band(Event::At(milestone), time);
        let rounds = vec![
            round(Round::BullFloat, 1.5, 2.5),
            round(Round::Edges, 4.5, 6.0),
            round(Round::Float, 5.0, 6.0),
            round(Round::Trowel(1), 6.5, 7.0),
        ];
        let events = vec![
            at(Milestone::SheenGone, Some(4.0)),
            at(Milestone::EarlyEntryFrom, Some(9.0)),
            at(Milestone::SawFrom, Some(12.0)),
            at(Milestone::FootTraffic, Some(13.0)),
            at(Milestone::Vehicles, None),
        ];
        let dragged = vec![Share::percent(0.0); rounds.len()];
        BayForecast { number: 1, from: placed(1.0), until: placed(2.0), rounds, dragged, events }
    }

    #[test]
    fn a_bay_goes_through_its_day() {
        use BayState::*;
        let told = [
            (0.0, NotPlaced),
            (1.0, BeingPlaced),
            (2.0, Fresh),
            (2.5, Bleeding),
            (4.0, Waiting),
            (4.5, Ready(Round::Edges)),
            // Edges could still be worked: the later round tells how stiff it is.
            (5.0, Ready(Round::Float)),
            (6.0, Waiting),
            (6.5, Ready(Round::Trowel(1))),
            (7.0, TooStiff),
            (9.0, EarlySaw),
            (12.0, Saw),
            (13.0, WalkOn),
            (60.0, WalkOn),
        ];
        for (at, state) in told {
            assert_eq!(state_at(&bay(), hours(at)).state, state, "at {at} h");
        }
        // A minute before each change the state before holds.
        for pair in told[..13].windows(2) {
            let before = state_at(&bay(), hours(pair[1].0 - 1.0 / 60.0));
            assert_eq!(before.state, pair[0].1, "before {} h", pair[1].0);
            assert_eq!(before.next, Some(Change { at: hours(pair[1].0), state: pair[1].1 }));
        }
        assert_eq!(state_at(&bay(), hours(60.0)).next, None);
    }

    #[test]
    fn water_is_told_from_strike_off_until_the_sheen_is_gone() {
        for (at, surface) in
            [(1.5, Surface::Dry), (2.0, Surface::Wet), (3.9, Surface::Wet), (4.0, Surface::Dry)]
        {
            assert_eq!(state_at(&bay(), hours(at)).surface, surface, "at {at} h");
        }
        // Water that stands through the window: the round is ready, the water still there.
        let mut wet = bay();
        wet.events[0] = band(Event::At(Milestone::SheenGone), Some(5.5));
        let found = state_at(&wet, hours(5.2));
        assert_eq!((found.state, found.surface), (BayState::Ready(Round::Float), Surface::Wet));
    }

    #[test]
    fn a_lost_round_is_never_ready() {
        let mut lost = bay();
        lost.rounds[3] = round(Round::Trowel(1), 6.8, 6.6);
        assert_eq!(state_at(&lost, hours(6.7)).state, BayState::TooStiff);
        assert!(course(&lost).iter().all(|change| change.state != BayState::Ready(Round::Trowel(1))));
    }

    #[test]
    fn a_round_without_an_end_stays_open_and_one_beyond_the_weather_is_waited_for() {
        let mut open = bay();
        open.rounds[3].closes = band(Event::Closes(Round::Trowel(1)), None);
        assert_eq!(state_at(&open, hours(50.0)).state, BayState::Ready(Round::Trowel(1)));
        open.rounds[3].opens = band(Event::Opens(Round::Trowel(1)), None);
        assert_eq!(state_at(&open, hours(8.0)).state, BayState::Waiting);
        assert_eq!(state_at(&open, hours(8.0)).next, None);
    }

    #[test]
    fn the_first_bay_of_each_kind_is_drawn_at_whole_minutes() {
        let mut second = bay();
        second.rounds[1] = round(Round::Edges, 4.4033, 6.0);
        let all = telling(&[bay(), second], 20);
        let edges = all.iter().find(|change| change.state == BayState::Ready(Round::Edges)).unwrap();
        // 4.4033 h is 264.2 min.
        assert_eq!(edges.at.in_minutes(), 265.0);
        assert!(all.windows(2).all(|pair| pair[0].at < pair[1].at));
        let few: Vec<BayState> = telling(&[bay()], 6).iter().map(|change| change.state).collect();
        use BayState::*;
        assert_eq!(
            few,
            [Bleeding, Ready(Round::Edges), Ready(Round::Float), Ready(Round::Trowel(1)), TooStiff, EarlySaw]
        );
    }

    #[test]
    fn states_are_told_in_words_of_the_site() {
        let told = [BayState::NotPlaced, BayState::Ready(Round::Trowel(2)), BayState::Ready(Round::Edges)];
        assert_eq!(
            told.map(|state| state.to_string()),
            ["not placed", "ready for trowel 2", "ready for edges"]
        );
    }
}
