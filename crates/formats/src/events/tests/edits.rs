//! Edits keep remarks and layout, and find their rows.

use super::*;

fn after(change: impl Fn(&State) -> Change) -> (String, State) {
    let first = fold(&[new_job(SMALL)]);
    let state = fold(&[new_job(SMALL), event(2, 2, "Ben", change(&first))]);
    assert_eq!((state.conflicts.len(), &state.faults[..]), (0, &[][..]));
    // What is written is what is addressed.
    let again = fold(&[new_job(&state.text)]);
    assert_eq!(again.text, state.text);
    (state.text.clone(), state)
}

#[test]
fn a_value_is_changed_and_all_else_stays() {
    let (text, _) = after(|state| set(state, "slab.nominal", Some("\"5 in\"")));
    assert_eq!(text, SMALL.replace("\"4 in\"", "\"5 in\""));
    let (text, _) = after(|state| set(state, "corner[0].at[1]", Some("\"6 in\"")));
    assert_eq!(text, SMALL.replace("\"0 ft\"] # the nail", "\"6 in\"] # the nail"));
    let (text, _) = after(|state| set(state, "setup[0].shots[1].reading", Some("\"4 ft 8 in\"")));
    assert_eq!(text, SMALL.replace("4 ft 8 5/8 in", "4 ft 8 in"));
    let (text, _) = after(|state| set(state, "setup[0].backsight.on", Some("\"oak\"")));
    assert_eq!(text, SMALL.replace("\"sill\"", "\"oak\""));
}

#[test]
fn the_last_part_of_a_row_of_shots_comes_and_goes() {
    let (text, state) = after(|state| {
        let row = at(state, "setup[0].shots[2]");
        Change::Set { at: row.key("on").unwrap(), was: None, to: Some("\"form\"".into()) }
    });
    assert_eq!(text, SMALL.replace("\"4 ft 11 in\"]", "\"4 ft 11 in\", \"form\"]"));
    let gone = event(3, 3, "Ben", set(&state, "setup[0].shots[2].on", None));
    let change = Change::Set {
        at: at(&state, "setup[0].shots[2]").key("on").unwrap(),
        was: None,
        to: Some("\"form\"".into()),
    };
    assert_eq!(fold(&[new_job(SMALL), event(2, 2, "Ben", change), gone]).text, SMALL);
}

#[test]
fn rows_are_added_where_they_belong() {
    let (text, _) = after(|state| Change::Add {
        list: at(state, "setup[0].shots"),
        after: After::End,
        row: r#"["4", "1 ft", "1 ft", "4 ft 11 1/2 in"]"#.into(),
    });
    let shot = "  [\"4\", \"1 ft\", \"1 ft\", \"4 ft 11 1/2 in\"],\n]";
    assert_eq!(text, SMALL.replace("4 ft 11 in\"],\n]", &format!("4 ft 11 in\"],\n{shot}")));
    let (text, _) = after(|state| Change::Add {
        list: "corner".parse().unwrap(),
        after: After::Row(at(state, "corner[0]").as_row().unwrap().1),
        row: r#"{ name = "M", at = ["7 ft", "0 ft"] }"#.into(),
    });
    assert_eq!(
        text,
        SMALL.replace("# the nail\n", "# the nail\n\n[[corner]]\nname = \"M\"\nat = [\"7 ft\", \"0 ft\"]\n")
    );
    let (text, _) = after(|_| Change::Add {
        list: "corner".parse().unwrap(),
        after: After::Start,
        row: r#"{ name = "Z" }"#.into(),
    });
    assert!(text.find("\"Z\"").unwrap() < text.find("\"A\"").unwrap(), "{text}");
    let (text, _) = after(|_| add("door", r#"{ name = "gate", edge = ["A", "B"], width = "9 ft" }"#));
    assert!(text.ends_with("[[door]]\nname = \"gate\"\nedge = [\"A\", \"B\"]\nwidth = \"9 ft\"\n"), "{text}");
}

#[test]
fn what_is_taken_away_leaves_its_remarks_to_the_next() {
    let (text, _) = after(|state| set(state, "setup[0].shots[1]", None));
    assert_eq!(text, SMALL.replace("  [\"2\", \"12 ft\", \"10 ft\", \"4 ft 8 5/8 in\"],\n", ""));
    let (text, _) = after(|state| set(state, "corner[0]", None));
    assert_eq!(text, SMALL.replace("[[corner]]\nname = \"A\"\nat = [\"0 ft\", \"0 ft\"] # the nail\n", ""));
    let (text, _) = after(|state| set(state, "slab.nominal", None));
    assert_eq!(text, SMALL.replace("nominal = \"4 in\" # as drawn\n", ""));
}

#[test]
fn sections_that_are_missing_are_made() {
    let new = |at: &str, to: &str| {
        let (at, to) = (at.parse().unwrap(), Some(to.to_owned()));
        after(move |_| Change::Set { at: Address::clone(&at), was: None, to: to.clone() }).0
    };
    assert!(new("crew.people", "4").ends_with("[crew]\npeople = 4\n"));
    assert!(new("crew.carry.by", "\"barrow\"").ends_with("[crew]\ncarry = { by = \"barrow\" }\n"));
    assert!(new("base", "{ kind = \"stone\" }").ends_with("[base]\nkind = \"stone\"\n"));
    assert!(new("door", "[{ name = \"x\" }]").ends_with("[[door]]\nname = \"x\"\n"));
}

#[test]
fn the_boat_shed_is_edited_and_read() {
    let first = fold(&[new_job(BOAT_SHED)]);
    assert_eq!(first.text, BOAT_SHED);
    let shots = at(&first, "setup[1].shots");
    let events = [
        new_job(BOAT_SHED),
        event(2, 2, "Ben", set(&first, "slab.nominal", Some("\"4 1/2 in\""))),
        event(
            3,
            2,
            "Cy",
            Change::Add {
                list: shots,
                after: After::End,
                row: r#"["c12", "9 ft", "24 ft", "4 ft 11 3/8 in"]"#.into(),
            },
        ),
        event(4, 3, "Ben", set(&first, "day.first_truck", Some("2026-06-15T06:30:00"))),
    ];
    let state = fold(&events);
    let parsed = state.read("boat-shed.toml");
    assert_eq!(parsed.report.notes, Vec::new());
    let job = parsed.report.value.unwrap();
    assert_eq!(job.slab.nominal, basis::Length::inches(4.5));
    assert_eq!(job.survey.setups[1].shots.last().unwrap().name, "c12");
    assert_eq!(job.day.first_truck, Some("2026-06-15T06:30:00".parse().unwrap()));
    assert!(state.text.contains("# Forms: corners, jambs, and the middle of the long sides."));
}
