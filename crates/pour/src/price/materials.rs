//! Materials by the floor: what area, edges and joints say is bought, without laps, offcuts and waste.

use basis::{Area, Length, Note, Place, Volume};

use super::fill::Needed;
use super::unit::Amount;
use crate::job::{Cure, Job, Sheet};
use crate::joints::JointPlan;
use crate::plan::Plan;

/// Floor that a gallon of curing compound covers, two coats together: 200 ft² [@cure-cover].
pub const COVER: Area = Area::square_feet(200.0);

/// The items that are told, in the order of the sheet: the words by which a rate book prices them.
pub const ITEMS: [&str; 6] = ["stone", "poly", "form board", "isolation strip", "dowel", "curing compound"];

/// Materials but concrete, as far as the job says that they are used.
#[must_use]
pub(super) fn materials(
    job: &Job,
    plan: &Plan,
    joints: &JointPlan,
    forms: Length,
    notes: &mut Vec<Note>,
) -> Vec<Needed> {
    let area = Area::square_metres(plan.floor.area);
    let mut all = Vec::new();
    let mut add = |index: usize, what: &str, amount: Amount, is_there: bool| {
        if is_there {
            all.push(Needed { item: ITEMS[index].to_owned(), what: what.to_owned(), amount });
        }
    };
    let stone = job.bed.stone.map_or(Volume::ZERO, |depth| area * depth);
    let loose = job.base.loose_per_compacted;
    let what = if loose.is_some() { "stone, loose" } else { "stone, as compacted" };
    if stone > Volume::ZERO && loose.is_none() {
        notes.push(Note::warning(
            "stone-as-compacted",
            Place::at("base.bulking"),
            "how much stone shrinks under the plate is not stated: it is priced as compacted, which is too little",
            "state the bulking",
        ));
    }
    add(0, what, Amount::Volume(stone * loose.unwrap_or(1.0)), stone > Volume::ZERO);
    add(1, "poly, floor without laps", Amount::Area(area), job.bed.sheet == Some(Sheet::UnderSlab));
    add(2, "form boards, edges without laps", Amount::Length(forms), forms > Length::ZERO);
    let strips = joints.strips.iter().map(|strip| strip.length).fold(Length::ZERO, |a, b| a + b);
    add(3, "isolation strip", Amount::Length(strips), strips > Length::ZERO);
    let dowels =
        joints.dowels.as_ref().map_or(0, |dowels| u32::try_from(dowels.places.len()).unwrap_or(u32::MAX));
    add(4, "dowels to the slab that is there", Amount::Count(dowels), dowels > 0);
    let compound = Volume::gallons(area / COVER);
    add(5, "curing compound", Amount::Volume(compound), job.finishing.cure == Some(Cure::Compound));
    all
}
