//! Writes SVG elements in page millimetres.

use std::fmt::Write as _;

use ground::P2;

use super::text::escaped;

/// A number to a hundredth of a millimetre.
pub(super) fn mm(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// How a text stands on its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
}

/// A text at a point of the page, upright or turned.
#[derive(Debug, Clone, Copy)]
pub(super) struct TextAt<'a> {
    pub at: P2,
    pub size: f64,
    /// Class of the style sheet; empty for none.
    pub class: &'a str,
    pub anchor: Anchor,
    /// Degrees clockwise.
    pub turn: f64,
}

/// Elements written so far.
#[derive(Debug, Default)]
pub(super) struct Ink(pub String);

impl Ink {
    fn push(&mut self, args: std::fmt::Arguments<'_>) {
        // Writing into a string does not fail.
        let _ = writeln!(self.0, "{args}");
    }
    pub(super) fn line(&mut self, class: &str, a: P2, b: P2) {
        let (x1, y1, x2, y2) = (mm(a.x), mm(a.y), mm(b.x), mm(b.y));
        self.push(format_args!(r#"<line class="{class}" x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>"#));
    }
    /// An open polyline.
    pub(super) fn run(&mut self, class: &str, points: &[P2]) {
        self.path(class, &path(points));
    }
    /// Closed rings as one path.
    pub(super) fn rings(&mut self, class: &str, rings: &[Vec<P2>]) {
        let d: String = rings.iter().filter(|ring| ring.len() > 2).map(|ring| path(ring) + "Z").collect();
        self.path(class, &d);
    }
    pub(super) fn path(&mut self, class: &str, d: &str) {
        if !d.is_empty() {
            self.push(format_args!(r#"<path class="{class}" d="{d}"/>"#));
        }
    }
    pub(super) fn circle(&mut self, class: &str, at: P2, radius: f64) {
        let (x, y, r) = (mm(at.x), mm(at.y), mm(radius));
        self.push(format_args!(r#"<circle class="{class}" cx="{x}" cy="{y}" r="{r}"/>"#));
    }
    pub(super) fn rect(&mut self, class: &str, low: P2, size: P2) {
        let (x, y, w, h) = (mm(low.x), mm(low.y), mm(size.x), mm(size.y));
        self.push(format_args!(r#"<rect class="{class}" x="{x}" y="{y}" width="{w}" height="{h}"/>"#));
    }
    /// One text; each is a paragraph of its own, so that writing from right to left stays inside.
    pub(super) fn text(&mut self, how: TextAt<'_>, text: &str) {
        let (x, y, size) = (mm(how.at.x), mm(how.at.y), mm(how.size));
        let anchor = if how.anchor == Anchor::Middle { r#" text-anchor="middle""# } else { "" };
        let class = if how.class.is_empty() { String::new() } else { format!(r#" class="{}""#, how.class) };
        let turn = match mm(how.turn) {
            turn if turn == "0" => String::new(),
            turn => format!(r#" transform="rotate({turn} {x} {y})""#),
        };
        let text = escaped(text);
        self.push(format_args!(
            r#"<text x="{x}" y="{y}" font-size="{size}"{class}{anchor}{turn} unicode-bidi="isolate">{text}</text>"#
        ));
    }
    pub(super) fn raw(&mut self, text: &str) {
        self.0.push_str(text);
    }
}

fn path(points: &[P2]) -> String {
    let mut d = String::new();
    for (i, p) in points.iter().enumerate() {
        let _ = write!(d, "{}{} {}", if i == 0 { "M" } else { "L" }, mm(p.x), mm(p.y));
    }
    d
}

/// Line weights, hatches and type. Ink is black; greys only help.
pub(super) const STYLE: &str = r##"<style>
text{font-family:Helvetica,Arial,'Liberation Sans','DejaVu Sans',sans-serif;fill:#000}
.b{font-weight:bold}
.w{font-weight:bold;fill:#fff}
.s{fill:#222}
line,path,rect,circle{fill:none;stroke:#000;stroke-width:.25;stroke-linejoin:round;stroke-linecap:round}
.form{stroke-width:.8}
.wall{stroke-width:1.4}
.slab{stroke-width:.8;stroke-dasharray:4 1.2 .8 1.2}
.door{stroke:#fff;stroke-width:1.8;stroke-linecap:butt}
.sill{stroke-width:.3}
.jamb{stroke-width:1;stroke-linecap:butt}
.below{stroke-width:.5;stroke-dasharray:2.2 1.3;stroke-linecap:butt}
.rule{stroke-width:.15}
.hole{fill:#fff;stroke-width:.6}
.dim{stroke-width:.18}
.tick{stroke-width:.5}
.contour{stroke-width:.3}
.lead{stroke-width:.2}
.box{fill:#fff;stroke:none}
.dot{fill:#000;stroke:#fff;stroke-width:.3}
.ring{fill:#fff;stroke-width:.45}
.bad{fill:#fff;stroke-width:.9}
.bay{stroke-width:.45;stroke-dasharray:3 1.2}
.load{stroke-width:1.1;stroke-dasharray:6 1.4 1.2 1.4;stroke-linecap:butt}
.joint{stroke-width:.6;stroke-dasharray:5 1.4;stroke-linecap:butt}
.forced{stroke-width:1.1;stroke-dasharray:8 1.2 1.4 1.2;stroke-linecap:butt}
.kept{stroke-width:.5;stroke-dasharray:.1 1.2}
.strip{stroke-width:1;stroke-dasharray:.8 .8;stroke-linecap:butt}
.dowel{stroke-width:.7;stroke-linecap:butt}
.bars{stroke-width:.8}
.arrow{stroke-width:.6}
.head{fill:#000;stroke:none}
.ridge{stroke-width:.55;stroke-dasharray:7 1.4 1.2 1.4;stroke-linecap:butt}
.valley{stroke-width:.55;stroke-dasharray:3 1.3;stroke-linecap:butt}
.struck{stroke-width:.3;stroke-dasharray:2.4 1.2}
.a0{stroke-width:.5}
.a1{stroke-width:.5;stroke-dasharray:4.5 1.5;stroke-linecap:butt}
.a2{stroke-width:.5;stroke-dasharray:6 1.2 .8 1.2;stroke-linecap:butt}
.faint{stroke-width:.15}
.limit{stroke-width:.9;stroke-dasharray:.1 1.7}
.frame{stroke-width:.4}
.h0,.h1,.h2,.h3,.h4,.h5,.hx,.ht,.hb{stroke:none;shape-rendering:crispEdges}
.h0{fill:#fff}.h1{fill:url(#p1)}.h2{fill:url(#p2)}.h3{fill:url(#p3)}.h4{fill:url(#p4)}.h5{fill:url(#p5)}
.hx{fill:url(#px)}.ht{fill:url(#pt)}.hb{fill:url(#pb)}
.key{stroke-width:.3}
</style>
<defs>
<pattern id="p1" width="3" height="3" patternUnits="userSpaceOnUse"><rect class="h0" width="3" height="3" style="fill:#f6f6f6"/><circle cx=".75" cy=".75" r=".16" style="fill:#555;stroke:none"/><circle cx="2.25" cy="2.25" r=".16" style="fill:#555;stroke:none"/></pattern>
<pattern id="p2" width="3" height="3" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="h0" width="3" height="3" style="fill:#efefef"/><path d="M0 1.5H3" style="stroke:#777;stroke-width:.16"/></pattern>
<pattern id="p3" width="1.5" height="1.5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="h0" width="1.5" height="1.5" style="fill:#e4e4e4"/><path d="M0 .75H1.5" style="stroke:#666;stroke-width:.16"/></pattern>
<pattern id="p4" width="1.8" height="1.8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="h0" width="1.8" height="1.8" style="fill:#d6d6d6"/><path d="M0 .9H1.8M.9 0V1.8" style="stroke:#555;stroke-width:.16"/></pattern>
<pattern id="p5" width="1.1" height="1.1" patternUnits="userSpaceOnUse"><rect class="h0" width="1.1" height="1.1" style="fill:#c4c4c4"/><path d="M0 .55H1.1M.55 0V1.1" style="stroke:#333;stroke-width:.2"/></pattern>
<pattern id="px" width="2" height="2" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><path d="M0 1H2" style="stroke:#000;stroke-width:.28"/></pattern>
<pattern id="pt" width="2" height="2" patternUnits="userSpaceOnUse"><rect class="h0" width="2" height="2" style="fill:#eee"/><path d="M1 0V2" style="stroke:#666;stroke-width:.15"/></pattern>
<pattern id="pb" width="2.2" height="2.2" patternUnits="userSpaceOnUse"><path d="M.7 1.1H1.5M1.1 .7V1.5" style="stroke:#555;stroke-width:.15"/></pattern>
</defs>
"##;
