//! How far the floor is placed, as a person says it: `1 done, 2 to 14 ft 6 in`.

use basis::{Length, Note, Place, Report};
use ground::Polygon;

use crate::bays::Bay;

/// How much of a bay is placed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Extent {
    /// All of it.
    Done,
    /// From its start to this distance.
    To(Length),
}

/// What is said of one bay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedBay {
    /// Number of the bay.
    pub bay: usize,
    /// How much of it is placed.
    pub extent: Extent,
}

/// The floor behind and beyond the line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlacedRegion {
    /// Convex windows that hold what is placed.
    pub placed: Vec<Polygon>,
    /// Convex windows that hold what remains.
    pub remaining: Vec<Polygon>,
}

/// Reads how far the floor is placed.
///
/// Entries are separated by commas: `3 done`, `1-3 done`, `all done`, `4 to 14 ft 6 in`, `none`; the
/// word `bay` may stand before a number. A bay that is not named is not placed. `read` reads a
/// length as it is written on site and says what is wrong with it otherwise. All faults at once.
pub fn parse_placed(
    text: &str,
    bays: &[Bay],
    read: &dyn Fn(&str) -> Result<Length, String>,
) -> Report<Vec<PlacedBay>> {
    let mut notes = Vec::new();
    let mut said: Vec<PlacedBay> = Vec::new();
    for entry in text.split(',').map(str::trim) {
        match parse_entry(entry, bays, read) {
            Ok(found) => {
                for one in found {
                    if said.iter().any(|s| s.bay == one.bay) {
                        notes.push(fault(entry, &format!("bay {} is named twice", one.bay)));
                    } else {
                        said.push(one);
                    }
                }
            }
            Err(why) => notes.push(fault(entry, &why)),
        }
    }
    said.sort_by_key(|s| s.bay);
    tell_out_of_order(&said, bays, &mut notes);
    if basis::report::has_fault(&notes) { Report::refused(notes) } else { Report::with(said, notes) }
}

fn fault(entry: &str, why: &str) -> Note {
    let shown: String = entry.chars().take(40).map(|c| if c.is_control() { ' ' } else { c }).collect();
    Note::fault(
        "placed-unclear",
        Place::at("placed"),
        format!("\"{shown}\": {why}"),
        "write it as in \"1-2 done, 3 to 14 ft 6 in\", \"all done\" or \"none\"",
    )
}

fn parse_entry(
    entry: &str,
    bays: &[Bay],
    read: &dyn Fn(&str) -> Result<Length, String>,
) -> Result<Vec<PlacedBay>, String> {
    let lower = entry.to_lowercase();
    if lower == "none" {
        return Ok(Vec::new());
    }
    if let Some(which) = lower.strip_suffix("done") {
        let numbers = numbers(which.trim(), bays.len())?;
        return Ok(numbers.map(|bay| PlacedBay { bay, extent: Extent::Done }).collect());
    }
    let Some((which, far)) = lower.split_once(" to ") else {
        return Err("say which bay, and whether it is done or how far".to_owned());
    };
    let mut bay = numbers(which.trim(), bays.len())?;
    let (Some(bay), None) = (bay.next(), bay.next()) else {
        return Err("a distance belongs to one bay".to_owned());
    };
    let along = read(far.trim())?;
    let length = bays[bay - 1].length;
    if !along.is_finite() || along.in_metres() < 0.0 {
        return Err("the distance is not 0 or more".to_owned());
    }
    // A tape that reads past the end by a hand is still the end; more is another bay or a slip.
    if along > length + Length::metres(0.15) {
        return Err(format!(
            "bay {bay} is only {:.1} ft ({:.2} m) long",
            length.in_feet(),
            length.in_metres()
        ));
    }
    let extent = if along >= length { Extent::Done } else { Extent::To(along) };
    Ok(vec![PlacedBay { bay, extent }])
}

/// `3`, `bay 3`, `1-3` or `all`, each between 1 and the count of bays.
fn numbers(which: &str, count: usize) -> Result<std::ops::RangeInclusive<usize>, String> {
    let which = which.strip_prefix("bays").or_else(|| which.strip_prefix("bay")).unwrap_or(which).trim();
    if which == "all" {
        return Ok(1..=count);
    }
    let one = |t: &str| {
        let n: usize = t.trim().parse().map_err(|_| format!("\"{}\" is no number of a bay", short(t)))?;
        if (1..=count).contains(&n) {
            Ok(n)
        } else {
            Err(format!("there is no bay {n}; bays are 1 to {count}"))
        }
    };
    match which.split_once('-') {
        Some((a, b)) => {
            let (a, b) = (one(a)?, one(b)?);
            if a <= b { Ok(a..=b) } else { Err(format!("{a}-{b} runs backward")) }
        }
        None => one(which).map(|n| n..=n),
    }
}

fn short(text: &str) -> String {
    text.trim().chars().take(20).collect()
}

pub(crate) fn tell_out_of_order(said: &[PlacedBay], bays: &[Bay], notes: &mut Vec<Note>) {
    let done = |n: usize| said.iter().any(|s| s.bay == n && s.extent == Extent::Done);
    let begun: Vec<usize> = said.iter().map(|s| s.bay).collect();
    let Some(&last) = begun.iter().max() else { return };
    if let Some(open) = bays.iter().map(|b| b.number).find(|&n| n < last && !done(n)) {
        notes.push(Note::warning(
            "placed-out-of-order",
            Place::at("placed"),
            format!("bay {open} is not done although bay {last} is begun"),
            "check the numbers of the bays",
        ));
    }
}

/// The windows of what is placed and of what remains. Bays that are not named remain.
///
/// Numbers outside the bays are passed over: [`parse_placed`] has refused them.
#[must_use]
pub fn placed_region(bays: &[Bay], said: &[PlacedBay]) -> PlacedRegion {
    let mut region = PlacedRegion::default();
    for bay in bays {
        match said.iter().find(|s| s.bay == bay.number).map(|s| s.extent) {
            Some(Extent::Done) => region.placed.push(bay.window.clone()),
            Some(Extent::To(along)) => {
                region.placed.extend(bay.behind(along));
                region.remaining.extend(bay.beyond(along));
            }
            None => region.remaining.push(bay.window.clone()),
        }
    }
    region
}
