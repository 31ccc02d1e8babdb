//! A course: lessons that build on each other, each with the sheets that go with it.

use super::{Kind, Level};

/// A lesson of a course.
#[derive(Clone, Copy, Debug)]
pub struct Lesson {
    /// Heading.
    pub title: &'static str,
    /// What a trainee can do afterwards.
    pub aim: &'static str,
    /// How long it takes, minutes.
    pub minutes: u32,
    /// What has to be there beside pencil and eraser.
    pub material: &'static str,
    /// The sheets in the order in which they are handed out: kinds with the numbers of their levels.
    sheets: &'static [(Kind, usize)],
}

impl Lesson {
    /// The sheets in the order in which they are handed out.
    pub fn sheets(&self) -> impl Iterator<Item = (Kind, Level)> {
        let level = |number: usize| Level::ALL[number - 1];
        self.sheets
            .iter()
            .map(move |&(kind, number)| (kind, level(number)))
    }
}

/// The lessons, from words to the bay. Minutes are an estimate.
pub const COURSE: [Lesson; 10] = [
    Lesson {
        title: "Words, signs, and where the numbers come from",
        aim: "Name every mark, and find a layout's values in the service text.",
        minutes: 45,
        material: "pocket calculator",
        sheets: &[
            (Kind::Primer, 1),
            (Kind::ServiceText, 1),
            (Kind::Overview, 1),
        ],
    },
    Lesson {
        title: "Every mark in numbers",
        aim: "Work out station and offset of each mark from the vehicle's dimensions; go from mm to inches and back.",
        minutes: 60,
        material: "pocket calculator",
        sheets: &[(Kind::Table, 1), (Kind::Table, 2), (Kind::Units, 1)],
    },
    Lesson {
        title: "The layout on paper",
        aim: "Set the layout out to scale, and measure its diagonals.",
        minutes: 60,
        material: "ruler, set square, compasses",
        sheets: &[(Kind::SetOut, 1), (Kind::SetOut, 2)],
    },
    Lesson {
        title: "From the vehicle to the line",
        aim: "Find the centreline without trusting the badge, and do the steps in the right order.",
        minutes: 45,
        material: "pocket calculator; if there is one, a plumb bob to show",
        sheets: &[(Kind::Centreline, 1), (Kind::Order, 1), (Kind::Order, 2)],
    },
    Lesson {
        title: "Prints that are true to scale",
        aim: "Check a print before it is cut, and join sheets at their registration marks.",
        minutes: 75,
        material: "ruler, scissors, clear adhesive tape",
        sheets: &[(Kind::TrueScale, 1), (Kind::Desk, 1)],
    },
    Lesson {
        title: "Is the floor fit?",
        aim: "Work out slope and low corner from heights, and say whether the floor may be used.",
        minutes: 45,
        material: "pocket calculator",
        sheets: &[(Kind::Levels, 1), (Kind::Levels, 3)],
    },
    Lesson {
        title: "Square or not?",
        aim: "Find the mark that lies off, or the reading that is wrong, and know what diagonals do not show.",
        minutes: 60,
        material: "pocket calculator",
        sheets: &[(Kind::Square, 1), (Kind::Square, 2)],
    },
    Lesson {
        title: "The form and the verdict",
        aim: "Read a tape into the form, judge it against its limits, and name the next thing to do.",
        minutes: 60,
        material: "pocket calculator; if there is one, the tape of the bay",
        sheets: &[(Kind::Form, 1), (Kind::Judge, 1), (Kind::Judge, 2)],
    },
    Lesson {
        title: "The record",
        aim: "Check a record before it goes to the customer's file.",
        minutes: 30,
        material: "none",
        sheets: &[(Kind::Record, 1), (Kind::ServiceText, 2)],
    },
    Lesson {
        title: "In the bay",
        aim: "Tape a real layout, judge it, and say what is done next.",
        minutes: 90,
        material: "the layout on the floor, two tapes, string, chocks; a teacher beside each pair",
        sheets: &[(Kind::Bay, 1), (Kind::Bay, 2)],
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_course_has_every_kind_and_no_sheet_twice() {
        let sheets: Vec<(Kind, Level)> = COURSE.iter().flat_map(Lesson::sheets).collect();
        for kind in Kind::ALL {
            assert!(
                sheets.iter().any(|(other, _)| *other == kind),
                "{}",
                kind.word()
            );
        }
        for (index, sheet) in sheets.iter().enumerate() {
            assert!(!sheets[..index].contains(sheet), "{sheet:?}");
        }
    }

    #[test]
    fn a_kind_gets_harder_from_lesson_to_lesson() {
        let sheets: Vec<(Kind, Level)> = COURSE.iter().flat_map(Lesson::sheets).collect();
        for (index, (kind, level)) in sheets.iter().enumerate() {
            let before = sheets[..index].iter().filter(|(other, _)| other == kind);
            assert!(before.map(|(_, level)| level).all(|other| other < level));
        }
    }
}
