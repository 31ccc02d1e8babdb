//! Angles read from text or numbers, in degrees.

/// What may stand behind the number.
const UNITS: [&str; 4] = ["deg", "degrees", "degree", "°"];

/// Reads an angle: `"30 deg"`, `"30°"`, `"30 degrees"`, `"30"`. Degrees, as written.
///
/// # Errors
/// A sentence that quotes the text and says what was expected.
pub fn parse_angle(text: &str) -> Result<f64, String> {
    let trimmed = text.trim();
    let number = UNITS
        .iter()
        .find_map(|unit| trimmed.strip_suffix(unit))
        .unwrap_or(trimmed)
        .trim();
    match number.replace('\u{2212}', "-").parse::<f64>() {
        Ok(value) if is_sane_angle(value) => Ok(value),
        _ => {
            let comma = if number.contains(',') {
                ", with a point before decimals"
            } else {
                ""
            };
            Err(format!(
                "\"{text}\" is not an angle; write degrees from -360 to 360{comma}, as in 30 or \"30 deg\""
            ))
        }
    }
}

/// True for at most a full turn either way, degrees.
#[must_use]
pub fn is_sane_angle(degrees: f64) -> bool {
    degrees.abs() <= 360.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_are_degrees_with_or_without_a_unit() {
        assert_eq!(parse_angle("30 deg"), Ok(30.0));
        assert_eq!(parse_angle("-12.5°"), Ok(-12.5));
        assert_eq!(parse_angle(" 7 "), Ok(7.0));
        assert_eq!(parse_angle("30 degrees"), Ok(30.0));
    }

    #[test]
    fn a_decimal_comma_is_named() {
        let message = parse_angle("12,5 deg").unwrap_err();
        assert!(message.contains("a point before decimals"), "{message}");
    }

    #[test]
    fn what_is_no_angle_is_quoted_back() {
        for bad in ["", "nan", "inf", "30 rad", "deg", "361", "1e308"] {
            assert!(parse_angle(bad).is_err_and(|message| message.contains(&format!("\"{bad}\""))));
        }
    }
}
