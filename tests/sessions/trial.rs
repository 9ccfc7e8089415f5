//! Trials and batches through the program: begun, added to by lines, by a file and
//! by answers, shown, compared, and due.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::Stdio;

use gutta_tests::assert_close;
use gutta_tests::situations::situation;
use serde_json::{Value as Json, json};

use super::program::{
    Run, command_in, ended_with, joined, json_in, refused_in, typed_in, value, workshop,
};

/// What is begun, and by which identifier it goes.
fn begun(top: &Path, line: &str) -> String {
    let answer = json_in(top, line);
    let id = answer["answer"]["id"].as_str().expect("an identifier");
    id.to_owned()
}

fn free(top: &Path) -> String {
    begun(top, "gutta trial begin --note \"by eye\" --book demo-data")
}

/// The program with answers on its input.
fn answering(top: &Path, line: &str, answers: &str) -> Run {
    let words = shlex::split(line).expect("a command line");
    let args: Vec<&str> = words.iter().skip(1).map(String::as_str).collect();
    let mut command = command_in(top, &args);
    command.stdin(Stdio::piped());
    let mut child = command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut input = child.stdin.take().expect("an input");
    input.write_all(answers.as_bytes()).expect("answers");
    drop(input);
    ended_with(child.wait_with_output().expect("the program ends"))
}

fn journal(top: &Path) -> String {
    fs::read_to_string(top.join("demo-data/journal.jsonl")).expect("a journal")
}

/// The rows of an answer under a key.
fn rows<'a>(answer: &'a Json, key: &str) -> &'a [Json] {
    answer["answer"][key].as_array().expect("rows")
}

#[test]
fn s26_a_recorded_trial_knows_what_the_bottle_gave() {
    let s = situation("S26");
    let top = workshop();
    let id = free(top.path());
    let line = format!(
        "gutta trial add {id} \"leaf {} red flue-cured, of red-23c\" \"flavour {} drops fig tincture, {} mg each, loss {}\" --book demo-data",
        s.typed("trial"),
        s.given("planned_drops"),
        s.given("drop") * 1e3,
        s.typed("bottle_loss"),
    );
    json_in(top.path(), &line);
    let shown = json_in(
        top.path(),
        &format!("gutta trial show {id} --book demo-data"),
    );
    let flavour = json!({ "answer": rows(&shown, "liquids")[0] });
    let really = value(&flavour, "drops_really", "drop");
    s.assert_answer("drops_really", really);
    s.assert_answer("drops_rounded", really.round());
    s.assert_answer("dose_real", value(&flavour, "given", "g/kg"));
    s.assert_answer("dose_planned", value(&flavour, "given_by_count", "g/kg"));
    s.assert_all_held();
}

/// By hand: 0.331 g on 24 g at 12.4 % (the lot's) is 0.331/(24 × 0.876) of dry leaf.
#[test]
fn what_was_given_is_counted_on_both_bases() {
    let top = workshop();
    let id = free(top.path());
    let line = format!(
        "gutta trial add {id} \"leaf 24 g red flue-cured, of red-23c\" \"flavour 0.331 g fig tincture\" --book demo-data"
    );
    let answer = json_in(top.path(), &line);
    let flavour = json!({ "answer": rows(&answer, "liquids")[0] });
    let dry = value(&flavour, "given_dry", "g/kg");
    assert_close("given_dry", dry, 331.0 / (24.0 * 0.876), 1e-9);
    // The lot's ± 0.6 % is of the moisture alone: u = 0.6/1.96 points.
    let leaf = json!({ "answer": rows(&answer, "lines")[0] });
    assert_close("share", value(&leaf, "share", "%"), 100.0, 1e-9);
    assert!(answer["answer"]["moisture"]["u"].as_f64() > Some(0.0));
}

