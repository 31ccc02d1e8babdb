//! Makes the kit of a job file: `cargo run --release --example kit -- my-job.toml my-kit`.

use std::{env, error::Error, path::Path};

use baystencil::{Job, Kit, Wanted};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = env::args().skip(1);
    let (Some(job), Some(folder)) = (arguments.next(), arguments.next()) else {
        return Err("name a job file and a folder".into());
    };
    let made = Kit::of(Job::read(Path::new(&job))?).files(&Wanted::default())?;
    for path in made.files.write(Path::new(&folder))? {
        println!("{}", path.display());
    }
    println!(
        "{} sheets, at least {} are needed",
        made.sheets.pages, made.sheets.lower_bound
    );
    Ok(())
}
