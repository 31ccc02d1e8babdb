//! What a tape across the front or the rear reads.

use super::line::Line;
use crate::practice::{Block, Cell, Draw, Ruling, layout::Drawn};

/// What is drawn, in graduations of 1 mm and of 1/16 in: least and most.
struct Range(i64, i64);

impl Range {
    fn draw(&self, draw: &mut Draw) -> i64 {
        draw.whole(self.0, self.1)
    }
}

/// Two features that mirror each other, read on a tape.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    /// What the middle reads, mm.
    pub middle: f64,
    /// How far each lies from the middle, mm.
    half: f64,
    /// True where the tape's zero lies left.
    zero_left: bool,
}

impl Pair {
    /// What the left and the right one read, mm.
    pub fn readings(&self) -> [f64; 2] {
        let near = [self.middle - self.half, self.middle + self.half];
        if self.zero_left {
            near
        } else {
            [near[1], near[0]]
        }
    }
}

/// A tape laid across one end once.
#[derive(Clone, Copy, Debug)]
pub(super) struct Taping {
    /// At the front, or at the rear.
    pub front: bool,
    /// The tape's zero lies left, or right.
    pub zero_left: bool,
    /// The lamps.
    pub lamps: Pair,
    /// The seams of the bumper, at level 4.
    pub seams: Option<Pair>,
    /// What the badge reads, mm.
    pub badge: f64,
    /// The badge lies right of the middle.
    pub badge_right: bool,
    /// Taped a second time.
    pub again: bool,
}

/// All tapings of a sheet.
pub(super) struct Tapings {
    /// In the order of the sheet.
    pub all: Vec<Taping>,
    /// Most by which two middles may differ, mm, where there are two.
    pub limit: Option<f64>,
}

impl Taping {
    /// "front", "rear".
    pub fn end(&self) -> &'static str {
        if self.front { "front" } else { "rear" }
    }

    /// "rear, again".
    pub fn name(&self) -> String {
        let again = if self.again { ", again" } else { "" };
        format!("{}{again}", self.end())
    }

    /// The middle, mm: of two pairs their mean.
    pub fn middle(&self) -> f64 {
        self.seams.map_or(self.lamps.middle, |seams| {
            f64::midpoint(self.lamps.middle, seams.middle)
        })
    }

    /// By how much the middles differ, mm.
    pub fn differ(&self) -> f64 {
        self.seams
            .map_or(0.0, |seams| (self.lamps.middle - seams.middle).abs())
    }

    /// How far the badge lies off the middle, mm.
    pub fn badge_off(&self) -> f64 {
        (self.badge - self.middle()).abs()
    }

    /// y of the badge, mm.
    pub fn badge_y(&self) -> f64 {
        self.badge_off() * if self.badge_right { -1.0 } else { 1.0 }
    }

    /// The features with how far they lie from the middle, mm.
    pub fn features(&self) -> impl Iterator<Item = (&'static str, f64)> {
        let seams = self.seams.map(|seams| ("seam", seams.half));
        [("lamp", self.lamps.half)].into_iter().chain(seams)
    }
}

impl Tapings {
    /// Draws them. A badge's offset that the vehicle has, left positive, is that of the front.
    pub fn drawn(
        drawn: &Drawn,
        level: u8,
        badge: Option<f64>,
        line: &Line,
        draw: &mut Draw,
    ) -> Self {
        let ruling = drawn.ruling;
        let one = |front: bool, zero_left: bool, draw: &mut Draw| {
            let badge = badge.filter(|_| front);
            taping(drawn, (front, zero_left), (level, badge), line, draw)
        };
        let zero_left = draw.coin();
        let mut all = vec![one(true, zero_left, draw)];
        if level >= 2 {
            all.push(one(false, !zero_left, draw));
        }
        if level < 4 {
            return Self { all, limit: None };
        }
        let limit = ruling.pick(4.0, 3.0) * ruling.step();
        // The one that is no good is taped before it is taped again.
        let bad = usize::from(draw.coin());
        let apart = draw.whole(ruling.pick(3, 2), ruling.pick(6, 4)) as f64 * 2.0 * ruling.step();
        let sound = all[bad];
        let seams = sound.seams.expect("level 4 has two pairs");
        let shift = if draw.coin() { apart } else { -apart };
        all[bad].seams = Some(Pair {
            middle: all[bad].lamps.middle + shift,
            ..seams
        });
        all.push(Taping {
            again: true,
            ..sound
        });
        Self {
            all,
            limit: Some(limit),
        }
    }

