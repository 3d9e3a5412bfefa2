//! The take-off: what is bought for a floor, how it is cut and where it lies.
//!
//! Method, sources and limits: `docs/methods/takeoff.md`.

mod bars;
mod boards;
mod check;
pub mod cut;
mod layout;
mod liquids;
pub mod nest;
mod rows;
mod settle;
mod sheets;
pub mod steel;
mod steel_lines;

use basis::quantity::size;
use basis::{Area, Cover, Density, Length, Mass, Note, Place, Report, UnitSystem, Volume, has_fault};

pub use boards::board_for;
pub use layout::{BarKind, BarLayout, LaidBar, LaidPiece, PieceKind, SheetLayout};

use crate::job::{Assumed, Job};
use crate::joints::Frame;
use crate::plan::Plan;
use crate::unit::{Amount, Goods};
use cut::{CutInput, CutPlan, CutTrouble, NODES, Piece};
use settle::Settler;

/// Floor that a gallon of curing compound covers, two coats together: 200 ft² [@cure-cover].
pub const COVER: Cover = Cover::square_feet_per_gallon(200.0);

/// Mass of loose stone: base course on the truck, 2,950 lb/yd³ [@wsdot-620].
pub const LOOSE_STONE: Density = Density::pounds_per_cubic_yard(2950.0);

/// Shorter bars are left out: 1 ft (common practice, no source).
pub const LEAST_BAR: Length = Length::feet(1.0);

/// A bar across an inner corner that no joint meets is so long, and there are two: from memory.
pub const CORNER_BAR: Length = Length::feet(4.0);

/// The items that are told, in the order of the page: the words by which a rate book prices them.
pub const ITEMS: [&str; 13] = [
    "stone",
    "poly",
    "mesh",
    "bar",
    "chair",
    "form board",
    "stake",
    "isolation strip",
    "dowel",
    "fiber",
    "curing compound",
    "sealer",
    "saw blade",
];

/// What is taken off.
#[derive(Debug, Clone, Copy)]
pub struct TakeOffInput<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its plan.
    pub plan: &'a Plan,
}

/// What is bought.
#[derive(Debug, Clone, PartialEq)]
pub struct TakeOff {
    /// Line by line, in the order of [`ITEMS`].
    pub lines: Vec<Line>,
    /// Mesh as it lies.
    pub mesh: Option<SheetLayout>,
    /// Poly as it lies.
    pub poly: Option<SheetLayout>,
    /// Bars as they lie.
    pub bars: Option<BarLayout>,
    /// What is cut from stock lengths.
    pub cuts: Vec<CutList>,
    /// Values that the job does not state.
    pub assumed: Vec<Assumed>,
}

/// One line of the take-off.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// One of [`ITEMS`].
    pub item: &'static str,
    /// In words, with its size.
    pub what: String,
    /// What the floor takes of it, without laps and waste.
    pub takes: Amount,
    /// What is bought.
    pub bought: Amount,
}

/// Pieces cut from stock lengths.
#[derive(Debug, Clone, PartialEq)]
pub struct CutList {
    /// One of [`ITEMS`].
    pub item: &'static str,
    /// In words, with its size.
    pub what: String,
    /// The step of the tape in which `plan` counts.
    pub step: Length,
    /// Letters for lengths in steps, the longest first.
    pub marks: Vec<(String, u32)>,
    /// The cutting.
    pub plan: CutPlan,
}

impl CutList {
    /// A number of steps as a length.
    #[must_use]
    pub fn length(&self, steps: u64) -> Length {
        self.step * steps as f64
    }
}

/// Takes off what a planned floor needs.
///
/// Refused when a length that the job states cannot be laid or cut, a lap is more than half of what it laps, or a size would make
/// thousands of pieces. Where the steel finds no room the notes say so.
#[must_use]
pub fn takeoff(input: &TakeOffInput<'_>) -> Report<TakeOff> {
    let mut notes = Vec::new();
    check::lengths(input.job, &mut notes);
    if has_fault(&notes) {
        return Report::refused(notes);
    }
    let mut taker = Taker {
        input,
        settler: Settler::new(input.job.units),
        frame: Frame::of(&input.plan.floor),
        notes,
        lines: Vec::new(),
        cuts: Vec::new(),
    };
    taker.stone();
    let poly = taker.poly();
    let mesh = taker.mesh();
    let bars = taker.bars();
    taker.forms();
    taker.strips_and_dowels();
    taker.in_the_mix();
    taker.on_top();
    let Taker { settler, notes, mut lines, cuts, .. } = taker;
    if has_fault(&notes) {
        return Report::refused(notes);
    }
    lines.sort_by_key(|line| ITEMS.iter().position(|item| *item == line.item));
    Report::with(TakeOff { lines, mesh, poly, bars, cuts, assumed: settler.assumed }, notes)
}

