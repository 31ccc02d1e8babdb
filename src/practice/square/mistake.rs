//! What goes wrong when a layout is set and taped, and the readings that come of it.

use kurbo::{Point, Vec2};

use super::ground::{End, Ground, Pull};
use crate::{
    practice::{Draw, Level, Ruling},
    survey::Precision,
    units::{MM_PER_INCH, ROUND_OFF},
};

/// A planted mistake.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Mistake {
    /// A mark lies off.
    Moved {
        /// Its index.
        mark: usize,
        /// By how much, mm.
        by: Vec2,
    },
    /// All marks of a station lie off alike: it was set from a wrong datum.
    Station {
        /// Its number.
        number: usize,
        /// Its marks.
        marks: Vec<usize>,
        /// By how much, mm.
        by: Vec2,
    },
    /// A distance was misread.
    Misread {
        /// Index of the distance.
        pull: usize,
        /// How.
        slip: Slip,
    },
    /// The grid is turned about the layout's origin, counter-clockwise seen from above.
    Turned {
        /// Degrees.
        degrees: f64,
    },
}

/// How a distance was misread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Slip {
    /// By this many mm.
    By(f64),
    /// Two neighbouring digits exchanged.
    Exchanged,
    /// Read on the other side of the tape: inches written down as centimetres, or centimetres as inches.
    OtherSide,
}

/// What is drawn from.
#[derive(Clone, Copy, PartialEq)]
enum Sort {
    Moved,
    TwoMoved,
    Misread,
    Exchanged,
    OtherSide,
    Station,
    MovedAndMisread,
    Turned,
}

impl Mistake {
    /// The marks that it moves, and how far each.
    pub fn moves(&self) -> Vec<(usize, Vec2)> {
        match self {
            Self::Moved { mark, by } => vec![(*mark, *by)],
            Self::Station { marks, by, .. } => marks.iter().map(|&mark| (mark, *by)).collect(),
            Self::Misread { .. } | Self::Turned { .. } => Vec::new(),
        }
    }

    /// Mistakes of a level; `None` where what was drawn does not go with the layout. Sizes are round numbers.
    pub fn draw(ground: &Ground, level: Level, draw: &mut Draw) -> Option<Vec<Self>> {
        use Sort::{
            Exchanged, Misread, Moved, MovedAndMisread, OtherSide, Station, Turned, TwoMoved,
        };
        let sorts: &[Sort] = level.of([
            &[Moved][..],
            &[Moved, Moved, Misread],
            &[
                Moved, Moved, Moved, Misread, Exchanged, OtherSide, Station, Station,
            ],
            &[
                TwoMoved,
                TwoMoved,
                Station,
                MovedAndMisread,
                MovedAndMisread,
                Turned,
                Turned,
            ],
        ]);
        let sort = *draw.choose(sorts)?;
        let sort = if sort == Turned && !ground.has_wheels() {
            TwoMoved
        } else {
            sort
        };
        Some(match sort {
            Moved => vec![moved(ground, level, draw)?],
            TwoMoved => two(
                moved(ground, level, draw)?,
                moved(ground, level, draw)?,
                ground,
            )?,
            Misread => vec![misread(ground, slip_by(ground, draw)?, draw)?],
            Exchanged => vec![misread(ground, Slip::Exchanged, draw)?],
            OtherSide => vec![misread(ground, Slip::OtherSide, draw)?],
            Station => vec![station(ground, draw)?],
            MovedAndMisread => {
                let slip = slip_by(ground, draw)?;
                two(
                    moved(ground, level, draw)?,
                    misread(ground, slip, draw)?,
                    ground,
                )?
            }
            Turned => {
                let degrees = draw.stepped(0.3, 0.8, 0.1);
                vec![Self::Turned {
                    degrees: if draw.coin() { degrees } else { -degrees },
                }]
            }
        })
    }
}

