//! Cutting pieces of mesh or poly out of sheets and rolls: straight cuts from side to side, offcuts used again.
//!
//! Method and limits: `docs/methods/takeoff.md`. Sizes are whole steps of a tape: across, then along.

use super::cut::{CutInput, CutTrouble, NODES, Piece, Proof, cut};

/// What is cut from what.
#[derive(Debug, Clone, Copy)]
pub struct NestInput<'a> {
    /// The pieces; each may be turned.
    pub pieces: &'a [[u32; 2]],
    /// The sheet or roll.
    pub sheet: [u32; 2],
}

/// A piece in its sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Index of the piece.
    pub piece: usize,
    /// Its corner from the sheet's corner.
    pub at: [u32; 2],
    /// Its size as it lies in the sheet.
    pub size: [u32; 2],
}

/// A rectangle of a sheet that is left over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offcut {
    /// Its corner from the sheet's corner.
    pub at: [u32; 2],
    /// Its size.
    pub size: [u32; 2],
}

/// A sheet with what is cut from it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Nested {
    /// The pieces.
    pub placed: Vec<Placed>,
    /// What is left.
    pub offcuts: Vec<Offcut>,
}

/// A cutting of sheets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NestPlan {
    /// The sheets.
    pub sheets: Vec<Nested>,
    /// No cutting takes fewer sheets.
    pub bound: usize,
    /// Whether the sheets are as few as can be.
    pub proof: Proof,
}

/// In which order pieces are placed.
const ORDERS: [fn(&[u32; 2]) -> u64; 4] = [
    |s| u64::from(s[0]) * u64::from(s[1]),
    |s| u64::from(s[0].max(s[1])) << 32 | u64::from(s[0].min(s[1])),
    |s| u64::from(s[0].min(s[1])) << 32 | u64::from(s[0].max(s[1])),
    |s| u64::from(s[0]) + u64::from(s[1]),
];

/// Which offcut takes a piece: least area left, or the closest side.
const FITS: [fn(&[u32; 2]) -> u64; 2] =
    [|left| u64::from(left[0].min(left[1])), |left| u64::from(left[0].max(left[1]))];

/// How an offcut is split beside a piece.
#[derive(Debug, Clone, Copy)]
enum Split {
    /// The larger rest stays as large as can be.
    KeepLarge,
    /// The cut runs across the sheet.
    Across,
    /// The cut runs along the sheet.
    Along,
}

/// Cuts pieces out of as few sheets as are found.
///
/// Placed by 24 rules one after the other, each piece into the offcut that it fits best, cut from side to side; once from nothing, once
/// with the pieces as wide as the sheet cut first and exactly by [`cut`]. The bound is the larger of the pieces' area over the
/// sheet's and of the sheets that pieces too wide to lie side by side take by their length.
///
/// ```
/// # use pour::takeoff::nest::{NestInput, nest};
/// // Two halves of a 5 by 10 ft sheet, and two strips that come out of a second one.
/// let pieces = [[5, 5], [5, 5], [2, 10], [2, 10]];
/// let plan = nest(&NestInput { pieces: &pieces, sheet: [5, 10] }).unwrap();
/// assert_eq!((plan.sheets.len(), plan.bound), (2, 2));
/// ```
///
/// # Errors
/// As [`CutTrouble`] tells; a piece that no sheet holds either way round is too long.
pub fn nest(input: &NestInput<'_>) -> Result<NestPlan, CutTrouble> {
    check(input)?;
    let [wide, long] = input.sheet;
    let (whole, parts): (Vec<usize>, Vec<usize>) = (0..input.pieces.len())
        .partition(|i| input.pieces[*i] == input.sheet || input.pieces[*i] == [long, wide]);
    let mut best: Option<Vec<Nested>> = None;
    let rolls = by_rolls(input, &parts)?;
    for order in ORDERS {
        let mut sorted = parts.clone();
        sorted.sort_by_key(|i| std::cmp::Reverse(order(&input.pieces[*i])));
        for fit in FITS {
            for split in [Split::KeepLarge, Split::Across, Split::Along] {
                for first in [None, Some(&rolls)] {
                    let sheets = placed(input, &sorted, first, fit, split);
                    if best.as_ref().is_none_or(|best| rank(&sheets) < rank(best)) {
                        best = Some(sheets);
                    }
                }
            }
        }
    }
    let uncut = |piece: &usize| Nested {
        placed: vec![Placed { piece: *piece, at: [0, 0], size: input.sheet }],
        offcuts: Vec::new(),
    };
    let parts: Vec<[u32; 2]> = parts.iter().map(|i| input.pieces[*i]).collect();
    let bound = whole.len() + bound(&parts, input.sheet);
    let sheets: Vec<Nested> = whole.iter().map(uncut).chain(best.unwrap_or_default()).collect();
    let proof = if sheets.len() <= bound { Proof::Least } else { Proof::Open };
    Ok(NestPlan { sheets, bound, proof })
}

