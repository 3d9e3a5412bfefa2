//! Classes of floors by other standards, as tables: what is asked for, by which edition, and how sure we are of it.
//!
//! A table is shown beside what was measured; which class a job must meet stands in its contract.

use basis::Length;

/// A class by flatness and levelness numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NumberClass {
    /// Its name in the table.
    pub name: &'static str,
    /// Least flatness of the whole floor.
    pub flatness: f64,
    /// Least levelness of the whole floor.
    pub levelness: f64,
}

/// Classes of ACI 117-10, table 4.8.5.1 [@aci117] (read).
pub const ACI_NUMBERS: [NumberClass; 5] = [
    NumberClass { name: "conventional", flatness: 20.0, levelness: 15.0 },
    NumberClass { name: "moderately flat", flatness: 25.0, levelness: 20.0 },
    NumberClass { name: "flat", flatness: 35.0, levelness: 25.0 },
    NumberClass { name: "very flat", flatness: 45.0, levelness: 35.0 },
    NumberClass { name: "super flat", flatness: 60.0, levelness: 40.0 },
];

/// The least number of any one area, as a share of that of the whole floor: ACI 117-10, 4.8.5.3 [@aci117] (read).
pub const LEAST_LOCAL: f64 = 0.6;

/// The best class of ACI 117-10 that both numbers meet.
///
/// ```
/// # use ground::classes::aci_class;
/// assert_eq!(aci_class(27.0, 19.0).map(|c| c.name), Some("conventional"));
/// assert_eq!(aci_class(19.0, 40.0), None);
/// ```
#[must_use]
pub fn aci_class(flatness: f64, levelness: f64) -> Option<NumberClass> {
    ACI_NUMBERS.iter().rev().find(|class| flatness >= class.flatness && levelness >= class.levelness).copied()
}

/// A class by the gap under a straightedge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GapClass {
    /// Its name in the table.
    pub name: &'static str,
    /// Length of the straightedge.
    pub edge: Length,
    /// Largest gap: of nine placings in ten for ACI 117, of all for BS 8204.
    pub gap: Length,
    /// Largest gap of all placings.
    pub largest: Length,
}

/// Classes of ACI 117-10, table 4.8.6.1 [@aci117]. The figures are from memory.
pub const ACI_GAPS: [GapClass; 3] = [
    GapClass {
        name: "conventional",
        edge: Length::feet(10.0),
        gap: Length::inches(0.5),
        largest: Length::inches(0.75),
    },
    GapClass {
        name: "moderately flat",
        edge: Length::feet(10.0),
        gap: Length::inches(0.375),
        largest: Length::inches(0.625),
    },
    GapClass {
        name: "flat",
        edge: Length::feet(10.0),
        gap: Length::inches(0.25),
        largest: Length::inches(0.375),
    },
];

/// Largest gap under a 10-ft straightedge on ramps, walks and crossings outdoors [@access-board-2011] (read; after ACI 117).
pub const OUTDOOR_GAP: Length = Length::inches(0.25);

/// Classes of BS 8204, gaps under a straightedge of 2 m that rests on the floor [@concrete-society-bs8204] (read).
/// The edition of 1987 took 3 m.
pub const BS_GAPS: [GapClass; 3] = [
    GapClass {
        name: "SR1",
        edge: Length::metres(2.0),
        gap: Length::millimetres(3.0),
        largest: Length::millimetres(3.0),
    },
    GapClass {
        name: "SR2",
        edge: Length::metres(2.0),
        gap: Length::millimetres(5.0),
        largest: Length::millimetres(5.0),
    },
    GapClass {
        name: "SR3",
        edge: Length::metres(2.0),
        gap: Length::millimetres(10.0),
        largest: Length::millimetres(10.0),
    },
];

/// The best class of a table that a gap meets; the table rises from strict to lenient or the other way.
#[must_use]
pub fn gap_class(table: &[GapClass], gap: Length) -> Option<GapClass> {
    let met = table.iter().filter(|class| gap <= class.largest);
    met.min_by(|a, b| a.largest.in_metres().total_cmp(&b.largest.in_metres())).copied()
}

/// About what gap under a 10-ft straightedge goes with a flatness number: `6.25 in / F_F`.
///
/// A fit to the five pairs of [@access-board-2011] (12 and 1/2 in., 20 and 5/16, 25 and 1/4, 32 and 3/16, 50 and 1/8); the report
/// itself says that the two do not turn into each other exactly.
///
/// ```
/// # use ground::classes::gap_of_flatness;
/// for (flatness, gap) in [(12.0, 0.5), (20.0, 0.3125), (25.0, 0.25), (32.0, 0.1875), (50.0, 0.125)] {
///     assert!((gap_of_flatness(flatness).in_inches() - gap).abs() < 0.021);
/// }
/// ```
#[must_use]
pub fn gap_of_flatness(flatness: f64) -> Length {
    Length::inches(6.25 / flatness)
}

/// A row of DIN 18202, table 3: limits of a bend by the distance between the outer points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DinRow {
    /// Number of the row.
    pub row: u8,
    /// For which surfaces.
    pub surfaces: &'static str,
    /// Limits in mm at 0.1, 1, 4, 10 and 15 m.
    pub limits: [f64; 5],
}

/// Distances of the columns of DIN 18202, table 3, m.
const DIN_SPANS: [f64; 5] = [0.1, 1.0, 4.0, 10.0, 15.0];