/// The plan is frozen: a later version of the formula, or another lot, does not
/// change it.
#[test]
fn a_plan_stays_what_it_was() {
    let top = workshop();
    let sheet = json_in(
        top.path(),
        "gutta sheet evening --batch 24g --scale bench --dropper amber --dropper glass --book demo-data",
    );
    let line = "gutta trial begin evening --batch 24g --scale bench --dropper amber --dropper glass --book demo-data --when 2026-11-20T18:00:00Z";
    let plan = json_in(top.path(), line);
    for key in ["lines", "flavours", "water", "leaf"] {
        assert_eq!(plan["answer"][key], sheet["answer"][key], "{key}");
    }
    let id = plan["answer"]["id"].as_str().expect("an identifier");
    assert_eq!(plan["answer"]["at"], "2026-11-20T18:00:00Z");
    fs::write(top.path().join("demo-data/formulas.toml"), "format = 1\n").expect("a file");
    let shown = json_in(
        top.path(),
        &format!("gutta trial show {id} --book demo-data"),
    );
    assert_eq!(shown["answer"]["formula"], "evening:2");
    let planned: Vec<(String, f64)> = rows(&shown, "lines")
        .iter()
        .map(|row| {
            let name = row["component"].as_str().expect("a name").to_owned();
            (name, row["planned"]["value"].as_f64().expect("a mass"))
        })
        .collect();
    for line in rows(&sheet, "lines") {
        let mass = line["mass"]["value"].as_f64().expect("a mass");
        let name = line["component"].as_str().expect("a name");
        let kept = planned.iter().find(|(known, _)| known == name);
        // To a tenth of a milligram.
        assert_close(name, kept.expect("a line").1, mass, 5.1e-5);
    }
    assert_eq!(
        shown["next"],
        json!([
            "still to do of the plan: fire-cured, stoved, oriental, red flue-cured, fig tincture, water"
        ])
    );
}

#[test]
fn done_stands_beside_planned_and_what_is_off_is_said() {
    let top = workshop();
    let id = begun(
        top.path(),
        "gutta batch begin evening:2 --batch 500g --scale pocket --book demo-data",
    );
    let line = format!(
        "gutta batch add {id} \"leaf 69.8 g fire-cured\" \"leaf 111.9 g oriental\" --scale pocket --book demo-data"
    );
    let answer = json_in(top.path(), &line);
    let lines = rows(&answer, "lines");
    assert_eq!(lines[0]["within"], "yes");
    assert_eq!(lines[1]["component"], "oriental");
    assert_eq!(lines[1]["within"], "no");
    let off = lines[1]["off"]["value"].as_f64().expect("a mass");
    let planned = lines[1]["planned"]["value"].as_f64().expect("a mass");
    assert_close("off", off, 111.9 - planned, 1e-9);
    let text = joined(
        &typed_in(
            top.path(),
            &format!("gutta batch show {id} --book demo-data"),
        )
        .out,
    );
    assert!(
        text.contains("Caution oriental: 4.2 g more than planned, beyond ± 2.154 g"),
        "{text}"
    );
    let repair =
        "gutta sheet evening:2 --in-bowl \"69.8 g fire-cured\" --in-bowl \"111.9 g oriental\"";
    assert!(text.contains(repair), "{text}");
    // The command that is proposed works.
    json_in(top.path(), &format!("{repair} --book demo-data"));
    assert!(text.contains("still to do of the plan: stoved, red flue-cured, fig tincture, water"));
}

/// Leaf that was weighed in is taken of its lot, and only while it counts.
#[test]
fn leaf_comes_out_of_its_lot() {
    let top = workshop();
    let on_hand = |top: &Path| {
        let answer = json_in(top, "gutta lot show red-23c --book demo-data");
        let lot = json!({ "answer": rows(&answer, "lots")[0] });
        value(&lot, "on_hand", "g")
    };
    let before = on_hand(top.path());
    let id = free(top.path());
    let add = |line: &str| format!("gutta trial add {id} \"{line}\" --book demo-data");
    let answer = json_in(top.path(), &add("leaf 12.5 g red flue-cured, of red-23c"));
    let entry = rows(&answer, "entries")[0]["id"]
        .as_str()
        .expect("an entry");
    assert_close("on hand", on_hand(top.path()), before - 12.5, 1e-9);
    let all = joined(&journal(top.path()));
    let more = refused_in(top.path(), &add("leaf 5 kg red flue-cured, of red-23c"), 1);
    assert_eq!(
        more["error"]["message"],
        "red-23c: more was taken of this lot than there was"
    );
    assert_eq!(joined(&journal(top.path())), all);
    let void = format!("gutta journal void {entry} --why \"the wrong bowl\" --book demo-data");
    json_in(top.path(), &void);
    assert_close("on hand", on_hand(top.path()), before, 1e-9);
}

