//! The demos priced whole: laws that a price must keep on real floors.

use basis::Money;
use pour::Job;
use pour::price::{Asked, Difference, PriceOptions, Priced, RateBook, Section, price, quote};
use pour::rounds::Budget;

use crate::demo_tests::{BAKERY_YARD, BOAT_SHED, PATIO, read};
use crate::{price_json, read_rates, read_way};

const DOLLAR: &str = include_str!("../../../demo/rates/dollar.toml");
const EURO: &str = include_str!("../../../demo/rates/euro.toml");

fn job(text: &str) -> Job {
    read(text).report.value.unwrap()
}

fn book(text: &str) -> RateBook {
    read_rates(text.as_bytes(), "rates.toml").report.value.unwrap()
}

fn priced(job: &Job, book: &RateBook, ways: &[&str]) -> Priced {
    let ways: Vec<Asked> = ways.iter().map(|way| read_way(way).unwrap()).collect();
    let asked = PriceOptions { seed: 1, budget: Budget { steps: 2_000, people_steps: 200 }, ways };
    price(job, book, &asked).value.unwrap()
}

/// The lines of an option add up to its difference to the cent, and a thicker slab, poly and a hard trowel each cost more.
#[test]
fn options_are_explained_to_the_cent() {
    let priced = priced(
        &job(BOAT_SHED),
        &book(DOLLAR),
        &["5 in", "hard trowel", "without poly", "broom", "4 in", "5 in, without poly"],
    );
    let before = priced.sheet.total().unwrap();
    let changes: Vec<Money> = priced
        .ways
        .iter()
        .map(|way| {
            let after = way.sheet.as_ref().unwrap().total().unwrap();
            let sum: Money = way.differences.iter().map(Difference::change).sum();
            assert_eq!(sum, after - before, "{}", way.name);
            sum
        })
        .collect();
    assert!(changes[0] > Money::ZERO, "an inch more: {changes:?}");
    assert!(changes[2] < Money::ZERO, "no poly: {changes:?}");
    assert_eq!(changes[4], Money::ZERO, "the job is 4 in. thick");
    // An inch over 1,478 ft² is 4.56 yd³ by geometry; the allowance of 3 % and steps of a quarter yard come to it.
    let concrete = priced.ways[0].differences.iter().find(|line| line.what.starts_with("concrete")).unwrap();
    let yards = concrete.change().in_units() / 158.0;
    assert!((yards - 1478.0 / 12.0 / 27.0 * 1.03).abs() < 0.5, "{yards}");
}

/// More yards cost more, more hours cost more, both cost most; and the middle is no dearer than the plan's own order by much.
#[test]
fn doubt_costs_money() {
    for (floor, rates) in [(BOAT_SHED, DOLLAR), (BAKERY_YARD, EURO)] {
        let priced = priced(&job(floor), &book(rates), &[]);
        let costs: Vec<Money> = priced.doubt.iter().map(|case| case.cost.unwrap()).collect();
        assert!(costs[1] > costs[0] && costs[2] > costs[0], "{costs:?}");
        assert!(costs[3] > costs[1] && costs[3] > costs[2], "{costs:?}");
        assert!(priced.doubt[1].concrete > priced.doubt[0].concrete);
        assert!(priced.doubt[2].work > priced.doubt[0].work);
        let total = priced.sheet.total().unwrap();
        let sum: Money = priced.sheet.lines.iter().map(|line| line.amount.unwrap()).sum();
        assert_eq!(total, sum);
    }
}

/// A book in another currency than the job's prices is refused; a job without prices takes either.
#[test]
fn one_currency_for_job_and_book() {
    let asked = PriceOptions { seed: 1, budget: Budget::default(), ways: Vec::new() };
    let report = price(&job(BOAT_SHED), &book(EURO), &asked);
    assert!(report.value.is_none());
    assert!(report.notes.iter().any(|note| note.code == "mixed-currencies"));
    assert!(price(&job(PATIO), &book(EURO), &asked).value.is_some());
}

/// The blanks of an option are refused too, and the quote is the sheet's total.
#[test]
fn a_quote_is_the_total_or_a_refusal() {
    let whole = book(DOLLAR);
    let boat = job(BOAT_SHED);
    let complete = priced(&boat, &whole, &["without poly"]);
    let told = quote(&boat.name, &complete, &whole).unwrap();
    assert_eq!(Some(told.total), complete.sheet.total());
    assert_eq!(told.ways.len(), 1);
    assert_eq!((told.exclusions.len(), told.terms.len()), (2, 2));
    let mut lacking = whole.clone();
    lacking.materials.retain(|material| material.item != "poly");
    let refused = quote(&boat.name, &priced(&boat, &lacking, &["without poly"]), &lacking).unwrap_err();
    assert_eq!(refused.len(), 1);
    assert!(refused[0].message.contains("poly"), "{refused:?}");
}

/// The same price gives the same report, and its amounts are decimals that add up.
#[test]
fn the_report_is_the_sheet() {
    let (boat, book) = (job(BOAT_SHED), book(DOLLAR));
    let one = price_json(&boat, &priced(&boat, &book, &["broom"]), &book, &[]);
    assert_eq!(one, price_json(&boat, &priced(&boat, &book, &["broom"]), &book, &[]));
    let cents =
        |value: &serde_json::Value| -> i64 { value.as_str().unwrap().replace('.', "").parse().unwrap() };
    let sum: i64 = one["sheet"]["lines"].as_array().unwrap().iter().map(|line| cents(&line["amount"])).sum();
    assert_eq!(sum, cents(&one["sheet"]["total"]));
    let job_price = priced(&boat, &book, &[]).sheet.sum(|section| section == Section::Plant);
    assert!(job_price.unwrap() > Money::ZERO);
}

/// Every line of the sheet and of each way stands in the table, and the amounts of a way add up to what is paid, to the cent.
#[test]
fn the_table_of_the_price_adds_up() {
    let priced = priced(&job(BOAT_SHED), &book(DOLLAR), &["broom"]);
    let text = crate::price_csv(&priced);
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = table.records().map(|row| row.unwrap()).collect();
    for (way, sheet) in [("as planned", &priced.sheet), ("broom", priced.ways[0].sheet.as_ref().unwrap())] {
        let of_way: Vec<&csv::StringRecord> = rows.iter().filter(|row| &row[0] == way).collect();
        assert_eq!(of_way.len(), sheet.lines.len() + 1);
        let cents = |row: &csv::StringRecord| row[6].replace('.', "").parse::<i64>().unwrap();
        let (total, lines) = of_way.split_last().unwrap();
        assert_eq!(lines.iter().map(|row| cents(row)).sum::<i64>(), cents(total), "{way}");
        assert_eq!(cents(total) * 100, sheet.total().unwrap().in_ten_thousandths());
        assert_eq!(&total[7], "USD");
    }
}
