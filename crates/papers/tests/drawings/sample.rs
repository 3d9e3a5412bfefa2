//! An invented T-shaped floor for the tests and for looking at.

use basis::UnitSystem;
use ground::{P2, P3};

use papers::drawing::*;

const FOOT: f64 = 0.3048;

pub fn ft(x: f64, y: f64) -> P2 {
    P2::new(x * FOOT, y * FOOT)
}

const T: [(f64, f64); 8] = [
    (0.0, 0.0),
    (40.0, 0.0),
    (40.0, 18.0),
    (28.0, 18.0),
    (28.0, 32.0),
    (12.0, 32.0),
    (12.0, 18.0),
    (0.0, 18.0),
];

pub fn floor() -> FloorDrawing {
    let boundary: Vec<P2> = T.iter().map(|(x, y)| ft(*x, *y)).collect();
    let told = ["40'", "18'", "12'", "14'", "16'", "14' 0-1/8\"", "12'", "18'"];
    let sides = (0..8)
        .map(|i| Side {
            run: vec![boundary[i], boundary[(i + 1) % 8]],
            label: told[i].into(),
            kind: if i == 4 { SideKind::Wall } else { SideKind::Form },
        })
        .collect();
    FloorDrawing {
        sheet: Sheet {
            job: "Boat shed".into(),
            setup: "front".into(),
            units: UnitSystem::Us,
            notes: vec!["An invented floor.".into()],
            ..Sheet::default()
        },
        sides,
        holes: vec![NamedRing {
            ring: vec![ft(19.5, 15.5), ft(20.5, 15.5), ft(20.5, 16.5), ft(19.5, 16.5)],
            label: "column".into(),
            more: vec!["12\" x 12\"".into()],
        }],
        doors: vec![
            DoorMark {
                a: ft(14.0, 0.0),
                b: ft(26.0, 0.0),
                label: "boat door".into(),
                more: vec!["form 1/2\" low".into()],
            },
            DoorMark { a: ft(40.0, 6.0), b: ft(40.0, 9.0), label: "side door".into(), more: Vec::new() },
        ],
        below: vec![NamedRing {
            ring: vec![ft(0.0, 17.0), ft(12.0, 17.0), ft(12.0, 18.0), ft(0.0, 18.0)],
            label: "thickened".into(),
            more: vec!["12\" below the base".into()],
        }],
        corners: boundary
            .iter()
            .zip("ABCDEFGH".chars())
            .map(|(at, c)| Spot { at: *at, label: c.into() })
            .collect(),
        overall: ["40'".into(), "32'".into()],
        boundary,
    }
}

/// A tilted and dished surface over the floor in small triangles, in feet.
fn field(z: impl Fn(f64, f64) -> f64, limits: Vec<f64>, names: Vec<String>) -> Field {
    let mut pieces = Vec::new();
    let tall = |x: f64| if (12.0..28.0).contains(&x) { 32 } else { 18 };
    for x in 0..20 {
        let x = f64::from(x) * 2.0;
        for y in 0..tall(x) / 2 {
            let y = f64::from(y) * 2.0;
            let p = |x: f64, y: f64| -> P3 { ft(x, y).at(z(x, y)) };
            pieces.push(vec![p(x, y), p(x + 2.0, y), p(x + 2.0, y + 2.0)]);
            pieces.push(vec![p(x, y), p(x + 2.0, y + 2.0), p(x, y + 2.0)]);
        }
    }
    let levels = limits.iter().map(|l| format!("{l:.2}")).collect();
    Field { pieces, limits, names, levels }
}

fn dish(x: f64, y: f64) -> f64 {
    4.3 + 0.02 * (x - 20.0) - 0.9 * (1.0 - ((x - 24.0).powi(2) + (y - 12.0).powi(2)) / 500.0).max(0.0)
}

fn spots(step: f64, label: impl Fn(f64, f64) -> String) -> Vec<Spot> {
    let mut spots = Vec::new();
    for i in 0..8 {
        for j in 0..6 {
            let (x, y) = (2.5 + f64::from(i) * step, 2.5 + f64::from(j) * step);
            if x < 39.0 && (y < 17.0 || ((13.0..27.0).contains(&x) && y < 31.0)) {
                spots.push(Spot { at: ft(x, y), label: label(x, y) });
            }
        }
    }
    spots
}