#[test]
fn a_file_is_taken_whole_or_not_at_all() {
    let top = workshop();
    let id = free(top.path());
    let file = top.path().join("trial.txt");
    let line = format!("gutta trial add {id} --from trial.txt --book demo-data");
    fs::write(
        &file,
        "# what I did\nleaf 3 grams\n\nleaf 9.0 g red flue-cured, of red-23c\nwater 3 furlongs\nscore body 7\n",
    )
    .expect("a file");
    let before = journal(top.path());
    let error = refused_in(top.path(), &line, 2);
    assert_eq!(error["error"]["file"], "trial.txt");
    assert_eq!(error["error"]["line"], 2);
    assert_eq!(
        error["error"]["message"],
        "the line does not say which leaf it is"
    );
    let more: Vec<(u64, &str)> = error["more"]
        .as_array()
        .expect("more")
        .iter()
        .map(|one| {
            (
                one["line"].as_u64().expect("a line"),
                one["message"].as_str().expect("words"),
            )
        })
        .collect();
    assert_eq!(
        more[1],
        (6, "a score is what was judged, a comma and a number")
    );
    assert_eq!((more.len(), more[0].0), (2, 5));
    assert_eq!(journal(top.path()), before);
    fs::write(
        &file,
        "leaf 9.0 g red flue-cured, of red-23c\nscore body, 7\n",
    )
    .expect("a file");
    let answer = json_in(top.path(), &line);
    assert_eq!(rows(&answer, "entries").len(), 2);
    assert_eq!(
        rows(&answer, "scores"),
        [json!({ "what": "body", "score": 7.0 })]
    );
    let missing = format!("gutta trial add {id} --from nothing.txt --book demo-data");
    assert_eq!(
        refused_in(top.path(), &missing, 2)["error"]["message"],
        "there is no such file"
    );
}

/// Each accepted answer is on the disk before the next question.
#[test]
fn answers_are_kept_one_by_one() {
    let top = workshop();
    let id = begun(
        top.path(),
        "gutta trial begin evening:2 --batch 24g --scale bench --dropper amber --dropper glass --book demo-data",
    );
    let before = journal(top.path()).lines().count();
    let line = format!("gutta trial add {id} --book demo-data");
    let run = answering(
        top.path(),
        &line,
        "3.36 g\n\n5.17 g, of sun-25\nleaf 10.84 g red flue-cured\n2 drops\nnote like hay\ndone\nnote never read\n",
    );
    assert_eq!(run.code, 0, "{}", run.err);
    let first = "fire-cured of smoke-24, 3.35 g ± 0.07 g planned; how much was it (an empty line skips it)?   kept as ";
    assert!(run.err.starts_with(first), "{}", run.err);
    assert_eq!(run.err.matches("kept as ").count(), 5);
    assert_eq!(run.err.matches("water, ").count(), 2);
    let entries = journal(top.path()).lines().count() - before;
    assert_eq!(entries, 5);
    assert!(!journal(top.path()).contains("never read"));
    let shown = json_in(
        top.path(),
        &format!("gutta trial show {id} --book demo-data"),
    );
    assert_eq!(shown["next"][0], "still to do of the plan: stoved, water");
    // The scale and the dropper of the plan are those that are read and counted by.
    let leaf = rows(&shown, "lines")[0]["done"]["u"].as_f64();
    // √2·√(0.01²/12 + 0.008²) g, the bench's step and repeatability.
    let u = (2.0 * (1e-4_f64 / 12.0 + 6.4e-5)).sqrt();
    assert_close("u", leaf.expect("a doubt"), u, 1e-12);
    // Nobody there at all.
    assert_eq!(answering(top.path(), &line, "").code, 0);
}

