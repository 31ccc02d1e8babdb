//! British words as a shop in the United States writes them.
//!
//! Every sentence of the program is written once, in British English. What goes to a person whose job is in inches passes
//! through [`Spelling::text`] last: pages once they are drawn, reports once they are written. Keys, columns and ids of files
//! never do, and what stands in the user's own files stays as the user spells it.

use std::{borrow::Cow, collections::BTreeSet};

use super::{CheckWords, inches::inches_beside};
use crate::job::Job;

/// Words that differ, whole and in small letters. None grows longer by it, so that what fitted a page still does.
const WORDS: [(&str, &str); 27] = [
    ("afterwards", "afterward"),
    ("aluminium", "aluminum"),
    ("centimetre", "centimeter"),
    ("centimetres", "centimeters"),
    ("centre", "center"),
    ("centreline", "centerline"),
    ("centrelines", "centerlines"),
    ("centres", "centers"),
    ("chequered", "checkered"),
    ("colour", "color"),
    ("coloured", "colored"),
    ("colours", "colors"),
    ("grey", "gray"),
    ("judgement", "judgment"),
    ("metre", "meter"),
    ("metres", "meters"),
    ("millimetre", "millimeter"),
    ("millimetres", "millimeters"),
    ("neighbour", "neighbor"),
    ("neighbouring", "neighboring"),
    ("neighbours", "neighbors"),
    ("outwards", "outward"),
    ("towards", "toward"),
    ("tyre", "tire"),
    ("tyres", "tires"),
    ("unlabelled", "unlabeled"),
    ("upwards", "upward"),
];

/// How words are spelled for one job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spelling {
    american: bool,
    /// Words of the user's own with their capitals: a name spares its own form alone, not the word in every sentence.
    own: BTreeSet<String>,
}

impl Spelling {
    /// That of a job's pages and reports: American where the job is in inches.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        let texts = if job.inches {
            job.own_texts()
        } else {
            Vec::new()
        };
        Self::sparing(job.inches, &texts)
    }

    /// American or British, with the words of the user's own texts left alone.
    #[must_use]
    pub fn sparing(american: bool, own: &[&str]) -> Self {
        let words = own.iter().flat_map(|text| pieces(text));
        let words = words.filter(|piece| is_word(piece));
        Self {
            american,
            own: words.map(str::to_owned).collect(),
        }
    }

    /// A text as it is read.
    #[must_use]
    pub fn text(&self, text: &str) -> String {
        if self.american {
            pieces(text)
                .into_iter()
                .map(|piece| self.piece(piece))
                .collect()
        } else {
            text.to_owned()
        }
    }

    /// A fault of an input as it is read: with inches beside its mm, and its words as they stand, since it names keys of files.
    #[must_use]
    pub fn fault(&self, text: &str) -> String {
        if self.american {
            inches_beside(text)
        } else {
            text.to_owned()
        }
    }

    /// A message as it is read, with inches beside its mm.
    #[must_use]
    pub fn message(&self, text: &str) -> String {
        self.text(&self.fault(text))
    }

    /// The sentences of a check as they are read.
    #[must_use]
    pub fn check(&self, words: CheckWords) -> CheckWords {
        let all = |texts: Vec<String>| texts.iter().map(|text| self.text(text)).collect();
        let causes = words.causes.into_iter();
        CheckWords {
            headline: self.text(&words.headline),
            todo: all(words.todo),
            findings: all(words.findings),
            against: words.against,
            causes: causes
                .map(|cause| cause.map(|text| self.text(&text)))
                .collect(),
        }
    }

    fn piece<'a>(&self, piece: &'a str) -> Cow<'a, str> {
        let small = piece.to_lowercase();
        match WORDS.iter().find(|(british, _)| *british == small) {
            Some((_, american)) if !self.own.contains(piece) => Cow::Owned(cased(american, piece)),
            _ => Cow::Borrowed(piece),
        }
    }
}

fn is_word(piece: &str) -> bool {
    piece.starts_with(char::is_alphabetic)
}

/// Words, and what stands between them, in order. A key of a file (`tyre_width`) is one piece.
fn pieces(text: &str) -> Vec<&str> {
    let of_word = |sign: char| sign.is_alphanumeric() || sign == '_';
    let (mut all, mut start, mut inside) = (Vec::new(), 0, false);
    for (at, sign) in text.char_indices() {
        if of_word(sign) != inside && at > start {
            all.push(&text[start..at]);
            start = at;
        }
        inside = of_word(sign);
    }
    all.push(&text[start..]);
    all
}

/// `word` with the capitals of `model`: none, the first, or all.
fn cased(word: &str, model: &str) -> String {
    let upper = |sign: char| sign.is_uppercase();
    if model.chars().all(upper) {
        return word.to_uppercase();
    }
    match word.chars().next() {
        Some(first) if model.starts_with(upper) => {
            format!("{}{}", first.to_uppercase(), &word[first.len_utf8()..])
        }
        _ => word.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn american_words_keep_their_capitals_and_british_text_stays() {
        let text =
            "Tyres’ outer faces to the centreline; GREY, 2 mm per metre towards the wheel-centre.";
        assert_eq!(
            Spelling::sparing(true, &[]).text(text),
            "Tires’ outer faces to the centerline; GRAY, 2 mm per meter toward the wheel-center."
        );
        assert_eq!(Spelling::sparing(false, &[]).text(text), text);
    }

    #[test]
    fn keys_parts_of_words_and_the_users_own_words_are_left_alone() {
        let own = Spelling::sparing(true, &["Town Tyre Depot, grey van"]);
        for text in [
            "`tyre_width` = 205",
            "concentre, parameter, centrefold",
            "Tyre",
            "grey",
        ] {
            assert_eq!(own.text(text), text);
        }
        assert_eq!(own.text("tyre; TYRE; Grey"), "tire; TIRE; Gray");
    }

    #[test]
    fn no_word_grows_and_none_is_british_once_it_is_american() {
        let american = Spelling::sparing(true, &[]);
        for (british, word) in WORDS {
            assert!(word.len() <= british.len(), "{word}");
            assert_eq!(american.text(word), word);
            assert_eq!(american.text(british), word);
        }
        assert!(WORDS.is_sorted());
    }
}
