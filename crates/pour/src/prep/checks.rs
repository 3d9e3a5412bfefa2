//! Form tops as shot, against their design.

use basis::Length;
use ground::P2;
use ground::survey::RodReading;

use super::PrepInput;

/// What to do about a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// It stands within the tolerance.
    Leave,
    /// It stands further off: reset it, or leave it knowing that the floor follows it.
    Reset,
}

/// One form top as shot.
#[derive(Debug, Clone, PartialEq)]
pub struct FormCheck {
    /// Name of the shot.
    pub name: String,
    /// Where, m.
    pub at: P2,
    /// As shot less designed: positive is high.
    pub deviation: Length,
    /// What the stick must read there.
    pub must_read: RodReading,
    /// What it reads as the form stands.
    pub reads: RodReading,
    /// What to do.
    pub verdict: Verdict,
}

/// All form shots in the order taken. A form off by just the tolerance is left.
pub(super) fn checks(input: &PrepInput<'_>) -> Vec<FormCheck> {
    let check = |form: &ground::finish::FormDeviation| {
        let within = form.deviation.abs() <= input.tolerance + ROUNDING;
        FormCheck {
            name: form.name.clone(),
            at: form.at,
            deviation: form.deviation,
            must_read: (input.reading)(form.z - form.deviation.in_metres()),
            reads: (input.reading)(form.z),
            verdict: if within { Verdict::Leave } else { Verdict::Reset },
        }
    };
    input.shot.iter().map(check).collect()
}

/// Elevations of a hundred metres, added and taken apart, are not surer than this.
const ROUNDING: Length = Length::metres(1e-9);
