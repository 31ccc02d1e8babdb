//! The full-scale sheets of a kit: tiles or keys on office paper, strips of a roll, or the whole floor on one page.

use rayon::prelude::*;

use super::{Kit, KitError, Wanted, compose::PICTURE_DPI};
use crate::{
    cover::{self, Content, Mode, SheetFormat, SheetPlan, cover, cover_roll},
    drawing::Drawing,
    effort::Takes,
    output::{OutputError, OutputSet, PdfWriter, large_pdf, pdf, png, sheets_json, svg},
    paper::{Correction, Margins},
    sheets::{self, FloorArt, PageNumber},
};

/// File of single sheets that are printed again.
pub const AGAIN_FILE: &str = "stencils-again.pdf";

impl Kit {
    /// Lays the sheets, `most` of them at most.
    ///
    /// # Errors
    /// A layout that no sheets cover, or that takes too many.
    pub fn lay_sheets(&self, most: Option<usize>) -> Result<SheetPlan, KitError> {
        let content = Content::of(&self.job.plan);
        let sheets = match &self.job.roll {
            Some(roll) => cover_roll(
                &content,
                roll,
                Content::widest_line(&self.job.plan),
                self.job.mode,
            )?,
            None => cover(&content, &self.job.format, self.job.mode)?,
        };
        match most {
            Some(most) if sheets.pages > most => Err(KitError::ManySheets {
                count: sheets.pages,
                most,
            }),
            _ => Ok(sheets),
        }
    }

    /// Refuses a layout that no sheets could cover in any number that is laid: known at once, where lays take seconds.
    ///
    /// # Errors
    /// A layout that is too large for its paper.
    pub fn refuse_large(&self) -> Result<(), KitError> {
        let content = Content::of(&self.job.plan);
        let of_sheets = cover::refuse_large(&content, &self.job.format, self.job.mode);
        match (&self.job.roll, of_sheets) {
            // Strips of a roll are laid quickly, so that they say it themselves.
            (Some(_), Err(_)) => self.lay_sheets(None).map(|_| ()),
            (Some(_), Ok(())) => Ok(()),
            (None, of_sheets) => Ok(of_sheets?),
        }
    }

    /// The pages of sheet 0: how the sheets lie, in what order, and what errors to expect.
    #[must_use]
    pub fn sheet_zero(&self, plan: &SheetPlan, art: &FloorArt, takes: &Takes) -> Vec<Drawing> {
        let of = if plan.roll.is_some() { 0 } else { plan.pages };
        let budget = self.budget(plan);
        let pages = sheets::cover_page(&self.context(), art, plan, &budget, takes, of);
        let numbered = pages.into_iter().enumerate().map(|(index, page)| Drawing {
            number: format!("0-{}", index + 1),
            ..self.spelled(page)
        });
        numbered.collect()
    }

    /// Adds the full-scale sheets with sheet 0.
    pub(super) fn add_stencils(
        &self,
        files: &mut OutputSet,
        plan: &SheetPlan,
        art: &FloorArt,
        takes: &Takes,
    ) -> Result<(), KitError> {
        if plan.roll.is_some() {
            return self.add_strips(files, plan, art, takes);
        }
        let cover = self.sheet_zero(plan, art, takes);
        let cover_pages = cover.len();
        let info = self.info("Floor stencils");
        let mut pdf = PdfWriter::new(Vec::new(), &info)?;
        pdf.add(&cover)?;
        pdf.add_drawn(plan.pages, |index| self.page(plan, art, cover_pages, index))?;
        files.add("stencils.pdf", pdf.finish()?);
        let json = sheets_json(plan, cover_pages, &self.job.made_from);
        files.add("sheets.json", json);
        self.add_assembly_map(files, plan, art)?;
        Ok(())
    }

    /// The page of sheets with index `index`, which follow `cover_pages` of sheet 0 in their file.
    #[must_use]
    pub fn page(
        &self,
        plan: &SheetPlan,
        art: &FloorArt,
        cover_pages: usize,
        index: usize,
    ) -> Drawing {
        let number = PageNumber {
            page: cover_pages + index + 1,
            of: cover_pages + plan.pages,
        };
        self.spelled(match plan.mode {
            Mode::Keys => sheets::key_page(&self.context(), art, plan, index, number),
            _ => sheets::tile(&self.context(), art, plan, index, number),
        })
    }

