//! Dishes that fall to a drain.

use basis::Note;
use basis::math::{cos, sin};

use super::DrainDish;
use crate::layer::Layer;
use crate::outline::Floor;
use crate::point::turn;
use crate::zones::put_in;
use crate::{Facet, P2, Plane, Polygon};

/// Sides of the rim of a round dish.
///
/// The polygon has the circle's area, so a dish in a level floor takes just the cone's volume. Its corners stand
/// 0.57 % outside the circle and the middles of its sides 0.29 % inside: a spot is off by at most 0.6 % of the dish's depth.
const RIM_SIDES: usize = 24;

/// Distance of the rim's corners as a share of the radius: `√(2π / (n·sin(2π/n)))` gives the circle's area.
fn rim_factor() -> f64 {
    let step = std::f64::consts::TAU / RIM_SIDES as f64;
    (step / sin(step)).sqrt()
}

/// Cuts a dish into the surface: a fan from its rim, at the surface's elevation, down to the drain.
pub(super) fn cut_in(layer: &[Facet], dish: &DrainDish, floor: &Floor, notes: &mut Vec<Note>) -> Vec<Facet> {
    let low = dish.low.in_metres();
    let radius = dish.radius.map(basis::Length::in_metres);
    let sane = dish.at.is_finite() && low.abs() < 1e6 && radius.is_none_or(|r| r > 0.0 && r < 1e4);
    if !sane || !floor.boundary.contains(dish.at) {
        let message = format!("drain {} is not on the floor or has no size", dish.name);
        notes.push(Note::fault(
            "drain-not-on-floor",
            dish.place.clone(),
            message,
            "check its place, elevation and radius",
        ));
        return layer.to_vec();
    }
    let rim: Vec<P2> = match radius {
        Some(radius) => (0..RIM_SIDES)
            .map(|i| std::f64::consts::TAU * i as f64 / RIM_SIDES as f64)
            .map(|angle| dish.at + P2::new(cos(angle), sin(angle)) * (radius * rim_factor()))
            .collect(),
        None => floor.boundary.corners().to_vec(),
    };
    let n = rim.len();
    if (0..n).any(|i| turn(dish.at, rim[i], rim[(i + 1) % n]) < 1e-9) {
        notes.push(Note::fault(
            "drain-does-not-see-the-edge",
            dish.place.clone(),
            format!("from drain {} not every edge of the floor is in straight sight", dish.name),
            "give the dish a radius, or draw the floor's top by spots and break lines",
        ));
        return layer.to_vec();
    }
    let under = Layer::new(layer.to_vec());
    let heights: Vec<f64> = rim.iter().map(|&p| under.z(p).unwrap_or(low)).collect();
    if heights.iter().any(|&z| z < low) {
        let message = format!("the floor around drain {} is lower than the drain", dish.name);
        notes.push(Note::warning(
            "drain-is-high",
            dish.place.clone(),
            message,
            "water will stand: check the drain's elevation",
        ));
    }
    let fan: Vec<Facet> = (0..n)
        .filter_map(|i| {
            let j = (i + 1) % n;
            let plane = Plane::through(dish.at.at(low), rim[i].at(heights[i]), rim[j].at(heights[j]))?;
            Some(Facet { ring: vec![dish.at, rim[i], rim[j]], plane })
        })
        .collect();
    put_in(layer, &Polygon::new(rim), &fan)
}
