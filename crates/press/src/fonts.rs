//! The fonts that are built in, and what they can print.

use std::sync::LazyLock;

use typst::foundations::Bytes;
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;

/// Text and figures in two weights, then Hebrew and Arabic for names; licence in `fonts/OFL.txt`.
static FILES: [&[u8]; 4] = [
    include_bytes!("../fonts/NotoSans-Regular.ttf"),
    include_bytes!("../fonts/NotoSans-Bold.ttf"),
    include_bytes!("../fonts/NotoSansHebrew-Regular.ttf"),
    include_bytes!("../fonts/NotoSansArabic-Regular.ttf"),
];

/// What stands for a character that no font here can print.
pub const REPLACEMENT: char = '\u{fffd}';

/// The fonts, parsed once.
pub(crate) struct Case {
    pub book: LazyHash<FontBook>,
    pub fonts: Vec<Font>,
}

pub(crate) static CASE: LazyLock<Case> = LazyLock::new(|| {
    let fonts: Vec<Font> = FILES.iter().flat_map(|file| Font::iter(Bytes::new(*file))).collect();
    Case { book: LazyHash::new(FontBook::from_fonts(&fonts)), fonts }
});

/// Whether a character can be printed, or takes no ink and no glyph.
#[must_use]
pub fn can_print(c: char) -> bool {
    matches!(c, ' ' | '\u{a0}' | '\u{ad}' | '\u{200b}') || CASE.fonts.iter().any(|font| has(font, c))
}

fn has(font: &Font, c: char) -> bool {
    font.info().coverage.contains(u32::from(c))
}

/// A text of a user as it can be printed: on one line, without control characters and marks that turn the direction of what
/// follows, with [`REPLACEMENT`] for each character that no font here has, and with chances to break in long words.
///
/// ```
/// assert_eq!(press::printable("Shed\t*no. 1* \u{202e}\u{1f3d7}"), "Shed *no. 1* \u{fffd}");
/// ```
#[must_use]
pub fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut run = 0;
    for c in text.chars().map(|c| if c.is_whitespace() { ' ' } else { c }).filter(|c| !is_dropped(*c)) {
        if c == ' ' {
            run = 0;
            if out.is_empty() || out.ends_with(' ') {
                continue;
            }
        } else if run == LONGEST_RUN && !is_joined(c) {
            out.push('\u{200b}');
            run = 1;
        } else {
            run += 1;
        }
        out.push(if can_print(c) { c } else { REPLACEMENT });
    }
    out.truncate(out.trim_end().len());
    out
}

/// A word longer than this may be broken, so that it never runs off the page.
const LONGEST_RUN: usize = 24;

/// Marks that belong to the letter before, and scripts whose letters join: no break there.
fn is_joined(c: char) -> bool {
    matches!(c, '\u{300}'..='\u{36f}' | '\u{590}'..='\u{5bd}' | '\u{64b}'..='\u{65f}' | '\u{200c}' | '\u{200d}' | '\u{fe00}'..='\u{fe0f}')
}

fn is_dropped(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}')
        || matches!(c, '\u{feff}' | '\u{fe00}'..='\u{fe0f}' | '\u{fff0}'..='\u{fffb}' | '\u{fffe}' | '\u{ffff}')
}
