use proptest::prelude::*;

use super::*;
use crate::{Currency, Money, Price};

fn inches(said: &str) -> f64 {
    said.parse::<Length>().unwrap_or_else(|error| panic!("{error}")).in_inches()
}

#[test]
fn lengths_as_people_write_them() {
    for said in [
        "36' 6-1/2\"",
        "36' 6 1/2\"",
        "36'6-1/2\"",
        "36'-6 1/2\"",
        "36' - 6 1/2\"",
        "36 ft 6 1/2 in",
        "36ft 6.5in",
        "36 feet 6 1/2 inches",
        "36 ft. 6 1/2 in.",
        "36′ 6½″",
        "36’ 6 ½”",
        "36' 6½''",
        " 36\u{a0}ft\t6 1/2 in ",
        "438.5 in",
        "438 1/2\"",
        "877/2 in",
        "36 FT 6 1/2 IN",
        "36 ft, 6 1/2 in",
        "+36' 6-1/2\"",
        "36 ft 6 13/26 in",
    ] {
        assert!((inches(said) - 438.5).abs() < 1e-9, "{said}: {}", inches(said));
    }
    for (said, wanted) in [
        ("36 ft", 432.0),
        ("6 1/2 in", 6.5),
        ("1/2 in", 0.5),
        ("-1/4 in", -0.25),
        ("− ¼ in", -0.25),
        (".5 in", 0.5),
        ("36ft2in", 434.0),
        ("36ft2-1/2in", 434.5),
        ("0\"", 0.0),
        ("-3' 6\"", -42.0),
        ("⅞ in", 0.875),
        ("4⅜\"", 4.375),
        ("3 yd", 108.0),
        ("1e1 in", 10.0),
    ] {
        assert!((inches(said) - wanted).abs() < 1e-9, "{said}: {}", inches(said));
    }
    for (said, metres) in [
        ("11.13 m", 11.13),
        ("125 mm", 0.125),
        ("1.5 cm", 0.015),
        ("36.54 ft", 11.137_392),
        ("2 m 40 cm", 2.4),
    ] {
        assert!((said.parse::<Length>().unwrap().in_metres() - metres).abs() < 1e-12, "{said}");
    }
}

fn close<Q: Readable>(said: &str, si: f64) {
    let got = read::<Q>(said).unwrap_or_else(|error| panic!("{error}")).in_si();
    assert!((got - si).abs() <= 1e-9 * si.abs(), "{said}: {got}, not {si}");
}

/// Factors as printed in NIST SP 811, appendix B [@nist-sp-811], from memory; those in bold there are exact.
#[test]
fn units_have_the_sizes_that_are_published() {
    close::<Length>("1 ft", 0.3048);
    close::<Length>("1 in", 0.0254);
    close::<Length>("1 yd", 0.9144);
    close::<Length>("1 mi", 1609.344);
    close::<Area>("1 ft2", 0.092_903_04);
    close::<Area>("1 sq. yd", 0.836_127_36);
    close::<Volume>("1 yd3", 0.764_554_857_984);
    close::<Volume>("1 cu ft", 0.028_316_846_592);
    close::<Volume>("1 gal", 0.003_785_411_784);
    close::<Mass>("1 lb", 0.453_592_37);
    close::<Mass>("1 ton", 907.184_74);
    close::<Speed>("1 mph", 0.447_04);
    close::<Speed>("1 km/h", 1.0 / 3.6);
    assert!((read::<Pressure>("1 psi").unwrap().in_pascals() - 6894.757).abs() < 5e-4);
    assert!((read::<Density>("1 lb/ft3").unwrap().in_si() - 16.018_46).abs() < 5e-6);
    assert!((read::<Density>("1 lb/yd3").unwrap().in_si() - 0.593_276_4).abs() < 5e-8);
    assert!((read::<Angle>("1 arcsec").unwrap().in_si() - 4.848_137e-6).abs() < 5e-13);
    assert!((read::<Angle>("1 deg").unwrap().in_si() - 1.745_329e-2).abs() < 5e-9);
    assert!((read::<Temperature>("70 degF").unwrap().in_celsius() - 21.111_111).abs() < 1e-6);
    assert!((read::<TemperatureDifference>("9 degF").unwrap().in_si() - 5.0).abs() < 1e-12);
}

