//! What is typed for a layout, and how it stands in the job's file.

use crate::{
    serve::{fields::Fields, page::typed::with_unit_unless_kept},
    shop::Document,
    template::{TemplateSpec, ValueKind},
    units::parse_length,
};

/// The bay's things, as a path of the job's file.
pub const OBSTACLES: [&str; 2] = ["bay", "obstacles"];

/// Texts of a thing that stands in the bay, in the order of the page: the keys of the job's file.
pub const OBSTACLE_KEYS: [&str; 5] = ["name", "x", "y", "length", "width"];

/// Which way a place counts, with the word for a number above 0 and for one below.
pub const WAYS: [(&str, [&str; 2]); 2] = [("x", ["ahead", "behind"]), ("y", ["left", "right"])];

/// Puts what was typed into a job's file; what the form does not have stays.
pub fn fill(document: &mut Document, fields: &Fields, template: Option<&TemplateSpec>) {
    let inches = fields.get("units") == "inch";
    // What a job means by saying nothing is not written down for it.
    for (key, usual) in [("units", "mm"), ("laid_by", ""), ("checks", "full")] {
        let text = fields.get(key);
        if fields.has(key) && (text != usual || document.get(&[key]).is_some()) {
            document.set(&[key], text);
        }
    }
    for (name, text) in fields.beginning("value.") {
        let value =
            template.and_then(|template| template.values.iter().find(|value| value.name == name));
        let is_length = value.is_none_or(|value| value.kind == ValueKind::Length);
        let path = ["values", name];
        let text = if is_length {
            typed(document.get(&path), text, inches)
        } else {
            text.to_owned()
        };
        // An empty value has no table of its own to stand in.
        if !text.is_empty() || document.get(&path).is_some() {
            document.set(&path, &text);
        }
    }
    fill_bay(document, fields, inches);
}

fn typed(kept: Option<String>, text: &str, inches: bool) -> String {
    with_unit_unless_kept(text, kept.as_deref(), inches)
}

/// The bay: where nothing is typed there is none.
fn fill_bay(document: &mut Document, fields: &Fields, inches: bool) {
    if !fields.has("bay.length") {
        return;
    }
    let rows = obstacles(document, fields, inches);
    let sides = ["length", "width"].map(|side| {
        let text = fields.get(&format!("bay.{side}"));
        (side, typed(document.get(&["bay", side]), text, inches))
    });
    if rows.is_empty() && sides.iter().all(|(_, text)| text.is_empty()) {
        document.remove("bay");
        return;
    }
    for (side, text) in sides {
        document.set(&["bay", side], &text);
    }
    document.set_list("bay", "obstacles", &rows);
}

/// The rows of the form that have anything in them.
fn obstacles(
    document: &Document,
    fields: &Fields,
    inches: bool,
) -> Vec<Vec<(&'static str, String)>> {
    let rows = (0..)
        .take_while(|row| fields.has(&format!("obstacle.{row}.name")))
        .map(|row| {
            OBSTACLE_KEYS.map(|key| {
                let field = format!("obstacle.{row}.{key}");
                let text = fields.get(&field);
                if key == "name" {
                    return (key, text.to_owned());
                }
                let kept = obstacle(document, row, key);
                let text = typed(Some(kept.0), text, inches);
                let way = fields.get(&format!("{field}.way"));
                (key, signed(&text, way, kept.1.as_deref()))
            })
        });
    rows.filter(|row| row.iter().any(|(_, text)| !text.is_empty()))
        .map(|row| row.to_vec())
        .collect()
}

/// A text with the sign of the word beside it: behind and right are below 0. `kept` is what stands in the file for it.
fn signed(text: &str, way: &str, kept: Option<&str>) -> String {
    let below = WAYS.iter().any(|(_, [_, below])| *below == way);
    let signed = if below && !text.is_empty() && parse_length(text).is_ok_and(|mm| mm != 0.0) {
        format!("-{text}")
    } else {
        text.to_owned()
    };
    // However the minus is written in the file.
    let same = kept.filter(|kept| kept.replace('\u{2212}', "-") == signed);
    same.map_or(signed, str::to_owned)
}

/// The text that stands in the form for a thing in the bay, and the one in the file.
#[must_use]
pub fn obstacle(document: &Document, row: usize, key: &str) -> (String, Option<String>) {
    let kept = document.get_in(&OBSTACLES, row, key);
    let text = kept.clone().unwrap_or_default();
    let has_way = WAYS.iter().any(|(of, _)| *of == key);
    let plain = text
        .strip_prefix(['-', '\u{2212}'])
        .filter(|_| has_way)
        .map_or(text.as_str(), str::trim_start);
    (plain.to_owned(), kept)
}

