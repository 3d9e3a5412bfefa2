//! What a day of finishing is planned from: floors, bays, rounds with their windows, people, machines.

use basis::TimeSpan;

/// A day's finishing, as plain values; every time counts from one common instant, such as the first truck's.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Names of the floors, one or two.
    pub floors: Vec<String>,
    /// Time on the road between the two floors; unused for one.
    pub travel: TimeSpan,
    /// The bays of all floors, in any order.
    pub bays: Vec<BayRounds>,
    /// The people.
    pub crew: Hands,
    /// The machines, each one of its own.
    pub machines: Vec<Machine>,
}

/// One bay with its rounds.
#[derive(Debug, Clone, PartialEq)]
pub struct BayRounds {
    /// What people call it: `1`, `shop 3`.
    pub name: String,
    /// Index of its floor.
    pub floor: usize,
    /// The rounds in the order in which they must be done.
    pub rounds: Vec<Round>,
}

/// One working of one bay.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// Which one.
    pub kind: RoundKind,
    /// From when to when the concrete takes it.
    pub window: Window,
    /// Least time between the end of the round before and the start of this one.
    pub gap: TimeSpan,
    /// The ways in which it can be done; at least one.
    pub ways: Vec<Way>,
}

/// The kinds of rounds, in the order in which a bay gets them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RoundKind {
    /// Bull float, by hand, straight after strike-off.
    BullFloat,
    /// The edges, by hand.
    Edges,
    /// First machine float.
    Float,
    /// A trowelling, counted from 1.
    Trowel(u32),
    /// Broom, by hand.
    Broom,
}

/// From when to when a round may be worked: it starts no earlier and ends no later.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Earliest start.
    pub earliest: TimeSpan,
    /// Latest end.
    pub latest: TimeSpan,
}

/// One way to do a round: with what, with how many people, in what time.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Hand tools or a kind of machine.
    pub tool: Tool,
    /// How many people it takes; one for a walk-behind machine.
    pub people: u32,
    /// How long it takes them, over 0.
    pub time: TimeSpan,
}

/// What a round is done with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tool {
    /// Hand tools.
    Hands,
    /// Any machine of this kind.
    Machine(String),
}

/// The people of the day.
#[derive(Debug, Clone, PartialEq)]
pub struct Hands {
    /// How many.
    pub people: u32,
    /// When some of them do something else: placing, a late arrival, an errand.
    pub busy: Vec<Busy>,
}

/// Some people kept from finishing for a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Busy {
    /// Index of the floor at which they are.
    pub floor: usize,
    /// How many.
    pub people: u32,
    /// From when.
    pub from: TimeSpan,
    /// Until when.
    pub until: TimeSpan,
}

/// A machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// What people call it.
    pub name: String,
    /// Its kind, as the ways name it: `36 in walk-behind`.
    pub kind: String,
    /// Index of the floor on which it stands at the common instant.
    pub floor: usize,
    /// Time to load and unload it when it goes to the other floor, on top of the road.
    pub moving: TimeSpan,
}

impl std::fmt::Display for RoundKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::BullFloat => f.write_str("bull float"),
            Self::Edges => f.write_str("edges"),
            Self::Float => f.write_str("float"),
            Self::Trowel(n) => write!(f, "trowel {n}"),
            Self::Broom => f.write_str("broom"),
        }
    }
}