#[test]
fn every_other_quantity_as_people_write_it() {
    for said in
        ["8.25 yd3", "8 1/4 yd3", "8¼ yd³", "8-1/4 cubic yards", "8.25 cu. yd.", "8.25 CY", "8.25 yd^3"]
    {
        close::<Volume>(said, 8.25 * 0.764_554_857_984);
    }
    close::<Volume>("500 L", 0.5);
    close::<Volume>("6.3 m³", 6.3);
    for said in ["1/8 in/ft", "1/8\" per ft", "1/8 in per foot", "0.125 in / ft", "⅛″/ft", "1:96", "1/8\"/'"]
    {
        close::<Slope>(said, 0.125 / 12.0);
    }
    close::<Slope>("1 %", 0.01);
    close::<Slope>("10 mm/m", 0.01);
    close::<Slope>("-1:48", -1.0 / 48.0);
    close::<Angle>("0.5°", 8.726_646_259_971_648e-3);
    close::<Angle>("1° 30 arcmin", 2.617_993_877_991_494e-2);
    close::<VolumeRate>("12 yd3/h", 12.0 * 0.764_554_857_984 / 3600.0);
    close::<VolumeRate>("9 m3 per hour", 9.0 / 3600.0);
    close::<AreaRate>("1500 ft2/h", 1500.0 * 0.092_903_04 / 3600.0);
    close::<AreaRate>("140 m2 per hour", 140.0 / 3600.0);
    // A gallon is 3.785411784 l (NIST SP 811, appendix B.8, from memory).
    close::<Cover>("200 ft2/gal", 200.0 * 0.092_903_04 / 3.785_411_784e-3);
    close::<Cover>("5 m2 per litre", 5000.0);
    for said in ["70 degF", "70 °F", "70 F", "70 deg F", "70 º f"] {
        close::<Temperature>(said, 294.261_111_111);
    }
    close::<Temperature>("21 degC", 294.15);
    close::<Temperature>("-5 °C", 268.15);
    close::<Pressure>("28 MPa", 28e6);
    close::<Pressure>("28 N/mm²", 28e6);
    close::<TimeSpan>("15 min", 900.0);
    close::<TimeSpan>("1 h 30 min", 5400.0);
    close::<TimeSpan>("1 hr 30 mins", 5400.0);
    close::<TimeSpan>("90 s", 90.0);
    close::<TimeSpan>("1/4 hour", 900.0);
    close::<Share>("3 %", 0.03);
}

fn fault<Q: Readable>(said: &str) -> QuantityError {
    match read::<Q>(said) {
        Ok(value) => panic!("{said} was read as {}", value.in_si()),
        Err(error) => error,
    }
}

#[test]
fn a_bare_number_is_told_what_to_write() {
    let error = fault::<Length>("36.5");
    assert_eq!(error.fault, QuantityFault::BareNumber);
    assert!(error.hint.contains("\"36.5 ft\"") && error.hint.contains("\"36.5 in\""), "{}", error.hint);
    assert_eq!(fault::<Share>("3").hint, "write \"3 %\"");
    assert_eq!(fault::<VolumeRate>(" 12 ").hint, "write \"12 yd3/h\" or \"12 m3/h\", whichever is meant");
    let error = fault::<Length>("36' 6");
    assert_eq!(
        (error.fault, error.hint.as_str()),
        (QuantityFault::BareNumber, "write its unit too: \"6 in\"")
    );
}

#[test]
fn a_unit_of_the_wrong_kind_is_told_as_such() {
    let error = fault::<Length>("4000 psi");
    assert_eq!(error.fault, QuantityFault::WrongKind);
    assert_eq!(
        error.message,
        "\"4000 psi\" has \"psi\", the unit of a pressure or strength; a length is wanted"
    );
    assert_eq!(fault::<Volume>("8 yd").fault, QuantityFault::WrongKind);
    assert_eq!(fault::<Temperature>("70 psi").fault, QuantityFault::WrongKind);
    assert_eq!(fault::<Slope>("2 ft").fault, QuantityFault::WrongKind);
    assert_eq!(fault::<Length>("2 cubits").fault, QuantityFault::UnknownUnit);
}