/// The word for the way in which a thing lies.
#[must_use]
pub fn way(document: &Document, row: usize, key: &str) -> &'static str {
    let text = document.get_in(&OBSTACLES, row, key).unwrap_or_default();
    let words = WAYS.iter().find(|(of, _)| *of == key);
    words.map_or("", |(_, [above, below])| {
        if text.starts_with(['-', '\u{2212}']) {
            below
        } else {
            above
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::DEMONSTRATION;

    fn filled(before: &str, typed: &[(&str, &str)]) -> Document {
        let mut document = Document::read(before).expect("TOML");
        let fields = typed
            .iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()));
        fill(&mut document, &Fields(fields.collect()), None);
        document
    }

    /// The fields that a page sends for a job where nobody changed anything.
    fn unchanged(document: &Document) -> Vec<(String, String)> {
        let mut fields = vec![
            (
                "units".to_owned(),
                document.get(&["units"]).unwrap_or_default(),
            ),
            ("checks".to_owned(), "full".to_owned()),
            ("laid_by".to_owned(), String::new()),
            ("value.front_gap".to_owned(), String::new()),
        ];
        for side in ["length", "width"] {
            let text = document.get(&["bay", side]).unwrap_or_default();
            fields.push((format!("bay.{side}"), text));
        }
        for row in 0..=document.count(&OBSTACLES) {
            for key in OBSTACLE_KEYS {
                fields.push((
                    format!("obstacle.{row}.{key}"),
                    obstacle(document, row, key).0,
                ));
                fields.push((
                    format!("obstacle.{row}.{key}.way"),
                    way(document, row, key).to_owned(),
                ));
            }
        }
        fields
    }

    #[test]
    fn a_page_that_nobody_changed_leaves_the_file_as_it_is_in_either_unit() {
        let text = DEMONSTRATION.source().text.to_string();
        let document = Document::read(&text).expect("TOML");
        let mut fields = unchanged(&document);
        let mut same = document.clone();
        fill(&mut same, &Fields(fields.clone()), None);
        assert_eq!(same.text(), text);
        fields[0].1 = "inch".to_owned();
        let mut in_inches = document;
        fill(&mut in_inches, &Fields(fields), None);
        assert_eq!(
            in_inches.text(),
            text.replace("units = \"mm\"", "units = \"inch\"")
        );
    }

    #[test]
    fn an_empty_value_is_the_default_and_a_number_alone_is_in_the_jobs_unit() {
        let one = filled(
            "",
            &[
                ("units", "inch"),
                ("value.front_gap", "30"),
                ("value.rear_gap", ""),
            ],
        );
        assert_eq!(one.get(&["values", "front_gap"]).as_deref(), Some("30 in"));
        assert_eq!(one.get(&["values", "rear_gap"]), None);
        let none = filled(&one.text(), &[("value.front_gap", "")]);
        assert_eq!(none.get(&["values", "front_gap"]), None);
    }

    #[test]
    fn a_thing_in_the_bay_has_ways_in_words_and_an_empty_row_takes_it_out() {
        let row = |x: &str, way: &str| {
            filled(
                "",
                &[
                    ("bay.length", "9 m"),
                    ("bay.width", "5 m"),
                    ("obstacle.0.name", "post"),
                    ("obstacle.0.x", x),
                    ("obstacle.0.x.way", way),
                    ("obstacle.0.y", "2.8 m"),
                    ("obstacle.0.y.way", "right"),
                    ("obstacle.1.name", ""),
                ],
            )
        };
        let document = row("1.7 m", "behind");
        let get = |key: &str| document.get_in(&OBSTACLES, 0, key);
        assert_eq!(get("x").as_deref(), Some("-1.7 m"));
        assert_eq!(get("y").as_deref(), Some("-2.8 m"));
        assert_eq!(document.count(&OBSTACLES), 1);
        assert_eq!(
            (
                obstacle(&document, 0, "x").0.as_str(),
                way(&document, 0, "x")
            ),
            ("1.7 m", "behind")
        );
        // What is no length stays as it was typed.
        assert_eq!(
            row("far", "behind").get_in(&OBSTACLES, 0, "x").as_deref(),
            Some("far")
        );
        let none = filled(
            &document.text(),
            &[
                ("bay.length", ""),
                ("bay.width", ""),
                ("obstacle.0.name", ""),
            ],
        );
        assert_eq!(none.text(), "");
    }
}
