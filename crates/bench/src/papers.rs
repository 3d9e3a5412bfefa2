//! The papers of the boat shed: time and size of each document.

use std::time::Instant;

use papers::{Document, DocumentOptions, Language, Paper, Planned};
use pour::Job;
use pour::day::{Day, FloorOfDay, day};
use pour::plan::Plan;
use pour::price::{PriceOptions, Quote, price, quote};
use pour::rounds::Budget;

use crate::python::root;
use crate::row::{Row, best_of, milliseconds};

/// Each document set for the first time and again, in English and in two languages.
pub fn rows() -> Vec<Row> {
    let Some((job, plan, day)) = planned() else {
        return vec![Row::failed("papers of the boat shed", "-", "its job or plan was refused".to_owned())];
    };
    let planned = Planned { job: &job, plan: &plan, day: day.as_ref() };
    let mut rows = Vec::new();
    for (languages, told) in
        [(vec![Language::English], "English"), (vec![Language::English, Language::Spanish], "both languages")]
    {
        let options = DocumentOptions { languages, paper: Paper::Letter };
        let made = best_of(5, || papers::documents(planned, &options));
        rows.push(Row::told(format!("papers in {told}: templates and data"), milliseconds(made)));
        rows.extend(papers::documents(planned, &options).iter().map(|document| set(document, told)));
        let sheet = quoted(&job).map(|quote| papers::quote_sheet(planned, &quote, &options));
        rows.push(sheet.map_or_else(
            || Row::failed("quote", "-", "its rate book or price was refused".to_owned()),
            |sheet| set(&sheet, told),
        ));
    }
    rows
}

/// The quote by the demonstration's rate book, with two other ways to build the floor.
fn quoted(job: &Job) -> Option<Quote> {
    let text = std::fs::read_to_string(root().join("demo/rates/dollar.toml")).ok()?;
    let book = formats::read_rates(text.as_bytes(), "dollar.toml").report.value?;
    let ways = ["broom", "5 in"].iter().filter_map(|way| formats::read_way(way).ok());
    let options = PriceOptions { seed: 1, budget: Budget::default(), ways: ways.collect() };
    let priced = price(job, &book, &options).value?;
    quote(&job.name, &priced, &book).ok()
}

fn set(document: &Document, told: &str) -> Row {
    let print = || press::print(press::Copy { main: document.main, files: &document.files });
    let start = Instant::now();
    let printed = match print() {
        Ok(printed) => printed,
        Err(faults) => return Row::failed(document.name, "-", faults.join("; ")),
    };
    let first = start.elapsed();
    let again = best_of(3, print);
    let figure = format!(
        "{} pages, {:.0} kB; {} the first time, {} again",
        printed.pages,
        printed.pdf.len() as f64 / 1e3,
        milliseconds(first),
        milliseconds(again)
    );
    Row::told(format!("{} in {told}", document.name), figure)
}

fn planned() -> Option<(Job, Plan, Option<Day>)> {
    let text = std::fs::read_to_string(root().join("demo/boat-shed.toml")).ok()?;
    let job = formats::read_job(&text, "boat-shed.toml", &|_| Err(String::new())).report.value?;
    let plan = pour::plan::plan(&job, 1).value?;
    let day = day(&[FloorOfDay { job: &job, plan: &plan }], 1, Budget::default()).value;
    Some((job, plan, day))
}
