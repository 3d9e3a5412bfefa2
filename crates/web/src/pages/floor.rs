//! The floor, one layer at a time.

use axum::extract::{Path, Query, State};
use axum::response::Response;
use maud::html;
use papers::{ScreenLayer, floor_for_screen};
use serde::Deserialize;

use crate::app::App;
use crate::look::{self, Stand, drawing};

/// The layers by their words.
const LAYERS: [(&str, ScreenLayer); 6] = [
    ("thickness", ScreenLayer::Thickness),
    ("loads", ScreenLayer::Loads),
    ("pads", ScreenLayer::Pads),
    ("reach", ScreenLayer::Reach),
    ("base", ScreenLayer::Base),
    ("outline", ScreenLayer::Outline),
];

/// What the page may be asked for.
#[derive(Debug, Deserialize)]
pub struct Asked {
    layer: Option<String>,
}

/// The page.
pub async fn page(State(app): State<App>, Path(id): Path<String>, Query(asked): Query<Asked>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some((job, plan)) = opened.figured.whole() else {
        return super::unplanned(&app, &opened, Stand::Floor);
    };
    let wanted = asked.layer.as_deref().unwrap_or(LAYERS[0].0);
    let (word, layer) = LAYERS.into_iter().find(|(word, _)| *word == wanted).unwrap_or(LAYERS[0]);
    let body = html! {
        nav.layers aria-label="Layers of the floor" {
            @for (name, _) in LAYERS {
                a href={ "?layer=" (name) } aria-current=[(name == word).then_some("true")] { (name) }
            }
        }
        h2.visually-hidden { (look::capital(word)) }
        (drawing(&floor_for_screen(job, plan, layer, "floor")))
    };
    look::job_page(&app, &opened, Stand::Floor, &body)
}
