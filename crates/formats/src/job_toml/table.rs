//! Reading one table of the file by its keys. A reader of a key gives nothing when the key is absent
//! or its value is at fault; the fault is then already noted.

use std::ops::Range;

use basis::{Estimate, Origin, Place};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::keys::Need;
use crate::keys::{Bound, Key, Kind, Measure, TableSpec, own_example};
use crate::nearest::nearest;
use crate::quantity::{self, ReadQuantity, Trouble, shown};

use super::findings::Findings;

/// A table of the file with its place and what it may hold.
#[derive(Debug)]
pub(crate) struct Table<'a> {
    pub spec: &'static TableSpec,
    pub place: Place,
    pub span: Range<usize>,
    content: &'a DeTable<'a>,
}

/// A value of the file with its place.
pub(crate) struct Value<'a> {
    pub place: Place,
    pub span: Range<usize>,
    pub value: &'a DeValue<'a>,
}

impl<'a> Value<'a> {
    fn of(place: Place, spanned: &'a Spanned<DeValue<'a>>) -> Self {
        Self { place, span: spanned.span(), value: spanned.get_ref() }
    }

    /// The string, or a fault that says what to write.
    pub fn text(&self, f: &mut Findings, wanted: &str, example: &str) -> Option<&'a str> {
        match self.value {
            DeValue::String(text) => Some(text),
            DeValue::Integer(_) | DeValue::Float(_) => {
                let message = format!("{} has no unit; {wanted} is wanted", number(self.value));
                f.fault(
                    "bare-number",
                    &self.place,
                    &self.span,
                    message,
                    format!("write it as in \"{example}\""),
                );
                None
            }
            other => {
                self.wrong_type(f, other, &format!("{wanted} in quotes"), &format!("\"{example}\""));
                None
            }
        }
    }

    /// The array's items, each with its place.
    pub fn items(&self, f: &mut Findings, wanted: &str, example: &str) -> Option<Vec<Value<'a>>> {
        let DeValue::Array(items) = self.value else {
            self.wrong_type(f, self.value, wanted, example);
            return None;
        };
        let item = |(index, item)| Value::of(self.place.index(index), item);
        Some(items.iter().enumerate().map(item).collect())
    }

    /// Notes that something else was wanted here.
    pub fn wrong_type(&self, f: &mut Findings, found: &DeValue<'_>, wanted: &str, example: &str) {
        let message = format!("{wanted} is wanted here, not {}", called(found));
        f.fault("wrong-type", &self.place, &self.span, message, format!("write it as in {example}"));
    }

    /// A quantity.
    pub fn quantity<Q: ReadQuantity>(&self, f: &mut Findings) -> Option<Q> {
        let text = self.text(f, Q::CALLED, Q::EXAMPLE)?;
        self.noted(f, quantity::read(text))
    }

    /// Turns trouble into a note at this place.
    pub fn noted<T>(&self, f: &mut Findings, result: Result<T, Trouble>) -> Option<T> {
        result.map_err(|trouble| f.trouble(&self.place, &self.span, trouble)).ok()
    }
}

impl<'a> Table<'a> {
    /// Opens a table: notes unknown keys and missing ones.
    pub fn open(
        spec: &'static TableSpec,
        content: &'a DeTable<'a>,
        place: Place,
        span: Range<usize>,
        f: &mut Findings,
    ) -> Self {
        for key in content.keys() {
            if spec.key(key.get_ref()).is_none() {
                unknown_key(spec, key.get_ref(), &key.span(), &place, f);
            }
        }
        for key in spec.keys.iter().filter(|key| key.need == Need::Required) {
            if !content.contains_key(key.name) {
                let message = format!("the {} has no {}", spec.called, key.name);
                let hint = format!("add {} ({})", example_of(spec.called, key), first_lower(key.doc));
                f.fault("missing-key", &place.key(key.name), &span, message, hint);
            }
        }
        Self { spec, place, span, content }
    }

