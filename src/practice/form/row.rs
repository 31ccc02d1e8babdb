//! A row of the form, with what the tape shows.

use crate::{
    plan::{FloorPlan, Lay, LayKind, LayReading},
    practice::{Draw, Level, Ruling, Setting, TapePicture, layout::from_name},
};

/// Shortest length that a row is of, mm: below, the tape's end would stand in the picture.
const SHORTEST_MM: f64 = 200.0;

/// Graduations by which a row that is beyond its limit is so, least and most.
const BEYOND: [i64; 2] = [2, 12];

/// A difference inside is less than its limit by so many graduations or more.
const INSIDE: i64 = 1;

/// How a tape is held at the first mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hold {
    /// By its hook, which is right.
    Hook,
    /// With its 100 mm line or its 1 in line.
    Line,
    /// By a hook that is bent, so that the tape reads too much.
    Bent,
    /// By its hook, and two people read it.
    TwoPeople,
}

impl Hold {
    /// How much more than the distance the tape reads, mm.
    pub fn too_much(self, ruling: Ruling) -> f64 {
        match self {
            Self::Hook | Self::TwoPeople => 0.0,
            Self::Line => ruling.pick(100.0, 16.0 * ruling.step()),
            Self::Bent => 2.0 * ruling.step(),
        }
    }

    /// What the form says of it.
    pub fn words(self, ruling: Ruling) -> String {
        match self {
            Self::Hook => "hook".to_owned(),
            Self::Line => format!("{} line", ruling.length(self.too_much(ruling))),
            Self::Bent => "bent hook".to_owned(),
            Self::TwoPeople => "hook, two people".to_owned(),
        }
    }

    fn of_level(level: Level) -> Vec<Self> {
        match level.number() {
            1 => vec![Self::Hook; 4],
            2 => vec![Self::Hook; 5],
            3 => vec![Self::Line; 5],
            _ => vec![
                Self::Hook,
                Self::Hook,
                Self::Line,
                Self::Line,
                Self::Bent,
                Self::TwoPeople,
            ],
        }
    }
}

/// A row of the form. Lengths in mm, on graduations of the ruling, the limit apart.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// From 1.
    pub number: usize,
    /// Where the tape is held.
    pub from: String,
    /// Where it is read.
    pub to: String,
    /// What it should read.
    pub plan: f64,
    /// How far it may differ.
    pub limit: f64,
    pub hold: Hold,
    /// What the tape shows: one reading, or two of two people.
    pub read: Vec<f64>,
    /// Reading less plan.
    pub difference: f64,
}

/// What a row is of before it is read.
#[derive(Clone, Debug)]
struct Place {
    from: String,
    to: String,
    plan: f64,
    limit: f64,
}

impl Place {
    fn of(plan: &FloorPlan, lay: &Lay, reading: &LayReading, ruling: Ruling) -> Self {
        Self {
            from: from_name(plan, lay),
            to: plan.marks[reading.mark].id.clone(),
            plan: ruling.round(reading.should_be),
            limit: reading.limit,
        }
    }
}

/// The readings of a plan that a tape shows, those between marks and from wheels before those square from a string.
fn places(plan: &FloorPlan, ruling: Ruling) -> Vec<Place> {
    let of_kind = |kind: LayKind| {
        let lays = plan.lays.iter().filter(move |lay| {
            lay.kind == kind && (lay.kind == LayKind::Tape || lay.along_tyres())
        });
        lays.flat_map(|lay| lay.readings.iter().map(move |reading| (lay, reading)))
            .map(|(lay, reading)| Place::of(plan, lay, reading, ruling))
            .filter(|place| place.plan >= SHORTEST_MM)
    };
    of_kind(LayKind::Tape)
        .chain(of_kind(LayKind::String))
        .collect()
}

