//! Small numbers of animals.

use science::smallnumbers::{Moths, animals_needed, both_sexes, chance_within, same_night};

use crate::table::{Reckoned, Row, float, one, ours};

pub fn small_numbers(row: &Row) -> Reckoned {
    match row.quantity.as_str() {
        "prob_at_least_one_male_and_one_female" => {
            one(both_sexes(row.count("n")?, row.number("survival")?, row.number("male_fraction")?))
        }
        "n_needed" => {
            let n =
                animals_needed(row.number("survival")?, row.number("male_fraction")?, row.number("target")?);
            ours(n).map(|n| Some(vec![float(n)]))
        }
        "prob_any_pair_alive_same_night" => {
            let pmf = row.numbers("pmf")?;
            let males =
                Moths { count: row.count("males")?, nights: row.count("life_m")?, emergence_pmf: &pmf };
            let females =
                Moths { count: row.count("females")?, nights: row.count("life_f")?, emergence_pmf: &pmf };
            one(same_night(males, females))
        }
        "prob_abs_difference_le_w" => {
            let n = |name| row.number(name);
            one(chance_within(n("sd_male")?, n("sd_female")?, n("mean_diff")?, n("w")?))
        }
        _ => Ok(None),
    }
}
