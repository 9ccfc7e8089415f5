//! Answers and troubles as JSON, and the schema made from the same keys.

use serde_json::{Map, Value as Json, json};

use gutta::measure::{Drops, Verdict};

use crate::answer::{Answer, Draws, Figure, JsonUnit, Key, Shape, Value};
use crate::failure::{Failure, Report};

/// The number of this JSON format.
const FORMAT: u32 = 1;

/// An answer as one object.
pub fn answer(answer: &Answer, working: bool) -> Json {
    let figures = all(&answer.figures);
    let budget: Vec<Json> = answer
        .budget
        .iter()
        .map(|(input, share)| json!({"input": plain(input), "share": share}))
        .collect();
    let mut object = json!({
        "format": FORMAT,
        "command": answer.command,
        "answer": figures,
        "check": plain(&answer.check),
        "assumed": all_plain(&answer.assumed),
        "cautions": all_plain(&answer.cautions),
        "budget": budget,
        "next": all_plain(&answer.next),
    });
    if let Some(draws) = &answer.draws {
        object["draws"] = self::draws(draws);
    }
    if working {
        object["working"] = all_plain(&answer.working);
    }
    object
}

fn draws(draws: &Draws) -> Json {
    let figures: Map<String, Json> = draws
        .figures
        .iter()
        .filter_map(|f| {
            let Shape::Quantity(unit) = f.key.shape else {
                return None;
            };
            let (low, high) = f.spread.shortest_95;
            let mut figure = json!({
                "unit": unit.symbol(),
                "interval95": [unit.of_base(low), unit.of_base(high)],
                "not_finite": f.spread.not_finite,
            });
            if f.has_mean {
                figure["value"] = json!(unit.of_base(f.spread.mean));
            }
            if f.has_u {
                figure["u"] = json!(unit.span_of_base(f.spread.u));
            }
            // What the draws are too few to tell is left out.
            match f.first_order {
                Verdict::Holds => figure["first_order_holds"] = json!(true),
                Verdict::Fails => figure["first_order_holds"] = json!(false),
                Verdict::Open => {}
            }
            Some((f.key.name.to_owned(), figure))
        })
        .collect();
    json!({
        "count": draws.count,
        "seed": draws.seed,
        "outside_share": draws.outside,
        "figures": figures,
    })
}

/// Text for machines: blanks that hold a number to its unit become plain.
fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

fn all_plain(lines: &[String]) -> Json {
    lines.iter().map(|line| plain(line)).collect()
}

fn all(figures: &[Figure]) -> Map<String, Json> {
    let each = figures.iter();
    each.map(|f| (f.key.name.to_owned(), value(&f.value, f.key.shape)))
        .collect()
}

fn value(value: &Value, shape: Shape) -> Json {
    match (value, shape) {
        (Value::Quantities(values), Shape::Quantities(unit)) => values
            .iter()
            .map(|one| self::value(one, Shape::Quantity(unit)))
            .collect(),
        (Value::Quantity { best, u, dof, .. }, Shape::Quantity(unit)) => {
            let number = |base: f64| json!(unit.of_base(base));
            let shown = match unit {
                JsonUnit::Drop => count(*best),
                _ => number(*best),
            };
            let mut object = json!({"value": shown, "unit": unit.symbol()});
            if let Some((low, high)) = value.interval_95() {
                object["u"] = json!(unit.span_of_base(*u));
                object["interval95"] = json!([number(low), number(high)]);
                if dof.is_finite() {
                    object["dof"] = json!(dof);
                }
            }
            object
        }
        (Value::Number(number), _) => json!(number),
        (Value::Word(word), _) => json!(word),
        (Value::Text(text), _) => json!(plain(text)),
        (Value::Suspects(suspects), _) => suspects
            .iter()
            .map(|(weighing, reads_as)| json!({"weighing": weighing, "reads_as": reads_as}))
            .collect(),
        (Value::Rows(rows), _) => rows
            .iter()
            .map(|row| Json::Object(all(&row.figures)))
            .collect(),
        (Value::Quantity { best, .. }, _) => json!(best),
        (Value::Quantities(values), _) => json!(values.len()),
    }
}

