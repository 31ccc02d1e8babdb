//! The inputs of a vehicle's dimensions, and how they stand in its file.

use crate::{
    serve::{fields::Fields, page::typed::with_unit_unless_kept},
    shop::Document,
    units::parse_length,
    vehicle::DIMENSIONS,
    words::printed::measuring::{MeasuredRow, ROWS},
};

/// Before the number of a badge that lies off the centreline where no side was ticked: a file with it is refused until one is.
const NO_SIDE: &str = "which side? ";

/// Largest number without a unit that is a rim's width in inches: nobody writes it in mm below that.
const MOST_RIM_INCHES: f64 = 30.0;

/// What one input of the page asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Input {
    /// Its key in a vehicle's file, which is its name and id on the page too.
    pub key: &'static str,
    /// What stands before it.
    pub label: &'static str,
    /// What may be typed.
    pub hint: &'static str,
}

const fn input(key: &'static str, label: &'static str, hint: &'static str) -> Input {
    Input { key, label, hint }
}

/// The input of the badge's offset, which has a side.
pub const BADGE: &str = "badge_offset";

/// All inputs, in the order of the measuring sheet.
pub const INPUTS: [Input; 12] = [
    input("wheelbase_left", "Wheelbase, left", ""),
    input(
        "wheelbase_right",
        "Wheelbase, right",
        "Leave it empty where it is as on the left.",
    ),
    input("front_overhang", "Front overhang", ""),
    input("rear_overhang", "Rear overhang", ""),
    input("front_track", "Front track", ""),
    input("rear_track", "Rear track", ""),
    input(
        "tyre",
        "Tyre size",
        "As on the sidewall: 215/65 R16. Type the size here, or the taped width below.",
    ),
    input(
        "rim_width",
        "Rim width",
        "With the size, where it is known: 6.5J, or 6.5 in.",
    ),
    input(
        "tyre_width",
        "Tyre width, taped",
        "Across the bulge, where no size is typed.",
    ),
    input("overall_width", "Overall width", ""),
    input("width_over_mirrors", "Width over mirrors", ""),
    input(
        BADGE,
        "Badge off the centreline",
        "Without a sign; the side is ticked. Empty or 0 where it lies in the middle.",
    ),
];

impl Input {
    /// The row of the measuring sheet that gives it.
    #[must_use]
    pub fn row(self) -> Option<&'static MeasuredRow> {
        ROWS.iter().find(|row| row.keys.contains(&self.key))
    }

    /// True for what is written as a length.
    #[must_use]
    pub fn is_length(self) -> bool {
        self.key != "tyre"
    }

    /// Least and greatest sensible length, mm; of the badge to either side.
    #[must_use]
    pub fn range(self) -> Option<(f64, f64)> {
        let dimension = DIMENSIONS
            .iter()
            .find(|dimension| dimension.key == self.key)?;
        let (least, most) = (*dimension.range.start(), *dimension.range.end());
        Some((if self.key == BADGE { 0.0 } else { least }, most))
    }

    /// The text that stands in the input for a file.
    #[must_use]
    pub fn text(self, document: &Document) -> String {
        let get = |key: &str| document.get(&[key]);
        match self.key {
            "wheelbase_left" => get("wheelbase_left")
                .or_else(|| get("wheelbase"))
                .unwrap_or_default(),
            BADGE => {
                let text = get(BADGE).unwrap_or_default();
                let plain = SIDES
                    .iter()
                    .map(|side| side.before)
                    .chain([NO_SIDE, "-", "\u{2212}"])
                    .find_map(|before| text.strip_prefix(before));
                plain.unwrap_or(&text).to_owned()
            }
            key => get(key).unwrap_or_default(),
        }
    }

    /// Keys under which a file may have it.
    #[must_use]
    pub fn keys(self) -> &'static [&'static str] {
        match self.key {
            "wheelbase_left" => &["wheelbase_left", "wheelbase"],
            _ => {
                let at = INPUTS.iter().position(|other| other.key == self.key);
                at.map_or(&[], |at| std::slice::from_ref(&KEYS[at]))
            }
        }
    }
}

