//! Reads a number without sign: `36`, `36.54`, `1/8`, `6 1/2`, `6-1/2`.

use super::Slip;
use super::text::Cursor;

/// Reads a number at the cursor.
pub(super) fn number(cursor: &mut Cursor) -> Result<f64, Slip> {
    cursor.skip_spaces();
    let from = cursor.place();
    let whole = cursor.take_while(|c| c.is_ascii_digit());
    let next = cursor.peek();
    if next == Some('.') || whole.is_empty() || exponent_follows(cursor) {
        cursor.back_to(from);
        return decimal(cursor);
    }
    if next == Some(',') && cursor.peek_after(1).is_some_and(|c| c.is_ascii_digit()) {
        return Err(Slip::form("has a comma in a number")
            .hint("write a point before decimals and nothing between thousands"));
    }
    let whole = digits(&whole);
    if let Some(under) = denominator(cursor)? {
        return Ok(whole / under);
    }
    Ok(whole + fraction_after_whole(cursor)?)
}

fn digits(text: &str) -> f64 {
    // Digits alone always parse; too many of them give infinity, which no range admits.
    text.parse().unwrap_or(f64::INFINITY)
}

fn exponent_follows(cursor: &Cursor) -> bool {
    let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    matches!(cursor.peek(), Some('e' | 'E'))
        && (is_digit(cursor.peek_after(1))
            || (matches!(cursor.peek_after(1), Some('+' | '-')) && is_digit(cursor.peek_after(2))))
}

fn decimal(cursor: &mut Cursor) -> Result<f64, Slip> {
    let mut said = cursor.take_while(|c| c.is_ascii_digit());
    if cursor.take('.') {
        said.push('.');
        said += &cursor.take_while(|c| c.is_ascii_digit());
    }
    if said.is_empty() || said == "." {
        let rest = cursor.rest();
        return Err(Slip::form(if rest.is_empty() {
            "ends where a number should follow".to_owned()
        } else {
            format!("has \"{rest}\" where a number should be")
        }));
    }
    if exponent_follows(cursor) {
        cursor.step();
        said.push('e');
        if let Some(sign @ ('+' | '-')) = cursor.peek() {
            said.push(sign);
            cursor.step();
        }
        said += &cursor.take_while(|c| c.is_ascii_digit());
    }
    Ok(digits(&said))
}

/// Reads `/ 8`, if a digit follows the stroke; in `yd3/h` none does.
fn denominator(cursor: &mut Cursor) -> Result<Option<f64>, Slip> {
    let from = cursor.place();
    cursor.skip_spaces();
    if cursor.take('/') {
        cursor.skip_spaces();
        let under = cursor.take_while(|c| c.is_ascii_digit());
        if !under.is_empty() {
            return match digits(&under) {
                0.0 => Err(Slip::form("divides by zero")),
                under => Ok(Some(under)),
            };
        }
    }
    cursor.back_to(from);
    Ok(None)
}

/// Reads ` 1/2` or `-1/2` after a whole number; nothing when no fraction follows.
fn fraction_after_whole(cursor: &mut Cursor) -> Result<f64, Slip> {
    let from = cursor.place();
    cursor.skip_spaces();
    cursor.take('-');
    cursor.skip_spaces();
    let over = cursor.take_while(|c| c.is_ascii_digit());
    if !over.is_empty()
        && cursor.place() > from + over.len()
        && let Some(under) = denominator(cursor)?
    {
        let over = digits(&over);
        if over >= under {
            return Err(Slip::form(format!("has {over}/{under} after a whole number"))
                .hint("a fraction after a whole number must be less than one"));
        }
        return Ok(over / under);
    }
    cursor.back_to(from);
    Ok(0.0)
}
