//! The table of sheet counts is what the program plans today. Renew it with
//! `RENEW_TABLE=1 cargo test --release --test cover_table`.

#![expect(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is wrong"
)]

mod shipped;

use std::{fs, path::Path};

use baystencil::inside::{Content, Mode, cover};

/// What stands before and after the table in `output-samples/README.md`.
const BEGIN: &str = "<!-- sheet counts: begin -->\n";
const END: &str = "<!-- sheet counts: end -->\n";

const PAPERS: [&str; 2] = ["A4", "Letter"];

fn table() -> String {
    let mut rows = vec![
        "| vehicle, template | A4: lines | at least | grid | full | keys | Letter: lines | at least | grid | full | keys |".to_owned(),
        format!("|---|{}", "--:|".repeat(5 * PAPERS.len())),
    ];
    for (vehicle, template, plan) in shipped::plans() {
        let content = Content::of(&plan);
        let mut cells = vec![format!("{vehicle}, {template}")];
        for paper in PAPERS {
            let format = shipped::format(paper);
            let plan = |mode| cover(&content, &format, mode).unwrap();
            let lines = plan(Mode::Lines);
            let [grid, full, keys] =
                [Mode::Grid, Mode::Full, Mode::Keys].map(|mode| plan(mode).pages);
            assert!(
                lines.lower_bound <= lines.pages && lines.pages <= grid && grid <= full,
                "{vehicle} {template}"
            );
            assert!(
                keys < lines.pages,
                "{vehicle} {template}: keys take the fewest pages of all"
            );
            cells.extend(
                [lines.pages, lines.lower_bound, grid, full, keys].map(|count| count.to_string()),
            );
        }
        rows.push(format!("| {} |", cells.join(" | ")));
    }
    rows.join("\n") + "\n"
}

#[test]
fn the_printed_sheet_counts_are_what_the_program_plans_today() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("output-samples/README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let (before, rest) = readme.split_once(BEGIN).unwrap();
    let (kept, after) = rest.split_once(END).unwrap();
    let table = table();
    if std::env::var_os("RENEW_TABLE").is_some() {
        fs::write(&path, format!("{before}{BEGIN}{table}{END}{after}")).unwrap();
    } else {
        assert_eq!(
            kept, table,
            "stale; renew with RENEW_TABLE=1 cargo test --release --test cover_table"
        );
    }
}
