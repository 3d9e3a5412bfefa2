//! The figures as a page.

use std::fmt::Write;

use super::floor::World;
use super::{Group, STATED, TRUCKS, Tally, shares};
use crate::row::Row;

const YARD: f64 = 0.9144 * 0.9144 * 0.9144;

/// What was simulated, and with which terms.
pub fn head(floors: u32, seed: u64) -> String {
    format!(
        "Order odds on {floors} simulated floors a world, seed {seed}\n\
         Floors of 400 to 2,500 ft2, 4 to 6 in., 8 to 30 shots; base rough by 1/8 to 5/8 in. over 4 to 16 ft.\n\
         Terms (an example): 160 USD/yd3, disposal 40 USD/yd3, trucks of 10 yd3, quarter yards, minimum 2 yd3, 110 USD under\n\
         5 yd3, 12.50 USD a load, 30 min from call to site, crew of 140 USD/h placing 12 yd3/h.\n\
         Cost of being wrong, USD a floor: left over, its price and disposal; short, all that a further truck costs beyond\n\
         the price of the lack; short-load fees, unused minimums and needless trips of every load.\n"
    )
}

/// The figures of one world.
pub fn world(world: &World, tally: &Tally) -> String {
    let n = f64::from(tally.floors);
    let mut page = format!("\n{}\n", world.name);
    let mut line = |text: String| writeln!(page, "  {text}").expect("writing to memory does not fail");
    line(format!(
        "mean need {:.1} yd3, stated spread {:.1} %",
        tally.need / n / YARD,
        100.0 * tally.spread / n
    ));
    line(odds("stated chance of short ", &STATED.map(|p| format!("{:.0} %", 100.0 * p))));
    line(odds("found, order           ", &found(&tally.over, tally.floors)));
    line(odds("found, last-load call  ", &found(&tally.called_over, tally.calls)));
    page += &costs(tally);
    let mut line = |text: String| writeln!(page, "  {text}").expect("writing to memory does not fail");
    line(
        "trucks  floors   + 10 %     ours   called   gain  at most   spread of the need, yd3: before, at the call"
            .to_owned(),
    );
    for (i, group) in tally.groups.iter().enumerate().filter(|(_, group)| group.floors > 0) {
        line(row(i, group));
    }
    page
}

/// Costs a floor: average + 10 %, best flat share, our order, volume known exactly, with the call, with a perfect call.
struct Costs {
    plain: f64,
    flat: f64,
    share: f64,
    ours: f64,
    exact: f64,
    called: f64,
    perfect: f64,
}

fn a_floor(tally: &Tally) -> Costs {
    let n = f64::from(tally.floors);
    let best = (0..tally.flat.len()).min_by(|a, b| tally.flat[*a].total_cmp(&tally.flat[*b])).unwrap_or(0);
    let all = total(&tally.groups);
    Costs {
        plain: all.plain / n,
        flat: tally.flat[best] / n,
        share: shares()[best],
        ours: all.ours / n,
        exact: tally.exact / n,
        called: all.called / n,
        perfect: all.perfect / n,
    }
}

fn under(a: f64, b: f64) -> f64 {
    100.0 * (1.0 - a / b)
}

/// The rows that have bars.
pub fn rows(tally: &Tally) -> Vec<Row> {
    let cost = a_floor(tally);
    let ten = 100.0 * f64::from(tally.over[1]) / f64::from(tally.floors);
    let called_ten = 100.0 * f64::from(tally.called_over[1]) / f64::from(tally.calls.max(1));
    let gain = |what: &str, bar, least: f64, a: f64, b: f64, ceiling: f64| {
        let figure = format!("{:.1} % (at most {:.1} %)", under(a, b), under(ceiling, b));
        Row::judged(what, bar, figure, under(a, b) >= least)
    };
    vec![
        Row::judged(
            "order: short of a quantity stated at 10 %",
            "8 to 12 %",
            format!("{ten:.1} %"),
            (8.0..=12.0).contains(&ten),
        ),
        Row::told("last-load call: the same", format!("{called_ten:.1} %")),
        gain(
            "order: cost under average of the shots + 10 %",
            "45 %",
            45.0,
            cost.ours,
            cost.plain,
            cost.exact,
        ),
        gain("order: cost under the best flat share", "10 %", 10.0, cost.ours, cost.flat, cost.exact),
        gain("last-load call: cost under the order's", "30 %", 30.0, cost.called, cost.ours, cost.perfect),
        Row::told(
            "last-load call: cost under average + 10 %",
            format!("{:.1} %", under(cost.called, cost.plain)),
        ),
    ]
}

