//! The shots of a job as the table that a job can name [@rfc4180].

use basis::Length;
use ground::survey::{RodReading, ShotOn};
use pour::Job;

use crate::write::WriteQuantity;

/// The shots of all set-ups, each length with its unit in its cell, so that reading them back gives the same shots to the last bit.
///
/// ```
/// let job = formats::read_job(formats::starter(), "new.toml", &|_| Err(String::new())).report.value.unwrap();
/// assert!(formats::carried::shots_csv(&job).starts_with("setup,name,x,y,reading,on\n"));
/// ```
#[must_use]
pub fn shots_csv(job: &Job) -> String {
    let mut out = String::from("setup,name,x,y,reading,on\n");
    for setup in &job.survey.setups {
        for shot in &setup.shots {
            let length = |metres: f64| Length::metres(metres).text(job.units);
            let reading = match shot.reading {
                RodReading::Rod(height) => height.text(job.units),
                RodReading::FromMark(off) if off >= Length::ZERO => format!("up {}", off.text(job.units)),
                RodReading::FromMark(off) => format!("down {}", off.abs().text(job.units)),
            };
            let on = match shot.on {
                ShotOn::Base => "base",
                ShotOn::Form => "form",
                ShotOn::TurningPoint => "turn",
            };
            let row =
                [&setup.name, &shot.name, &length(shot.at.x), &length(shot.at.y), &reading, on].map(cell);
            out.push_str(&row.join(","));
            out.push('\n');
        }
    }
    out
}

/// A cell, in quotes where it must be; a cell may not run over a line end.
fn cell(text: &str) -> String {
    let text: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let needs = text.contains([',', ';', '"']) || text.trim() != text;
    if needs { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}
