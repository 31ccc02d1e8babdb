//! How a reader finds its way through the pages of a PDF: bookmarks, page labels and links (ISO 32000-1, 12.3 to 12.5).

use std::collections::HashMap;

use lopdf::{Bookmark, Dictionary, Document, Object, ObjectId, dictionary, text_string};

use super::pdf_page::points;
use crate::drawing::{Drawing, Link};

/// How a reader sets a bookmark's title.
const BLACK: [f32; 3] = [0.0; 3];
const UPRIGHT: u32 = 0;

/// A page that has been made, and what readers call it.
pub(super) struct PdfEntry {
    pub id: ObjectId,
    title: String,
    number: String,
    targets: Vec<String>,
    links: Vec<Link>,
}

impl PdfEntry {
    pub fn of(drawing: &Drawing, id: ObjectId) -> Self {
        Self {
            id,
            title: drawing.title.clone(),
            number: drawing.number.clone(),
            targets: drawing.targets.clone(),
            links: drawing.links.clone(),
        }
    }
}

/// Adds a bookmark for every page, and gives the outline's object. No two read alike: what is called as a page before is
/// counted.
pub(super) fn bookmarks(document: &mut Document, pages: &[PdfEntry]) -> ObjectId {
    let mut seen: HashMap<&str, usize> = HashMap::new();
    for (index, page) in pages.iter().enumerate() {
        let count = seen.entry(&page.title).or_default();
        *count += 1;
        let title = match (page.title.as_str(), *count) {
            ("", _) => (index + 1).to_string(),
            (title, 1) => title.to_owned(),
            (title, count) => format!("{title} ({count})"),
        };
        document.add_bookmark(Bookmark::new(title, BLACK, UPRIGHT, page.id), None);
    }
    document.build_outline().expect("every page has a bookmark")
}

/// What the catalog says of the pages' labels; `None` where no page has a number of its own. Numbers that follow each
/// other are one range.
pub(super) fn page_labels(pages: &[PdfEntry]) -> Option<Dictionary> {
    pages.iter().find(|page| !page.number.is_empty())?;
    let mut ranges: Vec<Object> = Vec::new();
    let mut next = None;
    for (index, page) in (0_i64..).zip(pages) {
        let number = match page.number.as_str() {
            "" => Some(index + 1),
            text => text.parse::<i64>().ok().filter(|number| *number > 0),
        };
        if number.is_none() || number != next {
            ranges.push(index.into());
            ranges.push(match number {
                Some(number) => dictionary! { "S" => "D", "St" => number }.into(),
                None => dictionary! { "P" => text_string(&page.number) }.into(),
            });
        }
        next = number.map(|number| number + 1);
    }
    Some(dictionary! { "Nums" => ranges })
}

/// Adds the links to their pages; the page that they lead to is shown whole. Those that lead nowhere are left out.
pub(super) fn link_up(document: &mut Document, pages: &[PdfEntry], unit: f64) {
    let mut places: HashMap<&str, ObjectId> = HashMap::new();
    for page in pages {
        for target in &page.targets {
            places.entry(target).or_insert(page.id);
        }
    }
    for page in pages {
        let mut links: Vec<Object> = Vec::new();
        for Link { area, to } in &page.links {
            let Some(place) = places.get(to.as_str()) else {
                continue;
            };
            let sides = [area.x0, area.y0, area.x1, area.y1];
            let sides = sides.map(|side| Object::from(points(side / unit)));
            let link = document.add_object(dictionary! {
                "Type" => "Annot",
                "Subtype" => "Link",
                "Rect" => sides.to_vec(),
                "Border" => vec![0.into(), 0.into(), 0.into()],
                "Dest" => vec![(*place).into(), "Fit".into()],
                "Contents" => text_string(to),
                "P" => page.id,
            });
            links.push(link.into());
        }
        if links.is_empty() {
            continue;
        }
        let page = document.get_dictionary_mut(page.id);
        page.expect("the page was just made").set("Annots", links);
    }
}
