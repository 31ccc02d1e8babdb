//! From what is asked for to exercises: the generators and the vehicle of each sheet.

use std::sync::OnceLock;

use super::{
    Draw, Exercise, Kind, Level, PracticeError, Setting, SheetError, desk, levels, lot::Lot, order,
    set_out, square, table, units, varied,
};
use crate::{
    paper::Paper,
    plan::{FloorPlan, Setting as Value},
    survey::Precision,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

impl Kind {
    /// Makes one exercise from setting, level, seed and number of the sheet. Everything random comes from
    /// [`Draw::of_sheet`] of these.
    ///
    /// # Errors
    /// [`PracticeError::Unsound`] when no exercise with one sure answer can be made, [`PracticeError::Layout`] when the
    /// vehicle does not go with the template.
    pub fn exercise(
        self,
        setting: &Setting,
        level: Level,
        seed: u64,
        number: usize,
    ) -> Result<Exercise, PracticeError> {
        let generate = match self {
            Self::SetOut => set_out::exercise,
            Self::Table => table::exercise,
            Self::Square => square::exercise,
            Self::Units => units::exercise,
            Self::Order => order::exercise,
            Self::Desk => desk::exercise,
            Self::Levels => levels::exercise,
        };
        let unsound = |reason| {
            let (kind, level) = (self.word(), level.number());
            format!("no sound exercise of the kind \"{kind}\" at level {level}: {reason}")
        };
        generate(Lot::new(self, setting, level, seed, number)).map_err(|error| match error {
            PracticeError::Unsound(reason) => unsound(reason).into(),
            other => other,
        })
    }
}

/// Most sheets of a kind in one run: a school's year, and still little paper for a slip of the pen.
pub const MOST_SHEETS: usize = 1000;

/// What is asked for.
#[derive(Clone, Debug)]
pub struct Request {
    /// Seed of everything random.
    pub seed: u64,
    /// Number of the first sheet, from 1.
    pub first: usize,
    /// How many different sheets of each kind, 1 to `MOST_SHEETS`.
    pub count: usize,
    /// How hard.
    pub level: Level,
    /// The kinds, in the order in which a trainee gets them.
    pub kinds: Vec<Kind>,
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
        for &kind in &request.kinds {
            let made = kind.exercise(&setting, request.level, request.seed, number);
            take(made.map_err(|cause| request.instead(kind, &setting, number, cause))?)?;
        }
        given = Some(setting);
    }
    Ok(())
}

impl Request {
    /// What could be made where an exercise cannot, found by making it.
    fn instead(
        &self,
        kind: Kind,
        setting: &Setting,
        number: usize,
        cause: PracticeError,
    ) -> PracticeError {
        if matches!(cause, PracticeError::Layout(_)) {
            return cause;
        }
        let goes = |kind: Kind, level| kind.exercise(setting, level, self.seed, number).is_ok();
        let others = self.kinds.iter().copied().filter(|other| *other != kind);
        PracticeError::Sheet(Box::new(SheetError {
            number,
            subject: setting.subject(),
            kind,
            level: self.level,
            cause,
            levels: Level::ALL
                .into_iter()
                .filter(|level| goes(kind, *level))
                .collect(),
            kinds: others.filter(|other| goes(*other, self.level)).collect(),
        }))
    }

    /// Vehicle and layout of a sheet.
    fn setting(&self, number: usize) -> Result<Setting, PracticeError> {
        let vehicle = match &self.vehicle {
            Vehicle::Given(vehicle) => (**vehicle).clone(),
            Vehicle::Random(classes) => {
                let mut draw = Draw::of_vehicle(self.seed, number);
                let class = draw
                    .choose(classes)
                    .expect("there is at least one body class");
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
