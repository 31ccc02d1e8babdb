//! The list on which a class is marked.

use super::{AnswerKey, Kind, Level};

/// Trainees and sheets of a class set.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MarkingList {
    /// Names in the order of the sheet numbers: those of the class list, else "sheet 7".
    pub trainees: Vec<String>,
    /// Columns in the order in which the sheets are handed out.
    pub sheets: Vec<MarkedSheet>,
}

/// A sheet of every trainee.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkedSheet {
    /// Short name of its column: the lesson's number and a letter, "2b"; without lessons a letter alone.
    pub column: String,
    /// What it trains.
    pub kind: Kind,
    /// How hard it is.
    pub level: Level,
    /// Most points of it: those of the sheet that has the most.
    pub points: u32,
}

impl MarkingList {
    /// The list of a class set: `lessons` has the number of the lesson of each kind and level, in order.
    #[must_use]
    pub fn of(keys: &[AnswerKey], sheets: &[(Kind, Level)], lessons: &[usize]) -> Self {
        let mut list = Self::default();
        let mut numbers: Vec<usize> = keys.iter().map(|key| key.number).collect();
        numbers.sort_unstable();
        numbers.dedup();
        for number in numbers {
            let named = keys.iter().find(|key| key.number == number);
            let name = named.and_then(|key| key.name.clone());
            list.trainees
                .push(name.unwrap_or_else(|| format!("sheet {number}")));
        }
        let (mut lesson, mut letter) = (0, 0);
        for (index, &(kind, level)) in sheets.iter().enumerate() {
            let own = lessons.get(index).copied().unwrap_or(0);
            if own != lesson {
                (lesson, letter) = (own, 0);
            }
            let of_it = keys
                .iter()
                .filter(|key| (key.kind, key.level) == (kind, level));
            let points = of_it.map(|key| key.points).max().unwrap_or(0);
            if points == 0 {
                continue;
            }
            let letter_word = char::from(b'a' + letter);
            letter += 1;
            let column = match lesson {
                0 => letter_word.to_string(),
                _ => format!("{lesson}{letter_word}"),
            };
            list.sheets.push(MarkedSheet {
                column,
                kind,
                level,
                points,
            });
        }
        list
    }

    /// Points of all sheets.
    #[must_use]
    pub fn points(&self) -> u32 {
        self.sheets.iter().map(|sheet| sheet.points).sum()
    }
}
