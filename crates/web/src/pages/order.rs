//! Order: the odds for every quantity that the plant sells, to slide along; loads and hold.

use axum::extract::{Path, State};
use axum::response::Response;
use basis::Volume;
use basis::quantity::money;
use maud::{Markup, html};
use pour::Job;
use pour::order::{Basis, Measure, OrderRow, grid, split};
use pour::plan::Plan;

use crate::app::App;
use crate::look::{self, Step, cells, figure, table};
use crate::say::{self, volume};

/// The page.
pub async fn page(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some((job, plan)) = opened.figured.whole() else {
        return super::unplanned(&app, &opened, super::at(Step::Order));
    };
    let order = &plan.order;
    let why = match order.basis {
        Basis::LeastCost => "least expected cost by the plant's terms".to_owned(),
        Basis::Odds(odds) => format!(
            "the least that is short at most {}; the plant's terms are not all known",
            say::odds(odds)
        ),
    };
    let body = html! {
        section.figures aria-label="The order" {
            (figure("order", &volume(order.recommended.quantity, job.units), &why))
            (figure("loads", &say::list(&order.loads, job.units), ""))
            (figure("runs short", &say::odds(order.recommended.chance_short), &say::percent(order.recommended.chance_short)))
        }
        (hold(job, plan))
        h2 { "What if you order more, or less" }
        (odds(job, plan))
        (super::notes_about(&opened, &["order", "plant", "allowance", "loss"]))
        h2 { "How it adds up" }
        (need(job, plan))
        p {
            a.do href={ "/jobs/" (id) "/papers/plant-order.pdf" } { "plant order (PDF)" }
            a.do href={ "/jobs/" (id) "/papers/plant-order-es.pdf" } { "in Spanish" }
        }
    };
    look::job_page(&app, &opened, super::at(Step::Order), &body)
}

fn hold(job: &Job, plan: &Plan) -> Markup {
    let Some(hold) = &plan.order.hold else { return html! {} };
    let measure = match hold.measure {
        Measure::AtTruckChange => "when the last load before the hold stands unopened".to_owned(),
        Measure::LeftInDrum(left) => format!("when {} are left in the drum", volume(left, job.units)),
    };
    html! {
        p.next {
            strong { "With a hold: " }
            "order up to " (volume(hold.open_order, job.units)) ", hold at " (volume(hold.hold, job.units)) " (" (say::list(&hold.loads, job.units)) "), measure " (measure)
            ", then call a balance of " (volume(hold.balance.0, job.units)) " to " (volume(hold.balance.1, job.units)) "."
        }
        @if let Some((ahead, currency)) = hold.ahead.as_ref().zip(job.plant.currency) {
            p { (say::raised(&ahead.told(currency, job.units))) @if hold.loads.len() + 1 > plan.order.loads.len() { " It takes a truck more." } }
        }
    }
}

/// Rows near the middle of the odds.
fn shown(plan: &Plan) -> Vec<&OrderRow> {
    let best = plan.order.recommended.quantity;
    plan.order.rows.iter().filter(|r| (0.004..0.9).contains(&r.chance_short) || r.quantity == best).collect()
}

/// The loads of a quantity as the plant would send them.
fn loads(job: &Job, quantity: Volume) -> String {
    let Ok(grid) = grid(&job.plant, quantity.in_cubic_metres(), job.units) else { return String::new() };
    let loads = split(grid.down(quantity.in_cubic_metres()), grid.limits).full_first;
    say::list(&loads.into_iter().map(|load| grid.quantity(load)).collect::<Vec<_>>(), job.units)
}

