//! What is given on a sheet: dimensions and the layout's rules, in a regular form that can be read back from it.

use super::{Drawn, Relations};
use crate::{
    practice::{Block, Cell},
    units::mm_exact,
    vehicle::TyreCode,
};

/// Dimensions stand in this many columns, each with its value.
const DIMENSION_COLUMNS: usize = 3;

/// A given number as it stands, mm, without rounding it further.
pub(in crate::practice) fn exact(mm: f64) -> String {
    mm_exact(mm, 3)
}

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
    let vehicle = &drawn.vehicle;
    let mm = |name: &str, value: f64| (name.to_owned(), format!("{} mm", exact(value)));
    let equal = vehicle.wheelbase_left == vehicle.wheelbase_right;
    let mut dimensions = vec![mm("front overhang", vehicle.front_overhang)];
    if equal {
        dimensions.push(mm("wheelbase", vehicle.wheelbase_left));
    } else {
        dimensions.push(mm("wheelbase left", vehicle.wheelbase_left));
        dimensions.push(mm("wheelbase right", vehicle.wheelbase_right));
    }
    dimensions.extend([
        mm("rear overhang", vehicle.rear_overhang),
        mm("front track", vehicle.front_track),
        mm("rear track", vehicle.rear_track),
    ]);
    dimensions.push(match code {
        Some(code) => ("tyre size".to_owned(), code.to_string()),
        None => mm("tyre width", vehicle.tyre.width),
    });
    let rim = code.and_then(|code| code.rim_width);
    dimensions.extend(rim.map(|rim| mm("rim width", rim)));
    dimensions.extend([
        mm("overall width", vehicle.overall_width),
        mm("width over mirrors", vehicle.width_over_mirrors),
    ]);
    let mut blocks = vec![Block::Text(frame(drawn)), in_columns(&dimensions)];
    if !equal {
        blocks.push(Block::text(
            "Left and right wheelbase differ; the rear overhang counts from the mean of both.",
        ));
    }
    let rules = relations.rules().into_iter();
    let rules = rules.map(|rule| {
        [rule.marks, rule.what, rule.place]
            .map(Cell::Given)
            .to_vec()
    });
    blocks.push(Block::table(["Station, rail", "What", "Where"], rules));
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
