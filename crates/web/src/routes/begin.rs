//! `/begin`

use super::{SAID_AGE_S, ask, broke_off, failed, fields, page, said_once, see_other, with_cookie};
use crate::book::Book;
use crate::read;
use crate::typed::{Complaint, Typed};
use crate::url;
use crate::views;
use crate::visit::{Said, Visit};
use axum::extract::{Form, rejection::FormRejection};
use axum::http::StatusCode;
use axum::response::Response;
use keeper::{Keeper, NotNoted};
use std::sync::Arc;

/// A form for animals of one's own.
pub async fn show(Book(keeper): Book, visit: Visit) -> Response {
    again(&visit, &keeper, StatusCode::OK, &Typed::default(), &[]).await
}

/// The box is opened and the animals are put into it.
pub async fn note(
    Book(keeper): Book,
    visit: Visit,
    form: Result<Form<Vec<(String, String)>>, FormRejection>,
) -> Response {
    let visit = Visit { said: None, ..visit };
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let note = match read::begin::read(&typed, keeper.look().today()) {
        Ok(note) => note,
        Err(complaints) => {
            return again(&visit, &keeper, StatusCode::UNPROCESSABLE_ENTITY, &typed, &complaints).await;
        }
    };
    let name = note.box_name.clone();
    match ask(&visit, &keeper, move |keeper| keeper.begin(&note)).await {
        Ok(Ok(saved)) => with_cookie(
            see_other(&url::round(&name)),
            "said",
            &Said::at_box(&name, &saved).to_cookie(),
            SAID_AGE_S,
        ),
        Ok(Err(NotNoted::Refused(why))) => {
            let complaint =
                [Complaint { field: String::new(), says: format!("{}.", crate::words::upper_first(&why)) }];
            again(&visit, &keeper, StatusCode::UNPROCESSABLE_ENTITY, &typed, &complaint).await
        }
        Ok(Err(NotNoted::Failed(failure))) => failed(&visit, &failure, &typed),
        Err(_) => broke_off(&visit, &typed),
    }
}

async fn again(
    visit: &Visit,
    keeper: &Arc<Keeper>,
    status: StatusCode,
    typed: &Typed,
    complaints: &[Complaint],
) -> Response {
    match ask(visit, keeper, |keeper| keeper.begin_page().map(|view| (view, keeper.fresh_id()))).await {
        Ok(Ok((view, id))) => {
            said_once(visit, page(status, views::begin::page(visit, &view, id, typed, complaints)))
        }
        Ok(Err(failure)) => failed(visit, &failure, typed),
        Err(response) => response,
    }
}
