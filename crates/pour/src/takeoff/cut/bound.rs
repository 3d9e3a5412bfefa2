//! The pattern relaxation by column generation: how little stock could do if sticks came in parts.

use super::{Pattern, Task, common};

/// Steps of all knapsacks together, so that no question takes long.
const MOST_STEPS: u64 = 300_000_000;
/// Rounds of the simplex method at most.
const MOST_ROUNDS: u64 = 2_000;
/// Reduced costs and pivots under this are rounding.
const SMALL: f64 = 1e-9;
/// A bound this little over a whole number is that number: sums of some hundred products of numbers near one.
const ROUNDING: f64 = 1e-6;

/// What the relaxation says.
pub(super) struct Relaxed {
    /// No cutting costs less.
    pub bound: u64,
    /// Sticks that the relaxation takes whole.
    pub whole: Vec<Pattern>,
}

/// Solves the relaxation, or as much of it as the limit allows; the bound holds in either case.
///
/// The revised simplex method over patterns of which each holds no more pieces of a kind than are wanted; new patterns come from a
/// bounded knapsack [@gilmore-gomory-1961]. The bound of a round is the worth of the pieces at the prices of the moment, divided by
/// the most that a stick is worth for its length [@farley-1990].
pub(super) fn relaxed(task: &Task) -> Relaxed {
    let mut simplex = Simplex::of(task);
    let knapsack = Knapsack::of(task);
    let rounds = (MOST_STEPS / knapsack.steps().max(1)).clamp(1, MOST_ROUNDS);
    let mut bound = 0.0_f64;
    for _ in 0..rounds {
        let prices = simplex.prices();
        let worth: f64 =
            prices.iter().zip(&task.counts).map(|(price, count)| price * f64::from(*count)).sum();
        let fill = knapsack.fill(task, &prices);
        let most = fill.worth.iter().zip(&task.stock).map(|(worth, stock)| worth / f64::from(*stock));
        let (best, most) = most.enumerate().fold((0, 0.0_f64), |a, b| if b.1 > a.1 { b } else { a });
        bound = bound.max(worth / most.max(1.0));
        if most <= 1.0 + SMALL {
            break;
        }
        let pattern = knapsack.pattern(task, &fill, best);
        if !simplex.enter(task, pattern) {
            break;
        }
    }
    // What is bought is a sum of stock lengths, so a multiple of what they have in common.
    let step = task.stock.iter().copied().fold(0, common).max(1);
    let steps = (bound / f64::from(step) - ROUNDING).ceil().max(0.0) as u64;
    Relaxed { bound: (steps * u64::from(step)).max(material(task)), whole: simplex.whole(task) }
}

/// The pieces themselves must be bought, sawdust or not.
fn material(task: &Task) -> u64 {
    task.counts.iter().zip(&task.lengths).map(|(count, length)| u64::from(*count) * u64::from(*length)).sum()
}

/// A basis of as many patterns as there are kinds of pieces.
struct Simplex {
    basis: Vec<Pattern>,
    costs: Vec<f64>,
    /// Inverse of the basis, row by row: a row belongs to a pattern, a column to a kind.
    inverse: Vec<Vec<f64>>,
    amounts: Vec<f64>,
}

impl Simplex {
    /// The basis in which each pattern holds one kind, from the stock that wastes least.
    fn of(task: &Task) -> Self {
        let kinds = task.counts.len();
        let mut simplex = Self { basis: vec![], costs: vec![], inverse: vec![], amounts: vec![] };
        for kind in 0..kinds {
            let fits = |stock: usize| (task.room(stock) / task.size(kind)).min(u64::from(task.counts[kind]));
            let per_piece = |stock: usize| f64::from(task.stock[stock]) / fits(stock) as f64;
            let stocks = (0..task.stock.len()).filter(|stock| fits(*stock) > 0);
            let stock = stocks.min_by(|a, b| per_piece(*a).total_cmp(&per_piece(*b))).unwrap_or(0);
            let fits = fits(stock).max(1);
            let mut counts = vec![0; kinds];
            counts[kind] = fits as u32;
            let mut row = vec![0.0; kinds];
            row[kind] = 1.0 / fits as f64;
            simplex.basis.push(Pattern { stock, counts });
            simplex.costs.push(f64::from(task.stock[stock]));
            simplex.inverse.push(row);
            simplex.amounts.push(f64::from(task.counts[kind]) / fits as f64);
        }
        simplex
    }

    /// What a piece of each kind is worth at the basis.
    fn prices(&self) -> Vec<f64> {
        let mut prices = vec![0.0; self.costs.len()];
        for (row, cost) in self.inverse.iter().zip(&self.costs) {
            prices.iter_mut().zip(row).for_each(|(price, part)| *price += cost * part);
        }
        prices
    }

