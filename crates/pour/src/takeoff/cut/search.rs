//! The search: one stick after the other is filled, the longest piece left goes into the next [@korf-2002].

use super::{Pattern, Task};

/// Fillings of one stick that are tried at most, best filled first.
const MOST_FILLINGS: usize = 200;
/// Sticks that the search goes down at most; longer cuttings are left to the relaxation.
const DEEPEST: usize = 400;

/// What the search found.
pub(super) struct Searched {
    /// A cutting under the cost that was to be beaten; absent when none was found.
    pub patterns: Option<Vec<Pattern>>,
    /// Whether nothing was left out: then no cutting costs less than the one found, or than the one to be beaten.
    pub is_whole: bool,
}

/// Looks for a cutting that costs less than `beat`; stops at `bound`, or after so many nodes.
pub(super) fn search(task: &Task, bound: u64, beat: u64, nodes: u32) -> Searched {
    let mut search = Search {
        task,
        bound,
        best: beat,
        found: None,
        nodes,
        is_whole: true,
        left: task.counts.clone(),
        sticks: Vec::new(),
    };
    search.down(0);
    Searched { patterns: search.found, is_whole: search.is_whole }
}

struct Search<'a> {
    task: &'a Task,
    bound: u64,
    best: u64,
    found: Option<Vec<Pattern>>,
    nodes: u32,
    is_whole: bool,
    left: Vec<u32>,
    sticks: Vec<Pattern>,
}

impl Search<'_> {
    fn down(&mut self, cost: u64) {
        let Some(longest) = self.left.iter().position(|count| *count > 0) else {
            if cost < self.best {
                self.best = cost;
                self.found = Some(self.sticks.clone());
            }
            return;
        };
        if self.nodes == 0 || self.sticks.len() >= DEEPEST {
            self.is_whole = false;
            return;
        }
        self.nodes -= 1;
        if cost + self.at_least() >= self.best {
            return;
        }
        for pattern in self.fillings(longest) {
            if self.best <= self.bound || self.nodes == 0 {
                self.is_whole &= self.best <= self.bound;
                return;
            }
            let stock = u64::from(self.task.stock[pattern.stock]);
            self.left.iter_mut().zip(&pattern.counts).for_each(|(left, taken)| *left -= taken);
            self.sticks.push(pattern);
            self.down(cost + stock);
            let Some(pattern) = self.sticks.pop() else { return };
            self.left.iter_mut().zip(&pattern.counts).for_each(|(left, taken)| *left += taken);
        }
    }

    /// What is left costs at least its own length, and a stick for each piece over half of the longest.
    fn at_least(&self) -> u64 {
        let task = self.task;
        let room = task.room(task.stock.len() - 1);
        let (mut material, mut alone) = (0, 0);
        for (kind, count) in self.left.iter().enumerate().filter(|(_, count)| **count > 0) {
            material += u64::from(*count) * u64::from(task.lengths[kind]);
            if 2 * task.size(kind) > room {
                let stock = task.shortest(task.size(kind)).map_or(0, |stock| task.stock[stock]);
                alone += u64::from(*count) * u64::from(stock);
            }
        }
        // With one stock length the number of sticks is whole.
        let sticks = match task.stock[..] {
            [stock] => self.task.taken(&self.left).div_ceil(task.room(0)) * u64::from(stock),
            _ => material,
        };
        sticks.max(alone)
    }

    /// Fillings of one stick with the longest piece in it, to which no further piece can be added.
    fn fillings(&mut self, longest: usize) -> Vec<Pattern> {
        let mut all: Vec<(u64, u64, Pattern)> = Vec::new();
        for stock in 0..self.task.stock.len() {
            let room = self.task.room(stock);
            let Some(room) = room.checked_sub(self.task.size(longest)) else { continue };
            let mut counts = vec![0; self.left.len()];
            counts[longest] = 1;
            self.left[longest] -= 1;
            let mut filler =
                Filler { task: self.task, left: &self.left, counts, all: Vec::new(), is_whole: true };
            filler.fill(longest, room);
            let Filler { all: found, is_whole, .. } = filler;
            self.left[longest] += 1;
            self.is_whole &= is_whole;
            let length = u64::from(self.task.stock[stock]);
            // What fits a shorter stock belongs there.
            let shorter = if stock == 0 { 0 } else { self.task.room(stock - 1) };
            let kept = found.into_iter().filter(|(left, _)| self.task.room(stock) - left > shorter);
            all.extend(kept.map(|(left, counts)| (left, length, Pattern { stock, counts })));
        }
        // Least waste for the length first; of equal ones the longest pieces first.
        all.sort_by(|a, b| (a.0 * b.1).cmp(&(b.0 * a.1)).then_with(|| b.2.counts.cmp(&a.2.counts)));
        if all.len() > MOST_FILLINGS {
            self.is_whole = false;
            all.truncate(MOST_FILLINGS);
        }
        all.into_iter().map(|filling| filling.2).collect()
    }
}

/// Gathers fillings of one stick, with what each leaves.
struct Filler<'a> {
    task: &'a Task,
    left: &'a [u32],
    counts: Vec<u32>,
    all: Vec<(u64, Vec<u32>)>,
    is_whole: bool,
}

impl Filler<'_> {
    fn fill(&mut self, kind: usize, room: u64) {
        if self.all.len() >= 8 * MOST_FILLINGS {
            self.is_whole = false;
            return;
        }
        let Some(left) = self.left.get(kind) else {
            let free = |kind: &usize| self.counts[*kind] < self.limit(*kind);
            let least = (0..self.left.len()).rev().find(free);
            if least.is_none_or(|kind| self.task.size(kind) > room) {
                self.all.push((room, self.counts.clone()));
            }
            return;
        };
        let size = self.task.size(kind);
        let before = self.counts[kind];
        let most = u64::from(*left).min(room / size) as u32;
        for more in (0..=most).rev() {
            self.counts[kind] = before + more;
            self.fill(kind + 1, room - u64::from(more) * size);
        }
        self.counts[kind] = before;
    }

    /// Pieces of a kind that can be in the stick: what is left, and the one that is already in it.
    fn limit(&self, kind: usize) -> u32 {
        let first = self.counts.iter().position(|count| *count > 0);
        self.left[kind] + u32::from(first == Some(kind))
    }
}