/// Behind an answer that cannot be taken the others would be to the wrong question:
/// from a pipe that is the end, and what was kept is said.
#[test]
fn a_pipe_ends_at_an_answer_that_cannot_be_taken() {
    let top = workshop();
    let id = begun(
        top.path(),
        "gutta trial begin evening:2 --batch 24g --scale bench --book demo-data",
    );
    let before = journal(top.path()).lines().count();
    let line = format!("gutta trial add {id} --json --book demo-data");
    let run = answering(top.path(), &line, "3.36 g\n4.62\n5.17 g\n");
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    let error = run.err.lines().find(|line| line.contains("\"error\""));
    let at = error.and_then(|line| line.find('{').map(|at| &line[at..]));
    let error: Json = serde_json::from_str(at.expect("an error")).expect("JSON");
    assert_eq!(error["error"]["line"], 2);
    assert_eq!(error["error"]["message"], "`4.62` has no unit");
    let hint = error["error"]["hint"].as_str().expect("a hint");
    assert!(hint.starts_with("kept before it: 1 line; "), "{hint}");
    assert_eq!(journal(top.path()).lines().count(), before + 1);
}

/// A person is asked again.
#[test]
fn a_person_is_asked_again() {
    let top = workshop();
    let id = begun(
        top.path(),
        "gutta trial begin evening:2 --batch 24g --scale bench --book demo-data",
    );
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut answers = "3.36\n3.36 g\ndone\n".as_bytes();
    let mut session = gutta_cli::Session {
        out: &mut out,
        input: &mut answers,
        is_typed: true,
        is_watched: false,
        clock: || 0.0,
        err: &mut err,
        styled: false,
        folder: top.path().to_path_buf(),
        now: 1_900_000_000,
    };
    let book = top.path().join("demo-data").display().to_string();
    let args = ["gutta", "trial", "add", &id, "--book", &book];
    let exit = gutta_cli::run(args.map(Into::into), &mut session);
    let err = String::from_utf8(err).expect("text");
    assert_eq!(exit.code(), 0, "{err}");
    assert!(
        err.contains("not kept: answer: `3.36` has no unit"),
        "{err}"
    );
    assert_eq!(err.matches("fire-cured of smoke-24").count(), 2);
    assert_eq!(err.matches("kept as ").count(), 1);
}

#[test]
fn trials_descend_and_are_compared() {
    let top = workshop();
    let tree = json_in(top.path(), "gutta trial tree --book demo-data");
    let tree: Vec<(f64, &str)> = rows(&tree, "tree")
        .iter()
        .map(|row| {
            (
                row["depth"].as_f64().expect("a depth"),
                row["title"].as_str().expect("a title"),
            )
        })
        .collect();
    assert_eq!(
        tree,
        [
            (0.0, "evening, version 1"),
            (1.0, "evening, version 2"),
            (2.0, "evening, version 2")
        ]
    );
    let list = json_in(top.path(), "gutta trial list --book demo-data");
    let all = rows(&list, "all");
    let (first, second) = (
        all[0]["id"].as_str().unwrap(),
        all[1]["id"].as_str().unwrap(),
    );
    // Its parent is what a trial is compared with.
    let by_parent = json_in(
        top.path(),
        &format!("gutta trial compare {second} --book demo-data"),
    );
    let named = json_in(
        top.path(),
        &format!("gutta trial compare {first} --with {second} --book demo-data"),
    );
    assert_eq!(by_parent["answer"], named["answer"]);
    let of = |what: &str| {
        let rows = rows(&named, "differences");
        let row = rows.iter().find(|row| row["what"] == what).expect("a row");
        row["difference"].as_f64().expect("a number")
    };
    // Oriental on dry leaf: 4.23 g and 5.16 g at 12 %, beside 3.36, 4.61/4.63 and
    // 11.79/10.84 g at 13.6, 19.5 and 12.4 %.
    let share = |oriental: f64, stoved: f64, red: f64| {
        let dry = oriental * 0.88;
        100.0 * dry / (dry + 3.36 * 0.864 + stoved * 0.805 + red * 0.876)
    };
    let wanted = share(5.16, 4.63, 10.84) - share(4.23, 4.61, 11.79);
    assert_close("oriental", of("oriental"), wanted, 1e-9);
    assert_close("room note", of("room note"), 2.0, 1e-12);
    let alone = refused_in(
        top.path(),
        &format!("gutta trial compare {first} --book demo-data"),
        2,
    );
    assert_eq!(
        alone["error"]["message"],
        format!("{first} has no parent to be compared with")
    );
    let same = format!("gutta trial compare {first} --with {first} --book demo-data");
    assert_eq!(
        refused_in(top.path(), &same, 2)["error"]["message"],
        "it is the same one"
    );
    let id = free(top.path());
    let empty = format!("gutta trial compare {first} --with {id} --book demo-data");
    assert_eq!(
        refused_in(top.path(), &empty, 1)["error"]["message"],
        format!("nothing is weighed of {id} yet")
    );
}

