//! The one reading that tells a trainee how far a mark lies off.

use kurbo::Vec2;

use super::{
    ground::Ground,
    mistake::Mistake,
    proof::{NEAR_DEGREES, NEAR_MM, Planted},
};
use crate::units::ROUND_OFF;

/// A reading that runs less than this along the direction in question tells too little of it: the cosine of 60°.
const LEAST_SHARE: f64 = 0.5;

/// Above this share a reading counts as lying in the direction itself: what it leaves out of 60 mm is 0.3 mm.
pub(super) const FULL_SHARE: f64 = 0.995;

/// Shortest lever that a turn is read with, m: a reading of 1 mm less or more is then 0.06°.
const LEAST_LEVER: f64 = 1.0;

/// A turn is answered to a tenth of a degree; worked out from one reading it may be off by this many times what the adjustment
/// may be.
const COARSER: f64 = 2.0;

/// A reading to a mark that lies off, from one that does not.
pub(super) struct Gauge {
    /// Index of the distance.
    pub pull: usize,
    /// How much longer it gets for each mm that the mark goes forward or, across, to the left: a cosine.
    pub share: f64,
    /// The name of the mark that lies right.
    pub from: String,
    /// Along x or along y: what runs from that mark to the other, mm.
    pub leg: f64,
}

/// The reading that lies best along the way by which a mark lies off.
pub(super) fn gauge(ground: &Ground, mistakes: &[Mistake], mark: usize, by: Vec2) -> Option<Gauge> {
    let misread = |pull: usize| {
        let mut all = mistakes.iter();
        all.any(|one| matches!(one, Mistake::Misread { pull: p, .. } if *p == pull))
    };
    let off = |mark: usize| {
        let mut moves = mistakes.iter().flat_map(Mistake::moves);
        moves.any(|(moved, _)| moved == mark)
    };
    let gauges = ground.pulls.iter().enumerate().filter_map(|(index, pull)| {
        let (from, to) = match &pull.ends {
            [from, to] if to.mark == Some(mark) => (from, to),
            [to, from] if to.mark == Some(mark) => (from, to),
            _ => return None,
        };
        let way = to.at - from.at;
        let leg = if by.x == 0.0 { way.y } else { way.x };
        let share = leg / way.hypot();
        let tells = !misread(index) && !from.mark.is_none_or(off) && share.abs() >= LEAST_SHARE;
        tells.then(|| Gauge {
            pull: index,
            share,
            from: from.name.clone(),
            leg,
        })
    });
    gauges.reduce(|a, b| {
        if b.share.abs() > a.share.abs() + ROUND_OFF {
            b
        } else {
            a
        }
    })
}

/// The reading from a wheel mark with the longest lever about the layout's origin: index, and the lever in m, positive
/// where a turn counter-clockwise makes it longer. Turned by γ, a mark at (x, y) goes by γ (−y, x), of which the part along
/// the tape from (u, v) is γ (y u − x v)/D.
pub(super) fn lever(ground: &Ground) -> Option<(usize, f64)> {
    let pulls = ground.pulls.iter();
    let wheels = pulls.enumerate().filter(|(_, pull)| pull.has_wheel_end());
    let levers = wheels.map(|(index, pull)| {
        let [wheel, mark] = &pull.ends;
        // By the distance as printed, so that the key's numbers put in give the key's lever.
        let lever = (mark.at.y * wheel.at.x - mark.at.x * wheel.at.y) / pull.should / 1000.0;
        (index, lever)
    });
    levers.reduce(|a, b| {
        if b.1.abs() > a.1.abs() + ROUND_OFF {
            b
        } else {
            a
        }
    })
}

/// True when a trainee reads the planted sizes from single readings.
pub(super) fn readable(ground: &Ground, planted: Planted<'_>) -> bool {
    let Planted { mistakes, readings } = planted;
    let difference = |pull: usize| readings[pull] - ground.pulls[pull].should;
    let tells = |(mark, by): (usize, Vec2)| {
        gauge(ground, mistakes, mark, by).is_some_and(|gauge| {
            (difference(gauge.pull) / gauge.share - (by.x + by.y)).abs() <= NEAR_MM
        })
    };
    mistakes.iter().all(|mistake| match mistake {
        Mistake::Moved { mark, by } => tells((*mark, *by)),
        // One of its marks tells for all.
        Mistake::Station { .. } => mistake.moves().into_iter().any(tells),
        Mistake::Misread { .. } => true,
        Mistake::Turned { degrees } => lever(ground).is_some_and(|(pull, lever)| {
            let found = (difference(pull) / lever / 1000.0).to_degrees();
            lever.abs() >= LEAST_LEVER && (found - degrees).abs() <= COARSER * NEAR_DEGREES
        }),
    })
}
