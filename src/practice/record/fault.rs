//! What may be wrong on a record, on which line it stands, and what is done about it.

use super::lines::{Line, Paper, clock};
use crate::practice::{Draw, Level, WrongAnswer};

/// A fault that is planted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// No document and page of the maker's service information.
    NoServiceInformation,
    /// Codes were not read again.
    NoCodesAfter,
    /// Nobody says who laid it out.
    NoTechnician,
    /// The picture was not checked.
    NoPicture,
    /// The work began before the order came in.
    DateBeforeOrder,
    /// A reading is beyond its limit though the layout is called inside.
    BeyondLimit,
    /// A difference does not fit its numbers.
    WrongDifference,
    /// Codes "before" were read when the work had begun.
    CodesLate,
    /// Order and vehicle have two fleet numbers.
    OtherVehicle,
    /// The picture was checked when the strips were gone.
    PictureLate,
    /// The record says of the camera what a layout cannot show.
    SaysCalibrated,
}

/// The remedies of the sheet with their letters.
pub(super) const REMEDIES: [(&str, &str); 10] = [
    (
        "a",
        "name document and page of the maker's service information",
    ),
    ("b", "read the fault codes again and save them"),
    ("c", "have the one who laid it out sign"),
    ("d", "lay the strips again and check the picture over them"),
    (
        "e",
        "clear up the date with the office: no work without an order",
    ),
    (
        "f",
        "put the mark right and tape again before it is called inside",
    ),
    ("g", "work the difference out again and write it in"),
    ("h", "write down that the codes of before the work are lost"),
    ("i", "clear up with the office which vehicle it was"),
    ("j", "strike out what a layout cannot show"),
];

const EMPTY: [Fault; 4] = [
    Fault::NoServiceInformation,
    Fault::NoCodesAfter,
    Fault::NoTechnician,
    Fault::NoPicture,
];
const SHOWN: [Fault; 3] = [
    Fault::DateBeforeOrder,
    Fault::BeyondLimit,
    Fault::WrongDifference,
];
const HIDDEN: [Fault; 4] = [
    Fault::CodesLate,
    Fault::OtherVehicle,
    Fault::PictureLate,
    Fault::SaysCalibrated,
];

impl Fault {
    /// The faults of a sheet, each on a line of its own.
    pub fn draw(level: Level, draw: &mut Draw) -> Vec<Self> {
        let counts = level.of([[1, 0, 0], [1, 1, 0], [1, 2, 0], [1, 1, 2]]);
        let mut all = Vec::new();
        for (pool, count) in [&EMPTY[..], &SHOWN, &HIDDEN].into_iter().zip(counts) {
            let mut pool = pool.to_vec();
            draw.shuffle(&mut pool);
            // An empty picture line cannot be late as well.
            pool.retain(|fault| !(*fault == Self::PictureLate && all.contains(&Self::NoPicture)));
            all.extend(pool.into_iter().take(count));
        }
        all
    }

    /// Plants it, and says on which line it stands.
    pub fn plant(self, paper: &mut Paper, draw: &mut Draw) -> Line {
        let ruling = paper.ruling;
        // Two faults of readings take different ones.
        let free: Vec<usize> = (0..paper.taped.len())
            .filter(|&at| {
                let taped = &paper.taped[at];
                (taped.read - taped.should - taped.off).abs() < 1e-6
                    && taped.off.abs() <= taped.limit
            })
            .collect();
        let one = draw.choose(&free).copied().unwrap_or(0);
        match self {
            Self::NoServiceInformation => {
                paper.service_information.clear();
                Line::ServiceInformation
            }
            Self::NoCodesAfter => {
                paper.after = None;
                Line::CodesAfter
            }
            Self::NoTechnician => {
                paper.technician.clear();
                Line::LaidBy
            }
            Self::NoPicture => {
                paper.picture = None;
                Line::Picture
            }
            Self::DateBeforeOrder => {
                paper.day = paper.received - draw.whole(1, 4);
                Line::Ready
            }
            Self::BeyondLimit => {
                let taped = &mut paper.taped[one];
                let steps = (taped.limit / ruling.step()).floor() + draw.whole(2, 9) as f64;
                taped.off = taped.off.signum() * steps * ruling.step();
                taped.read = taped.should + taped.off;
                Line::Verdict
            }
            Self::WrongDifference => {
                let taped = &mut paper.taped[one];
                // Turned round, or one graduation more: both inside the limit, so that nothing else is wrong.
                taped.off = if draw.coin() {
                    -taped.off
                } else {
                    taped.off + taped.off.signum() * ruling.step()
                };
                Line::Reading(one)
            }
            Self::CodesLate => {
                paper.before = Some(paper.started + 5 * draw.whole(3, 9));
                Line::CodesBefore
            }
            Self::OtherVehicle => {
                paper.fleet = paper.fleet_of_order + [9, -9][usize::from(draw.coin())];
                Line::Vehicle
            }
            Self::PictureLate => {
                let late = paper.strips_up;
                paper.strips_up = paper.picture.unwrap_or(late) - 5;
                paper.picture = Some(late - 5);
                Line::Picture
            }
            Self::SaysCalibrated => {
                paper.note = "marks inside their limits, so the camera is calibrated".to_owned();
                Line::Note
            }
        }
    }

