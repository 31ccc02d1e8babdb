//! Lengths read from text.

use std::fmt;

use super::{slip::slip, unit::Unit};

/// One inch in mm, exactly (international inch, 1959).
pub const MM_PER_INCH: f64 = 25.4;

/// Longest side of a plain PDF page, units of 1/72 in (ISO 32000-1, annex C).
pub const LONGEST_PAGE_UNITS: f64 = 14_400.0;

/// The same in mm: 5080.
pub const LONGEST_PAGE_MM: f64 = LONGEST_PAGE_UNITS / 72.0 * MM_PER_INCH;

/// Longest length that is read, mm: 100 km are beyond any that is taped. What is built in a workshop has
/// narrower limits of its own.
const LONGEST_MM: f64 = 1e8;

/// Farthest coordinate that is read, mm: those of a national grid count from the equator, 10 000 km from either pole.
const FARTHEST_MM: f64 = 1e10;

/// Fractions that have a character of their own (Unicode, Latin-1 Supplement and Number Forms).
const FRACTIONS: [(char, &str); 9] = [
    ('¼', " 1/4"),
    ('½', " 1/2"),
    ('¾', " 3/4"),
    ('⅓', " 1/3"),
    ('⅔', " 2/3"),
    ('⅛', " 1/8"),
    ('⅜', " 3/8"),
    ('⅝', " 5/8"),
    ('⅞', " 7/8"),
];

/// Why a text is no length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LengthError {
    text: String,
    reason: String,
}

impl fmt::Display for LengthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "\"{}\" is not a length: {}; write a number of mm, or text such as \"900 mm\", \"0.9 m\", \"35 7/16 in\" or \"2 ft 11 1/2 in\"",
            self.text, self.reason
        )
    }
}

impl std::error::Error for LengthError {}

/// Reads a length in mm. Units mm, cm, m, in (or `"`, or `''`) and ft (or `'`), also typographic signs and whole words, in small letters
/// or capitals; feet may be followed by inches, whose sign may be left out; feet and inches may have a
/// fraction, also as a character such as ½; a number alone is mm. A leading sign applies to the whole.
///
/// # Errors
/// `LengthError` when the text is empty, has no number, an unknown unit, a zero denominator, or
/// is longer than 100 km.
pub fn parse_length(text: &str) -> Result<f64, LengthError> {
    parse_within(text, is_sane_length, "it is longer than 100 km")
}

/// Reads a coordinate in mm, written as a length is.
///
/// # Errors
/// As [`parse_length`], with the limit of `is_sane_coordinate`.
pub fn parse_coordinate(text: &str) -> Result<f64, LengthError> {
    parse_within(text, is_sane_coordinate, "it is farther than 10 000 km")
}

fn parse_within(
    text: &str,
    is_sane: fn(f64) -> bool,
    too_long: &'static str,
) -> Result<f64, LengthError> {
    let plain = plain_text(text);
    let fail = |reason| LengthError {
        text: text.to_owned(),
        reason,
    };
    let value = value(&plain).map_err(|reason| fail(slip(&plain).map_or(reason, str::to_owned)))?;
    if is_sane(value) {
        Ok(value)
    } else {
        Err(fail(too_long.to_owned()))
    }
}

/// The mm of a plain text, or why it has none.
fn value(plain: &str) -> Result<f64, String> {
    let (sign, body) = match plain.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, plain.strip_prefix('+').unwrap_or(plain).trim_start()),
    };
    if body.is_empty() {
        return Err("it is empty".to_owned());
    }
    let magnitude = match split_parts(body)?.as_slice() {
        [(number, unit)] => number * unit.millimetres(),
        [(feet, Unit::Foot), (inches, Unit::Inch)] if *inches < 12.0 => {
            feet * Unit::Foot.millimetres() + inches * Unit::Inch.millimetres()
        }
        [(_, Unit::Foot), (_, Unit::Inch)] => {
            return Err("after feet there are fewer than 12 inches".to_owned());
        }
        _ => {
            return Err("only feet may be followed by another unit, and that is inches; write one number with decimals".to_owned());
        }
    };
    Ok(sign * magnitude)
}

/// The text with one way to write minus, blanks and fractions, and in small letters.
fn plain_text(text: &str) -> String {
    let mut plain = without_hard_spaces(text.trim())
        .replace(['\u{2212}', '\u{2010}', '\u{2011}', '\u{2013}'], "-")
        .replace('\u{2044}', "/")
        .to_ascii_lowercase();
    for (sign, written) in FRACTIONS {
        plain = plain.replace(sign, written);
    }
    plain.trim_start().to_owned()
}

