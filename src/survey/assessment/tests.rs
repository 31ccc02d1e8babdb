//! Planted mistakes on seeded layouts, and what is said of them.

use kurbo::{Affine, Point, Vec2};

use super::*;
use crate::survey::{
    Geometry, Network, NetworkPoint, Observation, Precision, Verdict,
    dice::Dice,
    fixture::{network, pairs},
};

/// Names, places and tolerance of a layout of the usual kind: four stations, side rails, centreline at both ends.
const MARKS: [(&str, f64, f64); 10] = [
    ("1L", 1700.0, 1250.0),
    ("1C", 1700.0, 0.0),
    ("1R", 1700.0, -1250.0),
    ("2L", 0.0, 1250.0),
    ("2R", 0.0, -1250.0),
    ("3L", -3600.0, 1250.0),
    ("3R", -3600.0, -1250.0),
    ("4L", -5200.0, 1250.0),
    ("4C", -5200.0, 0.0),
    ("4R", -5200.0, -1250.0),
];

const WHEELS: [(&str, f64, f64); 4] = [
    ("WFL", 0.0, 950.0),
    ("WFR", 0.0, -950.0),
    ("WRL", -3600.0, 940.0),
    ("WRR", -3600.0, -940.0),
];

const TOLERANCE: f64 = 5.0;

/// Distances from wheel marks to grid marks.
const TIES: [(usize, usize); 8] = [
    (10, 3),
    (10, 0),
    (11, 4),
    (11, 2),
    (12, 5),
    (12, 7),
    (13, 6),
    (13, 9),
];

/// A layout on the floor, its true places and how it is taped.
struct Floor {
    places: Vec<Point>,
    precision: Precision,
    tied: bool,
}

impl Floor {
    /// Laid exactly as designed.
    fn as_designed() -> Self {
        let places = MARKS
            .iter()
            .chain(&WHEELS)
            .map(|&(_, x, y)| Point::new(x, y))
            .collect();
        Self {
            places,
            precision: Precision::default(),
            tied: false,
        }
    }

    fn tied(self) -> Self {
        Self { tied: true, ..self }
    }

    fn moved(mut self, id: &str, by: (f64, f64)) -> Self {
        self.places[point(id)] += Vec2::from(by);
        self
    }

    fn grid(mut self, by: Affine) -> Self {
        self.places[..MARKS.len()]
            .iter_mut()
            .for_each(|place| *place = by * *place);
        self
    }

    /// Tapes all distances that do not run along one of the wheels' lines, with errors drawn at random.
    fn taped(&self, dice: &mut Dice) -> TapedLayout {
        let count = MARKS.len();
        let mut taped = pairs(count);
        taped.retain(|&[from, to]| (from + 2 * to) % 5 != 4);
        let wheels: &[_] = if self.tied { &WHEELS } else { &[] };
        if self.tied {
            taped.extend(TIES.map(|(wheel, mark)| [wheel, mark]));
        }
        let points = MARKS.iter().chain(wheels);
        let points: Vec<NetworkPoint> = points
            .map(|&(id, x, y)| NetworkPoint::free(id, Point::new(x, y)))
            .collect();
        let distance = |[from, to]: [usize; 2]| {
            let true_length = self.places[from].distance(self.places[to]);
            let sd = self.precision.distance(true_length);
            Observation::new(
                Geometry::Distance { from, to },
                true_length + dice.normal(sd),
                sd,
            )
        };
        let mut observations: Vec<Observation> = taped.into_iter().map(distance).collect();
        for (point, wheel) in points.iter().enumerate().skip(count) {
            let (sd, at) = (self.precision.plumb, wheel.start);
            let x = Observation::new(Geometry::X { point }, at.x + dice.normal(sd), sd);
            let y = Observation::new(Geometry::Y { point }, at.y + dice.normal(sd), sd);
            observations.extend([x, y]);
        }
        let of_mark = |index: usize| (index < count).then_some(index);
        let marks = (0..points.len()).map(of_mark);
        TapedLayout {
            origin: Vec2::ZERO,
            designs: marks
                .clone()
                .map(|mark| Some(points[mark?].start))
                .collect(),
            tolerances: marks.map(|mark| mark.map(|_| TOLERANCE)).collect(),
            wheels: (count..points.len()).collect(),
            further: pairs(count),
            network: Network {
                points,
                observations,
            },
            ..TapedLayout::default()
        }
    }
}

fn point(id: &str) -> usize {
    MARKS
        .iter()
        .chain(&WHEELS)
        .position(|(name, ..)| *name == id)
        .unwrap()
}

