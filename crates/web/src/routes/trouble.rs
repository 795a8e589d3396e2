//! `/trouble`

use super::{ask, csv, failed, page, said_once};
use crate::book::Book;
use crate::typed::Typed;
use crate::views;
use crate::visit::Visit;
use axum::http::StatusCode;
use axum::response::Response;
use keeper::Keeper;
use keeper::view::trouble::Trouble;
use std::sync::Arc;

/// Is something wrong?
pub async fn show(Book(keeper): Book, visit: Visit) -> Response {
    let respond =
        |view: &Trouble| said_once(&visit, page(StatusCode::OK, views::trouble::page(&visit, view)));
    answer(&keeper, &visit, respond).await
}

/// The losses as CSV.
pub async fn losses(Book(keeper): Book, visit: Visit) -> Response {
    answer(&keeper, &visit, |view| csv("losses", &views::trouble::all_losses(view))).await
}

async fn answer(keeper: &Arc<Keeper>, visit: &Visit, show: impl Fn(&Trouble) -> Response) -> Response {
    match ask(visit, keeper, Keeper::trouble).await {
        Ok(Ok(view)) => show(&view),
        Ok(Err(failure)) => failed(visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}
