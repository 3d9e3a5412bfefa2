//! The exit: the door or edge where the last bay must end.

use basis::{Note, Place};
use ground::P2;
use ground::outline::{EdgeKind, Floor, Outline};
use ground::polygon::distance_to_segment;

use super::BayInput;

/// Where the crew leaves the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Exit {
    /// Name of the door, or of the edge by its corners: `A-B`.
    pub name: String,
    /// First end, m.
    pub a: P2,
    /// Second end, m.
    pub b: P2,
}

impl Exit {
    /// Middle of the exit, m.
    #[must_use]
    pub fn middle(&self) -> P2 {
        self.a.lerp(self.b, 0.5)
    }
}

/// All doors by name, then all free edges by their corners.
pub(super) fn ways(floor: &Floor, outline: &Outline) -> Vec<Exit> {
    let mut all: Vec<Exit> = floor
        .doors
        .iter()
        .filter_map(|d| {
            outline.doors.get(d.door).map(|named| Exit { name: named.name.clone(), a: d.a, b: d.b })
        })
        .collect();
    for segment in floor.segments.iter().filter(|s| s.kind == EdgeKind::Free) {
        let name = edge_name(floor, segment.edge);
        match all.last_mut() {
            // Chords of one arc follow each other and make one edge.
            Some(last) if last.name == name && last.b == segment.a => last.b = segment.b,
            _ => all.push(Exit { name, a: segment.a, b: segment.b }),
        }
    }
    all
}

/// Name of an edge by the corners it joins: `A-B`.
pub(crate) fn edge_name(floor: &Floor, edge: usize) -> String {
    let n = floor.corners.len();
    match (floor.corners.get(edge), floor.corners.get((edge + 1) % n.max(1))) {
        (Some(a), Some(b)) => format!("{}-{}", a.name, b.name),
        _ => format!("edge {}", edge + 1),
    }
}

fn turned(name: &str) -> Option<String> {
    name.split_once('-').map(|(a, b)| format!("{b}-{a}"))
}

/// The exit asked for, or the door nearest the stands, or the free edge nearest them.
pub(super) fn find(input: &BayInput<'_>, notes: &mut Vec<Note>) -> Option<Exit> {
    let all = ways(input.floor, input.outline);
    let doors = input.floor.doors.len().min(all.len());
    if let Some(wanted) = &input.crew.exit {
        let wanted = wanted.trim();
        let found = all.iter().find(|way| way.name == wanted || turned(&way.name).as_deref() == Some(wanted));
        if found.is_some() {
            return found.cloned();
        }
        notes.push(unknown(wanted, &all));
    }
    let stands: Vec<P2> = input.stands.iter().map(|s| s.at).filter(|p| p.is_finite()).collect();
    let reach = |way: &Exit| {
        let near = stands.iter().map(|&s| distance_to_segment(s, way.a, way.b)).fold(f64::INFINITY, f64::min);
        // Without a stand, or at the same distance, the wider way is the better one.
        (near, -way.a.distance(way.b))
    };
    let nearest = |ways: &[Exit]| {
        ways.iter()
            .min_by(|p, q| {
                let (p, q) = (reach(p), reach(q));
                p.0.total_cmp(&q.0).then(p.1.total_cmp(&q.1))
            })
            .cloned()
    };
    let exit = nearest(&all[..doors]).or_else(|| nearest(&all[doors..]));
    if exit.is_none() {
        notes.push(Note::warning(
            "no-exit",
            Place::job(),
            "the floor has neither a door nor a free edge to leave by",
            "add the door where the crew gets out",
        ));
    }
    exit
}

fn unknown(wanted: &str, all: &[Exit]) -> Note {
    let mut names: Vec<&str> = all.iter().map(|w| w.name.as_str()).collect();
    names.dedup();
    names.truncate(12);
    Note::warning(
        "exit-unknown",
        Place::at("crew.exit"),
        format!("no door and no free edge is called \"{wanted}\"; the exit nearest the stands is taken"),
        if names.is_empty() { "add a door".to_owned() } else { format!("use one of: {}", names.join(", ")) },
    )
}
