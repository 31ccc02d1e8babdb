//! The lines of a record, before and after something went wrong with them.

use crate::{
    plan::LayKind,
    practice::{Draw, Ruling, Setting},
};

/// Readings on the record.
const READINGS: usize = 4;

/// Days of a month that a date is drawn from: none goes over into another month.
const DAYS: [i64; 2] = [6, 24];

const MONTHS: [&str; 6] = ["January", "March", "May", "June", "September", "October"];

/// Invented: no workshop of these names is meant.
const WORKSHOPS: [&str; 4] = [
    "Municipal workshop, bay 1",
    "Municipal workshop, bay 2",
    "Municipal workshop, depot north, bay 3",
    "Municipal workshop, depot south, bay 1",
];

const WHY: [&str; 4] = [
    "door mirror left replaced",
    "rear camera replaced",
    "front bumper removed and fitted",
    "tailgate replaced",
];

/// A line of the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Line {
    Workshop,
    Order,
    Vehicle,
    ServiceInformation,
    CodesBefore,
    Ready,
    Designed,
    Reading(usize),
    Verdict,
    Procedure,
    Picture,
    CodesAfter,
    LaidBy,
    Note,
}

/// A time on the day of the work, minutes after midnight.
pub(super) type Minutes = i64;

/// A row of what was taped, mm on graduations, the limit apart.
#[derive(Clone, Debug)]
pub(super) struct Taped {
    pub name: String,
    pub should: f64,
    pub read: f64,
    /// As it is printed; the difference of the two where nothing is wrong.
    pub off: f64,
    pub limit: f64,
}

/// A record. Texts are empty where a line is.
#[derive(Clone, Debug)]
pub(super) struct Paper {
    pub ruling: Ruling,
    pub workshop: String,
    pub order: String,
    pub fleet: i64,
    /// The fleet number as the line of the order has it.
    pub fleet_of_order: i64,
    pub vehicle: String,
    pub template: String,
    pub why: String,
    pub month: &'static str,
    /// Day on which the order came in, and day of the work.
    pub received: i64,
    pub day: i64,
    pub service_information: String,
    /// Times of codes before, start of the work, end of taping, picture, codes after.
    pub before: Option<Minutes>,
    pub started: Minutes,
    pub taped_at: Minutes,
    pub picture: Option<Minutes>,
    pub after: Option<Minutes>,
    pub strips_up: Minutes,
    pub taped: Vec<Taped>,
    pub verdict: String,
    pub procedure: String,
    pub technician: String,
    pub note: String,
}

