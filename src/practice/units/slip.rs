//! A tape was read in inches and written down wrong in mm: which slip was it?

use crate::{
    practice::{Block, Cell, Draw, Level, Question, Ruling, Scoring},
    units::{MM_PER_INCH, inch_text_to, mm_exact},
};

/// What the slips give has to differ by this much, mm, so that the number written tells which one it was.
const APART_MM: f64 = 4.0;

/// What a person does wrong between inches and mm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Slip {
    /// Inches written down as if they were centimetres.
    Centimetres,
    /// The fraction left out.
    FractionDropped,
    /// The top of the fraction put behind the decimal point.
    FractionAsDecimal,
    /// 1 in taken as 25 mm.
    TwentyFive,
}

/// A reading in inches.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reading {
    inches: f64,
    /// Top of the fraction in lowest terms, 0 where there is none.
    top: i64,
    per_inch: i64,
}

impl Reading {
    /// The reading of a length on a graduation, mm.
    pub fn new(mm: f64, per_inch: i64) -> Self {
        let graduations = (mm / MM_PER_INCH * per_inch as f64).round() as i64;
        let rest = graduations % per_inch;
        let top = if rest == 0 {
            0
        } else {
            rest >> rest.trailing_zeros()
        };
        Self {
            inches: graduations as f64 / per_inch as f64,
            top,
            per_inch,
        }
    }

    fn text(&self) -> String {
        let inches = inch_text_to(self.inches * MM_PER_INCH, self.per_inch);
        format!("{inches} in")
    }
}

impl Slip {
    pub const ALL: [Self; 4] = [
        Self::Centimetres,
        Self::FractionDropped,
        Self::FractionAsDecimal,
        Self::TwentyFive,
    ];

    /// The slips that a level has: two at the first, so that sheets of a class differ, then more, to all.
    pub const fn of_level(level: Level) -> &'static [Self] {
        const ALL: [Slip; 4] = Slip::ALL;
        let count = level.number() as usize + 1;
        ALL.split_at(if count < ALL.len() { count } else { ALL.len() })
            .0
    }

    pub const fn words(self) -> &'static str {
        match self {
            Self::Centimetres => "took the inches for centimetres",
            Self::FractionDropped => "left the fraction out",
            Self::FractionAsDecimal => "put the top of the fraction behind the decimal point",
            Self::TwentyFive => "took 1 in as 25 mm",
        }
    }

    /// The mm that come out, unrounded.
    pub fn written(self, reading: &Reading) -> f64 {
        let whole = reading.inches.floor();
        match self {
            Self::Centimetres => reading.inches * 10.0,
            Self::FractionDropped => whole * MM_PER_INCH,
            Self::FractionAsDecimal => {
                let digits = if reading.top >= 10 { 100.0 } else { 10.0 };
                (whole + reading.top as f64 / digits) * MM_PER_INCH
            }
            Self::TwentyFive => reading.inches * 25.0,
        }
    }

    fn formula(self, reading: &Reading) -> String {
        let inches = reading.inches;
        let whole = inches.floor();
        match self {
            Self::Centimetres => format!("{inches} × 10"),
            Self::FractionDropped => format!("{whole} × 25.4"),
            Self::FractionAsDecimal => format!("{whole}.{} × 25.4", reading.top),
            Self::TwentyFive => format!("{inches} × 25"),
        }
    }
}

/// The question on a slip.
pub(super) struct SlipQuestion {
    reading: Reading,
    slip: Slip,
}

impl SlipQuestion {
    /// The first of some lengths whose reading gives another number for every slip and for none.
    pub fn find(
        lengths: impl Iterator<Item = f64>,
        per_inch: i64,
        among: &'static [Slip],
        draw: &mut Draw,
    ) -> Option<Self> {
        let slip = *draw.choose(among)?;
        let telling = |reading: &Reading| {
            let right = reading.inches * MM_PER_INCH;
            let slips = Slip::ALL.iter().map(|slip| slip.written(reading));
            let mut numbers: Vec<f64> = slips.chain([right]).collect();
            numbers.sort_by(f64::total_cmp);
            reading.top > 0 && numbers.windows(2).all(|pair| pair[1] - pair[0] >= APART_MM)
        };
        let mut readings = lengths.map(|mm| Reading::new(mm, per_inch));
        readings.find(telling).map(|reading| Self { reading, slip })
    }

    /// The question.
    pub fn question(&self) -> Question {
        let (reading, slip) = (&self.reading, self.slip);
        let whole = |mm: f64| Ruling::Metric.whole(mm);
        let right = Ruling::Metric.answer(reading.inches * MM_PER_INCH);
        let row = vec![
            Cell::Given(reading.text()),
            Cell::Given(format!("{} mm", whole(slip.written(reading)))),
            Cell::blank(right.bare()),
        ];
        let text = "A tape was read in inches, and the number was written down wrong in mm. What should it be, and what did the person do?";
        let at = Slip::ALL.iter().position(|known| *known == slip);
        let lines = Slip::ALL.map(|other| {
            let mark = if other == slip {
                "  \u{2190} as written"
            } else {
                ""
            };
            let (formula, mm) = (other.formula(reading), whole(other.written(reading)));
            format!("{}: {formula} = {mm} mm{mark}", other.words())
        });
        let (read, inches) = (reading.text(), reading.inches);
        Question::new(text, 3)
            .scored(Scoring::parts([
                (1, "what it should be"),
                (2, "what the person did"),
            ]))
            .block(Block::table(
                ["Tape read", "Written down", "Should be mm"],
                [row],
            ))
            .one_of(
                Slip::ALL.map(|slip| slip.words().to_owned()).to_vec(),
                at.unwrap_or(0),
            )
            .worked([format!(
                "{read} = {inches} in; × 25.4 = {}, rounded {right}",
                mm_exact(inches * MM_PER_INCH, 2)
            )])
            .worked(lines)
            .answer("should be", right)
            .answer("slip", slip.words())
    }
}
