//! The pages: routes that parse, call and show; views; pictures; styles.
//!
//! Every record form works as plain HTML with scripts off; the one script
//! only adds comforts. Knows no query and no formula.

pub mod book;
pub mod charts;
pub mod csv;
pub mod glyph;
pub mod read;
pub mod round_fields;
pub mod routes;
pub mod shield;
pub mod statics;
pub mod theme;
pub mod typed;
pub mod url;
pub mod views;
pub mod visit;
pub mod words;

pub use routes::{router, serve};
