//! The rows of the model.

use kurbo::{Point, Vec2};

use super::{Columns, Fault};
use crate::survey::{DesignRow, Geometry, LayingPrior, Precision};

/// Standard deviation of a point that nothing was promised of, mm: it may lie anywhere on a large floor.
const ANYWHERE_MM: f64 = 1e4;

/// Standard deviation of what does not move, mm: a fixed point, and the grid as a whole where no mistake moved it. Small
/// against every reading, and not so small that a double loses the rest.
pub(in crate::survey) const AT_REST_MM: f64 = 1e-2;

/// A row of the model: Σ derivative · unknown = value ± sd.
#[derive(Clone, Debug)]
pub(in crate::survey) struct ModelRow {
    /// Column and derivative.
    pub terms: Vec<(usize, f64)>,
    /// What was observed, or promised, less what the linearisation has for unknowns of nought.
    pub value: f64,
    /// A-priori standard deviation, above 0.
    pub sd: f64,
}

/// One reading as the model needs it.
#[derive(Clone, Copy, Debug)]
pub(in crate::survey) struct Taped {
    /// What was read, between which points.
    pub geometry: Geometry,
    /// The value, mm.
    pub value: f64,
    /// Standard deviation of this reading by itself, mm.
    pub sd: f64,
    /// The lay whose zero it shares, by its index.
    pub lay: Option<usize>,
    /// True where the tape's zero point and scale are in it.
    pub by_tape: bool,
}

/// What a model is made from. Points: the marks first, in the prior's order, then wheel marks and points given beside.
#[derive(Clone, Copy, Debug)]
pub(in crate::survey) struct Setup<'a> {
    /// Designed places, mm, or starting ones.
    pub designs: &'a [Point],
    /// Points that do not move.
    pub fixed: &'a [bool],
    /// How the first points were laid; `None` where nothing is promised of them.
    pub prior: Option<&'a LayingPrior>,
    /// The plumbed wheel marks.
    pub wheels: &'a [usize],
    /// Tools and hands.
    pub precision: &'a Precision,
    /// Number of lays with more than one reading.
    pub lays: usize,
}

/// A linear model about some displacements, with the mistakes that its rows may hold.
#[derive(Clone, Debug)]
pub(in crate::survey) struct Model {
    /// The unknowns.
    pub columns: Columns,
    /// The readings first, then what was promised.
    pub rows: Vec<ModelRow>,
    /// Mistakes with the rows that they widen.
    pub faults: Vec<(Fault, Vec<usize>)>,
}

/// Movement of a point with the grid's pose: shift forward, shift to the left, turn in mm per metre.
pub(in crate::survey) fn with_pose(at: Point) -> [Vec2; 3] {
    [
        Vec2::new(1.0, 0.0),
        Vec2::new(0.0, 1.0),
        Vec2::new(-at.y, at.x) / 1000.0,
    ]
}

impl Model {
    /// The model linearised at displacements `moved` of the points; `Err` with a reading whose points coincide there.
    pub(in crate::survey) fn at(
        setup: &Setup<'_>,
        readings: &[Taped],
        moved: &[Vec2],
    ) -> Result<Self, usize> {
        let shared = setup.prior.map_or(0, |prior| prior.shared.len());
        let columns = Columns {
            points: setup.designs.len(),
            shared,
            lays: setup.lays,
        };
        let mut model = Self {
            columns,
            rows: Vec::new(),
            faults: Vec::new(),
        };
        for (index, reading) in readings.iter().enumerate() {
            let row = model.reading(setup, reading, moved).ok_or(index)?;
            model.rows.push(row);
            model.faults.push((Fault::Reading(index), vec![index]));
        }
        model.promise(setup);
        Ok(model)
    }

