//! What a request brings besides its address: the theme, and what was noted a moment ago.

use crate::theme::Theme;
use crate::url;
use keeper::view::round::Saved;
use std::convert::Infallible;
use uuid::Uuid;

use axum::extract::FromRequestParts;
use axum::http::header::{ACCEPT, COOKIE};
use axum::http::request::Parts;

/// The longest message that is carried from a note to the page after it.
const SAID_BYTES_MAX: usize = 2_000;

/// One visit to a page.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Visit {
    /// The colours chosen.
    pub theme: Theme,
    /// The address, to come back to.
    pub path: String,
    /// What was noted a moment ago.
    pub said: Option<Said>,
    /// The invented season is looked at, not the own book.
    pub looking: bool,
    /// A script asks and wants the answer as JSON.
    pub script: bool,
}

/// What was noted a moment ago, to be shown once, with its undo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// The box, or the place of a thermometer.
    pub box_name: String,
    /// The address at which it is undone.
    pub undo: String,
    /// The entries in words.
    pub says: Vec<String>,
    /// The entries; none after an undo.
    pub ids: Vec<Uuid>,
}

impl Said {
    /// What was noted at a box.
    #[must_use]
    pub fn at_box(name: &str, saved: &Saved) -> Said {
        Said::of(name, url::round(name) + "/undo", saved)
    }

    /// What was noted about something, with the address of its undo.
    #[must_use]
    pub fn of(about: &str, undo: String, saved: &Saved) -> Said {
        Said { box_name: about.to_owned(), undo, says: saved.says.clone(), ids: saved.ids.clone() }
    }

    /// As the value of a cookie.
    #[must_use]
    pub fn to_cookie(&self) -> String {
        let ids: Vec<String> = self.ids.iter().map(Uuid::to_string).collect();
        let says: String = self.says.join("\n").chars().take(400).collect();
        let value = format!(
            "{}.{}.{}.{}",
            url::segment(&self.box_name).replace('.', "%2E"),
            url::segment(&self.undo).replace('.', "%2E"),
            ids.join("_"),
            url::segment(&says).replace('.', "%2E")
        );
        // Ids that do not fit are not worth a message that cannot be read.
        if value.len() <= SAID_BYTES_MAX { value } else { String::new() }
    }

    /// Reads what [`Said::to_cookie`] wrote.
    #[must_use]
    pub fn from_cookie(value: &str) -> Option<Said> {
        if value.len() > SAID_BYTES_MAX {
            return None;
        }
        let mut parts = value.split('.');
        let (name, undo) = (parts.next()?, url::unsegment(parts.next()?)?);
        let (ids, says) = (parts.next()?, parts.next()?);
        let ids = ids
            .split('_')
            .filter(|it| !it.is_empty())
            .map(|it| it.parse().ok())
            .collect::<Option<Vec<Uuid>>>()?;
        Some(Said {
            box_name: url::unsegment(name)?,
            undo: url::back_to(&undo).to_owned(),
            says: url::unsegment(says)?.lines().map(str::to_owned).collect(),
            ids,
        })
    }
}

impl Visit {
    /// Reads the cookies of a request.
    #[must_use]
    pub fn of(path: &str, cookies: &str) -> Visit {
        let cookie = |name: &str| {
            cookies
                .split(';')
                .filter_map(|it| it.trim().split_once('='))
                .find(|(it, _)| *it == name)
                .map(|(_, value)| value)
        };
        Visit {
            theme: cookie("theme").map(Theme::of).unwrap_or_default(),
            path: url::back_to(path).to_owned(),
            said: cookie("said").and_then(Said::from_cookie),
            looking: cookie("season") == Some("look"),
            script: false,
        }
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Visit {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Infallible> {
        let cookies: Vec<&str> =
            parts.headers.get_all(COOKIE).iter().filter_map(|it| it.to_str().ok()).collect();
        let wanted = parts.headers.get(ACCEPT).and_then(|it| it.to_str().ok()).unwrap_or("");
        let visit = Visit::of(parts.uri.path_and_query().map_or("/", |it| it.as_str()), &cookies.join("; "));
        Ok(Visit { script: wanted.contains("application/json"), ..visit })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_said_comes_back_whole() {
        let said = Said {
            box_name: "H.07 ä".to_owned(),
            undo: url::round("H.07 ä") + "/undo",
            says: vec!["2 moulted; into H08.".to_owned(), "1 dead (\"ripe\")".to_owned()],
            ids: vec![Uuid::from_u128(7), Uuid::from_u128(8)],
        };
        let cookie = said.to_cookie();
        assert!(cookie.bytes().all(|it| it.is_ascii_graphic() && !matches!(it, b';' | b',' | b'"' | b'\\')));
        assert_eq!(Visit::of("/", &format!("theme=night; said={cookie}")).said, Some(said));
    }

    #[test]
    fn smudged_cookies_are_no_message() {
        for value in ["", "a", "a.b", "a.%2Fu.not-an-id.c", "%FF.%2Fu..x", "a.%2Fu..%4", "a.%2Fu.c"] {
            assert_eq!(Said::from_cookie(value), None, "{value}");
        }
        assert_eq!(Visit::of("/", "theme=purple").theme, Theme::Device);
    }
}
