//! Small words of the pages: chances, lists of loads, minutes, spots.

use basis::{Area, TimeSpan, UnitSystem, Volume};

/// Text with its powers raised, as a page can show them: `22.00 yd³`.
#[must_use]
pub fn raised(text: &str) -> String {
    text.replace("yd3", "yd\u{b3}")
        .replace(" m3", " m\u{b3}")
        .replace("ft2", "ft\u{b2}")
        .replace(" m2", " m\u{b2}")
        .replace("/m2", "/m\u{b2}")
}

/// A volume.
#[must_use]
pub fn volume(volume: Volume, units: UnitSystem) -> String {
    raised(&basis::quantity::volume(volume, units))
}

/// An area.
#[must_use]
pub fn area(area: Area, units: UnitSystem) -> String {
    raised(&basis::quantity::area(area, units))
}

/// A chance as far as it can be told, the way a person thinks of it: `1 in 12`.
#[must_use]
pub fn odds(share: f64) -> String {
    match share {
        s if s < 0.001 => "under 1 in 1000".to_owned(),
        s if s < 0.4 => format!("1 in {:.0}", 1.0 / s),
        s => format!("{:.0} in 10", 10.0 * s),
    }
}

/// A chance in per cent.
#[must_use]
pub fn percent(share: f64) -> String {
    match 100.0 * share {
        p if p < 0.1 => "under 0.1 %".to_owned(),
        p if p < 9.95 => format!("{p:.1} %"),
        p => format!("{p:.0} %"),
    }
}

/// Loads as they are told to the plant.
#[must_use]
pub fn list(volumes: &[Volume], units: UnitSystem) -> String {
    volumes.iter().map(|v| volume(*v, units)).collect::<Vec<_>>().join(" + ")
}

/// A number of things: `1 bay`, `4 bays`.
#[must_use]
pub fn count(number: usize, thing: &str) -> String {
    format!("{number} {thing}{}", if number == 1 { "" } else { "s" })
}

/// How far off a time is: `now`, `in 12 min`, `20 min ago`, `in 2 h 5 min`.
#[must_use]
pub fn ahead(span: TimeSpan) -> String {
    let minutes = span.in_minutes().round();
    let far = |minutes: f64| match minutes as u64 {
        m if m < 90 => format!("{m} min"),
        m if m >= 48 * 60 => format!("{} days", m / (24 * 60)),
        m => format!("{} h {:02} min", m / 60, m % 60),
    };
    match minutes {
        m if !m.is_finite() || m == 0.0 => "now".to_owned(),
        m if m > 0.0 => format!("in {}", far(m)),
        m => format!("{} ago", far(-m)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_told_as_people_think_of_them() {
        let told: Vec<String> = [0.0, 0.0123, 0.1, 0.39, 0.5, 0.97].map(odds).into();
        assert_eq!(told, ["under 1 in 1000", "1 in 81", "1 in 10", "1 in 3", "5 in 10", "10 in 10"]);
        assert_eq!([0.0004, 0.042, 0.3].map(percent), ["under 0.1 %", "4.2 %", "30 %"]);
    }

    #[test]
    fn times_ahead_and_behind() {
        let told = [0.2, 12.0, -20.0, 125.0, 45_592.0].map(|m| ahead(TimeSpan::minutes(m)));
        assert_eq!(told, ["now", "in 12 min", "20 min ago", "in 2 h 05 min", "in 31 days"]);
    }
}
