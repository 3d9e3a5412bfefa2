//! A page of text: headings, aligned tables, wrapped paragraphs.

/// Width of a page, in columns: fits a phone's terminal turned sideways and half a desk screen.
pub const WIDTH: usize = 84;

/// How a column's cells stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Figures.
    Right,
}

/// A table with a heading row.
#[derive(Debug, Clone)]
pub struct Table {
    heads: Vec<String>,
    aligns: Vec<Align>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// An empty table with its column heads.
    #[must_use]
    pub fn new(columns: &[(&str, Align)]) -> Self {
        Self {
            heads: columns.iter().map(|c| c.0.to_owned()).collect(),
            aligns: columns.iter().map(|c| c.1).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row; missing cells stay empty.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }

    /// The table as lines, indented by two.
    #[must_use]
    pub fn print(&self) -> String {
        let width = |column: usize| -> usize {
            self.rows
                .iter()
                .filter_map(|row| row.get(column))
                .chain(self.heads.get(column))
                .map(|cell| cell.chars().count())
                .max()
                .unwrap_or(0)
        };
        let widths: Vec<usize> = (0..self.heads.len()).map(width).collect();
        let mut text = String::new();
        if self.heads.iter().any(|head| !head.is_empty()) {
            self.line(&self.heads, &widths, &mut text);
        }
        for row in &self.rows {
            self.line(row, &widths, &mut text);
        }
        text
    }

    fn line(&self, cells: &[String], widths: &[usize], text: &mut String) {
        let mut line = String::from(" ");
        for (column, &width) in widths.iter().enumerate() {
            let cell = cells.get(column).map_or("", String::as_str);
            let pad = " ".repeat(width.saturating_sub(cell.chars().count()));
            line.push(' ');
            match self.aligns[column] {
                Align::Left => line.extend([cell, pad.as_str()]),
                Align::Right => line.extend([pad.as_str(), cell]),
            }
            line.push(' ');
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
}

/// A section's heading, underlined.
#[must_use]
pub fn heading(title: &str) -> String {
    let rule = "-".repeat(WIDTH.saturating_sub(title.chars().count() + 1));
    format!("\n{title} {rule}\n")
}

/// A paragraph wrapped to the page and indented by two.
#[must_use]
pub fn paragraph(words: &str) -> String {
    let mut text = String::new();
    let mut line = String::from("  ");
    for word in words.split_whitespace() {
        if line.chars().count() + word.chars().count() + 1 > WIDTH && line.trim() != "" {
            text.push_str(line.trim_end());
            text.push('\n');
            line = String::from("  ");
        }
        line.push_str(word);
        line.push(' ');
    }
    text.push_str(line.trim_end());
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_line_up_on_the_right() {
        let mut table = Table::new(&[("order", Align::Right), ("words", Align::Left)]);
        table.row(["8.25 yd3", "short"]);
        table.row(["10 yd3", "safe"]);
        assert_eq!(table.print(), "     order  words\n  8.25 yd3  short\n    10 yd3  safe\n");
    }

    #[test]
    fn paragraphs_keep_to_the_width() {
        let text = paragraph(&"stone ".repeat(60));
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert_eq!(text.split_whitespace().count(), 60);
    }
}
