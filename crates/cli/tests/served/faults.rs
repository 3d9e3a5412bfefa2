//! What is told when it cannot start, with the exit code of the command line: 1 for files, 2 for what is wrong in them or asked for.

use std::fs;
use std::io::{Seek, SeekFrom, Write};
use std::path::Path;

use crate::{Served, errors, run, told};

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

#[test]
fn a_second_server_on_the_same_folder_is_told_who_has_it() {
    let folder = tempfile::tempdir().unwrap();
    let first = Served::start(folder.path(), &[]);
    let second = run(&["serve", "--listen", "127.0.0.1:0", "--data", text(folder.path())]);
    let said = errors(&second);
    assert_eq!(second.status.code(), Some(1), "{said}");
    assert!(said.contains("in use by flatwright serve") && said.contains("stop that one first"), "{said}");
    let add =
        told(&["people", "add", "Ada", "--role", "owner", "--data", text(folder.path())], "wet slab at noon");
    assert!(errors(&add).contains("an owner does this on its page"), "{}", errors(&add));
    drop(first);
    Served::start(folder.path(), &[]);
}

#[test]
fn a_port_that_is_taken_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let first = Served::start(&folder.path().join("a"), &[]);
    let second = run(&["serve", "--listen", &first.address, "--data", text(&folder.path().join("b"))]);
    let said = errors(&second);
    assert_eq!(second.status.code(), Some(1), "{said}");
    assert!(said.contains(&format!("cannot listen at {}", first.address)), "{said}");
}

#[test]
fn a_damaged_database_is_told_and_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    drop(Served::start(folder.path(), &["--demo"]));
    let path = folder.path().join("flatwright.db");
    // What was written last stands beside the database until somebody opens it and closes it well.
    drop(store::Store::open(folder.path(), "a test", jiff::Timestamp::now()).unwrap());
    let mut file = fs::OpenOptions::new().write(true).open(&path).unwrap();
    let length = file.metadata().unwrap().len();
    for at in (4096..length).step_by(4096) {
        file.seek(SeekFrom::Start(at)).unwrap();
        file.write_all(&[0xa5; 512]).unwrap();
    }
    drop(file);
    let damaged = fs::read(&path).unwrap();
    let failed = run(&["serve", "--listen", "127.0.0.1:0", "--data", text(folder.path())]);
    let said = errors(&failed);
    assert_eq!(failed.status.code(), Some(2), "{said}");
    assert!(said.contains("store-corrupt") && said.contains("flatwright restore"), "{said}");
    assert!(fs::read(&path).unwrap() == damaged, "it was written to");
}

/// The kernel's own folder may not be written by anybody, the administrator included.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_may_not_be_written_is_told() {
    let failed = run(&["serve", "--listen", "127.0.0.1:0", "--data", "/sys/kernel/flatwright"]);
    let said = errors(&failed);
    assert_eq!(failed.status.code(), Some(1), "{said}");
    assert!(said.contains("store-read-only") && said.contains("may not be written"), "{said}");
}

#[test]
fn beyond_this_machine_an_owner_and_tls_are_wanted() {
    let folder = tempfile::tempdir().unwrap();
    let data = text(folder.path()).to_owned();
    let beyond = ["serve", "--listen", "0.0.0.0:0", "--data", &data];
    let said = errors(&run(&beyond));
    assert!(said.contains("flatwright people add NAME --role owner"), "{said}");
    let add = |name: &str, role: &str, password: &str| {
        told(&["people", "add", name, "--role", role, "--data", &data], password)
    };
    assert!(errors(&add("Ada", "owner", "short")).contains("8 letters"));
    assert_eq!(add("Ben", "crew", "wet slab at noon").status.code(), Some(0));
    assert!(errors(&run(&beyond)).contains("people add"), "one of the crew is no owner");
    assert_eq!(add("Ada", "owner", "wet slab at noon").status.code(), Some(0));
    assert_eq!(add("ada", "owner", "wet slab at noon").status.code(), Some(2), "the name is taken");
    let refused = run(&beyond);
    let said = errors(&refused);
    assert_eq!(refused.status.code(), Some(1));
    assert!(said.contains("--own-authority") && said.contains("--behind-proxy"), "{said}");
    let listed = run(&["people", "list", "--data", &data]);
    let listed = String::from_utf8_lossy(&listed.stdout).into_owned();
    assert!(listed.contains("Ada") && listed.contains("owner") && listed.contains("crew"), "{listed}");
    let gone = run(&["people", "let-go", "Ada", "--data", &data]);
    assert!(errors(&gone).contains("last owner"), "{}", errors(&gone));
    assert_eq!(run(&["people", "let-go", "Ben", "--data", &data]).status.code(), Some(0));
    let memory = run(&["serve", "--listen", "0.0.0.0:0", "--demo"]);
    assert!(errors(&memory).contains("stays on this machine"), "{}", errors(&memory));
}
