//! What somebody typed into a row, as it goes into the form.

use crate::units::{inch_text, mm_exact, parse_length};

/// What a row is about, as far as typing goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// A length that a tape shows: above 0.
    Length,
    /// How far a mark lies beside a string, with its side.
    Beside,
    /// A height, or a staff's reading, with a sign where it has one.
    Height,
}

/// A text for a cell of the form; empty where the reading is taken out again.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Typed {
    /// The text.
    pub cell: String,
    /// The length, mm; left of a string is positive. `None` where the cell is empty.
    pub mm: Option<f64>,
}

/// The unit that a number without one has in a form.
#[must_use]
pub const fn unit(inches: bool) -> &'static str {
    if inches { "in" } else { "mm" }
}

/// Reads what was typed; `side` is "left", "right" or empty.
///
/// # Errors
/// What is wrong with it, and what to type: a sentence.
pub fn typed(text: &str, side: &str, takes: Takes, inches: bool) -> Result<Typed, String> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (text, side) = match takes {
        Takes::Beside => side_of(&text, side)?,
        _ => (text, None),
    };
    if text.is_empty() {
        return Ok(Typed::default());
    }
    let text = with_point(&text)?;
    let mm = length(&text, inches)?;
    match (takes, side) {
        (Takes::Length, _) if mm <= 0.0 => Err(format!(
            "“{text}” is no length. Type what the tape reads; leave the row empty where nothing was taped."
        )),
        (Takes::Beside, _) if mm == 0.0 => Ok(Typed {
            cell: "0".to_owned(),
            mm: Some(0.0),
        }),
        (Takes::Beside, None) => {
            Err("Left or right of the string? Choose it beside the number.".to_owned())
        }
        (Takes::Beside, Some(side)) => {
            let text = text.trim_start_matches(['-', '+', '\u{2212}']).trim();
            let sign = if side == Side::Left { "" } else { "-" };
            let mm = if side == Side::Left {
                mm.abs()
            } else {
                -mm.abs()
            };
            Ok(Typed {
                cell: format!("{sign}{text}"),
                mm: Some(mm),
            })
        }
        _ => Ok(Typed {
            cell: text,
            mm: Some(mm),
        }),
    }
}

/// The length of a cell of the form, mm; a number alone is in the unit of the form.
#[must_use]
pub fn cell_length(cell: &str, inches: bool) -> Option<f64> {
    length(cell, inches).ok()
}

/// What was understood of a cell that has another unit than the form: "1.371 m is 1371 mm.".
#[must_use]
pub fn understood(cell: &str, inches: bool) -> Option<String> {
    let text = cell.trim_start_matches(['-', '\u{2212}']);
    let number = text.strip_suffix(unit(inches)).unwrap_or(text);
    if is_bare(number) {
        return None;
    }
    let mm = cell_length(cell, inches)?.abs();
    let length = match inches {
        true => format!("{} in", inch_text(mm)),
        false => format!("{} mm", mm_exact(mm, 1)),
    };
    Some(format!("{text} is {length}."))
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
}

/// The text without its side, and the side: chosen, typed behind the number, or by a sign.
fn side_of(text: &str, chosen: &str) -> Result<(String, Option<Side>), String> {
    let small = text.to_lowercase();
    let ends = [
        ("to the left", Side::Left),
        ("to the right", Side::Right),
        ("left", Side::Left),
        ("right", Side::Right),
    ];
    let typed = ends
        .iter()
        .find_map(|(end, side)| Some((small.strip_suffix(end)?.trim().to_owned(), *side)));
    let signed = match text.chars().next() {
        Some('-' | '\u{2212}') => Some(Side::Right),
        Some('+') => Some(Side::Left),
        _ => None,
    };
    let (text, own) = match typed {
        Some((text, side)) => (text, Some(side)),
        None => (text.to_owned(), signed),
    };
    let chosen = match chosen {
        "left" => Some(Side::Left),
        "right" => Some(Side::Right),
        _ => None,
    };
    match (own, chosen) {
        (Some(own), Some(chosen)) if own != chosen => Err(
            "The number says one side, and the other one is chosen beside it. Which is it?"
                .to_owned(),
        ),
        _ => Ok((text, own.or(chosen))),
    }
}

