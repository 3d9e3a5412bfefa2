//! The command line: reads files, runs the engine, prints a page that a foreman can read.

mod args;
mod commands;
mod error;
mod page;
mod show;

use std::io::Write;
use std::process::ExitCode;

use clap::Parser;

use args::{Cli, Command};
use error::Failure;

fn main() -> ExitCode {
    let done = match Cli::parse().command {
        Command::New(args) => commands::new::run(&args),
        Command::Import(args) => commands::import::run(&args),
        Command::Export(args) => commands::export::run(&args),
        Command::Plan(args) => commands::plan::run(&args),
        Command::Balance(args) => commands::balance::run(&args),
        Command::Clock(args) => commands::clock::run(&args),
        Command::Sweep(args) => commands::sweep::run(&args),
        Command::Joints(args) => commands::joints::run(&args),
        Command::Takeoff(args) => commands::takeoff::run(&args),
        Command::Price(args) => commands::price::run(&args),
        Command::Papers(args) => commands::papers::run(&args),
        Command::Learn(args) => commands::learn::run(&args),
        Command::Close(args) => commands::close::run(&args),
        Command::Serve(args) => commands::serve::run(&args),
        Command::People(args) => commands::people::run(&args),
        Command::Backup(args) => commands::backup::run(&args),
        Command::Restore(args) => commands::backup::restore(&args),
        Command::Schema(args) => commands::schema::run(&args),
    };
    match done {
        Ok(text) => {
            // A reader that closes the pipe early, such as `head`, is no failure.
            let _ = std::io::stdout().lock().write_all(text.as_bytes());
            ExitCode::SUCCESS
        }
        Err(Failure { text, code }) => {
            eprint!("{text}");
            ExitCode::from(code)
        }
    }
}
