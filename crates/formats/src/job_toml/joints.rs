//! Joints: what their spacing goes by, where one must be and where none may.

use ground::P2;
use ground::polygon::signed_area;
use pour::job::{JointWish, Jointing, Wish};
use pour::joints::Saw;

use super::findings::Findings;
use super::outline::doubles;
use super::table::Table;

/// Points nearer to each other than this are the same, m.
const SAME: f64 = 1e-3;
/// An area smaller than this is none, m².
const NO_AREA: f64 = 1e-4;

/// Reads `[joints]` and `[[joint]]`.
pub(crate) fn joints(root: &Table<'_>, f: &mut Findings) -> Jointing {
    let table = root.table(f, "joints");
    let table = table.as_ref();
    let tables = root.tables(f, "joint");
    let wishes: Vec<JointWish> = tables.iter().filter_map(|table| wish(table, f)).collect();
    doubles(f, "joint", &tables, wishes.iter().map(|wish| wish.name.as_str()));
    Jointing {
        stone: table.and_then(|table| table.quantity(f, "stone")),
        slump: table.and_then(|table| table.quantity(f, "slump")),
        saw: table.and_then(|table| table.choice(f, "saw")).map(|word| match word {
            0 => Saw::Conventional,
            _ => Saw::EarlyEntry,
        }),
        spacing: table.and_then(|table| table.quantity(f, "spacing")),
        wishes,
    }
}

fn wish(table: &Table<'_>, f: &mut Findings) -> Option<JointWish> {
    let name = table.text(f, "name").unwrap_or_default();
    let (line, off) = (table.points(f, "line"), table.points(f, "keep_off"));
    if table.has("line") == table.has("keep_off") {
        let hint = "give line for a joint that must be there, or keep_off for a place without one";
        let message = "the joint must have either line or keep_off";
        f.fault("unclear-joint", &table.place, &table.span, message, hint);
        return None;
    }
    let wish = match (line, off) {
        (Some(points), _) => Wish::Joint(ends(table, f, &points)?),
        (_, Some(points)) => Wish::KeepOff(kept_off(table, f, points)?),
        _ => return None,
    };
    Some(JointWish { name, wish, place: table.place.clone() })
}

fn ends(table: &Table<'_>, f: &mut Findings, points: &[P2]) -> Option<[P2; 2]> {
    match points {
        [a, b] if a.distance(*b) > SAME => Some([*a, *b]),
        _ => {
            let message = "a joint that must be there is given by two points that differ";
            let hint = "give its two ends, as in line = [[\"0 ft\", \"10 ft\"], [\"24 ft\", \"10 ft\"]]";
            f.fault("unclear-joint", &table.place.key("line"), &table.span, message, hint);
            None
        }
    }
}

fn kept_off(table: &Table<'_>, f: &mut Findings, points: Vec<P2>) -> Option<Vec<P2>> {
    let is_there = match &points[..] {
        [a, b] => a.distance(*b) > SAME,
        ring => signed_area(ring).abs() > NO_AREA,
    };
    if !is_there {
        let message = "the place where no joint may run has no length or no area";
        let hint = "give the two ends of a line, or the corners of an area in order round";
        f.fault("unclear-joint", &table.place.key("keep_off"), &table.span, message, hint);
    }
    is_there.then_some(points)
}
