//! Typesetting: a template, its data and its pictures become a PDF.
//!
//! The one crate that knows the typesetter. What people wrote reaches a document only as data, as JSON that the template
//! reads; nothing of it is ever read as markup. The same files give the same bytes: no date, no machine's fonts, no path.
//!
//! See `docs/methods/papers.md`.

mod fonts;
mod world;

use std::collections::BTreeMap;

use serde_json::Value;
use typst::diag::SourceDiagnostic;
use typst::ecow::EcoVec;
use typst::foundations::Smart;
use typst::{World, WorldExt};
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;

pub use fonts::{REPLACEMENT, can_print, printable};

use world::Desk;

/// Memos of the typesetter that no document has used for so many documents are let go.
const KEPT: usize = 2;

/// What a document is set from.
#[derive(Debug, Clone, Copy)]
pub struct Copy<'a> {
    /// The template with which to begin, as it is named in `files`: `order.typ`.
    pub main: &'a str,
    /// Templates (`.typ`), data (`.json`) and pictures (`.svg`) by their names.
    pub files: &'a BTreeMap<String, String>,
}

/// A document as set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printed {
    /// The PDF.
    pub pdf: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
}

/// Sets a document as a PDF with its fonts embedded.
///
/// Every text in a `.json` file is made [`printable`] first.
///
/// # Errors
/// What is wrong with the template or with data that it does not expect, one sentence each. No text of a user can be the
/// cause: it is data.
///
/// ```
/// # use std::collections::BTreeMap;
/// let template = r#"#let said = json("data.json"); #said.name"#;
/// let files = BTreeMap::from([
///     ("a.typ".to_owned(), template.to_owned()),
///     ("data.json".to_owned(), r##"{"name": "Boat shed #panic()"}"##.to_owned()),
/// ]);
/// let printed = press::print(press::Copy { main: "a.typ", files: &files }).expect("a sound template");
/// assert!(printed.pages == 1 && printed.pdf.starts_with(b"%PDF-"));
/// ```
pub fn print(copy: Copy<'_>) -> Result<Printed, Vec<String>> {
    let printed = set(copy);
    typst::comemo::evict(KEPT);
    printed
}

/// Data with every text made printable.
fn cleaned(value: Value) -> Value {
    match value {
        Value::String(text) => Value::String(printable(&text)),
        Value::Array(list) => Value::Array(list.into_iter().map(cleaned).collect()),
        Value::Object(map) => {
            Value::Object(map.into_iter().map(|(key, value)| (key, cleaned(value))).collect())
        }
        other => other,
    }
}

fn set(copy: Copy<'_>) -> Result<Printed, Vec<String>> {
    let desk = Desk::new(copy)?;
    let told =
        |faults: EcoVec<SourceDiagnostic>| faults.iter().map(|fault| told(&desk, fault)).collect::<Vec<_>>();
    let document = typst::compile::<PagedDocument>(&desk).output.map_err(told)?;
    let options = PdfOptions { creator: Smart::Custom(Some("flatwright".into())), ..PdfOptions::default() };
    let pdf = typst_pdf::pdf(&document, &options).map_err(told)?;
    Ok(Printed { pdf, pages: document.pages().len() })
}

/// A fault with the line of the template where it stands.
fn told(desk: &Desk, fault: &SourceDiagnostic) -> String {
    let at = fault.span.id().zip(desk.range(fault.span)).and_then(|(id, range)| {
        let line = desk.source(id).ok()?.lines().byte_to_line(range.start)? + 1;
        Some(format!("{}:{line}: ", id.get().vpath().get_without_slash()))
    });
    let hints: String = fault.hints.iter().map(|hint| format!(" ({})", hint.v)).collect();
    format!("{}{}{hints}", at.unwrap_or_default(), fault.message)
}

#[cfg(test)]
mod tests;
