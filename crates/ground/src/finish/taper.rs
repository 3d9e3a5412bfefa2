//! Door tapers: the form stands low and the floor is brought back up behind it.

use crate::outline::PlacedDoor;
use crate::polygon::{clip_convex, signed_area};
use crate::zones::outside_of;
use crate::{Facet, Plane};

/// Lowers the floor behind a door by `drop·(1 − d/taper)` at distance `d` from the door's line.
///
/// The taper is as wide as the door; it ends at the jambs with a small upright side.
pub(super) fn cut_in(layer: &[Facet], door: &PlacedDoor) -> Vec<Facet> {
    if door.drop <= 0.0 || door.taper <= 0.0 {
        return layer.to_vec();
    }
    let inward = (door.b - door.a).unit().left();
    let window = [door.a, door.b, door.b + inward * door.taper, door.a + inward * door.taper];
    let slope = inward * (door.drop / door.taper);
    let lowered = Plane { at: door.a, z0: -door.drop, gx: slope.x, gy: slope.y };
    let mut result = Vec::with_capacity(layer.len() + 4);
    for facet in layer {
        let inside = clip_convex(&facet.ring, &window);
        if signed_area(&inside) < 1e-14 {
            result.push(facet.clone());
            continue;
        }
        result.push(Facet { ring: inside, plane: facet.plane.plus(&lowered) });
        let rest = outside_of(&facet.ring, &window);
        result.extend(rest.into_iter().map(|ring| Facet { ring, plane: facet.plane }));
    }
    result
}
