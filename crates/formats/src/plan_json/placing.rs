//! Bays, pads, reach and the prep sheet in the report.

use basis::Length;
use ground::outline::EdgeKind;
use pour::bays::{Bay, BayPlan, Exit, RidesOn, Run, Side, WayOut};
use pour::pads::{Pad, PadFor, PadPlan, StruckLine, Tie};
use pour::prep::{BasePoint, FormCheck, FormMark, FormPoint, PrepSheet, Verdict};
use serde_json::{Value, json};

use super::part::{Context, Part};
use super::units::{self, list, refer};

const RIDES_ON: &[&str] = &["form", "wall", "existing-slab", "bay", "opening", "nothing"];
const WAYS_OUT: &[&str] = &["exit", "bay", "door", "over-form", "none"];
const MARKS: &[&str] = &["corner", "jamb-full", "jamb-dropped", "step", "high", "low", "bend"];

const fn rides_on(on: &RidesOn) -> &'static str {
    match on {
        RidesOn::Form => "form",
        RidesOn::Wall => "wall",
        RidesOn::ExistingSlab => "existing-slab",
        RidesOn::Bay(_) => "bay",
        RidesOn::Opening => "opening",
        RidesOn::Nothing => "nothing",
    }
}

const fn bay_of(on: &RidesOn) -> Option<u64> {
    match on {
        RidesOn::Bay(number) => Some(*number as u64),
        _ => None,
    }
}

pub(super) fn bays() -> Part<BayPlan> {
    let exit = Part::<Exit>::new("Where the last bay ends.")
        .text("name", "Of the door, or of the edge.", |e| e.name.clone())
        .point("a", "First end.", |e| e.a)
        .point("b", "Second end.", |e| e.b);
    Part::<BayPlan>::new("The floor in bays.")
        .point("axis", "Unit vector along the bays; no unit.", |b| b.axis)
        .quantity("widest", "Widest bay that the straightedge allows.", |b| b.widest)
        .maybe_part("exit", "Where the last bay should end; null when nothing lets out.", exit, |b| {
            b.exit.as_ref()
        })
        .list("bays", "In order of placing.", bay(), |b| &b.bays)
}

fn bay() -> Part<Bay> {
    Part::<Bay>::new("One bay.")
        .count("number", "Place in the order of placing, from 1.", |b| b.number)
        .points("window", "Its rectangle; the bay is the floor within.", |b| b.window.corners())
        .point("start", "Middle of the end where placing starts.", |b| b.start)
        .point("axis", "Unit vector of placing; no unit.", |b| b.axis)
        .quantity("width", "Across.", |b| b.width)
        .quantity("length", "Along.", |b| b.length)
        .quantity("area", "Net area.", |b| b.area)
        .list("sides", "Left, right, starting and closing end.", side(), |b| &b.sides)
        .word("way_out", "How the crew gets off it.", WAYS_OUT, |b| match &b.way_out {
            WayOut::Exit(_) => "exit",
            WayOut::Bay(_) => "bay",
            WayOut::Door(_) => "door",
            WayOut::OverForm(_) => "over-form",
            WayOut::None => "none",
        })
        .any("way_out_by", "Name or number of that.", json!({ "type": ["string", "null"] }), |b, _| match &b
            .way_out
        {
            WayOut::Exit(name) | WayOut::Door(name) | WayOut::OverForm(name) => name.clone().into(),
            WayOut::Bay(number) => number.to_string().into(),
            WayOut::None => Value::Null,
        })
}

fn side() -> Part<Side> {
    let run = Part::<Run>::new("A stretch of a side.")
        .point("from", "From.", |r| r.from)
        .point("to", "To.", |r| r.to)
        .word("on", "What the straightedge finds.", RIDES_ON, |r| rides_on(&r.on))
        .maybe_count("bay", "Number of the bay, if it is one.", |r| bay_of(&r.on));
    Part::<Side>::new("A side of a bay.").list("runs", "In order of placing.", run, |s| &s.runs)
}

pub(super) fn pads() -> Part<PadPlan> {
    let line = Part::<StruckLine>::new("A struck line.")
        .count("bay", "Bay for which it is first struck.", |l| l.bay)
        .point("from", "From.", |l| l.from)
        .point("to", "To.", |l| l.to)
        .word("beside", "What lies beyond.", RIDES_ON, |l| rides_on(&l.beside))
        .maybe_count("beside_bay", "Number of the bay, if it is one.", |l| bay_of(&l.beside))
        .any("pads", "Numbers of the pads on it.", list(&json!({ "type": "integer" })), |l, _| json!(l.pads));
    Part::<PadPlan>::new("Pads with their readings.")
        .list("pads", "In order of use.", pad(), |p| &p.pads)
        .list("lines", "In order of use.", line, |p| &p.lines)
}