    /// Single pages of the full-scale sheets again, by their numbers from 1 (of keys, those of their pages), each as it is among
    /// all others. Their file has a name of its own, so that a kit stays whole.
    ///
    /// # Errors
    /// As [`Kit::files`], and a number that no sheet has.
    pub fn sheets_again(&self, wanted: &Wanted, numbers: &[usize]) -> Result<OutputSet, KitError> {
        let plan = self.lay_sheets(wanted.most_sheets)?;
        let stencil = self.stencil_on(&plan)?;
        let last = plan.pages;
        if let Some(&number) = numbers.iter().find(|number| !(1..=last).contains(*number)) {
            return Err(KitError::NoSheet { number, last });
        }
        let art = FloorArt::of(&self.job.plan).cut_as(&stencil);
        let cover_pages = match plan.roll {
            Some(_) => 0,
            None => {
                let takes = self.takes(&plan, Some(&stencil));
                self.sheet_zero(&plan, &art, &takes).len()
            }
        };
        let info = self.info("Single sheets");
        let mut files = OutputSet::new();
        let mut pdf = PdfWriter::new(Vec::new(), &info)?;
        pdf.add_drawn(numbers.len(), |at| {
            self.page(&plan, &art, cover_pages, numbers[at] - 1)
        })?;
        files.add(AGAIN_FILE, pdf.finish()?);
        Ok(files)
    }

    /// Strips as pages and as SVG; sheet 0 on office paper in a file of its own, since a roll printer would take
    /// a roll's width for it.
    fn add_strips(
        &self,
        files: &mut OutputSet,
        plan: &SheetPlan,
        art: &FloorArt,
        takes: &Takes,
    ) -> Result<(), KitError> {
        let office = self.on_office_paper(plan);
        let assembly = self.sheet_zero(&office, art, takes);
        let pages: Vec<Drawing> = (0..plan.pages)
            .into_par_iter()
            .map(|index| self.page(plan, art, 0, index))
            .collect();
        files.add(
            "assembly.pdf",
            pdf(&assembly, &self.info("Floor strips, assembly"))?,
        );
        let info = self.info("Floor strips");
        files.add("stencils.pdf", pdf(&pages, &info)?);
        for (sheet, page) in plan.sheets.iter().zip(&pages) {
            files.add(format!("strip-{}.svg", sheet.label), svg(page));
        }
        files.add("sheets.json", sheets_json(plan, 0, &self.job.made_from));
        self.add_assembly_map(files, &office, art)
    }

    /// Strips as the pages about them show them, which are printed on office paper.
    fn on_office_paper(&self, plan: &SheetPlan) -> SheetPlan {
        let paper = self.job.format.paper.office_size();
        // The profile is the roll printer's; nothing is known of the one that prints this page.
        let (margins, correction) = (Margins::default(), Correction::default());
        let office = SheetFormat {
            paper,
            margins,
            correction,
            ..plan.format.clone()
        };
        SheetPlan {
            format: office,
            ..plan.clone()
        }
    }

    /// Which sheet lies where, as SVG: the picture of the kit. `art` is of the job's plan; what is cut does not show on the map.
    #[must_use]
    pub fn assembly_map_svg(&self, plan: &SheetPlan, art: &FloorArt) -> String {
        if plan.roll.is_some() {
            self.map_svg(&self.on_office_paper(plan), art)
        } else {
            self.map_svg(plan, art)
        }
    }

    fn map_svg(&self, plan: &SheetPlan, art: &FloorArt) -> String {
        let paper = self.job.format.paper.office_size();
        let map = sheets::assembly_map(&self.context(), art, plan, &paper);
        svg(&self.spelled(map))
    }

    /// Which sheet lies where, as SVG and PNG.
    fn add_assembly_map(
        &self,
        files: &mut OutputSet,
        plan: &SheetPlan,
        art: &FloorArt,
    ) -> Result<(), KitError> {
        let picture = self.map_svg(plan, art);
        files.add("assembly-map.png", png(&picture, PICTURE_DPI)?);
        files.add("assembly-map.svg", picture);
        Ok(())
    }

    /// Adds the whole floor on one page; its width and height, mm.
    pub(super) fn add_single_page(
        &self,
        files: &mut OutputSet,
        art: &FloorArt,
    ) -> Result<(f64, f64), KitError> {
        let page = self.spelled(sheets::single_page(&self.context(), art));
        let (width, height) = (page.width, page.height);
        let bytes =
            large_pdf(&page, &self.info("Floor on one page")).map_err(|error| match error {
                OutputError::PageSize { .. } => KitError::SinglePage { width, height },
                other => other.into(),
            })?;
        files.add("floor-single.pdf", bytes);
        Ok((width, height))
    }
}
