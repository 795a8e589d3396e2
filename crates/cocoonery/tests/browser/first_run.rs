//! A book of one's own from an empty folder to the first counted box, by taps.

use crate::bench::{Bench, LAPTOP, PHONE, Theme};
use rearing::Deed;
use terms::Stage;

#[tokio::test]
async fn from_an_empty_book_to_the_first_counted_box() {
    let bench = Bench::own(tempfile::tempdir().unwrap(), PHONE).await;
    bench.visit("/").await;
    bench.picture("first-empty").await;
    let page = bench.text().await;
    assert!(page.contains("Look at an invented season"), "{page}");
    bench.press_on("//a[@href='/begin']").await;
    bench.tap("species", "Saturnia pavonia").await;
    let page = bench.text().await;
    assert!(page.contains("Ask whether the species may be taken and kept"), "{page}");
    bench.type_in("n", "30").await;
    bench.tap("about", "yes").await;
    bench.tap("stage", "egg").await;
    bench.picture("first-begin").await;
    bench.press_on("//form[@action='/begin']//button").await;
    assert_eq!(bench.path().await, "/round/A01");
    bench.picture("first-box").await;
    bench.go("next").await;
    let (taps, letters) = bench.taps();
    println!("first run: {taps} taps, {letters} letters typed, from an empty book to the first counted box");
    assert!(taps <= 8 && letters <= 2, "{taps} taps, {letters} letters");
    let deeds = bench.noted();
    let received = deeds.iter().find_map(|it| if let Deed::LotReceived(lot) = it { Some(lot) } else { None });
    let received = received.unwrap();
    assert_eq!((received.n, received.about, received.stage), (30, true, Stage::Egg));
    assert!(
        matches!(deeds.last(), Some(Deed::Counted(it)) if it.name == "A01" && it.seen[0].n == 30),
        "{deeds:?}"
    );
    bench.picture("first-morning").await;
    bench.close().await;
}

#[tokio::test]
async fn an_invented_season_is_looked_at_and_left_again() {
    let bench = Bench::own(tempfile::tempdir().unwrap(), LAPTOP).await;
    bench.visit("/").await;
    bench.press_on("//button[@name='look' and @value='yes']").await;
    let page = bench.text().await;
    assert!(page.contains("Nothing can be noted in it") && page.contains("H07"), "{page}");
    bench.picture("season-looked-at").await;
    bench.visit("/round/H07").await;
    bench.go("fed").await;
    let page = bench.text().await;
    assert!(page.contains("Nothing was saved"), "{page}");
    bench.press_on("//button[@name='look' and @value='no']").await;
    assert!(bench.text().await.contains("This book is empty"));
    assert!(bench.noted().is_empty());
    bench.close().await;
}

/// The pages of work in every theme, to be looked at.
#[tokio::test]
async fn a_box_is_split_merged_and_set_apart_in_three_taps() {
    let bench = Bench::open(PHONE).await;
    bench.wear(Theme::Light).await;
    bench.visit("/round/H08").await;
    let three = async |what: &str, presses: &[&str]| {
        bench.visit("/round/H08").await;
        bench.taps();
        bench.press_on("//a[@href='/boxes/H08']").await;
        let (last, first) = presses.split_last().unwrap();
        for press in first {
            bench.press(press).await;
        }
        bench.press_on(last).await;
        let (taps, letters) = bench.taps();
        println!("{what}: {taps} taps");
        assert!(taps <= 3 && letters == 0, "{what}: {taps} taps");
    };
    three("split", &["//label[input[@name='part_0' and @value='2']]", "//button[@value='fresh:H11']"]).await;
    bench.picture("boxes-after-split").await;
    three("merge", &["//form[@action='/boxes/H08/merge']//button[@value='H11']"]).await;
    three("set apart", &["//form[@action='/boxes/H08/apart']//button[@value='not sure']"]).await;
    three("let back", &["//form[@action='/boxes/H08/back']//button"]).await;
    three("earlier on the shelf", &["//form[@action='/boxes/H08/earlier']//button"]).await;
    three("put away", &["//form[@action='/boxes/H08/close']//button"]).await;
    bench.visit("/boxes").await;
    bench.taps();
    bench.press_on("//form[@action='/boxes']//button[contains(., 'Open this box')]").await;
    assert!(bench.taps().0 <= 3);
    let says: Vec<String> = bench.noted().iter().map(Deed::in_words).collect();
    assert_eq!(
        says[..3],
        ["box H11 opened", "2 L4 moved from H08 to H11", "4 L4 moved from H08 to H11"],
        "{says:?}"
    );
    bench.close().await;
}
