//! Slab, base, forms, crew, chutes and stands.

use basis::{Estimate, Length, Origin, Place, Share, UnitSystem};
use ground::outline::Outline;
use ground::survey::Survey;
use pour::job::{Base, BaseZone, Bed, Carry, Chutes, Crew, Forms, Slab, TruckStand};

use crate::nearest::nearest;
use crate::quantity::shown;

use super::defaults;
use super::findings::Findings;
use super::finishing;
use super::outline::doubles;
use super::table::Table;

/// Reads `[slab]`.
pub(crate) fn slab(root: &Table<'_>, f: &mut Findings, units: UnitSystem) -> Slab {
    let Some(table) = root.table(f, "slab") else {
        return Slab { nominal: Length::ZERO, minimum: Length::ZERO };
    };
    let stated = table.quantity::<Length>(f, "nominal");
    let nominal = stated.unwrap_or_default();
    let minimum = table.quantity::<Length>(f, "minimum");
    if let (Some(nominal), Some(minimum)) = (stated, minimum)
        && minimum > nominal
    {
        let hint = "the least thickness cannot be more than the thickness on the drawing";
        f.fault(
            "minimum-over-nominal",
            &table.place.key("minimum"),
            &table.span,
            "minimum is more than nominal",
            hint,
        );
    }
    let minimum =
        f.or_assume(minimum, table.place.key("minimum"), defaults::minimum_thickness(units, nominal));
    Slab { nominal, minimum }
}

/// What stands for a base that nobody described.
pub(crate) const BASE_NOT_STATED: &str = "not stated";

/// Reads `[base]`, and what of it the finishing clock goes by.
pub(crate) fn base(root: &Table<'_>, f: &mut Findings) -> (Base, Bed) {
    let mut base = Base {
        kind: BASE_NOT_STATED.to_owned(),
        loose_per_compacted: None,
        stone_price: None,
        breaks: Vec::new(),
        zones: Vec::new(),
    };
    let Some(table) = root.table(f, "base") else { return (base, Bed::default()) };
    base.kind = table.text(f, "kind").unwrap_or(base.kind);
    base.loose_per_compacted = table.quantity::<Share>(f, "bulking").map(|share| 1.0 + share.in_ratio());
    base.stone_price = table.price(f, "stone_price");
    base.breaks = table.spot_lines(f, "breaks");
    let tables = table.tables(f, "zone");
    base.zones = tables
        .iter()
        .map(|table| BaseZone {
            name: table.text(f, "name").unwrap_or_default(),
            corners: table.points(f, "corners").unwrap_or_default(),
            place: table.place.clone(),
        })
        .collect();
    doubles(f, "zone", &tables, base.zones.iter().map(|zone| zone.name.as_str()));
    (base, finishing::bed(&table, f))
}

/// Reads `[forms]`.
pub(crate) fn forms(root: &Table<'_>, f: &mut Findings, survey: &Survey, units: UnitSystem) -> Forms {
    let place = Place::at("forms");
    let table = root.table(f, "forms");
    let setup = table.as_ref().and_then(|table| table.text(f, "setup"));
    if let (Some(name), Some(table)) = (&setup, &table) {
        let known = survey.setups.iter().map(|setup| setup.name.as_str());
        known_name(f, table, "setup", name, "set-up", known);
    }
    let setting = table.as_ref().and_then(|table| table.quantity(f, "setting_error"));
    let origin = if setting.is_some() { Origin::Stated } else { Origin::Assumed };
    let sd = f.or_assume(setting, place.key("setting_error"), defaults::form_setting(units));
    let tolerance = table.as_ref().and_then(|table| table.quantity(f, "tolerance"));
    Forms {
        setup,
        setting: Estimate::new(Length::ZERO, sd, origin),
        tolerance: f.or_assume(tolerance, place.key("tolerance"), defaults::form_tolerance(units)),
    }
}

