use super::*;

/// A base of 24 by 24 ft, 4 in.: 7.1111 yd³ compacted; at 3,700 lb/yd³ under the plate and 2,950 on the truck [@wsdot-620] that is
/// 13.16 tons or 8.92 yd³ loose (worked by hand from the table's unit weights).
#[test]
fn stone_by_the_unit_weights_of_the_table() {
    let compacted = Area::square_feet(24.0 * 24.0) * Length::inches(4.0);
    assert!((compacted.in_cubic_yards() - 7.1111).abs() < 1e-4);
    let loose = compacted * (3700.0 / 2950.0);
    assert!((loose.in_cubic_yards() - 8.92).abs() < 0.005);
    assert!((mass(loose, LOOSE_STONE).in_short_tons() - 13.16).abs() < 0.005);
}

/// 1,000 ft² at 200 ft² to the gallon [@cure-cover] is 5 gal.
#[test]
fn compound_by_its_cover() {
    assert!(((Area::square_feet(1000.0) / COVER).in_gallons() - 5.0).abs() < 1e-9);
}

/// Heights of dressed lumber [@ps-20].
#[test]
fn boards_stand_as_high_as_the_slab() {
    let name = |inches: f64| board_for(Length::inches(inches)).map(|board| board.0);
    assert_eq!(name(3.5), Some("2x4"));
    assert_eq!(name(4.0), Some("2x6"));
    assert_eq!(name(6.0), Some("2x8"));
    assert_eq!(name(12.0), None);
}
