//! What the pages load besides their text: all of it built in.

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};

/// A file that is built in.
struct Asset {
    name: &'static str,
    kind: &'static str,
    bytes: &'static [u8],
}

macro_rules! asset {
    ($name:literal, $kind:literal) => {
        Asset { name: $name, kind: $kind, bytes: include_bytes!(concat!("../assets/", $name)) }
    };
}

const SCRIPT: &str = "text/javascript; charset=utf-8";

const ASSETS: &[Asset] = &[
    asset!("app.css", "text/css; charset=utf-8"),
    Asset { kind: SCRIPT, ..asset!("app.js", "") },
    Asset { kind: SCRIPT, ..asset!("bring.js", "") },
    Asset { kind: SCRIPT, ..asset!("day.js", "") },
    Asset { kind: SCRIPT, ..asset!("field.js", "") },
    Asset { kind: SCRIPT, ..asset!("live.js", "") },
    Asset { kind: SCRIPT, ..asset!("odds.js", "") },
    Asset { kind: SCRIPT, ..asset!("pad.js", "") },
    Asset { kind: SCRIPT, ..asset!("sketch.js", "") },
    asset!("mark.svg", "image/svg+xml"),
    Asset {
        name: "barlow-condensed-500.woff2",
        kind: "font/woff2",
        bytes: include_bytes!("../fonts/barlow-condensed-500.woff2"),
    },
    Asset {
        name: "barlow-condensed-700.woff2",
        kind: "font/woff2",
        bytes: include_bytes!("../fonts/barlow-condensed-700.woff2"),
    },
];

/// A mark that changes with the files, so that a browser may keep them for ever.
#[must_use]
pub fn mark() -> String {
    let drawn = papers::drawing::screen::style_sheet();
    let all = ASSETS
        .iter()
        .flat_map(|asset| asset.bytes)
        .chain(drawn.as_bytes())
        .chain(include_bytes!("../assets/worker.js"));
    // 64-bit FNV-1a tells builds apart; nothing is kept safe by it.
    let hash = all.fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    format!("{hash:016x}")
}

/// Names of all files that are built in.
#[cfg(test)]
pub fn names() -> impl Iterator<Item = &'static str> {
    ASSETS.iter().map(|asset| asset.name).chain(["drawn.css"])
}

/// Answers with a file that is built in, under the mark of this build or of another: both get what there is.
pub async fn asset(Path((_, name)): Path<(String, String)>) -> Response {
    let told = [(header::CACHE_CONTROL, "public, max-age=31536000, immutable")];
    if name == "drawn.css" {
        let kind = [(header::CONTENT_TYPE, "text/css; charset=utf-8")];
        return (told, kind, papers::drawing::screen::style_sheet()).into_response();
    }
    match ASSETS.iter().find(|asset| asset.name == name) {
        Some(asset) => (told, [(header::CONTENT_TYPE, asset.kind)], asset.bytes).into_response(),
        None => (StatusCode::NOT_FOUND, "There is no such file.\n").into_response(),
    }
}
