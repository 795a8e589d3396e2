//! `/outbox`

use super::round::Taken;
use super::{air, ask, broke_off, fields, page, round, said_once};
use crate::book::Book;
use crate::read::outbox::{Goes, Waiting, read};
use crate::typed::Complaint;
use crate::views::outbox::{self as views, BroughtIn};
use crate::visit::Visit;
use axum::extract::{Form, rejection::FormRejection};
use axum::http::StatusCode;
use axum::response::Response;
use keeper::Keeper;

/// The list on the phone, and a way to bring a file in.
pub async fn show(visit: Visit) -> Response {
    said_once(&visit, page(StatusCode::OK, views::page(&visit, &[], "", &[])))
}

/// Notes from a file, one after the other; each is taken or not by itself.
pub async fn bring_in(
    Book(keeper): Book,
    visit: Visit,
    form: Result<Form<Vec<(String, String)>>, FormRejection>,
) -> Response {
    let visit = Visit { path: "/outbox".to_owned(), said: None, ..visit };
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let text = typed.word("notes");
    let notes = match read(text) {
        Ok(notes) => notes,
        Err(says) => {
            let complaint = [Complaint { field: "notes".to_owned(), says }];
            return page(StatusCode::UNPROCESSABLE_ENTITY, views::page(&visit, &[], text, &complaint));
        }
    };
    let each = move |keeper: &Keeper| notes.iter().map(|it| one(keeper, it)).collect::<Vec<BroughtIn>>();
    match ask(&visit, &keeper, each).await {
        Ok(brought) => page(StatusCode::OK, views::page(&visit, &brought, "", &[])),
        Err(_) => broke_off(&visit, &typed),
    }
}

fn one(keeper: &Keeper, note: &Waiting) -> BroughtIn {
    let typed = note.typed();
    match note.goes() {
        None => BroughtIn {
            box_name: None,
            saved: false,
            says: format!(
                "\u{201c}{}\u{201d} is no place for a note.",
                note.action.chars().take(60).collect::<String>()
            ),
        },
        Some(Goes::Air) => match air::take(keeper, &typed) {
            Ok((place, saved)) => {
                BroughtIn { box_name: None, saved: true, says: format!("{place}, {}", saved.says.join("; ")) }
            }
            Err(no) => {
                let says: Vec<String> = no.complaints.into_iter().map(|it| it.says).collect();
                BroughtIn { box_name: None, saved: false, says: says.join(" ") }
            }
        },
        Some(Goes::Round(name)) => {
            let (saved, says) = match round::take(keeper, &name, &typed) {
                Taken::Saved { saved, .. } => (true, saved.says.join("; ")),
                Taken::Nothing { .. } => (true, "nothing to note".to_owned()),
                Taken::NoBox => (false, "there is no such open box".to_owned()),
                Taken::Not(no) => (false, no.in_words().1.join(" ")),
            };
            BroughtIn { says: format!("{name}: {says}"), box_name: Some(name), saved }
        }
    }
}
