//! What heights say of a floor.

use super::Lengths;
use crate::{
    survey::{FloorAssessment, Verdict},
    units::{inch_text_to, mm_exact},
};

/// Heights in inches are shown to 1/32: a good level reads no finer, and 1/16 is a third of a usual limit.
pub(crate) const HEIGHTS_PER_INCH: i64 = 32;

impl Lengths {
    /// A floor's slope, mm per metre.
    #[must_use]
    pub fn slope(self, per_metre: f64) -> String {
        self.per_metre(per_metre, "mm/m", 2)
    }

    /// A height without its sign.
    #[must_use]
    pub fn height(self, mm: f64) -> String {
        let text = format!("{} mm", mm_exact(mm.abs(), 1));
        if self.inches {
            format!("{text} ({} in)", inch_text_to(mm.abs(), HEIGHTS_PER_INCH))
        } else {
            text
        }
    }

    /// How far a point of a floor lies off its plane: "3 mm below the plane".
    #[must_use]
    pub fn beside_plane(self, deviation: f64) -> String {
        let side = if deviation < 0.0 { "below" } else { "above" };
        format!("{} {side} the plane", self.height(deviation))
    }
}

/// A floor in two sentences.
#[must_use]
pub fn floor_sentences(floor: &FloorAssessment, lengths: Lengths) -> Vec<String> {
    let verdict = match floor.verdict() {
        None => "Floor: measured, no limits given.",
        Some(Verdict::Inside) => "Floor: inside its limits.",
        Some(Verdict::Outside) => "Floor: outside its limits.",
        Some(Verdict::Undecided) => "Floor: undecided, too close to its limits.",
    };
    let slope = &floor.plane.slope;
    let (farthest, deviation) = floor.plane.largest_deviation();
    let falls = slope
        .falls()
        .map_or_else(String::new, |words| format!(", falls {words}"));
    let greatest = format!(
        "Greatest slope {}{falls}; farthest from the plane {}, {}.",
        lengths.slope(slope.steepest()),
        floor.points[farthest].name,
        lengths.beside_plane(deviation)
    );
    vec![verdict.to_owned(), greatest]
}
