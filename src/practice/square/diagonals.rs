//! What the diagonals of a rectangle say, and what they do not say.

use super::{
    Case,
    ground::{Ground, Pull},
    mistake::Mistake,
};
use crate::{
    practice::{Draw, Question, Ruling, Scoring, Setting, Value, WrongAnswer, layout::rectangles},
    survey::out_of_square,
    units::{MM_PER_INCH, ROUND_OFF_MM},
};

/// Name of the angle among the answers.
const OUT_OF_SQUARE: &str = "out of square";

/// Two diagonals of one rectangle that differ by no more, mm, are equal but for scatter: that of two readings.
fn scatter(ruling: Ruling) -> f64 {
    ruling.pick(3.0, 0.125 * MM_PER_INCH)
}

/// Two that are not equal differ by at least this, mm, so that nobody has to doubt.
fn clear(ruling: Ruling) -> f64 {
    ruling.pick(8.0, 0.375 * MM_PER_INCH)
}

/// The two diagonals of the corners, in the order of the sheet.
fn diagonals(ground: &Ground) -> Option<[usize; 2]> {
    let [front_left, front_right, rear_left, rear_right] = ground.corners?;
    let joins = |[one, other]: [usize; 2]| {
        let mut pulls = ground.pulls.iter();
        pulls.position(|pull: &Pull| pull.touches(one) && pull.touches(other))
    };
    Some([
        joins([front_left, rear_right])?,
        joins([front_right, rear_left])?,
    ])
}

/// True when the diagonals differ by more than scatter exactly where a corner lies off or a diagonal is misread.
pub(super) fn are_clear(ground: &Ground, mistakes: &[Mistake], readings: &[f64]) -> bool {
    let (Some(pulls), Some(corners)) = (diagonals(ground), ground.corners) else {
        return true;
    };
    let off = (readings[pulls[0]] - readings[pulls[1]]).abs();
    let concerned = mistakes.iter().any(|mistake| match mistake {
        Mistake::Misread { pull, .. } => pulls.contains(pull),
        _ => mistake
            .moves()
            .iter()
            .any(|(mark, _)| corners.contains(mark)),
    });
    if concerned {
        off >= clear(ground.ruling) - ROUND_OFF_MM
    } else {
        off <= scatter(ground.ruling) + ROUND_OFF_MM
    }
}

/// What counts as scatter, for the sheet; nothing where it is not about a rectangle.
pub(super) fn scatter_words(ground: &Ground) -> String {
    match ground.corners {
        Some(_) => format!(
            " Diagonals of a rectangle that differ by up to {} are equal but for scatter.",
            ground.ruling.length(scatter(ground.ruling))
        ),
        None => String::new(),
    }
}

impl Case<'_> {
    /// The question on the diagonals of the corners: by how much they differ, and what that says.
    pub fn on_diagonals(&self) -> Option<Question> {
        let ruling = self.ground.ruling;
        let pulls = diagonals(&self.ground)?;
        let [one, other] = pulls.map(|pull| self.readings[pull]);
        let [first, second] = pulls.map(|pull| self.pull(pull).name());
        let off = (one - other).abs();
        let corners: Vec<&str> = self.ground.corners?.map(|mark| self.id(mark)).to_vec();
        let options = [
            format!(
                "{} are not a rectangle, or a diagonal is misread",
                corners.join(", ")
            ),
            format!(
                "{} are square to each other; of other marks it says nothing",
                corners.join(", ")
            ),
            "All marks lie where they should".to_owned(),
            "The vehicle stands askew on the layout".to_owned(),
        ];
        let equal = off <= scatter(ruling) + ROUND_OFF_MM;
        let limit = ruling.length(scatter(ruling));
        let (right, short, why) = if equal {
            let why = format!(
                "No more than {limit}: scatter. Equal diagonals say that the four corners are square to each other. A mark between them can still lie off, and so can the whole rectangle: that takes other distances."
            );
            (1, "square", why)
        } else {
            let why = format!(
                "More than {limit} is no scatter: a corner lies off, or a diagonal is misread. Which one, the other distances say."
            );
            (0, "not a rectangle", why)
        };
        let text =
            "By how much do the two diagonals of the four corners differ, and what does that say?";
        let [long, low] = [one.max(other), one.min(other)].map(|mm| ruling.whole(mm));
        let question = Question::new(text, 3)
            .scored(Scoring::parts([(1, "how much"), (2, "what it says")]))
            .lines(1)
            .one_of(options.to_vec(), right)
            .worked([
                format!(
                    "{first} and {second}: {long} \u{2212} {low} = {}",
                    ruling.length(off)
                ),
                why,
            ])
            .answer("difference of the diagonals", ruling.answer(off))
            .answer("what it says", short);
        Some(question)
    }
}

