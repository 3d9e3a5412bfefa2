//! Hours of people by operation: what there is to do over how fast one person does it.

use basis::{Area, AreaRate, Length, Place, Share, Speed, TimeSpan, Volume, VolumeRate};
use clock::finish::Finish;

use super::book::LabourRates;
use crate::job::Assumed;

/// What people are paid for on a floor, in the order of the job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Operation {
    /// Fine grading of the ground.
    Grade,
    /// Spreading and tamping stone.
    Stone,
    /// Setting forms to grade.
    Forms,
    /// Laying poly.
    Sheet,
    /// Laying mesh or bars on chairs.
    Steel,
    /// Placing and striking off.
    Place,
    /// Floating, trowelling, brooming; with a clock the waiting too.
    Finish,
    /// Marking and sawing joints.
    Saw,
    /// Curing.
    Cure,
    /// Stripping and cleaning forms.
    Strip,
}

impl Operation {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Grade => "fine grading",
            Self::Stone => "spreading stone",
            Self::Forms => "setting forms",
            Self::Sheet => "laying poly",
            Self::Steel => "laying steel",
            Self::Place => "placing and striking off",
            Self::Finish => "finishing",
            Self::Saw => "sawing joints",
            Self::Cure => "curing",
            Self::Strip => "stripping forms",
        }
    }
}

/// What there is to do on a floor, other than placing and finishing by the clock.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Work {
    /// Floor to grade, finish and cure.
    pub floor: Area,
    /// Stone to spread, compacted; nothing when it is not known or there is none.
    pub stone: Volume,
    /// Forms to set and strip.
    pub forms: Length,
    /// Poly to lay.
    pub sheet: Area,
    /// Floor with mesh or bars.
    pub steel: Area,
    /// Joints to saw.
    pub sawn: Length,
    /// Floor to cure.
    pub cured: Area,
}

/// One operation's hours of one person.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hours {
    /// What.
    pub operation: Operation,
    /// How long one person would take.
    pub time: TimeSpan,
}

/// From a yearly construction cost book's tables of slabs and of concrete finishing [@costbook-residential].
const COST_BOOK: &str = "residential cost book, hours for 1 ft2";
const PRACTICE: &str = "common practice, no source";

/// Fine grading by hand: 0.006 h/ft² [@costbook-residential].
pub const GRADE: AreaRate = AreaRate::square_feet_per_hour(1.0 / 0.006);
/// Crushed stone spread from piles by hand, 4 in. deep: 0.006 h/ft², 1.23 yd³ to 100 ft² [@costbook-residential].
pub const STONE: VolumeRate = VolumeRate::cubic_yards_per_hour(0.0123 / 0.006);
/// Setting forms to a string or laser: 20 ft/h; common practice, no source.
pub const FORMS: Speed = Speed::metres_per_second(Length::feet(20.0).in_metres() / 3600.0);
/// Laying poly: 0.001 h/ft² [@costbook-residential].
pub const SHEET: AreaRate = AreaRate::square_feet_per_hour(1.0 / 0.001);
/// Laying mesh on chairs: 250 ft²/h; common practice, no source.
pub const STEEL: AreaRate = AreaRate::square_feet_per_hour(250.0);
/// Broom finish: 0.012 h/ft² [@costbook-residential].
pub const BROOM: AreaRate = AreaRate::square_feet_per_hour(1.0 / 0.012);
/// Float finish: 0.010 h/ft² [@costbook-residential].
pub const FLOAT: AreaRate = AreaRate::square_feet_per_hour(1.0 / 0.010);
/// Steel trowel by machine: 0.015 h/ft² [@costbook-residential]; a college text has 0.010.
pub const TROWEL: AreaRate = AreaRate::square_feet_per_hour(1.0 / 0.015);
/// Steel trowel by hand, taken for the hard trowel too: 0.018 h/ft² [@costbook-residential].
pub const HARD_TROWEL: AreaRate = AreaRate::square_feet_per_hour(1.0 / 0.018);
/// Marking, cutting and cleaning joints: 60 ft/h; common practice, no source.
pub const SAW: Speed = Speed::metres_per_second(Length::feet(60.0).in_metres() / 3600.0);
/// Spraying a compound: 0.003 h/ft² [@costbook-residential].
pub const CURE: AreaRate = AreaRate::square_feet_per_hour(1.0 / 0.003);
/// Stripping and cleaning forms: 60 ft/h; common practice, no source.
pub const STRIP: Speed = Speed::metres_per_second(Length::feet(60.0).in_metres() / 3600.0);
/// How far hours stray from rates by the book, one standard deviation: 20 %; common practice, no source.
pub const DOUBT: Share = Share::percent(20.0);