pub fn base() -> Layer {
    let limits = neat_limits(98.9, 99.7, &[0.02, 0.05, 0.1, 0.2]);
    let names = (0..=limits.len()).map(|i| format!("band {i} of elevation, ft")).collect();
    let field = field(|x, y| 99.6 - dish(x, y) / 12.0, vec![99.28, 99.3, 99.32], names);
    let shots = spots(6.0, |x, y| format!("{:.2}", 99.6 - dish(x, y) / 12.0)).into_iter().enumerate();
    let shots = shots.map(|(i, s)| ShotMark { at: s.at, name: format!("s{i}"), label: s.label }).collect();
    Layer::Base(BaseLayer { field, shots, next: Vec::new() })
}

pub fn thickness() -> Layer {
    let limits = vec![3.5, 3.75, 4.0, 4.25, 4.5];
    let names = [
        "under 3-1/2\"",
        "3-1/2\" to 3-3/4\"",
        "3-3/4\" to 4\"",
        "4\" to 4-1/4\"",
        "4-1/4\" to 4-1/2\"",
        "over 4-1/2\"",
    ];
    Layer::Thickness(ThicknessLayer {
        field: field(dish, limits, names.map(String::from).to_vec()),
        spots: spots(7.0, |x, y| format!("{:.1}\"", dish(x, y))),
        thinnest: Some(Spot { at: ft(23.6, 12.0), label: "3-3/8\" ± 1/8\"".into() }),
        thickest: Some(Spot { at: ft(2.0, 2.0), label: "4-5/8\"".into() }),
        thin: vec![vec![ft(22.0, 11.0), ft(25.0, 11.0), ft(25.0, 13.0), ft(22.0, 13.0)]],
        thin_label: "under 3-1/2\", the least accepted".into(),
    })
}

pub fn fall() -> Layer {
    let arrow =
        |x, y, to: (f64, f64)| Arrow { at: ft(x, y), toward: P2::new(to.0, to.1), label: "1/8 in/ft".into() };
    Layer::Fall(FallLayer {
        arrows: vec![
            arrow(6.0, 9.0, (0.0, -1.0)),
            arrow(20.0, 25.0, (0.0, -1.0)),
            arrow(20.0, 8.0, (0.0, -1.0)),
            arrow(34.0, 11.0, (1.0, -0.3)),
        ],
        ridges: vec![(ft(28.0, 18.0), ft(28.0, 0.0))],
        valleys: vec![(ft(12.0, 18.0), ft(12.0, 0.0))],
        points: vec![Spot { at: ft(0.0, 0.0), label: "99.80'".into() }],
        highs: vec![Spot { at: ft(20.0, 31.5), label: "100.00'".into() }],
        lows: vec![
            Spot { at: ft(20.0, 0.5), label: "99.63'".into() },
            Spot { at: ft(39.6, 0.4), label: "99.70'".into() },
        ],
        tapers: vec![NamedRing {
            ring: vec![ft(14.0, 0.0), ft(26.0, 0.0), ft(26.0, 0.8), ft(14.0, 0.8)],
            label: "taper 10\", 1/2\" down".into(),
            more: Vec::new(),
        }],
    })
}

pub fn loads() -> Layer {
    let bay = |x0: f64, y0: f64, x1: f64, y1: f64, toward, label: &str| BayMark {
        rings: vec![vec![ft(x0, y0), ft(x1, y0), ft(x1, y1), ft(x0, y1)]],
        toward,
        label: label.into(),
    };
    let (down, left) = (P2::new(0.0, -1.0), P2::new(-1.0, 0.0));
    Layer::Loads(LoadsLayer {
        bays: vec![
            bay(12.0, 18.0, 28.0, 32.0, down, "2.90 yd3"),
            bay(30.0, 0.0, 40.0, 18.0, left, "2.31 yd3"),
            bay(20.0, 0.0, 30.0, 18.0, left, "2.22 yd3"),
            bay(10.0, 0.0, 20.0, 18.0, left, "2.30 yd3"),
            bay(0.0, 0.0, 10.0, 18.0, left, "3.05 yd3"),
        ],
        lines: vec![LoadLine {
            a: ft(22.0, 0.0),
            b: ft(22.0, 18.0),
            label: "load 1 | 2".into(),
            tape: "18' from the right edge".into(),
        }],
        exit: Some(Spot { at: ft(2.0, 1.5), label: "boat door".into() }),
        table: table(["load", "brings", "bay", "ends at"], ["1", "8.00 yd3", "3", "18' from B-C"]),
    })
}

