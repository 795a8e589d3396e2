//! `/pairings`: who should meet whom tonight, and what became of earlier pairings.

use super::layout::{Here, Page};
use super::parts;
use crate::csv::Table;
use crate::visit::Visit;
use crate::words;
use keeper::view::pairings::{Candidate, FemaleTonight, MothTonight, PairingRow, Pairings};
use maud::{Markup, html};

/// Males that stand open under a female; the others are folded away.
const OPEN: usize = 3;

/// The night, the females with their males, the others, what was noted.
#[must_use]
pub fn page(visit: &Visit, view: &Pairings) -> Markup {
    let today = view.now.date();
    Page {
        visit,
        here: Here::Elsewhere,
        title: "Pairing tonight",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { "Pairing tonight" } p.question { (words::upper_first(&view.night)) } p.say.large { (view.says) } }
            @if !view.hours.is_empty() {
                section {
                    h2 { "When" }
                    ul.air { @for hour in &view.hours {
                        li {
                            b { (words::upper_first(&hour.kind)) } span { (hour.says) }
                            @if hour.custom { span.soft { "custom, nobody has measured it" } }
                            @if !hour.sun.is_empty() { span.soft { (hour.sun) } }
                        }
                    } }
                }
            }
            @for female in &view.females { (one_female(view, female)) }
            (parts::cautions(&view.cautions))
            @if !view.laying.is_empty() { section { h2 { "Laying" } (moths(view, &view.laying)) } }
            @if !view.males.is_empty() { section { h2 { "Males alive" } (moths(view, &view.males)) } }
            @if view.unnamed > 0 { p.soft { (words::count(view.unnamed as usize, "moth", "moths")) " without a name: name moths as they come out, then they stand here too." } }
            @if !view.noted.is_empty() {
                section { h2 { "Noted so far" } @for row in &view.noted { (noted(today, row)) } }
            }
            @if !view.females.is_empty() {
                details.numbers {
                    summary { "Numbers" span.away { " of all possible pairs" } }
                    (crate::charts::table("All possible pairs of tonight", &table(view)))
                    p { a.pick href="/pairings/tonight.csv" { "Take these numbers as CSV" } }
                }
            }
            (parts::rests_on(&view.rests_on, &view.receipt))
        },
    }
    .show()
}

fn one_female(view: &Pairings, female: &FemaleTonight) -> Markup {
    let today = view.now.date();
    let (open, folded) = female.males.split_at(female.males.len().min(OPEN));
    let first = female.tonight.as_deref();
    html! {
        section aria-label={ "Female " (female.moth.moth) } {
            h2 { (female.moth.moth) }
            p.soft { (female.moth.line) ", came out on " (words::day_seen_from(today, female.moth.out_on)) ", " (female.moth.says) }
            @for tried in &female.tried { p.soft { (tried) } }
            @if !female.options.is_empty() {
                p.say { "No male is alive." }
                ol.reasons { @for option in &female.options { li { (option) } } }
            }
            @if !open.is_empty() { ol.reasons { @for male in open { li { (candidate(male, first)) } } } }
            @if !folded.is_empty() {
                details { summary { (words::count(folded.len(), "more male", "more males")) span.away { " for " (female.moth.moth) } }
                    ol.reasons start=(OPEN + 1) { @for male in folded { li { (candidate(male, first)) } } }
                }
            }
        }
    }
}

fn candidate(male: &Candidate, first: Option<&str>) -> Markup {
    html! {
        b { (male.male) } @if first == Some(male.male.as_str()) { " for tonight" }
        br; (words::upper_first(&male.kinship)) "."
        br; span.soft { (male.line) "; " (male.because) }
    }
}

fn moths(view: &Pairings, moths: &[MothTonight]) -> Markup {
    let today = view.now.date();
    html! {
        dl.lots { @for it in moths {
            div.lot { dt { (it.moth) } dd { (it.line) ", out " (words::day_seen_from(today, it.out_on)) } }
            div { dt { "nights" } dd { (it.says) } }
            div { dt { "paired" } dd { @if it.used.is_empty() { "not yet" } @else { (words::listed(&it.used, "and")) } } }
            @if !it.lives_in.is_empty() { div { dt { "in" } dd { (it.lives_in) } } }
        } }
    }
}

fn noted(today: jiff::civil::Date, row: &PairingRow) -> Markup {
    html! {
        dl.lots aria-label={ "Pairing " (row.pairing) } {
            div.lot { dt { (row.pairing) } dd { (row.took) } }
            div { dt { "pair" } dd { (row.female) " with " (row.male) ", " (words::day_seen_from(today, row.on)) } }
            @if !row.method.is_empty() { div { dt { "how" } dd { (row.method) } } }
            @for (on, eggs) in &row.laid { div { dt { "eggs" } dd { (eggs) " by " (words::day_seen_from(today, *on)) } } }
            @if !row.mother_check.is_empty() { div { dt { "mother" } dd { (row.mother_check) } } }
            @if !row.hatch.is_empty() { div { dt { "hatch" } dd { (row.hatch) } } }
        }
    }
}

/// All possible pairs of tonight as a table.
#[must_use]
pub fn table(view: &Pairings) -> Table {
    let share = |it: Option<f64>| it.map_or_else(String::new, |it| words::plain(it, 4));
    let row = |female: &FemaleTonight, male: &Candidate| {
        vec![
            female.moth.moth.clone(),
            male.male.clone(),
            male.line.clone(),
            share(male.inbreeding.map(|(low, _)| low)),
            share(male.inbreeding.map(|(_, high)| high)),
            if female.tonight.as_deref() == Some(male.male.as_str()) { "yes" } else { "" }.to_owned(),
            male.because.clone(),
        ]
    };
    Table {
        head: vec!["female", "male", "line", "inbreeding_least", "inbreeding_most", "for_tonight", "because"],
        rows: view.females.iter().flat_map(|it| it.males.iter().map(move |male| row(it, male))).collect(),
    }
}
