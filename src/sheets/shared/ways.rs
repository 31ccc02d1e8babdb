//! What a sheet is called in a list of pages, and how links lead from the assembly map to it and back.

/// Most marks that a sheet's bookmark names: more than a reader's narrow column shows.
const MOST_NAMED: usize = 6;

/// Where links to a sheet lead.
#[must_use]
pub fn to_sheet(label: &str) -> String {
    format!("sheet {label}")
}

/// Where links from a sheet to the map that shows it lead.
#[must_use]
pub fn to_map(label: &str) -> String {
    format!("map of sheet {label}")
}

/// What a page with full-scale marks is called: `"Sheet 12"`, and which marks stand on it.
#[must_use]
pub fn called(what: &str, label: &str, marks: &[&str]) -> String {
    match marks {
        [] => format!("{what} {label}"),
        [first @ .., _] if first.len() >= MOST_NAMED => {
            format!("{what} {label} ({} …)", marks[..MOST_NAMED].join(", "))
        }
        _ => format!("{what} {label} ({})", marks.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_called_after_its_number_and_its_first_marks() {
        assert_eq!(called("Sheet", "3", &[]), "Sheet 3");
        assert_eq!(called("Sheet", "12", &["1L", "2L"]), "Sheet 12 (1L, 2L)");
        let six = ["a", "b", "c", "d", "e", "f"];
        assert_eq!(called("Strip", "1", &six), "Strip 1 (a, b, c, d, e, f)");
        let seven = ["a", "b", "c", "d", "e", "f", "g"];
        assert_eq!(called("Strip", "1", &seven), "Strip 1 (a, b, c, d, e, f …)");
    }
}
