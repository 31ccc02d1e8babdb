//! How a job has its stencil cut: the table `[cut]`. Whether the options suit each other and the layout, the stencil says.

use toml::{Table as Written, Value};

use crate::{
    source::Table,
    stencil::{CutOptions, Spot},
    units::parse_length,
};

/// Reads the table `[cut]`.
pub(super) fn read_cut(table: &Table<'_>) -> Option<CutOptions> {
    let standard = CutOptions::default();
    let length = |key: &'static str, otherwise: f64| {
        table
            .entry(key)
            .map_or(Some(otherwise), |entry| entry.length())
    };
    let panel = table.entry("panel").map_or(Some(None), |entry| {
        let size = parse_panel(&entry.text()?);
        size.map_err(|message| entry.fault(message)).ok().map(Some)
    });
    let spot = table.entry("spot").map_or(Some(standard.spot), |entry| {
        let spot = Spot::named(&entry.text()?);
        spot.map_err(|error| entry.fault(error)).ok()
    });
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
        panel: panel?,
        bridge: bridge?,
        bridge_every: bridge_every?,
        kerf: kerf?,
        corner: corner?,
        hairline: hairline?,
        spot: spot?,
    })
}

/// The table that reads as these options; empty for the defaults.
pub(super) fn written_cut(cut: &CutOptions) -> Written {
    let standard = CutOptions::default();
    let mut table = Written::new();
    if let Some((one, other)) = cut.panel {
        table.insert("panel".to_owned(), format!("{one} mm x {other} mm").into());
    }
    for (key, value, usual) in [
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
    if cut.spot != standard.spot {
        table.insert("spot".to_owned(), cut.spot.name().into());
    }
    table
}

/// Two sides of a panel in mm, from a text such as `1200mmx800mm`.
///
/// # Errors
/// A sentence that quotes the text and says what was expected.
pub fn parse_panel(text: &str) -> Result<(f64, f64), String> {
    let expected = |why: &str| {
        format!("\"{text}\" is no size of a panel{why}; write two lengths such as 1200mmx800mm")
    };
    let (one, other) = text
        .split_once(['x', 'X', '×'])
        .ok_or_else(|| expected(""))?;
    let side = |text: &str| parse_length(text).map_err(|error| expected(&format!(" ({error})")));
    Ok((side(one)?, side(other)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{job::JobSpec, source::Source};

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
            panel: Some((1200.0, 800.5)),
            bridge: 6.0,
            bridge_every: 250.0,
            kerf: 0.2,
            corner: Some(0.0),
            hairline: 0.05,
            spot: Spot::named("Laser").unwrap(),
        };
        for options in [CutOptions::default(), own] {
            let table = written_cut(&options);
            assert_eq!(table.is_empty(), options == CutOptions::default());
            assert_eq!(read(&format!("[cut]\n{table}")), Ok(options));
        }
    }

    #[test]
    fn all_that_cannot_be_read_of_a_cut_is_told_at_once() {
        let list = read("[cut]\npanel = \"1200\"\nkerf = \"wide\"\nspot = \"Purple\"\nburr = 1\n")
            .unwrap_err();
        for expected in [
            "job.toml:5:9: \"1200\" is no size of a panel",
            "job.toml:6:8: ",
            "job.toml:7:8: ",
            "job.toml:8:1: `burr` is not a key",
        ] {
            assert!(list.contains(expected), "{expected} not in\n{list}");
        }
    }
}
