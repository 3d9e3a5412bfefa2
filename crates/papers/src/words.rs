//! The words of the papers in the languages that are asked for.
//!
//! They stand in `words/*.ftl` as Fluent messages, one file a language. A word that is said in two languages stays a list of
//! two; the template sets them side by side or below each other.

use fluent_bundle::{FluentArgs, FluentBundle, FluentResource};
use serde_json::{Map, Value};
use unic_langid::{LanguageIdentifier, langid};

/// A language in which papers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Language {
    /// English of the United States.
    English,
    /// Spanish of crews from Mexico and the United States; it awaits a native finisher's review.
    Spanish,
}

impl Language {
    const fn source(self) -> &'static str {
        match self {
            Self::English => include_str!("../words/en.ftl"),
            Self::Spanish => include_str!("../words/es.ftl"),
        }
    }

    const fn id(self) -> LanguageIdentifier {
        match self {
            Self::English => langid!("en-US"),
            Self::Spanish => langid!("es-MX"),
        }
    }

    /// The code of the language: `en`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::Spanish => "es",
        }
    }
}

/// A text in each language asked for; a single one is the same in all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said(Vec<String>);

impl Said {
    /// A text that is the same in every language: a figure, a name.
    #[must_use]
    pub fn same(text: impl Into<String>) -> Self {
        Self(vec![text.into()])
    }

    /// The text in the language of this place among those asked for.
    #[must_use]
    pub fn in_language(&self, place: usize) -> &str {
        self.0.get(place).or(self.0.first()).map_or("", String::as_str)
    }

    /// For a template: a list of one text or two.
    #[must_use]
    pub fn json(&self) -> Value {
        Value::from(self.0.clone())
    }
}

/// The words in the languages asked for.
pub struct Words {
    bundles: Vec<FluentBundle<FluentResource>>,
    languages: Vec<Language>,
}

impl Words {
    /// The words of some languages; English when none is named.
    #[must_use]
    pub fn new(languages: &[Language]) -> Self {
        let languages = if languages.is_empty() { vec![Language::English] } else { languages.to_vec() };
        Self { bundles: languages.iter().map(|language| bundle(*language)).collect(), languages }
    }

    /// The languages.
    #[must_use]
    pub fn languages(&self) -> &[Language] {
        &self.languages
    }

    /// Whether there is such a word or sentence.
    #[must_use]
    pub fn knows(&self, id: &str) -> bool {
        self.bundles.iter().all(|bundle| bundle.has_message(id))
    }

    /// A word without variables. An unknown one is told by its own name; a test sees to it that there is none.
    #[must_use]
    pub fn say(&self, id: &str) -> Said {
        self.with(id, &[])
    }

