//! `schema`: the JSON Schema of the job file.

use crate::args::SchemaArgs;
use crate::error::Failure;

/// Prints the schema.
pub fn run(args: &SchemaArgs) -> Result<String, Failure> {
    let schema = match args.of {
        crate::args::SchemaOf::Job => formats::job_schema(),
    };
    Ok(format!("{schema:#}\n"))
}
