//! Faults of what is stated about a day of finishing.

use basis::{Note, Place, TimeSpan};

use super::problem::Problem;

/// Most rounds of one day.
const MOST_ROUNDS: usize = 400;
/// Most people and most machines of a day.
const MOST_HANDS: u32 = 50;
/// No time of a day lies farther than this from the common instant.
const LONGEST: TimeSpan = TimeSpan::days(4.0);

/// Adds a fault for everything that no day can have.
pub(super) fn check(problem: &Problem, notes: &mut Vec<Note>) {
    let mut bad = |path: String, message: String, hint: &str| {
        notes.push(Note::fault("rounds-input-impossible", Place::at(path), message, hint));
    };
    let rounds: usize = problem.bays.iter().map(|bay| bay.rounds.len()).sum();
    if rounds == 0 || rounds > MOST_ROUNDS {
        bad("bays".into(), format!("{rounds} rounds are no day's finishing"), "plan 1 to 400 rounds at once");
    }
    if !(1..=2).contains(&problem.floors.len()) {
        let said = format!("{} floors cannot be planned at once", problem.floors.len());
        bad("floors".into(), said, "plan one or two floors");
    }
    if !within(problem.travel) {
        bad(
            "travel".into(),
            "the road between the floors takes no such time".into(),
            "state 0 or more minutes",
        );
    }
    check_crew(problem, &mut bad);
    check_machines(problem, &mut bad);
    for (b, bay) in problem.bays.iter().enumerate() {
        if bay.floor >= problem.floors.len() {
            bad(
                format!("bays[{b}].floor"),
                format!("bay {} is on no floor", bay.name),
                "name one of the floors",
            );
        }
        check_rounds(b, bay, &mut bad);
    }
}

fn within(time: TimeSpan) -> bool {
    time >= TimeSpan::ZERO && time <= LONGEST
}

fn near(time: TimeSpan) -> bool {
    time.abs() <= LONGEST
}

fn check_crew(problem: &Problem, bad: &mut impl FnMut(String, String, &str)) {
    let people = problem.crew.people;
    if people == 0 || people > MOST_HANDS {
        bad("crew.people".into(), format!("{people} people are no crew"), "state 1 to 50 people");
    }
    for (index, busy) in problem.crew.busy.iter().enumerate() {
        let sound = near(busy.from) && near(busy.until) && busy.from < busy.until;
        if !sound || busy.people > people || busy.floor >= problem.floors.len() {
            let said = format!("{} people are busy for no such time or on no such floor", busy.people);
            bad(
                format!("crew.busy[{index}]"),
                said,
                "state a time after which it ends, and no more people than there are",
            );
        }
    }
}

fn check_machines(problem: &Problem, bad: &mut impl FnMut(String, String, &str)) {
    if problem.machines.len() > MOST_HANDS as usize {
        bad(
            "machines".into(),
            format!("{} machines are no crew's", problem.machines.len()),
            "state up to 50",
        );
    }
    for (index, machine) in problem.machines.iter().enumerate() {
        if !within(machine.moving) || machine.floor >= problem.floors.len() {
            let said = format!("{} stands on no floor or moves in no such time", machine.name);
            bad(format!("machines[{index}]"), said, "name one of the floors, and 0 or more minutes");
        }
        let twin = problem.machines[..index].iter().find(|other| other.kind == machine.kind);
        if let Some(twin) = twin.filter(|twin| twin.moving != machine.moving) {
            let said =
                format!("{} and {} are of one kind but move in different times", twin.name, machine.name);
            bad(format!("machines[{index}].moving"), said, "give them the same time, or two kinds");
        }
    }
}

fn check_rounds(b: usize, bay: &super::problem::BayRounds, bad: &mut impl FnMut(String, String, &str)) {
    for (r, round) in bay.rounds.iter().enumerate() {
        let at = format!("bays[{b}].rounds[{r}]");
        let name = format!("{} of bay {}", round.kind, bay.name);
        let window = round.window;
        if !(near(window.earliest) && near(window.latest) && window.earliest <= window.latest) {
            bad(
                format!("{at}.window"),
                format!("the window of {name} is none"),
                "it ends no earlier than it starts",
            );
        }
        if !within(round.gap) {
            bad(format!("{at}.gap"), format!("the gap before {name} is no time"), "state 0 or more minutes");
        }
        let sound = round.ways.iter().all(|way| {
            way.time > TimeSpan::ZERO && within(way.time) && way.people >= 1 && way.people <= MOST_HANDS
        });
        if !sound || round.ways.is_empty() {
            bad(
                format!("{at}.ways"),
                format!("{name} has no way to do it, or one in no time"),
                "state a positive time and at least one person",
            );
        }
        if r > 0 && bay.rounds[r - 1].kind >= round.kind {
            let said = format!("{name} comes after {}", bay.rounds[r - 1].kind);
            bad(at, said, "the order is bull float, edges, float, trowel 1, 2 ..., broom");
        }
    }
}