/// A rectangle whose ends were laid askew: its sides and ends have their lengths, its diagonals have not.
pub(super) struct Sheared {
    ruling: Ruling,
    /// Names of the marks front left, front right, rear left, rear right.
    corners: [String; 4],
    /// Side and end of the plan, mm.
    sides: [f64; 2],
    /// From front left to rear right, and from front right to rear left, mm.
    read: [f64; 2],
    /// Degrees out of square, from the readings.
    degrees: f64,
}

impl Sheared {
    /// One of the layout's rectangles, askew by 0.15 to 0.6°; `None` where the layout has none.
    pub fn draw(setting: &Setting, draw: &mut Draw) -> Option<Self> {
        let ruling = setting.ruling();
        let marks = &setting.plan.marks;
        let corners = *draw.choose(&rectangles(marks))?;
        let at = corners.map(|mark| marks[mark].at);
        let [side, end] = [at[0].distance(at[2]), at[0].distance(at[1])].map(|mm| ruling.round(mm));
        let degrees = draw.stepped(0.15, 0.6, 0.05);
        let sine = if draw.coin() { degrees } else { -degrees }
            .to_radians()
            .sin();
        // A parallelogram: d² = a² + b² ± 2 a b sin γ.
        let diagonal = |sign: f64| {
            let square = side.powi(2) + end.powi(2) + sign * 2.0 * side * end * sine;
            ruling.round(square.sqrt())
        };
        let read = [diagonal(1.0), diagonal(-1.0)];
        let degrees = out_of_square(read[0].max(read[1]), read[0].min(read[1]), [side, end])?;
        Some(Self {
            ruling,
            corners: corners.map(|mark| marks[mark].id.clone()),
            sides: [side, end],
            read,
            degrees,
        })
    }

    /// How far it is out of square, and which side lies ahead.
    pub fn question(&self) -> Question {
        let [front_left, front_right, rear_left, rear_right] = &self.corners;
        let ruling = self.ruling;
        let [side, end] = self.sides.map(|mm| ruling.length(mm));
        let [one, other] = self.read.map(|mm| ruling.length(mm));
        let text = format!(
            "Another crew laid {front_left}, {front_right}, {rear_left}, {rear_right}. The sides ({front_left} \u{2013} {rear_left}, {front_right} \u{2013} {rear_right}) are {side} and the ends {end}, as planned; {front_left} \u{2013} {rear_right} is {one}, {front_right} \u{2013} {rear_left} is {other}. By how many degrees is it out of square, to two decimals, and which side lies too far forward? sin γ = (d1² \u{2212} d2²) / (4 · side · end)."
        );
        let left = self.read[0] > self.read[1];
        let [a, b] = self.sides.map(|mm| ruling.exact(mm));
        let long = self.read[0].max(self.read[1]);
        let short = self.read[0].min(self.read[1]);
        let [sum, difference] = [long + short, long - short].map(|mm| ruling.exact(mm));
        let sine = self.degrees.to_radians().sin();
        let (word, names) = if left {
            ("left", [front_left, rear_right])
        } else {
            ("right", [front_right, rear_left])
        };
        let lines = [
            "d1² \u{2212} d2² = (d1 + d2) · (d1 \u{2212} d2).".to_owned(),
            format!(
                "sin γ = {sum} · {difference} / (4 · {a} · {b}) = {sine:.5}, γ = {:.2}°",
                self.degrees
            ),
            format!(
                "{} \u{2013} {} is the longer one: the {word} side lies too far forward.",
                names[0], names[1]
            ),
        ];
        Question::new(text, 3)
            .scored(Scoring::parts([(2, "the angle"), (1, "which side")]))
            .right_within(Value::decimals(0.01, 2, "\u{b0}"))
            .lines(1)
            .one_of(
                ["left side", "right side"].map(str::to_owned).to_vec(),
                usize::from(!left),
            )
            .worked(lines)
            .answer(OUT_OF_SQUARE, Value::decimals(self.degrees, 2, "\u{b0}"))
            .answer("too far forward", format!("{word} side"))
    }

    /// What comes out where the difference is divided by a side.
    pub fn wrong(&self) -> WrongAnswer {
        let off = (self.read[0] - self.read[1]).abs();
        let degrees = off.atan2(self.sides[0]).to_degrees();
        WrongAnswer::number(
            OUT_OF_SQUARE,
            Value::decimals(degrees, 2, "\u{b0}"),
            "The difference of the diagonals was divided by a side; the formula takes squares.",
        )
    }
}
