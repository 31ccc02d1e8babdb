//! Words and signs of a layout: a page to read before the first exercise; nothing is asked.
//!
//! | level | page |
//! |---|---|
//! | 1 | words, signs, the measurement table of a few marks, one mark worked out along and across |
//! | 2 | the same |
//! | 3, 4 | the same, and its two-tape distance by √(along² + across²) |
//!
//! All numbers are those of a drawn layout, as on the other sheets.

#[cfg(test)]
mod tests;

use super::{
    Block, Cell, Exercise, Level, PracticeError,
    layout::{Drawn, ON_CENTRELINE_MM, Slant, beside, frame, longest_pair, measurements, picture},
    lot::Lot,
};
use crate::plan::{FloorPlan, Mark};

/// Makes the page.
///
/// # Errors
/// [`PracticeError::Unsound`] when the layout has no mark beside the centreline.
pub(super) fn exercise(mut lot: Lot<'_>) -> Result<Exercise, PracticeError> {
    let drawn = Drawn::new(lot.setting, &mut lot.draw)?;
    let plan = &drawn.plan;
    let left = beside(plan)
        .into_iter()
        .find(|&mark| plan.marks[mark].at.y > 0.0)
        .ok_or("the layout has no mark beside the centreline")?;
    let mut blocks = vec![
        Block::text(
            "A layout is a set of marks on the floor about the vehicle. Each lies where the vehicle maker's service information says, measured off the vehicle itself.",
        ),
        picture(plan).block(),
        words(plan, left),
        Block::Text(frame(&drawn)),
        Block::text(
            "Left and right are those of somebody who sits in the vehicle and looks forward.",
        ),
        measurements(&drawn, shown(&drawn.plan, left)),
    ];
    blocks.extend(example(&drawn, left, lot.level).map(Block::Text));
    Ok(lot.exercise(blocks, Vec::new(), Vec::new()))
}

/// What the words mean, each with what it is on this layout.
fn words(plan: &FloorPlan, left: usize) -> Block {
    let mark = &plan.marks[left];
    let mut rows = vec![
        [
            "mark",
            "a point that is set out on the floor, drawn as a cross",
            &format!("{}: {}", mark.id, mark.meaning),
        ]
        .map(Cell::given)
        .to_vec(),
    ];
    let mut row = |word: &str, means: &str, here: &str| {
        rows.push([word, means, here].map(Cell::given).to_vec());
    };
    row(
        "station",
        "how far along the centreline; stations with marks are numbered from the front",
        &stations(plan),
    );
    row(
        "zero point",
        "where stations count from",
        &format!("on the centreline: {}", plan.template.origin),
    );
    row(
        "offset",
        "how far from the centreline, square to it",
        "L left, R right, C on the centreline",
    );
    row(
        "rail",
        "a line along the vehicle; marks on it have one offset",
        &rails(plan),
    );
    row("name", "number of the station, then the rail", &name(plan));
    if let Some(point) = plan.marks.iter().find(|mark| mark.station.is_none()) {
        row(
            "free mark",
            "set out by distance and bearing, not on a station",
            &format!("{}: {}", point.id, point.meaning),
        );
    }
    rows.extend(taping_words(plan));
    Block::table(["Word", "What it means", "On this layout"], rows)
}

/// The words of taping.
fn taping_words(plan: &FloorPlan) -> [Vec<Cell>; 3] {
    let [front, rear] = plan.tape_base.map(|base| plan.marks[base].id.as_str());
    let strips = if plan.lines.is_empty() {
        "no strips on this one"
    } else {
        "strips: the thin lines"
    };
    let (bases, pair) = (format!("from {front} and from {rear}"), pair(plan));
    [
        [
            "two-tape distances",
            "from the foremost and the rearmost mark on the centreline: where both tapes meet lies the mark",
            &bases,
        ],
        [
            "check distance",
            "taped between two marks once they lie, to prove the layout; what mirrors each other has to be equal",
            &pair,
        ],
        [
            "tape, tape strip",
            "the tape measures; the tape strip is stuck down",
            strips,
        ],
    ]
    .map(|row| row.map(Cell::given).to_vec())
}

/// "1 front end line, 2 front cross lines".
fn stations(plan: &FloorPlan) -> String {
    let mut all: Vec<(usize, &str)> = plan
        .marks
        .iter()
        .filter_map(|mark| Some((mark.station?, mark.meaning.as_str())))
        .collect();
    all.dedup_by_key(|(number, _)| *number);
    let all = all.iter();
    let words: Vec<String> = all
        .map(|(number, meaning)| format!("{number} {meaning}"))
        .collect();
    words.join(", ")
}

