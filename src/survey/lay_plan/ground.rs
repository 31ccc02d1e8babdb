//! What is known before anything is taped, and the rows of readings upon it.

use kurbo::{Point, Vec2};
use nalgebra::DMatrix;

use super::{candidates::Candidate, figures::LEAST_SD_MM};
use crate::{
    plan::FloorPlan,
    survey::{
        LayingPrior, Precision,
        belief::{Columns, Model, ModelRow, Posterior, Setup, Taped},
        wheel_marks,
    },
};

/// A column of the unknowns and a derivative by it.
pub(super) type Term = (usize, f64);

/// A layout as it is laid, before anything is taped. Points: the marks, then the four wheel marks.
#[derive(Clone, Debug)]
pub(super) struct Ground {
    /// Tolerances of the marks, mm.
    pub tolerances: Vec<f64>,
    /// Places of the marks, mm.
    pub places: Vec<Point>,
    /// How the marks were laid.
    pub prior: LayingPrior,
    /// Where each unknown stands.
    pub columns: Columns,
    /// Covariance of the unknowns.
    pub covariance: DMatrix<f64>,
    /// What laying, plumbing and the tape's class promise, as rows.
    pub promises: Vec<ModelRow>,
    /// For each mark its two rows of laying.
    pub laid: Vec<[Vec<Term>; 2]>,
    designs: Vec<Point>,
    wheels: Vec<usize>,
    precision: Precision,
}

impl Ground {
    /// The ground of a layout that was laid as the prior says.
    pub(super) fn of(plan: &FloorPlan, precision: &Precision, prior: &LayingPrior) -> Self {
        let places: Vec<Point> = plan.marks.iter().map(|mark| mark.at).collect();
        let marks = places.len();
        let designs: Vec<Point> = places
            .iter()
            .copied()
            .chain(wheel_marks(&plan.vehicle).map(|(_, at)| at))
            .collect();
        let mut ground = Self {
            tolerances: plan.marks.iter().map(|mark| mark.tolerance).collect(),
            places,
            prior: prior.clone(),
            columns: Columns {
                points: designs.len(),
                shared: prior.shared.len(),
                lays: 0,
            },
            covariance: DMatrix::zeros(0, 0),
            promises: Vec::new(),
            laid: Vec::new(),
            wheels: (marks..designs.len()).collect(),
            designs,
            precision: Precision {
                plumb: precision.plumb.max(LEAST_SD_MM),
                ..*precision
            },
        };
        let model = ground.model();
        ground.columns = model.columns;
        ground.covariance = Posterior::of(&model).covariance;
        // The model begins with the two rows of each point in turn.
        let laid = |mark: usize| [0, 1].map(|axis| model.rows[2 * mark + axis].terms.clone());
        ground.laid = (0..marks).map(laid).collect();
        ground.promises = model.rows;
        ground
    }

    /// Number of marks.
    pub(super) fn marks(&self) -> usize {
        self.places.len()
    }

    /// The rows of a lay's readings, without the zero that they share.
    pub(super) fn rows(&self, candidate: &Candidate) -> Vec<Vec<Term>> {
        let (moved, model) = (vec![Vec2::ZERO; self.designs.len()], self.empty());
        let by_tape = candidate.by_tape;
        let row = |(geometry, value): (&_, &f64)| {
            let taped = Taped {
                geometry: *geometry,
                value: *value,
                sd: candidate.sd,
                lay: None,
                by_tape,
            };
            let fixed = vec![false; self.designs.len()];
            model
                .reading(&self.setup(&fixed), &taped, &moved)
                .map_or_else(Vec::new, |row| row.terms)
        };
        candidate
            .geometry
            .iter()
            .zip(&candidate.should_be)
            .map(row)
            .collect()
    }

    fn setup<'a>(&'a self, fixed: &'a [bool]) -> Setup<'a> {
        Setup {
            designs: &self.designs,
            fixed,
            prior: Some(&self.prior),
            wheels: &self.wheels,
            precision: &self.precision,
            lays: 0,
        }
    }

    fn model(&self) -> Model {
        let fixed = vec![false; self.designs.len()];
        let moved = vec![Vec2::ZERO; self.designs.len()];
        Model::at(&self.setup(&fixed), &[], &moved)
            .expect("a model without readings has none whose points coincide")
    }

    const fn empty(&self) -> Model {
        Model {
            columns: self.columns,
            rows: Vec::new(),
            faults: Vec::new(),
        }
    }
}

impl Ground {
    /// Variance of the grid's pose where no mistake moved it, as the model promises it.
    pub(super) fn pose_at_rest(&self) -> f64 {
        let pose = self.columns.pose();
        self.covariance[(pose, pose)]
    }
}