/// Many keypads have a comma alone. One that may be either stays a question.
fn with_point(text: &str) -> Result<String, String> {
    let Some((whole, rest)) = text.split_once(',') else {
        return Ok(text.to_owned());
    };
    let digits = rest.chars().take_while(char::is_ascii_digit).count();
    if rest.contains([',', '.']) || whole.contains('.') || digits == 3 {
        let (thousand, point) = (text.replacen(',', "", 1), text.replacen(',', ".", 1));
        return Err(format!(
            "“{text}” may mean {thousand} or {point}. Type it without a comma."
        ));
    }
    Ok(text.replacen(',', ".", 1))
}

fn is_bare(text: &str) -> bool {
    text.chars()
        .all(|sign| !sign.is_alphabetic() && !"\"'″′”’“‘".contains(sign))
}

fn length(text: &str, inches: bool) -> Result<f64, String> {
    let with_unit = if is_bare(text) {
        format!("{text} {}", unit(inches))
    } else {
        text.to_owned()
    };
    parse_length(&with_unit).map_err(|_| {
        let example = if inches {
            "54 1/8, 54.125 or 1375 mm"
        } else {
            "1371, 1371.5 or 54 in"
        };
        format!("“{text}” is no length. Type a number, as in {example}.")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cell(text: &str, takes: Takes) -> Result<(String, Option<f64>), String> {
        typed(text, "", takes, false).map(|typed| (typed.cell, typed.mm))
    }

    #[test]
    fn numbers_commas_and_units_are_understood() {
        let length = |text| cell(text, Takes::Length);
        assert_eq!(length(" 1371 "), Ok(("1371".to_owned(), Some(1371.0))));
        assert_eq!(length("1371,5"), Ok(("1371.5".to_owned(), Some(1371.5))));
        assert_eq!(length("1.371 m"), Ok(("1.371 m".to_owned(), Some(1371.0))));
        assert_eq!(length(""), Ok((String::new(), None)));
        assert!(length("1,371").is_err_and(|why| why.contains("1371 or 1.371")));
        assert!(length("-5").is_err() && length("long").is_err() && length("0").is_err());
        let inches = typed("54 1/8", "", Takes::Length, true).expect("inches");
        let mm = inches.mm.map(|mm| mm_exact(mm, 3));
        assert_eq!(
            (inches.cell.as_str(), mm.as_deref()),
            ("54 1/8", Some("1374.775"))
        );
        assert_eq!(
            understood("1.371 m", false).as_deref(),
            Some("1.371 m is 1371 mm.")
        );
        assert_eq!(
            understood("1375 mm", true).as_deref(),
            Some("1375 mm is 54 1/8 in.")
        );
        for same in ["1371", "1371 mm", "-3"] {
            assert_eq!(understood(same, false), None, "{same}");
        }
    }

    #[test]
    fn beside_a_string_the_side_is_chosen_typed_or_asked_for() {
        let beside = |text, side| {
            typed(text, side, Takes::Beside, false).map(|typed| (typed.cell, typed.mm))
        };
        let left = Ok(("3".to_owned(), Some(3.0)));
        let right = Ok(("-3".to_owned(), Some(-3.0)));
        assert_eq!(beside("3", "left"), left);
        assert_eq!(beside("3 left", ""), left);
        assert_eq!(beside("3", "right"), right);
        assert_eq!(beside("-3", ""), right);
        assert_eq!(beside("3 to the right", "right"), right);
        assert_eq!(beside("0", ""), Ok(("0".to_owned(), Some(0.0))));
        assert!(beside("3", "").is_err_and(|why| why.contains("Left or right")));
        assert!(beside("-3", "left").is_err() && beside("3 left", "right").is_err());
    }

    #[test]
    fn heights_may_be_below() {
        assert_eq!(cell("-4", Takes::Height), Ok(("-4".to_owned(), Some(-4.0))));
    }
}
