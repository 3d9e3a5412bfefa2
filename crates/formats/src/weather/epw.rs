//! EPW: the weather format of building energy models, 8 lines of heading and 35 values an hour [@epw-dictionary].
//!
//! Temperature, dew point, wind and cloud stand for the instant at the end of an hour; sun and rain for the hour up to
//! it. Typical years join months of different years: they are put into one.

use std::ops::Range;

use basis::{Angle, Length, Pressure, Share, Speed, Temperature};
use clock::moist_air;
use clock::sun::{Spot, Sunshine};
use clock::weather::Record;
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};

use super::{Reading, lines, number};
use crate::quantity::shown;
use crate::survey_csv::cells;

const HEADING_LINES: usize = 8;
/// Fewest values that a row needs: up to the sky's cover.
const FEWEST_VALUES: usize = 24;
const MOST_VALUES: usize = 35;

/// Where a value stands in a row, and from which number on it is a mark for "missing".
struct Field {
    index: usize,
    name: &'static str,
    missing: f64,
}

const DRY_BULB: Field = Field { index: 6, name: "dry bulb temperature", missing: 99.9 };
const DEW_POINT: Field = Field { index: 7, name: "dew point temperature", missing: 99.9 };
const HUMIDITY: Field = Field { index: 8, name: "relative humidity", missing: 999.0 };
const PRESSURE: Field = Field { index: 9, name: "atmospheric pressure", missing: 999_999.0 };
const INFRARED: Field = Field { index: 12, name: "horizontal infrared radiation", missing: 9999.0 };
const GLOBAL: Field = Field { index: 13, name: "global horizontal radiation", missing: 9999.0 };
const DIFFUSE: Field = Field { index: 15, name: "diffuse horizontal radiation", missing: 9999.0 };
const WIND: Field = Field { index: 21, name: "wind speed", missing: 999.0 };
const COVER: Field = Field { index: 22, name: "total sky cover", missing: 99.0 };
const RAIN: Field = Field { index: 33, name: "liquid precipitation depth", missing: 999.0 };
const RAIN_HOURS: Field = Field { index: 34, name: "liquid precipitation quantity", missing: 99.0 };

/// Most rain of an hour that is believed, mm; the record of the world is near 300 (from memory).
const MOST_RAIN: f64 = 300.0;

/// One hour as it stands in the file, its year still open.
struct Hour {
    date: [i16; 3],
    hour: i64,
    record: Option<Record>,
    span: Range<usize>,
}

pub(super) fn read(reading: &mut Reading<'_>) {
    let text = reading.text;
    let mut lines = lines(text);
    let heading: Vec<Range<usize>> = lines.by_ref().take(HEADING_LINES).collect();
    let Some(first) = heading.first().cloned() else { return };
    let Some(offset) = location(reading, first) else { return };
    if !is_heading(reading, &heading) {
        return;
    }
    let mut hours = Vec::new();
    let mut lacking = Lacking::default();
    for line in lines {
        hours.extend(hour(reading, line, &mut lacking));
    }
    lacking.tell(reading);
    place_in_a_year(reading, hours, offset);
}

/// Reads the first line; gives the zone's offset in seconds.
fn location(reading: &mut Reading<'_>, line: Range<usize>) -> Option<i64> {
    let said: Vec<&str> = reading.text[line.clone()].split(',').map(str::trim).collect();
    let value = |index: usize| said.get(index).and_then(|text| number(text));
    let (Some(latitude), Some(longitude), Some(zone), Some(height)) =
        (value(6), value(7), value(8), value(9))
    else {
        let hint =
            "the first line is LOCATION,city,state,country,source,number,latitude,longitude,zone,elevation";
        reading.fault(
            "not-epw",
            line,
            "the line LOCATION lacks latitude, longitude, zone or elevation",
            hint,
        );
        return None;
    };
    let on_earth = latitude.abs() <= 90.0 && longitude.abs() <= 180.0 && height.abs() < 10_000.0;
    if !on_earth || zone.abs() > 14.0 {
        let message =
            format!("{latitude} N, {longitude} E, {height} m, UTC{zone:+} is no place on the earth");
        reading.fault("not-epw", line, message, "north and east are positive; the zone is in hours");
        return None;
    }
    reading.spot = Some(Spot {
        latitude: Angle::degrees(latitude),
        longitude: Angle::degrees(longitude),
        height: Length::metres(height),
    });
    Some((zone * 3600.0).round() as i64)
}

