//! The page of a job that is closed: the floor as built against what was planned.

use basis::quantity::{area, feet_inches, length, slope, thickness};
use basis::{Length, Slope, UnitSystem, Volume};
use ground::asbuilt::Seen;
use ground::flatness::SectionFigure;
use pour::Job;
use pour::asbuilt::{AsBuilt, Figured, Profiles, Top};
use pour::plan::Plan;

use super::words::{chance, count, share, some_area};
use crate::page::{Align, Table, heading, paragraph};

/// The whole page.
pub fn page(job: &Job, plan: &Plan, built: &AsBuilt) -> String {
    let mut text = format!("{}\n", job.name.to_uppercase());
    text += &paragraph(&format!(
        "The floor as built, {}, from {} and {}.",
        area(basis::Area::square_metres(plan.floor.area), job.units),
        count(built.shots.len(), "shot"),
        match built.profiles.as_ref().map_or(0, |p| p.section.lines.len()) {
            1 => "1 line that counts".to_owned(),
            lines => format!("{lines} lines that count"),
        },
    ));
    if let Some(top) = &built.top {
        text += &elevation(job, built, top);
        text += &fall(job, top);
        text += &water(job, top);
    }
    if let Some(profiles) = &built.profiles {
        text += &flatness(job, profiles);
    }
    text + &cautions()
}

/// A small height: `0.12"`, `3.0 mm`.
fn fine(height: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.2}\"", height.in_inches()),
        UnitSystem::Metric => format!("{:.1} mm", height.in_millimetres()),
    }
}

fn elevation(job: &Job, built: &AsBuilt, top: &Top) -> String {
    let told = |l: Length| fine(l, job.units);
    let name = |i: usize| built.shots.get(i).map_or("", |s| s.name.as_str());
    let mut text = String::new();
    if let Some(e) = &top.elevation {
        text += &heading("Elevation");
        let side = if e.mean.mean < Length::ZERO { "below" } else { "above" };
        text += &paragraph(&format!(
            "On the mean {} {side} the design, good to {}; the shots spread by {} about that. {} of {} are more than {} off.",
            told(e.mean.mean.abs()),
            told(e.mean.sd),
            told(e.sd),
            e.beyond,
            count(e.count, "shot"),
            thickness(top.elevation_tolerance, job.units),
        ));
        text += &paragraph(&format!(
            "Highest {}, lowest {} against design.",
            told(e.highest.1),
            told(e.lowest.1)
        ));
    }
    if let Some(t) = &top.thickness {
        text += &heading("Thickness");
        text += &paragraph(&format!(
            "Mean {} ± {} at {}, spread {}; {} is on the drawing. Thinnest: {} ± {} at shot {}.",
            told(t.mean.mean),
            told(t.mean.sd),
            count(t.spots.len(), "spot"),
            told(t.sd),
            thickness(job.slab.nominal, job.units),
            told(t.thinnest.1.mean),
            told(t.thinnest.1.sd),
            name(top.thickness_at.get(t.thinnest.0).copied().unwrap_or(usize::MAX)),
        ));
        text += &paragraph(&format!(
            "Chance that the mean is over 3/8 in. (10 mm) thin: {}. Share of spots over 3/4 in. (19 mm) thin: {}; over 3/8 in. thin: {}.",
            chance(t.mean_under.in_ratio()),
            chance(t.single_under.in_ratio()),
            chance(t.thinner.in_ratio()),
        ));
    }
    text
}

fn fall(job: &Job, top: &Top) -> String {
    let mut text = heading("Fall");
    let told = if top.designed.slope < Slope::percent(0.1) {
        "The design falls no way on the whole: a dish, a crown, or level.".to_owned()
    } else {
        format!(
            "Built {} on the mean, {} the way in which the design falls by {}.",
            slope(top.built.slope, job.units),
            slope(top.along_design(), job.units),
            slope(top.designed.slope, job.units),
        )
    };
    text += &paragraph(&told);
    for door in &top.doors {
        let side = |l: Length| {
            let told = fine(l.abs(), job.units);
            if l < Length::ZERO { format!("{told} above") } else { format!("{told} below") }
        };
        let back = if door.below_inside <= Length::ZERO && door.wanted > Length::ZERO {
            ": water runs in"
        } else {
            ""
        };
        text += &paragraph(&format!(
            "{}: its edge lies {} the floor 2 ft inside, {} by design{back}.",
            door.door,
            side(door.below_inside),
            side(door.wanted),
        ));
    }
    let mut ways: Vec<String> = top
        .drains
        .ways
        .iter()
        .filter(|way| way.1 > 0.005)
        .map(|(to, part)| format!("{} over {to}", share(*part)))
        .collect();
    if top.drains.into_birdbaths > 0.005 {
        ways.push(format!("{} into birdbaths", share(top.drains.into_birdbaths)));
    }
    if top.drains.stands > 0.005 {
        ways.push(format!("{} stands where the floor is level", share(top.drains.stands)));
    }
    text + &paragraph(&format!("Where the water goes, by area: {}.", ways.join(", ")))
}

/// What a birdbath holds: `0.6 gal`, `2.3 l`.
fn water_of(volume: Volume, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.1} gal", volume.in_gallons()),
        UnitSystem::Metric => format!("{:.1} l", volume.in_litres()),
    }
}

