//! `/brood/{line}`

use super::{ask, csv, failed, page, said_once, see_other, unknown};
use crate::book::Book;
use crate::typed::Typed;
use crate::url;
use crate::views::{self, layout::Here};
use crate::visit::Visit;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use keeper::Keeper;
use keeper::view::brood::Brood;
use std::sync::Arc;

/// When is the next moult, cocoon, moth?
pub async fn show(Book(keeper): Book, Path(line): Path<String>, visit: Visit) -> Response {
    let respond = |view: &Brood| said_once(&visit, page(StatusCode::OK, views::brood::page(&visit, view)));
    answer(&keeper, line, &visit, respond).await
}

/// The calendar as CSV.
pub async fn calendar(Book(keeper): Book, Path(line): Path<String>, visit: Visit) -> Response {
    answer(&keeper, line, &visit, |view| csv("calendar", &views::brood::calendar(view))).await
}

/// The one line, or a choice of lines.
pub async fn choose(Book(keeper): Book, visit: Visit) -> Response {
    choose_line(&keeper, &visit, Here::Brood, "When is the next? Which line?", url::brood).await
}

/// Goes to the only line, or asks which; also used by the odds.
pub async fn choose_line(
    keeper: &Arc<Keeper>,
    visit: &Visit,
    here: Here,
    question: &str,
    href: fn(&str) -> String,
) -> Response {
    match ask(visit, keeper, Keeper::lines).await {
        Ok(Ok(view)) => match view.lines.as_slice() {
            [only] => see_other(&href(&only.line)),
            _ => page(StatusCode::OK, views::choose::page(visit, here, question, &view, href)),
        },
        Ok(Err(failure)) => failed(visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}

async fn answer(
    keeper: &Arc<Keeper>,
    line: String,
    visit: &Visit,
    show: impl Fn(&Brood) -> Response,
) -> Response {
    let name = line.clone();
    match ask(visit, keeper, move |keeper| keeper.brood(&name)).await {
        Ok(Ok(Some(view))) => show(&view),
        Ok(Ok(None)) => unknown(
            visit,
            &format!("There is no line \u{201c}{line}\u{201d} in the book."),
            &Typed::default(),
        ),
        Ok(Err(failure)) => failed(visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}
