//! Row letters.

/// Letters for rows: I and O are left out, as in the reference fields of ISO 5457.
const LETTERS: &[u8; 24] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";

/// Label of a sheet, or of another piece, in a row and a column, both from 0: `A1`; after row `Z` comes
/// `AA`.
#[must_use]
pub fn label(row: usize, column: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = row + 1;
    while rest > 0 {
        rest -= 1;
        letters.push(char::from(LETTERS[rest % LETTERS.len()]));
        rest /= LETTERS.len();
    }
    letters
        .iter()
        .rev()
        .chain((column + 1).to_string().chars().collect::<Vec<_>>().iter())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_lettered_without_i_and_o_and_go_on_after_z() {
        assert_eq!(label(0, 0), "A1");
        assert_eq!(label(8, 11), "J12");
        assert_eq!(label(23, 0), "Z1");
        assert_eq!(label(24, 2), "AA3");
        assert_eq!(label(24 + 24 * 24, 0), "AAA1");
    }
}
