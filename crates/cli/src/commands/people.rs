//! `people`: who may use the app.

use std::fmt::Write as _;
use std::io::{BufRead, IsTerminal, Write as _};
use std::path::Path;
use std::process::{Command, Stdio};

use jiff::Timestamp;
use store::{Kind, Person, Role, Store};
use web::people::password;

use super::backup::failure;
use crate::args::{People, PeopleArgs, RoleArg};
use crate::error::Failure;

/// Does it and says so.
pub fn run(args: &PeopleArgs) -> Result<String, Failure> {
    match &args.what {
        People::Add { name, role, data } => add(name, *role, data),
        People::List { data } => list(data),
        People::Password { name, data } => new_password(name, data),
        People::LetGo { name, data } => let_go(name, data),
    }
}

fn open(data: &Path) -> Result<Store, Failure> {
    let opened = Store::open(data, "flatwright people", Timestamp::now());
    opened.map_err(|fault| {
        let is_served = fault.kind == Kind::Locked;
        let mut failed = failure(fault);
        if is_served {
            failed.text += "  While the app runs, an owner does this on its page of the people.\n";
        }
        failed
    })
}

fn add(name: &str, role: RoleArg, data: &Path) -> Result<String, Failure> {
    let store = open(data)?;
    let role = match role {
        RoleArg::Owner => Role::Owner,
        RoleArg::Crew => Role::Crew,
    };
    let hash = hashed(name)?;
    store.add_person(name, role, Some(&hash), Timestamp::now()).map_err(failure)?;
    Ok(format!("{} is there, {}. From now on everybody signs in.\n", name.trim(), of(role)))
}

fn new_password(name: &str, data: &Path) -> Result<String, Failure> {
    let store = open(data)?;
    let person = called(&store, name)?;
    let hash = hashed(name)?;
    store.set_password(person.id, Some(&hash)).map_err(failure)?;
    Ok(format!("{} has a new password, and signs in anew everywhere.\n", person.name))
}

fn let_go(name: &str, data: &Path) -> Result<String, Failure> {
    let store = open(data)?;
    let person = called(&store, name)?;
    store.let_go(person.id, Timestamp::now()).map_err(failure)?;
    Ok(format!("{} is let go: no session of theirs holds any more. What they wrote stays.\n", person.name))
}

fn list(data: &Path) -> Result<String, Failure> {
    // Looking makes no folder.
    if !data.exists() {
        let text = format!("{} is not there\n  check the name, or let `serve` make it\n", data.display());
        return Err(Failure { text, code: 1 });
    }
    let store = open(data)?;
    let people = store.people().map_err(failure)?;
    if people.is_empty() {
        return Ok("Nobody yet: whoever sits at this machine uses the app without signing in.\n".to_owned());
    }
    let mut text = String::new();
    for person in people {
        let gone = person.gone.map_or(String::new(), |at| format!(", let go {}", at.strftime("%Y-%m-%d")));
        let silent = if person.password.is_none() { ", without a password" } else { "" };
        // Writing into a string does not fail.
        let _ = writeln!(text, "{:<24} {}{silent}{gone}", person.name, of(person.role));
    }
    Ok(text)
}

const fn of(role: Role) -> &'static str {
    match role {
        Role::Owner => "owner",
        Role::Crew => "crew",
    }
}

fn called(store: &Store, name: &str) -> Result<Person, Failure> {
    store.person_called(name).map_err(failure)?.ok_or_else(|| {
        let text =
            format!("there is nobody called {name}\n  `flatwright people list` names those who are there\n");
        Failure { text, code: 2 }
    })
}

fn hashed(name: &str) -> Result<String, Failure> {
    let password = asked_for(name)?;
    let fault = |words: String| Failure::faults(format!("{words}\n"));
    password::taken(&password, name).map_err(fault)?;
    password::hash(&password).map_err(fault)
}

/// A password as it is typed twice at the terminal, or once on the first line of another input.
fn asked_for(name: &str) -> Result<String, Failure> {
    if !std::io::stdin().is_terminal() {
        return line();
    }
    let (first, again) = (hidden(&format!("Password for {name}: "))?, hidden("The same again: ")?);
    if first == again {
        Ok(first)
    } else {
        Err(Failure::faults("the two passwords are not the same\n".to_owned()))
    }
}

fn hidden(prompt: &str) -> Result<String, Failure> {
    // The prompt is for who sits there, and not for who reads the output.
    let mut out = std::io::stderr();
    let _ = write!(out, "{prompt}").and_then(|()| out.flush());
    let _silent = Silent::terminal();
    let read = line();
    let _ = writeln!(out);
    read
}

fn line() -> Result<String, Failure> {
    let mut line = String::new();
    let read = std::io::stdin().lock().read_line(&mut line);
    read.map_err(|why| Failure { text: format!("cannot read the password: {why}\n"), code: 1 })?;
    Ok(line.trim_end_matches(['\r', '\n']).to_owned())
}

/// The terminal shows nothing of what is typed, as long as this lives.
struct Silent;

impl Silent {
    fn terminal() -> Option<Self> {
        if stty("-echo") {
            return Some(Self);
        }
        eprint!("(this terminal shows what you type) ");
        None
    }
}

impl Drop for Silent {
    fn drop(&mut self) {
        stty("echo");
    }
}

/// Asks the system's own tool; a library for this would be one more.
fn stty(how: &str) -> bool {
    let done = Command::new("stty")
        .arg(how)
        .stdin(Stdio::inherit())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    done.is_ok_and(|status| status.success())
}
