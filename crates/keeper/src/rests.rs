//! What a figure rests on: the keeper's own notes first, then claims, then judgements.

use crate::book::Look;
use crate::forecasts::LineForecast;
use crate::say;
use crate::view::RestsOn;
use evidence::{Grade, Library, Profile};
use std::collections::BTreeSet;

/// Claims and judgements behind those numbers of a profile whose place in the
/// file begins with one of the given words.
pub(crate) fn on_profile(library: &Library, profile: &Profile, parts: &[&str]) -> Vec<RestsOn> {
    let mut rests = Vec::new();
    let mut said: BTreeSet<&str> = BTreeSet::new();
    let matters = |path: &str| parts.iter().any(|it| path == *it || path.starts_with(&format!("{it}.")));
    for footing in profile.footings.iter().filter(|it| matters(&it.path)) {
        for id in &footing.claims {
            if said.insert(id) {
                rests.extend(on_claim(library, id));
            }
        }
        if let Some(why) = &footing.judgement {
            let says = format!("{}: {why}", footing.path.replace('_', " ").replace('.', ", "));
            rests.push(RestsOn { says, grade: Grade::Judgement.letter().to_owned(), source: String::new() });
        }
    }
    rests
}

/// One claim by its id.
pub(crate) fn on_claim(library: &Library, id: &str) -> Option<RestsOn> {
    let claim = library.claim(id)?;
    let sources: Vec<String> = claim
        .sources
        .iter()
        .map(|key| library.source(key).map_or_else(|| key.clone(), evidence::Source::short))
        .collect();
    Some(RestsOn {
        says: sentence(claim),
        grade: claim.grade.letter().to_owned(),
        source: say::list(&sources),
    })
}

/// `larva days, Saturnia pavonia: 42 d (from hatching to spinning)`.
fn sentence(claim: &evidence::Claim) -> String {
    let about = claim.species.as_ref().map_or_else(String::new, |it| format!(", {it}"));
    let stage = claim.stage.as_ref().map_or_else(String::new, |it| format!(" {it}"));
    let basis = if claim.basis.is_empty() { String::new() } else { format!(" ({})", claim.basis) };
    format!("{}{stage}{about}: {}{basis}", claim.quantity.replace(['_', '-'], " "), claim.shown())
}

/// The keeper's own notes behind a line's forecast.
pub(crate) fn on_own_notes(look: &Look, made: &LineForecast) -> Vec<RestsOn> {
    let passed: usize = look.house.passages.iter().filter(|it| it.line == made.line).count();
    let mut rests = vec![RestsOn {
        says: format!(
            "your own notes: {} of the line {}, {}",
            say::count(passed, "move into a stage", "moves into a stage"),
            made.line,
            match made.living.tracked.first() {
                Some(it) => format!("learned from {} of looks", say::count(it.looks_d.len(), "day", "days")),
                None => format!("{} timed", say::count(made.living.passed.len(), "stage", "stages")),
            }
        ),
        grade: "own".to_owned(),
        source: String::new(),
    }];
    let says = match &made.air.place {
        Some(place) => format!("temperatures of {} at {place}", say::count(made.air.days, "day", "days")),
        None => "no temperature was ever noted: a room of 20 °C was assumed".to_owned(),
    };
    let grade = if made.air.place.is_some() { "own" } else { Grade::Judgement.letter() };
    rests.push(RestsOn { says, grade: grade.to_owned(), source: String::new() });
    rests
}
