//! From relations and a vehicle to absolute millimetres.

use kurbo::{Point, Rect};

use super::{
    bay::Bay,
    checks::checks,
    ends,
    fault::{Length, MarkFault, PlanFault},
    limits::{self, MOST_FIELDS},
    marks::{FoundMark, Grid, find, unknown_mark},
    model::{
        FloorLimits, FloorNeed, FloorPlan, Line, Mark, Panel, TemplateEcho, ValueEcho, extent_with,
    },
    setting::{Setting, settle},
    stations::{datum_section, resolve_rails, resolve_stations},
    vehicle::{VehicleOnFloor, Wheel},
};
use crate::{
    source::{Fault, Faults, Placed},
    template::{
        Amount, LineSpec, MarkRef, PanelShape, PanelSpec, PanelSpecShape, Side, Sides, TemplateSpec,
    },
    vehicle::VehicleSpec,
};

/// Longest and widest floor that is still a workshop's, mm.
const LARGEST_FLOOR_MM: f64 = 60_000.0;

/// Narrowest and widest tape strip, mm: below, the two edges of a band run together on paper;
/// above, it is a carpet.
const TAPE_STRIP_MM: std::ops::RangeInclusive<f64> = 3.0..=300.0;

/// How far a strip may be carried past a mark, in mm: longer ones get a mark at their end.
const STRIP_PAST_MM: std::ops::RangeInclusive<f64> = 0.0..=2000.0;

/// Smallest and largest panel, cell or arm, mm.
const PANEL_MM: std::ops::RangeInclusive<f64> = 5.0..=5000.0;

/// Smallest and largest tolerance of a mark, mm.
const TOLERANCE_MM: std::ops::RangeInclusive<f64> = 0.5..=100.0;

/// Smallest and largest limit of the floor's slope, mm per metre: below, a laser cannot tell; above, it is a ramp.
const FLOOR_SLOPE_PER_METRE: std::ops::RangeInclusive<f64> = 0.1..=100.0;

/// Smallest and largest limit of the floor's deviation from its plane, mm.
const FLATNESS_MM: std::ops::RangeInclusive<f64> = 0.1..=100.0;

/// Shortest line, mm.
const LEAST_LINE_MM: f64 = 1.0;

/// Wheel diameter in mm for the drawing when only the tyre's width is known.
const DRAWN_WHEEL_DIAMETER_MM: f64 = 650.0;

impl FloorPlan {
    /// Puts a vehicle and a job's settings into a template.
    ///
    /// # Errors
    /// All faults at the place in the file that they come from: unknown or insane settings,
    /// relations that name something unknown or form a circle, and a layout that comes out
    /// mirrored, of no size, or absurdly large.
    pub fn resolve(
        vehicle: &VehicleSpec,
        template: &TemplateSpec,
        settings: &[Setting],
        bay: Option<&Bay>,
    ) -> Result<Self, Faults> {
        let mut faults = Vec::new();
        let plan = build(vehicle, template, settings, bay, &mut faults);
        Faults::none_in(faults)?;
        Ok(plan.expect("a plan that fails to resolve has left a fault"))
    }

    /// Checks a job's settings against a template alone, where there is no vehicle to resolve it with.
    ///
    /// # Errors
    /// Those faults of [`resolve`](Self::resolve) that the settings have by themselves.
    pub fn check_settings(template: &TemplateSpec, settings: &[Setting]) -> Result<(), Faults> {
        let mut faults = Vec::new();
        settle(template, settings, &mut faults);
        Faults::none_in(faults)
    }
}