/// A count: whole drops are a whole number in JSON too.
fn count(drops: f64) -> Json {
    let whole = Drops::new(drops).whole();
    if whole as f64 == drops {
        json!(whole)
    } else {
        json!(drops)
    }
}

/// A trouble as one object.
pub fn failure(failure: &Failure, command: &str) -> Json {
    let mut object = json!({
        "format": FORMAT,
        "command": command,
        "error": report(failure.report()),
    });
    let more = &failure.report().more;
    if !more.is_empty() {
        object["more"] = more.iter().map(|f| report(f.report())).collect();
    }
    object
}

fn report(report: &Report) -> Json {
    let mut object = Map::new();
    object.insert("kind".into(), json!(report.kind));
    object.insert("message".into(), json!(plain(&report.message)));
    object.insert(
        "hint".into(),
        json!(plain(report.hint.as_deref().unwrap_or_default())),
    );
    let mut put = |name: &str, value: Option<Json>| {
        if let Some(value) = value {
            object.insert(name.into(), value);
        }
    };
    put("flag", report.flag.as_ref().map(|v| json!(v)));
    put("text", report.text.as_ref().map(|v| json!(v)));
    put("at", report.at.map(|v| json!(v)));
    put("file", report.file.as_ref().map(|v| json!(v)));
    put("line", report.line.map(|v| json!(v)));
    put("column", report.column.map(|v| json!(v)));
    put("field", report.field.as_ref().map(|v| json!(v)));
    Json::Object(object)
}

/// Which keys an answer has: always, and where they are known.
#[derive(Debug)]
pub struct Form {
    /// Always there.
    pub always: &'static [&'static Key],
    /// There where the value is known.
    pub known: &'static [&'static Key],
    /// The one word of its first key that tells it from the other forms.
    pub word: Option<&'static str>,
}

/// The schema of a command's answers.
pub fn schema(command: &str, forms: &[Form]) -> Json {
    let mut variants: Vec<Json> = forms.iter().map(form).collect();
    let answer = if variants.len() == 1 {
        variants.remove(0)
    } else {
        json!({"oneOf": variants})
    };
    let lines = json!({"type": "array", "items": {"type": "string"}});
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": format!("gutta {command}"),
        "type": "object",
        "additionalProperties": false,
        "required": [
            "format", "command", "answer", "check", "assumed", "cautions", "budget", "next"
        ],
        "properties": {
            "format": {"const": FORMAT},
            "command": {"const": command},
            "answer": answer,
            "check": {"type": "string", "description": "what the scale shows when it is done"},
            "assumed": lines,
            "cautions": lines,
            "budget": {
                "type": "array",
                "description": "the first quantity under answer that has a u: shares of its variance, which sum to one",
                "items": {
                    "type": "object",
                    "additionalProperties": false,
                    "required": ["input", "share"],
                    "properties": {
                        "input": {"type": "string"},
                        "share": {"type": "number", "minimum": 0, "maximum": 1}
                    }
                }
            },
            "next": lines,
            "working": lines,
            "draws": draws_schema(forms)
        }
    })
}

