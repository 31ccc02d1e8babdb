//! What was printed, and what a steel rule reads on it.

use crate::{
    practice::{Draw, Ruling},
    units::{MM_PER_INCH, inch_text_to, mm_exact},
};

/// The side of the check square, mm, and in inches a line that a rule in 1/32 in reads well enough.
const SQUARE: (f64, f64) = (100.0, 7.0 * MM_PER_INCH);
/// The bars of the scale test, mm, and in inches.
const BARS: (f64, f64) = (200.0, 8.0 * MM_PER_INCH);

/// What the rule is read to: a tenth of a mm on the square, two tenths on the bars, and 1/32 in.
const PER_INCH: i64 = 32;

/// What a print is, by how far it is off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Case {
    /// Within what counts as true.
    True,
    /// A printer's own error.
    Own,
    /// Scaled when it was printed.
    Fitted,
}

/// A print with what was measured on it, mm.
pub(super) struct Print {
    /// What it is.
    pub case: Case,
    /// What the side or the bar should measure.
    pub side: f64,
    /// What it measures along the layout and across it.
    pub measured: [f64; 2],
    /// One graduation of the reading.
    step: f64,
    /// "check square", "bars of the scale test".
    pub what: &'static str,
}

impl Print {
    /// Draws one of a level.
    pub fn drawn(ruling: Ruling, level: u8, draw: &mut Draw) -> Self {
        let bars = level >= 3;
        let side = ruling.pick(
            if bars { BARS.0 } else { SQUARE.0 },
            if bars { BARS.1 } else { SQUARE.1 },
        );
        let step = ruling.pick(if bars { 0.2 } else { 0.1 }, MM_PER_INCH / PER_INCH as f64);
        let cases: &[Case] = if level == 1 {
            &[Case::True, Case::Fitted]
        } else {
            &[Case::True, Case::Own, Case::Fitted]
        };
        let case = draw.choose(cases).copied().unwrap_or(Case::True);
        let along = part(case, ruling, draw);
        let across = match (bars, case) {
            (false, _) => along,
            // One way is fine and the other is not, or the other way about: two numbers to be judged.
            (true, Case::Own) => part(Case::True, ruling, draw),
            (true, Case::Fitted) => along + if draw.coin() { 1 } else { -1 },
            (true, Case::True) => -along,
        };
        let mut steps = [along, across];
        if bars {
            draw.shuffle(&mut steps);
        }
        Self {
            case,
            side,
            measured: steps.map(|steps| side + steps as f64 * step),
            step,
            what: if bars {
                "the bars of the scale test"
            } else {
                "the check square"
            },
        }
    }

    /// A reading as the rule shows it.
    pub fn reading(&self, ruling: Ruling, mm: f64) -> String {
        match ruling {
            Ruling::Metric => mm_exact((mm / self.step).round() * self.step, 1),
            Ruling::Inches => inch_text_to(mm, PER_INCH),
        }
    }

    /// What came out of what should be 1.
    pub fn part(&self, way: usize) -> f64 {
        self.measured[way] / self.side
    }
}

/// How many graduations a reading is off.
fn part(case: Case, ruling: Ruling, draw: &mut Draw) -> i64 {
    let (least, most) = match case {
        Case::True => ruling.pick((1, 4), (1, 1)),
        Case::Own => ruling.pick((8, 24), (2, 6)),
        Case::Fitted => ruling.pick((36, 60), (9, 14)),
    };
    let steps = draw.whole(least, most);
    // What is fitted to a page comes out smaller.
    if case == Case::Fitted || draw.coin() {
        -steps
    } else {
        steps
    }
}
