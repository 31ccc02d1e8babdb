//! What is given on a sheet: dimensions and the layout's rules, in a regular form that can be read back from it.

use super::{Drawn, Relations};
use crate::{
    practice::{Block, Cell},
    vehicle::TyreCode,
};

/// Dimensions stand in this many columns, each with its value.
const DIMENSION_COLUMNS: usize = 3;

/// How stations and offsets count.
pub(in crate::practice) fn frame(drawn: &Drawn) -> String {
    format!(
        "Stations count along the centreline from the point {}: ahead positive, rearward negative. Offsets count square to it: left positive, right negative.",
        drawn.plan.template.origin
    )
}

/// The vehicle's dimensions, where `code` is given the tyre's size code instead of its width, and the layout's rules.
pub(in crate::practice) fn given(
    drawn: &Drawn,
    relations: &Relations<'_>,
    code: Option<TyreCode>,
) -> Vec<Block> {
    let mut blocks = vec![Block::Text(frame(drawn))];
    blocks.extend(dimensions(drawn, code));
    let rules = relations.rules().into_iter();
    let rules = rules.map(|rule| {
        [rule.marks, rule.what, rule.place]
            .map(Cell::Given)
            .to_vec()
    });
    blocks.push(Block::table(["Station, rail", "What", "Where"], rules));
    blocks.extend(drawn.ruling.decimals_of_sixteenths());
    blocks
}

/// The vehicle's dimensions, where `code` is given the tyre's size code instead of its width.
pub(in crate::practice) fn dimensions(drawn: &Drawn, code: Option<TyreCode>) -> Vec<Block> {
    let vehicle = &drawn.vehicle;
    let ruling = drawn.ruling;
    let length = |name: &str, mm: f64| {
        let text = format!("{} {}", ruling.given(mm), ruling.unit());
        (name.to_owned(), text)
    };
    let equal = vehicle.wheelbase_left == vehicle.wheelbase_right;
    let mut dimensions = vec![length("front overhang", vehicle.front_overhang)];
    if equal {
        dimensions.push(length("wheelbase", vehicle.wheelbase_left));
    } else {
        dimensions.push(length("wheelbase left", vehicle.wheelbase_left));
        dimensions.push(length("wheelbase right", vehicle.wheelbase_right));
    }
    dimensions.extend([
        length("rear overhang", vehicle.rear_overhang),
        length("front track", vehicle.front_track),
        length("rear track", vehicle.rear_track),
    ]);
    dimensions.push(match code {
        Some(code) => ("tyre size".to_owned(), code.to_string()),
        None => length("tyre width", vehicle.tyre.width),
    });
    let rim = code.and_then(|code| code.rim_width);
    dimensions.extend(rim.map(|rim| length("rim width", rim)));
    dimensions.extend([
        length("overall width", vehicle.overall_width),
        length("width over mirrors", vehicle.width_over_mirrors),
    ]);
    let mut blocks = vec![in_columns(&dimensions)];
    if !equal {
        blocks.push(Block::text(
            "Left and right wheelbase differ; the rear overhang counts from the mean of both.",
        ));
    }
    blocks
}

/// Dimensions, downwards first; their names say what they are, so the columns have no headings.
fn in_columns(dimensions: &[(String, String)]) -> Block {
    let height = dimensions.len().div_ceil(DIMENSION_COLUMNS);
    let cell = |index: usize| {
        let (name, value) = dimensions.get(index).cloned().unwrap_or_default();
        [Cell::Given(name), Cell::Given(value)]
    };
    let row = |row: usize| {
        (0..DIMENSION_COLUMNS)
            .flat_map(|column| cell(row + column * height))
            .collect()
    };
    Block::table([""; 2 * DIMENSION_COLUMNS], (0..height).map(row))
}
