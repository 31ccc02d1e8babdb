//! The page to read: its numbers are the plan's, it asks nothing.

use crate::practice::{Block, Draw, Kind, fixture, layout::Drawn};

const KIND: Kind = Kind::Primer;

#[test]
fn the_table_has_the_plans_numbers_and_nothing_is_asked() {
    fixture::all(KIND, |setting, made| {
        assert!(made.questions.is_empty() && made.points() == 0 && made.facts().is_empty());
        let mut draw = Draw::of_sheet(made.seed, KIND, made.level, made.number);
        let drawn = Drawn::new(setting, &mut draw).unwrap();
        let tables: Vec<_> = made
            .given
            .iter()
            .filter(|block| matches!(block, Block::Table { .. }))
            .collect();
        let rows = fixture::rows(tables[1]);
        assert!(rows.len() >= 3, "{rows:?}");
        for row in rows {
            let cells: Vec<&str> = row.iter().map(fixture::word).collect();
            let mut marks = drawn.plan.marks.iter();
            let mark = marks.find(|mark| mark.id == cells[0]).unwrap();
            let expected = [mark.at.x, mark.at.y, mark.two_tape[0], mark.two_tape[1]];
            for (cell, mm) in cells[1..].iter().zip(expected) {
                let printed = fixture::number(cell.trim_start_matches('+'));
                assert!((printed - mm).abs() <= 0.5 + 1e-6, "{row:?}");
            }
        }
    });
}

#[test]
fn the_worked_root_agrees_with_the_table_within_rounding() {
    fixture::all(KIND, |_, made| {
        let text = fixture::text(made);
        let Some((_, root)) = text.split_once('√') else {
            assert!(made.level.number() < 3);
            return;
        };
        let straight = fixture::number(root.split_once(" = ").unwrap().1);
        let table = root.split_once("in the table ").unwrap().1;
        let printed = fixture::number(table.split('.').next().unwrap());
        assert!((straight - printed).abs() <= 0.5 + 0.051, "{root}");
    });
}

#[test]
fn the_same_seed_makes_the_same_page() {
    let setting = fixture::setting("compact-hatchback", "perimeter-lines", &[]);
    fixture::a_class_differs(KIND, &setting, 1, 30, 28);
}
