//! The normal distribution and its loss against scipy.

use basis::math;
use house::python;
use serde_json::json;

#[test]
fn odds_and_losses_agree_with_scipy() {
    let (mean, spread) = (8.13, 0.31);
    let stocks: Vec<f64> = (0..15).map(|i| 7.0 + 0.25 * f64::from(i)).collect();
    let chances = [1e-9, 0.001, 0.05, 0.1, 0.5, 0.8, 0.975, 0.9999];
    let answer =
        python::ask("normal", &json!({"mean": mean, "spread": spread, "stocks": stocks, "chances": chances}));
    let (odds, short) = (python::numbers(&answer, "chance_short"), python::numbers(&answer, "short"));
    let over = python::numbers(&answer, "over");
    for (i, stock) in stocks.iter().enumerate() {
        let z = (stock - mean) / spread;
        // erfc is good to a few units in the last place on both sides.
        assert!((math::normal_above(z) - odds[i]).abs() < 1e-14 + 1e-12 * odds[i], "odds at {stock}");
        // The quadrature answers for 1e-12; the closed form loses that much where both its terms nearly cancel.
        assert!((spread * math::normal_loss(z) - short[i]).abs() < 1e-11, "short at {stock}");
        assert!((spread * math::normal_loss(-z) - over[i]).abs() < 1e-11, "left over at {stock}");
    }
    for (chance, theirs) in chances.iter().zip(python::numbers(&answer, "quantiles")) {
        // Near one the last place of the chance itself moves the quantile by 1e-12.
        assert!((math::normal_quantile(*chance) - theirs).abs() < 1e-10, "quantile of {chance}");
    }
}
