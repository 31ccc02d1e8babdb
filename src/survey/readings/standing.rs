//! Which rows of a form still stand when the form is made again: those between the same points, which should be as long as before.

use kurbo::{Point, Vec2};

use super::{ReadingKind, ShouldBe, names::Names, plausible::agrees, resolve::wheels};
use crate::plan::FloorPlan;

/// What each row of a form is about, and what the form says that it should be; `None` where it names no points.
#[derive(Clone, Debug)]
pub struct FormRows(pub Vec<Option<(ReadingKind, Option<ShouldBe>)>>);

impl FormRows {
    /// For each row what it should be in this layout, mm; `None` where the row no longer stands. A row that says nothing of what it
    /// should be was added by somebody; it stands where all others do.
    #[must_use]
    pub fn standing(&self, plan: &FloorPlan) -> Vec<Option<f64>> {
        let layout = Layout::of(plan);
        let designed = |row: &Option<(ReadingKind, Option<ShouldBe>)>| {
            let (kind, should_be) = row.as_ref()?;
            Some((layout.designed(kind)?, *should_be))
        };
        let found: Vec<_> = self.0.iter().map(designed).collect();
        let agreeing =
            |(layout, form): &(f64, Option<ShouldBe>)| form.map(|form| agrees(form, *layout));
        let mut said = self.0.iter().zip(&found).filter_map(|(row, found)| {
            let says = row.as_ref().is_some_and(|(_, form)| form.is_some());
            says.then(|| found.as_ref().and_then(agreeing) == Some(true))
        });
        let first = said.next();
        let same_floor = first == Some(true) && said.all(|stands| stands);
        found
            .into_iter()
            .map(|found| {
                found
                    .filter(|row| agreeing(row).unwrap_or(same_floor))
                    .map(|(layout, _)| layout)
            })
            .collect()
    }
}

/// Marks and wheel marks of a layout by name.
#[derive(Default)]
struct Layout {
    names: Names,
    points: Vec<Point>,
}

impl Layout {
    fn of(plan: &FloorPlan) -> Self {
        let mut layout = Self::default();
        let marks = plan.marks.iter().map(|mark| (mark.id.clone(), mark.at));
        for (id, at) in marks.chain(wheels(plan)) {
            if layout.names.add(&id) == layout.points.len() {
                layout.points.push(at);
            }
        }
        layout
    }

    fn at(&self, name: &str) -> Option<Point> {
        self.names.known(name).map(|index| self.points[index])
    }

    /// What a reading should be, mm; how far a mark lies to the left of a line.
    fn designed(&self, kind: &ReadingKind) -> Option<f64> {
        match kind {
            ReadingKind::Distance { from, to } => Some(self.at(from)?.distance(self.at(to)?)),
            ReadingKind::Offset { mark, line } | ReadingKind::Inline { mark, line } => {
                let [start, end] = [self.at(&line[0])?, self.at(&line[1])?];
                let along = end - start;
                let left = Vec2::new(-along.y, along.x) / along.hypot();
                Some((self.at(mark)? - start).dot(left)).filter(|offset| offset.is_finite())
            }
        }
    }
}
