//! `baystencil library`.

use serde_json::json;

use super::{args::LibraryArgs, data::data, failure::Failure};
use crate::{
    job::{TEMPLATES, VEHICLES},
    output::pretty,
    paper::{Paper, Roll},
    template::TemplateSpec,
    units::mm_exact,
    vehicle::VehicleSpec,
};

pub(super) fn library(args: &LibraryArgs) -> Result<(), Failure> {
    let vehicles = VEHICLES
        .iter()
        .map(|item| Ok((item.name, VehicleSpec::read(&item.source())?)))
        .collect::<Result<Vec<_>, Failure>>()?;
    let templates = TEMPLATES
        .iter()
        .map(|item| Ok((item.name, TemplateSpec::read(&item.source())?)))
        .collect::<Result<Vec<_>, Failure>>()?;
    data(&if args.json {
        json_list(&vehicles, &templates)
    } else {
        list(&vehicles, &templates)
    })
}

fn json_list(vehicles: &[(&str, VehicleSpec)], templates: &[(&str, TemplateSpec)]) -> String {
    pretty(&json!({
        "vehicles": vehicles.iter().map(|(name, spec)| json!({
            "name": name, "title": spec.name, "length_mm": spec.length(), "width_mm": spec.overall_width,
        })).collect::<Vec<_>>(),
        "templates": templates.iter().map(|(name, spec)| json!({
            "name": name, "title": spec.name, "purpose": spec.purpose,
            "values": spec.values.iter().map(|value| json!({
                "name": value.name, "meaning": value.meaning, "unit": value.kind.unit(),
                "default": value.default, "least": value.least, "most": value.most,
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "papers": Paper::known().into_iter().map(|paper| json!({
            "name": paper.name, "width_mm": paper.width, "height_mm": paper.height,
        })).collect::<Vec<_>>(),
        "rolls": Roll::known().into_iter().map(|roll| json!({
            "name": roll.name, "width_mm": roll.width,
        })).collect::<Vec<_>>(),
    }))
}

fn list(vehicles: &[(&str, VehicleSpec)], templates: &[(&str, TemplateSpec)]) -> String {
    let mut lines = Vec::new();
    lines.push("Vehicles (invented, for demonstration)".to_owned());
    for (name, spec) in vehicles {
        let (length, width) = (mm_exact(spec.length(), 0), mm_exact(spec.overall_width, 0));
        lines.push(format!("  {name:22}{length:>5} × {width} mm"));
    }
    lines.push("\nTemplates (every default is a demonstration value)".to_owned());
    for (name, spec) in templates {
        lines.push(format!("  {name}\n      {}", spec.purpose));
        for value in &spec.values {
            let unit = value.kind.unit();
            let number = |mm| mm_exact(mm, 1);
            lines.push(format!(
                "      {:16}{:>6} {unit:4}{} ({} to {})",
                value.name,
                number(value.default),
                value.meaning,
                number(value.least),
                number(value.most)
            ));
        }
    }
    lines.push("\nPaper".to_owned());
    for paper in Paper::known() {
        lines.push(format!(
            "  {:22}{} × {} mm",
            paper.name,
            mm_exact(paper.width, 1),
            mm_exact(paper.height, 1)
        ));
    }
    lines.push("\nRolls (any other width as a length)".to_owned());
    for roll in Roll::known() {
        lines.push(format!("  {:22}{} mm", roll.name, mm_exact(roll.width, 1)));
    }
    lines.push(String::new());
    lines.join("\n")
}
