//! Paper sizes.

use crate::units::{MM_PER_INCH, mm_exact, parse_length};

/// A paper size, upright (width not above height), mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Paper {
    /// Name as people say it: "A4", "Letter", or its size.
    pub name: String,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
}

/// Smallest and largest side of a custom paper, mm: below, the check square and a sheet's
/// lettering find no room; above, it is a roll.
const CUSTOM_SIDE_MM: std::ops::RangeInclusive<f64> = 148.0..=1300.0;

/// Further names that are read as their size, mm: the other A sizes of ISO 216 that lie within [`CUSTOM_SIDE_MM`], and what US offices
/// call 8.5 × 14 in (common practice, no source) and 11 × 17 in.
const READ_AS_SIZE: [(&str, f64, f64); 6] = [
    ("Legal", 8.5 * MM_PER_INCH, 14.0 * MM_PER_INCH),
    ("Ledger", 11.0 * MM_PER_INCH, 17.0 * MM_PER_INCH),
    ("A5", 148.0, 210.0),
    ("A2", 420.0, 594.0),
    ("A1", 594.0, 841.0),
    ("A0", 841.0, 1189.0),
];

/// Names that stand for one size by ISO 216 and for another by JIS P 0138, with both in mm.
const TWO_SIZES: [(&str, &str, &str); 3] = [
    ("B3", "353 mm x 500 mm", "364 mm x 515 mm"),
    ("B4", "250 mm x 353 mm", "257 mm x 364 mm"),
    ("B5", "176 mm x 250 mm", "182 mm x 257 mm"),
];

/// How far a size may lie from a known one and still go by its name, mm: less than sheets are cut to.
const SAME_SIZE_MM: f64 = 0.05;

impl Paper {
    /// The sizes known by name: ISO 216 (A4, A3) and ANSI/ASME Y14.1 (A = Letter, B = Tabloid).
    #[must_use]
    pub fn known() -> [Self; 4] {
        let inches = |name: &str, w: f64, h: f64| Self {
            name: name.into(),
            width: w * MM_PER_INCH,
            height: h * MM_PER_INCH,
        };
        let iso = |name: &str, width, height| Self {
            name: name.into(),
            width,
            height,
        };
        [
            iso("A4", 210.0, 297.0),
            inches("Letter", 8.5, 11.0),
            iso("A3", 297.0, 420.0),
            inches("Tabloid", 11.0, 17.0),
        ]
    }

    /// The sheet of an office that names none: A4, or Letter where lengths are in inches.
    #[must_use]
    pub fn usual(inches: bool) -> Self {
        let [a4, letter, ..] = Self::known();
        if inches { letter } else { a4 }
    }

    /// The office size that goes with this paper, for pages that are carried and filed: Letter
    /// beside Letter, Tabloid and what is as wide as Letter, else A4.
    #[must_use]
    pub fn office_size(&self) -> Self {
        let [a4, letter, _, tabloid] = Self::known();
        if self.name == tabloid.name || (self.width - letter.width).abs() <= SAME_SIZE_MM {
            letter
        } else {
            a4
        }
    }

    /// The paper of a name, or of a size such as `"250 mm x 353 mm"`.
    ///
    /// # Errors
    /// A sentence that quotes the text and lists what is known.
    pub fn parse(text: &str) -> Result<Self, String> {
        let wanted = text.trim();
        if let Some(paper) = Self::known()
            .into_iter()
            .find(|paper| paper.name.eq_ignore_ascii_case(wanted))
        {
            return Ok(paper);
        }
        if let Some((_, width, height)) = READ_AS_SIZE
            .iter()
            .find(|(name, _, _)| name.eq_ignore_ascii_case(wanted))
        {
            return Self::custom(*width, *height);
        }
        let expected = || refusal(text);
        let (one, other) = wanted.split_once(['x', '×']).ok_or_else(expected)?;
        let (Ok(one), Ok(other)) = (parse_length(one), parse_length(other)) else {
            return Err(expected());
        };
        Self::custom(one, other)
    }

