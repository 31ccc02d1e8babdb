//! The error budget as a small table for sheet 0.

use crate::{
    drawing::{Text, Weight, heights},
    page::{Align, Cell, Column, Fragment, Room, Row, Table, wrap},
    plan::FloorPlan,
    survey::{ErrorBudget, Method, MethodBudget},
    units::inch_text,
    words::printed::budget_notes::{TITLE, assumptions, meaning, says_something, terms},
};

/// Height of a row, mm.
const ROW_MM: f64 = 4.4;

/// Depth of the title's line, mm.
const TITLE_MM: f64 = heights::TEXT * 1.65;

/// Baseline to baseline of what stands below the table, as a multiple of its lettering.
const NOTE_LEADING: f64 = 1.65;

/// Free depth after the title, mm.
const TITLE_GAP_MM: f64 = 0.6;

/// Free depth between table and assumptions, mm.
const NOTE_GAP_MM: f64 = 2.0;

/// Lays out the budget of a plan's marks to `width` mm: a row for each method with its worst mark, how far that lies
/// off as laid and, where it is known, after checks and moves, and the main cause; below them what was assumed.
/// The method `used` stands in bold. Lengths are mm, or inches to 1/16 where `inches` is true. `None` when the columns need more than `width`.
#[must_use]
pub fn budget_table(
    plan: &FloorPlan,
    budget: &ErrorBudget,
    used: Method,
    inches: bool,
    width: f64,
) -> Option<Fragment> {
    let rows: Vec<Row> = budget
        .methods
        .iter()
        .filter(|method| says_something(method))
        .map(|method| row(plan, budget, method, used, inches))
        .collect();
    let columns = || columns(budget.after.is_some(), inches);
    let table = |lettering| Table {
        columns: columns(),
        rows: rows.clone(),
        lettering,
        headings: heights::SMALL,
        row_height: ROW_MM,
    };
    let table = table(heights::TEXT)
        .lay_out(width)
        .or_else(|| table(heights::SMALL).lay_out(width))?;
    let mut piece = title(width);
    piece.stack(&table, TITLE_GAP_MM);
    piece.stack(&notes(budget, width), NOTE_GAP_MM);
    Some(piece)
}

fn columns(after: bool, inches: bool) -> Vec<Column> {
    let unit = if inches { "in" } else { "mm" };
    let mut columns = vec![
        Column::new("way of laying", Align::Left, Room::Content),
        Column::new("worst\nmark", Align::Left, Room::Content),
        Column::new(format!("as laid\n{unit}"), Align::Right, Room::Content),
        Column::new("mostly from", Align::Left, Room::Content),
    ];
    if after {
        columns.push(Column::new(
            format!("after checks\nand moves, {unit}"),
            Align::Right,
            Room::Content,
        ));
    }
    columns
}

fn row(
    plan: &FloorPlan,
    budget: &ErrorBudget,
    method: &MethodBudget,
    used: Method,
    inches: bool,
) -> Row {
    let length = |mm: f64| {
        if inches {
            inch_text(mm)
        } else {
            format!("{mm:.1}")
        }
    };
    let worst = method.worst_error();
    let words = method.method.to_string();
    let mut cells = vec![
        if method.method == used {
            Cell::Bold(words)
        } else {
            Cell::Text(words)
        },
        Cell::Text(plan.marks[method.worst].id.clone()),
        Cell::Text(length(worst.radius_95())),
        Cell::Text(worst.leading.to_string()),
    ];
    // A check plan takes sheets as placed by tape; nobody checks what was only joined.
    let after = |radius: f64| match method.method {
        Method::Chained => Cell::Text("–".to_owned()),
        _ => Cell::Bold(length(radius)),
    };
    cells.extend(budget.worst_after().map(after));
    Row {
        cells,
        starts_group: false,
    }
}

fn title(width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    piece
        .canvas()
        .text(Text::new((0.0, -TITLE_MM * 2.0 / 3.0), heights::TEXT, TITLE).bold());
    piece.height = TITLE_MM;
    piece
}

fn notes(budget: &ErrorBudget, width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    for (text, height) in [
        (meaning(budget), heights::TEXT),
        (terms(budget), heights::SMALL),
        (assumptions(&budget.precision), heights::SMALL),
    ] {
        let leading = height * NOTE_LEADING;
        for line in wrap(&text, width, height, Weight::Regular) {
            piece.height += leading;
            // A third of the leading below the baseline holds the descenders.
            let baseline = -piece.height + leading / 3.0;
            piece
                .canvas()
                .text(Text::new((0.0, baseline), height, line));
        }
    }
    piece
}

