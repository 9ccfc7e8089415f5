//! Every JSON that these tests meet is held against the schema that the
//! program prints.

use std::collections::HashMap;
use std::sync::OnceLock;

use jsonschema::Validator;
use serde_json::Value as Json;

use super::program::{ANSWERING, typed};

fn schema(name: &str) -> Json {
    let run = typed(&format!("gutta schema {name}"));
    assert_eq!(run.code, 0, "{name}\n{}", run.err);
    serde_json::from_str(&run.out).expect("a schema is JSON")
}

fn validator(name: &str) -> Validator {
    let schema = schema(name);
    jsonschema::meta::validate(&schema).unwrap_or_else(|e| panic!("schema of {name}: {e}"));
    jsonschema::validator_for(&schema).unwrap_or_else(|e| panic!("schema of {name}: {e}"))
}

fn validators() -> &'static HashMap<&'static str, Validator> {
    static VALIDATORS: OnceLock<HashMap<&'static str, Validator>> = OnceLock::new();
    VALIDATORS.get_or_init(|| {
        let mut all: HashMap<_, _> = ANSWERING.map(|name| (name, validator(name))).into();
        all.insert("error", validator("error"));
        all.insert("", validator(""));
        all
    })
}

fn assert_valid(name: &str, json: &Json) {
    let troubles: Vec<String> = validators()[name]
        .iter_errors(json)
        .map(|e| format!("{}: {e}", e.instance_path()))
        .collect();
    assert!(troubles.is_empty(), "{name}: {troubles:#?}\n{json:#}");
}

/// An answer holds to its command's schema, and to the schema of all.
pub fn holds(answer: &Json) {
    let command = answer["command"].as_str().expect("a command");
    assert_valid(command, answer);
    assert_valid("", answer);
}

/// An error holds to the schema of errors.
pub fn error_holds(error: &Json) {
    assert_valid("error", error);
}

#[test]
fn a_schema_turns_down_what_no_command_answers() {
    let mut answer = super::program::json("gutta moisture basis 15%");
    answer["answer"]["wet"]["unit"] = "g".into();
    assert!(!validators()["moisture basis"].is_valid(&answer));
    let mut answer = super::program::json("gutta water --leaf 10g --at 11% --to 14%");
    answer["answer"]["water"] = Json::Null;
    assert!(!validators()["water"].is_valid(&answer));
    answer["answer"]["plan"] = "wet".into();
    assert!(!validators()["water"].is_valid(&answer));
}

#[test]
fn an_unknown_schema_is_refused_with_those_there_are() {
    let run = typed("gutta schema wate");
    assert_eq!(run.code, 2);
    let said = run.err.replace("\n  ", " ");
    let there_are = format!("hint: there are {} and error", ANSWERING.join(", "));
    assert!(
        said.starts_with("gutta schema: COMMAND: `wate` has no schema wate ^^^^")
            && said.trim_end().ends_with(&there_are),
        "{said}"
    );
}