fn build(
    vehicle: &VehicleSpec,
    template: &TemplateSpec,
    settings: &[Setting],
    bay: Option<&Bay>,
    faults: &mut Vec<Fault>,
) -> Option<FloorPlan> {
    let echoes = settle(template, settings, faults);
    let values: Vec<f64> = echoes.iter().map(|echo| echo.value).collect();
    let origin_x = datum_section(vehicle, template.origin).x(Side::Centre);
    let sections = resolve_stations(&template.stations, vehicle, origin_x, &values, faults);
    let rails = resolve_rails(&template.rails, vehicle, &values, faults);
    let (sections, rails) = (sections?, rails?);
    limits::refuse_many_marks(template, faults)?;
    let grid = Grid {
        template,
        vehicle,
        values: &values,
        sections: &sections,
        rails: &rails,
        origin_x,
    };
    let found = grid.marks(faults);
    let tape_base = tape_base(template, &found, faults);
    let context = OnMarks {
        marks: &found,
        values: &values,
    };
    let lines = context.lines(&template.lines, faults);
    let panels = context.panels(&template.panels, faults);
    refuse_tolerances(template, &values, faults);
    let tape_base = tape_base?;
    let vehicle = on_floor(vehicle, origin_x);
    let checks = checks(&found, tape_base, &vehicle);
    let marks = finish_marks(found, tape_base);
    let half = vehicle.half_width_over_mirrors;
    let standing = Rect::new(vehicle.rear_x, -half, vehicle.front_x, half);
    let taken = extent_with(standing, &marks, &lines, &panels);
    let floor = floor_need(
        taken,
        template,
        &echoes,
        bay.map(|bay| (bay, origin_x)),
        faults,
    );
    Some(FloorPlan {
        checks,
        marks,
        template: TemplateEcho {
            name: template.name.clone(),
            purpose: template.purpose.clone(),
            demonstration: template.demonstration,
            origin: template.origin,
            values: echoes,
        },
        lines,
        panels,
        tape_base,
        lays: Vec::new(),
        proofs: Vec::new(),
        floor,
        preparation: template.preparation.clone(),
        closing: template.closing.clone(),
        mat: None,
        vehicle,
    })
}

/// The foremost and the rearmost mark on the centreline.
fn tape_base(
    template: &TemplateSpec,
    marks: &[FoundMark],
    faults: &mut Vec<Fault>,
) -> Option<[usize; 2]> {
    let centre: Vec<usize> = (0..marks.len())
        .filter(|index| marks[*index].side == Side::Centre)
        .collect();
    if let [front, .., rear] = centre[..] {
        return Some([front, rear]);
    }
    faults.push(template.place.fault(MarkFault::FewOnCentreline));
    None
}

fn finish_marks(found: Vec<FoundMark>, tape_base: [usize; 2]) -> Vec<Mark> {
    let base = tape_base.map(|index| found[index].at);
    found
        .into_iter()
        .map(|mark| Mark {
            two_tape: base.map(|base| base.distance(mark.at)),
            id: mark.id,
            at: mark.at,
            tolerance: mark.tolerance,
            meaning: mark.meaning,
            station: mark.station,
        })
        .collect()
}

fn on_floor(vehicle: &VehicleSpec, origin_x: f64) -> VehicleOnFloor {
    let wheel = |x: f64, y: f64| Wheel {
        centre: Point::new(x - origin_x, y),
        width: vehicle.tyre.width,
        diameter: vehicle.tyre.diameter.unwrap_or(DRAWN_WHEEL_DIAMETER_MM),
    };
    let (front, rear) = (vehicle.front_track / 2.0, vehicle.rear_track / 2.0);
    let named = |name: &str, value: f64| (name.to_owned(), value);
    VehicleOnFloor {
        name: vehicle.name.clone(),
        source: vehicle.source.clone(),
        sources: vehicle.sources.clone(),
        demonstration: vehicle.demonstration,
        front_x: vehicle.front_overhang - origin_x,
        rear_x: -vehicle.wheelbase() - vehicle.rear_overhang - origin_x,
        half_width: vehicle.overall_width / 2.0,
        half_width_over_mirrors: vehicle.width_over_mirrors / 2.0,
        wheels: [
            wheel(0.0, front),
            wheel(0.0, -front),
            wheel(-vehicle.wheelbase_left, rear),
            wheel(-vehicle.wheelbase_right, -rear),
        ],
        badge_offset: vehicle.badge_offset,
        dimensions: vec![
            named("wheelbase_left", vehicle.wheelbase_left),
            named("wheelbase_right", vehicle.wheelbase_right),
            named("front_overhang", vehicle.front_overhang),
            named("rear_overhang", vehicle.rear_overhang),
            named("front_track", vehicle.front_track),
            named("rear_track", vehicle.rear_track),
            named("tyre_width", vehicle.tyre.width),
            named("overall_width", vehicle.overall_width),
            named("width_over_mirrors", vehicle.width_over_mirrors),
            named("badge_offset", vehicle.badge_offset),
        ],
        tyre_code: vehicle.tyre.code.map(|code| code.to_string()),
    }
}

