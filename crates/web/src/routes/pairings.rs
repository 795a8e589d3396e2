//! `/pairings`

use super::{ask, csv, failed, page, said_once};
use crate::book::Book;
use crate::typed::Typed;
use crate::views;
use crate::visit::Visit;
use axum::http::StatusCode;
use axum::response::Response;
use keeper::Keeper;

/// Who should meet whom tonight?
pub async fn show(Book(keeper): Book, visit: Visit) -> Response {
    match ask(&visit, &keeper, Keeper::pairings).await {
        Ok(Ok(view)) => said_once(&visit, page(StatusCode::OK, views::pairings::page(&visit, &view))),
        Ok(Err(failure)) => failed(&visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}

/// The possible pairs of tonight as CSV.
pub async fn tonight(Book(keeper): Book, visit: Visit) -> Response {
    match ask(&visit, &keeper, Keeper::pairings).await {
        Ok(Ok(view)) => csv("tonight", &views::pairings::table(&view)),
        Ok(Err(failure)) => failed(&visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}
