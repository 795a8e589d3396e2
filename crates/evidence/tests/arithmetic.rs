//! Derived claims are worked out again from the claims they name.
//!
//! The bounds are half a unit of the last printed digit, no more.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may panic")]

use evidence::library;

/// A single printed number.
fn one(id: &str) -> f64 {
    let claim = library().claim(id).unwrap_or_else(|| panic!("no claim {id}"));
    assert_eq!(claim.figure.low(), claim.figure.high(), "{id} is no single number");
    claim.figure.low().unwrap()
}

#[track_caller]
fn check(id: &str, again: f64, half_unit: f64) {
    let printed = one(id);
    assert!((printed - again).abs() <= half_unit + 1e-9, "{id} says {printed}, worked out again {again}");
}

#[test]
fn instars_add_up() {
    let sum: f64 = (1..=5).map(|instar| one(&format!("stage-days/proylei-l{instar}"))).sum();
    check("stage-days/proylei-larva-sum", sum, 0.05);
    for instar in 1..=5 {
        let share = 100.0 * one(&format!("stage-days/proylei-l{instar}")) / sum;
        check(&format!("stage-days/share-proylei-l{instar}"), share, 0.05);
    }
}

/// A species without instar data takes the middle of the two shapes; both stay as claims.
#[test]
fn the_middle_of_two_shapes() {
    let emperor = library().profile("Saturnia pavonia").unwrap();
    let equal = one("stage-days/share-equal");
    for (index, share) in emperor.larva_shares.values.iter().enumerate() {
        let proylei = one(&format!("stage-days/share-proylei-l{}", index + 1));
        // Half of half a unit of the printed share, and the share's own rounding.
        assert!(
            (100.0 * share - f64::midpoint(proylei, equal)).abs() <= 0.025 + 0.01,
            "L{}: {share}",
            index + 1
        );
    }
}

#[test]
fn degree_days_over_ten() {
    let ends = |id: &str| {
        let figure = library().claim(id).unwrap().figure;
        (figure.low().unwrap(), figure.high().unwrap())
    };
    let (low, high) = ends("temperature/ricini-larva-dd");
    assert!((one("stage-days/ricini-larva-thailand") * 15.0 - low).abs() <= 0.5);
    assert!((one("stage-days/ricini-larva-india") * 15.0 - high).abs() <= 0.5);
    assert!((ends("leaf/bombyx-eaten-fresh").0 - one("leaf/bombyx-dry-male") / (1.0 - 0.70)).abs() <= 0.5);
    assert!((ends("leaf/bombyx-eaten-fresh").1 - one("leaf/bombyx-dry-female") / (1.0 - 0.78)).abs() <= 0.5);
    // A tray of 60 by 90 cm.
    for (stage, most, fewest) in [("l1", 1000.0, 400.0), ("l3", 800.0, 400.0), ("l5", 500.0, 300.0)] {
        let (low, high) = ends(&format!("survival/bombyx-bed-{stage}"));
        assert!((low - 5400.0 / most).abs() <= 0.5 && (high - 5400.0 / fewest).abs() <= 0.5, "{stage}");
    }
}

#[test]
fn a_cycle_adds_up() {
    let parts = ["egg", "larva", "pupa"].map(|stage| one(&format!("stage-days/atlas-{stage}-27")));
    check("stage-days/atlas-cycle-sum", parts.iter().sum(), 0.05);
}

#[test]
fn old_weights() {
    // One grain is 64.79891 mg by the international definition of 1959.
    let grain_g = 0.064_798_91;
    let eaten_g = one("leaf/polyphemus-times-weight") * grain_g / 20.0;
    check("leaf/polyphemus-eaten", eaten_g, 0.5);
    check("leaf/polyphemus-to-larva", eaten_g / one("leaf/polyphemus-larva-d56"), 0.5);
    // A twentieth of a grain at hatching, as the estimate has it.
    check("leaf/polyphemus-larva-hatch", grain_g / 20.0, 0.000_05);
}

#[test]
fn leaf_and_pupae() {
    let pupa_g = one("weights/mylitta-cocoon") - one("weights/mylitta-shell");
    check("weights/mylitta-pupa", pupa_g, 0.05);
    check("leaf/mylitta-eaten-to-pupa", one("leaf/mylitta-eaten") / pupa_g, 0.5);
    for sex in ["male", "female"] {
        let shell = one(&format!("weights/atlas-shell-ratio-{sex}")) / 100.0;
        check(
            &format!("weights/atlas-pupa-{sex}"),
            one(&format!("weights/atlas-cocoon-{sex}")) * (1.0 - shell),
            0.05,
        );
    }
}

#[test]
fn sexes_and_survival() {
    let gap_d = one("stage-days/atlas-pupa-female") - one("stage-days/atlas-pupa-male");
    check("moths/protandry-atlas", gap_d, 0.05);
    check("survival/atlas-hobby-1", 100.0 * 4.0 / 250.0, 0.05);
    check("survival/atlas-hobby-2", 100.0 * 18.0 / 500.0, 0.05);
    check("survival/cecropia-hobby", 100.0 * 6.0 / 7.0, 0.05);
    check("survival/gloveri-1881", 100.0 * 20.0 / 35.0, 0.05);
}

#[test]
fn body_sizes() {
    for step in 1..=4 {
        let ratio = one(&format!("weights/proylei-l{}", step + 1)) / one(&format!("weights/proylei-l{step}"));
        check(&format!("head-width/proylei-size-{step}"), ratio.cbrt(), 0.005);
    }
    for step in 1..=5 {
        let ratio =
            one(&format!("weights/bombyx-larva-{step}")) / one(&format!("weights/bombyx-larva-{}", step - 1));
        check(&format!("head-width/bombyx-size-{step}"), ratio.cbrt(), 0.01);
    }
}

#[test]
fn formaldehyde() {
    check("disinfection/stock-g-per-l", 0.37 * 1090.0, 0.5);
    let stock_g_per_l = one("disinfection/stock-g-per-l");
    check("disinfection/formalin-2-percent", 20.0 / stock_g_per_l * 1000.0, 0.05);
    check("disinfection/formalin-3-percent", 30.0 / stock_g_per_l * 1000.0, 0.05);
    // 10 mL of 3 % hold 300 mg; in 20 cubic metres 15 mg each.
    check("disinfection/spill", 300.0 / 20.0 / one("disinfection/ppm-weight"), 0.5);
}
