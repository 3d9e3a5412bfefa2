//! The usual cautions of the work ahead.

use basis::{Note, Place};

use crate::finish::FinishSpec;

/// Cautions for a finish that ends with sawn joints; local rules and the makers' instructions go before them.
#[must_use]
pub fn cautions(spec: &FinishSpec, place: &Place) -> Vec<Note> {
    let mut notes = vec![
        Note::remark(
            "caution-cement-burns",
            place.clone(),
            "wet concrete burns without hurting at first: waterproof gloves and boots, no kneeling in it, rinse for 15 minutes and see a doctor",
        ),
        Note::remark(
            "caution-silica",
            place.clone(),
            "sawing sets silica dust free: run water or a vacuum made for it, and a respirator where the rules ask (in the US 29 CFR 1926.1153)",
        ),
    ];
    if spec.finish.by_machine() {
        notes.push(Note::remark(
            "caution-carbon-monoxide",
            place.clone(),
            "a gasoline trowel or saw indoors or under a roof kills by carbon monoxide within minutes; open doors are not enough, and heaters without a flue do the same",
        ));
    }
    notes
}
