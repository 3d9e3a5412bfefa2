//! The plan in words: times, tapes, readings, as every document says them.

use basis::quantity::{feet_inches, length, rod, time_span};
use basis::{Length, TimeSpan, UnitSystem};
use clock::finish::Round;
use ground::P2;
use ground::survey::RodReading;
use jiff::civil::Weekday;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use pour::Job;
use pour::day::Day;
use pour::pads::{Tie, TieTo};
use pour::plan::Plan;
use pour::rounds::{Direction, RoundKind};
use pour::wall::Wall;

use super::Planned;
use crate::drawing::cut;
use crate::words::{Said, Words};

/// Longer names are cut on a sheet, with an ellipsis that shows it.
const LONGEST_NAME: usize = 120;

/// A plan and the words to tell it in.
pub(crate) struct Facts<'a> {
    pub job: &'a Job,
    pub plan: &'a Plan,
    pub day: Option<&'a Day>,
    pub words: &'a Words,
    zone: Option<TimeZone>,
    first: Option<Timestamp>,
}

impl<'a> Facts<'a> {
    pub fn new(Planned { job, plan, day }: Planned<'a>, words: &'a Words) -> Self {
        let zone = jiff::tz::TimeZoneDatabase::bundled().get(&job.zone).ok();
        let forecast = plan.forecast.as_ref().map(|forecast| forecast.first_truck);
        let stated = || zone.as_ref()?.to_timestamp(job.day.first_truck?).ok();
        let first = forecast.or_else(stated);
        Self { job, plan, day, words, zone, first }
    }

    /// A name as a sheet can hold it.
    pub fn name(&self) -> String {
        cut(&self.job.name, LONGEST_NAME)
    }