fn refuse_tolerances(template: &TemplateSpec, values: &[f64], faults: &mut Vec<Fault>) {
    let amounts = template
        .marks
        .iter()
        .map(|m| &m.tolerance)
        .chain(template.points.iter().map(|p| &p.tolerance));
    for amount in amounts {
        within(amount, values, &TOLERANCE_MM, Length::Tolerance, faults);
    }
}

fn within(
    amount: &Placed<Amount>,
    values: &[f64],
    range: &std::ops::RangeInclusive<f64>,
    what: Length,
    faults: &mut Vec<Fault>,
) -> f64 {
    let number = amount.value.number(values);
    if !range.contains(&number) {
        faults.push(amount.place.fault(PlanFault::Range {
            what,
            value: number,
            range: range.clone(),
        }));
    }
    number
}

/// What lines and panels are resolved against.
struct OnMarks<'a> {
    marks: &'a [FoundMark],
    values: &'a [f64],
}

impl OnMarks<'_> {
    fn mark(
        &self,
        wanted: &Placed<MarkRef>,
        side: Option<Side>,
        faults: &mut Vec<Fault>,
    ) -> Option<usize> {
        find(self.marks, &wanted.value, side)
            .or_else(|| unknown_mark(&wanted.place, &wanted.value, faults))
    }

    fn lines(&self, specs: &[LineSpec], faults: &mut Vec<Fault>) -> Vec<Line> {
        let mut lines: Vec<Line> = Vec::new();
        for spec in specs {
            let width = within(
                &spec.width,
                self.values,
                &TAPE_STRIP_MM,
                Length::StripWidth,
                faults,
            );
            let past = spec.past.each_ref().map(|past| {
                past.as_ref().map_or(0.0, |past| {
                    within(past, self.values, &STRIP_PAST_MM, Length::StripPast, faults)
                })
            });
            for side in each_side(spec.sides) {
                let ends = (
                    self.mark(&spec.from, side, faults),
                    self.mark(&spec.to, side, faults),
                );
                let (Some(from), Some(to)) = ends else { break };
                let length = self.marks[from].at.distance(self.marks[to].at);
                let names = || [from, to].map(|mark| self.marks[mark].id.clone());
                if from == to || length < LEAST_LINE_MM {
                    faults.push(spec.from.place.fault(MarkFault::LineOfNoLength(names())));
                } else if lines.iter().any(|line| {
                    [line.from, line.to] == [from, to] || [line.to, line.from] == [from, to]
                }) {
                    faults.push(spec.from.place.fault(MarkFault::LineTwice(names())));
                } else {
                    lines.push(Line {
                        ends: spec.ends,
                        past,
                        ..Line::new(from, to, width)
                    });
                }
            }
        }
        let at: Vec<Point> = self.marks.iter().map(|mark| mark.at).collect();
        ends::run_through(&mut lines, &at);
        lines
    }

    fn panels(&self, specs: &[PanelSpec], faults: &mut Vec<Fault>) -> Vec<Panel> {
        let (mut panels, mut fields) = (Vec::new(), 0);
        for spec in specs {
            let shape = self.shape(&spec.shape, faults);
            let sides = each_side(spec.sides);
            fields += shape.fields().len() * sides.len();
            if fields > MOST_FIELDS {
                faults.push(spec.at.place.fault(PlanFault::ManyFields {
                    count: fields,
                    most: MOST_FIELDS,
                }));
                return panels;
            }
            let number = |amount: &Option<Placed<Amount>>| {
                amount
                    .as_ref()
                    .map_or(0.0, |amount| amount.value.number(self.values))
            };
            for side in sides {
                let Some(mark) = self.mark(&spec.at, side, faults) else {
                    break;
                };
                let mirror = if self.marks[mark].side == Side::Right {
                    -1.0
                } else {
                    1.0
                };
                let panel = Panel {
                    mark,
                    shape: shape.clone(),
                    turn: mirror * number(&spec.turn),
                    shift: (number(&spec.ahead), mirror * number(&spec.outward)),
                };
                if panels.contains(&panel) {
                    faults.push(
                        spec.at
                            .place
                            .fault(MarkFault::PanelTwice(self.marks[mark].id.clone())),
                    );
                } else {
                    panels.push(panel);
                }
            }
        }
        panels
    }

    fn shape(&self, spec: &PanelSpecShape, faults: &mut Vec<Fault>) -> PanelShape {
        let shape = spec.resolve(|amount, size| {
            let what = Length::Panel {
                shape: spec.word(),
                size,
            };
            within(amount, self.values, &PANEL_MM, what, faults)
        });
        if let Some((place, [size, than])) = spec.contradiction(&shape) {
            faults.push(place.fault(MarkFault::PanelSize {
                shape: spec.word(),
                size,
                than,
            }));
        }
        shape
    }
}