#[test]
fn what_no_site_can_hold_is_refused() {
    for said in ["1e300 m", "1e999 ft", "11 km", "-40000 ft", &format!("{} in", "9".repeat(100))] {
        assert_eq!(fault::<Length>(said).fault, QuantityFault::OutOfRange, "{said}");
    }
    assert_eq!(fault::<Area>("-1 ft2").fault, QuantityFault::OutOfRange);
    assert_eq!(fault::<Temperature>("-500 degF").fault, QuantityFault::OutOfRange);
    assert_eq!(fault::<Pressure>("-1 psi").fault, QuantityFault::OutOfRange);
    for said in ["nan m", "inf m", "-inf ft", "NaN", "infinity in"] {
        assert_eq!(fault::<Length>(said).fault, QuantityFault::Form, "{said}");
    }
}

#[test]
fn a_text_of_the_wrong_form_is_refused() {
    for said in [
        "1/0 in",
        "6 1/0 in",
        "6 3/2 in",
        "6.5 1/2 in",
        "36.5 ft 6 in",
        "36 ft 14 in",
        "6 in 3 ft",
        "6 in 3 in",
        "1,250 ft",
        "ft",
        "- ft",
        "36 ft -",
        "5 ft 3 m",
        "1/2/3 in",
        "½2 in",
        "in 6",
        "6 + 1/2 in",
        "--3 in",
        "6 in/",
        "1.2.3 m",
        "1:48",
        "3 ft per",
        "'",
        "\"",
        "°",
        "5 $",
    ] {
        assert!(said.parse::<Length>().is_err(), "{said}");
    }
    assert!(read::<Slope>("1:0").is_err());
    assert!(read::<Slope>("1:48:2").is_err());
    assert!(read::<Temperature>("70 degF 3 degF").is_err());
    for empty in ["", "  ", "\t\n"] {
        assert_eq!(fault::<Length>(empty).fault, QuantityFault::Empty);
    }
    assert_eq!(fault::<Length>(&"9".repeat(100_000)).said.chars().count(), 41);
}

#[test]
fn spreads_follow_values() {
    let rate = |said| {
        let (mean, spread) = parse_with_spread::<VolumeRate>(said).unwrap_or_else(|error| panic!("{error}"));
        (mean.in_cubic_yards_per_hour(), spread.map(VolumeRate::in_cubic_yards_per_hour))
    };
    for said in ["10 yd3/h +- 2 yd3/h", "10 ± 2 yd3/h", "10 yd3/h ±2 yd3/h", "10+/-2 yd3/h"] {
        let (mean, spread) = rate(said);
        assert!((mean - 10.0).abs() < 1e-9 && (spread.unwrap() - 2.0).abs() < 1e-9, "{said}");
    }
    assert_eq!(rate("10 yd3/h").1, None);
    let (share, sd) = parse_with_spread::<Share>("3 % +- 2 %").unwrap();
    assert_eq!((share.in_percent(), sd.unwrap().in_percent()), (3.0, 2.0));
    let (warm, sd) = parse_with_spread::<Temperature>("70 degF +- 9 degF").unwrap();
    assert!((warm.in_fahrenheit() - 70.0).abs() < 1e-9 && (sd.unwrap().in_kelvins() - 5.0).abs() < 1e-9);
    for said in ["10 +- 2", "10 yd3/h +- -2 yd3/h", "10 yd3/h +-", "+- 2 yd3/h", "10 yd3/h +- 2 %"] {
        assert!(parse_with_spread::<VolumeRate>(said).is_err(), "{said}");
    }
}

