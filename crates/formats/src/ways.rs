//! Other ways to build a floor as a person says them: `hard trowel`, `5 in, with poly`.

use basis::{Length, Note, Place, UnitSystem};
use clock::finish::Finish;
use pour::job::Sheet;
use pour::price::{Asked, Change};

use crate::nearest::nearest;
use crate::quantity::shown;

/// Trowel rounds of a trowelled and of a hard-trowelled floor where nobody says how many; common practice, no source.
const ROUNDS: (u8, u8) = (2, 3);

/// The words, beside a thickness.
const WORDS: &[(&str, Change)] = &[
    ("broom", Change::Finish(Finish::Broom)),
    ("float", Change::Finish(Finish::Float)),
    ("trowel", Change::Finish(Finish::Trowel { rounds: ROUNDS.0 })),
    ("hard trowel", Change::Finish(Finish::HardTrowel { rounds: ROUNDS.1 })),
    ("with poly", Change::Sheet(Sheet::UnderSlab)),
    ("without poly", Change::Sheet(Sheet::None)),
];

/// Reads another way to build a floor: changes set off by commas.
///
/// # Errors
/// A fault that says which part is not understood and what can be written.
///
/// ```
/// let way = formats::read_way("5 in, without poly").unwrap();
/// assert_eq!(way.changes.len(), 2);
/// assert!(formats::read_way("shiny").is_err());
/// ```
pub fn read_way(said: &str) -> Result<Asked, Note> {
    let mut changes = Vec::new();
    for part in said.split(',').map(str::trim) {
        let known = WORDS.iter().find(|(word, _)| *word == part).map(|(_, change)| *change);
        let thickness = || part.parse::<Length>().ok().filter(|l| *l > Length::ZERO && *l < MOST);
        let Some(change) = known.or_else(|| thickness().map(Change::Thickness)) else {
            let hint = match nearest(part, WORDS.iter().map(|(word, _)| *word)) {
                Some(word) => format!("did you mean \"{word}\"?"),
                None => {
                    let words: Vec<&str> = WORDS.iter().map(|(word, _)| *word).collect();
                    format!("write a thickness under {}, or one of: {}", most(), words.join(", "))
                }
            };
            let message = format!("--option: \"{}\" is no way to build a floor", shown(part));
            return Err(Note::fault("option-unclear", Place::job(), message, hint));
        };
        changes.push(change);
    }
    Ok(Asked { name: shown(said.trim()), changes })
}

/// No slab of this kind of work is thicker; our own limit.
const MOST: Length = Length::feet(2.0);

fn most() -> String {
    basis::quantity::length(MOST, UnitSystem::Us)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_thicknesses_are_changes() {
        let way = read_way("hard trowel,5 in , with poly").unwrap();
        assert_eq!(
            way.changes,
            [
                Change::Finish(Finish::HardTrowel { rounds: 3 }),
                Change::Thickness(Length::inches(5.0)),
                Change::Sheet(Sheet::UnderSlab),
            ]
        );
        for bad in ["", "hard trowle", "5", "-4 in", "1e300 in", "3 ft", "NaN in", "broom,"] {
            assert!(read_way(bad).is_err(), "{bad}");
        }
        assert!(read_way("hard trowle").unwrap_err().hint.contains("hard trowel"));
    }
}
