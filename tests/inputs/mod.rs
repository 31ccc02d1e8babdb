//! Input files of every kind, which between them have every key that is read.

use std::path::Path;

use baystencil::{
    Faults, JobSpec, Readings, Source,
    inside::{LevelReadings, Printer, TemplateSpec, VehicleSpec},
};

/// A kind of file: its name, texts that are read, and what reads them.
pub struct Kind {
    pub file: &'static str,
    pub texts: &'static [&'static str],
    pub read: fn(&str, &str) -> Result<(), Faults>,
}

pub const KINDS: [Kind; 6] = [
    Kind {
        file: "vehicle.toml",
        texts: &[VEHICLE, OTHER_VEHICLE],
        read: |file, text| VehicleSpec::read(&Source::new(file, text)).map(|_| ()),
    },
    Kind {
        file: "template.toml",
        texts: &[TEMPLATE],
        read: |file, text| TemplateSpec::read(&Source::new(file, text)).map(|_| ()),
    },
    Kind {
        file: "job.toml",
        texts: &[JOB, MAT],
        read: |file, text| JobSpec::read(&Source::new(file, text)).map(|_| ()),
    },
    Kind {
        file: "printer.toml",
        texts: &[PRINTER],
        read: |file, text| Printer::read(&Source::new(file, text)).map(|_| ()),
    },
    Kind {
        file: "readings.toml",
        texts: &[READINGS],
        read: |file, text| Readings::read(file, text.as_bytes()).map(|_| ()),
    },
    Kind {
        file: "levels.toml",
        texts: &[LEVELS],
        read: |file, text| LevelReadings::read(Path::new(file), text.as_bytes()).map(|_| ()),
    },
];

const VEHICLE: &str = include_str!("../fuzz/corpus/vehicle/every-key.toml");

const OTHER_VEHICLE: &str = r#"format = "vehicle/1"
name = "test vehicle"
source = "invented"
wheelbase_left = "2.7 m"
wheelbase_right = "2.69 m"
front_overhang = "900 mm"
rear_overhang = "800 mm"
front_track = "1550 mm"
rear_track = "1560 mm"
tyre_width = "214 mm"
overall_width = "1800 mm"
width_over_mirrors = "2050 mm"
"#;

const TEMPLATE: &str = include_str!("../fuzz/corpus/template/every-key.toml");

const JOB: &str = r##"format = "job/1"
vehicle = "city-car"
template = "target-line"
paper = "Letter"
roll = "36in"
overlap = "12 mm"
mode = "lines"
printer = "office"
checks = "quick"
longest_pull = "8 m"
decision = "guarded"
laid_by = "tape"
units = "inch"
single_page = true
cut_by = "hand"
[values]
target_distance = "2 m"
[bay]
length = "9 m"
width = "5 m"
[[bay.obstacles]]
name = "lift post"
x = "1 m"
y = "2 m"
length = "200 mm"
width = "200 mm"
[precision]
tape_class = "II"
reading = "0.5 mm"
plumb = "1 mm"
centreline = "0.5 mm"
perpendicular_per_metre = "1 mm"
mark_width = "1 mm"
joint = "0.3 mm"
strip = "1 mm"
level = "1 mm"
printer_scale_per_metre = "1 mm"
paper_per_metre = "1 mm"
[cut]
bed = "1300 mm x 800 mm"
border = 50
field = false
partial = true
pen_names = true
bridge = "8 mm"
bridge_every = "300 mm"
kerf = "0.2 mm"
corner = "1 mm"
hairline = "0.1 mm"
spot = "Blade 1"
score_spot = "Pen"
cut_colour = "#ff0000"
score_colour = "#0000ff"
[record]
workshop = "Municipal workshop"
order = "4711"
vehicle_id = "V-3"
technician = "A. Sample"
date = "2026-03-02"
service_information = "page 12"
note = "none"
"##;

const MAT: &str = r#"format = "job/1"
vehicles = ["city-car", "estate"]
template = "target-line"
[paper]
width = "250 mm"
height = "353 mm"
[printer]
name = "office"
margin_left = "5 mm"
margin_right = "5 mm"
margin_top = "5 mm"
margin_bottom = "5 mm"
[printer.correction]
of = "200 mm"
x = "199.2 mm"
y = "200.3 mm"
skew = "0.1 deg"
forced = false
"#;

const PRINTER: &str = r#"format = "printer/1"
name = "office"
margin_left = "5 mm"
margin_right = "5 mm"
margin_top = "5 mm"
margin_bottom = "5 mm"
[correction]
of = "200 mm"
x = "199.2 mm"
y = "200.3 mm"
skew = "0.1 deg"
forced = false
"#;

const READINGS: &str = r#"format = "readings/1"
job = "job.toml"
sigma = "1 mm"
[precision]
reading = "0.5 mm"
tape_class = "II"
plumb = "1 mm"
centreline = "0.5 mm"
perpendicular_per_metre = "1 mm"
mark_width = "1 mm"
joint = "0.3 mm"
strip = "1 mm"
level = "1 mm"
printer_scale_per_metre = "1 mm"
paper_per_metre = "1 mm"
[[mark]]
id = "1L"
x = "0 m"
y = "1 m"
fixed = true
tolerance = "6 mm"
[[reading]]
check = "D1"
lay = 1
from = "1L"
to = "1R"
distance = "2 m"
sigma = "1 mm"
[[offset]]
check = "O1"
lay = 2
mark = "2C"
line = ["1C", "4C"]
distance = "3 mm"
sigma = "1 mm"
[[inline]]
check = "I1"
lay = 2
marks = ["1C", "2C", "4C"]
sigma = "1 mm"
"#;

const LEVELS: &str = r#"format = "levels/1"
job = "job.toml"
as = "height"
sigma = "1 mm"
[[level]]
at = "1L"
x = "1 m"
y = "1 m"
height = "3 mm"
"#;
