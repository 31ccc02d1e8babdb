//! The records of a shop: listed by what their jobs say of order, vehicle and date.

use super::{Document, Name, Shelf, Shop};

/// A record in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordEntry {
    /// Its folder.
    pub name: Name,
    /// Order number.
    pub order: String,
    /// The vehicle in the workshop.
    pub vehicle_id: String,
    /// Date (YYYY-MM-DD).
    pub date: String,
    /// Who laid it.
    pub technician: String,
}

impl RecordEntry {
    /// All records, the newest date first.
    #[must_use]
    pub fn all(shop: &Shop) -> Vec<Self> {
        let mut found: Vec<Self> = shop
            .names(Shelf::Records)
            .into_iter()
            .map(|name| Self::of(shop, name))
            .collect();
        found.sort_by(|a, b| (&b.date, &a.name).cmp(&(&a.date, &b.name)));
        found
    }

    fn of(shop: &Shop, name: Name) -> Self {
        let text = shop
            .read(Shelf::Records, &name)
            .map(|kept| kept.text)
            .unwrap_or_default();
        let document = Document::read(&text).ok();
        let field = |key: &str| {
            let document = document.as_ref();
            document
                .and_then(|document| document.get(&["record", key]))
                .unwrap_or_default()
        };
        Self {
            order: field("order"),
            vehicle_id: field("vehicle_id"),
            date: field("date"),
            technician: field("technician"),
            name,
        }
    }

    /// True where one of its texts has all words of a search in it, capitals or not.
    #[must_use]
    pub fn matches(&self, search: &str) -> bool {
        let all = [
            self.name.as_str(),
            &self.order,
            &self.vehicle_id,
            &self.date,
            &self.technician,
        ]
        .join(" ")
        .to_lowercase();
        search
            .to_lowercase()
            .split_whitespace()
            .all(|word| all.contains(word))
    }
}
