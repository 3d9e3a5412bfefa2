//! Files of a job: carried to other programs, and brought from them. What a file holds is told before anything of it is taken.

use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use basis::{Note, UnitSystem};
use formats::SourceMap;
use formats::brought::{
    Brought, LengthUnit, OutlineWish, ReadOptions, ShotWish, TakenOutline, TakenShots, kind_of, outline_of,
    put_outline, put_shots, put_shots_file, read_brought, read_origin, shots_of,
};
use formats::events::{Change, EventId, Fingerprint};
use ground::survey::ShotOn;
use maud::{Markup, html};

use super::at;
use crate::app::{App, Opened};
use crate::look::{self, Step};
use crate::say;

/// The page.
pub async fn page(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let body = html! {
        h2 #bring { "Bring a file" }
        p { "An outline drawn elsewhere (DXF), a survey of the base (LandXML, DXF), shots as a table (CSV), the weather hour by hour (CSV, EPW, or a saved forecast). You see what it holds before anything is taken." }
        form.bring method="post" action={ "/jobs/" (id) "/bring" } {
            (look::stamp(&opened))
            input type="hidden" name="saw" value=(Fingerprint::of(&opened.state.text));
            label for="file" { "the file, 4 MB at most" }
            input #file type="file" accept=".dxf,.xml,.csv,.epw,.json,.txt";
            noscript { p.care { "This needs scripts. Without them put the file in with " code { "flatwright import" } "." } }
        }
        div #brought aria-live="polite" {}
        h2 { "Carry away" }
        ul.taps {
            @for (name, what) in CARRIED {
                li { span { (what) } a.do href={ "/jobs/" (id) "/files/" (name) } download=(name) { (name) } }
            }
        }
        p.care { "The drawing and the survey need a floor that can be figured." }
        p { a.do href={ "/jobs/" (id) "/measure" } { "to the measures" } }
    };
    look::job_page(&app, &opened, at(Step::Measure), &body)
}

const CARRIED: [(&str, &str); 4] = [
    ("job.toml", "everything about the job, as its text"),
    ("shots.csv", "the shots as a table"),
    ("floor.dxf", "outline, bays, joints, pads and shots as a drawing"),
    ("floor.xml", "shots, pads, base and finish as a survey"),
];

/// One of the files, to be kept elsewhere.
pub async fn file(State(app): State<App>, Path((id, name)): Path<(String, String)>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let figured = &opened.figured;
    let text = match name.as_str() {
        "job.toml" => Some(opened.state.text.clone()),
        "shots.csv" => figured.job.as_ref().map(formats::carried::shots_csv),
        "floor.dxf" => figured.whole().map(|(job, plan)| formats::carried::floor_dxf(job, plan)),
        "floor.xml" => {
            let made = crate::api::changed(&opened);
            figured.whole().map(|(job, plan)| formats::carried::floor_land_xml(job, plan, made))
        }
        _ => return look::not_found(&app),
    };
    let Some(text) = text else { return super::unplanned(&app, &opened, at(Step::Measure)) };
    let told = [
        (header::CONTENT_TYPE, "application/octet-stream".to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    (told, text).into_response()
}

/// What is asked of a file that was sent, as the choices below it say.
struct Asked(Vec<(String, String)>);

impl Asked {
    fn get(&self, name: &str) -> Option<&str> {
        self.0
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, value)| value.trim())
            .filter(|value| !value.is_empty())
    }
    fn takes(&self) -> bool {
        self.get("take").is_some()
    }
    /// The file's own name, without folders and signs that no name has; it is only ever a name.
    fn file_name(&self) -> String {
        let name = self.get("name").unwrap_or("file");
        let last = name.rsplit(['/', '\\', ':']).next().unwrap_or_default().trim_start_matches('.');
        let plain: String = last.chars().filter(|c| !c.is_control()).take(60).collect();
        if plain.trim().is_empty() { "file".to_owned() } else { plain.trim().to_owned() }
    }
    fn stem(&self) -> String {
        let name = self.file_name();
        name.rsplit_once('.').map_or(name.clone(), |(stem, _)| stem.to_owned())
    }
}

