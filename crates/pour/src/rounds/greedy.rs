//! A first plan by simple rules, so that the search begins with something.

use super::day::{Day, Task};
use super::loads::{Slot, Supply, profiles, taken};

/// The best of a few list schedules by the end of the day; absent when none keeps all windows.
pub(super) fn first_plan(day: &Day, supplies: &[Supply]) -> Option<Vec<Slot>> {
    let rules: [fn(&Task) -> i32; 4] = [
        |task| task.latest - task.least(),
        |task| task.latest,
        |task| task.earliest,
        |task| task.earliest + task.latest,
    ];
    rules.iter().filter_map(|rule| list(day, supplies, rule)).min_by_key(|slots| end(day, slots))
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

fn list(day: &Day, supplies: &[Supply], rule: &fn(&Task) -> i32) -> Option<Vec<Slot>> {
    let loads = supplies.iter().map(|supply| profiles(&supply.fixed, day.horizon)).collect();
    let mut board = Board { supplies, loads, horizon: day.horizon };
    let mut slots: Vec<Option<Slot>> = vec![None; day.tasks.len()];
    for _ in 0..day.tasks.len() {
        let open = |index: &usize| {
            slots[*index].is_none() && day.tasks[*index].before.is_none_or(|before| slots[before].is_some())
        };
        let next =
            (0..day.tasks.len()).filter(open).min_by_key(|index| (rule(&day.tasks[*index]), *index))?;
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
        let (end, _, way, start) = ends.min()?;
        board.put(task.floor, start, end, &task.ways[way]);
        slots[next] = Some(Slot { start, way });
    }
    slots.into_iter().collect()
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
