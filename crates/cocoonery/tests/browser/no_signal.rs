//! The shed without a signal: what is noted there waits on the phone, survives
//! everything, and goes up once each, in order.

use crate::bench::{Bench, PHONE};
use rearing::Deed;
use serde_json::{Value, json};

/// Notes "fed only" with a numbered remark at every box in turn, on the page of the whole round.
const NOTE_MANY: &str = r"
    const [first, many, done] = arguments;
    const forms = [...document.querySelectorAll('form.round')];
    const sleep = ms => new Promise(yes => setTimeout(yes, ms));
    (async () => {
        for (let n = first; n < first + many; n += 1) {
            const form = forms[n % forms.length];
            form.elements.remark.value = 'note ' + n;
            form.requestSubmit(form.querySelector('button[value=fed]') || form.querySelector('button[value=next]'));
            while (form.dataset.busy) await sleep(2);
        }
        return 'done';
    })().then(done, it => done(String(it)));
";

const WAITING: &str = "return (document.getElementById('waits') || {}).textContent || ''";

/// The list of the outbox is drawn, and nothing in it waits any more.
const ALL_UP: &str = "const rows = [...document.querySelectorAll('.waiting li')];
    return rows.length > 0 && !rows.some(it => it.textContent.includes('\\u2014 waits'))";

fn remarks(deeds: &[Deed]) -> Vec<String> {
    let text = |deed: &Deed| if let Deed::Remarked(it) = deed { Some(it.text.clone()) } else { None };
    deeds.iter().filter_map(text).collect()
}

/// Queues so many notes without a network, goes through everything that can happen to a phone, and counts.
async fn queued_and_gone_up(many: u64) {
    let mut bench = Bench::open(PHONE).await;
    bench.visit("/round").await;
    bench.network(false).await;
    let half = many / 2;
    assert_eq!(bench.later(NOTE_MANY, vec![json!(0), json!(half)]).await, json!("done"));
    let says = bench.run(WAITING, vec![]).await;
    assert!(
        says.as_str().unwrap().contains(&format!("{half} notes wait for the signal, the oldest from 7:4")),
        "{says}"
    );
    bench.picture(&format!("no-signal-{many}-notes-wait")).await;
    assert_eq!(bench.later(NOTE_MANY, vec![json!(half), json!(many - half)]).await, json!("done"));
    assert!(bench.noted().is_empty(), "something got through without a network");
    // A reload without a network leaves only the browser's own page.
    bench.visit_in_vain("/round").await;
    bench.kill_and_restart().await;
    bench.visit("/outbox").await;
    bench.until(ALL_UP).await;
    let expected: Vec<String> = (0..many).map(|n| format!("note {n}")).collect();
    assert_eq!(remarks(&bench.noted()), expected);
    // And nothing goes up a second time.
    bench.visit("/").await;
    bench.visit("/outbox").await;
    bench.until(ALL_UP).await;
    bench.picture(&format!("outbox-after-{many}")).await;
    assert_eq!(remarks(&bench.noted()).len() as u64, many);
    bench.close().await;
}

#[tokio::test]
async fn sixty_notes_wait_through_a_killed_browser_and_go_up_once_in_order() {
    queued_and_gone_up(60).await;
}

#[tokio::test]
async fn five_hundred_notes_wait_through_a_killed_browser_and_go_up_once_in_order() {
    queued_and_gone_up(500).await;
}

#[tokio::test]
async fn without_a_signal_the_page_goes_on_to_the_next_box() {
    let bench = Bench::open(PHONE).await;
    bench.visit("/round").await;
    bench.network(false).await;
    bench.press("//section[@id='box-H07']//label[input[@name='dead_n' and @value='1']]").await;
    bench.press("//section[@id='box-H07']//label[input[@name='sign' and @value='drowned']]").await;
    bench.press("//section[@id='box-H07']//button[@value='next']").await;
    bench.until("return location.hash === '#box-H08'").await;
    let page = bench.text().await;
    assert!(
        page.contains("1 note waits for the signal") && page.contains("Dead: 1; What you saw: drowned"),
        "{page}"
    );
    bench.picture("no-signal-next-box").await;
    bench.network(true).await;
    bench
        .until("window.dispatchEvent(new Event('online')); return document.getElementById('waits').hidden")
        .await;
    assert!(
        matches!(&bench.noted()[..], [Deed::Left(left), Deed::Counted(_)] if left.sign == "drowned"),
        "{:?}",
        bench.noted()
    );
    bench.close().await;
}

