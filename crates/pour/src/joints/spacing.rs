//! How far apart contraction joints may stand, how deep they are cut, and dowels to a slab that is there.

use basis::Length;

/// No joints stand farther apart than this, whatever the depth: 15 ft [@pca-joints].
pub const FARTHEST: Length = Length::feet(15.0);

/// Stone from this size up lets joints stand farther apart: 3/4 in. [@pca-joints].
pub const LARGE_STONE: Length = Length::inches(0.75);

/// Concrete placed under this slump shrinks less: 4 in. [@pca-joints].
pub const LOW_SLUMP: Length = Length::inches(4.0);

/// Longest side of a panel over its shortest, at most: 1.5 [@aci-302].
pub const MOST_ASPECT: f64 = 1.5;

/// Greatest spacing of joints, with the reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Spacing {
    /// No panel is longer or wider than this.
    pub most: Length,
    /// Thicknesses of slab in it before the cap: 24, 30 or 36.
    pub times: f64,
    /// Why, in words, with the source.
    pub why: String,
}

/// The greatest spacing of joints for a depth of slab, the largest stone and the slump [@pca-joints].
///
/// 24 times the depth with stone under 3/4 in., 30 with larger stone, 36 where the slump is under 4 in.; never over
/// 15 ft. Unknown stone counts as small, unknown slump as 4 in. or more: the nearer spacing. ACI 302 [@aci-302] and
/// CSA A23.1 [@csa-a23-1] give the same 24 to 36.
///
/// ```
/// # use basis::Length; use pour::joints::greatest_spacing;
/// let six = greatest_spacing(Length::inches(6.0), Some(Length::inches(1.0)), None);
/// assert!((six.most.in_feet() - 15.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn greatest_spacing(depth: Length, stone: Option<Length>, slump: Option<Length>) -> Spacing {
    let (times, why) = match (stone, slump) {
        (_, Some(slump)) if slump < LOW_SLUMP => (36.0, "slump under 4 in."),
        (Some(stone), _) if stone >= LARGE_STONE => (30.0, "stone of 3/4 in. or more"),
        (Some(_), _) => (24.0, "stone under 3/4 in."),
        (None, _) => (24.0, "stone not known, taken as under 3/4 in."),
    };
    let by_depth = depth * times;
    let (most, cap) = if by_depth > FARTHEST { (FARTHEST, ", but never over 15 ft") } else { (by_depth, "") };
    Spacing { most, times, why: format!("{times:.0} times the depth{cap}: {why} (PCA; ACI 302: 24 to 36)") }
}

/// How joints are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Saw {
    /// Wet saw, when the cut no longer ravels.
    Conventional,
    /// Light dry-cut saw, within hours of finishing.
    EarlyEntry,
}

/// How deep a joint is sawn [@saw-depth].
///
/// A quarter of the depth and at least 1 in.; an early-entry saw at least 1 in.
///
/// ```
/// # use basis::Length; use pour::joints::{Saw, saw_depth};
/// assert!((saw_depth(Length::inches(6.0), Saw::Conventional).in_inches() - 1.5).abs() < 1e-9);
/// ```
#[must_use]
pub fn saw_depth(depth: Length, saw: Saw) -> Length {
    let least = Length::inches(1.0);
    match saw {
        Saw::Conventional => (depth * 0.25).max(least),
        Saw::EarlyEntry => least.max(depth * 0.125),
    }
}

/// Round smooth dowels across a joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dowel {
    /// Diameter of the bar.
    pub diameter: Length,
    /// Its whole length, half of it in each slab.
    pub length: Length,
    /// Middle to middle.
    pub spacing: Length,
}

/// Dowels for a depth of slab, by table 12-8 of UFC 3-260-02 [@ufc-3-260-02]; `None` from 16 in. up.
///
/// ```
/// # use basis::Length; use pour::joints::dowel;
/// let five = dowel(Length::inches(5.0)).unwrap();
/// assert!((five.length.in_inches() - 16.0).abs() < 1e-9 && (five.spacing.in_inches() - 12.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn dowel(depth: Length) -> Option<Dowel> {
    // A depth stated as 8 in. is held in metres: rounding must not put it into the row above.
    let (diameter, length, spacing) = match depth.in_inches() + 1e-6 {
        inches if !inches.is_finite() || inches <= 0.0 => return None,
        inches if inches < 8.0 => (0.75, 16.0, 12.0),
        inches if inches < 12.0 => (1.0, 16.0, 12.0),
        inches if inches < 16.0 => (1.25, 20.0, 15.0),
        _ => return None,
    };
    let inches = Length::inches;
    Some(Dowel { diameter: inches(diameter), length: inches(length), spacing: inches(spacing) })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The table of joint spacing in feet in "Masonry and Concrete" (after the Portland Cement Association), read:
    /// depth; stone under 3/4 in.; 3/4 in. and over; slump under 4 in. It prints whole feet.
    #[test]
    fn spacing_is_that_of_the_printed_table() {
        let table = [(4.0, [8.0, 10.0, 12.0]), (5.0, [10.0, 13.0, 15.0]), (6.0, [12.0, 15.0, 18.0])];
        for (depth, row) in table {
            let at = |stone: f64, slump: f64| {
                let spacing = greatest_spacing(
                    Length::inches(depth),
                    Some(Length::inches(stone)),
                    Some(Length::inches(slump)),
                );
                (spacing.most.in_feet(), spacing.times * depth / 12.0)
            };
            for ((most, uncapped), printed) in [at(0.5, 4.0), at(1.0, 4.0), at(1.0, 3.0)].into_iter().zip(row)
            {
                assert!((uncapped - printed).abs() <= 0.5, "{depth} in.: {uncapped} for {printed} ft");
                assert!((most - uncapped.min(15.0)).abs() < 1e-9, "capped at 15 ft");
            }
        }
    }

    /// Unknown stone and slump never give more than known ones.
    #[test]
    fn not_knowing_is_the_near_side() {
        let unknown = greatest_spacing(Length::inches(4.0), None, None);
        assert!((unknown.most.in_feet() - 8.0).abs() < 1e-9 && unknown.why.contains("not known"));
    }

    /// A quarter, at least an inch (CSA A23.1-94, read: t/4 to t/3; saw maker's manual, read: early entry 1 in.).
    #[test]
    fn cuts_are_a_quarter_deep_and_never_under_an_inch() {
        let deep = |t: f64, saw| saw_depth(Length::inches(t), saw).in_inches();
        assert!((deep(3.5, Saw::Conventional) - 1.0).abs() < 1e-9);
        assert!((deep(6.0, Saw::Conventional) - 1.5).abs() < 1e-9);
        assert!((deep(6.0, Saw::EarlyEntry) - 1.0).abs() < 1e-9);
    }

    /// Table 12-8 of UFC 3-260-02, read: rows by depth.
    #[test]
    fn dowels_are_those_of_the_table() {
        let row = |t: f64| {
            dowel(Length::inches(t))
                .map(|d| [d.diameter, d.length, d.spacing].map(|l| (l.in_inches() * 100.0).round()))
        };
        assert_eq!(row(6.0), Some([75.0, 1600.0, 1200.0]));
        assert_eq!(row(8.0), Some([100.0, 1600.0, 1200.0]));
        assert_eq!(row(12.0), Some([125.0, 2000.0, 1500.0]));
        assert_eq!(row(16.0), None);
        assert_eq!(row(f64::NAN), None);
    }
}
