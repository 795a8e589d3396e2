//! Is what is learned from counts calibrated? Simulation-based calibration, see `common/sbc.rs`.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

mod common;
#[path = "common/sbc.rs"]
mod sbc;

/// Sixty broods of 9 to 60 eggs, counted to different days; ranks of every parameter in ten bins.
///
/// 22 histograms are looked at. Chi-square with 9 degrees of freedom passes 33.7 with chance 1e-4, the mean and the
/// mean square of the ranks pass 4.1 standard errors with 4e-5 each: a right program fails about once in 250 seeds.
/// Histograms of fewer than 40 broods are left out: the chi-square needs five in ten bins, or nearly.
#[test]
fn ranks_of_what_is_learned_are_flat() {
    are_flat(&sbc::ranks(&sbc::model(), 60, 600, 1));
}

/// The same for animals followed through a book: several boxes, some left shut, bodies, gifts, eggs and cocoons that
/// nobody sees into, larvae that came at an unknown age.
#[test]
fn ranks_of_what_a_book_teaches_are_flat() {
    are_flat(&sbc::ranks_of_books(&sbc::model(), 60, 1200, 1));
}

fn are_flat(all: &[sbc::Ranks]) {
    assert!(all.len() > 15);
    for it in all.iter().filter(|it| it.ranks.len() >= 40) {
        let (lean, width) = it.lean_and_width();
        let chi_square = it.chi_square(10);
        assert!(
            chi_square < 33.7 && lean.abs() < 4.1 && width.abs() < 4.1,
            "{}: chi-square {chi_square:.1}, mean off by {lean:.1}, width off by {width:.1} standard errors",
            it.parameter
        );
    }
}
