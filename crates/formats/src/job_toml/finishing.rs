//! Mix, site, weather, bed, finish and machines: what the finishing clock goes by.

use basis::{Angle, Estimate, Origin, Share, Temperature};
use clock::Mix;
use clock::finish::Finish;
use clock::mix::{Admixture, Aggregate, Air, Ash, AshClass, Cement, StatedSet};
use clock::weather::{Roof, Series};
use pour::job::{
    Batch, Bed, Cure, Finishing, Machine, MixOrdered, SaidWeather, Shade, Sheet, Site, Warmth, Weather,
};
use toml::de::DeValue;

use crate::quantity::shown;
use crate::source::{SourceMap, Span};
use crate::weather::read_weather;

use super::FetchFile;
use super::findings::Findings;
use super::outline::doubles;
use super::table::Table;

/// Trowel rounds after the float when none are stated; common practice, no source.
const TROWEL_ROUNDS: u8 = 3;

impl Table<'_> {
    /// A temperature, without a bound.
    fn temperature(&self, f: &mut Findings, key: &str) -> Option<Temperature> {
        self.quantity(f, key)
    }

    /// A fault at a key of this table.
    fn wrong(&self, f: &mut Findings, code: &'static str, key: &str, message: &str, hint: &str) {
        let span = self.value(f, key).map_or(self.span.clone(), |value| value.span);
        f.fault(code, &self.place.key(key), &span, message, hint);
    }

    /// A share that cannot be more than `most`.
    fn share_up_to(&self, f: &mut Findings, key: &str, most: f64, why: &str) -> Option<Share> {
        let share: Share = self.quantity(f, key)?;
        if share.in_ratio() <= most {
            return Some(share);
        }
        let message = format!("{key} is more than {} %", most * 100.0);
        self.wrong(f, "out-of-range", key, &message, why);
        None
    }
}

/// Reads `[mix]`.
pub(crate) fn mix(root: &Table<'_>, f: &mut Findings) -> Option<MixOrdered> {
    let table = root.table(f, "mix")?;
    let cement = match table.choice(f, "cement") {
        Some(0) => Cement::TypeI,
        Some(2) => Cement::TypeIII,
        Some(3) => Cement::TypeV,
        _ => Cement::TypeII,
    };
    let strength = table.quantity(f, "strength").unwrap_or_default();
    let set_factor = match table.estimate::<Share>(f, "set_factor") {
        Some(stated) => Estimate::new(stated.mean.in_ratio(), stated.sd.in_ratio(), Origin::Learned),
        None => Estimate::new(1.0, 0.2, Origin::Assumed),
    };
    let mix = Mix {
        cement,
        cementitious: table.quantity(f, "cementitious").unwrap_or_default(),
        water_per_cementitious: table.ratio(f, "water_cementitious").unwrap_or_default(),
        ash: ash(&table, f),
        slag: table
            .share_up_to(f, "slag", 1.0, "it is a part of the cementitious material")
            .unwrap_or_default(),
        admixtures: admixtures(&table, f),
        air: air(&table, f),
        strength,
        aggregate: match table.choice(f, "aggregate") {
            Some(0) => Aggregate::Soft,
            Some(2) => Aggregate::Hard,
            _ => Aggregate::Medium,
        },
        stated_set: stated_set(&table, f),
        set_factor,
    };
    Some(MixOrdered { mix, warmth: warmth(&table, f), place: table.place.clone() })
}

fn ash(table: &Table<'_>, f: &mut Findings) -> Option<Ash> {
    let share = table.share_up_to(f, "ash", 1.0, "it is a part of the cementitious material");
    let class = table.choice(f, "ash_class");
    let share = share.filter(|share| share.in_ratio() > 0.0)?;
    let Some(class) = class else {
        table.wrong(
            f,
            "missing-key",
            "ash",
            "the class of the ash is not stated",
            "add ash_class = \"F\" or \"C\"",
        );
        return None;
    };
    Some(Ash { share, class: if class == 0 { AshClass::F } else { AshClass::C } })
}

