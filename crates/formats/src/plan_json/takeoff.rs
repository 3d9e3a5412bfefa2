//! The take-off in a report of its own: lines, pieces in their places, cuts with their bounds.

use basis::{Length, Note};
use ground::P2;
use pour::Job;
use pour::takeoff::cut::Proof;
use pour::takeoff::{BarLayout, CutList, Line, SheetLayout, TakeOff};
use pour::unit::{Amount, Unit};
use serde_json::{Value, json};

use super::part::{Context, Part};
use super::units::list;
use super::{LAYOUT, assumed, note, titled};

/// A take-off as a report: every number in SI units with its unit, every field always there.
///
/// The same job, take-off and notes give the same text.
#[must_use]
pub fn takeoff_json(job: &Job, taken: &TakeOff, notes: &[Note]) -> Value {
    report().value(taken, &Context { job, notes })
}

/// The JSON Schema of the take-off's report (draft 2020-12).
#[must_use]
pub fn takeoff_schema() -> Value {
    titled(report().schema(), "Flatwright take-off report, layout 1")
}

fn report() -> Part<TakeOff> {
    Part::<TakeOff>::new(
        "What is bought for one floor. Places are metres in the job's plan, x right and y up.",
    )
    .any("report", "Layout of the report.", json!({ "const": LAYOUT }), |_, _| LAYOUT.into())
    .any("job", "Name of the job.", json!({ "type": "string" }), |_, c| c.job.name.clone().into())
    .list("assumed", "What the job does not say.", assumed(), |t| &t.assumed)
    .any("notes", "All notes.", list(&note().schema()), |_, c| {
        c.notes.iter().map(|n| note().value(n, c)).collect()
    })
    .list("lines", "Goods, line by line.", line(), |t| &t.lines)
    .maybe_part("mesh", "Mesh as it lies; null where there is none.", sheets(), |t| t.mesh.as_ref())
    .maybe_part("poly", "Poly as it lies; null where there is none.", sheets(), |t| t.poly.as_ref())
    .maybe_part("bars", "Bars as they lie; null where there are none.", bars(), |t| t.bars.as_ref())
    .list("cuts", "What is cut from stock lengths.", cuts(), |t| &t.cuts)
}

fn line() -> Part<Line> {
    Part::<Line>::new("One line of the take-off.")
        .text("item", "The goods, by their word in the rate book.", |l| l.item.to_owned())
        .text("what", "In words, with their size.", |l| l.what.clone())
        .any("takes", "What the floor takes, without laps and waste.", amount_schema(), |l, _| {
            amount(l.takes)
        })
        .any("bought", "What is bought.", amount_schema(), |l, _| amount(l.bought))
}

/// Units in which an amount may be told.
const AMOUNTS: [(&str, Unit); 6] = [
    ("pieces", Unit::Each),
    ("m", Unit::Metre),
    ("m2", Unit::SquareMetre),
    ("m3", Unit::CubicMetre),
    ("litres", Unit::Litre),
    ("kg", Unit::Kilogram),
];

fn amount(amount: Amount) -> Value {
    let told = |(name, unit): &(&str, Unit)| {
        let value = amount.hundredths(*unit).map(|hundredths| hundredths as f64 / 100.0);
        ((*name).to_owned(), value.map_or(Value::Null, Value::from))
    };
    Value::Object(AMOUNTS.iter().map(told).collect())
}

fn amount_schema() -> Value {
    let fields = AMOUNTS.map(|(name, _)| (name, json!({ "type": ["number", "null"] })));
    super::units::object("An amount in each unit that it has; null in the others.", &fields)
}

/// A sheet's piece where it lies.
struct Piece {
    mark: String,
    size: [Length; 2],
    corners: Vec<P2>,
}

fn piece() -> Part<Piece> {
    Part::<Piece>::new("A piece where it lies.")
        .text("mark", "The letter of its size.", |p| p.mark.clone())
        .quantities("size", "Width and length.", |p| &p.size)
        .points("corners", "Its corners.", |p| &p.corners)
}