/// Index of a distance that was taped.
fn reading(layout: &TapedLayout, from: usize, to: usize) -> usize {
    let mut taped = layout.network.observations.iter();
    taped
        .position(|one| one.geometry == Geometry::Distance { from, to })
        .unwrap()
}

fn judged(floor: &Floor, seed: u64) -> Assessment {
    assess(&floor.taped(&mut Dice(seed))).unwrap()
}

fn finding<'a>(assessment: &'a Assessment, id: &str) -> &'a MarkFinding {
    assessment.marks.iter().find(|mark| mark.id == id).unwrap()
}

#[test]
fn a_good_layout_is_inside_and_nothing_is_advised() {
    let found = judged(&Floor::as_designed(), 7);
    assert_eq!(
        (found.verdict, found.datum),
        (Some(Verdict::Inside), crate::survey::Datum::Free)
    );
    assert!(
        found.findings.is_empty() && found.suspects.is_empty(),
        "{:?}",
        found.findings
    );
    assert!(found.pose.is_none());
}

#[test]
fn a_mark_that_lies_off_is_told_from_a_wrong_reading_and_gets_its_way_back() {
    let found = judged(&Floor::as_designed().moved("4R", (9.0, -3.0)), 11);
    assert!(found.suspects.is_empty(), "{:?}", found.suspects);
    assert_eq!(finding(&found, "4R").verdict, Some(Verdict::Outside));
    let mut others = found.marks.iter().filter(|mark| mark.id != "4R");
    assert!(others.all(|mark| mark.verdict == Some(Verdict::Inside)));
    let moved = finding(&found, "4R").moved.unwrap();
    assert!((moved - Vec2::new(9.0, -3.0)).hypot() < 3.0, "{moved:?}");
}

#[test]
fn a_reading_100_mm_out_is_named_with_its_cause_and_no_mark_is_blamed() {
    let floor = Floor::as_designed();
    let mut layout = floor.taped(&mut Dice(13));
    let wrong = reading(&layout, 0, 6);
    layout.network.observations[wrong].value += 100.0;
    let found = assess(&layout).unwrap();
    assert_eq!(found.suspects.len(), 1);
    assert_eq!(found.suspects[0].observation, wrong);
    assert_eq!(
        found.suspects[0].cause,
        Some(Slip::Misread(Misread::HundredMm))
    );
    // Nothing is passed while a reading is in doubt.
    assert_eq!(found.verdict, Some(Verdict::Undecided));
    assert!(
        found
            .marks
            .iter()
            .all(|mark| mark.verdict == Some(Verdict::Inside))
    );
}

#[test]
fn a_reading_to_the_mark_on_the_other_side_is_named() {
    let floor = Floor::as_designed();
    let mut layout = floor.taped(&mut Dice(17));
    let at = reading(&layout, 0, 6);
    layout.network.observations[at].value = floor.places[0].distance(floor.places[5]);
    let found = assess(&layout).unwrap();
    assert_eq!(
        found.suspects[0].cause,
        Some(Slip::OtherSide { from: 0, to: 5 })
    );
}

#[test]
fn a_grid_turned_against_the_vehicle_is_good_in_itself() {
    let turn = Affine::rotate(0.25_f64.to_radians());
    let found = judged(&Floor::as_designed().grid(turn).tied(), 19);
    let pose = found.pose.unwrap();
    assert!((pose.turned - 0.25).abs() < 4.0 * pose.sd[2], "{pose:?}");
    let mut verdicts = found.marks.iter().filter_map(|mark| mark.verdict);
    assert!(verdicts.all(|verdict| verdict == Verdict::Inside));
    assert_eq!(
        (pose.verdict, found.verdict),
        (Some(Verdict::Outside), Some(Verdict::Outside))
    );
}

#[test]
fn two_names_exchanged_a_mirrored_grid_and_a_shrunk_print_are_told_for_what_they_are() {
    let mut floor = Floor::as_designed();
    floor.places.swap(point("2L"), point("2R"));
    let exchanged = judged(&floor, 23);
    assert!(
        ["2L", "2R"]
            .iter()
            .all(|id| finding(&exchanged, id).displaced)
    );
    let mirrored = judged(&Floor::as_designed().grid(Affine::FLIP_Y).tied(), 29);
    assert!(
        mirrored
            .findings
            .contains(&Finding::Whole(WholeFault::Mirrored)),
        "{:?}",
        mirrored.findings
    );
    assert_eq!(mirrored.verdict, Some(Verdict::Outside));
    let shrunk = judged(&Floor::as_designed().grid(Affine::scale(0.97)), 31);
    assert!(
        matches!(shrunk.findings[..], [Finding::Whole(WholeFault::Scaled(scale))] if (scale - 0.97).abs() < 0.001),
        "{:?}",
        shrunk.findings
    );
    assert_eq!(shrunk.verdict, Some(Verdict::Outside));
}

