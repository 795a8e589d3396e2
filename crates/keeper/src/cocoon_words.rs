//! What the page of the cocoons says of what was found.

use crate::say;
use crate::state::{day_number, noon};
use crate::view::cocoons::{CocoonRow, CocoonState, Store, Together};
use jiff::civil::Date;
use rearing::house::TubWeight;
use science::wintering::{self, DryingAsk, Span, TogetherWatch, watch_together};
use terms::Sex;

/// A chance that is surer than this is said as a sex.
const WORTH_SAYING: f64 = 0.75;

/// `female`, or so many in 20 by weight.
pub(crate) fn sex_in_words(told: Sex, female_chance: Option<f64>) -> String {
    match (told, female_chance) {
        (Sex::Female, _) => "female".to_owned(),
        (Sex::Male, _) => "male".to_owned(),
        (Sex::Unknown, Some(chance)) => {
            let (word, sure) = if chance >= 0.5 { ("female", chance) } else { ("male", 1.0 - chance) };
            let of_twenty = (20.0 * sure).round().clamp(10.0, 19.0);
            if sure >= WORTH_SAYING {
                format!("{word}, about {of_twenty:.0} in 20 by weight")
            } else {
                "sex not known, the weight does not tell".to_owned()
            }
        }
        (Sex::Unknown, None) => "sex not known".to_owned(),
    }
}

/// What was lost, beside the fellows.
pub(crate) fn drying_in_words(span: Span) -> String {
    let days = (span.to_d - span.from_d).round();
    let lost = 100.0 * span.lost;
    match span.fellows_lost {
        Some(fellows) => format!(
            "lost {lost:.1} % in {days:.0} days, the middle of {} fellows {:.1} %",
            span.fellows,
            100.0 * fellows
        ),
        None => format!("lost {lost:.1} % in {days:.0} days, {:.0} times what is usual", span.score),
    }
}

/// The answer in one sentence.
pub(crate) fn in_words(rows: &[CocoonRow], stores: &[Store], unnumbered: u32, rests: bool) -> String {
    let alive = rows.iter().filter(|it| it.state.is_alive()).count();
    if rows.is_empty() && unnumbered == 0 {
        return "No cocoon of this line is in the book.".to_owned();
    }
    if alive == 0 && unnumbered == 0 {
        return "No cocoon of this line is left: they came out, or went by a named way.".to_owned();
    }
    let drying: Vec<String> =
        rows.iter().filter(|it| it.state == CocoonState::Drying).map(|it| it.cocoon.clone()).collect();
    let warm: Vec<&Store> = stores.iter().filter(|it| it.rings).collect();
    let mut says = match drying.as_slice() {
        [] => String::new(),
        [one] => format!("{one} is drying out. "),
        many => format!("{} are drying out. ", say::list(many)),
    };
    if let Some(store) = warm.first() {
        says.push_str(&format!("It is too warm in the {}. ", store.place));
    }
    let others = alive.saturating_sub(drying.len()) + unnumbered as usize;
    let never = rows.iter().filter(|it| it.state.is_alive() && it.fellows == 0).count();
    let unwatched =
        rows.iter().filter(|it| it.state.is_alive() && it.last_weighed.is_some() && it.lost.is_none());
    let unwatched = if rests && never < alive { unwatched.count() } else { 0 };
    let over = rows.iter().filter(|it| it.state == CocoonState::LyingOver).count();
    says.push_str(&match (others, drying.is_empty()) {
        (0, _) => String::new(),
        (n, true) if !rests => format!("{}.", say::count(n, "cocoon is alive", "cocoons are alive")),
        (n, true) if never == alive => format!(
            "{}: nobody has weighed them twice, so nothing tells how they winter.",
            say::count(n, "cocoon is here", "cocoons are here")
        ),
        (n, true) => format!("{}; none dries out.", say::count(n, "cocoon is alive", "cocoons are alive")),
        (n, false) => {
            format!("{} as they should.", say::count(n, "other keeps its weight", "others keep their weight"))
        }
    });
    if unwatched > 0 {
        says.push_str(&format!(
            " Nothing is known of {} that could not be compared.",
            say::count(unwatched, "cocoon", "cocoons")
        ));
    }
    if over > 0 {
        says.push_str(&format!(" {} over to another spring.", say::count(over, "lies", "lie")));
    }
    says.trim().to_owned()
}

