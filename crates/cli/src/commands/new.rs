//! `new`: a commented starter job.

use std::path::Path;

use crate::args::NewArgs;
use crate::error::Failure;

/// Writes or prints the starter job; a file that is there already is left alone.
pub fn run(args: &NewArgs) -> Result<String, Failure> {
    let starter = formats::starter();
    match args.file.as_deref().filter(|f| *f != Path::new("-")) {
        None => Ok(starter.to_owned()),
        Some(path) => {
            let mut options = std::fs::OpenOptions::new();
            let file = options.write(true).create_new(true).open(path);
            let written = file.and_then(|mut file| std::io::Write::write_all(&mut file, starter.as_bytes()));
            written.map_err(|why| Failure::file(path, "write", &why))?;
            Ok(format!("wrote {}; fill it in, then: flatwright plan {0}\n", path.display()))
        }
    }
}
