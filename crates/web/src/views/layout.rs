//! The frame of every page: head, ways to go, foot.

use crate::theme::Theme;
use crate::visit::{Said, Visit};
use crate::{glyph, statics, url, words};
use jiff::civil::DateTime;
use maud::{DOCTYPE, Markup, html};

/// Where in the house a page stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Here {
    /// This morning.
    Morning,
    /// One box; it has its own bar at the foot instead of the ways to go.
    Round,
    /// When is the next moult, cocoon, moth?
    Brood,
    /// How much leaf?
    Leaf,
    /// Will this generation close?
    Odds,
    /// All lines.
    Lines,
    /// Is something wrong?
    Trouble,
    /// None of these.
    Elsewhere,
}

const WAYS: [(Here, &str, &str, &str); 6] = [
    (Here::Morning, "/", "morning", "Morning"),
    (Here::Brood, "/brood", "brood", "Brood"),
    (Here::Leaf, "/leaf", "leaf", "Leaf"),
    (Here::Odds, "/odds", "odds", "Odds"),
    (Here::Lines, "/lines", "lines", "Lines"),
    (Here::Trouble, "/trouble", "trouble", "Trouble"),
];

/// A page with its frame.
#[derive(Debug)]
pub struct Page<'a> {
    /// Theme, address and what was said.
    pub visit: &'a Visit,
    /// Where it stands.
    pub here: Here,
    /// Its name in the window's title.
    pub title: &'a str,
    /// The moment on the keeper's wall, if it is known.
    pub now: Option<DateTime>,
    /// The scratch book's notice.
    pub notice: Option<&'a str>,
    /// What is on it.
    pub body: Markup,
}

impl Page<'_> {
    /// The whole page.
    #[must_use]
    pub fn show(self) -> Markup {
        let Page { visit, here, title, now, notice, body } = self;
        let theme = (visit.theme != Theme::Device).then(|| visit.theme.word());
        html! {
            (DOCTYPE)
            html lang="en" data-theme=[theme] {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content=(if visit.theme == Theme::Light { "light" } else if visit.theme == Theme::Device { "light dark" } else { "dark" });
                    title { (title) " \u{b7} Cocoonery" }
                    link rel="icon" type="image/svg+xml" href=(statics::href("favicon.svg"));
                    @for sheet in ["colours.css", "base.css", "layout.css"] { link rel="stylesheet" href=(statics::href(sheet)); }
                    link rel="stylesheet" media="print" href=(statics::href("print.css"));
                    @for script in ["bench.js", "outbox.js"] { script src=(statics::href(script)) defer {} }
                }
                body class=(if here == Here::Round { "on-round" } else { "" })
                    data-looking[visit.looking]
                    data-day=[now.map(|it| it.date().to_string())]
                    data-noted=[visit.said.as_ref().filter(|it| !it.ids.is_empty()).map(|it| url::round(&it.box_name))] {
                    a.skip href="#main" { "To the page itself" }
                    header.top {
                        a.home href="/" { (glyph::mark()) span { "Cocoonery" } }
                        @if let Some(now) = now {
                            p.today { time datetime=(now) { (words::weekday_day(now.date())) ", " (words::part_of_day(now)) } }
                        }
                    }
                    (ways(here))
                    main id="main" {
                        @if visit.looking { (looking()) }
                        @else if let Some(notice) = notice { p.notice role="note" { (notice) } }
                        div.waits id="waits" role="status" hidden {}
                        @if let Some(said) = &visit.said { (noted_now(said)) }
                        (body)
                    }
                    (foot(visit))
                }
            }
        }
    }
}

fn ways(here: Here) -> Markup {
    html! {
        nav.ways aria-label="Ways to go" {
            ul {
                @for (place, href, sign, word) in WAYS {
                    li { a href=(href) aria-current=[(place == here).then_some("page")] { (glyph::sign(sign)) span { (word) } } }
                }
            }
        }
    }
}

/// What was just saved, with its undo: instead of asking "are you sure" before.
fn noted_now(said: &Said) -> Markup {
    html! {
        div.noted-now role="status" {
            // The sentence may begin with the box already.
            p { @if !said.says.iter().any(|it| it.starts_with(&said.box_name)) { b { (said.box_name) ": " } } (said.says.join("; ")) }
            @if !said.ids.is_empty() {
                form method="post" action=(said.undo) {
                    @for id in &said.ids { input type="hidden" name="id" value=(id); }
                    button.quiet { "Undo" }
                }
            }
        }
    }
}

/// The invented season lies open; nothing of the own book is in danger.
fn looking() -> Markup {
    html! {
        form.looking method="post" action="/season" {
            p { b { "An invented season, to look at." } " Nothing can be noted in it; your own book lies untouched beside it." }
            button.quiet name="look" value="no" { "Back to my own book" }
        }
    }
}

fn foot(visit: &Visit) -> Markup {
    html! {
        footer.foot {
            p { a.pick href="/outbox" { "Notes that wait on this phone" } }
            form.themes method="post" action="/theme" aria-label="Colours of the page" {
                input type="hidden" name="back" value=(visit.path);
                @for (theme, words) in Theme::ALL {
                    button name="theme" value=(theme.word()) aria-pressed=(if theme == visit.theme { "true" } else { "false" }) { (words) }
                }
            }
            p.small { "Forecasts and odds are estimates from few animals. Look at the animal first." }
        }
    }
}
