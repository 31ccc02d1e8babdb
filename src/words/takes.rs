//! What a layout takes, and what to do next.

use crate::{
    effort::{PaperTaken, Takes},
    units::{MM_PER_INCH, inch_text, mm_exact},
    words::Section,
};

/// mm in a metre, and in a foot.
const METRE_MM: f64 = 1000.0;
const FOOT_MM: f64 = 12.0 * MM_PER_INCH;

/// Behind the paper where it is cut by hand.
const CARD: &str = ", of card 200–300 g/m² or film";

/// What cuts it.
const KNIFE: &str = "craft knife with fresh blades, cutting mat, paper glue";

/// The list for sheet 0 and the steps.
#[must_use]
pub fn section(takes: &Takes, inches: bool) -> Section {
    Section {
        heading: "What it takes".to_owned(),
        paragraphs: [
            format!("Bring: {}.", bring(takes, inches).join("; ")),
            around(takes, inches),
        ]
        .to_vec(),
        numbered: false,
    }
}

/// One thing after the other.
#[must_use]
pub fn bring(takes: &Takes, inches: bool) -> Vec<String> {
    let mut things: Vec<String> = takes
        .paper
        .iter()
        .map(|paper| self::paper(paper, inches))
        .collect();
    if takes.by_hand {
        if let Some(paper) = things.last_mut() {
            paper.push_str(CARD);
        }
        things.push(KNIFE.to_owned());
    }
    things.push(format!(
        "measuring tape of class {}, {} or longer",
        takes.tape_class.word(),
        whole(takes.longest_pull, inches)
    ));
    things.push("plumb bob, chalk line".to_owned());
    if takes.string > 0.0 {
        things.push(format!("{} of string", whole(takes.string, inches)));
    }
    things.push("steel rule, large steel square, marker".to_owned());
    things.extend(takes.strips.iter().map(|strip| {
        let width = if inches {
            format!("{} in", inch_text(strip.width))
        } else {
            format!("{} mm", mm_exact(strip.width, 1))
        };
        format!("tape strip {width} wide: {}", whole(strip.length, inches))
    }));
    match takes.panels {
        0 => {}
        1 => things.push("the panel".to_owned()),
        count => things.push(format!("{count} panels")),
    }
    things
}

fn paper(paper: &PaperTaken, inches: bool) -> String {
    let noun =
        |word: &str, count: usize| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    match paper.roll {
        Some(length) => format!(
            "{} of {}, {} of the roll",
            noun("strip", paper.sheets),
            paper.name,
            metres(length as f64, inches)
        ),
        None if paper.keys => format!(
            "{} on {} of {}",
            noun("key", paper.sheets),
            noun("page", paper.pages),
            paper.name
        ),
        None => format!("{} of {}", noun("print sheet", paper.sheets), paper.name),
    }
}

/// Floor, people and time.
fn around(takes: &Takes, inches: bool) -> String {
    let cut = takes.cut.map_or_else(String::new, |cut| {
        let cut = whole(cut, inches);
        if takes.by_hand {
            format!(" Knife lines to cut by hand: {cut}.")
        } else {
            format!(" A stencil cut from it has {cut} of cuts.")
        }
    });
    format!(
        "{}, {}, {}.{cut}",
        floor(takes, inches),
        people(takes.people),
        time(takes)
    )
}

fn floor(takes: &Takes, inches: bool) -> String {
    let [length, width] = [takes.floor.width, takes.floor.height].map(|mm| metres(mm, inches));
    format!("Clear floor {length} × {width}")
}

const fn people(count: usize) -> &'static str {
    if count == 1 {
        "one person"
    } else {
        "two people"
    }
}

/// How long it takes, with its parts.
fn time(takes: &Takes) -> String {
    let minutes = takes.minutes;
    let parts = [
        ("print", minutes.print),
        ("trim and join", minutes.join),
        ("cut", minutes.cut),
        ("set out and lay", minutes.lay),
        ("tape strips", minutes.strips),
        ("check", minutes.check),
    ];
    let parts: Vec<String> = parts
        .into_iter()
        .filter(|(_, minutes)| *minutes > 0.0)
        .map(|(what, minutes)| format!("{what} {}", rounded(minutes)))
        .collect();
    format!(
        "roughly {} min (own estimate: {})",
        rounded(minutes.total()),
        parts.join(", ")
    )
}

/// Whole minutes below ten, else to five: nobody knows it better.
fn rounded(minutes: f64) -> u64 {
    let step = if minutes < 10.0 { 1.0 } else { 5.0 };
    ((minutes / step).ceil() * step) as u64
}

/// A length in whole metres or feet, rounded up.
fn whole(mm: f64, inches: bool) -> String {
    if inches {
        format!("{:.0} ft", (mm / FOOT_MM).ceil())
    } else {
        format!("{:.0} m", (mm / METRE_MM).ceil())
    }
}

/// A length in metres or feet to a tenth, rounded up.
fn metres(mm: f64, inches: bool) -> String {
    let (unit, word) = if inches {
        (FOOT_MM, "ft")
    } else {
        (METRE_MM, "m")
    };
    format!("{:.1} {word}", (mm / unit * 10.0).ceil() / 10.0)
}

/// What a run says at its end, in one line.
#[must_use]
pub fn line(takes: &Takes, inches: bool) -> String {
    format!(
        "it takes: {}; {}, {}, roughly {} min (own estimate)",
        bring(takes, inches).join("; "),
        floor(takes, inches).to_lowercase(),
        people(takes.people),
        rounded(takes.minutes.total())
    )
}

/// What to do next with a kit in a folder.
#[must_use]
pub fn next(takes: &Takes, folder: &str) -> [String; 3] {
    let strips = takes
        .paper
        .as_ref()
        .is_some_and(|paper| paper.roll.is_some());
    let first = if strips {
        "print one strip at 100 % and measure its square and its long bar with a steel rule"
    } else {
        "print page 1 of stencils.pdf at 100 % and measure its square and bars with a steel rule"
    };
    let sheet = if strips { "assembly.pdf" } else { "sheet 0" };
    let lay = if takes.vehicle_stands {
        format!(
            "then print the rest, set out the centreline and the strings (steps.pdf), and lay as {sheet} says"
        )
    } else {
        format!(
            "then print the rest, lay all on the empty floor as {sheet} says, and drive the vehicle on"
        )
    };
    [
        first.to_owned(),
        lay,
        format!(
            "then tape what readings.csv asks for, fill it in, and run: baystencil check {folder}/readings.csv"
        ),
    ]
}
