//! Reading a history: when an age is reached, when the surface is dry.

use crate::History;
use crate::history::State;

/// A history with its step in hours.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Timeline<'a> {
    states: &'a [State],
    step: f64,
}

impl<'a> Timeline<'a> {
    /// A view of a history.
    pub(crate) fn of(history: &'a History) -> Self {
        Self { states: &history.states, step: history.step.in_hours() }
    }

    /// Hours from placing to the last entry.
    pub(crate) fn end(self) -> f64 {
        self.step * self.states.len().saturating_sub(1) as f64
    }

    /// The states with their hours since placing.
    pub(crate) fn entries(self) -> impl Iterator<Item = (f64, &'a State)> {
        self.states.iter().enumerate().map(move |(i, state)| (i as f64 * self.step, state))
    }

    /// Hours since placing at which a value that never falls reaches a target; 0 if it is past it at placing.
    pub(crate) fn reaches(self, value: impl Fn(&State) -> f64, target: f64) -> Option<f64> {
        if !target.is_finite() {
            return None;
        }
        let after = self.states.partition_point(|state| value(state) < target);
        let above = value(self.states.get(after)?);
        let Some(before) = after.checked_sub(1) else { return Some(0.0) };
        let below = value(&self.states[before]);
        let part = if above > below { (target - below) / (above - below) } else { 1.0 };
        Some((before as f64 + part) * self.step)
    }

    /// A value at some hours since placing, drawn straight between entries; none outside the history.
    pub(crate) fn at(self, value: impl Fn(&State) -> f64, hours: f64) -> Option<f64> {
        let within = hours >= 0.0 && hours <= self.end() + 1e-9 && self.step > 0.0;
        let last = self.states.len().checked_sub(1).filter(|_| within)?;
        let place = hours / self.step;
        let before = (place as usize).min(last);
        let first = value(&self.states[before]);
        let Some(next) = self.states.get(before + 1) else { return Some(first) };
        Some(first + (place - before as f64) * (value(next) - first))
    }

    /// First instant, not before `from`, at which no more than `limit` of water stands on the surface.
    pub(crate) fn dry_from(self, from: f64, limit: f64) -> Option<f64> {
        let water = self.at(|state| state.water, from)?;
        if water <= limit {
            return Some(from);
        }
        let mut last = (from, water);
        for (hours, state) in self.entries().skip((from / self.step) as usize + 1) {
            if state.water <= limit {
                let part = (last.1 - limit) / (last.1 - state.water);
                return Some(last.0 + part * (hours - last.0));
            }
            last = (hours, state.water);
        }
        None
    }

    /// First instant by which an amount of bleed water has come up, kg/m²; the rate goes straight between entries.
    pub(crate) fn bled_by(self, amount: f64) -> Option<f64> {
        let mut bled = 0.0;
        for (i, pair) in self.states.windows(2).enumerate() {
            let more = 0.5 * (pair[0].bleeding + pair[1].bleeding) * self.step;
            if more > 0.0 && bled + more >= amount {
                return Some((i as f64 + (amount - bled) / more) * self.step);
            }
            bled += more;
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use basis::TimeSpan;

    fn history(water: &[f64]) -> History {
        let states = water
            .iter()
            .enumerate()
            .map(|(i, &water)| State { water, age_surface: 0.5 + i as f64, ..State::default() })
            .collect();
        History { step: TimeSpan::minutes(30.0), age_at_placing: TimeSpan::minutes(30.0), states }
    }

    #[test]
    fn an_age_is_found_between_entries_and_not_beyond_the_end() {
        // Ages 0.5, 1.5, 2.5, 3.5 at 0, 0.5, 1, 1.5 h.
        let h = history(&[0.0; 4]);
        let line = Timeline::of(&h);
        assert_eq!(line.reaches(|s| s.age_surface, 2.0), Some(0.75));
        assert_eq!(line.reaches(|s| s.age_surface, 0.2), Some(0.0));
        assert_eq!(line.reaches(|s| s.age_surface, 3.5), Some(1.5));
        assert_eq!(line.reaches(|s| s.age_surface, 3.6), None);
        assert_eq!(line.reaches(|s| s.age_surface, f64::NAN), None);
        assert_eq!(line.at(|s| s.age_surface, 0.75), Some(2.0));
        assert_eq!(line.at(|s| s.age_surface, 1.6), None);
    }

    #[test]
    fn an_empty_history_says_nothing() {
        let h = history(&[]);
        let line = Timeline::of(&h);
        assert_eq!(line.reaches(|s| s.age_surface, 1.0), None);
        assert_eq!(line.at(|s| s.age_surface, 0.0), None);
        assert_eq!(line.dry_from(0.0, 0.1), None);
        assert_eq!(line.bled_by(0.1), None);
    }

    #[test]
    fn water_is_followed_between_entries() {
        // Over 0.1 from 0.25 h, down to it again at 1.25 h.
        let h = history(&[0.0, 0.2, 0.2, 0.0]);
        let line = Timeline::of(&h);
        assert!((line.dry_from(0.6, 0.1).unwrap() - 1.25).abs() < 1e-12);
        assert_eq!(line.dry_from(0.1, 0.1), Some(0.1));
    }

    #[test]
    fn bleed_water_is_added_up() {
        let mut h = history(&[0.0; 4]);
        for (state, rate) in h.states.iter_mut().zip([0.4, 0.4, 0.2, 0.0]) {
            state.bleeding = rate;
        }
        // 0.2 kg/m² in the first half hour, 0.15 in the second, 0.05 in the third.
        let line = Timeline::of(&h);
        assert!((line.bled_by(0.1).unwrap() - 0.25).abs() < 1e-12);
        assert!((line.bled_by(0.275).unwrap() - 0.75).abs() < 1e-12);
        assert_eq!(line.bled_by(0.41), None);
    }
}
