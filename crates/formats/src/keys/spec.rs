//! What can be said about a key of the job file or the rate book.

/// A table of the job file and the keys it knows.
#[derive(Debug)]
pub(crate) struct TableSpec {
    /// What one such table is called in a sentence, as in `door`.
    pub called: &'static str,
    /// What it is for, one sentence.
    pub doc: &'static str,
    /// The keys, in the order in which they are written.
    pub keys: &'static [Key],
}

impl TableSpec {
    /// The key of this name, if the table knows it.
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}

/// One key of a table.
#[derive(Debug)]
pub(crate) struct Key {
    /// The key as written.
    pub name: &'static str,
    /// What stands after it.
    pub kind: Kind,
    /// Whether the table cannot do without it.
    pub need: Need,
    /// What it means, one sentence.
    pub doc: &'static str,
}

/// Whether a key may be left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Need {
    /// It must be there.
    Required,
    /// It may be left out.
    Optional,
}

/// What stands after a key.
#[derive(Debug)]
pub(crate) enum Kind {
    /// The number of the file's layout.
    Version,
    /// Words.
    Text,
    /// Paragraphs.
    Texts,
    /// An IANA time zone.
    Zone,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A count of people or trucks.
    Count,
    /// A plain number without a unit, such as water per cement.
    Ratio,
    /// A quantity with its unit, as a string.
    Quantity(Measure, Bound),
    /// A quantity with its spread, as in `3 % +- 2 %`.
    Estimate(Measure, Bound),
    /// A rod reading, or up/down from the mark.
    Reading,
    /// `right`, `up`, `left`, `down` or degrees.
    Direction,
    /// `left`, `right`, `straight`, or `left 30 deg`.
    Turn,
    /// `out 20 ft` or `in 20 ft`.
    Arc,
    /// `["4 ft", "6 ft"]`.
    Point,
    /// Points, at least so many.
    Points(usize),
    /// Points with elevation, at least so many and at most so many.
    Spots(usize, usize),
    /// Lines of points with elevation.
    SpotLines,
    /// Lengths.
    Lengths,
    /// The names of an edge's two corners.
    EdgeName,
    /// Rows of name, x, y, reading and, if need be, what the stick stood on.
    ShotRows,
    /// Local date and time.
    LocalTime,
    /// Local time of day.
    DayTime,
    /// One table.
    Table(&'static TableSpec),
    /// Any number of tables.
    Tables(&'static TableSpec),
}

/// Which quantity a string holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Measure {
    /// A length.
    Length,
    /// A fall.
    Slope,
    /// An angle.
    Angle,
    /// A volume.
    Volume,
    /// A volume per time.
    VolumeRate,
    /// A time span.
    TimeSpan,
    /// A share, in per cent.
    Share,
    /// An amount of money.
    Money,
    /// Money per volume.
    PricePerVolume,
    /// Money per time.
    PricePerTime,
    /// Money for one of any unit.
    PricePerAnything,
    /// Time per volume.
    TimePerVolume,
    /// A temperature.
    Temperature,
    /// A strength.
    Pressure,
    /// A mass per volume.
    Density,
    /// A speed.
    Speed,
    /// An area per time.
    AreaRate,
    /// An area per volume.
    Cover,
}

/// Which values of a quantity make sense for a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bound {
    /// Any that a site can hold.
    Any,
    /// Zero or more.
    NotNegative,
    /// More than zero.
    Positive,
}

/// A key that must be there.
pub(crate) const fn need(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, need: Need::Required, doc }
}

/// A key that may be left out.
pub(crate) const fn may(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, need: Need::Optional, doc }
}
