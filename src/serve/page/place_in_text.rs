//! Which key of a TOML text a fault belongs to.

use crate::source::Fault;

/// The key, with the tables that it lies in, whose value stands on a line of a text, counted from 1: `wheelbase`, `values.front_gap`;
/// in a list of tables with their index: `bay.obstacles.0.x`.
#[must_use]
pub fn key_on_line(text: &str, line: usize) -> Option<String> {
    let (mut table, mut lists) = (String::new(), Vec::<String>::new());
    for (number, content) in (1..).zip(text.lines()) {
        let content = content.trim();
        if let Some(name) = content.strip_prefix("[[") {
            let name = name.split(']').next().unwrap_or_default();
            let index = lists.iter().filter(|other| *other == name).count();
            table = format!("{name}.{index}.");
            lists.push(name.to_owned());
        } else if let Some(name) = content.strip_prefix('[') {
            table = format!("{}.", name.split(']').next().unwrap_or_default());
        }
        if number == line {
            let key = content.split_once('=').map_or("", |(key, _)| key.trim());
            let whole = format!("{table}{}", key.trim_matches(['"', '\'']));
            return Some(whole.trim_end_matches('.').to_owned());
        }
    }
    None
}

/// The key that a fault of a text belongs to.
#[must_use]
pub fn key_of(fault: &Fault, text: &str) -> Option<String> {
    key_on_line(text, fault.place.line)
}

#[cfg(test)]
mod tests {
    use super::key_on_line;

    #[test]
    fn a_line_is_known_by_its_tables_and_key() {
        let text = "a = 1\n\n[values]\nfront_gap = \"1 m\" # x = y\n[bay]\nlength = 1\n[[bay.obstacles]]\nx = 1\n[[bay.obstacles]]\nx = 2\n";
        let on = |line| key_on_line(text, line);
        assert_eq!(on(1).as_deref(), Some("a"));
        assert_eq!(on(4).as_deref(), Some("values.front_gap"));
        assert_eq!(on(6).as_deref(), Some("bay.length"));
        assert_eq!(on(8).as_deref(), Some("bay.obstacles.0.x"));
        assert_eq!(on(10).as_deref(), Some("bay.obstacles.1.x"));
        assert_eq!(on(9).as_deref(), Some("bay.obstacles.1"));
        assert_eq!(on(99), None);
        assert_eq!(on(0), None);
    }
}