/// Fewer sheets are better; of equal ones the larger single offcut.
fn rank(sheets: &[Nested]) -> (usize, u64) {
    let offcuts = sheets.iter().flat_map(|sheet| &sheet.offcuts);
    let largest = offcuts.map(|offcut| u64::from(offcut.size[0]) * u64::from(offcut.size[1])).max();
    (sheets.len(), u64::MAX - largest.unwrap_or(0))
}

fn check(input: &NestInput<'_>) -> Result<(), CutTrouble> {
    if input.sheet.contains(&0) || input.pieces.iter().any(|piece| piece.contains(&0)) {
        return Err(CutTrouble::NoLength);
    }
    if input.pieces.len() > MOST_PIECES {
        return Err(CutTrouble::TooMany(input.pieces.len() as u64));
    }
    let misfit = input.pieces.iter().find(|piece| turns(**piece, input.sheet).next().is_none());
    misfit.map_or(Ok(()), |piece| Err(CutTrouble::TooLong(piece[0].max(piece[1]))))
}

/// Pieces that are nested at most in one go.
const MOST_PIECES: usize = 5_000;

/// The ways round in which a piece fits into a rectangle.
fn turns(piece: [u32; 2], into: [u32; 2]) -> impl Iterator<Item = [u32; 2]> {
    let [a, b] = piece;
    let both = if a == b { vec![[a, b]] } else { vec![[a, b], [b, a]] };
    both.into_iter().filter(move |size| size[0] <= into[0] && size[1] <= into[1])
}

/// Pieces as wide as the sheet, cut exactly along it.
fn by_rolls(input: &NestInput<'_>, parts: &[usize]) -> Result<Vec<Nested>, CutTrouble> {
    let [wide, long] = input.sheet;
    let length =
        |i: usize| turns(input.pieces[i], input.sheet).find(|size| size[0] == wide).map(|size| size[1]);
    let mut waiting: Vec<(usize, u32)> = parts.iter().filter_map(|i| Some((*i, length(*i)?))).collect();
    let pieces: Vec<Piece> = waiting.iter().map(|(_, length)| Piece { length: *length, count: 1 }).collect();
    let plan = cut(&CutInput { pieces: &pieces, stock: &[long], kerf: 0, nodes: NODES })?;
    let mut sheets = Vec::new();
    for stick in &plan.sticks {
        let (mut sheet, mut at) = (Nested::default(), 0);
        for cut in &stick.cuts {
            let Some(found) = waiting.iter().position(|(_, length)| length == cut) else { continue };
            sheet.placed.push(Placed { piece: waiting.remove(found).0, at: [0, at], size: [wide, *cut] });
            at += cut;
        }
        if at < long {
            sheet.offcuts.push(Offcut { at: [0, at], size: [wide, long - at] });
        }
        sheets.push(sheet);
    }
    Ok(sheets)
}

/// Places pieces in order, beginning with sheets that are cut already.
fn placed(
    input: &NestInput<'_>,
    order: &[usize],
    first: Option<&Vec<Nested>>,
    fit: fn(&[u32; 2]) -> u64,
    split: Split,
) -> Vec<Nested> {
    let mut sheets = first.cloned().unwrap_or_default();
    let done: std::collections::BTreeSet<usize> =
        sheets.iter().flat_map(|sheet| &sheet.placed).map(|placed| placed.piece).collect();
    for piece in order.iter().filter(|piece| !done.contains(piece)) {
        let size = input.pieces[*piece];
        let mut best: Option<(u64, usize, usize, [u32; 2])> = None;
        for (s, sheet) in sheets.iter().enumerate() {
            for (o, offcut) in sheet.offcuts.iter().enumerate() {
                for size in turns(size, offcut.size) {
                    let score = fit(&[offcut.size[0] - size[0], offcut.size[1] - size[1]]);
                    if best.is_none_or(|best| score < best.0) {
                        best = Some((score, s, o, size));
                    }
                }
            }
        }
        let (sheet, offcut, size) = match best {
            Some((_, sheet, offcut, size)) => (sheet, offcut, size),
            None => {
                sheets.push(Nested {
                    placed: Vec::new(),
                    offcuts: vec![Offcut { at: [0, 0], size: input.sheet }],
                });
                (sheets.len() - 1, 0, turns(size, input.sheet).next().unwrap_or(size))
            }
        };
        let from = sheets[sheet].offcuts.remove(offcut);
        sheets[sheet].placed.push(Placed { piece: *piece, at: from.at, size });
        sheets[sheet].offcuts.extend(rests(from, size, split));
    }
    sheets
}

/// The two rests of an offcut from whose corner a piece is cut.
fn rests(from: Offcut, size: [u32; 2], split: Split) -> impl Iterator<Item = Offcut> {
    let left = [from.size[0] - size[0], from.size[1] - size[1]];
    let area = |a: u32, b: u32| u64::from(a) * u64::from(b);
    let is_across = match split {
        Split::Across => true,
        Split::Along => false,
        Split::KeepLarge => {
            area(from.size[0], left[1]).max(area(left[0], size[1]))
                >= area(left[0], from.size[1]).max(area(size[0], left[1]))
        }
    };
    let (beside, beyond) = if is_across { (size[1], from.size[0]) } else { (from.size[1], size[0]) };
    let beside = Offcut { at: [from.at[0] + size[0], from.at[1]], size: [left[0], beside] };
    let beyond = Offcut { at: [from.at[0], from.at[1] + size[1]], size: [beyond, left[1]] };
    [beside, beyond].into_iter().filter(|offcut| !offcut.size.contains(&0))
}

