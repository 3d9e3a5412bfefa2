//! Just enough Markdown for the tests: fenced blocks and table rows.

/// A fenced block of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// The words after the opening fence, as in `sh`.
    pub language: String,
    /// Line of the opening fence, counted from 1.
    pub line: usize,
    /// What stands between the fences.
    pub text: String,
}

/// The fenced blocks of a page in order.
#[must_use]
pub fn blocks(page: &str) -> Vec<Block> {
    let mut found: Vec<Block> = Vec::new();
    let mut open = false;
    for (index, line) in page.lines().enumerate() {
        if let Some(language) = line.trim_start().strip_prefix("```") {
            if !open {
                let language = language.trim().to_owned();
                found.push(Block { language, line: index + 1, text: String::new() });
            }
            open = !open;
        } else if open && let Some(block) = found.last_mut() {
            block.text.push_str(line);
            block.text.push('\n');
        }
    }
    found
}

/// The cells of each table row of a page, with the row's line; heads and rulers are left out.
#[must_use]
pub fn rows(page: &str) -> Vec<(usize, Vec<String>)> {
    let lines: Vec<&str> = page.lines().collect();
    let ruler = |line: &str| line.starts_with("| ---") || line.starts_with("|---");
    let mut found = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        let head = lines.get(index + 1).is_some_and(|next| ruler(next));
        if line.starts_with('|') && !head && !ruler(line) {
            let cells = line.trim().trim_matches('|').split(" | ");
            found.push((index + 1, cells.map(|cell| cell.trim().to_owned()).collect()));
        }
    }
    found
}