    /// The clock on the wall from the first truck on, if its time is stated.
    pub fn wall(&self) -> Option<Wall<'_>> {
        Some(Wall { zone: self.zone.as_ref()?, start: self.first?, units: self.job.units })
    }

    pub fn day_of_pour(&self) -> Said {
        let Some(first) = self.job.day.first_truck else { return Said::same("") };
        let weekday = match first.weekday() {
            Weekday::Monday => "monday",
            Weekday::Tuesday => "tuesday",
            Weekday::Wednesday => "wednesday",
            Weekday::Thursday => "thursday",
            Weekday::Friday => "friday",
            Weekday::Saturday => "saturday",
            Weekday::Sunday => "sunday",
        };
        let date = Said::same(first.date().to_string());
        self.words.with("day-of", &[("weekday", self.words.say(weekday)), ("date", date)])
    }

    pub fn first_truck(&self) -> Said {
        self.wall().map_or_else(|| self.words.say("time-unstated"), |wall| self.at(&wall, wall.start))
    }

    /// A time on the wall, with the day in the reader's language where it is another than the start's.
    pub fn at(&self, wall: &Wall<'_>, instant: Timestamp) -> Said {
        let (other_day, time) = wall.parts(instant);
        let Some(day) = other_day else { return Said::same(time) };
        let word = match day.weekday() {
            Weekday::Monday => "mon",
            Weekday::Tuesday => "tue",
            Weekday::Wednesday => "wed",
            Weekday::Thursday => "thu",
            Weekday::Friday => "fri",
            Weekday::Saturday => "sat",
            Weekday::Sunday => "sun",
        };
        self.words.with("time-of-day", &[("weekday", self.words.say(word)), ("time", Said::same(time))])
    }

    /// A time so long after a start, or a dash.
    pub fn after(&self, wall: &Wall<'_>, span: Option<TimeSpan>) -> Said {
        let instant = span.and_then(|span| wall.instant(span));
        instant.map_or_else(|| Said::same("-"), |instant| self.at(wall, instant))
    }

    /// A time counted from the first truck; without a stated one, so many minutes after it.
    pub fn after_first(&self, span: TimeSpan) -> Said {
        let minutes = format!("{:.0}", span.in_minutes());
        match self.wall() {
            Some(wall) => self.after(&wall, Some(span)),
            None if minutes == "0" => self.words.say("the-first"),
            None => self.words.with("after-first", &[("minutes", Said::same(minutes))]),
        }
    }

    /// A time counted from the start of the day's rounds.
    pub fn on_the_day(&self, span: TimeSpan) -> Said {
        let told = self.day.zip(self.wall());
        told.map_or_else(
            || Said::same("-"),
            |(day, wall)| self.after(&Wall { start: day.start, ..wall }, Some(span)),
        )
    }

    /// The instant of a time of the day's rounds.
    pub fn instant(&self, start: Timestamp, span: TimeSpan) -> Option<Timestamp> {
        start.checked_add(SignedDuration::from_mins(span.in_minutes().round() as i64)).ok()
    }

    /// The instant of a time counted from the first truck.
    pub fn since_first(&self, span: TimeSpan) -> Option<Timestamp> {
        self.instant(self.first?, span)
    }

    pub fn length(&self, length_of: Length) -> String {
        length(length_of, self.job.units)
    }

    /// A length for pacing out or taping roughly: to the inch, or to the centimetre.
    fn rough(&self, length: Length) -> String {
        match self.job.units {
            UnitSystem::Us => feet_inches(length, 1),
            UnitSystem::Metric => format!("{:.2} m", length.in_metres()),
        }
    }

    pub fn span(&self, span: TimeSpan) -> Said {
        Said::same(time_span(span))
    }

    /// What the stick must read, in words where it is more than a number.
    pub fn reading(&self, reading: RodReading) -> Said {
        let marks = |by: Length| Said::same(rod(by, self.job.rod));
        match reading {
            RodReading::Rod(height) if height < Length::ZERO => {
                self.words.with("over-laser", &[("by", marks(-height))])
            }
            RodReading::Rod(height) => marks(height),
            RodReading::FromMark(off) if off >= Length::ZERO => self.words.with("up", &[("by", marks(off))]),
            RodReading::FromMark(off) => self.words.with("down", &[("by", marks(-off))]),
        }
    }

    /// A tape from an edge or a corner: `A-B: 10'`, the same in every language.
    pub fn tape(&self, tie: &Tie) -> String {
        let (TieTo::Edge(name) | TieTo::Corner(name)) = &tie.to;
        format!("{}: {}", cut(name, LONGEST_NAME), self.length(tie.distance))
    }

    /// Where a line across a bay lies: a tape from an edge beside it, or from where the bay starts.
    pub fn line(&self, bay: usize, along: Length, line: [P2; 2]) -> Said {
        if let Some((distance, edge)) = crate::plan_sheets::from_edge(self.plan, line) {
            let edge = Said::same(cut(&edge, LONGEST_NAME));
            let far = Said::same(self.rough(distance));
            return self.words.with("tape-from", &[("length", far), ("edge", edge)]);
        }
        let far = Said::same(self.rough(along));
        self.words.with("past-start", &[("length", far), ("bay", Said::same(bay.to_string()))])
    }

    pub fn round(&self, round: RoundKind) -> Said {
        match round {
            RoundKind::BullFloat => self.words.say("bull-float"),
            RoundKind::Edges => self.words.say("edges"),
            RoundKind::Float => self.words.say("float"),
            RoundKind::Trowel(n) => self.words.with("trowel", &[("number", Said::same(n.to_string()))]),
            RoundKind::Broom => self.words.say("broom"),
        }
    }

    pub fn finish_round(&self, round: Round) -> Said {
        self.round(match round {
            Round::BullFloat => RoundKind::BullFloat,
            Round::Edges => RoundKind::Edges,
            Round::Float => RoundKind::Float,
            Round::Trowel(n) => RoundKind::Trowel(u32::from(n)),
            Round::Broom => RoundKind::Broom,
        })
    }

    pub fn direction(&self, direction: Direction) -> Said {
        self.words.say(match direction {
            Direction::Across => "across",
            Direction::Along => "along",
            Direction::Around => "around",
        })
    }
}
