//! The choice between entrained air and a hard trowel, which the customer signs.

use basis::Share;
use clock::finish::Finish;
use clock::mix::Air;
use pour::Job;
use serde_json::json;

use super::facts::Facts;
use super::{Document, DocumentOptions, joined, sheet};

/// More entrained air than this and a machine trowel do not go together [@aci-302].
const MOST_UNDER_A_TROWEL: Share = Share::percent(3.0);

/// Whether the job asks for both.
pub(super) fn is_needed(job: &Job) -> bool {
    let trowelled = matches!(job.finishing.finish, Some(Finish::Trowel { .. } | Finish::HardTrowel { .. }));
    let air = job.mix.as_ref().map(|ordered| ordered.mix.air);
    trowelled && matches!(air, Some(Air::Entrained(air)) if air.in_ratio() > MOST_UNDER_A_TROWEL.in_ratio())
}

/// The sheet to sign; nothing when the job does not ask for both.
pub(super) fn document(facts: &Facts<'_>, options: &DocumentOptions) -> Option<Document> {
    if !is_needed(facts.job) {
        return None;
    }
    let air = facts.job.mix.as_ref().and_then(|ordered| match ordered.mix.air {
        Air::Entrained(air) => Some(basis::quantity::share(air)),
        Air::Entrapped => None,
    });
    let choices = ["air-keep", "air-leave", "air-both"].map(|word| facts.words.say(word).json());
    let data = joined(sheet(facts, options, "title-choice"), json!({"air": air, "choices": choices}));
    Some(super::document(
        "finish-choice",
        "finish-choice.typ",
        include_str!("../../templates/finish-choice.typ"),
        data,
    ))
}