#[cfg(test)]
mod tests {
    use kurbo::{Point, Rect};

    use super::*;

    use crate::{
        drawing::Drawing,
        job::{TEMPLATES, VEHICLES},
        page::text_box,
        sheets::shared::fixture,
        survey::{Joint, Method, Precision, ScaleSource},
        template::TemplateSpec,
        vehicle::VehicleSpec,
    };

    /// Width that sheet 0 has beside nothing else, mm.
    const WIDTH: f64 = 130.0;

    fn budget(plan: &FloorPlan, joined: bool) -> ErrorBudget {
        let joint = |step: i32| {
            let x = 2000.0 - 250.0 * f64::from(step);
            Joint::between(Point::new(x, 60.0), Point::new(x, -60.0)).unwrap()
        };
        let path = |to: Point| (1..=((2000.0 - to.x) / 250.0) as i32).map(joint).collect();
        let paths: Vec<_> = plan
            .marks
            .iter()
            .map(|mark| joined.then(|| path(mark.at)))
            .collect();
        ErrorBudget::of(plan, &Precision::default(), &paths, 260.0)
    }

    fn drawn(piece: &Fragment) -> Vec<(Rect, Text)> {
        let mut page = Drawing::new("", piece.width, piece.height);
        piece.place(&mut page, 0.0, piece.height);
        let texts = page.texts().into_iter().cloned();
        texts.map(|text| (text_box(&text), text)).collect()
    }

    #[test]
    fn every_method_stands_in_the_table_with_its_numbers_and_nothing_is_cut_off() {
        let plan = fixture::grid_plan();
        let budget = budget(&plan, true);
        let texts =
            drawn(&budget_table(&plan, &budget, Method::TapedSheets, false, WIDTH).unwrap());
        let has = |words: &str| texts.iter().any(|(_, text)| text.content == words);
        for method in &budget.methods {
            let error = format!("{:.1}", method.worst_error().radius_95());
            let worst = &plan.marks[method.worst].id;
            for words in [
                &method.method.to_string(),
                error.as_str(),
                worst.as_str(),
                &method.worst_error().leading.to_string(),
            ] {
                assert!(has(words), "{words}");
            }
        }
        assert!(texts.iter().all(|(_, text)| !text.content.contains('…')));
        let words: Vec<&str> = texts
            .iter()
            .map(|(_, text)| text.content.as_str())
            .collect();
        let words = words.join(" ");
        assert!(
            words.contains("tape class II (MI-008), reading 0.5")
                && words.contains("before anything is checked")
        );
    }

    #[test]
    fn an_inch_job_has_all_errors_in_sixteenths_of_an_inch() {
        let plan = fixture::grid_plan();
        let budget = budget(&plan, true).after_checks(Some(vec![3.25; plan.marks.len()]));
        let texts = drawn(&budget_table(&plan, &budget, Method::TapedSheets, true, WIDTH).unwrap());
        let has = |words: &str| texts.iter().any(|(_, text)| text.content == words);
        for method in &budget.methods {
            assert!(has(&inch_text(method.worst_error().radius_95())));
        }
        // 3.25 mm are two sixteenths.
        assert!(has("1/8") && has("and moves, in") && !has("3.2"));
    }

    #[test]
    fn what_checks_and_moves_bring_the_marks_to_stands_beside_what_is_laid() {
        let plan = fixture::grid_plan();
        let words = |after: Option<Vec<f64>>| {
            let budget = budget(&plan, true).after_checks(after);
            let piece = budget_table(&plan, &budget, Method::TapedSheets, false, WIDTH).unwrap();
            drawn(&piece)
                .into_iter()
                .map(|(_, text)| text.content)
                .collect::<Vec<_>>()
        };
        let mut radii = vec![2.5; plan.marks.len()];
        radii[1] = 3.25;
        let (with, without) = (words(Some(radii)), words(None));
        assert_eq!(
            with.iter().filter(|words| *words == "3.2").count(),
            Method::ALL.len() - 1
        );
        assert!(
            with.iter().any(|words| words == "after checks")
                && !without.iter().any(|words| words == "after checks")
        );
    }

