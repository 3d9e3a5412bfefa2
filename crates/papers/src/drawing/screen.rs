//! Drawings on a screen: the same ink without the sheet around it.
//!
//! A page that shows some holds [`hatches`] once and serves [`style_sheet`] beside its own: the drawings carry no style of
//! their own, so that the page may forbid such.

use ground::P2;

use super::svg::{Ink, STYLE, mm};
use super::text::{clean, escaped};

/// A drawing for a screen with what its page tells beside it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct OnScreen {
    /// The drawing.
    pub svg: String,
    /// The legend.
    pub keys: Vec<Sample>,
    /// What found no room on the floor.
    pub without_room: Vec<String>,
    /// What its user must know.
    pub notes: Vec<String>,
}

/// A sample of the legend.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sample {
    /// The sample as a drawing.
    pub svg: String,
    /// What it means.
    pub what: String,
}

impl Sample {
    pub(super) fn new(ink: &Ink, size: P2, what: String) -> Self {
        let (w, h) = (mm(size.x), mm(size.y));
        let svg = format!(
            "<svg class=\"drawn sample\" viewBox=\"0 0 {w} {h}\" aria-hidden=\"true\">{}</svg>",
            without_style(&ink.0)
        );
        Self { svg, what }
    }
}

/// All styles of all drawings; hatches are told apart by classes, as a page may forbid styles of single elements.
fn styled() -> (String, String) {
    let mut rules = String::new();
    let mut hatches = String::new();
    for part in [STYLE, super::layers::state::WAVES, super::dayline::DAY_STYLE] {
        let mut rest = part;
        while let Some((before, after)) = rest.split_once("<style>") {
            let (css, after) = after.split_once("</style>").unwrap_or((after, ""));
            hatches.push_str(before);
            rules.push_str(css);
            rest = after;
        }
        hatches.push_str(rest);
    }
    let hatches = hatches.replace("<defs>", "").replace("</defs>", "");
    (rules, hatches)
}

/// The style sheet of all drawings on a screen.
///
/// ```
/// let css = papers::drawing::screen::style_sheet();
/// assert!(css.contains("svg.drawn .form{stroke-width:.8}"));
/// ```
#[must_use]
pub fn style_sheet() -> String {
    let (rules, hatches) = styled();
    let mut css = String::new();
    for rule in rules.split_inclusive('}') {
        let Some((selectors, body)) = rule.trim().split_once('{') else { continue };
        let selectors: Vec<String> =
            selectors.split(',').map(|s| format!("svg.drawn {}", s.trim())).collect();
        css += &format!("{}{{{body}\n", selectors.join(","));
    }
    // Later rules of the same weight win, as the style of a single element does on paper.
    for (class, body) in classes(&hatches) {
        css += &format!("svg.drawn .{class}{{{body}}}\n");
    }
    css
}

/// Each style that an element of a hatch has of its own, with the class that stands for it.
fn classes(hatches: &str) -> Vec<(String, String)> {
    let mut found: Vec<String> = Vec::new();
    for part in hatches.split("style=\"").skip(1) {
        let body = part.split('"').next().unwrap_or_default().to_owned();
        if !found.contains(&body) {
            found.push(body);
        }
    }
    found.into_iter().enumerate().map(|(i, body)| (format!("own{i}"), body)).collect()
}

/// The hatches of all drawings, to stand once in a page that shows some.
#[must_use]
pub fn hatches() -> String {
    let (_, hatches) = styled();
    let mut told = hatches.replace("\" style=\"", "\" data-style=\"");
    for (class, body) in classes(&hatches) {
        // A class that stands there already is kept.
        told = told.replace(&format!("data-style=\"{body}\""), &format!("data-own=\"{class}\""));
    }
    let told: Vec<String> = told.split_inclusive('>').map(merged).collect();
    format!(
        "<svg class=\"drawn hatches\" width=\"0\" height=\"0\" aria-hidden=\"true\" focusable=\"false\"><defs>{}</defs></svg>",
        told.concat()
    )
}

/// An element with its own class among its classes.
fn merged(element: &str) -> String {
    let Some((before, after)) = element.split_once(" data-own=\"") else { return element.to_owned() };
    let Some((own, rest)) = after.split_once('"') else { return element.to_owned() };
    match before.split_once("class=\"") {
        Some((start, classes)) => format!("{start}class=\"{own} {classes}{rest}"),
        None => format!("{before} class=\"{own}\"{rest}"),
    }
}

/// Ink without the styles and hatches that stand once in the page.
fn without_style(ink: &str) -> String {
    let mut left = ink.to_owned();
    for (start, end) in [("<style>", "</style>"), ("<pattern ", "</pattern>")] {
        while let Some(from) = left.find(start) {
            let to = left[from..].find(end).map_or(left.len(), |to| from + to + end.len());
            left.replace_range(from..to, "");
        }
    }
    left
}

/// Ink as a drawing of the page; `more` are further attributes, `id` tells its parts from those of other drawings.
pub(super) fn wrapped(id: &str, view: &str, more: &str, title: &str, ink: &str) -> String {
    let ink = without_style(ink)
        .replace("id=\"floor\"", &format!("id=\"{id}-floor\""))
        .replace("url(#floor)", &format!("url(#{id}-floor)"));
    let title = escaped(&clean(title));
    format!(
        "<svg class=\"drawn\" id=\"{id}\" viewBox=\"{view}\" role=\"img\" aria-label=\"{title}\"{more}>\n{ink}</svg>"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_carries_a_style_of_its_own() {
        let told = hatches();
        assert!(!told.contains("style"), "{told}");
        assert!(told.contains("id=\"p5\"") && told.contains("id=\"pw\"") && told.contains("id=\"dn\""));
        // As many elements with a class as there were with a style.
        let own = told.matches("class=\"own").count();
        let styled = [STYLE, super::super::layers::state::WAVES, super::super::dayline::DAY_STYLE];
        assert_eq!(own, styled.iter().map(|part| part.matches("style=\"").count()).sum::<usize>());
    }

    #[test]
    fn every_rule_is_for_drawings_only() {
        for line in style_sheet().lines() {
            let selectors = line.split('{').next().unwrap_or_default();
            assert!(selectors.split(',').all(|s| s.starts_with("svg.drawn ")), "{line}");
            assert!(line.ends_with('}'), "{line}");
        }
    }
}
