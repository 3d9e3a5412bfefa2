//! The floor as built in a report of its own.

use basis::{Area, Length, Note, Volume};
use ground::asbuilt::{Seen, ThicknessFigures};
use ground::fall::Fall;
use ground::flatness::{LineFigures, SectionFigure};
use ground::ponding::Birdbath;
use pour::Job;
use pour::asbuilt::{AsBuilt, BathTold, DoorEdge, Figured, LineGap, LineWild, Profiles, Top};
use serde_json::{Value, json};

use super::part::{Context, Part};
use super::units::{self, list, or_null, refer};
use super::{LAYOUT, note, titled};

/// The floor as built as a report: every number in SI units with its unit, every field always there.
///
/// A number that is none (NaN, infinite) is null: the flatness of a floor without any bend. The same floor and notes give the same text.
#[must_use]
pub fn as_built_json(job: &Job, built: &AsBuilt, notes: &[Note]) -> Value {
    report().value(built, &Context { job, notes })
}

/// The JSON Schema of the report of the floor as built (draft 2020-12).
#[must_use]
pub fn as_built_schema() -> Value {
    titled(report().schema(), "Flatwright report of the floor as built, layout 1")
}

fn report() -> Part<AsBuilt> {
    Part::<AsBuilt>::new(
        "The finished floor against what was planned. Places are metres in the job's plan, x right and y up.",
    )
    .any("report", "Layout of the report.", json!({ "const": LAYOUT }), |_, _| LAYOUT.into())
    .any("job", "Name of the job.", json!({ "type": "string" }), |_, c| c.job.name.clone().into())
    .any("notes", "All notes.", list(&note().schema()), |_, c| {
        c.notes.iter().map(|n| note().value(n, c)).collect()
    })
    .list("setups", "Set-ups of the as-built survey.", super::measured::setup(), |b| &b.levelled.setups)
    .list(
        "shots",
        "Shots of the finished floor, reading points of lines among them.",
        super::measured::shot(),
        |b| &b.shots,
    )
    .maybe_part("top", "What the shots say; null with fewer than three on the floor.", top(), |b| {
        b.top.as_ref()
    })
    .maybe_part("profiles", "What the lines say; null without lines that count.", profiles(), |b| {
        b.profiles.as_ref()
    })
}

fn top() -> Part<Top> {
    Part::<Top>::new("What shots of the finished floor say.")
        .count("shots_used", "Shots on the floor.", |t| t.surface.shots)
        .quantity("noise", "What one shot may be off by, one standard deviation.", |t| t.noise)
        .maybe("elevation_mean", "Mean distance above the design.", |t| {
            t.elevation.as_ref().map(|e| e.mean.mean)
        })
        .maybe("elevation_mean_sd", "What that may be off by.", |t| t.elevation.as_ref().map(|e| e.mean.sd))
        .maybe("elevation_sd", "Spread of the shots about it.", |t| t.elevation.as_ref().map(|e| e.sd))
        .maybe("highest", "The highest shot above the design.", |t| t.elevation.as_ref().map(|e| e.highest.1))
        .maybe("lowest", "The lowest shot above the design.", |t| t.elevation.as_ref().map(|e| e.lowest.1))
        .quantity("elevation_tolerance", "Tolerance of elevation to either side.", |t| t.elevation_tolerance)
        .maybe_count("beyond_tolerance", "Shots beyond it.", |t| {
            t.elevation.as_ref().map(|e| e.beyond as u64)
        })
        .maybe_part("thickness", "Over the base as shot; null where there is none.", thickness(), |t| {
            t.thickness.as_ref()
        })
        .part("designed_fall", "Mean fall of the design.", fall(), |t| &t.designed)
        .part("built_fall", "Mean fall as built, by area.", fall(), |t| &t.built)
        .quantity("built_along_design", "Fall as built the way in which the design falls.", Top::along_design)
        .list("doors", "The floor at its doors.", door(), |t| &t.doors)
        .list("birdbaths", "Birdbaths, the one that holds most first.", birdbath(), |t| &t.ponding.birdbaths)
        .list("told", "The same as they are told, the first ones.", told(), |t| &t.told)
        .count("shallower", "Birdbaths too shallow to be listed.", |t| t.ponding.shallower.count)
        .quantity("water", "Water in all birdbaths.", Top::water)
        .quantity("wet", "Area under water.", Top::wet)
        .any("drains", "Where the water goes, by share of the floor.", drains(), |t, _| {
            t.drains
                .ways
                .iter()
                .map(|(to, share)| json!({ "to": to, "share": units::number(*share) }))
                .collect()
        })
        .quantity("drains_into_birdbaths", "Share of the floor whose water ends in birdbaths listed.", |t| {
            t.drains.into_birdbaths
        })
        .quantity("stands", "Share whose water stands where it falls: the floor is level.", |t| {
            t.drains.stands
        })
        .quantity("least_dip_width", "Dips narrower than this may lie between the shots.", |t| {
            t.least_dip.width
        })
        .quantity("least_dip_depth", "Dips shallower than this may be noise.", |t| t.least_dip.depth)
}

