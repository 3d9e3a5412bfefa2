//! Units of length of files, by their numbers and names.

use basis::Length;
use ground::P2;

/// A unit of length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    /// Inch, 25.4 mm.
    Inch,
    /// International foot, 0.3048 m.
    Foot,
    /// US survey foot, 1200/3937 m [@fr-1959-yard].
    SurveyFoot,
    /// Yard, 0.9144 m.
    Yard,
    /// Millimetre.
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Metre.
    Metre,
}

const ALL: [(LengthUnit, &str, f64); 7] = [
    (LengthUnit::Inch, "in", 0.0254),
    (LengthUnit::Foot, "ft", 0.3048),
    (LengthUnit::SurveyFoot, "survey ft", 1200.0 / 3937.0),
    (LengthUnit::Yard, "yd", 0.9144),
    (LengthUnit::Millimetre, "mm", 1e-3),
    (LengthUnit::Centimetre, "cm", 1e-2),
    (LengthUnit::Metre, "m", 1.0),
];

impl LengthUnit {
    /// One of it.
    ///
    /// ```
    /// use formats::brought::LengthUnit;
    /// // 3937 survey feet are 1200 m by definition.
    /// assert!((LengthUnit::SurveyFoot.one().in_metres() * 3937.0 - 1200.0).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn one(self) -> Length {
        let metres = ALL.iter().find(|(unit, ..)| *unit == self).map_or(1.0, |(_, _, metres)| *metres);
        Length::metres(metres)
    }

    /// Its word: `ft`, `survey ft`, `mm`.
    #[must_use]
    pub fn word(self) -> &'static str {
        ALL.iter().find(|(unit, ..)| *unit == self).map_or("m", |(_, word, _)| word)
    }

    /// The unit of a word as a person writes it; nothing for any other.
    ///
    /// ```
    /// use formats::brought::LengthUnit;
    /// assert_eq!(LengthUnit::of_word("survey ft"), Some(LengthUnit::SurveyFoot));
    /// assert_eq!(LengthUnit::of_word("cubit"), None);
    /// ```
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        let word = word.trim().to_lowercase();
        ALL.iter().find(|(_, known, _)| *known == word).map(|(unit, ..)| *unit)
    }

    /// All words, for hints and choices.
    #[must_use]
    pub fn words() -> [&'static str; 7] {
        ALL.map(|(_, word, _)| word)
    }

    /// The unit of the header's `$INSUNITS` [@dxf-reference]; nothing for none and for units that no site is drawn in.
    pub(super) fn of_header(number: i64) -> Option<Self> {
        match number {
            1 => Some(Self::Inch),
            2 => Some(Self::Foot),
            4 => Some(Self::Millimetre),
            5 => Some(Self::Centimetre),
            6 => Some(Self::Metre),
            10 => Some(Self::Yard),
            21 => Some(Self::SurveyFoot),
            _ => None,
        }
    }

    /// The unit of LandXML's `linearUnit` [@landxml-1-2].
    pub(super) fn of_survey(word: &str) -> Option<Self> {
        match word {
            "foot" => Some(Self::Foot),
            "USSurveyFoot" => Some(Self::SurveyFoot),
            "inch" => Some(Self::Inch),
            "millimeter" => Some(Self::Millimetre),
            "centimeter" => Some(Self::Centimetre),
            "meter" => Some(Self::Metre),
            _ => None,
        }
    }
}

/// The point of a file that is to be the origin of the plan: two lengths, which may stand as far off as a survey's do.
///
/// # Errors
/// Words for what is no such point.
///
/// ```
/// let at = formats::brought::read_origin("2000000 ft, -12.5 m").unwrap();
/// assert!((at.x - 609_600.0).abs() < 1e-9 && at.y == -12.5);
/// assert!(formats::brought::read_origin("12 ft").is_err());
/// ```
pub fn read_origin(said: &str) -> Result<P2, String> {
    let length = |part: &str| {
        let part = part.trim();
        let plain = part.find(|c: char| !(c.is_ascii_digit() || "+-.".contains(c))).and_then(|end| {
            let number: f64 = part[..end].parse().ok()?;
            Some(number * LengthUnit::of_word(&part[end..])?.one().in_metres())
        });
        let metres = plain.or_else(|| part.parse::<Length>().ok().map(Length::in_metres));
        metres.filter(|metres| metres.abs() <= super::FARTHEST)
    };
    let point = said.split_once(',').and_then(|(x, y)| Some(P2::new(length(x)?, length(y)?)));
    point.ok_or_else(|| {
        format!(
            "\"{}\" is no point of a file; write two lengths, as in \"120 ft, 80 ft\"",
            crate::quantity::shown(said)
        )
    })
}