impl Paper {
    /// A faultless record of the setting's layout; `None` where it has too few readings.
    pub fn draw(setting: &Setting, draw: &mut Draw) -> Option<Self> {
        let ruling = setting.ruling();
        let taped = taped(setting, draw)?;
        let received = draw.whole(DAYS[0], DAYS[1]);
        let day = received + draw.whole(0, 3);
        let before = 8 * 60 + 5 * draw.whole(0, 6);
        let started = before + 5 * draw.whole(3, 6);
        let taped_at = started + 5 * draw.whole(12, 20);
        let picture = taped_at + 5 * draw.whole(6, 16);
        let strips_up = picture + 5 * draw.whole(2, 6);
        let after = strips_up + 5 * draw.whole(2, 6);
        let fleet = draw.whole(201, 989);
        let mut text = |among: &[&'static str]| draw.choose(among).copied().unwrap_or_default();
        let (workshop, why, month) = (text(&WORKSHOPS), text(&WHY), text(&MONTHS));
        Some(Self {
            ruling,
            workshop: workshop.to_owned(),
            order: format!("{}", draw.whole(2401, 9799)),
            fleet,
            fleet_of_order: fleet,
            vehicle: setting.plan.vehicle.name.clone(),
            template: setting.plan.template.name.clone(),
            why: why.to_owned(),
            month,
            received,
            day,
            service_information: format!(
                "maker's service information for this vehicle, document {}, page {}",
                draw.whole(11, 89),
                draw.whole(3, 48)
            ),
            before: Some(before),
            started,
            taped_at,
            picture: Some(picture),
            after: Some(after),
            strips_up,
            taped,
            verdict: "inside: all readings within their limits".to_owned(),
            procedure: format!(
                "maker's procedure, saved as result {}",
                draw.whole(101, 998)
            ),
            technician: format!("technician {}, signed", draw.whole(2, 19)),
            note: NOTE.to_owned(),
        })
    }

    /// The lines in their order: what each is, and what it says.
    pub fn lines(&self) -> Vec<(&'static str, String)> {
        self.all()
            .into_iter()
            .map(|(_, label, text)| (label, text))
            .collect()
    }

    /// The number of a line, from 1.
    pub fn number(&self, line: Line) -> usize {
        let at = self.all().iter().position(|(own, ..)| *own == line);
        at.map_or(0, |at| at + 1)
    }

    fn all(&self) -> Vec<(Line, &'static str, String)> {
        let date = |day: i64| format!("{day} {}", self.month);
        let at = |time: Option<Minutes>, words: &str| {
            time.map_or_else(String::new, |time| format!("{words} {}", clock(time)))
        };
        let mut all = vec![
            (Line::Workshop, "workshop", self.workshop.clone()),
            (
                Line::Order,
                "order",
                format!(
                    "no. {}, fleet vehicle {}, received {}: {}",
                    self.order,
                    self.fleet_of_order,
                    date(self.received),
                    self.why
                ),
            ),
            (
                Line::Vehicle,
                "vehicle",
                format!("fleet vehicle {}, {}", self.fleet, self.vehicle),
            ),
            (
                Line::ServiceInformation,
                "service information",
                self.service_information.clone(),
            ),
            (
                Line::CodesBefore,
                "fault codes before",
                at(self.before, "read and saved at"),
            ),
            (
                Line::Ready,
                "work begun",
                format!(
                    "{}, {}; tyres, load and floor as the service information says",
                    date(self.day),
                    clock(self.started)
                ),
            ),
            (Line::Designed, "layout as designed", self.template.clone()),
        ];
        let taped = self.taped.iter().enumerate();
        all.extend(
            taped.map(|(index, taped)| (Line::Reading(index), "as measured", self.reading(taped))),
        );
        all.extend([
            (
                Line::Verdict,
                "layout",
                format!("{}; taped at {}", self.verdict, clock(self.taped_at)),
            ),
            (Line::Procedure, "alignment", self.procedure.clone()),
            (
                Line::Picture,
                "picture in reverse gear",
                self.picture.map_or_else(String::new, |time| {
                    format!(
                        "checked at {}; strips taken up at {}",
                        clock(time),
                        clock(self.strips_up)
                    )
                }),
            ),
            (
                Line::CodesAfter,
                "fault codes after",
                at(self.after, "read again and saved at"),
            ),
            (
                Line::LaidBy,
                "laid out and taped by",
                self.technician.clone(),
            ),
            (Line::Note, "note", self.note.clone()),
        ]);
        all
    }

    fn reading(&self, taped: &Taped) -> String {
        let ruling = self.ruling;
        format!(
            "{}: should be {}, read {}, off {}, limit ± {} {}",
            taped.name,
            ruling.whole(taped.should),
            ruling.whole(taped.read),
            ruling.signed(taped.off),
            ruling.given(taped.limit),
            ruling.unit()
        )
    }
}

/// The note of a faultless record.
const NOTE: &str = "where the marks lay when they were taped; it says nothing of the camera";

/// A time of day: `8:05`.
pub(super) fn clock(minutes: Minutes) -> String {
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// Rows of the short check plan, each off by something less than its limit.
fn taped(setting: &Setting, draw: &mut Draw) -> Option<Vec<Taped>> {
    let (plan, ruling) = (setting.short_plan(), setting.ruling());
    let lays = plan
        .lays
        .iter()
        .filter(|lay| lay.kind == LayKind::Tape || lay.along_tyres());
    let all: Vec<(String, f64, f64)> = lays
        .flat_map(|lay| {
            lay.readings.iter().map(move |reading| {
                let from = lay.start_name(plan);
                let from = match lay.kind {
                    LayKind::Tape => from,
                    LayKind::String => format!("string {from}–{}", lay.to_name(plan)),
                };
                let to = &plan.marks[reading.mark].id;
                let should = ruling.round(reading.should_be);
                (format!("{from} to {to}"), should, reading.limit)
            })
        })
        .collect();
    let mut chosen: Vec<usize> = (0..all.len()).collect();
    draw.shuffle(&mut chosen);
    chosen.truncate(READINGS);
    chosen.sort_unstable();
    if chosen.len() < READINGS {
        return None;
    }
    let one = |at: usize| {
        let (name, should, limit) = &all[at];
        let most = (limit / ruling.step()).floor() as i64 - 2;
        let steps = draw.whole(1, most.max(1)) as f64;
        let off = if draw.coin() { steps } else { -steps } * ruling.step();
        Taped {
            name: name.clone(),
            should: *should,
            read: should + off,
            off,
            limit: *limit,
        }
    };
    Some(chosen.into_iter().map(one).collect())
}