    /// Those whose middles agree.
    pub fn sound(&self) -> impl Iterator<Item = &Taping> {
        let limit = self.limit.unwrap_or(f64::INFINITY);
        let mut sound: Vec<&Taping> = self
            .all
            .iter()
            .filter(|taping| taping.differ() <= limit + 1e-9)
            .collect();
        sound.sort_by_key(|taping| !taping.front);
        sound.into_iter()
    }

    /// One of each end.
    pub fn once(&self) -> impl Iterator<Item = &Taping> {
        self.all.iter().filter(|taping| !taping.again)
    }

    /// The readings as they stand on the sheet.
    pub fn table(&self, ruling: Ruling) -> Block {
        let seams = self.limit.is_some();
        let mut columns = vec![
            "Taped".to_owned(),
            "Zero lies".to_owned(),
            ruling.column("Left lamp"),
            ruling.column("Right lamp"),
        ];
        if seams {
            columns.extend(["Left seam", "Right seam"].map(|what| ruling.column(what)));
        }
        columns.push(ruling.column("Badge"));
        let row = |taping: &Taping| {
            let side = if taping.zero_left { "left" } else { "right" };
            let mut cells = vec![taping.name(), side.to_owned()];
            cells.extend(taping.lamps.readings().map(|mm| ruling.whole(mm)));
            let more = taping.seams.iter().flat_map(Pair::readings);
            cells.extend(more.map(|mm| ruling.whole(mm)));
            cells.push(ruling.whole(taping.badge));
            let cells = cells.into_iter();
            cells
                .map(|text| Cell::Given(text.replace(' ', "\u{a0}")))
                .collect()
        };
        Block::Table {
            columns,
            rows: self.all.iter().map(row).collect(),
        }
    }
}

/// Draws one taping whose middles agree.
fn taping(
    drawn: &Drawn,
    (front, zero_left): (bool, bool),
    (level, badge): (u8, Option<f64>),
    line: &Line,
    draw: &mut Draw,
) -> Taping {
    let (ruling, body) = (drawn.ruling, drawn.plan.vehicle.half_width);
    let step = ruling.step();
    let steps = |mm: f64| (mm / step).round();
    let side = ruling.pick(Range(40, 260), Range(24, 160)).draw(draw);
    let middle = (steps(body) + side as f64) * step;
    let half = |share: [f64; 2], draw: &mut Draw| {
        let [least, most] = share.map(|share| steps(body * share) as i64);
        draw.whole(least, most) as f64 * step
    };
    let (lamps, seams) = (half([0.55, 0.72], draw), half([0.3, 0.45], draw));
    // The middles of two pairs differ by an even number of graduations, so that their mean lies on one.
    let apart = match (level, draw.coin()) {
        (4, true) => step,
        (4, false) => -step,
        _ => 0.0,
    };
    let right = badge.map_or_else(|| draw.coin(), |mm| mm < 0.0);
    let off = badge.map_or_else(
        || line.badge_off(ruling, front && level >= 3, draw),
        |mm| ruling.round(mm.abs()),
    );
    let more = right == zero_left;
    Taping {
        front,
        zero_left,
        lamps: Pair {
            middle: middle + apart,
            half: lamps,
            zero_left,
        },
        seams: (level == 4).then_some(Pair {
            middle: middle - apart,
            half: seams,
            zero_left,
        }),
        badge: middle + if more { off } else { -off },
        badge_right: right,
        again: false,
    }
}
