//! `import`: an outline or shots of another program's file, put into a job file.

use std::path::Path;

use basis::{Note, Severity, UnitSystem, has_fault};
use formats::brought::{
    Brought, LengthUnit, OutlineWish, ReadOptions, ShotWish, kind_of, outline_of, put_outline, put_shots,
    put_shots_file, read_brought, read_origin, shots_of,
};
use formats::{SourceMap, read_job_bytes};
use ground::P2;
use ground::survey::ShotOn;

use super::{notes_text, read};
use crate::args::{ImportArgs, OnWhat};
use crate::error::Failure;
use crate::show;

/// Reads the files, tells what is taken, and writes the job.
pub fn run(args: &ImportArgs) -> Result<String, Failure> {
    match taken(args) {
        // Whoever only looks learns what is there, and what more must be said.
        Err(Failure { text, code: UNDECIDED }) if args.look => Ok(text + "nothing was written\n"),
        Err(Failure { text, code: UNDECIDED }) => Err(Failure::faults(text)),
        done => done,
    }
}

/// Marks a failure that comes of what was asked, not of the file.
const UNDECIDED: u8 = 3;

fn taken(args: &ImportArgs) -> Result<String, Failure> {
    let text = String::from_utf8(read(&args.job)?)
        .map_err(|_| Failure::faults(format!("{} is not UTF-8 text\n", args.job.display())))?;
    let units = units(&text);
    let mut told = String::new();
    let mut job = text.clone();
    let mut origin = origin(args)?;
    if let Some(path) = &args.outline {
        let brought = brought(path, args, &mut told)?;
        let wish = OutlineWish {
            layer: args.layer.first().cloned(),
            openings: args.openings.clone(),
            origin,
            units,
        };
        let taken = unloaded(outline_of(&brought, &wish), &mut told)?;
        let openings = taken.openings.len() + taken.round.len();
        told += &format!("outline: {} corners, {}\n", taken.corners.len(), show::count(openings, "opening"));
        origin = Some(taken.origin);
        job = put_outline(&job, &taken, units).map_err(words)?;
    }
    for path in &args.shots {
        job = shots(args, path, (&job, units, origin), &mut told)?;
    }
    if args.outline.is_none() && args.shots.is_empty() {
        return Err(Failure::faults("nothing to take: name a file with --outline or --shots\n".to_owned()));
    }
    finish(args, &job, told)
}

fn words(words: String) -> Failure {
    Failure::faults(format!("{words}\n"))
}

/// The job's units, as far as it can be read; without them, US units as in a starter.
fn units(text: &str) -> UnitSystem {
    let metric = text.lines().any(|line| {
        let line = line.split('#').next().unwrap_or_default().replace(' ', "");
        line.contains("units=\"metric\"") || line.contains("units='metric'")
    });
    if metric { UnitSystem::Metric } else { UnitSystem::Us }
}

fn origin(args: &ImportArgs) -> Result<Option<P2>, Failure> {
    args.origin.as_deref().map(read_origin).transpose().map_err(|why| words(format!("--origin {why}")))
}

/// Reads one file and tells what it holds.
fn brought(path: &Path, args: &ImportArgs, told: &mut String) -> Result<Brought, Failure> {
    let mut options = ReadOptions::default();
    if let Some(said) = &args.unit {
        let unit = LengthUnit::of_word(said);
        let unit = unit.ok_or_else(|| {
            words(format!("--unit \"{said}\" is none of {}", LengthUnit::words().join(", ")))
        })?;
        options.unit = Some(unit);
    }
    if let Some(said) = &args.close {
        options.close = said.parse().map_err(|e: basis::quantity::QuantityError| {
            words(format!("--close: {}; {}", e.message, e.hint))
        })?;
    }
    let parsed = read_brought(&read(path)?, &path.display().to_string(), &options);
    let Some(found) = parsed.report.value else {
        return Err(Failure::faults(notes_text(&parsed.report.notes, &parsed.source, Severity::Remark)));
    };
    *told += &format!("{}, in {}:\n", path.display(), found.unit.word());
    for layer in &found.layers {
        let parts = [
            (layer.rings.len() + layer.circles.len(), "ring"),
            (layer.spots.len(), "spot"),
            (layer.faces.len(), "triangle"),
            (layer.open, "open line"),
        ];
        let parts: Vec<String> = parts
            .iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, what)| show::count(*count, what))
            .collect();
        *told += &format!("  layer {}: {}\n", layer.name, parts.join(", "));
    }
    *told += &remarks(&parsed.report.notes, &parsed.source);
    Ok(found)
}

