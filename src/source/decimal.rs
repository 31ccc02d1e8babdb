//! Numbers as people and spreadsheets write them: decimal point or comma, thousands set apart.

use crate::units::without_hard_spaces;

/// The decimal mark that a table's cells agree on, where they do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct DecimalMark(Option<char>);

impl DecimalMark {
    /// The mark of the cells' numbers that can be read in one way only; without such, `expected`.
    pub(super) fn of<'t>(cells: impl Iterator<Item = &'t str>, expected: Option<char>) -> Self {
        let (mut points, mut commas) = (false, false);
        for run in cells.flat_map(number_runs) {
            match plain_mark(run) {
                Some('.') => points = true,
                Some(_) => commas = true,
                None => (),
            }
        }
        Self(match (points, commas) {
            (true, false) => Some('.'),
            (false, true) => Some(','),
            (false, false) => expected,
            (true, true) => None,
        })
    }

    /// The text with every number in it written with a decimal point and without thousands set apart.
    ///
    /// # Errors
    /// A clause with both readings of a number, where there are two.
    pub(super) fn with_points(self, text: &str) -> Result<String, String> {
        let text = without_hard_spaces(text);
        let mut written = String::with_capacity(text.len());
        let mut rest = text.as_str();
        while let Some(start) = rest.find(is_of_number) {
            written.push_str(&rest[..start]);
            let end = rest[start..]
                .find(|c| !is_of_number(c))
                .map_or(rest.len(), |length| start + length);
            written.push_str(&self.number(&rest[start..end])?);
            rest = &rest[end..];
        }
        written.push_str(rest);
        Ok(written)
    }

    fn number(self, run: &str) -> Result<String, String> {
        let last = run.rfind(['.', ',']);
        let Some((mark, at)) = last.and_then(|at| run[at..].chars().next().map(|mark| (mark, at)))
        else {
            return Ok(run.to_owned());
        };
        let other = if mark == '.' { ',' } else { '.' };
        let (whole, part) = (&run[..at], &run[at + 1..]);
        if whole.contains(mark) {
            // Only thousands are set apart more than once.
            let groups = run.replace(mark, "");
            return Ok(if is_grouped(run, mark) {
                groups
            } else {
                run.to_owned()
            });
        }
        if whole.contains(other) {
            return Ok(if is_grouped(whole, other) {
                format!("{}.{part}", whole.replace(other, ""))
            } else {
                run.to_owned()
            });
        }
        if is_grouped(run, mark) && self.0 != Some(mark) {
            return Err(format!(
                "\"{run}\" may be {whole}{part} or {whole}.{part}; leave out the mark before thousands, or write another number of decimals"
            ));
        }
        Ok(format!("{whole}.{part}"))
    }
}

fn is_of_number(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '.' | ',')
}

fn number_runs(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c| !is_of_number(c))
        .filter(|run| !run.is_empty())
}

/// The decimal mark of a number that can be read in one way only: one mark, and not as before
/// thousands.
fn plain_mark(run: &str) -> Option<char> {
    let at = run.find(['.', ','])?;
    let mark = run[at..].chars().next()?;
    let (whole, part) = (&run[..at], &run[at + 1..]);
    let lone = !whole.is_empty() && !part.is_empty() && !part.contains(['.', ',']);
    (lone && !is_grouped(run, mark)).then_some(mark)
}

/// True for digits set apart as thousands are: one to three, not beginning with 0, then threes.
fn is_grouped(digits: &str, mark: char) -> bool {
    let mut groups = digits.split(mark);
    let all_digits =
        |group: &str| !group.is_empty() && group.bytes().all(|byte| byte.is_ascii_digit());
    let first = groups.next().unwrap_or_default();
    let first_is_short = all_digits(first) && first.len() <= 3 && !first.starts_with('0');
    first_is_short && groups.all(|group| group.len() == 3 && all_digits(group))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(cells: &[&str]) -> DecimalMark {
        DecimalMark::of(cells.iter().copied(), None)
    }

    #[test]
    fn marks_that_can_be_read_in_one_way_are_read_whatever_the_file_does_elsewhere() {
        for (text, plain) in [
            ("5210,5", "5210.5"),
            ("5210.5", "5210.5"),
            ("5.210,5 mm", "5210.5 mm"),
            ("5,210.5", "5210.5"),
            ("1.234.567", "1234567"),
            ("0,125 m", "0.125 m"),
            ("5210,125", "5210.125"),
            ("5\u{202f}210,5", "5210.5"),
            ("207\u{a0}1/4 in", "207 1/4 in"),
            ("17' 3,5\"", "17' 3.5\""),
            ("4711", "4711"),
        ] {
            assert_eq!(
                DecimalMark(None).with_points(text).as_deref(),
                Ok(plain),
                "{text}"
            );
        }
    }

    #[test]
    fn three_digits_after_a_mark_are_decimals_only_where_the_file_says_so() {
        assert_eq!(mark(&["12,5"]).with_points("5,210").as_deref(), Ok("5.210"));
        assert_eq!(mark(&["12.5"]).with_points("5.210").as_deref(), Ok("5.210"));
        for (cells, text) in [
            (&["12.5"][..], "5,210"),
            (&["12,5"], "5.210"),
            (&["12,5", "12.5"], "5,210"),
            (&[], "5.210"),
        ] {
            let message = mark(cells).with_points(text).unwrap_err();
            assert!(
                message.contains("5210") && message.contains("5.210"),
                "{message}"
            );
        }
    }

    #[test]
    fn what_is_no_number_is_left_for_the_reader_to_refuse() {
        for text in ["12.05.2026", "1,2,3", "1.2,3.4", ",", "..", "€"] {
            let written = DecimalMark(None).with_points(text).unwrap();
            assert!(written.parse::<f64>().is_err(), "{text} became {written}");
        }
    }
}
