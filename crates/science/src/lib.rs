//! The science crate.
pub mod climate;
pub mod closing;
pub mod development;
pub mod dice;
pub mod evidence_arithmetic;
pub mod feeding;
pub mod feeding_indices;
pub mod health;
pub mod light;
pub mod lineage;
pub mod losses;
pub mod numerics;
pub mod phenology;
pub mod smallnumbers;
pub mod survival;
pub mod wintering;
