//! What sheet 0 says: how to print, trim, join and lay the sheets.

use super::{Context, roll_text, text_flow::Section, tile_lettering::caution};
use crate::cover::{Heading, Mode, SheetPlan};

/// Groups with more sheets than this are named by their first and last one.
const NAMED_SHEETS: usize = 12;

/// How to print and to measure the scale test, and which way to hold a sheet; goes into the check
/// square.
#[must_use]
pub fn printing(sheets: &SheetPlan) -> [Section; 2] {
    if let Some(roll) = sheets.roll {
        return roll_text::printing(sheets, roll);
    }
    let paper = &sheets.format.paper.name;
    let print = Section {
        heading: "Print".to_owned(),
        paragraphs: vec![
            format!("{paper} paper, upright, one side only, at 100 % or “actual size”. No “fit”, no “shrink”, one page per sheet."),
            "Print this page first and measure with a steel rule: the square 100 ± 0.5 mm both ways, the bars 4 in and 150 mm.".to_owned(),
            "Further off: the page was scaled; set 100 % and print again. Never use scaled sheets.".to_owned(),
            "Every sheet carries its own square and bar. Measure a few from the beginning, the middle and the end.".to_owned(),
        ],
        numbered: true,
    };
    [print, holding(sheets)]
}

/// How to trim, join and lay the sheets.
#[must_use]
pub fn working(context: &Context, sheets: &SheetPlan) -> [Section; 2] {
    [joining(), laying(context.plan.template.origin, sheets)]
}

/// The cautions.
#[must_use]
pub fn care(context: &Context) -> [Section; 1] {
    let first = format!(
        "{} A wrongly aligned camera or radar can hurt someone; the numbers here are only as good as those put in.",
        caution(context.plan)
    );
    let rest = "For trained staff under local rules; the final test follows the maker’s procedure. Wheels chocked, \
                ignition as the procedure says, nobody between a vehicle that can move and a wall, the keys with one \
                person. Paper, strings and tape strips trip; never look into a laser level.";
    let paragraphs = vec![first, rest.to_owned()];
    [Section { heading: "Take care".to_owned(), paragraphs, numbered: false }]
}

fn holding(sheets: &SheetPlan) -> Section {
    let has = |heading| sheets.sheets.iter().any(|sheet| sheet.heading == heading);
    let which = match (has(Heading::FrontUp), has(Heading::FrontRight)) {
        (true, true) => "On some sheets it points up the paper, on others to the right.",
        (false, true) => {
            "It points to the right on the paper: the lettering reads from the vehicle’s right side, looking left."
        }
        _ => "The lettering then reads from behind, looking forward.",
    };
    let letters = match sheets.mode {
        Mode::Lines => "A letter stands for a line; its sheets are numbered from its front or left end.",
        _ => "Row A is the foremost, column 1 the leftmost.",
    };
    let paragraph = format!("Hold each sheet with its FRONT arrow towards the vehicle’s front. {which} {letters}");
    Section { heading: "Hold".to_owned(), paragraphs: vec![paragraph], numbered: false }
}

fn joining() -> Section {
    let paragraphs = [
        "Trim each sheet along every dashed line, from edge to edge. Other edges stay as they are.",
        "Work from row A on. The cut edge lies on top of its neighbour: bring it to the thin line “lay … edge here” until the halves of the registration marks, with the same name on both sheets, complete each other.",
        "Join with tape strips, from below or above, without pulling the paper.",
        "After every few sheets tape the long distance between two mark crosses and compare: errors of joints add up. The name beside each cross gives its x and y.",
    ];
    let paragraphs = paragraphs.map(str::to_owned).to_vec();
    Section { heading: "Trim and join".to_owned(), paragraphs, numbered: true }
}

fn laying(origin: &str, sheets: &SheetPlan) -> Section {
    let origin = format!("x forward and y to the left, in mm from the floor point {origin}");
    let groups = sheets.groups();
    let mut paragraphs = Vec::new();
    if let [_] = groups[..] {
        paragraphs.push(format!("All sheets hang together. Mark crosses and the small tick on each sheet give floor coordinates: {origin}. Lay the joined paper by the marks that lie furthest apart."));
    } else {
        paragraphs.push(format!(
            "The sheets form {} groups that do not touch. Lay each group by tape, from the tick and the mark crosses on its sheets: {origin}. Two points far apart in a group fix its turn.",
            groups.len()
        ));
        let named = groups
            .iter()
            .enumerate()
            .map(|(index, group)| format!("group {}: {}", index + 1, group_text(sheets, group)));
        paragraphs.push(format!("{}.", named.collect::<Vec<_>>().join("; ")));
    }
    Section { heading: "Lay on the floor".to_owned(), paragraphs, numbered: false }
}

fn group_text(sheets: &SheetPlan, group: &[usize]) -> String {
    let labels: Vec<&str> = group.iter().map(|index| sheets.sheets[*index].label.as_str()).collect();
    match labels[..] {
        [first, .., last] if labels.len() > NAMED_SHEETS => format!("{first} … {last} ({} sheets)", labels.len()),
        _ => labels.join(" "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheets::fixture;

    #[test]
    fn sheets_that_touch_nowhere_are_groups_of_their_own() {
        let format = fixture::format(fixture::A4);
        let plan = fixture::sheets(&format, Heading::FrontUp, (0.0, 0.0), (2, 5), |_, column| column % 2 == 0);
        assert_eq!(plan.groups().len(), 3);
        let words = format!("{:?}", laying("below the foremost point", &plan).paragraphs);
        assert!(
            words.contains("3 groups") && words.contains("group 2: A3 B3") && words.contains("below the foremost"),
            "{words}"
        );
    }

    #[test]
    fn sheets_with_the_front_to_the_right_say_from_which_side_they_are_read() {
        let format = fixture::format(fixture::A4);
        let plan = fixture::sheets(&format, Heading::FrontRight, (0.0, 0.0), (1, 1), |_, _| true);
        assert!(holding(&plan).paragraphs[0].contains("from the vehicle’s right side"));
    }
}