/// No cutting of these pieces takes fewer sheets.
fn bound(pieces: &[[u32; 2]], sheet: [u32; 2]) -> usize {
    let area = |s: &[u32; 2]| u64::from(s[0]) * u64::from(s[1]);
    let by_area = pieces.iter().map(area).sum::<u64>().div_ceil(area(&sheet).max(1)) as usize;
    by_area.max(one_way(pieces, sheet, 0)).max(one_way(pieces, sheet, 1))
}

/// Sheets taken by the pieces that cannot lie side by side across a direction, whichever way they are turned.
fn one_way(pieces: &[[u32; 2]], sheet: [u32; 2], across: usize) -> usize {
    let along = 1 - across;
    let lone = |piece: &&[u32; 2]| {
        turns(**piece, sheet).all(|size| 2 * u64::from(size[across]) > u64::from(sheet[across]))
    };
    let length = |piece: &[u32; 2]| turns(*piece, sheet).map(|size| size[along]).min().unwrap_or(0);
    let pieces: Vec<Piece> =
        pieces.iter().filter(lone).map(|piece| Piece { length: length(piece), count: 1 }).collect();
    let stock = [sheet[along]];
    let plan = cut(&CutInput { pieces: &pieces, stock: &stock, kerf: 0, nodes: 0 });
    plan.map_or(0, |plan| (plan.bound / u64::from(stock[0].max(1))) as usize)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sheets(pieces: &[[u32; 2]], sheet: [u32; 2]) -> NestPlan {
        nest(&NestInput { pieces, sheet }).expect("the pieces fit")
    }

    /// By hand, 5 by 10 ft: four pieces of 4 x 6 ft take a sheet each, since no two lie side by side or one behind the other.
    #[test]
    fn pieces_over_half_take_a_sheet_each() {
        let plan = sheets(&[[4, 6]; 4], [5, 10]);
        assert_eq!((plan.sheets.len(), plan.bound, plan.proof), (4, 4, Proof::Least));
    }

    /// A roll of 5 by 150 ft holds seven runs of 20 ft, and four strips of 2 ft across the rest.
    #[test]
    fn a_roll_is_cut_along_and_its_end_across() {
        let mut pieces = vec![[5, 20]; 7];
        pieces.extend([[2, 5]; 4]);
        let plan = sheets(&pieces, [5, 150]);
        assert_eq!((plan.sheets.len(), plan.proof), (1, Proof::Least));
    }

    #[test]
    fn what_does_not_fit_is_said() {
        let told =
            |pieces: &[[u32; 2]], sheet| nest(&NestInput { pieces, sheet }).map(|plan| plan.sheets.len());
        assert_eq!(told(&[[6, 6]], [5, 10]), Err(CutTrouble::TooLong(6)));
        assert_eq!(told(&[[0, 6]], [5, 10]), Err(CutTrouble::NoLength));
        assert_eq!(told(&[[1, 1]], [5, 0]), Err(CutTrouble::NoLength));
        assert_eq!(told(&[], [5, 10]), Ok(0));
        // Turned round it fits.
        assert_eq!(told(&[[10, 5]], [5, 10]), Ok(1));
    }

    proptest! {
        /// Every piece is cut once, inside its sheet; pieces and offcuts of a sheet tile it without overlap; the bound holds.
        #[test]
        fn sheets_are_tiled(
            pieces in prop::collection::vec([1_u32..=60, 1_u32..=120], 0..25),
        ) {
            let plan = sheets(&pieces, [60, 120]);
            let mut seen: Vec<usize> = plan.sheets.iter().flat_map(|s| s.placed.iter().map(|p| p.piece)).collect();
            seen.sort_unstable();
            prop_assert_eq!(seen, (0..pieces.len()).collect::<Vec<_>>());
            for sheet in &plan.sheets {
                let placed = sheet.placed.iter().map(|p| (p.at, p.size));
                let all: Vec<_> = placed.chain(sheet.offcuts.iter().map(|o| (o.at, o.size))).collect();
                let area: u32 = all.iter().map(|(_, s)| s[0] * s[1]).sum();
                prop_assert_eq!(area, 60 * 120);
                for (i, (at, size)) in all.iter().enumerate() {
                    prop_assert!(at[0] + size[0] <= 60 && at[1] + size[1] <= 120);
                    for (other, wide) in &all[i + 1..] {
                        let meet = |d: usize| at[d] < other[d] + wide[d] && other[d] < at[d] + size[d];
                        prop_assert!(!(meet(0) && meet(1)));
                    }
                }
                for p in &sheet.placed {
                    let wanted = pieces[p.piece];
                    prop_assert!(p.size == wanted || p.size == [wanted[1], wanted[0]]);
                }
            }
            prop_assert!(plan.bound <= plan.sheets.len());
        }
    }
}
