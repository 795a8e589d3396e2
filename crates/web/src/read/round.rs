//! The form of one box, read against the box it belongs to.

use super::numbers;
use crate::round_fields::{self as fields, Move};
use crate::typed::{Complaint, Typed};
use crate::words;
use keeper::view::round::{BoxRound, Dead, MovedOn, RoundNote};
use terms::Stage;
use uuid::Uuid;

/// The longest remark.
pub const REMARK_CHARS_MAX: usize = 500;

/// Where to go when it is noted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Go {
    /// To the next box.
    Next,
    /// Stay at this one.
    Stay,
}

/// What was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Read {
    /// What is to be noted; `None` at an empty box where nothing was chosen.
    pub note: Option<RoundNote>,
    /// And then.
    pub go: Go,
}

/// Reads the form of one box.
///
/// # Errors
/// Everything that cannot be read or cannot be meant, each with what to do;
/// then nothing of the form is to be noted.
pub fn read(view: &BoxRound, typed: &Typed) -> Result<Read, Vec<Complaint>> {
    let mut form = Form { view, typed, complaints: Vec::new() };
    let fed_only = typed.word("go") == "fed";
    let go = if typed.word("go") == "stay" { Go::Stay } else { Go::Next };
    let empty = fields::all_n(view) == 0;

    let mut note = RoundNote {
        id: form.id(),
        moved_on: form.moved_on(),
        dead: form.dead(),
        short: form.short(),
        found: form.found(),
        eggs_failed: form.eggs_failed(),
        in_moult: form.in_moult(),
        leaf_offered_fresh_g: form.leaf_offered(),
        leaf_left_fresh_g: form.grams("leaf_left"),
        remark: form.remark(),
        close: typed.word("close") == "yes",
        fed_only,
        ..RoundNote::default()
    };
    if note.close && !empty {
        form.complain(
            "close",
            format!(
                "{} is not empty in the book: {} should be in it. Note first where they went.",
                view.name,
                words::holds(&view.expected)
            ),
        );
    }
    match typed.word("left") {
        "other" if fed_only => form.complain(
            "left",
            "You chose other numbers, and \u{201c}fed only, not counted\u{201d}. Take one of the two."
                .to_owned(),
        ),
        "other" => {
            note.seen = form.seen();
            note.counted = true;
        }
        "none" => {}
        "expected" | "" => note.counted = !fed_only && !empty,
        other => form.complain(
            "left",
            format!("\u{201c}{other}\u{201d} is no way to count. Choose all, other numbers, or not counted."),
        ),
    }
    form.sums(&note);
    if !form.complaints.is_empty() {
        return Err(form.complaints);
    }
    let nothing = RoundNote { id: note.id, ..RoundNote::default() } == note;
    match (nothing, empty) {
        (true, true) => Ok(Read { note: None, go }),
        (true, false) => Err(vec![Complaint {
            field: "left".to_owned(),
            says: "Nothing was chosen yet. Tap what you saw, or \u{201c}Fed only, not counted\u{201d}."
                .to_owned(),
        }]),
        (false, _) => Ok(Read { note: Some(note), go }),
    }
}

struct Form<'a> {
    view: &'a BoxRound,
    typed: &'a Typed,
    complaints: Vec<Complaint>,
}

