//! Pieces that several pages share.

use crate::typed::Complaint;
use crate::words;
use jiff::civil::DateTime;
use keeper::view::round::InMoult;
use keeper::view::{LeafRange, Receipt, RestsOn};
use maud::{Markup, html};

/// What the figures rest on: own notes filled, hearsay hollow, each with its words.
#[must_use]
pub fn rests_on(rests: &[RestsOn], receipt: &Receipt) -> Markup {
    html! {
        section.rests id="rests-on" aria-label="What this rests on" {
            details {
                summary { "What this rests on" }
                @if rests.is_empty() { p { "Nothing is named yet." } }
                (rests_list(rests))
            }
            (receipt_line(receipt))
        }
    }
}

/// Claims and judgements with their grades.
#[must_use]
pub fn rests_list(rests: &[RestsOn]) -> Markup {
    html! {
        ul.rests-list {
            @for rest in rests {
                li {
                    (grade_mark(&rest.grade))
                    span { (rest.says) " " span.soft { (grade_words(&rest.grade)) @if !rest.source.is_empty() { ", " (rest.source) } } }
                }
            }
        }
    }
}

/// A filled mark for own notes, half for print, hollow for hearsay, a square for arithmetic and judgement.
fn grade_mark(grade: &str) -> Markup {
    html! {
        svg.grade viewBox="0 0 16 16" width="16" height="16" aria-hidden="true" focusable="false" {
            @match grade {
                "own" => { circle.full cx="8" cy="8" r="6" {} }
                "A" | "B" => { circle cx="8" cy="8" r="6" {} path.full d="M8,2a6,6 0 0 0 0,12z" {} }
                "C" | "D" => { circle cx="8" cy="8" r="6" {} }
                _ => { rect x="3" y="3" width="10" height="10" {} }
            }
        }
    }
}

fn grade_words(grade: &str) -> String {
    match grade {
        "own" => "your own notes".to_owned(),
        "A" => "measured".to_owned(),
        "B" => "review or handbook".to_owned(),
        "C" => "practice".to_owned(),
        "D" => "hearsay or memory".to_owned(),
        "derived" => "worked out from other figures".to_owned(),
        "judgement" => "our judgement".to_owned(),
        other => other.to_owned(),
    }
}

/// Enough to get the same answer again.
#[must_use]
pub fn receipt_line(receipt: &Receipt) -> Markup {
    html! {
        p.receipt {
            "Reckoned by " (receipt.version) ", " (receipt.model) ", from " (words::thousands(receipt.entries))
            " entries and " (words::thousands(u64::from(receipt.runs))) " possible seasons, seed " (receipt.seed) "."
        }
    }
}

/// Cautions at the act itself, each with its mark.
#[must_use]
pub fn cautions(cautions: &[String]) -> Markup {
    html! { @for caution in cautions { p.caution { (caution_mark()) span { span.away { "Caution: " } (caution) } } } }
}

/// Why a form comes back, and that what was typed is still in it.
#[must_use]
pub fn complaints(complaints: &[Complaint]) -> Markup {
    html! {
        @if !complaints.is_empty() {
            div.alert role="alert" {
                @for complaint in complaints { p { b { (complaint.says) } } }
                p { "Nothing was saved. All you typed is still here: mend it and note it again." }
            }
        }
    }
}

/// Where a figure is weaker than it looks.
#[must_use]
pub fn warnings(warnings: &[String]) -> Markup {
    html! {
        @if !warnings.is_empty() {
            section.weaker aria-label="Where this is weaker than it looks" {
                h2 { "Where this is weaker than it looks" }
                ul { @for warning in warnings { li { (warning) } } }
            }
        }
    }
}

/// A brush crossed by a thread: take care.
#[must_use]
pub fn caution_mark() -> Markup {
    html! {
        svg.mark-care viewBox="0 0 20 20" width="20" height="20" aria-hidden="true" focusable="false" {
            path d="M10,2.5L18.5,17.5H1.5Z" {} path d="M10,8v4.5M10,15.2h.01" {}
        }
    }
}

/// `2 are in moult. Leave them on their leaf until about Tuesday morning.`
#[must_use]
pub fn in_moult(now: DateTime, moult: &InMoult) -> Markup {
    // A chance of less than half an animal is nobody to point at.
    if moult.about_n == 0 {
        return html! {};
    }
    let (who, them) = if moult.about_n == 1 { ("is", "it") } else { ("are", "them") };
    let its = if moult.about_n == 1 { "its" } else { "their" };
    html! {
        p.rest-note {
            b { "About " (moult.about_n) " " (words::stage_after(moult.stage, moult.about_n)) " " (who) " in moult." }
            " Leave " (them) " on " (its) " leaf until about " (words::soon(now, moult.until)) "."
        }
    }
}

/// The leaf to cut: enough in 9 of 10 cases, and what would do in half.
#[must_use]
pub fn cut_words(need: &LeafRange) -> String {
    if need.q50.is_finite() && need.q90.is_finite() {
        format!(
            "{}: enough in 9 of 10 cases; {} would do in half.",
            words::grams(need.q90),
            words::grams(need.q50)
        )
    } else {
        "not known yet".to_owned()
    }
}
