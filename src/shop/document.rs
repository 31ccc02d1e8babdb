//! A TOML text in which single values are changed, and everything else, comments and order too, stays as somebody wrote it.

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, value};

/// A TOML document under change.
#[derive(Clone, Debug)]
pub struct Document(DocumentMut);

impl Document {
    /// Reads a text.
    ///
    /// # Errors
    /// What is wrong with it, in the words of the TOML reader.
    pub fn read(text: &str) -> Result<Self, String> {
        text.parse()
            .map(Self)
            .map_err(|error: toml_edit::TomlError| error.message().to_owned())
    }

    /// The text of a value, below the tables that its path names; numbers and dates as they are written.
    #[must_use]
    pub fn get(&self, path: &[&str]) -> Option<String> {
        let mut item = self.0.as_item();
        for key in path {
            item = item.get(key)?;
        }
        let value = item.as_value()?;
        Some(value.as_str().map_or_else(
            || value.clone().decorated("", "").to_string(),
            str::to_owned,
        ))
    }

    /// Keys and texts of a table.
    #[must_use]
    pub fn table(&self, path: &[&str]) -> Vec<(String, String)> {
        let mut item = self.0.as_item();
        for key in path {
            let Some(next) = item.get(key) else {
                return Vec::new();
            };
            item = next;
        }
        let keys = item
            .as_table_like()
            .into_iter()
            .flat_map(|table| table.iter());
        keys.filter_map(|(key, _)| {
            let path: Vec<&str> = path.iter().copied().chain([key]).collect();
            Some((key.to_owned(), self.get(&path)?))
        })
        .collect()
    }

    /// Writes a text; an empty one takes the key out. What stood beside it as a comment stays. A value that says the same already is
    /// not touched, so that a number does not become a text.
    pub fn set(&mut self, path: &[&str], text: &str) {
        if self.get(path).unwrap_or_default() == text {
            return;
        }
        let Some((key, tables)) = path.split_last() else {
            return;
        };
        let mut table: &mut dyn toml_edit::TableLike = self.0.as_table_mut();
        for name in tables {
            let below = table
                .entry(name)
                .or_insert_with(|| Item::Table(Table::new()));
            if !below.is_table_like() {
                *below = Item::Table(Table::new());
            }
            let Some(next) = below.as_table_like_mut() else {
                return;
            };
            table = next;
        }
        if text.is_empty() {
            table.remove(key);
            return;
        }
        match table.get_mut(key).and_then(Item::as_value_mut) {
            Some(old) => {
                let decor = old.decor().clone();
                *old = text.into();
                *old.decor_mut() = decor;
            }
            None => {
                table.insert(key, value(text));
            }
        }
    }

    /// How many tables a list of tables has.
    #[must_use]
    pub fn count(&self, path: &[&str]) -> usize {
        let mut item = self.0.as_item();
        for key in path {
            let Some(next) = item.get(key) else {
                return 0;
            };
            item = next;
        }
        let inline = item.as_array().map(toml_edit::Array::len);
        let tables = item.as_array_of_tables().map(ArrayOfTables::len);
        tables.or(inline).unwrap_or_default()
    }

    /// The text of a value of one table in a list of tables.
    #[must_use]
    pub fn get_in(&self, path: &[&str], index: usize, key: &str) -> Option<String> {
        let mut item = self.0.as_item();
        for key in path {
            item = item.get(key)?;
        }
        let value = item.get(index)?.get(key)?;
        let value = value.as_value()?;
        Some(value.as_str().map_or_else(
            || value.clone().decorated("", "").to_string(),
            str::to_owned,
        ))
    }

    /// Writes a list of tables below a table, each as keys and texts; an empty list takes it out. A list that says the same already is
    /// not touched.
    pub fn set_list(&mut self, table: &str, list: &str, rows: &[Vec<(&str, String)>]) {
        let path = [table, list];
        let same = self.count(&path) == rows.len()
            && rows.iter().enumerate().all(|(index, row)| {
                row.iter()
                    .all(|(key, text)| self.get_in(&path, index, key).unwrap_or_default() == *text)
            });
        if same {
            return;
        }
        let tables: ArrayOfTables = rows
            .iter()
            .map(|row| {
                let filled = row.iter().filter(|(_, text)| !text.is_empty());
                filled
                    .map(|(key, text)| (*key, value(text)))
                    .collect::<Table>()
            })
            .collect();
        let above = self
            .0
            .entry(table)
            .or_insert_with(|| Item::Table(Table::new()));
        let Some(above) = above.as_table_like_mut() else {
            return;
        };
        above.remove(list);
        if !rows.is_empty() {
            above.insert(list, Item::ArrayOfTables(tables));
        }
    }

    /// Takes a table, or a value, out of the whole text.
    pub fn remove(&mut self, key: &str) {
        self.0.remove(key);
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        self.0.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_changes_and_comments_stay() {
        let text = "# a van\nformat = \"vehicle/1\"\nwheelbase = 3450 # taped twice\n\n[sources]\nwheelbase = \"tape\"\n";
        let mut document = Document::read(text).expect("TOML");
        document.set(&["wheelbase"], "3450");
        assert_eq!(document.text(), text, "a number that stays is not touched");
        document.set(&["wheelbase"], "3.46 m");
        document.set(&["sources", "wheelbase"], "");
        document.set(&["values", "side_gap"], "12 in");
        let new = document.text();
        assert!(
            new.contains("wheelbase = \"3.46 m\" # taped twice"),
            "{new}"
        );
        assert!(!new.contains("\"tape\"") && new.contains("# a van"));
        assert_eq!(
            document.get(&["values", "side_gap"]).as_deref(),
            Some("12 in")
        );
        assert_eq!(
            document.table(&["values"]),
            [("side_gap".to_owned(), "12 in".to_owned())]
        );
    }

    #[test]
    fn a_key_below_a_new_table_does_not_fall_into_another_one() {
        let mut document = Document::read("a = 1\n[[bay.obstacles]]\nx = 1\n").expect("TOML");
        document.set(&["bay", "length"], "9 m");
        document.set(&["b"], "2");
        let read = Document::read(&document.text()).expect("TOML again");
        assert_eq!(read.get(&["b"]).as_deref(), Some("2"));
        assert_eq!(
            read.get(&["bay", "length"]).as_deref(),
            Some("9 m"),
            "{}",
            document.text()
        );
    }

    #[test]
    fn a_list_of_tables_is_read_and_written_whole_and_stays_where_it_says_the_same() {
        let text = "[bay]\nlength = 9000 # wall to wall\n\n[[bay.obstacles]]\nname = \"post\" # left\nx = 12\n";
        let mut document = Document::read(text).expect("TOML");
        let path = ["bay", "obstacles"];
        assert_eq!(document.count(&path), 1);
        assert_eq!(document.get_in(&path, 0, "x").as_deref(), Some("12"));
        let row = |name: &str, x: &str| vec![("name", name.to_owned()), ("x", x.to_owned())];
        document.set_list("bay", "obstacles", &[row("post", "12")]);
        assert_eq!(document.text(), text);
        document.set_list(
            "bay",
            "obstacles",
            &[row("post", "12"), row("bench", "-1 m")],
        );
        let again = Document::read(&document.text()).expect("TOML again");
        assert_eq!(again.count(&path), 2);
        assert_eq!(again.get_in(&path, 1, "x").as_deref(), Some("-1 m"));
        assert!(again.text().contains("# wall to wall"));
        document.set_list("bay", "obstacles", &[]);
        assert_eq!(document.count(&path), 0);
        document.remove("bay");
        assert_eq!(document.text(), "");
    }
}
