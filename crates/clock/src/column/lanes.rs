//! Several columns of one shape, worked side by side: each array holds one number of every lane.
//!
//! The scheme is TR-BDF2 [@bank-1985], of second order and L-stable. Both of its stages have the same matrix, and only its
//! first row depends on the weather; so all rows below are eliminated once, from the bottom up, and a stage costs two sweeps
//! without a division. Nothing in a lane depends on its neighbours: alone and in a batch a column gives the same bits.

// Several arrays are walked in step here; iterators over all of them would hide the formulas.
#![allow(clippy::needless_range_loop)]

use std::array::from_fn;

use super::fast;
use super::ledger::Ledger;
use super::problem::{Drive, Problem};
use super::sheen::{Coming, Sheen};
use super::skin::{Face, Flux};
use crate::history::State;
use crate::hydration::REFERENCE;

pub(super) type Row<const L: usize> = [f64; L];

/// γ of TR-BDF2, 2 − √2: with it both stages have the same matrix.
pub(super) const GAMMA: f64 = 2.0 - std::f64::consts::SQRT_2;
/// Parts of the working step until the first state that is kept: fresh concrete on cold ground, wet, in the sun.
const FIRST_PARTS: usize = 8;
/// Parts of it while water comes and goes: as long as the concrete is fresh, s, and throughout where it rains.
const FRESH_PARTS: usize = 2;
const FRESH: f64 = 10.0 * 3600.0;
/// Weights of the second stage: 1/(γ(2−γ)) of the first and (1−γ)²/(γ(2−γ)) of the start.
pub(super) const OF_STAGE: f64 = 1.0 / (GAMMA * (2.0 - GAMMA));
const OF_START: f64 = (1.0 - GAMMA) * (1.0 - GAMMA) * OF_STAGE;

/// The state of all lanes and what stays the same from step to step.
pub(super) struct Lanes<'a, const L: usize> {
    problems: [&'a Problem; L],
    nodes: usize,
    /// Nodes of the slab, its bottom included.
    slab: usize,
    /// Half of γ times the step, s.
    theta: Row<L>,
    step: Row<L>,
    capacity: Vec<Row<L>>,
    link: Vec<Row<L>>,
    volume: Vec<Row<L>>,
    /// θ·link / pivot of the node below: what a row passes upward.
    up: Vec<Row<L>>,
    /// One over the pivot.
    inverse: Vec<Row<L>>,
    /// Pivot of the surface without its flux.
    top: Row<L>,
    temperature: Vec<Row<L>>,
    /// Temperatures one step ago, slab only.
    before: Vec<Row<L>>,
    stage: Vec<Row<L>>,
    right: Vec<Row<L>>,
    /// Equivalent ages of every second node of the slab, hours, and the degrees at them.
    age: Vec<Row<L>>,
    degree: Vec<Row<L>>,
    /// Heat set free in the step, J/m² of each slab node.
    heat: Vec<Row<L>>,
    sheen: Sheen<L>,
    now: [Drive; L],
    pub ledger: Ledger<L>,
}

