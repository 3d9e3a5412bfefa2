//! The floor in small triangles, each judged from every stand.

use basis::{Area, Volume};
use ground::polygon::{clip_convex, signed_area};
use ground::{P2, Polygon};

use super::chutes::{ChuteSet, Eye};
use super::{Amount, BayReach, Beyond, ReachInput};
use crate::bays::Bay;

/// Largest piece judged as a whole, m; larger on floors over about 2,000 m².
const COARSE: f64 = 1.0;
/// Halvings of a piece that lies on a limit: its pieces end at a thirtieth of its area.
const HALVINGS: u32 = 5;
/// Largest patch whose volume is shared by area between what is reached and what is not, m.
const PATCH: f64 = 2.0;

/// All that the judging finds.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub bays: Vec<BayReach>,
    /// Area by stand and by shortest set of chutes, m².
    pub areas: Vec<Vec<f64>>,
    pub flattest: Vec<f64>,
    pub reasons: [Amount; 4],
    pub excess: f64,
    pub raise: f64,
}

/// Judges the whole floor, bay by bay.
pub(super) fn judge(input: &ReachInput<'_>, sets: &[ChuteSet], eyes: &[Option<Eye>]) -> Found {
    let judge = Judge { input, sets, eyes, coarse: COARSE.max((input.floor.area / 2000.0).sqrt()) };
    let mut found = Found {
        bays: Vec::new(),
        areas: vec![vec![0.0; sets.len()]; eyes.len()],
        flattest: vec![f64::INFINITY; eyes.len()],
        reasons: [Amount::NONE; 4],
        excess: 0.0,
        raise: 0.0,
    };
    for bay in input.bays {
        let row = judge.bay(bay, &mut found);
        found.bays.push(row);
    }
    found
}

/// The shortest set of chutes that reaches a place from one stand, or why none does.
type State = Result<usize, Beyond>;

struct Judge<'a> {
    input: &'a ReachInput<'a>,
    sets: &'a [ChuteSet],
    eyes: &'a [Option<Eye>],
    coarse: f64,
}

