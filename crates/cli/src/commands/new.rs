//! `new`: a commented starter job, or a blank rate book.

use std::path::Path;

use crate::args::NewArgs;
use crate::error::Failure;

/// Writes or prints the starter; a file that is there already is left alone.
pub fn run(args: &NewArgs) -> Result<String, Failure> {
    let starter = if args.rates { formats::starter_rates() } else { formats::starter() };
    let next = if args.rates { "flatwright price JOB --rates" } else { "flatwright plan" };
    match args.file.as_deref().filter(|f| *f != Path::new("-")) {
        None => Ok(starter.to_owned()),
        Some(path) => {
            let mut options = std::fs::OpenOptions::new();
            let file = options.write(true).create_new(true).open(path);
            let written = file.and_then(|mut file| std::io::Write::write_all(&mut file, starter.as_bytes()));
            written.map_err(|why| Failure::file(path, "write", &why))?;
            Ok(format!("wrote {}; fill it in, then: {next} {0}\n", path.display()))
        }
    }
}
