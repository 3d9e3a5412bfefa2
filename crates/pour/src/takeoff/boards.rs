//! Form boards and stakes along the free edges.

use basis::quantity::thickness;
use basis::{Length, UnitSystem};
use ground::outline::{EdgeKind, Floor};

use super::layout::{steps_down, steps_up};
use super::{Taker, whole};
use crate::bays::edge_name;
use crate::unit::{Amount, Goods};

/// Lumber by the name under which it is sold and its height [@ps-20].
const LUMBER: [(&str, Length); 5] = [
    ("2x4", Length::inches(3.5)),
    ("2x6", Length::inches(5.5)),
    ("2x8", Length::inches(7.25)),
    ("2x10", Length::inches(9.25)),
    ("2x12", Length::inches(11.25)),
];

/// The lowest board that stands as high as the slab is thick [@ps-20]; nothing for a slab over 11-1/4 in.
///
/// ```
/// # use basis::Length; use pour::takeoff::board_for;
/// // A 2x4 is 3-1/2 in. high, so a slab of 4 in. takes a 2x6.
/// assert_eq!(board_for(Length::inches(4.0)), Some(("2x6", Length::inches(5.5))));
/// ```
#[must_use]
pub fn board_for(slab: Length) -> Option<(&'static str, Length)> {
    LUMBER.into_iter().find(|(_, high)| *high + Length::millimetres(0.01) >= slab)
}

/// Edges that stand against forms: name and length, each as often as it stands apart.
pub(super) fn sides(floor: &Floor) -> Vec<(String, Length)> {
    let mut all: Vec<(usize, Length)> = Vec::new();
    for segment in floor.segments.iter().filter(|segment| segment.kind == EdgeKind::Free) {
        let long = Length::metres(segment.a.distance(segment.b));
        match all.last_mut() {
            Some((edge, sum)) if *edge == segment.edge => *sum += long,
            _ => all.push((segment.edge, long)),
        }
    }
    all.into_iter().map(|(edge, long)| (edge_name(floor, edge), long)).collect()
}

impl Taker<'_> {
    /// Boards butted along each side, and stakes: at both ends, at every butt, and between.
    pub(super) fn forms(&mut self) {
        let job = self.input.job;
        let sides = sides(&self.input.plan.floor);
        if sides.is_empty() {
            return;
        }
        let (stock, kerf, apart) = self.settler.boards(job);
        let longest = stock.iter().copied().fold(Length::ZERO, Length::max);
        let total: Length = sides.iter().map(|side| side.1).sum();
        if total / longest > 2e3 || total / apart > 1e6 {
            let place = basis::Place::at("takeoff.boards");
            let message = "the edges would take thousands of boards or stakes";
            self.notes.push(basis::Note::fault(
                "too-many-pieces",
                place,
                message,
                "check the size and its unit",
            ));
            return;
        }
        let step = if self.is_us() { Length::inches(0.125) } else { Length::millimetres(1.0) };
        let sold: Vec<u32> = stock.iter().map(|length| steps_down(*length, step)).collect();
        let runs: Vec<Vec<u32>> =
            sides.iter().map(|side| butted(steps_up(side.1.in_metres(), step), &sold)).collect();
        let pieces: Vec<Length> = runs.iter().flatten().map(|steps| step * f64::from(*steps)).collect();
        let between = |side: &(String, Length)| (side.1 / apart - 1e-6).ceil().max(1.0) as usize;
        let stakes: usize = sides.iter().zip(&runs).map(|(side, run)| between(side) + run.len().max(1)).sum();
        let what = match board_for(job.slab.nominal) {
            Some((name, high)) if self.units() == UnitSystem::Us => {
                format!("form boards {name}, {} high", thickness(high, self.units()))
            }
            _ => format!("form boards, {} high or more", thickness(job.slab.nominal, self.units())),
        };
        let Some(list) = self.cut((5, "takeoff.boards"), &what, (&pieces, &stock, kerf), step) else {
            return;
        };
        let bought = list.length(list.plan.bought);
        let goods =
            Goods { count: Some(whole(list.plan.sticks.len())), length: Some(bought), ..Goods::default() };
        self.cuts.push(list);
        self.add(5, what, Amount::Length(total), Amount::Goods(goods));
        let stakes = Amount::Count(whole(stakes));
        let told = format!("stakes, {} apart and at every butt", self.told(apart));
        self.add(6, told, stakes, stakes);
    }
}

/// A side as boards that butt, in steps: those whose lengths add up to the side with least over, of these the fewest; the last is
/// cut. Long sides begin with the longest boards.
fn butted(side: u32, stock: &[u32]) -> Vec<u32> {
    let longest = stock.iter().copied().max().unwrap_or(0);
    if longest == 0 {
        return Vec::new();
    }
    // Only the last two or three boards can be chosen; before them the longest butt.
    let before = (side / longest).saturating_sub(2);
    let rest = side - before * longest;
    let shared = stock.iter().copied().fold(0, super::cut::common).max(1);
    let need = rest.div_ceil(shared) as usize;
    let reach = need + (longest / shared) as usize;
    // Fewest boards for each sum, with the shorter of the last.
    let mut fewest: Vec<Option<(u32, u32)>> = vec![None; reach + 1];
    fewest[0] = Some((0, 0));
    for sum in 1..=reach {
        for board in stock.iter().filter(|board| (**board / shared) as usize <= sum) {
            let Some((count, _)) = fewest[sum - (*board / shared) as usize] else { continue };
            if fewest[sum].is_none_or(|known| count + 1 < known.0) {
                fewest[sum] = Some((count + 1, *board));
            }
        }
    }
    let Some(mut sum) = (need..=reach).find(|sum| fewest[*sum].is_some()) else { return vec![side] };
    let mut over = (sum as u32 * shared).saturating_sub(rest);
    let mut boards = vec![longest; before as usize];
    while let Some((_, board)) = fewest[sum].filter(|known| known.0 > 0) {
        boards.push(board);
        sum -= (board / shared) as usize;
    }
    // What is over is cut off the end, off more than one board where the last is shorter than that.
    while let Some(last) = boards.last_mut().filter(|_| over > 0) {
        let cut = over.min(*last);
        *last -= cut;
        over -= cut;
        if *last == 0 {
            boards.pop();
        }
    }
    boards
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// In feet, boards of 8 to 16: 18 is 8 and 10 rather than 16 and a stub of 2; 26 is 10 and 16; 28 needs two.
    #[test]
    fn sides_take_whole_boards_where_they_add_up() {
        let feet = |side: u32| {
            let mut boards = butted(side, &[8, 10, 12, 14, 16]);
            boards.sort_unstable();
            boards
        };
        assert_eq!(feet(18), [8, 10]);
        assert_eq!(feet(26).iter().sum::<u32>(), 26);
        assert_eq!((feet(26).len(), feet(28).len(), feet(40).len()), (2, 2, 3));
        assert_eq!(feet(3), [3]);
        assert_eq!(butted(5, &[]), Vec::<u32>::new());
    }

    proptest! {
        /// The boards add up to the side, and each can be cut from what is sold.
        #[test]
        fn boards_add_up(side in 1_u32..4000, stock in prop::collection::vec(20_u32..200, 1..5)) {
            let boards = butted(side, &stock);
            prop_assert_eq!(boards.iter().sum::<u32>(), side);
            let longest = stock.iter().copied().max().unwrap_or(0);
            prop_assert!(boards.iter().all(|board| *board > 0 && *board <= longest));
            prop_assert!(boards.len() as u32 <= side.div_ceil(longest) + 2 * (longest / 20 + 1));
        }
    }
}
