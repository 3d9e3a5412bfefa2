//! Wires of mesh and bars as they are sold: sizes and weights.

use basis::{Area, Length, Mass};

/// Mass of steel by volume, kg/m³: a square inch a foot long weighs 3.4 lb [@crsi-bars].
const STEEL: f64 =
    3.4 * Mass::pounds(1.0).in_kilograms() / (Length::inches(1.0).in_metres() * SQUARE_INCH * 12.0);
/// A square inch, m².
const SQUARE_INCH: f64 = Length::inches(1.0).in_metres() * Length::inches(1.0).in_metres();

/// A wire of welded mesh by the name under which it is ordered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// As in `W1.4`, a hundredth of a square inch each, or by its diameter.
    pub word: &'static str,
    /// Cross-section.
    pub section: Area,
}

/// A reinforcing bar by the name under which it is ordered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// As in `#4`, eighths of an inch, or by its diameter.
    pub word: &'static str,
    /// Nominal diameter.
    pub diameter: Length,
}

const fn w(word: &'static str, hundredths: f64) -> Wire {
    let inch = Length::inches(1.0).in_metres();
    Wire { word, section: Area::square_metres(hundredths * 1e-2 * inch * inch) }
}

const fn round(word: &'static str, millimetres: f64) -> Wire {
    let radius = millimetres * 0.5e-3;
    Wire { word, section: Area::square_metres(std::f64::consts::PI * radius * radius) }
}

/// Wires that are known.
pub const WIRES: [Wire; 10] = [
    w("W1.4", 1.4),
    w("W2.0", 2.0),
    w("W2.1", 2.1),
    w("W2.9", 2.9),
    w("W4.0", 4.0),
    round("5 mm", 5.0),
    round("6 mm", 6.0),
    round("7 mm", 7.0),
    round("8 mm", 8.0),
    round("10 mm", 10.0),
];

const fn eighths(word: &'static str, number: f64) -> Bar {
    Bar { word, diameter: Length::inches(number / 8.0) }
}

const fn metric(word: &'static str, millimetres: f64) -> Bar {
    Bar { word, diameter: Length::millimetres(millimetres) }
}

/// Bars that are known.
pub const BARS: [Bar; 8] = [
    eighths("#3", 3.0),
    eighths("#4", 4.0),
    eighths("#5", 5.0),
    eighths("#6", 6.0),
    metric("8 mm", 8.0),
    metric("10 mm", 10.0),
    metric("12 mm", 12.0),
    metric("16 mm", 16.0),
];

impl Bar {
    /// Mass of so much bar [@crsi-bars].
    ///
    /// ```
    /// # use basis::Length; use pour::takeoff::steel::BARS;
    /// // A #4 weighs 0.668 lb a foot in the bar table.
    /// let foot = BARS[1].mass(Length::feet(1.0)).in_pounds();
    /// assert!((foot - 0.668).abs() < 0.0005);
    /// ```
    #[must_use]
    pub fn mass(self, length: Length) -> Mass {
        let radius = 0.5 * self.diameter.in_metres();
        Mass::kilograms(STEEL * std::f64::consts::PI * radius * radius * length.in_metres())
    }
}

/// Mass of a sheet of mesh with the same wire and spacing both ways.
///
/// As many wires as fit with an even overhang at both sides; each as long as the sheet.
#[must_use]
pub fn mesh_mass(wire: Wire, spacing: Length, [width, length]: [Length; 2]) -> Mass {
    let wires = |side: Length| (side / spacing + 1e-6).floor().max(1.0);
    let metres = wires(width) * length.in_metres() + wires(length) * width.in_metres();
    Mass::kilograms(STEEL * wire.section.in_square_metres() * metres)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Weights of the bar table of ASTM A615, lb/ft, printed to a thousandth. The mass follows from the nominal diameter, so each
    /// agrees within half of the last digit.
    #[test]
    fn bars_weigh_what_the_table_says() {
        for (word, pounds) in [("#3", 0.376), ("#4", 0.668), ("#5", 1.043), ("#6", 1.502)] {
            let bar = BARS.iter().find(|bar| bar.word == word).expect("a known bar");
            let foot = bar.mass(Length::feet(1.0)).in_pounds();
            assert!((foot - pounds).abs() < 0.00051, "{word} {foot}");
        }
    }

    /// Metric bars, kg/m (ISO 6935-2, from memory): 0.395, 0.617, 0.888, 1.58. Steel there is 7850 kg/m³, here 3.4 lb for a foot of a square inch = 7843.
    #[test]
    fn metric_bars_weigh_what_the_table_says() {
        for (word, kilograms) in [("8 mm", 0.395), ("10 mm", 0.617), ("12 mm", 0.888), ("16 mm", 1.58)] {
            let bar = BARS.iter().find(|bar| bar.word == word).expect("a known bar");
            let metre = bar.mass(Length::metres(1.0)).in_kilograms();
            assert!((metre / kilograms - 1.0).abs() < 2e-3, "{word} {metre}");
        }
    }

    /// Rolls of welded mesh in lb for 100 ft² [@wire-table]: 6 x 6 W1.4 21, W2.0 29, W2.9 42, W4.0 58; 4 x 4 W1.4 31, W2.0 43, W2.9
    /// 62, W4.0 85. A roll of 60 in. between its outer wires with an inch beyond each: one wire more than gaps, cross wires of 62 in.
    /// Printed without decimals, and the W1.4 rows are for a 10 gauge wire of 0.0143 in²: within 1 lb.
    #[test]
    fn mesh_weighs_what_the_table_says() {
        let table = [
            (6.0, [("W1.4", 21.0), ("W2.0", 29.0), ("W2.9", 42.0), ("W4.0", 58.0)]),
            (4.0, [("W1.4", 31.0), ("W2.0", 43.0), ("W2.9", 62.0), ("W4.0", 85.0)]),
        ];
        for (spacing, rows) in table {
            for (word, pounds) in rows {
                let wire = WIRES.iter().find(|wire| wire.word == word).expect("a known wire");
                // The wires at both edges count: 60 in. and a spacing hold them.
                let size = [Length::inches(60.0 + spacing), Length::feet(20.0)];
                let along = mesh_mass(*wire, Length::inches(spacing), size).in_pounds();
                // Cross wires are 62 in. long, not 60 and a spacing.
                let cross = (240.0 / spacing) * 3.4 * wire.section.in_square_metres() / 0.0254 / 0.0254;
                let surplus = cross * (60.0 + spacing - 62.0) / 12.0;
                assert!((along - surplus - pounds).abs() < 1.05, "{spacing} {word}: {}", along - surplus);
            }
        }
    }
}
