//! Exercises on paper: the sheet for the trainee and the one with the answers.
//!
//! An exercise is cut into pieces that must not be torn apart: lines of text, rows of tables, figures. Pieces flow
//! down a page and on to the next. Sizes are tried from the roomiest on, so that an exercise stays on as few pages as
//! its smallest readable form takes.

mod blocks;
mod course;
mod figure;
mod key_table;
#[cfg(test)]
mod key_tests;
mod page;
#[cfg(test)]
mod real_tests;
mod squared;
mod style;
mod tape;
#[cfg(test)]
mod tests;

pub use self::{
    course::{course_pages, marking_pages},
    key_table::key_table,
};

use self::{
    blocks::Writer,
    page::{Page, Words},
    style::{STYLES, Style},
};
use crate::{
    drawing::Drawing,
    page::{Fragment, Piece, largest_of_falling, whole},
    paper::Paper,
    practice::Exercise,
};

/// What all sheets of a run have in common.
#[derive(Clone, Copy, Debug)]
pub struct PracticePaper<'a> {
    /// Paper, A4, Letter or larger.
    pub paper: &'a Paper,
    /// What has to be typed beside seed, kind, level and number to make a sheet again, for the teacher's pages; may be empty.
    pub origin: &'a str,
}

/// Who reads a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reader {
    /// Blanks are blank.
    Trainee,
    /// Blanks are filled, and the way there is worked out.
    Teacher,
}

/// The pages for the trainee, upright: one, or as many as it takes.
#[must_use]
pub fn exercise_sheet(exercise: &Exercise, on: &PracticePaper<'_>) -> Vec<Drawing> {
    pages(exercise, on, Reader::Trainee)
}

/// The pages with the answers: the same questions with the blanks filled in bold, right choices ticked, worked
/// answers, and what wrong ones mean. None of an exercise that asks nothing.
#[must_use]
pub fn answer_sheet(exercise: &Exercise, on: &PracticePaper<'_>) -> Vec<Drawing> {
    if exercise.questions.is_empty() {
        return Vec::new();
    }
    pages(exercise, on, Reader::Teacher)
}

fn pages(exercise: &Exercise, on: &PracticePaper<'_>, reader: Reader) -> Vec<Drawing> {
    let words = Words::of(exercise, on, reader);
    let page = Page::new(on.paper, &words);
    let pieces = |style: Style| {
        Writer {
            reader,
            style,
            width: page.body.width(),
        }
        .exercise(exercise)
    };
    let flow = |pieces: Vec<Piece>| crate::page::flow(pieces, page.first_room(), page.next_room());
    // Most exercises need no second try.
    let first = flow(pieces(STYLES[0]));
    if first.len() == 1 {
        return draw(&page, &first);
    }
    let fewest = flow(pieces(STYLES[STYLES.len() - 1])).len();
    let fits = |bodies: Vec<Fragment>| (bodies.len() <= fewest).then_some(bodies);
    // On several pages no question is torn apart where that takes no more of them.
    let unbroken = || largest_of_falling(&STYLES, |style| fits(flow(whole(pieces(style)))));
    let torn = || largest_of_falling(&STYLES, |style| fits(flow(pieces(style))));
    let bodies = (fewest > 1).then(unbroken).flatten().or_else(torn);
    draw(&page, &bodies.unwrap_or(first))
}

/// Draws laid-out bodies on their pages.
fn draw(page: &Page<'_>, bodies: &[Fragment]) -> Vec<Drawing> {
    (1..)
        .zip(bodies)
        .map(|(number, body)| page.draw(body, number, bodies.len()))
        .collect()
}
