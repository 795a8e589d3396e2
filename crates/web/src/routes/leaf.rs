//! `/leaf`

use super::{ask, csv, failed, page, said_once};
use crate::book::Book;
use crate::typed::Typed;
use crate::views;
use crate::visit::Visit;
use axum::http::StatusCode;
use axum::response::Response;
use keeper::Keeper;
use keeper::view::leaf::Leaf;
use std::sync::Arc;

/// How much leaf?
pub async fn show(Book(keeper): Book, visit: Visit) -> Response {
    let respond = |view: &Leaf| said_once(&visit, page(StatusCode::OK, views::leaf::page(&visit, view)));
    answer(&keeper, &visit, respond).await
}

/// The days as CSV.
pub async fn days(Book(keeper): Book, visit: Visit) -> Response {
    answer(&keeper, &visit, |view| csv("leaf-days", &views::leaf::days(view))).await
}

async fn answer(keeper: &Arc<Keeper>, visit: &Visit, show: impl Fn(&Leaf) -> Response) -> Response {
    match ask(visit, keeper, Keeper::leaf).await {
        Ok(Ok(view)) => show(&view),
        Ok(Err(failure)) => failed(visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}
