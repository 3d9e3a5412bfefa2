//! Quantities, points, money and readings as JSON: SI, the unit beside each number.

use basis::{
    Angle, Area, Estimate, Length, Money, Pressure, Slope, Speed, Temperature, TemperatureDifference,
    TimeSpan, Volume,
};
use ground::P2;
use ground::survey::RodReading;
use pour::Job;
use pour::pads::{Tie, TieTo};
use serde_json::{Map, Value, json};

/// A quantity that the report can hold; a bare `f64` is a share or a chance.
pub(super) trait Unit: Copy {
    /// Its name in the schema.
    const NAME: &'static str;
    /// Its SI unit, `1` for a ratio.
    const UNIT: &'static str;
    /// The number in that unit.
    fn si(self) -> f64;
}

macro_rules! unit {
    ($quantity:ty, $name:literal, $unit:literal, $si:expr) => {
        impl Unit for $quantity {
            const NAME: &'static str = $name;
            const UNIT: &'static str = $unit;
            fn si(self) -> f64 {
                $si(self)
            }
        }
    };
}

unit!(Length, "length", "m", Length::in_metres);
unit!(Area, "area", "m2", Area::in_square_metres);
unit!(Volume, "volume", "m3", Volume::in_cubic_metres);
unit!(Slope, "slope", "m/m", Slope::in_ratio);
unit!(Angle, "angle", "rad", Angle::in_radians);
unit!(TimeSpan, "time", "s", TimeSpan::in_seconds);
unit!(Pressure, "pressure", "Pa", Pressure::in_pascals);
unit!(Speed, "speed", "m/s", Speed::in_metres_per_second);
unit!(Temperature, "temperature", "K", Temperature::in_kelvins);
unit!(TemperatureDifference, "temperature_difference", "K", TemperatureDifference::in_kelvins);
unit!(f64, "ratio", "1", |share: f64| share);

/// A number; what is none (NaN, infinite) becomes null, and there is no negative zero.
pub(super) fn number(value: f64) -> Value {
    if value == 0.0 { json!(0.0) } else { Value::from(value) }
}

pub(super) fn quantity<Q: Unit>(value: Q) -> Value {
    json!({ "value": number(value.si()), "unit": Q::UNIT })
}

pub(super) fn estimate<Q: Unit>(value: Estimate<Q>) -> Value {
    json!({
        "value": number(value.mean.si()),
        "sd": number(value.sd.si()),
        "unit": Q::UNIT,
        "origin": value.origin.to_string(),
    })
}

pub(super) fn point(at: P2) -> Value {
    json!({ "x": number(at.x), "y": number(at.y) })
}

pub(super) fn points(ring: &[P2]) -> Value {
    ring.iter().copied().map(point).collect()
}

/// Money by the plant's currency; null when no amount is known.
pub(super) fn money(amount: Option<Money>, job: &Job) -> Value {
    let currency = job.plant.currency.as_ref().map(basis::Currency::code);
    amount.map_or(Value::Null, |amount| json!({ "value": number(amount.in_units()), "unit": currency }))
}

/// What the stick reads: signed metres, and the words for the person who holds it.
pub(super) fn reading(reading: RodReading, job: &Job) -> Value {
    let (read, length) = match reading {
        RodReading::Rod(height) => ("from-foot", height),
        RodReading::FromMark(off) => ("from-mark", off),
    };
    json!({ "value": number(length.si()), "unit": Length::UNIT, "read": read, "text": reading.said(job.rod) })
}

pub(super) fn tie(tie: &Tie, job: &Job) -> Value {
    let (to, name) = match &tie.to {
        TieTo::Edge(name) => ("edge", name),
        TieTo::Corner(name) => ("corner", name),
    };
    let text = basis::quantity::length(tie.distance, job.units);
    json!({ "to": to, "name": name, "distance": quantity(tie.distance), "text": text })
}

/// An object of which every field is there and no other.
pub(super) fn object(doc: &str, fields: &[(&str, Value)]) -> Value {
    let properties: Map<_, _> =
        fields.iter().map(|(name, schema)| ((*name).to_owned(), schema.clone())).collect();
    let required: Vec<_> = fields.iter().map(|(name, _)| *name).collect();
    json!({
        "type": "object",
        "description": doc,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

/// Refers to a definition.
pub(super) fn refer(name: &str) -> Value {
    json!({ "$ref": format!("#/$defs/{name}") })
}

/// The same, or null.
pub(super) fn or_null(schema: &Value) -> Value {
    json!({ "anyOf": [schema, { "type": "null" }] })
}

/// A list of any length.
pub(super) fn list(items: &Value) -> Value {
    json!({ "type": "array", "items": items })
}

/// All definitions to which fields refer.
pub(super) fn definitions() -> Value {
    let mut all = Map::new();
    one::<Length>(&mut all);
    one::<Area>(&mut all);
    one::<Volume>(&mut all);
    one::<Slope>(&mut all);
    one::<Angle>(&mut all);
    one::<TimeSpan>(&mut all);
    one::<Pressure>(&mut all);
    one::<Speed>(&mut all);
    one::<Temperature>(&mut all);
    one::<TemperatureDifference>(&mut all);
    one::<f64>(&mut all);
    let (words, number) = (json!({ "type": "string" }), json!({ "type": ["number", "null"] }));
    let point = object("A place in the plan, metres.", &[("x", number.clone()), ("y", number.clone())]);
    all.insert("point".into(), point);
    let fields = [("value", number.clone()), ("unit", json!({ "const": "mm/h" }))];
    all.insert("rain".into(), object("A rain; null is no number.", &fields));
    let fields = [("value", number.clone()), ("unit", json!({ "const": "kg/m2/h" }))];
    all.insert("evaporation".into(), object("An evaporation; null is no number.", &fields));
    let currency = json!({ "type": ["string", "null"] });
    let money =
        object("An amount; the unit is the currency.", &[("value", number.clone()), ("unit", currency)]);
    all.insert("money".into(), money);
    let metres = json!({ "const": "m" });
    let read = json!({ "enum": ["from-foot", "from-mark"] });
    let doc = "What the stick reads: from its foot, or up (positive) or down from the mark.";
    let fields = [("value", number), ("unit", metres), ("read", read), ("text", words.clone())];
    all.insert("reading".into(), object(doc, &fields));
    let to = json!({ "enum": ["edge", "corner"] });
    let fields = [("to", to), ("name", words.clone()), ("distance", refer("length")), ("text", words)];
    all.insert("tie".into(), object("A tape dimension from an edge or a corner.", &fields));
    Value::Object(all)
}

fn one<Q: Unit>(all: &mut Map<String, Value>) {
    let (number, unit) = (json!({ "type": ["number", "null"] }), json!({ "const": Q::UNIT }));
    let doc = format!("A {} in {}; null is no number.", Q::NAME, Q::UNIT);
    all.insert(Q::NAME.into(), object(&doc, &[("value", number.clone()), ("unit", unit.clone())]));
    let origin = json!({ "enum": ["measured", "stated", "learned", "assumed", "derived"] });
    let doc = format!("A {} in {} with one standard deviation and its origin.", Q::NAME, Q::UNIT);
    let fields = [("value", number.clone()), ("sd", number), ("unit", unit), ("origin", origin)];
    all.insert(estimate_name::<Q>(), object(&doc, &fields));
}

pub(super) fn estimate_name<Q: Unit>() -> String {
    format!("{}_estimate", Q::NAME)
}
