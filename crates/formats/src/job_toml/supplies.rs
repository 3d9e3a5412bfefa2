//! Reinforcement, and how goods are sold.

use pour::job::{Reinforcement, ReinforcementKind, Supplies};
use pour::takeoff::steel::{BARS, WIRES};

use super::findings::Findings;
use super::table::Table;
use crate::keys::Kind;

/// The word of a choice as the file writes it.
fn word(table: &Table<'_>, f: &mut Findings, key: &str) -> Option<&'static str> {
    let index = table.choice(f, key)?;
    match table.spec.key(key).map(|key| &key.kind) {
        Some(Kind::Choice(words)) => words.get(index).copied(),
        _ => None,
    }
}

/// Reads `[reinforcement]`.
pub(crate) fn reinforcement(root: &Table<'_>, f: &mut Findings) -> Reinforcement {
    let Some(table) = root.table(f, "reinforcement") else { return Reinforcement::default() };
    let kind = match word(&table, f, "kind") {
        Some("mesh") => ReinforcementKind::Mesh,
        Some("bars") => ReinforcementKind::Bars,
        Some("fiber") => ReinforcementKind::Fiber,
        _ => ReinforcementKind::None,
    };
    let wire = word(&table, f, "wire");
    let bar = word(&table, f, "bar");
    Reinforcement {
        kind,
        wire: WIRES.into_iter().find(|known| Some(known.word) == wire),
        width: table.quantity(f, "width"),
        length: table.quantity(f, "length"),
        bar: BARS.into_iter().find(|known| Some(known.word) == bar),
        spacing: table.quantity(f, "spacing"),
        lap: table.quantity(f, "lap"),
        cover: table.quantity(f, "cover"),
        chairs: table.quantity(f, "chairs"),
        dose: table.quantity(f, "dose"),
    }
}

/// Reads `[takeoff]`.
pub(crate) fn supplies(root: &Table<'_>, f: &mut Findings) -> Supplies {
    let Some(table) = root.table(f, "takeoff") else { return Supplies::default() };
    Supplies {
        bars: table.lengths(f, "bars").unwrap_or_default(),
        boards: table.lengths(f, "boards").unwrap_or_default(),
        kerf: table.quantity(f, "kerf"),
        stakes: table.quantity(f, "stakes"),
        poly_width: table.quantity(f, "poly_width"),
        poly_length: table.quantity(f, "poly_length"),
        poly_lap: table.quantity(f, "poly_lap"),
        poly_upturn: table.quantity(f, "poly_upturn"),
        strip: table.quantity(f, "strip"),
        cure: table.quantity(f, "cure"),
        pail: table.quantity(f, "pail"),
        sealer: table.quantity(f, "sealer"),
        blade: table.quantity(f, "blade"),
        stone_weight: table.quantity(f, "stone_weight"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys::{JOB_FILE, Key};

    /// Every word of the file is a wire or a bar that is known, and the other way round.
    #[test]
    fn words_of_the_file_are_those_of_the_steel() {
        let Some(Key { kind: Kind::Table(spec), .. }) = JOB_FILE.key("reinforcement") else {
            panic!("no table")
        };
        let words = |key: &str| match spec.key(key).map(|key| &key.kind) {
            Some(Kind::Choice(words)) => words.to_vec(),
            _ => Vec::new(),
        };
        assert_eq!(words("wire"), WIRES.map(|wire| wire.word));
        assert_eq!(words("bar"), BARS.map(|bar| bar.word));
    }
}
