//! The two figures of one area from all its lines.

use basis::{Area, Length, Note, Place, Report};

use super::{
    FLATNESS, Kept, LEAST_AREA, LEVELNESS, Range90, Sample, ceilings, combined, curvatures, readings_needed,
    sample, ten_space_differences,
};
use crate::words;

/// What a line says by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct LineFigures {
    /// Its name.
    pub name: String,
    /// How it bends.
    pub curvature: Sample,
    /// Its flatness number; infinite where it does not bend at all.
    pub flatness: f64,
    /// Its differences over ten spaces.
    pub difference: Sample,
    /// Its levelness number; infinite where it is level throughout.
    pub levelness: f64,
}

/// One of the two figures of an area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionFigure {
    /// The number by the procedure, from the readings as they are.
    pub number: f64,
    /// Where the floor's own number lies 9 times in 10.
    pub range: Range90,
    /// How many readings it rests on.
    pub readings: usize,
    /// The best number that the instrument's noise lets through.
    pub ceiling: f64,
    /// Share of the readings' variance that noise explains; 1 or more where noise alone would show as much.
    pub noise_share: f64,
}

impl SectionFigure {
    /// The number less the part that noise explains: what a perfect instrument would likely have shown. No standard asks for
    /// it; `None` where noise explains three quarters or more and nothing can be told.
    #[must_use]
    pub fn without_noise(&self) -> Option<f64> {
        (self.noise_share < 0.75).then(|| self.number / (1.0 - self.noise_share).sqrt())
    }
}

/// Flatness and levelness of an area.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Each line by itself.
    pub lines: Vec<LineFigures>,
    /// Flatness.
    pub flatness: SectionFigure,
    /// Levelness.
    pub levelness: SectionFigure,
    /// Readings over ten spaces that the area needs.
    pub needed: usize,
}

/// Flatness and levelness of one area from the runs of its lines that count.
///
/// The elevations are as read, or, on a floor that is meant to fall, their distance from the design. `noise` is the error of one reading
/// by itself, one standard deviation.
///
/// # Errors
/// Refused without a line or with lines of both spacings. A warning where there are fewer readings than the area needs, where noise
/// explains half of what was read, and where the area is smaller than the standard tests.
#[must_use]
pub fn section(runs: &[Kept], area: Area, noise: Length) -> Report<Section> {
    let mut notes = Vec::new();
    if let Some(other) = runs.iter().find(|run| run.spacing != runs[0].spacing) {
        notes.push(Note::fault(
            "spacings-mixed",
            other.place.clone(),
            "some lines are read every foot and some every 300 mm",
            "read all lines of a floor at one spacing",
        ));
    }
    let bends: Vec<Vec<f64>> = runs.iter().map(|run| curvatures(&run.elevations)).collect();
    let differences: Vec<Vec<f64>> = runs.iter().map(|run| ten_space_differences(&run.elevations)).collect();
    let lines: Vec<LineFigures> = runs
        .iter()
        .zip(bends.iter().zip(&differences))
        .filter_map(|(run, (q, z))| figures(run, q, z))
        .collect();
    let limits = ceilings(noise);
    let variance = noise.in_metres() * noise.in_metres();
    let of = |which: fn(&LineFigures) -> (f64, Sample), readings: &[Vec<f64>], noise: f64, ceiling: f64| {
        let number = combined(lines.iter().map(|l| (which(l).0, which(l).1.count as f64)))?;
        Some(figure(number, readings, noise, ceiling))
    };
    let flatness = of(|l| (l.flatness, l.curvature), &bends, 6.0 * variance, limits.flatness);
    let levelness = of(|l| (l.levelness, l.difference), &differences, 2.0 * variance, limits.levelness);
    let (Some(flatness), Some(levelness)) = (flatness, levelness) else {
        let hint = "read lines of 11 ft (3.3 m) or more, 2 ft (600 mm) off the edges";
        notes.push(Note::fault(
            "no-line-counts",
            Place::at("line"),
            "no line is left to figure flatness from",
            hint,
        ));
        return Report::refused(notes);
    };
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let section = Section { lines, flatness, levelness, needed: readings_needed(area) };
    tell(&section, area, &mut notes);
    Report::with(section, notes)
}

fn figures(run: &Kept, bends: &[f64], differences: &[f64]) -> Option<LineFigures> {
    let (curvature, difference) = (sample(bends)?, sample(differences)?);
    Some(LineFigures {
        name: run.name.clone(),
        curvature,
        flatness: curvature.number(FLATNESS),
        difference,
        levelness: difference.number(LEVELNESS),
    })
}

fn figure(number: f64, readings: &[Vec<f64>], noise: f64, ceiling: f64) -> SectionFigure {
    let count: usize = readings.iter().map(Vec::len).sum();
    let square = readings.iter().flatten().map(|x| x * x).sum::<f64>() / count.max(1) as f64;
    let noise_share = if square > 0.0 { noise / square } else { f64::from(u8::from(noise > 0.0)) };
    SectionFigure { number, range: Range90::of(number, readings), readings: count, ceiling, noise_share }
}

fn tell(section: &Section, area: Area, notes: &mut Vec<Note>) {
    let (readings, needed) = (section.levelness.readings, section.needed);
    if readings < needed {
        let message = format!("{readings} readings over ten spaces; the area needs {needed}");
        notes.push(Note::warning("too-few-readings", Place::at("line"), message, "read further lines"));
    }
    if section.flatness.noise_share > 0.5 {
        let message = format!(
            "the error of single readings explains {:.0} % of how the lines bend: no floor read like this shows flatness over {:.0}",
            100.0 * section.flatness.noise_share.min(1.0),
            section.flatness.ceiling
        );
        let hint = "take flatness as at least this; a floor profiler or a digital level tells more";
        notes.push(Note::warning("flatness-hidden-by-noise", Place::at("line"), message, hint));
    }
    if area < LEAST_AREA * (1.0 - 1e-9) {
        notes.push(Note::in_both(|units| {
            let [own, least] = [area, LEAST_AREA].map(|a| words::area(a.in_square_metres(), units));
            let message =
                format!("{own} is less than the {least} that the standard tests; figured all the same");
            Note::remark("area-under-the-standard", Place::at("line"), message)
        }));
    }
}
