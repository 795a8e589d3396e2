//! The house-keeping of the repository.
//!
//! `cargo xtask check` is everything that CI runs, in the same order, on the same code. A green run at home is
//! a green run there. `cargo xtask tidy` is the part that reads text: arrows between crates, the map, sizes,
//! words.
//! `cargo xtask validate` tries the forecasts on thousands of made broods.
//! `cargo xtask oracles` asks public libraries what `reckon` computes.

mod asked;
mod check;
mod licences;
mod oracles;
mod repository;
mod shell;
mod step;
mod steps;
mod tidy;

use std::process::ExitCode;

use asked::Asked;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let done = match asked::read(&words) {
        Ok(Asked::Help) => {
            println!("{}", asked::USAGE);
            Ok(())
        }
        Ok(Asked::ListSteps) => {
            check::list();
            Ok(())
        }
        Ok(Asked::Check(steps)) => repository::root().and_then(|root| check::run(&root, &steps)),
        Ok(Asked::Oracles(asking)) => repository::root().and_then(|root| oracles::run(&root, asking)),
        Ok(Asked::Torture(trials)) => repository::root().and_then(|root| steps::torture(&root, &trials)),
        Ok(Asked::Validate) => repository::root().and_then(|root| steps::validate(&root)),
        Ok(Asked::Tidy) => repository::root().and_then(|root| steps::tidy(&root)),
        Err(complaint) => {
            eprintln!("xtask: {complaint}\n\n{}", asked::USAGE);
            return ExitCode::from(2);
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("xtask: {failure:#}");
            ExitCode::FAILURE
        }
    }
}
