//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

/// Yards, loads, bays, pads and reach of a concrete floor, from its own grade shots.
#[derive(Debug, Parser)]
#[command(name = "flatwright", version, about, disable_help_subcommand = true)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands, in the order of the day.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a commented starter job to fill in.
    New(NewArgs),
    /// Put an outline or shots of another program's file (DXF, LandXML, CSV) into a job file.
    Import(ImportArgs),
    /// Write the floor for other programs: a drawing (DXF), a survey (LandXML), the shots (CSV).
    Export(ExportArgs),
    /// Figure the whole pour: yards with their odds, loads, bays, pads, reach, prep sheet.
    Plan(PlanArgs),
    /// Say what to call in for the last truck, from where the line has got to.
    Balance(BalanceArgs),
    /// Say when each bay can be floated, trowelled and sawn, and who does it, for one floor or the two of a day.
    Clock(ClockArgs),
    /// Try every hour of a weather file as the start of the pour: the best one, and what speaks against the rest.
    Sweep(SweepArgs),
    /// Lay contraction joints out: where to saw, how deep, in which order; panels against the rules.
    Joints(JointArgs),
    /// Take the floor off: what to buy, how to cut it, where mesh, bars and poly lie.
    Takeoff(TakeoffArgs),
    /// Price the job by your own rate book, with what doubt costs and other ways to build it.
    Price(PriceArgs),
    /// Write what leaves the foreman's hands: plant order, crew sheet, finishing clock (PDF), calendar, lists.
    Papers(PapersArgs),
    /// Say what your own past pours teach, from a table of them: allowance, placing rate, late trucks, set,
    /// hours and cost, with the evidence and the past told again
    Learn(LearnArgs),
    /// Close a job: the floor as built against what was planned, with thickness, fall, flatness and birdbaths.
    Close(CloseArgs),
    /// Serve the app: the jobs on the phone and the desk, in a browser.
    Serve(ServeArgs),
    /// Say who may use the app: add somebody, list them, let somebody go.
    People(PeopleArgs),
    /// Copy a folder of jobs into one file while it is in use, and look the copy through.
    Backup(BackupArgs),
    /// Bring a backup back into a folder.
    Restore(RestoreArgs),
    /// Print the JSON Schema of the job file, of the rate book, of an event, or of the report of plan, clock or sweep.
    Schema(SchemaArgs),
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// Where to write the job; `-` or nothing prints it.
    pub file: Option<PathBuf>,
    /// Write a rate book with every rate blank instead of a job.
    #[arg(long)]
    pub rates: bool,
}

/// Arguments of `import`.
#[derive(Debug, Args)]
pub struct ImportArgs {
    /// The job file (TOML) that takes it.
    pub job: PathBuf,
    /// Take the outline, and the openings within it, from this drawing (DXF).
    #[arg(long, value_name = "FILE")]
    pub outline: Option<PathBuf>,
    /// Take shots from this file, as often as needed: a table of readings (CSV), a survey (LandXML), points or triangles of a drawing (DXF).
    #[arg(long, value_name = "FILE")]
    pub shots: Vec<PathBuf>,
    /// The layer that holds the outline; for shots alone, the layers that hold them.
    #[arg(long, value_name = "NAME")]
    pub layer: Vec<String>,
    /// The layer that holds the openings, when it is not that of the outline.
    #[arg(long, value_name = "NAME")]
    pub openings: Option<String>,
    /// A layer, group of points or surface that holds the shots, as often as needed.
    #[arg(long, value_name = "NAME")]
    pub shots_layer: Vec<String>,
    /// Unit of the file's lengths, where it does not say it: in, ft, "survey ft", yd, mm, cm or m.
    #[arg(long, value_name = "UNIT")]
    pub unit: Option<String>,
    /// Ends of lines no farther apart than this meet; 2 mm without it.
    #[arg(long, value_name = "LENGTH")]
    pub close: Option<String>,
    /// The point of the file that is the origin of the plan: "120 ft, 80 ft".
    #[arg(long, value_name = "POINT", allow_hyphen_values = true)]
    pub origin: Option<String>,
    /// Name of the set-up that the shots come as; without it, the file's.
    #[arg(long, value_name = "NAME")]
    pub setup: Option<String>,
    /// What the shots stand on.
    #[arg(long, value_enum, default_value_t = OnWhat::Base)]
    pub on: OnWhat,
    /// Write a new job file and leave the first as it is.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Only tell what the files hold and what would be taken.
    #[arg(long)]
    pub look: bool,
}