/// A file that was sent: what it holds, what would be taken; or it is taken.
pub async fn bring(
    State(app): State<App>,
    Path(id): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
    body: Bytes,
) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let asked = Asked(asked);
    let units = opened.figured.job.as_ref().map_or(UnitSystem::Us, |job| job.units);
    let looked = Looked { asked, opened: &opened, units };
    let seen = if kind_of(&body).is_some() { looked.drawing(&body) } else { looked.table(&body) };
    match seen {
        Seen::Told(markup) => fragment(StatusCode::OK, &markup),
        Seen::Refused(markup) => fragment(StatusCode::UNPROCESSABLE_ENTITY, &markup),
        Seen::Taken(changes) => match keep(&app, &opened, &looked.asked, changes).await {
            Ok(()) => {
                let to = format!("/jobs/{id}/measure");
                fragment(
                    StatusCode::OK,
                    &html! { p data-go=(to) { "Taken. " a href=(to) { "to the measures" } } },
                )
            }
            Err(words) => {
                fragment(StatusCode::CONFLICT, &html! { p.refused { (look::capital(&words)) "." } })
            }
        },
    }
}

fn fragment(status: StatusCode, markup: &Markup) -> Response {
    let told = [(header::CONTENT_TYPE, "text/html; charset=utf-8"), (header::CACHE_CONTROL, "no-store")];
    (status, told, markup.0.clone()).into_response()
}

/// Keeps the changes, the first under the form's own id, so that a double tap is one.
async fn keep(app: &App, opened: &Opened, asked: &Asked, changes: Vec<Change>) -> Result<(), String> {
    let broken = || "this form is broken: open the page anew".to_owned();
    let first: EventId = asked.get("event").and_then(|id| id.parse().ok()).ok_or_else(broken)?;
    let tick: u64 = asked.get("tick").and_then(|tick| tick.parse().ok()).ok_or_else(broken)?;
    // Sent again, it is taken already: what it would add now is not what was meant.
    if opened.last.iter().any(|event| event.id == first) {
        return Ok(());
    }
    for (i, change) in changes.into_iter().enumerate() {
        let id = u128::from_be_bytes(first.bytes()).wrapping_add(i as u128);
        let stamp = (EventId::from_bytes(id.to_be_bytes()), tick.saturating_add(i as u64));
        app.keep(&opened.id, stamp, change).await.map_err(|fault| fault.0)?;
    }
    Ok(())
}

/// What came of looking into a file.
enum Seen {
    Told(Markup),
    Refused(Markup),
    Taken(Vec<Change>),
}

struct Looked<'a> {
    asked: Asked,
    opened: &'a Opened,
    units: UnitSystem,
}

/// Notes with their lines in the file.
fn lined(notes: &[Note], source: &SourceMap) -> Vec<(Note, Option<usize>)> {
    let line = |note: &Note| source.position(source.locate(&note.place)?).map(|at| at.line);
    notes.iter().map(|note| (note.clone(), line(note))).collect()
}