#[test]
fn what_has_rested_is_due_until_it_is_judged() {
    let top = workshop();
    let due = |top: &Path, flags: &str| {
        let answer = json_in(top, &format!("gutta journal due {flags} --book demo-data"));
        let rows = rows(&answer, "due").to_vec();
        rows.into_iter()
            .map(|row| {
                (
                    row["at"].as_str().unwrap().to_owned(),
                    row["what"].as_str().unwrap().to_owned(),
                    row["about"].as_str().unwrap().to_owned(),
                )
            })
            .collect::<Vec<_>>()
    };
    // Made on 2026-11-08 at 10:20; it rests 48 h.
    let now = due(top.path(), "");
    assert_eq!(now.len(), 1);
    assert_eq!(
        (now[0].0.as_str(), now[0].1.as_str()),
        ("2026-11-10T10:20:00Z", "judge")
    );
    // The jar of quince: 6.4 g in 7 days, less the water to 11 %.
    let dry = due(top.path(), "--limit 11%");
    assert_eq!(
        (dry[0].1.as_str(), dry[0].2.as_str()),
        ("moisten", "quince")
    );
    let id = &now[0].2;
    let score = format!("gutta batch add {id} \"score room note, 8 of 10\" --book demo-data");
    json_in(top.path(), &score);
    assert_eq!(due(top.path(), ""), []);
}

