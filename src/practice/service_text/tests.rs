//! The service text: the answers put in as values give the drawn layout, and levels state them in other ways.

use crate::{
    plan::{FloorPlan, Setting as Given},
    practice::{Block, Draw, Exercise, Kind, Setting, fixture, layout::Drawn},
    source::Place,
    units::parse_length,
};

const KIND: Kind = Kind::ServiceText;

/// The layout that the answers make, set as the key has them.
fn resolved(setting: &Setting, drawn: &Drawn, made: &Exercise) -> FloorPlan {
    let values = made.facts().into_iter().map(|fact| Given {
        name: fact.of.replace(' ', "_"),
        text: fact.answer.to_string().replace('°', " deg"),
        place: Place::whole("test"),
    });
    let values: Vec<Given> = values.collect();
    FloorPlan::resolve(&drawn.vehicle, &setting.template, &values, None).unwrap()
}

#[test]
fn the_answers_put_in_as_values_give_the_drawn_layout_in_both_units() {
    let check = |setting: &Setting, made: &Exercise| {
        let mut draw = Draw::of_sheet(made.seed, KIND, made.level, made.number);
        let drawn = Drawn::new(setting, &mut draw).unwrap();
        let plan = resolved(setting, &drawn, made);
        assert_eq!(plan.marks.len(), drawn.plan.marks.len());
        for (one, other) in plan.marks.iter().zip(&drawn.plan.marks) {
            assert!(one.at.distance(other.at) < 1e-6, "{}", fixture::text(made));
        }
    };
    fixture::all(KIND, check);
    for mut setting in fixture::settings() {
        setting.inches = true;
        for level in 1..=4 {
            let made = fixture::sheet(KIND, &setting, level, 5);
            assert!(!text_of(&made).contains(" mm"), "{}", text_of(&made));
            check(&setting, &made);
        }
    }
}

/// The paragraph.
fn text_of(made: &Exercise) -> &str {
    let mut blocks = made.given.iter();
    blocks
        .find_map(|block| match block {
            Block::Text(text) if text.starts_with('“') => Some(text.as_str()),
            _ => None,
        })
        .unwrap()
}

#[test]
fn the_first_level_states_each_value_as_it_is_and_the_last_one_does_not() {
    let setting = fixture::setting("compact-hatchback", "perimeter-lines", &[]);
    for seed in 1..20 {
        let plain = fixture::sheet(KIND, &setting, 1, seed);
        let gap = fixture::answer(&plain, "front gap").unwrap();
        assert!(text_of(&plain).contains(&gap), "{}", text_of(&plain));
        let turned = fixture::sheet(KIND, &setting, 4, seed);
        let gap = parse_length(&fixture::answer(&turned, "front gap").unwrap()).unwrap();
        let text = text_of(&turned);
        // The overhang of the hatchback is 870 mm.
        let stated = [
            format!("{} mm", gap + 870.0),
            format!("{} cm", (gap + 870.0) / 10.0),
            format!("{} m", (gap + 870.0) / 1000.0),
        ];
        assert!(stated.iter().any(|words| text.contains(words)), "{text}");
    }
}

#[test]
fn from_level_2_on_there_are_numbers_that_no_layout_needs() {
    let setting = fixture::setting("city-car", "side-and-end-panels", &[]);
    for level in 1..=4 {
        let made = fixture::sheet(KIND, &setting, level, 3);
        let clear = text_of(&made).contains("of floor clear all around");
        assert_eq!(clear, level > 1, "{}", text_of(&made));
    }
}

#[test]
fn the_same_seed_makes_the_same_sheet_and_a_class_gets_thirty() {
    for template in ["perimeter-lines", "target-line", "rear-corner-arcs"] {
        let setting = fixture::setting("delivery-van", template, &[]);
        (1..=4).for_each(|level| fixture::a_class_differs(KIND, &setting, level, 30, 28));
    }
}
