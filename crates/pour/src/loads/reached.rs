//! What the plan says has come, for a pour whose tickets nobody has added up.

use basis::{Estimate, Origin, Volume};

use super::LoadLine;

/// The loads that the placed line has reached, and what the plan leaves in the last of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Reached {
    /// The loads begun, in order.
    pub loads: Vec<Volume>,
    /// What is still in the drum of the last one; its spread is the whole load.
    pub in_drum: Estimate<Volume>,
}

/// The planned loads whose start the line has passed, with what the last still holds.
///
/// All but the last are empty. The last holds the share of it that the plan has beyond the line; its spread is one load,
/// because how far a load went is just what tickets would have said. With so wide a spread the pour teaches nothing
/// about the allowance, and the rest of the drum follows from what the forms behind the line hold.
/// `placed` is the volume inside the forms behind the line. Nothing placed: nothing has come.
#[must_use]
pub fn reached_loads(lines: &[LoadLine], placed: Volume) -> Reached {
    let mut before = Volume::ZERO;
    let mut begun = 0;
    while begun < lines.len() && before < placed {
        before = lines[begun].covered;
        begun += 1;
    }
    let loads: Vec<Volume> = lines[..begun].iter().map(|line| line.size).collect();
    let Some(open) = lines[..begun].last() else {
        let nothing = Estimate::new(Volume::ZERO, Volume::ZERO, Origin::Assumed);
        return Reached { loads, in_drum: nothing };
    };
    let whole = open.covers + open.over;
    let beyond = open.covered + open.over - placed;
    let share = if whole > Volume::ZERO { (beyond / whole).clamp(0.0, 1.0) } else { 1.0 };
    Reached { loads, in_drum: Estimate::new(open.size * share, open.size, Origin::Assumed) }
}