const KEYS: [&str; INPUTS.len()] = {
    let mut keys = [""; INPUTS.len()];
    let mut at = 0;
    while at < INPUTS.len() {
        keys[at] = INPUTS[at].key;
        at += 1;
    }
    keys
};

/// A side on which the badge lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BadgeSide {
    /// The word for it.
    pub word: &'static str,
    /// What stands before a number that has a sign of its own beside this side: a file with it is refused until it is corrected.
    before: &'static str,
    sign: &'static str,
}

/// Left and right, as the driver sits.
pub const SIDES: [BadgeSide; 2] = [
    BadgeSide {
        word: "left",
        before: "left ",
        sign: "",
    },
    BadgeSide {
        word: "right",
        before: "right ",
        sign: "-",
    },
];

/// The side of the badge in a file; `None` where it lies in the middle, or no side was ticked.
#[must_use]
pub fn side(document: &Document) -> Option<&'static str> {
    let text = document.get(&[BADGE])?;
    let [left, right] = &SIDES;
    if text.starts_with(left.before) {
        return Some(left.word);
    }
    if text.starts_with(right.before) || text.starts_with(['-', '\u{2212}']) {
        return Some(right.word);
    }
    let in_the_middle = text.is_empty() || parse_length(&text).is_ok_and(|mm| mm == 0.0);
    (!in_the_middle && !text.starts_with(NO_SIDE)).then_some(left.word)
}

/// Puts what was typed into a file; what the form does not have stays.
pub fn fill(document: &mut Document, fields: &Fields) {
    let inches = fields.get("units") == "inch";
    for key in ["name", "source"] {
        if fields.has(key) {
            document.set(&[key], fields.get(key));
        }
    }
    let typed = |document: &Document, input: Input| {
        let text = fields.get(input.key);
        let kept = input.text(document);
        let text = if input.key == "rim_width" {
            rim(text)
        } else {
            text.to_owned()
        };
        if input.is_length() {
            with_unit_unless_kept(&text, Some(&kept), inches)
        } else {
            text
        }
    };
    for input in INPUTS.into_iter().filter(|input| fields.has(input.key)) {
        let text = typed(document, input);
        match input.key {
            "wheelbase_left" | "wheelbase_right" => {}
            BADGE => document.set(&[BADGE], &badge(&text, fields.get("badge_side"))),
            key => document.set(&[key], &text),
        }
    }
    if fields.has("wheelbase_left") {
        let [left, right] = [INPUTS[0], INPUTS[1]].map(|input| typed(document, input));
        let one = right.is_empty();
        document.set(&["wheelbase"], if one { &left } else { "" });
        document.set(&["wheelbase_left"], if one { "" } else { &left });
        document.set(&["wheelbase_right"], &right);
    }
    for (key, text) in fields.beginning("from.") {
        let input = INPUTS.iter().find(|input| input.key == key);
        let keys = input.map_or(&[][..], |input| input.keys());
        // Where the file calls it "wheelbase", its source is called so too.
        let there = keys
            .iter()
            .find(|key| document.get(&["sources", key]).is_some());
        if let Some(key) = there.or(keys.first())
            && (there.is_some() || !text.is_empty())
        {
            document.set(&["sources", key], text);
        }
    }
}

/// A rim's width as it stands on the wheel: `6.5J` and `6.5` are inches.
fn rim(text: &str) -> String {
    let number = text.trim_end_matches(['J', 'j', 'K', 'k']).trim_end();
    match number.parse::<f64>() {
        Ok(inches) if (0.0..=MOST_RIM_INCHES).contains(&inches) => format!("{number} in"),
        _ => text.to_owned(),
    }
}

