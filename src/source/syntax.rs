//! What is wrong with a line that is no TOML, in the words of whoever wrote it.
//!
//! A parser says what it expected next. People write lengths with a comma or a unit and no quotation marks, or let a word processor
//! turn the marks; the line shows which, so the message says what to write.

/// Quotation marks and other signs that word processors and phones put in the place of straight ones.
const TYPOGRAPHIC: [char; 15] = [
    '“', '”', '„', '‟', '‘', '’', '‚', '‛', '«', '»', '‹', '›', '″', '′', '＂',
];

/// A sentence on the line of a text in which an error lies at the byte `at`; `said` is the parser's own word for it.
pub(super) fn broken_line(text: &str, at: usize, said: &str) -> String {
    if said == "duplicate key" {
        return "broken TOML: this key or heading stands here a second time; leave one of them"
            .to_owned();
    }
    let slip = slip(line_at(text, at)).unwrap_or_else(|| {
        format!("{said}; every line is `key = value`, a [table] heading or a # comment")
    });
    format!("broken TOML: {slip}")
}

fn line_at(text: &str, at: usize) -> &str {
    // Of an error at the end of a line, its line break is part of what is wrong.
    let at = (0..=at.min(text.len()))
        .rev()
        .find(|at| text.is_char_boundary(*at))
        .unwrap_or(0);
    let start = text[..at].rfind('\n').map_or(0, |end| end + 1);
    text[start..].lines().next().unwrap_or_default().trim()
}

fn slip(line: &str) -> Option<String> {
    if line.starts_with([';', '/']) {
        return Some("a comment begins with #".to_owned());
    }
    if line.starts_with('[') && !line.contains('=') {
        return (!line.contains(']'))
            .then(|| "the heading is not closed; write ] at its end".to_owned());
    }
    let Some((key, value)) = line.split_once('=') else {
        return no_equals(line);
    };
    let (key, value) = (key.trim(), value.trim());
    let is_quoted = key.starts_with(['"', '\'']);
    if key.contains(char::is_whitespace) && !is_quoted {
        return None;
    }
    if let Some(sign) = key.chars().find(|sign| TYPOGRAPHIC.contains(sign)) {
        return Some(typographic(sign, "keys have no quotation marks"));
    }
    match value.chars().next() {
        None | Some('#') => Some(format!(
            "there is no value behind `{key} =`; write one, or leave the line out"
        )),
        Some(sign) if TYPOGRAPHIC.contains(&sign) => Some(in_straight_marks(sign, key, value)),
        Some(mark @ ('"' | '\'')) => quoted(mark, key, value),
        Some(first) if first.is_ascii_digit() || matches!(first, '+' | '-' | '.') => {
            Some(number(key, value))
        }
        Some(first) if first.is_alphabetic() => Some(word(key, value)),
        Some(_) => None,
    }
}

fn no_equals(line: &str) -> Option<String> {
    let (key, value) = line.split_once(':')?;
    let is_key = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | ' ');
    let is_pair = !key.is_empty() && key.chars().all(is_key) && !value.is_empty();
    is_pair.then(|| {
        format!(
            "between a key and its value stands `=`, not `:`; write `{} = {}`",
            key.trim(),
            value.trim()
        )
    })
}

fn typographic(sign: char, remedy: &str) -> String {
    format!(
        "the quotation mark {sign} (U+{:04X}) is a typographic one, as word processors and phones write it; {remedy}",
        u32::from(sign)
    )
}

fn in_straight_marks(sign: char, key: &str, value: &str) -> String {
    let inner = value.trim_matches(|c: char| TYPOGRAPHIC.contains(&c) || c == '"');
    typographic(sign, &format!("write straight ones: `{key} = \"{inner}\"`"))
}

/// A text that begins with a straight mark.
fn quoted(mark: char, key: &str, value: &str) -> Option<String> {
    let marks = value.matches(mark).count();
    if let Some(sign) = value.chars().find(|sign| TYPOGRAPHIC.contains(sign))
        && marks == 1
    {
        return Some(in_straight_marks(sign, key, value));
    }
    if mark == '"' && value.contains('\\') {
        return Some(backslash(value));
    }
    match marks {
        1 => Some(format!(
            "the quotation mark {mark} is not closed; write a second one at the end of the text"
        )),
        2 => Some(
            "behind the closing quotation mark only a # comment may stand; delete the rest of the line, or write a # before it".to_owned(),
        ),
        _ => Some(
            "a quotation mark inside the text ends it; leave it out, and write feet and inches as `ft` and `in`"
                .to_owned(),
        ),
    }
}

fn backslash(value: &str) -> String {
    let half = |prefix: &str| {
        let mut rest = value.split(prefix).skip(1);
        rest.any(|digits| matches!(digits.get(..2), Some(d) if d.to_ascii_lowercase().starts_with('d') && d.as_bytes()[1] >= b'8'))
    };
    if half("\\u") {
        "a \\u between D800 and DFFF is half of a character and stands for nothing; write the character itself".to_owned()
    } else {
        "a backslash has a meaning of its own in double quotation marks; write paths with /, or in single quotation marks".to_owned()
    }
}