#[test]
fn what_cannot_be_read_is_pointed_at() {
    let top = workshop();
    let id = begun(
        top.path(),
        "gutta trial begin evening:2 --batch 24g --book demo-data",
    );
    let cases: [(&str, i32, &str, &str); 12] = [
        (
            "leaf 3 g oriantal",
            2,
            "`oriantal` is not what was planned",
            "did you mean oriental? what was not planned is written with its lot: leaf 3 g NAME, of LOT",
        ),
        (
            "leaf 3 g burley",
            2,
            "`burley` is not what was planned",
            "planned are fire-cured, stoved, oriental, red flue-cured; what was not planned is written with its lot: leaf 3 g NAME, of LOT",
        ),
        (
            "leaf 3 g oriental, of sun-26",
            2,
            "the book has no lot `sun-26`",
            "did you mean `sun-25`? its lots are bright-24a, red-23c, sun-25, brown-24, dark-22 and smoke-24",
        ),
        (
            "flavour 2.5 drops fig tincture, by amber",
            2,
            "drops are counted whole",
            "type how many there were, such as 8 drops, or weigh it",
        ),
        (
            "leaf -3 g oriental",
            2,
            "a mass must be above 0 g, not -3 g",
            "",
        ),
        (
            "flavour 3 drops fig tincture, by glass",
            2,
            "dropper glass is calibrated with water, not with fig tincture",
            "a drop of another liquid has another mass: say what it weighs, such as 21.4 mg each",
        ),
        (
            "flavour 3 drops plum essence",
            2,
            "what a drop of plum essence weighs is not said",
            "name a dropper of the book, such as \"…, by amber\", or say what a drop weighs, such as \"…, 21.4 mg each\"",
        ),
        (
            "flavour 3 drops fig tincture, 500 mg each",
            1,
            "a typed drop must be from 5 mg to 120 mg, not 500 mg",
            "",
        ),
        (
            "flavour 1 mL plum essence",
            2,
            "the density of plum essence is not known, and it is said as a volume",
            "weigh it, such as \"flavour 0.9 g plum essence\"",
        ),
        (
            "water 0.4 g, by glass",
            2,
            "a dropper is said, and no drops",
            "count drops, such as \"water 8 drops, by glass\", or leave it out",
        ),
        (
            "score room note, 11 of 10",
            2,
            "the score is better than the best",
            "write it such as \"score room note, 7 of 10\"",
        ),
        (
            "smells of hay",
            2,
            "this line does not say what was done",
            "begin it with one of: leaf, casing, flavour, water, weighed, score, deviation, note",
        ),
    ];
    let before = journal(top.path());
    for (text, code, message, hint) in cases {
        let line = format!("gutta trial add {id} \"{text}\" --book demo-data");
        let error = refused_in(top.path(), &line, code);
        assert_eq!(error["error"]["message"], message, "{text}");
        if !hint.is_empty() {
            assert_eq!(error["error"]["hint"], hint, "{text}");
        }
        assert_eq!(error["error"]["flag"], "LINE", "{text}");
    }
    let unknown = refused_in(top.path(), "gutta trial show 0000-0000 --book demo-data", 2);
    assert_eq!(
        unknown["error"]["message"],
        "the journal has no trial and no batch 0000-0000"
    );
    let sized = refused_in(
        top.path(),
        "gutta trial begin --batch 5g --book demo-data",
        2,
    );
    assert_eq!(
        sized["error"]["message"],
        "--batch is the size of a formula, and none is named"
    );
    assert_eq!(journal(top.path()), before);
}

#[test]
fn screens_of_trials_keep_to_forty_columns() {
    let top = workshop();
    let list = json_in(top.path(), "gutta trial list --book demo-data");
    let id = rows(&list, "all")[1]["id"].as_str().expect("an identifier");
    for line in [
        "gutta trial list --narrow --book demo-data".to_owned(),
        "gutta trial tree --narrow --book demo-data".to_owned(),
        "gutta journal due --limit 11% --narrow --book demo-data".to_owned(),
        format!("gutta trial show {id} --narrow --book demo-data"),
        format!("gutta trial compare {id} --narrow --book demo-data"),
    ] {
        let run = typed_in(top.path(), &line);
        assert_eq!(run.code, 0, "{line}\n{}", run.err);
        let wide = run.out.lines().find(|line| line.chars().count() > 40);
        assert_eq!(wide, None, "{line}\n{}", run.out);
    }
}

/// Killed between two questions, what was acknowledged is there, and nothing else.
#[test]
fn an_answer_that_was_kept_outlives_the_program() {
    let top = workshop();
    let id = begun(
        top.path(),
        "gutta trial begin evening:2 --batch 24g --scale bench --book demo-data",
    );
    let before = journal(top.path());
    let args = [
        "trial",
        "add",
        &id,
        "--scale",
        "bench",
        "--book",
        "demo-data",
    ];
    let mut child = command_in(top.path(), &args)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut input = child.stdin.take().expect("an input");
    input.write_all(b"3.36 g\n").expect("an answer");
    input.flush().expect("an answer");
    let mut said = BufReader::new(child.stderr.take().expect("questions"));
    let mut line = String::new();
    said.read_line(&mut line).expect("a line");
    let kept = line.split("kept as ").nth(1).expect("it is kept").trim();
    child.kill().expect("it runs");
    child.wait().expect("it ends");
    let after = journal(top.path());
    let more = after.strip_prefix(&before).expect("nothing was changed");
    assert_eq!(more.lines().count(), 1, "{more}");
    let entry: Json = serde_json::from_str(more).expect("a whole entry");
    assert_eq!(entry["id"], kept);
    assert_eq!(
        (&entry["name"], &entry["mass"]),
        (&json!("fire-cured"), &json!("3.36 g"))
    );
}

