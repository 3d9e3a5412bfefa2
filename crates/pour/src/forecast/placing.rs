//! When each bay is placed, on one day of the trucks.

use crate::trucks::Passage;

/// When one bay is placed on one day, seconds from the instant for which the first truck is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// Its first concrete leaves the chute.
    pub from: f64,
    /// It is struck off to its end.
    pub until: f64,
    /// How long the concrete in its middle had been on the road when placed, from leaving the plant.
    pub age: f64,
}

impl Placed {
    /// The middle of the bay is placed.
    #[must_use]
    pub fn middle(&self) -> f64 {
        f64::midpoint(self.from, self.until)
    }
}

/// A load on the floor: what it covers of the forms, m³, and its passage.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: f64,
    until: f64,
    start: f64,
    done: f64,
    leave: f64,
}

/// When each bay is placed: loads fill the bays one after another, in the order in which they unload.
///
/// `bays` holds the volume in the forms of each bay, `covers` what each load covers of it, m³; `passages` has one a load.
/// A bay that no load reaches is placed at the end of the last.
#[must_use]
pub fn placed(bays: &[f64], covers: &[f64], passages: &[Passage]) -> Vec<Placed> {
    let mut order: Vec<usize> = (0..passages.len().min(covers.len())).collect();
    order.sort_by(|&a, &b| passages[a].start.total_cmp(&passages[b].start));
    let mut covered = 0.0;
    let stretches: Vec<Stretch> = order
        .into_iter()
        .map(|load| {
            let Passage { start, done, leave, .. } = passages[load];
            let from = covered;
            covered += covers[load].max(0.0);
            Stretch { from, until: covered, start, done, leave }
        })
        .collect();
    let mut filled = 0.0;
    bays.iter()
        .map(|volume| {
            let from = at(&stretches, filled, Side::Start);
            let (middle, leave) = loaded(&stretches, filled + volume / 2.0);
            filled += volume;
            let until = at(&stretches, filled, Side::End);
            Placed { from, until: until.max(from), age: (middle - leave).max(0.0) }
        })
        .collect()
}

/// Where two loads meet, a bay starts with the later and ends with the earlier.
#[derive(Clone, Copy, PartialEq)]
enum Side {
    Start,
    End,
}

/// The instant at which the floor is filled up to a volume.
fn at(stretches: &[Stretch], volume: f64, side: Side) -> f64 {
    let slack = 1e-9 * stretches.last().map_or(0.0, |last| last.until);
    let reaches = |stretch: &&Stretch| match side {
        Side::Start => volume + slack < stretch.until,
        Side::End => volume - slack <= stretch.until,
    };
    match stretches.iter().find(reaches).or(stretches.last()) {
        Some(stretch) => within(stretch, volume),
        None => 0.0,
    }
}

fn loaded(stretches: &[Stretch], volume: f64) -> (f64, f64) {
    match stretches.iter().find(|stretch| volume <= stretch.until).or(stretches.last()) {
        Some(stretch) => (within(stretch, volume), stretch.leave),
        None => (0.0, 0.0),
    }
}

fn within(stretch: &Stretch, volume: f64) -> f64 {
    let share = (volume - stretch.from) / (stretch.until - stretch.from);
    if share.is_finite() {
        stretch.start + (stretch.done - stretch.start) * share.clamp(0.0, 1.0)
    } else {
        stretch.done
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn passage(leave: f64, start: f64, done: f64) -> Passage {
        Passage { leave, arrive: start, start, done, idle: 0.0, edge_age: None }
    }

    /// By hand: two loads of 8 m³, the first from 0 to 40 min, the second from 50 to 90; bays of 6, 6 and 4 m³.
    #[test]
    fn bays_are_placed_as_the_loads_come() {
        let passages = [passage(-20.0, 0.0, 40.0), passage(10.0, 50.0, 90.0)];
        let bays = placed(&[6.0, 6.0, 4.0], &[8.0, 8.0], &passages);
        let times: Vec<_> = bays.iter().map(|bay| (bay.from, bay.until)).collect();
        assert_eq!(times, [(0.0, 30.0), (30.0, 70.0), (70.0, 90.0)]);
        // The middle of the second bay, 9 m³ in, is the second load's concrete, 5 min into it.
        assert_eq!(bays[0].age, 35.0);
        assert_eq!(bays[1].age, 45.0);
    }

    /// A bay that starts where a load ends waits for the next truck.
    #[test]
    fn a_bay_at_a_change_of_trucks_starts_with_the_later() {
        let passages = [passage(0.0, 0.0, 40.0), passage(0.0, 55.0, 95.0)];
        let bays = placed(&[8.0, 8.0], &[8.0, 8.0], &passages);
        assert_eq!((bays[0].until, bays[1].from), (40.0, 55.0));
    }

    /// Trucks that overtake fill the floor in the order in which they unload.
    #[test]
    fn overtaking_trucks_fill_in_their_own_order() {
        let passages = [passage(0.0, 60.0, 90.0), passage(0.0, 10.0, 60.0)];
        let bays = placed(&[5.0, 3.0], &[3.0, 5.0], &passages);
        assert_eq!((bays[0].from, bays[0].until, bays[1].until), (10.0, 60.0, 90.0));
    }

    #[test]
    fn impossible_input_gives_no_wild_times() {
        assert_eq!(placed(&[1.0], &[], &[])[0].until, 0.0);
        let bays = placed(&[9.0, 0.0], &[1.0], &[passage(0.0, 0.0, 10.0)]);
        assert!(bays.iter().all(|bay| bay.from.is_finite() && bay.until <= 10.0 && bay.age >= 0.0));
    }
}