#[test]
fn money_and_prices() {
    for said in ["$165", "$165.00", "USD 165.00", "165 USD", "165USD", "$ 165.0000", "$165 USD"] {
        assert_eq!(
            money_with_currency(said).unwrap(),
            (Money::ten_thousandths(1_650_000), Currency(*b"USD")),
            "{said}"
        );
    }
    assert_eq!("€1,250.5".parse::<Money>().unwrap(), Money::ten_thousandths(12_505_000));
    assert_eq!("165 EUR".parse::<Money>().unwrap(), "165€".parse::<Money>().unwrap());
    assert_eq!("-$0.0001".parse::<Money>().unwrap(), Money::ten_thousandths(-1));
    assert_eq!("1000000000 USD".parse::<Money>().unwrap().in_units(), 1e9);
    for said in [
        "165",
        "$",
        "USD",
        "$1.00001",
        "$1,25",
        "$1 EUR",
        "$1e5",
        "$nan",
        "1/2 USD",
        "$1000000001",
        "$-",
        "165 usd",
        "$.",
        "€€5",
    ] {
        assert!(said.parse::<Money>().is_err(), "{said}");
    }
    assert_eq!("165".parse::<Money>().unwrap_err().hint, "write \"$165\" or \"165 EUR\", whichever is meant");
    let price: Price<Volume> = "$165/yd3".parse().unwrap();
    assert!((price.per.in_cubic_metres() - 0.764_554_857_984).abs() < 1e-12);
    let price: Price<TimeSpan> = "$2.17/min".parse().unwrap();
    assert_eq!((price.amount.in_units(), price.per.in_seconds()), (2.17, 60.0));
    assert_eq!("$130 per hour".parse::<Price<TimeSpan>>().unwrap().per.in_hours(), 1.0);
    assert_eq!("$30/15 min".parse::<Price<TimeSpan>>().unwrap().per.in_minutes(), 15.0);
    for said in ["$165", "$165/", "$165/h", "$165/0 yd3", "$165/-1 yd3", "/yd3", "165/yd3", "$1/2/yd3"] {
        assert!(said.parse::<Price<Volume>>().is_err(), "{said}");
    }
    let (span, volume) =
        time_per_volume("3.5 min / 1/2 yd3").unwrap_or_else(|_| time_per_volume("7 min/yd3").unwrap());
    assert!((span.in_minutes() / volume.in_cubic_yards() - 7.0).abs() < 1e-9);
    assert!(time_per_volume("7 min").is_err());
}

#[test]
fn spellings_are_told_apart_and_every_size_can_be_reached() {
    assert!(units::check_table().is_ok(), "{:?}", units::check_table());
}

proptest! {
    #[test]
    fn no_text_panics(said in any::<String>()) {
        everything(&said);
    }

    #[test]
    fn no_text_of_our_marks_panics(said in "[0-9.,/+:' \"%°$€½⅛²³±a-zA-Z-]{0,24}") {
        everything(&said);
    }

    #[test]
    fn no_run_of_our_words_panics(words in proptest::collection::vec(
        "ft|in|yd3|/|-|1/2|36|'|\"|deg|F|per|:|%|min|h|[+]-|e9|[.]|cu|sq|USD|[$]| ", 0..12)) {
        everything(&words.concat());
        everything(&words.join(" "));
    }

    #[test]
    fn any_decimal_with_a_unit_is_its_value(value in -1e4..1e4f64) {
        prop_assert_eq!(format!("{value} m").parse::<Length>().unwrap().in_metres(), value);
    }
}

fn everything(said: &str) {
    let _ = (said.parse::<Length>(), said.parse::<Area>(), said.parse::<Volume>(), said.parse::<Angle>());
    let _ = (said.parse::<Slope>(), said.parse::<TimeSpan>(), said.parse::<Speed>(), said.parse::<Mass>());
    let _ = (said.parse::<Density>(), said.parse::<Temperature>(), said.parse::<TemperatureDifference>());
    let _ =
        (said.parse::<Pressure>(), said.parse::<VolumeRate>(), said.parse::<Share>(), said.parse::<Money>());
    let _ = (said.parse::<Price<Volume>>(), said.parse::<Price<TimeSpan>>(), time_per_volume(said));
    let _ = (parse_with_spread::<Temperature>(said), parse_with_spread::<VolumeRate>(said));
}