/// A world in one line.
pub fn short(name: &str, tally: &Tally) -> String {
    let cost = a_floor(tally);
    format!(
        "  {name}: + 10 % {:.0}, best flat share ({:.2} %) {:.0}, our order {:.0}, called {:.0}; our order {:.1} % and {:.1} % \
         under, the call {:.1} % under that\n",
        cost.plain,
        100.0 * cost.share,
        cost.flat,
        cost.ours,
        cost.called,
        under(cost.ours, cost.plain),
        under(cost.ours, cost.flat),
        under(cost.called, cost.ours),
    )
}

/// What each way of ordering costs.
fn costs(tally: &Tally) -> String {
    let Costs { plain, flat, share, ours, exact, called, perfect } = a_floor(tally);
    let share = 100.0 * share;
    let (by_plain, by_flat) = (under(ours, plain), under(ours, flat));
    let (exact_plain, exact_flat) = (under(exact, plain), under(exact, flat));
    let (by_ours, called_plain, most) = (under(called, ours), under(called, plain), under(perfect, ours));
    let error = error_of_gain(tally);
    format!(
        "  average of the shots + 10 %        {plain:>7.2}\n  \
         best flat share, hindsight {share:>5.2} % {flat:>7.2}\n  \
         our order                          {ours:>7.2}   {by_plain:.1} % under + 10 %, {by_flat:.1} % under the best flat share\n  \
           (standard error of the gain over + 10 %: {error:.2})\n  \
         volume known exactly               {exact:>7.2}   {exact_plain:.1} % and {exact_flat:.1} % under: the most that any survey can give\n  \
         with the last-load call            {called:>7.2}   {by_ours:.1} % under our order, {called_plain:.1} % under + 10 %\n  \
         the rest known exactly when called {perfect:>7.2}   {most:.1} % under our order: the most that any call can give\n"
    )
}

fn row(i: usize, group: &Group) -> String {
    let n = f64::from(group.floors);
    let trucks = if i + 1 == TRUCKS { format!("{}+", i + 1) } else { (i + 1).to_string() };
    format!(
        "{trucks:>6}  {:>6}  {:>7.2}  {:>7.2}  {:>7.2}  {:>3.0} %    {:>3.0} %   {:.2}, {:.2}",
        group.floors,
        group.plain / n,
        group.ours / n,
        group.called / n,
        under(group.called, group.ours),
        under(group.perfect, group.ours),
        group.spread / n / YARD,
        group.called_spread / n / YARD,
    )
}

fn total(groups: &[Group]) -> Group {
    groups.iter().fold(Group::default(), |sum, group| Group {
        floors: sum.floors + group.floors,
        plain: sum.plain + group.plain,
        ours: sum.ours + group.ours,
        called: sum.called + group.called,
        perfect: sum.perfect + group.perfect,
        spread: sum.spread + group.spread,
        called_spread: sum.called_spread + group.called_spread,
    })
}

fn error_of_gain(tally: &Tally) -> f64 {
    let n = f64::from(tally.floors);
    let mean = tally.difference[0] / n;
    ((tally.difference[1] / n - mean * mean) / n).max(0.0).sqrt()
}

fn found(over: &[u32; STATED.len()], of: u32) -> [String; STATED.len()] {
    over.map(|over| format!("{:.1} %", 100.0 * f64::from(over) / f64::from(of.max(1))))
}

fn odds(what: &str, figures: &[String; STATED.len()]) -> String {
    figures.iter().fold(what.to_owned(), |line, figure| format!("{line} {figure:>7}"))
}
