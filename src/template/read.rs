//! Reading a template file.

mod points;

use self::points::read_point;
use super::{
    Amount, AxleChoice, ClearFloor, CrossingMarks, Datum, FloorSpec, LineSpec, MarkRef, NamedValue,
    PanelSpec, PanelSpecShape, Rail, RailFrom, Sides, Station, StationFrom, StripEnds,
    TemplateSpec, ValueKind,
};
use crate::source::{Entry, Faults, Place, Placed, Source, Table};

/// Version of the format that is read.
const FORMAT: &str = "template/1";

/// Most stations, rails, other parts and values: what a page can show and a person can set out.
const MOST_STATIONS: usize = 30;
const MOST_RAILS: usize = 10;
const MOST_PARTS: usize = 60;
const MOST_VALUES: usize = 40;

/// Most entries of a checklist.
const MOST_ENTRIES: usize = 12;

const SIDES: [(&str, Sides); 3] = [
    ("both", Sides::Both),
    ("left", Sides::Left),
    ("right", Sides::Right),
];

impl TemplateSpec {
    /// Reads a template and checks what can be checked without a vehicle.
    ///
    /// # Errors
    /// All faults of the file, each with its place and remedy.
    pub fn read(source: &Source) -> Result<Self, Faults> {
        source.read(FORMAT, |table| {
            Some(Self {
                demonstration: source.built_in,
                ..build(table, Place::whole(&source.name))?
            })
        })
    }
}

fn build(table: &Table<'_>, place: Place) -> Option<TemplateSpec> {
    table.know(&[
        "stations",
        "rails",
        "marks",
        "points",
        "lines",
        "panels",
        "clear_floor",
        "floor",
        "preparation",
        "closing",
    ]);
    let name = table
        .required("name", "a name, as in name = \"perimeter lines\"")
        .and_then(|entry| entry.text());
    let purpose = table
        .required("purpose", "one sentence on what the layout is for")
        .and_then(|entry| entry.text());
    let origin = table
        .entry("origin")
        .map_or(Some(Datum::FrontAxle), |entry| entry.choice(&Datum::WORDS));
    let values = read_values(table)?;
    let stations = each(table, "stations", MOST_STATIONS, |t| {
        read_station(t, &values)
    });
    let rails = each(table, "rails", MOST_RAILS, |t| read_rail(t, &values));
    let marks = each(table, "marks", MOST_PARTS, |t| read_marks(t, &values));
    let points = each(table, "points", MOST_PARTS, |t| read_point(t, &values));
    let lines = each(table, "lines", MOST_PARTS, |t| read_line(t, &values));
    let panels = each(table, "panels", MOST_PARTS, |t| read_panel(t, &values));
    refuse_repeats(
        table,
        "station",
        stations
            .iter()
            .flatten()
            .map(|s| (s.name.as_str(), &s.place)),
    );
    refuse_repeats(
        table,
        "rail",
        rails.iter().flatten().map(|r| (r.name.as_str(), &r.place)),
    );
    refuse_repeats(
        table,
        "point",
        points.iter().flatten().map(|p| (p.name.as_str(), &p.place)),
    );
    let clear_floor = match table.entry("clear_floor") {
        Some(entry) => read_clear_floor(&entry.table()?, &values),
        None => Some(ClearFloor::default()),
    };
    let floor = match table.entry("floor") {
        Some(entry) => read_floor(&entry.table()?, &values),
        None => Some(FloorSpec::default()),
    };
    let preparation = read_checklist(table, "preparation");
    let closing = read_checklist(table, "closing");
    Some(TemplateSpec {
        demonstration: false,
        name: name?,
        purpose: purpose?,
        origin: origin?,
        values,
        stations: stations?,
        rails: rails?,
        marks: marks?,
        points: points?,
        lines: lines?,
        panels: panels?,
        clear_floor: clear_floor?,
        floor: floor?,
        preparation: preparation?,
        closing: closing?,
        place,
    })
}

/// Reads every table of an array; `None` when any of them failed, after all have left their faults.
fn each<T>(
    table: &Table<'_>,
    key: &'static str,
    most: usize,
    read: impl Fn(&Table<'_>) -> Option<T>,
) -> Option<Vec<T>> {
    let results: Vec<Option<T>> = table
        .tables(key, most)
        .iter()
        .map(|item| {
            let result = read(item);
            item.refuse_unknown();
            result
        })
        .collect();
    results.into_iter().collect()
}

fn refuse_repeats<'n>(
    table: &Table<'_>,
    kind: &str,
    named: impl Iterator<Item = (&'n str, &'n Place)>,
) {
    let mut seen: Vec<(&str, &Place)> = Vec::new();
    for (name, place) in named {
        match seen.iter().find(|(known, _)| *known == name) {
            Some((_, first)) => table.fault_at(
                place,
                format!("the {kind} `{name}` is declared again (first at line {}); give it another name", first.line),
            ),
            None => seen.push((name, place)),
        }
    }
}

