//! The real binary, and the demo tables.
#![allow(clippy::unwrap_used, dead_code, reason = "a test may panic; each test file uses its part of this")]

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

pub type Row = BTreeMap<String, String>;

/// The binary with nothing of this machine in its environment but what it needs.
pub fn cocoonery() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cocoonery"));
    command.env_remove("COCOONERY_BOOK");
    command
}

/// Runs it on a book with the clock standing still.
pub fn at(book: &Path, now: &str, words: &[&str]) -> Output {
    cocoonery().arg("--book").arg(book).args(["--now", now, "--seed", "11"]).args(words).output().unwrap()
}

/// The same, and it must work.
pub fn done(book: &Path, now: &str, words: &[&str]) -> String {
    let output = at(book, now, words);
    let stderr = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{now} {words:?}: {stderr}");
    String::from_utf8(output.stdout).unwrap()
}

pub fn json(book: &Path, now: &str, words: &[&str]) -> serde_json::Value {
    let words: Vec<&str> = words.iter().copied().chain(["--json"]).collect();
    serde_json::from_str(&done(book, now, &words)).unwrap()
}

/// A table of demo season A as rows by column.
pub fn table(name: &str) -> Vec<Row> {
    let path = format!("{}/../../demo/a_emperor_brackenfold/{name}", env!("CARGO_MANIFEST_DIR"));
    csv::Reader::from_path(path).unwrap().deserialize().map(Result::unwrap).collect()
}
