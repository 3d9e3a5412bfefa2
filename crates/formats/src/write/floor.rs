//! The outline, what is cut out of it or dug under it, and the finish.

use basis::{Angle, UnitSystem};
use ground::finish::FinishShape;
use ground::outline::{Edge, EdgeKind, EdgeShape, OpeningKind, Shape};
use ground::walk::{Heading, Walk};
use pour::job::TimePerVolume;

use super::exact::WriteQuantity;
use super::{Writer, quoted};

/// Corners or walk, edges, doors and all the rest of the outline.
pub(crate) fn outline(out: &mut Writer<'_>) {
    let outline = &out.job.outline;
    for corner in &outline.corners {
        out.one_of("corner");
        out.value("name", &corner.name);
        let at = out.point(corner.at);
        out.line(&format!("at = {at}"));
    }
    if let Some(walk) = &out.job.walk {
        walked(out, walk);
    }
    let names = names(out);
    for (index, edge) in described(out) {
        out.one_of("edge");
        out.value("from", &names[index % names.len()]);
        out.value("to", &names[(index + 1) % names.len()]);
        match edge.kind {
            EdgeKind::Free => {}
            EdgeKind::Wall => out.value("kind", "wall"),
            EdgeKind::ExistingSlab => out.value("kind", "existing slab"),
        }
        if out.job.walk.is_none() {
            arc(out, edge.shape);
        }
    }
    doors(out, &names);
    dug(out, &names);
    openings(out);
}

/// Names of the corners in the user's order.
fn names(out: &Writer<'_>) -> Vec<String> {
    match &out.job.walk {
        Some(walk) => {
            let before_last = walk.legs.len().saturating_sub(1);
            let reached = walk.legs.iter().take(before_last).map(|leg| leg.to.clone());
            std::iter::once(walk.start.clone()).chain(reached).collect()
        }
        None => out.job.outline.corners.iter().map(|corner| corner.name.clone()).collect(),
    }
}

/// Edges that need a table of their own: first those that had one, in its order.
fn described<'j>(out: &Writer<'j>) -> Vec<(usize, &'j Edge)> {
    let number = |edge: &Edge| {
        let rest = edge.place.path().strip_prefix("edge[")?;
        rest.strip_suffix(']')?.parse::<usize>().ok()
    };
    let job = out.job;
    let plain = |edge: &Edge| {
        edge.kind == EdgeKind::Free && (job.walk.is_some() || edge.shape == EdgeShape::Straight)
    };
    let mut edges: Vec<_> = job.outline.edges.iter().enumerate().collect();
    edges.retain(|(_, edge)| number(edge).is_some() || !plain(edge));
    edges.sort_by_key(|(_, edge)| number(edge).unwrap_or(usize::MAX));
    edges
}

fn arc(out: &mut Writer<'_>, shape: EdgeShape) {
    match shape {
        EdgeShape::Straight => {}
        EdgeShape::ArcOut(radius) => out.value("arc", &format!("out {}", radius.text(out.units))),
        EdgeShape::ArcIn(radius) => out.value("arc", &format!("in {}", radius.text(out.units))),
    }
}

fn walked(out: &mut Writer<'_>, walk: &Walk) {
    out.table("walk");
    out.value("start", &walk.start);
    out.stated("walk.tape_error", &walk.errors.length.text(out.units));
    out.stated("walk.corner_error", &walk.errors.heading.text(out.units));
    out.stated("walk.closure_limit", &walk.closure_limit.text(out.units));
    for leg in &walk.legs {
        out.one_of("walk.leg");
        out.value("to", &leg.to);
        match leg.heading {
            Heading::Toward(toward) => out.value("toward", &direction(toward, out.units)),
            Heading::Turn(angle) => out.value("turn", &turn(angle, out.units)),
        }
        out.value("length", &leg.length.text(out.units));
        arc(out, leg.shape);
    }
    for measure in &walk.measures {
        out.one_of("walk.measure");
        out.value("from", &measure.from);
        out.value("to", &measure.to);
        out.value("length", &measure.length.text(out.units));
    }
}

/// A direction as a word where there is one.
pub(crate) fn direction(toward: Angle, units: UnitSystem) -> String {
    let words = [("right", 0.0), ("up", 90.0), ("left", 180.0), ("down", 270.0)];
    match words.iter().find(|(_, degrees)| Angle::degrees(*degrees) == toward) {
        Some((word, _)) => (*word).to_owned(),
        None => toward.text(units),
    }
}

fn turn(angle: Angle, units: UnitSystem) -> String {
    let side = if angle > Angle::ZERO { "left" } else { "right" };
    match angle.abs() {
        Angle::ZERO => "straight".to_owned(),
        square if square == Angle::degrees(90.0) => side.to_owned(),
        other => format!("{side} {}", other.text(units)),
    }
}

