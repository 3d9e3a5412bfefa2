use basis::{Currency, Length, Money, Place, Price, Share, TimeSpan, UnitSystem, Volume};
use jiff::civil::Weekday;
use proptest::prelude::*;

use super::*;

const USD: Currency = Currency(*b"USD");

fn each_yard(cents: i64) -> Option<Price<Volume>> {
    Some(Price { amount: Money::cents(cents), per: Volume::cubic_yards(1.0) })
}

/// A bill of two loads, eight sheets of mesh, stone by the ton, forms and placing.
fn bill() -> Bill {
    let hours = |operation, hours| Hours { operation, time: TimeSpan::hours(hours) };
    Bill {
        units: UnitSystem::Us,
        materials: vec![
            Needed { item: "mesh".into(), what: "mesh sheets".into(), amount: Amount::Count(8) },
            Needed {
                item: "stone".into(),
                what: "stone".into(),
                amount: Amount::Mass(basis::Mass::short_tons(13.16)),
            },
        ],
        loads: vec![Volume::cubic_yards(8.0), Volume::cubic_yards(3.25)],
        left_over: Volume::cubic_yards(0.5),
        standby: Some(TimeSpan::minutes(12.5)),
        weekday: Some(Weekday::Saturday),
        mix: vec![MixPart::Air],
        hours: vec![hours(Operation::Forms, 4.8), hours(Operation::Place, 4.5)],
        placing: TimeSpan::hours(1.125),
        by_machine: true,
    }
}

fn person(name: &str, count: u32, wage: i64, burden: f64) -> Person {
    Person {
        name: name.into(),
        count,
        wage: Some(Price { amount: Money::cents(wage), per: TimeSpan::hours(1.0) }),
        burden: Some(Share::percent(burden)),
        place: Place::at("person").index(0),
    }
}

fn book() -> RateBook {
    let rate = |cents, unit| Some(Rate { money: Money::cents(cents), unit });
    let material =
        |item: &str, rate| MaterialRate { item: item.into(), rate, place: Place::at("material[0]") };
    let machine = |name: &str, used, rate| MachineRate {
        name: name.into(),
        used,
        rate,
        place: Place::at("machine[0]"),
    };
    RateBook {
        materials: vec![material("mesh", rate(940, Unit::Each)), material("stone", rate(2_450, Unit::Ton))],
        plant: PlantRates {
            concrete: each_yard(15_800),
            minimum_load: Some(Volume::cubic_yards(1.0)),
            short_load_below: Some(Volume::cubic_yards(4.0)),
            short_load_fee: Some(Money::cents(9_500)),
            standby: Some(Price { amount: Money::cents(3_000), per: TimeSpan::minutes(15.0) }),
            disposal: each_yard(6_000),
            saturday: each_yard(1_000),
            sunday: None,
            fuel: Some(Money::cents(1_250)),
            admixtures: vec![Admixture {
                what: MixPart::Air,
                rate: each_yard(325),
                place: Place::at("plant.admixture[0]"),
            }],
        },
        people: vec![person("finisher", 2, 3_400, 38.0), person("labourer", 2, 2_200, 38.0)],
        machines: vec![
            machine("trowel", Use::Finishing, rate(8_500, Unit::Day)),
            machine("screed", Use::Placing, rate(4_000, Unit::Hour)),
            machine("saw", Use::Sawing, rate(9_900, Unit::Day)),
        ],
        other: vec![OtherSum {
            name: "permit".into(),
            amount: Some(Money::cents(12_000)),
            place: Place::at("other[0]"),
        }],
        overhead: Some(Share::percent(12.0)),
        profit: Some(Profit::Margin(Share::percent(15.0))),
        tax: Some(Tax { rate: Share::percent(6.0), on: TaxOn::Materials }),
        ..RateBook::blank("by hand", USD)
    }
}

fn filled(bill: &Bill, book: &RateBook) -> Sheet {
    sheet(bill, &book.plant, book)
}

fn amount(sheet: &Sheet, section: Section, key: &str) -> Money {
    let found = sheet.lines.iter().find(|line| line.section == section && line.key == key);
    found.and_then(|line| line.amount).unwrap_or_else(|| panic!("no {key}"))
}

