//! The user's own rates. A rate that is left out is unknown, never nothing.

use basis::{AreaRate, Currency, Money, Place, Price, Share, Speed, TimeSpan, Volume, VolumeRate};

use crate::unit::Unit;

/// A price for one of a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rate {
    /// What one costs.
    pub money: Money,
    /// One of what.
    pub unit: Unit,
}

/// Everything the user charges by.
#[derive(Debug, Clone, PartialEq)]
pub struct RateBook {
    /// What the user calls it.
    pub name: String,
    /// Currency of every price in it.
    pub currency: Currency,
    /// How long a quote by it holds, if stated.
    pub valid: Option<TimeSpan>,
    /// Materials by item.
    pub materials: Vec<MaterialRate>,
    /// What the plant charges, where the job does not say it.
    pub plant: PlantRates,
    /// The people, by kind.
    pub people: Vec<Person>,
    /// How fast one person works.
    pub labour: LabourRates,
    /// Machines by use.
    pub machines: Vec<MachineRate>,
    /// Sums that every job carries: permit, washout, mobilising.
    pub other: Vec<OtherSum>,
    /// Overhead as a share of the direct cost.
    pub overhead: Option<Share>,
    /// What is earned.
    pub profit: Option<Profit>,
    /// Tax.
    pub tax: Option<Tax>,
    /// No job is done for less, before tax.
    pub minimum: Option<Money>,
    /// What the quote does not include, as the user wrote it.
    pub exclusions: Vec<String>,
    /// Terms, as the user wrote them.
    pub terms: Vec<String>,
}

/// What one unit of a material costs.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialRate {
    /// The item, as the take-off names it.
    pub item: String,
    /// Its price; absent while the user has none.
    pub rate: Option<Rate>,
    /// Where it stands in the book.
    pub place: Place,
}

/// What a plant charges.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlantRates {
    /// The mix.
    pub concrete: Option<Price<Volume>>,
    /// A smaller load is charged as this.
    pub minimum_load: Option<Volume>,
    /// Loads under this are short.
    pub short_load_below: Option<Volume>,
    /// Charge for a short load.
    pub short_load_fee: Option<Money>,
    /// Time on site beyond the free time.
    pub standby: Option<Price<TimeSpan>>,
    /// To be rid of what is left over.
    pub disposal: Option<Price<Volume>>,
    /// Extra on a Saturday.
    pub saturday: Option<Price<Volume>>,
    /// Extra on a Sunday.
    pub sunday: Option<Price<Volume>>,
    /// Fuel and the like for each load.
    pub fuel: Option<Money>,
    /// Extra for what is put into the mix.
    pub admixtures: Vec<Admixture>,
}

/// What the plant charges for something in the mix.
#[derive(Debug, Clone, PartialEq)]
pub struct Admixture {
    /// What.
    pub what: MixPart,
    /// Extra for it.
    pub rate: Option<Price<Volume>>,
    /// Where it stands in the book.
    pub place: Place,
}

/// What a mix may hold that plants charge for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum MixPart {
    /// Entrained air.
    Air,
    /// Calcium chloride.
    Chloride,
    /// Another accelerator.
    Accelerator,
    /// Retarder.
    Retarder,
}

/// The parts with their words.
pub const MIX_PARTS: [(MixPart, &str); 4] = [
    (MixPart::Air, "air"),
    (MixPart::Chloride, "chloride"),
    (MixPart::Accelerator, "accelerator"),
    (MixPart::Retarder, "retarder"),
];

/// People of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Person {
    /// What they are called: finisher, labourer.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Pay for an hour.
    pub wage: Option<Price<TimeSpan>>,
    /// What comes on top of the pay: payroll taxes, insurance, leave.
    pub burden: Option<Share>,
    /// Where it stands in the book.
    pub place: Place,
}

/// How fast one person works; absent rates fall back to published or customary ones, which are marked.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LabourRates {
    /// Fine grading.
    pub grade: Option<AreaRate>,
    /// Spreading stone, by compacted volume.
    pub stone: Option<VolumeRate>,
    /// Setting forms to grade.
    pub forms: Option<Speed>,
    /// Laying poly.
    pub sheet: Option<AreaRate>,
    /// Laying mesh or tying bars, by floor.
    pub steel: Option<AreaRate>,
    /// Float and broom.
    pub broom: Option<AreaRate>,
    /// Float finish.
    pub float: Option<AreaRate>,
    /// Steel trowel by machine.
    pub trowel: Option<AreaRate>,
    /// Hard trowel.
    pub hard_trowel: Option<AreaRate>,
    /// Marking and sawing joints.
    pub saw: Option<Speed>,
    /// Spraying a compound, laying a sheet or a blanket.
    pub cure: Option<AreaRate>,
    /// Stripping and cleaning forms.
    pub strip: Option<Speed>,
    /// How far hours stray from these rates, one standard deviation.
    pub doubt: Option<Share>,
}

/// A machine.
#[derive(Debug, Clone, PartialEq)]
pub struct MachineRate {
    /// What the crew calls it.
    pub name: String,
    /// On which work it is used.
    pub used: Use,
    /// What a day, or an hour of that work, costs.
    pub rate: Option<Rate>,
    /// Where it stands in the book.
    pub place: Place,
}

/// On which work a machine is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Use {
    /// Grading and stone.
    Base,
    /// Placing: the time of the pour.
    Placing,
    /// Floating and trowelling, when the finish takes a machine.
    Finishing,
    /// Sawing.
    Sawing,
    /// Any job, one day.
    Job,
}

/// The uses with their words.
pub const USES: [(Use, &str); 5] = [
    (Use::Base, "base"),
    (Use::Placing, "placing"),
    (Use::Finishing, "finishing"),
    (Use::Sawing, "sawing"),
    (Use::Job, "job"),
];

/// A sum that every job carries.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherSum {
    /// What for.
    pub name: String,
    /// How much.
    pub amount: Option<Money>,
    /// Where it stands in the book.
    pub place: Place,
}

/// How profit is reckoned. A margin of 20 % is a markup of 25 %.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Profit {
    /// As a share of the price, under 1.
    Margin(Share),
    /// As a share of the cost.
    Markup(Share),
}

/// Sales tax and the like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tax {
    /// How much.
    pub rate: Share,
    /// On what.
    pub on: TaxOn,
}

/// What tax is charged on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TaxOn {
    /// No tax.
    Nothing,
    /// On what the crew buys, concrete included: a cost like any other.
    Materials,
    /// On the whole price: the customer pays it on top.
    Price,
}

impl RateBook {
    /// A book with nothing in it but its currency.
    #[must_use]
    pub fn blank(name: &str, currency: Currency) -> Self {
        Self {
            name: name.to_owned(),
            currency,
            valid: None,
            materials: Vec::new(),
            plant: PlantRates::default(),
            people: Vec::new(),
            labour: LabourRates::default(),
            machines: Vec::new(),
            other: Vec::new(),
            overhead: None,
            profit: None,
            tax: None,
            minimum: None,
            exclusions: Vec::new(),
            terms: Vec::new(),
        }
    }
}
