use super::*;

fn read(text: &str) -> CsvTable {
    CsvTable::read("form.csv", text.as_bytes()).unwrap()
}

fn refused(text: &str) -> String {
    CsvTable::read("form.csv", text.as_bytes())
        .unwrap_err()
        .to_string()
}

fn texts(table: &CsvTable, column: &str) -> Vec<String> {
    let column = table.column(&[column]).unwrap();
    table
        .rows()
        .iter()
        .map(|row| table.cell(row, column).map_or("", CsvCell::text).to_owned())
        .collect()
}

fn lengths(table: &CsvTable, column: &str) -> Vec<f64> {
    let column = table.column(&[column]).unwrap();
    table
        .rows()
        .iter()
        .map(|row| table.length(table.cell(row, column).unwrap()).unwrap())
        .collect()
}

#[test]
fn one_table_is_read_however_a_spreadsheet_saved_it() {
    for text in [
        "from,to,reading_mm\n1L,1R,1500.5\n1L,4R,5210\n",
        "from,to,reading_mm\r\n1L,1R,\"1500,5\"\r\n1L,4R,5210\r\n",
        "\u{feff}from;to;reading_mm\r\n1L;1R;1500,5\r\n1L;4R;5210\r\n",
        "from\tto\treading_mm\r1L\t1R\t1500,5\r1L\t4R\t5210",
        "sep=;\r\nfrom;to;reading_mm\r\n1L;1R;1500,5\r\n1L;4R;5210\r\n",
        "\n\nFrom ; TO;Reading (mm);;\n1L; 1R ;\"1500,5\";;\n;;;;\n1L;4R;5210;;\n;;;;\n",
    ] {
        let table = read(text);
        assert_eq!(
            (texts(&table, "from"), texts(&table, "to")),
            (vec!["1L".into(); 2], vec!["1R".into(), "4R".into()])
        );
        assert_eq!(lengths(&table, "reading_mm"), [1500.5, 5210.0], "{text}");
    }
}

#[test]
fn every_cell_knows_its_line_and_column() {
    let table = read("sep=,\n\nfrom,to,note\n\"1L\",1R,x\n\n,\"2\nL\",y\n1Ä,2R,z\n");
    let places: Vec<(usize, usize)> = table
        .rows()
        .iter()
        .flat_map(|row| row.cells.iter().map(|c| c.place))
        .collect();
    assert_eq!(
        places,
        [
            (4, 1),
            (4, 6),
            (4, 9),
            (6, 1),
            (6, 2),
            (7, 4),
            (8, 1),
            (8, 4),
            (8, 7)
        ]
    );
    assert_eq!(table.heading_place().to_string(), "form.csv:3:1");
    assert_eq!(table.row_place(&table.rows()[2]).line, 8);
}

#[test]
fn a_tapes_inches_need_no_quotation_marks_around_the_cell() {
    let table = read("from,to,reading\n1L,1R,17' 3 1/4\"\n1L,2L,\"35 7/16\"\"\"\n");
    assert_eq!(lengths(&table, "reading"), [207.25 * 25.4, 35.4375 * 25.4]);
}

#[test]
fn a_number_alone_has_the_unit_of_its_column() {
    let table = read("reading_in\n207 1/4\n5210 mm\n");
    let read: Vec<f64> = table
        .rows()
        .iter()
        .map(|row| table.length_in(&row.cells[0], "in").unwrap())
        .collect();
    assert_eq!(read, [207.25 * 25.4, 5210.0]);
}

#[test]
fn a_decimal_comma_that_was_torn_apart_is_told_and_not_read() {
    for row in ["1L,1R,5210,5,", "1L,1R,5210,5,x", "1L,1R,,5210,5"] {
        let message = refused(&format!("from,to,reading_mm,note\n{row}\n"));
        assert!(
            message.contains("form.csv:2:1") && message.contains("decimal comma"),
            "{message}"
        );
    }
    assert!(refused("from;to\n1L;1R;5\n").contains("3 cells"));
}

#[test]
fn a_quotation_mark_that_is_never_closed_does_not_swallow_readings() {
    let message = refused("note,from,to,reading_mm\n\"tight,1L,1R,1500\nx,1L,2L,900\n");
    assert!(
        message.contains("form.csv:2:1") && message.contains("quotation mark"),
        "{message}"
    );
}

#[test]
fn a_note_over_two_lines_is_a_cell_like_any_other() {
    assert_eq!(
        texts(&read("note,from\n\"windy,\nfloor wet\",1L\n"), "from"),
        ["1L"]
    );
}

#[test]
fn columns_that_are_missing_or_doubled_are_named() {
    let fault = read("form,to,reading_mm\n")
        .required(&["from"])
        .unwrap_err();
    assert!(
        fault.message.contains("`from`") && fault.message.contains("`form`"),
        "{}",
        fault.message
    );
    assert!(refused("from,To,to\n").contains("\"to\""));
    assert!(refused("").contains("empty") && refused(";;\n;;\n").contains("empty"));
}

#[test]
fn what_is_no_length_is_refused_at_its_cell() {
    let table = read("a,b\n,three feet\n");
    let fault = table
        .length(table.cell(&table.rows()[0], 1).unwrap())
        .unwrap_err();
    assert_eq!((fault.place.line, fault.place.column), (2, 2));
    assert!(
        table
            .length(&CsvCell {
                text: "9".repeat(5000),
                place: (1, 1)
            })
            .is_err_and(|f| f.message.len() < 200)
    );
}

#[test]
fn a_file_beyond_all_measure_is_refused_by_its_size() {
    assert!(
        CsvTable::read("x", &vec![b'1'; MOST_BYTES + 1])
            .is_err_and(|faults| faults.to_string().contains("10 MB"))
    );
    assert!(refused(&"1\n".repeat(MOST_ROWS + 2)).contains("rows"));
    assert!(refused(&",1".repeat(MOST_COLUMNS)).contains("columns"));
}

/// A linear congruential generator (constants of Knuth's MMIX), so that a failure can be repeated.
fn random(state: &mut u64) -> usize {
    *state = state
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    (*state >> 33) as usize
}

#[test]
fn no_bytes_at_all_make_it_stumble() {
    const PIECES: [&[u8]; 24] = [
        b"from",
        b"to",
        b"reading_mm",
        b",",
        b";",
        b"\t",
        b"\n",
        b"\r\n",
        b"\r",
        b"\"",
        b"\"\"",
        b"5210",
        b".",
        b",5",
        b" ",
        b"1/4",
        b"'",
        b"\xc2\xbd",
        b"\xc2\xa0",
        b"\xff",
        b"\0",
        b"-",
        b"sep=;\n",
        b"\xef\xbb\xbf",
    ];
    let mut state = 1;
    let mut tables = 0;
    for _ in 0..20_000 {
        let mut bytes = Vec::new();
        for _ in 0..random(&mut state) % 40 {
            match random(&mut state) % 8 {
                0 => bytes.push(random(&mut state) as u8),
                _ => bytes.extend(PIECES[random(&mut state) % PIECES.len()]),
            }
        }
        let Ok(table) = CsvTable::read("fuzz", &bytes) else {
            continue;
        };
        tables += 1;
        for cell in table.rows().iter().flat_map(|row| &row.cells) {
            assert!(cell.place.0 > 0 && cell.place.1 > 0, "{bytes:?}");
            assert!(table.length(cell).map_or(true, f64::is_finite), "{bytes:?}");
        }
    }
    assert!(tables > 1000, "only {tables} were tables");
}