/// Worked by hand with a pocket calculator, each line rounded to the cent, halves up. The crew's hour: 34 × 1.38 = 46.92 and
/// 22 × 1.38 = 30.36, mean 38.64. Nothing is sawn and no finishing hours are in the bill: saw and trowel are not charged.
#[test]
fn a_price_worked_by_hand() {
    let sheet = filled(&bill(), &book());
    let lines = [
        (Section::Materials, "mesh", 7_520),                   // 8 × 9.40
        (Section::Materials, "stone", 32_242),                 // 13.16 × 24.50
        (Section::Plant, "concrete", 177_750),                 // 11.25 × 158
        (Section::Plant, "air", 3_656),                        // 11.25 × 3.25 = 36.5625
        (Section::Plant, "saturday", 11_250),                  // 11.25 × 10
        (Section::Plant, "left-over", 3_000),                  // 0.50 × 60
        (Section::Plant, "fuel", 2_500),                       // 2 × 12.50
        (Section::Plant, "short-load", 9_500),                 // 3.25 yd is under 4
        (Section::Plant, "standby", 2_500),                    // 12.5 min × 2.00
        (Section::Labour, "setting forms", 18_547),            // 4.80 × 38.64 = 185.472
        (Section::Labour, "placing and striking off", 17_388), // 4.50 × 38.64
        (Section::Machines, "screed", 4_520),                  // 1.125 h shown as 1.13 × 40
        (Section::Other, "permit", 12_000),
        (Section::CostTax, "tax-on-materials", 14_995), // 6 % of 2,499.18
        (Section::Overhead, "overhead", 38_084),        // 12 % of 3,173.68
        (Section::Profit, "profit", 62_727),            // 3,554.52 × 15/85 = 627.268
    ];
    for (section, key, cents) in lines {
        assert_eq!(amount(&sheet, section, key), Money::cents(cents), "{key}");
    }
    assert_eq!(sheet.lines.len(), lines.len());
    assert_eq!(sheet.total(), Some(Money::cents(lines.iter().map(|line| line.2).sum())));
    assert_eq!(sheet.cost(), Some(Money::cents(355_452)));
    assert!(sheet.blanks.is_empty());
}

/// "Three Ways to Price Yourself Out of Business" [@margin-example]: sales of $800,000 on $575,000 of cost, 25 % overhead and 3.13 %
/// profit of sales. As a margin 28.125 % brings the $800,000 back; taken as a markup it brings $736,719: about $63,000 less.
#[test]
fn a_margin_is_not_a_markup() {
    let mut book = RateBook::blank("margin", USD);
    book.overhead = Some(Share::ratio(0.0));
    book.tax = Some(Tax { rate: Share::ratio(0.0), on: TaxOn::Nothing });
    book.other =
        vec![OtherSum { name: "cost".into(), amount: Some(Money::cents(57_500_000)), place: Place::job() }];
    let empty = Bill {
        materials: vec![],
        loads: vec![],
        left_over: Volume::ZERO,
        hours: vec![],
        placing: TimeSpan::ZERO,
        by_machine: false,
        ..bill()
    };
    book.profit = Some(Profit::Margin(Share::percent(28.125)));
    assert_eq!(filled(&empty, &book).total(), Some(Money::cents(80_000_000)));
    book.profit = Some(Profit::Markup(Share::percent(28.125)));
    assert_eq!(filled(&empty, &book).total(), Some(Money::cents(73_671_875)));
    // A markup of 25 % is a margin of 20 %.
    book.profit = Some(Profit::Markup(Share::percent(25.0)));
    let markup = filled(&empty, &book).total();
    book.profit = Some(Profit::Margin(Share::percent(20.0)));
    assert_eq!(filled(&empty, &book).total(), markup);
}

/// Every blank of an empty book is told, none of them as nothing, and no total is made up.
#[test]
fn a_blank_stays_a_blank() {
    let sheet = filled(&bill(), &RateBook::blank("empty", USD));
    let told: Vec<&str> = sheet.blanks.iter().map(|blank| blank.place.path()).collect();
    assert_eq!(
        told,
        [
            "material.mesh",
            "material.stone",
            "plant.concrete",
            "plant.admixture.air",
            "plant.saturday",
            "plant.disposal",
            "plant.fuel",
            "plant.short_load_below",
            "plant.standby",
            "person",
            "price.overhead",
            "price.margin",
            "tax",
        ]
    );
    assert_eq!((sheet.total(), sheet.cost(), sheet.price()), (None, None, None));
    let mut one = book();
    one.people[1].burden = None;
    let sheet = filled(&bill(), &one);
    assert_eq!(sheet.blanks.len(), 1, "{:?}", sheet.blanks);
    assert_eq!(sheet.total(), None);
    assert!(sheet.known(|section| section == Section::Plant) > Money::ZERO);
}

