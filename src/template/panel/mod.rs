//! Panels' shapes, one file each, in which all that is asked of a shape is answered: its keys, what contradicts, its
//! geometry. Another shape is a file and a line in [`KINDS`].

mod chequer;
mod cross;
mod disc;
mod kind;
mod shape;
mod square;

pub use kind::{Field, PanelKind};
pub use shape::{PanelShape, PanelSpecShape};

/// All shapes that a template may name.
const KINDS: [PanelKind; 4] = [square::SQUARE, chequer::CHEQUER, disc::DISC, cross::CROSS];
