//! The fault that a question is about: a joint that gapes, a sheet cut beside its line, or both at one joint.

use super::{Model, unbroken};
use crate::{
    practice::{Draw, Level, Question, Scoring, Value, WrongAnswer},
    units::SIXTEENTH_MM,
};

/// Steps of a fault's size on the desk: half a mm, or 1/16 in, the least that a ruler shows.
const STEP_MM: f64 = 0.5;

/// The most of a gap and of a wrong cut, in such steps, metric first: what scissors and tape do.
const WIDEST_GAP: [i64; 2] = [5, 3];
const WORST_CUT: [i64; 2] = [8, 4];

/// What went wrong at one joint.
pub(super) struct Fault<'a> {
    /// Labels of the upper and of the lower sheet.
    sheets: [&'a str; 2],
    kind: FaultKind,
}

/// What was done, with sizes on the desk, mm.
#[derive(Clone, Copy, PartialEq)]
enum FaultKind {
    /// Joined this far apart.
    Gap(f64),
    /// Cut so far outside of the dashed line, paper left over; below 0 inside of it.
    Cut(f64),
    /// The same, and then the cut edge laid so far over the thin line.
    CutAndLaid(f64, f64),
}

/// The ways that a fault can go, as they are ticked.
const WAYS: [&str; 2] = ["too far apart", "too near"];

impl<'a> Fault<'a> {
    pub fn drawn(model: &'a Model, level: Level, draw: &mut Draw) -> Self {
        let joint = draw
            .choose(&model.sheets.joints)
            .expect("sheets that hang together have joints");
        let sheets =
            [joint.over, joint.under].map(|sheet| model.sheets.sheets[sheet].label.as_str());
        let step = model.ruling.pick(STEP_MM, SIXTEENTH_MM);
        let most = |of: [i64; 2]| model.ruling.pick(of[0], of[1]);
        let mut steps = |least: i64, most: i64| draw.whole(least, most);
        let kind = match level.number() {
            1 | 2 => FaultKind::Gap(steps(1, most(WIDEST_GAP)) as f64 * step),
            number => {
                let (cut, outside) = (steps(2, most(WORST_CUT)), steps(0, 1) == 1);
                let size = if outside { cut } else { -cut };
                if number == 3 {
                    FaultKind::Cut(size as f64 * step)
                } else {
                    // The two never take each other away.
                    let laid = steps(1, most(WORST_CUT) - 1);
                    let laid = if laid >= size { laid + 1 } else { laid };
                    FaultKind::CutAndLaid(size as f64 * step, laid as f64 * step)
                }
            }
        };
        Self { sheets, kind }
    }

    /// How much too far apart marks of the two sheets are, mm on the desk; below 0 too near.
    fn apart(&self) -> f64 {
        match self.kind {
            FaultKind::Gap(size) | FaultKind::Cut(size) => size,
            FaultKind::CutAndLaid(cut, laid) => cut - laid,
        }
    }

    /// What it is on the floor, without its way.
    fn off(&self, model: &Model) -> Value {
        let off = self.apart().abs() * f64::from(model.denominator);
        model.ruling.answer(off)
    }

    fn way(&self) -> usize {
        usize::from(self.apart() < 0.0)
    }

    /// The question about it.
    pub fn question(&self, model: &Model) -> Question {
        let [over, under] = self.sheets;
        let (n, off) = (model.denominator, self.off(model));
        let on_desk = |mm: f64| on_desk(model, mm);
        let cut_words = |cut: f64| {
            let side = if cut > 0.0 { "outside" } else { "inside" };
            format!(
                "Sheet {over} was cut {} {side} its dashed line",
                on_desk(cut.abs())
            )
        };
        let times = format!("{} × {n} = {off}", on_desk(self.apart().abs()));
        let (happened, why) = match self.kind {
            FaultKind::Gap(size) => {
                let text = format!(
                    "Sheet {over} is taped {} too far from sheet {under}. How far off is that on the floor?",
                    on_desk(size)
                );
                return Question::new(text, 2)
                    .lines(1)
                    .worked([times])
                    .answer("off on the floor", off);
            }
            FaultKind::Cut(cut) => (
                format!(
                    "{}. Its cut edge was laid on the line of sheet {under}.",
                    cut_words(cut)
                ),
                cut_why(cut).to_owned(),
            ),
            FaultKind::CutAndLaid(cut, laid) => (
                format!(
                    "{}. Its cut edge was laid {} beyond the thin line, too far over sheet {under}.",
                    cut_words(cut),
                    on_desk(laid)
                ),
                format!(
                    "{} by {}; laid beyond the line it comes nearer by {}",
                    cut_why(cut),
                    on_desk(cut.abs()),
                    on_desk(laid)
                ),
            ),
        };
        let text = format!(
            "{happened} By how much are marks of the two sheets off from each other on the floor, and which way?"
        );
        let way = WAYS[self.way()];
        Question::new(text, 2)
            .scored(Scoring::parts([(1, "how much"), (1, "the way")]))
            .lines(1)
            .one_of(WAYS.map(str::to_owned).to_vec(), self.way())
            .worked([why, format!("{times}, {way}")])
            .answer("off on the floor", off)
            .answer("which way", way)
    }

    /// Wrong answers that are often given.
    pub fn wrong(&self, model: &Model) -> Vec<WrongAnswer> {
        let mut all = vec![WrongAnswer::new(
            format!("{} off on the floor", on_desk(model, self.apart().abs())),
            format!(
                "Taken on the desk, not multiplied by {}.",
                model.denominator
            ),
        )];
        if !matches!(self.kind, FaultKind::Gap(_)) {
            all.push(WrongAnswer::new(
                format!("{} {}", self.off(model), WAYS[1 - self.way()]),
                "The wrong way round: outside the line is paper too much.",
            ));
        }
        all
    }
}

/// A length on the desk with its unit, as a ruler shows it.
fn on_desk(model: &Model, mm: f64) -> String {
    unbroken(&format!(
        "{} {}",
        model.ruling.given(mm),
        model.ruling.unit()
    ))
}

fn cut_why(cut: f64) -> &'static str {
    if cut > 0.0 {
        "paper is left over, and holds the sheet away"
    } else {
        "paper is missing, and the sheet comes nearer"
    }
}