fn drains() -> Value {
    let fields = [("to", json!({ "type": "string" })), ("share", json!({ "type": ["number", "null"] }))];
    list(&units::object("A way off the floor.", &fields))
}

fn thickness() -> Part<ThicknessFigures> {
    Part::<ThicknessFigures>::new("Thickness between the base as shot and the floor as shot.")
        .count("spots", "At how many spots.", |t| t.spots.len())
        .estimate("mean", "Mean, thick spots counted as the rule says.", |t| t.mean)
        .quantity("sd", "Spread of the spots.", |t| t.sd)
        .estimate("thinnest", "The thinnest spot.", |t| t.thinnest.1)
        .quantity("chance_mean_under", "Chance that the mean is under the rule's limit.", |t| {
            t.mean_under.in_ratio()
        })
        .quantity("share_single_under", "Share of spots expected under the rule's limit for one.", |t| {
            t.single_under.in_ratio()
        })
        .quantity(
            "share_thinner",
            "Share of spots expected under the drawing by more than the mean may be.",
            |t| t.thinner.in_ratio(),
        )
}

fn fall() -> Part<Fall> {
    Part::<Fall>::new("A fall with its direction.").quantity("slope", "How much.", |f| f.slope).quantity(
        "toward",
        "Toward where, counter-clockwise from right.",
        |f| f.toward,
    )
}

fn door() -> Part<DoorEdge> {
    Part::<DoorEdge>::new("The floor at a door.")
        .text("door", "Its name.", |d| d.door.clone())
        .quantity("below_inside", "How far its edge lies below the floor 2 ft inside.", |d| d.below_inside)
        .quantity("wanted", "The same by design.", |d| d.wanted)
}

fn birdbath() -> Part<Birdbath> {
    Part::<Birdbath>::new("A birdbath.")
        .point("lowest", "Where it is deepest.", |b| b.lowest)
        .quantity("depth", "How deep it is there.", |b| b.depth)
        .quantity::<Area>("area", "Its area.", |b| b.area)
        .quantity::<Volume>("volume", "What it holds.", |b| b.volume)
        .quantity("level", "Elevation of the water.", |b| Length::metres(b.level))
        .point("spill", "Where it runs over.", |b| b.spill)
        .count("shots", "Points of the survey under its water.", |b| b.points)
        .any(
            "outline",
            "Rings round the water; islands go the other way round.",
            list(&list(&refer("point"))),
            |b, _| b.outline.iter().map(|ring| units::points(ring)).collect(),
        )
}

fn told() -> Part<BathTold> {
    let edge = || or_null(&refer("point"));
    let end = |at: Option<ground::P2>| at.map_or(Value::Null, units::point);
    Part::<BathTold>::new("What is told of a birdbath.")
        .word("seen", "Whether it can be told from noise.", &["clearly", "by-one-shot", "like-noise"], |b| {
            match b.seen {
                Seen::Clearly => "clearly",
                Seen::ByOneShot => "by-one-shot",
                Seen::LikeNoise => "like-noise",
            }
        })
        .maybe("gap", "Widest gap under a 10-ft straightedge over it.", |b| b.find.map(|f| f.gap))
        .any("edge_from", "One end of that edge.", edge(), move |b, _| end(b.find.map(|f| f.from)))
        .any("edge_to", "Its other end.", edge(), move |b, _| end(b.find.map(|f| f.to)))
}

