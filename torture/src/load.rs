//! A mixed load under the recorder: a season brought in, notes over HTTP, checkpoints, backups.

use crate::dice::Dice;
use crate::house::{BOX, House, serve};
use crate::record::{Event, Log};
use crate::slip::{Answer, Slip};
use crate::{built, scratch};
use anyhow::{Result, ensure};
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// What was recorded.
#[derive(Debug)]
pub struct Recorded {
    /// The folder below which everything was written, as the log names it.
    pub root: String,
    /// Everything in order.
    pub events: Vec<Event>,
    /// All notes that were sent.
    pub slips: Vec<Slip>,
}

/// The folder of the book, below the root.
pub const BOOK: &str = "book";

struct Stage {
    folder: TempDir,
    root: PathBuf,
    recorder: PathBuf,
    log: Log,
}

impl Stage {
    /// `None` where nothing can be recorded.
    fn set() -> Result<Option<Stage>> {
        let folder = scratch::on_disk()?;
        let Some(recorder) = built::recorder(folder.path())? else { return Ok(None) };
        let root = folder.path().canonicalize()?.join("house");
        std::fs::create_dir_all(root.join("backups"))?;
        let log = Log::at(&folder.path().join("log"));
        Ok(Some(Stage { folder, root, recorder, log }))
    }

    fn watched<'a>(&self, command: &'a mut Command) -> &'a mut Command {
        command
            .env("LD_PRELOAD", &self.recorder)
            .env("TORTURE_ROOT", &self.root)
            .env("TORTURE_LOG", self.folder.path().join("log"))
    }

    fn book(&self) -> PathBuf {
        self.root.join(BOOK)
    }

    fn ask(&self, binary: &Path, words: &[&str]) -> Result<()> {
        let mut command = Command::new(binary);
        command.arg("--book").arg(self.book()).args(words);
        let done = self.watched(&mut command).output()?;
        ensure!(done.status.success(), "{words:?}: {}", String::from_utf8_lossy(&done.stderr));
        Ok(())
    }

    fn open(&self, mut serve: Command) -> Result<House> {
        self.watched(&mut serve);
        House::start(serve, &self.folder.path().join("errors"))
    }

    fn send(&self, house: &House, slips: &[Slip]) -> Result<()> {
        for slip in slips {
            let answer = slip.send(house.at, BOX);
            ensure!(answer == Answer::Noted, "{} was not taken: {answer:?}", slip.text);
            self.log.tell(&format!("noted {}", slip.id))?;
        }
        Ok(())
    }

    fn done(self, slips: Vec<Slip>) -> Result<Recorded> {
        let events = self.log.read()?;
        Ok(Recorded { root: self.root.to_string_lossy().into_owned(), events, slips })
    }
}

fn slips(n: usize, seed: u64) -> Vec<Slip> {
    let mut dice = Dice::seeded(seed);
    (0..n).map(|n| Slip::nth(n, &mut dice)).collect()
}

/// The real binary under a mixed load; `None` where nothing can be recorded.
/// A second season is brought in between the notes, if so asked.
///
/// # Errors
/// If the load could not be carried out.
pub fn mixed(notes: usize, backups: usize, second: bool, seed: u64) -> Result<Option<Recorded>> {
    let Some(stage) = Stage::set()? else { return Ok(None) };
    let binary = built::cocoonery()?;
    let demo = |name: &str| built::root().join("demo").join(name).to_string_lossy().into_owned();
    let slips = slips(notes, seed);
    let quarter = (notes / 4).max(1);
    stage.ask(&binary, &["bring-in", &demo("a_emperor_brackenfold"), "--new", "Europe/London"])?;
    stage.log.tell("brought in")?;
    stage.ask(&binary, &["note", "open", BOX, "--stage", "egg", "--line", "HEATH"])?;
    let mut house = stage.open(serve(&binary, &stage.book()))?;
    let mut made = 0;
    for (n, some) in slips.chunks(quarter).enumerate() {
        for few in some.chunks((quarter * 4 / backups.max(1)).max(1)) {
            stage.send(&house, few)?;
            made += 1;
            let file = stage.root.join("backups").join(format!("b{made}"));
            stage.ask(&binary, &["backup", &file.to_string_lossy()])?;
            stage.log.tell(&format!("backed up b{made}"))?;
        }
        match n {
            // Killed, so that the next one finds a log that was not settled.
            0 => {
                house.kill()?;
                if second {
                    stage.ask(&binary, &["bring-in", &demo("c_eri_amlokhi")])?;
                    stage.log.tell("brought in")?;
                }
                house = stage.open(serve(&binary, &stage.book()))?;
            }
            // Asked to stop, so that the log is settled into the book.
            1 => {
                let pid = house.pid().to_string();
                ensure!(Command::new("kill").args(["-INT", &pid]).status()?.success(), "no stop");
                house.wait()?;
                house = stage.open(serve(&binary, &stage.book()))?;
            }
            _ => {}
        }
    }
    house.kill()?;
    stage.done(slips).map(Some)
}

/// Nothing but notes: in the real house, or in one whose book is not synced.
///
/// # Errors
/// If the load could not be carried out.
pub fn notes_only(notes: usize, synced: bool, seed: u64) -> Result<Option<Recorded>> {
    let Some(stage) = Stage::set()? else { return Ok(None) };
    let (binary, slips) = (built::cocoonery()?, slips(notes, seed));
    stage.ask(
        &binary,
        &["note", "--new", "Europe/London", "open", BOX, "--stage", "egg", "--line", "HEATH"],
    )?;
    let open = if synced {
        serve(&binary, &stage.book())
    } else {
        let mut weak = Command::new(built::weak_house()?);
        weak.arg(stage.book()).env("COCOONERY_WEAK_SYNC", "1");
        weak
    };
    let house = stage.open(open)?;
    stage.send(&house, &slips)?;
    house.kill()?;
    stage.done(slips).map(Some)
}