fn remarks(notes: &[Note], source: &SourceMap) -> String {
    if notes.is_empty() { String::new() } else { notes_text(notes, source, Severity::Remark) }
}

fn unloaded<T>(report: basis::Report<T>, told: &mut String) -> Result<T, Failure> {
    let text = remarks(&report.notes, &SourceMap::default());
    match report.value {
        Some(value) => {
            *told += &text;
            Ok(value)
        }
        None => Err(Failure { text: std::mem::take(told) + &text, code: UNDECIDED }),
    }
}

/// Shots of a survey or a drawing as a set-up; a table of readings is named by the job as it is.
fn shots(
    args: &ImportArgs,
    path: &Path,
    (job, units, origin): (&str, UnitSystem, Option<P2>),
    told: &mut String,
) -> Result<String, Failure> {
    let bytes = read(path)?;
    if kind_of(&bytes).is_none() {
        return table(args, path, job, told);
    }
    let brought = brought(path, args, told)?;
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let layers = if args.outline.is_some() {
        args.shots_layer.clone()
    } else {
        args.shots_layer.iter().chain(&args.layer).cloned().collect()
    };
    let on = match args.on {
        OnWhat::Base => ShotOn::Base,
        OnWhat::Form => ShotOn::Form,
    };
    let setup = args.setup.clone().unwrap_or(stem);
    let wish = ShotWish { layers, origin, on, setup, units };
    let taken = unloaded(shots_of(&brought, &wish), told)?;
    *told += &format!(
        "set-up {}: {} under a level plane at {}\n",
        taken.setup,
        show::count(taken.shots.len(), "shot"),
        basis::quantity::length(taken.plane, units)
    );
    put_shots(job, &taken, units).map_err(words)
}

/// A table of readings stays a file of its own, beside the job.
fn table(args: &ImportArgs, path: &Path, job: &str, told: &mut String) -> Result<String, Failure> {
    let target = args.out.as_ref().unwrap_or(&args.job);
    let folder = target.parent().unwrap_or(Path::new(""));
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let beside = folder.join(&name);
    let is_there = std::fs::canonicalize(&beside).ok().zip(std::fs::canonicalize(path).ok());
    if is_there.is_none_or(|(one, two)| one != two) {
        let mut options = std::fs::OpenOptions::new();
        let file = options.write(true).create_new(true).open(&beside);
        let written =
            file.and_then(|mut file| std::io::Write::write_all(&mut file, &read(path).unwrap_or_default()));
        written.map_err(|why| Failure::file(&beside, "write", &why))?;
    }
    *told += &format!("shots_file = \"{name}\"\n");
    put_shots_file(job, &name).map_err(words)
}

/// Writes the job and says what is to be mended in it.
fn finish(args: &ImportArgs, job: &str, told: String) -> Result<String, Failure> {
    let target = args.out.as_ref().unwrap_or(&args.job);
    if args.look {
        return Ok(told + "nothing was written\n");
    }
    let folder = target.parent().unwrap_or(Path::new("")).to_owned();
    if !folder.as_os_str().is_empty() {
        std::fs::create_dir_all(&folder).map_err(|why| Failure::file(&folder, "make", &why))?;
    }
    // Beside it first, so that no cut leaves half a job.
    let beside = target.with_extension("toml.new");
    std::fs::write(&beside, job).map_err(|why| Failure::file(&beside, "write", &why))?;
    std::fs::rename(&beside, target).map_err(|why| Failure::file(target, "write", &why))?;
    let fetch = |name: &str| std::fs::read(folder.join(name)).map_err(|why| why.to_string());
    let parsed = read_job_bytes(job.as_bytes(), &target.display().to_string(), &fetch);
    let mut out = format!("{told}wrote {}\n", target.display());
    if has_fault(&parsed.report.notes) {
        out += "\nto mend in it:\n";
        out += &notes_text(&parsed.report.notes, &parsed.source, Severity::Fault);
    }
    Ok(out)
}
