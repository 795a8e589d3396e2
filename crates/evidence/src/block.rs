//! Cuts a TOML file into its `[[...]]` blocks, so that one smudged block does not cost the others.

use serde::de::DeserializeOwned;

use crate::Complaint;

/// One block of a file and the line its header stands on.
pub(crate) struct Block<'a> {
    pub(crate) text: &'a str,
    pub(crate) line: usize,
}

/// Every block that starts with `header` (such as `[[claim]]`), without the header itself.
pub(crate) fn blocks<'a>(text: &'a str, header: &str) -> Vec<Block<'a>> {
    let mut starts = Vec::new();
    let mut offset = 0;
    for (index, line) in text.split_inclusive('\n').enumerate() {
        if line.trim_end() == header {
            starts.push((offset, offset + line.len(), index + 1));
        }
        offset += line.len();
    }
    let ends = starts.iter().skip(1).map(|&(start, _, _)| start).chain([text.len()]);
    starts
        .iter()
        .zip(ends)
        .map(|(&(_, body, line), end)| Block { text: text.get(body..end).unwrap_or(""), line })
        .collect()
}

/// Reads one block; a block that cannot be read becomes a complaint with the line of the trouble.
pub(crate) fn parse<T: DeserializeOwned>(file: &str, block: &Block<'_>) -> Result<T, Complaint> {
    toml::from_str(block.text).map_err(|error| {
        let before = error.span().and_then(|span| block.text.get(..span.start)).unwrap_or("");
        let line = block.line + 1 + before.matches('\n').count();
        Complaint::at(file, line, plain(error.message()))
    })
}

/// The reader's own words for the two slips that happen most.
pub(crate) fn plain(message: &str) -> String {
    match message.strip_prefix("unknown field ") {
        Some(rest) => format!("there is no field {rest}; a misspelt field would lose its number silently"),
        None => message.trim().to_owned(),
    }
}
