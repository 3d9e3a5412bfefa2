//! Where a value stands in a job file, told so that it stays true when rows are added or removed around it.

use std::fmt;
use std::str::FromStr;

use super::EventId;

/// Most steps of an address, and its longest text.
const MOST_STEPS: usize = 12;
const LONGEST: usize = 512;

/// Address of a value: keys as in a place of the job file, but rows of lists by their ids.
///
/// `slab.nominal`, `setup{0a…5f-1}.shots{77…c2}.reading`, `corner{0a…5f}.at[1]`. Counted are only the parts of what is no list of rows:
/// points, pairs of corners.
///
/// ```
/// use formats::events::Address;
/// let at: Address = "setup{00112233445566778899aabbccddeeff-1}.station[0]".parse().unwrap();
/// assert_eq!(at.to_string(), "setup{00112233445566778899aabbccddeeff-1}.station[0]");
/// assert!("setup[0]".parse::<Address>().is_ok() && "set up".parse::<Address>().is_err());
/// ```
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Address(Vec<Step>);

/// One step of an address.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// The value of a key; of a row of shots, a part by its name.
    Key(String),
    /// A row of a list.
    Row(RowId),
    /// A part of a value that is no list of rows, from 0.
    Part(usize),
}

/// Id of a row of a list: the event that brought it, and which of the rows that it brought.
///
/// Written as the event's id, and `-1`, `-2` … for those after the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct RowId {
    /// The event that brought the row.
    pub event: EventId,
    /// Which of the rows that it brought to the list, from 0.
    pub nth: u32,
}

impl Address {
    /// An address of steps; nothing unless it begins with a key.
    #[must_use]
    pub fn new(steps: Vec<Step>) -> Option<Self> {
        let keys_are_plain = steps.iter().all(|step| match step {
            Step::Key(key) => is_plain(key),
            Step::Row(_) | Step::Part(_) => true,
        });
        let begins = matches!(steps.first(), Some(Step::Key(_)));
        (begins && keys_are_plain && steps.len() <= MOST_STEPS).then_some(Self(steps))
    }

    /// Its steps.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.0
    }

    /// The address of a named part of this.
    #[must_use]
    pub fn key(&self, key: &str) -> Option<Self> {
        self.with(Step::Key(key.to_owned()))
    }

    /// The address of a row of this list.
    #[must_use]
    pub fn row(&self, id: RowId) -> Option<Self> {
        self.with(Step::Row(id))
    }

    fn with(&self, step: Step) -> Option<Self> {
        let mut steps = self.0.clone();
        steps.push(step);
        Self::new(steps)
    }

    /// The list and the row, if this is the address of a row.
    #[must_use]
    pub fn as_row(&self) -> Option<(Self, RowId)> {
        match self.0.split_last() {
            Some((Step::Row(id), list)) => Some((Self(list.to_vec()), *id)),
            _ => None,
        }
    }

    /// Whether one of the two holds the other, or they are the same.
    pub(crate) fn touches(&self, other: &Self) -> bool {
        let common = self.0.len().min(other.0.len());
        self.0[..common] == other.0[..common]
    }

    /// Whether the other stands within this.
    pub(crate) fn holds(&self, other: &Self) -> bool {
        other.0.len() >= self.0.len() && self.touches(other)
    }
}

fn is_plain(key: &str) -> bool {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'_' || byte == b'-';
    (1..=64).contains(&key.len()) && key.bytes().all(plain)
}

impl fmt::Display for RowId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.nth {
            0 => write!(f, "{}", self.event),
            nth => write!(f, "{}-{nth}", self.event),
        }
    }
}

impl FromStr for RowId {
    type Err = NotAnAddress;
    fn from_str(text: &str) -> Result<Self, NotAnAddress> {
        let (event, nth) = match text.split_once('-') {
            Some((event, nth)) => (event, number(nth).filter(|nth| *nth > 0)),
            None => (text, Some(0)),
        };
        let event = event.parse().map_err(|_| NotAnAddress)?;
        Ok(Self { event, nth: nth.and_then(|nth| u32::try_from(nth).ok()).ok_or(NotAnAddress)? })
    }
}

/// A number as it is printed: without sign, without zeros before it.
fn number(text: &str) -> Option<usize> {
    let plain = (1..=6).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse().ok().filter(|_| plain && (text == "0" || !text.starts_with('0')))
}

impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, step) in self.0.iter().enumerate() {
            match step {
                Step::Key(key) if i == 0 => f.write_str(key)?,
                Step::Key(key) => write!(f, ".{key}")?,
                Step::Row(id) => write!(f, "{{{id}}}")?,
                Step::Part(part) => write!(f, "[{part}]")?,
            }
        }
        Ok(())
    }
}

/// The text is no address.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotAnAddress;

impl fmt::Display for NotAnAddress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an address is wanted, such as slab.nominal")
    }
}

impl FromStr for Address {
    type Err = NotAnAddress;
    fn from_str(text: &str) -> Result<Self, NotAnAddress> {
        if text.len() > LONGEST {
            return Err(NotAnAddress);
        }
        let mut steps = Vec::new();
        for part in text.split('.') {
            let end = part.find(['{', '[']).unwrap_or(part.len());
            steps.push(Step::Key(part[..end].to_owned()));
            let mut rest = &part[end..];
            while !rest.is_empty() {
                let (close, is_row) = if rest.starts_with('{') { ('}', true) } else { (']', false) };
                let (inside, after) = rest[1..]
                    .split_once(close)
                    .filter(|_| rest.starts_with(['{', '[']))
                    .ok_or(NotAnAddress)?;
                steps.push(if is_row {
                    Step::Row(inside.parse()?)
                } else {
                    Step::Part(number(inside).ok_or(NotAnAddress)?)
                });
                rest = after;
            }
        }
        Self::new(steps).ok_or(NotAnAddress)
    }
}
