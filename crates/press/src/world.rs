//! What the typesetter can see: the files handed in and the fonts that are built in, and nothing else.

use std::collections::BTreeMap;
use std::path::PathBuf;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

use crate::Copy;
use crate::fonts::CASE;

/// The files of one document.
pub(crate) struct Desk {
    library: LazyHash<Library>,
    main: FileId,
    files: BTreeMap<String, Bytes>,
}

impl Desk {
    /// Lays the files out.
    pub(crate) fn new(copy: Copy<'_>) -> Result<Self, Vec<String>> {
        if !copy.files.contains_key(copy.main) {
            return Err(vec![format!("no template is called {}", copy.main)]);
        }
        let path = VirtualPath::new(copy.main).map_err(|_| vec![format!("{} is no name", copy.main)])?;
        let mut files = BTreeMap::new();
        for (name, text) in copy.files {
            let text = if name.ends_with(".json") { data(name, text)? } else { text.clone() };
            files.insert(name.clone(), Bytes::from_string(text));
        }
        Ok(Self {
            library: LazyHash::new(Library::default()),
            main: RootedPath::new(VirtualRoot::Project, path).intern(),
            files,
        })
    }

    fn find(&self, id: FileId) -> FileResult<&Bytes> {
        let rooted = id.get();
        let name = rooted.vpath().get_without_slash();
        let found = self.files.get(name).filter(|_| matches!(rooted.root(), VirtualRoot::Project));
        found.ok_or_else(|| FileError::NotFound(PathBuf::from(name)))
    }
}

/// Data as the template reads it: every text in it can be printed.
fn data(name: &str, text: &str) -> Result<String, Vec<String>> {
    let value = serde_json::from_str(text).map_err(|why| vec![format!("{name} is no JSON: {why}")])?;
    Ok(crate::cleaned(value).to_string())
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &CASE.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let text = self.find(id)?.as_str().map_err(|_| FileError::InvalidUtf8)?;
        Ok(Source::new(id, text.to_owned()))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.find(id).cloned()
    }

    fn font(&self, index: usize) -> Option<Font> {
        CASE.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