/// A time for one unit of volume.
pub(crate) fn time_per_volume(free: TimePerVolume, units: UnitSystem) -> String {
    let one = free.per.text(units);
    let span = free.span.text(units);
    match one.strip_prefix("1 ") {
        Some(unit) => format!("{span}/{unit}"),
        None => {
            let per = free.per.in_cubic_metres();
            format!("{}/m3", basis::TimeSpan::seconds(free.span.in_seconds() / per).text(units))
        }
    }
}

fn edge_name(out: &mut Writer<'_>, names: &[String], edge: usize) {
    let ends = [edge, edge + 1].map(|corner| quoted(&names[corner % names.len()]));
    out.line(&format!("edge = [{}]", ends.join(", ")));
}

fn doors(out: &mut Writer<'_>, names: &[String]) {
    for door in &out.job.outline.doors {
        out.one_of("door");
        out.value("name", &door.name);
        edge_name(out, names, door.edge);
        out.value("start", &door.start.text(out.units));
        out.value("width", &door.width.text(out.units));
        out.stated_at(&door.place, "drop", &door.drop.text(out.units));
        out.stated_at(&door.place, "taper", &door.taper.text(out.units));
    }
}

fn dug(out: &mut Writer<'_>, names: &[String]) {
    for edge in &out.job.outline.thickened {
        out.one_of("thickened");
        edge_name(out, names, edge.edge);
        out.value("depth", &edge.depth.text(out.units));
        out.value("flat", &edge.flat.text(out.units));
        out.stated_at(&edge.place, "haunch", &edge.haunch.text(out.units));
    }
    for footing in &out.job.outline.footings {
        out.one_of("footing");
        out.value("name", &footing.name);
        shape(out, &footing.shape);
        out.value("depth", &footing.depth.text(out.units));
        out.stated_at(&footing.place, "haunch", &footing.haunch.text(out.units));
    }
}

fn openings(out: &mut Writer<'_>) {
    for opening in &out.job.outline.openings {
        out.one_of(match opening.kind {
            OpeningKind::Opening => "opening",
            OpeningKind::Column => "column",
            OpeningKind::Pipe => "pipe",
            OpeningKind::Drain => "drain",
        });
        out.value("name", &opening.name);
        shape(out, &opening.shape);
    }
}

fn shape(out: &mut Writer<'_>, shape: &Shape) {
    match shape {
        Shape::Polygon(corners) => {
            let corners = out.points(corners);
            out.line(&format!("corners = {corners}"));
        }
        Shape::Rectangle { centre, width, height } => {
            let at = out.point(*centre);
            out.line(&format!("at = {at}"));
            let size = [width, height].map(|side| quoted(&side.text(out.units)));
            out.line(&format!("size = [{}]", size.join(", ")));
        }
        Shape::Circle { centre, diameter } => {
            let at = out.point(*centre);
            out.line(&format!("at = {at}"));
            out.value("diameter", &diameter.text(out.units));
        }
    }
}

/// The shape of the top and its drains.
pub(crate) fn finish(out: &mut Writer<'_>) {
    let design = &out.job.finish;
    if let FinishShape::Plane { elevation, .. } = design.shape
        && design.shape == crate::job_toml::level(elevation)
    {
        out.table("finish.level");
        out.value("elevation", &elevation.text(out.units));
    } else {
        main_shape(out, &design.shape);
    }
    for drain in &design.drains {
        out.one_of("finish.drain");
        out.value("name", &drain.name);
        let at = out.point(drain.at);
        out.line(&format!("at = {at}"));
        out.value("low", &drain.low.text(out.units));
        out.some("radius", drain.radius.map(|radius| radius.text(out.units)));
    }
}

fn main_shape(out: &mut Writer<'_>, shape: &FinishShape) {
    match shape {
        FinishShape::Plane { through, elevation, fall, toward } => {
            out.table("finish.plane");
            let through = out.point(*through);
            out.line(&format!("through = {through}"));
            out.value("elevation", &elevation.text(out.units));
            out.value("fall", &fall.text(out.units));
            out.value("toward", &direction(*toward, out.units));
        }
        FinishShape::Crown { line, fall } | FinishShape::Valley { line, fall } => {
            let crown = matches!(shape, FinishShape::Crown { .. });
            out.table(if crown { "finish.crown" } else { "finish.valley" });
            let line = out.spots(line);
            out.line(&format!("line = {line}"));
            out.value("fall", &fall.text(out.units));
        }
        FinishShape::Warp { corners } => {
            out.table("finish.warp");
            let corners = out.spots(corners);
            out.line(&format!("corners = {corners}"));
        }
        FinishShape::Points { spots, breaks } => {
            out.table("finish.points");
            let spots = out.spots(spots);
            out.line(&format!("spots = {spots}"));
            out.breaks(breaks);
        }
    }
}
