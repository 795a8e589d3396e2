//! `/boxes` and `/boxes/{box}`

use super::{SAID_AGE_S, ask, broke_off, failed, fields, page, said_once, see_other, unknown, with_cookie};
use crate::book::Book;
use crate::read;
use crate::typed::{Complaint, Typed};
use crate::url;
use crate::views;
use crate::visit::{Said, Visit};
use axum::extract::{Form, Path, rejection::FormRejection};
use axum::http::StatusCode;
use axum::response::Response;
use keeper::view::round::Saved;
use keeper::{Fresh, Keeper, NotNoted, ShelfMove};
use std::sync::Arc;

type FormResult = Result<Form<Vec<(String, String)>>, FormRejection>;

/// The shelf.
pub async fn shelf(Book(keeper): Book, visit: Visit) -> Response {
    shelf_again(&visit, &keeper, StatusCode::OK, &Typed::default(), &[]).await
}

/// A fresh box.
pub async fn fresh(Book(keeper): Book, visit: Visit, form: FormResult) -> Response {
    let visit = Visit { path: "/boxes".to_owned(), said: None, ..visit };
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let fresh = Fresh {
        id: typed.word("id").parse().ok(),
        name: typed.word("name").to_owned(),
        line: typed.word("line").to_owned(),
        for_stage: None,
        vessel: typed.word("vessel").to_owned(),
        place: typed.word("place").to_owned(),
    };
    let name = fresh.name.clone();
    match ask(&visit, &keeper, move |keeper| keeper.open_fresh(&fresh)).await {
        Ok(Ok(saved)) => noted(&name, &saved, "/boxes"),
        Ok(Err(NotNoted::Refused(why))) => {
            let complaints = [complaint(&why)];
            shelf_again(&visit, &keeper, StatusCode::UNPROCESSABLE_ENTITY, &typed, &complaints).await
        }
        Ok(Err(NotNoted::Failed(failure))) => failed(&visit, &failure, &typed),
        Err(_) => broke_off(&visit, &typed),
    }
}

/// One box as a whole.
pub async fn show(Book(keeper): Book, Path(name): Path<String>, visit: Visit) -> Response {
    box_again(&visit, &keeper, &name, StatusCode::OK, &Typed::default(), &[]).await
}

/// Something done with a box as a whole.
pub async fn act(
    Book(keeper): Book,
    Path((name, deed)): Path<(String, String)>,
    visit: Visit,
    form: FormResult,
) -> Response {
    let visit = Visit { path: url::boxes(&name), said: None, ..visit };
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let known = ["split", "merge", "apart", "back", "close", "earlier", "later", "place"];
    if !known.contains(&deed.as_str()) {
        return unknown(&visit, "This cannot be done with a box.", &typed);
    }
    let on_shelf = typed.word("back") == "shelf";
    let to = match deed.as_str() {
        "close" => "/boxes".to_owned(),
        _ if on_shelf => "/boxes".to_owned(),
        _ => url::boxes(&name),
    };
    let (asked, sent) = (name.clone(), typed.clone());
    match ask(&visit, &keeper, move |keeper| done(keeper, &asked, &deed, &sent)).await {
        Ok(Ok(saved)) => noted(&name, &saved, &to),
        Ok(Err(No::Box)) => no_box(&visit, &name, &typed),
        Ok(Err(No::Unread(complaints))) => {
            box_again(&visit, &keeper, &name, StatusCode::UNPROCESSABLE_ENTITY, &typed, &complaints).await
        }
        Ok(Err(No::NotNoted(NotNoted::Refused(why)))) => {
            let complaints = [complaint(&why)];
            let status = StatusCode::UNPROCESSABLE_ENTITY;
            if on_shelf {
                shelf_again(&visit, &keeper, status, &Typed::default(), &complaints).await
            } else {
                box_again(&visit, &keeper, &name, status, &typed, &complaints).await
            }
        }
        Ok(Err(No::NotNoted(NotNoted::Failed(failure)))) => failed(&visit, &failure, &typed),
        Err(_) => broke_off(&visit, &typed),
    }
}

/// Why it was not done.
enum No {
    Box,
    Unread(Vec<Complaint>),
    NotNoted(NotNoted),
}

impl From<NotNoted> for No {
    fn from(no: NotNoted) -> Self {
        No::NotNoted(no)
    }
}

fn done(keeper: &Keeper, name: &str, deed: &str, typed: &Typed) -> Result<Saved, No> {
    let id = typed.word("id").parse().ok();
    let saved = match deed {
        "split" => {
            let view = keeper.box_work(name).map_err(NotNoted::Failed)?.ok_or(No::Box)?;
            let split = read::boxes::split(&view, typed).map_err(No::Unread)?;
            keeper.split(name, &split)?
        }
        "merge" => keeper.merge(name, typed.word("into"), id)?,
        "apart" => keeper.set_apart(name, typed.word("sign"), id)?,
        "back" => keeper.let_back(name, id)?,
        "close" => keeper.put_away(name, id)?,
        "earlier" => keeper.put_on_shelf(name, ShelfMove::Earlier, id)?,
        "later" => keeper.put_on_shelf(name, ShelfMove::Later, id)?,
        _ => {
            let place = read::numbers::animals(typed.word("place")).ok().filter(|it| *it > 0);
            let place = place.and_then(|it| usize::try_from(it).ok()).ok_or_else(|| {
                No::Unread(vec![Complaint {
                    field: "place".to_owned(),
                    says: "This is no place on the shelf. Write a number such as 1.".to_owned(),
                }])
            })?;
            keeper.put_on_shelf(name, ShelfMove::Place(place), id)?
        }
    };
    Ok(saved)
}

fn complaint(why: &str) -> Complaint {
    Complaint { field: String::new(), says: format!("{}.", crate::words::upper_first(why)) }
}

fn noted(name: &str, saved: &Saved, to: &str) -> Response {
    with_cookie(see_other(to), "said", &Said::at_box(name, saved).to_cookie(), SAID_AGE_S)
}

fn no_box(visit: &Visit, name: &str, typed: &Typed) -> Response {
    unknown(visit, &format!("There is no open box \u{201c}{name}\u{201d} in the book."), typed)
}

async fn shelf_again(
    visit: &Visit,
    keeper: &Arc<Keeper>,
    status: StatusCode,
    typed: &Typed,
    complaints: &[Complaint],
) -> Response {
    match ask(visit, keeper, |keeper| keeper.boxes().map(|view| (view, keeper.fresh_id()))).await {
        Ok(Ok((view, id))) => {
            said_once(visit, page(status, views::boxes::shelf(visit, &view, id, typed, complaints)))
        }
        Ok(Err(failure)) => failed(visit, &failure, typed),
        Err(response) => response,
    }
}

async fn box_again(
    visit: &Visit,
    keeper: &Arc<Keeper>,
    name: &str,
    status: StatusCode,
    typed: &Typed,
    complaints: &[Complaint],
) -> Response {
    let asked = name.to_owned();
    let look = move |keeper: &Keeper| Ok(keeper.box_work(&asked)?.map(|view| (view, keeper.fresh_id())));
    match ask(visit, keeper, look).await {
        Ok(Ok(Some((view, id)))) => {
            said_once(visit, page(status, views::boxes::one(visit, &view, id, typed, complaints)))
        }
        Ok(Ok(None)) => no_box(visit, name, typed),
        Ok(Err(failure)) => failed(visit, &failure, typed),
        Err(response) => response,
    }
}