/// The rows of a sheet; `None` where the layout's check plans have too few.
pub(super) fn rows(setting: &Setting, level: Level, draw: &mut Draw) -> Option<Vec<Row>> {
    let ruling = setting.ruling();
    let mut holds = Hold::of_level(level);
    let mut all = places(setting.short_plan(), ruling);
    if all.len() < holds.len() {
        let known = |place: &Place| {
            all.iter()
                .any(|other| other.from == place.from && other.to == place.to)
        };
        let more: Vec<Place> = places(setting.full_plan(), ruling)
            .into_iter()
            .filter(|place| !known(place))
            .collect();
        all.extend(more);
    }
    let mut chosen: Vec<usize> = (0..all.len()).collect();
    draw.shuffle(&mut chosen);
    // Who begins does not tape from a string.
    if level.number() == 1 {
        chosen.sort_by_key(|&at| all[at].from.starts_with("string"));
    }
    if chosen.len() < holds.len() {
        return None;
    }
    chosen.truncate(holds.len());
    chosen.sort_unstable();
    draw.shuffle(&mut holds);
    let beyond = level.of([1, 1, 2, 2]);
    // As many longer as shorter, in a random order, and which rows are beyond.
    let mut signs: Vec<f64> = (0..holds.len()).map(|at| [1.0, -1.0][at % 2]).collect();
    let mut out: Vec<bool> = (0..holds.len()).map(|at| at < beyond).collect();
    draw.shuffle(&mut signs);
    draw.shuffle(&mut out);
    let row = |(index, at): (usize, usize)| {
        let place = &all[at];
        let difference = signs[index] * drawn(place.limit, out[index], ruling, draw);
        let (hold, step) = (holds[index], ruling.step());
        let shown = place.plan + difference + hold.too_much(ruling);
        let read = match hold {
            Hold::TwoPeople => {
                let apart = step * draw.whole(1, 2) as f64 * if draw.coin() { 1.0 } else { -1.0 };
                vec![shown + apart, shown - apart]
            }
            _ => vec![shown],
        };
        Row {
            number: index + 1,
            from: place.from.clone(),
            to: place.to.clone(),
            plan: place.plan,
            limit: place.limit,
            hold,
            read,
            difference,
        }
    };
    Some(chosen.into_iter().enumerate().map(row).collect())
}

/// How far a row is off, mm, without its sign: at least a graduation.
fn drawn(limit: f64, beyond: bool, ruling: Ruling, draw: &mut Draw) -> f64 {
    let steps = (limit / ruling.step() + 1e-6).floor() as i64;
    let off = if beyond {
        steps + draw.whole(BEYOND[0], BEYOND[1])
    } else {
        draw.whole(1, (steps - INSIDE).max(1))
    };
    off as f64 * ruling.step()
}

impl Row {
    /// What is written as the reading, mm.
    pub fn measured(&self) -> f64 {
        self.plan + self.difference
    }

    /// The tapes of the row.
    pub fn pictures(&self, ruling: Ruling, draw: &mut Draw) -> Vec<TapePicture> {
        let who = ["first person", "second person"];
        let title = |index: usize| {
            let title = format!("Row {}: {} to {}", self.number, self.from, self.to);
            match self.read.len() {
                1 => title,
                _ => format!("{title}, {}", who[index]),
            }
        };
        let read = self.read.iter().enumerate();
        read.map(|(index, &mm)| {
            let place = draw.whole(0, 100) as f64 / 100.0;
            TapePicture::of(title(index), ruling, mm, place)
        })
        .collect()
    }

    /// How its blanks are come to.
    pub fn worked(&self, ruling: Ruling) -> String {
        let whole = |mm: f64| ruling.whole(mm);
        let measured = ruling.length(self.measured());
        let reading = match (self.hold, &self.read[..]) {
            (Hold::TwoPeople, &[one, other]) => {
                format!("({} + {}) / 2 = {measured}", whole(one), whole(other))
            }
            (Hold::Hook, _) => format!("the tape reads {measured}"),
            (hold, read) => format!(
                "{} − {} = {measured}",
                whole(read[0]),
                whole(hold.too_much(ruling))
            ),
        };
        format!(
            "Row {}: {reading}; {} − {} = {} {}.",
            self.number,
            whole(self.measured()),
            whole(self.plan),
            ruling.signed(self.difference),
            ruling.unit()
        )
    }
}
