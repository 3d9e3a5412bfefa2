//! Files that are there as a whole or not at all.

use std::fs::{self, File};
use std::io::{Read, Write};
use std::path::Path;

use crate::fault::Fault;

/// Writes a file beside its name, brings it to the disk, and gives it its name.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Fault> {
    let part = path.with_extension("part");
    let written = File::create(&part).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    written.and_then(|()| fs::rename(&part, path)).map_err(|error| {
        // A half-written file is of no use to anybody; the error that matters is the first one.
        let _ = fs::remove_file(&part);
        Fault::file(path, &error)
    })?;
    sync_folder_of(path)
}

/// Brings the names in the folder of a file to the disk: without this a new file may be gone after a power cut.
pub(crate) fn sync_folder_of(path: &Path) -> Result<(), Fault> {
    let Some(folder) = path.parent() else { return Ok(()) };
    sync_folder(folder)
}

/// Brings the names in a folder to the disk, where the system can.
pub(crate) fn sync_folder(folder: &Path) -> Result<(), Fault> {
    if cfg!(unix) {
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        File::open(folder).and_then(|open| open.sync_all()).map_err(|error| Fault::file(folder, &error))?;
    }
    Ok(())
}

/// Makes a folder with those above it.
pub(crate) fn make_folder(folder: &Path) -> Result<(), Fault> {
    fs::create_dir_all(folder).map_err(|error| Fault::file(folder, &error))
}

/// Reads at most so many bytes; nothing when there are more.
pub(crate) fn read_bounded(mut from: impl Read, most: usize) -> std::io::Result<Option<Vec<u8>>> {
    let mut bytes = Vec::new();
    from.by_ref().take(most as u64 + 1).read_to_end(&mut bytes)?;
    Ok((bytes.len() <= most).then_some(bytes))
}