fn odds(job: &Job, plan: &Plan) -> Markup {
    let rows = shown(plan);
    let best = plan.order.recommended.quantity;
    let at = rows.iter().position(|row| row.quantity == best).unwrap_or(0);
    let cost = |row: &OrderRow| {
        row.cost.zip(job.plant.currency).map_or("unknown".to_owned(), |(c, of)| money(c, of))
    };
    let told: Vec<_> = rows
        .iter()
        .map(|row| {
            cells([
                volume(row.quantity, job.units),
                say::odds(row.chance_short),
                volume(row.expected_short, job.units),
                volume(row.expected_left, job.units),
                cost(row),
                loads(job, row.quantity),
            ])
        })
        .collect();
    let head = ["order", "runs short", "short by", "left over", "cost", "loads"];
    html! {
        div.odds data-at=(at) {
            (curve(&rows, at))
            label for="slide" { "slide along: " output #slid for="slide" { (volume(best, job.units)) } }
            input #slide type="range" min="0" max=(rows.len().saturating_sub(1)) step="1" value=(at) aria-describedby="slid-told";
            p #slid-told.told {
                "Runs short " b data-cell="1" { (say::odds(plan.order.recommended.chance_short)) }
                ", then by " b data-cell="2" { (volume(plan.order.recommended.expected_short, job.units)) }
                " on average; left over " b data-cell="3" { (volume(plan.order.recommended.expected_left, job.units)) }
                ". Cost to expect " b data-cell="4" { (cost(&plan.order.recommended)) }
                ". Loads " b data-cell="5" { (loads(job, best)) } "."
            }
            (table("Odds for each quantity", &head, &told))
            p.care { "Short by, left over and cost are averages over all that may come. A cold joint is not in the money." }
        }
    }
}

/// The chance of short as bars that fall, one for each quantity.
fn curve(rows: &[&OrderRow], at: usize) -> Markup {
    let wide = 100.0 / rows.len().max(1) as f64;
    let tall = |row: &OrderRow| (row.chance_short.clamp(0.0, 1.0) * 38.0).max(0.4);
    html! {
        svg.drawn.curve viewBox="0 0 100 44" role="img" aria-label="Chance of running short for each quantity, falling" {
            @for share in [0.1, 0.5] {
                line.hour x1="0" x2="100" y1=(format!("{:.2}", 42.0 - 38.0 * share)) y2=(format!("{:.2}", 42.0 - 38.0 * share)) {}
                text x="100" text-anchor="end" font-size="3" y=(format!("{:.2}", 41.2 - 38.0 * share)) { (if share < 0.2 { "short 1 in 10" } else { "1 in 2" }) }
            }
            @for (i, row) in rows.iter().enumerate() {
                rect.bar.at[i == at] data-row=(i) x=(format!("{:.2}", i as f64 * wide + 0.3)) width=(format!("{:.2}", (wide - 0.6).max(0.2))) y=(format!("{:.2}", 42.0 - tall(row))) height=(format!("{:.2}", tall(row))) {}
            }
            line.frame x1="0" x2="100" y1="42" y2="42" {}
        }
    }
}

fn need(job: &Job, plan: &Plan) -> Markup {
    let need = &plan.order.need;
    let (units, share) = (job.units, |value: f64| format!("{:.1} %", 100.0 * value));
    let assumed = |origin: basis::Origin| if origin == basis::Origin::Assumed { "assumed" } else { "" };
    let rows = [
        [
            "in the forms".to_owned(),
            volume(need.forms.mean, units),
            format!("± {}", volume(need.forms.sd, units)),
            String::new(),
        ],
        [
            "allowance".to_owned(),
            share(need.allowance.mean),
            format!("± {}", share(need.allowance.sd)),
            assumed(need.allowance.origin).to_owned(),
        ],
        [
            "loss".to_owned(),
            volume(need.loss.mean, units),
            format!("± {}", volume(need.loss.sd, units)),
            assumed(need.loss.origin).to_owned(),
        ],
        [
            "the floor will take".to_owned(),
            volume(need.total.mean, units),
            format!("± {}", volume(need.total.sd, units)),
            String::new(),
        ],
    ];
    table("From the forms to the order", &["", "", "one standard deviation", ""], &rows.map(cells))
}
