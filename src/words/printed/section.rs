//! Running text before it is set.

/// A space at which no line ends, unless what it holds together is wider than a line; it is written as a space.
pub const NO_BREAK: char = '\u{a0}';

/// A heading with its paragraphs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Heading.
    pub heading: String,
    /// Paragraphs, numbered from 1 when there is more than one and `numbered` says so.
    pub paragraphs: Vec<String>,
    /// Steps to be done in order.
    pub numbered: bool,
}
