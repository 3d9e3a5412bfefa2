//! Every table and key of the rate book, layout 1.

use super::spec::Bound::{NotNegative, Positive};
use super::spec::Kind::{Choice, Count, Quantity, Table, Tables, Text, Texts, Version};
use super::spec::Measure::{
    AreaRate, Money, PricePerAnything, PricePerTime, PricePerVolume, Share, Speed, TimeSpan, Volume,
    VolumeRate,
};
use super::spec::{TableSpec, may, need};

/// The whole book.
pub(crate) static RATE_BOOK: TableSpec = TableSpec {
    called: "rate book",
    doc: "What the user pays and charges; a rate that is left out, or is \"\", is blank.",
    keys: &[
        need("rate_book", Version, "Number of the book's layout; this one is 1."),
        need("book", Table(&BOOK), "What the book is called, and its currency."),
        may("material", Tables(&MATERIAL), "What materials cost, by item of the take-off."),
        may("plant", Table(&PLANT), "What the plant charges, where the job file does not say it."),
        may("person", Tables(&PERSON), "The people, by kind."),
        may(
            "labour",
            Table(&LABOUR),
            "How fast one person works; what is left out is taken from tables and marked.",
        ),
        may("machine", Tables(&MACHINE), "Machines, by the work on which they are used."),
        may("other", Tables(&OTHER), "Sums that every job carries."),
        may("price", Table(&PRICE), "Overhead, profit and the least for any job."),
        may("tax", Table(&TAX), "Sales tax or the like."),
        may("quote", Table(&QUOTE), "What a quote says beside the price, in your own words."),
    ],
};

static BOOK: TableSpec = TableSpec {
    called: "book",
    doc: "What the book is called, and its currency.",
    keys: &[
        need("name", Text, "What you call it."),
        need("currency", Text, "Three letters of ISO 4217; every price is in it."),
        may("valid", Quantity(TimeSpan, Positive), "How long a quote by this book holds."),
    ],
};

static MATERIAL: TableSpec = TableSpec {
    called: "material",
    doc: "What one unit of a material costs.",
    keys: &[
        need("item", Text, "The item, as the price page and the take-off name it."),
        may(
            "price",
            Quantity(PricePerAnything, NotNegative),
            "Price of one unit of it: by the piece, yd3, ton, ft2, ft, gal and the like.",
        ),
    ],
};

static PLANT: TableSpec = TableSpec {
    called: "plant's charges",
    doc: "What the plant charges, where the job file does not say it.",
    keys: &[
        may("price", Quantity(PricePerVolume, NotNegative), "The mix."),
        may("minimum_load", Quantity(Volume, NotNegative), "A smaller load is charged as this."),
        may("short_load_below", Quantity(Volume, NotNegative), "Loads under this are short."),
        may("short_load_fee", Quantity(Money, NotNegative), "Charge for a short load."),
        may("standby", Quantity(PricePerTime, NotNegative), "Time on site beyond the free time."),
        may("disposal", Quantity(PricePerVolume, NotNegative), "To be rid of what is left over."),
        may("saturday", Quantity(PricePerVolume, NotNegative), "Extra on a Saturday."),
        may("sunday", Quantity(PricePerVolume, NotNegative), "Extra on a Sunday."),
        may("fuel", Quantity(Money, NotNegative), "Fuel and the like, each load."),
        may("admixture", Tables(&ADMIXTURE), "Extra for what is put into the mix."),
    ],
};

static ADMIXTURE: TableSpec = TableSpec {
    called: "admixture",
    doc: "Extra for what is put into the mix; 0 when the price of the mix holds it.",
    keys: &[
        need("what", Choice(&["air", "chloride", "accelerator", "retarder"]), "What."),
        may("price", Quantity(PricePerVolume, NotNegative), "Extra for it."),
    ],
};

static PERSON: TableSpec = TableSpec {
    called: "person",
    doc: "People of one kind. Hours are paid at the mean of all.",
    keys: &[
        need("name", Text, "What they are called."),
        need("count", Count, "How many."),
        may("wage", Quantity(PricePerTime, NotNegative), "Pay."),
        may(
            "burden",
            Quantity(Share, NotNegative),
            "What comes on top of the pay: payroll taxes, insurance, leave.",
        ),
    ],
};

static LABOUR: TableSpec = TableSpec {
    called: "labour",
    doc: "How fast one person works; what is left out is taken from tables and marked.",
    keys: &[
        may("grade", Quantity(AreaRate, Positive), "Fine grading."),
        may("stone", Quantity(VolumeRate, Positive), "Spreading stone, by compacted volume."),
        may("forms", Quantity(Speed, Positive), "Setting forms to grade."),
        may("sheet", Quantity(AreaRate, Positive), "Laying poly."),
        may("steel", Quantity(AreaRate, Positive), "Laying mesh or bars on chairs, by floor."),
        may("broom", Quantity(AreaRate, Positive), "Float and broom, where no clock tells the hours."),
        may("float", Quantity(AreaRate, Positive), "Float finish, where no clock tells the hours."),
        may("trowel", Quantity(AreaRate, Positive), "Trowel by machine, where no clock tells the hours."),
        may("hard_trowel", Quantity(AreaRate, Positive), "Hard trowel, where no clock tells the hours."),
        may("saw", Quantity(Speed, Positive), "Marking, sawing and cleaning joints."),
        may("cure", Quantity(AreaRate, Positive), "Spraying a compound or laying a cover."),
        may("strip", Quantity(Speed, Positive), "Stripping and cleaning forms."),
        may("doubt", Quantity(Share, NotNegative), "How far hours stray from these, one standard deviation."),
    ],
};

static MACHINE: TableSpec = TableSpec {
    called: "machine of the book",
    doc: "A machine, charged when a job has the work on which it is used.",
    keys: &[
        need("name", Text, "What the crew calls it."),
        need("used", Choice(&["base", "placing", "finishing", "sawing", "job"]), "On which work it is used."),
        may(
            "price",
            Quantity(PricePerAnything, NotNegative),
            "For a day, an hour of that work, or each job.",
        ),
    ],
};

static OTHER: TableSpec = TableSpec {
    called: "other sum",
    doc: "A sum that every job carries: permit, washout, mobilising.",
    keys: &[need("name", Text, "What for."), may("amount", Quantity(Money, NotNegative), "How much.")],
};

static PRICE: TableSpec = TableSpec {
    called: "price",
    doc: "Overhead, profit and the least for any job.",
    keys: &[
        may("overhead", Quantity(Share, NotNegative), "On the direct cost."),
        may("margin", Quantity(Share, NotNegative), "Profit as a share of the price, under 100 %."),
        may("markup", Quantity(Share, NotNegative), "Profit as a share of the cost; instead of a margin."),
        may("minimum", Quantity(Money, NotNegative), "No job is done for less, before tax on the price."),
    ],
};

static TAX: TableSpec = TableSpec {
    called: "tax",
    doc: "Sales tax or the like.",
    keys: &[
        need(
            "on",
            Choice(&["nothing", "materials", "price"]),
            "On nothing; on what you buy, as a cost; or on the price, on top of it.",
        ),
        may("rate", Quantity(Share, NotNegative), "How much."),
    ],
};

static QUOTE: TableSpec = TableSpec {
    called: "quote",
    doc: "What a quote says beside the price, in your own words.",
    keys: &[
        may("exclusions", Texts, "What the price does not include."),
        may("terms", Texts, "Payment, changes, weather, care: one paragraph each."),
    ],
};
