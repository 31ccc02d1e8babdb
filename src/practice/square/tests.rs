//! Sound sheets for all vehicles and templates, and what is planted in them.

use super::{
    Ground, exercise, judged,
    test_help::{settings, text},
};
use crate::practice::{Draw, Kind, Level};

#[test]
#[ignore = "to look at"]
fn print() {
    for (template, vehicle) in [("perimeter-lines", 4), ("side-and-end-panels", 0)] {
        let setting = &settings(template)[vehicle];
        for level in Level::ALL {
            for number in 1..4 {
                let start = std::time::Instant::now();
                match exercise(setting, level, 7, number) {
                    Ok(exercise) => println!("{:?}\n{}\n", start.elapsed(), text(&exercise)),
                    Err(error) => println!("{error}"),
                }
            }
        }
    }
}

#[test]
#[ignore = "times the parts"]
fn parts() {
    for template in ["perimeter-lines", "side-and-end-panels"] {
        for setting in &settings(template) {
            let mut draw = Draw::of_sheet(1, Kind::Square, Level::new(3).unwrap(), 1);
            let start = std::time::Instant::now();
            let ground = Ground::of(setting, Level::new(4).unwrap(), &mut draw).unwrap();
            let made = start.elapsed();
            let exact: Vec<f64> = ground.pulls.iter().map(|pull| pull.should).collect();
            let start = std::time::Instant::now();
            judged(&ground, &exact, &setting.precision).unwrap();
            println!("{} pulls: ground {made:?}, judged {:?}", ground.pulls.len(), start.elapsed());
        }
    }
}