    #[test]
    fn the_table_says_where_the_printers_scale_is_from() {
        let plan = fixture::grid_plan();
        let words = |precision: Precision| {
            let budget = ErrorBudget::of(&plan, &precision, &[], 260.0);
            let piece = budget_table(&plan, &budget, Method::TapedSheets, false, WIDTH).unwrap();
            drawn(&piece)
                .into_iter()
                .map(|(_, text)| text.content)
                .collect::<Vec<_>>()
                .join(" ")
        };
        let standard = Precision::default();
        assert!(words(standard).contains("printer scale 2.9 mm per metre (any printer"));
        let measured = Precision {
            printer_scale: 1.25,
            scale_source: ScaleSource::Measured { bar: 200.0 },
            ..standard
        };
        assert!(words(measured).contains(
            "printer scale 1.25 mm per metre (this printer, its scale test measured over 200 mm)"
        ));
        assert!(
            words(Precision {
                scale_source: ScaleSource::Job,
                ..standard
            })
            .contains("(as the job gives it)")
        );
    }

    #[test]
    fn lettering_keeps_within_the_piece_is_legible_and_does_not_overlap() {
        let plan = fixture::grid_plan();
        for width in [WIDTH, 118.0, 103.0] {
            let piece = budget_table(
                &plan,
                &budget(&plan, true),
                Method::TapedSheets,
                false,
                width,
            )
            .unwrap();
            let whole = Rect::new(0.0, 0.0, width, piece.height).inset(1e-6);
            let texts = drawn(&piece);
            for (index, (one, text)) in texts.iter().enumerate() {
                assert!(
                    whole.contains_rect(*one) && text.height >= heights::SMALL,
                    "{width}: {text:?}"
                );
                for (other, second) in &texts[index + 1..] {
                    assert!(
                        one.inset(-1e-6).intersect(*other).is_zero_area(),
                        "{width}: {text:?} on {second:?}"
                    );
                }
            }
        }
        assert!(
            budget_table(
                &plan,
                &budget(&plan, true),
                Method::TapedSheets,
                false,
                40.0
            )
            .is_none()
        );
    }

    #[test]
    fn the_method_in_use_is_the_only_one_in_bold() {
        let plan = fixture::grid_plan();
        let piece = budget_table(
            &plan,
            &budget(&plan, true),
            Method::KeyStencils,
            false,
            WIDTH,
        )
        .unwrap();
        let bold: Vec<String> = drawn(&piece)
            .into_iter()
            .filter(|(_, t)| t.weight == Weight::Bold)
            .map(|(_, t)| t.content)
            .collect();
        for method in Method::ALL {
            assert_eq!(
                bold.contains(&method.to_string()),
                method == Method::KeyStencils,
                "{method:?}"
            );
        }
    }

    #[test]
    fn sheets_that_are_not_joined_at_all_get_no_row_of_joined_sheets() {
        let plan = fixture::grid_plan();
        let words = |joined| {
            let texts = drawn(
                &budget_table(
                    &plan,
                    &budget(&plan, joined),
                    Method::TapedSheets,
                    false,
                    WIDTH,
                )
                .unwrap(),
            );
            texts
                .into_iter()
                .any(|(_, text)| text.content == Method::Chained.to_string())
        };
        assert_eq!((words(true), words(false)), (true, false));
    }

    #[test]
    fn the_budget_of_everything_built_in_is_finite_and_finds_room() {
        for vehicle in &VEHICLES {
            let vehicle = VehicleSpec::read(&vehicle.source()).unwrap();
            for template in &TEMPLATES {
                let template = TemplateSpec::read(&template.source()).unwrap();
                let plan = FloorPlan::resolve(&vehicle, &template, &[], None).unwrap();
                let budget = ErrorBudget::of(&plan, &Precision::default(), &[], 260.0);
                for method in &budget.methods {
                    let errors = method.marks.iter().map(|mark| mark.radius_95());
                    assert!(
                        errors.clone().all(|error| error.is_finite() && error > 1.0),
                        "{:?}",
                        method.method
                    );
                }
                assert!(
                    budget_table(&plan, &budget, Method::TapedSheets, false, 103.0).is_some(),
                    "{} {}",
                    vehicle.name,
                    plan.template.name
                );
            }
        }
    }
}
