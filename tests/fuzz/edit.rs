//! Edits of a text, as a slip of the hand, another program or ill will makes them.

use proptest::{collection::vec, prelude::*, sample::Index};

/// Texts that readers have to do with sooner or later, in any file.
const ODD: [&str; 84] = [
    "nan",
    "inf",
    "-inf",
    "-0",
    "0",
    "1",
    "-1",
    "1e308",
    "1e-308",
    "1e400",
    "9e9",
    "0x10",
    "0b1",
    "1_000",
    "99999999999999999999",
    "0.1",
    "-0.0000001",
    "1.7976931348623157e308",
    "true",
    "false",
    "1979-05-27",
    "07:32:00",
    "\"\"",
    "\"",
    "\"\"\"",
    "'",
    "'''",
    "''",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    ".",
    ",",
    ";",
    "#",
    "/",
    "..",
    "-",
    "--",
    "\r",
    "\n",
    "\r\n",
    "\t",
    "\0",
    "\u{1b}[31m",
    "\u{202e}",
    "\u{feff}",
    "\u{fffe}",
    "\u{2028}",
    "\u{a0}",
    "−",
    "½",
    "7⁄8",
    "“",
    "”",
    "″",
    "é",
    "字",
    "ש",
    "😀",
    "\\u0000",
    "\\",
    "1,5",
    "1.234,5",
    "1.76E+03",
    "900 mm",
    "0.9 m",
    "35 7/16 in",
    "1/0 in",
    "17' 3 1/4\"",
    "5'-3\"",
    "3 furlong",
    "100 km",
    "1e3 m",
    "=1+1",
    "@x",
    "+5",
    "centre",
    "random",
    "none",
];

/// Texts that words are taken from.
const TEXTS_OF_WORDS: usize = 20;

/// Longest run of tokens or lines that one edit takes.
const LONGEST_RUN: usize = 12;

/// One edit. Places are parts of the whole, so that they fit any text.
#[derive(Clone, Debug)]
pub enum Edit {
    /// A token gives way to a word.
    Replace(Index, Index),
    /// A word is put before a token.
    Insert(Index, Index),
    /// Tokens are left out.
    Drop(Index, usize),
    /// A number gives way to another.
    Number(Index, f64),
    /// A line gives way to another of the same text, or is written twice.
    Line(Index, Index, bool),
    /// A line is left out.
    DropLine(Index),
    /// Lines are repeated many times.
    Repeat(Index, usize, usize),
    /// Lines of another text are put in.
    Splice(Index, Index, usize, Index),
    /// Any sign at any place.
    Sign(Index, char),
    /// All that follows is lost.
    Cut(Index),
}

/// Edits of one text.
pub fn edits(most: usize) -> impl Strategy<Value = Vec<Edit>> {
    let at = any::<Index>;
    let run = 1..LONGEST_RUN;
    let number = prop_oneof![
        4 => -3000.0..6000.0_f64,
        2 => (-300..600_i32).prop_map(|tens| f64::from(tens) * 10.0),
        1 => any::<f64>(),
    ];
    let edit = prop_oneof![
        5 => (at(), at()).prop_map(|(at, word)| Edit::Replace(at, word)),
        3 => (at(), at()).prop_map(|(at, word)| Edit::Insert(at, word)),
        3 => (at(), run.clone()).prop_map(|(at, count)| Edit::Drop(at, count)),
        5 => (at(), number).prop_map(|(at, number)| Edit::Number(at, number)),
        2 => (at(), at(), any::<bool>()).prop_map(|(from, to, twice)| Edit::Line(from, to, twice)),
        3 => at().prop_map(Edit::DropLine),
        1 => (at(), run.clone(), 1..60_usize).prop_map(|(at, count, times)| Edit::Repeat(at, count, times)),
        2 => (at(), at(), run, at()).prop_map(|(text, from, count, to)| Edit::Splice(text, from, count, to)),
        2 => (at(), any::<char>()).prop_map(|(at, sign)| Edit::Sign(at, sign)),
        1 => at().prop_map(Edit::Cut),
    ];
    vec(edit, 0..=most)
}

/// Makes edits; words come from all texts, and from those that are odd.
pub struct Editor<'t> {
    texts: &'t [String],
    words: Vec<&'t str>,
}