    /// The value of a key, if it is there.
    pub fn value(&self, f: &mut Findings, key: &str) -> Option<Value<'a>> {
        let known = self.spec.key(key);
        debug_assert!(known.is_some(), "the table of keys lacks {key} in {}", self.spec.called);
        #[cfg(test)]
        f.asked.extend(known.map(|known| (self.spec.doc, known.name)));
        let _ = f;
        self.content.get(key).map(|value| Value::of(self.place.key(key), value))
    }

    /// Whether the key is written, rightly or not.
    pub fn has(&self, key: &str) -> bool {
        self.content.contains_key(key)
    }

    /// Words. Names may not be empty.
    pub fn text(&self, f: &mut Findings, key: &str) -> Option<String> {
        let value = self.value(f, key)?;
        let DeValue::String(text) = value.value else {
            let wanted = "a string";
            value.wrong_type(f, value.value, wanted, &format!("{key} = \"...\""));
            return None;
        };
        if text.trim().is_empty() || text.chars().count() > 200 || text.chars().any(char::is_control) {
            let message =
                format!("{key} is empty, over 200 characters, or holds a tab or another control character");
            f.fault(
                "unusable-text",
                &value.place,
                &value.span,
                message,
                "write a short name in plain characters",
            );
            return None;
        }
        Some(text.trim().to_owned())
    }

    /// One of the words that the table of keys lists, as its index in that list.
    pub fn choice(&self, f: &mut Findings, key: &str) -> Option<usize> {
        let value = self.value(f, key)?;
        let Some(Kind::Choice(words)) = self.spec.key(key).map(|key| &key.kind) else { return None };
        let listed = words.join("\", \"");
        let DeValue::String(text) = value.value else {
            value.wrong_type(
                f,
                value.value,
                &format!("one of \"{listed}\""),
                &format!("{key} = \"{}\"", words[0]),
            );
            return None;
        };
        let found = words.iter().position(|word| *word == text.trim());
        if found.is_none() {
            let hint = match nearest(text, words.iter().copied()) {
                Some(word) => format!("did you mean \"{word}\"?"),
                None => format!("write one of \"{listed}\""),
            };
            let message = format!("{key} cannot be \"{}\"", shown(text));
            f.fault("unknown-word", &value.place, &value.span, message, hint);
        }
        found
    }

    /// A count of people or trucks, 1 to 1000.
    pub fn count(&self, f: &mut Findings, key: &str) -> Option<u32> {
        let value = self.value(f, key)?;
        let DeValue::Integer(number) = value.value else {
            value.wrong_type(f, value.value, "a whole number", &format!("{key} = 4"));
            return None;
        };
        let count =
            u32::from_str_radix(number.as_str(), number.radix()).ok().filter(|n| (1..=1000).contains(n));
        if count.is_none() {
            let message = format!("{key} must be from 1 to 1000");
            f.fault("out-of-range", &value.place, &value.span, message, format!("write it as in {key} = 4"));
        }
        count
    }

    /// A plain number over 0 and up to 10, without a unit.
    pub fn ratio(&self, f: &mut Findings, key: &str) -> Option<f64> {
        let value = self.value(f, key)?;
        let number = match value.value {
            DeValue::Float(number) => number.as_str().replace('_', "").parse::<f64>().ok(),
            DeValue::Integer(number) => number.as_str().parse::<f64>().ok(),
            other => {
                value.wrong_type(f, other, "a number without a unit", &format!("{key} = 0.50"));
                return None;
            }
        };
        let ratio = number.filter(|n| *n > 0.0 && *n <= 10.0);
        if ratio.is_none() {
            let message = format!("{key} must be more than 0 and at most 10");
            f.fault(
                "out-of-range",
                &value.place,
                &value.span,
                message,
                format!("write it as in {key} = 0.50"),
            );
        }
        ratio
    }

    /// A quantity, within the bound that the table of keys states.
    pub fn quantity<Q: ReadQuantity>(&self, f: &mut Findings, key: &str) -> Option<Q> {
        let value = self.value(f, key)?;
        let quantity: Q = value.quantity(f)?;
        let bound = match self.spec.key(key).map(|key| &key.kind) {
            Some(Kind::Quantity(_, bound)) => *bound,
            _ => Bound::Any,
        };
        self.within(f, &value, quantity.si(), bound)?;
        Some(quantity)
    }

    /// A quantity with its spread, as in `3 % +- 2 %`.
    pub fn estimate<Q: ReadQuantity>(&self, f: &mut Findings, key: &str) -> Option<Estimate<Q>> {
        let value = self.value(f, key)?;
        let example = format!("{} +- {}", Q::EXAMPLE, Q::EXAMPLE);
        let text = value.text(f, Q::CALLED, &example)?;
        let Some((mean, spread)) = text.split_once("+-").or_else(|| text.split_once('±')) else {
            let message = format!("{key} does not say how far off it may be");
            let hint = format!("write it with its usual error, as in \"{} +- ...\"", text.trim());
            f.fault("missing-spread", &value.place, &value.span, message, hint);
            return None;
        };
        let mean = value.noted(f, quantity::read::<Q>(mean.trim()));
        let spread = value.noted(f, quantity::read::<Q>(spread.trim()));
        let (mean, spread) = (mean?, spread?);
        let bound = match self.spec.key(key).map(|key| &key.kind) {
            Some(Kind::Estimate(_, bound)) => *bound,
            _ => Bound::Any,
        };
        self.within(f, &value, mean.si(), bound)?;
        self.within(f, &value, spread.si(), Bound::NotNegative)?;
        Some(Estimate::new(mean, spread, Origin::Stated))
    }

    fn within(&self, f: &mut Findings, value: &Value<'_>, si: f64, bound: Bound) -> Option<()> {
        let (holds, wanted) = match bound {
            Bound::Any => (true, ""),
            Bound::NotNegative => (si >= 0.0, "zero or more"),
            Bound::Positive => (si > 0.0, "more than zero"),
        };
        if !holds {
            let message = format!("this must be {wanted}");
            let hint = format!("check the sign and the number in the {}", self.spec.called);
            f.fault("out-of-range", &value.place, &value.span, message, hint);
        }
        holds.then_some(())
    }

    /// A table under this key, opened.
    pub fn table(&self, f: &mut Findings, key: &str) -> Option<Table<'a>> {
        let value = self.value(f, key)?;
        let Some(Kind::Table(spec)) = self.spec.key(key).map(|key| &key.kind) else { return None };
        let DeValue::Table(content) = value.value else {
            value.wrong_type(f, value.value, "a table", &format!("[{key}] on a line of its own"));
            return None;
        };
        Some(Table::open(spec, content, value.place, value.span, f))
    }

    /// The tables under this key, opened, in the order of the file.
    pub fn tables(&self, f: &mut Findings, key: &str) -> Vec<Table<'a>> {
        let Some(value) = self.value(f, key) else { return Vec::new() };
        let Some(Kind::Tables(spec)) = self.spec.key(key).map(|key| &key.kind) else { return Vec::new() };
        let example = format!("[[{}]] for each one", self.place.key(key).path());
        let Some(items) = value.items(f, "a list of tables", &example) else { return Vec::new() };
        let mut tables = Vec::with_capacity(items.len());
        for item in items {
            match item.value {
                DeValue::Table(content) => tables.push(Table::open(spec, content, item.place, item.span, f)),
                other => item.wrong_type(f, other, "a table", &example),
            }
        }
        tables
    }
}

