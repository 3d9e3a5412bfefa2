//! First fit decreasing: the cutting that people do without a plan, and the first to be beaten.

use super::{Pattern, Task};

/// Cuts the longest pieces first, each from the first stick with room; the best over the stock lengths that are opened.
pub(super) fn first_fit(task: &Task) -> Vec<Pattern> {
    let longest = task.size(0);
    let opened = (0..task.stock.len()).filter(|stock| task.room(*stock) >= longest);
    let all = opened.map(|stock| shortened(task, with(task, stock)));
    // The longest stock holds every piece, so there is always one.
    all.min_by_key(|patterns| (task.cost(patterns), patterns.len())).unwrap_or_default()
}

fn with(task: &Task, stock: usize) -> Vec<Pattern> {
    let mut sticks: Vec<(Pattern, u64)> = Vec::new();
    for (kind, count) in task.counts.iter().enumerate() {
        let size = task.size(kind);
        for _ in 0..*count {
            let open = match sticks.iter().position(|(_, left)| *left >= size) {
                Some(open) => open,
                None => {
                    let counts = vec![0; task.counts.len()];
                    sticks.push((Pattern { stock, counts }, task.room(stock)));
                    sticks.len() - 1
                }
            };
            sticks[open].0.counts[kind] += 1;
            sticks[open].1 -= size;
        }
    }
    sticks.into_iter().map(|stick| stick.0).collect()
}

/// Each stick as short as its pieces allow.
fn shortened(task: &Task, patterns: Vec<Pattern>) -> Vec<Pattern> {
    let short = |mut pattern: Pattern| {
        pattern.stock = task.shortest(task.taken(&pattern.counts)).unwrap_or(pattern.stock);
        pattern
    };
    patterns.into_iter().map(short).collect()
}
