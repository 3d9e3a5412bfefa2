//! Entries of the log as JSON: quantities with their units, as in the job file.

use basis::{UnitSystem, Volume};
use clock::finish::Round;
use clock::observe::Seen;
use pour::loads::Extent;
use pour::log::{Entry, TruckStep, WarmthOf, What};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::id::{NotHex, from_hex, hex};
use super::wire::{Bounds, LONGEST_WORDS};
use crate::quantity::{self, ReadQuantity};
use crate::write::WriteQuantity;

/// An entry of the log.
#[derive(Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "Entry")]
pub(crate) struct LogWire {
    /// When it happened: RFC 3339.
    at: String,
    /// What happened.
    what: WhatWire,
}

#[derive(Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
#[schemars(rename = "What")]
enum WhatWire {
    /// A truck went a step further.
    Truck {
        /// Number of the load, from 1.
        load: usize,
        /// The step.
        step: StepWire,
        /// What the ticket says: `8 yd3`.
        #[serde(skip_serializing_if = "Option::is_none")]
        ticket: Option<String>,
    },
    /// A look into the drum.
    Drum {
        /// Number of the load.
        load: usize,
        /// What was left: `1.5 yd3`.
        left: String,
    },
    /// The line reached a place.
    Line {
        /// Number of the bay.
        bay: usize,
        /// The distance along it, `14 ft 6 in`, or `done`.
        to: String,
    },
    /// Water was added.
    Water {
        /// Number of the load.
        load: usize,
        /// How much: `5 gal`.
        added: String,
    },
    /// The slump was measured.
    Slump {
        /// Number of the load.
        #[serde(skip_serializing_if = "Option::is_none")]
        load: Option<usize>,
        /// The slump: `5 in`.
        slump: String,
    },
    /// The temperature of the concrete was measured.
    Concrete {
        /// Number of the load.
        #[serde(skip_serializing_if = "Option::is_none")]
        load: Option<usize>,
        /// The temperature: `74 degF`.
        temperature: String,
    },
    /// The temperature of the air was measured.
    Air {
        /// The temperature: `74 degF`.
        temperature: String,
    },
    /// Something was seen on a bay.
    Seen {
        /// Number of the bay.
        bay: usize,
        /// What.
        what: SeenWire,
    },
    /// A round is done, and those before it.
    Round {
        /// Number of the bay.
        bay: usize,
        /// `bull float`, `edges`, `float`, `trowel 1` or `broom`.
        done: String,
    },
    /// A photo.
    Photo {
        /// SHA-256 of its bytes: 64 hexadecimal digits in lower case.
        sha256: String,
        /// What it shows.
        words: String,
    },
    /// A remark.
    Remark {
        /// The words.
        words: String,
    },
}

#[derive(Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[schemars(rename = "Step")]
enum StepWire {
    Arrived,
    Discharging,
    Done,
}

#[derive(Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[schemars(rename = "Seen")]
enum SeenWire {
    /// Depth of a boot print: `1/4 in`.
    Print(String),
    /// Resistance by thumb or needle: `90 psi`.
    Needle(String),
    /// Temperature of the surface: `74 degF`.
    Surface(String),
    /// The machine float went on.
    FloatOn,
    /// The sheen has just gone.
    SheenGone,
}

/// Quantities are written so that they read back as the same.
fn text<Q: WriteQuantity>(quantity: Q) -> String {
    quantity.text(UnitSystem::Us)
}

fn read<Q: ReadQuantity>(bounds: &mut Bounds, text: &str) -> Option<Q> {
    let read = quantity::read::<Q>(text).map_err(|trouble| format!("{} ({})", trouble.message, trouble.hint));
    bounds.take("change.log.what", read)
}

impl LogWire {
    pub fn of(entry: &Entry) -> Self {
        Self { at: entry.at.to_string(), what: what_wire(&entry.what) }
    }

    /// The entry, if its figures can be.
    pub fn entry(self, bounds: &mut Bounds) -> Option<Entry> {
        let at = bounds.take("change.log.at", self.at.parse());
        let what = what(self.what, bounds)?;
        if let Some(why) = what.impossible() {
            bounds.note("change.log.what", why);
        }
        Some(Entry { at: at?, what })
    }
}