/// How a badge's offset stands in a file: left is positive. What has no side, or a sign beside it, stays unreadable.
fn badge(text: &str, side: &str) -> String {
    let in_the_middle = parse_length(text).is_ok_and(|mm| mm == 0.0);
    if text.is_empty() || in_the_middle {
        return text.to_owned();
    }
    let Some(side) = SIDES.iter().find(|known| known.word == side) else {
        return format!("{NO_SIDE}{text}");
    };
    if text.starts_with(['-', '+', '\u{2212}']) {
        format!("{}{text}", side.before)
    } else {
        format!("{}{text}", side.sign)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn filled(before: &str, typed: &[(&str, &str)]) -> Document {
        let mut document = Document::read(before).expect("TOML");
        let fields = typed
            .iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()));
        fill(&mut document, &Fields(fields.collect()));
        document
    }

    #[test]
    fn one_wheelbase_is_for_both_sides_and_two_are_kept_apart() {
        let one = filled("", &[("wheelbase_left", "3450"), ("wheelbase_right", "")]);
        assert_eq!(one.get(&["wheelbase"]).as_deref(), Some("3450"));
        let two = filled(
            &one.text(),
            &[("wheelbase_left", "3450"), ("wheelbase_right", "3440")],
        );
        assert_eq!(two.get(&["wheelbase"]), None);
        assert_eq!(two.get(&["wheelbase_left"]).as_deref(), Some("3450"));
        let [left, right] = [INPUTS[0], INPUTS[1]].map(|input| input.text(&two));
        assert_eq!((left.as_str(), right.as_str()), ("3450", "3440"));
    }

    #[test]
    fn a_badge_has_a_side_and_no_sign() {
        let badge = |text: &str, side: &str| {
            let document = filled("", &[(BADGE, text), ("badge_side", side)]);
            (
                document.get(&[BADGE]).unwrap_or_default(),
                INPUTS[11].text(&document),
                super::side(&document),
            )
        };
        let row = |kept: &str, shown: &str, side| (kept.to_owned(), shown.to_owned(), side);
        assert_eq!(badge("12 mm", "left"), row("12 mm", "12 mm", Some("left")));
        assert_eq!(
            badge("12 mm", "right"),
            row("-12 mm", "12 mm", Some("right"))
        );
        assert_eq!(badge("0", ""), row("0", "0", None));
        assert_eq!(badge("", ""), row("", "", None));
        // What is not clear stays in the file as something that no command takes for a length.
        for (text, side) in [("12", ""), ("-12", "left"), ("-12", "right")] {
            let (kept, shown, _) = badge(text, side);
            assert!(parse_length(&kept).is_err(), "{kept}");
            assert_eq!(shown, text);
        }
    }

    #[test]
    fn numbers_alone_are_in_the_unit_of_the_form_and_a_rim_is_always_in_inches() {
        let document = filled(
            "front_track = 1735 # taped twice\n",
            &[
                ("units", "inch"),
                ("front_track", "1735"),
                ("rear_track", "68 1/8"),
                ("rim_width", "6.5J"),
                ("tyre", "215/65 R16"),
            ],
        );
        assert_eq!(
            document.text(),
            "front_track = 1735 # taped twice\nrear_track = \"68 1/8 in\"\ntyre = \"215/65 R16\"\nrim_width = \"6.5 in\"\n"
        );
        assert_eq!(
            filled("", &[("rim_width", "165")])
                .get(&["rim_width"])
                .as_deref(),
            Some("165")
        );
    }

    #[test]
    fn where_a_number_came_from_stays_with_it() {
        let before = "wheelbase = 3450\n\n[sources]\nwheelbase = \"from the papers\"\n";
        let document = filled(
            before,
            &[
                ("wheelbase_left", "3450"),
                ("wheelbase_right", ""),
                ("from.wheelbase_left", "from the papers"),
                ("from.front_track", ""),
            ],
        );
        assert_eq!(document.text(), before);
        let changed = filled(
            before,
            &[
                ("from.wheelbase_left", ""),
                ("from.front_track", "service information"),
            ],
        );
        assert_eq!(changed.get(&["sources", "wheelbase"]), None);
        assert_eq!(
            changed.get(&["sources", "front_track"]).as_deref(),
            Some("service information")
        );
    }
}
