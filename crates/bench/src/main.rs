//! Measurements against their bars: `cargo run --release -p bench` prints all of them, with a word only those of one subject.

mod against;
mod asbuilt;
mod cold;
mod column;
mod cuts;
mod exact;
mod joints;
mod learning;
mod made;
mod odds;
mod papers;
mod python;
mod rounds;
#[path = "../../house/tests/reference/rounds_question.rs"]
mod rounds_question;
mod row;
mod seen;
mod shots;
mod sweep;

use std::process::ExitCode;

use row::Row;

/// A subject: the word that asks for it and what it measures.
type Subject = (&'static str, fn() -> Vec<Row>);

/// All subjects, in the order in which they are printed; a further one is a line here and a file beside.
const SUBJECTS: [Subject; 14] = [
    ("exact", exact::rows),
    ("plan", cold::rows),
    ("shots", shots::rows),
    ("process", against::process),
    ("triangles", against::triangles),
    ("column", column::rows),
    ("seen", seen::rows),
    ("papers", papers::rows),
    ("joints", joints::rows),
    ("cuts", cuts::rows),
    ("learning", learning::rows),
    ("asbuilt", asbuilt::rows),
    ("rounds", rounds::rows),
    ("odds", odds::rows),
];

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let known = |word: &String| SUBJECTS.iter().any(|(name, _)| name == word);
    if !words.iter().all(known) {
        let names: Vec<&str> = SUBJECTS.iter().map(|(name, _)| *name).collect();
        eprintln!("usage: bench [{}]", names.join("|"));
        return ExitCode::from(2);
    }
    println!("{}", machine());
    let chosen: Vec<&Subject> =
        SUBJECTS.iter().filter(|(name, _)| words.is_empty() || words.iter().any(|w| w == name)).collect();
    let mut table = "| what | bar | figure | |\n| --- | --- | --- | --- |\n".to_owned();
    for (_, rows) in chosen {
        table.extend(rows().iter().map(Row::line));
    }
    println!("{table}");
    ExitCode::SUCCESS
}

/// Cores and processor, as the system tells them.
fn machine() -> String {
    let text = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = text.lines().find_map(|line| line.strip_prefix("model name")?.split_once(':'));
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    format!(
        "{cores} cores of {}; one is used. Times are the shortest of several runs unless said otherwise.",
        model.map_or("an unknown processor", |(_, name)| name.trim())
    )
}
