//! How notes are set for a terminal.

use basis::{Note, Place};

use crate::demo_tests::read;
use crate::{Ink, NoteStyle, read_job, render_notes};

fn set(text: &str, path: &str, style: NoteStyle) -> String {
    let parsed = read_job(text, "job.toml", &|_| Err(String::new()));
    render_notes(
        &[Note::fault("some-code", Place::at(path), "what is so", "what to do")],
        &parsed.source,
        style,
    )
}

#[test]
fn a_note_shows_place_line_caret_and_hint() {
    let text = "flatwright = 1\n[slab]\nnominal = \"4 in\" # thin\n";
    let expected = "\
fault [some-code]: what is so
  --> job.toml:3:11
  3 | nominal = \"4 in\" # thin
    |           ^^^^^^
  hint: what to do

";
    assert_eq!(set(text, "slab.nominal", NoteStyle::default()), expected);
}

#[test]
fn a_note_about_the_whole_job_names_the_file() {
    let text = set("flatwright = 1\n", "", NoteStyle::default());
    assert_eq!(text, "fault [some-code]: what is so\n  --> job.toml\n  hint: what to do\n\n");
}

#[test]
fn colour_is_only_there_when_asked_for() {
    let text = "flatwright = 1\n[slab]\nnominal = \"4 in\"\n";
    assert!(!set(text, "slab", NoteStyle::default()).contains('\u{1b}'));
    let coloured = set(text, "slab", NoteStyle { ink: Ink::Colour, width: 80 });
    assert_eq!(coloured.matches("\u{1b}[1;31m").count(), 2);
    assert_eq!(coloured.matches("\u{1b}[0m").count(), 2);
}

/// Columns of the caret line that carry a caret, and the columns of the line above.
fn caret_and_line(set: &str) -> (usize, String) {
    let lines: Vec<&str> = set.lines().collect();
    let caret = lines.iter().position(|line| line.contains('^')).expect("a caret line");
    (lines[caret].find('^').expect("a caret"), lines[caret - 1].to_owned())
}

#[test]
fn tabs_controls_and_right_to_left_text_do_not_move_the_caret() {
    for before in ["\t", "\"\u{5d0}\u{5d1}\" = 1, ", "\"a\u{301}\u{200b}\" = 1, ", "\"\u{202e}x\" = 1, "] {
        let text = format!("flatwright = 1\nslab = {{ {before}nominal = \"4 in\" }}\n");
        let (caret, line) = caret_and_line(&set(&text, "slab.nominal", NoteStyle::default()));
        if let Some(column) = line.find("\"4 in\"") {
            assert_eq!(caret, column, "{line}");
        }
        assert!(line.is_ascii(), "{line}");
    }
}

#[test]
fn wide_characters_count_as_two_columns() {
    let text = "flatwright = 1\nslab = { \"日本\" = 1, nominal = \"4 in\" }\n";
    let (caret, line) = caret_and_line(&set(text, "slab.nominal", NoteStyle::default()));
    let before = line.find("\"4 in\"").expect("shown");
    assert_eq!(caret, line[..before].chars().count() + 2);
}

#[test]
fn long_lines_are_trimmed_around_the_place() {
    let shots: String =
        (0..20_000).map(|row| format!("[\"{row}\", \"1 ft\", \"2 ft\", \"4 ft\"], ")).collect();
    let text = format!("flatwright = 1\nsetup = [{{ shots = [{shots}] }}]\n");
    let set = set(&text, "setup[0].shots[12345].name", NoteStyle { ink: Ink::Plain, width: 60 });
    let (caret, line) = caret_and_line(&set);
    assert_eq!(Some(caret), line.find("\"12345\""));
    assert!(set.lines().all(|line| line.chars().count() <= 60), "{set}");
}

#[test]
fn a_span_longer_than_the_line_ends_with_the_line() {
    let text = "flatwright = 1\n[slab]\nnominal = \"\"\"4\nin\"\"\"\n";
    let (caret, line) = caret_and_line(&set(text, "slab.nominal", NoteStyle::default()));
    assert_eq!(Some(caret), line.find("\"\"\""));
}

#[test]
fn names_from_the_file_cannot_command_the_terminal() {
    let parsed = read("flatwright = 1\n\"\\u001b[31m\" = 1\n");
    let text = render_notes(&parsed.report.notes, &parsed.source, NoteStyle::default());
    assert!(!text.contains('\u{1b}'), "{text}");
}

#[test]
fn a_control_character_in_the_file_is_spelled_out() {
    let parsed = read("flatwright = 1\n[slab]\nnominal = \"\u{1b}[31m4 in\"\n");
    let text = render_notes(&parsed.report.notes, &parsed.source, NoteStyle::default());
    assert!(text.contains("<U+001B>[31m4 in") && !text.contains('\u{1b}'), "{text}");
}