/// Rows 1 to 4 of DIN 18202, table 3 [@din18202] (read): tops of slabs and floors.
pub const DIN_ROWS: [DinRow; 4] = [
    DinRow { row: 1, surfaces: "unfinished tops of slabs", limits: [10.0, 15.0, 20.0, 25.0, 30.0] },
    DinRow {
        row: 2,
        surfaces: "tops of slabs for a floor, or for minor use",
        limits: [5.0, 8.0, 12.0, 15.0, 20.0],
    },
    DinRow { row: 3, surfaces: "finished floors", limits: [2.0, 4.0, 10.0, 12.0, 15.0] },
    DinRow { row: 4, surfaces: "finished floors, raised demand", limits: [1.0, 3.0, 9.0, 12.0, 15.0] },
];

impl DinRow {
    /// The limit for outer points so far apart, between the columns by a straight line, rounded to a mm; beyond the table its end.
    ///
    /// ```
    /// # use basis::Length; use ground::classes::DIN_ROWS;
    /// // Values between the columns as published for row 3.
    /// let row = DIN_ROWS[2];
    /// for (span, limit) in [(0.6, 3.0), (1.5, 5.0), (2.0, 6.0), (2.5, 7.0), (3.0, 8.0), (3.5, 9.0), (6.0, 11.0), (8.0, 11.0)] {
    ///     assert_eq!(row.limit(Length::metres(span)).in_millimetres().round(), limit);
    /// }
    /// ```
    #[must_use]
    pub fn limit(&self, span: Length) -> Length {
        let span = span.in_metres().clamp(DIN_SPANS[0], DIN_SPANS[4]);
        let i = DIN_SPANS.iter().skip(1).position(|&s| span <= s).unwrap_or(3);
        let share = (span - DIN_SPANS[i]) / (DIN_SPANS[i + 1] - DIN_SPANS[i]);
        Length::millimetres((self.limits[i] + share * (self.limits[i + 1] - self.limits[i])).round())
    }
}

/// The largest bend of a profile over outer points so many spaces apart on each side, by the grid method of DIN 18202: a reading less the mean of those to both sides.
/// Elevations in m; `None` where the profile is too short.
#[must_use]
pub fn largest_bend(elevations: &[f64], spaces: usize) -> Option<Length> {
    if spaces == 0 || elevations.len() <= 2 * spaces {
        return None;
    }
    let bend = |i: usize| (elevations[i] - 0.5 * (elevations[i - spaces] + elevations[i + spaces])).abs();
    Some(Length::metres((spaces..elevations.len() - spaces).map(bend).fold(0.0, f64::max)))
}

/// The strictest row of DIN 18202 that all profiles meet at every span that they hold; absent when even row 1 is not met.
#[must_use]
pub fn din_row(profiles: &[&[f64]], spacing: Length) -> Option<DinRow> {
    let meets = |row: &&DinRow| {
        profiles.iter().all(|profile| {
            (1..=profile.len() / 2).all(|spaces| {
                let limit = row.limit(spacing * (2 * spaces) as f64);
                largest_bend(profile, spaces).is_none_or(|bend| bend <= limit)
            })
        })
    };
    DIN_ROWS.iter().rev().find(meets).copied()
}

/// A class of TR34 for floors under free traffic.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeMovementClass {
    /// Its name in the table.
    pub name: &'static str,
    /// Property E: difference in level over 3 m that 95 in 100 keep.
    pub over_three_metres: Length,
    /// Property F: how the floor bends over 600 mm, that 95 in 100 keep.
    pub bend: Length,
}

/// Classes of TR34, 4th edition, table 3.1 [@tr34] (read on one page).
pub const FREE_MOVEMENT: [FreeMovementClass; 4] = [
    FreeMovementClass {
        name: "FM1",
        over_three_metres: Length::millimetres(4.5),
        bend: Length::millimetres(1.8),
    },
    FreeMovementClass {
        name: "FM2",
        over_three_metres: Length::millimetres(6.5),
        bend: Length::millimetres(2.0),
    },
    FreeMovementClass {
        name: "FM3",
        over_three_metres: Length::millimetres(8.0),
        bend: Length::millimetres(2.2),
    },
    FreeMovementClass {
        name: "FM4",
        over_three_metres: Length::millimetres(10.0),
        bend: Length::millimetres(2.4),
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Half a curvature with the other sign is the bend of the grid method.
    #[test]
    fn a_bend_is_half_a_curvature() {
        let h = [0.0, 3.0, 1.0, 4.0, 2.0];
        let largest = crate::flatness::curvatures(&h).iter().map(|q| 0.5 * q.abs()).fold(0.0, f64::max);
        assert_eq!(largest_bend(&h, 1).unwrap().in_metres(), largest);
        assert_eq!(largest_bend(&h, 2).unwrap().in_metres(), 0.0);
        assert!(largest_bend(&h, 3).is_none() && largest_bend(&h, 0).is_none());
    }

    /// 8 mm over 3 m is row 3's limit there; over the same span row 4 allows 7.
    #[test]
    fn the_strictest_row_is_found() {
        let bump = |mm: f64| {
            let mut h = vec![0.0; 11];
            h[5] = mm * 1e-3;
            h
        };
        let row = |mm: f64| din_row(&[&bump(mm)], Length::metres(1.5)).map(|r| r.row);
        assert_eq!(
            [row(6.9), row(8.0), row(8.1), row(16.0), row(30.0)],
            [Some(4), Some(3), Some(2), Some(1), None]
        );
    }

    #[test]
    fn gaps_find_their_class() {
        let name = |table: &[GapClass], mm: f64| gap_class(table, Length::millimetres(mm)).map(|c| c.name);
        assert_eq!(
            [name(&BS_GAPS, 2.9), name(&BS_GAPS, 4.0), name(&BS_GAPS, 11.0)],
            [Some("SR1"), Some("SR2"), None]
        );
        assert_eq!(name(&ACI_GAPS, 10.0), Some("moderately flat"));
    }
}