/// The schema of what a Monte Carlo run says, for the figures of these forms.
fn draws_schema(forms: &[Form]) -> Json {
    let keys = forms
        .iter()
        .flat_map(|form| form.always.iter().chain(form.known));
    let figures: Map<String, Json> = keys
        .filter_map(|key| match key.shape {
            Shape::Quantity(unit) => Some((
                key.name.to_owned(),
                json!({
                    "type": "object",
                    "additionalProperties": false,
                    "required": ["unit", "interval95", "not_finite"],
                    "properties": {
                        "value": {"type": "number", "description": "the mean of the draws; left out where an input is from two readings"},
                        "unit": {"const": unit.symbol()},
                        "u": {"type": "number", "minimum": 0, "description": "left out where an input is from three readings or fewer"},
                        "interval95": {
                            "type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "number"},
                            "description": "the shortest interval that holds 95 % of the draws"
                        },
                        "first_order_holds": {"type": "boolean", "description": "left out where the draws are too few to tell"},
                        "not_finite": {"type": "integer", "minimum": 0}
                    }
                }),
            )),
            _ => None,
        })
        .collect();
    json!({
        "type": "object",
        "description": "a Monte Carlo run, when --draws asks for it",
        "additionalProperties": false,
        "required": ["count", "seed", "outside_share", "figures"],
        "properties": {
            "count": {"type": "integer", "minimum": 1},
            "seed": {"type": "integer", "minimum": 0},
            "outside_share": {"type": "number", "minimum": 0, "maximum": 1},
            "figures": {"type": "object", "additionalProperties": false, "properties": figures}
        }
    })
}

fn form(form: &Form) -> Json {
    object_schema(form.always, form.known, form.word)
}

/// The schema of an object of some keys; a word tells it apart by its first.
fn object_schema(always: &[&Key], known: &[&Key], word: Option<&str>) -> Json {
    let mut properties = Map::new();
    for (i, key) in always.iter().chain(known).enumerate() {
        let word = word.filter(|_| i == 0);
        let mut property = value_schema(key.shape, word);
        property["description"] = json!(key.what);
        properties.insert(key.name.to_owned(), property);
    }
    let required: Vec<&str> = always.iter().map(|key| key.name).collect();
    json!({
        "type": "object",
        "additionalProperties": false,
        "required": required,
        "properties": properties
    })
}

fn value_schema(shape: Shape, word: Option<&str>) -> Json {
    match shape {
        Shape::Quantity(unit) => json!({
            "type": "object",
            "additionalProperties": false,
            "required": ["value", "unit"],
            "dependentRequired": {"u": ["interval95"], "interval95": ["u"], "dof": ["u"]},
            "properties": {
                "value": {"type": "number"},
                "unit": {"const": unit.symbol()},
                "u": {"type": "number", "exclusiveMinimum": 0},
                "interval95": {
                    "type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "number"}
                },
                "dof": {"type": "number", "minimum": 1}
            }
        }),
        Shape::Quantities(unit) => json!({
            "type": "array",
            "items": value_schema(Shape::Quantity(unit), None)
        }),
        Shape::Number => json!({"type": "number"}),
        Shape::Text => json!({"type": "string"}),
        Shape::Word(words) => match word {
            Some(word) => json!({"const": word}),
            None => json!({"enum": words}),
        },
        Shape::Rows { always, known } => json!({
            "type": "array",
            "items": object_schema(always, known, None)
        }),
        Shape::Suspects => json!({
            "type": "array",
            "items": {
                "type": "object",
                "additionalProperties": false,
                "required": ["weighing", "reads_as"],
                "properties": {
                    "weighing": {"type": "integer", "minimum": 1},
                    "reads_as": {"type": "integer", "minimum": 1}
                }
            }
        }),
    }
}

/// The schema of what stands on the error stream with `--json`.
pub fn error_schema() -> Json {
    let report = json!({
        "type": "object",
        "additionalProperties": false,
        "required": ["kind", "message", "hint"],
        "properties": {
            "kind": {"type": "string"},
            "message": {"type": "string"},
            "hint": {"type": "string"},
            "flag": {"type": "string"},
            "text": {"type": "string"},
            "at": {"type": "integer", "minimum": 0, "description": "byte offset into text"},
            "file": {"type": "string"},
            "line": {"type": "integer", "minimum": 1},
            "column": {"type": "integer", "minimum": 1},
            "field": {"type": "string"}
        }
    });
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "gutta: an error",
        "type": "object",
        "additionalProperties": false,
        "required": ["format", "command", "error"],
        "properties": {
            "format": {"const": FORMAT},
            "command": {"type": "string"},
            "error": report,
            "more": {"type": "array", "items": report}
        }
    })
}
