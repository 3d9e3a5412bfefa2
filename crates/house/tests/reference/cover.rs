//! Mesh, poly and bars on the floors of the demonstration and on floors with random corners against shapely.

use basis::Length;
use formats::read_job;
use ground::P2;
use house::{python, tree};
use pour::Job;
use pour::job::{ReinforcementKind, Sheet};
use pour::plan::{Plan, plan};
use pour::takeoff::{TakeOff, TakeOffInput, takeoff};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};

fn demo(name: &str) -> Job {
    let folder = tree::root().join("demo");
    let file = |named: &str| Ok(tree::text(&folder.join(named)).into_bytes());
    let report = read_job(&tree::text(&folder.join(name)), name, &file).report;
    report.value.unwrap_or_else(|| panic!("{name}: {:?}", report.notes))
}

/// The demonstration's floors, and the patio with its corners moved at random.
fn floors() -> Vec<(Job, Plan)> {
    let mut jobs = vec![demo("boat-shed.toml"), demo("bakery-yard.toml"), demo("patio.toml")];
    let mut rng = ChaCha12Rng::seed_from_u64(43);
    for _ in 0..5 {
        let mut job = demo("patio.toml");
        for corner in &mut job.outline.corners {
            corner.at = corner.at + P2::new(rng.random_range(-0.4..0.4), rng.random_range(-0.4..0.4));
        }
        jobs.push(job);
    }
    let planned = jobs.into_iter().map(|mut job| {
        job.weather = None;
        let report = plan(&job, 1);
        let plan = report.value.unwrap_or_else(|| panic!("{:?}", report.notes));
        (job, plan)
    });
    planned.collect()
}

fn taken(job: &Job, plan: &Plan) -> TakeOff {
    let report = takeoff(&TakeOffInput { job, plan });
    report.value.unwrap_or_else(|| panic!("{:?}", report.notes))
}

fn ring(points: &[P2]) -> Value {
    points.iter().map(|p| json!([p.x, p.y])).collect()
}

fn case(plan: &Plan, inset: f64, pieces: &[Vec<P2>], bars: &[[P2; 2]]) -> Value {
    json!({
        "boundary": ring(plan.floor.boundary.corners()),
        "holes": plan.floor.holes.iter().map(|hole| ring(hole.corners())).collect::<Vec<_>>(),
        "inset": inset,
        "pieces": pieces.iter().map(|piece| ring(piece)).collect::<Vec<_>>(),
        "bars": bars.iter().map(|bar| ring(bar)).collect::<Vec<_>>(),
    })
}

/// Mesh of a size on a floor, poly under it, and bars of a spacing.
fn cases(job: &Job, plan: &Plan, size: [f64; 2]) -> [Value; 3] {
    let mut job = job.clone();
    job.bed.sheet = Some(Sheet::UnderSlab);
    job.reinforcement.kind = ReinforcementKind::Mesh;
    let cover = Length::millimetres(60.0);
    job.reinforcement.cover = Some(cover);
    job.reinforcement.lap = Some(Length::millimetres(150.0));
    job.reinforcement.width = Some(Length::metres(size[0]));
    job.reinforcement.length = Some(Length::metres(size[1]));
    let mesh = taken(&job, plan);
    let pieces = |layout: Option<&pour::takeoff::SheetLayout>| -> Vec<Vec<P2>> {
        layout.into_iter().flat_map(|l| &l.pieces).map(|piece| piece.ring.to_vec()).collect()
    };
    job.reinforcement.kind = ReinforcementKind::Bars;
    job.reinforcement.spacing = Some(Length::metres(0.4));
    job.supplies.bars = vec![Length::metres(size[1])];
    let bars = taken(&job, plan);
    let bars: Vec<[P2; 2]> = bars.bars.iter().flat_map(|l| &l.bars).map(|bar| [bar.a, bar.b]).collect();
    [
        case(plan, cover.in_metres(), &pieces(mesh.mesh.as_ref()), &[]),
        case(plan, -job.slab.nominal.in_metres(), &pieces(mesh.poly.as_ref()), &[]),
        case(plan, cover.in_metres(), &[], &bars),
    ]
}

/// Nothing of the floor is left bare: corners are f64 of some tens of metres, and shapely's arcs at inner corners are chords 5e-6 m
/// off, so less than 1e-5 m² is rounding. No bar leaves the floor or comes nearer to an edge than its cover.
#[test]
fn sheets_cover_the_floor_and_bars_keep_off_its_edge() {
    let floors = floors();
    let sizes = [[1.5, 3.0], [2.4, 4.8], [1.2, 30.0]];
    let question: Vec<Value> =
        floors.iter().flat_map(|(job, plan)| sizes.iter().flat_map(|size| cases(job, plan, *size))).collect();
    let answer = python::ask("cover", &Value::Array(question));
    let answers = answer.as_array().unwrap_or_else(|| panic!("no list in {answer}"));
    assert_eq!(answers.len(), floors.len() * sizes.len() * 3);
    for three in answers.chunks_exact(3) {
        for sheets in &three[..2] {
            assert!(python::number(sheets, "bare") < 1e-5, "{sheets}");
            assert!(python::number(sheets, "laid") >= python::number(sheets, "wanted") - 1e-5, "{sheets}");
        }
        assert!(python::number(&three[2], "nearest") >= 0.06 - 1e-5, "{}", three[2]);
        assert!(python::number(&three[2], "outside") < 1e-9, "{}", three[2]);
    }
}
