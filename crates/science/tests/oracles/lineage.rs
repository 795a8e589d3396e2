//! Effective sizes and pedigrees.

use std::collections::HashMap;

use science::lineage::{
    Parents, chance_captured, copies_for_allele, donor_share, effective_size, effective_size_exact,
    effective_size_from_families, effective_size_over_generations, effective_size_overlapping,
    effective_size_w, effective_size_z, effective_size_z_exact, founder_genomes, founders_for_allele,
    heterozygosity_kept, inbreeding, kinship, kinship_z, retention,
};

use crate::table::{Reckoned, Row, column, float, one, ours};

/// The rows of the small-numbers table that are about lines.
pub fn sizes(row: &Row) -> Reckoned {
    let sexes = || Ok::<_, String>((row.count("Nm")?, row.count("Nf")?));
    match row.quantity.as_str() {
        "Ne" if row.has("Nm") => sexes().and_then(|(m, f)| one(effective_size(m, f))),
        "Ne" if row.has("Vk") => {
            one(effective_size_from_families(row.count("N")?, row.number("kbar")?, row.number("Vk")?))
        }
        "Ne" => one(effective_size_over_generations(&row.numbers("N")?)),
        "Ne_Z_linked" => sexes().and_then(|(m, f)| one(effective_size_z(m, f))),
        "Ne_eigenvalue" => sexes().and_then(|(m, f)| one(effective_size_exact(m, f))),
        "Ne_eigenvalue_Z_linked" => sexes().and_then(|(m, f)| one(effective_size_z_exact(m, f))),
        "full_sib_decay_lambda" => {
            let (m, f) = sexes()?;
            ours(effective_size_exact(m, f)).map(|ne| Some(vec![1.0 - 1.0 / (2.0 * ne)]))
        }
        "Ne_W_or_mtDNA_relative" => one(effective_size_w(row.count("Nf")?)),
        "Ne_overlapping" => one(effective_size_overlapping(
            row.number("N_new_per_cohort")?,
            row.number("L")?,
            row.number("Vk")?,
        )),
        "heterozygosity_retained" => one(heterozygosity_kept(row.number("Ne")?, row.number("t")?)),
        "gene_copies_for_95pct" => {
            ours(copies_for_allele(row.number("p")?, row.number("conf")?)).map(|n| Some(vec![float(n)]))
        }
        "diploid_founders_for_95pct" => {
            ours(founders_for_allele(row.number("p")?, row.number("conf")?)).map(|n| Some(vec![float(n)]))
        }
        "prob_allele_captured" => one(chance_captured(row.number("p")?, row.count("founders")?)),
        _ => Ok(None),
    }
}

pub fn pedigrees(row: &Row) -> Reckoned {
    match row.case.as_str() {
        "random_68" => return random_68(row),
        "full_sib_chain" => {
            // Two of each generation, brother and sister, mated to each other.
            let inbred = ours(inbreeding(&sib_chain(12)))?;
            return Ok(Some(inbred.into_iter().step_by(2).collect()));
        }
        "Z_full_sib_chain" => {
            let chain = sib_chain(10);
            let males: Vec<bool> = (0..chain.len()).map(|row| row % 2 == 0).collect();
            let table = ours(kinship_z(&chain, &males))?;
            return Ok(Some((0..chain.len()).step_by(2).map(|row| 2.0 * table[row][row] - 1.0).collect()));
        }
        _ => {}
    }
    match row.quantity.as_str() {
        "FGE" if row.has("p") => return one(founder_genomes(&row.numbers("p")?, &row.numbers("r")?)),
        "founder_equivalents" => {
            let shares = row.numbers("p")?;
            return one(founder_genomes(&shares, &vec![1.0; shares.len()]));
        }
        "FGE" => {
            // Full sibs of two founders, their mean kinship from the table.
            let sibs = usize::try_from(row.count("sibs")?).unwrap();
            let rows: Vec<Parents> =
                [[None, None]; 2].into_iter().chain(vec![[Some(0), Some(1)]; sibs]).collect();
            let table = ours(kinship(&rows))?;
            let pairs: Vec<f64> = table[2..].iter().flat_map(|line| line[2..].to_vec()).collect();
            return Ok(Some(vec![
                pairs.iter().map(|_| 1.0).sum::<f64>() / (2.0 * pairs.iter().sum::<f64>()),
            ]));
        }
        "retention_by_k_1_2_3_5_10" => return Ok(Some([1, 2, 3, 5, 10].map(retention).to_vec())),
        "expected_donor_fraction" => {
            return Ok(Some(vec![donor_share(u32::try_from(row.count("backcrosses")?).unwrap())]));
        }
        _ => {}
    }
    if !row.has("pedigree") {
        return Ok(None);
    }
    let (names, parents, males) = read(row)?;
    if row.quantity == "kinship_Z_rows" {
        return ours(kinship_z(&parents, &males)).map(|table| Some(table.concat()));
    }
    let inbred = ours(inbreeding(&parents))?;
    let values = match row.quantity.as_str() {
        "F" => vec![*inbred.last().ok_or("empty")?],
        "F_all" => inbred,
        "F_by_generation_1_to_6" => inbred[2..].to_vec(),
        "A_matrix_rows" => ours(kinship(&parents))?.concat().iter().map(|phi| 2.0 * phi).collect(),
        "A_times_ones" => {
            ours(kinship(&parents))?.iter().map(|line| 2.0 * line.iter().sum::<f64>()).collect()
        }
        other => match other.strip_prefix("F_").and_then(|name| names.iter().position(|n| n == name)) {
            Some(row) => vec![inbred[row]],
            None => return Ok(None),
        },
    };
    Ok(Some(values))
}

