//! The shots, the pads and the surfaces as a survey: LandXML 1.2 [@landxml-1-2].
//!
//! Coordinates stand as northing, easting, elevation; the plan's up is taken as north. Lengths stand in international feet or metres.

use std::fmt::Write as _;

use basis::UnitSystem;
use ground::survey::ShotOn;
use ground::{Facet, P3};
use jiff::Timestamp;
use pour::Job;
use pour::plan::Plan;

/// The survey, as of an instant.
///
/// Points: the shots by set-up and name with what they stood on, the pads by number. Surfaces: `base`, the mean of the base as shot, and
/// `finish`, the top as it will be struck.
#[must_use]
pub fn floor_land_xml(job: &Job, plan: &Plan, made: Timestamp) -> String {
    let mut out =
        Survey { text: String::new(), unit: if job.units == UnitSystem::Us { 0.3048 } else { 1.0 } };
    out.head(job, made);
    points(&mut out, plan);
    out.line("  <Surfaces>");
    out.surface("base", plan.ground.base.facets());
    out.surface("finish", plan.ground.finish.facets());
    out.line("  </Surfaces>");
    out.line("</LandXML>");
    out.text
}

struct Survey {
    text: String,
    /// The survey's unit, m.
    unit: f64,
}

/// Text as XML writes it; signs that XML cannot hold become a question mark.
fn escaped(text: &str) -> String {
    let letter = |c: char| match c {
        '&' => "&amp;".to_owned(),
        '<' => "&lt;".to_owned(),
        '>' => "&gt;".to_owned(),
        '"' => "&quot;".to_owned(),
        '\t' | '\n' | '\r' => " ".to_owned(),
        c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => "?".to_owned(),
        c => c.to_string(),
    };
    text.chars().map(letter).collect()
}

impl Survey {
    fn line(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }

    /// A length in the survey's unit, to a tenth of a nanometre, without noughts at its end.
    fn number(&self, metres: f64) -> String {
        let text = format!("{:.10}", metres / self.unit);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        if text == "-0" { "0".to_owned() } else { text.to_owned() }
    }

    /// Northing, easting, elevation.
    fn spot(&self, at: P3) -> String {
        format!("{} {} {}", self.number(at.y), self.number(at.x), self.number(at.z))
    }

    fn head(&mut self, job: &Job, made: Timestamp) {
        let at = jiff::tz::TimeZone::UTC.to_datetime(made);
        self.line("<?xml version=\"1.0\" encoding=\"UTF-8\"?>");
        // Writing to a string cannot fail.
        let _ = writeln!(
            self.text,
            "<LandXML xmlns=\"http://www.landxml.org/schema/LandXML-1.2\" version=\"1.2\" date=\"{}\" time=\"{}\" language=\"English\" readOnly=\"false\">",
            at.date(),
            at.time().round(jiff::Unit::Second).unwrap_or(at.time())
        );
        self.line("  <Units>");
        self.line(if job.units == UnitSystem::Us {
            "    <Imperial areaUnit=\"squareFoot\" linearUnit=\"foot\" volumeUnit=\"cubicYard\" temperatureUnit=\"fahrenheit\" pressureUnit=\"inHG\"/>"
        } else {
            "    <Metric areaUnit=\"squareMeter\" linearUnit=\"meter\" volumeUnit=\"cubicMeter\" temperatureUnit=\"celsius\" pressureUnit=\"milliBars\"/>"
        });
        self.line("  </Units>");
        let _ = writeln!(self.text, "  <Project name=\"{}\"/>", escaped(&job.name));
        self.line("  <Application name=\"Flatwright\"/>");
    }

    fn point(&mut self, name: &str, code: &str, at: P3) {
        let spot = self.spot(at);
        let _ =
            writeln!(self.text, "    <CgPoint name=\"{}\" code=\"{code}\">{spot}</CgPoint>", escaped(name));
    }

    /// A surface of triangles: facets are cut into fans, and the spots that they share are one.
    fn surface(&mut self, name: &str, facets: &[Facet]) {
        let (spots, faces) = fans(facets);
        let _ = writeln!(
            self.text,
            "    <Surface name=\"{name}\">\n      <Definition surfType=\"TIN\">\n        <Pnts>"
        );
        for (i, spot) in spots.iter().enumerate() {
            let at = self.spot(*spot);
            let _ = writeln!(self.text, "          <P id=\"{}\">{at}</P>", i + 1);
        }
        self.line("        </Pnts>\n        <Faces>");
        for [a, b, c] in faces {
            let _ = writeln!(self.text, "          <F>{} {} {}</F>", a + 1, b + 1, c + 1);
        }
        self.line("        </Faces>\n      </Definition>\n    </Surface>");
    }
}

/// Spots, each once, and triangles by the numbers of their corners.
fn fans(facets: &[Facet]) -> (Vec<P3>, Vec<[usize; 3]>) {
    let mut numbers = std::collections::BTreeMap::new();
    let (mut spots, mut faces) = (Vec::new(), Vec::new());
    for facet in facets {
        let ring: Vec<usize> = facet
            .ring
            .iter()
            .map(|at| {
                let spot = P3 { x: at.x, y: at.y, z: facet.plane.z(*at) };
                // Neighbours figure a shared corner from planes of their own: within a nanometre it is one.
                let key = [spot.x, spot.y, spot.z].map(|metres| (metres * 1e9).round() as i64);
                *numbers.entry(key).or_insert_with(|| {
                    spots.push(spot);
                    spots.len() - 1
                })
            })
            .collect();
        for pair in ring.get(1..).unwrap_or_default().windows(2) {
            if ring[0] != pair[0] && pair[0] != pair[1] && pair[1] != ring[0] {
                faces.push([ring[0], pair[0], pair[1]]);
            }
        }
    }
    (spots, faces)
}

fn points(out: &mut Survey, plan: &Plan) {
    out.line("  <CgPoints name=\"shots\">");
    for shot in &plan.levelled.shots {
        let code = match shot.on {
            ShotOn::Base => "base",
            ShotOn::Form => "form",
            ShotOn::TurningPoint => "turn",
        };
        let setup = plan.levelled.setups.get(shot.setup).map_or("", |setup| setup.name.as_str());
        out.point(&format!("{setup} {}", shot.name), code, P3 { x: shot.at.x, y: shot.at.y, z: shot.z });
    }
    out.line("  </CgPoints>\n  <CgPoints name=\"pads\">");
    for pad in &plan.pads.pads {
        let at = P3 { x: pad.at.x, y: pad.at.y, z: pad.elevation.in_metres() };
        out.point(&format!("pad {}", pad.number), "pad", at);
    }
    out.line("  </CgPoints>");
}