impl Looked<'_> {
    fn drawing(&self, bytes: &[u8]) -> Seen {
        let unit = self.asked.get("unit").and_then(LengthUnit::of_word);
        let options = ReadOptions { unit, ..ReadOptions::default() };
        let parsed = read_brought(bytes, &self.asked.file_name(), &options);
        let notes = lined(&parsed.report.notes, &parsed.source);
        let Some(found) = parsed.report.value else {
            return Seen::Refused(html! {
                h3 { (self.asked.file_name()) " cannot be taken yet" }
                (look::notes(notes.iter()))
                @if notes.iter().any(|(note, _)| note.code == "unit-not-stated") { form.choice { (unit_choice(None)) } }
            });
        };
        let mut told = notes;
        let outline = self.outline(&found, &mut told);
        let shots = self.shots(&found, outline.as_ref(), &mut told);
        if self.asked.takes() {
            return self.taken(outline.as_ref(), shots.as_ref());
        }
        Seen::Told(self.choices(&found, (outline.as_ref(), shots.as_ref()), &told))
    }

    fn outline(&self, found: &Brought, told: &mut Vec<(Note, Option<usize>)>) -> Option<TakenOutline> {
        let with: Vec<&str> = found
            .layers
            .iter()
            .filter(|layer| !layer.rings.is_empty())
            .map(|layer| layer.name.as_str())
            .collect();
        let layer = match self.asked.get("outline") {
            Some("-") => return None,
            Some(layer) => layer,
            None => match with[..] {
                [only] => only,
                _ => return None,
            },
        };
        let wish = OutlineWish {
            layer: Some(layer.to_owned()),
            openings: self.asked.get("openings").map(str::to_owned),
            origin: self.origin(),
            units: self.units,
        };
        let report = outline_of(found, &wish);
        told.extend(report.notes.into_iter().map(|note| (note, None)));
        report.value
    }

    fn shots(
        &self,
        found: &Brought,
        outline: Option<&TakenOutline>,
        told: &mut Vec<(Note, Option<usize>)>,
    ) -> Option<TakenShots> {
        let with: Vec<&str> = found
            .layers
            .iter()
            .filter(|layer| !layer.spots.is_empty() || !layer.faces.is_empty())
            .map(|layer| layer.name.as_str())
            .collect();
        let layer = match self.asked.get("shots") {
            Some("-") => return None,
            Some(layer) => layer,
            None => match with[..] {
                [only] => only,
                _ => return None,
            },
        };
        let wish = ShotWish {
            layers: vec![layer.to_owned()],
            origin: outline.map(|taken| taken.origin).or_else(|| self.origin()),
            on: if self.asked.get("on") == Some("form") { ShotOn::Form } else { ShotOn::Base },
            setup: self.asked.stem(),
            units: self.units,
        };
        let report = shots_of(found, &wish);
        told.extend(report.notes.into_iter().map(|note| (note, None)));
        report.value
    }

    fn origin(&self) -> Option<ground::P2> {
        self.asked.get("origin").and_then(|said| read_origin(said).ok())
    }

    fn taken(&self, outline: Option<&TakenOutline>, shots: Option<&TakenShots>) -> Seen {
        let mut text = self.opened.state.text.clone();
        let put = |text: Result<String, String>| text.map_err(|words| html! { p.refused { (words) } });
        if let Some(outline) = outline {
            match put(put_outline(&text, outline, self.units)) {
                Ok(put) => text = put,
                Err(words) => return Seen::Refused(words),
            }
        }
        if let Some(shots) = shots {
            match put(put_shots(&text, shots, self.units)) {
                Ok(put) => text = put,
                Err(words) => return Seen::Refused(words),
            }
        }
        if outline.is_none() && shots.is_none() {
            return Seen::Refused(html! { p.refused { "Choose what is to be taken." } });
        }
        if text.len() > formats::events::LARGEST_TEXT {
            return Seen::Refused(html! { p.refused { "The job would have over 2 MB: choose less." } });
        }
        Seen::Taken(vec![Change::Text { text, saw: self.saw() }])
    }

    /// The fingerprint of the text that the page showed.
    fn saw(&self) -> Option<Fingerprint> {
        self.asked.get("saw").and_then(|saw| saw.parse().ok()).or_else(|| self.opened.state.fingerprint())
    }

    fn choices(
        &self,
        found: &Brought,
        (outline, shots): (Option<&TakenOutline>, Option<&TakenShots>),
        notes: &[(Note, Option<usize>)],
    ) -> Markup {
        let length = |metres: f64| basis::quantity::length(basis::Length::metres(metres), self.units);
        let rings: Vec<&str> =
            found.layers.iter().filter(|l| !l.rings.is_empty()).map(|l| l.name.as_str()).collect();
        let spots: Vec<&str> = found
            .layers
            .iter()
            .filter(|layer| !layer.spots.is_empty() || !layer.faces.is_empty())
            .map(|layer| layer.name.as_str())
            .collect();
        let rows: Vec<_> = found.layers.iter().map(row).collect();
        html! {
            h3 { (self.asked.file_name()) ", in " (found.unit.word()) }
            (look::table("What the file holds", &["layer", "rings", "spots", "triangles", "open lines"], &rows))
            (look::notes(notes.iter()))
            form.choice {
                div.fields {
                    @if !rings.is_empty() {
                        (layer_choice("outline", "outline from", &rings, self.asked.get("outline").or(the_only(&rings))))
                        (layer_choice("openings", "openings from", &rings, self.asked.get("openings")))
                    }
                    @if !spots.is_empty() {
                        (layer_choice("shots", "shots from", &spots, self.asked.get("shots").or(the_only(&spots))))
                        div { label for="on" { "they stand on" } select #on name="on" { option value="base" { "the base" } option value="form" selected[self.asked.get("on") == Some("form")] { "the forms" } } }
                    }
                    (unit_choice(Some(found.unit)))
                    div { label for="origin" { "origin of the plan in it" } input #origin name="origin" autocomplete="off" placeholder="as in the file" value=(self.asked.get("origin").unwrap_or_default()); }
                }
                @if let Some(outline) = outline {
                    p { strong { "Outline: " } (say::count(outline.corners.len(), "corner")) ", " (say::count(outline.openings.len() + outline.round.len(), "opening")) ". Sides "
                        (sides(&outline.corners).into_iter().map(length).collect::<Vec<_>>().join(", ")) "." }
                    p.care { "It takes the place of the outline that is there. Corners near the old ones keep their names." }
                }
                @if let Some(shots) = shots {
                    p { strong { "Shots: " } (say::count(shots.shots.len(), "shot")) " as set-up " (shots.setup) ", under a level plane at " (length(shots.plane.in_metres())) "." }
                }
                @if outline.is_some() || shots.is_some() { button.main name="take" value="yes" { "take " (match (&outline, &shots) { (Some(_), Some(_)) => "outline and shots", (Some(_), None) => "the outline", _ => "the shots" }) } }
                @else { p { "Nothing is chosen yet." } }
            }
        }
    }

    /// A table: of readings, or of hours of weather.
    fn table(&self, bytes: &[u8]) -> Seen {
        let name = self.asked.file_name();
        let refused = |words: &str, hint: &str| {
            Seen::Refused(html! { h3 { (name) " cannot be taken" } p.refused { (words) } p { (hint) } })
        };
        let Ok(text) = std::str::from_utf8(bytes) else {
            return refused(
                "It is neither a drawing nor a survey nor text.",
                "Save it as CSV UTF-8, ASCII DXF or LandXML.",
            );
        };
        if text.len() > formats::events::LARGEST_TEXT {
            return refused("It has over 2 MB.", "Save only the rows that are wanted.");
        }
        let head = text.lines().next().unwrap_or_default().to_lowercase();
        let is_weather =
            formats::weather_kind(text) != formats::WeatherKind::Table || head.contains("temperature");
        match (is_weather, head.contains("reading")) {
            (true, _) => self.weather(text),
            (false, true) => self.readings(text),
            (false, false) => refused(
                "It is neither a table of shots nor of weather.",
                "The first line names the columns: setup,name,x,y,reading,on - or time, temperature degF, humidity %, wind mph, cloud %.",
            ),
        }
    }

    /// Changes that bring a file and let the job name it at a place.
    fn named(&self, text: &str, job: Result<String, String>) -> Seen {
        let name = self.asked.file_name();
        let saw = self.opened.state.files.get(&name).map(|text| Fingerprint::of(text));
        let file = Change::File { name, text: Some(text.to_owned()), saw };
        match job {
            Ok(job) => Seen::Taken(vec![file, Change::Text { text: job, saw: self.saw() }]),
            Err(words) => Seen::Refused(html! { p.refused { (words) } }),
        }
    }

    fn readings(&self, text: &str) -> Seen {
        let name = self.asked.file_name();
        let before = self.opened.figured.job.as_ref();
        let job = match put_shots_file(&self.opened.state.text, &name) {
            Ok(job) => job,
            Err(words) => return Seen::Refused(html! { p.refused { (words) } }),
        };
        if self.asked.takes() {
            return self.named(text, Ok(job));
        }
        let fetch = |asked: &str| match asked == name {
            true => Ok(text.to_owned().into_bytes()),
            false => self
                .opened
                .state
                .files
                .get(asked)
                .map(|text| text.clone().into_bytes())
                .ok_or_else(|| "it was not given".to_owned()),
        };
        let parsed = formats::read_job(&job, "the job", &fetch);
        let notes: Vec<_> = lined(&parsed.report.notes, &parsed.source)
            .into_iter()
            .filter(|(note, _)| note.place.path().starts_with("survey"))
            .collect();
        let count = |job: &pour::Job| job.survey.setups.iter().map(|setup| setup.shots.len()).sum::<usize>();
        Seen::Told(html! {
            h3 { (name) ": a table of shots" }
            (look::notes(notes.iter()))
            @if let Some(job) = &parsed.report.value {
                p { "With it the job has " (say::count(count(job), "shot")) @if let Some(before) = before { "; it has " (count(before)) " now" } "." }
            }
            form.choice { button.main name="take" value="yes" { "take the table" } }
        })
    }

    fn weather(&self, text: &str) -> Seen {
        let name = self.asked.file_name();
        let zone = self.opened.figured.job.as_ref().map(|job| job.zone.as_str()).unwrap_or("UTC");
        let zone = jiff::tz::TimeZone::get(zone).unwrap_or(jiff::tz::TimeZone::UTC);
        let parsed = formats::read_weather(text.as_bytes(), &name, &zone);
        let notes = lined(&parsed.report.notes, &parsed.source);
        let Some(file) = parsed.report.value else {
            return Seen::Refused(html! { h3 { (name) " cannot be taken yet" } (look::notes(notes.iter())) });
        };
        if self.asked.takes() {
            return self.named(text, formats::brought::put_weather_file(&self.opened.state.text, &name));
        }
        let at = |at: jiff::Timestamp| zone.to_datetime(at).strftime("%Y-%m-%d %H:%M").to_string();
        let (series, hours) = (&file.series, file.series.records.iter().flatten().count());
        Seen::Told(html! {
            h3 { (name) ": weather" }
            (look::notes(notes.iter()))
            p { (say::count(hours, "hour")) ", from " (at(series.start)) " to " (at(series.end())) ", local time of the site. It takes the place of the weather that is stated." }
            form.choice { button.main name="take" value="yes" { "take the weather" } }
        })
    }
}

fn row(layer: &formats::brought::Layer) -> Vec<Markup> {
    let count = |count: usize| if count == 0 { "-".to_owned() } else { count.to_string() };
    look::cells([
        layer.name.chars().take(40).collect(),
        count(layer.rings.len() + layer.circles.len()),
        count(layer.spots.len()),
        count(layer.faces.len()),
        count(layer.open),
    ])
}

/// The first sides of a ring, m.
fn sides(corners: &[ground::P2]) -> Vec<f64> {
    let count = corners.len();
    (0..count.min(12)).map(|i| corners[i].distance(corners[(i + 1) % count])).collect()
}

/// The layer where there is no choice.
fn the_only<'a>(layers: &[&'a str]) -> Option<&'a str> {
    layers.first().copied().filter(|_| layers.len() == 1)
}

fn layer_choice(name: &str, words: &str, layers: &[&str], chosen: Option<&str>) -> Markup {
    let first = if name == "openings" { ("", "the same layer") } else { ("-", "nothing") };
    html! {
        div {
            label for=(name) { (words) }
            select id=(name) name=(name) {
                option value=(first.0) { (first.1) }
                @for layer in layers { option value=(layer) selected[chosen == Some(*layer)] { (layer) } }
            }
        }
    }
}

fn unit_choice(unit: Option<LengthUnit>) -> Markup {
    html! {
        div {
            label for="unit" { "unit of the file" }
            select #unit name="unit" {
                @if unit.is_none() { option value="" { "say which" } }
                @for word in LengthUnit::words() { option value=(word) selected[unit.is_some_and(|unit| unit.word() == word)] { (word) } }
            }
        }
    }
}
