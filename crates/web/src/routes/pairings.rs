//! `/pairings`

use super::{
    SAID_AGE_S, ask, broke_off, csv, failed, fields, ids_of, page, said_once, see_other, undo_all, unknown,
    with_cookie,
};
use crate::book::Book;
use crate::read::pairing::{self, Told};
use crate::typed::{Complaint, Typed};
use crate::views;
use crate::visit::{Said, Visit};
use axum::extract::{Form, Path, rejection::FormRejection};
use axum::http::StatusCode;
use axum::response::Response;
use keeper::view::round::Saved;
use keeper::{Keeper, NotNoted};
use std::sync::Arc;

type FormResult = Result<Form<Vec<(String, String)>>, FormRejection>;

/// Who should meet whom tonight?
pub async fn show(Book(keeper): Book, visit: Visit) -> Response {
    again(&visit, &keeper, StatusCode::OK, &Typed::default(), &[]).await
}

/// The possible pairs of tonight as CSV.
pub async fn tonight(Book(keeper): Book, visit: Visit) -> Response {
    match ask(&visit, &keeper, Keeper::pairings).await {
        Ok(Ok(view)) => csv("tonight", &views::pairings::table(&view)),
        Ok(Err(failure)) => failed(&visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}

/// Notes what one of the forms says, or undoes it.
pub async fn act(Book(keeper): Book, Path(deed): Path<String>, visit: Visit, form: FormResult) -> Response {
    let visit = Visit { path: "/pairings".to_owned(), said: None, ..visit };
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let no = StatusCode::UNPROCESSABLE_ENTITY;
    let taken = if deed == "undo" {
        let Some(ids) = ids_of(&typed) else {
            return unknown(&visit, "It is not said what is to be undone.", &typed);
        };
        ask(&visit, &keeper, move |keeper| undo_all(keeper, ids).map(|it| Saved { ids: Vec::new(), ..it }))
            .await
    } else {
        let told = match pairing::read(&deed, &typed) {
            Ok(Some(told)) => told,
            Ok(None) => return unknown(&visit, "There is no such page.", &typed),
            Err(complaints) => return again(&visit, &keeper, no, &typed, &complaints).await,
        };
        let id = typed.word("id").parse().ok();
        let note = move |keeper: &Keeper| match told {
            Told::Pair(note) => keeper.note_pairing(&note),
            Told::Took(pairing, took) => keeper.note_took(&pairing, took, id),
            Told::Laid(pairing, eggs) => keeper.note_laid(&pairing, eggs, id),
            Told::Hatched(pairing, hatched) => keeper.note_hatched(&pairing, hatched, id),
        };
        ask(&visit, &keeper, note).await
    };
    match taken {
        Ok(Ok(saved)) => {
            let said = Said::of("Noted", "/pairings/undo".to_owned(), &saved).to_cookie();
            with_cookie(see_other("/pairings"), "said", &said, SAID_AGE_S)
        }
        Ok(Err(NotNoted::Refused(why))) => {
            let says = format!("{}.", crate::words::upper_first(&why));
            again(&visit, &keeper, no, &typed, &[Complaint { field: String::new(), says }]).await
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
    match ask(visit, keeper, |keeper| keeper.pairings().map(|view| (view, keeper.fresh_id()))).await {
        Ok(Ok((view, id))) => {
            said_once(visit, page(status, views::pairings::page(visit, &view, id, typed, complaints)))
        }
        Ok(Err(failure)) => failed(visit, &failure, typed),
        Err(response) => response,
    }
}
