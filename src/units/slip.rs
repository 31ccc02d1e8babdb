//! Slips of people and of spreadsheets that make a length unreadable.

/// What a text that is no length has most likely been meant as, and how to write it; `plain` is in small letters, without hard spaces.
pub(super) fn slip(plain: &str) -> Option<&'static str> {
    let chars: Vec<char> = plain.chars().collect();
    let is_digit = |at: usize| chars.get(at).is_some_and(char::is_ascii_digit);
    // A sign between digits, and whether three digits follow it: as thousands are set apart.
    let between = |signs: &[char]| {
        let at = (1..chars.len())
            .filter(|&at| signs.contains(&chars[at]) && is_digit(at - 1) && is_digit(at + 1));
        at.map(|at| (1..=3).all(|step| is_digit(at + step)) && !is_digit(at + 4))
            .collect::<Vec<bool>>()
    };
    let has_exponent = || {
        (1..chars.len()).any(|at| {
            let sign = usize::from(matches!(chars.get(at + 1), Some('+' | '-')));
            chars[at] == 'e'
                && (is_digit(at - 1) || chars[at - 1] == '.')
                && is_digit(at + 1 + sign)
        })
    };
    let is_foreign_digit = |c: &char| c.is_numeric() && !c.is_ascii() && !is_fraction(*c);
    if chars.iter().any(is_foreign_digit) {
        Some("write it with the digits 0 to 9")
    } else if !between(&[',']).is_empty() {
        Some("it has a comma; write a point before decimals, and thousands without a sign")
    } else if has_exponent() {
        Some(
            "it has an exponent, as a spreadsheet writes a number that it cuts short; write all digits",
        )
    } else if between(&['\'', '’', '′', '‘']).contains(&true) {
        Some("its sign after a number is that of feet; write thousands without a sign")
    } else if between(&[' ']).contains(&true) {
        Some("it has two numbers; write thousands without a space")
    } else if !between(&['_']).is_empty() {
        Some("write its digits without `_`")
    } else {
        let begins = plain.trim_start_matches(['-', '+', ' ']);
        let has_number = begins.starts_with(|c: char| c.is_ascii_digit() || c == '.');
        (!has_number && plain.contains(|c: char| c.is_ascii_digit()))
            .then_some("a length begins with its number")
    }
}

/// Fractions that have a character of their own are numbers, and are read.
fn is_fraction(c: char) -> bool {
    matches!(c, '\u{bc}'..='\u{be}' | '\u{2150}'..='\u{215f}')
}
