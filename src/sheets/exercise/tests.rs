use kurbo::{Point, Rect};

use super::*;

use crate::{
    drawing::{Item, heights},
    page::{drawing_space, text_box},
    practice::{
        AnswerKey, Block, COURSE, Cell, Exercise, Figure, FigureMark, FigureScale, Kind, Lesson,
        Level, MarkingList, Question, WrongAnswer,
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
        panels: Vec::new(),
        answer_panels: Vec::new(),
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
        code: "ABC347".to_owned(),
        name: None,
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
                .one_of(words(&["1L", "1R", "4L", "4R", "none"]), 1)
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
        (
            "squared",
            vec![
                figure(FigureScale::Squared {
                    n: 40,
                    ruling: crate::practice::Ruling::Metric,
                }),
                table(3),
            ],
        ),
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
    let exercise = exercise(
        1,
        vec![
            table(2),
            figure(FigureScale::Squared {
                n: 40,
                ruling: crate::practice::Ruling::Metric,
            }),
        ],
    );
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
    for both in ["ABC347", "Which mark is off?", "4 points", "page 1 of 1"] {
        assert!(sheet.contains(both) && key.contains(both), "{both}");
    }
    let command = "baystencil practice --kinds square --level 2 --seed 4711 --first 1";
    assert!(key.contains(command) && !sheet.contains("4711"));
    assert!(sheet.contains("/ 8 points") && !key.contains("Date"));
}

#[test]
fn what_asks_nothing_is_not_handed_in_and_has_no_answers() {
    let paper = &papers()[0];
    let on = PracticePaper { paper, origin: "" };
    let read = Exercise {
        questions: Vec::new(),
        wrong: Vec::new(),
        ..exercise(1, Vec::new())
    };
    let sheet = exercise_sheet(&read, &on);
    assert_eq!(sheet.len(), 1);
    for words in ["Name", "Date", "points"] {
        let mut texts = sheet[0].texts().into_iter();
        assert!(!texts.any(|text| text.content.contains(words)), "{words}");
    }
    assert!(answer_sheet(&read, &on).is_empty());
    assert!(key_table(&[read.key()], &on, "").is_empty());
    let asked = exercise(1, Vec::new());
    let [alone, both] = [vec![asked.key()], vec![read.key(), asked.key()]]
        .map(|keys| key_table(&keys, &on, "").len());
    assert_eq!(alone, both);
}

#[test]
fn a_figure_to_scale_is_to_scale_on_every_paper() {
    let Block::Figure(shown) = figure(FigureScale::Squared {
        n: 40,
        ruling: crate::practice::Ruling::Metric,
    }) else {
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

#[test]
fn a_class_of_twenty_is_marked_on_one_page_and_the_course_stands_on_another() {
    let sheets: Vec<(Kind, Level)> = COURSE.iter().flat_map(Lesson::sheets).collect();
    let of_lesson = |(number, lesson): (usize, &Lesson)| vec![number; lesson.sheets().count()];
    let lessons: Vec<usize> = (1..).zip(&COURSE).flat_map(of_lesson).collect();
    let keys = (1..=20).flat_map(|number| {
        sheets.iter().map(move |&(kind, level)| {
            let mut made = exercise(number, vec![]);
            (made.kind, made.level, made.number) = (kind, level, number);
            made.name = Some(format!("Trainee with a rather long name {number}"));
            made.key()
        })
    });
    let keys: Vec<AnswerKey> = keys.collect();
    let list = MarkingList::of(&keys, &sheets, &lessons);
    assert_eq!((list.trainees.len(), list.sheets.len()), (20, sheets.len()));
    let made: Vec<_> = sheets
        .iter()
        .map(|&(kind, level)| (kind, level, 8))
        .collect();
    for paper in papers() {
        let on = PracticePaper {
            paper: &paper,
            origin: "--vehicle random",
        };
        let marking = marking_pages(&list, &on, "--course --seed 1");
        let wide = Paper {
            width: paper.height,
            height: paper.width,
            ..paper.clone()
        };
        assert_eq!(marking.len(), 1, "{}", paper.name);
        clean(&marking[0], &wide, "marking sheet", heights::TEXT);
        let texts: Vec<String> = marking[0]
            .texts()
            .iter()
            .map(|text| text.content.clone())
            .collect();
        let named = texts
            .iter()
            .filter(|text| text.starts_with("Trainee with a"));
        assert_eq!(named.count(), 20);
        let course = course_pages(&COURSE, &made, &on, "--course --seed 1");
        assert_eq!(course.len(), 1, "{}", paper.name);
        clean(&course[0], &paper, "course", heights::SMALL);
    }
}
