//! Forms with files in them, as browsers send them [@rfc7578]: read from memory, within the bound of the upload.

/// One field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field<'a> {
    /// Its name.
    pub name: String,
    /// What it holds.
    pub bytes: &'a [u8],
}

/// More fields than any form has.
const MOST_FIELDS: usize = 40;

/// The mark between the fields, from the content type.
#[must_use]
pub fn boundary(content_type: &str) -> Option<&str> {
    let (kind, rest) = content_type.split_once(';')?;
    let mark = rest.split(';').find_map(|part| part.trim().strip_prefix("boundary="))?.trim_matches('"');
    (kind.trim().eq_ignore_ascii_case("multipart/form-data") && (1..=70).contains(&mark.len()))
        .then_some(mark)
}

/// The fields of a form; nothing when it is cut off or is none.
#[must_use]
pub fn fields<'a>(body: &'a [u8], boundary: &str) -> Option<Vec<Field<'a>>> {
    let opens = format!("--{boundary}");
    let between = format!("\r\n--{boundary}");
    let mut rest = body.strip_prefix(opens.as_bytes())?;
    let mut found = Vec::new();
    loop {
        if rest.starts_with(b"--") {
            return Some(found);
        }
        rest = rest.strip_prefix(b"\r\n")?;
        let head_end = find(rest, b"\r\n\r\n")?;
        let (head, after) = (&rest[..head_end], &rest[head_end + 4..]);
        let end = find(after, between.as_bytes())?;
        found.push(Field { name: name(head)?, bytes: &after[..end] });
        if found.len() > MOST_FIELDS {
            return None;
        }
        rest = &after[end + between.len()..];
    }
}

/// The name of a field; its file's name is of no use to anybody here.
fn name(head: &[u8]) -> Option<String> {
    let text = std::str::from_utf8(head).ok()?;
    let line =
        text.split("\r\n").find(|line| line.to_ascii_lowercase().starts_with("content-disposition:"))?;
    let named = line.split(';').find_map(|part| part.trim().strip_prefix("name=\""))?;
    named.strip_suffix('"').map(str::to_owned)
}

/// Where something begins, looked for from each place of its first byte.
fn find(bytes: &[u8], what: &[u8]) -> Option<usize> {
    let first = *what.first()?;
    let mut from = 0;
    loop {
        let at = from + bytes.get(from..)?.iter().position(|byte| *byte == first)?;
        if bytes[at..].starts_with(what) {
            return Some(at);
        }
        from = at + 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FORM: &[u8] = b"--xYz\r\nContent-Disposition: form-data; name=\"words\"\r\n\r\neast edge\r\n--xYz\r\n\
        Content-Disposition: form-data; name=\"photo\"; filename=\"../../etc/passwd\"\r\nContent-Type: image/jpeg\r\n\r\n\xff\xd8\r\n--\r\n\r\n--xYz--\r\n";

    #[test]
    fn fields_come_as_they_were_sent() {
        let mark = boundary("multipart/form-data; boundary=\"xYz\"").unwrap();
        let found = fields(FORM, mark).unwrap();
        let shown: Vec<(&str, &[u8])> =
            found.iter().map(|field| (field.name.as_str(), field.bytes)).collect();
        assert_eq!(shown, [("words", &b"east edge"[..]), ("photo", &b"\xff\xd8\r\n--\r\n"[..])]);
    }

    #[test]
    fn what_is_cut_off_or_none_is_no_form() {
        for end in 0..FORM.len() - 4 {
            assert_eq!(fields(&FORM[..end], "xYz"), None, "{end}");
        }
        assert_eq!(fields(b"words=east", "xYz"), None);
        for kind in ["multipart/form-data", "text/plain; boundary=x", "multipart/form-data; boundary=", ""] {
            assert_eq!(boundary(kind), None, "{kind}");
        }
        let many = b"--x\r\nContent-Disposition: form-data; name=\"a\"\r\n\r\n1\r\n".repeat(100);
        assert_eq!(fields(&[&many[..], b"--x--"].concat(), "x"), None);
    }
}
