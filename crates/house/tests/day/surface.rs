//! The finish answers everywhere on the demo floors.

use ground::P2;

use super::plan_of;

/// Every spot of the floor has a finish elevation: a grid of 100 by 100 over each demo.
#[test]
fn the_finish_has_no_holes() {
    for text in [
        super::BOAT_SHED,
        include_str!("../../../../demo/patio.toml"),
        include_str!("../../../../demo/worked-example.toml"),
    ] {
        let plan = plan_of(text);
        let corners = plan.floor.boundary.corners();
        let (mut low, mut high) = (corners[0], corners[0]);
        for c in corners {
            low = P2::new(low.x.min(c.x), low.y.min(c.y));
            high = P2::new(high.x.max(c.x), high.y.max(c.y));
        }
        let mut inside = 0;
        for i in 0..10_000 {
            let (x, y) = (f64::from(i % 100) + 0.5, f64::from(i / 100) + 0.5);
            let p = P2::new(low.x + (high.x - low.x) * x / 100.0, low.y + (high.y - low.y) * y / 100.0);
            if plan.floor.contains(p) {
                inside += 1;
                assert!(plan.ground.finish.z(p).is_some(), "no finish at {p:?}");
                assert!(plan.ground.base_z(p).is_some(), "no base at {p:?}");
            }
        }
        assert!(inside > 3_000, "{inside}");
    }
}
