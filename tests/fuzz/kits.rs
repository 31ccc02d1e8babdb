//! What has to hold of every plan, and of every kit that is made of one.

use std::collections::BTreeSet;

use baystencil::{
    FloorPlan, Job, Kit, Readings, Verdict, Wanted, assess,
    inside::{Form, OutputSet},
};
use lopdf::Document;
use serde_json::Value;

/// Nothing on a floor lies farther from the origin, mm: a vehicle and what a template may put around it.
const FARTHEST_MM: f64 = 100_000.0;

/// JSON has thousandths of a mm.
const ROUNDED_MM: f64 = 0.000_6;

/// PDF has thousandths of a unit of 1/72 in.
const PAGE_MM: f64 = 0.01;

/// More sheets than this are not made, so that a case takes a second at most.
const MOST_SHEETS: usize = 60;

/// Every mark is at a place, under a name of its own; lines, panels and checks lie between them.
pub fn sound_plan(plan: &FloorPlan) -> Result<(), String> {
    let mut names = BTreeSet::new();
    for mark in &plan.marks {
        let far = mark.at.x.abs().max(mark.at.y.abs());
        if !(far <= FARTHEST_MM) || !(mark.tolerance > 0.0) || !names.insert(&mark.id) {
            return Err(format!("{mark:?}"));
        }
        if mark.two_tape.iter().any(|tape| !tape.is_finite()) {
            return Err(format!("{mark:?}"));
        }
    }
    let count = plan.marks.len();
    let ends = plan.lines.iter().map(|line| [line.from, line.to]);
    let checks = plan.checks.iter().map(|check| [check.from, check.to]);
    if let Some([from, to]) = ends
        .chain(checks)
        .find(|[from, to]| from == to || *from.max(to) >= count)
    {
        return Err(format!("from mark {from} to mark {to} of {count}"));
    }
    for base in plan.tape_base {
        if plan.marks[base].at.y.abs() > 0.5 {
            return Err(format!(
                "tapes start beside the centreline: {:?}",
                plan.marks[base]
            ));
        }
    }
    for check in &plan.checks {
        let apart = plan.marks[check.from].at.distance(plan.marks[check.to].at);
        if !((apart - check.distance).abs() < 1e-6) {
            return Err(format!("{check:?} is {apart}"));
        }
    }
    let bands = plan.lines.iter().flat_map(|line| plan.band(line));
    let panels = plan
        .panels
        .iter()
        .flat_map(|panel| plan.panel_parts(panel))
        .flatten();
    let odd = bands
        .chain(panels)
        .find(|at| !(at.x.abs().max(at.y.abs()) <= FARTHEST_MM));
    odd.map_or(Ok(()), |at| Err(format!("something lies at {at:?}")))
}

/// Makes the kit of a job and holds its files against the plan and against each other. A message where it is refused.
pub fn sound_kit(job: &Job) -> Result<Option<String>, String> {
    let wanted = Wanted {
        most_sheets: Some(MOST_SHEETS),
    };
    let made = match Kit::of(job.clone()).files(&wanted) {
        Ok(made) => made,
        Err(error) => return Ok(Some(error.to_string())),
    };
    let files = &made.files;
    let plan = json(files, "plan.json")?;
    same_marks(&plan, &job.plan)?;
    let sheets = json(files, "sheets.json")?;
    marks_on_sheets(&sheets, &job.plan)?;
    for name in files.names() {
        let Some(bytes) = files.bytes(name) else {
            continue;
        };
        if name.ends_with(".pdf") {
            let pages = pages(name, bytes)?;
            if name == "stencils.pdf" {
                pages_as_told(&pages, &sheets)?;
            }
        } else if name.ends_with(".svg") {
            let options = usvg::Options::default();
            usvg::Tree::from_data(bytes, &options).map_err(|error| format!("{name}: {error}"))?;
        } else if name.ends_with(".dxf") {
            groups_of_two_lines(bytes).map_err(|error| format!("{name}: {error}"))?;
        }
    }
    exact_readings_are_never_outside(job, files)?;
    Ok(None)
}

