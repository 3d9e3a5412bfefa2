//! Door tapers: the form stands low and the floor is brought back up behind it.

use crate::outline::PlacedDoor;
use crate::polygon::{clip_convex, clip_half, signed_area};
use crate::zones::outside_of;
use crate::{Facet, P2, Plane};

/// Pieces smaller than this are only rounding, m².
const SLIVER: f64 = 1e-14;

/// A piece of the floor's top and by how much doors lower it.
struct Piece {
    ring: Vec<P2>,
    top: Plane,
    lowered: Option<Plane>,
}

/// Lowers the floor behind each door by `drop·(1 − d/taper)` at distance `d` from the door's line.
///
/// A taper is as wide as its door; it ends at the jambs with a small upright side. Where the tapers of two doors meet in a
/// corner the lower one holds: they do not add up.
pub(super) fn cut_in(layer: Vec<Facet>, doors: &[PlacedDoor]) -> Vec<Facet> {
    let mut pieces: Vec<Piece> =
        layer.into_iter().map(|f| Piece { ring: f.ring, top: f.plane, lowered: None }).collect();
    for door in doors.iter().filter(|door| door.drop > 0.0 && door.taper > 0.0) {
        pieces = behind(pieces, door);
    }
    let lowered = |p: Piece| Facet { plane: p.lowered.map_or(p.top, |by| p.top.plus(&by)), ring: p.ring };
    pieces.into_iter().map(lowered).collect()
}

/// The pieces with one door's taper cut in.
fn behind(pieces: Vec<Piece>, door: &PlacedDoor) -> Vec<Piece> {
    let inward = (door.b - door.a).unit().left();
    let window = [door.a, door.b, door.b + inward * door.taper, door.a + inward * door.taper];
    let slope = inward * (door.drop / door.taper);
    let by = Plane { at: door.a, z0: -door.drop, gx: slope.x, gy: slope.y };
    let mut result = Vec::with_capacity(pieces.len() + 4);
    for piece in pieces {
        let inside = clip_convex(&piece.ring, &window);
        if signed_area(&inside) < SLIVER {
            result.push(piece);
            continue;
        }
        let (top, before) = (piece.top, piece.lowered);
        let rest = outside_of(&piece.ring, &window);
        // On the door's line itself the lowered side is the one that is found.
        match before {
            None => result.push(Piece { ring: inside, top, lowered: Some(by) }),
            Some(before) => result.extend(lower_of(&inside, top, before, by)),
        }
        result.extend(rest.into_iter().map(|ring| Piece { ring, top, lowered: before }));
    }
    result
}

/// A ring cut where two tapers are equally low, each side with the lower one.
fn lower_of(ring: &[P2], top: Plane, one: Plane, other: Plane) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for (lower, higher) in [(one, other), (other, one)] {
        let mut part = Vec::new();
        clip_half(ring, |p| higher.z(p) - lower.z(p), &mut part);
        if signed_area(&part) > SLIVER {
            pieces.push(Piece { ring: part, top, lowered: Some(lower) });
        }
        // Tapers that are equal everywhere hold once.
        if signed_area(pieces.first().map_or(&[][..], |p| &p.ring[..])) >= signed_area(ring) - SLIVER {
            break;
        }
    }
    pieces
}
