//! One day's course: when each truck leaves, arrives, starts and is empty, given that day's luck.
//!
//! Times are seconds from the instant for which the first truck was asked; volumes cubic metres.

/// What was ordered.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The loads in the order in which they leave the plant.
    pub loads: Vec<f64>,
    /// When each is asked for on site.
    pub asked: Vec<f64>,
    /// Haul that the plant reckons with.
    pub haul: f64,
    /// Time at the plant between coming home and leaving again.
    pub turnaround: f64,
    /// How many trucks run.
    pub trucks: usize,
}

/// One day's luck.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// How late the plant lets each load go, if the truck is there; negative is early.
    pub late: Vec<f64>,
    /// Each load's haul to the site.
    pub out: Vec<f64>,
    /// Each load's way home.
    pub back: Vec<f64>,
    /// The crew's placing rate, m³/s.
    pub rate: f64,
}

/// What came of one load.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Passage {
    /// Leaves the plant, just batched.
    pub leave: f64,
    /// Stands on site.
    pub arrive: f64,
    /// Starts to unload.
    pub start: f64,
    /// Is empty.
    pub done: f64,
    /// How long the crew stood idle before it.
    pub idle: f64,
    /// Age of the open edge when it starts; nothing for the first to unload.
    pub edge_age: Option<f64>,
}

/// Follows the trucks through a day; one passage for each load.
///
/// The plant lets loads go in order, each when it is due, the one before has left, and a truck is home. Trucks unload in
/// the order in which they arrive, one at a time, at the placing rate; the crew is ready from 0. With equal loads and no
/// overtaking the waits are those of Lindley's recursion [@lindley-1952], `w' = max(0, w + service − gap)`.
#[must_use]
pub fn follow(plan: &Plan, day: &Day) -> Vec<Passage> {
    follow_known(plan, day, &[])
}

