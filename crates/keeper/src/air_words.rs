//! What a series of temperatures has to say about itself, in sentences.

use science::phenology::{AirNote, Suspicion};

/// Shorter gaps are bridged without a word, days.
const WORTH_SAYING_D: f64 = 1.5;
/// Single readings are named one by one up to so many.
const NAMED: usize = 3;

/// The sentences, the weightiest first; `when` says an instant as the answer does.
pub(crate) fn air_in_words(notes: &[AirNote], when: impl Fn(f64) -> String) -> Vec<String> {
    let mut says = Vec::new();
    for note in notes {
        match note {
            AirNote::Bridged { from_d, to_d } if to_d - from_d > WORTH_SAYING_D => says.push(format!(
                "No temperatures from {} to {}: the gap was bridged.",
                when(*from_d),
                when(*to_d)
            )),
            AirNote::Stuck { from_d, to_d, air_c } => says.push(format!(
                "The thermometer said {air_c} °C without a change from {} to {}: used, but look whether the logger is stuck.",
                when(*from_d),
                when(*to_d)
            )),
            AirNote::Bridged { .. } | AirNote::LeftOut { .. } => {}
        }
    }
    let left_out: Vec<String> = notes
        .iter()
        .filter_map(|it| match it {
            AirNote::LeftOut { at_d, air_c, why } => Some(left_out(&when(*at_d), *air_c, *why)),
            _ => None,
        })
        .collect();
    says.extend(left_out.iter().take(NAMED).cloned());
    if left_out.len() > NAMED {
        says.push(format!("{} more temperatures were not used for such reasons.", left_out.len() - NAMED));
    }
    says
}

fn left_out(when: &str, air_c: f64, why: Suspicion) -> String {
    match why {
        Suspicion::NotANumber => format!("A temperature of {when} is no number: not used."),
        Suspicion::LostSupply => {
            format!("{air_c} °C at {when} is what a sensor says that lost its supply: not used.")
        }
        Suspicion::Implausible => format!("{air_c} °C at {when} cannot be a room or a shed: not used."),
        Suspicion::Jump => {
            format!("{air_c} °C at {when} is far from the readings before and after it: not used.")
        }
        Suspicion::LowAboveHigh => {
            format!("The lowest of {when} is above the highest: the day was not used.")
        }
        Suspicion::MeanOutside => {
            format!("The mean of {when} is not between lowest and highest: those two were used.")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reason_has_a_sentence_and_many_are_summed_up() {
        let at = |day: f64, why| AirNote::LeftOut { at_d: day, air_c: 85.0, why };
        let notes = [
            AirNote::Bridged { from_d: 1.0, to_d: 1.5 },
            AirNote::Bridged { from_d: 2.0, to_d: 5.0 },
            AirNote::Stuck { from_d: 6.0, to_d: 9.0, air_c: 19.5 },
            at(1.0, Suspicion::LostSupply),
            at(2.0, Suspicion::Jump),
            at(3.0, Suspicion::Implausible),
            at(4.0, Suspicion::NotANumber),
            at(5.0, Suspicion::LowAboveHigh),
        ];
        let says = air_in_words(&notes, |it| format!("day {it}"));
        let expect = [
            "No temperatures from day 2 to day 5: the gap was bridged.",
            "The thermometer said 19.5 °C without a change from day 6 to day 9: used, but look whether the logger is stuck.",
            "85 °C at day 1 is what a sensor says that lost its supply: not used.",
            "85 °C at day 2 is far from the readings before and after it: not used.",
            "85 °C at day 3 cannot be a room or a shed: not used.",
            "2 more temperatures were not used for such reasons.",
        ];
        assert_eq!(says, expect);
    }
}
