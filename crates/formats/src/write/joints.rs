//! Joints as tables of the job file.

use pour::job::Wish;
use pour::joints::Saw;

use super::Writer;
use super::exact::WriteQuantity;

/// What is stated of the joints.
pub(super) fn all(out: &mut Writer<'_>) {
    let joints = &out.job.joints;
    let lengths = [("stone", joints.stone), ("slump", joints.slump), ("spacing", joints.spacing)];
    if lengths.iter().any(|(_, length)| length.is_some()) || joints.saw.is_some() {
        out.table("joints");
    }
    for (key, length) in lengths {
        out.some(key, length.map(|length| length.text(out.units)));
    }
    let word = |saw: Saw| if saw == Saw::EarlyEntry { "early entry" } else { "conventional" };
    out.some("saw", joints.saw.map(|saw| word(saw).to_owned()));
    for wish in &joints.wishes {
        out.one_of("joint");
        out.value("name", &wish.name);
        let (key, points) = match &wish.wish {
            Wish::Joint(ends) => ("line", out.points(ends)),
            Wish::KeepOff(points) => ("keep_off", out.points(points)),
        };
        out.line(&format!("{key} = {points}"));
    }
}
