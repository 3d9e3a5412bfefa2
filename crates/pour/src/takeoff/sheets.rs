//! Poly and mesh: laid, cut and bought.

use basis::has_fault;
use ground::P2;
use ground::zones::triangles_of;

use super::check::{self, Lapped};
use super::layout::{self, SheetLayout};
use super::{Taker, steel, whole};
use crate::job::{ReinforcementKind, Sheet};
use crate::unit::{Amount, Goods};

impl Taker<'_> {
    pub(super) fn poly(&mut self) -> Option<SheetLayout> {
        let job = self.input.job;
        if job.bed.sheet != Some(Sheet::UnderSlab) {
            return None;
        }
        let ordered = self.settler.poly(job);
        let what =
            format!("poly, rolls of {} by {}", self.told(ordered.sheet[0]), self.told(ordered.sheet[1]));
        let asked = layout::SheetsAsked {
            what: &what,
            sheet: ordered.sheet,
            lap: ordered.lap,
            inset: -ordered.upturn,
            step: self.step(),
        };
        // Poly runs on under openings and is cut out there.
        let triangles = triangles_of(&self.input.plan.floor.boundary);
        let layout = self.sheets(&triangles, &asked, ["takeoff.poly_width", "takeoff.poly_lap"])?;
        let [width, long] = layout.sheet;
        let count = layout.cuts.sheets.len();
        let bought =
            Goods { count: Some(whole(count)), area: Some(width * long * count as f64), ..Goods::default() };
        self.add(1, what, Amount::Area(self.area()), Amount::Goods(bought));
        Some(layout)
    }

    pub(super) fn mesh(&mut self) -> Option<SheetLayout> {
        let job = self.input.job;
        if job.reinforcement.kind != ReinforcementKind::Mesh {
            return None;
        }
        let ordered = self.settler.mesh(job);
        let (spacing, [width, long]) =
            (self.told(ordered.spacing), ordered.sheet.map(|side| self.told(side)));
        let what = format!("mesh {spacing} by {spacing}, wire {}, {width} by {long}", ordered.wire.word);
        let asked = layout::SheetsAsked {
            what: &what,
            sheet: ordered.sheet,
            lap: ordered.lap,
            inset: ordered.cover,
            step: self.step(),
        };
        let triangles = &self.input.plan.floor.triangles;
        let mut layout = self.sheets(triangles, &asked, ["reinforcement.width", "reinforcement.lap"])?;
        self.if_no_room(layout.pieces.is_empty());
        let mass = steel::mesh_mass(ordered.wire, ordered.spacing, ordered.sheet);
        layout.mass = Some(mass);
        let [width, long] = layout.sheet;
        let count = layout.cuts.sheets.len();
        let bought = Goods {
            count: Some(whole(count)),
            area: Some(width * long * count as f64),
            mass: Some(mass * count as f64),
            ..Goods::default()
        };
        self.add(2, what, Amount::Area(self.area()), Amount::Goods(bought));
        self.chairs(ordered.chairs);
        Some(layout)
    }

    fn sheets(
        &mut self,
        triangles: &[[P2; 3]],
        asked: &layout::SheetsAsked<'_>,
        [size, lap]: [&'static str; 2],
    ) -> Option<SheetLayout> {
        let before = self.notes.len();
        let what = if size.starts_with("takeoff") {
            "width or length of a roll"
        } else {
            "width or length of a sheet"
        };
        check::lap(
            &Lapped { what, key: lap, lap: asked.lap, sizes: &asked.sheet },
            self.units(),
            &mut self.notes,
        );
        if self.notes.len() == before {
            let boundary = self.input.plan.floor.boundary.corners();
            check::sizes(boundary, (size, asked.sheet, asked.lap), &mut self.notes);
        }
        if has_fault(&self.notes) {
            return None;
        }
        match layout::sheets(&self.frame, triangles, asked) {
            Ok(layout) => Some(layout),
            Err(trouble) => {
                self.trouble(size, asked.what, trouble);
                None
            }
        }
    }
}
