//! From what is asked for to exercises: the generators and the vehicle of each sheet.

use std::sync::OnceLock;

use super::{
    Draw, Exercise, Kind, Level, PracticeError, Setting, SheetError, desk, levels, order, set_out, square, table,
    units, varied,
};
use crate::{
    paper::Paper,
    plan::{FloorPlan, Setting as Value},
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// Makes one exercise of a kind from setting, level, seed and number of the sheet. Everything random comes
/// from [`Draw::of_sheet`] of these.
///
/// # Errors
/// [`PracticeError::Unsound`] when no exercise with one sure answer can be made.
pub type Generator = fn(&Setting, Level, u64, usize) -> Result<Exercise, PracticeError>;

/// The generators, in the order of [`Kind`].
pub const GENERATORS: [(Kind, Generator); 7] = [
    (Kind::SetOut, set_out::exercise),
    (Kind::Table, table::exercise),
    (Kind::Square, square::exercise),
    (Kind::Units, units::exercise),
    (Kind::Order, order::exercise),
    (Kind::Desk, desk::exercise),
    (Kind::Levels, levels::exercise),
];

/// Most sheets of a kind in one run: a school's year, and still little paper for a slip of the pen.
pub const MOST_SHEETS: usize = 1000;

/// What is asked for.
#[derive(Clone, Debug)]
pub struct Request {
    /// Seed of everything random.
    pub seed: u64,
    /// Number of the first sheet, from 1.
    pub first: usize,
    /// How many different sheets of each kind, 1 to [`MOST_SHEETS`].
    pub count: usize,
    /// How hard.
    pub level: Level,
    /// The generators of the kinds, in the order in which a trainee gets them.
    pub kinds: Vec<(Kind, Generator)>,
    /// The vehicle.
    pub vehicle: Vehicle,
    /// Layout template.
    pub template: TemplateSpec,
    /// Values set for the template.
    pub values: Vec<Value>,
    /// A-priori precision of tools and hands.
    pub precision: Precision,
    /// Paper that sheets are printed on.
    pub paper: Paper,
    /// Inches to 1/16 beside mm are wanted.
    pub inches: bool,
}

/// The vehicle of the sheets.
#[derive(Clone, Debug)]
pub enum Vehicle {
    /// The same for all.
    Given(Box<VehicleSpec>),
    /// For each sheet number one of these body classes, varied.
    Random(Vec<VehicleSpec>),
}

/// Makes the exercises one after the other and hands each to `take`, all kinds of one sheet number together: a set for
/// one trainee, who has the same vehicle in all of them.
///
/// # Errors
/// The first exercise that cannot be made, or the first that `take` refuses.
pub fn make<E: From<PracticeError>>(
    request: &Request,
    mut take: impl FnMut(Exercise) -> Result<(), E>,
) -> Result<(), E> {
    let mut given = None;
    for number in request.first..request.first + request.count {
        let setting = match (&request.vehicle, given.take()) {
            (Vehicle::Given(_), Some(setting)) => setting,
            _ => request.setting(number)?,
        };
        for &(kind, generator) in &request.kinds {
            let made = generator(&setting, request.level, request.seed, number);
            take(made.map_err(|cause| request.instead((kind, generator), &setting, number, cause))?)?;
        }
        given = Some(setting);
    }
    Ok(())
}

impl Request {
    /// What could be made where an exercise cannot, found by making it.
    fn instead(
        &self,
        (kind, generator): (Kind, Generator),
        setting: &Setting,
        number: usize,
        cause: PracticeError,
    ) -> PracticeError {
        if matches!(cause, PracticeError::Layout(_)) {
            return cause;
        }
        let goes = |generator: Generator, level| generator(setting, level, self.seed, number).is_ok();
        let others = self.kinds.iter().filter(|(other, _)| *other != kind);
        PracticeError::Sheet(Box::new(SheetError {
            number,
            subject: setting.subject(),
            kind,
            level: self.level,
            cause,
            levels: Level::ALL.into_iter().filter(|level| goes(generator, *level)).collect(),
            kinds: others.filter(|(_, other)| goes(*other, self.level)).map(|(kind, _)| *kind).collect(),
        }))
    }

    /// Vehicle and layout of a sheet.
    fn setting(&self, number: usize) -> Result<Setting, PracticeError> {
        let vehicle = match &self.vehicle {
            Vehicle::Given(vehicle) => (**vehicle).clone(),
            Vehicle::Random(classes) => {
                let mut draw = Draw::of_vehicle(self.seed, number);
                let class = draw.choose(classes).expect("there is at least one body class");
                varied(class, &mut draw)
            }
        };
        let plan = FloorPlan::resolve(&vehicle, &self.template, &self.values, None)?;
        Ok(Setting {
            plan,
            vehicle,
            template: self.template.clone(),
            values: self.values.clone(),
            precision: self.precision,
            paper: self.paper.clone(),
            inches: self.inches,
            full_checks: OnceLock::new(),
            few_checks: OnceLock::new(),
        })
    }
}
