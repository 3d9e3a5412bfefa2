use proptest::prelude::*;

use super::*;

fn pieces(all: &[(u32, u32)]) -> Vec<Piece> {
    all.iter().map(|&(length, count)| Piece { length, count }).collect()
}

fn plan(all: &[(u32, u32)], stock: &[u32], kerf: u32) -> CutPlan {
    cut(&CutInput { pieces: &pieces(all), stock, kerf, nodes: NODES }).expect("the pieces can be cut")
}

/// Rolls of 5600 mm and thirteen widths, 219 pieces in all: 73 rolls are the least (the worked example that goes round with the
/// cutting stock problem in textbooks and encyclopaedias, from memory; OR-tools agrees in the reference tests).
#[test]
fn the_textbook_rolls_take_seventy_three() {
    let widths = [1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200];
    let counts = [22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20];
    let all: Vec<(u32, u32)> = widths.into_iter().zip(counts).collect();
    let plan = plan(&all, &[5600], 0);
    assert_eq!((plan.bought, plan.bound, plan.proof), (73 * 5600, 73 * 5600, Proof::Least));
}

/// By hand: 20 ft holds 12 + 8, 14 + 6 and twice 10. Nothing is left over.
#[test]
fn pieces_that_fill_the_stock_leave_nothing() {
    let plan = plan(&[(12, 3), (8, 3), (14, 2), (6, 2), (10, 4)], &[20], 0);
    assert_eq!((plan.bought, plan.waste(), plan.proof), (7 * 20, 0, Proof::Least));
}

/// First fit decreasing takes three sticks of 10 for 4 4 3 3 3 3, two hold them: 4 3 3 twice.
#[test]
fn better_than_first_fit() {
    let plan = plan(&[(4, 2), (3, 4)], &[10], 0);
    assert_eq!((plan.sticks.len(), plan.proof), (2, Proof::Least));
    assert_eq!(plan.sticks[0].cuts, [4, 3, 3]);
}

/// A side of 26 ft of boards is 16 and 10, not 16 and 12: the shortest stock that does.
#[test]
fn several_stock_lengths_buy_the_least_length() {
    let plan = plan(&[(16, 1), (10, 1)], &[8, 10, 12, 14, 16], 0);
    assert_eq!(plan.bought, 26);
    let shared = super::cut(&CutInput {
        pieces: &pieces(&[(5, 2), (3, 2)]),
        stock: &[8, 10, 12, 14, 16],
        kerf: 0,
        nodes: NODES,
    });
    assert_eq!(shared.map(|plan| plan.bought), Ok(16));
}

/// Two pieces of 10 ft do not come out of 20 ft with a cut between them; 9 ft 11 in. do, and the last cut may be the end.
#[test]
fn the_saw_takes_its_part() {
    assert_eq!(plan(&[(120, 2)], &[240], 1).sticks.len(), 2);
    let close = plan(&[(119, 2)], &[240], 1);
    assert_eq!((close.sticks.len(), close.sticks[0].left), (1, 0));
}

#[test]
fn what_cannot_be_cut_is_said() {
    let told = |all: &[(u32, u32)], stock: &[u32]| {
        cut(&CutInput { pieces: &pieces(all), stock, kerf: 0, nodes: NODES })
    };
    assert_eq!(told(&[(5, 1)], &[]), Err(CutTrouble::NoStock));
    assert_eq!(told(&[(5, 1)], &[0]), Err(CutTrouble::NoLength));
    assert_eq!(told(&[(0, 1)], &[5]), Err(CutTrouble::NoLength));
    assert_eq!(told(&[(7, 1)], &[5, 6]), Err(CutTrouble::TooLong(7)));
    assert_eq!(told(&[(5, 20_001)], &[5]), Err(CutTrouble::TooMany(20_001)));
    assert_eq!(told(&[(7, 0)], &[5]).map(|plan| plan.bought), Ok(0));
}

proptest! {
    /// Every piece is cut, no stick is overfull, what is bought lies at or over the bound, and first fit is never better.
    #[test]
    fn all_is_cut_and_nothing_is_overfull(
        all in prop::collection::vec((20_u32..=240, 1_u32..6), 1..12),
        more in prop::collection::vec(100_u32..240, 0..3),
        kerf in 0_u32..2,
    ) {
        let stock: Vec<u32> = more.into_iter().chain([240]).collect();
        let plan = cut(&CutInput { pieces: &pieces(&all), stock: &stock, kerf, nodes: 500 }).expect("all fit");
        let mut wanted: Vec<u32> = all.iter().flat_map(|&(l, n)| std::iter::repeat_n(l, n as usize)).collect();
        let mut got: Vec<u32> = plan.sticks.iter().flat_map(|s| s.cuts.clone()).collect();
        wanted.sort_unstable();
        got.sort_unstable();
        prop_assert_eq!(&wanted, &got);
        for stick in &plan.sticks {
            prop_assert!(stock.contains(&stick.stock));
            let sawn = kerf * (stick.cuts.len() as u32 - 1);
            prop_assert!(stick.cuts.iter().sum::<u32>() + sawn <= stick.stock);
        }
        prop_assert_eq!(plan.bought, plan.sticks.iter().map(|s| u64::from(s.stock)).sum::<u64>());
        prop_assert!(plan.bound <= plan.bought && plan.used() <= plan.bound);
        prop_assert_eq!(plan.proof == Proof::Least, plan.gap() == 0.0);
        let input = CutInput { pieces: &pieces(&all), stock: &stock, kerf, nodes: 0 };
        let task = Task::of(&input).expect("all fit");
        let fit = first_fit::first_fit(&task);
        prop_assert!(plan.bought <= task.cost(&fit) * u64::from(task.scale));
    }
}