fn unknown_key(spec: &TableSpec, key: &str, span: &Range<usize>, place: &Place, f: &mut Findings) {
    let names: Vec<_> = spec.keys.iter().map(|key| key.name).collect();
    let hint = match nearest(key, names.iter().copied()) {
        Some(name) => format!("did you mean {name}?"),
        None => format!("known here: {}", names.join(", ")),
    };
    let message = format!("the {} has no key called {}", spec.called, shown(key));
    f.fault("unknown-key", &place.key(&shown(key)), span, message, hint);
}

/// A sentence of the table of keys as a part of another.
fn first_lower(sentence: &str) -> String {
    let sentence = sentence.trim_end_matches('.');
    // A word in capitals, such as IANA, stays as it is.
    if sentence.chars().nth(1).is_some_and(char::is_uppercase) {
        return sentence.to_owned();
    }
    let mut characters = sentence.chars();
    let first = characters.next().map(|first| first.to_ascii_lowercase());
    first.into_iter().chain(characters).collect()
}

/// What a value is called when something else was wanted.
fn called(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a string",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

fn number(value: &DeValue<'_>) -> String {
    match value {
        DeValue::Integer(number) => shown(number.as_str()),
        DeValue::Float(number) => shown(number.as_str()),
        _ => "this".to_owned(),
    }
}

/// How a key of the table so called is written.
pub(crate) fn example_of(called: &str, key: &Key) -> String {
    let kind = &key.kind;
    let own = own_example(called, key.name);
    let key = key.name;
    if let Some(own) = own {
        return format!("{key} = \"{own}\"");
    }
    let value = match kind {
        Kind::Version => "1",
        Kind::Text => "\"...\"",
        Kind::Texts => "[\"...\", \"...\"]",
        Kind::Zone => "\"America/New_York\"",
        Kind::Choice(words) => return format!("{key} = \"{}\"", words.join("\" or \"")),
        Kind::Count => "4",
        Kind::Ratio => "0.50",
        Kind::Quantity(measure, _) => return format!("{key} = \"{}\"", measure.example()),
        Kind::Estimate(measure, _) => return format!("{key} = \"{0} +- {0}\"", measure.example()),
        Kind::Reading => "\"4 ft 7 1/4 in\"",
        Kind::Direction => "\"right\"",
        Kind::Turn => "\"left\"",
        Kind::Arc => "\"out 20 ft\"",
        Kind::Point => "[\"4 ft\", \"6 ft\"]",
        Kind::Points(_) => "[[\"0 ft\", \"0 ft\"], ...]",
        Kind::Spots(..) => "[[\"0 ft\", \"0 ft\", \"100 ft\"], ...]",
        Kind::SpotLines => "[[[\"0 ft\", \"0 ft\", \"100 ft\"], ...], ...]",
        Kind::Lengths => "[\"8 ft\", \"16 ft\"]",
        Kind::EdgeName => "[\"A\", \"B\"]",
        Kind::ShotRows => "[[\"1\", \"4 ft\", \"6 ft\", \"4 ft 7 1/4 in\"], ...]",
        Kind::LocalTime => "2026-06-12T07:00:00",
        Kind::DayTime => "13:30:00",
        Kind::Table(_) => return format!("a table [{key}]"),
        Kind::Tables(_) => return format!("tables [[{key}]]"),
    };
    format!("{key} = {value}")
}

impl Measure {
    /// How one is written.
    pub const fn example(self) -> &'static str {
        match self {
            Self::Length => "4 in",
            Self::Slope => "1/8 in/ft",
            Self::Angle => "30 deg",
            Self::Volume => "8.25 yd3",
            Self::VolumeRate => "10 yd3/h",
            Self::TimeSpan => "45 min",
            Self::Share => "3 %",
            Self::Money => "120 USD",
            Self::PricePerVolume => "165 USD/yd3",
            Self::PricePerTime => "150 USD/h",
            Self::PricePerAnything => "42.50 USD/ton",
            Self::TimePerVolume => "7 min/yd3",
            Self::Temperature => "70 degF",
            Self::Pressure => "4000 psi",
            Self::Density => "564 lb/yd3",
            Self::Speed => "8 mph",
            Self::AreaRate => "1500 ft2/h",
            Self::Cover => "200 ft2/gal",
        }
    }
}
