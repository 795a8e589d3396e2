//! The measured round: ten boxes with moults, two deaths and one short.

use crate::bench::{Bench, PHONE};
use keeper::{BeginNote, Keeper, Opening};
use rearing::{Deed, Way};
use terms::Stage;

/// Ten boxes with four larvae each.
fn ten_boxes(folder: &std::path::Path) {
    keeper::make_empty_book(folder, "Europe/London").unwrap();
    let keeper = Keeper::open(folder, &Opening::default()).unwrap();
    for number in 1..=10 {
        let note = BeginNote {
            id: None,
            species: "Saturnia pavonia".to_owned(),
            n: 4,
            about: false,
            stage: Stage::Larva(3),
            arrived: keeper.look().today().yesterday().ok(),
            laid: None,
            origin: String::new(),
            permit: String::new(),
            line: "A".to_owned(),
            box_name: format!("A{number:02}"),
            place: "the shed".to_owned(),
        };
        keeper.begin(&note).unwrap();
    }
}

#[tokio::test]
async fn ten_boxes_with_moults_two_deaths_and_one_short() {
    let folder = tempfile::tempdir().unwrap();
    ten_boxes(&folder.path().join("book"));
    let bench = Bench::own(folder, PHONE).await;
    bench.visit("/round/A01").await;
    bench.taps();
    #[expect(
        clippy::disallowed_methods,
        reason = "the round is measured by the clock of the wall, and only told"
    )]
    let began = std::time::Instant::now();
    let mut most = 0;
    for number in 1..=10 {
        assert_eq!(bench.path().await, format!("/round/A{number:02}"));
        match number {
            2 | 5 => {
                bench.tap("moved_n", "2").await;
                // The box that is opened for the moulted of the second takes those of the fifth too.
                bench.tap("moved_into", if number == 2 { "fresh:A11" } else { "box:A11" }).await;
            }
            3 | 8 => {
                bench.tap("dead_n", "1").await;
                bench.tap("sign", "stuck in the old skin").await;
            }
            6 => {
                bench.press("//summary[contains(., 'Short')]").await;
                bench.tap("short_n", "1").await;
            }
            1 | 9 => bench.tap("moved_n", "3").await,
            _ => {}
        }
        bench.go("next").await;
        let (taps, letters) = bench.taps();
        println!("box A{number:02}: {taps} taps");
        assert!(taps <= 4 && letters == 0, "box A{number:02}: {taps} taps, {letters} letters");
        most = most.max(taps);
    }
    println!(
        "ten boxes: {:.1} s scripted, at most {most} taps a box, no letter typed",
        began.elapsed().as_secs_f64()
    );
    let deeds = bench.noted();
    let n = |is: &dyn Fn(&Deed) -> bool| deeds.iter().filter(|it| is(it)).count();
    assert_eq!(n(&|it| matches!(it, Deed::Moulted(_))), 4);
    assert_eq!(n(&|it| matches!(it, Deed::Left(left) if left.way == Way::Died)), 2);
    assert_eq!(n(&|it| matches!(it, Deed::Left(left) if left.way == Way::Missing)), 1);
    assert_eq!(n(&|it| matches!(it, Deed::Counted(_))), 10);
    bench.close().await;
}
