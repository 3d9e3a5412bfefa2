//! The word that a mistyped word was probably meant to be.

/// The known word closest to `said`, if it is close enough to be worth asking about.
///
/// Distance counts changed, missing, extra and swapped letters; at most one in three may differ.
pub(crate) fn nearest<'a>(said: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let length = said.chars().count();
    // A word of one or two letters is close to any other.
    if !(3..=40).contains(&length) {
        return None;
    }
    let most = (length / 3).max(1);
    let said = said.to_lowercase();
    known
        .into_iter()
        .map(|word| (distance(&said, &word.to_lowercase()), word))
        .filter(|(distance, _)| *distance <= most)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}

/// Optimal string alignment distance: like an edit distance, with a swap of neighbours as one step.
fn distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().collect();
    let b: Vec<char> = b.chars().collect();
    let mut rows = vec![vec![0; b.len() + 1]; a.len() + 1];
    for (i, row) in rows.iter_mut().enumerate() {
        row[0] = i;
    }
    for (j, cell) in rows[0].iter_mut().enumerate() {
        *cell = j;
    }
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            let mut least = (rows[i - 1][j] + 1).min(rows[i][j - 1] + 1).min(rows[i - 1][j - 1] + change);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                least = least.min(rows[i - 2][j - 2] + 1);
            }
            rows[i][j] = least;
        }
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_finger_are_recognised() {
        let known = ["drop", "taper", "width", "start"];
        assert_eq!(nearest("widht", known), Some("width"));
        assert_eq!(nearest("tapr", known), Some("taper"));
        assert_eq!(nearest("Drop", known), Some("drop"));
        assert_eq!(nearest("colour", known), None);
        assert_eq!(nearest("C", ["A", "B"]), None);
        assert_eq!(nearest(&"x".repeat(5000), known), None);
    }

    #[test]
    fn a_swap_is_one_step() {
        assert_eq!(distance("form", "from"), 1);
        assert_eq!(distance("", "abc"), 3);
    }
}
