//! How a job has its stencil cut: the table `[cut]`. Whether the options suit each other and the layout, the stencil says.

use toml::{Table as Written, Value};

use crate::{
    source::Table,
    stencil::{Colour, CutBed, CutBy, CutOptions, Ink, Inks, Spot},
    units::parse_length,
};

/// Reads the table `[cut]`; what it leaves out is as usual for whoever cuts.
pub(super) fn read_cut(table: &Table<'_>, cut_by: CutBy) -> Option<CutOptions> {
    let standard = CutOptions::usual(cut_by);
    let length = |key: &'static str, otherwise: f64| {
        table
            .entry(key)
            .map_or(Some(otherwise), |entry| entry.length())
    };
    let bed = table.entry("bed").map_or(Some(None), |entry| {
        let bed = parse_bed(&entry.text()?);
        bed.map_err(|message| entry.fault(message)).ok().map(Some)
    });
    let flag = |key: &'static str| table.entry(key).map_or(Some(false), |entry| entry.flag());
    let (field, partial, pen_names) = (flag("field"), flag("partial"), flag("pen_names"));
    let border = length("border", standard.border);
    let spot = |key: &'static str, standard: Spot| {
        table.entry(key).map_or(Some(standard), |entry| {
            let spot = Spot::named(&entry.text()?);
            spot.map_err(|error| entry.fault(error)).ok()
        })
    };
    let colour = |key: &'static str, standard: Colour| {
        table.entry(key).map_or(Some(standard), |entry| {
            let colour = Colour::read(&entry.text()?);
            colour.map_err(|error| entry.fault(error)).ok()
        })
    };
    let (cut, score) = (standard.inks.cut, standard.inks.score);
    let spots = (spot("spot", cut.spot), spot("score_spot", score.spot));
    let colours = (
        colour("cut_colour", cut.colour),
        colour("score_colour", score.colour),
    );
    let (bridge, bridge_every) = (
        length("bridge", standard.bridge),
        length("bridge_every", standard.bridge_every),
    );
    let (kerf, hairline) = (
        length("kerf", standard.kerf),
        length("hairline", standard.hairline),
    );
    let corner = table
        .entry("corner")
        .map_or(Some(standard.corner), |entry| entry.length().map(Some));
    Some(CutOptions {
        bed: bed?,
        border: border?,
        field: field?,
        partial: partial?,
        pen_names: pen_names?,
        bridge: bridge?,
        bridge_every: bridge_every?,
        kerf: kerf?,
        corner: corner?,
        hairline: hairline?,
        inks: Inks {
            cut: Ink {
                spot: spots.0?,
                colour: colours.0?,
            },
            score: Ink {
                spot: spots.1?,
                colour: colours.1?,
            },
        },
    })
}

/// The table that reads as these options; empty for what is usual for whoever cuts.
pub(super) fn written_cut(cut: &CutOptions, cut_by: CutBy) -> Written {
    let standard = CutOptions::usual(cut_by);
    let mut table = Written::new();
    match cut.bed {
        Some(CutBed::Sheet(one, other)) => {
            table.insert("bed".to_owned(), format!("{one} mm x {other} mm").into());
        }
        Some(CutBed::Roll(width)) => {
            table.insert("bed".to_owned(), format!("{width} mm").into());
        }
        None => {}
    }
    for (key, is_set) in [
        ("field", cut.field),
        ("partial", cut.partial),
        ("pen_names", cut.pen_names),
    ] {
        if is_set {
            table.insert(key.to_owned(), true.into());
        }
    }
    for (key, value, usual) in [
        ("border", cut.border, standard.border),
        ("bridge", cut.bridge, standard.bridge),
        ("bridge_every", cut.bridge_every, standard.bridge_every),
        ("kerf", cut.kerf, standard.kerf),
        ("hairline", cut.hairline, standard.hairline),
    ] {
        if value != usual {
            table.insert(key.to_owned(), Value::Float(value));
        }
    }
    if let Some(corner) = cut.corner {
        table.insert("corner".to_owned(), Value::Float(corner));
    }
    for (spot, colour, ink, usual) in [
        ("spot", "cut_colour", &cut.inks.cut, &standard.inks.cut),
        (
            "score_spot",
            "score_colour",
            &cut.inks.score,
            &standard.inks.score,
        ),
    ] {
        if ink.spot != usual.spot {
            table.insert(spot.to_owned(), ink.spot.name().into());
        }
        if ink.colour != usual.colour {
            table.insert(colour.to_owned(), ink.colour.to_string().into());
        }
    }
    table
}

