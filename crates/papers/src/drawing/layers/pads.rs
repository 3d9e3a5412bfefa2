//! Pads with number, rod reading and distances to edges.

use ground::P2;

use super::super::canvas::{Canvas, Label};
use super::super::svg::{Anchor, Ink, TextAt};
use super::super::{PadMark, PadsLayer};
use super::{Key, on_page};

pub(super) fn over(canvas: &mut Canvas, layer: &PadsLayer) {
    for (a, b) in &layer.struck {
        if let [a, b] = canvas.run(&[*a, *b])[..] {
            canvas.under.line("struck", a, b);
            canvas.taken.avoid(a, b, 2.0);
        }
    }
    let places: Vec<_> = layer.pads.iter().map(|pad| canvas.mark(pad.at)).collect();
    for (pad, at) in layer.pads.iter().zip(&places) {
        if let Some(at) = at {
            number(&mut canvas.labels, *at, pad.number);
            canvas.block(*at, 2.5);
        }
    }
    for (pad, at) in layer.pads.iter().zip(&places) {
        if let Some(at) = at {
            canvas.label(*at, 2.5, &label(pad));
        }
    }
}

fn label(pad: &PadMark) -> Label {
    let tapes: Vec<String> = pad.tapes.iter().map(|tape| tape_told(pad.at, tape)).collect();
    let more = if tapes.is_empty() { Vec::new() } else { vec![tapes.join("  ")] };
    Label { bold: pad.reading.clone(), more, called: format!("{}:", pad.number) }
}

/// The distance with an arrow towards the edge from which it is measured.
fn tape_told(at: P2, tape: &super::super::Tape) -> String {
    let way = on_page(tape.from - at);
    let arrow = match (eighth(way.x), eighth(way.y)) {
        (1, 0) => "→",
        (-1, 0) => "←",
        (0, -1) => "↑",
        (0, 1) => "↓",
        (1, -1) => "↗",
        (1, 1) => "↘",
        (-1, 1) => "↙",
        (-1, -1) => "↖",
        _ => "",
    };
    format!("{arrow}{}", tape.label)
}

/// -1, 0 or 1, so that a direction falls to the nearest of eight.
fn eighth(part: f64) -> i8 {
    // The sine of 22.5 degrees parts straight from slanted.
    const HALF: f64 = 0.382_683_432_365_089_8;
    i8::from(part > HALF) - i8::from(part < -HALF)
}

fn number(ink: &mut Ink, at: P2, number: usize) {
    ink.circle("ring", at, 2.4);
    let told = number.to_string();
    let size = if told.len() < 3 { 2.9 } else { 5.8 / told.len() as f64 };
    let how =
        TextAt { at: at + P2::new(0.0, size * 0.36), size, class: "b", anchor: Anchor::Middle, turn: 0.0 };
    ink.text(how, &told);
}

pub(super) fn keys(layer: &PadsLayer) -> Vec<(Key, String)> {
    let mut keys = vec![(
        Key::Mark(|ink, at| number(ink, at, 1)),
        "pad; beside it the rod reading, below it the tapes from the edges the arrows point to".to_owned(),
    )];
    if !layer.struck.is_empty() {
        keys.push((Key::Line("struck"), "line struck between pads".to_owned()));
    }
    keys
}
