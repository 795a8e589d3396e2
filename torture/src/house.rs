//! The real binary, serving a book, until it is killed.

use anyhow::{Context, Result, bail, ensure};
use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

/// The box that is noted at.
pub const BOX: &str = "Q77";

/// A process that serves a book.
#[derive(Debug)]
pub struct House {
    child: Child,
    errors: PathBuf,
    /// Where it answers.
    pub at: SocketAddr,
}

impl House {
    /// Starts a command that serves pages and prints their address first. What it says on the side goes to a file.
    ///
    /// # Errors
    /// If it ends before it has said where it answers; the error is what it said.
    pub fn start(mut command: Command, errors: &Path) -> Result<House> {
        let said = File::options().create(true).append(true).open(errors)?;
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(said);
        let mut child = command.spawn().context("the house could not be started")?;
        let mut line = String::new();
        if let Some(out) = child.stdout.take() {
            BufReader::new(out).read_line(&mut line)?;
        }
        let address = line.trim().trim_start_matches("http://").trim_end_matches('/').parse();
        match address {
            Ok(at) => Ok(House { child, errors: errors.to_owned(), at }),
            Err(_) => {
                let _ = child.kill();
                let status = child.wait()?;
                bail!("the house did not open ({status}): {}", read(errors)?)
            }
        }
    }

    /// The number of the process.
    #[must_use]
    pub fn pid(&self) -> u32 {
        self.child.id()
    }

    /// Waits until it has ended by itself.
    ///
    /// # Errors
    /// If it cannot be waited for.
    pub fn wait(mut self) -> Result<()> {
        self.child.wait()?;
        Ok(())
    }

    /// Kills it: it gets no chance to finish anything.
    ///
    /// # Errors
    /// If it cannot be waited for, or it had panicked before.
    pub fn kill(mut self) -> Result<()> {
        let _ = self.child.kill();
        self.child.wait()?;
        let said = read(&self.errors)?;
        ensure!(!said.contains("panicked"), "the house panicked: {said}");
        Ok(())
    }
}

impl Drop for House {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn read(file: &Path) -> Result<String> {
    let mut said = String::new();
    File::open(file)?.read_to_string(&mut said)?;
    Ok(said)
}

/// The call that serves a book on a free port.
#[must_use]
pub fn serve(binary: &Path, book: &Path) -> Command {
    let mut command = Command::new(binary);
    command.arg("--book").arg(book).args(["serve", "--port", "0"]);
    command
}

/// A command of the binary on a book.
///
/// # Errors
/// If it could not be started.
pub fn ask(binary: &Path, book: &Path, words: &[&str]) -> Result<Output> {
    let mut command = Command::new(binary);
    command.arg("--book").arg(book).args(words).stdin(Stdio::null());
    command.output().context("the binary could not be started")
}

/// Makes a book with one empty box, at which anything may be remarked.
///
/// # Errors
/// If the binary says no.
pub fn make_book(binary: &Path, book: &Path) -> Result<()> {
    let words = ["note", "--new", "Europe/London", "open", BOX, "--stage", "egg", "--line", "HEATH"];
    let made = ask(binary, book, &words)?;
    ensure!(made.status.success(), "no book was made: {}", String::from_utf8_lossy(&made.stderr));
    Ok(())
}
