//! Cutting pieces from stock lengths: as little stock as can be bought, with a bound under which no cutting can stay.
//!
//! Lengths are whole steps of a tape, so that nothing is lost to rounding. Method, sources and limits:
//! `docs/methods/takeoff.md`.

mod bound;
mod first_fit;
mod search;

use std::fmt;

/// Nodes of the search tree that are looked at when nobody says otherwise: a count, not a time, so that every machine gives the
/// same cuts.
pub const NODES: u32 = 20_000;

/// Pieces that are cut at most in one go.
const MOST_PIECES: u64 = 20_000;

/// Pieces of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// Length, steps.
    pub length: u32,
    /// How many.
    pub count: u32,
}

/// What is cut from what.
#[derive(Debug, Clone, Copy)]
pub struct CutInput<'a> {
    /// The pieces; equal lengths may stand apart.
    pub pieces: &'a [Piece],
    /// Lengths that are sold, steps.
    pub stock: &'a [u32],
    /// What a cut takes away, steps.
    pub kerf: u32,
    /// Nodes of the search tree looked at at most.
    pub nodes: u32,
}

/// One length of stock with its cuts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stick {
    /// Its length, steps.
    pub stock: u32,
    /// The pieces cut from it, longest first.
    pub cuts: Vec<u32>,
    /// What is left over, steps.
    pub left: u32,
}

/// How well a cutting is known to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Proof {
    /// No cutting buys less.
    Least,
    /// The search stopped at its limit; the gap to the bound is open.
    Open,
}

/// A cutting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutPlan {
    /// The stock that is bought, longest cuts first.
    pub sticks: Vec<Stick>,
    /// All that is bought, steps.
    pub bought: u64,
    /// No cutting buys less than this, steps.
    pub bound: u64,
    /// Whether `bought` is the least.
    pub proof: Proof,
}

/// Why pieces cannot be cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CutTrouble {
    /// No stock is sold.
    NoStock,
    /// A piece or a stock has no length.
    NoLength,
    /// A piece of this length is longer than every stock.
    TooLong(u32),
    /// So many pieces are more than are cut in one go.
    TooMany(u64),
}

impl fmt::Display for CutTrouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoStock => write!(f, "no stock length is given"),
            Self::NoLength => write!(f, "a piece or a stock has no length"),
            Self::TooLong(length) => write!(f, "a piece of {length} steps is longer than every stock"),
            Self::TooMany(count) => {
                write!(f, "{count} pieces are more than the {MOST_PIECES} of one cutting")
            }
        }
    }
}

impl CutPlan {
    /// How much more is bought than the bound, as a share of the bound.
    #[must_use]
    pub fn gap(&self) -> f64 {
        if self.bound == 0 { 0.0 } else { (self.bought - self.bound) as f64 / self.bound as f64 }
    }

    /// All pieces together, steps.
    #[must_use]
    pub fn used(&self) -> u64 {
        self.sticks.iter().flat_map(|stick| &stick.cuts).map(|cut| u64::from(*cut)).sum()
    }

    /// What is bought and does not end in a piece, steps; sawdust included.
    #[must_use]
    pub fn waste(&self) -> u64 {
        self.bought - self.used()
    }
}

/// Cuts pieces from stock so that the least length is bought.
///
/// The bound is that of the pattern relaxation [@gilmore-gomory-1961], rounded up to what stock lengths add up to; the cutting is the
/// best of first fit decreasing, of the relaxation rounded, and of a search that fills one length after the other
/// [@korf-2002]. Refused for pieces that no stock holds.
///
/// ```
/// # use pour::takeoff::cut::{CutInput, NODES, Piece, Proof, cut};
/// // Five bars of 8 ft and five of 12 ft out of 20 ft: five bars, nothing left.
/// let pieces = [Piece { length: 8, count: 5 }, Piece { length: 12, count: 5 }];
/// let plan = cut(&CutInput { pieces: &pieces, stock: &[20], kerf: 0, nodes: NODES }).unwrap();
/// assert_eq!((plan.sticks.len(), plan.waste(), plan.proof), (5, 0, Proof::Least));
/// ```
///
/// # Errors
/// As [`CutTrouble`] tells.
pub fn cut(input: &CutInput<'_>) -> Result<CutPlan, CutTrouble> {
    let task = Task::of(input)?;
    let (alone, task) = task.without_loners();
    let found = best(&task, input.nodes);
    let fixed: u64 = alone.iter().map(|stick| u64::from(stick.stock)).sum();
    let mut sticks = alone;
    sticks.extend(found.patterns.iter().map(|pattern| task.stick(pattern)));
    for stick in &mut sticks {
        let scale = task.scale;
        stick.stock *= scale;
        stick.cuts.iter_mut().for_each(|length| *length *= scale);
        // A cut at the very end of the stock takes nothing away.
        let sawn = u64::from(input.kerf) * stick.cuts.len() as u64;
        let used: u64 = stick.cuts.iter().map(|length| u64::from(*length)).sum();
        stick.left = u64::from(stick.stock).saturating_sub(used + sawn) as u32;
    }
    sticks.sort_by(|a, b| b.stock.cmp(&a.stock).then_with(|| b.cuts.cmp(&a.cuts)));
    let scale = u64::from(task.scale);
    Ok(CutPlan {
        sticks,
        bought: (fixed + found.cost) * scale,
        bound: (fixed + found.bound) * scale,
        proof: if found.is_least { Proof::Least } else { Proof::Open },
    })
}

/// How often each kind of piece is cut from one stock.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Pattern {
    /// Index of the stock.
    stock: usize,
    /// Pieces of each kind.
    counts: Vec<u32>,
}

