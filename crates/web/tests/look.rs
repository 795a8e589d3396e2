//! Budgets and contrast of the style sheets.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

use std::collections::HashMap;
use web::statics;

fn content(name: &str) -> &'static str {
    statics::ALL.iter().find(|it| it.name == name).unwrap().content
}

fn sheets() -> Vec<(&'static str, &'static str)> {
    statics::ALL.iter().filter(|it| it.name.ends_with(".css")).map(|it| (it.name, it.content)).collect()
}

#[test]
fn four_sheets_of_1200_lines_and_two_scripts_of_400() {
    assert_eq!(sheets().len(), 4);
    let lines: usize = sheets().iter().map(|(_, it)| it.lines().count()).sum();
    assert!(lines <= 1_200, "{lines} lines of CSS");
    let scripts = ["bench.js", "outbox.js"].map(|it| content(it).lines().count());
    assert!(scripts.iter().sum::<usize>() <= 400, "{scripts:?} lines of script");
    // A line is a line: nothing was squeezed into few long ones.
    for (name, sheet) in sheets() {
        assert!(sheet.lines().all(|it| it.chars().count() <= 260), "{name}");
    }
}

#[test]
fn a_colour_is_named_once_by_its_duty() {
    for (name, sheet) in sheets() {
        for (number, line) in sheet.lines().enumerate() {
            let variable = line.trim_start().starts_with("--");
            let hex = line
                .split('#')
                .skip(1)
                .any(|it| it.len() >= 3 && it.bytes().take(3).all(|byte| byte.is_ascii_hexdigit()));
            let named = ["rgb(", "hsl(", "oklch(", ": black", ": white", ": red", ": green", ": gray"]
                .iter()
                .any(|it| line.contains(it));
            assert!(variable || !hex && !named, "{name}:{}: {line}", number + 1);
        }
    }
}

#[test]
fn no_hover_no_drag_and_motion_only_where_wanted() {
    for (name, sheet) in sheets() {
        assert!(!sheet.contains(":hover"), "{name}");
        for moving in ["transition", "animation"] {
            if let Some(at) = sheet.find(moving) {
                assert!(
                    sheet[..at].contains("prefers-reduced-motion: no-preference"),
                    "{name} moves for everybody"
                );
            }
        }
    }
    for script in ["bench.js", "outbox.js"].map(content) {
        for word in
            ["touchstart", "mousedown", "dragstart", "contextmenu", "innerHTML", "eval(", "document.write"]
        {
            assert!(!script.contains(word), "{word}");
        }
    }
}

/// The variables of each set: light, dark by the device, dark, night.
fn themes() -> Vec<(&'static str, HashMap<&'static str, [f64; 3]>)> {
    let sheet = content("colours.css");
    let set = |start: &str| {
        let block = sheet.split_once(start).unwrap().1.split('}').next().unwrap();
        block
            .lines()
            .filter_map(|line| line.trim().strip_prefix("--")?.split_once(": #"))
            .map(|(name, hex)| {
                let channel =
                    |at: usize| f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
                (name, [channel(0), channel(2), channel(4)])
            })
            .collect::<HashMap<_, _>>()
    };
    vec![
        ("light", set(":root {")),
        ("device", set(":root:not([data-theme]) {")),
        ("dark", set("[data-theme=\"dark\"] {")),
        ("night", set("[data-theme=\"night\"] {")),
    ]
}

/// Contrast as WCAG 2.2 defines it (relative luminance of sRGB, then (L1 + 0.05) / (L2 + 0.05)).
fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let luminance = |colour: [f64; 3]| {
        let [r, g, b] =
            colour.map(|it| if it <= 0.040_45 { it / 12.92 } else { ((it + 0.055) / 1.055).powf(2.4) });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn the_contrast_formula_is_that_of_wcag() {
    // WCAG 2.2: black on white is 21 to 1. #767676 on white is the customary lightest grey that passes 4.5 to 1.
    assert!((contrast([0.0; 3], [1.0; 3]) - 21.0).abs() < 1e-9);
    let grey = f64::from(0x76) / 255.0;
    assert!((contrast([grey; 3], [1.0; 3]) - 4.54).abs() < 0.005);
}

#[test]
fn letters_keep_4_5_to_1_and_marks_3_to_1_in_every_theme() {
    for (theme, colour) in themes() {
        for (letters, ground) in [
            ("ink", "paper"),
            ("ink", "card"),
            ("ink", "leaf-pale"),
            ("ink", "care-pale"),
            ("soft", "paper"),
            ("soft", "card"),
            ("soft", "leaf-pale"),
            ("leaf", "paper"),
            ("leaf", "card"),
            ("care", "paper"),
            ("care", "care-pale"),
            ("on-leaf", "leaf"),
        ] {
            let got = contrast(colour[letters], colour[ground]);
            assert!(got >= 4.5, "{theme}: {letters} on {ground} is {got:.2}");
        }
        for (mark, ground) in [
            ("edge", "paper"),
            ("edge", "card"),
            ("leaf", "leaf-pale"),
            ("thread", "paper"),
            ("thread", "leaf-pale"),
            ("care", "care-pale"),
            ("leaf", "paper"),
        ] {
            let got = contrast(colour[mark], colour[ground]);
            assert!(got >= 3.0, "{theme}: the mark {mark} on {ground} is {got:.2}");
        }
    }
}

#[test]
fn dark_by_the_device_and_dark_by_choice_are_the_same() {
    let themes = themes();
    assert_eq!(themes[1].1, themes[2].1);
    for (name, theme) in &themes {
        assert_eq!(theme.len(), themes[0].1.len(), "{name} lacks a colour");
    }
}

#[test]
fn night_red_holds_hardly_any_blue() {
    for (name, [r, g, b]) in &themes()[3].1 {
        assert!(b <= r && g <= r && *b <= 0.5 * r + 0.02, "{name}");
    }
}

#[test]
fn paper_is_black_on_white_and_large_enough() {
    let print = content("print.css");
    assert!(print.contains("--paper: #ffffff") && print.contains("--ink: #000000"));
    for size in print.split("font-size: ").skip(1) {
        let points: f64 = size.split("pt").next().unwrap().parse().unwrap();
        assert!(points >= 11.0, "{points} pt on paper");
    }
}
