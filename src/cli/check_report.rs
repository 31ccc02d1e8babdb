//! What `check` says in plain words.

use kurbo::Vec2;

use crate::{
    kit::{Judged, JudgedMark},
    survey::{Assessment, Datum, Geometry, MarkFinding, TapedLayout, Verdict},
    units::mm_exact,
    words::Lengths,
};

/// The report, line by line: the verdict, what to do in order, what else was found, and where each mark lies. Places, residuals
/// and statistics follow where `details` are asked for.
pub(super) fn report(judged: &Judged, details: bool) -> String {
    let Judged {
        layout,
        assessment,
        words,
        inches,
        ..
    } = judged;
    let (blank, lengths) = (judged.blank, Lengths { inches: *inches });
    let mut lines = vec![words.headline.clone()];
    let numbered = words.todo.iter().enumerate();
    lines.extend(numbered.map(|(index, sentence)| format!("  {}. {sentence}", index + 1)));
    lines.extend(
        words
            .findings
            .iter()
            .map(|sentence| format!("  {sentence}")),
    );
    if blank > 0 {
        lines.push(format!(
            "  {blank} {} of the form {} no reading.",
            ["row", "rows"][usize::from(blank > 1)],
            ["has", "have"][usize::from(blank > 1)]
        ));
    }
    lines.push(String::new());
    lines.extend(standing(&judged.marks(), words.against, lengths));
    if details {
        lines.push(String::new());
        lines.extend(marks(layout, assessment, lengths));
        lines.push(String::new());
        lines.extend(readings(layout, assessment, lengths));
        lines.push(String::new());
        lines.extend(statistics(assessment));
    }
    lines.push(String::new());
    lines.join("\n")
}

/// Where each judged mark lies, in words.
fn standing(judged: &[JudgedMark], against: &str, lengths: Lengths) -> Vec<String> {
    if judged.is_empty() {
        return Vec::new();
    }
    let width = judged
        .iter()
        .map(|mark| mark.id.chars().count())
        .max()
        .unwrap_or(0)
        .max(6);
    let lies = format!("lies off {against}, {}", lengths.unit());
    let off = |mark: &JudgedMark| {
        mark.off
            .map_or_else(|| "not measured".to_owned(), |off| lengths.off(off))
    };
    let offs: Vec<String> = judged.iter().map(off).collect();
    let longest = offs
        .iter()
        .chain([&lies])
        .map(|text| text.chars().count())
        .max();
    let column = longest.unwrap_or(0).max(28);
    let heading = format!(
        "{:width$}  {lies:column$}{:>12}  verdict",
        "mark", "may be off"
    );
    let line = |(mark, off): (&JudgedMark, &String)| {
        let verdict = mark.verdict.map(Verdict::word).unwrap_or_default();
        format!(
            "{:width$}  {off:column$}{:>12}  {verdict}",
            mark.id,
            lengths.cell(mark.tolerance, 1)
        )
    };
    std::iter::once(heading)
        .chain(judged.iter().zip(&offs).map(line))
        .collect()
}

fn marks(layout: &TapedLayout, assessment: &Assessment, lengths: Lengths) -> Vec<String> {
    let width = assessment
        .marks
        .iter()
        .map(|mark| mark.id.chars().count())
        .max()
        .unwrap_or(0)
        .max(6);
    let place = |mark: &MarkFinding| mark.place.map(|place| place + layout.origin);
    let digits = |mark| {
        place(mark).map_or(0, |at| {
            let digits = |mm| lengths.cell(mm, 1).chars().count();
            digits(at.x).max(digits(at.y))
        })
    };
    let column = assessment
        .marks
        .iter()
        .map(digits)
        .max()
        .unwrap_or(0)
        .max(9)
        + 2;
    let designed = assessment.marks.iter().any(|mark| mark.design.is_some());
    let tied = assessment.marks.iter().any(|mark| mark.to_datum.is_some());
    let mut heading = format!(
        "{:width$}{:>column$}{:>column$}{:>7}",
        "mark", "x", "y", "sd"
    );
    if designed {
        heading += &format!("{:>11}{:>8}{:>11}", "+ forward", "+ left", "tolerance");
    }
    if tied {
        heading += &format!("{:>28}", "to the vehicle");
    }
    let line = |mark: &MarkFinding| {
        let mut line = match place(mark) {
            Some(place) => format!(
                "{:width$}{:>column$}{:>column$}{:>7}",
                mark.id,
                lengths.cell(place.x, 1),
                lengths.cell(place.y, 1),
                mm_exact(mark.covariance.position(), 1)
            ),
            None => format!(
                "{:width$}{:>rest$}",
                mark.id,
                "not fixed by the readings",
                rest = 2 * column + 7
            ),
        };
        if let Some(moved) = mark.moved {
            let tolerance = mark
                .tolerance
                .map_or_else(String::new, |mm| mm_exact(mm, 1));
            line += &format!(
                "{:>11}{:>8}{tolerance:>11}",
                mm_exact(moved.x, 1),
                mm_exact(moved.y, 1)
            );
        }
        if let Some(moved) = mark.to_datum {
            line += &format!("{:>28}", in_words(moved));
        }
        let words = mark.verdict.map(Verdict::word).unwrap_or_default();
        format!(
            "{line}  {words}{}",
            if mark.unchecked { ", unchecked" } else { "" }
        )
        .trim_end()
        .to_owned()
    };
    let note = format!(
        "{}; x forward, y left; sd of the place; + forward, + left: how far the mark lies off in the grid itself, mm",
        lengths.unit()
    );
    [note, heading]
        .into_iter()
        .chain(assessment.marks.iter().map(line))
        .collect()
}

