//! What the job does not state of its steel and its goods, taken by default and told.

use basis::quantity::{cover, density, size, volume};
use basis::{Cover, Density, Length, Place, UnitSystem, Volume};

use super::steel::{BARS, Bar, WIRES, Wire};
use crate::job::{Assumed, Job};

const PRACTICE: &str = "common practice, no source";
const MEMORY: &str = "from memory";

/// Gathers defaults while values are settled.
pub(super) struct Settler {
    units: UnitSystem,
    pub assumed: Vec<Assumed>,
}

/// Mesh as it is ordered and laid.
#[derive(Debug, Clone, Copy)]
pub(super) struct MeshOrdered {
    pub wire: Wire,
    pub spacing: Length,
    pub sheet: [Length; 2],
    pub lap: Length,
    pub cover: Length,
    pub chairs: Length,
}

/// Bars as they are ordered and laid.
#[derive(Debug, Clone, Copy)]
pub(super) struct BarsOrdered {
    pub bar: Bar,
    pub spacing: Length,
    pub lap: Length,
    pub cover: Length,
    pub chairs: Length,
}

/// Poly as it is ordered and laid.
#[derive(Debug, Clone, Copy)]
pub(super) struct PolyOrdered {
    pub sheet: [Length; 2],
    pub lap: Length,
    pub upturn: Length,
}

impl Settler {
    pub(super) fn new(units: UnitSystem) -> Self {
        Self { units, assumed: Vec::new() }
    }

    fn take<T>(&mut self, key: &str, what: &str, value: T, said: String, source: &str) -> T {
        let place = Place::at(key);
        self.assumed.push(Assumed { place, what: what.to_owned(), value: said, source: source.to_owned() });
        value
    }

    /// A length stated, or the customary one in inches or in millimetres.
    fn length(
        &mut self,
        stated: Option<Length>,
        (key, what): (&str, &str),
        (inches, mm): (f64, f64),
        source: &str,
    ) -> Length {
        stated.unwrap_or_else(|| {
            let value = if self.is_us() { Length::inches(inches) } else { Length::millimetres(mm) };
            self.take(key, what, value, size(value, self.units), source)
        })
    }

    fn is_us(&self) -> bool {
        self.units == UnitSystem::Us
    }

    pub(super) fn mesh(&mut self, job: &Job) -> MeshOrdered {
        let steel = &job.reinforcement;
        let wire = steel.wire.unwrap_or_else(|| {
            let wire = if self.is_us() { WIRES[0] } else { WIRES[6] };
            self.take("reinforcement.wire", "wire of the mesh", wire, wire.word.to_owned(), PRACTICE)
        });
        let spacing = self.length(
            steel.spacing,
            ("reinforcement.spacing", "distance of the wires"),
            (6.0, 150.0),
            PRACTICE,
        );
        let sheet = [
            self.length(
                steel.width,
                ("reinforcement.width", "width of a sheet of mesh"),
                (60.0, 2400.0),
                MEMORY,
            ),
            self.length(
                steel.length,
                ("reinforcement.length", "length of a sheet of mesh"),
                (120.0, 4800.0),
                MEMORY,
            ),
        ];
        let lap = steel.lap.unwrap_or_else(|| {
            let (more, least) = if self.is_us() {
                (Length::inches(2.0), Length::inches(6.0))
            } else {
                (Length::millimetres(50.0), Length::millimetres(150.0))
            };
            let value = (spacing + more).max(least);
            let source = "a space and 2 in., at least 6 in., from memory";
            self.take("reinforcement.lap", "lap of the mesh", value, size(value, self.units), source)
        });
        MeshOrdered {
            wire,
            spacing,
            sheet,
            lap,
            cover: self.length(
                steel.cover,
                ("reinforcement.cover", "mesh stays off the edge by"),
                (2.0, 50.0),
                PRACTICE,
            ),
            chairs: self.length(
                steel.chairs,
                ("reinforcement.chairs", "distance of chairs"),
                (36.0, 900.0),
                PRACTICE,
            ),
        }
    }

    pub(super) fn bars(&mut self, job: &Job) -> BarsOrdered {
        let steel = &job.reinforcement;
        let bar = steel.bar.unwrap_or_else(|| {
            let bar = self.customary_bar();
            self.take("reinforcement.bar", "size of the bars", bar, bar.word.to_owned(), PRACTICE)
        });
        let lap = steel.lap.unwrap_or_else(|| {
            let value = bar.diameter * 40.0;
            let source = "40 bar diameters, rule of thumb from memory";
            self.take("reinforcement.lap", "lap of the bars", value, size(value, self.units), source)
        });
        BarsOrdered {
            bar,
            spacing: self.length(
                steel.spacing,
                ("reinforcement.spacing", "distance of the bars"),
                (18.0, 450.0),
                PRACTICE,
            ),
            lap,
            cover: self.length(
                steel.cover,
                ("reinforcement.cover", "bars stay off the edge by"),
                (3.0, 75.0),
                "3 in. where concrete is cast against the ground, from memory",
            ),
            chairs: self.length(
                steel.chairs,
                ("reinforcement.chairs", "distance of chairs"),
                (48.0, 1200.0),
                PRACTICE,
            ),
        }
    }