/// Checks that eight lines of heading end with the data periods, of one value an hour.
fn is_heading(reading: &mut Reading<'_>, heading: &[Range<usize>]) -> bool {
    let last = heading.last().cloned().unwrap_or(0..0);
    let said: Vec<&str> = reading.text[last.clone()].split(',').map(str::trim).collect();
    if heading.len() < HEADING_LINES || !said[0].eq_ignore_ascii_case("DATA PERIODS") {
        let hint = "an EPW file has 8 lines before its data, the last begins with DATA PERIODS";
        reading.fault("not-epw", last, "the heading is not complete", hint);
        return false;
    }
    if said.get(2).is_none_or(|per_hour| *per_hour != "1") {
        let message = format!("the file has {} values an hour", shown(said.get(2).unwrap_or(&"no")));
        reading.fault("not-hourly", last, message, "give a file with one value an hour");
        return false;
    }
    true
}

/// How many hours lack a value that stands in for nothing.
#[derive(Default)]
struct Lacking {
    whole: Option<(Range<usize>, usize)>,
    cover: Option<(Range<usize>, usize)>,
    flood: Option<(Range<usize>, usize)>,
    last_cover: f64,
}

impl Lacking {
    fn count(of: &mut Option<(Range<usize>, usize)>, line: &Range<usize>) {
        of.get_or_insert_with(|| (line.clone(), 0)).1 += 1;
    }

    fn tell(self, reading: &mut Reading<'_>) {
        if let Some((line, count)) = self.whole {
            let message =
                format!("{count} hours have no temperature, humidity or wind, the first of them here");
            reading.warning("weather-values-missing", line, message, "they count as missing hours");
        }
        if let Some((line, count)) = self.flood {
            let message = format!("{count} hours have over {MOST_RAIN} mm of rain, the first of them here");
            let hint = "such files may hold tenths of a millimetre; these hours are taken to be dry";
            reading.warning("rain-unlikely", line, message, hint);
        }
        if let Some((line, count)) = self.cover {
            let message = format!("{count} hours have no cloud, the first of them here");
            reading.warning("cloud-missing", line, message, "the cloud of the hour before stands in");
        }
    }
}

fn hour(reading: &mut Reading<'_>, line: Range<usize>, lacking: &mut Lacking) -> Option<Hour> {
    let text = reading.text;
    let found: Vec<Range<usize>> =
        cells(&text[line.clone()], b',').map(|cell| line.start + cell.start..line.start + cell.end).collect();
    if !(FEWEST_VALUES..=MOST_VALUES).contains(&found.len()) {
        let message = format!("{} values in a row; EPW has {MOST_VALUES}", found.len());
        reading.fault("wrong-count", line, message, "check the line, or take it out");
        return None;
    }
    let whole = |index: usize| text[found[index].clone()].trim().parse::<i16>().ok();
    let (Some(year), Some(month), Some(day), Some(hour)) = (whole(0), whole(1), whole(2), whole(3)) else {
        let hint = "a row begins with year, month, day, hour (1 to 24), minute";
        reading.fault("not-a-time", found[0].start..found[3].end, "the row has no date and hour", hint);
        return None;
    };
    if !(1..=24).contains(&hour) {
        reading.fault("no-such-time", found[3].clone(), format!("hour {hour}"), "hours run from 1 to 24");
        return None;
    }
    let record = record(reading, &found, &line, lacking)?;
    Some(Hour { date: [year, month, day], hour: i64::from(hour), record, span: line })
}