/// The letters of the rails in use.
fn rails(plan: &FloorPlan) -> String {
    let crossing = plan.marks.iter().filter(|mark| mark.station.is_some());
    let mut letters: Vec<&str> = crossing
        .map(|mark| mark.id.trim_start_matches(|c: char| c.is_ascii_digit()))
        .collect();
    letters.sort_unstable();
    letters.dedup();
    let further = letters.iter().any(|letter| letter.len() > 1);
    let more = if further {
        "; a number behind the letter: further out"
    } else {
        ""
    };
    format!("{}{more}", letters.join(", "))
}

/// The first name that has a number and a letter, spelled out.
fn name(plan: &FloorPlan) -> String {
    let mut crossing = plan.marks.iter();
    let Some((mark, station)) = crossing.find_map(|mark| Some((mark, mark.station?))) else {
        return String::new();
    };
    format!("{}: station {station}, {}", mark.id, side(mark))
}

fn side(mark: &Mark) -> &'static str {
    match mark.at.y {
        y if y > ON_CENTRELINE_MM => "left",
        y if y < -ON_CENTRELINE_MM => "right",
        _ => "on the centreline",
    }
}

/// Two check distances that mirror each other.
fn pair(plan: &FloorPlan) -> String {
    let all: Vec<usize> = (0..plan.marks.len()).collect();
    longest_pair(plan, &all).map_or_else(String::new, |pair| {
        let [one, other] = pair.map(|check| Slant::of(plan, check).name);
        format!("{one} and {other}")
    })
}

/// Marks that the table shows: both base marks, the one of the example, and the last on the other side.
fn shown(plan: &FloorPlan, left: usize) -> Vec<usize> {
    let mut marks = plan.tape_base.to_vec();
    let mut rights =
        (0..plan.marks.len()).filter(|&mark| plan.marks[mark].at.y < -ON_CENTRELINE_MM);
    marks.extend([left].into_iter().chain(rights.next_back()));
    marks.sort_unstable();
    marks.dedup();
    marks
}

/// One row of the table read in words, from the printed numbers.
fn example(drawn: &Drawn, left: usize, level: Level) -> impl Iterator<Item = String> {
    let (plan, ruling) = (&drawn.plan, drawn.ruling);
    let mark = &plan.marks[left];
    let [x, y] = [mark.at.x, mark.at.y].map(|mm| ruling.round(mm));
    let ahead = |mm: f64| if mm > 0.0 { "ahead of" } else { "behind" };
    let along = if x == 0.0 {
        "level with the zero point".to_owned()
    } else {
        format!("{} {} the zero point", ruling.length(x.abs()), ahead(x))
    };
    let mut lines = vec![format!(
        "Read {}: station {} is {along}; offset {} is {} left of the centreline.",
        mark.id,
        ruling.signed(x),
        ruling.signed(y),
        ruling.length(y)
    )];
    let (bumper, at) = if x >= 0.0 {
        ("front", plan.vehicle.front_x)
    } else {
        ("rear", plan.vehicle.rear_x)
    };
    let at = ruling.round(at);
    let gap = x - at;
    if gap != 0.0 {
        lines.push(format!(
            "From the {bumper} bumper, which lies at station {}: {} \u{2212} {} = {} {}, so the mark lies {} {} the bumper.",
            ruling.signed(at),
            ruling.exact(x),
            bracketed(&ruling.exact(at)),
            ruling.exact(gap),
            ruling.unit(),
            ruling.length(gap.abs()),
            ahead(gap),
        ));
    }
    lines.push(by_tapes(drawn, mark, level));
    lines.into_iter()
}

/// Its two-tape distances: read, and from level 3 on worked out from the rear base mark.
fn by_tapes(drawn: &Drawn, mark: &Mark, level: Level) -> String {
    let (plan, ruling) = (&drawn.plan, drawn.ruling);
    let [front, rear] = plan.tape_base.map(|base| &plan.marks[base]);
    if level.number() < 3 {
        let [near, far] = mark.two_tape.map(|mm| ruling.length(mm));
        return format!(
            "With two tapes: {near} from {} and {far} from {}; both meet left and right of the centreline, and L says left.",
            front.id, rear.id
        );
    }
    let (far, across) = ((mark.at.x - rear.at.x).abs(), mark.at.y);
    let (more, less) = (mark.at.x.max(rear.at.x), mark.at.x.min(rear.at.x));
    format!(
        "From {}, in unrounded numbers: along {} \u{2212} {} = {}, across {}; √({}² + {}²) = {} {}, in the table {}.",
        rear.id,
        ruling.exact(more),
        bracketed(&ruling.exact(less)),
        ruling.exact(far),
        ruling.exact(across),
        ruling.exact(far),
        ruling.exact(across),
        ruling.decimals(mark.two_tape[1], ruling.pick(1, 3)),
        ruling.unit(),
        ruling.whole(mark.two_tape[1]),
    )
}

/// A negative number behind a sign of subtraction.
fn bracketed(number: &str) -> String {
    if number.starts_with('\u{2212}') {
        format!("({number})")
    } else {
        number.to_owned()
    }
}