/// Takes away hard spaces that set thousands apart (French and SI usage); others become plain spaces.
pub(crate) fn without_hard_spaces(text: &str) -> String {
    const HARD: [char; 3] = ['\u{a0}', '\u{202f}', '\u{2009}'];
    if !text.contains(HARD) {
        return text.to_owned();
    }
    let chars: Vec<char> = text.chars().collect();
    let is_digit = |index: usize| chars.get(index).is_some_and(char::is_ascii_digit);
    let sets_thousands_apart = |at: usize| {
        at > 0 && is_digit(at - 1) && (1..=3).all(|step| is_digit(at + step)) && !is_digit(at + 4)
    };
    let keep = |(at, c): (usize, &char)| match c {
        c if !HARD.contains(c) => Some(*c),
        _ if sets_thousands_apart(at) => None,
        _ => Some(' '),
    };
    chars.iter().enumerate().filter_map(keep).collect()
}

/// True for a finite length of at most 100 km, either way.
#[must_use]
pub fn is_sane_length(mm: f64) -> bool {
    mm.abs() <= LONGEST_MM
}

/// True for a finite coordinate of at most 10 000 km, either way.
#[must_use]
pub fn is_sane_coordinate(mm: f64) -> bool {
    mm.abs() <= FARTHEST_MM
}

fn split_parts(body: &str) -> Result<Vec<(f64, Unit)>, String> {
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | ' ' | '-');
    let mut parts = Vec::new();
    let mut rest = body;
    while !rest.is_empty() {
        let number_end = rest.find(|c| !is_number(c)).unwrap_or(rest.len());
        let (number, tail) = rest.split_at(number_end);
        let unit_end = tail
            .find(|c: char| is_number(c) && c != '/')
            .unwrap_or(tail.len());
        let (name, tail) = tail.split_at(unit_end);
        let unit = match parts.last() {
            Some((_, Unit::Foot)) if name.is_empty() => bare_inches(number)?,
            _ => Unit::named(name)
                .ok_or_else(|| format!("its unit `{name}` is none of mm, cm, m, in, ft"))?,
        };
        parts.push((mixed_number(number, unit)?, unit));
        rest = behind_unit(tail, unit);
    }
    Ok(parts)
}

/// What follows a unit, without the point of an abbreviation, and without the dash between feet and inches: `5'-3"`.
fn behind_unit(tail: &str, unit: Unit) -> &str {
    let abbreviated = tail
        .strip_prefix('.')
        .filter(|rest| !rest.starts_with(|c: char| c.is_ascii_digit()));
    let rest = abbreviated.unwrap_or(tail).trim_start();
    let inches = rest.strip_prefix('-').map(str::trim_start);
    inches
        .filter(|inches| unit == Unit::Foot && !inches.is_empty())
        .unwrap_or(rest)
}

/// The unit of a number without one behind feet: `17'3 1/4`. Not of `5'010`, where the sign sets
/// thousands apart.
fn bare_inches(number: &str) -> Result<Unit, &'static str> {
    let whole = number
        .trim_start()
        .bytes()
        .take_while(u8::is_ascii_digit)
        .count();
    if whole < 3 {
        Ok(Unit::Inch)
    } else {
        Err("after feet there are inches, of one or two digits")
    }
}

/// Reads `35`, `35.5`, `7/16`, `35 7/16` and `35-7/16`; never a sign or an exponent.
fn mixed_number(text: &str, unit: Unit) -> Result<f64, &'static str> {
    if text.trim().trim_matches('-').len() != text.trim().len() || text.contains("--") {
        return Err("a dash may only stand between a whole number and its fraction");
    }
    let words: Vec<&str> = text
        .split([' ', '-'])
        .filter(|word| !word.is_empty())
        .collect();
    match words.as_slice() {
        [word] if !word.contains('/') => decimal(word),
        [word] if unit.takes_fractions() => fraction(word),
        [whole, part] if unit.takes_fractions() && part.contains('/') => {
            if whole.contains(['.', '/']) {
                return Err("a whole number belongs before the fraction");
            }
            Ok(decimal(whole)? + fraction(part)?)
        }
        [] => Err("a number is missing"),
        _ if text.contains('/') => Err("fractions go with in and ft only"),
        _ => Err("there are two numbers where one was expected"),
    }
}

fn decimal(word: &str) -> Result<f64, &'static str> {
    word.parse().map_err(|_| "its number cannot be read")
}

