//! Which claims cannot both be true. They are shown side by side and never averaged.

use std::collections::BTreeSet;

use crate::{Claim, Figure};

/// Why two claims of a group cannot both be true.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// The claim files say so.
    Declared,
    /// The same quantity, species, stage and basis, and not one value in common under conditions that do
    /// not tell them apart.
    NothingInCommon,
}

/// Claims of which at least two cannot both be true.
///
/// There is no middle here on purpose. The only numbers are the ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Disagreement {
    /// What is measured.
    pub quantity: String,
    /// Latin name, or `None` where no single species is meant.
    pub species: Option<String>,
    /// What exactly was measured, or `not stated`, where all the claims of the group say the same.
    pub basis: Option<String>,
    /// Ids of the claims, in the order of the files.
    pub claims: Vec<String>,
    /// Each pair that cannot both be true, and why.
    pub pairs: Vec<(String, String, Why)>,
    /// The lowest number any of them gives.
    pub lowest: Option<f64>,
    /// The highest number any of them gives.
    pub highest: Option<f64>,
}

/// Every group of claims of which at least two cannot both be true, in the order of the claims.
pub fn disagreements(claims: &[Claim]) -> Vec<Disagreement> {
    let mut pairs: Vec<(usize, usize, Why)> = Vec::new();
    for (i, one) in claims.iter().enumerate() {
        for (j, other) in claims.iter().enumerate().skip(i + 1) {
            if let Some(why) = clash(one, other) {
                pairs.push((i, j, why));
            }
        }
    }
    let mut groups: Vec<BTreeSet<usize>> = Vec::new();
    for &(i, j, _) in &pairs {
        let (mut joined, apart): (Vec<_>, Vec<_>) =
            groups.into_iter().partition(|group| group.contains(&i) || group.contains(&j));
        let mut group: BTreeSet<usize> = joined.drain(..).flatten().collect();
        group.extend([i, j]);
        groups = apart;
        groups.push(group);
    }
    groups.sort();
    groups.iter().map(|group| describe(claims, group, &pairs)).collect()
}

fn clash(one: &Claim, other: &Claim) -> Option<Why> {
    if one.disagrees_with.contains(&other.id) || other.disagrees_with.contains(&one.id) {
        return Some(Why::Declared);
    }
    let same = one.quantity == other.quantity
        && one.species == other.species
        && one.species.is_some()
        && one.stage == other.stage
        && one.basis == other.basis;
    (same && same_conditions(one, other) && one.figure.is_apart_from(other.figure) == Some(true))
        .then_some(Why::NothingInCommon)
}

/// Two figures taken in different air, or with different words about place and food, may both be true.
fn same_conditions(one: &Claim, other: &Claim) -> bool {
    one.conditions == other.conditions
}

fn describe(claims: &[Claim], group: &BTreeSet<usize>, pairs: &[(usize, usize, Why)]) -> Disagreement {
    let members: Vec<&Claim> = group.iter().filter_map(|&index| claims.get(index)).collect();
    let shared = |read: fn(&Claim) -> Option<&String>| {
        let first = members.first().and_then(|claim| read(claim))?;
        members.iter().all(|claim| read(claim) == Some(first)).then(|| first.clone())
    };
    let ends = |end: fn(Figure) -> Option<f64>, pick: fn(f64, f64) -> f64| {
        members.iter().filter_map(|claim| end(claim.figure)).reduce(pick)
    };
    let name = |index: usize| claims.get(index).map(|claim| claim.id.clone()).unwrap_or_default();
    Disagreement {
        quantity: shared(|claim| Some(&claim.quantity)).unwrap_or_else(|| "several".to_owned()),
        species: shared(|claim| claim.species.as_ref()),
        basis: shared(|claim| Some(&claim.basis)),
        claims: members.iter().map(|claim| claim.id.clone()).collect(),
        pairs: pairs
            .iter()
            .filter(|(i, j, _)| group.contains(i) && group.contains(j))
            .map(|&(i, j, why)| (name(i), name(j), why))
            .collect(),
        lowest: ends(Figure::low, f64::min),
        highest: ends(Figure::high, f64::max),
    }
}
