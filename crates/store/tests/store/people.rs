//! People, sessions, invitations.

use jiff::SignedDuration;
use store::{Kind, Role, Secret};

use super::*;

const HOUR: SignedDuration = SignedDuration::from_hours(1);

#[test]
fn an_invitation_works_once_and_for_a_while() {
    let folder = folder();
    let store = open(&folder);
    let invitation = store.invite(Role::Crew, HOUR, now()).unwrap();
    assert_eq!(invitation.until, now() + HOUR);
    let joined = store.take_up(&invitation.secret, " Ben ", None, now()).unwrap();
    assert_eq!((joined.name.as_str(), joined.role), ("Ben", Role::Crew));
    let again = store.take_up(&invitation.secret, "Cy", None, now()).unwrap_err();
    let late = store.invite(Role::Owner, HOUR, now()).unwrap();
    let late = store.take_up(&late.secret, "Cy", None, now() + HOUR).unwrap_err();
    let never = store.take_up(&Secret::draw().unwrap(), "Cy", None, now()).unwrap_err();
    assert_eq!((again.clone(), again), (late, never));
}

#[test]
fn a_taken_name_does_not_use_the_invitation_up() {
    let folder = folder();
    let store = open(&folder);
    store.add_person("Ada", Role::Owner, Some("hash"), now()).unwrap();
    let invitation = store.invite(Role::Crew, HOUR, now()).unwrap();
    assert_eq!(store.take_up(&invitation.secret, "ADA", None, now()).unwrap_err().kind, Kind::Refused);
    assert!(store.take_up(&invitation.secret, "Ben", None, now()).is_ok());
    assert!(store.add_person("ada", Role::Crew, None, now()).is_err());
    for name in ["", "  ", "a\nb", &"x".repeat(81)] {
        assert_eq!(
            store.add_person(name, Role::Crew, None, now()).unwrap_err().kind,
            Kind::Refused,
            "{name:?}"
        );
    }
}

#[test]
fn sessions_hold_until_they_end() {
    let folder = folder();
    let store = open(&folder);
    let ada = store.add_person("Ada", Role::Owner, Some("hash"), now()).unwrap();
    let secret = store.begin_session(ada, HOUR, now()).unwrap();
    let text = secret.text();
    let read = Secret::read(&text).unwrap();
    assert_eq!(store.session(&read, now()).unwrap().unwrap().person.name, "Ada");
    assert_eq!(store.session(&read, now() + HOUR).unwrap(), None);
    assert_eq!(store.session(&Secret::draw().unwrap(), now()).unwrap(), None);
    store.end_session(&read).unwrap();
    assert_eq!(store.session(&read, now()).unwrap(), None);
    let before = store.begin_session(ada, HOUR, now()).unwrap();
    store.set_password(ada, Some("other")).unwrap();
    assert_eq!(store.session(&before, now()).unwrap(), None);
    let before = store.begin_session(ada, HOUR, now()).unwrap();
    assert_eq!(store.let_go(ada, now()).unwrap_err().kind, Kind::Refused, "the last owner stays");
    assert!(store.session(&before, now()).unwrap().is_some());
    store.add_person("Ben", Role::Owner, Some("hash"), now()).unwrap();
    store.let_go(ada, now()).unwrap();
    assert_eq!(store.session(&before, now()).unwrap(), None);
    assert_eq!(store.begin_session(ada, HOUR, now()).unwrap_err().kind, Kind::NotThere);
    assert_eq!(store.person_called("Ada").unwrap(), None);
    assert_eq!(store.people().unwrap()[0].gone, Some(now()));
}

/// A session that is used goes on, but no longer than it may.
#[test]
fn a_session_that_is_used_goes_on_for_a_while() {
    let folder = folder();
    let store = open(&folder);
    let ada = store.add_person("Ada", Role::Owner, Some("hash"), now()).unwrap();
    let secret = store.begin_session(ada, HOUR, now()).unwrap();
    let prolong = |at| store.prolong_session(&secret, HOUR, 3 * HOUR, at).unwrap();
    prolong(now() + HOUR / 2);
    assert!(store.session(&secret, now() + HOUR).unwrap().is_some());
    for half_hours in 2..6 {
        prolong(now() + half_hours * HOUR / 2);
    }
    assert_eq!(store.session(&secret, now() + 2 * HOUR).unwrap().unwrap().until, now() + 3 * HOUR);
    prolong(now() + 3 * HOUR);
    assert_eq!(
        store.session(&secret, now() + 3 * HOUR).unwrap(),
        None,
        "what has ended does not begin again"
    );
    store.begin_session(ada, HOUR, now()).unwrap();
    assert_eq!(store.sessions_of(ada, now()).unwrap(), 2);
    store.end_sessions(ada).unwrap();
    assert_eq!(store.sessions_of(ada, now()).unwrap(), 0);
}

/// Two who come at once to a folder without people do not both become owners.
#[test]
fn there_is_one_first_owner() {
    let folder = folder();
    let store = open(&folder);
    assert!(!store.has_people().unwrap() && !store.has_owner().unwrap());
    let first = store.add_first_owner("Ada", "hash", now()).unwrap();
    assert!(first.is_some());
    assert_eq!(store.add_first_owner("Ben", "hash", now()).unwrap(), None);
    assert!(store.has_people().unwrap() && store.has_owner().unwrap());
    assert_eq!(store.person(first.unwrap()).unwrap().unwrap().name, "Ada");
}

#[test]
fn an_invitation_can_be_looked_at_and_taken_back() {
    let folder = folder();
    let store = open(&folder);
    let (one, other) = (store.invite(Role::Crew, HOUR, now()), store.invite(Role::Owner, HOUR, now()));
    let (one, other) = (one.unwrap().secret, other.unwrap().secret);
    assert_eq!(store.invited_as(&other, now()).unwrap(), Some(Role::Owner));
    assert_eq!(store.invited_as(&other, now() + HOUR).unwrap(), None);
    store.take_up(&one, "Ben", None, now()).unwrap();
    assert_eq!(store.invited_as(&one, now()).unwrap(), None);
    assert_eq!(store.open_invitations(now()).unwrap(), 1);
    store.take_back_invitations().unwrap();
    assert_eq!(store.open_invitations(now()).unwrap(), 0);
    assert!(store.take_up(&other, "Cy", None, now()).is_err());
}

/// Whoever reads the folder finds no cookie and no link in it.
#[test]
fn only_hashes_of_secrets_are_on_the_disk() {
    let folder = folder();
    let store = open(&folder);
    let ada = store.add_person("Ada", Role::Owner, None, now()).unwrap();
    let secrets = [
        store.begin_session(ada, HOUR, now()).unwrap(),
        store.invite(Role::Crew, HOUR, now()).unwrap().secret,
    ];
    for file in std::fs::read_dir(folder.path()).unwrap().flatten().filter(|file| file.path().is_file()) {
        let bytes = std::fs::read(file.path()).unwrap();
        for secret in &secrets {
            let text = secret.text();
            let raw: Vec<u8> =
                (0..32).map(|i| u8::from_str_radix(&text[2 * i..2 * i + 2], 16).unwrap()).collect();
            assert!(!bytes.windows(32).any(|part| part == raw), "{:?}", file.path());
            assert!(!bytes.windows(64).any(|part| part == text.as_bytes()), "{:?}", file.path());
        }
    }
    assert_eq!(format!("{:?}", secrets[0]), "Secret(..)");
    assert!(
        ["", "12", &"g".repeat(64), &"\u{e9}".repeat(32)].iter().all(|text| Secret::read(text).is_none())
    );
}
