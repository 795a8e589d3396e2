//! Which line? Only asked when the house keeps more than one.

use super::layout::{Here, Page};
use crate::visit::Visit;
use crate::words;
use keeper::view::lines::Lines;
use maud::{Markup, html};

/// A page with one big way for each line.
#[must_use]
pub fn page(
    visit: &Visit,
    here: Here,
    question: &str,
    lines: &Lines,
    href: impl Fn(&str) -> String,
) -> Markup {
    Page {
        visit,
        here,
        title: question,
        now: Some(lines.now),
        notice: lines.notice.as_deref(),
        body: html! {
            h1 { (question) }
            @if lines.lines.is_empty() { p.say { "There is no line in the book yet." } }
            ul.choose {
                @for line in &lines.lines {
                    li { a href=(href(&line.line)) { b { (line.line) } span.soft { (line.species.0) ", " (words::holds(&line.alive)) } } }
                }
            }
        },
    }
    .show()
}
