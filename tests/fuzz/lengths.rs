//! Lengths, coordinates and angles as people write them.

use baystencil::inside::{
    SIXTEENTH_MM, feet_text_to, inch_cell, inch_text, parse_angle, parse_coordinate, parse_length,
};
use proptest::prelude::*;

use crate::{
    drive::{Judged, Outcome, Target},
    edit::Edit,
    edited::{edited, text_of},
    messages::said,
};

/// Parts of lengths.
const PARTS: [&str; 46] = [
    "0",
    "1",
    "7",
    "12",
    "35",
    "900",
    "010",
    "0.5",
    ".5",
    "5.",
    "1/2",
    "7/16",
    "3/0",
    "4294967296/3",
    "11",
    "17",
    " ",
    "  ",
    "-",
    "+",
    "--",
    "\u{2212}",
    "mm",
    "cm",
    "m",
    "in",
    "ft",
    "MM",
    "Ft",
    "inch",
    "feet",
    "'",
    "\"",
    "''",
    "\u{2032}",
    "\u{2033}",
    "\u{2019}",
    "\u{201d}",
    "½",
    "⅞",
    "⁄",
    "/",
    ".",
    ",",
    "°",
    "deg",
];

/// Longest length that is read, mm.
const LONGEST_MM: f64 = 1e8;

const TARGET: Target = Target {
    name: "lengths",
    cases: 20_000,
    work: [400_000, 1_000],
};

#[derive(Clone, Debug)]
enum Written {
    Parts(Vec<&'static str>),
    Edited((proptest::sample::Index, Vec<Edit>)),
    Signs(String),
}

#[test]
fn a_length_is_read_as_it_is_written_or_refused_with_what_to_write() {
    TARGET.play(
        |_| {
            prop_oneof![
                5 => proptest::collection::vec(proptest::sample::select(&PARTS[..]), 0..8).prop_map(Written::Parts),
                4 => edited(3).prop_map(Written::Edited),
                1 => proptest::collection::vec(any::<char>(), 0..12)
                    .prop_map(|signs| Written::Signs(signs.into_iter().collect())),
            ]
        },
        |pool, written| {
            let text = match written {
                Written::Parts(parts) => parts.concat(),
                Written::Edited(case) => text_of(pool, case),
                Written::Signs(signs) => signs.clone(),
            };
            text.into_bytes()
        },
        |input| judge(&String::from_utf8_lossy(input)),
    );
}

fn judge(text: &str) -> Judged {
    let mut refusals = Vec::new();
    match parse_angle(text) {
        Ok(degrees) if degrees.abs() > 360.0 => return Err(format!("{degrees}°")),
        Ok(degrees) => same(
            "angle",
            parse_angle(&format!("{degrees} deg")).ok(),
            degrees,
            0.0,
        )?,
        Err(message) => refused(text, &message, &mut refusals)?,
    }
    let coordinate = parse_coordinate(text);
    match parse_length(text) {
        Ok(mm) => {
            if !(mm.abs() <= LONGEST_MM) {
                return Err(format!("read as {mm}"));
            }
            same("coordinate", coordinate.ok(), mm, 0.0)?;
            variants(text, mm)?;
            shown(mm)?;
            Ok(Outcome::Taken)
        }
        Err(error) => {
            refused(text, &error.to_string(), &mut refusals)?;
            match coordinate {
                Ok(mm) if mm.abs() > LONGEST_MM && mm.abs() <= 1e10 => Ok(Outcome::Taken),
                Ok(mm) => Err(format!("a coordinate of {mm} and no length")),
                Err(_) => Ok(Outcome::Refused(refusals)),
            }
        }
    }
}

fn refused(text: &str, message: &str, refusals: &mut Vec<String>) -> Result<(), String> {
    if !message.contains(&format!("\"{text}\"")) {
        return Err(format!("the text is not quoted: {message}"));
    }
    said(message)?;
    refusals.push(message.to_owned());
    Ok(())
}

fn same(what: &str, read: Option<f64>, mm: f64, within: f64) -> Result<(), String> {
    match read {
        Some(read) if (read - mm).abs() <= within => Ok(()),
        other => Err(format!("{what}: {other:?} and not {mm}")),
    }
}

/// The same length, written otherwise.
fn variants(text: &str, mm: f64) -> Result<(), String> {
    let read = |text: &str| parse_length(text).ok();
    same("blanks", read(&format!("  {text}\t")), mm, 0.0)?;
    same("capitals", read(&text.to_ascii_uppercase()), mm, 0.0)?;
    let text = text.trim();
    let text = text.strip_prefix('+').map_or(text, str::trim_start);
    match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => same("without its minus", read(rest), -mm, 0.0)?,
        None => same("with a minus", read(&format!("-{text}")), -mm, 0.0)?,
    }
    same("as a number", read(&mm.to_string()), mm, 0.0)?;
    // What is near to nought has fewer digits.
    let close = 1e-12 * mm.abs() + f64::MIN_POSITIVE;
    same("in metres", read(&format!("{} m", mm / 1000.0)), mm, close)?;
    same("in inches", read(&format!("{} in", mm / 25.4)), mm, close)
}

/// What is shown is read back to within half of its last digit.
fn shown(mm: f64) -> Result<(), String> {
    if mm.abs() > LONGEST_MM - 25.4 {
        // Rounded up, it would be too long.
        return Ok(());
    }
    let half = SIXTEENTH_MM / 2.0 + 1e-6;
    for text in [inch_text(mm), inch_cell(mm)] {
        same(
            "inches shown",
            parse_length(&format!("{text} in")).ok(),
            mm,
            half,
        )?;
    }
    for graduations in [8, 16, 64] {
        let half = 12.7 / f64::from(graduations) + 1e-6;
        let text = feet_text_to(mm, i64::from(graduations));
        same("feet shown", parse_length(&text).ok(), mm, half)?;
    }
    Ok(())
}
