//! `/`

use super::{ask, failed, page, said_once};
use crate::book::Book;
use crate::typed::Typed;
use crate::views;
use crate::visit::Visit;
use axum::http::StatusCode;
use axum::response::Response;
use keeper::Keeper;

/// What does this morning need?
pub async fn show(Book(keeper): Book, visit: Visit) -> Response {
    match ask(&visit, &keeper, Keeper::morning).await {
        Ok(Ok(view)) => said_once(&visit, page(StatusCode::OK, views::morning::page(&visit, &view))),
        Ok(Err(failure)) => failed(&visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}
