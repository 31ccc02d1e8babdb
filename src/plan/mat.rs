//! Who uses what on a mat for several vehicles.

use super::vehicle::VehicleOnFloor;

/// Who uses what in a plan that belongs to a mat. Vehicles are named by their place in `vehicles`,
/// and every list of users is in rising order and never empty.
#[derive(Clone, Debug)]
pub struct Mat {
    /// All vehicles of the mat, in the order of the job.
    pub vehicles: Vec<MatVehicle>,
    /// Users of each mark of the plan.
    pub marks: Vec<Vec<usize>>,
    /// Users of each line of the plan.
    pub lines: Vec<Vec<usize>>,
    /// Users of each panel of the plan.
    pub panels: Vec<Vec<usize>>,
    /// The vehicle that each check of the plan belongs to.
    pub checks: Vec<usize>,
    /// The one vehicle whose layout the plan is; `None` for the whole mat.
    pub only: Option<usize>,
}

/// A vehicle of a mat.
#[derive(Clone, Debug)]
pub struct MatVehicle {
    /// Its letter on paper.
    pub letter: char,
    /// The vehicle as it stands on the floor.
    pub vehicle: VehicleOnFloor,
    /// Names of the two marks that its own two-tape distances start from, front one first.
    pub tape_base: [String; 2],
}

impl Mat {
    /// The letters of users in one word: `A`, `BC`.
    #[must_use]
    pub fn letters(&self, users: &[usize]) -> String {
        users
            .iter()
            .map(|&user| self.vehicles[user].letter)
            .collect()
    }
}