/// The take-off while it is made.
struct Taker<'a> {
    input: &'a TakeOffInput<'a>,
    settler: Settler,
    frame: Frame,
    notes: Vec<Note>,
    lines: Vec<Line>,
    cuts: Vec<CutList>,
}

impl Taker<'_> {
    fn area(&self) -> Area {
        Area::square_metres(self.input.plan.floor.area)
    }

    fn units(&self) -> UnitSystem {
        self.input.job.units
    }

    fn told(&self, long: Length) -> String {
        size(long, self.units())
    }

    fn is_us(&self) -> bool {
        self.units() == UnitSystem::Us
    }

    fn add(&mut self, item: usize, what: String, takes: Amount, bought: Amount) {
        self.lines.push(Line { item: ITEMS[item], what, takes, bought });
    }

    /// The step to which mesh, poly and bars are cut: an inch or a centimetre.
    fn step(&self) -> Length {
        if self.is_us() { Length::inches(1.0) } else { Length::centimetres(1.0) }
    }

    fn trouble(&mut self, key: &str, what: &str, trouble: CutTrouble) {
        let message = format!("{what} cannot be cut: {trouble}");
        self.notes.push(Note::fault(
            "cannot-be-cut",
            Place::at(key),
            message,
            "check sizes and stock lengths",
        ));
    }

    fn stone(&mut self) {
        let job = self.input.job;
        let compacted = job.bed.stone.map_or(Volume::ZERO, |depth| self.area() * depth);
        if compacted <= Volume::ZERO {
            return;
        }
        let loose = job.base.loose_per_compacted;
        if loose.is_none() {
            self.notes.push(Note::warning(
                "stone-as-compacted",
                Place::at("base.bulking"),
                "how much stone shrinks under the plate is not stated: it is taken off as compacted, which is too little",
                "state the bulking",
            ));
        }
        let volume = compacted * loose.unwrap_or(1.0);
        let mass = loose.map(|_| mass(volume, self.settler.stone_weight(job)));
        let what = if loose.is_some() { "stone, loose" } else { "stone, as compacted" };
        let bought = Amount::Goods(Goods { volume: Some(volume), mass, ..Goods::default() });
        self.add(0, what.to_owned(), Amount::Volume(compacted), bought);
    }

    fn if_no_room(&mut self, is_empty: bool) {
        if is_empty {
            self.notes.push(Note::warning(
                "no-room-for-steel",
                Place::at("reinforcement.cover"),
                "the floor is thinner than twice the cover: no steel has room in it",
                "check the cover, or leave the steel out",
            ));
        }
    }

    fn chairs(&mut self, apart: Length) {
        let count =
            Amount::Count(whole((self.area() / (apart * apart) - 1e-9).ceil().clamp(0.0, 1e9) as usize));
        let what = format!("chairs, one for {} each way", self.told(apart));
        self.add(4, what, count, count);
    }

    /// Cuts pieces from stock lengths in steps of a tape.
    fn cut(
        &mut self,
        (item, key): (usize, &str),
        what: &str,
        (pieces, stock, kerf): (&[Length], &[Length], Length),
        step: Length,
    ) -> Option<CutList> {
        let steps: Vec<Piece> = pieces
            .iter()
            .map(|piece| Piece { length: layout::steps_up(piece.in_metres(), step), count: 1 })
            .collect();
        let stock: Vec<u32> = stock.iter().map(|length| layout::steps_down(*length, step)).collect();
        let kerf = layout::steps_up(kerf.in_metres(), step);
        match cut::cut(&CutInput { pieces: &steps, stock: &stock, kerf, nodes: NODES }) {
            Ok(plan) => {
                let mut lengths: Vec<u32> = steps.iter().map(|piece| piece.length).collect();
                lengths.sort_unstable_by(|a, b| b.cmp(a));
                lengths.dedup();
                let marks =
                    lengths.into_iter().enumerate().map(|(i, length)| (layout::mark(i), length)).collect();
                Some(CutList { item: ITEMS[item], what: what.to_owned(), step, marks, plan })
            }
            Err(trouble) => {
                self.trouble(key, what, trouble);
                None
            }
        }
    }
}

/// A count as goods are counted.
fn whole(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

fn mass(volume: Volume, density: Density) -> Mass {
    Mass::kilograms(volume.in_cubic_metres() * density.in_kilograms_per_cubic_metre())
}

#[cfg(test)]
mod tests;
