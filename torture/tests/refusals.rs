//! What the real binary refuses, with which exit code, and what it says.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::path::Path;
use torture::built::cocoonery;
use torture::dice::Dice;
use torture::house::{BOX, House, ask, make_book, serve};
use torture::scratch;
use torture::slip::{Answer, Slip, get};

fn refused(book: &Path, words: &[&str]) -> (i32, String) {
    let output = ask(&cocoonery().unwrap(), book, words).unwrap();
    (output.status.code().unwrap(), String::from_utf8(output.stderr).unwrap())
}

fn a_book() -> (tempfile::TempDir, std::path::PathBuf) {
    let folder = scratch::on_disk().unwrap();
    let book = folder.path().join("book");
    make_book(&cocoonery().unwrap(), &book).unwrap();
    (folder, book)
}

#[test]
fn a_second_writer_is_refused_with_the_process_of_the_first_and_exit_6() {
    let (folder, book) = a_book();
    let house = House::start(serve(&cocoonery().unwrap(), &book), &folder.path().join("errors")).unwrap();
    let pid = house.pid();
    for words in [&["note", "fed", BOX][..], &["serve", "--port", "0"]] {
        let (code, said) = refused(&book, words);
        assert_eq!(code, 6, "{said}");
        assert!(said.contains(&format!("process {pid}")) && said.contains("nothing was saved"), "{said}");
    }
    house.kill().unwrap();
    assert_eq!(refused(&book, &["note", "remark", "goes on"]).0, 0, "a killed process holds no lock");
}

#[test]
fn a_book_of_a_newer_form_is_refused_with_both_forms_and_exit_5() {
    let (_folder, book) = a_book();
    let file = book.join("book.sqlite");
    let mut bytes = std::fs::read(&file).unwrap();
    bytes[60..64].copy_from_slice(&99_u32.to_be_bytes());
    std::fs::write(&file, &bytes).unwrap();
    for words in [&["round"][..], &["serve", "--port", "0"], &["check"], &["salvage", "--into", "nowhere"]] {
        let (code, said) = refused(&book, words);
        assert_eq!(code, 5, "{words:?}: {said}");
        assert!(said.contains("form 99") && said.contains("knows 1"), "{said}");
    }
    let left = std::fs::read(&file).unwrap();
    // The counter of changes moves when a log is settled; what is noted does not.
    assert_eq!(left.len(), bytes.len());
    assert_eq!(left[4096..], bytes[4096..]);
}

#[test]
fn a_synchronised_folder_is_refused_until_the_keeper_says_so() {
    let (folder, book) = a_book();
    std::fs::write(folder.path().join(".sync-state.db"), b"").unwrap();
    let (code, said) = refused(&book, &["note", "remark", "one"]);
    assert!(code == 1 && said.contains("synchronised elsewhere"), "{code} {said}");
    assert_eq!(refused(&book, &["round"]).0, 0, "looking is harmless");
    assert_eq!(refused(&book, &["--i-know-this-folder", "note", "remark", "one"]).0, 0);
    assert_eq!(refused(&book, &["note", "remark", "two"]).0, 0, "it is remembered");
}

#[test]
fn a_damaged_book_is_served_for_looking_and_every_page_says_so() {
    let (folder, book) = a_book();
    for text in ["the first remark", "the second remark"] {
        assert_eq!(refused(&book, &["note", "remark", text]).0, 0);
    }
    let file = book.join("book.sqlite");
    let mut bytes = std::fs::read(&file).unwrap();
    let place = bytes.windows(9).rposition(|it| it == b"the first").unwrap();
    bytes[place] ^= 0x20;
    std::fs::write(&file, &bytes).unwrap();
    let house = House::start(serve(&cocoonery().unwrap(), &book), &folder.path().join("errors")).unwrap();
    for page in ["/", "/leaf", "/lines", "/trouble", &format!("/round/{BOX}")] {
        let (status, page_says) = get(house.at, page).unwrap();
        assert!(status == 200 && page_says.contains("This book is damaged"), "{page}: {status} {page_says}");
    }
    let answer = Slip::nth(1, &mut Dice::seeded(1)).send(house.at, BOX);
    let Answer::Refused { status: 422, page } = answer else { unreachable!("{answer:?}") };
    assert!(
        page.contains("only looked at") && page.contains("slip 1"),
        "what was typed is still there: {page}"
    );
    house.kill().unwrap();
    let into = folder.path().join("saved");
    let words = ["salvage", "--into", into.to_str().unwrap()];
    assert_eq!(refused(&book, &words).0, 3, "one entry is lost, and named");
    assert_eq!(refused(&into, &["note", "remark", "goes on"]).0, 0);
    assert_eq!(refused(&into, &["check"]).0, 0);
}
