//! Photos: files named by the hash of their bytes, and a row for each.

use std::fs::{self, File};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, params};
use sha2::{Digest, Sha256};

use crate::fault::{Fault, Kind};
use crate::open::Store;
use crate::{files, secret};

/// Largest photo that is kept: 20 MB.
pub const LARGEST_PHOTO: usize = 20_000_000;

/// SHA-256 of the bytes of a photo: its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PhotoHash(pub [u8; 32]);

impl PhotoHash {
    /// The hash of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// As 64 hexadecimal digits.
    #[must_use]
    pub fn text(&self) -> String {
        self.0.iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

/// The file of a photo. Nothing but digits of a hash gets into a path.
pub(crate) fn file_of(folder: &Path, hash: PhotoHash) -> PathBuf {
    let name = hash.text();
    folder.join("photos").join(&name[..2]).join(name)
}

/// What kind of picture bytes are, by how they begin; nothing else is kept.
fn kind_of(begin: &[u8]) -> Option<&'static str> {
    match begin {
        [0xff, 0xd8, 0xff, ..] => Some("image/jpeg"),
        [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1a, b'\n', ..] => Some("image/png"),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Some("image/webp"),
        _ => None,
    }
}

impl Store {
    /// Keeps a photo; when this returns, it is on the disk. A photo that is kept already is acknowledged again.
    ///
    /// Reading stops at the bound, so that a far too large upload costs no more than that. JPEG, PNG and WebP are kept.
    ///
    /// # Errors
    /// The photo is over [`LARGEST_PHOTO`], no such picture, or not of the announced hash; the disk is full or fails.
    pub fn keep_photo(
        &self,
        from: impl Read,
        announced: Option<PhotoHash>,
        now: Timestamp,
    ) -> Result<PhotoHash, Fault> {
        let part = self.part()?;
        let kept = self.keep_part(from, announced, &part, now);
        // It is gone already where it became the photo.
        let _ = fs::remove_file(&part);
        kept
    }

    fn part(&self) -> Result<PathBuf, Fault> {
        let mut number = [0; 8];
        secret::fill(&mut number)?;
        let folder = self.folder().join("photos");
        files::make_folder(&folder)?;
        Ok(folder.join(format!("{:016x}.part", u64::from_be_bytes(number))))
    }

    fn keep_part(
        &self,
        from: impl Read,
        announced: Option<PhotoHash>,
        part: &Path,
        now: Timestamp,
    ) -> Result<PhotoHash, Fault> {
        let (hash, bytes, kind) = write_part(from, part)?;
        if announced.is_some_and(|announced| announced != hash) {
            let hint = "send it again";
            return Err(Fault::new(Kind::Photo, "the photo did not come whole", hint));
        }
        let file = file_of(self.folder(), hash);
        // One that is there but damaged is replaced by what has come whole.
        if read(self.folder(), hash).is_err() {
            if let Some(folder) = file.parent() {
                files::make_folder(folder)?;
            }
            fs::rename(part, &file).map_err(|error| Fault::file(&file, &error))?;
            files::sync_folder_of(&file)?;
            files::sync_folder(&self.folder().join("photos"))?;
        }
        let sql =
            "INSERT INTO photos (hash, bytes, kind, came) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING";
        let bytes = i64::try_from(bytes).unwrap_or(i64::MAX);
        self.writer().execute(sql, params![hash.0, bytes, kind, now.as_millisecond()])?;
        Ok(hash)
    }

    /// The bytes of a photo and what kind of picture it is; nothing when it never came.
    ///
    /// # Errors
    /// The file cannot be read, or its bytes are not those that were kept.
    pub fn photo(&self, hash: PhotoHash) -> Result<Option<(Vec<u8>, String)>, Fault> {
        let kind: Option<String> = self
            .reader()
            .prepare_cached("SELECT kind FROM photos WHERE hash = ?1")?
            .query_row(params![hash.0], |row| row.get(0))
            .optional()?;
        let Some(kind) = kind else { return Ok(None) };
        Ok(Some((read(self.folder(), hash)?, kind)))
    }
}

/// Writes what is read to a file, as far as the bound, and gives hash, length and kind.
fn write_part(mut from: impl Read, part: &Path) -> Result<(PhotoHash, usize, &'static str), Fault> {
    let failed = |error: std::io::Error| Fault::file(part, &error);
    let mut file = File::create(part).map_err(failed)?;
    let (mut hash, mut length, mut kind) = (Sha256::new(), 0, None);
    let mut piece = vec![0; 1 << 16];
    loop {
        let count = fill(&mut from, &mut piece).map_err(|error| {
            Fault::new(Kind::Photo, format!("the photo did not come whole: {error}"), "send it again")
        })?;
        if length == 0 {
            kind = kind_of(&piece[..count]);
            if kind.is_none() {
                let hint = "send a JPEG, PNG or WebP picture";
                return Err(Fault::new(Kind::Photo, "what was sent is no picture that is kept", hint));
            }
        }
        length += count;
        if length > LARGEST_PHOTO {
            let message = format!("the photo is over {} MB", LARGEST_PHOTO / 1_000_000);
            return Err(Fault::new(Kind::Photo, message, "send it smaller: 3 MB show a slab well"));
        }
        hash.update(&piece[..count]);
        file.write_all(&piece[..count]).map_err(failed)?;
        if count < piece.len() {
            break;
        }
    }
    file.sync_all().map_err(failed)?;
    Ok((PhotoHash(hash.finalize().into()), length, kind.unwrap_or_default()))
}

/// Fills a piece as far as there is something to read.
fn fill(from: &mut impl Read, piece: &mut [u8]) -> std::io::Result<usize> {
    let mut count = 0;
    while count < piece.len() {
        match from.read(&mut piece[count..]) {
            Ok(0) => break,
            Ok(more) => count += more,
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(count)
}

/// The photos that a database knows, in order of their hashes, with their kinds.
pub(crate) fn kinds(database: &Connection) -> Result<Vec<(PhotoHash, String)>, Fault> {
    let mut statement = database.prepare_cached("SELECT hash, kind FROM photos ORDER BY hash")?;
    let rows = statement.query_map([], |row| Ok((PhotoHash(row.get(0)?), row.get(1)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Reads a photo and holds its bytes against its name.
pub(crate) fn read(folder: &Path, hash: PhotoHash) -> Result<Vec<u8>, Fault> {
    let path = file_of(folder, hash);
    let failed = |error: std::io::Error| Fault::file(&path, &error);
    let bytes = files::read_bounded(File::open(&path).map_err(failed)?, LARGEST_PHOTO).map_err(failed)?;
    match bytes {
        Some(bytes) if PhotoHash::of(&bytes) == hash => Ok(bytes),
        _ => {
            let message = format!("the photo {} is damaged", path.display());
            let hint =
                "take the photo's file from a backup; the jobs and their events are not touched by this";
            Err(Fault::new(Kind::Corrupt, message, hint))
        }
    }
}

/// Takes away what an upload left behind when the program was killed.
pub(crate) fn tidy(folder: &Path) -> Result<(), Fault> {
    let photos = folder.join("photos");
    let Ok(entries) = fs::read_dir(&photos) else { return Ok(()) };
    for path in entries.flatten().map(|entry| entry.path()) {
        if path.extension().is_some_and(|extension| extension == "part") && path.is_file() {
            fs::remove_file(&path).map_err(|error| Fault::file(&path, &error))?;
        }
    }
    Ok(())
}
