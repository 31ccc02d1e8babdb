//! What the judgement of the real work asks for next.

use super::row::Row;
use crate::{
    practice::Setting,
    survey::{Assessment, Geometry, Readings, TapedLayout, Todo, assess, spare},
};

/// What the judgement may ask for besides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Further {
    /// Nothing: which readings contradict each other, and the verdict, do not hang on it.
    Nothing,
    /// The rows of the form.
    Form,
    /// Everything that a tape reaches.
    All,
}

/// A judged form.
pub(super) struct Judged {
    layout: TapedLayout,
    pub assessment: Assessment,
    /// For each observation of the network the row that it is of.
    rows: Vec<usize>,
}

impl Judged {
    /// Judges the rows that were read as the `check` command does; `None` where nothing can be judged.
    ///
    /// What could be taped besides takes most of the time, so it is gone through as far as the question needs it.
    pub fn of(
        setting: &Setting,
        rows: &[Row],
        differences: &[Option<f64>],
        further: Further,
    ) -> Option<Self> {
        let read = rows.iter().zip(differences).enumerate();
        let (rows, readings) = read
            .filter_map(|(index, (row, difference))| Some((index, row.reading((*difference)?))))
            .unzip();
        let readings = Readings {
            job: None,
            marks: Vec::new(),
            readings,
            blank: 0,
            precision: None,
        };
        let plan = &setting.plan;
        let survey = readings.resolve_laid(plan, &setting.precision, setting.prior().clone());
        let mut layout = survey.ok()?.taped;
        // The short plan looks for gross mistakes: it proves this many times the tolerances.
        let times = setting.short_plan().proofs.first()?.times_tolerance;
        let tolerances = layout.tolerances.iter_mut().flatten();
        tolerances.for_each(|tolerance| *tolerance *= times);
        layout.spare = match further {
            Further::Nothing => Vec::new(),
            // Those of the plan come first.
            Further::Form => {
                let all = spare(setting.short_plan(), &layout).into_iter();
                all.take(differences.len()).collect()
            }
            Further::All => spare(setting.short_plan(), &layout),
        };
        let assessment = assess(&layout).ok()?;
        Some(Self {
            layout,
            assessment,
            rows,
        })
    }

    /// The marks to be moved, by name.
    pub fn moves(&self) -> Vec<&str> {
        let todo = self.assessment.todo.iter();
        todo.filter_map(|todo| match todo {
            Todo::Move { mark, .. } => Some(self.layout.network.points[*mark].id.as_str()),
            _ => None,
        })
        .collect()
    }

    /// The rows that contradict the others.
    pub fn suspects(&self) -> Vec<usize> {
        let suspects = self.assessment.suspects.iter();
        suspects
            .filter_map(|suspect| self.rows.get(suspect.observation).copied())
            .collect()
    }

    /// True where the grid is to be moved as a whole or a wheel to be plumbed again.
    pub fn grid_or_wheel(&self) -> bool {
        let grid = |todo: &Todo| matches!(todo, Todo::TurnGrid { .. } | Todo::Plumb { .. });
        self.assessment.todo.iter().any(grid)
    }

    /// True where it asks for this very line, whichever end is named first.
    pub fn asks_for(&self, row: &Row) -> bool {
        let name = |point: usize| self.layout.network.points[point].id.as_str();
        self.assessment.todo.iter().any(|todo| match todo {
            Todo::Tape {
                geometry: Geometry::Distance { from, to },
            } => {
                row.names.len() == 2
                    && row
                        .names
                        .iter()
                        .all(|own| own == name(*from) || own == name(*to))
            }
            Todo::Tape {
                geometry: Geometry::Offset { mark, line },
            } => {
                let on_row = |end: &usize| row.names.iter().any(|own| own == name(*end));
                row.names.len() == 3 && row.to == name(*mark) && line.iter().all(on_row)
            }
            _ => false,
        })
    }
}
