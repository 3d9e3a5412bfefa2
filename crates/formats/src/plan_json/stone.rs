//! Working the base over: stone against concrete, in the report.

use ground::advice::Patch;
use ground::thickness::BaseWork;
use pour::stone::{Exchange, StoneAdvice};
use serde_json::Value;

use super::part::Part;
use super::units::{self, or_null, refer};

pub(super) fn stone() -> Part<StoneAdvice> {
    Part::<StoneAdvice>::new("What working the base over would save or cost, stone against concrete.")
        .quantity("step", "Raise of the whole base; over nominal by more is deep.", |s| s.step)
        .part("base", "The base against design grade.", base_work(), |s| &s.patches.whole)
        .part("fill_low", "Filling every low place.", exchange(), |s| &s.fill_low)
        .part("cut_high", "Cutting every high place; no stone is brought.", exchange(), |s| &s.cut_high)
        .part("raise_all", "Raising the whole base by a step.", exchange(), |s| &s.raise_all)
        .list("thin", "Patches under the least thickness, the largest volume first.", patch(), |s| {
            &s.patches.thin
        })
        .list("deep", "Patches over nominal and a step, the largest volume first.", patch(), |s| {
            &s.patches.deep
        })
}

fn exchange() -> Part<Exchange> {
    let money = || or_null(&refer("money"));
    Part::<Exchange>::new("Stone for as much concrete.")
        .quantity("compacted", "Volume as it lies.", |e| e.compacted)
        .maybe("loose", "As it comes on a truck; null without a stated bulking.", |e| e.loose)
        .any("stone", "Cost of the loose stone; null when not known.", money(), |e, c| {
            units::money(e.stone, c.job)
        })
        .any(
            "concrete",
            "Cost of as much concrete by the mix alone; null when not known.",
            money(),
            |e, c| units::money(e.concrete, c.job),
        )
}

fn patch() -> Part<Patch> {
    Part::<Patch>::new("A connected part of the floor where the base is off.")
        .point("centre", "Its centre of area.", |p| p.centre)
        .quantity("area", "Its size.", |p| p.area)
        .quantity("mean", "How far the base is off design grade on average.", |p| p.mean)
        .point("worst_at", "Where it is farthest off.", |p| p.worst_at)
        .quantity("worst", "How far it is off there.", |p| p.worst)
        .quantity("volume", "To cut or fill to design grade.", |p| p.volume)
}

fn base_work() -> Part<BaseWork> {
    Part::<BaseWork>::new("The base against the drawing.")
        .quantity("high", "Volume to cut.", |w| w.high)
        .quantity("low", "Volume to fill, compacted.", |w| w.low)
        .quantity("high_area", "Where it is high.", |w| w.high_area)
        .quantity("low_area", "Where it is low.", |w| w.low_area)
        .any("deepest_at", "The worst low place; null when none is low.", or_null(&refer("point")), |w, _| {
            w.deepest.map_or(Value::Null, |(at, _)| units::point(at))
        })
        .maybe("deepest", "How low it is there.", |w| w.deepest.map(|(_, low)| low))
}
