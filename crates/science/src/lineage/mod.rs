//! Lines over generations: who is related, how much is kept, how few is too few.

mod effective_size;
mod founders;
mod inbreeding;
mod kinship;
mod mates;

pub use effective_size::{
    effective_size, effective_size_exact, effective_size_from_families, effective_size_over_generations,
    effective_size_overlapping, effective_size_w, effective_size_z, effective_size_z_exact,
    heterozygosity_kept,
};
pub use founders::{
    chance_captured, copies_for_allele, donor_share, founder_genomes, founders_for_allele, retention,
};
pub use inbreeding::{Parents, inbreeding};
pub use kinship::{kinship, kinship_z};
pub use mates::best_mates;