fn profiles() -> Part<Profiles> {
    Part::<Profiles>::new("What lines over the floor say.")
        .word("figured", "From what both numbers are figured.", &["as-read", "from-design"], |p| {
            match p.figured {
                Figured::AsRead => "as-read",
                Figured::FromDesign => "from-design",
            }
        })
        .part("flatness", "F_F.", figure(), |p| &p.section.flatness)
        .part("levelness", "F_L.", figure(), |p| &p.section.levelness)
        .count("readings_needed", "Readings over ten spaces that the area needs.", |p| p.section.needed)
        .list("lines", "Each line by itself.", line(), |p| &p.section.lines)
        .list("gaps", "Widest gap under 10 ft on each line, widest first.", gap(), |p| &p.gaps)
        .maybe("gap_two_metres", "Widest gap under 2 m.", |p| p.gap_two_metres)
        .list("wild", "Wild readings, worst first.", wild(), |p| &p.wild)
        .any("classes", "Classes met; null is none.", classes(), |p, _| {
            json!({
                "aci_117_numbers": p.aci.map(|c| c.name),
                "aci_117_gap": p.aci_gap.map(|c| c.name),
                "bs_8204": p.bs.map(|c| c.name),
                "din_18202_row": p.din.map(|r| r.row),
            })
        })
}

fn classes() -> Value {
    let word = || json!({ "type": ["string", "null"] });
    let row = json!({ "type": ["integer", "null"] });
    let fields =
        [("aci_117_numbers", word()), ("aci_117_gap", word()), ("bs_8204", word()), ("din_18202_row", row)];
    units::object("Classes of other standards.", &fields)
}

fn figure() -> Part<SectionFigure> {
    Part::<SectionFigure>::new("One of the two numbers of the floor.")
        .quantity("number", "By the procedure; null where nothing bends.", |f| f.number)
        .quantity("low", "The floor's own number lies below this 1 time in 20.", |f| f.range.low)
        .quantity("high", "The floor's own number lies above this 1 time in 20.", |f| f.range.high)
        .count("readings", "How many readings it rests on.", |f| f.readings)
        .quantity("worth", "How many independent ones they are worth.", |f| f.range.degrees)
        .quantity("ceiling", "The best number that the noise lets through; null without noise.", |f| {
            f.ceiling
        })
        .quantity("noise_share", "Share of the variance that noise explains.", |f| f.noise_share)
}

fn line() -> Part<LineFigures> {
    Part::<LineFigures>::new("A line by itself.")
        .text("line", "Its name.", |l| l.name.clone())
        .quantity("flatness", "F_F.", |l| l.flatness)
        .quantity("levelness", "F_L.", |l| l.levelness)
        .count("curvatures", "Number of curvatures.", |l| l.curvature.count)
        .count("differences", "Number of differences over ten spaces.", |l| l.difference.count)
}

fn gap() -> Part<LineGap> {
    Part::<LineGap>::new("A gap under a straightedge.")
        .text("line", "On which line.", |g| g.line.clone())
        .quantity("gap", "The gap.", |g| g.gap)
        .point("at", "Where it is.", |g| g.at)
        .points("rests_on", "The two spots on which the edge rests.", |g| &g.rests_on)
}

fn wild() -> Part<LineWild> {
    Part::<LineWild>::new("A reading that does not belong to its line.")
        .text("line", "On which line.", |w| w.line.clone())
        .count("reading", "Its number, from 1.", |w| w.reading)
        .quantity("off", "How far it stands above its neighbours.", |w| w.off)
        .quantity("flatness_without", "F_F without it.", |w| w.flatness_without)
}
