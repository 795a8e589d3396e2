//! What the forecast refuses, and in which words.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

mod common;

use common::{brood_model, constant_clocks, eggs, stage, wavy_air};
use science::phenology::{
    Ask, BroodModel, Clocks, Group, HORIZON_D, Known, Living, Outlook, OutlookError, Room, StageKind, Window,
    forecast,
};

/// Bad input is a sentence, never a panic and never a guess.
#[test]
fn what_cannot_be_used_is_refused_by_name() {
    let model = brood_model(0.1);
    let clocks = constant_clocks(&model, 0.0, 10.0);
    let ask = Ask { runs: 10, seed: 1, threads: 1 };
    let said = |model: &BroodModel, living: &Living, ask: Ask| {
        forecast(model, &clocks, living, ask).unwrap_err().to_string()
    };
    let with = |change: &dyn Fn(&mut Group)| {
        let mut living = eggs(3, 0.0, 0);
        change(&mut living.groups[0]);
        living
    };
    let good = eggs(3, 0.0, 0);
    assert!(said(&model, &with(&|it| it.stage = 99), ask).contains("stage 99"));
    assert!(said(&model, &with(&|it| it.n = u32::MAX), ask).contains("4294967295 animals"));
    assert!(said(&model, &with(&|it| it.box_index = 1 << 40), ask).contains("box number"));
    assert!(
        said(&model, &with(&|it| it.known = Known::Entered(Window::at(f64::NAN))), ask)
            .contains("not a date")
    );
    assert!(
        said(&model, &with(&|it| it.known = Known::Entered(Window::at(11.0))), ask).contains("after the day")
    );
    assert!(said(&model, &with(&|it| it.known = Known::Entered(Window::at(-50.0))), ask).contains("clocks"));
    assert!(said(&model, &good, Ask { runs: 0, ..ask }).contains("runs"));
    let mut broken = model.clone();
    broken.stages[2].spread_cv = f64::NAN;
    assert_eq!(said(&broken, &good, ask), "L2: the spread among animals cannot be used");
    let mut broken = model.clone();
    broken.stages.push(stage("more", StageKind::Pupa, 10.0, 0.1, 0.9));
    assert!(said(&broken, &good, ask).contains("clocks"));
    let outlook = Outlook::Thermostat { air_c: f64::NAN };
    let air = wavy_air(0.0, 3.0, 18.0, 2.0);
    let room = Room { air: &air, outlook: &outlook, error: OutlookError::NONE };
    assert!(Clocks::new(&model.curves(), &room, 0.0, 3.0, HORIZON_D).is_err());
}
