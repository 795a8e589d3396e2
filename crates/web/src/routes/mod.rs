//! Ways in: each handler parses, calls the keeper, shows; none holds a rule.

pub mod air;
pub mod begin;
pub mod boxes;
pub mod brood;
pub mod cocoons;
pub mod leaf;
pub mod lines;
pub mod morning;
pub mod odds;
pub mod outbox;
pub mod pairings;
pub mod round;
pub mod season;
pub mod statics;
pub mod theme;
pub mod trouble;

use crate::book::Books;
use crate::csv::Table;
use crate::shield;
use crate::typed::Typed;
use crate::views::oops::{self, Oops};
use crate::visit::Visit;
use axum::Json;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Form, rejection::FormRejection};
use axum::http::header::{CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_TYPE, LOCATION, SET_COOKIE};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use keeper::view::round::Saved;
use keeper::{Failure, Keeper, NotNoted};
use maud::Markup;
use std::sync::Arc;
use tokio::net::TcpListener;
use tower_http::compression::CompressionLayer;
use uuid::Uuid;

/// The largest form; a full round form has a few hundred bytes.
const FORM_BYTES_MAX: usize = 64 * 1024;
/// The largest file of notes that waited: two thousand of them.
const OUTBOX_BYTES_MAX: usize = 4 * 1024 * 1024;
/// How long the words about a note wait for the next page.
const SAID_AGE_S: u64 = 60;
/// More entries than this do not come from one note.
const UNDO_MAX: usize = 400;

/// All pages of the house over one open book.
pub fn router(keeper: Arc<Keeper>) -> Router {
    let pages = Router::new()
        .route("/", get(morning::show))
        .route("/begin", get(begin::show).post(begin::note))
        .route("/air", get(air::show).post(air::note))
        .route("/air/undo", post(air::undo))
        .route("/air/light", post(air::light))
        .route("/boxes", get(boxes::shelf).post(boxes::fresh))
        .route("/boxes/{box}", get(boxes::show))
        .route("/boxes/{box}/{deed}", post(boxes::act))
        .route(
            "/outbox",
            get(outbox::show).post(outbox::bring_in).layer(DefaultBodyLimit::max(OUTBOX_BYTES_MAX)),
        )
        .route("/season", post(season::look))
        .route("/round", get(round::all))
        .route("/round/{box}", get(round::show).post(round::note))
        .route("/round/{box}/misfit", post(round::confirm))
        .route("/round/{box}/settle", post(round::settle))
        .route("/round/{box}/undo", post(round::undo))
        .route("/brood", get(brood::choose))
        .route("/brood/{line}", get(brood::show))
        .route("/brood/{line}/calendar.csv", get(brood::calendar))
        .route("/leaf", get(leaf::show))
        .route("/leaf/days.csv", get(leaf::days))
        .route("/odds", get(odds::choose))
        .route("/odds/{line}", get(odds::show))
        .route("/odds/{line}/chance.csv", get(odds::chance))
        .route("/odds/{line}/levers.csv", get(odds::levers))
        .route("/odds/{line}/history.csv", get(odds::history))
        .route("/cocoons", get(cocoons::choose))
        .route("/cocoons/{line}", get(cocoons::show))
        .route("/cocoons/{line}/cocoons.csv", get(cocoons::table))
        .route("/lines", get(lines::show))
        .route("/pairings", get(pairings::show))
        .route("/pairings/tonight.csv", get(pairings::tonight))
        .route("/pairings/{deed}", post(pairings::act))
        .route("/trouble", get(trouble::show))
        .route("/trouble/losses.csv", get(trouble::losses))
        .route("/theme", post(theme::choose))
        .route("/static/{file}", get(statics::file))
        .route("/favicon.ico", get(statics::favicon))
        .fallback(no_page)
        .method_not_allowed_fallback(no_such_deed)
        .layer(DefaultBodyLimit::max(FORM_BYTES_MAX))
        .with_state(Books::of(keeper));
    shield::around(pages).layer(CompressionLayer::new())
}

/// Serves the pages until the program is told to stop.
///
/// # Errors
/// If the listener fails.
pub async fn serve(listener: TcpListener, keeper: Arc<Keeper>) -> std::io::Result<()> {
    axum::serve(listener, router(keeper)).with_graceful_shutdown(stop()).await
}

async fn stop() {
    // Without a signal handler the program is stopped the hard way; the book bears that.
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
}

/// Asks the keeper away from the threads that serve the network.
///
/// # Errors
/// A page that says so, if the answer broke off.
pub async fn ask<T: Send + 'static>(
    visit: &Visit,
    keeper: &Arc<Keeper>,
    question: impl FnOnce(&Keeper) -> T + Send + 'static,
) -> Result<T, Response> {
    let keeper = Arc::clone(keeper);
    tokio::task::spawn_blocking(move || question(&keeper))
        .await
        .map_err(|_| broke_off(visit, &Typed::default()))
}