/// The least for any job is reached exactly, before tax on the price.
#[test]
fn a_small_job_is_lifted_to_the_least() {
    let mut book = book();
    book.minimum = Some(Money::cents(600_000));
    book.tax = Some(Tax { rate: Share::percent(6.5), on: TaxOn::Price });
    let sheet = filled(&bill(), &book);
    assert_eq!(sheet.price(), Some(Money::cents(600_000)));
    assert_eq!(sheet.total(), Some(Money::cents(639_000)));
    book.minimum = Some(Money::cents(100_000));
    assert!(filled(&bill(), &book).lines.iter().all(|line| line.section != Section::Minimum));
}

/// A load under the minimum is charged as the minimum, and a price by the metre is charged by the yard of the bill.
#[test]
fn small_loads_are_charged_as_the_minimum() {
    let mut book = book();
    book.plant.minimum_load = Some(Volume::cubic_yards(4.0));
    assert_eq!(amount(&filled(&bill(), &book), Section::Plant, "concrete"), Money::cents(189_600));
    book.plant.concrete = Some(Price { amount: Money::cents(20_000), per: Volume::cubic_metres(1.0) });
    // 200 for 1.307951 yd³ are 152.9110 a yard; 12 of them.
    assert_eq!(amount(&filled(&bill(), &book), Section::Plant, "concrete"), Money::cents(183_493));
}

/// A price for something that the take-off counts otherwise is no price.
#[test]
fn a_price_for_the_wrong_unit_is_a_blank() {
    let mut book = book();
    book.materials[1].rate = Some(Rate { money: Money::cents(3_400), unit: Unit::CubicYard });
    let sheet = filled(&bill(), &book);
    assert_eq!(sheet.blanks.len(), 1);
    assert!(sheet.blanks[0].what.contains("counted otherwise"), "{:?}", sheet.blanks);
}

/// What the job states of the plant goes before the book.
#[test]
fn the_job_goes_before_the_book() {
    let (mut plant, _) = crate::order::example_terms();
    plant.price = each_yard(17_000);
    plant.disposal = None;
    let terms = plant_terms(&plant, &book().plant);
    assert_eq!(terms.concrete, each_yard(17_000));
    assert_eq!(terms.disposal, each_yard(6_000));
    assert_eq!(terms.saturday, each_yard(1_000));
}

/// Changes a rate of the book by its number; which are there is no matter, all are gone through.
fn raise(book: &mut RateBook, which: usize, by: Money) -> bool {
    let up = |money: &mut Money| *money = *money + by;
    match which {
        0 => book.materials.iter_mut().filter_map(|m| m.rate.as_mut()).for_each(|r| up(&mut r.money)),
        1 => up(&mut book.plant.concrete.as_mut().unwrap().amount),
        2 => up(book.plant.short_load_fee.as_mut().unwrap()),
        3 => up(&mut book.plant.standby.as_mut().unwrap().amount),
        4 => up(&mut book.plant.disposal.as_mut().unwrap().amount),
        5 => up(&mut book.plant.saturday.as_mut().unwrap().amount),
        6 => up(book.plant.fuel.as_mut().unwrap()),
        7 => up(&mut book.plant.admixtures[0].rate.as_mut().unwrap().amount),
        8 => up(&mut book.people[0].wage.as_mut().unwrap().amount),
        9 => book.machines.iter_mut().filter_map(|m| m.rate.as_mut()).for_each(|r| up(&mut r.money)),
        10 => up(book.other[0].amount.as_mut().unwrap()),
        _ => return false,
    }
    true
}

