//! Read the overview: a picture of the layout with its measurement table, and what a technician asks of both.
//!
//! | level | questions |
//! |---|---|
//! | 1 | marks by their place in words; stations, offsets and two-tape distances read off |
//! | 2 | marks by their numbers; differences of two numbers: ahead of a bumper, outside the tyres, from mark to mark |
//! | 3 | the same differences, which two distances have to be equal, which run below the vehicle |
//! | 4 | the same, and along, across and straight between two marks |
//!
//! Every answer is worked out from the numbers as they are printed.

mod ask;
mod picked;
#[cfg(test)]
mod tests;
mod tick;

use super::{
    Block, Exercise, PracticeError,
    layout::{Drawn, beside, frame, measurements, picture},
    lot::Lot,
};
use crate::plan::FloorPlan;
use ask::Asking;

/// Makes one exercise; see the table of levels above.
///
/// # Errors
/// [`PracticeError::Unsound`] when the layout has no two marks that mirror each other in the centreline.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let level = lot.level.number();
    let drawn = Drawn::new(lot.setting, &mut lot.draw)?;
    if beside(&drawn.plan).is_empty() {
        return Err("the layout has no mark beside the centreline".into());
    }
    let mut asking = Asking {
        drawn: &drawn,
        draw: &mut lot.draw,
    };
    let questions = match level {
        1 => vec![asking.names(4)?, asking.read(2), asking.taped(2)],
        2 => vec![asking.found(3), asking.gaps(3)?],
        3 => vec![asking.gaps(4)?, asking.equal()?, asking.below()?],
        _ => vec![
            asking.gaps(3)?,
            asking.equal()?,
            asking.below()?,
            asking.straight()?,
        ],
    };
    let wrong = ask::wrong(&questions);
    let mut blocks = vec![picture(&drawn.plan).block(), Block::Text(frame(&drawn))];
    blocks.extend((level == 1).then(|| Block::Text(stations(&drawn.plan))));
    blocks.push(measurements(&drawn, 0..drawn.plan.marks.len()));
    blocks.extend((level > 1).then(|| Block::Text(vehicle(&drawn))));
    blocks.extend(
        (level == 4)
            .then(|| drawn.ruling.decimals_of_sixteenths())
            .flatten(),
    );
    Ok(lot.exercise(blocks, questions, wrong))
}

/// What stations and free marks are.
fn stations(plan: &FloorPlan) -> String {
    let mut all: Vec<String> = Vec::new();
    for mark in &plan.marks {
        let name = match mark.station {
            Some(number) => format!("station {number}"),
            None => mark.id.trim_end_matches(['L', 'R']).to_owned(),
        };
        let words = format!("{name}: {}", mark.meaning);
        if all.last() != Some(&words) && !all.contains(&words) {
            all.push(words);
        }
    }
    format!(
        "Names are the number of the station and the rail (L left, C centreline, R right; a number behind it: further out). {}.",
        capital(&all.join("; "))
    )
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + chars.as_str()
    })
}

/// Where the vehicle's own lines lie, in the same numbers.
fn vehicle(drawn: &Drawn) -> String {
    let ruling = drawn.ruling;
    let [front, rear, tyres] = picked::lines(&drawn.plan).map(|mm| ruling.round(mm));
    format!(
        "The front bumper lies at station {}, the rear bumper at {}, the tyres' outer faces at offset {}, left and right (all {}).",
        ruling.signed(front),
        ruling.signed(rear),
        ruling.whole(tyres),
        ruling.unit()
    )
}