/// A bed from a text such as `1200mmx800mm`, or the width of a roll such as `600mm`.
///
/// # Errors
/// A sentence that quotes the text and says what was expected.
pub fn parse_bed(text: &str) -> Result<CutBed, String> {
    let expected = |why: &str| {
        format!(
            "\"{text}\" is no size of a bed{why}; write two lengths such as 1200mmx800mm, or the width of a roll such as 600mm"
        )
    };
    let side = |text: &str| parse_length(text).map_err(|error| expected(&format!(" ({error})")));
    match text.split_once(['x', 'X', '×']) {
        Some((one, other)) => Ok(CutBed::Sheet(side(one)?, side(other)?)),
        None => Ok(CutBed::Roll(side(text)?)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{job::JobSpec, source::Source};

    #[test]
    fn whoever_cuts_has_bridges_of_its_own_unless_they_are_given() {
        for (lines, bridge) in [
            ("", 8.0),
            ("cut_by = \"machine\"\n", 8.0),
            ("cut_by = \"hand\"\n", 6.0),
            ("cut_by = \"hand\"\n[cut]\nbridge = 8\n", 8.0),
            ("[cut]\nbridge = 6\n", 6.0),
        ] {
            let read = read(lines).unwrap();
            assert_eq!(read.bridge, bridge, "{lines}");
            let by = if lines.contains("hand") {
                CutBy::Hand
            } else {
                CutBy::Machine
            };
            let written = written_cut(&read, by);
            assert_eq!(written.is_empty(), read == CutOptions::usual(by), "{lines}");
        }
        let fault = read("cut_by = 3\n").unwrap_err();
        assert!(fault.contains("job.toml:4:10: `cut_by`"), "{fault}");
    }

    fn read(cut: &str) -> Result<CutOptions, String> {
        let text = format!(
            "format = \"job/1\"\nvehicle = \"city-car\"\ntemplate = \"target-line\"\n{cut}"
        );
        let job = JobSpec::read(&Source::new("job.toml", &text));
        job.map(|job| job.cut).map_err(|faults| faults.to_string())
    }

    #[test]
    fn options_that_are_written_read_as_they_were() {
        let own = CutOptions {
            bed: Some(CutBed::Sheet(1200.0, 800.5)),
            border: 45.0,
            field: true,
            partial: true,
            pen_names: true,
            bridge: 6.0,
            bridge_every: 250.0,
            kerf: 0.2,
            corner: Some(0.0),
            hairline: 0.05,
            inks: Inks {
                cut: Ink {
                    spot: Spot::named("Laser, \"deep\" #1").unwrap(),
                    colour: Colour([1, 2, 0xff]),
                },
                score: Ink {
                    spot: Spot::named("Büro").unwrap(),
                    colour: Colour([0, 0, 0]),
                },
            },
        };
        for options in [CutOptions::default(), own] {
            let table = written_cut(&options, CutBy::Machine);
            assert_eq!(table.is_empty(), options == CutOptions::default());
            assert_eq!(read(&format!("[cut]\n{table}")), Ok(options));
        }
    }

    #[test]
    fn all_that_cannot_be_read_of_a_cut_is_told_at_once() {
        let list = read("[cut]\nbed = \"1200x\"\nkerf = \"wide\"\nspot = \"All\"\ncut_colour = \"red\"\nburr = 1\n")
            .unwrap_err();
        for expected in [
            "job.toml:5:7: \"1200x\" is no size of a bed",
            "job.toml:6:8: ",
            "job.toml:7:8: ",
            "job.toml:8:14: \"red\" is no colour",
            "job.toml:9:1: `burr` is not a key",
        ] {
            assert!(list.contains(expected), "{expected} not in\n{list}");
        }
    }
}