/// A trial is a formula as well: what was really made of it, at any size.
#[test]
fn a_trial_is_made_again_by_its_identifier() {
    let top = workshop();
    let id = free(top.path());
    // 6 g at 12 % and 4 g at 10 % are 5.28 g and 3.6 g dry; 20 mg on 8.88 g dry.
    let line = format!(
        "gutta trial add {id} \"leaf 6 g oriental, at 12 %\" \"leaf 4 g burley, at 10 %\" \"flavour 0.02 g fig tincture\" --book demo-data"
    );
    json_in(top.path(), &line);
    let shown = json_in(
        top.path(),
        &format!("gutta formula show {id} --book demo-data"),
    );
    let share = |at: usize| rows(&shown, "lines")[at]["share"]["value"].as_f64();
    assert_close(
        "oriental",
        share(0).expect("a share"),
        100.0 * 5.28 / 8.88,
        1e-9,
    );
    let sheet = json_in(
        top.path(),
        &format!("gutta sheet {id} --dry 88.8g --at 10% --scale 1mg --book demo-data"),
    );
    let flavour = json!({ "answer": rows(&sheet, "flavours")[0] });
    // A dose is kept to 0.1 mg/kg.
    assert_close("flavour", value(&flavour, "mass", "g"), 0.2, 1e-5);
    let child = begun(
        top.path(),
        &format!("gutta batch begin {id} --batch 200g --at 10% --book demo-data"),
    );
    let of = json_in(
        top.path(),
        &format!("gutta batch show {child} --book demo-data"),
    );
    assert_eq!(of["answer"]["parent"], id.as_str());
    let plan = format!("gutta batch plan {id} --batch 200g --at 10% --book demo-data");
    let plan = json_in(top.path(), &plan);
    assert_close("leaf", value(&plan, "leaf", "g"), 200.0, 1e-9);
    let empty = free(top.path());
    let line = format!("gutta formula show {empty} --book demo-data");
    assert_eq!(
        refused_in(top.path(), &line, 1)["error"]["message"],
        format!("nothing is weighed of {empty} yet")
    );
}

/// A note for a day is due from then on, until it is not to be counted.
#[test]
fn a_note_for_a_day_is_due_then() {
    let top = workshop();
    let note = |line: &str| {
        json_in(
            top.path(),
            &format!("gutta journal note {line} --book demo-data"),
        )
    };
    let noted = note("\"turn the jars\" --due 2weeks --when \"2026-10-01 08:00\"");
    note("\"order vanilla\" --due 2999-01-01");
    let id = noted["answer"]["id"].as_str().expect("an identifier");
    let due = || {
        let answer = json_in(top.path(), "gutta journal due --book demo-data");
        let rows = rows(&answer, "due").to_vec();
        let notes = rows.into_iter().filter(|row| row["what"] == "note");
        notes.collect::<Vec<_>>()
    };
    let now = due();
    assert_eq!(now.len(), 1);
    assert_eq!(
        (&now[0]["at"], &now[0]["about"], &now[0]["is_over"]),
        (&json!("2026-10-15T08:00:00Z"), &json!(id), &json!("yes"))
    );
    json_in(
        top.path(),
        &format!("gutta journal void {id} --why done --book demo-data"),
    );
    assert_eq!(due(), [] as [serde_json::Value; 0]);
    for (flag, kind, message) in [
        (
            "--due soon",
            "number",
            "`soon` does not begin with a number",
        ),
        (
            "--due 2026-01-01 --when 2026-02-01",
            "refused",
            "this does not lie behind the note itself",
        ),
        (
            "--due -2days",
            "refused",
            "this does not lie behind the note itself",
        ),
        (
            "--due \"2 ± 1 days\"",
            "doubt",
            "a stretch of time is a plain figure",
        ),
    ] {
        let line = format!("gutta journal note words {flag} --book demo-data");
        let code = if kind == "refused" { 1 } else { 2 };
        let said = refused_in(top.path(), &line, code);
        assert_eq!(said["error"]["message"], message, "{flag}");
        assert_eq!(said["error"]["kind"], kind, "{flag}");
    }
}

