//! `balance`: what to call in for the last truck.

use basis::quantity::volume;
use basis::{Estimate, Length, Note, Origin, Place, Report, Severity, UnitSystem, Volume, has_fault};
use pour::loads::{Extent, PlacedBay, parse_placed, placed_region};
use pour::plan::{Call, Plan, call};

use super::{Loaded, load, notes_text};
use crate::args::BalanceArgs;
use crate::error::Failure;
use crate::show::{self, count};

/// Spread of a look into the drum, as a share of what is told to be there: common practice, no source.
const DRUM_DOUBT: f64 = 0.2;

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
        Some(text) => volumes(text, "--delivered", notes),
        None => Some(reached_loads(&plan, said.as_deref().unwrap_or_default(), job.units, notes)),
    };
    let in_drum = match &args.in_drum {
        Some(text) => volumes(text, "--in-drum", notes).map(|v| v.into_iter().sum()),
        None => Some(Volume::ZERO),
    };
    let (said, delivered, in_drum): (_, Vec<Volume>, Volume) = (said?, delivered?, in_drum?);
    let region = placed_region(&plan.bays.bays, &said);
    let open = |s: &&PlacedBay| matches!(s.extent, Extent::To(_));
    let width =
        |s: &PlacedBay| plan.bays.bays.iter().find(|b| b.number == s.bay).map_or(Length::ZERO, |b| b.width);
    let asked = Call {
        region: &region,
        open_width: said.iter().filter(open).map(width).sum(),
        delivered: &delivered,
        in_drum: Estimate::new(in_drum, in_drum * DRUM_DOUBT, Origin::Stated),
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

/// Without tickets: the planned loads whose start the line has passed, told as an assumption.
fn reached_loads(plan: &Plan, said: &[PlacedBay], units: UnitSystem, notes: &mut Vec<Note>) -> Vec<Volume> {
    let region = placed_region(&plan.bays.bays, said);
    let placed: Volume = region.placed.iter().map(|w| plan.ground.volume_in(w)).sum();
    let mut begun = Vec::new();
    let mut covered = Volume::ZERO;
    for line in &plan.loads.lines {
        if covered < placed {
            begun.push(line.size);
        }
        covered = line.covered;
    }
    let sum: Volume = begun.iter().copied().sum();
    let message = format!(
        "no tickets are given: the first {} of the plan, {} in all, {} taken to have come and to be empty",
        count(begun.len(), "load"),
        volume(sum, units),
        if begun.len() == 1 { "is" } else { "are" }
    );
    notes.push(Note::warning(
        "deliveries-assumed",
        Place::at("--delivered"),
        message,
        "give --delivered \"8 yd3 + 8 yd3\" and --in-drum",
    ));
    begun
}
