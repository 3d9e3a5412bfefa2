//! What the forecast takes when the job does not state it, each with where it comes from.

use basis::quantity;
use basis::{Length, Place, Share, Temperature, UnitSystem};
use clock::finish::Finish;
use clock::wind;

use crate::job::{Assumed, Cure, Sheet};

const PRACTICE: &str = "common practice, no source";

/// Values taken, as they are met.
#[derive(Debug)]
pub(super) struct Taken {
    pub list: Vec<Assumed>,
    pub units: UnitSystem,
}

impl Taken {
    /// The stated value, or the default, told.
    pub fn or<Q: Copy>(
        &mut self,
        stated: Option<Q>,
        path: &str,
        what: &str,
        default: (Q, String, &str),
    ) -> Q {
        stated.unwrap_or_else(|| {
            let (value, said, source) = default;
            self.list.push(Assumed {
                place: Place::at(path),
                what: what.to_owned(),
                value: said,
                source: source.to_owned(),
            });
            value
        })
    }

    pub fn stone(&mut self, stated: Option<Length>) -> Length {
        let (value, said) = match self.units {
            UnitSystem::Us => (Length::inches(4.0), "4 in"),
            UnitSystem::Metric => (Length::millimetres(100.0), "100 mm"),
        };
        self.or(stated, "base.thickness", "thickness of the stone", (value, said.to_owned(), PRACTICE))
    }

    pub fn sheet(&mut self, stated: Option<Sheet>) -> Sheet {
        let default = (Sheet::None, "none".to_owned(), PRACTICE);
        self.or(stated, "base.sheet", "sheet under the slab", default)
    }

    /// The day's mean air stands in for the ground's temperatures.
    pub fn ground(
        &mut self,
        stated: Option<Temperature>,
        path: &str,
        what: &str,
        mean: Temperature,
    ) -> Temperature {
        let said = quantity::temperature(mean, self.units);
        self.or(stated, path, what, (mean, said, "the day's mean air, our own choice"))
    }

    pub fn height(&mut self, stated: Option<Length>) -> Length {
        let default =
            (Length::ZERO, "sea level".to_owned(), "our own choice; it moves the sun by a few per cent");
        self.or(stated, "site.elevation", "height above the sea", default)
    }

    pub fn wind_share(&mut self, stated: Option<Share>) -> Share {
        let open = Share::ratio(wind::down_to_the_slab().mean);
        let source = "open ground: between the profile over grass and the rule of two thirds";
        let said = quantity::share(open);
        self.or(stated, "site.wind_share", "wind at the slab, of that reported", (open, said, source))
    }

    pub fn finish(&mut self, stated: Option<Finish>) -> Finish {
        let default = (Finish::Broom, "broom".to_owned(), PRACTICE);
        self.or(stated, "finishing.finish", "finish", default)
    }

    pub fn cure(&mut self, stated: Option<Cure>) -> Cure {
        let default = (Cure::None, "none".to_owned(), "not stated");
        self.or(stated, "finishing.cure", "curing", default)
    }
}

/// Concrete whose temperature is not known: the air of the placing hour, but no colder and no warmer than plants
/// deliver it: 55 °F is the least that is placed in cold weather [@aci-306-1], 95 °F the most in hot [@aci-305-1].
pub(super) fn fresh_temperature(air: Temperature) -> Temperature {
    let most = Temperature::fahrenheit(95.0);
    let least = Temperature::fahrenheit(55.0);
    if air < least {
        least
    } else if air > most {
        most
    } else {
        air
    }
}
