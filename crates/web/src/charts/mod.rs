//! Pictures drawn on the server: plain SVG, coloured by class, with their words beside them.
//!
//! Every picture comes in a narrow and a wide drawing, because text inside a
//! wide drawing shrinks below reading size on a phone; the style sheet shows
//! the one that fits. A picture never stands alone: [`Figure`] cannot be made
//! without a sentence, a text alternative and a table.

pub mod axis;
pub mod dots;
pub mod history;
pub mod leaf_days;
pub mod losses;
pub mod moths;
pub mod strip;
pub mod turns;
pub mod weight_loss;

use crate::csv::Table;
use maud::{Markup, html};

/// The room a drawing has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// A phone held upright.
    Narrow,
    /// Anything wider.
    Wide,
}

impl Room {
    /// The width of the drawing in its own units; on a phone of 360 px one unit is one pixel.
    #[must_use]
    pub fn width(self) -> f64 {
        match self {
            Room::Narrow => 328.0,
            Room::Wide => 680.0,
        }
    }

    fn class(self) -> &'static str {
        match self {
            Room::Narrow => "narrow",
            Room::Wide => "wide",
        }
    }
}

/// A picture with everything that must stand beside it.
#[derive(Debug, Clone)]
pub struct Figure {
    /// Unique on its page.
    pub id: String,
    /// What the picture is of.
    pub title: String,
    /// What can be seen in it, for those who do not see it.
    pub desc: String,
    /// The answer in one sentence, with its numbers.
    pub says: String,
    /// How the picture is read, in a short line; empty if it needs none.
    pub key: String,
    /// The drawing for a phone: height and content.
    pub narrow: (f64, Markup),
    /// The drawing for a wide page.
    pub wide: (f64, Markup),
    /// Its numbers.
    pub table: Table,
    /// Where its numbers can be had as CSV.
    pub csv: String,
}

impl Figure {
    /// The whole figure: sentence, drawing, key, numbers.
    #[must_use]
    pub fn show(&self) -> Markup {
        html! {
            figure.picture {
                p.say { (self.says) }
                (self.drawn(Room::Narrow, &self.narrow))
                (self.drawn(Room::Wide, &self.wide))
                figcaption {
                    @if !self.key.is_empty() { p.key { (self.key) } }
                    details.numbers {
                        summary { "Numbers" span.away { " of: " (self.title) } }
                        (table(&self.title, &self.table))
                        p { a.pick href=(self.csv) { "Take these numbers as CSV" } }
                    }
                }
            }
        }
    }

    fn drawn(&self, room: Room, (height, content): &(f64, Markup)) -> Markup {
        drawing(
            &format!("{}-{}", self.id, room.class()),
            room.class(),
            &self.title,
            &self.desc,
            (room.width(), *height),
            content,
        )
    }
}

/// One SVG with its name and its text alternative.
#[must_use]
pub fn drawing(id: &str, class: &str, title: &str, desc: &str, size: (f64, f64), content: &Markup) -> Markup {
    html! {
        svg class={ "chart " (class) } viewBox={ "0 0 " (size.0) " " (px(size.1)) } role="img"
            aria-labelledby={ (id) "-t " (id) "-d" } {
            title id={ (id) "-t" } { (title) }
            desc id={ (id) "-d" } { (desc) }
            (content)
        }
    }
}

/// A table of numbers; columns whose cells are all numbers stand to the right.
#[must_use]
pub fn table(caption: &str, table: &Table) -> Markup {
    let numeric: Vec<bool> = (0..table.head.len())
        .map(|column| {
            let mut cells =
                table.rows.iter().filter_map(|row| row.get(column)).filter(|it| !it.is_empty()).peekable();
            cells.peek().is_some() && cells.all(|it| it.trim_end_matches('%').parse::<f64>().is_ok())
        })
        .collect();
    let class = |column: usize| if numeric.get(column) == Some(&true) { "n" } else { "" };
    html! {
        div.scroll tabindex="0" role="group" aria-label=(caption) {
            table {
                caption.away { (caption) }
                thead { tr { @for (column, name) in table.head.iter().enumerate() { th scope="col" class=(class(column)) { (plain_head(name)) } } } }
                tbody {
                    @for row in &table.rows {
                        tr { @for (column, cell) in row.iter().enumerate() { td class=(class(column)) { (cell) } } }
                    }
                }
            }
        }
    }
}

/// A CSV column name as a person reads it: `leaf_fresh_g` becomes `leaf fresh, g`.
fn plain_head(name: &str) -> String {
    for unit in ["g", "kpa", "c", "d"] {
        if let Some(stem) = name.strip_suffix(unit).and_then(|it| it.strip_suffix('_')) {
            return format!("{}, {unit}", stem.replace('_', " "));
        }
    }
    name.replace('_', " ")
}

/// A coordinate with one decimal, so that pages stay small.
#[must_use]
pub fn px(value: f64) -> String {
    crate::words::plain(if value.is_finite() { value } else { 0.0 }, 1)
}
