use kurbo::{Point, Rect};

use super::*;

use crate::{
    drawing::{Item, heights},
    page::{drawing_space, text_box},
    practice::{
        Block, Cell, Exercise, Figure, FigureMark, FigureScale, Kind, Level, Question, WrongAnswer,
    },
    sheets::shared::overview_fixture,
};

pub(super) fn papers() -> [Paper; 2] {
    let [a4, letter, ..] = Paper::known();
    [a4, letter]
}

fn words(list: &[&str]) -> Vec<String> {
    list.iter().map(|word| (*word).to_owned()).collect()
}

fn figure(scale: FigureScale) -> Block {
    let plan = overview_fixture::SHAPES[0].1(overview_fixture::SHORTEST);
    let mark = |index: usize, mark: &crate::plan::Mark| FigureMark {
        id: mark.id.clone(),
        at: mark.at,
        answer: index.is_multiple_of(3),
        note: if index.is_multiple_of(2) {
            "+12 mm".to_owned()
        } else {
            String::new()
        },
    };
    let marks: Vec<FigureMark> = plan
        .marks
        .iter()
        .enumerate()
        .map(|(index, at)| mark(index, at))
        .collect();
    let extent = marks
        .iter()
        .fold(plan.vehicle.body(), |extent, mark| extent.union_pt(mark.at))
        .inflate(200.0, 200.0);
    let ends = |from: usize, to: usize| [marks[from].at, marks[to].at];
    Block::Figure(Box::new(Figure {
        vehicle: Some(plan.vehicle),
        lines: vec![ends(0, marks.len() - 1)],
        answer_lines: vec![ends(1, marks.len() - 2)],
        marks,
        scale,
        extent,
        caption: "Seen from above, front to the right.".to_owned(),
    }))
}

fn table(rows: usize) -> Block {
    let row = |index: usize| {
        vec![
            Cell::Given(format!("{}L", index + 1)),
            Cell::Given("1234.5".into()),
            Cell::Blank(format!("secret {index}")),
            Cell::Blank("−87".into()),
        ]
    };
    Block::Table {
        columns: words(&[
            "Mark",
            "Station, mm",
            "Distance from 1C, mm",
            "Offset to the left of the centreline, mm",
        ]),
        rows: (0..rows).map(row).collect(),
    }
}

fn exercise(number: usize, blocks: Vec<Block>) -> Exercise {
    let first =
        "Work out what is missing, to a tenth of a millimetre, with the numbers that are given.";
    let first = blocks
        .into_iter()
        .fold(Question::new(first, 4), Question::block);
    Exercise {
        model: None,
        kind: Kind::Square,
        level: Level::ALL[1],
        seed: 4711,
        number,
        subject: "compact hatchback (demo, varied) · perimeter lines".to_owned(),
        given: vec![Block::text(
            "The marks lie on the floor, and these distances were taped between them.",
        )],
        questions: vec![
            first
                .worked(words(&["d = √(x² + y²)", "= √(3000² + 4000²) = 5000 mm"]))
                .answer("1R distance", format!("{number}000 mm")),
            Question::new("Which mark is off?", 1)
                .choices(words(&["1L", "1R", "4L", "4R", "none"]), vec![1])
                .answer("mark off", "1R"),
            Question::new(
                "How do you know? Name the reading that tells, and say what you would do next.",
                3,
            )
            .lines(3),
        ],
        wrong: vec![WrongAnswer::new(
            "7000 mm",
            "added the two sides in place of their squares",
        )],
    }
}

pub(super) fn clean(page: &Drawing, paper: &Paper, name: &str, least: f64) {
    let space = drawing_space(paper).inflate(0.01, 0.01);
    let texts = page.texts();
    let boxes: Vec<Rect> = texts.iter().map(|text| text_box(text)).collect();
    for (index, text) in texts.iter().enumerate() {
        let one = boxes[index];
        assert!(
            space.contains_rect(one),
            "{name}: {text:?} leaves the frame"
        );
        assert!(text.height >= least - 1e-9, "{name}: {text:?}");
        for (other, under) in boxes.iter().zip(&texts).skip(index + 1) {
            // Descenders and accents of stacked lines may touch; letters may not.
            let (one, other) = (one.inset(-0.3), other.inset(-0.3));
            assert!(
                one.intersect(other).is_zero_area(),
                "{name}: {text:?} on {under:?}"
            );
        }
    }
    for item in &page.items {
        let Item::Path(path) = item else { continue };
        let bounds = kurbo::Shape::bounding_box(&path.outline);
        assert!(
            Rect::new(0.0, 0.0, paper.width, paper.height).contains_rect(bounds),
            "{name}: {bounds:?}"
        );
    }
}