    /// A paper of two sides in mm, set upright.
    ///
    /// # Errors
    /// When a side is outside of what a sheet printer takes.
    pub fn custom(one: f64, other: f64) -> Result<Self, String> {
        let (width, height) = (one.min(other), one.max(other));
        let is_same = |paper: &Self| {
            (paper.width - width).abs() <= SAME_SIZE_MM
                && (paper.height - height).abs() <= SAME_SIZE_MM
        };
        if let Some(paper) = Self::known().into_iter().find(is_same) {
            return Ok(paper);
        }
        if CUSTOM_SIDE_MM.contains(&width) && CUSTOM_SIDE_MM.contains(&height) {
            let name = format!("{} × {} mm", mm_exact(width, 1), mm_exact(height, 1));
            return Ok(Self {
                name,
                width,
                height,
            });
        }
        Err(format!(
            "a paper of {} × {} mm is out of range; expected sides of {} to {} mm: check the numbers and their unit",
            mm_exact(width, 1),
            mm_exact(height, 1),
            CUSTOM_SIDE_MM.start(),
            CUSTOM_SIDE_MM.end()
        ))
    }
}

/// What is said of a text that is no paper.
fn refusal(text: &str) -> String {
    let wanted = text.trim();
    if let Some((name, iso, jis)) = TWO_SIZES
        .iter()
        .find(|(name, _, _)| name.eq_ignore_ascii_case(wanted))
    {
        return format!("{name} has two sizes; write \"{iso}\" (ISO) or \"{jis}\" (JIS)");
    }
    let known = Paper::known().into_iter().map(|paper| paper.name);
    let others = READ_AS_SIZE.iter().map(|(name, _, _)| (*name).to_owned());
    let names: Vec<String> = known.chain(others).collect();
    let roll = match parse_length(wanted) {
        Ok(_) => "; a roll goes by its width as `roll` (--roll)",
        Err(_) => "",
    };
    format!(
        "\"{text}\" is no paper; expected one of {}, or a size such as \"250 mm x 353 mm\"{roll}",
        names.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn named_papers_have_their_standard_sizes() {
        // ISO 216: A4 210 × 297, A3 297 × 420 mm. ANSI/ASME Y14.1: A 8.5 × 11, B 11 × 17 in.
        let sizes: Vec<_> = Paper::known()
            .into_iter()
            .map(|p| (p.name, p.width, p.height))
            .collect();
        assert_eq!(sizes[0], ("A4".into(), 210.0, 297.0));
        assert_eq!(sizes[2], ("A3".into(), 297.0, 420.0));
        assert!((sizes[1].1 - 215.9).abs() < 1e-9 && (sizes[1].2 - 279.4).abs() < 1e-9);
        assert!((sizes[3].1 - 279.4).abs() < 1e-9 && (sizes[3].2 - 431.8).abs() < 1e-9);
    }

    #[test]
    fn papers_of_other_names_are_read_as_their_size() {
        // 8.5 × 14 in, and ISO 216: A2 420 × 594, A5 148 × 210 mm.
        for (name, width, height) in [
            ("Legal", 215.9, 355.6),
            ("legal", 215.9, 355.6),
            ("A2", 420.0, 594.0),
            ("A5", 148.0, 210.0),
        ] {
            let paper = Paper::parse(name).unwrap();
            assert!((paper.width - width).abs() < 1e-9 && (paper.height - height).abs() < 1e-9);
        }
        assert_eq!(Paper::parse("Ledger").unwrap().name, "Tabloid");
        assert_eq!(Paper::parse("11 in x 8.5 in").unwrap().name, "Letter");
        assert_eq!(Paper::parse("Legal").unwrap().office_size().name, "Letter");
        assert_eq!(Paper::parse("A2").unwrap().office_size().name, "A4");
    }

    #[test]
    fn a_paper_that_is_not_known_is_answered_with_what_to_write() {
        for (text, said) in [
            (
                "B4",
                "\"250 mm x 353 mm\" (ISO) or \"257 mm x 364 mm\" (JIS)",
            ),
            ("36in", "--roll"),
            ("Quarto", "A4, Letter, A3, Tabloid, Legal, Ledger"),
            ("Quarto", "a size such as"),
            ("8.5 x 14", "check the numbers and their unit"),
        ] {
            let message = Paper::parse(text).unwrap_err();
            assert!(message.contains(said), "{message}");
        }
    }

    #[test]
    fn a_size_in_any_unit_is_a_paper_and_nonsense_is_quoted_back() {
        let legal = Paper::parse("14 in x 8.5 in").unwrap();
        assert!((legal.width - 215.9).abs() < 1e-9 && (legal.height - 355.6).abs() < 1e-9);
        for bad in [
            "A",
            "A4x",
            "0 x 0",
            "10 mm x 10 mm",
            "300 x nan",
            "1 x 2 x 3",
        ] {
            assert!(Paper::parse(bad).is_err(), "{bad}");
        }
    }
}
