//! `/cocoons/{line}`

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
use keeper::view::cocoons::Cocoons;
use std::sync::Arc;

/// How does each cocoon winter?
pub async fn show(Book(keeper): Book, Path(line): Path<String>, visit: Visit) -> Response {
    let respond =
        |view: &Cocoons| said_once(&visit, page(StatusCode::OK, views::cocoons::page(&visit, view)));
    answer(&keeper, line, &visit, respond).await
}

/// The cocoons as CSV.
pub async fn table(Book(keeper): Book, Path(line): Path<String>, visit: Visit) -> Response {
    answer(&keeper, line, &visit, |view| csv("cocoons", &views::cocoons::table(view))).await
}

/// The one line, or a choice of lines.
pub async fn choose(Book(keeper): Book, visit: Visit) -> Response {
    choose_line(&keeper, &visit, Here::Elsewhere, "How do the cocoons winter? Which line?", url::cocoons)
        .await
}

async fn answer(
    keeper: &Arc<Keeper>,
    line: String,
    visit: &Visit,
    show: impl Fn(&Cocoons) -> Response,
) -> Response {
    let name = line.clone();
    match ask(visit, keeper, move |keeper| keeper.cocoons(&name)).await {
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
