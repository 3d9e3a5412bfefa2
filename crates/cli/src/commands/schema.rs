//! `schema`: the JSON Schemas of the job file, the rate book and the reports.

use crate::args::SchemaArgs;
use crate::error::Failure;

/// Prints the schema.
pub fn run(args: &SchemaArgs) -> Result<String, Failure> {
    let schema = match args.of {
        crate::args::SchemaOf::Job => formats::job_schema(),
        crate::args::SchemaOf::Rates => formats::rates_schema(),
        crate::args::SchemaOf::Plan => formats::plan_schema(),
        crate::args::SchemaOf::Clock => formats::clock_schema(),
        crate::args::SchemaOf::Sweep => formats::sweep_schema(),
        crate::args::SchemaOf::Takeoff => formats::takeoff_schema(),
        crate::args::SchemaOf::Price => formats::price_schema(),
        crate::args::SchemaOf::AsBuilt => formats::as_built_file_schema(),
        crate::args::SchemaOf::Close => formats::as_built_schema(),
        crate::args::SchemaOf::Event => formats::events::event_schema(),
        crate::args::SchemaOf::Api => web::api::openapi(),
    };
    Ok(format!("{schema:#}\n"))
}
