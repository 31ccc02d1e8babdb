//! What is wrong with readings and heights.

use std::fmt;

use kurbo::Point;

use crate::{
    survey::{Absurd, FormRow, LevelFault, ReadingFault},
    units::{inch_cell, mm_exact, mm_text},
};

impl fmt::Display for LevelFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotText => f.write_str(
                "the levels are not UTF-8 text; save them as UTF-8, or give a table ending in .csv",
            ),
            Self::SamePlace([one, other]) => write!(
                f,
                "`{one}` lies where `{other}` does; give each reading the place it was taken at, or leave one out"
            ),
            Self::Again { name, first_line } => write!(
                f,
                "`{name}` is read again (first at line {first_line}); keep one height, or their mean"
            ),
            Self::OtherJob { name, own, job } => write!(
                f,
                "`{name}` lies {} by the form and {} by the job; is this the form of another job? Leave x and y out, or give the right job",
                whole(*own),
                whole(*job)
            ),
            Self::NoPlace(name) => write!(
                f,
                "the place of `{name}` is not known; give its x and y, or name the job whose marks were read"
            ),
            Self::Unknown { name, near, known } => {
                write!(f, "`{name}` is no mark of the job and no wheel; ")?;
                match near {
                    Some(near) => write!(f, "did you mean `{near}`?")?,
                    None => write!(f, "the job has {}.", known.join(", "))?,
                }
                f.write_str(" A point of your own needs x and y")
            }
        }
    }
}

impl fmt::Display for ReadingFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge => f.write_str("is larger than 10 MB; give the readings, nothing else"),
            Self::NotText => f.write_str("is not UTF-8 text; save it as UTF-8"),
            Self::Ambiguous { written, like } => write!(
                f,
                "`{written}` may be `{}`; write it as one of them",
                like.join("` or `")
            ),
            Self::NoMark {
                written,
                near,
                known,
                more,
            } => no_mark(f, written, near.as_deref(), known, *more),
            Self::NoMarkNorPlace(fault) => write!(f, "{fault}; or add `x` and `y`"),
            Self::NoPlace(id) => write!(f, "the mark `{id}` has no place; add `x` and `y`"),
            Self::FarAway(id) => write!(
                f,
                "the mark `{id}` lies more than 100 km from the vehicle; give its place in the layout's axes, x forward and y left of the layout's origin"
            ),
            Self::AllFixed => f.write_str(
                "every mark is fixed, so there is nothing to judge; leave `fixed` out for the marks that were laid",
            ),
            Self::FixedTogether {
                marks: [one, other],
                at,
            } => write!(
                f,
                "the marks `{one}` and `{other}` are fixed at one place, x {} mm and y {} mm; correct one of them, or give them one name",
                mm_exact(at.x, 1),
                mm_exact(at.y, 1)
            ),
            Self::ToItself(id) => write!(
                f,
                "a reading from `{id}` to itself; a distance is between two marks"
            ),
            Self::TwiceOnLine(id) => write!(
                f,
                "the mark `{id}` is named twice; a line goes through two marks, and a third one lies beside it or on it"
            ),
            Self::RowChanged(row) => {
                let [form, column, layout] = lengths(row);
                write!(
                    f,
                    "for {} the form has {form} in {column}, but the layout has {layout}: the marks or the number of this row were changed; put back what the form had, or clear {column} where another distance was taped",
                    row.name
                )
            }
            Self::AnotherLayout {
                first,
                different,
                all,
            } => {
                let [form, column, layout] = lengths(first);
                write!(
                    f,
                    "the form was printed for another layout: for {} it has {form} in {column}, the layout of this job has {layout}, and {different} of {all} rows differ. If the column was changed, take a new form from `kit`. If not, name the job that the form was made from, or the same vehicle, template and values",
                    first.name
                )
            }
            Self::OtherUnit {
                count,
                all,
                unit,
                read_as,
                first,
            } => write!(
                f,
                "{count} of {all} readings seem to be in {unit}, but are read as {read_as}, such as {}; write the unit into the cells, or name the column reading_{unit}",
                absurd(first)
            ),
            Self::Absurd(reading, unit) => {
                write!(f, "{}; ", absurd(reading))?;
                match unit {
                    Some(unit) => write!(f, "if it is in {unit}, write {unit} behind it"),
                    None => f.write_str("tape it again, or clear it"),
                }
            }
        }
    }
}

fn no_mark(
    f: &mut fmt::Formatter<'_>,
    written: &str,
    near: Option<&str>,
    known: &[String],
    more: bool,
) -> fmt::Result {
    write!(f, "there is no mark `{written}`; ")?;
    if known.is_empty() {
        return f.write_str(
            "no marks are known: name the job that the layout was made for, or give marks by [[mark]]",
        );
    }
    let the = match near {
        Some(near) => {
            write!(f, "did you mean `{near}`? ")?;
            "The"
        }
        None => "the",
    };
    let more = if more { ", …" } else { "" };
    write!(f, "{the} marks are: {}{more}", known.join(", "))
}

/// The form's length, its column and the layout's length, in the form's unit.
fn lengths(row: &FormRow) -> [String; 3] {
    let (length, column): (fn(f64) -> String, _) = if row.inches {
        (|mm| format!("{} in", inch_cell(mm)), "should_be_in")
    } else {
        (|mm| format!("{} mm", mm_exact(mm, 1)), "should_be_mm")
    };
    [length(row.form), column.to_owned(), length(row.layout)]
}

/// A place in words, whole mm: "1760 mm forward, 1286 mm left".
fn whole(at: Point) -> String {
    let part = |mm: f64, [more, less]: [&str; 2]| {
        let way = if mm < 0.0 { less } else { more };
        format!("{} mm {way}", mm_text(mm.abs()))
    };
    let along = part(at.x, ["forward", "rearward"]);
    format!("{along}, {}", part(at.y, ["left", "right"]))
}

/// "8 mm for 1L–1R, which should be about 1760 mm".
fn absurd(reading: &Absurd) -> String {
    format!(
        "{} mm for {}, which should be about {} mm",
        mm_exact(reading.value, 3),
        reading.name,
        mm_exact(reading.should_be, 0)
    )
}
