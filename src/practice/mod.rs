//! Paper exercises with their answers, made from real layouts by the rooms of the real work.
//!
//! An [`Exercise`] is data: blocks of text, tables with blanks, figures, and the worked answers. Which
//! paper it goes on and how it looks is not known here. Everything is drawn from one [`Draw`], so that the same seed
//! makes the same sheet, and a key can be made again from what stands on the sheet.
//!
//! A new kind is a word in [`Kind`], a function from a `Lot` to an [`Exercise`], and its line in
//! `Kind::exercise`; command, help and sheets follow. A `Question` carries its own worked answer
//! and its answers for machines, so that no number of a question can go astray. `Draw::of_sheet` is
//! all of a sheet's randomness, so that it does not depend on how many there are; the random
//! vehicle has a stream of its own by sheet number, the same for all kinds. `Setting::full_checks`
//! is made once for all sheets of a vehicle, for asked anew on every sheet it takes most of the
//! time (`cargo bench --bench practice`). On paper an exercise is a list of pieces that are not
//! torn; sizes are tried from the roomiest on, and the fewest pages that the smallest one takes
//! win. The key table has a row for each thing that is asked and a column for each sheet; where the
//! sheets of a kind ask for different things, rows are numbers in the order of the sheet: keep
//! `Fact::of` the same on all sheets.

mod answer_key;
mod asked;
mod bay;
mod centreline;
mod course;
mod desk;
mod draw;
mod error;
mod exercise;
mod figure;
#[cfg(test)]
pub(crate) mod fixture;
mod form;
mod judge;
mod kind;
mod layout;
mod level;
mod levels;
mod lot;
mod make;
mod marking;
mod order;
mod overview;
mod primer;
mod record;
mod ruling;
mod scoring;
mod service_text;
mod set_out;
mod setting;
mod square;
mod table;
mod tape;
mod true_scale;
mod units;
mod value;
mod vehicle;

pub use answer_key::AnswerKey;
pub use course::{COURSE, Lesson};
pub use desk::{Model, OutlinePart};
pub use draw::{Draw, code};
pub use error::{PracticeError, SheetError};
pub use exercise::{Block, Cell, Exercise, Fact, Question, WrongAnswer};
pub use figure::{FIGURE_ROOM, Figure, FigureMark, FigureScale};
pub use kind::Kind;
pub use level::Level;
pub use make::{MOST_SHEETS, Request, Vehicle, make};
pub use marking::MarkingList;
pub use ruling::Ruling;
pub use scoring::Scoring;
pub use setting::Setting;
pub use tape::TapePicture;
pub use value::Value;
pub use vehicle::varied;