fn admixtures(table: &Table<'_>, f: &mut Findings) -> Vec<Admixture> {
    let why = "2 % by mass of cement is the customary limit; check with the plant";
    let chloride = table.share_up_to(f, "chloride", 0.04, why).filter(|share| share.in_ratio() > 0.0);
    let earlier = table.quantity(f, "earlier").map(Admixture::Accelerator);
    let later = table.quantity(f, "later").map(Admixture::Retarder);
    chloride.map(Admixture::CalciumChloride).into_iter().chain(earlier).chain(later).collect()
}

fn air(table: &Table<'_>, f: &mut Findings) -> Air {
    match table.share_up_to(f, "air", 0.15, "entrained air is 4 to 8 % in flatwork") {
        Some(share) if share.in_ratio() > 0.0 => Air::Entrained(share),
        _ => Air::Entrapped,
    }
}

fn stated_set(table: &Table<'_>, f: &mut Findings) -> Option<StatedSet> {
    let initial = table.quantity(f, "initial_set");
    let last = table.quantity(f, "final_set");
    let at = table.temperature(f, "set_at");
    match (initial, last, at) {
        (None, None, None) => None,
        (Some(initial), Some(last), Some(at)) if initial < last => Some(StatedSet { initial, last, at }),
        (Some(_), Some(_), Some(_)) => {
            let hint = "final set comes after initial set; change the two round";
            table.wrong(f, "set-times-impossible", "final_set", "final set is not after initial set", hint);
            None
        }
        _ => {
            let hint = "state initial_set, final_set and set_at together, or none of them";
            let key = ["initial_set", "final_set", "set_at"].into_iter().find(|key| table.has(key));
            let message = "set times of the plant need all three of initial_set, final_set and set_at";
            table.wrong(f, "missing-key", key.unwrap_or("initial_set"), message, hint);
            None
        }
    }
}

fn warmth(table: &Table<'_>, f: &mut Findings) -> Warmth {
    let stated = table.temperature(f, "temperature");
    let batch = table.table(f, "batch").map(|table| batch(&table, f));
    match (stated, batch) {
        (Some(stated), _) => Warmth::Stated(stated),
        (None, Some(Some(batch))) => Warmth::Batch(batch),
        (None, _) => Warmth::Unknown,
    }
}

fn batch(table: &Table<'_>, f: &mut Findings) -> Option<Batch> {
    let cement = table.temperature(f, "cement_temperature");
    let aggregate = table.temperature(f, "aggregate_temperature");
    let water = table.temperature(f, "water_temperature");
    let aggregate_mass = table.quantity(f, "aggregate");
    let aggregate_water = table.quantity(f, "aggregate_water").unwrap_or_default();
    let ice = table.quantity(f, "ice").unwrap_or_default();
    Some(Batch {
        cement: cement?,
        aggregate_mass: aggregate_mass?,
        aggregate: aggregate?,
        aggregate_water,
        water: water?,
        ice,
    })
}

/// Reads `[site]`.
pub(crate) fn site(root: &Table<'_>, f: &mut Findings) -> Option<Site> {
    let table = root.table(f, "site")?;
    let latitude = within(&table, f, "latitude", 90.0);
    let longitude = within(&table, f, "longitude", 180.0);
    let tables = table.tables(f, "shade");
    let shade = tables.iter().filter_map(|table| shade(table, f)).collect();
    Some(Site {
        latitude: latitude.unwrap_or_default(),
        longitude: longitude.unwrap_or_default(),
        elevation: table.quantity(f, "elevation"),
        wind_share: table.share_up_to(
            f,
            "wind_share",
            1.0,
            "the wind at the slab is no more than the wind reported",
        ),
        roof: if table.choice(f, "roof") == Some(1) { Roof::Over } else { Roof::None },
        shade,
    })
}