    /// A sentence with its variables.
    #[must_use]
    pub fn with(&self, id: &str, variables: &[(&'static str, Said)]) -> Said {
        let one = |(place, bundle): (usize, &FluentBundle<FluentResource>)| {
            let mut args = FluentArgs::new();
            for (name, said) in variables {
                args.set(*name, said.in_language(place).to_owned());
            }
            let Some(pattern) = bundle.get_message(id).and_then(|message| message.value()) else {
                return id.to_owned();
            };
            bundle.format_pattern(pattern, Some(&args), &mut Vec::new()).into_owned()
        };
        let mut texts: Vec<String> = self.bundles.iter().enumerate().map(one).collect();
        texts.retain(|text| !text.is_empty());
        texts.dedup();
        Said(texts)
    }

    /// All words that take no variables, for the templates.
    #[must_use]
    pub fn plain(&self) -> Map<String, Value> {
        let plain = messages(Language::English).into_iter().filter(|(_, text)| !text.contains("{ $"));
        plain.map(|(id, _)| (id.clone(), self.say(&id).json())).collect()
    }
}

fn bundle(language: Language) -> FluentBundle<FluentResource> {
    let mut bundle = FluentBundle::new(vec![language.id()]);
    // Marks that isolate the direction of variables are no letters; the typesetter orders a line by itself.
    bundle.set_use_isolating(false);
    let resource = FluentResource::try_new(language.source().to_owned()).unwrap_or_else(|(sound, _)| sound);
    // Each file has each message once, which a test checks.
    let _ = bundle.add_resource(resource);
    bundle
}

/// The messages of a language by name, in the order of its file.
fn messages(language: Language) -> Vec<(String, String)> {
    let line = |line: &str| {
        let (id, text) = line.split_once(" = ")?;
        let is_id = id.starts_with(|c: char| c.is_ascii_lowercase());
        is_id.then(|| (id.to_owned(), text.to_owned()))
    };
    language.source().lines().filter_map(line).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn variables(text: &str) -> BTreeSet<&str> {
        text.split("{ $").skip(1).filter_map(|rest| rest.split(' ').next()).collect()
    }

    #[test]
    fn the_spanish_list_is_complete() {
        let (english, spanish) = (messages(Language::English), messages(Language::Spanish));
        assert!(english.len() > 200);
        let ids = |list: &[(String, String)]| list.iter().map(|m| m.0.clone()).collect::<Vec<_>>();
        assert_eq!(ids(&english), ids(&spanish), "both files hold the same messages in the same order");
        let once: BTreeSet<String> = ids(&english).into_iter().collect();
        assert_eq!(once.len(), english.len(), "a message stands twice");
        for ((id, one), (_, other)) in english.iter().zip(&spanish) {
            assert_eq!(variables(one), variables(other), "{id}");
            assert!(!other.trim().is_empty(), "{id}");
        }
    }

    #[test]
    fn both_files_are_sound() {
        for language in [Language::English, Language::Spanish] {
            let read = FluentResource::try_new(language.source().to_owned());
            assert!(read.is_ok(), "{language:?}: {:?}", read.err().map(|(_, faults)| faults));
        }
    }

    /// Until a native finisher has passed the list, the file says so and every Spanish paper does.
    #[test]
    fn spanish_is_marked_as_awaiting_review() {
        assert!(Language::Spanish.source().contains("### review: awaits a native finisher"));
        let words = Words::new(&[Language::Spanish]);
        assert!(words.say("review").in_language(0).contains("no lo ha revisado"));
        assert_eq!(Words::new(&[Language::English]).say("review").json(), serde_json::json!([]));
    }

    /// Words that must not drift: they are those of crews, not of a dictionary.
    #[test]
    fn trade_terms_are_those_of_the_crew() {
        let words = Words::new(&[Language::Spanish]);
        let all = messages(Language::Spanish).into_iter().map(|m| m.1).collect::<String>().to_lowercase();
        for term in [
            "losa",
            "cimbra",
            "regla",
            "llana",
            "helicóptero",
            "junta",
            "colado",
            "varilla",
            "revenimiento",
            "maestra",
            "orilla",
        ] {
            assert!(all.contains(term), "{term}");
        }
        assert_eq!(words.say("bull-float").in_language(0), "llana de mango largo");
    }

    #[test]
    fn sentences_take_their_variables_in_both_languages() {
        let words = Words::new(&[Language::English, Language::Spanish]);
        let monday = words.say("monday");
        let said = words.with("day-of", &[("weekday", monday), ("date", Said::same("2026-06-15"))]);
        assert_eq!(said.json(), serde_json::json!(["Monday 2026-06-15", "Lunes 2026-06-15"]));
        assert_eq!(
            words.with("change-both", &[("one", Said::same("a")), ("other", Said::same("b"))]).json(),
            serde_json::json!(["a and b", "a y b"])
        );
    }

    #[test]
    fn names_are_no_part_of_the_language() {
        let words = Words::new(&[Language::English]);
        let said = words.with("up", &[("by", Said::same("{ $by } { -term } \\"))]);
        assert_eq!(said.in_language(0), "up { $by } { -term } \\");
    }
}
