use super::*;
use crate::practice::{Kind, fixture};

const KIND: Kind = Kind::Order;

fn rows(exercise: &Exercise) -> Vec<(String, String)> {
    let Block::Table { rows, .. } = &exercise.questions[0].blocks[0] else {
        panic!("no list")
    };
    rows.iter()
        .map(|row| match (&row[1], &row[2]) {
            (Cell::Given(text), Cell::Blank(number)) => (text.clone(), number.clone()),
            other => panic!("{other:?}"),
        })
        .collect()
}

/// A word of the earlier and of the later item: written down from the trade's reasons, not from the chain.
const FIRST_THEN: [(&str, &str); 8] = [
    ("Fault codes read and saved", "Chock the wheels"),
    (
        "Chock the wheels",
        "Plumb the middle of the vehicle's front",
    ),
    (
        "Plumb the middle of the vehicle's front",
        "Stretch a string",
    ),
    ("Stretch a string", "Mark zero"),
    ("Mark zero", "Tape "),
    ("Mark zero", "Tape the check distances"),
    ("Tape the check distances", "Lay "),
    ("Read the fault codes again", "Clear everything away"),
];

#[test]
fn every_list_is_numbered_through_and_keeps_the_reasons_of_the_trade() {
    fixture::all(KIND, |_, exercise| {
        let rows = rows(exercise);
        let mut places: Vec<usize> = rows
            .iter()
            .filter_map(|(_, number)| number.parse().ok())
            .collect();
        places.sort_unstable();
        assert_eq!(places, (1..=places.len()).collect::<Vec<_>>());
        let place = |words: &str| {
            rows.iter()
                .find(|(text, _)| text.starts_with(words))
                .and_then(|(_, number)| number.parse::<usize>().ok())
        };
        for (first, then) in FIRST_THEN {
            if let (Some(first_at), Some(then_at)) = (place(first), place(then)) {
                assert!(first_at < then_at, "{first} / {then}");
            }
        }
        let crossed = rows
            .iter()
            .filter(|(_, number)| number == CROSSED_OUT)
            .count();
        assert_eq!(crossed, if exercise.level.number() == 4 { 2 } else { 0 });
        assert!(
            places.len() >= exercise.level.of([5, 7, 9, 10]),
            "{}",
            places.len()
        );
    });
}

#[test]
fn a_check_question_has_one_choice_between_marks_that_lie_by_then() {
    let setting = fixture::setting("delivery-van", "perimeter-lines", &[]);
    for seed in 1..20 {
        let exercise = KIND
            .exercise(&setting, Level::new(4).unwrap(), seed, 1)
            .unwrap();
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
    for level in Level::ALL {
        fixture::a_class_differs(KIND, &setting, level, 29);
    }
    fixture::all(KIND, |_, exercise| {
        let numbers: Vec<usize> = rows(exercise)
            .iter()
            .filter_map(|(_, number)| number.parse().ok())
            .collect();
        assert!(!numbers.is_sorted());
    });
}