/// What a trial was given is not known better by the kilogram: the doubt of the dose
/// goes with it to the batch.
#[test]
fn the_doubt_of_a_dose_goes_to_the_batch() {
    let top = workshop();
    let plan = |line: &str| {
        let line = format!("gutta batch plan {line} --batch 800g --book demo-data");
        let answer = json_in(top.path(), &line);
        let mass = &rows(&answer, "liquids")[0]["mass"];
        (mass["u"].as_f64().unwrap(), mass["value"].as_f64().unwrap())
    };
    // 2 drops by 0.06 g of bottle loss, weighed to 0.01 g twice and read off twice.
    let trial = "gutta trial show PQ8C-2R7K --book demo-data";
    let given = json_in(top.path(), trial);
    let given = &rows(&given, "liquids")[0]["given_dry"];
    let relative = given["u"].as_f64().unwrap() / given["value"].as_f64().unwrap();
    let (u, mass) = plan("PQ8C-2R7K");
    assert_close("u of the mass", u / mass, relative, 1e-3 * relative);
    // By hand from the weighings of amber: 7 drops of 21.33 mg, u 0.2455 mg, which
    // differ by 2.309 mg from one another.
    let (u, mass) = plan("evening --drops \"7 drops on 10g at 12%: fig tincture\" --dropper amber");
    let drop = f64::hypot(0.2455 / 21.33, 2.309 / 21.33 / 7_f64.sqrt());
    assert_close("u of the mass", u / mass, drop, 5e-4);
    // What is wanted is exact: in doubt is the dry leaf, by a moisture of ± 0.48 %.
    let (u, mass) = plan("evening --scale pocket");
    assert_close("u of the mass", u / mass, 0.0048 / 1.96 / 0.8615, 1e-4);
}

/// What looks like an identifier is held to be one, and a formula is told from it.
#[test]
fn identifiers_and_formulas_are_told_apart() {
    let top = workshop();
    let wrong = "a symbol of this identifier is wrong, or two are swapped";
    for (line, hint) in [
        (
            "gutta batch plan 90RA-6AG5 --finished 1kg",
            "copy it again, symbol by symbol: the last one checks the others",
        ),
        (
            "gutta sheet PQ8C-2RK7 --batch 10g",
            "copy it again, symbol by symbol: the last one checks the others",
        ),
        (
            "gutta batch show evening",
            "evening is a formula: gutta trial list and gutta batch list show what was made of it, by identifiers",
        ),
    ] {
        let said = refused_in(top.path(), &format!("{line} --book demo-data"), 2);
        assert_eq!(said["error"]["message"], wrong, "{line}");
        assert_eq!(said["error"]["hint"], hint, "{line}");
    }
    let said = refused_in(top.path(), "gutta bulk in.csv", 2);
    assert_eq!(
        said["error"]["hint"],
        "a table is sent in: gutta bulk < in.csv"
    );
}

/// A lot is one however its capitals are written, letters beyond A to Z too.
#[test]
fn the_stock_of_a_lot_goes_by_its_name_in_any_capitals() {
    let top = workshop();
    let lots = top.path().join("demo-data/lots.csv");
    let table = fs::read_to_string(&lots).expect("a table");
    let columns = table.lines().next().expect("a header").split(',');
    let row: Vec<&str> = columns
        .map(|column| match column {
            "name" => "ÖSTERLAND-1",
            "leaf" => "shade leaf",
            "moisture" => "12 %",
            "stock" => "50 g",
            _ => "",
        })
        .collect();
    fs::write(&lots, format!("{}\n{}\n", table.trim_end(), row.join(","))).expect("a table");
    let line = "gutta lot in österland-1 --mass 900g --at 12% --book demo-data";
    json_in(top.path(), line);
    // 900 g are on hand by the journal, whatever the table says of it.
    let line = "gutta batch plan \"100 % shade leaf\" --shares dry --batch 800g --book demo-data";
    let plan = json_in(top.path(), line);
    assert_close("leaf", value(&plan, "leaf", "g"), 800.0, 1e-9);
}
