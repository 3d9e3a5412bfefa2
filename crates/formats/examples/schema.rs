//! Prints the JSON Schema of the job file, as it stands in `schema/job.schema.json`.

fn main() {
    println!("{:#}", formats::job_schema());
}
