//! Angles read from text or numbers, in degrees.

/// Reads an angle: `"30 deg"`, `"30°"`, `"30"`. Degrees, as written.
///
/// # Errors
/// A sentence that quotes the text and says what was expected.
pub fn parse_angle(text: &str) -> Result<f64, String> {
    let trimmed = text.trim();
    let number = trimmed
        .strip_suffix("deg")
        .or_else(|| trimmed.strip_suffix('°'))
        .unwrap_or(trimmed)
        .trim();
    match number.replace('\u{2212}', "-").parse::<f64>() {
        Ok(value) if is_sane_angle(value) => Ok(value),
        _ => Err(format!(
            "\"{text}\" is not an angle; write degrees from -360 to 360, as in 30 or \"30 deg\""
        )),
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
    }

    #[test]
    fn what_is_no_angle_is_quoted_back() {
        for bad in ["", "nan", "inf", "30 rad", "deg", "361", "1e308"] {
            assert!(parse_angle(bad).is_err_and(|message| message.contains(&format!("\"{bad}\""))));
        }
    }
}
