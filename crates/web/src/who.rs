//! Who looks at a page, and what that person may do. The crew's rights stand here and nowhere else.

use std::sync::Arc;

use formats::events::Change;

/// What somebody may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Everything.
    Owner,
    /// Watches and logs the day; sees no price, and takes back only what is its own.
    Crew,
    /// Is not signed in.
    Stranger,
}

/// What somebody wants of a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wants {
    /// To look at it.
    Look,
    /// To send something to it.
    Send,
}

/// Who looks at a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Who {
    /// The name that stands by what they write.
    pub name: Arc<str>,
    /// What they may do.
    pub role: Role,
    /// Number of the person; absent where nobody signs in.
    pub number: Option<i64>,
}

/// What the crew may look at below a job.
const CREW_LOOKS_AT: [&str; 5] = ["pour", "finish", "floor", "day", "floor-at"];
/// What the crew may send to a job.
const CREW_SENDS: [&str; 4] = ["log", "take-back", "rounds", "photo"];
/// Papers without money on them.
const CREW_PAPERS: [&str; 4] =
    ["crew-sheet.pdf", "crew-sheet-es.pdf", "finishing-clock.pdf", "finishing-clock-es.pdf"];

impl Who {
    /// Whoever sits at this machine, where nobody signs in.
    #[must_use]
    pub fn here() -> Self {
        Self { name: "this phone".into(), role: Role::Owner, number: None }
    }
    /// Somebody who is not signed in.
    #[must_use]
    pub fn stranger() -> Self {
        Self { name: "".into(), role: Role::Stranger, number: None }
    }
    /// Whether they are an owner.
    #[must_use]
    pub fn is_owner(&self) -> bool {
        self.role == Role::Owner
    }
    /// Whether money is shown to them.
    #[must_use]
    pub fn may_see_prices(&self) -> bool {
        self.role == Role::Owner
    }
    /// Whether the page of a step is for them.
    #[must_use]
    pub fn may_open(&self, step: &str) -> bool {
        self.is_owner() || self.role == Role::Crew && CREW_LOOKS_AT.contains(&step)
    }
    /// Whether they may take back what somebody wrote.
    #[must_use]
    pub fn may_take_back(&self, by: &str) -> bool {
        self.is_owner() || self.role == Role::Crew && *self.name == *by
    }
    /// Whether they may make a change; `by` is who wrote the event that an undo takes back.
    #[must_use]
    pub fn may_keep(&self, change: &Change, by: Option<&str>) -> bool {
        match change {
            _ if self.is_owner() => true,
            Change::Log(_) => self.role == Role::Crew,
            Change::Undo { .. } => by.is_some_and(|by| self.may_take_back(by)),
            _ => false,
        }
    }
    /// Whether they may ask for a path. What is not named is not for the crew, so that a new page keeps its prices.
    #[must_use]
    pub fn may_ask(&self, wants: Wants, path: &str) -> bool {
        let parts: Vec<&str> = path.trim_matches('/').split('/').collect();
        match self.role {
            Role::Owner => true,
            Role::Stranger => is_open(wants, &parts),
            Role::Crew => is_open(wants, &parts) || is_for_crew(wants, &parts),
        }
    }
}

/// What is there for everybody: the built-in files, and the way in.
fn is_open(wants: Wants, parts: &[&str]) -> bool {
    match parts {
        ["sign-in"] | ["join", _] => true,
        ["assets", ..] | ["worker.js" | "favicon.ico"] => wants == Wants::Look,
        _ => false,
    }
}

fn is_for_crew(wants: Wants, parts: &[&str]) -> bool {
    match (wants, parts) {
        (Wants::Look, ["" | "live" | "me"] | ["jobs", _]) => true,
        (Wants::Look, ["jobs", _, "papers", name]) => CREW_PAPERS.contains(name),
        (Wants::Look, ["jobs", _, "photos", _]) => true,
        (Wants::Look, ["jobs", _, page]) => CREW_LOOKS_AT.contains(page),
        (Wants::Send, ["sign-out"] | ["me", "password"]) => true,
        (Wants::Send, ["jobs", _, "entries", "log" | "take-back"]) => true,
        (Wants::Send, ["jobs", _, what]) => CREW_SENDS.contains(what),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn crew(name: &str) -> Who {
        Who { name: name.into(), role: Role::Crew, number: Some(2) }
    }

    #[test]
    fn the_crew_asks_for_what_is_named_only() {
        let ben = crew("Ben");
        for path in
            ["/", "/live", "/jobs/a", "/jobs/a/pour", "/jobs/a/papers/crew-sheet-es.pdf", "/assets/1/app.js"]
        {
            assert!(ben.may_ask(Wants::Look, path), "{path}");
        }
        for path in [
            "/people",
            "/new",
            "/jobs/a/price",
            "/jobs/a/order",
            "/jobs/a/measure",
            "/jobs/a/text",
            "/jobs/a/papers/quote.pdf",
            "/jobs/a/papers/plant-order.pdf",
            "/jobs/a/pour/../price",
            "/jobs/a/pack",
            "/api/v1/jobs",
            "/jobs//price",
        ] {
            assert!(!ben.may_ask(Wants::Look, path), "{path}");
        }
        for path in ["/jobs/a/log", "/jobs/a/take-back", "/jobs/a/entries/log", "/sign-out"] {
            assert!(ben.may_ask(Wants::Send, path), "{path}");
        }
        for path in ["/jobs", "/jobs/a/shot", "/jobs/a/text", "/people", "/people/1/let-go", "/jobs/a/pour"] {
            assert!(!ben.may_ask(Wants::Send, path), "{path}");
        }
    }

    #[test]
    fn a_stranger_finds_the_way_in_and_nothing_else() {
        let stranger = Who::stranger();
        assert!(stranger.may_ask(Wants::Send, "/sign-in") && stranger.may_ask(Wants::Look, "/join/ab"));
        for path in ["/", "/live", "/jobs/a/pour", "/me", "/people", "/sign-out"] {
            assert!(!stranger.may_ask(Wants::Look, path), "{path}");
            assert!(!stranger.may_ask(Wants::Send, path), "{path}");
        }
    }

    #[test]
    fn the_crew_logs_and_takes_back_its_own() {
        let ben = crew("Ben");
        let undo = Change::Undo { event: formats::events::EventId::from_bytes([1; 16]) };
        assert!(ben.may_keep(&undo, Some("Ben")));
        assert!(!ben.may_keep(&undo, Some("Ada")) && !ben.may_keep(&undo, None));
        assert!(!ben.may_keep(&Change::Text { text: String::new(), saw: None }, None));
        assert!(Who::here().may_keep(&undo, None));
    }
}
