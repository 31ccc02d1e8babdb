//! Judges what was taped on the floor of a job: `cargo run --release --example check -- my-job.toml my-kit/readings.csv`.

use std::{env, error::Error, fs, path::Path};

use baystencil::{CheckWords, Job, Readings, Verdict, assess, spare};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = env::args().skip(1);
    let (Some(job), Some(form)) = (arguments.next(), arguments.next()) else {
        return Err("name a job file and a filled form".into());
    };
    let job = Job::read(Path::new(&job))?;
    let readings = Readings::read(&form, &fs::read(&form)?)?;
    let mut layout = readings
        .resolve_laid(&job.plan, &job.precision, job.prior())?
        .taped;
    layout.decision = job.decision;
    layout.spare = spare(&job.plan, &layout);
    let assessment = assess(&layout)?;
    let words = CheckWords::of(&layout, &assessment, job.inches);
    println!("{}", words.headline);
    for (number, task) in words.todo.iter().enumerate() {
        println!("{:>3}. {task}", number + 1);
    }
    if assessment.verdict != Some(Verdict::Inside) {
        println!("Do this, write the new readings into the form, and ask again.");
    }
    Ok(())
}
