//! The questions on percent, on the layout, and on what to do.

use super::{
    TRUE_PART,
    print::{Case, Print},
};
use crate::{
    practice::{Cell, Draw, Question, Ruling, Value, asked::Asked, layout::Drawn},
    units::{ROUND_OFF, mm_exact},
};

/// What can be done, and when it is right.
const DEEDS: [(&str, &str, Option<Case>); 4] = [
    (
        "Lay the sheets: the print is true to scale.",
        "lay the sheets",
        Some(Case::True),
    ),
    (
        "Print again at 100 %, “fit to page” off, and measure again.",
        "print again at 100 %",
        Some(Case::Fitted),
    ),
    (
        "Enter both measurements in the printer's profile (baystencil printer), print again through it, and measure again.",
        "printer's profile",
        Some(Case::Own),
    ),
    (
        "Cut and join the sheets, and share the error out along the layout.",
        "share the error out",
        None,
    ),
];

/// How large the layout is, mm on graduations.
pub(super) struct Sizes {
    /// From the foremost to the rearmost mark, along.
    pub length: f64,
    /// From the outermost mark left to the one right, across.
    pub width: f64,
}

impl Sizes {
    pub fn of(drawn: &Drawn) -> Self {
        let marks = &drawn.plan.marks;
        let range = |of: fn(&crate::plan::Mark) -> f64| {
            let all = marks.iter().map(of);
            let (least, most) = all.fold((f64::MAX, f64::MIN), |(least, most), mm| {
                (least.min(mm), most.max(mm))
            });
            drawn.ruling.round(most - least)
        };
        Self {
            length: range(|mark| mark.at.x),
            width: range(|mark| mark.at.y),
        }
    }

    /// What the sheet gives of them.
    pub fn words(&self, ruling: Ruling, level: u8) -> String {
        let length = format!(
            "The layout is {} long, from its foremost to its rearmost mark",
            ruling.length(self.length)
        );
        if level == 1 {
            return format!("{length}.");
        }
        format!(
            "{length}, and {} wide, from its outermost marks left and right. The upright page lies along it.",
            ruling.length(self.width)
        )
    }
}

/// Ways that are asked for: one where both are alike.
fn ways(level: u8) -> &'static [(&'static str, usize)] {
    if level < 3 {
        &[("both ways", 0)]
    } else {
        &[("along", 0), ("across", 1)]
    }
}

/// Percent of each way, and whether it is true.
pub(super) fn scale(print: &Print, ruling: Ruling, level: u8) -> Question {
    let mut asked = Asked::default();
    for &(way, index) in ways(level) {
        let part = print.part(index);
        let percent = Value::decimals(part * 100.0, 2, "%");
        let is_true = (part - 1.0).abs() <= TRUE_PART + ROUND_OFF;
        let says = if is_true { "yes" } else { "no" };
        let measured = print.measured[index];
        asked.worked.push(format!(
            "{way}: {}/{} × 100 = {percent}; {} % off: {}",
            ruling.exact(measured),
            ruling.exact(print.side),
            mm_exact((part - 1.0).abs() * 100.0, 2),
            if is_true { "true" } else { "not true" }
        ));
        let row = [
            Cell::Given(way.replace(' ', "\u{a0}")),
            Cell::Given(ruling.whole(print.side)),
            Cell::Given(print.reading(ruling, measured).replace(' ', "\u{a0}")),
            asked.blank(format!("{way} percent"), percent),
            asked.blank(format!("{way} true"), says),
        ];
        asked.row(row);
    }
    let columns = [
        "Way".to_owned(),
        ruling.column("Should be"),
        ruling.column("Measures"),
        "Percent of true".to_owned(),
        "True? yes or no".to_owned(),
    ];
    let text = format!(
        "This is what the rule shows on {}. What percent of the true length is it, to two decimals?",
        print.what
    );
    let bound = Value::decimals(0.02, 2, "%");
    asked.question(text, columns).right_within(bound)
}

/// A length of the layout: what it should be, what it comes out as, mm, and how that is worked out.
struct Length {
    name: &'static str,
    should: f64,
    comes: f64,
    worked: String,
}

