//! Cases that are a text with edits, and bytes that a text may be saved as.

use proptest::{prelude::*, sample::Index};

use crate::edit::{Edit, Editor, edits};

/// Which text, and its edits.
pub type Edited = (Index, Vec<Edit>);

/// Texts with at most so many edits each.
pub fn edited(most: usize) -> impl Strategy<Value = Edited> {
    (any::<Index>(), edits(most))
}

/// The text of a case.
pub fn text_of(pool: &[String], (text, edits): &Edited) -> String {
    Editor::of(pool).edited(&pool[text.index(pool.len())], edits)
}

/// How a program saves text.
#[derive(Clone, Copy, Debug)]
pub enum Saved {
    /// As it is.
    Utf8,
    /// With a mark in front.
    Marked,
    /// Two bytes a sign, the lower or the higher first.
    Utf16 { low_first: bool },
    /// One byte a sign, those that have none left out.
    OneByte,
    /// With Windows' ends of lines.
    Windows,
    /// With one byte changed, which may make it no text at all.
    Damaged(Index, u8),
}

/// Ways to save.
pub fn saved() -> impl Strategy<Value = Saved> {
    prop_oneof![
        10 => Just(Saved::Utf8),
        1 => Just(Saved::Marked),
        1 => any::<bool>().prop_map(|low_first| Saved::Utf16 { low_first }),
        1 => Just(Saved::OneByte),
        1 => Just(Saved::Windows),
        1 => (any::<Index>(), any::<u8>()).prop_map(|(at, byte)| Saved::Damaged(at, byte)),
    ]
}

impl Saved {
    /// The bytes of a text.
    pub fn bytes(self, text: &str) -> Vec<u8> {
        match self {
            Self::Utf8 => text.as_bytes().to_vec(),
            Self::Marked => format!("\u{feff}{text}").into_bytes(),
            Self::Utf16 { low_first } => {
                let unit = |unit: u16| match low_first {
                    true => unit.to_le_bytes(),
                    false => unit.to_be_bytes(),
                };
                let units = std::iter::once(0xfeff).chain(text.encode_utf16());
                units.flat_map(unit).collect()
            }
            Self::OneByte => text
                .chars()
                .filter_map(|sign| u8::try_from(sign).ok())
                .collect(),
            Self::Windows => text.replace('\n', "\r\n").into_bytes(),
            Self::Damaged(at, byte) => {
                let mut bytes = text.as_bytes().to_vec();
                if !bytes.is_empty() {
                    let at = at.index(bytes.len());
                    bytes[at] = byte;
                }
                bytes
            }
        }
    }
}