    /// Takes a pattern into the basis; says no when nothing would leave it.
    fn enter(&mut self, task: &Task, pattern: Pattern) -> bool {
        let along: Vec<f64> = self
            .inverse
            .iter()
            .map(|row| row.iter().zip(&pattern.counts).map(|(part, count)| part * f64::from(*count)).sum())
            .collect();
        let ratio = |row: usize| self.amounts[row].max(0.0) / along[row];
        let rows = (0..along.len()).filter(|row| along[*row] > SMALL);
        // Of equal ratios the largest pivot is the safest.
        let leaves =
            rows.min_by(|a, b| ratio(*a).total_cmp(&ratio(*b)).then(along[*b].total_cmp(&along[*a])));
        let Some(out) = leaves else { return false };
        let amount = ratio(out);
        let pivot: Vec<f64> = self.inverse[out].iter().map(|part| part / along[out]).collect();
        for row in (0..along.len()).filter(|row| *row != out) {
            self.amounts[row] = (self.amounts[row] - amount * along[row]).max(0.0);
            self.inverse[row].iter_mut().zip(&pivot).for_each(|(part, by)| *part -= along[row] * by);
        }
        self.inverse[out] = pivot;
        self.amounts[out] = amount;
        self.costs[out] = f64::from(task.stock[pattern.stock]);
        self.basis[out] = pattern;
        true
    }

    /// Each pattern as often as the relaxation takes it whole, never more pieces than wanted.
    fn whole(&self, task: &Task) -> Vec<Pattern> {
        let mut left = task.counts.clone();
        let mut whole = Vec::new();
        for (pattern, amount) in self.basis.iter().zip(&self.amounts) {
            for _ in 0..(amount + ROUNDING).floor().max(0.0) as u64 {
                if pattern.counts.iter().zip(&left).any(|(taken, left)| taken > left) {
                    break;
                }
                left.iter_mut().zip(&pattern.counts).for_each(|(left, taken)| *left -= taken);
                whole.push(pattern.clone());
            }
        }
        whole
    }
}

/// The bounded knapsack over the longest stock; its shorter rooms answer for the shorter stock.
struct Knapsack {
    /// Kind, and how many pieces go together: powers of two and a rest, so that every count can be made up.
    bundles: Vec<(usize, u32)>,
    room: usize,
}

/// The best filling of every room.
struct Fill {
    /// Worth of the best filling of each stock.
    worth: Vec<f64>,
    /// Whether a bundle is taken at a room, by `bundle * (room + 1) + room`.
    taken: Vec<bool>,
}

impl Knapsack {
    fn of(task: &Task) -> Self {
        let room = task.room(task.stock.len() - 1) as usize;
        let mut bundles = Vec::new();
        for kind in 0..task.counts.len() {
            let mut left = (room as u64 / task.size(kind)).min(u64::from(task.counts[kind])) as u32;
            let mut size = 1;
            while left > 0 {
                let taken = size.min(left);
                bundles.push((kind, taken));
                left -= taken;
                size *= 2;
            }
        }
        Self { bundles, room }
    }

    fn steps(&self) -> u64 {
        self.bundles.len() as u64 * (self.room as u64 + 1)
    }

    fn fill(&self, task: &Task, prices: &[f64]) -> Fill {
        let wide = self.room + 1;
        let mut worth = vec![0.0_f64; wide];
        let mut taken = vec![false; wide * self.bundles.len()];
        for (row, (kind, count)) in self.bundles.iter().enumerate() {
            let price = prices[*kind] * f64::from(*count);
            let size = (task.size(*kind) * u64::from(*count)) as usize;
            if price <= 0.0 {
                continue;
            }
            for room in (size..wide).rev() {
                let with = worth[room - size] + price;
                if with > worth[room] + 1e-12 {
                    worth[room] = with;
                    taken[row * wide + room] = true;
                }
            }
        }
        let worth = (0..task.stock.len()).map(|stock| worth[task.room(stock) as usize]).collect();
        Fill { worth, taken }
    }

    /// The pieces of the best filling of a stock.
    fn pattern(&self, task: &Task, fill: &Fill, stock: usize) -> Pattern {
        let mut counts = vec![0; task.counts.len()];
        let mut room = task.room(stock) as usize;
        for (row, (kind, count)) in self.bundles.iter().enumerate().rev() {
            if fill.taken[row * (self.room + 1) + room] {
                counts[*kind] += count;
                room -= (task.size(*kind) * u64::from(*count)) as usize;
            }
        }
        Pattern { stock, counts }
    }
}