fn within(table: &Table<'_>, f: &mut Findings, key: &str, most: f64) -> Option<Angle> {
    let angle: Angle = table.quantity(f, key)?;
    if angle.in_degrees().abs() <= most + 1e-9 {
        return Some(angle);
    }
    let message = format!("{key} is beyond {most} deg");
    table.wrong(f, "out-of-range", key, &message, "check the number and its sign");
    None
}

fn shade(table: &Table<'_>, f: &mut Findings) -> Option<Shade> {
    let from = day_time(table, f, "from");
    let until = day_time(table, f, "until");
    let share = table.share_up_to(f, "share", 1.0, "all of the sun is 100 %");
    let (from, until) = (from?, until?);
    if from >= until {
        table.wrong(
            f,
            "shade-backward",
            "until",
            "the shade ends before it begins",
            "change the two times round",
        );
        return None;
    }
    Some(Shade { from, until, share: share.unwrap_or(Share::ratio(1.0)) })
}

fn day_time(table: &Table<'_>, f: &mut Findings, key: &str) -> Option<jiff::civil::Time> {
    const EXAMPLE: &str = "13:30:00";
    let value = table.value(f, key)?;
    let DeValue::Datetime(stamp) = value.value else {
        value.wrong_type(f, value.value, "a time of day without quotes", EXAMPLE);
        return None;
    };
    let time = match (stamp.date, stamp.time, stamp.offset) {
        (None, Some(time), None) => {
            let part = |n: u8| i8::try_from(n).ok();
            part(time.hour).zip(part(time.minute)).zip(part(time.second.unwrap_or(0)))
        }
        _ => None,
    };
    let time = time.and_then(|((hour, minute), second)| jiff::civil::Time::new(hour, minute, second, 0).ok());
    if time.is_none() {
        let hint = format!("write it as in {EXAMPLE}");
        f.fault("no-such-time", &value.place, &value.span, "a time of day is wanted here", hint);
    }
    time
}

/// Reads `[weather]`; it needs `[mix]` and `[site]` beside it. `zone` is the job's.
pub(crate) fn weather(
    root: &Table<'_>,
    f: &mut Findings,
    source: &mut SourceMap,
    fetch: FetchFile<'_>,
    zone: &str,
) -> Option<Weather> {
    let table = root.table(f, "weather")?;
    for key in ["mix", "site", "day"] {
        if !root.has(key) {
            let message = format!("there is weather, but no [{key}]; the clock needs both");
            let hint = format!("add [{key}], or leave [weather] out");
            f.fault("missing-table", &table.place, &table.span, message, hint);
        }
    }
    match (table.text(f, "file"), SAID.iter().any(|key| table.has(key))) {
        (Some(file), false) => {
            let series = fetched(&file, &table, f, source, fetch, zone)?;
            Some(Weather::Hourly { file, series })
        }
        (Some(_), true) => {
            let hint = "leave out either file, or low, high, humidity, wind and cloud";
            table.wrong(f, "weather-twice", "file", "the weather is stated twice", hint);
            None
        }
        (None, _) => said(&table, f).map(Weather::Said),
    }
}

/// Keys of the weather as a person says it.
const SAID: [&str; 5] = ["low", "high", "humidity", "wind", "cloud"];

/// The file of weather that the job names, with its notes and their places.
fn fetched(
    file: &str,
    table: &Table<'_>,
    f: &mut Findings,
    source: &mut SourceMap,
    fetch: FetchFile<'_>,
    zone: &str,
) -> Option<Series> {
    let zone = jiff::tz::TimeZoneDatabase::bundled().get(zone).ok()?;
    let bytes = match fetch(file) {
        Ok(bytes) => bytes,
        Err(why) => {
            let message = format!("{} cannot be read: {why}", shown(file));
            let hint = "check its name; it is looked for beside the job file";
            table.wrong(f, "no-weather-file", "file", &message, hint);
            return None;
        }
    };
    let parsed = read_weather(&bytes, file, &zone);
    let before = source.files.len();
    let moved = |span: Span| Span { file: span.file + before, ..span };
    f.pins.extend(parsed.source.pins.into_iter().map(|(place, span)| (place, moved(span))));
    source.files.extend(parsed.source.files);
    f.notes.extend(parsed.report.notes);
    parsed.report.value.map(|file| file.series)
}