fn pad() -> Part<Pad> {
    Part::<Pad>::new("One pad.")
        .count("number", "In order of use, from 1.", |p| p.number)
        .count("bay", "Bay for which it is first used.", |p| p.bay)
        .point("at", "Where.", |p| p.at)
        .quantity("elevation", "Of the finish there.", |p| p.elevation)
        .any("reading", "What the stick must read.", refer("reading"), |p, c| {
            units::reading(p.reading, c.job)
        })
        .any("ties", "Two tape dimensions that find it.", list(&refer("tie")), |p, c| ties(&p.ties, c))
        .word("why", "Why it is there.", &["end", "span", "break"], |p| match p.why {
            PadFor::End => "end",
            PadFor::Span => "span",
            PadFor::Break => "break",
        })
}

fn ties(ties: &[Tie], context: &Context<'_>) -> Value {
    ties.iter().map(|tie| units::tie(tie, context.job)).collect()
}

pub(super) fn prep() -> Part<PrepSheet> {
    Part::<PrepSheet>::new("Readings for forms and base.")
        .list("forms", "Edge after edge.", form_point(), |p| &p.forms)
        .list("checks", "Form tops as shot, in the order taken.", form_check(), |p| &p.checks)
        .list("base", "Row after row, then the bottoms of what is dug.", base_point(), |p| &p.base)
}

fn form_check() -> Part<FormCheck> {
    Part::<FormCheck>::new("A form top as shot, against its design.")
        .text("name", "Name of the shot.", |f| f.name.clone())
        .point("at", "Where.", |f| f.at)
        .quantity("deviation", "As shot less designed; positive is high.", |f| f.deviation)
        .any("must_read", "What the stick must read.", refer("reading"), |f, c| {
            units::reading(f.must_read, c.job)
        })
        .any("reads", "What it reads as the form stands.", refer("reading"), |f, c| {
            units::reading(f.reads, c.job)
        })
        .word("verdict", "Leave within the tolerance, else reset.", &["leave", "reset"], |f| {
            match f.verdict {
                Verdict::Leave => "leave",
                Verdict::Reset => "reset",
            }
        })
}

fn form_point() -> Part<FormPoint> {
    Part::<FormPoint>::new("A point of the forms.")
        .text("label", "What a person calls it.", |p| p.label.clone())
        .count("edge", "Index of its edge, from 0.", |p| p.edge)
        .word("kind", "What stands along that edge.", &["form", "wall", "existing-slab"], |p| match p.kind {
            EdgeKind::Free => "form",
            EdgeKind::Wall => "wall",
            EdgeKind::ExistingSlab => "existing-slab",
        })
        .word("mark", "Why it is on the sheet.", MARKS, |p| match p.mark {
            FormMark::Corner => "corner",
            FormMark::JambFull => "jamb-full",
            FormMark::JambDropped => "jamb-dropped",
            FormMark::Step => "step",
            FormMark::High => "high",
            FormMark::Low => "low",
            FormMark::Bend => "bend",
        })
        .quantity("along", "From the edge's first corner.", |p| p.along)
        .point("at", "Where.", |p| p.at)
        .quantity("elevation", "Of the top.", |p| Length::metres(p.z))
        .any("reading", "What the stick must read.", refer("reading"), |p, c| {
            units::reading(p.reading, c.job)
        })
}

fn base_point() -> Part<BasePoint> {
    Part::<BasePoint>::new("A spot of the base.")
        .text("label", "Row and place in it.", |p| p.label.clone())
        .point("at", "Where.", |p| p.at)
        .any("ties", "Two tape dimensions that find it.", list(&refer("tie")), |p, c| ties(&p.ties, c))
        .quantity("dug", "How far it is dug below the base.", |p| p.dug)
        .quantity("elevation", "That the ground should have.", |p| Length::metres(p.z))
        .any("reading", "What the stick must read.", refer("reading"), |p, c| {
            units::reading(p.reading, c.job)
        })
        .maybe("cut", "To cut; negative is to fill; null where the base is not known.", |p| p.cut)
}
