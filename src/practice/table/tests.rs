//! Tables: answers against the plan, identities on the printed numbers, sheets of a class.

use crate::practice::{Block, Draw, Kind, fixture, fixture::number, layout::Drawn};

const KIND: Kind = Kind::Table;

#[test]
fn every_answer_is_the_plans_in_whole_millimetres() {
    fixture::all(KIND, |setting, made| {
        let mut draw = Draw::of_sheet(made.seed, KIND, made.level, made.number);
        let drawn = Drawn::in_sums(setting, made.level, &mut draw).unwrap();
        let plan = drawn.plan;
        let mark = |id: &str| plan.marks.iter().find(|mark| mark.id == id).unwrap();
        let mut compared = 0;
        for fact in &made.facts() {
            let words: Vec<&str> = fact.of.split(' ').collect();
            let expected = match words[..] {
                [id, "station"] => mark(id).at.x,
                [id, "offset"] => mark(id).at.y,
                [from, "from", to] => mark(from).at.distance(mark(to).at),
                [from, _, to, "distance"] => mark(from).at.distance(mark(to).at),
                ["tyre", "width"] => plan.vehicle.wheels[0].width,
                _ => continue,
            };
            compared += 1;
            assert_eq!(fact.answer, drawn.ruling.answer(expected), "{fact:?}");
        }
        assert!(compared >= 3, "{}", fixture::text(made));
    });
}

#[test]
fn the_square_of_a_distance_is_the_sum_of_the_printed_squares_within_rounding() {
    fixture::all(KIND, |_, made| {
        for block in made.questions.iter().flat_map(|question| &question.blocks) {
            let Block::Table { columns, rows } = block else {
                continue;
            };
            for row in rows {
                let value = |column: usize| number(fixture::word(&row[column]));
                if columns[0] == "From \u{2013} to" {
                    let [along, across, straight] = [1, 2, 3].map(value);
                    // Half a millimetre in each changes its square by as much as the number itself.
                    let off = (straight * straight - along * along - across * across).abs();
                    assert!(off <= straight + along + across + 1.0, "{row:?}");
                } else if columns[0].starts_with("D1") {
                    let [left, right, difference] = [0, 1, 2].map(value);
                    assert!(((left - right).abs() - difference).abs() < 1e-6, "{row:?}");
                    let allowed = made.questions.last().unwrap().text.rsplit_once("here to ");
                    assert!(difference <= number(allowed.unwrap().1.trim_end_matches('.')));
                }
            }
        }
    });
}

#[test]
fn worked_answers_put_the_hatchbacks_numbers_in() {
    let setting = fixture::setting("compact-hatchback", "perimeter-lines", &[]);
    let made = fixture::sheet(KIND, &setting, 2, 4711);
    let text = fixture::text(&made);
    let gap = |name: &str| number(text.split_once(&format!("{name} ")).unwrap().1);
    let fact = |of: &str| number(&fixture::answer(&made, of).unwrap());
    // From the spec by hand: overhang 870, wheelbase 2620, rear overhang 790; tracks 1540 and 1535, tyre 214 mm.
    assert_eq!(fact("1L station"), 870.0 + gap("front gap"));
    assert_eq!(fact("4R station"), -2620.0 - 790.0 - gap("rear gap"));
    assert_eq!(fact("1R offset"), -(770.0 + 107.0 + gap("side gap")));
    let mut wrong = made.wrong.iter();
    assert!(wrong.any(|wrong| wrong.meaning.contains("half the tyre width")));
}

#[test]
fn the_highest_level_works_with_a_size_code_and_with_unequal_wheelbases_where_the_vehicle_has_them()
{
    let text = |vehicle: &str| {
        let setting = fixture::setting(vehicle, "perimeter-lines", &[]);
        fixture::text(&fixture::sheet(KIND, &setting, 4, 1))
    };
    // 205/55R16 on a 6.5 in rim: 214 mm (computed in the shared reference by UN R30 6.1.1.1).
    let hatchback = text("compact-hatchback");
    assert!(
        hatchback.contains("205/55R16 | [214]") && !hatchback.contains("tyre width |"),
        "{hatchback}"
    );
    let city = text("city-car");
    assert!(
        city.contains("wheelbase left | 2345 mm") && city.contains("wheelbase right | 2320 mm"),
        "{city}"
    );
    assert!(text("delivery-van").contains("tyre width | 236 mm"));
}

#[test]
fn levels_ask_for_more_and_more() {
    let setting = fixture::setting("estate", "perimeter-lines", &[]);
    let blanks = [1, 2, 3, 4].map(|level| fixture::sheet(KIND, &setting, level, 1).facts().len());
    assert_eq!(blanks[0], 4);
    assert!(
        blanks[0] < blanks[2] && blanks[2] < blanks[1] && blanks[1] < blanks[3],
        "{blanks:?}"
    );
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_a_class_gets_thirty() {
    for template in [
        "perimeter-lines",
        "side-and-end-panels",
        "target-line",
        "rear-corner-arcs",
    ] {
        let setting = fixture::setting("delivery-van", template, &[]);
        (1..=4).for_each(|level| fixture::a_class_differs(KIND, &setting, level, 30, 28));
    }
}