#[test]
fn a_worn_hook_blames_the_tape_and_no_mark() {
    for (seed, hook) in [(43, 3.0), (47, -4.0), (53, 2.5)] {
        let mut layout = Floor::as_designed().taped(&mut Dice(seed));
        layout
            .network
            .observations
            .iter_mut()
            .for_each(|taped| taped.value += hook);
        let found = assess(&layout).unwrap();
        let constant = found.constant_error.unwrap();
        assert!((constant - hook).abs() < 1.0, "{constant}");
        assert!(
            found
                .marks
                .iter()
                .all(|mark| mark.verdict != Some(Verdict::Outside))
        );
        assert_eq!(found.verdict, Some(Verdict::Undecided));
    }
    for floor in [
        Floor::as_designed(),
        Floor::as_designed().moved("4R", (30.0, 20.0)),
        Floor::as_designed().grid(Affine::scale(1.003)),
    ] {
        assert_eq!(judged(&floor, 59).constant_error, None);
    }
}

#[test]
fn a_mark_that_too_few_readings_hold_is_named_with_the_pull_to_add() {
    let mut layout = Floor::as_designed().taped(&mut Dice(37));
    let of = |observation: &Observation| observation.geometry.points().contains(&point("1C"));
    let mut left = 1;
    layout
        .network
        .observations
        .retain(|observation| !of(observation) || std::mem::take(&mut left) > 0);
    let found = assess(&layout).unwrap();
    assert!(finding(&found, "1C").place.is_none());
    assert_eq!(found.pulls_to_add.len(), 1);
    assert_eq!(found.verdict, Some(Verdict::Undecided));
    layout.network.observations.truncate(2);
    assert!(
        matches!(assess(&layout), Err(AssessError::NothingHeld { pulls }) if !pulls.is_empty())
    );
}

#[test]
fn readings_that_just_place_the_marks_pass_nothing() {
    // Each new mark on two distances from the first two: 2n − 3 readings.
    let mut layout = Floor::as_designed().taped(&mut Dice(41));
    let base = [0, 4];
    let taped = (0..MARKS.len()).flat_map(|to| base.map(|from| [from, to]));
    let taped: Vec<_> = taped
        .filter(|&[from, to]| from != to && [from, to] != [4, 0])
        .collect();
    let places = MARKS.map(|(_, x, y)| (x, y));
    layout.network.observations = network(&places, &taped).observations;
    let found = assess(&layout).unwrap();
    assert_eq!((found.dof, found.verdict), (0, Some(Verdict::Undecided)));
    assert_eq!(found.sigma0, None);
}

#[test]
fn with_one_degree_of_freedom_nothing_is_set_aside_and_all_readings_are_suspected_alike() {
    // A point on three distances from fixed points, one of them 20 standard deviations long.
    let point = |id: &str, x, y, fixed| NetworkPoint {
        id: id.to_owned(),
        start: Point::new(x, y),
        fixed,
    };
    let points = vec![
        point("1", 0.0, 1000.0, true),
        point("2", -900.0, -700.0, true),
        point("3", 900.0, -700.0, true),
        point("P", 10.0, -20.0, false),
    ];
    let taped = |(from, value)| Observation::new(Geometry::Distance { from, to: 3 }, value, 1.0);
    let observations = [(0, 1020.0), (1, 1140.2), (2, 1140.2)].map(taped).to_vec();
    let layout = TapedLayout {
        network: Network {
            points,
            observations,
        },
        designs: vec![None; 4],
        tolerances: vec![None; 4],
        ..TapedLayout::default()
    };
    let found = assess(&layout).unwrap();
    assert_eq!(
        (found.dof, found.suspects.len(), found.suspects[0].or.len()),
        (1, 1, 2)
    );
    assert!(found.sigma0.unwrap() > 3.3 && !found.global_test.unwrap().passed);
    assert_eq!(
        found
            .readings
            .iter()
            .filter(|reading| reading.suspect)
            .count(),
        1
    );
}

/// Seeded layouts for a rate; the sampling error of a rate near 95 % is then 1 %.
const LAYOUTS: u64 = 400;

