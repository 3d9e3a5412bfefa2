//! Measurements, each printed by one command: `cargo run --release -p bench -- odds`.

mod odds;

use std::process::ExitCode;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["odds"] => {
            print!("{}", odds::report(2_000, 20_261_125));
            ExitCode::SUCCESS
        }
        _ => {
            eprintln!("usage: bench odds");
            ExitCode::from(2)
        }
    }
}
