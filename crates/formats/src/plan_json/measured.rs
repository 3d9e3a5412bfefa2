//! Outline, walk, survey and the ground in the report.

use basis::{Angle, Area, Estimate, Length, Origin, Volume};
use ground::assemble::ByTriangles;
use ground::doubt::NextShot;
use ground::finish::FormDeviation;
use ground::outline::{Corner, Floor};
use ground::survey::{FromMark, LevelledSetup, LevelledShot, ShotOn};
use ground::thickness::Thinnest;
use ground::walk::{AdjustedWalk, Residual};
use ground::{Facet, Ground, Polygon};
use serde_json::{Value, json};

use super::part::Part;
use super::units::{self, list, or_null, refer};

pub(super) fn floor() -> Part<Floor> {
    let corner = Part::<Corner>::new("A corner.").text("name", "Its name.", |c| c.name.clone()).point(
        "at",
        "Where.",
        |c| c.at,
    );
    let holes = list(&list(&refer("point")));
    Part::new("The floor as laid out; arcs are drawn as short chords.")
        .quantity("area", "Net area.", |f: &Floor| Area::square_metres(f.area))
        .list("corners", "Corners in the job's order, adjusted if they were walked.", corner, |f| &f.corners)
        .points("boundary", "Outer edge, counter-clockwise.", |f| f.boundary.corners())
        .any("openings", "Places without concrete.", holes, |f, _| {
            f.holes.iter().map(|hole: &Polygon| units::points(hole.corners())).collect()
        })
}

pub(super) fn walk() -> Part<AdjustedWalk> {
    let residual = Part::<Residual>::new("A taped distance against the adjusted floor.")
        .text("name", "What was measured.", |r| r.name.clone())
        .quantity("off", "Adjusted less measured.", |r| r.off);
    let square = Part::<(String, Angle)>::new("A corner that was taken to be square.")
        .text("corner", "Its name.", |c| c.0.clone())
        .quantity("off", "How far from square; positive is wider.", |c| c.1);
    Part::<AdjustedWalk>::new("The outline as walked with a tape.")
        .quantity("gap", "From the last leg's end to the start, before adjustment.", |w| w.gap)
        .list("residuals", "Legs first, then check measures.", residual, |w| &w.residuals)
        .list("out_of_square", "Corners stated square.", square, |w| &w.out_of_square)
}

pub(super) fn setup() -> Part<LevelledSetup> {
    Part::<LevelledSetup>::new("A set-up of the laser.")
        .text("name", "Its name.", |s| s.name.clone())
        .quantity("instrument", "Elevation of the laser plane, or of a point that reads nought.", |s| {
            s.instrument
        })
        .word("read", "How the stick is read.", &["from-foot", "from-mark"], |s| match s.from_mark {
            FromMark::No => "from-foot",
            FromMark::Yes => "from-mark",
        })
        .point("station", "Where the laser stood, or the middle of its shots.", |s| s.station)
        .maybe("misclosure", "By the closing sight less known; null when not closed.", |s| s.misclosure)
        .quantity("sd_backsight", "Error common to all its shots.", |s| s.errors.backsight)
        .quantity("sd_tilt", "Tilt of the laser plane about each axis.", |s| s.errors.tilt)
        .quantity("sd_rod", "Error of one reading.", |s| s.errors.rod)
        .text("errors_origin", "Where these three come from.", |s| s.errors.origin.to_string())
}

pub(super) fn shot() -> Part<LevelledShot> {
    Part::<LevelledShot>::new("A shot as an elevation.")
        .text("name", "Its name.", |s| s.name.clone())
        .point("at", "Where the stick stood.", |s| s.at)
        .quantity("elevation", "Elevation, the misclosure spread.", |s| Length::metres(s.z))
        .count("setup", "Index of its set-up, from 0.", |s| s.setup)
        .word("on", "What the stick stood on.", &["base", "form", "turn"], |s| match s.on {
            ShotOn::Base => "base",
            ShotOn::Form => "form",
            ShotOn::TurningPoint => "turn",
        })
}

pub(super) fn ground() -> Part<Ground> {
    Part::<Ground>::new("Finish, base and what lies between.")
        .estimate("forms_volume", "Volume inside the forms.", Ground::forms_volume)
        .quantity("dug_volume", "Of that, below the base.", |g| ground::volume::dug_volume(&g.mesh))
        .any("thinnest", "The thinnest place; null when there is none.", or_null(&thin_schema()), |g, _| {
            g.thinnest.map_or(Value::Null, thin)
        })
        .quantity("thin_area", "Area expected under the least thickness.", |g| g.thin_area)
        .part("by_triangles", "The slab by plain triangles between the shots.", by_triangles(), |g| {
            &g.by_triangles
        })
        .quantity("roughness", "Spread of the base about its plane.", |g| g.process.roughness)
        .quantity("roughness_length", "Over which length the base goes with itself.", |g| g.process.length)
        .list("forms", "Form tops as shot.", deviation(), |g| &g.forms)
        .list("next_shots", "Where further shots would help most, best first.", next_shot(), |g| {
            &g.next_shots
        })
        .list("finish", "The top as facets, each a plane.", facet(), |g| g.finish.facets())
}

fn thin_schema() -> Value {
    let doc = "The thinnest place.";
    units::object(doc, &[("at", refer("point")), ("thickness", refer("length_estimate"))])
}

fn thin((place, sd): (Thinnest, Length)) -> Value {
    let thickness = Estimate::new(place.thickness, sd, Origin::Derived);
    json!({ "at": units::point(place.at), "thickness": units::estimate(thickness) })
}

fn by_triangles() -> Part<ByTriangles> {
    Part::<ByTriangles>::new("A plain second way to the slab's volume.")
        .quantity("volume", "Slab where triangles reach, without what is dug.", |t| t.volume)
        .quantity::<Volume>("by_surface", "The same place by the surface in use.", |t| t.by_process)
        .quantity("reached", "Share of the floor that triangles reach.", |t| t.reached)
}

fn deviation() -> Part<FormDeviation> {
    Part::<FormDeviation>::new("A form top.")
        .text("name", "Name of the shot.", |f| f.name.clone())
        .point("at", "Where.", |f| f.at)
        .quantity("deviation", "As shot less designed; positive is high.", |f| f.deviation)
}

fn next_shot() -> Part<NextShot> {
    Part::<NextShot>::new("A further shot.").point("at", "Where.", |s| s.at).quantity(
        "volume_sd",
        "Spread of the volume with it and those before it.",
        |s| s.volume_sd,
    )
}

fn facet() -> Part<Facet> {
    let elevations = list(&refer("length"));
    Part::<Facet>::new("A plane piece.").points("corners", "Counter-clockwise.", |f| &f.ring).any(
        "elevations",
        "At each of the corners.",
        elevations,
        |f, _| f.ring.iter().map(|&p| units::quantity(Length::metres(f.plane.z(p)))).collect(),
    )
}