/// The question in the coarsest steps that lose nothing: kinds of pieces from long to short, stock from short to long.
#[derive(Debug, Clone)]
struct Task {
    lengths: Vec<u32>,
    counts: Vec<u32>,
    stock: Vec<u32>,
    kerf: u32,
    scale: u32,
}

/// What was found.
struct Found {
    patterns: Vec<Pattern>,
    cost: u64,
    bound: u64,
    is_least: bool,
}

impl Task {
    fn of(input: &CutInput<'_>) -> Result<Self, CutTrouble> {
        let pieces = || input.pieces.iter().filter(|piece| piece.count > 0);
        let longest = *input.stock.iter().max().ok_or(CutTrouble::NoStock)?;
        if input.stock.contains(&0) || pieces().any(|piece| piece.length == 0) {
            return Err(CutTrouble::NoLength);
        }
        if let Some(piece) = pieces().find(|piece| piece.length > longest) {
            return Err(CutTrouble::TooLong(piece.length));
        }
        let total: u64 = pieces().map(|piece| u64::from(piece.count)).sum();
        if total > MOST_PIECES {
            return Err(CutTrouble::TooMany(total));
        }
        let all = pieces().map(|piece| piece.length).chain(input.stock.iter().copied());
        let scale = all.chain([input.kerf]).fold(0, common);
        let mut kinds: std::collections::BTreeMap<u32, u32> = std::collections::BTreeMap::new();
        for piece in pieces() {
            *kinds.entry(piece.length / scale).or_default() += piece.count;
        }
        let mut stock: Vec<u32> = input.stock.iter().map(|length| length / scale).collect();
        stock.sort_unstable();
        stock.dedup();
        let (lengths, counts) = kinds.into_iter().rev().unzip();
        Ok(Self { lengths, counts, stock, kerf: input.kerf / scale, scale })
    }

    /// What a piece takes with its cut. A stock holds its own length and one cut more, since the last end needs none.
    fn size(&self, kind: usize) -> u64 {
        u64::from(self.lengths[kind]) + u64::from(self.kerf)
    }

    fn room(&self, stock: usize) -> u64 {
        u64::from(self.stock[stock]) + u64::from(self.kerf)
    }

    /// The shortest stock that holds so much.
    fn shortest(&self, size: u64) -> Option<usize> {
        (0..self.stock.len()).find(|stock| self.room(*stock) >= size)
    }

    fn taken(&self, counts: &[u32]) -> u64 {
        counts.iter().enumerate().map(|(kind, count)| u64::from(*count) * self.size(kind)).sum()
    }

    fn cost(&self, patterns: &[Pattern]) -> u64 {
        patterns.iter().map(|pattern| u64::from(self.stock[pattern.stock])).sum()
    }

    /// Sets the pieces aside that share a stock with no other; each takes the shortest stock that holds it.
    fn without_loners(mut self) -> (Vec<Stick>, Self) {
        let mut alone = Vec::new();
        let room = self.room(self.stock.len() - 1);
        while let (Some(least), false) = (self.lengths.last().copied(), self.lengths.is_empty()) {
            let least = u64::from(least) + u64::from(self.kerf);
            let others = self.counts.iter().map(|count| u64::from(*count)).sum::<u64>() > 1;
            if others && self.size(0) + least <= room {
                break;
            }
            let (length, count) = (self.lengths.remove(0), self.counts.remove(0));
            let stock = self.shortest(u64::from(length) + u64::from(self.kerf));
            let stock = stock.map_or(length, |stock| self.stock[stock]);
            alone.extend((0..count).map(|_| Stick { stock, cuts: vec![length], left: 0 }));
        }
        (alone, self)
    }

    fn stick(&self, pattern: &Pattern) -> Stick {
        let runs = pattern.counts.iter().zip(&self.lengths);
        let cuts = runs.flat_map(|(count, length)| std::iter::repeat_n(*length, *count as usize)).collect();
        Stick { stock: self.stock[pattern.stock], cuts, left: 0 }
    }
}

fn best(task: &Task, nodes: u32) -> Found {
    if task.lengths.is_empty() {
        return Found { patterns: Vec::new(), cost: 0, bound: 0, is_least: true };
    }
    let relaxed = bound::relaxed(task);
    let mut patterns = first_fit::first_fit(task);
    let mut cost = task.cost(&patterns);
    let mut is_least = cost <= relaxed.bound;
    if !is_least {
        // The whole part of the relaxation is kept, and the rest is searched.
        let mut rest = task.clone();
        for pattern in &relaxed.whole {
            rest.counts.iter_mut().zip(&pattern.counts).for_each(|(left, taken)| *left -= taken);
        }
        let kept = task.cost(&relaxed.whole);
        let found =
            search::search(&rest, relaxed.bound.saturating_sub(kept), cost - kept.min(cost), nodes / 2);
        if let Some(found) = found.patterns {
            patterns = relaxed.whole.iter().cloned().chain(found).collect();
            cost = task.cost(&patterns);
        }
        is_least = cost <= relaxed.bound;
    }
    if !is_least {
        let found = search::search(task, relaxed.bound, cost, nodes);
        is_least = found.is_whole;
        if let Some(found) = found.patterns {
            patterns = found;
            cost = task.cost(&patterns);
        }
        is_least |= cost <= relaxed.bound;
    }
    let bound = if is_least { cost } else { relaxed.bound };
    Found { patterns, cost, bound, is_least }
}

/// Greatest common divisor.
pub(super) fn common(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { common(b, a % b) }
}

#[cfg(test)]
mod tests;
