//! A template's values as a job sets them.

use super::{fault::PlanFault, model::ValueEcho};
use crate::{
    source::{Fault, Place},
    template::TemplateSpec,
};

/// One value set by a job or a flag.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Name of the value.
    pub name: String,
    /// The number as written, with its unit.
    pub text: String,
    /// Where it was set.
    pub place: Place,
}

/// The template's values with the settings put in; a later setting wins.
pub(super) fn settle(
    template: &TemplateSpec,
    settings: &[Setting],
    faults: &mut Vec<Fault>,
) -> Vec<ValueEcho> {
    let values = &template.values;
    let mut settled: Vec<ValueEcho> = values
        .iter()
        .map(|value| ValueEcho {
            name: value.name.clone(),
            meaning: value.meaning.clone(),
            value: value.default,
            unit: value.kind.unit(),
            demonstration: template.demonstration,
        })
        .collect();
    for setting in settings {
        let Some(index) = values.iter().position(|value| value.name == setting.name) else {
            faults.push(setting.place.fault(PlanFault::NoValue {
                name: setting.name.clone(),
                known: values.iter().map(|value| value.name.clone()).collect(),
            }));
            continue;
        };
        let value = &values[index];
        match value
            .kind
            .parse(&setting.text)
            .and_then(|number| value.check(number))
        {
            Ok(number) => {
                settled[index].value = number;
                settled[index].demonstration = false;
            }
            Err(message) => faults.push(setting.place.fault(message)),
        }
    }
    settled
}
