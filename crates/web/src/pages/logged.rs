//! The log of the day: forms of one tap, and what was told last, to be taken back.

use basis::quantity::{length, temperature};
use clock::observe::Seen;
use formats::events::{EventId, Logged};
use jiff::SignedDuration;
use maud::{Markup, html};
use pour::Job;
use pour::forecast::state::RoundName;
use pour::loads::Extent;
use pour::log::{TruckStep, WarmthOf, What};
use pour::wall::Wall;

use crate::look::stamp;
use crate::opened::Opened;
use crate::say;

/// So many of the last entries are shown.
const LAST: usize = 8;

/// Clocks that differ by no more than this say the same: phones and servers set theirs by the network.
pub const CLOCKS_AGREE: SignedDuration = SignedDuration::from_mins(1);

/// A form that tells one thing by one tap.
pub fn tap(opened: &Opened, what: &str, of: (&str, usize), value: &str, words: &str) -> Markup {
    html! {
        form.tap method="post" action={ "/jobs/" (opened.id) "/log" } {
            (stamp(opened))
            input type="hidden" name="what" value=(what);
            input type="hidden" name=(of.0) value=(of.1);
            button name="value" value=(value) { (words) }
        }
    }
}

/// A form that brings a photo; on a phone it opens the camera.
pub fn photo(opened: &Opened) -> Markup {
    html! {
        details {
            summary { "photo" }
            form.photo method="post" enctype="multipart/form-data" action={ "/jobs/" (opened.id) "/photo" } {
                (stamp(opened))
                label for="photo" { "take it, or choose one" }
                input #photo name="photo" type="file" required accept="image/jpeg,image/png,image/webp" capture="environment";
                label for="photo-words" { "what it shows" }
                div.row {
                    input #photo-words name="words" maxlength="400" autocomplete="off";
                    button { "log" }
                }
            }
        }
    }
}

/// Where a photo of the log is shown.
fn shown(opened: &Opened, what: &What) -> Markup {
    let What::Photo { hash, words } = what else { return html! {} };
    let name: String = hash.iter().map(|byte| format!("{byte:02x}")).collect();
    let at = format!("/jobs/{}/photos/{name}", opened.id);
    // What is folded away is not loaded, so that the page stays light.
    html! { details.shown { summary { "show it" } a href=(at) { img src=(at) alt=(words) loading="lazy"; } } }
}

/// A form that tells a value; `of` is a choice of loads, or nothing.
pub fn told_value(opened: &Opened, what: &str, words: &str, unit: &str, loads: usize) -> Markup {
    let id = format!("told-{what}");
    html! {
        form.told-value method="post" action={ "/jobs/" (opened.id) "/log" } {
            (stamp(opened))
            input type="hidden" name="what" value=(what);
            label for=(id) { (words) }
            div.row {
                @if loads > 0 {
                    select name="load" aria-label={ "load of the " (words) } { @for load in 1..=loads { option value=(load) { "load " (load) } } }
                }
                input id=(id) name="value" required autocomplete="off" inputmode="decimal" placeholder=(unit);
                button { "log" }
            }
        }
    }
}

/// What was told last, the newest first.
pub fn last(opened: &Opened, job: &Job, back: &str) -> Markup {
    let zone = jiff::tz::TimeZone::get(&job.zone).unwrap_or(jiff::tz::TimeZone::UTC);
    let first = opened.state.log.first().map(|logged| logged.entry.at).unwrap_or_default();
    let wall = Wall { zone: &zone, start: first, units: job.units };
    html! {
        @if opened.state.log.is_empty() {
            p { "Nothing is logged yet. One tap when a truck comes, when it is empty, when the line gets to a place: the balance and the clock go by it." }
        } @else {
            ol.logged aria-label="Logged last" {
                @for logged in opened.state.log.iter().rev().take(LAST) {
                    @let waits = opened.waiting.contains(&logged.event);
                    li.waits[waits] {
                        span {
                            b { (wall.at(logged.entry.at)) } " " (told(&logged.entry.what, job))
                            @if waits { " " em { "waiting on this phone" } }
                            @if clocks_disagree(logged) { " " em { "clocks disagree: the phone said " (wall.at(logged.made)) } }
                            (shown(opened, &logged.entry.what))
                        }
                        @if opened.who.may_take_back(&logged.by) { (take_back(opened, logged.event, back)) }
                    }
                }
            }
        }
    }
}

/// Whether whoever told it had another time: then the server's stands, and both are told.
fn clocks_disagree(logged: &Logged) -> bool {
    logged.made.duration_since(logged.entry.at).abs() > CLOCKS_AGREE
}

/// A form that takes an event back.
pub fn take_back(opened: &Opened, event: EventId, back: &str) -> Markup {
    html! {
        form.tap method="post" action={ "/jobs/" (opened.id) "/take-back" } {
            (stamp(opened))
            input type="hidden" name="target" value=(event);
            input type="hidden" name="back" value=(back);
            button.quiet { "take back" }
        }
    }
}

/// An entry in words.
fn told(what: &What, job: &Job) -> String {
    let units = job.units;
    let of_load = |load: &Option<usize>| load.map_or(String::new(), |load| format!(" of load {load}"));
    match what {
        What::Truck { load, step, ticket: None } => {
            let step = match step {
                TruckStep::Arrived => "arrived",
                TruckStep::Discharging => "discharging",
                TruckStep::Done => "done",
            };
            format!("load {load} {step}")
        }
        What::Truck { load, ticket: Some(ticket), .. } => {
            format!("ticket of load {load}: {}", say::volume(*ticket, units))
        }
        What::Drum { load, left } => format!("{} left in the drum of load {load}", say::volume(*left, units)),
        What::Line { bay, reached: Extent::Done } => format!("bay {bay} placed to its end"),
        What::Line { bay, reached: Extent::To(along) } => {
            format!("line in bay {bay} at {}", length(*along, units))
        }
        What::Water { load, added } => format!("{:.1} gal of water into load {load}", added.in_gallons()),
        What::Slump { load, slump } => format!("slump{} {}", of_load(load), length(*slump, units)),
        What::Warmth { of: WarmthOf::Air, temperature: t } => format!("air {}", temperature(*t, units)),
        What::Warmth { of: WarmthOf::Concrete { load }, temperature: t } => {
            format!("concrete{} {}", of_load(load), temperature(*t, units))
        }
        What::OnBay { bay, seen } => match seen {
            Seen::Print(depth) => format!("boot print {} on bay {bay}", length(*depth, units)),
            Seen::Penetration(reading) => format!("{:.0} psi on bay {bay}", reading.in_psi()),
            Seen::SurfaceTemperature(t) => format!("surface of bay {bay} {}", temperature(*t, units)),
            Seen::FloatStart => format!("machine float on bay {bay}"),
            Seen::SheenGone => format!("sheen gone on bay {bay}"),
        },
        What::RoundDone { bay, round } => format!("{} of bay {bay} done", RoundName(*round)),
        What::Photo { words, .. } => format!("photo: {words}"),
        What::Remark { words } => words.clone(),
    }
}