fn variants() -> Vec<(&'static str, Vec<Block>)> {
    vec![
        ("table", vec![table(5)]),
        ("long table", vec![table(60)]),
        ("fitting", vec![figure(FigureScale::Fitting), table(3)]),
        ("squared", vec![figure(FigureScale::Squared(40)), table(3)]),
        ("lines", vec![Block::Lines(60)]),
    ]
}

#[test]
fn nothing_overlaps_leaves_the_frame_or_is_too_small_to_copy() {
    for (name, blocks) in variants() {
        let exercise = exercise(7, blocks);
        for paper in papers() {
            let on = PracticePaper {
                paper: &paper,
                origin: "--vehicle random",
            };
            for page in exercise_sheet(&exercise, &on)
                .iter()
                .chain(&answer_sheet(&exercise, &on))
            {
                clean(
                    page,
                    &paper,
                    &format!("{name} {}", paper.name),
                    heights::TEXT,
                );
            }
        }
    }
}

#[test]
fn an_ordinary_exercise_is_one_page_and_a_long_one_loses_no_row() {
    for paper in papers() {
        let on = PracticePaper {
            paper: &paper,
            origin: "",
        };
        for (name, blocks) in variants() {
            let pages = exercise_sheet(&exercise(1, blocks), &on);
            let long = ["long table", "lines"].contains(&name);
            assert_eq!(pages.len() == 1, !long, "{name} {}", paper.name);
        }
        let pages = answer_sheet(&exercise(1, vec![table(60)]), &on);
        let found = pages
            .iter()
            .flat_map(Drawing::texts)
            .filter(|text| text.content.starts_with("secret "))
            .count();
        assert_eq!(found, 60);
    }
}

#[test]
fn the_trainees_sheet_does_not_give_the_answers_away() {
    let paper = &papers()[0];
    let on = PracticePaper { paper, origin: "" };
    let exercise = exercise(1, vec![table(2), figure(FigureScale::Squared(40))]);
    let all = |pages: &[Drawing]| {
        let words: Vec<String> = pages
            .iter()
            .flat_map(Drawing::texts)
            .map(|text| text.content.clone())
            .collect();
        words.join("\n")
    };
    let (sheet, key) = (
        all(&exercise_sheet(&exercise, &on)),
        all(&answer_sheet(&exercise, &on)),
    );
    for answer in [
        "secret 0",
        "−87",
        "√(3000² + 4000²)",
        "7000 mm",
        "added the two sides",
    ] {
        assert!(!sheet.contains(answer) && key.contains(answer), "{answer}");
    }
    for both in [
        "seed 4711 · square · level 2 · sheet 1",
        "Which mark is off?",
        "4 points",
        "page 1 of 1",
    ] {
        assert!(sheet.contains(both) && key.contains(both), "{both}");
    }
    assert!(sheet.contains("/ 8 points") && !key.contains("Date"));
}

#[test]
fn a_figure_to_scale_is_to_scale_on_every_paper() {
    let Block::Figure(shown) = figure(FigureScale::Squared(40)) else {
        panic!()
    };
    let body = shown.vehicle.as_ref().unwrap().body();
    for paper in papers() {
        let on = PracticePaper {
            paper: &paper,
            origin: "",
        };
        let pages = exercise_sheet(&exercise(1, vec![Block::Figure(shown.clone())]), &on);
        let found = pages[0].items.iter().any(|item| match item {
            Item::Path(path) => {
                let bounds = kurbo::Shape::bounding_box(&path.outline);
                (bounds.width() - body.width() / 40.0).abs() < 1e-9
                    && (bounds.height() - body.height() / 40.0).abs() < 1e-9
            }
            Item::Text(_) => false,
        });
        assert!(found, "{}", paper.name);
    }
}

#[test]
fn every_mark_of_a_figure_is_named() {
    let paper = &papers()[1];
    let Block::Figure(shown) = figure(FigureScale::Fitting) else {
        panic!()
    };
    let marks: Vec<FigureMark> = (0..24)
        .map(|index| FigureMark {
            id: format!("M{index}"),
            at: Point::new(
                -60.0 * f64::from(index),
                if index % 2 == 0 { 400.0 } else { 520.0 },
            ),
            answer: false,
            note: format!("{index} mm"),
        })
        .collect();
    let crowded = Block::Figure(Box::new(Figure { marks, ..*shown }));
    let pages = exercise_sheet(
        &exercise(1, vec![crowded]),
        &PracticePaper { paper, origin: "" },
    );
    let named = pages
        .iter()
        .flat_map(Drawing::texts)
        .filter(|text| text.content.starts_with('M'))
        .count();
    assert_eq!(named, 24);
}