/// A DXF is ASCII: a whole number and a value by turns, and an end.
fn groups_of_two_lines(bytes: &[u8]) -> Result<(), String> {
    let text = std::str::from_utf8(bytes).map_err(|error| error.to_string())?;
    let lines: Vec<&str> = text.lines().collect();
    let codes = lines.iter().step_by(2);
    let odd = codes
        .filter(|code| code.trim().parse::<u16>().is_err())
        .count();
    if text.is_ascii() && lines.len().is_multiple_of(2) && odd == 0 && text.ends_with("\nEOF\n") {
        Ok(())
    } else {
        Err("not a DXF".to_owned())
    }
}

fn json(files: &OutputSet, name: &str) -> Result<Value, String> {
    let bytes = files.bytes(name).ok_or_else(|| format!("no {name}"))?;
    serde_json::from_slice(bytes).map_err(|error| format!("{name}: {error}"))
}

fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

/// `plan.json` has the plan's marks, and its lines run between them.
fn same_marks(file: &Value, plan: &FloorPlan) -> Result<(), String> {
    let marks = list(file, "marks");
    if marks.len() != plan.marks.len() {
        return Err(format!("{} marks in plan.json", marks.len()));
    }
    for (mark, told) in plan.marks.iter().zip(marks) {
        let off = (number(&told["x_mm"]) - mark.at.x).hypot(number(&told["y_mm"]) - mark.at.y);
        if told["id"] != mark.id.as_str() || !(off <= ROUNDED_MM) {
            return Err(format!("{told} is not {mark:?}"));
        }
    }
    for (line, told) in plan.lines.iter().zip(list(file, "lines")) {
        let ends = [line.from, line.to].map(|end| plan.marks[end].id.as_str());
        if told["from"] != ends[0]
            || told["to"] != ends[1]
            || number(&told["width_mm"]) != line.width
        {
            return Err(format!("{told} is not {ends:?}"));
        }
    }
    Ok(())
}

/// Every mark is on a sheet, and every sheet's window on its page.
fn marks_on_sheets(file: &Value, plan: &FloorPlan) -> Result<(), String> {
    let sheets = list(file, "sheets");
    if number(&file["lower_bound"]) > number(&file["count"]) || sheets.is_empty() {
        return Err(format!(
            "{} sheets, at least {}",
            file["count"], file["lower_bound"]
        ));
    }
    let mut shown = vec![false; plan.marks.len()];
    for sheet in sheets {
        let [a, b, c, d, e, f] = numbers(&sheet["floor_to_page"])?;
        let [width, height] = numbers(&sheet["page_mm"])?;
        let on_page = |x: f64, y: f64| [a * x + c * y + e, b * x + d * y + f];
        let corners: Vec<[f64; 2]> = list(sheet, "window")
            .iter()
            .map(|corner| on_page(number(&corner[0]), number(&corner[1])))
            .collect();
        let inside = |[x, y]: [f64; 2], within: f64| {
            (-within..=width + within).contains(&x) && (-within..=height + within).contains(&y)
        };
        if corners.len() != 4 || !corners.iter().all(|corner| inside(*corner, PAGE_MM)) {
            return Err(format!("a window beside its page: {sheet}"));
        }
        let least = |axis: usize| {
            corners
                .iter()
                .map(|at| at[axis])
                .fold(f64::INFINITY, f64::min)
        };
        let most = |axis: usize| {
            corners
                .iter()
                .map(|at| at[axis])
                .fold(f64::NEG_INFINITY, f64::max)
        };
        for (mark, shown) in plan.marks.iter().zip(&mut shown) {
            let at = on_page(mark.at.x, mark.at.y);
            *shown |= (0..2).all(|axis| (least(axis)..=most(axis)).contains(&at[axis]));
        }
    }
    let missing = plan.marks.iter().zip(&shown).find(|(_, shown)| !**shown);
    missing.map_or(Ok(()), |(mark, _)| Err(format!("on no sheet: {mark:?}")))
}

