//! A table in parts, for columns of a page or for pages.

use super::Table;
use crate::page::Fragment;

impl Table {
    /// The same in parts of at most `height` mm, each with the headings; a group of rows stays together. Nothing where the columns
    /// need more than `width`.
    #[must_use]
    pub fn parts(&self, width: f64, height: f64) -> Vec<Fragment> {
        let part = |rows: std::ops::Range<usize>| {
            Self {
                rows: self.rows[rows].to_vec(),
                ..self.clone()
            }
            .lay_out(width)
        };
        let mut parts = Vec::new();
        let mut groups = self.groups().into_iter().peekable();
        while let Some(first) = groups.next() {
            let Some(mut fitting) = part(first.clone()) else {
                return parts;
            };
            let mut end = first.end;
            while let Some(more) = groups.peek().and_then(|next| part(first.start..next.end)) {
                if more.height > height {
                    break;
                }
                fitting = more;
                end = groups.next().map_or(end, |group| group.end);
            }
            parts.push(fitting);
        }
        parts
    }
}
