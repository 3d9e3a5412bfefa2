//! Typical compositions of cements by type.

use crate::mix::{Cement, CementAnalysis};

/// Composition of a cement: its own analysis, or the typical one of its type [@kosmatka-wilson-2016].
///
/// Silicates, aluminates and fineness are means of a survey of North American cements, from memory; sulphate is typical of
/// the type, from memory; free lime of 1 % and magnesia of 2 % stand for all types, common practice, no source.
#[must_use]
pub fn composition(cement: Cement) -> CementAnalysis {
    let typical = |c3s, c2s, c3a, c4af, so3, blaine| CementAnalysis {
        c3s,
        c2s,
        c3a,
        c4af,
        so3,
        free_lime: 0.01,
        magnesia: 0.02,
        blaine,
    };
    match cement {
        Cement::TypeI => typical(0.56, 0.17, 0.09, 0.08, 0.030, 375.0),
        Cement::TypeII => typical(0.55, 0.19, 0.06, 0.11, 0.028, 377.0),
        Cement::TypeIII => typical(0.55, 0.17, 0.09, 0.08, 0.035, 548.0),
        Cement::TypeV => typical(0.54, 0.22, 0.04, 0.13, 0.023, 373.0),
        Cement::Analysis(analysis) => analysis,
    }
}
