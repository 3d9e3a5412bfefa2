//! The served machine interface against its OpenAPI document, by schemathesis: an open tool that draws requests from a document.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

use house::{program, python, tree};
use serde_json::json;

/// A program that ends with its test.
struct Served(Child);

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// No request that can be drawn brings an error of the server, and every answer is one that the document describes.
#[test]
fn every_answer_is_as_the_document_says() {
    let child = Command::new(program::path())
        .args(["serve", "--demo", "--listen", "127.0.0.1:0"])
        .current_dir(tree::root())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut served = Served(child);
    let told = BufReader::new(served.0.stdout.take().expect("a pipe"));
    let mut lines = told.lines().map_while(Result::ok);
    let url = lines
        .find_map(|line| {
            line.split_whitespace().find(|word| word.starts_with("http://127.")).map(str::to_owned)
        })
        .expect("it tells its address");
    // The rest is read, so that the program never waits for a full pipe.
    let rest = std::thread::spawn(move || lines.count());
    // About a minute on two cores: the coverage of every parameter's bounds takes most of it.
    let answer = python::ask("interface", &json!({ "url": url, "most": 4, "seed": 7 }));
    drop(served);
    let _ = rest.join();
    let told = answer["told"].as_str().unwrap_or_default();
    assert_eq!(answer["good"], true, "{told}");
    assert!(
        answer["jobs"].as_u64() >= Some(4) && answer["cases"].as_u64() > Some(100),
        "too little was asked:\n{told}"
    );
}
