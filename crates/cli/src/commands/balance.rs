//! `balance`: what to call in for the last truck.

use basis::quantity::volume;
use basis::{Estimate, Length, Note, Origin, Place, Report, Severity, UnitSystem, Volume, has_fault};
use pour::defaults::DRUM_DOUBT;
use pour::loads::{Extent, PlacedBay, PlacedRegion, Reached, parse_placed, placed_region, reached_loads};
use pour::plan::{Call, Plan, call};

use super::{Loaded, load, notes_text};
use crate::args::BalanceArgs;
use crate::error::Failure;
use crate::show::{self, count};

/// How it is known what has come.
enum Delivered {
    /// By its tickets.
    Tickets(Vec<Volume>),
    /// From the plan and the line.
    AsPlanned,
}

/// Figures and prints the last-load call.
pub fn run(args: &BalanceArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let mut notes = loaded.notes.clone();
    let told = answer(args, &loaded, &mut notes);
    let faulty = has_fault(&notes);
    match told {
        Some(text) if !faulty => Ok(text + &show::notes(&notes)),
        _ => Err(Failure::faults(notes_text(&notes, &loaded.source, Severity::Remark))),
    }
}

fn answer(args: &BalanceArgs, loaded: &Loaded, notes: &mut Vec<Note>) -> Option<String> {
    let job = &loaded.job;
    let plan = pour::plan::plan(job, args.seed).unload(notes)?;
    let read = |text: &str| text.parse::<Length>().map_err(|e| format!("{} ({})", e.message, e.hint));
    let said = parse_placed(&args.placed, &plan.bays.bays, &read).unload(notes);
    let delivered = match &args.delivered {
        Some(text) => volumes(text, "--delivered", notes).map(Delivered::Tickets),
        None => Some(Delivered::AsPlanned),
    };
    let stated_drum = match &args.in_drum {
        Some(text) => volumes(text, "--in-drum", notes).map(|v| Some(v.into_iter().sum::<Volume>())),
        None => Some(None),
    };
    let (said, delivered, stated_drum) = (said?, delivered?, stated_drum?);
    let region = placed_region(&plan.bays.bays, &said);
    let open = |s: &&PlacedBay| matches!(s.extent, Extent::To(_));
    let width =
        |s: &PlacedBay| plan.bays.bays.iter().find(|b| b.number == s.bay).map_or(Length::ZERO, |b| b.width);
    let looked_at = |drum: Volume| Estimate::new(drum, drum * DRUM_DOUBT, Origin::Stated);
    let Reached { loads: delivered, in_drum } = match delivered {
        Delivered::Tickets(loads) => Reached { loads, in_drum: looked_at(Volume::ZERO) },
        Delivered::AsPlanned => reached(&plan, &region, job.units, stated_drum, notes),
    };
    let asked = Call {
        region: &region,
        open_width: said.iter().filter(open).map(width).sum(),
        delivered: &delivered,
        in_drum: stated_drum.map_or(in_drum, looked_at),
    };
    let called: Report<_> = call(job, &plan, &asked);
    let balance = called.unload(notes)?;
    Some(show::balance(job, &balance, &args.placed))
}

/// One volume, or several joined by `+`, as tickets are.
fn volumes(text: &str, option: &str, notes: &mut Vec<Note>) -> Option<Vec<Volume>> {
    let mut all = Vec::new();
    let mut sound = true;
    for part in text.split('+') {
        match part.trim().parse::<Volume>() {
            Ok(volume) => all.push(volume),
            Err(e) => {
                sound = false;
                notes.push(Note::fault(
                    "option-unclear",
                    Place::at(option),
                    format!("{option}: {}", e.message),
                    e.hint,
                ));
            }
        }
    }
    sound.then_some(all)
}

/// Without tickets: the planned loads whose start the line has passed and what the plan leaves in the last, told as assumed.
fn reached(
    plan: &Plan,
    region: &PlacedRegion,
    units: UnitSystem,
    stated_drum: Option<Volume>,
    notes: &mut Vec<Note>,
) -> Reached {
    let placed: Volume = region.placed.iter().map(|w| plan.ground.volume_in(w)).sum();
    let reached = reached_loads(&plan.loads.lines, placed);
    let sum: Volume = reached.loads.iter().copied().sum();
    let come = format!(
        "no tickets are given: the first {} of the plan, {} in all, {} taken to have come",
        count(reached.loads.len(), "load"),
        volume(sum, units),
        if reached.loads.len() == 1 { "is" } else { "are" }
    );
    let message = match stated_drum {
        Some(_) => come,
        None => format!(
            "{come}, with {} of the last still in its drum, give or take a load; so this pour says nothing of the allowance",
            volume(reached.in_drum.mean, units)
        ),
    };
    notes.push(Note::warning(
        "deliveries-assumed",
        Place::at("--delivered"),
        message,
        "give --delivered \"8 yd3 + 8 yd3\" and --in-drum",
    ));
    reached
}
