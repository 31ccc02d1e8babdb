//! Lengths and directions as people say them.

use kurbo::Vec2;

use crate::units::{MM_PER_INCH, feet_text_to, inch_text, inch_text_to, mm_exact, mm_text};

/// A movement along one direction that is smaller than this, mm, is not worth a word.
const NOT_WORTH_A_WORD_MM: f64 = 0.5;

/// What lies off is shown in inches to 1/32, nearer to a whole mm than 1/16 is.
const OFFS_PER_INCH: i64 = 32;

/// Ten feet in m: slopes are given by their fall in ten feet where inches are used.
const TEN_FEET_M: f64 = 120.0 * MM_PER_INCH / 1000.0;

/// Writes lengths, in mm or with inches beside them.
#[derive(Clone, Copy, Debug)]
pub struct Lengths {
    /// True where inches stand beside mm.
    pub inches: bool,
}

impl Lengths {
    /// A length without its sign, whole mm.
    #[must_use]
    pub fn whole(self, mm: f64) -> String {
        self.with_inches(mm, format!("{} mm", mm_text(mm.abs().round())))
    }

    /// A length without its sign, to a tenth of a mm.
    #[must_use]
    pub fn tenths(self, mm: f64) -> String {
        self.with_inches(mm, format!("{} mm", mm_exact(mm.abs(), 1)))
    }

    /// A length without its sign, to a tenth of a mm; in inches to 1/32 first where they are used.
    #[must_use]
    pub fn inches_first(self, mm: f64) -> String {
        let text = format!("{} mm", mm_exact(mm.abs(), 1));
        if self.inches {
            format!("{} in ({text})", inch_text_to(mm.abs(), OFFS_PER_INCH))
        } else {
            text
        }
    }

    fn with_inches(self, mm: f64, text: String) -> String {
        if self.inches {
            format!("{text} ({} in)", inch_text(mm.abs()))
        } else {
            text
        }
    }

    /// A number of mm for a table, to at most `decimals`, with inches to 1/16 in brackets behind it.
    #[must_use]
    pub fn cell(self, mm: f64, decimals: usize) -> String {
        let text = mm_exact(mm, decimals);
        if self.inches && text != "0" {
            format!("{text} ({})", inch_text(mm))
        } else {
            text
        }
    }

    /// How far something lies off in short words for a table: "3 forward, 2 left", in inches too "3 (1/8) forward"; "0" where it
    /// lies right.
    #[must_use]
    pub fn off(self, off: Vec2) -> String {
        let ways = [(off.x, "forward", "rearward"), (off.y, "left", "right")];
        let parts: Vec<String> = ways
            .into_iter()
            .filter(|(along, ..)| along.abs() >= NOT_WORTH_A_WORD_MM)
            .map(|(along, more, less)| {
                let way = if along > 0.0 { more } else { less };
                let mm = mm_text(along.abs());
                if self.inches {
                    format!("{mm} ({}) {way}", inch_text_to(along.abs(), OFFS_PER_INCH))
                } else {
                    format!("{mm} {way}")
                }
            })
            .collect();
        if parts.is_empty() {
            "0".to_owned()
        } else {
            parts.join(", ")
        }
    }

    /// A slope or a scale of so many mm per metre, its inches in ten feet behind it.
    #[must_use]
    pub fn per_metre(self, mm: f64, unit: &str, decimals: usize) -> String {
        let text = format!("{} {unit}", mm_exact(mm, decimals));
        if self.inches {
            let inches = mm_exact(mm * TEN_FEET_M / MM_PER_INCH, 2);
            format!("{text} ({inches} in per 10 ft)")
        } else {
            text
        }
    }

    /// What stands in the head of a column of such numbers: "mm", or "mm (in)".
    #[must_use]
    pub const fn unit(self) -> &'static str {
        if self.inches { "mm (in)" } else { "mm" }
    }

    /// A movement in words: "5 mm forward and 3 mm to the left"; "less than 1 mm" where it is next to nothing.
    #[must_use]
    pub fn movement(self, by: Vec2) -> String {
        let ways = [
            (by.x, "forward", "rearward"),
            (by.y, "to the left", "to the right"),
        ];
        let parts: Vec<String> = ways
            .into_iter()
            .filter(|(along, ..)| along.abs() >= NOT_WORTH_A_WORD_MM)
            .map(|(along, more, less)| {
                format!(
                    "{} {}",
                    self.whole(along),
                    if along > 0.0 { more } else { less }
                )
            })
            .collect();
        if parts.is_empty() {
            "less than 1 mm".to_owned()
        } else {
            parts.join(" and ")
        }
    }
}

/// A length of paper or floor that is no longer taped but bought or walked: in m, or in feet and inches with m beside them.
#[must_use]
pub fn long(mm: f64, inches: bool) -> String {
    let metres = format!("{:.2} m", mm / 1000.0);
    if inches {
        format!("{} ({metres})", feet_text_to(mm, 1))
    } else {
        metres
    }
}

/// "1L", "1L and 1R", "1L, 1R and 2L".
#[must_use]
pub fn listed<T: AsRef<str>>(names: &[T]) -> String {
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    match names[..] {
        [] => String::new(),
        [one] => one.to_owned(),
        [ref start @ .., last] => format!("{} and {last}", start.join(", ")),
    }
}
