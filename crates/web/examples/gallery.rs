//! Writes every page from an invented house into a folder, to be looked at
//! without a server: `cargo run -p cocoonery-web --example gallery -- FOLDER`.
//!
//! For each page and each theme one file.

#[path = "../tests/fixtures/mod.rs"]
mod fixtures;

use std::error::Error;
use std::fs;
use std::path::PathBuf;

use keeper::view::round::BoxRound;
use maud::Markup;
use web::theme::Theme;
use web::typed::{Complaint, Typed};
use web::views::round::Round;
use web::views::{self, layout};
use web::visit::{Said, Visit};
use web::{statics, url};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(std::env::args().nth(1).ok_or("say where to write: gallery FOLDER")?);
    fs::create_dir_all(folder.join("static"))?;
    for file in &statics::ALL {
        fs::write(folder.join("static").join(file.file()), file.content)?;
    }
    for (theme, _) in Theme::ALL {
        let visit = Visit { theme, path: "/".to_owned(), ..Visit::default() };
        for (name, page) in pages(&visit) {
            let html = page.into_string().replace("\"/static/", "\"static/");
            fs::write(folder.join(format!("{name}-{}.html", theme.word())), html)?;
        }
    }
    Ok(())
}

fn pages(visit: &Visit) -> Vec<(&'static str, Markup)> {
    let nothing = Typed::default();
    let round = |view: &BoxRound, typed: &Typed, complaints: &[Complaint], again: bool| {
        views::round::page(
            visit,
            &Round { view, id: uuid::Uuid::from_u128(9), typed, complaints, after: "", again, whole: false },
        )
    };
    let wrong = Typed::from([
        ("moved_n", "2"),
        ("moved_into", "box:H09"),
        ("dead_n", "1"),
        ("sign", "limp"),
        ("leaf_or", "1.000"),
        ("left", "other"),
    ]);
    let complaint = Complaint {
        field: "leaf_or".to_owned(),
        says: "\"1.000\" can be read two ways: 1 g or 1000 g. Write 1 or 1000.".to_owned(),
    };
    let just = Visit {
        said: Some(Said {
            box_name: "H06".to_owned(),
            undo: "/round/H06/undo".to_owned(),
            says: vec!["1 moulted to L4, into H09".to_owned(), "3 L3 counted".to_owned()],
            ids: vec![uuid::Uuid::from_u128(1)],
        }),
        ..visit.clone()
    };
    vec![
        ("morning", views::morning::page(visit, &fixtures::morning())),
        ("round", round(&fixtures::box_plain(), &nothing, &[], false)),
        (
            "round-moult",
            views::round::page(
                &just,
                &Round {
                    view: &fixtures::box_round(),
                    id: uuid::Uuid::from_u128(9),
                    typed: &nothing,
                    complaints: &[],
                    after: "",
                    again: false,
                    whole: false,
                },
            ),
        ),
        ("round-typed", round(&fixtures::box_round(), &wrong, &[complaint], false)),
        ("round-misfit", round(&fixtures::box_misfit(), &nothing, &[], false)),
        ("round-again", round(&fixtures::box_misfit(), &nothing, &[], true)),
        ("round-apart", round(&fixtures::box_apart(), &nothing, &[], false)),
        ("round-eggs", round(&fixtures::box_eggs(), &nothing, &[], false)),
        ("round-empty", round(&fixtures::box_empty(), &nothing, &[], false)),
        ("brood", views::brood::page(visit, &fixtures::brood())),
        ("leaf", views::leaf::page(visit, &fixtures::leaf_page())),
        ("odds", views::odds::page(visit, &fixtures::odds())),
        ("cocoons", views::cocoons::page(visit, &fixtures::cocoons())),
        ("pairings", views::pairings::page(visit, &fixtures::pairings(), uuid::Uuid::nil(), &nothing, &[])),
        ("lines", views::lines::page(visit, &fixtures::lines())),
        ("trouble", views::trouble::page(visit, &fixtures::trouble())),
        (
            "choose",
            views::choose::page(
                visit,
                layout::Here::Brood,
                "Which line?",
                &fixtures::two_lines(),
                url::brood,
            ),
        ),
        ("oops", views::oops::not_here(visit, "There is no box H99 in the book.", &nothing)),
    ]
}
