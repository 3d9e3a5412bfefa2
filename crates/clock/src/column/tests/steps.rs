//! What the working step and the distance of the nodes cost.

use super::*;
use crate::surface::Cover;

fn most_apart(a: &Outcome, b: &Outcome) -> f64 {
    let pairs = a.history.states.iter().zip(&b.history.states);
    pairs
        .flat_map(|(a, b)| [a.surface - b.surface, a.middle - b.middle, a.bottom - b.bottom])
        .fold(0.0_f64, |most, difference| most.max(difference.abs()))
}

/// Bar: within 0.1 K of a refined run at the working step. Refined means 15 s and nodes 2.5 mm apart.
#[test]
fn the_working_step_is_within_a_tenth_of_a_kelvin_of_a_refined_run() {
    let weather = days();
    let blanket = [Covering { from: TimeSpan::hours(9.0), cover: Cover::Blanket(0.4) }];
    let compound = [Covering { from: TimeSpan::hours(6.0), cover: Cover::CuringCompound }];
    let bare = garage(&weather);
    let mut cold = Column { covers: &blanket, ..garage(&weather) };
    cold.ground = Ground { top: Temperature::celsius(1.0), deep: Temperature::celsius(8.0) };
    let mut hot = Column { covers: &compound, ..garage(&weather) };
    hot.slab.temperature = Temperature::celsius(33.0);
    hot.slab.thickness = Length::inches(6.0);
    for column in [bare, cold, hot] {
        let fine = Fineness {
            step: TimeSpan::seconds(15.0),
            spacing: Length::millimetres(2.5),
            ..Fineness::default()
        };
        let apart = most_apart(&outcome(&column), &outcome(&Column { fineness: fine, ..column }));
        let shown = column.step_error().value.unwrap().in_kelvins();
        assert!(apart < 0.1, "{apart}");
        assert!(shown < 0.1, "{shown}");
    }
}
