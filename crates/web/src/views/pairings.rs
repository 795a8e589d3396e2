//! `/pairings`: who should meet whom tonight, and what became of earlier pairings.

use super::begin::text;
use super::layout::{Here, Page};
use super::parts;
use super::round_chips::{self as chips, Choice};
use crate::csv::Table;
use crate::typed::{Complaint, Typed};
use crate::visit::Visit;
use crate::words;
use keeper::view::pairings::{Candidate, FemaleTonight, MothTonight, PairingRow, Pairings};
use maud::{Markup, html};
use uuid::Uuid;

/// How a pairing can be tried.
const WAYS: [&str; 4] = ["cage overnight", "by hand", "tied out for a wild male", "cage outside"];
/// The word for a pairing of which nobody has told whether it took.
const NOT_TOLD: &str = "not told yet";
/// Males that stand open under a female; the others are folded away.
const OPEN: usize = 3;

/// The night, the females with their males, the others, what was noted.
#[must_use]
pub fn page(visit: &Visit, view: &Pairings, id: Uuid, typed: &Typed, complaints: &[Complaint]) -> Markup {
    let forms = Forms { id, typed, looking: visit.looking };
    let today = view.now.date();
    Page {
        visit,
        here: Here::Elsewhere,
        title: "Pairing tonight",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { "Pairing tonight" } p.question { (words::upper_first(&view.night)) } p.say.large { (view.says) } }
            (parts::complaints(complaints))
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
            @for female in &view.females { (one_female(view, female, &forms)) }
            (parts::cautions(&view.cautions))
            @if !view.laying.is_empty() { section { h2 { "Laying" } (moths(view, &view.laying)) } }
            @if !view.males.is_empty() { section { h2 { "Males alive" } (moths(view, &view.males)) } }
            @if view.unnamed > 0 { p.soft { (words::count(view.unnamed as usize, "moth", "moths")) " without a name: name moths as they come out, then they stand here too." } }
            @if !view.noted.is_empty() {
                section { h2 { "Noted so far" } @for row in &view.noted { (noted(today, row, &forms)) } }
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

fn one_female(view: &Pairings, female: &FemaleTonight, forms: &Forms<'_>) -> Markup {
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
            (forms.pair(female))
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

fn noted(today: jiff::civil::Date, row: &PairingRow, forms: &Forms<'_>) -> Markup {
    html! {
        dl.lots aria-label={ "Pairing " (row.pairing) } {
            div.lot { dt { (row.pairing) } dd { (row.took) } }
            div { dt { "pair" } dd { (row.female) " with " (row.male) ", " (words::day_seen_from(today, row.on)) } }
            @if !row.method.is_empty() { div { dt { "how" } dd { (row.method) } } }
            @for (on, eggs) in &row.laid { div { dt { "eggs" } dd { (eggs) " by " (words::day_seen_from(today, *on)) } } }
            @if !row.mother_check.is_empty() { div { dt { "mother" } dd { (row.mother_check) } } }
            @if !row.hatch.is_empty() { div { dt { "hatch" } dd { (row.hatch) } } }
        }
        (forms.later(row))
    }
}

/// The small forms of the board. Each works with scripts off and comes back with what was typed.
struct Forms<'a> {
    id: Uuid,
    typed: &'a Typed,
    looking: bool,
}

impl Forms<'_> {
    fn hidden(&self) -> Markup {
        let id = self.typed.get("id").map_or_else(|| self.id.to_string(), str::to_owned);
        html! { input type="hidden" name="id" value=(id); }
    }

    /// Who was put to her, how, and whether they took.
    fn pair(&self, female: &FemaleTonight) -> Markup {
        let nothing = Typed::default();
        let mine = self.typed.word("female") == female.moth.moth;
        let typed = if mine { self.typed } else { &nothing };
        let plain = |word: &str| Choice::new(word.to_owned(), word.to_owned());
        let males: Vec<Choice> = female.males.iter().map(|it| plain(&it.male)).collect();
        let ways: Vec<Choice> = WAYS.iter().map(|it| plain(it)).collect();
        let outcomes: Vec<Choice> = [("later", "not known yet"), ("yes", "took"), ("no", "did not take")]
            .iter()
            .map(|(value, words)| Choice::new((*value).to_owned(), (*words).to_owned()))
            .collect();
        html! {
            @if !self.looking {
                details open[mine] {
                    summary { "Note a pairing of " (female.moth.moth) }
                    form.work method="post" action="/pairings/pair" {
                        (self.hidden())
                        input type="hidden" name="female" value=(female.moth.moth);
                        @if !males.is_empty() { (chips::words(typed, "male", "Which male?", female.tonight.as_deref().unwrap_or(""), &males)) }
                        (text(typed, "male_or", "Another male, in words", "", 40))
                        (chips::words(typed, "method", "How?", WAYS[0], &ways))
                        (chips::words(typed, "took", "Did they take?", "later", &outcomes))
                        div.act-bar { button.go { "Note it" } }
                    }
                }
            }
        }
    }

    /// What is told of a pairing afterwards.
    fn later(&self, row: &PairingRow) -> Markup {
        let nothing = Typed::default();
        let mine = self.typed.word("pairing") == row.pairing;
        let typed = if mine { self.typed } else { &nothing };
        let pairing = html! { (self.hidden()) input type="hidden" name="pairing" value=(row.pairing); };
        html! {
            @if !self.looking {
                details open[mine] {
                    summary { "Note more of " (row.pairing) }
                    @if row.took == NOT_TOLD {
                        form.work method="post" action="/pairings/took" {
                            (pairing)
                            div.pair { button name="took" value="yes" { "Took" } button name="took" value="no" { "Did not take" } }
                        }
                    }
                    form.work method="post" action="/pairings/laid" { (pairing) (number(typed, "eggs", "Eggs found now")) button { "Note the eggs" } }
                    @if !row.laid.is_empty() {
                        form.work method="post" action="/pairings/hatched" { (pairing) (number(typed, "hatched", "Hatched in all")) button { "Note the hatch" } }
                    }
                }
            }
        }
    }
}

fn number(typed: &Typed, name: &str, words: &str) -> Markup {
    html! { label.field { span { (words) } input type="text" inputmode="numeric" autocomplete="off" name=(name) size="6" value=(typed.get(name).unwrap_or("")); } }
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