fn fraction(word: &str) -> Result<f64, &'static str> {
    let (top, bottom) = word.split_once('/').ok_or("its fraction cannot be read")?;
    let read = |part: &str| {
        part.parse::<u32>()
            .map_err(|_| "its fraction cannot be read")
    };
    let (top, bottom) = (read(top)?, read(bottom)?);
    if bottom == 0 {
        return Err("its fraction has a zero below the line");
    }
    Ok(f64::from(top) / f64::from(bottom))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_reads_to_its_defined_size() {
        // 1 in = 25.4 mm exactly; 1/64 in = 0.396875, 1/32 = 0.79375, 13/16 = 20.6375 mm (arithmetic on it).
        for (text, mm) in [
            ("900 mm", 900.0),
            ("900", 900.0),
            ("90cm", 900.0),
            ("0.9 m", 900.0),
            ("1/64 in", 0.396_875),
            ("1/32 in", 0.793_75),
            ("13/16 in", 20.637_5),
            ("35 7/16 in", 900.112_5),
            ("35-7/16 in", 900.112_5),
            ("35.5\"", 901.7),
            ("2 ft 11 1/2 in", 901.7),
            ("2' 11 1/2\"", 901.7),
            ("2ft11in", 889.0),
            ("\u{2212}1 in", -25.4),
            ("-2 ft 6 in", -762.0),
            ("17'3 1/4", 207.25 * 25.4),
            ("17' 3-1/4\"", 207.25 * 25.4),
            ("17’ 3¼”", 207.25 * 25.4),
            ("17 FT 3 ¼", 207.25 * 25.4),
            ("17'3''", 207.0 * 25.4),
            ("½ in", 12.7),
            ("207½\"", 207.5 * 25.4),
            ("7⁄8 IN", 22.225),
            ("3000 m", 3e6),
            ("35 inch", 889.0),
            ("35 7/16 inches", 900.112_5),
            ("1 foot", 304.8),
            ("2 feet 11 inches", 889.0),
            ("2 ft. 11 in.", 889.0),
            ("900 mm.", 900.0),
            ("900 millimetres", 900.0),
            ("90 Centimeters", 900.0),
            ("0.9 metres", 900.0),
            ("1 meter", 1000.0),
            ("5'-3\"", 63.0 * 25.4),
            ("5'-3 1/2\"", 63.5 * 25.4),
            ("5' - 3-1/2\"", 63.5 * 25.4),
            ("5ft-3in", 63.0 * 25.4),
            ("5′-3½″", 63.5 * 25.4),
            ("5‘ 3“", 63.0 * 25.4),
            ("5’–3”", 63.0 * 25.4),
            ("5′ 3′′", 63.0 * 25.4),
            ("+900 mm", 900.0),
            ("\u{2013}1 in", -25.4),
            ("1\u{202f}760 mm", 1760.0),
            ("1\u{a0}760", 1760.0),
            ("1\u{2009}760\u{a0}mm", 1760.0),
        ] {
            let read = parse_length(text).unwrap();
            assert!((read - mm).abs() < 1e-9, "{text} read as {read}");
        }
    }

    #[test]
    fn a_coordinate_may_be_that_of_a_national_grid_and_a_length_may_not() {
        assert_eq!(parse_coordinate("5 ft"), parse_length("5 ft"));
        assert_eq!(parse_coordinate("-10000000 m"), Ok(-1e10));
        assert!(parse_length("5200000 m").is_err());
        let message = parse_coordinate("10000001 m").unwrap_err().to_string();
        assert!(
            message.contains("\"10000001 m\"") && message.contains("10 000 km"),
            "{message}"
        );
    }

    #[test]
    fn a_slip_that_people_and_spreadsheets_make_is_named_with_what_to_write() {
        for (text, said) in [
            ("2,74 m", "write a point before decimals"),
            ("2.740,5 mm", "write a point before decimals"),
            ("1,760", "write a point before decimals"),
            ("1.76E+03", "write all digits"),
            ("1.76e3 mm", "write all digits"),
            ("1'760", "thousands without a sign"),
            ("1'760 mm", "thousands without a sign"),
            ("1’760", "thousands without a sign"),
            ("1 760", "thousands without a space"),
            ("1 760 mm", "thousands without a space"),
            ("1_760 mm", "digits without `_`"),
            ("٢٧٠٠ mm", "digits 0 to 9"),
            ("２７００", "digits 0 to 9"),
            ("ca. 2.7 m", "begins with its number"),
            ("2700 milimeters", "its unit `milimeters` is none of"),
            ("2.7 km", "its unit `km` is none of"),
            ("5'-", "is not a length"),
            ("5'--3\"", "a dash may only stand"),
            ("5\"-3\"", "is not a length"),
        ] {
            let message = parse_length(text).unwrap_err().to_string();
            assert!(message.contains(said), "{message}");
        }
    }

    #[test]
    fn what_is_no_length_is_quoted_with_the_reason_and_the_remedy() {
        for bad in [
            "",
            "mm",
            "nan",
            "inf",
            "1e400",
            "9 00 mm",
            "3 furlong",
            "1/0 in",
            "1/2 mm",
            "1.5 1/2 in",
            "2 ft 14 in",
            "1 in 2 ft",
            "1 m 20 cm",
            "--5",
            "5 -",
            "1/2/3 in",
            "٣ mm",
            "5'010",
            "5'210",
            "½ mm",
            "100001 m",
        ] {
            let message = parse_length(bad)
                .map(|mm| panic!("{bad} read as {mm}"))
                .unwrap_err()
                .to_string();
            assert!(
                message.contains(&format!("\"{bad}\"")) && message.contains("900 mm"),
                "{message}"
            );
        }
    }
}
