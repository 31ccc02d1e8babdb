//! What holds of every plan, whatever the vehicle measures and a job sets.

use kurbo::Vec2;
use proptest::prelude::*;

use super::{CheckKind, FloorPlan, Setting};
use crate::{
    property_tests::seeded,
    source::{Place, Source},
    template::TemplateSpec,
    units::ROUND_OFF_MM,
    vehicle::VehicleSpec,
};

/// Strips around a vehicle, cross lines at its wheels, points by bearing behind it, and a value for each number.
const TEMPLATE: &str = r#"format = "template/1"
name = "test layout"
purpose = "tests"
origin = "front axle"
[values.front_gap]
meaning = "front bumper to the front line"
default = "750 mm"
least = "100 mm"
most = "2 m"
[values.side_gap]
meaning = "tyres to the side lines"
default = "300 mm"
least = "100 mm"
most = "2 m"
[values.bearing]
meaning = "bearing of the points"
default = "30 deg"
least = "0 deg"
most = "80 deg"
[[stations]]
name = "front"
meaning = "front line"
from = "front bumper"
ahead = "front_gap"
[[stations]]
name = "axle"
meaning = "rear wheels"
from = "rear axle"
[[stations]]
name = "rear"
meaning = "rear line"
from = "rear bumper"
behind = "500 mm"
[[rails]]
name = "side"
from = "tyre outer face"
outward = "side_gap"
[[rails]]
name = "tip"
from = "side"
outward = "200 mm"
[[marks]]
stations = ["front", "rear"]
rails = ["centre", "side"]
tolerance = "4 mm"
[[marks]]
stations = ["axle"]
rails = ["side", "tip"]
tolerance = "2 mm"
[[points]]
name = "P"
meaning = "a point behind the corner"
from = "rear corner"
bearing_from = "rearward"
bearing = "bearing"
distance = "1500 mm"
tolerance = "8 mm"
[[lines]]
from = "front/side"
to = "rear/side"
sides = "both"
width = "50 mm"
[[lines]]
from = "front/side/left"
to = "front/side/right"
width = "50 mm"
"#;

/// Dimensions of a vehicle, mm, and the values of a job.
#[derive(Clone, Debug)]
struct Case {
    wheelbases: [f64; 2],
    overhangs: [f64; 2],
    tracks: [f64; 2],
    front_gap: f64,
    side_gap: f64,
    bearing: f64,
}

/// The last three are as in a job, so that a tape can be laid to them.
fn cases() -> impl Strategy<Value = Case> {
    let overhangs = [500.0..1200.0_f64, 400.0..1500.0_f64];
    let tracks = [1300.0..1700.0_f64, 1300.0..1700.0_f64];
    let gaps = (100.0..2000.0_f64, 100.0..2000.0_f64, 0.0..80.0_f64);
    (2000.0..4500.0_f64, -60.0..60.0_f64, overhangs, tracks, gaps).prop_map(
        |(wheelbase, differs, overhangs, tracks, (front_gap, side_gap, bearing))| Case {
            wheelbases: [wheelbase, wheelbase + differs],
            overhangs,
            tracks,
            front_gap,
            side_gap,
            bearing,
        },
    )
}

impl Case {
    /// Left and right alike.
    fn even(mut self) -> Self {
        self.wheelbases[1] = self.wheelbases[0];
        self
    }

    fn plan_of(&self, template: &str) -> FloorPlan {
        let ([left, right], [front, rear], [front_track, rear_track]) =
            (self.wheelbases, self.overhangs, self.tracks);
        let width = front_track.max(rear_track) + 220.0;
        let vehicle = format!(
            "format = \"vehicle/1\"\nname = \"test\"\nsource = \"invented\"\nwheelbase_left = {left}\nwheelbase_right = {right}\n\
             front_overhang = {front}\nrear_overhang = {rear}\nfront_track = {front_track}\nrear_track = {rear_track}\n\
             tyre_width = 200\noverall_width = {width}\nwidth_over_mirrors = {}\n",
            width + 200.0
        );
        let set = |name: &str, value: f64| Setting {
            name: name.to_owned(),
            text: value.to_string(),
            place: Place::whole("--set"),
        };
        let settings = [
            set("front_gap", self.front_gap),
            set("side_gap", self.side_gap),
            set("bearing", self.bearing),
        ];
        let vehicle = VehicleSpec::read(&Source::new("v.toml", &vehicle)).unwrap();
        let template = TemplateSpec::read(&Source::new("t.toml", template)).unwrap();
        FloorPlan::resolve(&vehicle, &template, &settings, None).unwrap()
    }

    fn plan(&self) -> FloorPlan {
        self.plan_of(TEMPLATE)
    }
}

fn at(plan: &FloorPlan, id: &str) -> Vec2 {
    let mark = plan.marks.iter().find(|mark| mark.id == id);
    mark.unwrap_or_else(|| panic!("no mark {id}")).at.to_vec2()
}

/// The name of a mark on the other side.
fn other_side(id: &str) -> String {
    let swapped = |letter| match letter {
        'L' => 'R',
        'R' => 'L',
        other => other,
    };
    id.chars().map(swapped).collect()
}

fn mirrored(at: Vec2) -> Vec2 {
    Vec2::new(at.x, -at.y)
}