/// What shots stand on.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub enum OnWhat {
    /// The prepared base.
    Base,
    /// The tops of forms.
    Form,
}

/// Arguments of `export`.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// The job file (TOML).
    pub job: PathBuf,
    /// Write the files into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    /// Seed of the draws, as in `plan`.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// Arguments of `plan`.
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// The job file (TOML).
    pub job: PathBuf,
    /// Write the drawings (SVG), one a layer, into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Seed of the truck draws; the same seed gives the same plan.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Print the whole plan as a JSON report for other programs.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `balance`.
#[derive(Debug, Args)]
pub struct BalanceArgs {
    /// The job file (TOML).
    pub job: PathBuf,
    /// Where the placed line is: `"1 done, 2 to 14 ft 6 in"`.
    #[arg(long, value_name = "WHERE")]
    pub placed: String,
    /// What the tickets say has come so far: `"8 yd3 + 8 yd3"`. Without it, the loads of the plan that the line has reached.
    #[arg(long, value_name = "VOLUME")]
    pub delivered: Option<String>,
    /// What is still in the drum on site: `"1.5 yd3"`.
    #[arg(long, value_name = "VOLUME")]
    pub in_drum: Option<String>,
    /// Seed of the plan's truck draws, as in `plan`; the call itself draws nothing.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// Arguments of `clock`.
#[derive(Debug, Args)]
pub struct ClockArgs {
    /// The job file (TOML), or the two of a day in order.
    #[arg(required = true, num_args = 1..=2)]
    pub jobs: Vec<PathBuf>,
    /// What was seen, as often as needed: `"10:40 bay 1 print 1/4 in"`, `"9:55 bay 2 sheen gone"`, `"10:20 bay 1 needle 90 psi"`,
    /// `"10:20 bay 1 surface 74 degF"`, `"11:00 bay 1 float on"`, `"11:30 bay 1 trowel 1 done"`, `"load 2 at 7:58"`; with two jobs
    /// `"10:40 floor 2 bay 1 ..."`.
    #[arg(long, value_name = "WHAT")]
    pub seen: Vec<String>,
    /// The time it is now, as in `11:05`; without it, that of the last thing seen. What is past is left out.
    #[arg(long, value_name = "TIME")]
    pub now: Option<String>,
    /// Write the day line and the floor at its telling instants (SVG) into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Draw the floor at this local time instead: `11:30`, `2:15 pm`, `2026-06-13 07:00`.
    #[arg(long, value_name = "TIME", requires = "out")]
    pub at: Option<String>,
    /// Print the whole clock as a JSON report for other programs.
    #[arg(long)]
    pub json: bool,
    /// Seed of the draws; the same seed gives the same clock.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// Arguments of `joints`.
#[derive(Debug, Args)]
pub struct JointArgs {
    /// The job file (TOML).
    pub job: PathBuf,
    /// Largest stone of the mix: `"3/4 in"`. Without it joints stand as close as for small stone.
    #[arg(long, value_name = "SIZE")]
    pub stone: Option<String>,
    /// Slump at placing: `"4 in"`.
    #[arg(long, value_name = "SLUMP")]
    pub slump: Option<String>,
}

/// Arguments of `takeoff`.
#[derive(Debug, Args)]
pub struct TakeoffArgs {
    /// The job file (TOML).
    pub job: PathBuf,
    /// Write the drawings of mesh, bars and poly (SVG) and the lists (CSV) into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Print the whole take-off as a JSON report for other programs.
    #[arg(long)]
    pub json: bool,
    /// Seed of the plan's draws; it moves no line but fibers, which follow the concrete ordered.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// Arguments of `papers`.
#[derive(Debug, Args)]
pub struct PapersArgs {
    /// The job file (TOML).
    pub job: PathBuf,
    /// Write the papers into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
    /// Language of the papers; with both, each line stands in English and in Spanish.
    #[arg(long, value_enum, default_value_t = Languages::En)]
    pub lang: Languages,
    /// A rate book (TOML): with it, the customer's quote and the price as CSV; refused while a rate that is needed is blank.
    #[arg(long, value_name = "BOOK")]
    pub rates: Option<PathBuf>,
    /// Another way to build it, for the quote, as often as needed: `"broom"`, `"5 in, without poly"`.
    #[arg(long, value_name = "WAY", requires = "rates")]
    pub option: Vec<String>,
    /// Size of the sheets; without it, letter for a job in feet and A4 for one in metres.
    #[arg(long, value_enum)]
    pub paper: Option<PaperSize>,
    /// Seed of the draws, as in `plan`.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// Languages of the papers.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub enum Languages {
    /// English.
    En,
    /// Spanish.
    Es,
    /// English and Spanish.
    Both,
}

/// Sizes of sheets.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub enum PaperSize {
    /// 8 1/2 by 11 in.
    Letter,
    /// 210 by 297 mm.
    A4,
}

/// Arguments of `learn`.
#[derive(Debug, Args)]
pub struct LearnArgs {
    /// The table of past pours (CSV)
    pub past: PathBuf,
}

/// Arguments of `sweep`.
#[derive(Debug, Args)]
pub struct SweepArgs {
    /// The job file (TOML), with mix and site.
    pub job: PathBuf,
    /// A weather file in place of the job's: a table of hours, EPW or a saved forecast.
    #[arg(long, value_name = "FILE")]
    pub weather: Option<PathBuf>,
    /// First day to try, as in 2026-06-12.
    #[arg(long, value_name = "DATE")]
    pub from: Option<String>,
    /// Last day to try.
    #[arg(long, value_name = "DATE")]
    pub until: Option<String>,
    /// When the crew takes its first truck, such as "6 am - 2 pm"; other hours stand behind. 5:00 - 15:00 if not said.
    #[arg(long, value_name = "HOURS")]
    pub start_hours: Option<String>,
    /// Print a JSON report for other programs instead of the page.
    #[arg(long)]
    pub json: bool,
    /// Seed of the simulated trucks.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// Arguments of `price`.
#[derive(Debug, Args)]
pub struct PriceArgs {
    /// The job file (TOML).
    pub job: PathBuf,
    /// The rate book (TOML).
    #[arg(long, value_name = "BOOK")]
    pub rates: PathBuf,
    /// Another way to build it, as often as needed: `"broom"`, `"hard trowel"`, `"5 in"`, `"with poly"`, `"5 in, without poly"`.
    #[arg(long, value_name = "WAY")]
    pub option: Vec<String>,
    /// Print what the customer is told instead; refused while a rate that it needs is blank.
    #[arg(long, conflicts_with = "json")]
    pub quote: bool,
    /// Print the whole price as a JSON report for other programs.
    #[arg(long)]
    pub json: bool,
    /// Seed of the draws; the same seed gives the same price.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// Arguments of `close`.
#[derive(Debug, Args)]
pub struct CloseArgs {
    /// The job file (TOML).
    pub job: PathBuf,
    /// The file of the finished floor (TOML): set-ups with shots, lines with readings.
    #[arg(long, value_name = "FILE")]
    pub asbuilt: PathBuf,
    /// Write the drawings of fall, birdbaths and flatness lines (SVG) into this folder.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Print the floor as built as a JSON report for other programs.
    #[arg(long)]
    pub json: bool,
    /// Seed of the plan's draws, as in `plan`; it moves nothing on this page.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
}

/// Arguments of `serve`.
#[derive(Debug, Args)]
pub struct ServeArgs {
    /// Where to listen: this machine only, unless TLS is given or a proxy stands before it. Port 0 takes any that is free.
    #[arg(long, value_name = "ADDR", default_value = "127.0.0.1:8631")]
    pub listen: std::net::SocketAddr,
    /// The folder that holds the jobs, made where there is none; `jobs` if not said.
    #[arg(long, value_name = "DIR")]
    pub data: Option<PathBuf>,
    /// Serve the demonstration jobs, with the clock set to the day of the first: from memory, where nothing is kept, or in the
    /// folder of --data.
    #[arg(long)]
    pub demo: bool,
    /// A name or address under which it is asked for, as often as needed; the first is the one that is told.
    #[arg(long, value_name = "HOST")]
    pub name: Vec<String>,
    /// The certificate (PEM, with those that it rests on) for TLS.
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    pub tls_cert: Option<PathBuf>,
    /// The key of the certificate (PEM).
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    pub tls_key: Option<PathBuf>,
    /// Let this machine vouch for itself on the local network: an authority is made in the folder of jobs, and a page on another port
    /// walks each phone through trusting it.
    #[arg(long, conflicts_with_all = ["tls_cert", "behind_proxy"])]
    pub own_authority: bool,
    /// Port of that page.
    #[arg(long, value_name = "PORT", default_value_t = 8632, requires = "own_authority")]
    pub trust_port: u16,
    /// A proxy stands before it that does the TLS, and tells X-Forwarded-Proto, -Host and -For.
    #[arg(long, requires = "name", conflicts_with = "tls_cert")]
    pub behind_proxy: bool,
}

/// Arguments of `people`.
#[derive(Debug, Args)]
pub struct PeopleArgs {
    /// What to do.
    #[command(subcommand)]
    pub what: People,
}

/// What can be done about people.
#[derive(Debug, Subcommand)]
pub enum People {
    /// Add somebody; the password is asked for, or taken from the first line of the input.
    Add {
        /// The name.
        name: String,
        /// What they may do.
        #[arg(long, value_enum)]
        role: RoleArg,
        /// The folder of jobs; made if it is not there.
        #[arg(long, value_name = "DIR")]
        data: PathBuf,
    },
    /// List who is there.
    List {
        /// The folder of jobs.
        #[arg(long, value_name = "DIR")]
        data: PathBuf,
    },
    /// Give somebody a new password, which ends their sessions.
    Password {
        /// The name.
        name: String,
        /// The folder of jobs.
        #[arg(long, value_name = "DIR")]
        data: PathBuf,
    },
    /// Let somebody go: their sessions end, what they wrote stays.
    LetGo {
        /// The name.
        name: String,
        /// The folder of jobs.
        #[arg(long, value_name = "DIR")]
        data: PathBuf,
    },
}

/// What somebody may do.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub enum RoleArg {
    /// Everything.
    Owner,
    /// Log the day; no prices.
    Crew,
}

/// Arguments of `backup`.
#[derive(Debug, Args)]
pub struct BackupArgs {
    /// The folder of jobs.
    #[arg(long, value_name = "DIR")]
    pub data: PathBuf,
    /// The file to write. A backup of that name is replaced by a whole new one; any other file is left alone.
    #[arg(long, value_name = "FILE")]
    pub to: PathBuf,
}

/// Arguments of `restore`.
#[derive(Debug, Args)]
pub struct RestoreArgs {
    /// The backup.
    pub file: PathBuf,
    /// The folder of jobs; made if it is not there.
    #[arg(long, value_name = "DIR")]
    pub data: PathBuf,
    /// Put the jobs that are in the folder aside.
    #[arg(long)]
    pub replace: bool,
}

/// Arguments of `schema`.
#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// Which schema.
    #[arg(value_enum, default_value_t = SchemaOf::Job)]
    pub of: SchemaOf,
}

/// What can be described by a schema.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub enum SchemaOf {
    /// The job file.
    Job,
    /// The rate book.
    Rates,
    /// The report of `plan --json`.
    Plan,
    /// The report of `clock --json`.
    Clock,
    /// The report of `sweep --json`.
    Sweep,
    /// The report of `takeoff --json`.
    Takeoff,
    /// The report of `price --json`.
    Price,
    /// The file of the finished floor.
    AsBuilt,
    /// The report of `close --json`.
    Close,
    /// An event, as the machine interface takes it.
    Event,
    /// The machine interface itself: its OpenAPI document.
    Api,
}
