//! Questions on which keepers' sources disagree, with the sides side by side.

use serde::Deserialize;

use crate::Complaint;
use crate::block::{blocks, parse};

/// One side of a question and the claims that take it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Side {
    /// The side in a few words.
    pub says: String,
    /// Ids of the claims that take it.
    pub claims: Vec<String>,
}

/// A question a keeper asks to which the sources give different answers.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Question {
    /// Its name in links.
    pub id: String,
    /// The question as a keeper asks it.
    pub asks: String,
    /// Latin name, where it is about one species.
    pub species: Option<String>,
    /// The sides, never merged.
    pub sides: Vec<Side>,
    /// What a careful reader can say about it today.
    pub standing: Option<String>,
}

/// Reads the questions of one file; a question that cannot be used is complained of, the others are kept.
pub fn read_questions(file: &str, text: &str) -> (Vec<Question>, Vec<Complaint>) {
    let mut questions = Vec::new();
    let mut complaints = Vec::new();
    for block in blocks(text, "[[question]]") {
        match parse::<Question>(file, &block) {
            Ok(question) if question.sides.is_empty() => complaints.push(Complaint::at(
                file,
                block.line,
                format!("the question `{}` has no side", question.id),
            )),
            Ok(question) => questions.push(question),
            Err(complaint) => complaints.push(complaint),
        }
    }
    (questions, complaints)
}
