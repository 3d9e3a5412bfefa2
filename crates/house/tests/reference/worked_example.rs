//! The worked example: its sums are right, and what they come to is what the program prints.

use house::{markdown, program, python, tree};
use serde_json::json;

fn lines(language: &str) -> Vec<String> {
    let page = tree::text(&tree::root().join("docs/worked-example.md"));
    let blocks = markdown::blocks(&page).into_iter().filter(|block| block.language == language);
    blocks.flat_map(|block| block.text.lines().map(str::to_owned).collect::<Vec<_>>()).collect()
}

fn one_spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_sum_is_right() {
    let sums = lines("sum");
    assert!(sums.len() > 50, "only {} sums", sums.len());
    let answer = python::ask("arithmetic", &json!({"sums": sums}));
    assert_eq!(answer["wrong"], json!([]), "{:#}", answer["wrong"]);
}

#[test]
fn a_wrong_sum_is_found() {
    let answer = python::ask("arithmetic", &json!({"sums": ["a = 2 + 2 = 4", "a * 2 = 9", "b / 2 = 1"]}));
    assert_eq!(answer["wrong"].as_array().map(Vec::len), Some(2), "{answer}");
}

#[test]
fn every_printed_line_stands_in_the_plan() {
    let output = program::run(&["plan", "demo/worked-example.toml"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let page = one_spaced(&String::from_utf8_lossy(&output.stdout));
    let printed = lines("page");
    assert!(printed.len() > 25, "only {} printed lines", printed.len());
    let missing: Vec<&String> = printed.iter().filter(|line| !page.contains(&one_spaced(line))).collect();
    assert!(missing.is_empty(), "not in the plan: {missing:#?}");
}