fn what_wire(what: &What) -> WhatWire {
    match what {
        What::Truck { load, step, ticket } => WhatWire::Truck {
            load: *load,
            step: match step {
                TruckStep::Arrived => StepWire::Arrived,
                TruckStep::Discharging => StepWire::Discharging,
                TruckStep::Done => StepWire::Done,
            },
            ticket: ticket.map(text),
        },
        What::Drum { load, left } => WhatWire::Drum { load: *load, left: text(*left) },
        What::Line { bay, reached } => WhatWire::Line {
            bay: *bay,
            to: match reached {
                Extent::Done => "done".to_owned(),
                Extent::To(along) => text(*along),
            },
        },
        What::Water { load, added } => WhatWire::Water { load: *load, added: text(*added) },
        What::Slump { load, slump } => WhatWire::Slump { load: *load, slump: text(*slump) },
        What::Warmth { of: WarmthOf::Air, temperature } => WhatWire::Air { temperature: text(*temperature) },
        What::Warmth { of: WarmthOf::Concrete { load }, temperature } => {
            WhatWire::Concrete { load: *load, temperature: text(*temperature) }
        }
        What::OnBay { bay, seen } => WhatWire::Seen {
            bay: *bay,
            what: match seen {
                Seen::Print(depth) => SeenWire::Print(text(*depth)),
                Seen::Penetration(reading) => SeenWire::Needle(text(*reading)),
                Seen::SurfaceTemperature(at) => SeenWire::Surface(text(*at)),
                Seen::FloatStart => SeenWire::FloatOn,
                Seen::SheenGone => SeenWire::SheenGone,
            },
        },
        What::RoundDone { bay, round } => WhatWire::Round { bay: *bay, done: round_words(*round) },
        What::Photo { hash, words } => WhatWire::Photo { sha256: hex(hash), words: words.clone() },
        What::Remark { words } => WhatWire::Remark { words: words.clone() },
    }
}

fn round_words(round: Round) -> String {
    match round {
        Round::BullFloat => "bull float".to_owned(),
        Round::Edges => "edges".to_owned(),
        Round::Float => "float".to_owned(),
        Round::Trowel(number) => format!("trowel {number}"),
        Round::Broom => "broom".to_owned(),
    }
}

fn round(words: &str) -> Option<Round> {
    match words {
        "bull float" => Some(Round::BullFloat),
        "edges" => Some(Round::Edges),
        "float" => Some(Round::Float),
        "broom" => Some(Round::Broom),
        other => {
            let number = other.strip_prefix("trowel ")?.parse().ok().filter(|number| *number > 0)?;
            Some(Round::Trowel(number))
        }
    }
}

fn what(wire: WhatWire, bounds: &mut Bounds) -> Option<What> {
    Some(match wire {
        WhatWire::Truck { load, step, ticket } => {
            let step = match step {
                StepWire::Arrived => TruckStep::Arrived,
                StepWire::Discharging => TruckStep::Discharging,
                StepWire::Done => TruckStep::Done,
            };
            let ticket = match ticket {
                Some(ticket) => Some(read::<Volume>(bounds, &ticket)?),
                None => None,
            };
            What::Truck { load, step, ticket }
        }
        WhatWire::Drum { load, left } => What::Drum { load, left: read(bounds, &left)? },
        WhatWire::Line { bay, to } if to == "done" => What::Line { bay, reached: Extent::Done },
        WhatWire::Line { bay, to } => What::Line { bay, reached: Extent::To(read(bounds, &to)?) },
        WhatWire::Water { load, added } => What::Water { load, added: read(bounds, &added)? },
        WhatWire::Slump { load, slump } => What::Slump { load, slump: read(bounds, &slump)? },
        WhatWire::Concrete { load, temperature } => {
            What::Warmth { of: WarmthOf::Concrete { load }, temperature: read(bounds, &temperature)? }
        }
        WhatWire::Air { temperature } => {
            What::Warmth { of: WarmthOf::Air, temperature: read(bounds, &temperature)? }
        }
        WhatWire::Seen { bay, what } => What::OnBay {
            bay,
            seen: match what {
                SeenWire::Print(depth) => Seen::Print(read(bounds, &depth)?),
                SeenWire::Needle(reading) => Seen::Penetration(read(bounds, &reading)?),
                SeenWire::Surface(at) => Seen::SurfaceTemperature(read(bounds, &at)?),
                SeenWire::FloatOn => Seen::FloatStart,
                SeenWire::SheenGone => Seen::SheenGone,
            },
        },
        WhatWire::Round { bay, done } => {
            let round = round(&done).ok_or("there is no such round");
            What::RoundDone { bay, round: bounds.take("change.log.what.round.done", round)? }
        }
        WhatWire::Photo { sha256, words } => {
            bounds.words("change.log.what.photo.words", &words, LONGEST_WORDS);
            let hash = from_hex(&sha256).ok_or(NotHex { digits: 64 });
            What::Photo { hash: bounds.take("change.log.what.photo.sha256", hash)?, words }
        }
        WhatWire::Remark { words } => {
            bounds.words("change.log.what.remark.words", &words, LONGEST_WORDS);
            What::Remark { words }
        }
    })
}