/// The sides to go through: `None` once where the references name their own.
fn each_side(sides: Option<Sides>) -> Vec<Option<Side>> {
    sides.map_or_else(
        || vec![None],
        |sides| sides.list().iter().copied().map(Some).collect(),
    )
}

fn floor_need(
    taken: Rect,
    template: &TemplateSpec,
    echoes: &[ValueEcho],
    bay: Option<(&Bay, f64)>,
    faults: &mut Vec<Fault>,
) -> FloorNeed {
    let values: Vec<f64> = echoes.iter().map(|echo| echo.value).collect();
    let mut clear = |amount: &Option<Placed<Amount>>| {
        amount.as_ref().map_or(0.0, |amount| {
            within(
                amount,
                &values,
                &(0.0..=LARGEST_FLOOR_MM),
                Length::ClearFloor,
                faults,
            )
        })
    };
    let clear_floor = &template.clear_floor;
    let (front, rear, sides) = (
        clear(&clear_floor.front),
        clear(&clear_floor.rear),
        clear(&clear_floor.sides),
    );
    let needed = Rect::new(
        taken.x0 - rear,
        taken.y0 - sides,
        taken.x1 + front,
        taken.y1 + sides,
    );
    if needed.width().max(needed.height()) > LARGEST_FLOOR_MM {
        faults.push(template.place.fault(PlanFault::FloorTooLarge {
            size: (needed.width(), needed.height()),
            most: LARGEST_FLOOR_MM,
        }));
    }
    let limits = floor_limits(template, echoes, &values, faults);
    FloorNeed {
        needed,
        bay: bay.map(|(bay, origin_x)| bay.verdict(needed, origin_x)),
        limits,
    }
}

fn floor_limits(
    template: &TemplateSpec,
    echoes: &[ValueEcho],
    values: &[f64],
    faults: &mut Vec<Fault>,
) -> Option<FloorLimits> {
    let floor = &template.floor;
    let mut limit = |amount: &Option<Placed<Amount>>, range, what| {
        amount
            .as_ref()
            .map(|amount| within(amount, values, range, what, faults))
    };
    let slope = limit(&floor.slope, &FLOOR_SLOPE_PER_METRE, Length::FloorSlope);
    let flatness = limit(&floor.flatness, &FLATNESS_MM, Length::Flatness);
    let amounts = [&floor.slope, &floor.flatness].into_iter().flatten();
    let demonstration = amounts.into_iter().any(|amount| match amount.value {
        Amount::Value(index) => echoes[index].demonstration,
        Amount::Fixed(_) => false,
    });
    (slope.is_some() || flatness.is_some()).then_some(FloorLimits {
        slope,
        flatness,
        demonstration,
    })
}
