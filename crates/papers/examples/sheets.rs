//! Prints a drawing of an invented T-shaped floor: `cargo run -p papers --example sheets -- pads > pads.svg`.

#[path = "../tests/drawings/sample.rs"]
mod sample;

fn main() {
    let wanted = std::env::args().nth(1).unwrap_or_default();
    let layers = sample::all();
    match layers.iter().find(|(name, _)| *name == wanted) {
        Some((_, layer)) => print!("{}", papers::draw(&sample::floor(), layer)),
        None => eprintln!("layers: {}", layers.map(|(name, _)| name).join(" ")),
    }
}
