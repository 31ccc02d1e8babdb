//! A panel's shape with its sizes: as a template has them, and in mm.

use kurbo::Point;

use super::{Field, KINDS, PanelKind};
use crate::{
    source::{Place, Placed, Table},
    template::{Amount, NamedValue, read::required_length},
};

/// Most cells that a panel may have each way.
const MOST_CELLS: i64 = 40;

/// Shape of a panel with its sizes as amounts.
#[derive(Clone, Debug)]
pub struct PanelSpecShape {
    kind: PanelKind,
    cells: Vec<usize>,
    lengths: Vec<Placed<Amount>>,
}

/// Shape and size of a panel.
#[derive(Clone, Debug, PartialEq)]
pub struct PanelShape {
    kind: PanelKind,
    /// Numbers of cells, as many as the kind has keys for.
    pub(super) cells: Vec<usize>,
    /// Lengths in mm, as many as the kind has keys for.
    pub(super) lengths: Vec<f64>,
}

impl PanelSpecShape {
    /// Reads `shape` and the keys that go with it.
    pub(in crate::template) fn read(table: &Table<'_>, values: &[NamedValue]) -> Option<Self> {
        let choices = KINDS.map(|kind| (kind.word, kind));
        let words = choices.map(|(word, _)| format!("\"{word}\"")).join(", ");
        let kind = table
            .required("shape", &format!("shape = one of {words}"))
            .and_then(|entry| entry.choice(&choices));
        let Some(kind) = kind else {
            // A shape that is not known has keys all the same; they are no second fault.
            let keys = |kind: &PanelKind| [kind.cells, kind.lengths].concat();
            table.know(&KINDS.iter().flat_map(keys).collect::<Vec<_>>());
            return None;
        };
        let cells: Vec<_> = kind
            .cells
            .iter()
            .map(|key| {
                table
                    .required(key, "the number of cells")
                    .and_then(|entry| entry.count(1..=MOST_CELLS))
            })
            .collect();
        let lengths: Vec<_> = kind
            .lengths
            .iter()
            .map(|key| required_length(table, key, values))
            .collect();
        Some(Self {
            kind,
            cells: cells.into_iter().collect::<Option<_>>()?,
            lengths: lengths.into_iter().collect::<Option<_>>()?,
        })
    }

    /// The word for it.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        self.kind.word
    }

    /// The shape in mm. `length` gives an amount's mm, from the word for that size: "side".
    pub fn resolve(
        &self,
        mut length: impl FnMut(&Placed<Amount>, &'static str) -> f64,
    ) -> PanelShape {
        let lengths = self.lengths.iter().zip(self.kind.lengths);
        PanelShape {
            kind: self.kind,
            cells: self.cells.clone(),
            lengths: lengths.map(|(amount, key)| length(amount, key)).collect(),
        }
    }

    /// What of `shape`, as resolved from this, contradicts itself: where, and the words for the size that is not less than
    /// another one, and for that other one.
    #[must_use]
    pub fn contradiction(&self, shape: &PanelShape) -> Option<(&Place, [&'static str; 2])> {
        let sizes = (self.kind.contradiction)(shape)?;
        let place = &self.lengths[sizes[0]].place;
        Some((place, sizes.map(|size| self.kind.lengths[size])))
    }
}

impl PanelShape {
    /// A shape by its word, for layouts of tests.
    #[cfg(test)]
    pub fn of(word: &str, cells: &[usize], lengths: &[f64]) -> Self {
        Self {
            kind: KINDS.into_iter().find(|kind| kind.word == word).unwrap(),
            cells: cells.to_vec(),
            lengths: lengths.to_vec(),
        }
    }

    /// The word for it.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        self.kind.word
    }

    /// The panel's single-coloured fields about its middle, unturned, mm.
    #[must_use]
    pub fn fields(&self) -> Vec<Field> {
        (self.kind.fields)(self)
    }

    /// Convex polygons that together are the panel, about its middle, unturned, mm.
    #[must_use]
    pub fn convex_parts(&self) -> Vec<Vec<Point>> {
        (self.kind.convex_parts)(self)
    }

    /// Radius in mm of the circle about its middle that is its only edge, where it is one.
    #[must_use]
    pub fn radius(&self) -> Option<f64> {
        (self.kind.radius)(self)
    }

    /// The same shape with all lengths times a factor.
    #[must_use]
    pub fn scaled(mut self, by: f64) -> Self {
        self.lengths.iter_mut().for_each(|length| *length *= by);
        self
    }
}

#[cfg(test)]
mod tests {
    use crate::{source::Source, template::TemplateSpec};

    #[test]
    fn an_unknown_shape_is_refused_with_the_shapes_that_are_known() {
        let text = r#"
            format = "template/1"
            name = "n"
            purpose = "p"
            [[panels]]
            at = "front_end/centre"
            shape = "ring"
            diameter = "400 mm"
        "#;
        let faults = TemplateSpec::read(&Source::new("t.toml", text)).unwrap_err();
        let faults = faults.to_string();
        assert!(
            faults.contains(
                r#""ring" is not a known `shape`; expected one of "square", "chequer", "disc", "cross""#
            ),
            "{faults}"
        );
        assert!(!faults.contains("diameter"), "{faults}");
    }
}
