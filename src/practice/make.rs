//! From what is asked for to exercises: the generators and the vehicle of each sheet.

use std::sync::OnceLock;

use rayon::prelude::*;

use super::{
    Draw, Exercise, Kind, Level, PracticeError, Setting, SheetError, bay, centreline, desk, form,
    judge, levels, lot::Lot, order, overview, primer, record, service_text, set_out, square, table,
    true_scale, units, varied,
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
            Self::Primer => primer::exercise,
            Self::ServiceText => service_text::exercise,
            Self::Overview => overview::exercise,
            Self::Centreline => centreline::exercise,
            Self::TrueScale => true_scale::exercise,
            Self::Form => form::exercise,
            Self::Judge => judge::exercise,
            Self::Record => record::exercise,
            Self::Bay => bay::exercise,
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
    /// The sheets of one trainee in order: kinds with their levels.
    pub sheets: Vec<(Kind, Level)>,
    /// Names of the trainees, one for each sheet number in order; may be empty.
    pub names: Vec<String>,
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
    /// Sheets are in inches to 1/16, not in mm.
    pub inches: bool,
    /// Nothing of the layout is drawn: sheets are about the vehicle and the values as they are.
    pub as_is: bool,
}

/// The vehicle of the sheets.
#[derive(Clone, Debug)]
pub enum Vehicle {
    /// The same for all.
    Given(Box<VehicleSpec>),
    /// For each sheet number one of these body classes, varied.
    Random(Vec<VehicleSpec>),
}

/// Exercises that are made at a time: enough to keep many cores busy, few enough to weigh little.
const BATCH: usize = 64;

/// Makes the exercises on all cores and hands what `each` makes of one to `take`, in the order of a trainee's sheets and
/// one sheet number after the other: a set for one trainee, who has the same vehicle in all of them. The number that goes
/// with it is that of the sheet in [`Request::sheets`].
///
/// What cannot be made is left out, and its reason returned, for each of the sheets the first time.
///
/// # Errors
/// A vehicle that does not go with the template, the first sheet where none at all can be made, or what `take` refuses.
pub fn make<T: Send, E: From<PracticeError>>(
    request: &Request,
    each: impl Fn(&Exercise) -> T + Sync,
    mut take: impl FnMut(usize, T) -> Result<(), E>,
) -> Result<Vec<SheetError>, E> {
    let shared = match &request.vehicle {
        Vehicle::Given(_) => Some(request.setting(request.first)?),
        Vehicle::Random(_) => None,
    };
    let (mut missing, mut made) = (vec![None; request.sheets.len()], 0);
    let numbers: Vec<usize> = (request.first..request.first + request.count).collect();
    for numbers in numbers.chunks(BATCH.div_ceil(request.sheets.len().max(1))) {
        let own: Result<Vec<Setting>, PracticeError> = match &shared {
            Some(_) => Ok(Vec::new()),
            None => numbers
                .par_iter()
                .map(|number| request.setting(*number))
                .collect(),
        };
        let own = own?;
        let setting = |at: usize| shared.as_ref().unwrap_or_else(|| &own[at]);
        let lots: Vec<(usize, usize)> = (0..numbers.len())
            .flat_map(|at| (0..request.sheets.len()).map(move |sheet| (at, sheet)))
            .collect();
        let results: Vec<Result<T, PracticeError>> = lots
            .par_iter()
            .map(|&(at, sheet)| Ok(each(&request.exercise(setting(at), sheet, numbers[at])?)))
            .collect();
        for ((at, sheet), result) in lots.into_iter().zip(results) {
            match result {
                Ok(result) => {
                    made += 1;
                    take(sheet, result)?;
                }
                Err(PracticeError::Layout(faults)) => {
                    return Err(PracticeError::from(faults).into());
                }
                Err(cause) if missing[sheet].is_none() => {
                    let error = request.instead(sheet, setting(at), numbers[at], cause);
                    missing[sheet] = Some(error);
                }
                Err(_) => {}
            }
        }
    }
    let mut missing: Vec<SheetError> = missing.into_iter().flatten().collect();
    if made == 0 && !missing.is_empty() {
        return Err(PracticeError::Sheet(Box::new(missing.swap_remove(0))).into());
    }
    Ok(missing)
}

impl Request {
    /// One sheet of a trainee.
    fn exercise(
        &self,
        setting: &Setting,
        sheet: usize,
        number: usize,
    ) -> Result<Exercise, PracticeError> {
        let (kind, level) = self.sheets[sheet];
        let mut made = kind.exercise(setting, level, self.seed, number)?;
        made.name = self.names.get(number - self.first).cloned();
        Ok(made)
    }

    /// What could be made where an exercise cannot, found by making it.
    fn instead(
        &self,
        sheet: usize,
        setting: &Setting,
        number: usize,
        cause: PracticeError,
    ) -> SheetError {
        let (kind, level) = self.sheets[sheet];
        let goes = |kind: Kind, level| kind.exercise(setting, level, self.seed, number).is_ok();
        let others = self.sheets.iter().filter(|(other, _)| *other != kind);
        SheetError {
            number,
            subject: setting.subject(),
            kind,
            level,
            cause,
            levels: Level::ALL
                .into_iter()
                .filter(|level| goes(kind, *level))
                .collect(),
            kinds: others
                .filter(|(other, level)| goes(*other, *level))
                .map(|(other, _)| *other)
                .collect(),
        }
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
            as_is: self.as_is,
            full_checks: OnceLock::new(),
            few_checks: OnceLock::new(),
            short_plan: OnceLock::new(),
            full_plan: OnceLock::new(),
            laying: OnceLock::new(),
        })
    }
}
