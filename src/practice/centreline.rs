//! Find the centreline: the middle of front and rear from a tape that lies across, and what a badge off centre does.
//!
//! | level | given | asked |
//! |---|---|---|
//! | 1 | two lamps and the badge at the front | the middle, how far the badge is off and which way |
//! | 2 | the same at front and rear, the tape's zero on another side | the same at both |
//! | 3 | the same | also where a line through the front's badge runs at the ends of the layout |
//! | 4 | lamps and seams of the bumper, whose middles differ | also which taping is no good; the mean of the others |
//!
//! Readings are made from the middle outwards, so that every middle lies on a graduation.

mod ask;
mod line;
mod taping;
#[cfg(test)]
mod tests;

use kurbo::Point;

use super::{
    Block, Exercise, Figure, FigureMark, PracticeError, WrongAnswer, layout::Drawn, lot::Lot,
};
use taping::{Taping, Tapings};

/// How far ahead of the bumper the tape is drawn, and how far it runs past the body's sides, mm.
const AHEAD_MM: f64 = 250.0;
const PAST_MM: f64 = 200.0;

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// None but those of the layout.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let level = lot.level.number();
    let drawn = Drawn::new(lot.setting, &mut lot.draw)?;
    let line = line::Line::of(&drawn);
    let badge = lot.setting.as_is.then_some(drawn.vehicle.badge_offset);
    let badge = badge.filter(|mm| *mm != 0.0);
    let tapings = Tapings::drawn(&drawn, level, badge, &line, &mut lot.draw);
    let ruling = drawn.ruling;
    let mut blocks = vec![
        Block::text(
            "A tape lies square across the vehicle, its zero beside the body; a plumb bob carries each point down to it. What lies left and right at the same height has the vehicle's middle half-way between. The badge need not be in the middle.",
        ),
        figure(&drawn, &tapings).block(),
        tapings.table(ruling),
    ];
    blocks.extend(ruling.decimals_of_sixteenths());
    if let Some(limit) = tapings.limit {
        blocks.push(Block::Text(format!(
            "Where the two middles of a taping differ by no more than {}, their mean is the middle. Where they differ by more, that end is taped again.",
            ruling.length(limit)
        )));
    }
    let mut questions = Vec::new();
    questions.extend(tapings.limit.map(|_| ask::differ(&tapings, ruling)));
    questions.push(ask::middles(&tapings, ruling));
    if level <= 2 {
        questions.push(ask::through(&mut lot.draw));
    } else {
        questions.push(ask::off(&tapings, &line, ruling));
    }
    let wrong = wrong(&tapings, &drawn);
    Ok(lot.exercise(blocks, questions, wrong))
}

/// Vehicle and tapes, with what is plumbed.
fn figure(drawn: &Drawn, tapings: &Tapings) -> Figure {
    let vehicle = &drawn.plan.vehicle;
    let mut marks = Vec::new();
    let mut lines = Vec::new();
    for taping in tapings.once() {
        let (edge, tape) = if taping.front {
            (vehicle.front_x, vehicle.front_x + AHEAD_MM)
        } else {
            (vehicle.rear_x, vehicle.rear_x - AHEAD_MM)
        };
        let end = vehicle.half_width + PAST_MM;
        lines.push([Point::new(tape, -end), Point::new(tape, end)]);
        let zero = if taping.zero_left { end } else { -end };
        marks.push(FigureMark::given("0", Point::new(tape, zero)));
        for (name, half) in taping.features() {
            for y in [half, -half] {
                marks.push(FigureMark::given(name, Point::new(edge, y)));
            }
        }
        marks.push(FigureMark::given(
            "badge",
            Point::new(edge, taping.badge_y()),
        ));
    }
    let body = vehicle.body();
    Figure {
        vehicle: Some(vehicle.clone()),
        marks,
        lines,
        extent: body.inflate(AHEAD_MM + 100.0, PAST_MM + 50.0),
        caption: "Seen from above, front to the right, so left lies above. 0 is the tape's zero."
            .to_owned(),
        ..Figure::default()
    }
}

/// The usual slips with their numbers.
fn wrong(tapings: &Tapings, drawn: &Drawn) -> Vec<WrongAnswer> {
    let ruling = drawn.ruling;
    let sound: Vec<&Taping> = tapings.sound().collect();
    let Some(first) = sound.first() else {
        return Vec::new();
    };
    let [left, right] = first.lamps.readings();
    let half = (left - right).abs() / 2.0;
    let mut wrong = vec![WrongAnswer::new(
        format!("{} middle {}", first.end(), ruling.length(half)),
        "took half of what lies between the lamps: the middle is half of both readings added",
    )];
    if let Some(other) = sound.iter().find(|taping| !taping.zero_left) {
        let way = if other.badge_right { "left" } else { "right" };
        wrong.push(WrongAnswer::new(
            format!("{} badge off to the {way}", other.end()),
            "took a larger reading for further right: the tape's zero lies on the right, so it is further left",
        ));
    }
    wrong
}
