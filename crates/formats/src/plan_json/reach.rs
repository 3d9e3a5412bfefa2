//! What the chutes reach, in the report.

use basis::Area;
use pour::reach::{AddedChute, Amount, BayReach, Beyond, Carried, ChuteSet, Reach, StandReach};

use super::part::Part;

const REASONS: &[&str] = &["too-far", "too-flat", "too-far-and-flat", "outside-swing"];

fn amount() -> Part<Amount> {
    Part::<Amount>::new("A part of the floor.").quantity("area", "Area.", |a| a.area).quantity(
        "volume",
        "Volume in the forms.",
        |a| a.volume,
    )
}

pub(super) fn reach() -> Part<Reach> {
    let chutes = Part::<ChuteSet>::new("A set of chutes.")
        .quantities("extensions", "The extensions.", |c| &c.extensions)
        .quantity("reach", "In plan from the stand.", |c| c.reach);
    let reason = Part::<(Beyond, Amount)>::new("What is out of reach for one reason.")
        .word("reason", "Why.", REASONS, |r| match r.0 {
            Beyond::TooFar => "too-far",
            Beyond::TooFlat => "too-flat",
            Beyond::TooFarAndFlat => "too-far-and-flat",
            Beyond::OutsideSwing => "outside-swing",
        })
        .part("amount", "How much.", amount(), |r| &r.1);
    let added = Part::<AddedChute>::new("A longer chute.")
        .quantity("length", "To add to all chutes at hand.", |a| a.length)
        .part("gains", "What it reaches in addition.", amount(), |a| &a.gains);
    let carried = Part::<Carried>::new("Carried by hand or buggy.")
        .text("by", "By what.", |c| c.by.clone())
        .maybe_count("loads", "How many the forms take.", |c| Some(c.loads));
    Part::<Reach>::new("What the chutes reach.")
        .list("chutes", "In order of reach, the truck's own first.", chutes, |r| &r.chutes)
        .list("stands", "In the order of the job.", stand(), |r| &r.stands)
        .list("bays", "One a bay.", bay(), |r| &r.bays)
        .part("whole", "The whole floor.", amount(), |r| &r.whole)
        .part("beyond", "Not reached.", amount(), |r| &r.beyond)
        .list("reasons", "The same by reason.", reason, |r| &r.reasons)
        .maybe_part("added", "Would reach all that is only too far.", added, |r| r.added.as_ref())
        .maybe("raise", "How much higher the stands would have to be.", |r| r.raise)
        .maybe_part("carried", "For all that is not reached.", carried, |r| r.carried.as_ref())
}

fn stand() -> Part<StandReach> {
    Part::<StandReach>::new("A stand of the truck.")
        .text("name", "Its name.", |s| s.name.clone())
        .maybe("discharge", "Elevation of the chute's hinge end; null when not shot.", |s| s.discharge)
        .quantities("areas", "Floor reached by each set of chutes.", |s| &s.areas)
        .maybe("flattest", "Least fall of a chute; null without an elevation.", |s| s.flattest)
}

fn bay() -> Part<BayReach> {
    let from = Part::<(usize, usize, Area)>::new("What one stand reaches of the bay.")
        .count("stand", "Index of the stand, from 0.", |f| f.0)
        .count("chutes", "Index of the shortest set of chutes that does, from 0.", |f| f.1)
        .quantity("area", "How much.", |f| f.2);
    Part::<BayReach>::new("A bay.")
        .count("bay", "Its number.", |b| b.bay)
        .part("whole", "All of it.", amount(), |b| &b.whole)
        .part("beyond", "What no chute reaches.", amount(), |b| &b.beyond)
        .list("from", "By stand.", from, |b| &b.from)
}
