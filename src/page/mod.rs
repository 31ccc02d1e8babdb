//! The typesetter: text broken into lines, tables, pieces that flow over pages, frame and title block, free
//! room for lettering. It knows nothing of what is written.

mod boxed;
pub mod clip;
mod fit;
mod fragment;
mod frame;
pub mod labels;
mod lettering;
mod pieces;
#[cfg(test)]
pub mod proof;
mod scale;
mod table;
mod text;
mod text_flow;
mod title_block;
mod wrap;

pub use fit::{largest, largest_of_falling};
pub use fragment::Fragment;
pub use frame::{drawing_space, frame};
pub use lettering::{Block, text_box};
pub use pieces::{Piece, flow, whole};
pub use scale::{SCALES, Scale, choose};
pub use table::{Align, Cell, Column, Room, Row, Table, tick_box};
pub use text::{
    HEADING_GAP, LABEL, LEADING, entries, heading, height_of, labelled, list, paragraph,
    write_lines,
};
pub use text_flow::Flow;
pub use title_block::{Field, fields};
pub use wrap::{shorten, words, wrap, wrap_to};