fn read_values(table: &Table<'_>) -> Option<Vec<NamedValue>> {
    let Some(entry) = table.entry("values") else {
        return Some(Vec::new());
    };
    let entries = entry.table()?.entries();
    if entries.len() > MOST_VALUES {
        entry.fault(format!(
            "there are {} values; expected at most {MOST_VALUES}: leave some out",
            entries.len()
        ));
        return None;
    }
    let read: Vec<_> = entries
        .iter()
        .map(|(name, entry)| NamedValue::read(name, entry))
        .collect();
    read.into_iter().collect()
}

fn amount(
    table: &Table<'_>,
    key: &'static str,
    kind: ValueKind,
    values: &[NamedValue],
) -> Option<Option<Placed<Amount>>> {
    table.entry(key).map_or(Some(None), |entry| {
        Amount::read(&entry, kind, values).map(Some)
    })
}

fn required_amount(
    table: &Table<'_>,
    key: &'static str,
    kind: ValueKind,
    values: &[NamedValue],
) -> Option<Placed<Amount>> {
    let expected = match kind {
        ValueKind::Length => format!("a length, as in {key} = \"50 mm\", or the name of a value"),
        ValueKind::Angle => format!("an angle, as in {key} = \"30 deg\", or the name of a value"),
    };
    table
        .required(key, &expected)
        .and_then(|entry| Amount::read(&entry, kind, values))
}

pub(super) fn required_length(
    table: &Table<'_>,
    key: &'static str,
    values: &[NamedValue],
) -> Option<Placed<Amount>> {
    required_amount(table, key, ValueKind::Length, values)
}

fn placed_text(entry: &Entry<'_>) -> Option<Placed<String>> {
    entry.text().map(|text| entry.placed(text))
}

fn required_name(table: &Table<'_>) -> Option<String> {
    let entry = table.required("name", "a short name, as in name = \"front_end\"")?;
    let name = entry.text()?;
    if name == "centre" || name.contains('/') || Datum::WORDS.iter().any(|(word, _)| *word == name)
    {
        entry.fault(format!(
            "\"{name}\" cannot be used as a name: it has a meaning of its own; choose another"
        ));
        return None;
    }
    Some(name)
}

fn required_meaning(table: &Table<'_>) -> Option<String> {
    table
        .required(
            "meaning",
            "a few words for the sheets, as in meaning = \"front end\"",
        )
        .and_then(|entry| entry.text())
}

fn sides(table: &Table<'_>) -> Option<Option<Sides>> {
    table
        .entry("sides")
        .map_or(Some(None), |entry| entry.choice(&SIDES).map(Some))
}

fn read_station(table: &Table<'_>, values: &[NamedValue]) -> Option<Station> {
    let name = required_name(table);
    let meaning = required_meaning(table);
    let from = read_station_from(table, values);
    Some(Station {
        name: name?,
        meaning: meaning?,
        from: from?,
        place: table.place(),
    })
}

fn read_station_from(table: &Table<'_>, values: &[NamedValue]) -> Option<StationFrom> {
    table.know(&["ahead", "behind", "between", "fraction"]);
    let base = table.entry("from");
    let ahead = amount(table, "ahead", ValueKind::Length, values)?;
    let behind = amount(table, "behind", ValueKind::Length, values)?;
    let between = table.entry("between");
    let fraction = table.entry("fraction");
    match (base, between, fraction) {
        (Some(base), None, None) => {
            if let (Some(_), Some(behind)) = (&ahead, &behind) {
                table.fault(format!(
                    "a station is either ahead of its datum or behind it ({}); leave one out",
                    behind.place
                ));
                return None;
            }
            let rearward = behind.is_some();
            Some(StationFrom::Offset {
                base: placed_text(&base)?,
                distance: ahead.or(behind),
                rearward,
            })
        }
        (None, Some(between), Some(fraction)) => {
            let ends = between.texts()?;
            let Ok(ends) = <[_; 2]>::try_from(ends) else {
                between.fault("`between` names exactly two datums or stations, as in [\"front axle\", \"rear axle\"]");
                return None;
            };
            let part = fraction.number()?;
            if !(0.0..=1.0).contains(&part) {
                fraction.fault("`fraction` runs from 0 at the first to 1 at the second; expected a number from 0 to 1");
                return None;
            }
            Some(StationFrom::Between {
                ends,
                fraction: part,
            })
        }
        _ => {
            table.fault(
                "a station needs from = \"front bumper\" (or another datum or station) with ahead or behind, or between = [two of them] with a fraction",
            );
            None
        }
    }
}

