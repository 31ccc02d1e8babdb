//! Setting out on paper: paper against floor, the figure within its room, what does not go.

use crate::practice::{
    Block, Cell, Exercise, FIGURE_ROOM, Figure, FigureScale, Kind, Level, fixture,
};

const KIND: Kind = Kind::SetOut;

fn figure(exercise: &Exercise) -> &Figure {
    let blocks = exercise
        .questions
        .iter()
        .flat_map(|question| &question.blocks);
    let mut figures = blocks.filter_map(|block| match block {
        Block::Figure(figure) => Some(&**figure),
        _ => None,
    });
    figures.next().unwrap()
}

fn number(text: &str) -> f64 {
    text.replace(" mm", "")
        .replace('±', "")
        .replace('\u{2212}', "-")
        .parse()
        .unwrap()
}

#[test]
fn figures_fit_the_room_with_every_mark_and_lie_on_the_squares() {
    fixture::all(KIND, |_, made| {
        let figure = figure(made);
        let FigureScale::Squared(n) = figure.scale else {
            panic!("not squared")
        };
        let n = f64::from(n);
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
        let FigureScale::Squared(n) = figure(made).scale else {
            panic!("not squared")
        };
        let (mut compared, facts) = (0, made.facts());
        for fact in &facts {
            let Some(of) = fact.of.strip_suffix(" on paper") else {
                continue;
            };
            let paper = number(&fact.answer);
            assert_eq!((paper * 2.0).fract(), 0.0);
            // With compasses the floor's stations and offsets are not asked.
            let Some(floor) = facts.iter().find(|other| other.of == of) else {
                continue;
            };
            compared += 1;
            let rounding = 0.25 + 0.5 / f64::from(n) + 1e-9;
            assert!(
                (number(&floor.answer) / f64::from(n) - paper).abs() <= rounding,
                "{fact:?} {floor:?}"
            );
        }
        assert!(compared >= 2);
    });
}

#[test]
fn circles_about_the_base_marks_meet_where_station_and_offset_say() {
    let setting = fixture::setting("compact-hatchback", "perimeter-lines", &[]);
    let made = KIND.exercise(&setting, Level::ALL[3], 1, 1).unwrap();
    let base = |id: &str| {
        figure(&made)
            .marks
            .iter()
            .find(|mark| mark.id == id)
            .unwrap()
            .at
            .x
            / 50.0
    };
    assert_eq!(figure(&made).scale, FigureScale::Squared(50));
    let Block::Table { rows, .. } = &made.questions[0].blocks[0] else {
        panic!("no table")
    };
    for row in rows {
        let value = |column: usize| match &row[column] {
            Cell::Given(text) | Cell::Blank(text) => number(text),
        };
        for (column, id) in [(3, "1C"), (4, "4C")] {
            // Station, offset and radius are each a quarter of a millimetre off at most.
            let off = (value(5) - base(id)).hypot(value(6)) - value(column);
            assert!(off.abs() <= 0.75, "{row:?}");
        }
    }
}

#[test]
fn a_row_of_two_marks_answers_for_both_and_the_right_one_has_the_other_sign() {
    let setting = fixture::setting("compact-hatchback", "perimeter-lines", &[]);
    for level in [0, 3] {
        let made = KIND.exercise(&setting, Level::ALL[level], 1, 1).unwrap();
        let Block::Table { rows, .. } = &made.questions[0].blocks[0] else {
            panic!("no table")
        };
        assert_eq!(rows[0][0], Cell::Given("1L,\u{a0}1R".to_owned()));
        let Some(Cell::Blank(offset)) = rows[0].last() else {
            panic!("no offset")
        };
        let fact = |of: &str| {
            made.facts()
                .iter()
                .find(|fact| fact.of == of)
                .unwrap()
                .answer
                .clone()
        };
        let (left, right) = (fact("1L offset on paper"), fact("1R offset on paper"));
        assert_eq!(format!("{offset} mm"), format!("±{left}"));
        assert_eq!(
            (right, fact("1R station on paper")),
            (format!("\u{2212}{left}"), fact("1L station on paper"))
        );
    }
    // Wheelbases differ: the marks at the rear wheels do not mirror each other.
    let made = KIND
        .exercise(
            &fixture::setting("city-car", "perimeter-lines", &[]),
            Level::ALL[2],
            1,
            1,
        )
        .unwrap();
    let Block::Table { rows, .. } = &made.questions[0].blocks[0] else {
        panic!("no table")
    };
    assert!(
        ["3L", "3R"]
            .map(|id| Cell::Given(id.to_owned()))
            .iter()
            .all(|id| rows.iter().any(|row| row[0] == *id))
    );
}

#[test]
fn levels_have_more_and_more_marks() {
    let setting = fixture::setting("estate", "perimeter-lines", &[]);
    let marks = Level::ALL.map(|level| {
        let made = KIND.exercise(&setting, level, 1, 1).unwrap();
        figure(&made)
            .marks
            .iter()
            .filter(|mark| mark.answer)
            .map(|mark| mark.id.clone())
            .collect::<Vec<_>>()
    });
    assert_eq!(marks[0], ["1L", "1R", "4L", "4R"]);
    assert_eq!(marks[1].len(), 10);
    assert_eq!((marks[2].len(), marks[3].len()), (14, 12));
}

#[test]
fn a_layout_that_fits_at_no_scale_is_refused_with_the_room_there_is() {
    let setting = fixture::setting("estate", "target-line", &[("target_distance", "8 m")]);
    let error = KIND
        .exercise(&setting, Level::ALL[0], 1, 1)
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("at 1:50 a sheet has room for 8.5 × 5.5 m") && error.contains("set-out"),
        "{error}"
    );
}

#[test]
fn marks_that_run_together_on_paper_are_refused() {
    let mut setting = fixture::setting("delivery-van", "perimeter-lines", &[]);
    assert!(KIND.exercise(&setting, Level::ALL[2], 1, 1).is_ok());
    let crosses = setting
        .template
        .values
        .iter()
        .position(|value| value.name == "cross_length")
        .unwrap();
    // At 1:50 the tips of cross lines of 60 mm lie 1.2 mm from the side lines.
    (
        setting.template.values[crosses].least,
        setting.template.values[crosses].most,
    ) = (60.0, 60.0);
    setting.plan.template.values[crosses].value = 60.0;
    let error = KIND
        .exercise(&setting, Level::ALL[2], 1, 1)
        .unwrap_err()
        .to_string();
    assert!(error.contains("would be 1.2 mm apart on paper"), "{error}");
    assert!(KIND.exercise(&setting, Level::ALL[1], 1, 1).is_ok());
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_a_class_gets_thirty() {
    for template in ["perimeter-lines", "target-line"] {
        let setting = fixture::setting("city-car", template, &[]);
        Level::ALL
            .into_iter()
            .for_each(|level| fixture::a_class_differs(KIND, &setting, level, 28));
    }
}
