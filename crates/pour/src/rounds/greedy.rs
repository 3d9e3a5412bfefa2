//! A first plan by simple rules, so that the search begins with something.

use super::day::{Day, Task, tighten};
use super::loads::{Slot, Supply, profiles, taken};

/// The best of a few list schedules by the end of the day; absent when none keeps all windows.
pub(super) fn first_plan(day: &Day, supplies: &[Supply]) -> Option<Vec<Slot>> {
    let rules: [fn(&Task) -> i32; 4] = [
        |task| task.latest - task.least(),
        |task| task.latest,
        |task| task.earliest,
        |task| task.earliest + task.latest,
    ];
    let urgencies = rules.map(|rule| day.tasks.iter().map(rule).collect::<Vec<i32>>());
    let plans = urgencies.iter().filter_map(|urgency| list(day, supplies, urgency).ok());
    plans.min_by_key(|slots| end(day, slots))
}

/// List schedules tried for one end.
const TRIES: usize = 30;
/// Minutes by which a task that came too late, and those before it in its bay, are put forward in the next list.
const FORWARD: i32 = 8;

/// A plan that ends by a minute, found by list schedules that learn; absent when none was found, which shows nothing.
///
/// Whatever comes too late is put forward in the list with the rounds before it, and the list is worked again.
pub(super) fn plan_by(day: &Day, supplies: &[Supply], end: i32) -> Option<Vec<Slot>> {
    let mut day = day.clone();
    for task in &mut day.tasks {
        task.latest = task.latest.min(end);
    }
    tighten(&mut day.tasks);
    let mut urgency: Vec<i32> = day.tasks.iter().map(|task| task.latest - task.least()).collect();
    for _ in 0..TRIES {
        let late = match list(&day, supplies, &urgency) {
            Ok(slots) => return Some(slots),
            Err(late) => late,
        };
        let mut put = Some(late);
        while let Some(index) = put {
            urgency[index] -= FORWARD;
            put = day.tasks[index].before;
        }
    }
    None
}

/// The plan drawn toward a bound that it may reach: a shorter one where list schedules find it.
pub(super) fn drawn_in(day: &Day, supplies: &[Supply], mut best: Vec<Slot>, bound: i32) -> Vec<Slot> {
    let (mut low, mut aim) = (bound, bound);
    while low < end(day, &best) {
        match plan_by(day, supplies, aim) {
            Some(slots) => best = slots,
            None => low = aim + 1,
        }
        aim = i32::midpoint(low, end(day, &best) - 1);
    }
    best
}

/// End of the last task.
pub(super) fn end(day: &Day, slots: &[Slot]) -> i32 {
    let ends = day.tasks.iter().zip(slots).map(|(task, slot)| slot.start + task.ways[slot.way].minutes);
    ends.max().unwrap_or(day.origin)
}

struct Board<'a> {
    supplies: &'a [Supply],
    loads: Vec<[Vec<i32>; 2]>,
    horizon: i32,
}

impl Board<'_> {
    /// The first minute of `[start, end)` at which a supply would be overtaxed.
    fn clash(&self, floor: usize, start: i32, end: i32, way: &super::day::GridWay) -> Option<i32> {
        for (supply, loads) in self.supplies.iter().zip(&self.loads) {
            let count = taken(supply, way);
            if count == 0 {
                continue;
            }
            for minute in start..end {
                let from = (minute - supply.hop).max(0) as usize;
                let to = (minute + supply.hop).min(self.horizon) as usize;
                let other = loads[1 - floor.min(1)][from..=to].iter().copied().max().unwrap_or(0);
                if loads[floor.min(1)][minute as usize] + other + count > supply.capacity {
                    return Some(minute);
                }
            }
        }
        None
    }

    fn put(&mut self, floor: usize, start: i32, end: i32, way: &super::day::GridWay) {
        for (supply, loads) in self.supplies.iter().zip(&mut self.loads) {
            for minute in start..end {
                loads[floor.min(1)][minute as usize] += taken(supply, way);
            }
        }
    }
}

/// Each task in its turn, as early as it can be; or the first that comes too late.
fn list(day: &Day, supplies: &[Supply], urgency: &[i32]) -> Result<Vec<Slot>, usize> {
    let loads = supplies.iter().map(|supply| profiles(&supply.fixed, day.horizon)).collect();
    let mut board = Board { supplies, loads, horizon: day.horizon };
    let mut slots: Vec<Option<Slot>> = vec![None; day.tasks.len()];
    loop {
        let open = |index: &usize| {
            slots[*index].is_none() && day.tasks[*index].before.is_none_or(|before| slots[before].is_some())
        };
        let next = (0..day.tasks.len()).filter(open).min_by_key(|index| (urgency[*index], *index));
        let Some(next) = next else { break };
        let task = &day.tasks[next];
        let ready = task.before.and_then(|before| {
            let slot = slots[before]?;
            Some(slot.start + day.tasks[before].ways[slot.way].minutes + task.gap)
        });
        let ready = ready.unwrap_or(task.earliest).max(task.earliest);
        let ends = (0..task.ways.len()).filter_map(|way| {
            let start = earliest(&board, task, way, ready)?;
            Some((start + task.ways[way].minutes, task.ways[way].people, way, start))
        });
        let (end, _, way, start) = ends.min().ok_or(next)?;
        board.put(task.floor, start, end, &task.ways[way]);
        slots[next] = Some(Slot { start, way });
    }
    // A task stays open only behind one that was not put, and every one was.
    Ok(slots.into_iter().flatten().collect())
}

fn earliest(board: &Board<'_>, task: &Task, way: usize, ready: i32) -> Option<i32> {
    let way = &task.ways[way];
    let mut start = ready;
    while start + way.minutes <= task.latest {
        match board.clash(task.floor, start, start + way.minutes, way) {
            None => return Some(start),
            Some(minute) => start = minute + 1,
        }
    }
    None
}
