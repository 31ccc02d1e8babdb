//! TOML and CSV read with the place of every value, so that all faults of a file can be told at once.
//!
//! `serde` stops at the first fault and forgets where values stood; people who fill in a form want
//! the whole list. So a file is parsed to a tree with places ([`Table`], [`Entry`]), each room asks
//! it for what it knows, and every question that goes wrong leaves a [`Fault`] and reading goes on.
//! [`CsvTable`] is the same for tables that spreadsheets save, asked column by column.

mod bounded;
mod csv_table;
mod decimal;
mod decode;
mod entry;
mod fault;
mod formula;
mod kind;
mod misplaced;
mod printed;
mod syntax;
mod table;

pub use bounded::{CLOSE_SOME, MOST_BYTES, read_bounded, too_many_open};
pub use csv_table::{CsvCell, CsvRow, CsvTable};
pub use entry::Entry;
pub use fault::{Fault, Faults, Named, Place, Placed};
pub use formula::as_text;
pub use printed::printed;
#[cfg(test)]
pub use printed::printed_characters;
pub use table::{Reader, Source, Table, nearest};
