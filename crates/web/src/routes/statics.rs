//! `/static/{file}`

use super::unknown;
use crate::statics;
use crate::typed::Typed;
use crate::visit::Visit;
use axum::extract::Path;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Redirect, Response};

/// A file whose address changes with its content: it may be kept for a year.
pub async fn file(Path(file): Path<String>, visit: Visit) -> Response {
    match statics::find(&file) {
        Some(file) => (
            [(CONTENT_TYPE, file.kind), (CACHE_CONTROL, "public, max-age=31536000, immutable")],
            file.content,
        )
            .into_response(),
        None => unknown(&visit, "There is no such file.", &Typed::default()),
    }
}

/// Where old browsers look for the mark of the house.
pub async fn favicon() -> Redirect {
    Redirect::temporary(&statics::href("favicon.svg"))
}