fn number(key: &str, value: &str) -> String {
    let chars: Vec<char> = value.chars().collect();
    let is_digit = |at: usize| chars.get(at).is_some_and(char::is_ascii_digit);
    if (1..chars.len()).any(|at| chars[at] == ',' && is_digit(at - 1) && is_digit(at + 1)) {
        return "a number has no comma; write a point before decimals, as in 2.74, and thousands without a sign".to_owned();
    }
    let is_of_number = |c: &char| c.is_ascii_digit() || ".+-_eE".contains(*c);
    if chars.iter().all(is_of_number) {
        return "the number cannot be read; write it with digits before and after its point, and without a leading 0, as in 0.5".to_owned();
    }
    let thousands = |at: usize| {
        matches!(chars[at], ' ' | '\'')
            && is_digit(at - 1)
            && (1..=3).all(|step| is_digit(at + step))
    };
    if (1..chars.len()).any(thousands) {
        return "a number is written without anything between its thousands, as in 2700".to_owned();
    }
    if value.contains(['"', '\'']) {
        return "feet and inches stand in quotation marks, with `ft` and `in`, as in \"9 ft 3 1/2 in\"".to_owned();
    }
    format!(
        "a number with anything behind it stands in quotation marks; write `{key} = \"{}\"`",
        value
            .split('#')
            .next()
            .unwrap_or(value)
            .trim_end_matches([' ', ';'])
    )
}

fn word(key: &str, value: &str) -> String {
    let plain = value.split('#').next().unwrap_or(value).trim();
    let lower = plain.to_ascii_lowercase();
    if ["true", "false"].contains(&lower.as_str()) {
        return format!("true and false have small letters; write `{key} = {lower}`");
    }
    if plain.contains('"') {
        return "text stands in quotation marks from its beginning to its end; write one before it and one behind it".to_owned();
    }
    format!("text stands in quotation marks; write `{key} = \"{plain}\"`")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(line: &str) -> String {
        let text = format!("a = 1\n{line}\nb = 2\n");
        let (_, errors) = toml::de::DeTable::parse_recoverable(&text);
        let error = errors.first().unwrap_or_else(|| panic!("{line} is TOML"));
        let at = error.span().map_or(0, |span| span.start);
        broken_line(&text, at, error.message())
    }

    #[test]
    fn each_slip_of_a_line_is_named_with_what_to_write() {
        for (line, expected) in [
            ("wheelbase = 2,74", "write a point before decimals"),
            ("wheelbase = 2.740,5", "write a point before decimals"),
            ("wheelbase = 2,74 m", "write a point before decimals"),
            ("wheelbase = 2700 mm", "write `wheelbase = \"2700 mm\"`"),
            ("wheelbase = 2700mm # a", "write `wheelbase = \"2700mm\"`"),
            (
                "wheelbase = 2 700",
                "without anything between its thousands",
            ),
            ("wheelbase = 9'-3\"", "with `ft` and `in`"),
            (
                "wheelbase = 2'700",
                "without anything between its thousands",
            ),
            ("wheelbase = .5", "digits before and after its point"),
            ("wheelbase = 02700", "without a leading 0"),
            ("wheelbase = “2.7 m”", "“ (U+201C) is a typographic one"),
            (
                "wheelbase = “2.7 m”",
                "write straight ones: `wheelbase = \"2.7 m\"`",
            ),
            ("wheelbase = ‘2.7 m’", "‘ (U+2018)"),
            ("wheelbase = „2.7 m“", "„ (U+201E)"),
            ("wheelbase = ″2.7 m″", "″ (U+2033)"),
            ("wheelbase = ′2.7 m′", "′ (U+2032)"),
            ("wheelbase = \"2.7 m”", "” (U+201D)"),
            ("“wheelbase” = 2700", "keys have no quotation marks"),
            ("name = \"van", "is not closed"),
            ("name = 'van", "is not closed"),
            ("name = \"van\" x", "only a # comment"),
            ("name = \"5' 3\" tall\"", "write feet and inches as"),
            ("name = \"C:\\jobs\\x\"", "write paths with /"),
            ("name = \"\\uD800\"", "half of a character"),
            ("name = city-car", "write `name = \"city-car\"`"),
            ("flag = True", "write `flag = true`"),
            ("name =", "there is no value behind `name =`"),
            ("name: van", "not `:`; write `name = van`"),
            ("[bay", "the heading is not closed"),
            ("; note", "a comment begins with #"),
            ("a = 2", "a second time"),
            ("x y = 3", "every line is `key = value`"),
        ] {
            let said = said(line);
            assert!(said.contains(expected), "{line}: {said}");
        }
    }
}