impl<'t> Editor<'t> {
    /// For these texts.
    pub fn of(texts: &'t [String]) -> Self {
        let mut words: Vec<&str> = texts
            .iter()
            .take(TEXTS_OF_WORDS)
            .flat_map(|text| tokens(text))
            .collect();
        words.retain(|word| !word.trim().is_empty());
        words.sort_unstable();
        words.dedup();
        // Half of all words are odd ones, however many the texts have.
        let odd = ODD.iter().cycle().take(words.len().max(ODD.len()));
        words.extend(odd);
        Self { texts, words }
    }

    /// A text with edits made one after the other.
    pub fn edited(&self, text: &str, edits: &[Edit]) -> String {
        edits
            .iter()
            .fold(text.to_owned(), |text, edit| self.once(&text, edit))
    }

    fn word(&self, index: &Index) -> &'t str {
        self.words[index.index(self.words.len())]
    }

    fn once(&self, text: &str, edit: &Edit) -> String {
        let mut tokens = tokens(text);
        let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
        if tokens.is_empty() {
            return self.word(&index_of(edit)).to_owned();
        }
        let end = |at: usize, count: usize, of: usize| (at + count).min(of);
        match edit {
            Edit::Replace(at, word) => {
                let at = at.index(tokens.len());
                tokens[at] = self.word(word);
            }
            Edit::Insert(at, word) => tokens.insert(at.index(tokens.len()), self.word(word)),
            Edit::Drop(at, count) => {
                let at = at.index(tokens.len());
                tokens.drain(at..end(at, *count, tokens.len()));
            }
            Edit::Number(at, number) => return renumbered(&tokens, at, *number),
            Edit::Line(from, to, twice) => {
                let (from, to) = (from.index(lines.len()), to.index(lines.len()));
                match twice {
                    true => lines.insert(to, lines[from]),
                    false => lines.swap(from, to),
                }
                return lines.concat();
            }
            Edit::DropLine(at) => {
                lines.remove(at.index(lines.len()));
                return lines.concat();
            }
            Edit::Repeat(at, count, times) => {
                let at = at.index(lines.len());
                let run = lines[at..end(at, *count, lines.len())].concat();
                return [
                    &*lines[..at].concat(),
                    &run.repeat(*times),
                    &*lines[at..].concat(),
                ]
                .concat();
            }
            Edit::Splice(other, from, count, to) => {
                let other: Vec<&str> = other.get(self.texts).split_inclusive('\n').collect();
                if other.is_empty() {
                    return text.to_owned();
                }
                let from = from.index(other.len());
                let to = to.index(lines.len());
                lines.splice(to..to, other[from..end(from, *count, other.len())].to_vec());
                return lines.concat();
            }
            Edit::Sign(at, sign) => {
                let mut signs: Vec<char> = text.chars().collect();
                signs.insert(at.index(signs.len()), *sign);
                return signs.into_iter().collect();
            }
            Edit::Cut(at) => {
                let count = text.chars().count();
                return text.chars().take(at.index(count)).collect();
            }
        }
        tokens.concat()
    }
}

fn index_of(edit: &Edit) -> Index {
    match edit {
        Edit::Replace(at, _) | Edit::Insert(at, _) | Edit::Drop(at, _) | Edit::Number(at, _) => *at,
        Edit::Line(at, ..) | Edit::DropLine(at) | Edit::Repeat(at, ..) => *at,
        Edit::Splice(at, ..) | Edit::Sign(at, _) | Edit::Cut(at) => *at,
    }
}

fn renumbered(tokens: &[&str], at: &Index, number: f64) -> String {
    let numbers: Vec<usize> = (0..tokens.len())
        .filter(|&index| tokens[index].starts_with(|sign: char| sign.is_ascii_digit()))
        .collect();
    let mut tokens: Vec<String> = tokens.iter().map(|&token| token.to_owned()).collect();
    if !numbers.is_empty() {
        tokens[*at.get(&numbers)] = number.to_string();
    }
    tokens.concat()
}

/// Words with their dots and dashes, runs of blanks, and other signs one by one.
fn tokens(text: &str) -> Vec<&str> {
    let kind = |sign: char| match sign {
        ' ' => 1,
        '_' | '.' | '-' => 2,
        sign if sign.is_alphanumeric() => 2,
        _ => 0,
    };
    let mut tokens = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let end = match kind(first) {
            0 => first.len_utf8(),
            same => rest.find(|sign| kind(sign) != same).unwrap_or(rest.len()),
        };
        let (token, tail) = rest.split_at(end);
        tokens.push(token);
        rest = tail;
    }
    tokens
}