impl<'a, const L: usize> Lanes<'a, L> {
    pub(super) fn new(problems: [&'a Problem; L]) -> Self {
        let nodes = problems[0].mesh.capacity.len();
        let slab = problems[0].mesh.slab.len();
        let rows = |n: usize, get: &dyn Fn(&Problem, usize) -> f64| -> Vec<Row<L>> {
            (0..n).map(|i| from_fn(|l| get(problems[l], i))).collect()
        };
        let temperature = rows(nodes, &|p, i| p.start[i]);
        let age = rows(slab.div_ceil(2), &|p, _| p.heating.age);
        let mut lanes = Self {
            problems,
            nodes,
            slab,
            theta: [0.0; L],
            step: [0.0; L],
            capacity: rows(nodes, &|p, i| p.mesh.capacity[i]),
            link: rows(nodes, &|p, i| p.mesh.link[i]),
            volume: rows(slab, &|p, i| p.mesh.slab[i]),
            up: vec![[0.0; L]; nodes],
            inverse: vec![[0.0; L]; nodes],
            top: [0.0; L],
            before: temperature[..slab].to_vec(),
            stage: temperature.clone(),
            right: vec![[0.0; L]; nodes],
            degree: vec![[0.0; L]; age.len()],
            heat: vec![[0.0; L]; slab],
            sheen: Sheen::new(from_fn(|l| problems[l].rising)),
            now: from_fn(|l| problems[l].drive(0.0)),
            ledger: Ledger::default(),
            temperature,
            age,
        };
        lanes.hydrate([0.0; L]);
        lanes
    }

    /// Takes a part of the working step from here on.
    fn set_step(&mut self, part: f64) {
        self.step = from_fn(|l| self.problems[l].march.step * part);
        self.theta = from_fn(|l| 0.5 * GAMMA * self.step[l]);
        // The next step extrapolates from the last, which must have had its length.
        self.before.copy_from_slice(&self.temperature[..self.slab]);
        self.eliminate();
    }

    /// Factors all rows below the surface, from the bottom up.
    fn eliminate(&mut self) {
        for i in (0..self.nodes).rev() {
            for l in 0..L {
                let above = if i > 0 { self.link[i - 1][l] } else { 0.0 };
                let own = self.capacity[i][l] + self.theta[l] * (above + self.link[i][l]);
                let below = if i + 1 < self.nodes {
                    let pull = self.theta[l] * self.link[i][l];
                    self.up[i][l] = pull * self.inverse[i + 1][l];
                    pull * self.up[i][l]
                } else {
                    0.0
                };
                let pivot = own - below;
                self.inverse[i][l] = 1.0 / pivot;
                if i == 0 {
                    self.top[l] = pivot;
                }
            }
        }
    }

    /// Grows equivalent age and degree by a step of `hours` at the temperature of its middle, and books the heat.
    ///
    /// Every second node is figured; those between take the mean heat of their neighbours.
    #[inline(never)]
    fn hydrate(&mut self, hours: Row<L>) {
        let heating: [_; L] = from_fn(|l| self.problems[l].heating);
        let of = |get: fn(&super::problem::Heating) -> f64| -> Row<L> { from_fn(|l| get(&heating[l])) };
        let (heat, ultimate, log_time) = (of(|h| h.heat), of(|h| h.ultimate), of(|h| h.log_time));
        let (shape, activation) = (of(|h| h.shape), of(|h| h.activation));
        for k in 0..self.age.len() {
            // Rows are copied out and back, so that the compiler sees that they do not overlap.
            let (mut age, mut degree) = (self.age[k], self.degree[k]);
            let (now, before) = (self.temperature[2 * k], self.before[2 * k]);
            let mut freed = [0.0; L];
            for l in 0..L {
                let middle = 1.5 * now[l] - 0.5 * before[l] + 273.15;
                let speed = fast::exp_within(activation[l] * (1.0 / REFERENCE - 1.0 / middle));
                age[l] += hours[l] * speed;
                let spent = fast::exp_within(shape[l] * (log_time[l] - fast::ln(age[l])));
                let grown = ultimate[l] * fast::exp(-spent);
                freed[l] = heat[l] * (grown - degree[l]);
                degree[l] = grown;
            }
            (self.age[k], self.degree[k], self.heat[2 * k]) = (age, degree, freed);
        }
        for i in (1..self.slab).step_by(2) {
            let (above, below) = (self.heat[i - 1], self.heat[i + 1]);
            self.heat[i] = from_fn(|l| 0.5 * (above[l] + below[l]));
        }
        for (heat, volume) in self.heat.iter_mut().zip(&self.volume) {
            for l in 0..L {
                heat[l] *= volume[l];
            }
        }
        for i in 0..self.slab {
            self.before[i] = self.temperature[i];
        }
    }

    /// Right side of the first stage: the start, half of its fluxes, the heat of γ of the step.
    fn first_right_side(&mut self) {
        // What flows from a node to the next below; each node loses its own and gains that of the one above.
        let mut above = [0.0; L];
        let foot: Row<L> = from_fn(|l| self.problems[l].foot);
        let theta = self.theta;
        for i in 0..self.nodes {
            let (t, capacity, link) = (self.temperature[i], self.capacity[i], self.link[i]);
            let below = *self.temperature.get(i + 1).unwrap_or(&foot);
            let mut right = [0.0; L];
            for l in 0..L {
                let flow = link[l] * (t[l] - below[l]);
                right[l] = capacity[l] * t[l] + theta[l] * (above[l] - flow);
                above[l] = flow;
            }
            self.right[i] = right;
        }
        self.add_heat(GAMMA);
    }

    /// Right side of the second stage.
    fn second_right_side(&mut self) {
        for i in 0..self.nodes {
            let (stage, start, capacity) = (self.stage[i], self.temperature[i], self.capacity[i]);
            self.right[i] = from_fn(|l| capacity[l] * (OF_STAGE * stage[l] - OF_START * start[l]));
        }
        self.add_heat(0.5 * GAMMA);
    }

    /// Adds a part of the step's heat of hydration to the right side.
    fn add_heat(&mut self, part: f64) {
        for (right, heat) in self.right.iter_mut().zip(&self.heat) {
            for l in 0..L {
                right[l] += part * heat[l];
            }
        }
    }

    /// Solves one stage into `stage`; the flux is a line through its value at `at`.
    fn solve(&mut self, flux: &Flux<L>, at: &Row<L>) {
        let last = self.nodes - 1;
        for l in 0..L {
            self.right[last][l] += self.theta[l] * self.link[last][l] * self.problems[l].foot;
            self.right[0][l] += self.theta[l] * (flux.heat[l] - flux.heat_slope[l] * at[l]);
        }
        let mut below = self.right[last];
        for i in (0..last).rev() {
            let (right, up) = (self.right[i], self.up[i]);
            below = from_fn(|l| right[l] + up[l] * below[l]);
            self.right[i] = below;
        }
        for l in 0..L {
            self.stage[0][l] = self.right[0][l] / (self.top[l] - self.theta[l] * flux.heat_slope[l]);
        }
        let (mut above, theta) = (self.stage[0], self.theta);
        for i in 1..self.nodes {
            let (link, right, inverse) = (self.link[i - 1], self.right[i], self.inverse[i]);
            above = from_fn(|l| (right[l] + theta[l] * link[l] * above[l]) * inverse[l]);
            self.stage[i] = above;
        }
    }

    /// Surface temperature in the middle of the step to come.
    fn surface_midway(&self) -> Row<L> {
        from_fn(|l| 1.5 * self.temperature[0][l] - 0.5 * self.before[0][l])
    }

    /// One working step from a time after placing.
    fn advance(&mut self, time: Row<L>) {
        let drive = |ahead: f64| -> [Drive; L] {
            from_fn(|l| self.problems[l].drive(time[l] + ahead * self.step[l]))
        };
        let (mid, end) = (drive(GAMMA), drive(1.0));
        let skins = from_fn(|l| self.problems[l].skin(time[l] + 0.5 * self.step[l]));
        let midway = self.surface_midway();
        let middle_age = self.age[(self.slab - 1) / 4];
        self.hydrate(from_fn(|l| self.step[l] / 3600.0));
        let coming = Coming {
            time,
            step: self.step,
            drives: [&self.now, &mid, &end],
            surface: &midway,
            ages: [&middle_age, &self.age[(self.slab - 1) / 4]],
            skins: &skins,
        };
        self.sheen.begin(&coming);
        let (face, wet) = (Face { skins }, self.sheen.wet);

        let start = self.temperature[0];
        let first = face.flux(&self.now, &start, &wet[0]);
        let ledger_foot = self.foot_flux(&self.temperature);
        self.first_right_side();
        for l in 0..L {
            self.right[0][l] += self.theta[l] * first.heat[l];
        }
        let second = face.flux(&mid, &start, &wet[1]);
        self.solve(&second, &start);
        let (stage, stage_foot) = (self.stage[0], self.foot_flux(&self.stage));

        let guess = from_fn(|l| start[l] + (stage[l] - start[l]) / GAMMA);
        self.second_right_side();
        let third = face.flux(&end, &guess, &wet[2]);
        self.solve(&third, &guess);

        let heat = Flux::weigh(
            &self.theta,
            &first.heat,
            &second.heat_at(&start, &stage),
            &third.heat_at(&guess, &self.stage[0]),
        );
        let vapour = Flux::weigh(
            &self.theta,
            &first.vapour,
            &second.vapour_at(&start, &stage),
            &third.vapour_at(&guess, &self.stage[0]),
        );
        let foot = Flux::weigh(&self.theta, &ledger_foot, &stage_foot, &self.foot_flux(&self.stage));
        self.book(&heat, &foot);
        self.sheen.end(&vapour);
        std::mem::swap(&mut self.temperature, &mut self.stage);
        self.now = end;
    }

    fn foot_flux(&self, temperature: &[Row<L>]) -> Row<L> {
        let last = self.nodes - 1;
        from_fn(|l| self.link[last][l] * (self.problems[l].foot - temperature[last][l]))
    }

    /// Books the step: what came through the top, from the foot and from hydration, against what is stored.
    fn book(&mut self, heat: &Row<L>, foot: &Row<L>) {
        let mut stored = [0.0; L];
        for i in 0..self.nodes {
            let (capacity, after, before) = (self.capacity[i], self.stage[i], self.temperature[i]);
            stored = from_fn(|l| stored[l] + capacity[l] * (after[l] - before[l]));
        }
        let mut set_free = [0.0; L];
        for i in 0..self.slab {
            for l in 0..L {
                set_free[l] += self.heat[i][l];
            }
        }
        self.ledger.enter(heat, foot, &set_free, &stored);
    }

    fn state(&self, l: usize) -> State {
        let (last, half) = (self.slab - 1, (self.slab - 1) / 2);
        let t = &self.temperature;
        let depth: f64 = self.volume.iter().map(|row| row[l]).sum();
        let content: f64 = (0..self.slab).map(|i| self.volume[i][l] * t[i][l]).sum();
        let face = Face::<1>::bare();
        let open = face.flux(&[self.now[l]], &[t[0][l]], &[1.0]);
        State {
            surface: t[0][l],
            middle: t[half][l],
            bottom: t[last][l],
            mean: content / depth,
            age_surface: self.age[0][l],
            age_middle: self.age[half / 2][l],
            age_bottom: self.age[last / 2][l],
            evaporation: self.sheen.evaporation(l),
            demand: 3600.0 * open.vapour[0],
            bleeding: self.sheen.bleeding(l),
            water: self.sheen.water(l),
        }
    }

    /// Into how many parts the working step is cut between a state that is kept and the next.
    fn parts(&self, kept: usize) -> usize {
        let problem = self.problems[0];
        let after = problem.march.step * (problem.march.stride * kept) as f64;
        if kept == 0 {
            FIRST_PARTS
        } else if after < FRESH || problem.rains() {
            FRESH_PARTS
        } else {
            1
        }
    }

    /// Runs all lanes and keeps the states of the first `wanted`.
    pub(super) fn run(&mut self, wanted: usize) -> Vec<Vec<State>> {
        let march = self.problems[0].march;
        let mut states: Vec<Vec<State>> = (0..wanted).map(|_| Vec::with_capacity(march.kept + 1)).collect();
        for kept in 0..=march.kept {
            for (l, list) in states.iter_mut().enumerate() {
                list.push(self.state(l));
            }
            if kept < march.kept {
                let parts = self.parts(kept);
                if kept == 0 || parts != self.parts(kept - 1) {
                    self.set_step(1.0 / parts as f64);
                }
                for step in 0..march.stride * parts {
                    let steps = kept * march.stride * parts + step;
                    self.advance(from_fn(|l| steps as f64 * self.step[l]));
                }
            }
        }
        for list in &mut states {
            super::sheen::first_as_second(list);
        }
        self.ledger.water = self.sheen.books();
        states
    }

    /// Temperatures of all nodes of a lane.
    #[cfg(test)]
    pub(super) fn temperatures(&self, l: usize) -> Vec<f64> {
        self.temperature.iter().map(|row| row[l]).collect()
    }
}
