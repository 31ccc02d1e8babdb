//! Which check follows a step, and what the tape should read.

use crate::{
    plan::FloorPlan,
    practice::{Block, Cell, Draw, Question, Ruling, Scoring},
    survey::Step,
};

/// How many wrong checks stand beside the right one.
const DISTRACTORS: usize = 3;

/// A question about a step whose check runs between two marks; `None` where the layout has no step that is not
/// asked for yet.
///
/// There is one right choice: a check that is taped at once runs between marks that lie by then, and ends at one that
/// this step made. No other choice does.
pub fn check_question(
    plan: &FloorPlan,
    steps: &[Step],
    used: &[Question],
    ruling: Ruling,
    draw: &mut Draw,
) -> Option<Question> {
    let mark = |name: &str| plan.marks.iter().position(|mark| mark.id == name);
    let mut found = Vec::new();
    for (index, step) in steps.iter().enumerate() {
        let there: Vec<usize> = steps[..=index]
            .iter()
            .flat_map(|step| step.marks.iter().copied())
            .collect();
        let follows = |from: usize, to: usize| {
            there.contains(&from)
                && there.contains(&to)
                && (step.marks.contains(&from) || step.marks.contains(&to))
        };
        let own = step.check.iter().find_map(|taped| {
            let (from, to) = (mark(&taped.from.name)?, mark(&taped.to.name)?);
            follows(from, to).then_some((from, to))
        });
        let checks = plan.checks.iter().map(|check| (check.from, check.to));
        let others: Vec<_> = checks.filter(|(from, to)| !follows(*from, *to)).collect();
        let text = text(plan, &there, step);
        if let Some(own) = own
            && others.len() >= DISTRACTORS
            && used.iter().all(|other| !other.text.starts_with(&text))
        {
            found.push((text, own, others));
        }
    }
    let (text, (from, to), mut others) = draw.choose(&found)?.clone();
    draw.shuffle(&mut others);
    let mut pairs = others[..DISTRACTORS].to_vec();
    pairs.push((from, to));
    draw.shuffle(&mut pairs);
    let right = pairs.iter().position(|pair| *pair == (from, to))?;
    let id = |mark: usize| plan.marks[mark].id.as_str();
    let name = |(from, to): (usize, usize)| format!("{} to {}", id(from), id(to));
    let distance = ruling.answer(plan.marks[from].at.distance(plan.marks[to].at));
    // Unrounded: half widths of half a graduation would come out wider than the tape reads.
    let place = |mark: usize| {
        let at = plan.marks[mark].at;
        [id(mark).to_owned(), ruling.exact(at.x), ruling.exact(at.y)]
            .map(Cell::Given)
            .to_vec()
    };
    let mut marks: Vec<usize> = pairs.iter().flat_map(|(from, to)| [*from, *to]).collect();
    marks.sort_unstable();
    marks.dedup();
    let reading = vec![
        Cell::given("The tape should read"),
        Cell::blank(distance.bare()),
        Cell::given(ruling.grain()),
    ];
    let way = plan.marks[from].at - plan.marks[to].at;
    let right_name = name((from, to));
    let columns = [
        "Mark".to_owned(),
        ruling.column("Station"),
        ruling.column("Offset"),
    ];
    let question = Question::new(text, 2)
        .scored(Scoring::parts([
            (1, "which check"),
            (1, "what the tape reads"),
        ]))
        .one_of(pairs.into_iter().map(name).collect(), right)
        .block(Block::table(columns, marks.into_iter().map(place)))
        .block(Block::table([""; 3], [reading]))
        .worked([
            format!("{right_name}: both marks lie by then, and this step made one or both."),
            format!(
                "√((station difference {})² + (offset difference {})²) = {distance}",
                ruling.exact(way.x.abs()),
                ruling.exact(way.y.abs())
            ),
        ])
        .answer("check", right_name)
        .answer("reading", distance);
    Some(question)
}

fn text(plan: &FloorPlan, there: &[usize], step: &Step) -> String {
    let names = |marks: &[usize]| {
        let marks = marks.iter();
        let ids: Vec<&str> = marks.map(|&mark| plan.marks[mark].id.as_str()).collect();
        ids.join(", ")
    };
    let before: Vec<usize> = there
        .iter()
        .copied()
        .filter(|mark| !step.marks.contains(mark))
        .collect();
    let before = if before.is_empty() {
        "no mark".to_owned()
    } else {
        names(&before)
    };
    let made = names(&step.marks);
    format!(
        "On the floor there are {before}. A step has now made {made}. Which check is taped at once, and what should \
         the tape read?"
    )
}
