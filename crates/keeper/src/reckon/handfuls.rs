//! Handfuls of animals.

use serde_json::{Value, json};

use science::smallnumbers::{Moths, animals_needed, both_sexes, same_night};

use super::asked::Asked;
use super::{Quantity, Refused, figure, needed};

pub(super) const QUANTITIES: &[Quantity] = &[
    Quantity {
        name: "both-sexes",
        inputs: &[needed("animals", "animals"), needed("survival", "share"), needed("male_share", "share")],
        result: "chance of at least one male and one female",
        unit: "probability",
        source: "inclusion and exclusion",
        compute: |asked| {
            let survival = asked.number("survival")?;
            figure(both_sexes(asked.count("animals")?, survival, asked.number("male_share")?)?)
        },
    },
    Quantity {
        name: "animals-needed",
        inputs: &[
            needed("survival", "share"),
            needed("male_share", "share"),
            needed("chance", "probability"),
        ],
        result: "fewest animals that leave both sexes with that chance",
        unit: "animals",
        source: "inclusion and exclusion",
        compute: |asked| {
            let (survival, male_share) = (asked.number("survival")?, asked.number("male_share")?);
            Ok(json!(animals_needed(survival, male_share, asked.number("chance")?)?))
        },
    },
    Quantity {
        name: "same-night",
        inputs: &[
            needed("emergence_pmf", "list of probabilities, night by night"),
            needed("males", "moths"),
            needed("females", "moths"),
            needed("male_nights", "nights, the first included"),
            needed("female_nights", "nights, the first included"),
        ],
        result: "chance that a male and a female are alive on one night",
        unit: "probability",
        source: "enumeration",
        compute: ask_same_night,
    },
];

fn ask_same_night(asked: &Asked<'_>) -> Result<Value, Refused> {
    let emergence_pmf = &asked.numbers("emergence_pmf")?;
    let males = Moths { count: asked.count("males")?, nights: asked.count("male_nights")?, emergence_pmf };
    let females =
        Moths { count: asked.count("females")?, nights: asked.count("female_nights")?, emergence_pmf };
    figure(same_night(males, females)?)
}
