//! Light, dark, night-red: chosen once, kept in a cookie.

/// How the pages are coloured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// As the device likes it.
    #[default]
    Device,
    /// Ink on paper.
    Light,
    /// Paper on ink.
    Dark,
    /// Red on black: keeps the eyes, and the moths, in the dark.
    Night,
}

impl Theme {
    /// Every theme with the words on its button.
    pub const ALL: [(Theme, &'static str); 4] = [
        (Theme::Device, "As the device"),
        (Theme::Light, "Light"),
        (Theme::Dark, "Dark"),
        (Theme::Night, "Night red"),
    ];

    /// The word in the cookie, the form and the page.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Theme::Device => "device",
            Theme::Light => "light",
            Theme::Dark => "dark",
            Theme::Night => "night",
        }
    }

    /// The theme of a word; anything unknown is left to the device.
    #[must_use]
    pub fn of(word: &str) -> Theme {
        Theme::ALL.into_iter().map(|(theme, _)| theme).find(|theme| theme.word() == word).unwrap_or_default()
    }
}