    /// The bar that goes across inner corners.
    pub(super) fn customary_bar(&self) -> Bar {
        if self.is_us() { BARS[1] } else { BARS[6] }
    }

    /// Lengths in which something is sold.
    fn stock(
        &mut self,
        stated: &[Length],
        (key, what): (&str, &str),
        us: &[f64],
        metres: &[f64],
    ) -> Vec<Length> {
        if !stated.is_empty() {
            return stated.to_vec();
        }
        let value: Vec<Length> = match self.units {
            UnitSystem::Us => us.iter().map(|feet| Length::feet(*feet)).collect(),
            UnitSystem::Metric => metres.iter().map(|metres| Length::metres(*metres)).collect(),
        };
        let said: Vec<String> = value.iter().map(|l| size(*l, self.units)).collect();
        self.take(key, what, value, said.join(", "), PRACTICE)
    }

    pub(super) fn bar_stock(&mut self, job: &Job) -> Vec<Length> {
        self.stock(&job.supplies.bars, ("takeoff.bars", "bars are sold in"), &[20.0], &[6.0])
    }

    pub(super) fn boards(&mut self, job: &Job) -> (Vec<Length>, Length, Length) {
        let given = &job.supplies;
        let (us, metric) = ([8.0, 10.0, 12.0, 14.0, 16.0], [3.0, 4.0, 5.0]);
        (
            self.stock(&given.boards, ("takeoff.boards", "boards are sold in"), &us, &metric),
            self.length(given.kerf, ("takeoff.kerf", "what a saw takes"), (0.125, 3.0), PRACTICE),
            self.length(given.stakes, ("takeoff.stakes", "distance of stakes"), (36.0, 900.0), PRACTICE),
        )
    }

    pub(super) fn poly(&mut self, job: &Job) -> PolyOrdered {
        let given = &job.supplies;
        let upturn = given.poly_upturn.unwrap_or_else(|| {
            let value = job.slab.nominal;
            let source = "up to the top of the slab; common practice, no source";
            self.take("takeoff.poly_upturn", "poly is turned up by", value, size(value, self.units), source)
        });
        PolyOrdered {
            sheet: [
                self.length(
                    given.poly_width,
                    ("takeoff.poly_width", "width of a roll of poly"),
                    (240.0, 4000.0),
                    PRACTICE,
                ),
                self.length(
                    given.poly_length,
                    ("takeoff.poly_length", "length of a roll of poly"),
                    (1200.0, 25_000.0),
                    PRACTICE,
                ),
            ],
            lap: self.length(
                given.poly_lap,
                ("takeoff.poly_lap", "lap of poly"),
                (6.0, 150.0),
                "6 in. at least (IRC R506.2.3)",
            ),
            upturn,
        }
    }

    pub(super) fn strip(&mut self, job: &Job) -> Length {
        let at = ("takeoff.strip", "isolation strip is sold in");
        self.length(job.supplies.strip, at, (120.0, 3000.0), PRACTICE)
    }

    pub(super) fn cure(&mut self, job: &Job) -> Cover {
        job.supplies.cure.unwrap_or_else(|| {
            let value = super::COVER;
            let source = "rate at which compounds are tested (ASTM C156)";
            self.take("takeoff.cure", "compound covers", value, cover(value, self.units), source)
        })
    }

    pub(super) fn pail(&mut self, job: &Job) -> Volume {
        job.supplies.pail.unwrap_or_else(|| {
            let value = if self.is_us() { Volume::gallons(5.0) } else { Volume::litres(20.0) };
            let said = if self.is_us() { "5 gal".to_owned() } else { "20 l".to_owned() };
            self.take("takeoff.pail", "compound is sold in", value, said, PRACTICE)
        })
    }

    pub(super) fn stone_weight(&mut self, job: &Job) -> Density {
        job.supplies.stone_weight.unwrap_or_else(|| {
            let value = super::LOOSE_STONE;
            let source = "base course on the truck (WSDOT Design Manual 620)";
            self.take(
                "takeoff.stone_weight",
                "loose stone weighs",
                value,
                by_volume(value, self.units),
                source,
            )
        })
    }
}

/// A mass by volume as goods are told: by the yard.
pub(super) fn by_volume(mass: Density, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{} lb/yd3", (mass.in_pounds_per_cubic_yard() * 100.0).round() / 100.0),
        UnitSystem::Metric => density(mass, units),
    }
}

/// A volume as goods are told: gallons or litres.
pub(super) fn small_volume(amount: Volume, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{} gal", (amount.in_gallons() * 10.0).round() / 10.0),
        UnitSystem::Metric if amount < Volume::cubic_metres(1.0) => format!("{:.0} l", amount.in_litres()),
        UnitSystem::Metric => volume(amount, units),
    }
}
