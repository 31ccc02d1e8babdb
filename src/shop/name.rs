//! Names of things in a shop's folder: plain file names, never paths.

use std::fmt;

use super::ShopError;
use crate::job::profiles::refuse_odd_name;

/// A name that a file or folder may have on every system. It holds no separator and does not begin with a dot, so that joined to a
/// folder it stays inside it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Name(String);

impl Name {
    /// Reads a name as it stands in an address or a form.
    ///
    /// # Errors
    /// [`ShopError::Name`], with what a name may be.
    pub fn parse(text: &str) -> Result<Self, ShopError> {
        let text = text.trim();
        refuse_odd_name(text).map_err(|why| ShopError::Name { why })?;
        Ok(Self(text.to_owned()))
    }

    /// The text of the name.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A name made of whatever somebody calls a thing: signs that no file name takes become hyphens, and it is cut at 60 characters.
///
/// # Errors
/// [`ShopError::Name`] where nothing is left of it.
pub fn name_from(words: &str) -> Result<Name, ShopError> {
    let plain: String = words
        .trim()
        .chars()
        .map(|sign| {
            let odd = "/\\:*?\"<>|".contains(sign) || sign.is_control();
            if odd { '-' } else { sign }
        })
        .take(60)
        .collect();
    Name::parse(plain.trim_matches(['.', ' ', '-']))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_leave_the_folder_is_no_name() {
        for odd in [
            "..",
            "../x",
            "a/b",
            "a\\b",
            "/etc/passwd",
            "",
            ".",
            "C:",
            "nul",
            "a\0b",
            ".hidden",
        ] {
            assert!(Name::parse(odd).is_err(), "{odd:?}");
        }
        assert_eq!(
            Name::parse(" fleet no. 17 ").expect("plain").as_str(),
            "fleet no. 17"
        );
    }

    #[test]
    fn any_words_make_a_name() {
        assert_eq!(
            name_from("van 3/5: \"blue\"").expect("words").as_str(),
            "van 3-5- -blue"
        );
        assert!(name_from("///").is_err());
    }
}
