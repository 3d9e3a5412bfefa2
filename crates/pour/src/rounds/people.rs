//! Who does what: spans of work shared out among people or machines that are alike.

/// A span of work on a floor, to be done by one person or machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Piece {
    /// Floor; absent for the time after going home, which is near every floor.
    pub floor: Option<usize>,
    pub start: i32,
    pub end: i32,
}

/// The doer of each piece, counted from 0, with as few doers as can be.
///
/// The pieces are a partial order: `b` can follow `a` with the same doer when it starts no earlier than a's end and the hop
/// between their floors. The fewest chains that cover it come from a largest matching of pieces with successors
/// [@fulkerson-1956], here by augmenting paths, latest ends first so that a doer stays where he is when he can.
pub(super) fn share_out(pieces: &[Piece], hop: i32) -> Vec<usize> {
    let follows = |a: &Piece, b: &Piece| {
        let road = match (a.floor, b.floor) {
            (Some(one), Some(other)) if one != other => hop,
            _ => 0,
        };
        a.floor.is_some() && a.end + road <= b.start && a != b
    };
    let mut before: Vec<Option<usize>> = vec![None; pieces.len()];
    let mut after: Vec<Option<usize>> = vec![None; pieces.len()];
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by_key(|index| (pieces[*index].start, pieces[*index].end, *index));
    let candidates: Vec<Vec<usize>> = pieces
        .iter()
        .map(|piece| {
            let mut list: Vec<usize> =
                order.iter().copied().filter(|other| follows(&pieces[*other], piece)).collect();
            list.sort_by_key(|other| (pieces[*other].floor != piece.floor, -pieces[*other].end, *other));
            list
        })
        .collect();
    for piece in &order {
        let mut seen = vec![false; pieces.len()];
        augment(*piece, &candidates, &mut before, &mut after, &mut seen);
    }
    number(&order, &before)
}

fn augment(
    piece: usize,
    candidates: &[Vec<usize>],
    before: &mut [Option<usize>],
    after: &mut [Option<usize>],
    seen: &mut [bool],
) -> bool {
    for other in &candidates[piece] {
        if std::mem::replace(&mut seen[*other], true) {
            continue;
        }
        let free = match after[*other] {
            None => true,
            Some(taken) => augment(taken, candidates, before, after, seen),
        };
        if free {
            after[*other] = Some(piece);
            before[piece] = Some(*other);
            return true;
        }
    }
    false
}

fn number(order: &[usize], before: &[Option<usize>]) -> Vec<usize> {
    let mut doer = vec![0; before.len()];
    let mut doers = 0;
    for piece in order {
        doer[*piece] = match before[*piece] {
            Some(other) => doer[other],
            None => {
                doers += 1;
                doers - 1
            }
        };
    }
    doer
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_people_cover_what_a_hasty_choice_would_give_three() {
        let piece = |floor, start, end| Piece { floor: Some(floor), start, end };
        // The one on floor 0 who ends at 60 must take floor 1 at 85; whoever ends at 70 stays for 75.
        let pieces = [piece(0, 0, 60), piece(0, 0, 70), piece(0, 75, 100), piece(1, 85, 100)];
        let doers = share_out(&pieces, 25);
        assert_eq!(doers.iter().max(), Some(&1));
        assert_eq!(doers[0], doers[3]);
        assert_eq!(doers[1], doers[2]);
    }
}