fn sheets() -> Part<SheetLayout> {
    let pieces = |layout: &SheetLayout| -> Vec<Piece> {
        let pieces = layout.pieces.iter().map(|piece| {
            let kind = &layout.kinds[piece.kind];
            Piece { mark: kind.mark.clone(), size: kind.size, corners: piece.ring.to_vec() }
        });
        pieces.collect()
    };
    Part::<SheetLayout>::new("Sheets or rolls as they lie.")
        .text("what", "What they are, with their size.", |s| s.what.clone())
        .quantities("sheet", "Width and length of a sheet or roll.", |s| &s.sheet)
        .quantity("lap", "Lap of neighbours.", |s| s.lap)
        .any("pieces", "The pieces, row by row.", list(&piece().schema()), move |s, c| {
            pieces(s).iter().map(|p| piece().value(p, c)).collect()
        })
        .count("sheets", "Sheets bought.", |s| s.cuts.sheets.len())
        .count("bound", "No cutting takes fewer.", |s| s.cuts.bound)
        .any("least", "Whether fewer are proven impossible.", json!({ "type": "boolean" }), |s, _| {
            (s.cuts.proof == Proof::Least).into()
        })
}

/// A bar where it lies.
struct Placed {
    mark: String,
    ends: [P2; 2],
    way: usize,
    line: usize,
}

fn bar() -> Part<Placed> {
    Part::<Placed>::new("A bar where it lies.")
        .text("mark", "The letter of its length.", |b| b.mark.clone())
        .point("from", "One end.", |b| b.ends[0])
        .point("to", "The other end.", |b| b.ends[1])
        .count("way", "0 along the floor's longest side, 1 across it.", |b| b.way)
        .count("line", "Its line, from 0.", |b| b.line)
}

fn bars() -> Part<BarLayout> {
    let placed = |layout: &BarLayout| -> Vec<Placed> {
        let bars = layout.bars.iter().map(|bar| Placed {
            mark: layout.kinds[bar.kind].mark.clone(),
            ends: [bar.a, bar.b],
            way: bar.way,
            line: bar.line,
        });
        bars.collect()
    };
    Part::<BarLayout>::new("Bars as they lie.")
        .text("what", "What they are, with their spacing.", |b| b.what.clone())
        .quantity("lap", "Lap of bars in one line.", |b| b.lap)
        .any("bars", "The bars, line by line.", list(&bar().schema()), move |b, c| {
            placed(b).iter().map(|p| bar().value(p, c)).collect()
        })
}

/// A stock length as it is cut.
struct Stick {
    stock: Length,
    cuts: Vec<Length>,
    left: Length,
}

fn stick() -> Part<Stick> {
    Part::<Stick>::new("A stock length as it is cut.")
        .quantity("stock", "Its length.", |s| s.stock)
        .quantities("cuts", "What is cut from it.", |s| &s.cuts)
        .quantity("left", "What is left.", |s| s.left)
}

fn cuts() -> Part<CutList> {
    let sticks = |list: &CutList| -> Vec<Stick> {
        let long = |steps: u32| list.length(u64::from(steps));
        let sticks = list.plan.sticks.iter().map(|stick| Stick {
            stock: long(stick.stock),
            cuts: stick.cuts.iter().copied().map(long).collect(),
            left: long(stick.left),
        });
        sticks.collect()
    };
    Part::<CutList>::new("Pieces cut from stock lengths.")
        .text("item", "The goods, by their word in the rate book.", |l| l.item.to_owned())
        .text("what", "In words, with their size.", |l| l.what.clone())
        .quantity("bought", "Length bought.", |l| l.length(l.plan.bought))
        .quantity("bound", "No cutting takes less.", |l| l.length(l.plan.bound))
        .any("least", "Whether less is proven impossible.", json!({ "type": "boolean" }), |l, _| {
            (l.plan.proof == Proof::Least).into()
        })
        .any("sticks", "Stock length by stock length.", list(&stick().schema()), move |l, c| {
            sticks(l).iter().map(|s| stick().value(s, c)).collect()
        })
}