fn readings(layout: &TapedLayout, assessment: &Assessment, lengths: Lengths) -> Vec<String> {
    let network = &layout.network;
    let name = |point: usize| network.points[point].id.as_str();
    let label = |index: usize| match network.observations[index].geometry {
        Geometry::Distance { from, to } => format!("{} – {}", name(from), name(to)),
        Geometry::Offset {
            mark,
            line: [start, end],
        } => format!("{} | {} – {}", name(mark), name(start), name(end)),
        Geometry::X { point } => format!("{} forward", name(point)),
        Geometry::Y { point } => format!("{} left", name(point)),
    };
    let labels: Vec<String> = (0..network.observations.len()).map(label).collect();
    let width = labels
        .iter()
        .map(|label| label.chars().count())
        .max()
        .unwrap_or(0)
        .max(8)
        + 2;
    let column = if lengths.inches { 22 } else { 10 };
    let mut lines = vec![format!(
        "{:width$}{:>column$}{:>7}{:>10}{:>12}{:>8}{:>8}",
        "reading",
        lengths.unit(),
        "sd",
        "residual",
        "redundancy",
        "w",
        "finds"
    )];
    for (index, (finding, observation)) in assessment
        .readings
        .iter()
        .zip(&network.observations)
        .enumerate()
    {
        let optional = |value: Option<f64>, decimals| {
            value.map_or_else(|| "–".to_owned(), |value| mm_exact(value, decimals))
        };
        let value = format!(
            "{:width$}{:>column$}{:>7}",
            labels[index],
            lengths.cell(observation.value, 1),
            mm_exact(observation.sd, 1)
        );
        lines.push(if finding.used {
            format!(
                "{value}{:>10}{:>12}{:>8}{:>8}{}",
                mm_exact(finding.residual, 1),
                mm_exact(finding.redundancy, 2),
                optional(finding.normalised, 1),
                optional(finding.smallest_error, 1),
                if finding.suspect { "  tape again" } else { "" }
            )
        } else {
            format!("{value}  not used: its marks are not fixed")
        });
    }
    lines
}

fn statistics(assessment: &Assessment) -> Vec<String> {
    let mut line = format!(
        "{} network, {} degrees of freedom",
        assessment.datum.word(),
        assessment.dof
    );
    if let (Some(sigma0), Some(test)) = (assessment.sigma0, assessment.global_test) {
        let verdict = if test.passed {
            "as expected"
        } else {
            "more than expected"
        };
        line += &format!(
            "; readings scatter {verdict}: σ0 {}, χ² {} ({} to {} with 95 %)",
            mm_exact(sigma0, 2),
            mm_exact(test.statistic, 1),
            mm_exact(test.bounds[0], 1),
            mm_exact(test.bounds[1], 1)
        );
    }
    let mut lines = vec![line];
    if assessment.datum == Datum::Free {
        lines.push(
            "distances between marks alone do not show how the grid lies to the vehicle, nor which side is left"
                .to_owned(),
        );
    }
    if let Some(pose) = &assessment.pose {
        lines.push(format!(
            "the grid lies {}, mm (sd {} along, {} across), turned {}° {} (sd {})",
            in_words(Vec2::new(pose.forward, pose.left)),
            mm_exact(pose.sd[0], 1),
            mm_exact(pose.sd[1], 1),
            mm_exact(pose.turned.abs(), 3),
            if pose.turned < 0.0 {
                "clockwise"
            } else {
                "counter-clockwise"
            },
            mm_exact(pose.sd[2], 3)
        ));
    }
    lines
}

/// To a tenth of a mm: "1.2 forward, 0.8 right".
fn in_words(off: Vec2) -> String {
    let part = |along: f64, [more, less]: [&str; 2]| {
        let way = if along < 0.0 { less } else { more };
        format!("{} {way}", mm_exact(along.abs(), 1))
    };
    let forward = part(off.x, ["forward", "rearward"]);
    format!("{forward}, {}", part(off.y, ["left", "right"]))
}
