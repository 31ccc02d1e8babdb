//! What is seen of a vehicle's file at once: what was understood of each text, what is wrong, what is missing, and the sums of the
//! measuring sheet.

use super::input::{BADGE, INPUTS, Input, side};
use crate::{
    serve::page::{
        place_in_text::key_of,
        typed::{both, understood},
    },
    shop::Document,
    source::Source,
    units::parse_length,
    vehicle::{Taken, Tyre, VehicleSpec},
    words::{Spelling, printed::measuring::sums},
};

/// A vehicle's file as it is seen on the page.
#[derive(Clone, Debug)]
pub struct Look {
    /// In inches, with American spelling.
    pub inches: bool,
    /// What is wrong: the key of its input, where it has one, and a sentence.
    pub wrong: Vec<(Option<String>, String)>,
    /// What is not typed yet.
    pub missing: Vec<&'static str>,
    /// The vehicle, where nothing is wrong or missing.
    pub spec: Option<VehicleSpec>,
    /// What was understood of each input, by key.
    understood: Vec<(&'static str, String)>,
    sums: Vec<Sum>,
}

/// A sum of the measuring sheet that is worked out from what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sum {
    /// Its letter and name: "A Length over all".
    pub name: String,
    /// Its value in both units, or what is still needed for it.
    pub value: String,
    /// What must hold.
    pub must: String,
    /// Whether it holds; `None` where that is not known from what was typed.
    pub holds: Option<bool>,
}

impl Look {
    /// Looks at a file.
    #[must_use]
    pub fn at(document: &Document, inches: bool) -> Self {
        let text = document.text();
        let read = VehicleSpec::read(&Source::new("vehicle", &text));
        let (spec, faults) = match read {
            Ok(spec) => (Some(spec), Vec::new()),
            Err(faults) => (None, faults.list().to_vec()),
        };
        let spelling = Spelling::sparing(inches, &[]);
        let missing = missing(document);
        let wrong = faults
            .iter()
            .filter(|fault| !fault.message.contains(" is missing"))
            .map(|fault| {
                let key = key_of(fault, &text).and_then(|key| id_of(&key));
                let own = key.as_deref().and_then(|key| own_words(key, document));
                let message = own.unwrap_or_else(|| in_words(&fault.message));
                (key, upper(&spelling.fault(&message)))
            })
            .collect();
        let lengths = taken(document);
        Self {
            inches,
            wrong,
            missing,
            spec,
            understood: INPUTS
                .into_iter()
                .filter_map(|input| Some((input.key, understood_of(input, document, inches)?)))
                .collect(),
            sums: sums_of(&lengths, inches),
        }
    }

    /// What was understood of an input; `None` where nothing was.
    #[must_use]
    pub fn understood(&self, key: &str) -> Option<&str> {
        let found = self.understood.iter().find(|(other, _)| *other == key);
        found.map(|(_, words)| words.as_str())
    }

    /// What is wrong with an input.
    pub fn wrong_with<'a>(&'a self, key: &'a str) -> impl Iterator<Item = &'a str> {
        self.wrong
            .iter()
            .filter(move |(other, _)| other.as_deref() == Some(key))
            .map(|(_, sentence)| sentence.as_str())
    }

    /// The sums.
    #[must_use]
    pub fn sums(&self) -> &[Sum] {
        &self.sums
    }
}

/// The id on the page of a key in the file.
fn id_of(key: &str) -> Option<String> {
    let (before, plain) = key
        .strip_prefix("sources.")
        .map_or(("", key), |plain| ("from-", plain));
    let input = INPUTS.iter().find(|input| input.keys().contains(&plain));
    let id = input.map_or(plain, |input| input.key);
    let known = input.is_some() || ["name", "source"].contains(&id);
    known.then(|| format!("{before}{id}"))
}

/// What is not typed yet, by the labels of the page.
fn missing(document: &Document) -> Vec<&'static str> {
    let has = |key: &str| document.get(&[key]).is_some();
    let mut missing = Vec::new();
    for (key, label) in [("name", "Name"), ("source", "Where the numbers come from")] {
        if !has(key) {
            missing.push(label);
        }
    }
    let is_needed = |input: &Input| match input.key {
        "wheelbase_right" | "rim_width" | "tyre_width" | BADGE => false,
        "tyre" => !has("tyre") && !has("tyre_width"),
        _ => !input.keys().iter().any(|key| has(key)),
    };
    missing.extend(
        INPUTS
            .iter()
            .filter(|input| is_needed(input))
            .map(|input| input.label),
    );
    missing
}

