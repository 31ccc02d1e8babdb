//! Setting out on paper: paper against floor, the figure within its room, what does not go.

use crate::practice::{
    Block, Cell, Exercise, FIGURE_ROOM, Figure, FigureScale, Kind, fixture,
    fixture::{number, refusal, rows, setting, sheet},
};

const KIND: Kind = Kind::SetOut;

/// The first figure, and n of its scale 1:n.
fn figure(exercise: &Exercise) -> (&Figure, f64) {
    let questions = exercise.questions.iter();
    let mut blocks = questions.flat_map(|question| &question.blocks);
    let figure = blocks.find_map(|block| match block {
        Block::Figure(figure) => Some(&**figure),
        _ => None,
    });
    let figure = figure.unwrap();
    let FigureScale::Squared { n, .. } = figure.scale else {
        panic!("not squared")
    };
    (figure, f64::from(n))
}

#[test]
fn figures_fit_the_room_with_every_mark_and_lie_on_the_squares() {
    fixture::all(KIND, |_, made| {
        let (figure, n) = figure(made);
        let extent = figure.extent;
        assert!(
            extent.width() / n <= FIGURE_ROOM.width && extent.height() / n <= FIGURE_ROOM.height
        );
        assert_eq!((extent.x0 % (5.0 * n), extent.y1 % (5.0 * n)), (0.0, 0.0));
        let body = figure.vehicle.as_ref().unwrap().body();
        assert!(
            figure.marks.iter().all(|mark| extent.contains(mark.at))
                && extent.union(body) == extent
        );
        assert!(figure.marks.iter().any(|mark| mark.answer));
    });
}

#[test]
fn paper_is_the_floor_over_n_to_half_a_millimetre() {
    fixture::all(KIND, |_, made| {
        let (_, n) = figure(made);
        let mut compared = 0;
        for fact in made.facts() {
            let Some(of) = fact.of.strip_suffix(" on paper") else {
                continue;
            };
            // With diagonals the floor's own answer has another name.
            let floor_of = format!("{of} on the floor");
            let paper = number(&fact.answer.to_string());
            assert_eq!((paper * 2.0).fract(), 0.0);
            // With compasses the floor's stations and offsets are not asked.
            let floor = fixture::answer(made, of).or_else(|| fixture::answer(made, &floor_of));
            let Some(floor) = floor else {
                continue;
            };
            compared += 1;
            let rounding = 0.25 + 0.5 / n + 1e-9;
            assert!(
                (number(&floor) / n - paper).abs() <= rounding,
                "{fact:?} {floor}"
            );
        }
        assert!(compared >= 2);
    });
}

#[test]
fn circles_about_the_base_marks_meet_where_station_and_offset_say() {
    let made = sheet(
        KIND,
        &setting("compact-hatchback", "perimeter-lines", &[]),
        4,
        1,
    );
    let (figure, n) = figure(&made);
    assert_eq!(n, 50.0);
    for row in rows(&made.questions[0].blocks[0]) {
        let value = |column: usize| number(fixture::word(&row[column]));
        for (column, id) in [(3, "1C"), (4, "4C")] {
            let base = figure.marks.iter().find(|mark| mark.id == id).unwrap().at.x / n;
            // Station, offset and radius are each a quarter of a millimetre off at most.
            let off = (value(5) - base).hypot(value(6)) - value(column);
            assert!(off.abs() <= 0.75, "{row:?}");
        }
    }
}

#[test]
fn a_row_of_two_marks_answers_for_both_and_the_right_one_has_the_other_sign() {
    let hatchback = setting("compact-hatchback", "perimeter-lines", &[]);
    for level in [1, 4] {
        let made = sheet(KIND, &hatchback, level, 1);
        let row = &rows(&made.questions[0].blocks[0])[0];
        assert_eq!(row[0], Cell::given("1L,\u{a0}1R"));
        let fact = |of: &str| fixture::answer(&made, of).unwrap();
        let offset = fixture::word(row.last().unwrap());
        assert!(offset.starts_with('±'));
        assert_eq!(format!("{offset} mm"), fact("1L,\u{a0}1R offset on paper"));
        assert!(!fact("1L,\u{a0}1R station on paper").contains('±'));
    }
    // Wheelbases differ: the marks at the rear wheels do not mirror each other.
    let made = sheet(KIND, &setting("city-car", "perimeter-lines", &[]), 3, 1);
    let rows = rows(&made.questions[0].blocks[0]);
    for id in ["3L", "3R"] {
        assert!(rows.iter().any(|row| row[0] == Cell::given(id)));
    }
}

#[test]
fn levels_have_more_and_more_marks() {
    let setting = setting("estate", "perimeter-lines", &[]);
    let marks = [1, 2, 3, 4].map(|level| {
        let made = sheet(KIND, &setting, level, 1);
        let marks = figure(&made).0.marks.iter().filter(|mark| mark.answer);
        marks.map(|mark| mark.id.clone()).collect::<Vec<_>>()
    });
    assert_eq!(marks[0], ["1L", "1R", "4L", "4R"]);
    assert_eq!(marks.map(|marks| marks.len()), [4, 10, 14, 12]);
}

#[test]
fn a_layout_that_fits_at_no_scale_is_refused_with_the_room_there_is() {
    let setting = setting("estate", "target-line", &[("target_distance", "8 m")]);
    let error = refusal(KIND, &setting, 1);
    assert!(
        error.contains("at 1:50 a sheet has room for 8.5 × 5.5 m") && error.contains("set-out"),
        "{error}"
    );
}

#[test]
fn marks_that_run_together_on_paper_are_refused() {
    let mut setting = setting("delivery-van", "perimeter-lines", &[]);
    sheet(KIND, &setting, 3, 1);
    let mut values = setting.template.values.iter();
    let crosses = values
        .position(|value| value.name == "cross_length")
        .unwrap();
    // At 1:50 the tips of cross lines of 60 mm lie 1.2 mm from the side lines.
    let value = &mut setting.template.values[crosses];
    (value.least, value.most) = (60.0, 60.0);
    setting.plan.template.values[crosses].value = 60.0;
    let error = refusal(KIND, &setting, 3);
    assert!(error.contains("would be 1.2 mm apart on paper"), "{error}");
    sheet(KIND, &setting, 2, 1);
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_a_class_gets_thirty() {
    for template in ["perimeter-lines", "target-line"] {
        let setting = setting("city-car", template, &[]);
        (1..=4).for_each(|level| fixture::a_class_differs(KIND, &setting, level, 30, 28));
    }
}
