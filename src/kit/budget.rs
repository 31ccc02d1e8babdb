//! What errors to expect of a kit's marks.

use super::Kit;
use crate::{
    cover::{Mode, SheetPlan},
    plan::Mark,
    survey::{ErrorBudget, Joint},
};

impl Kit {
    /// What errors to expect of the marks, by way of laying them; sheets that are joined one to the next by the way from joint to
    /// joint.
    pub(super) fn budget(&self, sheets: &SheetPlan) -> ErrorBudget {
        let plan = &self.job.plan;
        let datum = sheets.sheet_at(plan.marks[plan.tape_base[0]].at);
        let routes = datum.map_or_else(Vec::new, |datum| sheets.routes(datum));
        let joint = |index: &usize| {
            let [first, second] = sheets.joints[*index]
                .registration
                .map(|mark| sheets.registration[mark].at);
            Joint::between(first, second)
        };
        let path = |mark: &Mark| {
            let route = routes.get(sheets.sheet_at(mark.at)?)?.as_ref()?;
            route.iter().map(joint).collect::<Option<Vec<Joint>>>()
        };
        // Keys and strips are laid by tape, each by itself or at both ends; what joins them are no joints of sheets.
        let joined = sheets.mode != Mode::Keys && sheets.roll.is_none();
        let paths: Vec<Option<Vec<Joint>>> = plan
            .marks
            .iter()
            .map(|mark| path(mark).filter(|_| joined))
            .collect();
        ErrorBudget::of(plan, &self.job.precision, &paths, self.job.sheet_length())
            .after_checks(self.after_checks())
    }

    /// Radius in mm that holds each mark with 95 % once its lays are taped and what `check` asks for is moved; `None` where no
    /// lays were chosen.
    fn after_checks(&self) -> Option<Vec<f64>> {
        let mut radii = vec![0.0_f64; self.job.plan.marks.len()];
        let proofs = &self.job.plan.proofs;
        for proof in proofs.iter().flat_map(|proof| &proof.marks) {
            radii[proof.mark] = radii[proof.mark].max(proof.radius);
        }
        (!proofs.is_empty()).then_some(radii)
    }
}
