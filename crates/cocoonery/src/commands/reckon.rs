//! `reckon`: one figure of the bench mathematics, or a whole file of them.

use super::print::{json_out, out};
use crate::Global;
use crate::exit::{BadWords, Exit};
use anyhow::{Context, Result};
use std::path::PathBuf;

/// Words of `reckon`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// What to compute; see --list
    quantity: Option<String>,
    /// The inputs, as one JSON object
    inputs: Option<String>,
    /// List every quantity with its inputs, units and source
    #[arg(long, conflicts_with_all = ["quantity", "cases"])]
    list: bool,
    /// Compute every row of a table with the columns case, quantity, inputs
    #[arg(long, value_name = "FILE.csv", conflicts_with = "quantity")]
    cases: Option<PathBuf>,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    if words.list {
        return list(global);
    }
    if let Some(file) = &words.cases {
        let bytes = std::fs::read(file).with_context(|| format!("{} cannot be read", file.display()))?;
        let text = String::from_utf8(bytes)
            .map_err(|_| BadWords(format!("{} is no text in UTF-8: save it as CSV UTF-8", file.display())))?;
        let computed = keeper::reckon::cases(&text)
            .map_err(|refused| BadWords(format!("{}: {refused}; nothing was computed", file.display())))?;
        out(computed.trim_end())?;
        return Ok(Exit::Ok);
    }
    let Some(quantity) = &words.quantity else {
        return Err(BadWords("say what to compute, or ask for --list".to_owned()).into());
    };
    let inputs = words.inputs.as_deref().unwrap_or("{}");
    let inputs: serde_json::Value = serde_json::from_str(inputs).map_err(|error| {
        BadWords(format!("the inputs are no JSON object ({error}); nothing was computed"))
    })?;
    let computed = keeper::reckon::reckon(quantity, &inputs)
        .map_err(|refused| BadWords(format!("{refused}; nothing was computed")))?;
    json_out(&computed)?;
    Ok(Exit::Ok)
}

fn list(global: &Global) -> Result<Exit> {
    let register = keeper::reckon::register();
    if global.json {
        json_out(&serde_json::to_value(register)?)?;
        return Ok(Exit::Ok);
    }
    for it in register {
        let inputs: Vec<String> = it
            .inputs
            .iter()
            .map(|input| if input.needed { input.name.to_owned() } else { format!("[{}]", input.name) })
            .collect();
        out(&format!(
            "{}  {}\n    gives {} ({}); {}",
            it.name,
            inputs.join(", "),
            it.result,
            it.unit,
            it.source
        ))?;
    }
    Ok(Exit::Ok)
}
