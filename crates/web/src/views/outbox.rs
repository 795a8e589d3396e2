//! `/outbox`: notes that wait on this phone for a signal.

use super::layout::{Here, Page};
use super::parts;
use crate::typed::Complaint;
use crate::url;
use crate::visit::Visit;
use maud::{Markup, html};

/// What became of one note that was brought in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BroughtIn {
    /// The box, if it was about one.
    pub box_name: Option<String>,
    /// It is in the book.
    pub saved: bool,
    /// In words.
    pub says: String,
}

/// The page. The list itself is on the phone, so a script fills it in.
#[must_use]
pub fn page(visit: &Visit, brought: &[BroughtIn], text: &str, complaints: &[Complaint]) -> Markup {
    Page {
        visit,
        here: Here::Elsewhere,
        title: "Notes that wait",
        now: None,
        notice: None,
        body: html! {
            header.page-head { h1 { "Notes that wait on this phone" } }
            (parts::complaints(complaints))
            @if !brought.is_empty() { (what_came(brought)) }
            section id="outbox-list" data-outbox-list { p { "Without scripts nothing waits on this phone: every note goes into the book at once, or the page says that it did not." } }
            section {
                h2 { "Bring notes in from a file" }
                p { "A phone that cannot reach this house saves its notes as a file. Choose it here, or paste what is in it. A note that is in the book already is not noted twice." }
                form.work method="post" action="/outbox" {
                    div.if-script id="outbox-file" hidden { label.field { span { "The file" } input type="file" accept=".json,application/json"; } }
                    label.field { span { "Or its text" } textarea name="notes" rows="4" { (text) } }
                    button { "Bring them in" }
                }
            }
        },
    }
    .show()
}

fn what_came(brought: &[BroughtIn]) -> Markup {
    let saved = brought.iter().filter(|it| it.saved).count();
    html! {
        section.noted {
            h2 { (saved) " of " (brought.len()) " are in the book" }
            ul {
                @for it in brought {
                    li {
                        span { @if it.saved { "\u{2713} " } @else { b { "Not taken. " } } (it.says) }
                        @if let Some(name) = it.box_name.as_ref().filter(|_| !it.saved) { a.pick href=(url::round(name)) { "Open " (name) } }
                    }
                }
            }
        }
    }
}
