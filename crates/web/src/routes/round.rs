//! `/round/{box}`

use super::{ask, broke_off, failed, fields, page, said_once, see_other, unknown, with_cookie};
use crate::read::round::{self as read, Go};
use crate::typed::{Complaint, Typed};
use crate::url;
use crate::views::round::{self as views, Round};
use crate::visit::{Said, Visit};
use axum::extract::{Form, Path, Query, State, rejection::FormRejection};
use axum::http::StatusCode;
use axum::response::Response;
use keeper::view::round::{BoxRound, Saved};
use keeper::{Failure, Keeper, NotNoted};
use std::sync::Arc;
use uuid::Uuid;

/// How long the words about a note wait for the next page.
const SAID_AGE_S: u64 = 60;
/// More entries than this do not come from one note.
const UNDO_MAX: usize = 400;

type FormResult = Result<Form<Vec<(String, String)>>, FormRejection>;

/// One box, opened.
pub async fn show(
    State(keeper): State<Arc<Keeper>>,
    Path(name): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
    visit: Visit,
) -> Response {
    let again = Typed(asked).word("again") == "yes";
    match look(&visit, &keeper, name.clone()).await {
        Ok(Ok(Some((view, id)))) => {
            let round =
                Round { view: &view, id, typed: &Typed::default(), complaints: &[], after: "", again };
            said_once(&visit, page(StatusCode::OK, views::page(&visit, &round)))
        }
        Ok(Ok(None)) => no_box(&visit, &name, &Typed::default()),
        Ok(Err(failure)) => failed(&visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}

/// What was done at one box.
pub async fn note(
    State(keeper): State<Arc<Keeper>>,
    Path(name): Path<String>,
    visit: Visit,
    form: FormResult,
) -> Response {
    let visit = back_at(visit, &name);
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let (view, id) = match look(&visit, &keeper, name.clone()).await {
        Ok(Ok(Some(seen))) => seen,
        Ok(Ok(None)) => return no_box(&visit, &name, &typed),
        Ok(Err(failure)) => return failed(&visit, &failure, &typed),
        Err(_) => return broke_off(&visit, &typed),
    };
    let round = Again { visit: &visit, view: &view, id, typed: &typed };
    let read = match read::read(&view, &typed) {
        Ok(read) => read,
        Err(complaints) => return round.show(StatusCode::UNPROCESSABLE_ENTITY, &complaints, ""),
    };
    let Some(note) = read.note else { return see_other(&onward(&view, read.go, false)) };
    match ask(&visit, &keeper, move |keeper| keeper.note_round(&name, &note)).await {
        Ok(Ok(saved)) => noted(&view.name, &saved, &onward(&view, read.go, saved.misfit)),
        Ok(Err(no)) => round.not_noted(&no),
        Err(_) => broke_off(&visit, &typed),
    }
}

/// "Yes, so it is": the smallest explanation of a misfit is noted.
pub async fn confirm(State(keeper): State<Arc<Keeper>>, Path(name): Path<String>, visit: Visit) -> Response {
    let asked = name.clone();
    act(&keeper, &name, visit, move |keeper| keeper.confirm_misfit(&asked)).await
}

/// Sets one or more entries of today aside, the newest first.
pub async fn undo(
    State(keeper): State<Arc<Keeper>>,
    Path(name): Path<String>,
    visit: Visit,
    form: FormResult,
) -> Response {
    let visit = back_at(visit, &name);
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let ids: Option<Vec<Uuid>> = typed
        .0
        .iter()
        .filter(|(field, _)| field == "id")
        .take(UNDO_MAX)
        .map(|(_, id)| id.parse().ok())
        .collect();
    let Some(ids) = ids.filter(|it| !it.is_empty()) else {
        return unknown(&visit, "It is not said which note is to be undone.", &typed);
    };
    act(&keeper, &name, visit, move |keeper| {
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
    })
    .await
}

/// Does something at a box that needs no form, and shows the box again.
async fn act(
    keeper: &Arc<Keeper>,
    name: &str,
    visit: Visit,
    deed: impl FnOnce(&Keeper) -> Result<Saved, NotNoted> + Send + 'static,
) -> Response {
    let visit = back_at(visit, name);
    let nothing = Typed::default();
    match ask(&visit, keeper, deed).await {
        Ok(Ok(saved)) => noted(name, &saved, &url::round(name)),
        Ok(Err(no)) => match look(&visit, keeper, name.to_owned()).await {
            Ok(Ok(Some((view, id)))) => {
                Again { visit: &visit, view: &view, id, typed: &nothing }.not_noted(&no)
            }
            Ok(Ok(None)) => no_box(&visit, name, &nothing),
            Ok(Err(failure)) => failed(&visit, &failure, &nothing),
            Err(response) => response,
        },
        Err(_) => broke_off(&visit, &nothing),
    }
}

/// After a POST the address to come back to is that of the box.
fn back_at(visit: Visit, name: &str) -> Visit {
    Visit { path: url::round(name), said: None, ..visit }
}

async fn look(
    visit: &Visit,
    keeper: &Arc<Keeper>,
    name: String,
) -> Result<Result<Option<(BoxRound, Uuid)>, Failure>, Response> {
    ask(visit, keeper, move |keeper| Ok(keeper.box_round(&name)?.map(|view| (view, keeper.fresh_id())))).await
}

fn no_box(visit: &Visit, name: &str, typed: &Typed) -> Response {
    unknown(visit, &format!("There is no open box \u{201c}{name}\u{201d} in the book."), typed)
}

/// Where to go after a note: a count that does not fit is looked at first.
fn onward(view: &BoxRound, go: Go, misfit: bool) -> String {
    match (go, misfit, &view.next) {
        (Go::Stay, _, _) | (_, true, _) => url::round(&view.name),
        (Go::Next, false, Some(next)) => url::round(next),
        (Go::Next, false, None) => "/".to_owned(),
    }
}

fn noted(name: &str, saved: &Saved, to: &str) -> Response {
    let said = Said { box_name: name.to_owned(), says: saved.says.clone(), ids: saved.ids.clone() };
    with_cookie(see_other(to), "said", &said.to_cookie(), SAID_AGE_S)
}

/// The form again, with everything that was typed.
struct Again<'a> {
    visit: &'a Visit,
    view: &'a BoxRound,
    id: Uuid,
    typed: &'a Typed,
}

impl Again<'_> {
    fn show(&self, status: StatusCode, complaints: &[Complaint], after: &str) -> Response {
        let round =
            Round { view: self.view, id: self.id, typed: self.typed, complaints, after, again: false };
        page(status, views::page(self.visit, &round))
    }

    fn not_noted(&self, no: &NotNoted) -> Response {
        match no {
            NotNoted::Refused(why) => {
                let complaint =
                    Complaint { field: String::new(), says: format!("{}.", crate::words::upper_first(why)) };
                self.show(StatusCode::UNPROCESSABLE_ENTITY, &[complaint], "")
            }
            NotNoted::Failed(failure) => {
                let complaint = Complaint {
                    field: String::new(),
                    says: format!("The book could not be written: {failure}."),
                };
                let after = "Nothing was saved. All you typed is still here: note it once more. If it stays so, stop the program and run \u{201c}cocoonery check\u{201d}.";
                self.show(StatusCode::INTERNAL_SERVER_ERROR, &[complaint], after)
            }
        }
    }
}
