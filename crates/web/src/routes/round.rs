//! `/round/{box}`

use super::{
    SAID_AGE_S, as_json, ask, broke_off, failed, fields, ids_of, page, said_once, see_other, undo_all,
    unknown, with_cookie,
};
use crate::book::Book;
use crate::read::round::{self as read, Go};
use crate::typed::{Complaint, Typed};
use crate::url;
use crate::views::round::{self as views, Round};
use crate::visit::{Said, Visit};
use axum::extract::{Form, Path, Query, rejection::FormRejection};
use axum::http::StatusCode;
use axum::response::Response;
use keeper::view::round::{BoxRound, Saved};
use keeper::{Failure, Keeper, NotNoted};
use std::sync::Arc;
use uuid::Uuid;

type FormResult = Result<Form<Vec<(String, String)>>, FormRejection>;

/// One box, opened.
pub async fn show(
    Book(keeper): Book,
    Path(name): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
    visit: Visit,
) -> Response {
    let again = Typed(asked).word("again") == "yes";
    match look(&visit, &keeper, name.clone()).await {
        Ok(Ok(Some((view, id)))) => {
            let round = Round {
                view: &view,
                id,
                typed: &Typed::default(),
                complaints: &[],
                after: "",
                again,
                whole: false,
            };
            said_once(&visit, page(StatusCode::OK, views::page(&visit, &round)))
        }
        Ok(Ok(None)) => no_box(&visit, &name, &Typed::default()),
        Ok(Err(failure)) => failed(&visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}

/// Every box on one page.
pub async fn all(Book(keeper): Book, visit: Visit) -> Response {
    let look = |keeper: &Keeper| {
        keeper.whole_round().map(|view| {
            let ids: Vec<Uuid> = view.boxes.iter().map(|_| keeper.fresh_id()).collect();
            (view, ids)
        })
    };
    match ask(&visit, &keeper, look).await {
        Ok(Ok((view, ids))) => {
            said_once(&visit, page(StatusCode::OK, crate::views::round_whole::page(&visit, &view, &ids)))
        }
        Ok(Err(failure)) => failed(&visit, &failure, &Typed::default()),
        Err(response) => response,
    }
}

/// What was done at one box.
pub async fn note(Book(keeper): Book, Path(name): Path<String>, visit: Visit, form: FormResult) -> Response {
    let visit = back_at(visit, &name);
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let (asked, sent) = (name.clone(), typed.clone());
    let done = match ask(&visit, &keeper, move |keeper| take(keeper, &asked, &sent)).await {
        Ok(done) => done,
        Err(_) => return broke_off(&visit, &typed),
    };
    if visit.script {
        return told(&done, &name);
    }
    let no = match done {
        Taken::Saved { saved, to } => return noted(&name, &saved, &to),
        Taken::Nothing { to } => return see_other(&to),
        Taken::NoBox => return no_box(&visit, &name, &typed),
        Taken::Not(no) => no,
    };
    let (view, id) = match look(&visit, &keeper, name.clone()).await {
        Ok(Ok(Some(seen))) => seen,
        Ok(Ok(None)) => return no_box(&visit, &name, &typed),
        Ok(Err(failure)) => return failed(&visit, &failure, &typed),
        Err(_) => return broke_off(&visit, &typed),
    };
    let round = Again { visit: &visit, view: &view, id, typed: &typed };
    match no {
        NotTaken::Unread(complaints) => round.show(StatusCode::UNPROCESSABLE_ENTITY, &complaints, ""),
        NotTaken::NotNoted(no) => round.not_noted(&no),
    }
}

/// What became of a form.
pub(super) enum Taken {
    /// It is in the book.
    Saved {
        /// What was noted.
        saved: Saved,
        /// Where to go on.
        to: String,
    },
    /// There was nothing to note.
    Nothing {
        /// Where to go on.
        to: String,
    },
    /// There is no such open box.
    NoBox,
    /// It is not in the book.
    Not(NotTaken),
}

/// Why a form was not taken.
pub(super) enum NotTaken {
    /// It could not be read, or cannot be meant.
    Unread(Vec<Complaint>),
    /// A rule or the disk said no.
    NotNoted(NotNoted),
}

impl From<NotNoted> for Taken {
    fn from(no: NotNoted) -> Self {
        Taken::Not(NotTaken::NotNoted(no))
    }
}

/// Reads a form against the box as its page showed it, and notes it.
pub(super) fn take(keeper: &Keeper, name: &str, typed: &Typed) -> Taken {
    let slip = match crate::read::slip::read(keeper, typed) {
        Ok(slip) => slip,
        Err(complaint) => return Taken::Not(NotTaken::Unread(vec![complaint])),
    };
    let view = match keeper.box_as_seen(name, &slip) {
        Ok(Some(view)) => view,
        Ok(None) => return Taken::NoBox,
        Err(failure) => return NotNoted::Failed(failure).into(),
    };
    let whole = typed.word("from") == "all";
    let read = match read::read(&view, typed) {
        Ok(read) => read,
        Err(complaints) => return Taken::Not(NotTaken::Unread(complaints)),
    };
    let Some(note) = read.note else { return Taken::Nothing { to: onward(&view, read.go, false, whole) } };
    match keeper.note_slip(name, &note, &slip) {
        Ok(saved) => {
            let to = onward(&view, read.go, saved.misfit, whole);
            Taken::Saved { saved, to }
        }
        Err(no) => no.into(),
    }
}

/// The answer for a script: saved or not, in the same sentences, and where to go.
fn told(done: &Taken, name: &str) -> Response {
    let back = url::round(name);
    match done {
        Taken::Saved { saved, to } => {
            let said = Said::at_box(name, saved);
            with_cookie(as_json(StatusCode::OK, true, &saved.says, to), "said", &said.to_cookie(), SAID_AGE_S)
        }
        Taken::Nothing { to } => as_json(StatusCode::OK, true, &["nothing to note".to_owned()], to),
        Taken::NoBox => {
            let says =
                [format!("There is no open box \u{201c}{name}\u{201d} in the book. Nothing was saved.")];
            as_json(StatusCode::NOT_FOUND, false, &says, "/boxes")
        }
        Taken::Not(no) => {
            let (status, says) = no.in_words();
            as_json(status, false, &says, &back)
        }
    }
}

impl NotTaken {
    /// The status and the sentences.
    pub(super) fn in_words(&self) -> (StatusCode, Vec<String>) {
        match self {
            NotTaken::Unread(complaints) => {
                (StatusCode::UNPROCESSABLE_ENTITY, complaints.iter().map(|it| it.says.clone()).collect())
            }
            NotTaken::NotNoted(NotNoted::Refused(why)) => {
                (StatusCode::UNPROCESSABLE_ENTITY, vec![format!("{}.", crate::words::upper_first(why))])
            }
            NotTaken::NotNoted(NotNoted::Failed(failure)) => (
                StatusCode::INTERNAL_SERVER_ERROR,
                vec![format!("The book could not be written: {failure}.")],
            ),
        }
    }
}

/// "Yes, so it is": the smallest explanation of a misfit is noted.
pub async fn confirm(Book(keeper): Book, Path(name): Path<String>, visit: Visit) -> Response {
    let asked = name.clone();
    act(&keeper, &name, visit, move |keeper| keeper.confirm_misfit(&asked)).await
}

/// "So many came": a guess is settled by the count.
pub async fn settle(Book(keeper): Book, Path(name): Path<String>, visit: Visit) -> Response {
    let asked = name.clone();
    act(&keeper, &name, visit, move |keeper| keeper.settle_guess(&asked)).await
}

/// Sets one or more entries of today aside, the newest first.
pub async fn undo(Book(keeper): Book, Path(name): Path<String>, visit: Visit, form: FormResult) -> Response {
    let visit = back_at(visit, &name);
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let Some(ids) = ids_of(&typed) else {
        return unknown(&visit, "It is not said which note is to be undone.", &typed);
    };
    act(&keeper, &name, visit, move |keeper| undo_all(keeper, ids)).await
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
        Ok(Ok(saved)) => {
            let open = ask(&visit, keeper, still_open(name)).await.unwrap_or(true);
            noted(name, &saved, &if open { url::round(name) } else { "/boxes".to_owned() })
        }
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

/// Undoing the opening of a box leaves no box to go back to.
fn still_open(name: &str) -> impl FnOnce(&Keeper) -> bool + Send + 'static + use<> {
    let name = name.to_owned();
    move |keeper| keeper.look().house.open_box(&name).is_ok()
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
fn onward(view: &BoxRound, go: Go, misfit: bool, whole: bool) -> String {
    match (go, misfit, &view.next) {
        (_, true, _) => url::round(&view.name),
        (Go::Stay, false, _) if whole => url::round_part(&view.name),
        (Go::Stay, false, _) => url::round(&view.name),
        (Go::Next, false, Some(next)) if whole => url::round_part(next),
        (Go::Next, false, Some(next)) => url::round(next),
        (Go::Next, false, None) => "/".to_owned(),
    }
}

fn noted(name: &str, saved: &Saved, to: &str) -> Response {
    with_cookie(see_other(to), "said", &Said::at_box(name, saved).to_cookie(), SAID_AGE_S)
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
        let round = Round {
            view: self.view,
            id: self.id,
            typed: self.typed,
            complaints,
            after,
            again: false,
            whole: false,
        };
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