/// Sentences of the page's own for what only the page knows.
fn own_words(key: &str, document: &Document) -> Option<String> {
    match key {
        BADGE if side(document).is_none() => Some(
            "Tick on which side of the centreline the badge lies, left or right as the driver sits."
                .to_owned(),
        ),
        BADGE => {
            let text = INPUTS[INPUTS.len() - 1].text(document);
            text.starts_with(['-', '+', '\u{2212}'])
                .then(|| "Write the badge’s distance without a sign: left or right says which way.".to_owned())
        }
        "wheelbase_right" if document.get(&["wheelbase_left"]).is_none() => Some(
            "The wheelbase is typed on the right alone. Type the left one too, as it was taped there."
                .to_owned(),
        ),
        _ => None,
    }
}

/// A message of the file's reader with the page's names for keys.
fn in_words(message: &str) -> String {
    let mut words = message.replace("`sources`", "the sources");
    for input in INPUTS {
        let label = format!("“{}”", input.label);
        for key in input.keys() {
            words = words.replace(&format!("`{key}`"), &label);
            // Names of two words are keys wherever they stand.
            if key.contains('_') {
                words = words.replace(key, &label);
            }
        }
    }
    words
}

fn upper(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(signs).collect()
    })
}

fn understood_of(input: Input, document: &Document, inches: bool) -> Option<String> {
    let text = input.text(document);
    if text.is_empty() {
        return None;
    }
    match input.key {
        "tyre" => {
            let rim = document.get(&["rim_width"]);
            let rim = rim.and_then(|rim| parse_length(&rim).ok());
            let tyre = Tyre::from_code(&text, rim).ok()?;
            let outside = tyre.diameter.map_or_else(String::new, |diameter| {
                format!(", {} outside diameter", both(diameter, inches))
            });
            Some(format!(
                "{} section width{outside}",
                both(tyre.width, inches)
            ))
        }
        BADGE => {
            let words = understood(&text, inches)?;
            match side(document) {
                Some(side) => Some(format!("{words} to the {side}")),
                None if parse_length(&text).is_ok_and(|mm| mm == 0.0) => {
                    Some("In the middle".to_owned())
                }
                None => None,
            }
        }
        _ => understood(&text, inches),
    }
}

/// What has a length in a file, whether it is sensible or not.
fn taken(document: &Document) -> Taken {
    let get = |key: &str| parse_length(&document.get(&[key])?).ok();
    let left = get("wheelbase_left").or_else(|| get("wheelbase"));
    let right = get("wheelbase_right").or(left);
    let code = document.get(&["tyre"]);
    let code = code.and_then(|code| Tyre::from_code(&code, get("rim_width")).ok());
    Taken {
        wheelbases: left.zip(right),
        overhangs: get("front_overhang").zip(get("rear_overhang")),
        wider_track: get("front_track")
            .zip(get("rear_track"))
            .map(|(front, rear)| front.max(rear)),
        tyre: code.map(|tyre| tyre.width).or_else(|| get("tyre_width")),
        width: get("overall_width"),
        mirrors: get("width_over_mirrors"),
    }
}

/// The value of a sum of the measuring sheet in words, and whether it holds.
fn sum_in_words(taken: &Taken, letter: &str, inches: bool) -> Option<(String, Option<bool>)> {
    let both = |mm: f64| both(mm, inches);
    let held = |(mm, holds): (f64, bool)| (both(mm), Some(holds));
    match letter {
        "A" => taken.length_over_all().map(|length| (both(length), None)),
        "B" => taken.wheelbases_apart().map(held),
        "C" => taken.tyres_at_body().map(|tyres| {
            let words = if tyres.above > 0.0 { "above" } else { "below" };
            let (outside, by) = (both(tyres.outside), both(tyres.above.abs()));
            (
                format!("{outside}; that is {by} {words} 8"),
                Some(tyres.holds),
            )
        }),
        _ => taken.mirrors_beyond_body().map(held),
    }
}

