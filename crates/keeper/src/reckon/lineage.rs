//! How many parents a line is worth, and what it keeps.

use serde_json::json;

use science::lineage::{
    chance_captured, copies_for_allele, donor_share, effective_size, effective_size_exact,
    effective_size_from_families, effective_size_over_generations, effective_size_overlapping,
    effective_size_w, effective_size_z, effective_size_z_exact, founder_genomes, founders_for_allele,
    heterozygosity_kept,
};
use science::smallnumbers::chance_within;

use super::asked::wrong;
use super::{Input, Quantity, figure, needed};

const SEXES: &[Input] = &[needed("males", "animals"), needed("females", "animals")];
const ALLELE: &[Input] = &[needed("frequency", "share"), needed("chance", "probability")];

pub(super) const QUANTITIES: &[Quantity] = &[
    Quantity {
        name: "effective-size",
        inputs: SEXES,
        result: "effective size, about",
        unit: "animals",
        source: "Wright 1931; Crow & Kimura 1970",
        compute: |asked| figure(effective_size(asked.count("males")?, asked.count("females")?)?),
    },
    Quantity {
        name: "effective-size-z",
        inputs: SEXES,
        result: "effective size for the Z chromosome, about",
        unit: "animals",
        source: "Wright 1931, X formula with the sexes exchanged",
        compute: |asked| figure(effective_size_z(asked.count("males")?, asked.count("females")?)?),
    },
    Quantity {
        name: "effective-size-exact",
        inputs: SEXES,
        result: "effective size by the exact pace of loss",
        unit: "animals",
        source: "recursion of coancestry; Wright 1921 for full sibs",
        compute: |asked| figure(effective_size_exact(asked.count("males")?, asked.count("females")?)?),
    },
    Quantity {
        name: "effective-size-z-exact",
        inputs: SEXES,
        result: "effective size for the Z chromosome by the exact pace of loss",
        unit: "animals",
        source: "recursion of coancestry, males ZZ and females ZW",
        compute: |asked| figure(effective_size_z_exact(asked.count("males")?, asked.count("females")?)?),
    },
    Quantity {
        name: "effective-size-w",
        inputs: &[needed("females", "animals")],
        result: "effective size of what passes from mother to daughter",
        unit: "animals",
        source: "one copy through one sex",
        compute: |asked| figure(effective_size_w(asked.count("females")?)?),
    },
    Quantity {
        name: "effective-size-families",
        inputs: &[
            needed("parents", "animals"),
            needed("mean_offspring", "breeding offspring per parent"),
            needed("variance", "variance of offspring"),
        ],
        result: "effective size from unequal families",
        unit: "animals",
        source: "Wright 1938; Crow & Kimura 1970",
        compute: |asked| {
            let (parents, mean) = (asked.count("parents")?, asked.number("mean_offspring")?);
            figure(effective_size_from_families(parents, mean, asked.number("variance")?)?)
        },
    },
    Quantity {
        name: "effective-size-generations",
        inputs: &[needed("sizes", "list of animals, one per generation")],
        result: "harmonic mean over generations",
        unit: "animals",
        source: "Wright 1938",
        compute: |asked| figure(effective_size_over_generations(&asked.numbers("sizes")?)?),
    },
    Quantity {
        name: "effective-size-overlapping",
        inputs: &[
            needed("newcomers", "animals per season"),
            needed("generation_seasons", "seasons"),
            needed("variance", "variance of offspring"),
        ],
        result: "effective size when generations overlap",
        unit: "animals",
        source: "Hill 1979 (form from memory)",
        compute: |asked| {
            let (newcomers, seasons) = (asked.number("newcomers")?, asked.number("generation_seasons")?);
            figure(effective_size_overlapping(newcomers, seasons, asked.number("variance")?)?)
        },
    },
    Quantity {
        name: "heterozygosity-kept",
        inputs: &[needed("effective_size", "animals"), needed("generations", "generations")],
        result: "share of unlike gene pairs kept",
        unit: "share",
        source: "Wright 1931",
        compute: |asked| {
            figure(heterozygosity_kept(asked.number("effective_size")?, asked.number("generations")?)?)
        },
    },
    Quantity {
        name: "founders-for-allele",
        inputs: ALLELE,
        result: "fewest founders that bring the allele with that chance",
        unit: "founders",
        source: "Marshall & Brown 1975",
        compute: |asked| Ok(json!(founders_for_allele(asked.number("frequency")?, asked.number("chance")?)?)),
    },
    Quantity {
        name: "copies-for-allele",
        inputs: ALLELE,
        result: "fewest gene copies that hold the allele with that chance",
        unit: "copies",
        source: "Marshall & Brown 1975",
        compute: |asked| Ok(json!(copies_for_allele(asked.number("frequency")?, asked.number("chance")?)?)),
    },
    Quantity {
        name: "allele-captured",
        inputs: &[needed("frequency", "share"), needed("founders", "founders")],
        result: "chance that the founders bring the allele",
        unit: "probability",
        source: "Marshall & Brown 1975",
        compute: |asked| figure(chance_captured(asked.number("frequency")?, asked.count("founders")?)?),
    },
    Quantity {
        name: "founder-genomes",
        inputs: &[
            needed("shares", "list of shares of today's genes"),
            needed("retained", "list of shares kept"),
        ],
        result: "founder genome equivalents",
        unit: "founders",
        source: "Lacy 1989",
        compute: |asked| figure(founder_genomes(&asked.numbers("shares")?, &asked.numbers("retained")?)?),
    },
    Quantity {
        name: "donor-share",
        inputs: &[needed("backcrosses", "backcrosses after the first cross")],
        result: "expected share of the donor line",
        unit: "share",
        source: "halving at each cross",
        compute: |asked| {
            let backcrosses = u32::try_from(asked.count("backcrosses")?).ok().filter(|n| *n <= 1000);
            figure(donor_share(backcrosses.ok_or_else(|| wrong("backcrosses", "a count from 0 to 1000"))?))
        },
    },
    Quantity {
        name: "out-within",
        inputs: &[
            needed("sd_male_d", "d"),
            needed("sd_female_d", "d"),
            needed("mean_lead_d", "d"),
            needed("within_d", "d"),
        ],
        result: "chance that a male and a female come out that near",
        unit: "probability",
        source: "difference of two normal variables",
        compute: |asked| {
            let (male, female) = (asked.number("sd_male_d")?, asked.number("sd_female_d")?);
            figure(chance_within(male, female, asked.number("mean_lead_d")?, asked.number("within_d")?)?)
        },
    },
];
