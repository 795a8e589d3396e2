//! `/air`

use super::{
    SAID_AGE_S, as_json, ask, broke_off, failed, fields, ids_of, page, said_once, see_other, undo_all,
    unknown, with_cookie,
};
use crate::book::Book;
use crate::read;
use crate::typed::{Complaint, Typed};
use crate::url;
use crate::views;
use crate::visit::{Said, Visit};
use axum::extract::{Form, Query, rejection::FormRejection};
use axum::http::StatusCode;
use axum::response::Response;
use keeper::view::round::Saved;
use keeper::{Keeper, NotNoted};
use std::sync::Arc;

type FormResult = Result<Form<Vec<(String, String)>>, FormRejection>;

/// The thermometer, and what it said in the last fortnight.
pub async fn show(Book(keeper): Book, Query(asked): Query<Vec<(String, String)>>, visit: Visit) -> Response {
    again(&visit, &keeper, StatusCode::OK, &Typed(asked), &Typed::default(), &[]).await
}

/// The air of one day at one place.
pub async fn note(Book(keeper): Book, visit: Visit, form: FormResult) -> Response {
    let visit = Visit { path: "/air".to_owned(), said: None, ..visit };
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let sent = typed.clone();
    let taken = match ask(&visit, &keeper, move |keeper| take(keeper, &sent)).await {
        Ok(taken) => taken,
        Err(_) => return broke_off(&visit, &typed),
    };
    match taken {
        Ok((place, saved)) => {
            let said = Said::of(&place, "/air/undo".to_owned(), &saved).to_cookie();
            let to = url::air(&place);
            let response =
                if visit.script { as_json(StatusCode::OK, true, &saved.says, &to) } else { see_other(&to) };
            with_cookie(response, "said", &said, SAID_AGE_S)
        }
        Err(no) if visit.script => {
            let says: Vec<String> = no.complaints.iter().map(|it| it.says.clone()).collect();
            as_json(no.status, false, &says, "/air")
        }
        Err(no) => again(&visit, &keeper, no.status, &typed, &typed, &no.complaints).await,
    }
}

/// Why a reading was not taken.
pub(super) struct NoAir {
    pub(super) status: StatusCode,
    pub(super) complaints: Vec<Complaint>,
}

/// Reads and notes one reading: where, and what was said.
pub(super) fn take(keeper: &Keeper, typed: &Typed) -> Result<(String, Saved), NoAir> {
    let no = |complaints| NoAir { status: StatusCode::UNPROCESSABLE_ENTITY, complaints };
    let slip = read::slip::read(keeper, typed).map_err(|it| no(vec![it]))?;
    let today = keeper.on_the_wall(slip.happened.unwrap_or(keeper.look().at)).date();
    let note = read::air::read(typed, today).map_err(no)?;
    let place = note.place.clone();
    keeper.note_air(&note, slip.happened).map(|saved| (place, saved)).map_err(refused)
}

/// Where on earth a place lies, and whether lamps burn there.
pub async fn light(Book(keeper): Book, visit: Visit, form: FormResult) -> Response {
    let visit = Visit { path: "/air".to_owned(), said: None, ..visit };
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let sent = typed.clone();
    match ask(&visit, &keeper, move |keeper| take_light(keeper, &sent)).await {
        Ok(Ok((place, saved))) => {
            let said = Said::of(&place, "/air/undo".to_owned(), &saved).to_cookie();
            with_cookie(see_other(&url::air(&place)), "said", &said, SAID_AGE_S)
        }
        Ok(Err(no)) => again(&visit, &keeper, no.status, &typed, &typed, &no.complaints).await,
        Err(_) => broke_off(&visit, &typed),
    }
}

fn take_light(keeper: &Keeper, typed: &Typed) -> Result<(String, Saved), NoAir> {
    let no = |complaints| NoAir { status: StatusCode::UNPROCESSABLE_ENTITY, complaints };
    let told = read::light::read(typed).map_err(no)?;
    let place = told.place.clone();
    let noted = keeper.note_light(told);
    noted.map(|saved| (place, saved)).map_err(refused)
}

fn refused(not: NotNoted) -> NoAir {
    let (status, says) = match not {
        NotNoted::Refused(why) => {
            (StatusCode::UNPROCESSABLE_ENTITY, format!("{}.", crate::words::upper_first(&why)))
        }
        NotNoted::Failed(failure) => {
            (StatusCode::INTERNAL_SERVER_ERROR, format!("The book could not be written: {failure}."))
        }
    };
    NoAir { status, complaints: vec![Complaint { field: String::new(), says }] }
}

/// Sets readings aside.
pub async fn undo(Book(keeper): Book, visit: Visit, form: FormResult) -> Response {
    let visit = Visit { path: "/air".to_owned(), said: None, ..visit };
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let Some(ids) = ids_of(&typed) else {
        return unknown(&visit, "It is not said which reading is to be undone.", &typed);
    };
    match ask(&visit, &keeper, move |keeper| undo_all(keeper, ids)).await {
        Ok(Ok(saved)) => {
            let undone = Saved { ids: Vec::new(), ..saved };
            let said = Said::of("the thermometer", "/air/undo".to_owned(), &undone).to_cookie();
            with_cookie(see_other("/air"), "said", &said, SAID_AGE_S)
        }
        Ok(Err(NotNoted::Refused(why))) => {
            let says = format!("{}.", crate::words::upper_first(&why));
            let complaint = [Complaint { field: String::new(), says }];
            let nothing = Typed::default();
            again(&visit, &keeper, StatusCode::UNPROCESSABLE_ENTITY, &nothing, &nothing, &complaint).await
        }
        Ok(Err(NotNoted::Failed(failure))) => failed(&visit, &failure, &typed),
        Err(_) => broke_off(&visit, &typed),
    }
}

async fn again(
    visit: &Visit,
    keeper: &Arc<Keeper>,
    status: StatusCode,
    asked: &Typed,
    typed: &Typed,
    complaints: &[Complaint],
) -> Response {
    let place = asked.word("place").to_owned();
    let look = move |keeper: &Keeper| {
        let named = Some(place.as_str()).filter(|it| !it.is_empty());
        keeper.air_page(named).map(|view| (view, keeper.fresh_id()))
    };
    match ask(visit, keeper, look).await {
        Ok(Ok((view, id))) => {
            said_once(visit, page(status, views::air::page(visit, &view, id, typed, complaints)))
        }
        Ok(Err(failure)) => failed(visit, &failure, typed),
        Err(response) => response,
    }
}
