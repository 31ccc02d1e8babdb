//! What sheet 0 says, and that all of it is there.

use crate::{
    cover::{Content, Heading, Mode, cover},
    drawing::Item,
    job::Record,
    sheets::{
        cover_page,
        shared::{FloorArt, fixture},
    },
    survey::{ErrorBudget, LayingFloor, Precision},
    units::mm_text,
    words::{
        floor_place,
        printed::{
            joining::holding,
            keys, pieces,
            sheet_zero::{printing, working},
        },
    },
};

#[test]
fn every_piece_of_the_mat_begins_with_a_sheet_laid_by_tape() {
    let format = fixture::format(fixture::A4);
    let sheets = fixture::sheets(
        &format,
        Heading::FrontUp,
        (0.0, 0.0),
        (2, 5),
        |_, column| column % 2 == 0,
    );
    assert_eq!(sheets.groups().len(), 3);
    let plan = fixture::grid_plan();
    let words = format!("{:?}", working(&plan, false, &sheets));
    assert!(
        words.contains("from 0, the floor point between the front wheel"),
        "{words}"
    );
    let rows = pieces::rows(&plan, &sheets, false);
    let labels: Vec<&str> = rows.iter().map(|row| row[0].as_str()).collect();
    assert_eq!(labels, ["1", "2", "3"]);
}

#[test]
fn sheets_with_the_front_to_the_right_say_from_which_side_they_are_read() {
    let format = fixture::format(fixture::A4);
    let plan = fixture::sheets(&format, Heading::FrontRight, (0.0, 0.0), (1, 1), |_, _| {
        true
    });
    assert!(
        holding(&plan).paragraphs[0].contains("stand on the right of the vehicle and look left")
    );
}

#[test]
fn sheet_0_says_all_of_it_and_names_every_mark_on_its_map() {
    let (plan, record) = (fixture::grid_plan(), Record::default());
    let context = fixture::context(&plan, &record, false);
    for paper in [fixture::A4, fixture::LETTER, fixture::A5] {
        let sheets = cover(&Content::of(&plan), &fixture::format(paper), Mode::Keys).unwrap();
        let budget = ErrorBudget::of(&plan, &Precision::default(), &[], 100.0);
        let pages = cover_page(
            &context,
            &FloorArt::of(&plan),
            &sheets,
            &budget,
            &fixture::takes(&plan),
            sheets.pages,
        );
        let texts = pages.iter().flat_map(|page| &page.items);
        let texts = texts.filter_map(|item| {
            if let Item::Text(text) = item {
                Some(text.content.as_str())
            } else {
                None
            }
        });
        // The paragraphs' numbers are drawn after their first lines.
        let lines: Vec<&str> = texts.filter(|text| text.parse::<u8>().is_err()).collect();
        let words = lines.join(" ");
        for paragraph in printing(&sheets, false)
            .into_iter()
            .chain(working(&plan, false, &sheets))
            .flat_map(|s| s.paragraphs)
        {
            let end: Vec<&str> = paragraph.split_whitespace().rev().take(4).collect();
            let end: Vec<&str> = end.into_iter().rev().collect();
            assert!(
                words.contains(&end.join(" ")),
                "{paragraph} is cut off on {paper:?}"
            );
        }
        assert!(
            plan.marks
                .iter()
                .all(|mark| lines.contains(&mark.id.as_str())),
            "{paper:?}: {lines:?}"
        );
    }
}

#[test]
fn the_words_name_the_two_marks_that_the_tapes_start_from() {
    let plan = fixture::grid_plan();
    for words in [
        format!("{:?}", keys::working(&plan)),
        format!("{:?}", keys::in_short(&plan)),
    ] {
        assert!(
            words.contains("1C")
                && words.contains("4C")
                && words.contains("between the front wheel"),
            "{words}"
        );
    }
}

#[test]
fn rows_of_the_table_name_two_points_of_their_sheet_and_check_only_what_lies_with_nothing_in_the_way()
 {
    let mut plan = fixture::grid_plan();
    // Without the strips across it the vehicle stands there.
    plan.lines
        .retain(|line| plan.marks[line.from].at.y == plan.marks[line.to].at.y);
    assert_eq!(LayingFloor::of(&plan), LayingFloor::VehicleStands);
    let sheets = cover(
        &Content::of(&plan),
        &fixture::format(fixture::A4),
        Mode::Lines,
    )
    .unwrap();
    let rows = pieces::rows(&plan, &sheets, false);
    assert_eq!(rows.len(), sheets.laid_by_tape().len());
    let at = |name: &str| {
        plan.marks
            .iter()
            .find(|mark| mark.id == name)
            .map(|mark| mark.at)
    };
    let mut lying: Vec<String> = Vec::new();
    let mut checked = 0;
    for row in &rows {
        if let Some(place) = at(&row[1]) {
            assert_eq!(row[2..4], floor_place(place, mm_text));
        }
        if let Some((from, to)) = row[7]
            .split(' ')
            .next()
            .and_then(|pair| pair.split_once('–'))
        {
            assert!(
                lying.iter().any(|name| name == from) && to == row[1],
                "{row:?}"
            );
            let (a, b) = (at(from).unwrap(), at(to).unwrap());
            assert!(LayingFloor::VehicleStands.tape_lies(&plan, a, b), "{row:?}");
            checked += 1;
        }
        lying.push(row[1].clone());
    }
    assert!(checked >= 4, "{rows:?}");
    // The two marks that tapes start from, then the four corners.
    let first: Vec<&str> = lying.iter().take(6).map(String::as_str).collect();
    assert_eq!(first[..2], ["1C", "4C"]);
    let mut corners = first[2..].to_vec();
    corners.sort_unstable();
    assert_eq!(corners, ["1L", "1R", "4L", "4R"], "{rows:?}");
}