proptest! {
    /// Identity: the total is the sum of the lines to the cent, and no line has a part of a cent.
    #[test]
    fn the_lines_add_up(loads in prop::collection::vec(0.25..12.0_f64, 1..6), sheets in 0_u32..60,
                        hours in 0.0..80.0_f64, margin in 0.0..60.0_f64, tax in 0.0..25.0_f64) {
        let mut bill = bill();
        bill.loads = loads.into_iter().map(Volume::cubic_yards).collect();
        bill.materials[0].amount = Amount::Count(sheets);
        bill.hours[0].time = TimeSpan::hours(hours);
        let mut book = book();
        book.profit = Some(Profit::Margin(Share::percent(margin)));
        book.tax = Some(Tax { rate: Share::percent(tax), on: TaxOn::Price });
        let sheet = filled(&bill, &book);
        let sum: i64 = sheet.lines.iter().map(|line| line.amount.unwrap().in_ten_thousandths()).sum();
        prop_assert_eq!(sheet.total().unwrap().in_ten_thousandths(), sum);
        prop_assert!(sheet.lines.iter().all(|line| line.amount.unwrap().in_ten_thousandths() % 100 == 0));
        // The margin is the margin: profit over price, to the half cent of the profit.
        let price = sheet.price().unwrap().in_units();
        let profit = amount(&sheet, Section::Profit, "profit").in_units();
        prop_assert!((profit - price * margin / 100.0).abs() < 0.006 + price * 1e-6);
    }

    /// Law: no rate that goes up brings the price down.
    #[test]
    fn the_price_rises_with_every_rate(which in 0_usize..11, by in 1_i64..100_000) {
        let before = filled(&bill(), &book()).total().unwrap();
        let mut dearer = book();
        prop_assert!(raise(&mut dearer, which, Money::cents(by)));
        let after = filled(&bill(), &dearer).total().unwrap();
        prop_assert!(after >= before, "{which} {by}");
        // A dollar on any rate but the sum of small amounts is seen.
        prop_assert!(by < 100 || after > before, "{which} {by}");
    }

    /// Identity: the lines that differ add up to the difference of the totals, whichever way round.
    #[test]
    fn differences_add_up(loads in prop::collection::vec(0.25..12.0_f64, 1..6), extra in 0_u32..20, drop in 0_usize..3) {
        let first = filled(&bill(), &book());
        let mut other = bill();
        other.loads = loads.into_iter().map(Volume::cubic_yards).collect();
        other.materials.push(Needed { item: "mesh".into(), what: "more mesh".into(), amount: Amount::Count(extra) });
        other.materials.truncate(drop);
        other.hours.push(Hours { operation: Operation::Cure, time: TimeSpan::hours(1.7) });
        let second = filled(&other, &book());
        let changes: Money = differences(&first, &second).iter().map(Difference::change).sum();
        prop_assert_eq!(changes, second.total().unwrap() - first.total().unwrap());
        let back: Money = differences(&second, &first).iter().map(Difference::change).sum();
        prop_assert_eq!(back, -changes);
    }

    /// Law: twice the price of every material is twice the materials, to the rounding of each line.
    #[test]
    fn twice_the_price_is_twice_the_materials(cents in 1_i64..1_000_000, tons in 0.01..400.0_f64) {
        let mut bill = bill();
        bill.materials[1].amount = Amount::Mass(basis::Mass::short_tons(tons));
        let mut single = book();
        single.materials[1].rate.as_mut().unwrap().money = Money::cents(cents);
        let mut double = single.clone();
        for rate in double.materials.iter_mut().filter_map(|material| material.rate.as_mut()) {
            rate.money = rate.money + rate.money;
        }
        let materials = |book: &RateBook| {
            filled(&bill, book).sum(|section| section == Section::Materials).unwrap().in_ten_thousandths()
        };
        prop_assert!((materials(&double) - 2 * materials(&single)).abs() <= 200);
    }
}

/// Forms by the foot are counted in feet when nothing is priced.
#[test]
fn amounts_without_a_price_are_told_in_the_units_of_the_job() {
    let mut bill = bill();
    bill.materials.push(Needed {
        item: "board".into(),
        what: "form boards".into(),
        amount: Amount::Length(Length::metres(30.48)),
    });
    let sheet = filled(&bill, &book());
    let line = sheet.lines.iter().find(|line| line.key == "board").unwrap();
    assert_eq!(line.measure, Measure::Counted { hundredths: 10_000, unit: Unit::Foot, rate: None });
}