fn water(job: &Job, top: &Top) -> String {
    let mut text = heading("Birdbaths");
    let ponding = &top.ponding;
    if ponding.birdbaths.is_empty() {
        text += &paragraph("None of 1/32 in. (1 mm) or more between these shots.");
    } else {
        let mut table = Table::new(&[
            ("", Align::Right),
            ("deepest at", Align::Left),
            ("depth", Align::Right),
            ("area", Align::Right),
            ("holds", Align::Right),
            ("10' edge", Align::Right),
            ("seen", Align::Left),
        ]);
        for (i, (bath, told)) in ponding.birdbaths.iter().zip(&top.told).enumerate() {
            let at = |v: f64| length(Length::metres(v), job.units);
            table.row([
                format!("{}", i + 1),
                format!("{} right, {} up", at(bath.lowest.x), at(bath.lowest.y)),
                fine(bath.depth, job.units),
                some_area(bath.area, job.units),
                water_of(bath.volume, job.units),
                told.find.map_or_else(String::new, |f| fine(f.gap, job.units)),
                match told.seen {
                    Seen::Clearly => "clearly".to_owned(),
                    Seen::ByOneShot => "by one shot".to_owned(),
                    Seen::LikeNoise => "like noise".to_owned(),
                },
            ]);
        }
        text += &table.print();
        let more = ponding.birdbaths.len() - top.told.len();
        if more > 0 {
            text += &paragraph(&format!("And {more} more that hold less."));
        }
    }
    text + &paragraph(&format!(
        "Shots this far apart, each good to {}, find a dip wherever it lies from {} across and {} deep; smaller ones may be missed, shallower ones may be \
         noise. No way of finishing leaves a floor without any.",
        fine(top.noise, job.units),
        length(top.least_dip.width, job.units),
        fine(top.least_dip.depth, job.units),
    ))
}

/// A number of flatness: without decimals where they say nothing.
fn number(value: f64) -> String {
    match value {
        v if !v.is_finite() || v > 999.0 => "over 999".to_owned(),
        v => format!("{v:.1}"),
    }
}

fn flatness(job: &Job, profiles: &Profiles) -> String {
    let mut text = heading("Flatness and levelness");
    text += &paragraph(match profiles.figured {
        Figured::AsRead => "By the procedure of ASTM E1155, from the elevations as read.",
        Figured::FromDesign => {
            "By the procedure of ASTM E1155, from the distance to the design: this floor is meant to fall, and levelness says nothing of a slope."
        }
    });
    let mut table = Table::new(&[
        ("", Align::Left),
        ("number", Align::Right),
        ("9 times in 10", Align::Right),
        ("readings", Align::Right),
        ("instrument's ceiling", Align::Right),
        ("noise", Align::Right),
    ]);
    let mut row = |what: &str, f: &SectionFigure| {
        table.row([
            what.to_owned(),
            number(f.number),
            format!("{} to {}", number(f.range.low), number(f.range.high)),
            f.readings.to_string(),
            if f.ceiling.is_finite() { number(f.ceiling) } else { "unknown".to_owned() },
            share(f.noise_share.min(1.0)),
        ]);
    };
    row("flatness F_F", &profiles.section.flatness);
    row("levelness F_L", &profiles.section.levelness);
    text += &table.print();
    let named = |name: Option<&str>| name.map_or("none".to_owned(), str::to_owned);
    let gap = profiles.gaps.first().map_or("no line is 10 ft long".to_owned(), |g| {
        format!("widest gap under 10 ft {} on line {}", fine(g.gap, job.units), g.line)
    });
    text += &paragraph(&format!(
        "{} of {} readings over ten spaces that the area needs. Straightedge: {gap}.",
        profiles.section.levelness.readings, profiles.section.needed,
    ));
    text += &paragraph(&format!(
        "Classes met: ACI 117 by numbers {}, by gap {}; BS 8204 {}; DIN 18202 row {}. Which one counts is for the contract to say.",
        named(profiles.aci.map(|c| c.name)),
        named(profiles.aci_gap.map(|c| c.name)),
        named(profiles.bs.map(|c| c.name)),
        profiles.din.map_or("not asked of a floor that falls, or none".to_owned(), |r| r.row.to_string()),
    ));
    let mut lines = Table::new(&[
        ("line", Align::Left),
        ("F_F", Align::Right),
        ("F_L", Align::Right),
        ("gap, 10 ft", Align::Right),
    ]);
    for line in &profiles.section.lines {
        let gap = profiles.gaps.iter().find(|g| g.line == line.name);
        let gap = gap.map_or_else(String::new, |g| feet_or_mm(g.gap, job.units));
        lines.row([line.name.clone(), number(line.flatness), number(line.levelness), gap]);
    }
    text + &lines.print()
}

fn feet_or_mm(gap: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => feet_inches(gap, 16),
        UnitSystem::Metric => fine(gap, units),
    }
}

fn cautions() -> String {
    heading("Take care")
        + &paragraph(
            "Tolerances shown are those of the standards named; the contract and local codes say which count. Where water must not come in, or a slab carries \
             load, licensed practice decides.",
        )
}