impl Form<'_> {
    fn complain(&mut self, field: &str, says: String) {
        self.complaints.push(Complaint { field: field.to_owned(), says });
    }

    fn id(&mut self) -> Option<Uuid> {
        let word = self.typed.word("id");
        let id = word.parse().ok();
        if id.is_none() && !word.is_empty() {
            self.complain(
                "id",
                "This page came through damaged. Open the box again and note it once more.".to_owned(),
            );
        }
        id
    }

    /// The number of a row of chips, or of the field beside it; `None` if nothing was chosen.
    fn number(&mut self, name: &str) -> Option<u32> {
        let or = fields::or_field(name);
        let (chip, written) = (self.typed.word(name), self.typed.word(&or));
        let read = |word: &str| if word.is_empty() { Ok(None) } else { numbers::animals(word).map(Some) };
        match (read(chip), read(written)) {
            (Err(says), _) => self.complain(name, says),
            (_, Err(says)) => self.complain(&or, says),
            (Ok(Some(tapped)), Ok(Some(wrote))) if tapped != wrote => {
                self.complain(
                    &or,
                    format!("You tapped {tapped} and wrote {wrote}. Which is it? Clear one of them."),
                );
            }
            (Ok(tapped), Ok(wrote)) => return wrote.or(tapped),
        }
        None
    }

    /// A number of animals that did something: nothing chosen and nought are the same.
    fn some(&mut self, name: &str) -> Option<u32> {
        self.number(name).filter(|n| *n > 0)
    }

    /// The stage a number belongs to.
    fn stage(&mut self, name: &str, among: &[Stage]) -> Option<Stage> {
        let word = self.typed.word(name);
        let stage = match (word.parse::<Stage>(), among) {
            (Ok(stage), _) => Some(stage),
            (Err(_), [only]) if word.is_empty() => Some(*only),
            (Err(_), _) => None,
        };
        let known = stage.filter(|it| among.contains(it));
        if known.is_none() {
            let here: Vec<String> = among.iter().map(|it| words::stage_after(*it, 2)).collect();
            let choose = if here.is_empty() {
                "The book has nobody here.".to_owned()
            } else {
                format!("Choose {}.", words::listed(&here, "or"))
            };
            self.complain(
                name,
                match stage {
                    Some(stage) => format!(
                        "The book has no {} in {}. {choose}",
                        words::stage_after(stage, 2),
                        self.view.name
                    ),
                    None => format!("It is not said in which stage. {choose}"),
                },
            );
        }
        known
    }

    /// No more than the book has; those found again today may be among them.
    fn at_most(&mut self, name: &str, did: &str, n: u32, stage: Stage, book: u32) -> Option<u32> {
        if n <= book {
            return Some(n);
        }
        let says = format!(
            "{n} {did}, but the book has only {} in {}. Count once more; if there are more, say so under \u{201c}left in the box, other numbers\u{201d}.",
            words::stage_count(stage, book),
            self.view.name
        );
        self.complain(name, says);
        None
    }

    fn moved_on(&mut self) -> Option<MovedOn> {
        let n = self.some("moved_n")?;
        let moves = fields::moves(self.view);
        let word = self.typed.word("moved_what");
        let what: Option<Move> = match (word, moves.as_slice()) {
            ("", [only]) => Some(*only),
            _ => moves.iter().copied().find(|it| it.value() == word),
        };
        let Some(what) = what else {
            let ways: Vec<String> = moves.iter().map(|it| it.words()).collect();
            self.complain("moved_what", if ways.is_empty() {
                format!("Nobody in {} can have moved on, as the book stands now.", self.view.name)
            } else {
                format!("It is not said what they did, or the book has moved on since this page was opened. Choose {}.", words::listed(&ways, "or"))
            });
            return None;
        };
        let n = self.at_most("moved_n", what.verb(), n, what.from, self.with_found(what.from))?;
        let (into, into_is_new) = self.into()?;
        Some(MovedOn { from: what.from, n, spun: what.spun, into, into_is_new })
    }

    /// The box they went into: `None` inside means they stayed.
    fn into(&mut self) -> Option<(Option<String>, bool)> {
        let word = self.typed.word("moved_into");
        if matches!(word, "" | "stay") {
            return Some((None, false));
        }
        if let Some(name) = word.strip_prefix("box:") {
            if self.view.takers.iter().any(|it| it.name == name) {
                return Some((Some(name.to_owned()), false));
            }
            self.complain("moved_into", format!("There is no open box \u{201c}{name}\u{201d} that takes them. Choose one of the boxes shown."));
            return None;
        }
        let name = word.strip_prefix("fresh:").map(|name| terms::label::label("box", name));
        match name {
            Some(Ok(name)) if name == self.view.name => self.complain(
                "moved_into",
                "They cannot move into the box they are in. Choose \u{201c}they stay here\u{201d}."
                    .to_owned(),
            ),
            Some(Ok(name)) => return Some((Some(name.to_owned()), true)),
            Some(Err(bad)) => self.complain("moved_into", format!("{bad}.")),
            None => self.complain(
                "moved_into",
                "It is not said into which box they went. Choose one of the boxes shown.".to_owned(),
            ),
        }
        None
    }

    fn dead(&mut self) -> Option<Dead> {
        let n = self.some("dead_n")?;
        let mut among = fields::stages_seen(self.view);
        among.retain(|it| *it != Stage::Egg);
        let stages: Vec<Stage> =
            fields::stages(self.view).into_iter().filter(|it| *it != Stage::Egg).collect();
        let stage = self.stage("dead_stage", if stages.is_empty() { &among } else { &stages })?;
        let n = self.at_most("dead_n", "dead", n, stage, self.with_found(stage))?;
        let sign = self.typed.word("sign").to_owned();
        if !sign.is_empty() && !self.view.signs.contains(&sign) {
            self.complain("sign", format!("\u{201c}{}\u{201d} is not on the list of signs. Choose one that is, and put the rest into the remark.", sign.chars().take(40).collect::<String>()));
            return None;
        }
        let remark = self.text("dead_remark", 200)?;
        Some(Dead { stage, n, sign, remark })
    }

    fn short(&mut self) -> Option<(Stage, u32)> {
        let n = self.some("short_n")?;
        let stage = self.stage("short_stage", &fields::stages(self.view))?;
        let n = self.at_most("short_n", "short", n, stage, fields::expected_n(self.view, stage))?;
        Some((stage, n))
    }

    fn found(&mut self) -> Option<(Stage, u32)> {
        let n = self.some("found_n")?;
        let mut among = fields::stages(self.view);
        if among.is_empty() {
            among = (1..=terms::stage::INSTARS_MAX).map(Stage::Larva).collect();
        }
        let stage = self.stage("found_stage", &among)?;
        if n > self.view.missing {
            let says = format!(
                "{n} found, but only {} of {} are missing in the book. Count once more; if there are more than that, say so under \u{201c}left in the box, other numbers\u{201d}.",
                self.view.missing, self.view.line
            );
            self.complain("found_n", says);
            return None;
        }
        Some((stage, n))
    }

    fn eggs_failed(&mut self) -> Option<u32> {
        let n = self.some("failed_n")?;
        let book = fields::expected_n(self.view, Stage::Egg);
        self.at_most("failed_n", "will not hatch", n, Stage::Egg, book)
    }

    /// How many the book has of a stage, with those found again on this page.
    fn with_found(&self, stage: Stage) -> u32 {
        let written = self.typed.word(&fields::or_field("found_n"));
        let n = if written.is_empty() { self.typed.word("found_n") } else { written };
        // More than are missing is complained of by `found`.
        let found = match (n.parse::<u32>(), self.typed.word("found_stage").parse::<Stage>()) {
            (Ok(n), Ok(it)) if it == stage => n,
            (Ok(n), Err(_)) if fields::stages(self.view) == [stage] => n,
            _ => 0,
        };
        fields::expected_n(self.view, stage).saturating_add(found)
    }

    /// Everything that left one stage together may not be more than was in it.
    fn sums(&mut self, note: &RoundNote) {
        for stage in fields::stages(self.view) {
            let moved = note.moved_on.as_ref().filter(|it| it.from == stage).map_or(0, |it| it.n);
            let dead = note.dead.as_ref().filter(|it| it.stage == stage).map_or(0, |it| it.n);
            let short = note.short.filter(|(it, _)| *it == stage).map_or(0, |(_, n)| n);
            let failed = if stage == Stage::Egg { note.eggs_failed.unwrap_or(0) } else { 0 };
            let all = u64::from(moved) + u64::from(dead) + u64::from(short) + u64::from(failed);
            let book = self.with_found(stage);
            if all > u64::from(book) {
                let parts: Vec<String> =
                    [(moved, "moved on"), (dead, "dead"), (short, "short"), (failed, "will not hatch")]
                        .into_iter()
                        .filter(|(n, _)| *n > 0)
                        .map(|(n, what)| format!("{n} {what}"))
                        .collect();
                let says = format!(
                    "{} make {all}, but the book has only {} in {}. Count once more.",
                    words::upper_first(&words::listed(&parts, "and")),
                    words::stage_count(stage, book),
                    self.view.name
                );
                self.complain("moved_n", says);
            }
        }
    }

    fn seen(&mut self) -> Option<Vec<(Stage, u32)>> {
        let mut seen = Vec::new();
        let mut said = false;
        for stage in fields::stages_seen(self.view) {
            let Some(n) = self.number(&fields::seen_field(stage)) else { continue };
            said = true;
            if n > 0 || fields::expected_n(self.view, stage) > 0 {
                seen.push((stage, n));
            }
        }
        if !said && self.complaints.is_empty() {
            self.complain(
                "left",
                "You chose other numbers, but none is given. Tap how many you see of each stage.".to_owned(),
            );
        }
        Some(seen)
    }

    fn in_moult(&mut self) -> Vec<(Stage, u32)> {
        let mut sit = Vec::new();
        for stage in fields::stages(self.view).into_iter().filter(|it| it.is_larva()) {
            let name = fields::moult_field(stage);
            if let Some(n) = self.some(&name)
                && let Some(n) = self.at_most(&name, "in moult", n, stage, self.with_found(stage))
            {
                sit.push((stage, n));
            }
        }
        sit
    }

    fn grams(&mut self, name: &str) -> Option<f64> {
        let word = self.typed.word(name);
        if word.is_empty() {
            return None;
        }
        numbers::leaf_fresh_g(word).map_err(|says| self.complain(name, says)).ok()
    }

    fn leaf_offered(&mut self) -> Option<f64> {
        let (tapped, wrote) = (self.grams("leaf"), self.grams("leaf_or"));
        if let (Some(tapped), Some(wrote)) = (tapped, wrote)
            && (tapped - wrote).abs() > 1e-9
        {
            self.complain(
                "leaf_or",
                format!(
                    "You tapped {} and wrote {}. Which is it? Clear one of them.",
                    words::grams(tapped),
                    words::grams(wrote)
                ),
            );
            return None;
        }
        wrote.or(tapped)
    }

    fn text(&mut self, name: &str, chars_max: usize) -> Option<String> {
        let word = self.typed.word(name);
        let chars = word.chars().count();
        if chars > chars_max {
            self.complain(name, format!("The remark has {chars} letters; {chars_max} fit. Shorten it."));
            None
        } else if word.chars().any(|it| it.is_control() && it != '\n' && it != '\r') {
            self.complain(
                name,
                "The remark holds a sign that cannot be printed. Write it once more by hand.".to_owned(),
            );
            None
        } else {
            Some(word.replace("\r\n", "\n"))
        }
    }

    fn remark(&mut self) -> String {
        let remark = self.text("remark", REMARK_CHARS_MAX).unwrap_or_default();
        let paper = self.typed.word("paper") == "yes";
        match (paper, remark.is_empty()) {
            (true, true) => "fresh paper".to_owned(),
            (true, false) => format!("fresh paper; {remark}"),
            (false, _) => remark,
        }
    }
}
