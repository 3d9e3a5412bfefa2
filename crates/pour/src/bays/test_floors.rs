//! Small floors built by hand, tiled by upright rectangles, in metres.

use basis::{Estimate, Length, Origin, Place, VolumeRate};
use ground::outline::{
    BoundarySegment, Corner, Door, Edge, EdgeKind, EdgeShape, Floor, Opening, OpeningKind, Outline,
    PlacedDoor, Shape,
};
use ground::{P2, Polygon};

use crate::job::Crew;

/// A corner, with the kind of the edge to the next.
pub type CornerKind = (&'static str, f64, f64, EdgeKind);
/// Lower left and upper right corner.
pub type Tile = [f64; 4];

/// A floor with its outline. Corners run counter-clockwise; `tiles` are rectangles that cover it.
pub fn floor(corners: &[CornerKind], tiles: &[Tile], holes: &[Tile]) -> (Floor, Outline) {
    let rectangle = |t: &Tile| Polygon::rectangle(P2::new(t[0], t[1]), P2::new(t[2], t[3]));
    let named: Vec<Corner> = corners
        .iter()
        .map(|c| Corner { name: c.0.into(), at: P2::new(c.1, c.2), place: Place::job() })
        .collect();
    let n = named.len();
    let segments = (0..n)
        .map(|i| BoundarySegment { a: named[i].at, b: named[(i + 1) % n].at, edge: i, kind: corners[i].3 })
        .collect();
    let triangles: Vec<[P2; 3]> = tiles
        .iter()
        .flat_map(|t| {
            let c = rectangle(t).corners().to_vec();
            [[c[0], c[1], c[2]], [c[0], c[2], c[3]]]
        })
        .collect();
    let area = tiles.iter().map(|t| rectangle(t).area()).sum();
    let edges =
        corners.iter().map(|c| Edge { shape: EdgeShape::Straight, kind: c.3, place: Place::job() }).collect();
    let openings = holes
        .iter()
        .map(|t| Opening {
            name: "hole".into(),
            kind: OpeningKind::Opening,
            shape: Shape::Polygon(rectangle(t).corners().to_vec()),
            place: Place::job(),
        })
        .collect();
    let outline = Outline { corners: named.clone(), edges, openings, ..Outline::default() };
    let floor = Floor {
        boundary: Polygon::new(named.iter().map(|c| c.at).collect()),
        segments,
        holes: holes.iter().map(rectangle).collect(),
        doors: Vec::new(),
        triangles,
        area,
        corners: named,
    };
    (floor, outline)
}

/// Puts a door into a straight edge, from `start` to `start + width`, m.
pub fn add_door(pair: &mut (Floor, Outline), name: &str, edge: usize, start: f64, width: f64) {
    let (a, b) = (pair.0.segments[edge].a, pair.0.segments[edge].b);
    let along = (b - a).unit();
    pair.0.doors.push(PlacedDoor {
        door: pair.1.doors.len(),
        a: a + along * start,
        b: a + along * (start + width),
        drop: 0.0127,
        taper: 0.2286,
    });
    pair.1.doors.push(Door {
        name: name.into(),
        edge,
        start: Length::metres(start),
        width: Length::metres(width),
        drop: Length::metres(0.0127),
        taper: Length::metres(0.2286),
        place: Place::job(),
    });
}

/// A crew with a straightedge and its lap in feet.
pub fn crew(straightedge: f64, lap: f64) -> Crew {
    Crew {
        people: 4,
        straightedge: Length::feet(straightedge),
        lap: Length::feet(lap),
        placing_rate: Estimate::new(
            VolumeRate::cubic_yards_per_hour(12.0),
            VolumeRate::cubic_yards_per_hour(2.0),
            Origin::Stated,
        ),
        bay_direction: None,
        exit: None,
        idle_cost: None,
        carry: None,
    }
}

/// A plain rectangle from the origin, corners A to D, all edges of one kind.
pub fn rectangle(width: f64, height: f64, kind: EdgeKind) -> (Floor, Outline) {
    floor(
        &[
            ("A", 0.0, 0.0, kind),
            ("B", width, 0.0, kind),
            ("C", width, height, kind),
            ("D", 0.0, height, kind),
        ],
        &[[0.0, 0.0, width, height]],
        &[],
    )
}

/// A T in feet: stem 20 by 18 from the bottom, head 40 by 28 on top with a wall behind it.
pub fn tee() -> (Floor, Outline) {
    let f = 0.3048;
    let free = EdgeKind::Free;
    let mut pair = floor(
        &[
            ("A", 10.0 * f, 0.0, free),
            ("B", 30.0 * f, 0.0, free),
            ("C", 30.0 * f, 18.0 * f, free),
            ("D", 40.0 * f, 18.0 * f, free),
            ("E", 40.0 * f, 46.0 * f, EdgeKind::Wall),
            ("F", 0.0, 46.0 * f, free),
            ("G", 0.0, 18.0 * f, free),
            ("H", 10.0 * f, 18.0 * f, free),
        ],
        &[[10.0 * f, 0.0, 30.0 * f, 18.0 * f], [0.0, 18.0 * f, 40.0 * f, 46.0 * f]],
        &[],
    );
    add_door(&mut pair, "boat door", 0, 3.0 * f, 14.0 * f);
    add_door(&mut pair, "side door", 6, 3.0 * f, 3.0 * f);
    pair
}

/// An L in metres, 10 by 8 less 5 by 4 at the upper right, with a hole of 1 by 1 in its foot.
pub fn ell_with_hole() -> (Floor, Outline) {
    let wall = EdgeKind::Wall;
    let mut pair = floor(
        &[
            ("A", 0.0, 0.0, EdgeKind::Free),
            ("B", 10.0, 0.0, wall),
            ("C", 10.0, 4.0, wall),
            ("D", 5.0, 4.0, wall),
            ("E", 5.0, 8.0, wall),
            ("F", 0.0, 8.0, wall),
        ],
        &[
            [0.0, 4.0, 5.0, 8.0],
            [0.0, 0.0, 6.0, 4.0],
            [7.0, 0.0, 10.0, 4.0],
            [6.0, 0.0, 7.0, 1.5],
            [6.0, 2.5, 7.0, 4.0],
        ],
        &[[6.0, 1.5, 7.0, 2.5]],
    );
    add_door(&mut pair, "gate", 0, 1.0, 3.0);
    pair
}
