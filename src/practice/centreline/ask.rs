//! The questions about middles, badges and lines.

use super::{
    line::Line,
    taping::{Pair, Taping, Tapings},
};
use crate::practice::{Cell, Draw, Question, Ruling, Value, asked::Asked};

fn side(right: bool) -> &'static str {
    if right { "right" } else { "left" }
}

/// "(212 + 1188)/2 = 700".
fn half_of(pair: &Pair, ruling: Ruling) -> String {
    let [left, right] = pair.readings().map(|mm| ruling.exact(mm));
    format!("({left} + {right})/2 = {}", ruling.exact(pair.middle))
}

/// Middles of both pairs, and whether they agree.
pub(super) fn differ(tapings: &Tapings, ruling: Ruling) -> Question {
    let limit = tapings.limit.unwrap_or(0.0);
    let mut asked = Asked::default();
    for (number, taping) in (1..).zip(&tapings.all) {
        let Some(seams) = taping.seams else { continue };
        let what = if taping.differ() <= limit + 1e-9 {
            "go on"
        } else {
            "tape again"
        };
        let name = taping.name().replace(' ', "\u{a0}");
        asked.worked.push(format!(
            "{name}: lamps {}, seams {}; they differ by {} {}: {what}",
            half_of(&taping.lamps, ruling),
            half_of(&seams, ruling),
            ruling.exact(taping.differ()),
            ruling.unit()
        ));
        let of = |part: &str| format!("taping {number} {part}");
        let row = [
            Cell::given(name),
            asked.blank(of("lamps"), ruling.answer(taping.lamps.middle)),
            asked.blank(of("seams"), ruling.answer(seams.middle)),
            asked.blank(of("differ"), ruling.answer(taping.differ())),
            asked.blank(of("what now"), what),
        ];
        asked.row(row);
    }
    let columns = [
        "Taped".to_owned(),
        ruling.column("Lamps' middle"),
        ruling.column("Seams' middle"),
        ruling.column("Differ by"),
        "go on, or tape again".to_owned(),
    ];
    asked.question(
        "What does the tape read in the middle of each pair?",
        columns,
    )
}

/// The middle of each end, and where the badge lies from it.
pub(super) fn middles(tapings: &Tapings, ruling: Ruling) -> Question {
    let mut asked = Asked::default();
    for taping in tapings.sound() {
        let (end, middle) = (taping.end(), taping.middle());
        let from = match taping.seams {
            None => half_of(&taping.lamps, ruling),
            Some(seams) => format!(
                "mean of {} and {}: {}",
                ruling.exact(taping.lamps.middle),
                ruling.exact(seams.middle),
                ruling.exact(middle)
            ),
        };
        asked.worked.push(format!(
            "{end}: {from}; badge {}, {} by {} {}; the zero lies {}, so a larger reading is further {}: the badge is off to the {}",
            ruling.exact(taping.badge),
            if taping.badge > middle { "more" } else { "less" },
            ruling.exact(taping.badge_off()),
            ruling.unit(),
            side(!taping.zero_left),
            side(taping.zero_left),
            side(taping.badge_right),
        ));
        let of = |part: &str| format!("{end} {part}");
        let row = [
            Cell::given(end),
            asked.blank(of("middle"), ruling.answer(middle)),
            asked.blank(of("badge off"), ruling.answer(taping.badge_off())),
            asked.blank(of("badge way"), side(taping.badge_right)),
        ];
        asked.row(row);
    }
    let columns = [
        "End".to_owned(),
        ruling.column("Middle reads"),
        ruling.column("Badge off by"),
        "left or right".to_owned(),
    ];
    let text = match tapings.limit {
        None => "Where is the middle, by how much is the badge off, and which way?",
        Some(_) => {
            "Go on with the good tapings: where is the middle, by how much is the badge off, and which way?"
        }
    };
    asked.question(text, columns)
}

/// What the centreline goes through.
pub(super) fn through(draw: &mut Draw) -> Question {
    let right = "the middle between the lamps, front and rear";
    let mut options = [
        right,
        "the badge at the front and the badge at the rear",
        "the badge at the front and the middle at the rear",
        "the left lamp at the front and the left lamp at the rear",
    ]
    .map(str::to_owned)
    .to_vec();
    draw.shuffle(&mut options);
    let at = options.iter().position(|option| option == right);
    Question::new("Through what is the chalk line pulled?", 1)
        .one_of(options, at.unwrap_or(0))
        .worked([
            "The lamps mirror each other, so half-way between lies the middle; a badge need not."
                .to_owned(),
        ])
        .answer("chalk line", "both middles")
}

/// Where a line through the front's badge runs beside the centreline.
pub(super) fn off(tapings: &Tapings, line: &Line, ruling: Ruling) -> Question {
    let front: Option<&Taping> = tapings.sound().find(|taping| taping.front);
    let (badge, right) = front.map_or((0.0, false), |taping| {
        (taping.badge_off(), taping.badge_right)
    });
    let mut asked = Asked::default();
    for (of, place) in ["line ahead", "line behind"].into_iter().zip(&line.places) {
        let off = line.off(place, badge);
        let way = side(right == (off > 0.0));
        let far = ruling.answer(off.abs());
        asked.worked.push(format!(
            "{}: {} × {}/{} = {}, rounded {far}, to the {way}",
            place.name,
            ruling.exact(badge),
            ruling.exact(place.ahead.abs()),
            ruling.exact(line.length),
            ruling.decimals(off.abs(), ruling.pick(2, 4)),
        ));
        let row = [
            Cell::Given(place.name.replace(' ', "\u{a0}")),
            asked.blank(of, far),
            asked.blank(format!("{of} way"), way),
        ];
        asked.row(row);
    }
    asked.worked.push(
        "The line crosses the centreline at the rear bumper; behind it the line lies on the other side."
            .to_owned(),
    );
    let columns = [
        "At".to_owned(),
        ruling.column("Off by"),
        "left or right".to_owned(),
    ];
    let places = line.places.iter().map(|place| place.words.as_str());
    let places: Vec<&str> = places.filter(|words| !words.is_empty()).collect();
    let text = format!(
        "Somebody pulls the line through the badge at the front bumper and the true middle at the rear bumper, {} apart; {}. How far beside the true centreline does it run?",
        ruling.length(line.length),
        places.join(", ")
    );
    let step = ruling.step();
    let within = Value::of(ruling.in_unit(step), ruling.unit(), ruling.whole(step));
    asked.question(text, columns).right_within(within)
}
