//! `/season`: look at an invented season, and come back.

use super::{fields, page, see_other, with_cookie};
use crate::book::Books;
use crate::typed::Typed;
use crate::views::oops::{self, Oops};
use crate::visit::Visit;
use axum::extract::{Form, State, rejection::FormRejection};
use axum::http::StatusCode;
use axum::response::Response;

/// Looked at for an hour; then the own book lies open again.
const AGE_S: u64 = 3_600;

/// Opens the invented season beside the own book, or goes back to the own book.
pub async fn look(
    State(books): State<Books>,
    visit: Visit,
    form: Result<Form<Vec<(String, String)>>, FormRejection>,
) -> Response {
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    if typed.word("look") != "yes" {
        return with_cookie(see_other("/"), "season", "", 0);
    }
    match books.season().await {
        Some(_) => with_cookie(see_other("/"), "season", "look", AGE_S),
        None => not_made(&visit),
    }
}

/// The season could not be made.
#[must_use]
pub fn not_made(visit: &Visit) -> Response {
    let visit = Visit { looking: false, ..visit.clone() };
    let markup = oops::page(
        &visit,
        &Oops {
            happened: "The invented season could not be laid out.",
            saved: "Your own book is as it was.",
            to_do: "Look whether the disk is full; \u{201c}cocoonery try\u{201d} shows the same season.",
            typed: &Typed::default(),
        },
    );
    with_cookie(page(StatusCode::INTERNAL_SERVER_ERROR, markup), "season", "", 0)
}