fn numbers<const N: usize>(value: &Value) -> Result<[f64; N], String> {
    let numbers: Vec<f64> = value.as_array().into_iter().flatten().map(number).collect();
    let sound = numbers.iter().all(|number| number.is_finite());
    let numbers = numbers.try_into().ok().filter(|_| sound);
    numbers.ok_or_else(|| format!("{value} is not {N} numbers"))
}

/// Widths and heights of a PDF's pages, mm.
fn pages(name: &str, bytes: &[u8]) -> Result<Vec<[f64; 2]>, String> {
    let document = Document::load_mem(bytes).map_err(|error| format!("{name}: {error}"))?;
    let size = |page: lopdf::ObjectId| {
        let page = document.get_dictionary(page)?;
        let unit = page
            .get(b"UserUnit")
            .and_then(|unit| unit.as_float())
            .unwrap_or(1.0);
        let media = page.get(b"MediaBox")?.as_array()?;
        let sides: Result<Vec<f32>, lopdf::Error> =
            media.iter().map(lopdf::Object::as_float).collect();
        let sides = sides?;
        Ok([2, 3].map(|side| f64::from((sides[side] - sides[side - 2]) * unit) / 72.0 * 25.4))
    };
    let pages: Result<Vec<[f64; 2]>, lopdf::Error> =
        document.get_pages().into_values().map(size).collect();
    let pages = pages.map_err(|error| format!("{name}: {error}"))?;
    match pages.is_empty() {
        true => Err(format!("{name} has no page")),
        false => Ok(pages),
    }
}

/// `stencils.pdf` has the pages that `sheets.json` tells of, of the sizes that it tells.
fn pages_as_told(pages: &[[f64; 2]], file: &Value) -> Result<(), String> {
    let mut last = 0;
    for sheet in list(file, "sheets") {
        let page = sheet["page"].as_u64().unwrap_or(0) as usize;
        let told: [f64; 2] = numbers(&sheet["page_mm"])?;
        let Some(size) = page.checked_sub(1).and_then(|page| pages.get(page)) else {
            return Err(format!("{} pages, and none for {sheet}", pages.len()));
        };
        if (0..2).any(|side| !((size[side] - told[side]).abs() < PAGE_MM)) {
            return Err(format!("a page of {size:?} mm for {sheet}"));
        }
        last = last.max(page);
    }
    match last == pages.len() {
        true => Ok(()),
        false => Err(format!("{} pages, the last sheet on {last}", pages.len())),
    }
}

/// A form that is filled in with what it says the readings should be proves nothing wrong.
fn exact_readings_are_never_outside(job: &Job, files: &OutputSet) -> Result<(), String> {
    let file = Form::Readings.file();
    let form = String::from_utf8_lossy(files.bytes(file).unwrap_or_default()).into_owned();
    let mut reader = csv::Reader::from_reader(form.as_bytes());
    let mut writer = csv::Writer::from_writer(Vec::new());
    let heading = reader.headers().unwrap().clone();
    let column = |name: &str| {
        heading
            .iter()
            .position(|other| other.starts_with(name))
            .unwrap()
    };
    let (should_be, reading) = (column("should_be"), column("reading"));
    writer.write_record(&heading).unwrap();
    for row in reader.records() {
        let row = row.unwrap();
        let mut cells: Vec<&str> = row.iter().collect();
        cells[reading] = cells[should_be];
        writer.write_record(cells).unwrap();
    }
    let filled = writer.into_inner().unwrap();
    let wrong = |why: String| format!("{why}\n{}", String::from_utf8_lossy(&filled));
    let readings = Readings::read(file, &filled).map_err(|faults| wrong(faults.to_string()))?;
    let survey = readings
        .resolve_laid(&job.plan, &job.precision, job.prior())
        .map_err(|faults| wrong(faults.to_string()))?;
    let assessment = assess(&survey.taped).map_err(|error| wrong(error.to_string()))?;
    match assessment.verdict {
        Some(Verdict::Outside) => Err(wrong("exact readings are outside".to_owned())),
        _ if !assessment.suspects.is_empty() => Err(wrong(format!("{:?}", assessment.suspects))),
        _ => Ok(()),
    }
}