/// What to do first, the store before the cocoon.
pub(crate) fn first(rows: &[CocoonRow], stores: &[Store], together: &[Together]) -> Vec<String> {
    let mut first = Vec::new();
    for tub in together.iter().filter(|it| it.drying) {
        first.push(format!(
            "All of {} lose too much: the air there is too dry, or a mark on the scale was misread. Weigh again, then each by itself.",
            tub.name
        ));
    }
    for store in stores.iter().filter(|it| it.rings) {
        first.push(format!(
            "In the {}: shut the door, let it cool slowly, read the thermometer again this evening, and look at each cocoon for mould or a moth that stirs.",
            store.place
        ));
    }
    let dry: Vec<String> =
        rows.iter().filter(|it| it.state == CocoonState::Drying).map(|it| it.cocoon.clone()).collect();
    if !dry.is_empty() {
        first.push(format!(
            "{}: weigh again, then hold to the ear and shake gently. Light and rattling is dead; heavy and still is alive. Lay a living one over damp moss, not on it, in the same cold, and weigh it weekly.",
            say::list(&dry)
        ));
    }
    let soft: Vec<String> =
        rows.iter().filter(|it| it.state == CocoonState::Fresh).map(|it| it.cocoon.clone()).collect();
    match soft.len() {
        0 => {}
        1..=6 => first.push(format!("Leave {} alone: a soft pupa bleeds.", say::list(&soft))),
        n => first.push(format!(
            "Leave {n} fresh cocoons alone: a soft pupa bleeds. Each says below from when it is safe."
        )),
    }
    first
}

/// Cautions at the act itself.
pub(crate) fn cautions(rows: &[CocoonRow]) -> Vec<String> {
    let mut cautions = Vec::new();
    if rows.iter().any(|it| it.state.is_alive()) {
        cautions.push("Do not sniff at mould. A cocoon with mould through the shell goes out of the house in a closed bag.".to_owned());
        cautions.push(
            "In a refrigerator: a closed, labelled tub, never among open food, never in the freezer by mistake."
                .to_owned(),
        );
        cautions.push("If you open a cocoon, cut away from the pupa and away from yourself.".to_owned());
    }
    cautions
}

/// What the weighings of a tub say: its last against the first of as many cocoons.
pub(crate) fn together_in_words(
    name: &str,
    weights: &[TubWeight],
    ask: &DryingAsk,
    day: impl Fn(Date) -> String,
) -> Option<Together> {
    let last = weights.last()?;
    // As many as now, without a break: who was taken out makes weighings incomparable.
    let same = weights.iter().rev().take_while(|it| it.n == last.n).last()?;
    let on_scale = |it: &TubWeight| wintering::Together {
        at_d: day_number(noon(it.on)),
        n: it.n,
        together_g: it.together_fresh_g,
    };
    let step_g = ask.scale_step_g * f64::from(last.n);
    let seen = watch_together(on_scale(same), on_scale(last), ask.usual_per_d, step_g);
    let weighed = format!(
        "{} weighed {:.1} g on {}",
        say::count(last.n as usize, "cocoon", "cocoons"),
        last.together_fresh_g,
        day(last.on)
    );
    let percent = |share: f64| format!("{:.1} %", 100.0 * share);
    let (says, lost, drying) = match seen {
        TogetherWatch::Drying { lost, usual } => (
            format!(
                "{weighed}: {} lost since {}, more than the {} that is usual.",
                percent(lost),
                day(same.on),
                percent(usual)
            ),
            Some(lost),
            true,
        ),
        TogetherWatch::Holds { lost, usual, hidden } => (
            format!(
                "{weighed}: {} lost since {}, up to {} is usual. One of them could have lost {:.0} % of its own weight unseen: weigh each by itself to know.",
                percent(lost),
                day(same.on),
                percent(usual),
                100.0 * hidden
            ),
            Some(lost),
            false,
        ),
        TogetherWatch::Unknown => {
            (format!("{weighed}; a second weighing of the same cocoons tells what they lose."), None, false)
        }
    };
    Some(Together { name: name.to_owned(), says, lost, drying })
}