#[test]
fn planted_mistakes_well_above_the_detectable_size_are_named_right_in_95_percent() {
    let (mut readings, mut marks) = (0, 0);
    for seed in 1..=LAYOUTS {
        let mut dice = Dice(seed * 7919);
        let floor = Floor::as_designed();
        let mut layout = floor.taped(&mut dice);
        let first = assess(&layout).unwrap();
        let planted = (dice.unit() * layout.network.observations.len() as f64) as usize;
        let size = 1.5 * first.readings[planted].smallest_error.unwrap();
        layout.network.observations[planted].value += if dice.unit() < 0.5 { size } else { -size };
        let found = assess(&layout).unwrap();
        let mut suspects = found.suspects.iter();
        let named = suspects.any(|suspect| suspect.observation == planted);
        readings += u64::from(named);
        let (moved, away) = ((dice.unit() * MARKS.len() as f64) as usize, 3.0 * TOLERANCE);
        let by = Vec2::from_angle(dice.unit() * 6.3) * away;
        let found = assess(&floor.moved(MARKS[moved].0, (by.x, by.y)).taped(&mut dice)).unwrap();
        let only = found
            .marks
            .iter()
            .enumerate()
            .all(|(index, mark)| (mark.verdict == Some(Verdict::Outside)) == (index == moved));
        marks += u64::from(only && found.suspects.is_empty());
    }
    assert!(
        readings * 100 >= LAYOUTS * 95,
        "{readings} readings of {LAYOUTS}"
    );
    assert!(marks * 100 >= LAYOUTS * 95, "{marks} marks of {LAYOUTS}");
}

#[test]
fn false_alarms_and_ellipses_keep_their_promise() {
    let (mut suspected, mut total, mut covered, mut places) = (0, 0, 0, 0);
    for seed in 1..=LAYOUTS {
        let floor = Floor::as_designed();
        let found = judged(&floor, seed * 104_729);
        total += found.readings.len();
        suspected += found.suspects.len();
        assert!(found.verdict != Some(Verdict::Outside), "seed {seed}");
        for mark in &found.marks {
            // χ² with 2 degrees of freedom at 95 %.
            let inside =
                mark.moved_covariance.squared_distance(mark.moved.unwrap()) <= -2.0 * 0.05_f64.ln();
            (covered, places) = (covered + usize::from(inside), places + 1);
        }
    }
    // 0.1 % of single tests; each reading's test is one, so within four sampling errors of it.
    let expected = total as f64 * 0.001;
    assert!(
        (suspected as f64 - expected).abs() < 4.0 * expected.sqrt(),
        "{suspected} of {total}"
    );
    let rate = covered as f64 / places as f64;
    assert!((rate - 0.95).abs() < 0.015, "{rate}");
}

/// Sixteen marks on a trapezium of rows, mm, with all distances between them taped.
fn all_taped(dice: &mut Dice) -> TapedLayout {
    let place = |index: usize| {
        let (column, row) = ((index % 4) as f64, (index / 4) as f64);
        (1200.0 * column, row * (900.0 + 40.0 * column))
    };
    let places: Vec<(f64, f64)> = (0..16).map(place).collect();
    let mut network = network(&places, &pairs(places.len()));
    network
        .observations
        .iter_mut()
        .for_each(|taped| taped.value += dice.normal(1.0));
    TapedLayout {
        designs: network
            .points
            .iter()
            .map(|point| Some(point.start))
            .collect(),
        tolerances: vec![Some(TOLERANCE); places.len()],
        network,
        ..TapedLayout::default()
    }
}

#[test]
fn where_every_fourth_of_many_readings_is_grossly_wrong_all_of_them_are_named_and_no_mark_is_blamed()
 {
    let mut besides = 0;
    for seed in 61..=70 {
        let mut dice = Dice(seed);
        let mut layout = all_taped(&mut dice);
        let wrong: Vec<usize> = (0..layout.network.observations.len()).step_by(4).collect();
        for &index in &wrong {
            layout.network.observations[index].value +=
                if dice.unit() < 0.5 { 910.0 } else { -100.0 };
        }
        let found = assess(&layout).unwrap();
        let named = |index: &usize| {
            found
                .suspects
                .iter()
                .any(|suspect| suspect.observation == *index)
        };
        assert!(wrong.iter().all(named), "seed {seed}: {:?}", found.suspects);
        besides += found.suspects.len() - wrong.len();
        assert!(
            found
                .marks
                .iter()
                .all(|mark| mark.verdict != Some(Verdict::Outside)),
            "seed {seed}"
        );
    }
    // 900 right readings, each suspected by chance once in a thousand.
    assert!(besides <= 4, "{besides}");
}
