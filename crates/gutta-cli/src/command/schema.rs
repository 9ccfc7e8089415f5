//! `gutta schema`: the JSON schema of an answer.

use clap::Args;
use serde_json::{Value as Json, json};

use crate::failure::{Failure, Outcome};
use crate::render::json::{self, Form};
use crate::speak;

const EXAMPLES: &str = "\
Examples:
  gutta schema
  gutta schema water
  gutta schema moisture before
  gutta schema error";

/// The JSON schema of an answer; of all answers when none is named.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct SchemaArgs {
    /// The command, such as water or moisture before, or error
    #[arg(value_name = "COMMAND")]
    command: Vec<String>,
}

/// The commands that answer in JSON, with the keys of their answers.
pub static COMMANDS: &[(&str, &[Form])] = &[
    ("water", speak::water::FORMS),
    ("dropper", speak::dropper::FORMS),
    ("dose", speak::dose::FORMS),
    ("dilute", speak::dilute::FORMS),
    ("series", speak::series::FORMS),
    ("liquid show", speak::liquid::SHOW_FORMS),
    ("liquid mix", speak::liquid::MIX_FORMS),
    ("liquid dilute", speak::liquid::DILUTE_FORMS),
    ("casing", speak::casing::FORMS),
    ("formula show", speak::formula::SHOW_FORMS),
    ("formula compare", speak::formula::COMPARE_FORMS),
    ("formula change", speak::formula::CHANGE_FORMS),
    ("formula premix", speak::premix::FORMS),
    ("formula strip", speak::strip::FORMS),
    ("sheet", speak::sheet::FORMS),
    ("spoons", speak::spoons::FORMS),
    ("repair ratio", speak::repair::RATIO_FORMS),
    ("repair top-up", speak::repair::TOP_UP_FORMS),
    ("repair flavour", speak::repair::FLAVOUR_FORMS),
    ("repair soaked", speak::repair::SOAKED_FORMS),
    ("repair wet", speak::repair::WET_FORMS),
    ("trial begin", speak::sheet::BEGIN_FORMS),
    ("trial add", speak::making::ADD_FORMS),
    ("trial show", speak::making::SHOW_FORMS),
    ("trial list", speak::making::LIST_FORMS),
    ("trial tree", speak::making::TREE_FORMS),
    ("trial compare", speak::making::COMPARE_FORMS),
    ("batch begin", speak::sheet::BEGIN_FORMS),
    ("batch add", speak::making::ADD_FORMS),
    ("batch show", speak::making::SHOW_FORMS),
    ("batch list", speak::making::LIST_FORMS),
    ("batch tree", speak::making::TREE_FORMS),
    ("batch compare", speak::making::COMPARE_FORMS),
    ("batch plan", speak::batch::plan::FORMS),
    ("batch cheapest", speak::batch::cheapest::FORMS),
    ("batch packs", speak::batch::packs::FORMS),
    ("batch record", speak::batch::record::FORMS),
    ("batch labels", speak::batch::labels::FORMS),
    ("batch reconcile", speak::batch::reconcile::FORMS),
    ("jar fill", speak::jar::WRITTEN_FORMS),
    ("jar weigh", speak::jar::WRITTEN_FORMS),
    ("jar take", speak::jar::WRITTEN_FORMS),
    ("jar put", speak::jar::WRITTEN_FORMS),
    ("jar water", speak::jar::WRITTEN_FORMS),
    ("jar show", speak::jar::SHOW_FORMS),
    ("lot in", speak::lot::WRITTEN_FORMS),
    ("lot take", speak::lot::WRITTEN_FORMS),
    ("lot weigh", speak::lot::WRITTEN_FORMS),
    ("lot show", speak::lot::SHOW_FORMS),
    ("journal note", speak::journal::WRITTEN_FORMS),
    ("journal list", speak::journal::LIST_FORMS),
    ("journal show", speak::journal::SHOW_FORMS),
    ("journal due", speak::due::FORMS),
    ("journal void", speak::journal::WRITTEN_FORMS),
    ("moisture basis", speak::moisture::BASIS_FORMS),
    ("moisture combine", speak::moisture::COMBINE_FORMS),
    ("moisture before", speak::moisture::KNOWN_FORMS),
    ("moisture after", speak::moisture::KNOWN_FORMS),
    ("moisture oven", speak::road::oven::FORMS),
    ("moisture jar", speak::road::jar::FORMS),
    ("moisture mix", speak::road::mix::FORMS),
    ("moisture feel", speak::road::feel::FORMS),
    ("moisture air", speak::road::air::FORMS),
    ("moisture keep", speak::road::keep::FORMS),
    ("moisture hygrometer", speak::road::hygrometer::FORMS),
    ("book new", speak::book::NEW_FORMS),
    ("book check", speak::book::CHECK_FORMS),
];

/// The name under which the schema of errors is asked for.
const ERROR: &str = "error";

impl SchemaArgs {
    /// The schema as text, with a line feed.
    pub fn text(&self) -> Outcome<String> {
        let schema = match self.command.join(" ").to_lowercase().as_str() {
            "" => all(),
            ERROR => json::error_schema(),
            name => one(name)?,
        };
        Ok(format!("{schema:#}\n"))
    }
}

fn one(name: &str) -> Outcome<Json> {
    COMMANDS
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(known, forms)| json::schema(known, forms))
        .ok_or_else(|| {
            let known: Vec<&str> = COMMANDS.iter().map(|(known, _)| *known).collect();
            Failure::unreadable("unknown-command", format!("`{name}` has no schema"))
                .about("COMMAND")
                .pointing(name, 0, name.len())
                .hint(format!("there are {} and {ERROR}", known.join(", ")))
        })
}

/// Any answer of any command.
fn all() -> Json {
    let each: Vec<Json> = COMMANDS
        .iter()
        .map(|(known, forms)| {
            let mut schema = json::schema(known, forms);
            if let Some(object) = schema.as_object_mut() {
                object.remove("$schema");
            }
            schema
        })
        .collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "gutta",
        "oneOf": each
    })
}
