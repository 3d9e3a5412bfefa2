//! `backup` and `restore`: the folder of jobs in one file, and back.

use jiff::Timestamp;
use store::{Fault, Kind, Over};

use crate::args::{BackupArgs, RestoreArgs};
use crate::error::Failure;
use crate::show::count;

/// Writes a backup and says what is in it.
pub fn run(args: &BackupArgs) -> Result<String, Failure> {
    let made = store::backup(&args.data, &args.to).map_err(failure)?;
    Ok(format!("wrote {}: {}, looked through and whole\n", args.to.display(), told(&made)))
}

/// Brings a backup back and says what was in it.
pub fn restore(args: &RestoreArgs) -> Result<String, Failure> {
    let over = if args.replace { Over::Jobs } else { Over::Nothing };
    let done = store::restore(&args.file, &args.data, over, Timestamp::now()).map_err(failure)?;
    let mut text = format!("brought back into {}: {}\n", args.data.display(), told(&done.backup));
    if let Some(aside) = done.aside {
        text += &format!("what was there is put aside as {}\n", aside.display());
    }
    Ok(text)
}

fn told(backup: &store::Backup) -> String {
    let number = |number: u64, what: &str| count(usize::try_from(number).unwrap_or(usize::MAX), what);
    format!(
        "{}, {}, {}",
        number(backup.jobs, "job"),
        number(backup.events, "event"),
        number(backup.photos, "photo")
    )
}

/// Files that cannot be read or written have the exit code 1, what is wrong with them 2.
pub(super) fn failure(fault: Fault) -> Failure {
    let code = match fault.kind {
        Kind::ReadOnly | Kind::Full | Kind::NotThere | Kind::Locked | Kind::Other => 1,
        Kind::Corrupt | Kind::Newer | Kind::Foreign | Kind::InTheWay | Kind::Photo | Kind::Refused => 2,
    };
    let hint = if fault.note.hint.is_empty() { String::new() } else { format!("\n  {}", fault.note.hint) };
    Failure { text: format!("fault[{}]: {}{hint}\n", fault.note.code, fault.note.message), code }
}