/// Reads `[crew]`.
pub(crate) fn crew(root: &Table<'_>, f: &mut Findings, outline: &Outline, units: UnitSystem) -> Crew {
    let place = Place::at("crew");
    let table = root.table(f, "crew");
    let table = table.as_ref();
    let people = table.and_then(|table| table.count(f, "people"));
    let straightedge = table.and_then(|table| table.quantity(f, "straightedge"));
    let lap = table.and_then(|table| table.quantity(f, "lap"));
    let placing_rate = table.and_then(|table| table.estimate(f, "placing_rate"));
    let exit = table.and_then(|table| table.text(f, "exit"));
    if let (Some(name), Some(table)) = (&exit, table) {
        known_name(f, table, "exit", name, "door", outline.doors.iter().map(|door| door.name.as_str()));
    }
    Crew {
        people: f.or_assume(people, place.key("people"), defaults::people()),
        straightedge: f.or_assume(straightedge, place.key("straightedge"), defaults::straightedge(units)),
        lap: f.or_assume(lap, place.key("lap"), defaults::lap(units)),
        placing_rate: f.or_assume(placing_rate, place.key("placing_rate"), defaults::placing_rate(units)),
        bay_direction: table.and_then(|table| table.direction(f, "bay_direction")),
        exit,
        idle_cost: table.and_then(|table| table.price(f, "idle_cost")),
        carry: table.and_then(|table| table.table(f, "carry")).map(|table| Carry {
            by: table.text(f, "by").unwrap_or_default(),
            load: table.quantity(f, "load").unwrap_or_default(),
        }),
    }
}

fn known_name<'n>(
    f: &mut Findings,
    table: &Table<'_>,
    key: &str,
    name: &str,
    what: &str,
    known: impl Iterator<Item = &'n str> + Clone,
) {
    if known.clone().any(|known| known == name) {
        return;
    }
    let hint = match nearest(name, known.clone()) {
        Some(known) => format!("did you mean \"{known}\"?"),
        None => format!("known: {}", known.take(20).collect::<Vec<_>>().join(", ")),
    };
    let span = table.value(f, key).map_or(table.span.clone(), |value| value.span);
    let message = format!("there is no {what} \"{}\"", shown(name));
    f.fault("unknown-name", &table.place.key(key), &span, message, hint);
}

/// Reads `[chutes]`.
pub(crate) fn chutes(root: &Table<'_>, f: &mut Findings, units: UnitSystem) -> Chutes {
    let place = Place::at("chutes");
    let table = root.table(f, "chutes");
    let table = table.as_ref();
    let main = table.and_then(|table| table.quantity(f, "main"));
    let height = table.and_then(|table| table.quantity(f, "discharge_height"));
    let fall = table.and_then(|table| table.quantity(f, "least_fall"));
    Chutes {
        main: f.or_assume(main, place.key("main"), defaults::main_chute(units)),
        extensions: table.and_then(|table| table.lengths(f, "extensions")).unwrap_or_default(),
        discharge_height: f.or_assume(
            height,
            place.key("discharge_height"),
            defaults::discharge_height(units),
        ),
        least_fall: f.or_assume(fall, place.key("least_fall"), defaults::least_fall()),
    }
}

/// Reads `[[stand]]`.
pub(crate) fn stands(root: &Table<'_>, f: &mut Findings) -> Vec<TruckStand> {
    let tables = root.tables(f, "stand");
    let stands: Vec<TruckStand> = tables
        .iter()
        .map(|table| {
            let swing = table.quantity(f, "swing");
            TruckStand {
                name: table.text(f, "name").unwrap_or_default(),
                at: table.point(f, "at").unwrap_or_default(),
                elevation: table.quantity(f, "elevation"),
                facing: table.direction(f, "facing").unwrap_or_default(),
                swing: f.or_assume(swing, table.place.key("swing"), defaults::swing()),
                place: table.place.clone(),
            }
        })
        .collect();
    doubles(f, "stand", &tables, stands.iter().map(|stand| stand.name.as_str()));
    stands
}