/// The values of a row. None outside for a fault; none inside for an hour that lacks what it cannot do without.
fn record(
    reading: &mut Reading<'_>,
    found: &[Range<usize>],
    line: &Range<usize>,
    lacking: &mut Lacking,
) -> Option<Option<Record>> {
    let mut sound = true;
    let mut value = |field: &Field| -> Option<f64> {
        let at = found.get(field.index)?.clone();
        let said = reading.text[at.clone()].trim();
        if said.is_empty() {
            return None;
        }
        let Some(value) = number(said) else {
            let message = format!("the {} is \"{}\", no number", field.name, shown(said));
            reading.fault("not-a-number", at, message, "write a number, or the mark for a missing value");
            sound = false;
            return None;
        };
        (value < field.missing).then_some(value)
    };
    let air = value(&DRY_BULB).map(Temperature::celsius);
    let dew =
        value(&DEW_POINT).map(|dew| moist_air::saturation_pressure_over_water(Temperature::celsius(dew)));
    let humidity = value(&HUMIDITY).map(Share::percent);
    let pressure = value(&PRESSURE).map(Pressure::pascals);
    let infrared = value(&INFRARED).filter(|told| *told > 0.0);
    let global = value(&GLOBAL);
    let diffuse = value(&DIFFUSE);
    let wind = value(&WIND).map(Speed::metres_per_second);
    let cover = value(&COVER).map(|tenths| tenths / 10.0);
    let depth = value(&RAIN).unwrap_or(0.0);
    let hours = value(&RAIN_HOURS).filter(|hours| *hours > 0.0).unwrap_or(1.0);
    if !sound {
        return None;
    }
    let (Some(air), Some(wind), true) = (air, wind, dew.is_some() || humidity.is_some()) else {
        Lacking::count(&mut lacking.whole, line);
        return Some(None);
    };
    if cover.is_none() {
        Lacking::count(&mut lacking.cover, line);
    }
    let rain = depth / hours;
    if rain > MOST_RAIN {
        Lacking::count(&mut lacking.flood, line);
    }
    lacking.last_cover = cover.unwrap_or(lacking.last_cover);
    Some(Some(Record {
        air,
        vapour: dew.unwrap_or_else(|| moist_air::vapour_pressure(air, humidity.unwrap_or_default())),
        wind,
        cloud: Share::ratio(lacking.last_cover),
        // A diffuse part a little over the whole comes of rounding at low sun.
        sun: global.zip(diffuse).map(|(global, diffuse)| Sunshine { global, diffuse: diffuse.min(global) }),
        long_wave: infrared,
        pressure,
        rain: if rain > MOST_RAIN { 0.0 } else { rain },
    }))
}

/// Puts hours into years: as they stand, or, where months are of different years, all into one.
fn place_in_a_year(reading: &mut Reading<'_>, hours: Vec<Hour>, offset: i64) {
    let Some(first) = hours.first() else { return };
    let typical = hours.windows(2).any(|pair| {
        let (one, next) = (pair[0].date, pair[1].date);
        one[0] != next[0] && !(next[0] == one[0] + 1 && next[1] == 1)
    });
    let mut year = first.date[0];
    if typical {
        let leap = hours.iter().any(|hour| hour.date[1] == 2 && hour.date[2] == 29);
        let fits = |year: &i16| Date::new(*year, 2, 29).is_ok() == leap;
        year = (year..year.saturating_add(8)).find(fits).unwrap_or(year);
        let message = format!("the months are of different years: a typical year, put into {year}");
        reading.warning(
            "typical-year",
            first.span.clone(),
            message,
            "a typical year shows what a season is like; it is no forecast",
        );
    }
    for hour in hours {
        let [own, month, day] = hour.date;
        match instant(if typical { year } else { own }, month, day, hour.hour, offset) {
            Some(at) => {
                if let Some(record) = hour.record {
                    reading.row(at, record, hour.span);
                }
            }
            None => {
                let message = format!("{own}-{month}-{day} is no date");
                reading.fault("no-such-time", hour.span, message, "check year, month and day");
            }
        }
    }
}

fn instant(year: i16, month: i16, day: i16, hour: i64, offset: i64) -> Option<Timestamp> {
    let date = Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()?;
    let midnight = jiff::tz::Offset::UTC.to_timestamp(date.at(0, 0, 0, 0)).ok()?;
    midnight.checked_add(SignedDuration::from_secs(hour * 3600 - offset)).ok()
}