/// One of the four directions.
fn along_an_axis(mm: f64, draw: &mut Draw) -> Vec2 {
    let by = if draw.coin() {
        Vec2::new(mm, 0.0)
    } else {
        Vec2::new(0.0, mm)
    };
    if draw.coin() { by } else { -by }
}

fn moved(ground: &Ground, level: Level, draw: &mut Draw) -> Option<Mistake> {
    let sizes = ground.ruling.pick(
        [(40.0, 80.0, 10.0), (25.0, 60.0, 5.0)],
        [(1.5, 3.0, 0.5), (1.0, 2.5, 0.25)],
    );
    let marks: Vec<usize> = (0..ground.plan.marks.len()).collect();
    let mark = *draw.choose(&marks)?;
    let mm = drawn_size(ground, sizes[usize::from(level.number() > 1)], draw);
    Some(Mistake::Moved {
        mark,
        by: along_an_axis(mm, draw),
    })
}

/// A size in mm from the least to the most, in steps of the last, all in the ruling's unit.
fn drawn_size(ground: &Ground, (least, most, step): (f64, f64, f64), draw: &mut Draw) -> f64 {
    draw.stepped(least, most, step) * ground.ruling.pick(1.0, MM_PER_INCH)
}

/// A hundred or ten mm, or a foot or an inch, too much or too little.
fn slip_by(ground: &Ground, draw: &mut Draw) -> Option<Slip> {
    let (large, small) = ground
        .ruling
        .pick((100.0, 10.0), (12.0 * MM_PER_INCH, MM_PER_INCH));
    draw.choose(&[large, -large, large, -large, small, -small])
        .copied()
        .map(Slip::By)
}

fn misread(ground: &Ground, slip: Slip, draw: &mut Draw) -> Option<Mistake> {
    let taped: Vec<usize> = (0..ground.pulls.len())
        .filter(|&pull| !ground.pulls[pull].has_wheel_end())
        .collect();
    draw.choose(&taped)
        .map(|&pull| Mistake::Misread { pull, slip })
}

fn station(ground: &Ground, draw: &mut Draw) -> Option<Mistake> {
    let marks = &ground.plan.marks;
    let on =
        |number: usize| (0..marks.len()).filter(move |&mark| marks[mark].station == Some(number));
    let last = marks.iter().filter_map(|mark| mark.station).max()?;
    let wide: Vec<usize> = (1..=last)
        .filter(|&number| on(number).count() > 1)
        .collect();
    let number = *draw.choose(&wide)?;
    let sizes = ground.ruling.pick((30.0, 120.0, 10.0), (1.5, 5.0, 0.5));
    let mm = drawn_size(ground, sizes, draw);
    let by = Vec2::new(if draw.coin() { mm } else { -mm }, 0.0);
    Some(Mistake::Station {
        number,
        marks: on(number).collect(),
        by,
    })
}

/// Two mistakes that have nothing to do with each other.
fn two(one: Mistake, other: Mistake, ground: &Ground) -> Option<Vec<Mistake>> {
    let apart = match (&one, &other) {
        (Mistake::Moved { mark: a, .. }, Mistake::Moved { mark: b, .. }) => {
            let station = |mark: usize| {
                (
                    ground.plan.marks[mark].station,
                    ground.plan.marks[mark].meaning.as_str(),
                )
            };
            a != b
                && station(*a) != station(*b)
                && !is_a_station_the_other_way(ground, [*a, *b], &[&one, &other])
        }
        (Mistake::Moved { mark, .. }, Mistake::Misread { pull, .. }) => {
            !ground.pulls[*pull].touches(*mark)
        }
        _ => false,
    };
    apart.then(|| vec![one, other])
}

