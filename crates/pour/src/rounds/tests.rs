use basis::TimeSpan;
use rand::SeedableRng;
use rand::rngs::ChaCha12Rng;

use super::*;

fn minutes(m: f64) -> TimeSpan {
    TimeSpan::minutes(m)
}

fn day(people: u32, machines: usize, bays: Vec<Vec<Round>>) -> Problem {
    let bay =
        |(index, rounds): (usize, Vec<Round>)| BayRounds { name: format!("{}", index + 1), floor: 0, rounds };
    let machine = |index: usize| Machine {
        name: format!("machine {}", index + 1),
        kind: "walk-behind".to_owned(),
        floor: 0,
        moving: TimeSpan::ZERO,
    };
    Problem {
        floors: vec!["shop".to_owned()],
        travel: TimeSpan::ZERO,
        bays: bays.into_iter().enumerate().map(bay).collect(),
        crew: Hands { people, busy: Vec::new() },
        machines: (0..machines).map(machine).collect(),
    }
}

fn by_hand(kind: RoundKind, time: f64, earliest: f64, latest: f64) -> Round {
    simple_round(kind, None, time, earliest, latest)
}

fn by_machine(kind: RoundKind, time: f64, earliest: f64, latest: f64) -> Round {
    simple_round(kind, Some("walk-behind"), time, earliest, latest)
}

fn planned(problem: &Problem) -> RoundPlan {
    let report = plan_rounds(problem, &[], Budget::default());
    match report.value {
        Some(Answer::Plan(plan)) => {
            assert_eq!(check(problem, &plan), Vec::new());
            plan
        }
        other => panic!("no plan: {other:?} {:?}", report.notes),
    }
}

