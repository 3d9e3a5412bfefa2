//! What lines over the floor say: flatness, levelness, straightedge, classes.

use basis::{Area, Length, Note};
use ground::classes::{DinRow, GapClass, NumberClass, aci_class, din_row, gap_class};
use ground::flatness::{Kept, LineOnFloor, Section, kept_runs, section, wild};
use ground::straightedge::largest_gap;
use ground::{P2, classes};

use super::gather::Gathered;
use crate::plan::Plan;

/// A design that falls no more than this over a run of one is level.
const LEVEL: f64 = 1e-6;

/// From what both numbers are figured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Figured {
    /// From the elevations as read: the floor is meant to be level.
    AsRead,
    /// From their distance to the design: the floor is meant to fall, and levelness says nothing of that.
    FromDesign,
}

/// The widest gap under a straightedge on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct LineGap {
    /// Name of the line.
    pub line: String,
    /// The gap.
    pub gap: Length,
    /// Where it is, m.
    pub at: P2,
    /// The two spots on which the edge rests, m.
    pub rests_on: [P2; 2],
}

/// A reading that does not belong to its line.
#[derive(Debug, Clone, PartialEq)]
pub struct LineWild {
    /// Name of the line.
    pub line: String,
    /// Number of the reading, counted from 1.
    pub reading: usize,
    /// How far it stands above where the line puts it.
    pub off: Length,
    /// Flatness of the area without it: with the reading put where its line has it.
    pub flatness_without: f64,
}

/// What the lines say.
#[derive(Debug, Clone, PartialEq)]
pub struct Profiles {
    /// From what both numbers are figured.
    pub figured: Figured,
    /// Both numbers, with every line's own.
    pub section: Section,
    /// The runs of the lines that count, with the elevations that were figured from.
    pub runs: Vec<Kept>,
    /// The widest gap under 10 ft on each line that is long enough, whole lines, widest first. From the design where the numbers are:
    /// a plane changes no gap, and the valley of a dish is none of the crew's.
    pub gaps: Vec<LineGap>,
    /// The widest gap under 2 m.
    pub gap_two_metres: Option<Length>,
    /// Wild readings, worst first.
    pub wild: Vec<LineWild>,
    /// The class of ACI 117 that both numbers meet.
    pub aci: Option<NumberClass>,
    /// The class of ACI 117 that the gaps meet.
    pub aci_gap: Option<GapClass>,
    /// The class of BS 8204 that the gaps meet.
    pub bs: Option<GapClass>,
    /// The row of DIN 18202 that the lines meet.
    pub din: Option<DinRow>,
}

pub(super) fn profiles(plan: &Plan, gathered: &Gathered, notes: &mut Vec<Note>) -> Option<Profiles> {
    let is_level = plan.design.facets().iter().all(|f| f.plane.gx.abs().max(f.plane.gy.abs()) <= LEVEL);
    let figured = if is_level { Figured::AsRead } else { Figured::FromDesign };
    let lines: Vec<LineOnFloor> = gathered.lines.iter().map(|line| against(line, plan, figured)).collect();
    let mut runs = Vec::new();
    for line in &lines {
        runs.extend(kept_runs(line, &plan.floor, &[], notes));
    }
    let area = Area::square_metres(plan.floor.area);
    let section = section(&runs, area, gathered.line_noise).unload(notes)?;
    let wild = told_wild(&runs, area, gathered.line_noise, notes);
    let gaps = gaps(&lines);
    let two = Length::metres(2.0);
    let gap_two_metres = lines
        .iter()
        .filter_map(|l| largest_gap(&l.elevations, l.spacing.step(), two))
        .map(|g| g.gap)
        .reduce(Length::max);
    let heights: Vec<&[f64]> = lines.iter().map(|l| l.elevations.as_slice()).collect();
    let spacing = lines.first()?.spacing.step();
    Some(Profiles {
        figured,
        aci: aci_class(section.flatness.number, section.levelness.number),
        aci_gap: gaps.first().and_then(|g| gap_class(&classes::ACI_GAPS, g.gap)),
        bs: gap_two_metres.and_then(|gap| gap_class(&classes::BS_GAPS, gap)),
        din: if is_level { din_row(&heights, spacing) } else { None },
        section,
        runs,
        gaps,
        gap_two_metres,
        wild,
    })
}

/// The line as it is figured from; a spot beyond the design has no number and is left out.
fn against(line: &LineOnFloor, plan: &Plan, figured: Figured) -> LineOnFloor {
    if figured == Figured::AsRead {
        return line.clone();
    }
    let off = |(i, z): (usize, &f64)| z - plan.design.z(line.at(i)).unwrap_or(f64::NAN);
    LineOnFloor { elevations: line.elevations.iter().enumerate().map(off).collect(), ..line.clone() }
}

fn gaps(lines: &[LineOnFloor]) -> Vec<LineGap> {
    let ten_feet = classes::ACI_GAPS[0].edge;
    let gap = |line: &LineOnFloor| {
        let found = largest_gap(&line.elevations, line.spacing.step(), ten_feet)?;
        Some(LineGap {
            line: line.name.clone(),
            gap: found.gap,
            at: line.at(found.at),
            rests_on: found.rests_on.map(|i| line.at(i)),
        })
    };
    let mut gaps: Vec<LineGap> = lines.iter().filter_map(gap).collect();
    gaps.sort_by(|a, b| b.gap.in_metres().total_cmp(&a.gap.in_metres()));
    gaps
}

/// Wild readings with a warning each; what they do to flatness is figured with the reading put where its line has it.
fn told_wild(runs: &[Kept], area: Area, noise: Length, notes: &mut Vec<Note>) -> Vec<LineWild> {
    let found = wild(runs);
    let one = |w: &ground::flatness::Wild| {
        let mut without = runs.to_vec();
        without[w.run].elevations[w.reading] -= w.off;
        let flatness_without = section(&without, area, noise).value.map_or(f64::NAN, |s| s.flatness.number);
        let (line, reading) = (runs[w.run].name.clone(), runs[w.run].readings.start + w.reading + 1);
        LineWild { line, reading, off: Length::metres(w.off), flatness_without }
    };
    let told: Vec<LineWild> = found.iter().take(10).map(one).collect();
    for (w, wild) in told.iter().zip(&found) {
        notes.push(Note::in_both(|units| {
            let off = basis::quantity::thickness(w.off.abs(), units);
            let side = if w.off > Length::ZERO { "high" } else { "low" };
            let message = format!(
                "reading {} of line {} stands {off} {side} of its neighbours, {:.0} spreads; without it flatness is {:.0}",
                w.reading, w.line, wild.spreads, w.flatness_without
            );
            let hint = "read it again; until then it counts";
            Note::warning("wild-reading", runs[wild.run].place.clone(), message, hint)
        }));
    }
    told
}