fn sib_chain(generations: usize) -> Vec<Parents> {
    let young = |g: usize| [Some(2 * g - 2), Some(2 * g - 1)];
    (0..generations).flat_map(|g| [if g == 0 { [None, None] } else { young(g) }; 2]).collect()
}

type Pedigree = (Vec<String>, Vec<Parents>, Vec<bool>);

fn read(row: &Row) -> Result<Pedigree, String> {
    let rows = row.inputs["pedigree"].as_array().ok_or("no pedigree")?;
    let names: Vec<String> = rows.iter().map(|r| r[0].as_str().unwrap_or_default().to_owned()).collect();
    let place: HashMap<&str, usize> = names.iter().enumerate().map(|(i, name)| (name.as_str(), i)).collect();
    let parents = rows
        .iter()
        .map(|r| [1, 2].map(|c| r[c].as_str().and_then(|name| place.get(name).copied())))
        .collect();
    let males = rows.iter().map(|r| r[3] == "M").collect();
    Ok((names, parents, males))
}

/// A constructed pedigree of 68 with its coefficients, reckoned by a pedigree library.
fn random_68(row: &Row) -> Reckoned {
    let read = |name| column("random_pedigree_68.csv", name);
    let (names, sires, dams) = (read("id"), read("sire"), read("dam"));
    let place = |name: &String| names.iter().position(|known| known == name);
    let parents: Vec<Parents> = sires.iter().zip(&dams).map(|(s, d)| [place(s), place(d)]).collect();
    let inbred = ours(inbreeding(&parents))?;
    for (ours, theirs) in inbred.iter().zip(read("F")) {
        let theirs: f64 = theirs.parse().unwrap();
        assert!((ours - theirs).abs() < 1e-9, "{ours} is not {theirs}");
    }
    // The last generation shares the first letters of the last name, such as `g5_03`.
    let youngest: Vec<usize> = last_generation(&parents);
    let table = ours(kinship(&parents))?;
    let pairs: Vec<f64> = youngest
        .iter()
        .flat_map(|&a| youngest.iter().map(move |&b| (a, b)))
        .map(|(a, b)| table[a][b])
        .collect();
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.iter().map(|_| 1.0).sum::<f64>();
    let kinship = mean(&pairs);
    let value = match row.quantity.as_str() {
        "mean_F_last_generation" => mean(&youngest.iter().map(|&row| inbred[row]).collect::<Vec<_>>()),
        "mean_kinship_last_generation_incl_self" => kinship,
        "gene_diversity" => 1.0 - kinship,
        "founder_genome_equivalents_from_mk" => 1.0 / (2.0 * kinship),
        _ => return Ok(None),
    };
    Ok(Some(vec![value]))
}

fn last_generation(parents: &[Parents]) -> Vec<usize> {
    let mut depth = vec![0_usize; parents.len()];
    for (row, both) in parents.iter().enumerate() {
        depth[row] = both.iter().flatten().map(|&p| depth[p] + 1).max().unwrap_or(0);
    }
    let deepest = depth.iter().copied().max().unwrap_or(0);
    (0..parents.len()).filter(|&row| depth[row] == deepest).collect()
}