/// Hours of one person for each operation that has something to do, by the book's rates or those of the tables, which are marked
/// as assumed.
///
/// ```
/// # use basis::Area; use pour::price::{LabourRates, Work, hours};
/// let work = Work { floor: Area::square_feet(500.0), ..Work::default() };
/// let hours = hours(&work, &LabourRates::default(), &mut Vec::new());
/// // Fine grading by the cost book: 0.006 h for each ft².
/// assert!((hours[0].time.in_hours() - 3.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn hours(work: &Work, rates: &LabourRates, assumed: &mut Vec<Assumed>) -> Vec<Hours> {
    use Operation::{Cure, Forms, Grade, Saw, Sheet, Steel, Stone, Strip};
    let mut taken = Taken { assumed };
    let mut all = Vec::new();
    let mut add = |operation, amount: f64, time: &mut dyn FnMut() -> TimeSpan| {
        if amount > 0.0 {
            all.push(Hours { operation, time: time() });
        }
    };
    let area = |a: Area| a.in_square_metres();
    add(Grade, area(work.floor), &mut || work.floor / taken.area("grade", rates.grade, GRADE, COST_BOOK));
    add(Stone, work.stone.in_cubic_metres(), &mut || work.stone / taken.stone(rates.stone));
    add(Forms, work.forms.in_metres(), &mut || run(work.forms, taken.speed("forms", rates.forms, FORMS)));
    add(Sheet, area(work.sheet), &mut || work.sheet / taken.area("sheet", rates.sheet, SHEET, COST_BOOK));
    add(Steel, area(work.steel), &mut || work.steel / taken.area("steel", rates.steel, STEEL, PRACTICE));
    add(Saw, work.sawn.in_metres(), &mut || run(work.sawn, taken.speed("saw", rates.saw, SAW)));
    add(Cure, area(work.cured), &mut || work.cured / taken.area("cure", rates.cure, CURE, COST_BOOK));
    add(Strip, work.forms.in_metres(), &mut || run(work.forms, taken.speed("strip", rates.strip, STRIP)));
    all
}

/// Hours of one person for a finish by the book's rates, where no clock tells them.
#[must_use]
pub fn finishing(floor: Area, finish: Finish, rates: &LabourRates, assumed: &mut Vec<Assumed>) -> TimeSpan {
    let (key, stated, default) = match finish {
        Finish::Broom => ("broom", rates.broom, BROOM),
        Finish::Float => ("float", rates.float, FLOAT),
        Finish::Trowel { .. } => ("trowel", rates.trowel, TROWEL),
        Finish::HardTrowel { .. } => ("hard_trowel", rates.hard_trowel, HARD_TROWEL),
    };
    floor / Taken { assumed }.area(key, stated, default, COST_BOOK)
}

/// How far hours stray, as stated or customary.
#[must_use]
pub fn doubt(rates: &LabourRates, assumed: &mut Vec<Assumed>) -> Share {
    rates.doubt.unwrap_or_else(|| {
        let said = basis::quantity::share(DOUBT);
        Taken { assumed }.note("doubt", said, PRACTICE);
        DOUBT
    })
}

fn run(length: Length, speed: Speed) -> TimeSpan {
    TimeSpan::seconds(length.in_metres() / speed.in_metres_per_second())
}

/// Rates as stated, or those that stand in for them.
struct Taken<'a> {
    assumed: &'a mut Vec<Assumed>,
}