/// The fields of a form, or the page that says why it could not be read.
///
/// # Errors
/// A page with status 400, 413, 415 or 422.
pub fn fields(
    visit: &Visit,
    form: Result<Form<Vec<(String, String)>>, FormRejection>,
) -> Result<Typed, Box<Response>> {
    match form {
        Ok(Form(fields)) => Ok(Typed(fields)),
        Err(rejection) => {
            let page = oops::page(
                visit,
                &Oops {
                    happened: "This form could not be read.",
                    saved: "Nothing was saved.",
                    to_do: "Open the page of the box again and note it once more.",
                    typed: &Typed::default(),
                },
            );
            Err(Box::new((rejection.status(), page).into_response()))
        }
    }
}

/// A page, never kept by the browser: the next look must be a fresh one.
#[must_use]
pub fn page(status: StatusCode, markup: Markup) -> Response {
    (status, [(CACHE_CONTROL, "no-store")], markup).into_response()
}

/// The book could not be read.
#[must_use]
pub fn failed(visit: &Visit, failure: &Failure, typed: &Typed) -> Response {
    let says = format!("The book could not be read: {failure}.");
    let markup = oops::page(
        visit,
        &Oops {
            happened: &says,
            saved: "Nothing was changed by this visit. What was noted before is still in the book.",
            to_do: "Try once more. If it stays so, stop the program, run \u{201c}cocoonery check\u{201d}, and keep a copy of the book's folder before anything else.",
            typed,
        },
    );
    page(StatusCode::INTERNAL_SERVER_ERROR, markup)
}

/// An answer that never came.
#[must_use]
pub fn broke_off(visit: &Visit, typed: &Typed) -> Response {
    let markup = oops::page(
        visit,
        &Oops {
            happened: "The answer broke off: a fault in the program.",
            saved: "It is not sure whether the last note was saved: look at the box before you note it again.",
            to_do: "Go to this morning's page and try once more.",
            typed,
        },
    );
    page(StatusCode::INTERNAL_SERVER_ERROR, markup)
}

/// Nothing of that name is in the book.
#[must_use]
pub fn unknown(visit: &Visit, what: &str, typed: &Typed) -> Response {
    page(StatusCode::NOT_FOUND, oops::not_here(visit, what, typed))
}

/// To another page, by GET.
#[must_use]
pub fn see_other(path: &str) -> Response {
    // Every path comes from `url`, which lets through printable ASCII only.
    let location = HeaderValue::from_str(path).unwrap_or(HeaderValue::from_static("/"));
    (StatusCode::SEE_OTHER, [(LOCATION, location)]).into_response()
}

/// Sets a cookie on a response.
#[must_use]
pub fn with_cookie(mut response: Response, name: &str, value: &str, age_s: u64) -> Response {
    let cookie = format!("{name}={value}; Path=/; Max-Age={age_s}; HttpOnly; SameSite=Strict");
    if let Ok(cookie) = HeaderValue::from_str(&cookie) {
        response.headers_mut().append(SET_COOKIE, cookie);
    }
    response
}

/// What was said is shown once.
#[must_use]
pub fn said_once(visit: &Visit, response: Response) -> Response {
    if visit.said.is_some() { with_cookie(response, "said", "", 0) } else { response }
}

/// A table to take away.
#[must_use]
pub fn csv(name: &str, table: &Table) -> Response {
    let headers = [
        (CONTENT_TYPE, "text/csv; charset=utf-8; header=present".to_owned()),
        (CONTENT_DISPOSITION, format!("attachment; filename=\"{name}.csv\"")),
        (CACHE_CONTROL, "no-store".to_owned()),
    ];
    (headers, table.to_csv()).into_response()
}

/// The answer for a script.
#[must_use]
pub fn as_json(status: StatusCode, saved: bool, says: &[String], go: &str) -> Response {
    let body = serde_json::json!({ "saved": saved, "says": says, "go": go });
    (status, [(CACHE_CONTROL, "no-store")], Json(body)).into_response()
}

/// The entries that a form wants undone; `None` if it names none, or something else.
fn ids_of(typed: &Typed) -> Option<Vec<Uuid>> {
    let ids = typed.0.iter().filter(|(field, _)| field == "id").take(UNDO_MAX);
    let ids: Option<Vec<Uuid>> = ids.map(|(_, id)| id.parse().ok()).collect();
    ids.filter(|it| !it.is_empty())
}

/// Sets entries aside, the newest first.
fn undo_all(keeper: &Keeper, ids: Vec<Uuid>) -> Result<Saved, NotNoted> {
    let mut undone = Saved { says: Vec::new(), ids: Vec::new(), misfit: false };
    for id in ids.into_iter().rev() {
        match keeper.undo(id) {
            Ok(saved) => undone.says.extend(saved.says),
            // What was undone before stays undone, and the page says so.
            Err(NotNoted::Refused(why)) if !undone.says.is_empty() => {
                undone.says.push(format!("but not all: {why}"));
                return Ok(undone);
            }
            Err(no) => return Err(no),
        }
    }
    Ok(undone)
}

async fn no_page(visit: Visit) -> Response {
    unknown(&visit, "There is no such page.", &Typed::default())
}

async fn no_such_deed(visit: Visit) -> Response {
    let markup = oops::not_here(&visit, "This page does not take that.", &Typed::default());
    page(StatusCode::METHOD_NOT_ALLOWED, markup)
}
