use super::*;
use crate::practice::{Kind, fixture};

const KIND: Kind = Kind::Order;

/// What is done, and its number in the key.
fn rows(exercise: &Exercise) -> Vec<(&str, &str)> {
    let rows = fixture::rows(&exercise.questions[0].blocks[0]).iter();
    rows.map(|row| (fixture::word(&row[1]), fixture::word(&row[2])))
        .collect()
}

fn numbers(exercise: &Exercise) -> Vec<usize> {
    rows(exercise)
        .iter()
        .filter_map(|(_, number)| number.parse().ok())
        .collect()
}

/// A word of the earlier and of the later item: written down from the trade's reasons, not from the chain.
const FIRST_THEN: [(&str, &str); 12] = [
    ("Fault codes read and saved", "Chock the wheels"),
    (
        "Chock the wheels",
        "Plumb the middle of the vehicle's front",
    ),
    (
        "Plumb the middle of the vehicle's front",
        "Push a string through",
    ),
    ("Push a string through", "Set off one distance"),
    ("Set off one distance", "Carry to the strings"),
    ("Carry to the strings", "Tape all stations"),
    ("Tape all stations", "Set off square"),
    ("Snap a straight line", "Mark zero"),
    ("Mark zero", "Tape "),
    ("Lay ", "Drive the vehicle on"),
    ("Tape the check distances", "Lay "),
    ("Read the fault codes again", "Clear everything away"),
];

#[test]
fn every_list_is_numbered_through_and_keeps_the_reasons_of_the_trade() {
    fixture::all(KIND, |_, exercise| {
        let rows = rows(exercise);
        let mut places = numbers(exercise);
        places.sort_unstable();
        assert_eq!(places, (1..=places.len()).collect::<Vec<_>>());
        let place = |words: &str| {
            let (_, number) = rows.iter().find(|(text, _)| text.starts_with(words))?;
            number.parse::<usize>().ok()
        };
        for (first, then) in FIRST_THEN {
            if let (Some(first_at), Some(then_at)) = (place(first), place(then)) {
                assert!(first_at < then_at, "{first} / {then}");
            }
        }
        let crossed = rows
            .iter()
            .filter(|(_, number)| *number == CROSSED_OUT)
            .count();
        assert_eq!(crossed, if exercise.level.number() == 4 { 2 } else { 0 });
        let least = exercise.level.of([5, 7, 9, 10]);
        assert!(places.len() >= least, "{}", places.len());
    });
}

#[test]
fn a_check_question_has_one_choice_between_marks_that_lie_by_then() {
    let setting = fixture::setting("delivery-van", "perimeter-lines", &[]);
    for seed in 1..20 {
        let exercise = fixture::sheet(KIND, &setting, 4, seed);
        assert_eq!(exercise.questions.len(), 3);
        assert_ne!(exercise.questions[1].text, exercise.questions[2].text);
        for question in &exercise.questions[1..] {
            let Block::Choices { options, right } = &question.blocks[0] else {
                panic!("no choices")
            };
            assert_eq!((options.len(), right.len()), (4, 1));
        }
    }
}

#[test]
fn no_list_stands_in_order_already_and_thirty_trainees_get_thirty() {
    let setting = fixture::setting("delivery-van", "perimeter-lines", &[]);
    for level in 1..=4 {
        // Five lines that follow on each other have few orders, and eight places to begin.
        let least = if level == 1 { 26 } else { 29 };
        fixture::a_class_differs(KIND, &setting, level, 30, least);
    }
    fixture::all(KIND, |_, exercise| assert!(!numbers(exercise).is_sorted()));
}
