//! The words that templates and code ask for are there. What the documents say is read back from the PDF in the house tests.

use std::collections::BTreeSet;

use crate::words::{Language, Words};

const TEMPLATES: [&str; 7] = [
    include_str!("../../templates/common.typ"),
    include_str!("../../templates/crew-sheet.typ"),
    include_str!("../../templates/finish-choice.typ"),
    include_str!("../../templates/finishing-clock.typ"),
    include_str!("../../templates/floor.typ"),
    include_str!("../../templates/plant-order.typ"),
    include_str!("../../templates/quote.typ"),
];

const CODE: [&str; 7] = [
    include_str!("clock_sheet.rs"),
    include_str!("crew_sheet.rs"),
    include_str!("facts.rs"),
    include_str!("finish_choice.rs"),
    include_str!("order_sheet.rs"),
    include_str!("quote.rs"),
    include_str!("../appointments.rs"),
];

/// The texts between quotes that follow a mark.
fn quoted(source: &str, mark: &str) -> Vec<String> {
    let after = source.split(mark).skip(1);
    after.filter_map(|rest| rest.split('"').next()).map(str::to_owned).collect()
}

#[test]
fn every_word_of_the_templates_is_in_the_lists() {
    let plain = Words::new(&[Language::English]).plain();
    let mut asked = BTreeSet::new();
    for template in TEMPLATES {
        asked.extend(quoted(template, "w(\""));
        asked.extend(quoted(template, "section(\""));
        for heads in template.split("head(").skip(1).filter_map(|rest| rest.split(')').next()) {
            asked.extend(quoted(&format!(", {heads}"), ", \"").into_iter().filter(|word| !word.is_empty()));
        }
        asked.extend(template.split("words.").skip(1).map(|rest| {
            rest.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '-').collect::<String>()
        }));
    }
    asked.remove("at");
    asked.retain(|word| word != "..keys");
    assert!(asked.len() > 60, "only {} words found in the templates", asked.len());
    let missing: Vec<&String> = asked.iter().filter(|word| !plain.contains_key(word.as_str())).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn every_word_of_the_code_is_in_the_lists() {
    let words = Words::new(&[Language::English, Language::Spanish]);
    let mut asked = BTreeSet::new();
    for code in CODE {
        for mark in ["say(\"", "with(\"", "row(facts, \"", "with(\n            \""] {
            asked.extend(quoted(code, mark));
        }
        // Lists of words by what they stand for.
        asked.extend(
            quoted(code, ", \"")
                .into_iter()
                .filter(|word| word.contains("-from") || word.starts_with("take-care")),
        );
        for start in ["scope-", "way-"] {
            asked
                .extend(quoted(code, &format!("\"{start}")).into_iter().map(|rest| format!("{start}{rest}")));
        }
        asked.extend(quoted(code, "    \"ready-").into_iter().map(|rest| format!("ready-{rest}")));
    }
    assert!(asked.len() > 90, "only {} words found in the code", asked.len());
    let missing: Vec<&String> = asked.iter().filter(|word| !words.knows(word)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}
