//! The pure crates touch no file, clock, thread, network, environment or global, and no hash map.

use house::{source, tree};

/// Words that must not stand in the shipped source of a pure crate, with the reason.
const FORBIDDEN: &[(&str, &str)] = &[
    ("std::fs", "files come in as text"),
    ("std::net", "the network is the caller's"),
    ("std::env", "the environment is the caller's"),
    ("std::process", "other programs are the caller's"),
    ("std::io::std", "the terminal is the caller's"),
    ("std::thread", "threads are handed in"),
    ("thread::spawn", "threads are handed in"),
    ("std::time", "the time is handed in"),
    ("SystemTime", "the time is handed in"),
    ("Instant::now", "the time is handed in"),
    ("::now()", "the time is handed in"),
    ("rand::rng()", "randomness is handed in"),
    ("from_os_rng", "randomness is handed in"),
    ("HashMap", "its order differs from run to run; take BTreeMap"),
    ("HashSet", "its order differs from run to run; take BTreeSet"),
    ("static mut", "no globals"),
    ("thread_local!", "no globals"),
    ("Mutex", "no globals, no threads"),
    ("OnceLock", "no globals"),
    ("println!", "the terminal is the caller's"),
    ("eprintln!", "the terminal is the caller's"),
    ("dbg!", "the terminal is the caller's"),
];

#[test]
fn pure_crates_touch_nothing_outside() {
    let mut wrong = Vec::new();
    let mut seen = 0;
    for crate_ in ["basis", "ground", "clock", "pour", "formats", "papers"] {
        for path in tree::files(&format!("crates/{crate_}/src"), &["rs"]) {
            let shown = tree::shown(&path);
            if source::is_test_file(&shown) {
                continue;
            }
            seen += 1;
            for (index, line) in source::shipped(&tree::text(&path)).lines().enumerate() {
                for (word, reason) in FORBIDDEN {
                    if line.contains(word) {
                        wrong.push(format!("{shown}:{}: `{word}`: {reason}", index + 1));
                    }
                }
            }
        }
    }
    assert!(seen > 20, "only {seen} files looked at");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_look_out_sees_a_clock_and_passes_over_tests() {
    let bad =
        "fn f() {\n    let t = std::time::Instant::now();\n}\n#[cfg(test)]\nmod tests { use std::fs; }\n";
    let shipped = source::shipped(bad);
    assert!(shipped.contains("Instant::now"));
    assert!(!shipped.contains("std::fs"));
    assert!(!source::shipped("// std::fs in words\nfn f() {}\n").contains("std::fs"));
}