    /// The row of a reading.
    pub(in crate::survey) fn reading(
        &self,
        setup: &Setup<'_>,
        reading: &Taped,
        moved: &[Vec2],
    ) -> Option<ModelRow> {
        let columns = &self.columns;
        let row = DesignRow::at(reading.geometry, |point| {
            setup.designs[point] + moved[point]
        })?;
        let mut value = reading.value - row.value;
        let mut terms = Vec::with_capacity(2 * row.derivatives.len() + 3);
        for (point, by) in &row.derivatives {
            value += by.dot(moved[*point]);
            terms.extend([
                (columns.point(*point), by.x),
                (columns.point(*point) + 1, by.y),
            ]);
        }
        if reading.by_tape {
            // An offset to the right of its line counts as negative, and the tape was read all the same.
            terms.extend([
                (columns.zero(), row.value.signum()),
                (columns.scale(), row.value / 1000.0),
            ]);
        }
        terms.extend(reading.lay.map(|lay| (columns.lay(lay), 1.0)));
        Some(ModelRow {
            terms,
            value,
            sd: reading.sd,
        })
    }

    /// What laying, plumbing and the tape's class promise.
    fn promise(&mut self, setup: &Setup<'_>) {
        let columns = self.columns;
        let laid = setup.prior.map_or(0, |prior| prior.own.len());
        for point in 0..columns.points {
            let rows = self.point(setup, point, laid);
            if point < laid && !setup.fixed[point] {
                self.faults.push((Fault::Mark(point), rows));
            } else if setup.wheels.contains(&point) {
                self.faults.push((Fault::Wheel(point), rows));
            }
        }
        let grid: Vec<usize> = (0..3)
            .map(|part| self.push(columns.pose() + part, AT_REST_MM))
            .collect();
        if setup.prior.is_some() {
            self.faults.push((Fault::Grid, grid));
        }
        for cause in 0..columns.shared {
            self.push(columns.shared(cause), 1.0);
        }
        let tape = setup.precision.tape_class.model();
        for (fault, column, sd) in [
            (Fault::TapeZero, columns.zero(), tape.zero),
            (Fault::TapeScale, columns.scale(), tape.scale),
        ] {
            let row = self.push(column, sd);
            self.faults.push((fault, vec![row]));
        }
        for lay in 0..columns.lays {
            let row = self.push(columns.lay(lay), setup.precision.at_mark());
            self.faults.push((Fault::Lay(lay), vec![row]));
        }
    }

    /// The two rows that say where a point should be.
    fn point(&mut self, setup: &Setup<'_>, point: usize, laid: usize) -> Vec<usize> {
        let columns = self.columns;
        let plumbed = setup
            .wheels
            .contains(&point)
            .then_some(setup.precision.plumb.max(AT_REST_MM));
        let sd = match setup.prior {
            _ if setup.fixed[point] => both(AT_REST_MM),
            Some(prior) if point < laid => prior.own[point],
            _ => both(plumbed.unwrap_or(ANYWHERE_MM)),
        };
        let mut rows = Vec::with_capacity(2);
        for (axis, sd) in [(0, sd.x), (1, sd.y)] {
            let mut terms = vec![(columns.point(point) + axis, 1.0)];
            if let Some(prior) = setup.prior.filter(|_| point < laid && !setup.fixed[point]) {
                let part = |v: Vec2| if axis == 0 { v.x } else { v.y };
                let pose = with_pose(setup.designs[point]);
                terms.extend((0..3).map(|of| (columns.pose() + of, -part(pose[of]))));
                terms.extend(
                    (0..columns.shared)
                        .map(|cause| (columns.shared(cause), -part(prior.shared[cause][point]))),
                );
            }
            rows.push(self.rows.len());
            self.rows.push(ModelRow {
                terms,
                value: 0.0,
                sd,
            });
        }
        rows
    }

    /// Adds a row that says that an unknown is nought, and tells its index.
    fn push(&mut self, column: usize, sd: f64) -> usize {
        self.rows.push(ModelRow {
            terms: vec![(column, 1.0)],
            value: 0.0,
            sd,
        });
        self.rows.len() - 1
    }
}

fn both(sd: f64) -> Vec2 {
    Vec2::new(sd, sd)
}
