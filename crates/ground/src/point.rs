//! Points of the plan, in metres.

use basis::math;

/// A point of the plan: `x` to the right, `y` up, metres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct P2 {
    /// To the right, m.
    pub x: f64,
    /// Up the sheet, m.
    pub y: f64,
}

/// A point of a surface: plan position and elevation, metres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct P3 {
    /// To the right, m.
    pub x: f64,
    /// Up the sheet, m.
    pub y: f64,
    /// Elevation above the job's datum, m.
    pub z: f64,
}

impl P2 {
    /// A point from its coordinates in metres.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }
    /// Inner product of two points as vectors.
    #[must_use]
    pub fn dot(self, o: Self) -> f64 {
        self.x * o.x + self.y * o.y
    }
    /// Signed area of the parallelogram of two vectors; positive when `o` lies to the left.
    #[must_use]
    pub fn cross(self, o: Self) -> f64 {
        self.x * o.y - self.y * o.x
    }
    /// Length as a vector.
    #[must_use]
    pub fn norm(self) -> f64 {
        math::hypot(self.x, self.y)
    }
    /// Distance to another point.
    #[must_use]
    pub fn distance(self, o: Self) -> f64 {
        (self - o).norm()
    }
    /// The vector of unit length in the same direction; zero stays zero.
    #[must_use]
    pub fn unit(self) -> Self {
        let n = self.norm();
        if n > 0.0 { self / n } else { self }
    }
    /// A quarter turn to the left.
    #[must_use]
    pub fn left(self) -> Self {
        Self::new(-self.y, self.x)
    }
    /// The point a share `t` of the way to `o`.
    #[must_use]
    pub fn lerp(self, o: Self, t: f64) -> Self {
        self + (o - self) * t
    }
    /// With an elevation.
    #[must_use]
    pub const fn at(self, z: f64) -> P3 {
        P3 { x: self.x, y: self.y, z }
    }
    /// Both coordinates are numbers.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl P3 {
    /// A point from its coordinates in metres.
    #[must_use]
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }
    /// The plan position.
    #[must_use]
    pub const fn plan(self) -> P2 {
        P2 { x: self.x, y: self.y }
    }
}

impl std::ops::Add for P2 {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.x + o.x, self.y + o.y)
    }
}
impl std::ops::Sub for P2 {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::new(self.x - o.x, self.y - o.y)
    }
}
impl std::ops::Mul<f64> for P2 {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self::new(self.x * k, self.y * k)
    }
}
impl std::ops::Div<f64> for P2 {
    type Output = Self;
    fn div(self, k: f64) -> Self {
        Self::new(self.x / k, self.y / k)
    }
}

/// Twice the signed area of the triangle `a b c`; positive when it turns left.
#[must_use]
pub fn turn(a: P2, b: P2, c: P2) -> f64 {
    (b - a).cross(c - a)
}
