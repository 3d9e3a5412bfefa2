//! Lower bounds for the end of the day, without search.

use super::day::{Day, tighten};
use super::loads::{Supply, taken};

/// The earliest end of the last round that neither chains of rounds nor sums of work exclude; absent when the
/// windows alone are already too tight.
///
/// Chains: earliest starts carried through each bay. Sums: for a trial end, latest ends are drawn in, and for every pair
/// of instants the work that must fall between them is compared with what the people or a fleet can give (energetic
/// reasoning [@baptiste-2001]). Floors and the road between them are left out, which only lowers the bound.
pub(super) fn earliest_end(day: &Day, supplies: &[Supply]) -> Option<i32> {
    let chain =
        last_tasks(day).map(|task| day.tasks[task].earliest + day.tasks[task].least()).max().unwrap_or(0);
    let (mut low, mut high) = (chain, day.horizon.max(chain));
    if !may_end(day, supplies, high) {
        return None;
    }
    while low < high {
        let middle = i32::midpoint(low, high);
        if may_end(day, supplies, middle) { high = middle } else { low = middle + 1 }
    }
    Some(high)
}

/// The earliest minute from which only `left` people need stay, with all over by `end`, that the sums of work do not exclude.
pub(super) fn earliest_leave(day: &Day, supplies: &[Supply], end: i32, left: i32) -> i32 {
    let (mut low, mut high) = (day.origin, end);
    while low < high {
        let middle = i32::midpoint(low, high);
        let mut fewer = supplies.to_vec();
        let count = supplies[0].capacity - left;
        fewer[0].fixed.push(super::day::Fixed { floor: 0, start: middle, end, count });
        if may_end(day, &fewer, end) { high = middle } else { low = middle + 1 }
    }
    high
}

/// The last round of each bay.
pub(super) fn last_tasks(day: &Day) -> impl Iterator<Item = usize> + '_ {
    (0..day.tasks.len()).filter(|index| day.tasks.get(index + 1).is_none_or(|next| next.before.is_none()))
}

/// Whether nothing here excludes that all is over by `end`.
fn may_end(day: &Day, supplies: &[Supply], end: i32) -> bool {
    let mut tasks = day.tasks.clone();
    for task in &mut tasks {
        task.latest = task.latest.min(end);
    }
    tighten(&mut tasks);
    if tasks.iter().any(|task| task.latest - task.earliest < task.least()) {
        return false;
    }
    scales(supplies).iter().all(|scale| fits(&tasks, supplies, scale))
}

/// Weights of the supplies in the sums of work: each alone, and people and machines together.
///
/// What may be done by machine or by hand burdens neither for certain, but it does burden a weighted sum of both.
fn scales(supplies: &[Supply]) -> Vec<Vec<i32>> {
    let alone = (0..supplies.len()).map(|one| (0..supplies.len()).map(|i| i32::from(i == one)).collect());
    let both =
        [1, 2, 4, 8].map(|weight| (0..supplies.len()).map(|i| if i == 0 { 1 } else { weight }).collect());
    alone.chain(both.into_iter().filter(|_: &Vec<i32>| supplies.len() > 1)).collect()
}

/// How much a way takes of the supplies, weighted.
fn burden(way: &super::day::GridWay, supplies: &[Supply], scale: &[i32]) -> i32 {
    supplies.iter().zip(scale).map(|(supply, weight)| weight * taken(supply, way)).sum()
}

/// A piece of work that must lie between two instants.
struct Work {
    earliest: i32,
    latest: i32,
    /// A block of so many minutes and such a count lies inside whatever way is taken.
    minutes: i32,
    count: i32,
    /// Least minutes times count of any way.
    whole: i64,
}

impl Work {
    /// Least minutes times count that fall between `a` and `b` wherever it is put.
    fn between(&self, a: i32, b: i32) -> i64 {
        if a <= self.earliest && self.latest <= b {
            return self.whole;
        }
        let early = self.earliest + self.minutes - a;
        let late = b - (self.latest - self.minutes);
        i64::from(early.min(late).min(self.minutes).min(b - a).max(0)) * i64::from(self.count)
    }
}

/// What a task takes of the weighted supplies at least; absent when some way needs none of them.
fn lightest(task: &super::day::Task, supplies: &[Supply], scale: &[i32]) -> Option<Work> {
    let count = task.ways.iter().map(|way| burden(way, supplies, scale)).min()?;
    let whole =
        task.ways.iter().map(|way| i64::from(burden(way, supplies, scale)) * i64::from(way.minutes)).min()?;
    let work = Work { earliest: task.earliest, latest: task.latest, minutes: task.least(), count, whole };
    (count > 0).then_some(work)
}

fn fits(tasks: &[super::day::Task], supplies: &[Supply], scale: &[i32]) -> bool {
    let mut works: Vec<Work> = tasks.iter().filter_map(|task| lightest(task, supplies, scale)).collect();
    let capacity: i32 = supplies.iter().zip(scale).map(|(supply, weight)| weight * supply.capacity).sum();
    for (supply, weight) in supplies.iter().zip(scale).filter(|(_, weight)| **weight > 0) {
        works.extend(supply.fixed.iter().map(|fixed| Work {
            earliest: fixed.start,
            latest: fixed.end,
            minutes: fixed.end - fixed.start,
            count: fixed.count * weight,
            whole: i64::from(fixed.end - fixed.start) * i64::from(fixed.count * weight),
        }));
    }
    let mut starts: Vec<i32> = works.iter().map(|work| work.earliest).collect();
    let mut ends: Vec<i32> = works.iter().map(|work| work.latest).collect();
    starts.sort_unstable();
    starts.dedup();
    ends.sort_unstable();
    ends.dedup();
    starts.iter().all(|a| {
        ends.iter().filter(|b| *b > a).all(|b| {
            let asked: i64 = works.iter().map(|work| work.between(*a, *b)).sum();
            asked <= i64::from(capacity) * i64::from(b - a)
        })
    })
}
