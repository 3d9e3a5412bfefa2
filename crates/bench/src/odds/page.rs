//! The figures as a page.

use std::fmt::Write;

use super::floor::World;
use super::{Group, STATED, TRUCKS, Tally, shares};

const YARD: f64 = 0.9144 * 0.9144 * 0.9144;

/// What was simulated, and with which terms.
pub fn head(floors: u32, seed: u64) -> String {
    format!(
        "Order odds on {floors} simulated floors a world, seed {seed}\n\
         Floors of 400 to 2,500 ft2, 4 to 6 in., 8 to 30 shots; base rough by 1/8 to 5/8 in. over 4 to 16 ft.\n\
         Terms (an example): 160 USD/yd3, disposal 40 USD/yd3, trucks of 10 yd3, quarter yards, minimum 2 yd3, 110 USD under\n\
         5 yd3, 30 min from call to site, crew of 140 USD/h placing 12 yd3/h.\n\
         Cost of being wrong, USD a floor: left over, its price and disposal; short, all that a further truck costs beyond\n\
         the price of the lack.\n"
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
        "trucks  floors   + 10 %     ours   called   gain   spread of the need, yd3: before, at the call"
            .to_owned(),
    );
    for (i, group) in tally.groups.iter().enumerate().filter(|(_, group)| group.floors > 0) {
        line(row(i, group));
    }
    page
}

/// What each way of ordering costs.
fn costs(tally: &Tally) -> String {
    let n = f64::from(tally.floors);
    let mut page = String::new();
    let mut line = |text: String| writeln!(page, "  {text}").expect("writing to memory does not fail");
    let best = (0..tally.flat.len()).min_by(|a, b| tally.flat[*a].total_cmp(&tally.flat[*b])).unwrap_or(0);
    let all = total(&tally.groups);
    let (plain, flat, ours, called) = (all.plain / n, tally.flat[best] / n, all.ours / n, all.called / n);
    let under = |a: f64, b: f64| format!("{:.1} %", 100.0 * (1.0 - a / b));
    line(format!("average of the shots + 10 %        {plain:>7.2}"));
    let share = 100.0 * shares()[best];
    line(format!("best flat share, hindsight {share:>5.2} % {flat:>7.2}"));
    let (to_plain, to_flat) = (under(ours, plain), under(ours, flat));
    line(format!(
        "our order                          {ours:>7.2}   {to_plain} under + 10 %, {to_flat} under the best flat share"
    ));
    line(format!("  (standard error of the gain over + 10 %: {:.2})", error_of_gain(tally)));
    let exact = tally.exact / n;
    line(format!(
        "volume known exactly               {exact:>7.2}   {} under + 10 %: the most that any survey can give",
        under(exact, plain)
    ));
    let (to_ours, to_plain) = (under(called, ours), under(called, plain));
    line(format!(
        "with the last-load call            {called:>7.2}   {to_ours} under our order, {to_plain} under + 10 %"
    ));
    page
}

fn row(i: usize, group: &Group) -> String {
    let n = f64::from(group.floors);
    let trucks = if i + 1 == TRUCKS { format!("{}+", i + 1) } else { (i + 1).to_string() };
    format!(
        "{trucks:>6}  {:>6}  {:>7.2}  {:>7.2}  {:>7.2}  {:>3.0} %   {:.2}, {:.2}",
        group.floors,
        group.plain / n,
        group.ours / n,
        group.called / n,
        100.0 * (1.0 - group.called / group.ours),
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
