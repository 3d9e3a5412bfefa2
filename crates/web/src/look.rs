//! The look of every page: the job's name, the tape with the six steps, and floor and day line under the thumb.

use basis::{Note, Severity};
use formats::events::{Conflict, Touched};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use papers::drawing::screen::{OnScreen, Sample};

use crate::figured::Figured;
use crate::opened::{Frame, Occasion, Opened, Signal};
use crate::say;

#[cfg(feature = "server")]
pub use crate::answer::{job_page, not_found, plain_page, refused, trouble};

/// The six steps of a job, in order of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Outline, set-ups, shots.
    Measure,
    /// What it costs.
    Price,
    /// What to order.
    Order,
    /// Trucks, pads, load lines.
    Pour,
    /// Rounds.
    Finish,
    /// What it was.
    Close,
}

impl Step {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Measure, Self::Price, Self::Order, Self::Pour, Self::Finish, Self::Close];
    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Measure => "measure",
            Self::Price => "price",
            Self::Order => "order",
            Self::Pour => "pour",
            Self::Finish => "finish",
            Self::Close => "close",
        }
    }
}

/// Where a page of a job stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stand {
    /// At a step.
    Step(Step),
    /// At the floor.
    Floor,
    /// At the day line.
    DayLine,
}

/// A page of a job.
pub fn job_text(frame: &Frame<'_>, opened: &Opened, stand: Stand, body: &Markup) -> String {
    let id = opened.id.as_str();
    let name = opened.figured.job.as_ref().map_or(id, |job| job.name.as_str());
    let title = match stand {
        Stand::Step(step) => format!("{}: {name}", capital(step.word())),
        Stand::Floor => format!("Floor: {name}"),
        Stand::DayLine => format!("Day line: {name}"),
    };
    let head = html! {
        p.trail { a href="/" { "all jobs" } }
        h1 { (name) }
        p.when { (when(frame.now, &opened.figured)) }
        nav.tape aria-label="Steps of the job" {
            ol {
                @for step in Step::ALL.into_iter().filter(|step| frame.who.may_open(step.word())) {
                    li { a href={ "/jobs/" (id) "/" (step.word()) } aria-current=[(stand == Stand::Step(step)).then_some("page")] { (step.word()) } }
                }
            }
        }
    };
    let on_site = matches!(stand, Stand::Step(Step::Pour | Step::Finish) | Stand::Floor | Stand::DayLine);
    let body = &html! {
        @if on_site { section #waiting.waiting aria-label="Entries of this phone" data-tick=(opened.state.tick) hidden {} }
        (conflicts(opened))
        (body)
    };
    let hand = html! {
        nav.hand aria-label="Floor and day line" {
            a href={ "/jobs/" (id) "/floor" } aria-current=[(stand == Stand::Floor).then_some("page")] { span.plan aria-hidden="true" {} "floor" }
            a href={ "/jobs/" (id) "/day" } aria-current=[(stand == Stand::DayLine).then_some("page")] { span.line aria-hidden="true" {} "day line" }
        }
    };
    page(frame, &Page { title: &title, job: Some((id, opened.state.tick)), head: &head, body, hand: &hand })
}

/// A page without a job.
#[cfg(feature = "server")]
pub fn plain_text(frame: &Frame<'_>, title: &str, body: &Markup) -> String {
    let head = html! { p.trail { a href="/" { "all jobs" } } h1 { (title) } };
    page(frame, &Page { title, job: None, head: &head, body, hand: &html! {} })
}

struct Page<'a> {
    title: &'a str,
    job: Option<(&'a str, u64)>,
    head: &'a Markup,
    body: &'a Markup,
    hand: &'a Markup,
}

fn page(frame: &Frame<'_>, page: &Page<'_>) -> String {
    let asset = |name: &str| format!("/assets/{}/{name}", frame.mark);
    let now = frame.now.as_millisecond();
    let text = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="theme-color" content="#fbfaf6";
                title { (page.title) " - Flatwright" }
                link rel="stylesheet" href=(asset("drawn.css"));
                link rel="stylesheet" href=(asset("app.css"));
                link rel="icon" href=(asset("mark.svg")) type="image/svg+xml";
                script type="module" src=(asset("app.js")) {}
            }
            body data-now=(now) data-job=[page.job.map(|(id, _)| id)] data-revision=[page.job.map(|(_, revision)| revision)] {
                a.skip href="#main" { "to the page" }
                (PreEscaped(papers::drawing::screen::hatches()))
                header.head {
                    @if frame.occasion == Occasion::Demonstration {
                        p.demo { "Demonstration: all jobs are invented, and the clock was set to the morning of the first pour." }
                    }
                    @if frame.who.number.is_some() { p.signed { a href="/me" { span.visually-hidden { "you are " } (frame.who.name) } } }
                    (page.head)
                    @if let Signal::Lost { known } = frame.signal { p.as-of data-known=(known.as_millisecond()) { "No signal: figured on this phone from what was known " (say::ahead(basis::TimeSpan::seconds(known.duration_since(frame.now).as_secs_f64()))) "." } }
                }
                main #main tabindex="-1" { (page.body) }
                (page.hand)
                p #told role="status" aria-live="polite" {}
            }
        }
    };
    text.into_string()
}

/// The day of the pour and how far it is.
fn when(now: jiff::Timestamp, figured: &Figured) -> String {
    let Some(job) = &figured.job else { return "This job cannot be read yet.".to_owned() };
    let Some(first) = job.day.first_truck else { return "No day for the first truck yet.".to_owned() };
    let day = pour::wall::weekday(first.date());
    let told = format!("{day} {}, first truck {}", first.date(), clock(first.time(), job.units));
    let Ok(zone) = jiff::tz::TimeZone::get(&job.zone) else { return told };
    let today = zone.to_datetime(now).date();
    let days = first.date().duration_since(today).as_hours() / 24;
    let far = match days {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        days if days > 0 => format!("in {days} days"),
        days => format!("{} days ago", -days),
    };
    format!("{far}: {told}")
}