fn near(one: Vec2, other: Vec2) -> bool {
    (one - other).hypot() < ROUND_OFF_MM
}

proptest! {
    #![proptest_config(seeded(300))]

    #[test]
    fn a_vehicle_seen_in_a_mirror_has_the_mirror_image_of_its_layout(case in cases()) {
        let [left, right] = case.wheelbases;
        let seen = Case { wheelbases: [right, left], ..case.clone() };
        let (plan, seen) = (case.plan(), seen.plan());
        for mark in &plan.marks {
            let image = at(&seen, &other_side(&mark.id));
            prop_assert!(near(image, mirrored(mark.at.to_vec2())), "{mark:?} and {image:?}");
        }
        let lengths = |plan: &FloorPlan| {
            let mut lengths: Vec<f64> = plan.checks.iter().map(|check| check.distance).collect();
            lengths.sort_by(f64::total_cmp);
            lengths
        };
        for (one, other) in lengths(&plan).into_iter().zip(lengths(&seen)) {
            prop_assert!((one - other).abs() < ROUND_OFF_MM);
        }
    }

    #[test]
    fn what_should_be_square_is_square_and_lies_on_the_centreline_by_its_middle(case in cases()) {
        let plan = case.plan();
        for station in ["1", "3"] {
            let [left, centre, right] = ["L", "C", "R"].map(|rail| at(&plan, &format!("{station}{rail}")));
            prop_assert!(near(left, mirrored(right)) && near((left + right) / 2.0, centre) && centre.y == 0.0);
        }
        let diagonal = |one: &str, other: &str| (at(&plan, one) - at(&plan, other)).hypot();
        prop_assert!((diagonal("1L", "3R") - diagonal("1R", "3L")).abs() < ROUND_OFF_MM);
        prop_assert!((diagonal("1L", "3L") - diagonal("1R", "3R")).abs() < ROUND_OFF_MM);
        for base in plan.tape_base {
            prop_assert_eq!(plan.marks[base].at.y, 0.0);
        }
    }

    #[test]
    fn a_vehicle_with_equal_sides_has_diagonals_that_are_equal_in_pairs(case in cases()) {
        let plan = case.even().plan();
        let diagonals = plan.checks.iter().filter(|check| check.kind == CheckKind::Diagonal);
        for check in diagonals {
            let [from, to] = [check.from, check.to].map(|end| at(&plan, &other_side(&plan.marks[end].id)));
            prop_assert!(((from - to).hypot() - check.distance).abs() < ROUND_OFF_MM, "{check:?}");
        }
    }

    #[test]
    fn another_origin_shifts_the_layout_along_and_changes_nothing_in_it(
        case in cases(),
        origin in prop::sample::select(vec!["rear axle", "front bumper", "rear bumper"]),
    ) {
        let plan = case.plan();
        let shifted = case.plan_of(&TEMPLATE.replace("origin = \"front axle\"", &format!("origin = \"{origin}\"")));
        let by = at(&shifted, "1C") - at(&plan, "1C");
        prop_assert!(by.x.abs() > 100.0 && by.y == 0.0);
        for (one, other) in plan.marks.iter().zip(&shifted.marks) {
            prop_assert!(one.id == other.id && near(one.at.to_vec2() + by, other.at.to_vec2()));
            prop_assert!((0..2).all(|base| (one.two_tape[base] - other.two_tape[base]).abs() < ROUND_OFF_MM));
        }
        for (one, other) in plan.checks.iter().zip(&shifted.checks) {
            prop_assert!(one.id == other.id && (one.distance - other.distance).abs() < ROUND_OFF_MM);
        }
    }

    #[test]
    fn a_gap_moves_what_is_measured_from_it_by_as_much_and_nothing_else(case in cases(), by in 1.0..500.0_f64) {
        let wider = Case { front_gap: case.front_gap + by, ..case.clone() };
        if wider.front_gap <= 2000.0 {
            let (plan, wider) = (case.plan(), wider.plan());
            for mark in &plan.marks {
                let expected = if mark.station == Some(1) { by } else { 0.0 };
                let moved = at(&wider, &mark.id) - mark.at.to_vec2();
                prop_assert!(near(moved, Vec2::new(expected, 0.0)), "{mark:?} moved by {moved:?}");
            }
        }
    }

    #[test]
    fn two_tapes_from_the_base_marks_meet_at_the_mark(case in cases()) {
        let plan = case.plan();
        let [front, rear] = plan.tape_base.map(|base| plan.marks[base].at);
        prop_assert!(front.x > rear.x);
        for mark in &plan.marks {
            let apart = front.distance(rear);
            let [to_front, to_rear] = mark.two_tape;
            // Law of cosines: how far behind the front mark, and how far beside the centreline.
            let behind = (to_front.powi(2) - to_rear.powi(2) + apart.powi(2)) / (2.0 * apart);
            let beside = (to_front.powi(2) - behind.powi(2)).max(0.0).sqrt();
            prop_assert!((front.x - behind - mark.at.x).abs() < ROUND_OFF_MM, "{mark:?}");
            // Near the centreline a root of a small difference loses half of its digits.
            prop_assert!((beside - mark.at.y.abs()).abs() < 0.01, "{mark:?}: {beside}");
        }
    }
}
