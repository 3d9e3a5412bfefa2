//! The pages that a phone keeps: pour, finish, floor, day line. Each is a plain function of the job, its rounds and the instant,
//! on the server and on a phone without a signal.

use maud::html;

use super::{at, day, finish, floor, mend_first, pour};
use crate::figured::Rounds;
use crate::look::{self, Stand, Step};
use crate::opened::{Frame, Opened, Sheet};

/// Which page is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OnSite {
    /// Trucks, load lines, pads.
    Pour,
    /// Rounds and windows.
    Finish,
    /// The floor, a layer of it.
    Floor(Option<String>),
    /// The day line, at the clock's instant or at a minute after the first truck.
    Day(Option<i64>),
    /// Only the floor at a minute after the first truck, for the slider.
    FloorAt(i64),
}

impl OnSite {
    /// The page of a word that stands in its address, with what is asked for beside.
    #[must_use]
    pub fn of(word: &str, layer: Option<String>, minute: Option<i64>) -> Option<Self> {
        Some(match word {
            "pour" => Self::Pour,
            "finish" => Self::Finish,
            "floor" => Self::Floor(layer),
            "day" => Self::Day(minute),
            "floor-at" => Self::FloorAt(minute.unwrap_or(0)),
            _ => return None,
        })
    }

    /// Whether the plan of who does what stands on it.
    #[must_use]
    pub const fn shows_rounds(&self) -> bool {
        matches!(self, Self::Finish | Self::Day(_))
    }

    const fn stand(&self) -> Stand {
        match self {
            Self::Pour => at(Step::Pour),
            Self::Finish => at(Step::Finish),
            Self::Floor(_) => Stand::Floor,
            Self::Day(_) | Self::FloorAt(_) => Stand::DayLine,
        }
    }
}

/// The text of a page on site.
#[must_use]
pub fn text(frame: &Frame<'_>, opened: &Opened, rounds: &Rounds, asked: &OnSite) -> String {
    let sheet = Sheet { opened, rounds, now: frame.now };
    let planned = opened.figured.whole();
    if let OnSite::FloorAt(minute) = asked {
        return day::floor(opened, *minute).into_string();
    }
    let body = match (planned, asked) {
        (None, _) => mend_first(opened),
        (Some((job, plan)), OnSite::Pour) => pour::body(sheet, job, plan),
        (Some((job, plan)), OnSite::Finish) => finish::body(sheet, job, plan),
        (Some((job, plan)), OnSite::Floor(layer)) => floor::body(job, plan, layer.as_deref()),
        (Some((_, plan)), OnSite::Day(minute)) => {
            day::body(sheet, plan, minute.map_or(day::Instant::Now, day::Instant::Minute))
        }
        (Some(_), OnSite::FloorAt(_)) => html! {},
    };
    look::job_text(frame, opened, asked.stand(), &body)
}