#[tokio::test]
async fn a_refused_note_is_shown_with_its_reason_and_the_later_ones_go_up() {
    let bench = Bench::open(PHONE).await;
    bench.visit("/round").await;
    bench.network(false).await;
    // Two dead where the book has two, and once more: the second cannot be.
    for _ in 0..2 {
        bench.press("//section[@id='box-H07']//label[input[@name='dead_n' and @value='2']]").await;
        bench.press("//section[@id='box-H07']//button[@value='stay']").await;
        bench.until("return [...document.querySelectorAll('form')].every(it => !it.dataset.busy)").await;
    }
    bench.press("//section[@id='box-H08']//button[@value='fed']").await;
    bench.until("return document.getElementById('waits').textContent.includes('3 notes wait')").await;
    bench.network(true).await;
    bench.until("window.dispatchEvent(new Event('online')); return document.getElementById('waits').textContent.includes('Not taken')").await;
    bench.until("return !document.getElementById('waits').textContent.includes('wait for')").await;
    let says: Value = bench.run(WAITING, vec![]).await;
    let says = says.as_str().unwrap();
    assert!(
        says.contains("Not taken, H07") && says.contains("Dead: 2") && says.contains("Open the box H07"),
        "{says}"
    );
    bench.picture("no-signal-not-taken").await;
    let deeds = bench.noted();
    assert_eq!(deeds.iter().filter(|it| matches!(it, Deed::Left(_))).count(), 1, "{deeds:?}");
    assert!(matches!(deeds.last(), Some(Deed::FedOnly(it)) if it.name == "H08"), "{deeds:?}");
    bench.close().await;
}

#[tokio::test]
async fn two_phones_on_one_box_are_both_heard() {
    let bench = Bench::open(PHONE).await;
    // The page of the second phone is opened before the first one notes.
    bench.visit("/round/H08").await;
    let fields =
        "return ['id', 'seen_entries'].map(it => document.querySelector('form.round').elements[it].value)";
    let page = bench.run(fields, vec![]).await;
    let first = r"const [left, done] = arguments, form = document.querySelector('form.round');
        fetch(form.action, {method: 'POST', body: new URLSearchParams({left: 'other', seen_L4: left, go: 'stay'})}).then(() => done('done'))";
    assert_eq!(bench.later(first, vec![json!("6")]).await, json!("done"));
    assert_eq!(bench.run(fields, vec![]).await, page, "the page has changed under the second phone");
    bench.tap("left", "other").await;
    bench.tap_or_type("seen_L4", "5").await;
    bench.go("stay").await;
    let text = bench.text().await;
    assert!(
        text.contains("6 L4 at 7:40")
            && text.contains("5 L4 at 7:40")
            && text.contains("Both are kept as said"),
        "{text}"
    );
    bench.picture("both-said").await;
    bench.press_on("//li[contains(., '6 L4 at')]//button[contains(., 'This one holds')]").await;
    let text = bench.text().await;
    assert!(!text.contains("Both are kept as said"), "{text}");
    bench.close().await;
}

#[tokio::test]
async fn what_waits_is_saved_as_a_file_and_brought_in_elsewhere() {
    let bench = Bench::open(PHONE).await;
    bench.visit("/outbox").await;
    let text = json!({"form": "cocoonery-outbox", "version": 1, "notes": [
        {"action": "/round/H07", "fields": [["id", "0197a000-0000-4000-8000-000000000001"], ["go", "fed"], ["happened", "2025-06-01T06:30:00Z"]]},
        {"action": "/round/H99", "fields": [["id", "0197a000-0000-4000-8000-000000000002"], ["go", "fed"]]},
        {"action": "/air", "fields": [["id", "0197a000-0000-4000-8000-000000000003"], ["place", "the shed"], ["on", "2025-05-31"], ["min", "9,5"], ["max", "18"]]},
    ]});
    for time in ["first", "second"] {
        bench
            .run("document.querySelector('textarea').value = arguments[0]", vec![text.to_string().into()])
            .await;
        bench.press_on("//form[@action='/outbox']//button").await;
        let page = bench.text().await;
        assert!(
            page.contains("2 of 3 are in the book")
                && page.contains("Not taken. H99: there is no such open box"),
            "{time}: {page}"
        );
        assert_eq!(bench.noted().len(), 2, "{time}");
    }
    bench.picture("outbox-brought-in").await;
    bench.close().await;
}