    /// Index of its remedy.
    pub const fn remedy(self) -> usize {
        match self {
            Self::NoServiceInformation => 0,
            Self::NoCodesAfter => 1,
            Self::NoTechnician => 2,
            Self::NoPicture | Self::PictureLate => 3,
            Self::DateBeforeOrder => 4,
            Self::BeyondLimit => 5,
            Self::WrongDifference => 6,
            Self::CodesLate => 7,
            Self::OtherVehicle => 8,
            Self::SaysCalibrated => 9,
        }
    }

    /// Why the line is wrong.
    pub fn why(self, paper: &Paper, line: usize) -> String {
        let ruling = paper.ruling;
        let why = match self {
            Self::NoServiceInformation => {
                "nobody can say by which document the layout was designed".to_owned()
            }
            Self::NoCodesAfter => "the codes were not read again after the work".to_owned(),
            Self::NoTechnician => "nobody signed for the layout".to_owned(),
            Self::NoPicture => "the picture was not checked while the strips still lay".to_owned(),
            Self::DateBeforeOrder => format!(
                "the work began on {day} {month}, the order came in on {received} {month}",
                day = paper.day,
                month = paper.month,
                received = paper.received
            ),
            Self::BeyondLimit => {
                let beyond = paper
                    .taped
                    .iter()
                    .find(|taped| taped.off.abs() > taped.limit);
                beyond.map_or_else(String::new, |taped| {
                    format!(
                        "{} is off by {}, more than {} {}: the layout is not inside",
                        taped.name,
                        ruling.whole(taped.off.abs()),
                        ruling.given(taped.limit),
                        ruling.unit()
                    )
                })
            }
            Self::WrongDifference => {
                let wrong = paper
                    .taped
                    .iter()
                    .find(|taped| (taped.read - taped.should - taped.off).abs() > 1e-6);
                wrong.map_or_else(String::new, |taped| {
                    format!(
                        "{} − {} = {}, not {}",
                        ruling.whole(taped.read),
                        ruling.whole(taped.should),
                        ruling.signed(taped.read - taped.should),
                        ruling.signed(taped.off)
                    )
                })
            }
            Self::CodesLate => format!(
                "the codes were read at {}, when the work had begun at {}",
                clock(paper.before.unwrap_or_default()),
                clock(paper.started)
            ),
            Self::OtherVehicle => format!(
                "fleet vehicle {} here, {} on the order",
                paper.fleet, paper.fleet_of_order
            ),
            Self::PictureLate => format!(
                "the picture was checked at {}, when the strips were gone since {}",
                clock(paper.picture.unwrap_or_default()),
                clock(paper.strips_up)
            ),
            Self::SaysCalibrated => {
                "marks on a floor do not say that a camera is calibrated".to_owned()
            }
        };
        format!("Line {line}: {why}. Remedy {}.", REMEDIES[self.remedy()].0)
    }

    /// A wrong answer that it often gets.
    pub fn misread(self) -> Option<WrongAnswer> {
        let (answer, meaning) = match self {
            Self::BeyondLimit => (
                "the line of the reading",
                "The reading is what the tape showed; the verdict under it is what cannot stand.",
            ),
            Self::DateBeforeOrder => (
                "the line of the order",
                "The order has its own day in the office; the day of the work is later or the same.",
            ),
            Self::OtherVehicle => (
                "the line of the order",
                "The order names the vehicle; the record has to agree with it.",
            ),
            _ => return None,
        };
        Some(WrongAnswer::new(answer, meaning))
    }
}
