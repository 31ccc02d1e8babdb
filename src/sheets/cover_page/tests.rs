//! Sheet 0 as a whole: nothing is lost, cut off or laid on anything else.

use super::*;

use crate::{
    cover::Heading,
    job::Record,
    page::{labels::overlap, text_box},
    sheets::shared::fixture,
    stencil::{CutNote, HandCut},
    survey::Precision,
};

fn covers(
    paper: (&str, f64, f64),
    heading: Heading,
    counts: (usize, usize),
) -> (Vec<Drawing>, SheetPlan) {
    let plan = fixture::grid_plan();
    let format = fixture::format(paper);
    let keep = |row: usize, column: usize| row.is_multiple_of(4) || column.is_multiple_of(4);
    let sheets = fixture::sheets(&format, heading, (-5000.0, 1400.0), counts, keep);
    let record = Record::default();
    let context = fixture::context(&plan, &record, false);
    let budget = ErrorBudget::of(&plan, &Precision::default(), &[], 272.0);
    let pages = cover_page(
        &context,
        &FloorArt::of(&plan),
        &sheets,
        &budget,
        &fixture::takes(&plan),
        sheets.sheets.len(),
    );
    (pages, sheets)
}

fn texts(pages: &[Drawing]) -> Vec<&Text> {
    pages.iter().flat_map(Drawing::texts).collect()
}

#[test]
fn no_sentence_on_cutting_by_hand_is_lost() {
    let plan = fixture::grid_plan();
    let cut = HandCut {
        openings: vec![],
        bridge: 6.0,
        notes: vec![
            CutNote::SeamAlong("1L–2L".to_owned()),
            CutNote::SeamWithoutLap("1R–2R".to_owned()),
        ],
    };
    let art = FloorArt::of(&plan).with_knife(&cut);
    let record = Record::default();
    let context = fixture::context(&plan, &record, true);
    let budget = ErrorBudget::of(&plan, &Precision::default(), &[], 272.0);
    for paper in [fixture::A4, fixture::LETTER] {
        let (_, sheets) = covers(paper, Heading::FrontUp, (3, 5));
        let takes = fixture::takes(&plan);
        let pages = cover_page(&context, &art, &sheets, &budget, &takes, 15);
        let pages = texts(&pages);
        let lines = pages
            .iter()
            .filter(|text| text.content.parse::<u8>().is_err());
        let words: Vec<&str> = lines.flat_map(|text| text.content.split(' ')).collect();
        let words = words.join(" ");
        let section = hand_cut::section(&cut, &sheets, Lengths { inches: true });
        assert!(section.paragraphs.len() >= 5);
        for paragraph in section.paragraphs {
            let end: Vec<&str> = paragraph.split(' ').rev().take(3).collect();
            let end: Vec<&str> = end.into_iter().rev().collect();
            assert!(words.contains(&end.join(" ")), "{paragraph} is cut off");
        }
    }
}

#[test]
fn no_sentence_of_the_instructions_is_lost() {
    // With few sheets all of it stands on one page; what goes on on the next is broken by its header.
    for paper in [fixture::A4, fixture::LETTER] {
        for (heading, counts) in [(Heading::FrontUp, (3, 5)), (Heading::FrontRight, (1, 5))] {
            let (pages, sheets) = covers(paper, heading, counts);
            // The paragraphs' numbers are drawn after their first lines.
            let pages = texts(&pages);
            let lines = pages
                .iter()
                .filter(|text| text.content.parse::<u8>().is_err());
            let words: Vec<&str> = lines.flat_map(|text| text.content.split(' ')).collect();
            let words = words.join(" ");
            let plan = fixture::grid_plan();
            let sections = printing(&sheets, false)
                .into_iter()
                .chain(working(&plan, false, &sheets));
            for paragraph in sections.flat_map(|section| section.paragraphs) {
                let end: Vec<&str> = paragraph.split(' ').rev().take(4).collect();
                let end: Vec<&str> = end.into_iter().rev().collect();
                assert!(
                    words.contains(&end.join(" ")),
                    "{paragraph} is cut off on {paper:?}"
                );
            }
        }
    }
}

#[test]
fn nothing_leaves_the_printable_part_and_no_lettering_overlaps() {
    for paper in [fixture::A5, fixture::A4, fixture::LETTER] {
        for (heading, counts) in [(Heading::FrontUp, (9, 5)), (Heading::FrontRight, (3, 12))] {
            let (pages, sheets) = covers(paper, heading, counts);
            let printable = sheets.format.printable().inset(1e-6);
            for page in &pages {
                assert_eq!((page.width, page.height), (paper.1, paper.2));
                let boxes: Vec<_> = texts(std::slice::from_ref(page))
                    .into_iter()
                    .map(|t| (text_box(t), t))
                    .collect();
                for (index, (one, text)) in boxes.iter().enumerate() {
                    assert!(printable.contains_rect(*one), "{} {text:?}", paper.0);
                    assert!(text.height >= heights::SMALL);
                    for (other, second) in &boxes[index + 1..] {
                        assert!(
                            !overlap(one.inset(-1e-6), *other),
                            "{}: {text:?} on {second:?}",
                            paper.0
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn the_map_names_every_sheet_and_every_mark() {
    for paper in [fixture::A5, fixture::A4] {
        let (pages, sheets) = covers(paper, Heading::FrontUp, (9, 5));
        let words: Vec<&str> = texts(&pages)
            .into_iter()
            .map(|text| text.content.as_str())
            .collect();
        for sheet in &sheets.sheets {
            assert!(
                words.contains(&sheet.label.as_str()),
                "{} {}",
                paper.0,
                sheet.label
            );
        }
        for mark in fixture::grid_plan().marks {
            assert!(words.contains(&mark.id.as_str()), "{} {}", paper.0, mark.id);
        }
    }
}

#[test]
fn pages_are_counted_with_sheet_0_itself() {
    let (pages, sheets) = covers(fixture::A4, Heading::FrontUp, (2, 2));
    let total = pages.len() + sheets.sheets.len();
    let expected = format!("sheet 0 · page 1 of {total}");
    assert!(texts(&pages).iter().any(|text| text.content == expected));
}
