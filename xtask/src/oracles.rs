//! `cargo xtask oracles`: fresh random questions to `cocoonery reckon`, and the same to well-kept public
//! libraries.
//!
//! The stored rows in `reference/oracles` are checked by `cargo test`. Here nothing is stored: every run asks
//! something else, and says with which seed it can be asked again.

mod compare;

use std::collections::hash_map::RandomState;
use std::fs;
use std::hash::{BuildHasher, Hasher};
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::shell;

/// How much to ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asking {
    /// The dice of the questions; `None` takes another one at every run.
    pub seed: Option<u32>,
    /// Questions of every kind.
    pub rounds: u32,
}

/// Asks, compares, prints a table. Any figure outside its tolerance is a failure.
pub fn run(root: &Path, asking: Asking) -> Result<()> {
    let seed = asking.seed.unwrap_or_else(any_seed);
    let room = root.join("target").join("oracles");
    fs::create_dir_all(&room).with_context(|| format!("cannot make {}", room.display()))?;
    let python = python_with_libraries(root, &room)?;
    let (cases, answers, ours) =
        (room.join("cases.csv"), room.join("answers.csv"), room.join("computed.csv"));

    println!("seed {seed}, {} questions of every kind", asking.rounds);
    let asks = root.join("reference/oracles/live/ask.py");
    shell::must(
        Command::new(&python)
            .arg(asks)
            .args([seed.to_string(), asking.rounds.to_string()])
            .args([&cases, &answers]),
    )?;
    let words = ["run", "--locked", "--quiet", "-p", "cocoonery", "--", "reckon", "--cases"];
    let computed = shell::output(shell::cargo(root, &words).arg(&cases))?;
    fs::write(&ours, computed).with_context(|| format!("cannot write {}", ours.display()))?;

    let found = compare::compare(&fs::read_to_string(&answers)?, &fs::read_to_string(&ours)?)?;
    print!("{found}");
    match found.outside() {
        _ if found.is_empty() => bail!("nothing was asked: none of the libraries is here"),
        0 => Ok(()),
        outside => bail!(
            "{outside} figures are outside their tolerance; again with `cargo xtask oracles --seed {seed}`"
        ),
    }
}

/// An environment of its own under `target`, with the libraries that this machine can have.
fn python_with_libraries(root: &Path, room: &Path) -> Result<PathBuf> {
    let system = ["python3", "python"].iter().find_map(|it| shell::on_path(it));
    let system = system.context(
        "`cargo xtask oracles` needs python3 with venv: install it (Debian: apt-get install python3-venv)",
    )?;
    let environment = room.join("python");
    let python = environment.join("bin").join("python");
    if !python.is_file() {
        shell::must(Command::new(system).args(["-m", "venv"]).arg(&environment))?;
    }
    let wanted = root.join("reference/oracles/live/requirements.txt");
    let wanted = fs::read_to_string(&wanted).with_context(|| format!("cannot read {}", wanted.display()))?;
    for library in wanted.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let install = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", library];
        // One that cannot be had here leaves its questions out; `ask.py` names them.
        if let Err(failure) = shell::must(Command::new(&python).args(install)) {
            println!("without {library}: {failure}");
        }
    }
    Ok(python)
}

fn any_seed() -> u32 {
    // The standard library keys every table anew; that is all the chance that is needed here.
    let bits = RandomState::new().build_hasher().finish();
    u32::try_from(bits & 0xFFFF_FFFF).unwrap_or(0)
}