pub fn pads() -> Layer {
    let mut pads = Vec::new();
    for (i, (x, y)) in [
        (2.0, 2.0),
        (12.0, 2.0),
        (24.0, 2.0),
        (36.0, 2.0),
        (2.0, 14.0),
        (12.0, 14.0),
        (24.0, 14.0),
        (36.0, 14.0),
        (14.0, 24.0),
        (25.0, 24.0),
        (14.0, 30.0),
        (25.0, 30.0),
    ]
    .into_iter()
    .enumerate()
    {
        pads.push(PadMark {
            at: ft(x, y),
            number: i + 1,
            reading: "4' 7-3/16\"".into(),
            tapes: vec![
                Tape { from: ft(0.0, y), label: format!("{x}'") },
                Tape { from: ft(x, 0.0), label: format!("{y}' 6-1/2\"") },
            ],
        });
    }
    Layer::Pads(PadsLayer {
        pads,
        struck: vec![(ft(2.0, 2.0), ft(36.0, 2.0)), (ft(2.0, 14.0), ft(36.0, 14.0))],
        table: table(
            ["pad", "rod reads", "tape from", "tape from"],
            ["1", "4' 7-3/16\"", "2' H-A", "2' 6-1/2\" A-B"],
        ),
    })
}

pub fn reach() -> Layer {
    let arcs = |radii: [f64; 3]| {
        radii
            .iter()
            .zip(["main 14'", "+ 8'", "+ 8' + 8'"])
            .map(|(r, l)| ReachArc { radius: r * FOOT, label: l.into() })
            .collect()
    };
    Layer::Reach(ReachLayer {
        stands: vec![
            StandMark {
                at: ft(20.0, -4.0),
                label: "apron".into(),
                facing: P2::new(0.0, 1.0),
                half_swing: 0.7,
                arcs: arcs([12.0, 20.0, 28.0]),
            },
            StandMark {
                at: ft(46.0, 12.0),
                label: "east side".into(),
                facing: P2::new(-1.0, 0.0),
                half_swing: 0.7,
                arcs: arcs([12.0, 18.0, 24.0]),
            },
        ],
        beyond: vec![
            vec![ft(0.0, 0.0), ft(4.0, 0.0), ft(2.0, 18.0), ft(0.0, 18.0)],
            vec![ft(12.0, 26.0), ft(28.0, 26.0), ft(28.0, 32.0), ft(12.0, 32.0)],
        ],
        limit: vec![(ft(4.0, 0.0), ft(2.0, 18.0)), (ft(12.0, 26.0), ft(28.0, 26.0))],
        beyond_label: "out of reach: 2.5 yd3 by wheelbarrow".into(),
        table: table(["stand", "chutes", "reach", "floor"], ["apron", "main", "14'", "120 ft2"]),
        notes: vec!["The chutes fall enough.".into()],
    })
}

pub fn joints() -> Layer {
    let joint = |a: P2, b: P2, is_forced| JointMark { a, b, is_forced };
    let panel = |low: P2, high: P2, is_over| PanelMark {
        ring: vec![low, P2::new(high.x, low.y), high, P2::new(low.x, high.y)],
        is_over,
    };
    Layer::Joints(JointsLayer {
        joints: vec![
            joint(ft(14.0, 0.0), ft(14.0, 18.0), false),
            joint(ft(0.0, 9.0), ft(40.0, 9.0), true),
            joint(ft(27.0, 0.0), ft(27.0, 18.0), false),
        ],
        depth: "1\"".into(),
        panels: vec![
            panel(ft(0.0, 0.0), ft(14.0, 9.0), true),
            panel(ft(14.0, 0.0), ft(27.0, 9.0), false),
            panel(ft(27.0, 0.0), ft(40.0, 9.0), false),
        ],
        strips: Vec::new(),
        strip: String::new(),
        dowels: (1..12).map(|i| (ft(f64::from(i) * 3.0, 17.3), ft(f64::from(i) * 3.0, 18.7))).collect(),
        dowel: "dowel: 11 of 3/4\"".into(),
        bars: vec![(ft(12.0, 16.0), ft(14.0, 14.0))],
        bar: "two bars across the corner".into(),
        kept_off: vec![NamedRing {
            ring: vec![ft(30.0, 2.0), ft(36.0, 2.0), ft(36.0, 6.0), ft(30.0, 6.0)],
            label: "tank".into(),
            more: Vec::new(),
        }],
        table: table(["cut", "long", "tape", "bay"], ["1", "18'", "14' A-B", "2"]),
        notes: vec!["At most 10' apart.".into()],
    })
}

fn table(head: [&str; 4], row: [&str; 4]) -> Table {
    Table { head: head.map(String::from).to_vec(), rows: vec![row.map(String::from).to_vec()] }
}

pub fn all() -> [(&'static str, Layer); 7] {
    [
        ("base", base()),
        ("thickness", thickness()),
        ("fall", fall()),
        ("loads", loads()),
        ("pads", pads()),
        ("reach", reach()),
        ("joints", joints()),
    ]
}