impl Judge<'_> {
    fn bay(&self, bay: &Bay, found: &mut Found) -> BayReach {
        let volume = (self.input.volume)(&bay.window);
        let mut row = BayReach {
            bay: bay.number,
            whole: Amount { area: bay.area, volume },
            beyond: Amount::NONE,
            from: Vec::new(),
        };
        let mut by_stand = vec![vec![0.0; self.sets.len()]; self.eyes.len()];
        for triangle in &self.input.floor.triangles {
            let ring = clip_convex(triangle, bay.window.corners());
            for i in 1..ring.len().saturating_sub(1) {
                self.patch([ring[0], ring[i], ring[i + 1]], &mut row, &mut by_stand, found);
            }
        }
        for (stand, areas) in by_stand.iter().enumerate() {
            for (set, area) in areas.iter().enumerate() {
                found.areas[stand][set] += area;
            }
            let sum: f64 = areas.iter().sum();
            // Crumbs of a piece on the limit do not ask for a longer chute.
            let crumb = 1e-3 * bay.area.in_square_metres();
            if let Some(set) = areas.iter().rposition(|&a| a > crumb).filter(|_| sum > crumb) {
                row.from.push((stand, set, Area::square_metres(sum)));
            }
        }
        row
    }

    /// Judges a triangle of at most the size of a patch, and shares its exact volume by area.
    fn patch(&self, t: [P2; 3], row: &mut BayReach, by_stand: &mut [Vec<f64>], found: &mut Found) {
        if let Some([left, right]) = halves(&t, PATCH.max(self.coarse)) {
            self.patch(left, row, by_stand, found);
            self.patch(right, row, by_stand, found);
            return;
        }
        let mut missed = [0.0; 4];
        self.piece(t, HALVINGS, &mut missed, by_stand, found);
        let area = signed_area(&t);
        if missed.iter().all(|&m| m <= 0.0) || area <= 0.0 {
            return;
        }
        let volume = self.volume(&t);
        for (sum, &m) in found.reasons.iter_mut().zip(&missed).filter(|(_, m)| **m > 0.0) {
            let amount = Amount { area: Area::square_metres(m), volume: volume * (m / area) };
            row.beyond += amount;
            *sum += amount;
        }
    }

    /// Judges a triangle, or halves it while it is large or lies on a limit.
    fn piece(
        &self,
        t: [P2; 3],
        halvings: u32,
        missed: &mut [f64; 4],
        by_stand: &mut [Vec<f64>],
        found: &mut Found,
    ) {
        let area = signed_area(&t);
        if !area.is_finite() || area <= 0.0 {
            return;
        }
        let state = self.state((t[0] + t[1] + t[2]) / 3.0);
        let large = halves(&t, self.coarse);
        let rest = if large.is_some() { halvings } else { halvings.saturating_sub(1) };
        let split = large.or_else(|| {
            let on_limit = halvings > 0 && t.iter().any(|&p| self.state(p) != state);
            if on_limit { halves(&t, 0.0) } else { None }
        });
        match split {
            Some(parts) => parts.into_iter().for_each(|part| self.piece(part, rest, missed, by_stand, found)),
            None => self.count(&t, area, &state, missed, by_stand, found),
        }
    }

    /// For each stand the shortest set that reaches a place, or why none does.
    fn state(&self, p: P2) -> Vec<State> {
        let z = (self.input.finish)(p);
        let state = |eye: &Option<Eye>| {
            let view = eye
                .as_ref()
                .map(|eye| eye.view(p, z))
                .filter(|view| view.swings)
                .ok_or(Beyond::OutsideSwing)?;
            let set = self.sets.iter().position(|s| view.distance <= s.reach.in_metres());
            match (set, view.lacking <= 0.0) {
                (Some(set), true) => Ok(set),
                (Some(_), false) => Err(Beyond::TooFlat),
                (None, true) => Err(Beyond::TooFar),
                (None, false) => Err(Beyond::TooFarAndFlat),
            }
        };
        self.eyes.iter().map(state).collect()
    }

    fn count(
        &self,
        t: &[P2; 3],
        area: f64,
        state: &[State],
        missed: &mut [f64; 4],
        by_stand: &mut [Vec<f64>],
        found: &mut Found,
    ) {
        let middle = (t[0] + t[1] + t[2]) / 3.0;
        let z = (self.input.finish)(middle);
        let mut reached = false;
        for (stand, set) in state.iter().enumerate() {
            if let Ok(set) = set {
                by_stand[stand][*set] += area;
                reached = true;
                if let Some(eye) = &self.eyes[stand] {
                    found.flattest[stand] = found.flattest[stand].min(eye.view(middle, z).fall);
                }
            }
        }
        if !reached {
            missed[self.why(t, z, state, found) as usize] += area;
        }
    }

    fn volume(&self, t: &[P2; 3]) -> Volume {
        let volume = (self.input.volume)(&Polygon::new(t.to_vec()));
        if volume.is_finite() { volume } else { Volume::cubic_metres(0.0) }
    }

    /// Why a piece is not reached: the reason that is easiest to mend. Notes how much is missing.
    fn why(&self, t: &[P2; 3], z: Option<f64>, state: &[State], found: &mut Found) -> Beyond {
        let full = self.sets.last().map_or(0.0, |s| s.reach.in_metres());
        let why = state.iter().filter_map(|s| s.err()).min().unwrap_or(Beyond::OutsideSwing);
        let (mut short, mut low) = (f64::INFINITY, f64::INFINITY);
        for (eye, _) in self.eyes.iter().zip(state).filter(|(_, s)| **s == Err(why)) {
            let Some(eye) = eye else { continue };
            // What mends the whole piece must mend its worst corner.
            let views = t.map(|p| eye.view(p, z));
            short = short.min(views.iter().map(|v| v.distance - full).fold(0.0, f64::max));
            low = low.min(views.iter().map(|v| v.lacking).fold(0.0, f64::max));
        }
        match why {
            Beyond::TooFar if short.is_finite() => found.excess = found.excess.max(short),
            Beyond::TooFlat if low.is_finite() => found.raise = found.raise.max(low),
            _ => {}
        }
        why
    }
}

/// The two halves of a triangle across its longest side, if that is longer than allowed.
fn halves(t: &[P2; 3], longest: f64) -> Option<[[P2; 3]; 2]> {
    let side = |i: usize| t[i].distance(t[(i + 1) % 3]);
    let i = (0..3).max_by(|&i, &j| side(i).total_cmp(&side(j)))?;
    if side(i).partial_cmp(&longest) != Some(std::cmp::Ordering::Greater) {
        return None;
    }
    let (a, b, c) = (t[i], t[(i + 1) % 3], t[(i + 2) % 3]);
    let m = a.lerp(b, 0.5);
    // Too thin to halve in floating point: it is judged as it is.
    if m == a || m == b { None } else { Some([[a, m, c], [m, b, c]]) }
}