/// True when all other marks are of one station and both marks lie off along the vehicle: in a grid that is taped in itself
/// the station that lies off the other way explains that as well.
fn is_a_station_the_other_way(ground: &Ground, moved: [usize; 2], mistakes: &[&Mistake]) -> bool {
    let marks = &ground.plan.marks;
    let mut others = (0..marks.len())
        .filter(|mark| !moved.contains(mark))
        .map(|mark| marks[mark].station);
    let first = others.next().flatten();
    let along = mistakes
        .iter()
        .flat_map(|mistake| mistake.moves())
        .all(|(_, by)| by.y == 0.0);
    !ground.has_wheels() && along && first.is_some() && others.all(|station| station == first)
}

/// The readings, mm on graduations, in the order of the distances; `None` where a slip cannot be made of a number.
///
/// Up to level 3 the noise is one of −1, 0 and 1 mm, which makes sheets without a mistake differ as well; level 4 has that of
/// a real tape and hand.
pub(super) fn readings(
    ground: &Ground,
    mistakes: &[Mistake],
    precision: &Precision,
    level: Level,
    draw: &mut Draw,
) -> Option<Vec<f64>> {
    let place = |end: &End| lies(end, mistakes);
    let taped = |pull: &Pull| {
        let distance = place(&pull.ends[0]).distance(place(&pull.ends[1]));
        let noise = match level.number() {
            1..=3 => draw.whole(-1, 1) as f64,
            // Rounding scatters as well, each time by the step over the root of 12: of the reading, and of the places of
            // both ends.
            _ => {
                let [sd, rounding] = [
                    precision.distance(distance),
                    ground.ruling.step() / 12_f64.sqrt(),
                ];
                draw.normal((sd * sd - 3.0 * rounding * rounding).max(0.0).sqrt())
            }
        };
        ground.ruling.round(distance + noise)
    };
    let mut readings: Vec<f64> = ground.pulls.iter().map(taped).collect();
    for mistake in mistakes {
        if let Mistake::Misread { pull, slip } = mistake {
            readings[*pull] = slip.written(readings[*pull], ground.ruling, draw)?;
        }
    }
    Some(readings)
}

/// Where an end lies on the floor.
fn lies(end: &End, mistakes: &[Mistake]) -> Point {
    let Some(mark) = end.mark else { return end.at };
    mistakes.iter().fold(end.at, |at, mistake| match mistake {
        Mistake::Turned { degrees } => kurbo::Affine::rotate(degrees.to_radians()) * at,
        _ => mistake
            .moves()
            .iter()
            .find(|(moved, _)| *moved == mark)
            .map_or(at, |(_, by)| at + *by),
    })
}

impl Slip {
    /// Least change by exchanged digits, mm: less is not told from a push on the tape.
    const LEAST_EXCHANGED_MM: f64 = 18.0;

    fn written(self, reading: f64, ruling: Ruling, draw: &mut Draw) -> Option<f64> {
        match self {
            Self::By(mm) => Some(reading + mm),
            Self::OtherSide => Some(
                ruling
                    .round(ruling.pick(reading / MM_PER_INCH * 10.0, reading / 10.0 * MM_PER_INCH)),
            ),
            Self::Exchanged => {
                // Of whole mm, or of the whole inches before a fraction.
                let unit = ruling.pick(1.0, MM_PER_INCH);
                let whole = (reading / unit + ROUND_OFF).floor();
                let digits: Vec<char> = format!("{whole:.0}").chars().collect();
                let exchanged = |index: usize| {
                    let mut digits = digits.clone();
                    digits.swap(index, index + 1);
                    let other = digits.iter().collect::<String>().parse::<f64>().ok()?;
                    Some(reading + (other - whole) * unit)
                };
                // The first digit is that of the metres, which nobody confuses; inches have none to spare.
                let first = ruling.pick(1, 0);
                let others = (first..digits.len().saturating_sub(1)).filter_map(exchanged);
                let far: Vec<f64> = others
                    .filter(|other| (other - reading).abs() >= Self::LEAST_EXCHANGED_MM)
                    .collect();
                draw.choose(&far).copied()
            }
        }
    }
}
