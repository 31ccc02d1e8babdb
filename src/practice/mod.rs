//! Paper exercises with their answers, made from real layouts by the rooms of the real work.
//!
//! An [`Exercise`] is data: blocks of text, tables with blanks, figures, and the worked answers. Which
//! paper it goes on and how it looks is not known here. Everything is drawn from one [`Draw`], so that the same seed
//! makes the same sheet, and a key can be made again from what stands on the sheet.

mod answer_key;
mod desk;
mod draw;
mod error;
mod exercise;
mod figure;
#[cfg(test)]
pub(crate) mod fixture;
mod kind;
mod layout;
mod level;
mod levels;
mod lot;
mod make;
mod order;
mod set_out;
mod setting;
mod square;
mod table;
mod units;
mod vehicle;

pub use answer_key::AnswerKey;
pub use desk::Model;
pub use draw::Draw;
pub use error::{PracticeError, SheetError};
pub use exercise::{Block, Cell, Exercise, Fact, Question, WrongAnswer};
pub use figure::{FIGURE_ROOM, Figure, FigureMark, FigureScale};
pub use kind::Kind;
pub use level::Level;
pub use make::{MOST_SHEETS, Request, Vehicle, make};
pub use setting::Setting;
pub use vehicle::varied;