fn read_rail(table: &Table<'_>, values: &[NamedValue]) -> Option<Rail> {
    let name = required_name(table);
    let from = table
        .required(
            "from",
            "from = \"centreline\", \"tyre outer face\", \"body side\", \"mirror\" or another rail",
        )
        .and_then(|entry| placed_text(&entry));
    let axle = table.entry("axle").map_or(Some(None), |entry| {
        entry
            .choice(&[
                ("wider", AxleChoice::Wider),
                ("front", AxleChoice::Front),
                ("rear", AxleChoice::Rear),
            ])
            .map(Some)
    });
    let outward = amount(table, "outward", ValueKind::Length, values);
    let sides = sides(table);
    let (from, axle) = (from?, axle?);
    if axle.is_some() && from.value != "tyre outer face" {
        table.fault("`axle` goes with from = \"tyre outer face\" only; leave it out");
        return None;
    }
    let from = match from.value.as_str() {
        "centreline" => RailFrom::Centreline,
        "tyre outer face" => RailFrom::TyreOuterFace(axle.unwrap_or(AxleChoice::Wider)),
        "body side" => RailFrom::BodySide,
        "mirror" => RailFrom::Mirror,
        _ => RailFrom::Rail(from),
    };
    Some(Rail {
        name: name?,
        from,
        outward: outward?,
        sides: sides?.unwrap_or(Sides::Both),
        place: table.place(),
    })
}

fn read_marks(table: &Table<'_>, values: &[NamedValue]) -> Option<CrossingMarks> {
    let stations = table
        .required("stations", "the stations, as in stations = [\"front_end\"]")
        .and_then(|e| e.texts());
    let rails = table
        .required("rails", "the rails, as in rails = [\"side\", \"centre\"]")
        .and_then(|e| e.texts());
    let tolerance = required_length(table, "tolerance", values);
    Some(CrossingMarks {
        stations: stations?,
        rails: rails?,
        tolerance: tolerance?,
    })
}

fn read_line(table: &Table<'_>, values: &[NamedValue]) -> Option<LineSpec> {
    let from = table
        .required(
            "from",
            "the mark where it starts, as in from = \"front_end/side\"",
        )
        .and_then(|e| MarkRef::read(&e));
    let to = table
        .required("to", "the mark where it ends, as in to = \"rear_end/side\"")
        .and_then(|e| MarkRef::read(&e));
    let width = required_length(table, "width", values);
    let ends = table
        .entry("ends")
        .map_or(Some(StripEnds::default()), |entry| {
            entry.choice(&StripEnds::WORDS)
        });
    let past = ["past_from", "past_to"].map(|key| amount(table, key, ValueKind::Length, values));
    let sides = sides(table);
    let [past_from, past_to] = past;
    Some(LineSpec {
        from: from?,
        to: to?,
        width: width?,
        ends: ends?,
        past: [past_from?, past_to?],
        sides: sides?,
    })
}

fn read_panel(table: &Table<'_>, values: &[NamedValue]) -> Option<PanelSpec> {
    let at = table
        .required("at", "the mark it lies on, as in at = \"front_end/side\"")
        .and_then(|e| MarkRef::read(&e));
    let shape = PanelSpecShape::read(table, values);
    let turn = amount(table, "turn", ValueKind::Angle, values);
    let ahead = amount(table, "ahead", ValueKind::Length, values);
    let outward = amount(table, "outward", ValueKind::Length, values);
    let sides = sides(table);
    Some(PanelSpec {
        at: at?,
        shape: shape?,
        turn: turn?,
        ahead: ahead?,
        outward: outward?,
        sides: sides?,
    })
}

fn read_clear_floor(table: &Table<'_>, values: &[NamedValue]) -> Option<ClearFloor> {
    let front = amount(table, "front", ValueKind::Length, values);
    let rear = amount(table, "rear", ValueKind::Length, values);
    let sides = amount(table, "sides", ValueKind::Length, values);
    table.refuse_unknown();
    Some(ClearFloor {
        front: front?,
        rear: rear?,
        sides: sides?,
    })
}

fn read_floor(table: &Table<'_>, values: &[NamedValue]) -> Option<FloorSpec> {
    let slope = amount(table, "slope_per_metre", ValueKind::Length, values);
    let flatness = amount(table, "flatness", ValueKind::Length, values);
    table.refuse_unknown();
    Some(FloorSpec {
        slope: slope?,
        flatness: flatness?,
    })
}

fn read_checklist(table: &Table<'_>, key: &'static str) -> Option<Vec<String>> {
    let Some(entry) = table.entry(key) else {
        return Some(Vec::new());
    };
    let lines = entry.texts()?;
    if lines.len() > MOST_ENTRIES {
        entry.fault(format!(
            "`{key}` has {} lines; expected at most {MOST_ENTRIES}: a page holds no more",
            lines.len()
        ));
        return None;
    }
    Some(lines.into_iter().map(|line| line.value).collect())
}
