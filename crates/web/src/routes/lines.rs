//! `/lines`

use super::{ask, failed, page, said_once};
use crate::book::Book;
use crate::typed::Typed;
use crate::views;
use crate::visit::Visit;
use axum::http::StatusCode;
use axum::response::Response;
use keeper::Keeper;

/// All lines.
pub async fn show(Book(keeper): Book, visit: Visit) -> Response {
    match ask(&visit, &keeper, Keeper::lines).await {
        Ok(Ok(view)) => said_once(&visit, page(StatusCode::OK, views::lines::page(&visit, &view))),
        Ok(Err(failure)) => failed(&visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}
