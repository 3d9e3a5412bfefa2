//! Joints in the report.

use pour::joints::{CornerBars, DowelPlace, Dowels, Joint, JointPlan, KeptOff, Panel, Saw, Strip, StripAt};
use serde_json::{Value, json};

use super::part::Part;
use super::units::list;

const SAWS: &[&str] = &["conventional", "early-entry"];
const STRIPS: &[&str] = &["wall", "opening"];

pub(super) fn joints() -> Part<JointPlan> {
    let strip = Part::<Strip>::new("An isolation strip of full depth.")
        .word("at", "What it keeps apart from the floor.", STRIPS, |s| match s.at {
            StripAt::Wall => "wall",
            StripAt::Opening => "opening",
        })
        .text("name", "Edge or opening.", |s| s.name.clone())
        .quantity("length", "Length.", |s| s.length);
    let corner = Part::<CornerBars>::new("An inner corner without a joint: bars across it.")
        .text("name", "Corner or opening.", |c| c.name.clone())
        .point("at", "Where.", |c| c.at)
        .point("inward", "Unit vector into the floor; the bars lie square to it; no unit.", |c| c.inward);
    let kept_off = Part::<KeptOff>::new("A place where no joint may run.")
        .text("name", "Its name in the job.", |k| k.name.clone())
        .points("ring", "Its outline.", |k| k.ring.corners());
    Part::<JointPlan>::new("Contraction joints, and what else keeps cracks away.")
        .quantity("greatest_spacing", "What depth, stone and slump allow.", |j| j.spacing.most)
        .text("why", "Why, with the source.", |j| j.spacing.why.clone())
        .quantity("spacing", "What the layout goes by.", |j| j.apart)
        .word("saw", "How joints are cut.", SAWS, |j| match j.saw {
            Saw::Conventional => "conventional",
            Saw::EarlyEntry => "early-entry",
        })
        .quantity("cut", "Depth of the cut.", |j| j.cut)
        .quantity("sawn", "Sawing in all.", |j| j.sawn)
        .quantity("least", "No layout of lines right across saws less.", |j| j.least)
        .list("joints", "In the order of cutting.", joint(), |j| &j.joints)
        .list("panels", "From the lower left.", panel(), |j| &j.panels)
        .list("corners", "Inner corners that no joint starts from.", corner, |j| &j.corners)
        .list("strips", "Isolation strips.", strip, |j| &j.strips)
        .maybe_part("dowels", "Dowels; null where no slab is met.", dowels(), |j| j.dowels.as_ref())
        .list("kept_off", "Places where no joint may run.", kept_off, |j| &j.kept_off)
}

fn joint() -> Part<Joint> {
    Part::<Joint>::new("One joint, from edge to edge.")
        .point("a", "First end.", |j| j.a)
        .point("b", "Second end.", |j| j.b)
        .count("after", "Number of the bay after which it can be cut; 0 without bays.", |j| j.after)
        .any("forced", "Its name when the job asks for it.", json!({ "type": ["string", "null"] }), |j, _| {
            j.forced.clone().map_or(Value::Null, Value::from)
        })
}

fn panel() -> Part<Panel> {
    Part::<Panel>::new("One panel.")
        .points("ring", "Its outline.", |p| p.ring.corners())
        .quantity("along", "Size along the first direction of the joints.", |p| p.size[0])
        .quantity("across", "Size along the other.", |p| p.size[1])
        .quantity("area", "Net area.", |p| p.area)
        .any("breaks", "Rules that it breaks.", list(&json!({ "type": "string" })), |p, _| json!(p.breaks))
}

fn dowels() -> Part<Dowels> {
    let place = Part::<DowelPlace>::new("Where a dowel lies.").point("at", "On the joint.", |d| d.at).point(
        "inward",
        "Unit vector along the bar, into the floor; no unit.",
        |d| d.inward,
    );
    Part::<Dowels>::new("Dowels to existing slabs.")
        .quantity("diameter", "Of the bar.", |d| d.bar.diameter)
        .quantity("length", "Of the bar.", |d| d.bar.length)
        .quantity("spacing", "Middle to middle.", |d| d.bar.spacing)
        .list("places", "Each of them.", place, |d| &d.places)
}
