//! The floor, one layer at a time.

use maud::{Markup, html};
use papers::{ScreenLayer, floor_for_screen};
use pour::Job;
use pour::plan::Plan;

use crate::look::{self, drawing};

/// The layers by their words.
const LAYERS: [(&str, ScreenLayer); 6] = [
    ("thickness", ScreenLayer::Thickness),
    ("loads", ScreenLayer::Loads),
    ("pads", ScreenLayer::Pads),
    ("reach", ScreenLayer::Reach),
    ("base", ScreenLayer::Base),
    ("outline", ScreenLayer::Outline),
];

/// The page, when there is a plan: the layer asked for, or the first.
pub fn body(job: &Job, plan: &Plan, asked: Option<&str>) -> Markup {
    let wanted = asked.unwrap_or(LAYERS[0].0);
    let (word, layer) = LAYERS.into_iter().find(|(word, _)| *word == wanted).unwrap_or(LAYERS[0]);
    html! {
        nav.layers aria-label="Layers of the floor" {
            @for (name, _) in LAYERS {
                a href={ "?layer=" (name) } aria-current=[(name == word).then_some("true")] { (name) }
            }
        }
        h2.visually-hidden { (look::capital(word)) }
        (drawing(&floor_for_screen(job, plan, layer, "floor")))
    }
}
