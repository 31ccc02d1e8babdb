//! Read the service text: the template's values taken from a paragraph in the manner of a vehicle maker's service
//! information. The wording is our own, and every number is drawn.
//!
//! | level | the text states the values |
//! |---|---|
//! | 1 | one after the other, in the unit of the answer |
//! | 2 | in another order, among numbers that the layout does not need |
//! | 3 | the same, in mixed units: mm, cm, m, or inches and feet |
//! | 4 | the same, some of them only as a sum, a difference or twice the value: counted from the wheel centres instead of the bumper, from left to right instead of one side |
//!
//! Every sentence is made from the template's own relation, and what is stated is worked back to the value before the sheet
//! goes out; the answers, put in as values, give the drawn layout.

mod more;
mod state;
#[cfg(test)]
mod tests;
mod word;

use super::{
    Block, Cell, Exercise, PracticeError, Question, Value, WrongAnswer,
    asked::Asked,
    layout::{Drawn, dimensions, picture, placing, spaced},
    lot::Lot,
};
use crate::{
    plan::{FloorPlan, Setting as Given},
    source::Place,
    template::ValueKind,
    units::{ROUND_OFF_MM, mm_exact},
};
use state::{Stated, Writing};

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] when the template has no value that places a mark, or when a value is not had back from what is
/// stated.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let level = lot.level.number();
    let drawn = Drawn::new(lot.setting, &mut lot.draw)?;
    let mut indices = placing(&lot.setting.template);
    indices.sort_unstable();
    indices.dedup();
    if indices.is_empty() {
        return Err("the template has no value that says where a mark lies".into());
    }
    let mut writing = Writing {
        template: &lot.setting.template,
        drawn: &drawn,
        level,
        draw: &mut lot.draw,
        lengths: 0,
        turned: None,
    };
    writing.start(&indices);
    let stated: Option<Vec<Stated>> = indices.iter().map(|&index| writing.state(index)).collect();
    let stated = stated.ok_or("a value has no relation that can be put into a sentence")?;
    prove(&lot, &drawn, &stated)?;
    let mut sentences: Vec<String> = stated.iter().map(|one| one.sentence.clone()).collect();
    if level > 1 {
        sentences.extend(more::not_needed(drawn.ruling, &mut lot.draw));
        lot.draw.shuffle(&mut sentences);
    }
    let mut blocks = vec![Block::text(
        "From the service information (invented for practice), camera alignment, floor layout:",
    )];
    blocks.push(Block::Text(format!("“{}”", sentences.join(" "))));
    blocks.push(picture(&drawn.plan).block());
    if level == 4 {
        blocks.push(Block::text("The vehicle measures:"));
        blocks.extend(dimensions(&drawn, None));
    }
    let wrong = wrong(&drawn, &stated);
    let question = question(&drawn, &stated, &lot);
    Ok(lot.exercise(blocks, vec![question], wrong))
}

/// A value with each number that is stated worked back, against what was drawn, and the layout that these values make.
fn prove(lot: &Lot<'_>, drawn: &Drawn, stated: &[Stated]) -> Result<(), PracticeError> {
    let template = &lot.setting.template;
    let mut values = lot.setting.values.clone();
    for one in stated {
        let (known, back) = (&drawn.plan.template.values[one.value], one.back());
        if (known.value - back).abs() > ROUND_OFF_MM {
            return Err(format!("`{}` is not had back from what is stated", known.name).into());
        }
        values.retain(|given| given.name != known.name);
        values.push(Given {
            name: known.name.clone(),
            text: format!("{} {}", mm_exact(back, 6), known.unit),
            place: Place::whole("exercise"),
        });
    }
    let plan = FloorPlan::resolve(&drawn.vehicle, template, &values, None)?;
    let same = |(one, other): (&crate::plan::Mark, &crate::plan::Mark)| {
        one.id == other.id && one.at.distance(other.at) < 2.0 * ROUND_OFF_MM
    };
    if plan.marks.len() != drawn.plan.marks.len()
        || !plan.marks.iter().zip(&drawn.plan.marks).all(same)
    {
        return Err("the values of the text give another layout than the one drawn".into());
    }
    Ok(())
}

/// The table of the template's values with their blanks.
fn question(drawn: &Drawn, stated: &[Stated], lot: &Lot<'_>) -> Question {
    let ruling = drawn.ruling;
    let mut asked = Asked::default();
    for one in stated {
        let known = &lot.setting.template.values[one.value];
        let name = spaced(&known.name);
        let (unit, answer) = match known.kind {
            ValueKind::Length => (ruling.unit(), one.answer(ruling)),
            ValueKind::Angle => ("°", Value::of(one.back(), "°", mm_exact(one.back(), 3))),
        };
        asked.worked.push(format!("{name}: {}", one.worked));
        let row = [
            // A name is not torn apart.
            Cell::Given(name.replace(' ', "\u{a0}")),
            Cell::given(&known.meaning),
            asked.blank(name, answer),
            Cell::given(unit),
        ];
        asked.row(row);
    }
    let angle = stated
        .iter()
        .any(|one| lot.setting.template.values[one.value].kind == ValueKind::Angle);
    let text = format!(
        "Take the values of the layout from the text, lengths in {}{}.",
        ruling.pick("mm", "inches"),
        if angle { ", bearings in degrees" } else { "" }
    );
    asked.question(text, ["Value", "What it means", "Number", "Unit"])
}

/// What comes out where the number of the text is copied down as it stands.
fn wrong(drawn: &Drawn, stated: &[Stated]) -> Vec<WrongAnswer> {
    let ruling = drawn.ruling;
    let of = |one: &Stated| spaced(&drawn.plan.template.values[one.value].name);
    let mut wrong: Vec<WrongAnswer> = Vec::new();
    for one in stated {
        let Some(slip) = one.slip else { continue };
        let number = if one.angle {
            format!("{}°", mm_exact(one.number, 3))
        } else {
            ruling.length(one.number)
        };
        if !wrong.iter().any(|known| known.meaning == slip) {
            wrong.push(WrongAnswer::new(format!("{} {number}", of(one)), slip));
        }
    }
    let behind = stated.iter().find(|one| one.back() < 0.0);
    wrong.extend(behind.map(|one| {
        let number = ruling.length(one.back().abs());
        WrongAnswer::new(
            format!("{} {number}", of(one)),
            "sign: the value counts the other way, so the number is below 0",
        )
    }));
    wrong
}
