//! Texts of a job that the program has not written.

use super::Job;

impl Job {
    /// What the user wrote and sheets show: the record, the bay's names, marks, and what comes from vehicles and a template of
    /// the user's own.
    #[must_use]
    pub fn own_texts(&self) -> Vec<&str> {
        let record = &self.record;
        let mut texts: Vec<&str> = [
            &record.workshop,
            &record.order,
            &record.vehicle_id,
            &record.technician,
            &record.service_information,
            &record.note,
            &self.printer,
        ]
        .map(String::as_str)
        .to_vec();
        for plan in self.layouts() {
            let vehicle = &plan.vehicle;
            if !vehicle.demonstration {
                texts.extend([vehicle.name.as_str(), vehicle.source.as_str()]);
                texts.extend(vehicle.sources.iter().map(|(_, source)| source.as_str()));
            }
            let bay = plan.floor.bay.iter();
            texts.extend(bay.flat_map(|bay| &bay.hit).map(String::as_str));
            if plan.template.demonstration {
                continue;
            }
            let template = &plan.template;
            texts.extend([template.name.as_str(), template.purpose.as_str()]);
            for mark in &plan.marks {
                texts.extend([mark.id.as_str(), mark.meaning.as_str()]);
            }
            texts.extend(template.values.iter().map(|value| value.meaning.as_str()));
            let lists = plan.preparation.iter().chain(&plan.closing);
            texts.extend(lists.map(String::as_str));
        }
        texts
    }
}
