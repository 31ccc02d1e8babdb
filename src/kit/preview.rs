//! What a screen shows of a job before its kit is made.

use super::{Kit, KitError};
use crate::{
    effort::Takes,
    job::VEHICLES,
    output::svg,
    plan::{Bay, FloorPlan},
    sheets::{self, FloorArt},
    source::Faults,
    survey::Method,
    template::TemplateSpec,
    vehicle::VehicleSpec,
};

/// The demonstration vehicle in the pictures of templates: the longest that is built in.
const IN_PICTURES: &str = "delivery-van";

/// What a job takes, without the files of its kit.
#[derive(Clone, Debug)]
pub struct Preview {
    /// Which sheet lies where, as SVG.
    pub map: String,
    /// Sheets to print.
    pub sheets: usize,
    /// Material, people and time.
    pub takes: Takes,
    /// How far the worst mark may lie off.
    pub error: ExpectedError,
}

/// How far the worst mark may lie from its place, by the way in which a kit is laid: the row of sheet 0 that stands in bold.
#[derive(Clone, Debug, PartialEq)]
pub struct ExpectedError {
    /// The way of laying.
    pub method: Method,
    /// The worst mark.
    pub mark: String,
    /// Radius in mm that holds it with 95 % as laid.
    pub as_laid: f64,
    /// What adds most to it, in a word.
    pub mostly: String,
    /// The same after checks and moves, where the job's lays are chosen.
    pub after: Option<f64>,
}

impl Kit {
    /// The layout as a small picture, in its bay where one is given, as SVG.
    #[must_use]
    pub fn small_plan_svg(&self, bay: Option<&Bay>) -> String {
        svg(&self.spelled(sheets::small_plan(&self.job.plan, bay)))
    }

    /// What the kit will take, and how its sheets will lie; more sheets than `most` are refused.
    ///
    /// # Errors
    /// As [`Kit::full_scale`].
    pub fn preview(&self, most: Option<usize>) -> Result<Preview, KitError> {
        let sheets = self.lay_sheets(most)?;
        let stencil = self.stencil_on(&sheets)?;
        let takes = self.takes(&sheets, Some(&stencil));
        let art = FloorArt::of(&self.job.plan);
        let method = sheets.method();
        let budget = self.budget(&sheets);
        let of = budget
            .methods
            .iter()
            .find(|of| of.method == method)
            .expect("a budget has a row for every way of laying");
        let worst = of.worst_error();
        Ok(Preview {
            map: self.assembly_map_svg(&sheets, &art),
            sheets: sheets.pages,
            error: ExpectedError {
                method,
                mark: self.job.plan.marks[of.worst].id.clone(),
                as_laid: worst.radius_95(),
                mostly: worst.leading.to_string(),
                after: budget.worst_after(),
            },
            takes,
        })
    }
}

/// A template's layout about a demonstration vehicle, as a small picture in SVG.
///
/// # Errors
/// A template that cannot be laid about it by its own defaults.
pub fn template_picture(template: &TemplateSpec) -> Result<String, Faults> {
    let van = VEHICLES
        .iter()
        .find(|vehicle| vehicle.name == IN_PICTURES)
        .unwrap_or(&VEHICLES[0]);
    let vehicle = VehicleSpec::read(&van.source())?;
    let plan = FloorPlan::resolve(&vehicle, template, &[], None)?;
    Ok(svg(&sheets::small_plan(&plan, None)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        job::{DEMONSTRATION, Folders, Job, JobSpec, TEMPLATES},
        kit::Wanted,
    };

    #[test]
    fn every_template_that_is_built_in_has_a_picture_of_its_own() {
        let pictures: Vec<String> = TEMPLATES
            .iter()
            .map(|template| {
                let template = TemplateSpec::read(&template.source()).expect("built in");
                template_picture(&template).expect("goes with every vehicle")
            })
            .collect();
        for (index, picture) in pictures.iter().enumerate() {
            assert!(
                picture.contains("<svg") && picture.len() < 100_000,
                "{}",
                picture.len()
            );
            assert!(!pictures[..index].contains(picture));
        }
    }

    #[test]
    fn a_preview_says_of_a_job_what_its_kit_says() {
        let spec = JobSpec::read_on(&DEMONSTRATION.source()).expect("built in");
        let job = Job::resolve(spec, &Folders::default(), true).expect("right");
        let kit = Kit::of(job);
        let preview = kit.preview(None).expect("laid");
        let made = kit.full_scale(&Wanted::default()).expect("made");
        assert_eq!(preview.sheets, made.sheets.pages);
        assert_eq!(preview.takes.minutes.total(), made.takes.minutes.total());
        assert_eq!(
            made.files.content("assembly-map.svg").expect("a file"),
            preview.map.into_bytes()
        );
        let budget = kit.budget(&made.sheets);
        let row = budget
            .methods
            .iter()
            .find(|row| row.method == preview.error.method)
            .expect("all ways are in it");
        assert_eq!(preview.error.as_laid, row.worst_error().radius_95());
        assert!(preview.error.after.is_some_and(|after| after > 0.0));
    }
}
