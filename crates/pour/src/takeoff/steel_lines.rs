//! Bars: laid, cut and bought, with those across inner corners.

use basis::{Length, has_fault};

use super::check::{self, Lapped};
use super::layout::{self, BarLayout};
use super::{CORNER_BAR, Taker, steel, whole};
use crate::job::ReinforcementKind;
use crate::unit::{Amount, Goods};

impl Taker<'_> {
    pub(super) fn bars(&mut self) -> Option<BarLayout> {
        let job = self.input.job;
        let corners = self.input.plan.joints.corners.len();
        let is_barred = job.reinforcement.kind == ReinforcementKind::Bars;
        if !is_barred && corners == 0 {
            return None;
        }
        let stock = self.settler.bar_stock(job);
        let longest = stock.iter().copied().fold(Length::ZERO, Length::max);
        let mut layout = None;
        let mut extra = vec![CORNER_BAR; 2 * corners];
        let mut bar = self.settler.customary_bar();
        if is_barred {
            let ordered = self.settler.bars(job);
            let sizes = [longest];
            let lapped =
                Lapped { what: "length of a bar", key: "reinforcement.lap", lap: ordered.lap, sizes: &sizes };
            check::lap(&lapped, self.units(), &mut self.notes);
            let boundary = self.input.plan.floor.boundary.corners();
            let size = [ordered.spacing, longest];
            check::sizes(boundary, ("reinforcement.spacing", size, Length::ZERO), &mut self.notes);
            if has_fault(&self.notes) {
                return None;
            }
            let rings = self.frame.rings(&self.input.plan.floor);
            let mut laid = layout::bars_each_way(&self.frame, &rings, &ordered, (longest, self.step()));
            laid.what = format!("{} bars, {} each way", ordered.bar.word, self.told(ordered.spacing));
            self.if_no_room(laid.bars.is_empty());
            self.chairs(ordered.chairs);
            if ordered.bar != bar {
                // Corner bars of another size are bought by themselves.
                self.buy_bars(bar, &std::mem::take(&mut extra), &stock, "bars across inner corners");
                bar = ordered.bar;
            }
            extra.extend(laid.kinds.iter().flat_map(|kind| std::iter::repeat_n(kind.length, kind.count)));
            layout = Some(laid);
        }
        let what = layout.as_ref().map_or("bars across inner corners".to_owned(), |laid| laid.what.clone());
        self.buy_bars(bar, &extra, &stock, &what);
        layout
    }

    fn buy_bars(&mut self, bar: steel::Bar, pieces: &[Length], stock: &[Length], what: &str) {
        if pieces.is_empty() {
            return;
        }
        let what = if what.starts_with('#') || what.starts_with(bar.word) {
            what.to_owned()
        } else {
            format!("{} {what}", bar.word)
        };
        let Some(list) = self.cut((3, "takeoff.bars"), &what, (pieces, stock, Length::ZERO), self.step())
        else {
            return;
        };
        let takes = list.length(list.plan.used());
        let bought = list.length(list.plan.bought);
        let goods = Goods {
            count: Some(whole(list.plan.sticks.len())),
            length: Some(bought),
            mass: Some(bar.mass(bought)),
            ..Goods::default()
        };
        self.cuts.push(list);
        self.add(3, what, Amount::Length(takes), Amount::Goods(goods));
    }
}