/// The weather as said.
fn said(table: &Table<'_>, f: &mut Findings) -> Option<SaidWeather> {
    for key in SAID.into_iter().filter(|key| !table.has(key)) {
        let message = format!("the weather is said without {key}");
        let hint = format!("add {key}, or a file of hours instead of all five");
        f.fault("missing-key", &table.place.key(key), &table.span, message, hint);
    }
    let (low, high) = (table.temperature(f, "low"), table.temperature(f, "high"));
    let humidity = table.share_up_to(f, "humidity", 1.0, "air holds no more than 100 %");
    let wind = table.quantity(f, "wind");
    let cloud = table.share_up_to(f, "cloud", 1.0, "overcast is 100 %");
    if let (Some(low), Some(high)) = (low, high)
        && low > high
    {
        table.wrong(f, "low-over-high", "low", "the low is over the high", "change the two round");
        return None;
    }
    Some(SaidWeather { low: low?, high: high?, humidity: humidity?, wind: wind?, cloud: cloud? })
}

/// What lies under the slab, from `[base]`.
pub(crate) fn bed(table: &Table<'_>, f: &mut Findings) -> Bed {
    Bed {
        stone: table.quantity(f, "thickness"),
        sheet: match table.choice(f, "sheet") {
            Some(0) => Some(Sheet::None),
            Some(1) => Some(Sheet::UnderSlab),
            Some(_) => Some(Sheet::Insulation),
            None => None,
        },
        temperature: table.temperature(f, "temperature"),
        deep: table.temperature(f, "deep_temperature"),
    }
}

/// Reads `[finishing]` and `[[machine]]`.
pub(crate) fn finishing(root: &Table<'_>, f: &mut Findings) -> Finishing {
    let machines = machines(root, f);
    let Some(table) = root.table(f, "finishing") else {
        return Finishing { machines, ..Finishing::default() };
    };
    Finishing {
        finish: finish(&table, f),
        people: table.count(f, "people"),
        bull_float: table.quantity(f, "bull_float"),
        by_hand: table.quantity(f, "by_hand"),
        edges: table.quantity(f, "edges"),
        machines,
        cure: table.choice(f, "cure").map(|cure| match cure {
            0 => Cure::None,
            1 => Cure::Compound,
            2 => Cure::Sheet,
            _ => Cure::Blanket,
        }),
        move_on: table.quantity(f, "move_on"),
    }
}

fn finish(table: &Table<'_>, f: &mut Findings) -> Option<Finish> {
    let rounds = table.count(f, "trowel_rounds");
    let many = clock::finish::MOST_TROWEL_ROUNDS;
    let checked = rounds.map(|rounds| u8::try_from(rounds).ok().filter(|rounds| *rounds <= many));
    if checked == Some(None) {
        let message = format!("more than {many} trowel rounds");
        table.wrong(f, "out-of-range", "trowel_rounds", &message, "two to four are usual");
    }
    let rounds = checked.flatten().unwrap_or(TROWEL_ROUNDS);
    match table.choice(f, "finish")? {
        0 => Some(Finish::Broom),
        1 => Some(Finish::Float),
        2 => Some(Finish::Trowel { rounds }),
        _ => Some(Finish::HardTrowel { rounds }),
    }
}

fn machines(root: &Table<'_>, f: &mut Findings) -> Vec<Machine> {
    let tables = root.tables(f, "machine");
    let machines: Vec<Machine> = tables
        .iter()
        .map(|table| Machine {
            name: table.text(f, "name").unwrap_or_default(),
            float: table.quantity(f, "float"),
            trowel: table.quantity(f, "trowel"),
            place: table.place.clone(),
        })
        .collect();
    doubles(f, "machine", &tables, machines.iter().map(|machine| machine.name.as_str()));
    machines
}
