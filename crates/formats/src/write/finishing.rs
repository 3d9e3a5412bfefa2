//! Mix, site, weather, bed, finish and machines as tables of the job file.

use basis::{Origin, Share};
use clock::finish::Finish;
use clock::mix::{Admixture, Aggregate, Air, AshClass, Cement, Mix};
use clock::weather::Roof;
use pour::job::{Batch, Cure, Sheet, Warmth, Weather};

use super::Writer;
use super::exact::WriteQuantity;

impl Writer<'_> {
    pub(super) fn quantity<Q: WriteQuantity>(&mut self, key: &str, value: Q) {
        let text = value.text(self.units);
        self.value(key, &text);
    }

    pub(super) fn perhaps<Q: WriteQuantity>(&mut self, key: &str, value: Option<Q>) {
        if let Some(value) = value {
            self.quantity(key, value);
        }
    }

    fn count(&mut self, key: &str, value: u32) {
        self.line(&format!("{key} = {value}"));
    }
}

/// Everything that the finishing clock goes by, as far as stated.
pub(super) fn all(out: &mut Writer<'_>) {
    mix(out);
    site(out);
    weather(out);
    finishing(out);
    machines(out);
}

/// What lies under the slab, inside `[base]`.
pub(super) fn bed(out: &mut Writer<'_>) {
    let bed = out.job.bed;
    out.perhaps("thickness", bed.stone);
    if let Some(sheet) = bed.sheet {
        let word = match sheet {
            Sheet::None => "none",
            Sheet::UnderSlab => "under slab",
            Sheet::Insulation => "insulation",
        };
        out.value("sheet", word);
    }
    out.perhaps("temperature", bed.temperature);
    out.perhaps("deep_temperature", bed.deep);
}

fn mix(out: &mut Writer<'_>) {
    let Some(ordered) = &out.job.mix else { return };
    let mix = &ordered.mix;
    out.table("mix");
    out.value("cement", cement(mix.cement));
    out.quantity("cementitious", mix.cementitious);
    out.line(&format!("water_cementitious = {:?}", mix.water_per_cementitious));
    if let Some(ash) = mix.ash {
        out.quantity("ash", ash.share);
        out.value("ash_class", if ash.class == AshClass::F { "F" } else { "C" });
    }
    if mix.slag > Share::ZERO {
        out.quantity("slag", mix.slag);
    }
    for admixture in &mix.admixtures {
        match *admixture {
            Admixture::CalciumChloride(share) => out.quantity("chloride", share),
            Admixture::Accelerator(span) => out.quantity("earlier", span),
            Admixture::Retarder(span) => out.quantity("later", span),
        }
    }
    if let Air::Entrained(share) = mix.air {
        out.quantity("air", share);
    }
    out.quantity("strength", mix.strength);
    set(out, mix);
    match ordered.warmth {
        Warmth::Stated(temperature) => out.quantity("temperature", temperature),
        Warmth::Batch(parts) => batch(out, &parts),
        Warmth::Unknown => {}
    }
}

fn set(out: &mut Writer<'_>, mix: &Mix) {
    let aggregate = match mix.aggregate {
        Aggregate::Soft => "soft",
        Aggregate::Medium => "medium",
        Aggregate::Hard => "hard",
    };
    out.value("aggregate", aggregate);
    if let Some(stated) = mix.stated_set {
        out.quantity("initial_set", stated.initial);
        out.quantity("final_set", stated.last);
        out.quantity("set_at", stated.at);
    }
    if mix.set_factor.origin != Origin::Assumed {
        let units = out.units;
        let (mean, sd) = (Share::ratio(mix.set_factor.mean), Share::ratio(mix.set_factor.sd));
        out.value("set_factor", &format!("{} +- {}", mean.text(units), sd.text(units)));
    }
}

fn cement(cement: Cement) -> &'static str {
    match cement {
        Cement::TypeI => "I",
        // An analysis has no key yet; what no file can state is not written.
        Cement::TypeII | Cement::Analysis(_) => "II",
        Cement::TypeIII => "III",
        Cement::TypeV => "V",
    }
}

fn batch(out: &mut Writer<'_>, batch: &Batch) {
    out.table("mix.batch");
    out.quantity("cement_temperature", batch.cement);
    out.quantity("aggregate", batch.aggregate_mass);
    out.quantity("aggregate_temperature", batch.aggregate);
    out.quantity("aggregate_water", batch.aggregate_water);
    out.quantity("water_temperature", batch.water);
    out.quantity("ice", batch.ice);
}

fn site(out: &mut Writer<'_>) {
    let Some(site) = &out.job.site else { return };
    out.table("site");
    out.quantity("latitude", site.latitude);
    out.quantity("longitude", site.longitude);
    out.perhaps("elevation", site.elevation);
    out.perhaps("wind_share", site.wind_share);
    if site.roof == Roof::Over {
        out.value("roof", "over");
    }
    for shade in &site.shade {
        out.one_of("site.shade");
        out.line(&format!("from = {}", shade.from));
        out.line(&format!("until = {}", shade.until));
        out.quantity("share", shade.share);
    }
}

fn weather(out: &mut Writer<'_>) {
    let Some(weather) = &out.job.weather else { return };
    out.table("weather");
    match weather {
        Weather::Hourly { file, .. } => out.value("file", file),
        Weather::Said(said) => {
            out.quantity("low", said.low);
            out.quantity("high", said.high);
            out.quantity("humidity", said.humidity);
            out.quantity("wind", said.wind);
            out.quantity("cloud", said.cloud);
        }
    }
}

fn finishing(out: &mut Writer<'_>) {
    let finishing = &out.job.finishing;
    out.table("finishing");
    if let Some(finish) = finishing.finish {
        let word = match finish {
            Finish::Broom => "broom",
            Finish::Float => "float",
            Finish::Trowel { .. } => "trowel",
            Finish::HardTrowel { .. } => "hard trowel",
        };
        out.value("finish", word);
        if finish.trowel_rounds() > 0 {
            out.count("trowel_rounds", u32::from(finish.trowel_rounds()));
        }
    }
    if let Some(people) = finishing.people {
        out.count("people", people);
    }
    out.perhaps("bull_float", finishing.bull_float);
    out.perhaps("by_hand", finishing.by_hand);
    out.perhaps("edges", finishing.edges);
    if let Some(cure) = finishing.cure {
        let word = match cure {
            Cure::None => "none",
            Cure::Compound => "compound",
            Cure::Sheet => "sheet",
            Cure::Blanket => "blanket",
        };
        out.value("cure", word);
    }
    out.perhaps("move_on", finishing.move_on);
}

fn machines(out: &mut Writer<'_>) {
    for machine in &out.job.finishing.machines {
        out.one_of("machine");
        out.value("name", &machine.name);
        out.perhaps("float", machine.float);
        out.perhaps("trowel", machine.trowel);
    }
}