impl Length {
    /// One that is printed along one way of the page.
    fn straight(
        print: &Print,
        ruling: Ruling,
        (name, should, way): (&'static str, f64, usize),
    ) -> Self {
        let comes = should * print.part(way);
        let worked = format!(
            "{} × {}/{} = {}",
            ruling.exact(should),
            ruling.exact(print.measured[way]),
            ruling.exact(print.side),
            ruling.decimals(comes, ruling.pick(1, 3)),
        );
        Self {
            name,
            should,
            comes,
            worked,
        }
    }

    /// The diagonal of a length and a width.
    fn diagonal(ruling: Ruling, [length, width]: [&Self; 2]) -> Self {
        let exact = |mm: f64| ruling.decimals(mm, ruling.pick(1, 3));
        let (should, comes) = (
            length.should.hypot(width.should),
            length.comes.hypot(width.comes),
        );
        let worked = format!(
            "√({}² + {}²) = {}; printed √({}² + {}²) = {}",
            ruling.exact(length.should),
            ruling.exact(width.should),
            exact(should),
            exact(length.comes),
            exact(width.comes),
            exact(comes),
        );
        Self {
            name: "diagonal",
            should,
            comes,
            worked,
        }
    }
}

/// How far the layout comes out wrong.
pub(super) fn over(print: &Print, sizes: &Sizes, ruling: Ruling, level: u8) -> Question {
    let straight = |of| Length::straight(print, ruling, of);
    let mut lengths = vec![straight(("length", sizes.length, 0))];
    if level >= 2 {
        lengths.push(straight(("width", sizes.width, 1)));
    }
    if level == 4 {
        lengths.push(Length::diagonal(ruling, [&lengths[0], &lengths[1]]));
    }
    let mut asked = Asked::default();
    for length in lengths {
        let (name, off) = (length.name, length.comes - length.should);
        let way = if off < 0.0 { "too short" } else { "too long" };
        asked.worked.push(format!(
            "{name}: {} {}, {} {way}",
            length.worked,
            ruling.unit(),
            ruling.length(off.abs())
        ));
        let should = if name == "diagonal" {
            asked.blank("diagonal", ruling.answer(length.should))
        } else {
            Cell::Given(ruling.whole(length.should).replace(' ', "\u{a0}"))
        };
        let row = [
            Cell::given(name),
            should,
            asked.blank(format!("{name} printed"), ruling.answer(length.comes)),
            asked.blank(format!("{name} off"), ruling.answer(off.abs())),
            asked.blank(format!("{name} way"), way),
        ];
        asked.row(row);
    }
    let columns = [
        "Of the layout".to_owned(),
        ruling.column("Should be"),
        ruling.column("Comes out"),
        ruling.column("Off by"),
        "too short or too long".to_owned(),
    ];
    let diagonal = if level == 4 {
        " Diagonal: √(length² + width²)."
    } else {
        ""
    };
    let text = format!("All sheets are printed so. How large does the layout come out?{diagonal}");
    let step = ruling.step();
    let within = Value::of(ruling.in_unit(step), ruling.unit(), ruling.whole(step));
    asked.question(text, columns).right_within(within)
}

/// What to do, one thing right.
pub(super) fn what_now(print: &Print, draw: &mut Draw) -> Question {
    let mut deeds = DEEDS;
    draw.shuffle(&mut deeds);
    let at = deeds
        .iter()
        .position(|(.., right)| *right == Some(print.case));
    let at = at.unwrap_or(0);
    let why = match print.case {
        Case::True => "Every way is within what counts as true.",
        Case::Own => {
            "Off by more than counts as true and by less than a scaled page: the printer's own error, the same on every sheet."
        }
        Case::Fitted => {
            "More than a printer is off by itself: the page was scaled. A profile would hide it, and the next print may be scaled otherwise."
        }
    };
    Question::new("What now?", 2)
        .one_of(deeds.map(|(words, ..)| words.to_owned()).to_vec(), at)
        .worked([why.to_owned()])
        .answer("what now", deeds[at].1)
}