/// What two people wrote without knowing of each other, and what could not be done.
fn conflicts(opened: &Opened) -> Markup {
    let open: Vec<&Conflict> = opened.state.conflicts.iter().filter(|c| c.settled_by.is_none()).collect();
    let at = |touched: &Touched| match touched {
        Touched::Text => "the whole text".to_owned(),
        Touched::File(name) => name.clone(),
        Touched::Value(at) => {
            opened.state.place(at).map_or_else(|| "a row that is gone".to_owned(), |p| p.path().to_owned())
        }
    };
    let told = |value: &Option<String>| match value {
        Some(text) if text.len() < 80 => text.clone(),
        Some(_) => "a long text".to_owned(),
        None => "nothing".to_owned(),
    };
    html! {
        @if !open.is_empty() || !opened.state.faults.is_empty() {
            ul.notes data-severity="warning" {
                @for conflict in open {
                    li { strong { "Two wrote at once: " } (at(&conflict.at)) " is now " b { (told(&conflict.wrote)) } " by " (conflict.by) "; "
                        (conflict.stood_by.as_ref().map_or("the job", |(_, by)| by.as_str())) " had written " b { (told(&conflict.stood)) } ". Write the one that holds once more." }
                }
                @for fault in &opened.state.faults { li { strong { (fault.by) ": " } (fault.note.message) ". " em { (capital(&fault.note.hint)) "." } } }
            }
        }
    }
}

/// The hidden fields of a form: the event that it becomes, so that a double tap is one.
pub fn stamp(opened: &Opened) -> Markup {
    let (event, tick) = opened.stamp();
    html! { input type="hidden" name="event" value=(event); input type="hidden" name="tick" value=(tick); }
}

/// A time of day as the job's people read it.
pub fn clock(time: jiff::civil::Time, units: basis::UnitSystem) -> String {
    let (hour, minute) = (time.hour(), time.minute());
    match units {
        basis::UnitSystem::Metric => format!("{hour}:{minute:02}"),
        basis::UnitSystem::Us => {
            format!("{}:{minute:02} {}", (hour + 11) % 12 + 1, if hour < 12 { "am" } else { "pm" })
        }
    }
}

/// A sentence with a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Notes with the place they speak of and what to do.
pub fn notes<'a>(notes: impl Iterator<Item = &'a (Note, Option<usize>)>) -> Markup {
    let all: Vec<&(Note, Option<usize>)> = notes.collect();
    let of = |severity: Severity| all.iter().filter(move |(note, _)| note.severity == severity);
    html! {
        @for severity in [Severity::Fault, Severity::Warning] {
            @if of(severity).next().is_some() {
                ul.notes data-severity=(severity) {
                    @for (note, line) in of(severity) { (one_note(note, *line)) }
                }
            }
        }
        @if of(Severity::Remark).next().is_some() {
            details.notes {
                summary { (say::count(of(Severity::Remark).count(), "remark")) }
                ul { @for (note, line) in of(Severity::Remark) { (one_note(note, *line)) } }
            }
        }
    }
}

fn one_note(note: &Note, line: Option<usize>) -> Markup {
    html! {
        li {
            strong { (capital(&note.severity.to_string())) ": " } (say::raised(&note.message)) "."
            @if !note.hint.is_empty() { " " em { (say::raised(&capital(&note.hint))) "." } }
            @if let Some(line) = line { " " small { "line " (line) @if !note.place.path().is_empty() { ", " code { (note.place.path()) } } } }
        }
    }
}

/// A drawing of the floor with its legend and what found no room.
pub fn drawing(drawn: &OnScreen) -> Markup {
    html! {
        figure.floor {
            (PreEscaped(say::raised(&drawn.svg)))
            @if !drawn.without_room.is_empty() {
                p.room { "No room on the floor for: " (say::raised(&drawn.without_room.join("; "))) }
            }
            (legend(&drawn.keys))
            @for note in &drawn.notes { p.care { (say::raised(note)) } }
        }
    }
}

/// A legend, folded.
pub fn legend(keys: &[Sample]) -> Markup {
    html! {
        details.legend {
            summary { "what the marks mean" }
            ul { @for key in keys { li { (PreEscaped(&key.svg)) span { (key.what) } } } }
        }
    }
}

/// One big figure with what it is.
pub fn figure(what: &str, value: &str, more: &str) -> Markup {
    html! { div.figure { p.what { (what) } p.value { (value) } @if !more.is_empty() { p.more { (more) } } } }
}

/// A table that scrolls within itself where a phone is too narrow.
pub fn table(caption: &str, head: &[&str], rows: &[Vec<Markup>]) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label=(caption) {
            table {
                caption { (caption) }
                thead { tr { @for cell in head { @if cell.is_empty() { td {} } @else { th scope="col" { (cell) } } } } }
                tbody {
                    @for row in rows {
                        tr { @for (i, cell) in row.iter().enumerate() { @if i == 0 { th scope="row" { (cell) } } @else { td.wrap[cell.0.chars().count() > 26] { (cell) } } } }
                    }
                }
            }
        }
    }
}

/// Cells of text.
pub fn cells<const N: usize>(row: [String; N]) -> Vec<Markup> {
    row.into_iter().map(|cell| html! { (cell) }).collect()
}
