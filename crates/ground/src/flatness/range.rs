//! How far a flatness or levelness number may be off by the luck of where the lines ran.

use basis::math::chi_square_quantile;

/// Spaces up to which readings are taken to say the same of the floor: the length of a straightedge.
const LAGS: usize = 10;

/// A range that holds the floor's own number 9 times in 10.
///
/// `F` goes as one over a spread. Were the readings independent and normal, `F²_floor/F²` would be `χ²_ν/ν`. They overlap and
/// follow the floor's waves, so `ν = N(N − L) / Σ_lines Σ_k (n − |k|)·ρ_k²` counts them for as many as they are worth, with the
/// correlation `ρ_k` at `k` spaces taken from the readings of all `L` lines about nought [@bayley-hammersley-1946]. This is our
/// method, not that of ASTM E1155, whose own formula we have not seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range90 {
    /// Lower end; the floor's own number lies below it 1 time in 20.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// How many independent readings they are worth, `ν`.
    pub degrees: f64,
}

impl Range90 {
    /// The range of a number from the readings of its lines.
    pub(super) fn of(number: f64, lines: &[Vec<f64>]) -> Self {
        let degrees = worth(lines);
        let end = |p: f64| number * (chi_square_quantile(p, degrees) / degrees).sqrt();
        Self { low: end(0.05), high: end(0.95), degrees }
    }
}

/// How many independent readings the readings are worth, at least 1.
fn worth(lines: &[Vec<f64>]) -> f64 {
    let count: usize = lines.iter().map(Vec::len).sum();
    let squares: f64 = lines.iter().flatten().map(|x| x * x).sum();
    let used = lines.iter().filter(|line| !line.is_empty()).count();
    if count <= used || squares == 0.0 {
        return 1.0;
    }
    let mut sum = count as f64;
    for lag in 1..=LAGS {
        let pairs: usize = lines.iter().map(|line| line.len().saturating_sub(lag)).sum();
        if pairs == 0 {
            break;
        }
        let product =
            |line: &Vec<f64>| -> f64 { line.iter().zip(line.iter().skip(lag)).map(|(a, b)| a * b).sum() };
        let together: f64 = lines.iter().map(product).sum();
        let correlation = (together / pairs as f64) / (squares / count as f64);
        sum += 2.0 * pairs as f64 * correlation * correlation;
    }
    (count as f64 * (count - used) as f64 / sum).max(1.0)
}
