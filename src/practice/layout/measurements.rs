//! The measurement table of a layout, as its overview has it.

use super::Drawn;
use crate::practice::{Block, Cell};

/// Station, offset and two-tape distances of some marks, by their indices, in whole numbers of the ruling.
pub(in crate::practice) fn measurements(
    drawn: &Drawn,
    marks: impl IntoIterator<Item = usize>,
) -> Block {
    let (plan, ruling) = (&drawn.plan, drawn.ruling);
    let [front, rear] = plan.tape_base.map(|base| plan.marks[base].id.as_str());
    let rows = marks.into_iter().map(|index| {
        let mark = &plan.marks[index];
        let numbers = [mark.at.x, mark.at.y].map(|mm| ruling.signed(mm));
        let tapes = mark.two_tape.map(|mm| ruling.whole(mm));
        let cells = [mark.id.clone()].into_iter().chain(numbers).chain(tapes);
        cells.map(Cell::on_one_line).collect()
    });
    let columns = [
        "Mark".to_owned(),
        ruling.column("Station"),
        ruling.column("Offset"),
        ruling.column(&format!("from {front}")),
        ruling.column(&format!("from {rear}")),
    ];
    Block::table(columns, rows)
}
