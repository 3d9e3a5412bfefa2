//! Strip, dowels, fibers, compound, sealer and blades: what is bought by length, volume, mass or piece.

use basis::{Cover, Length, Volume};

use super::{Taker, mass, whole};
use crate::job::{Cure, ReinforcementKind};
use crate::unit::{Amount, Goods};

/// So many whole ones hold an amount that takes so many.
fn begun(many: f64) -> usize {
    (many - 1e-6).ceil().clamp(0.0, 1e9) as usize
}

impl Taker<'_> {
    pub(super) fn strips_and_dowels(&mut self) {
        let joints = &self.input.plan.joints;
        let long: Length = joints.strips.iter().map(|strip| strip.length).sum();
        if long > Length::ZERO {
            let sold = self.settler.strip(self.input.job);
            // Strips butt end to end, so what one place leaves over begins the next.
            let count = begun(long / sold);
            let goods =
                Goods { count: Some(whole(count)), length: Some(sold * count as f64), ..Goods::default() };
            let what = format!("isolation strip in {}", self.told(sold));
            self.add(7, what, Amount::Length(long), Amount::Goods(goods));
        }
        if let Some(dowels) = &joints.dowels {
            let size = [dowels.bar.diameter, dowels.bar.length];
            let [thick, long] = size.map(|l| basis::quantity::thickness(l, self.units()));
            let count = Amount::Count(whole(dowels.places.len()));
            self.add(8, format!("dowels {thick} by {long} to the slab that is there"), count, count);
        }
    }

    /// Fibers by the concrete that is ordered.
    pub(super) fn in_the_mix(&mut self) {
        let steel = &self.input.job.reinforcement;
        let Some(dose) = steel.dose.filter(|_| steel.kind == ReinforcementKind::Fiber) else { return };
        let order = &self.input.plan.order;
        let ordered: Volume = order.loads.iter().copied().sum();
        let (takes, bought) = (mass(order.need.total.mean, dose), mass(ordered, dose));
        let told = super::settle::by_volume(dose, self.units());
        self.add(
            9,
            format!("fiber in the concrete as ordered, {told}"),
            Amount::Mass(takes),
            Amount::Mass(bought),
        );
    }

    pub(super) fn on_top(&mut self) {
        let job = self.input.job;
        if job.finishing.cure == Some(Cure::Compound) {
            let cover = self.settler.cure(job);
            self.pails(10, "curing compound", cover);
        }
        if let Some(cover) = job.supplies.sealer {
            self.pails(11, "sealer", cover);
        }
        let sawn = self.input.plan.joints.sawn;
        if let Some(blade) = job.supplies.blade.filter(|_| sawn > Length::ZERO) {
            let count = Amount::Count(whole(begun(sawn / blade)));
            let what = format!("saw blades, {} each", self.told(blade));
            self.add(12, what, Amount::Length(sawn), count);
        }
    }

    fn pails(&mut self, item: usize, what: &str, cover: Cover) {
        let takes = self.area() / cover;
        let pail = self.settler.pail(self.input.job);
        let count = begun(takes / pail);
        let told = super::settle::small_volume(pail, self.units());
        let goods =
            Goods { count: Some(whole(count)), volume: Some(pail * count as f64), ..Goods::default() };
        self.add(item, format!("{what}, pails of {told}"), Amount::Volume(takes), Amount::Goods(goods));
    }
}