fn sums_of(taken: &Taken, inches: bool) -> Vec<Sum> {
    let spelling = Spelling::sparing(inches, &[]);
    sums(inches)
        .iter()
        .map(|sum| {
            let known = sum_in_words(taken, sum.letter, inches);
            let holds = known.as_ref().and_then(|(_, holds)| *holds);
            let value = known.map(|(words, _)| words);
            Sum {
                name: spelling.text(&format!("{} {}", sum.letter, sum.name)),
                value: value.unwrap_or_else(|| "its numbers are not all typed yet".to_owned()),
                must: spelling.text(&sum.holds),
                holds,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::VEHICLES;

    fn look(text: &str, inches: bool) -> Look {
        Look::at(&Document::read(text).expect("TOML"), inches)
    }

    fn van() -> String {
        let van = VEHICLES
            .iter()
            .find(|vehicle| vehicle.name == "delivery-van");
        van.expect("built in").source().text.to_string()
    }

    #[test]
    fn a_new_vehicle_misses_everything_and_nothing_of_it_is_wrong() {
        let new = look(
            "format = \"vehicle/1\"\nname = \"van\"\nsource = \"tape\"\n",
            false,
        );
        assert_eq!(new.wrong, []);
        assert_eq!(
            new.missing,
            [
                "Wheelbase, left",
                "Front overhang",
                "Rear overhang",
                "Front track",
                "Rear track",
                "Tyre size",
                "Overall width",
                "Width over mirrors"
            ]
        );
        assert!(new.spec.is_none() && new.understood("front_track").is_none());
    }

    #[test]
    fn all_vehicles_that_are_built_in_are_right_and_their_sums_are_those_of_their_parts() {
        for vehicle in &VEHICLES {
            let look = look(&vehicle.source().text, false);
            assert!(
                look.wrong.is_empty() && look.missing.is_empty(),
                "{}",
                vehicle.name
            );
        }
        // Delivery van: 1010 + 3450 + 1090 = 5550; 1735 + 236 = 1971, 84 less than 2055; 2480 − 2055 = 425.
        let van = look(&van(), false);
        let values: Vec<&str> = van.sums().iter().map(|sum| sum.value.as_str()).collect();
        assert_eq!(
            values,
            [
                "5550 mm = 218 1/2 in",
                "0 mm = 0 in",
                "1971 mm = 77 5/8 in; that is 84 mm = 3 5/16 in below 8",
                "425 mm = 16 3/4 in"
            ]
        );
        let holds: Vec<Option<bool>> = van.sums().iter().map(|sum| sum.holds).collect();
        assert_eq!(holds, [None, Some(true), Some(true), Some(true)]);
    }

    #[test]
    fn a_slip_by_ten_is_said_at_its_input_with_the_range_and_what_was_understood() {
        let text = van().replace("wheelbase = \"3450 mm\"", "wheelbase = \"345 mm\"");
        let look = look(&text, false);
        let wrong: Vec<&str> = look.wrong_with("wheelbase_left").collect();
        assert!(
            wrong[0].starts_with("“Wheelbase, left” is 345 mm; expected 1200 to 7000 mm"),
            "{wrong:?}"
        );
        assert_eq!(
            look.understood("wheelbase_left"),
            Some("345 mm = 13 9/16 in")
        );
    }

    #[test]
    fn dimensions_that_contradict_each_other_are_said_at_one_of_them() {
        let text = van().replace("front_track = \"1735 mm\"", "front_track = \"2100 mm\"");
        let look = look(&text, true);
        let wrong: Vec<&str> = look.wrong_with("front_track").collect();
        assert!(wrong[0].contains("wider than the body"), "{wrong:?}");
    }

    #[test]
    fn a_sum_that_does_not_come_right_is_said_though_other_numbers_are_missing_or_wrong() {
        let text = van()
            .replace("front_track = \"1735 mm\"", "front_track = \"2100 mm\"")
            .replace(
                "wheelbase = \"3450 mm\"",
                "wheelbase_left = \"3450\"\nwheelbase_right = \"345\"",
            )
            .replace("width_over_mirrors = \"2480 mm\"\n", "");
        let look = look(&text, false);
        let holds: Vec<Option<bool>> = look.sums().iter().map(|sum| sum.holds).collect();
        assert_eq!(holds, [None, Some(false), Some(false), None]);
    }

    #[test]
    fn both_ways_to_a_tyre_and_a_source_that_is_a_number_are_said_in_the_words_of_the_page() {
        let text = van()
            .replace(
                "tyre_width = \"236 mm\"",
                "tyre_width = \"236 mm\"\ntyre = \"215/65R16\"",
            )
            .replace(
                "\"invented; as if measured across the bulge with a caliper\"",
                "\"236 mm\"",
            );
        let look = look(&text, false);
        let wrong: Vec<&str> = look.wrong_with("tyre_width").collect();
        assert!(
            wrong[0].contains("“Tyre width, taped” stands beside “Tyre size”"),
            "{wrong:?}"
        );
        assert_eq!(
            look.wrong_with("from-tyre_width").count(),
            1,
            "{:?}",
            look.wrong
        );
    }
}
