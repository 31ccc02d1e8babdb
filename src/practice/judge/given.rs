//! What stands above the questions: the form, and the rules that it is judged by.

use super::case::{Case, GUARD_FACTOR};
use crate::practice::{Block, Cell, Ruling};

impl Case<'_> {
    pub fn given(&self) -> Vec<Block> {
        vec![
            Block::text(self.task()),
            self.form(),
            Block::text(self.row_rule()),
            rules(),
        ]
    }

    /// True where the form says by how much each row differs.
    fn has_differences(&self) -> bool {
        self.level.number() < 3
    }

    fn task(&self) -> String {
        let worked_out = if self.has_differences() {
            ""
        } else {
            " Work out the difference of every row: reading − plan."
        };
        format!(
            "The filled form of the short check plan, in {}. Tape from the first mark to the second, or square from a string over \
             two marks. “on it”: the mark should lie on the string; its reading says how far it lies to the left (+) or to the right \
             (−), looking along the string from its first mark. WFL, WFR, WRL, WRR are the plumbed wheel marks.{worked_out}",
            self.ruling().pick("mm", "inches")
        )
    }

    fn form(&self) -> Block {
        let ruling = self.ruling();
        let mut columns: Vec<String> = ["row", "from", "to", "plan", "limit", "reading"]
            .map(str::to_owned)
            .to_vec();
        if self.has_differences() {
            columns.push("difference".to_owned());
        }
        let row = |index: usize| {
            let row = &self.rows[index];
            let plan = if row.on_string {
                "on it".to_owned()
            } else {
                ruling.whole(row.plan)
            };
            let read = match self.differences[index] {
                None => "–".to_owned(),
                Some(off) if row.on_string => ruling.signed(off),
                Some(off) => ruling.whole(row.plan + off),
            };
            let mut cells = vec![
                (index + 1).to_string(),
                row.from.clone(),
                row.to.clone(),
                plan,
                format!("± {}", ruling.given(row.limit)),
                read,
            ];
            if self.has_differences() {
                let off = self.differences[index];
                cells.push(off.map_or_else(|| "–".to_owned(), |off| ruling.signed(off)));
            }
            cells.into_iter().map(Cell::on_one_line).collect()
        };
        Block::Table {
            columns,
            rows: (0..self.rows.len()).map(row).collect(),
        }
    }

    /// How a row is judged.
    fn row_rule(&self) -> String {
        let ruling = self.ruling();
        let sd = match ruling {
            Ruling::Metric => ruling.decimals(self.sd, 1),
            Ruling::Inches => ruling.decimals(self.sd, 3),
        };
        let unit = ruling.unit();
        let guard = if self.level.number() < 4 {
            format!("The guard band is {}.", ruling.length(self.guard))
        } else {
            format!(
                "A reading has a standard deviation of {sd} {unit}. The guard band is {GUARD_FACTOR} of them, rounded up to {}.",
                ruling.pick("whole mm", "1/16 in")
            )
        };
        format!(
            "Judge a row by its difference without the sign. Inside: less than limit − guard band. Outside: more than limit + guard band. \
             In between: undecided, too near to the limit for a tape. {guard}"
        )
    }
}

/// What follows from the rows.
fn rules() -> Block {
    let row = |cells: [&str; 3]| cells.map(Cell::given).to_vec();
    Block::table(
        ["The first line that fits counts", "layout", "do next"],
        [
            [
                "Two or more rows are outside and share one mark",
                "outside",
                "move that mark",
            ],
            [
                "One row alone is outside",
                "undecided",
                "tape that row again",
            ],
            ["A row has no reading", "undecided", "tape that row"],
            ["A row is undecided", "undecided", "tape that row again"],
            ["All rows are inside", "inside", "nothing: it is in order"],
        ]
        .map(row),
    )
}