impl Taken<'_> {
    fn note(&mut self, key: &str, value: String, source: &str) {
        self.assumed.push(Assumed {
            place: Place::at("labour").key(key),
            what: format!("how fast one person works: {}", key.replace('_', " ")),
            value,
            source: source.to_owned(),
        });
    }

    fn area(&mut self, key: &str, stated: Option<AreaRate>, default: AreaRate, source: &str) -> AreaRate {
        stated.unwrap_or_else(|| {
            self.note(key, format!("{:.0} ft2/h", default.in_square_feet_per_hour()), source);
            default
        })
    }

    fn speed(&mut self, key: &str, stated: Option<Speed>, default: Speed) -> Speed {
        stated.unwrap_or_else(|| {
            let feet = default.in_metres_per_second() * 3600.0 / Length::feet(1.0).in_metres();
            self.note(key, format!("{feet:.0} ft/h"), PRACTICE);
            default
        })
    }

    fn stone(&mut self, stated: Option<VolumeRate>) -> VolumeRate {
        stated.unwrap_or_else(|| {
            self.note("stone", format!("{:.2} yd3/h", STONE.in_cubic_yards_per_hour()), COST_BOOK);
            STONE
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A floor of 500 ft², 4 in. on 4 in. of stone, with 25 ft by 20 ft of forms and one joint each way.
    fn floor() -> Work {
        let area = Area::square_feet(500.0);
        Work {
            floor: area,
            stone: Volume::cubic_feet(500.0 / 3.0),
            forms: Length::feet(90.0),
            sheet: area,
            steel: area,
            sawn: Length::feet(45.0),
            cured: area,
        }
    }

    /// Rows of the cost book [@costbook-residential], in hours for one square foot: fine grading 0.006, stone of 4 in. 0.006, poly 0.001,
    /// curing 0.003; broom 0.012, float 0.010, machine trowel 0.015, hand trowel 0.018. Printed to a thousandth.
    #[test]
    fn default_rates_are_the_rows_of_the_cost_book() {
        let all = hours(&floor(), &LabourRates::default(), &mut Vec::new());
        let of = |operation| all.iter().find(|h| h.operation == operation).unwrap().time.in_hours() / 500.0;
        for (operation, row) in [
            (Operation::Grade, 0.006),
            (Operation::Stone, 0.006),
            (Operation::Sheet, 0.001),
            (Operation::Cure, 0.003),
        ] {
            assert!((of(operation) - row).abs() < 5e-4, "{operation:?} {}", of(operation));
        }
        for (finish, row) in [
            (Finish::Broom, 0.012),
            (Finish::Float, 0.010),
            (Finish::Trowel { rounds: 2 }, 0.015),
            (Finish::HardTrowel { rounds: 3 }, 0.018),
        ] {
            let area = Area::square_feet(1.0);
            let time = finishing(area, finish, &LabourRates::default(), &mut Vec::new());
            assert!((time.in_hours() - row).abs() < 5e-4, "{finish:?}");
        }
    }

    /// The same book's row for the whole slab of 4 in., from grading to curing, is 0.069 h/ft² and wants 500 ft² at least. The sum of
    /// ours with four people placing 10 yd³/h comes within a third of it: the rows have a tenth of rounding each, and
    /// four of ours are customs without a source.
    #[test]
    fn the_operations_add_up_to_the_row_of_the_whole_slab() {
        let mut assumed = Vec::new();
        let rates = LabourRates::default();
        let parts = hours(&floor(), &rates, &mut assumed);
        let placing = 4.0 * (500.0 / 81.0) / 10.0;
        let finish = finishing(Area::square_feet(500.0), Finish::Trowel { rounds: 2 }, &rates, &mut assumed);
        let sum = parts.iter().map(|h| h.time.in_hours()).sum::<f64>() + placing + finish.in_hours();
        let row = 0.069 * 500.0;
        assert!((sum / row - 1.0).abs() < 0.34, "{sum} against {row}");
        assert_eq!(assumed.len(), 9, "each rate that stands in is told");
    }

    /// What is stated is gone by and is not told as assumed; no work is no row.
    #[test]
    fn stated_rates_are_gone_by() {
        let rates = LabourRates { forms: Some(FORMS * 2.0), ..LabourRates::default() };
        let work = Work { forms: Length::feet(40.0), ..Work::default() };
        let mut assumed = Vec::new();
        let all = hours(&work, &rates, &mut assumed);
        assert_eq!(all.len(), 2);
        assert!((all[0].time.in_hours() - 1.0).abs() < 1e-12);
        assert_eq!(assumed.len(), 1, "stripping only");
    }
}