/// Follows the trucks through a day on which some loads' arrivals are known: `came[load]`.
///
/// A load that came at a known time left the plant one haul of that day before; the loads after it leave no earlier.
#[must_use]
pub fn follow_known(plan: &Plan, day: &Day, came: &[Option<f64>]) -> Vec<Passage> {
    let n = plan.loads.len();
    let mut passages = vec![Passage::default(); n];
    // Trucks at home, by the time since when, latest first; loads on the road or waiting, latest arrival first.
    let mut home = vec![f64::NEG_INFINITY; plan.trucks.clamp(1, n.max(1))];
    let mut coming: Vec<usize> = Vec::new();
    let (mut next, mut last_leave) = (0, f64::NEG_INFINITY);
    let (mut crew_free, mut placed_before) = (0.0_f64, None);
    for _ in 0..n {
        while next < n
            && let Some(since) = home.pop()
        {
            let due = plan.asked[next] - plan.haul + day.late[next];
            let known = came.get(next).copied().flatten().map(|at| at - day.out[next]);
            let leave = known.unwrap_or(due.max(last_leave).max(since));
            last_leave = leave.max(last_leave);
            passages[next].leave = leave;
            passages[next].arrive = leave + day.out[next];
            let place = coming.partition_point(|i| passages[*i].arrive > passages[next].arrive);
            coming.insert(place, next);
            next += 1;
        }
        let Some(load) = coming.pop() else { break };
        let passage = &mut passages[load];
        passage.start = passage.arrive.max(crew_free);
        passage.done = passage.start + plan.loads[load] / day.rate;
        passage.idle = passage.start - crew_free;
        passage.edge_age = placed_before.map(|before: f64| passage.start - before);
        (crew_free, placed_before) = (passage.done, Some(passage.done));
        let back = passage.done + day.back[load] + plan.turnaround;
        let place = home.partition_point(|since| *since > back);
        home.insert(place, back);
    }
    passages
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const YARD_AN_HOUR: f64 = 1.0 / 3600.0;

    /// Loads of `load` asked for every `spacing` minutes, in yards and minutes; a 20 min haul, 10 min at the plant.
    fn plan(n: usize, load: f64, spacing: f64, trucks: usize) -> Plan {
        Plan {
            loads: vec![load; n],
            asked: (0..n).map(|i| i as f64 * spacing * 60.0).collect(),
            haul: 1200.0,
            turnaround: 600.0,
            trucks,
        }
    }

    fn even_day(n: usize, rate: f64) -> Day {
        Day { late: vec![0.0; n], out: vec![1200.0; n], back: vec![1200.0; n], rate: rate * YARD_AN_HOUR }
    }

    fn minutes(of: impl Fn(&Passage) -> f64, passages: &[Passage]) -> Vec<f64> {
        passages.iter().map(|p| (of(p) / 60.0 * 1e6).round() / 1e6).collect()
    }

    /// By hand: the second of three is known to come 90 min in; the third, asked for at 80, left no earlier than it.
    #[test]
    fn a_load_known_to_be_late_holds_up_those_behind_it() {
        let day = even_day(3, 20.0);
        let ordered = plan(3, 10.0, 40.0, 3);
        let passages = follow_known(&ordered, &day, &[None, Some(90.0 * 60.0)]);
        assert_eq!(minutes(|p| p.arrive, &passages), [0.0, 90.0, 90.0]);
        assert_eq!(minutes(|p| p.start, &passages), [0.0, 90.0, 120.0]);
        assert_eq!(minutes(|p| p.leave, &passages), [-20.0, 70.0, 70.0]);
        // As drawn, nothing known and what is known agree.
        let drawn = follow(&ordered, &day);
        let came: Vec<Option<f64>> = drawn.iter().map(|p| Some(p.arrive)).collect();
        assert_eq!(follow_known(&ordered, &day, &came), drawn);
    }

    /// By hand: 10 yd at 10 yd/h unload in 60 min; asked every 40 min the second waits 20 and the third 40.
    #[test]
    fn trucks_too_close_wait() {
        let passages = follow(&plan(3, 10.0, 40.0, 3), &even_day(3, 10.0));
        assert_eq!(minutes(|p| p.arrive, &passages), [0.0, 40.0, 80.0]);
        assert_eq!(minutes(|p| p.start, &passages), [0.0, 60.0, 120.0]);
        assert_eq!(minutes(|p| p.done, &passages), [60.0, 120.0, 180.0]);
        assert_eq!(minutes(|p| p.start - p.arrive, &passages), [0.0, 20.0, 40.0]);
        assert_eq!(minutes(|p| p.idle, &passages), [0.0; 3]);
    }

    /// By hand: every 90 min the crew stands 30 min before the second and the third, and the edge is that old.
    #[test]
    fn trucks_too_far_apart_leave_the_crew_idle() {
        let passages = follow(&plan(3, 10.0, 90.0, 3), &even_day(3, 10.0));
        assert_eq!(minutes(|p| p.idle, &passages), [0.0, 30.0, 30.0]);
        assert_eq!(minutes(|p| p.edge_age.unwrap_or(0.0), &passages), [0.0, 30.0, 30.0]);
        assert_eq!(passages[0].edge_age, None);
    }

    /// By hand: one truck, empty at 60, home at 80, away at 90, back on site at 110: the crew stands 50 min.
    #[test]
    fn one_truck_runs_all_loads() {
        let passages = follow(&plan(2, 10.0, 60.0, 1), &even_day(2, 10.0));
        assert_eq!(minutes(|p| p.arrive, &passages), [0.0, 110.0]);
        assert_eq!(minutes(|p| p.idle, &passages), [0.0, 50.0]);
    }

    /// A truck that is overtaken unloads after the one that came before it.
    #[test]
    fn first_come_first_unloaded() {
        let mut day = even_day(2, 20.0);
        day.out[0] += 3600.0;
        let passages = follow(&plan(2, 10.0, 30.0, 2), &day);
        assert_eq!(minutes(|p| p.start, &passages), [60.0, 30.0]);
    }

    fn luck(n: usize) -> impl Strategy<Value = (Vec<f64>, Vec<f64>, f64)> {
        (proptest::collection::vec(-900.0..900.0, n), proptest::collection::vec(-600.0..600.0, n), 6.0..20.0)
    }

    proptest! {
        /// Waits are Lindley's when trucks do not overtake, whatever the lateness.
        #[test]
        fn waits_follow_lindleys_recursion((late, _, rate) in luck(8), spacing in 10.0..90.0) {
            let day = Day { late, ..even_day(8, rate) };
            let passages = follow(&plan(8, 9.0, spacing, 8), &day);
            let service = 9.0 / day.rate;
            let mut wait = (-passages[0].arrive).max(0.0);
            for pair in passages.windows(2) {
                prop_assert!((pair[0].start - pair[0].arrive - wait).abs() < 1e-6);
                wait = (wait + service - (pair[1].arrive - pair[0].arrive)).max(0.0);
            }
        }

        /// Time adds up: the crew's end is all its work and all its idling, and no truck does anything before the last thing.
        #[test]
        fn time_is_conserved((late, shift, rate) in luck(7), spacing in 5.0..90.0, trucks in 1usize..8) {
            let mut day = Day { late, ..even_day(7, rate) };
            day.out.iter_mut().zip(&shift).for_each(|(out, shift)| *out += shift);
            let passages = follow(&plan(7, 9.0, spacing, trucks), &day);
            let end = passages.iter().map(|p| p.done).fold(0.0, f64::max);
            let idle: f64 = passages.iter().map(|p| p.idle).sum();
            prop_assert!((end - idle - 7.0 * 9.0 / day.rate).abs() < 1e-6);
            for p in &passages {
                prop_assert!(p.leave < p.arrive && p.arrive <= p.start && p.start < p.done && p.idle >= 0.0);
            }
        }

        /// Wider spacing: no truck waits longer and the crew is never less idle, day by day, as long as none overtakes.
        #[test]
        fn wider_spacing_trades_waiting_for_idling((late, _, rate) in luck(6), spacing in 10.0..80.0, more in 0.0..30.0) {
            let day = Day { late, ..even_day(6, rate) };
            let (close, wide) = (follow(&plan(6, 9.0, spacing, 6), &day), follow(&plan(6, 9.0, spacing + more, 6), &day));
            for (a, b) in close.iter().zip(&wide) {
                prop_assert!(b.start - b.arrive <= a.start - a.arrive + 1e-6);
            }
            let idle = |passages: &[Passage]| passages.iter().map(|p| p.idle).sum::<f64>();
            prop_assert!(idle(&wide) >= idle(&close) - 1e-6);
        }
    }
}
