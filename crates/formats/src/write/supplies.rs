//! Reinforcement and take-off as tables of the job file.

use basis::Length;
use pour::job::{Reinforcement, ReinforcementKind, Supplies};

use super::exact::WriteQuantity;
use super::{Writer, quoted};

/// What is stated of steel and goods; nothing where nothing is.
pub(super) fn all(out: &mut Writer<'_>) {
    if out.job.reinforcement != Reinforcement::default() {
        reinforcement(out);
    }
    if out.job.supplies != Supplies::default() {
        supplies(out);
    }
}

fn reinforcement(out: &mut Writer<'_>) {
    let steel = out.job.reinforcement;
    out.table("reinforcement");
    let kind = match steel.kind {
        ReinforcementKind::None => "none",
        ReinforcementKind::Mesh => "mesh",
        ReinforcementKind::Bars => "bars",
        ReinforcementKind::Fiber => "fiber",
    };
    out.value("kind", kind);
    out.some("wire", steel.wire.map(|wire| wire.word.to_owned()));
    out.perhaps("width", steel.width);
    out.perhaps("length", steel.length);
    out.some("bar", steel.bar.map(|bar| bar.word.to_owned()));
    out.perhaps("spacing", steel.spacing);
    out.perhaps("lap", steel.lap);
    out.perhaps("cover", steel.cover);
    out.perhaps("chairs", steel.chairs);
    out.perhaps("dose", steel.dose);
}

fn supplies(out: &mut Writer<'_>) {
    let goods = &out.job.supplies;
    out.table("takeoff");
    stock(out, "bars", &goods.bars);
    stock(out, "boards", &goods.boards);
    out.perhaps("kerf", goods.kerf);
    out.perhaps("stakes", goods.stakes);
    out.perhaps("poly_width", goods.poly_width);
    out.perhaps("poly_length", goods.poly_length);
    out.perhaps("poly_lap", goods.poly_lap);
    out.perhaps("poly_upturn", goods.poly_upturn);
    out.perhaps("strip", goods.strip);
    out.perhaps("cure", goods.cure);
    out.perhaps("pail", goods.pail);
    out.perhaps("sealer", goods.sealer);
    out.perhaps("blade", goods.blade);
    out.perhaps("stone_weight", goods.stone_weight);
}

fn stock(out: &mut Writer<'_>, key: &str, lengths: &[Length]) {
    if !lengths.is_empty() {
        let units = out.units;
        let told: Vec<String> = lengths.iter().map(|length| quoted(&length.text(units))).collect();
        out.line(&format!("{key} = [{}]", told.join(", ")));
    }
}
