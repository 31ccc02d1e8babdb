//! What goes to stdout and stderr: the one place where texts leave for a terminal.
//!
//! Names, keys, values, paths and flags are quoted in what is said, and whoever wrote them may have put into them what a terminal takes
//! for a command, or what turns the order of letters about. Such signs leave as JSON writes them (`\\u001b`), so that JSON stays what it
//! was. A text that is quoted is cut short where it would fill the screen.

use std::{
    borrow::Cow,
    io::{self, ErrorKind, Write},
};

use super::failure::Failure;

/// Most characters of a text that a message quotes.
const QUOTED: usize = 200;

/// Most characters of a line of a message.
const LINE: usize = 2_000;

/// Writes data to stdout in one go. A reader that has closed its end has seen enough: no fault.
pub(super) fn data(text: &str) -> Result<(), Failure> {
    let mut stdout = io::stdout().lock();
    match stdout
        .write_all(escaped(text).as_bytes())
        .and_then(|()| stdout.flush())
    {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Err(Failure::Stdout(error)),
        _ => Ok(()),
    }
}

/// Writes a message of one line to stderr; a line break in what it quotes is written out.
pub(super) fn message(text: &str) {
    messages(&text.replace('\n', "\\n"));
}

/// Writes a message of several lines to stderr. Where even that is closed nobody listens, and the work is done.
pub(super) fn messages(text: &str) {
    let lines: Vec<String> = text.split('\n').map(clipped).collect();
    let _ = writeln!(io::stderr(), "{}", escaped(&lines.join("\n")));
}

/// True for a sign that acts on a terminal or on the order of letters instead of showing: controls but line break and tab, marks and
/// brackets of writing direction (UAX #9), line and paragraph separators, blanks without width, interlinear marks and tags.
const fn acts(sign: char) -> bool {
    matches!(
        sign,
        '\0'..='\u{8}'
            | '\u{b}'..='\u{1f}'
            | '\u{7f}'..='\u{9f}'
            | '\u{61c}'
            | '\u{200b}'
            | '\u{200e}'
            | '\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{feff}'
            | '\u{fff9}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e007f}'
    )
}

/// A text whose signs all show.
fn escaped(text: &str) -> Cow<'_, str> {
    if !text.contains(acts) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 16);
    for sign in text.chars() {
        if acts(sign) {
            let units = sign.encode_utf16(&mut [0; 2]).to_vec();
            shown.extend(units.iter().map(|unit| format!("\\u{unit:04x}")));
        } else {
            shown.push(sign);
        }
    }
    Cow::Owned(shown)
}

/// A line with what it quotes cut short.
fn clipped(line: &str) -> String {
    if line.chars().count() <= QUOTED {
        return line.to_owned();
    }
    let mut short = String::new();
    // Between two marks stands what is quoted; a mark inside it only cuts it elsewhere.
    for (index, part) in line.split_inclusive(['"', '`']).enumerate() {
        let is_quoted = index % 2 == 1;
        match part.char_indices().nth(QUOTED).filter(|_| is_quoted) {
            Some((end, _)) => {
                let closing = part.chars().last().filter(|sign| ['"', '`'].contains(sign));
                short.push_str(&part[..end]);
                short.push('…');
                short.extend(closing);
            }
            None => short.push_str(part),
        }
    }
    match short.char_indices().nth(LINE) {
        Some((end, _)) => format!("{}…", &short[..end]),
        None => short,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_acts_on_a_terminal_is_written_out_and_all_else_stays() {
        let plain = "1L–4R\tÄ ± ½ שלום\n";
        assert!(matches!(escaped(plain), Cow::Borrowed(text) if text == plain));
        let acting = "\u{1b}[31m\u{9b}\r\u{202e}\u{7f}\u{e0041}";
        assert_eq!(
            escaped(acting),
            "\\u001b[31m\\u009b\\u000d\\u202e\\u007f\\udb40\\udc41"
        );
    }

    #[test]
    fn json_says_the_same_after_it() {
        let text = "a\u{7f}\u{202e}\u{e0041}b";
        let json = serde_json::to_string(text).unwrap();
        let read: String = serde_json::from_str(&escaped(&json)).unwrap();
        assert_eq!(read, text);
    }

    #[test]
    fn long_quotations_are_cut_and_what_is_said_about_them_is_not() {
        let line = format!(
            "a.toml:1:1: \"{}\" is no length; write `{}`",
            "x".repeat(5_000),
            "y".repeat(10)
        );
        let short = clipped(&line);
        assert_eq!(
            short,
            format!(
                "a.toml:1:1: \"{}…\" is no length; write `{}`",
                "x".repeat(200),
                "y".repeat(10)
            )
        );
        assert_eq!(clipped(&"z".repeat(9_000)).chars().count(), LINE + 1);
    }
}
