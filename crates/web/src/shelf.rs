//! Where jobs are kept while the program runs, behind an interface that a store on disk meets as well.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// A job as it lies on the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The job file's text.
    pub text: String,
    /// Counts up with every change.
    pub revision: u64,
}

/// Why the shelf did not give or take something, in words for a person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShelfFault(pub String);

/// What the pages need of whatever keeps the jobs.
pub trait Shelf: Send + Sync + 'static {
    /// The jobs by their ids, in order.
    ///
    /// # Errors
    /// When what keeps them cannot be read.
    fn ids(&self) -> Result<Vec<String>, ShelfFault>;
    /// A job; `None` when there is none of that id.
    ///
    /// # Errors
    /// As [`Shelf::ids`].
    fn job(&self, id: &str) -> Result<Option<Kept>, ShelfFault>;
    /// A file that the job names: shots, weather.
    ///
    /// # Errors
    /// When there is none of that name.
    fn file(&self, id: &str, name: &str) -> Result<Vec<u8>, String>;
    /// The rate book by which a job is priced, if there is one.
    fn rates(&self, id: &str) -> Option<String>;
}

/// A shelf in memory: what is put there is gone when the program ends.
#[derive(Debug, Default)]
pub struct MemoryShelf {
    jobs: Mutex<BTreeMap<String, Kept>>,
    files: BTreeMap<String, Vec<u8>>,
}

/// The jobs of the demonstration, by id.
const DEMO: [(&str, &str); 4] = [
    ("boat-shed", include_str!("../../../demo/boat-shed.toml")),
    ("lean-to", include_str!("../../../demo/lean-to.toml")),
    ("bakery-yard", include_str!("../../../demo/bakery-yard.toml")),
    ("patio", include_str!("../../../demo/patio.toml")),
];

/// The files that they name.
const DEMO_FILES: [(&str, &[u8]); 2] = [
    ("bakery-yard-shots.csv", include_bytes!("../../../demo/bakery-yard-shots.csv")),
    ("bakery-yard-weather.csv", include_bytes!("../../../demo/bakery-yard-weather.csv")),
];

/// Rate books of the demonstration, in dollars and in euro.
const DEMO_RATES: [&str; 2] =
    [include_str!("../../../demo/rates/dollar.toml"), include_str!("../../../demo/rates/euro.toml")];

impl MemoryShelf {
    /// A shelf with the jobs of the demonstration.
    #[must_use]
    pub fn with_demo() -> Self {
        let kept = |text: &str| Kept { text: text.to_owned(), revision: 1 };
        Self {
            jobs: Mutex::new(DEMO.iter().map(|(id, text)| ((*id).to_owned(), kept(text))).collect()),
            files: DEMO_FILES.iter().map(|(name, bytes)| ((*name).to_owned(), bytes.to_vec())).collect(),
        }
    }
}

impl Shelf for MemoryShelf {
    fn ids(&self) -> Result<Vec<String>, ShelfFault> {
        Ok(self.jobs.lock().unwrap_or_else(PoisonError::into_inner).keys().cloned().collect())
    }
    fn job(&self, id: &str) -> Result<Option<Kept>, ShelfFault> {
        Ok(self.jobs.lock().unwrap_or_else(PoisonError::into_inner).get(id).cloned())
    }
    fn file(&self, _: &str, name: &str) -> Result<Vec<u8>, String> {
        self.files.get(name).cloned().ok_or_else(|| format!("no file of the name {name} came with this job"))
    }
    fn rates(&self, id: &str) -> Option<String> {
        // The metric job of the demonstration is paid for in euro.
        let euro = id == "bakery-yard";
        let book = if euro { DEMO_RATES[1] } else { DEMO_RATES[0] };
        (!self.files.is_empty()).then(|| book.to_owned())
    }
}
