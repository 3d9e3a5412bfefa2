//! An elevation (or a depth) that varies linearly over the plan.

use crate::{P2, P3};

/// `z = z0 + gx·(x − at.x) + gy·(y − at.y)`: the plane through `at` with its gradient.
///
/// The anchor keeps full precision far from the origin, where `a·x + b·y + c` would cancel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    /// Anchor in the plan, m.
    pub at: P2,
    /// Elevation at the anchor, m.
    pub z0: f64,
    /// Rise per metre to the right.
    pub gx: f64,
    /// Rise per metre up the sheet.
    pub gy: f64,
}

impl Plane {
    /// A level plane.
    #[must_use]
    pub const fn level(z: f64) -> Self {
        Self { at: P2::new(0.0, 0.0), z0: z, gx: 0.0, gy: 0.0 }
    }

    /// The plane through three points; `None` when they lie in one line of the plan.
    #[must_use]
    pub fn through(a: P3, b: P3, c: P3) -> Option<Self> {
        let (u, v) = (b.plan() - a.plan(), c.plan() - a.plan());
        let d = u.cross(v);
        if d == 0.0 || !d.is_finite() {
            return None;
        }
        let (du, dv) = (b.z - a.z, c.z - a.z);
        Some(Self { at: a.plan(), z0: a.z, gx: (du * v.y - dv * u.y) / d, gy: (u.x * dv - v.x * du) / d })
    }

    /// Elevation at a point, m.
    #[must_use]
    pub fn z(&self, p: P2) -> f64 {
        self.z0 + self.gx * (p.x - self.at.x) + self.gy * (p.y - self.at.y)
    }

    /// This plane less another, as a plane.
    #[must_use]
    pub fn minus(&self, other: &Self) -> Self {
        Self { at: self.at, z0: self.z0 - other.z(self.at), gx: self.gx - other.gx, gy: self.gy - other.gy }
    }

    /// This plane raised by another, as a plane.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        Self { at: self.at, z0: self.z0 + other.z(self.at), gx: self.gx + other.gx, gy: self.gy + other.gy }
    }
}
