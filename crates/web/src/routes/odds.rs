//! `/odds/{line}`

use super::brood::choose_line;
use super::{ask, csv, failed, page, said_once, unknown};
use crate::book::Book;
use crate::typed::Typed;
use crate::url;
use crate::views::{self, layout::Here};
use crate::visit::Visit;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use keeper::Keeper;
use keeper::view::odds::Odds;
use std::sync::Arc;

/// Will this generation close, and what would help?
pub async fn show(Book(keeper): Book, Path(line): Path<String>, visit: Visit) -> Response {
    let respond = |view: &Odds| said_once(&visit, page(StatusCode::OK, views::odds::page(&visit, view)));
    answer(&keeper, line, &visit, respond).await
}

/// The chance as CSV.
pub async fn chance(Book(keeper): Book, Path(line): Path<String>, visit: Visit) -> Response {
    answer(&keeper, line, &visit, |view| csv("chance", &views::odds::chance(view))).await
}

/// What would help, as CSV.
pub async fn levers(Book(keeper): Book, Path(line): Path<String>, visit: Visit) -> Response {
    answer(&keeper, line, &visit, |view| csv("levers", &views::odds::levers(view))).await
}

/// The earlier mornings as CSV.
pub async fn history(Book(keeper): Book, Path(line): Path<String>, visit: Visit) -> Response {
    answer(&keeper, line, &visit, |view| csv("history", &views::odds::past(view))).await
}

/// The one line, or a choice of lines.
pub async fn choose(Book(keeper): Book, visit: Visit) -> Response {
    choose_line(&keeper, &visit, Here::Odds, "Will it close? Which line?", url::odds).await
}

async fn answer(
    keeper: &Arc<Keeper>,
    line: String,
    visit: &Visit,
    show: impl Fn(&Odds) -> Response,
) -> Response {
    let name = line.clone();
    match ask(visit, keeper, move |keeper| keeper.odds(&name)).await {
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