fn refused(problem: &Problem, menu: &[Offer<'_>]) -> Refusal {
    match plan_rounds(problem, menu, Budget::default()).value {
        Some(Answer::Refused(refusal)) => refusal,
        other => panic!("not refused: {other:?}"),
    }
}

#[test]
fn one_machine_takes_two_bays_one_after_the_other() {
    // Both may be floated from 100; 30 and 40 min of work on one machine end at 170. Two machines and two people: 140.
    let bays = || {
        vec![
            vec![by_machine(RoundKind::Float, 30.0, 100.0, 300.0)],
            vec![by_machine(RoundKind::Float, 40.0, 100.0, 300.0)],
        ]
    };
    let one = planned(&day(2, 1, bays()));
    assert_eq!((one.end, one.proof), (minutes(170.0), Proof::Proven));
    let two = planned(&day(2, 2, bays()));
    assert_eq!((two.end, two.proof), (minutes(140.0), Proof::Proven));
    // Two machines do not help one person.
    assert_eq!(planned(&day(1, 2, bays())).end, minutes(170.0));
}

#[test]
fn rounds_of_a_bay_keep_their_order_and_gap() {
    let mut rounds = vec![
        by_machine(RoundKind::Float, 20.0, 60.0, 200.0),
        by_machine(RoundKind::Trowel(1), 20.0, 60.0, 200.0),
        by_machine(RoundKind::Trowel(2), 20.0, 60.0, 200.0),
    ];
    rounds[1].gap = minutes(15.0);
    rounds[2].gap = minutes(30.0);
    // 60 + 20 + 15 + 20 + 30 + 20.
    let plan = planned(&day(1, 1, vec![rounds]));
    assert_eq!(plan.end, minutes(165.0));
    let ways: Vec<Direction> = plan.assignments.iter().map(|one| one.direction).collect();
    assert_eq!(ways, [Direction::Across, Direction::Along, Direction::Across]);
}

#[test]
fn a_second_pair_of_hands_trowels_by_hand_while_the_machine_is_busy() {
    let mut slow = by_machine(RoundKind::Trowel(1), 30.0, 100.0, 400.0);
    slow.ways.push(Way { tool: Tool::Hands, people: 1, time: minutes(50.0) });
    let quick = by_machine(RoundKind::Trowel(1), 45.0, 100.0, 400.0);
    // By machine alone 175; with bay 1 by hand beside it 150.
    let plan = planned(&day(2, 1, vec![vec![slow], vec![quick]]));
    assert_eq!(plan.end, minutes(150.0));
    assert_eq!(plan.assignments.iter().filter(|one| one.machine.is_none()).count(), 1);
}

#[test]
fn with_the_same_end_people_go_home_as_early_as_can_be() {
    // The last round ends at 200 whatever is done. The two floats need two people for 30 min or one for 60:
    // with one, the other is never on site.
    let bays = vec![
        vec![by_machine(RoundKind::Float, 30.0, 100.0, 300.0)],
        vec![
            by_machine(RoundKind::Float, 30.0, 100.0, 300.0),
            by_machine(RoundKind::Trowel(1), 20.0, 180.0, 300.0),
        ],
    ];
    let plan = planned(&day(2, 2, bays));
    assert_eq!(
        (plan.end, plan.people_time, plan.people_proof),
        (minutes(200.0), minutes(200.0), Proof::Proven)
    );
}

#[test]
fn those_who_place_cannot_finish() {
    let mut problem = day(
        2,
        2,
        vec![
            vec![by_hand(RoundKind::BullFloat, 10.0, 20.0, 100.0)],
            vec![by_hand(RoundKind::BullFloat, 10.0, 20.0, 100.0)],
        ],
    );
    assert_eq!(planned(&problem).end, minutes(30.0));
    problem.crew.busy.push(Busy { floor: 0, people: 1, from: minutes(0.0), until: minutes(60.0) });
    // One is left: 20 to 30, 30 to 40.
    let plan = planned(&problem);
    assert_eq!(plan.end, minutes(40.0));
    assert_eq!(plan.busy.len(), 1);
    assert!(plan.assignments.iter().all(|one| one.people != plan.busy[0]));
}

fn two_floors(people: u32) -> Problem {
    let mut problem = day(
        people,
        1,
        vec![
            vec![by_machine(RoundKind::Float, 30.0, 100.0, 300.0)],
            vec![by_machine(RoundKind::Float, 30.0, 110.0, 300.0)],
        ],
    );
    problem.floors.push("garage".to_owned());
    problem.travel = minutes(25.0);
    problem.machines[0].moving = minutes(15.0);
    problem.bays[1].floor = 1;
    problem
}

#[test]
fn the_road_between_two_floors_takes_its_time() {
    // The machine stands in the shop: 100 to 130, 15 to load and unload, 25 on the road, 170 to 200.
    let plan = planned(&two_floors(2));
    assert_eq!((plan.end, plan.proof), (minutes(200.0), Proof::Proven));
    // A second machine over there needs no road, and a second person neither: 110 to 140.
    let mut problem = two_floors(2);
    problem.machines.push(Machine { floor: 1, name: "other".to_owned(), ..problem.machines[0].clone() });
    assert_eq!(planned(&problem).end, minutes(140.0));
    // One person with both machines: 100 to 130, road, 155 to 185.
    problem.crew.people = 1;
    assert_eq!(planned(&problem).end, minutes(185.0));
}

#[test]
fn an_impossible_day_names_its_first_round_and_the_change_that_mends_it() {
    // Three bays may be floated from 100 to 160, 25 min each: one machine does two.
    let float = || vec![by_machine(RoundKind::Float, 25.0, 100.0, 160.0)];
    let mut problem = day(3, 1, vec![float(), float(), float()]);
    problem.bays[2].rounds[0].window.latest = minutes(165.0);
    let spread = |by: f64| {
        move |problem: &Problem| {
            let mut problem = problem.clone();
            for (index, bay) in problem.bays.iter_mut().enumerate() {
                for round in &mut bay.rounds {
                    round.window.earliest += minutes(by * index as f64);
                    round.window.latest += minutes(by * index as f64);
                }
            }
            Some(problem)
        }
    };
    let offer = |by: f64| Offer { change: Change::Spacing(minutes(by)), make: Box::new(spread(by)) };
    let machine = Machine { name: "rented".to_owned(), ..problem.machines[0].clone() };
    let menu = [
        more_people(1),
        one_more_machine(machine),
        offer(3.0),
        offer(6.0),
        offer(9.0),
        Offer { change: Change::Start(minutes(-60.0)), make: Box::new(|_| None) },
    ];
    let refusal = refused(&problem, &menu);
    let failed = &refusal.failed;
    assert_eq!((failed.bay, failed.kind, failed.cause), (2, RoundKind::Float, Cause::ShortOfMachines));
    assert_eq!((failed.planned_before, failed.first), (2, First::Shown));
    let outcome = |index: usize| &refusal.tried[index].outcome;
    assert_eq!(*outcome(0), Outcome::StillNone);
    // 100 to 125 and 125 to 150 on two machines.
    let Outcome::Mends(plan) = outcome(1) else { panic!("{refusal:?}") };
    assert_eq!(plan.end, minutes(150.0));
    // 75 min of work from 100 end at 175: bay 3, due at 165 + 2 x spacing, first fits with 5 min or more.
    assert_eq!(*outcome(2), Outcome::StillNone);
    let Outcome::Mends(plan) = outcome(3) else { panic!("{refusal:?}") };
    assert_eq!(plan.end, minutes(175.0));
    // The wider spacing is not tried: a smaller one mends the day. The start cannot be moved.
    assert_eq!(refusal.tried.len(), 5);
    assert_eq!(*outcome(4), Outcome::CannotBeMade);
    assert_eq!(refusal.mends().count(), 2);
}

#[test]
fn a_round_that_cannot_be_done_at_all_says_why() {
    let no_machine = day(2, 0, vec![vec![by_machine(RoundKind::Float, 25.0, 100.0, 160.0)]]);
    let failed = refused(&no_machine, &[]).failed;
    assert_eq!((failed.cause, failed.work), (Cause::NoWay, None));
    let short = day(2, 1, vec![vec![by_machine(RoundKind::Float, 70.0, 100.0, 160.0)]]);
    let failed = refused(&short, &[]).failed;
    assert_eq!((failed.cause, failed.work), (Cause::WindowTooShort, Some(minutes(70.0))));
    // A bay due before it has a plan, so the hopeless one is shown to be the first; two that clash before it are not hidden.
    let easy = || vec![by_machine(RoundKind::Float, 25.0, 10.0, 50.0)];
    let hopeless = || vec![by_machine(RoundKind::Float, 70.0, 100.0, 160.0)];
    let failed = refused(&day(2, 1, vec![easy(), hopeless()]), &[]).failed;
    assert_eq!((failed.bay, failed.planned_before, failed.first), (1, 1, First::Shown));
    let failed = refused(&day(2, 1, vec![easy(), hopeless(), easy()]), &[]).failed;
    assert_eq!((failed.bay, failed.cause, failed.first), (2, Cause::ShortOfMachines, First::Shown));
}

#[test]
fn a_first_failure_is_found_among_rounds_that_hide_it() {
    // One person, two bull floats that overlap in time; later rounds are easy.
    let bay = || {
        vec![by_hand(RoundKind::BullFloat, 10.0, 0.0, 15.0), by_hand(RoundKind::Edges, 10.0, 100.0, 300.0)]
    };
    let refusal = refused(&day(1, 0, vec![bay(), bay()]), &[more_people(1)]);
    assert_eq!((refusal.failed.kind, refusal.failed.cause), (RoundKind::BullFloat, Cause::ShortOfPeople));
    assert_eq!((refusal.failed.bay, refusal.failed.planned_before), (1, 1));
    assert_eq!(refusal.mends().count(), 1);
}

#[test]
fn all_faults_of_the_input_are_told_at_once() {
    let mut problem = day(0, 1, vec![vec![by_hand(RoundKind::Edges, 0.0, 100.0, 50.0)]]);
    problem.bays[0].floor = 3;
    problem.travel = minutes(f64::NAN);
    let report = plan_rounds(&problem, &[], Budget::default());
    assert!(report.value.is_none());
    let mut places: Vec<&str> = report.notes.iter().map(|note| note.place.path()).collect();
    places.sort_unstable();
    assert_eq!(
        places,
        ["bays[0].floor", "bays[0].rounds[0].ways", "bays[0].rounds[0].window", "crew.people", "travel"]
    );
}

#[test]
fn a_plan_that_fails_its_check_is_not_handed_out() {
    let problem = two_floors(2);
    let mut plan = planned(&problem);
    let mut notes = Vec::new();
    assert_eq!(verified(&problem, plan.clone(), Budget::default(), &mut notes), Answer::Plan(plan.clone()));
    assert!(notes.is_empty());
    plan.assignments[0].people = vec![7];
    let answer = verified(&problem, plan, Budget::default(), &mut notes);
    assert!(matches!(answer, Answer::Undecided { .. }), "{answer:?}");
    assert_eq!(notes[0].code, "rounds-plan-unsound");
}

#[test]
fn the_verifier_sees_what_is_wrong() {
    let problem = two_floors(2);
    let sound = planned(&problem);
    let spoil = |change: &dyn Fn(&mut RoundPlan)| {
        let mut plan = sound.clone();
        change(&mut plan);
        check(&problem, &plan)
    };
    let late = spoil(&|plan| {
        plan.assignments[1].start = minutes(160.0);
        plan.assignments[1].end = minutes(190.0);
        plan.end = minutes(190.0);
    });
    assert_eq!(late, [Fault::MachineTorn(0, minutes(160.0))]);
    let early = spoil(&|plan| plan.assignments[0].start = minutes(99.0));
    assert_eq!(early, [Fault::OutsideWindow((0, 0))]);
    let hasty = spoil(&|plan| plan.assignments[0].start = minutes(101.0));
    assert_eq!(hasty, [Fault::NoSuchWay((0, 0))]);
    assert_eq!(spoil(&|plan| plan.assignments[0].people = vec![7]), [Fault::NoSuchPerson(7)]);
    assert_eq!(spoil(&|plan| plan.assignments.truncate(1)), [Fault::Count((1, 0), 0)]);
    assert_eq!(spoil(&|plan| plan.end = minutes(201.0)), [Fault::WrongEnd(minutes(200.0))]);
    assert_eq!(spoil(&|plan| plan.people_time = minutes(10.0)).len(), 1);
    assert_eq!(spoil(&|plan| plan.assignments[0].direction = Direction::Around), [Fault::NotCrossed((0, 0))]);
}

fn size(seed: u64) -> Size {
    let pick = |n: u64, from: u64| (seed / n % 3 + from) as u32;
    Size {
        bays: (4 + 2 * (seed % 2)) as usize,
        rounds: pick(2, 3),
        people: pick(1, 2),
        machines: 1 + (seed / 3 % 2) as usize,
        floors: 1 + (seed / 2 % 2) as usize,
        ease: 1.3,
        by_hand: (seed / 5 % 3) as u32,
    }
}

fn least(problem: &Problem) -> Option<(TimeSpan, Proof)> {
    match plan_rounds(problem, &[], Budget { steps: 4_000, people_steps: 200 }).value {
        Some(Answer::Plan(plan)) => {
            assert_eq!(check(problem, &plan), Vec::new());
            Some((plan.end, plan.proof))
        }
        Some(_) => None,
        None => panic!("refused"),
    }
}

#[test]
fn random_days_are_sound_and_more_hands_or_wider_windows_never_end_later() {
    let (mut compared, mut plans) = (0, 0);
    for seed in 0..24 {
        let problem = example_day(&size(seed), &mut ChaCha12Rng::seed_from_u64(seed));
        let Some((end, proof)) = least(&problem) else { continue };
        plans += 1;
        assert_eq!(least(&problem), Some((end, proof)), "seed {seed}: twice the same");
        let mut people = problem.clone();
        people.crew.people += 1;
        let mut machine = problem.clone();
        machine.machines.push(Machine { name: "more".to_owned(), ..machine.machines[0].clone() });
        let mut wide = problem.clone();
        for round in wide.bays.iter_mut().flat_map(|bay| &mut bay.rounds) {
            round.window.earliest -= minutes(5.0);
            round.window.latest += minutes(20.0);
        }
        for eased in [people, machine, wide] {
            // Only a proven end says that nothing earlier is possible.
            if let Some((eased, Proof::Proven)) = least(&eased) {
                compared += 1;
                assert!(eased <= end, "seed {seed}: {eased:?} after {end:?}");
            }
        }
    }
    assert!(plans >= 12 && compared >= 30, "{plans} plans, {compared} compared");
}

#[test]
fn directions_cross_from_round_to_round_with_edges_apart() {
    use RoundKind::{BullFloat, Edges, Float, Trowel};
    let all = directions(&[BullFloat, Edges, Float, Trowel(1), Trowel(2)]);
    use Direction::{Across, Along, Around};
    assert_eq!(all, [Across, Around, Along, Across, Along]);
}

#[test]
fn the_customary_rates_are_those_of_their_source() {
    // From memory: a 36 in walk-behind covers 1,000 to 2,500 ft²/h in one pass.
    let rates = default_rates("36 in");
    let coverage = rates.machines[0].coverage;
    let an_hour = coverage.area.in_square_feet() / coverage.per.in_hours();
    assert!((1_000.0..=2_500.0).contains(&an_hour), "{an_hour}");
    let mut two = rates;
    two.by_hand = Some(Coverage { area: basis::Area::square_feet(200.0), per: TimeSpan::hours(1.0) });
    two.together = 2;
    let area = basis::Area::square_feet(400.0);
    let ways = ways(RoundKind::Trowel(1), area, basis::Length::feet(80.0), &two);
    let times: Vec<f64> = ways.iter().map(|way| way.time.in_minutes().round()).collect();
    // 400/1750 h, 400/200 h alone, half of that for two.
    assert_eq!(times, [14.0, 120.0, 60.0]);
}
