//! What must not be lost: the program is killed while it writes, the disk is full,
//! several write at once, two people's journals are put together.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use rand_distr::{Distribution, Uniform};
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::SeedableRng;
use serde_json::Value as Json;
use tempfile::TempDir;

use super::program::{command_in, json_in, refused_in, typed_in};

/// A book of its own with nothing in it.
fn empty_book() -> TempDir {
    let top = tempfile::tempdir().expect("a folder");
    fs::write(top.path().join("book.toml"), "format = 1\n").expect("written");
    top
}

fn journal(top: &Path) -> PathBuf {
    top.join("journal.jsonl")
}

fn bytes(top: &Path) -> Vec<u8> {
    fs::read(journal(top)).unwrap_or_default()
}

/// The lines of the journal as JSON, its header left out; each must be whole.
fn lines(top: &Path) -> Vec<Json> {
    let text = String::from_utf8(bytes(top)).expect("UTF-8");
    assert!(text.is_empty() || text.ends_with('\n'), "{text}");
    let mut lines = text.lines().map(|line| {
        serde_json::from_str::<Json>(line).unwrap_or_else(|error| panic!("{line}: {error}"))
    });
    if let Some(header) = lines.next() {
        assert_eq!(header["format"], 1);
    }
    lines.collect()
}

fn ids(lines: &[Json]) -> BTreeSet<String> {
    let ids = lines.iter().filter_map(|line| line["id"].as_str());
    ids.map(str::to_owned).collect()
}

/// The answer of a run of many, whose schema is tried elsewhere.
fn answered(top: &Path, words: &[&str]) -> Json {
    let output = command_in(top, words)
        .arg("--json")
        .output()
        .expect("the program starts");
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{said}");
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// Each entry comes after the one in front of it.
fn assert_in_one_chain(lines: &[Json]) {
    let mut after = &Json::Null;
    for line in lines {
        assert_eq!(&line["after"], after, "{line}");
        after = &line["id"];
    }
}

/// The identifier that an answer says, where it was printed to its end.
fn acknowledged(out: &[u8]) -> Option<String> {
    let text = String::from_utf8_lossy(out);
    let (_, rest) = text.split_once("Written down as ")?;
    let (id, _) = rest.split_once(['.', ':'])?;
    Some(id.to_owned())
}

/// The program is killed at any moment of its run, some hundred times, two of it at
/// work at once. Whatever was answered is there; nothing that was not whole is.
#[cfg(unix)]
#[test]
fn what_was_answered_outlives_the_program_that_is_killed() {
    const KILLS: usize = 150;
    let top = empty_book();
    let begun = Instant::now();
    let first = command_in(top.path(), &["journal", "note", "first"])
        .output()
        .expect("the program starts");
    let takes = begun.elapsed();
    let first = acknowledged(&first.stdout).expect("an identifier");
    // From before the program has begun until after it has answered.
    let most = 1.5 * takes.as_secs_f64().clamp(2e-3, 20e-3);
    let one = |seed: u64, name: &str| {
        let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
        let part = Uniform::new(0.0, 1.0).expect("a range");
        let mut most = most;
        let mut seen = Vec::new();
        let mut unsaid = 0;
        for number in 0..KILLS {
            let words = format!("{name} {number} {}", "of the fig jar ".repeat(20));
            let mut child = command_in(top.path(), &["journal", "note", &words])
                .stdout(Stdio::piped())
                .stderr(Stdio::null())
                .spawn()
                .expect("the program starts");
            thread::sleep(Duration::from_secs_f64(most * part.sample(&mut random)));
            // It may have ended by itself.
            let _ = child.kill();
            let output = child.wait_with_output().expect("it ends");
            match acknowledged(&output.stdout) {
                // A busy machine is waited for longer, so that about half answer.
                Some(id) => {
                    seen.push(id);
                    most *= 0.9;
                }
                None => {
                    unsaid += 1;
                    most = (most * 1.1).min(2.0);
                }
            }
        }
        (seen, unsaid)
    };
    let (hers, his) = thread::scope(|scope| {
        let hers = scope.spawn(|| one(1, "hers"));
        let his = scope.spawn(|| one(2, "his"));
        (hers.join().expect("done"), his.join().expect("done"))
    });
    // Some were in time and some were not, or nothing was tried.
    assert!(hers.1 + his.1 > KILLS / 5, "{} {}", hers.1, his.1);
    assert!(hers.0.len() + his.0.len() > KILLS / 5);
    // One more, so that what is torn is set aside.
    let last = json_in(top.path(), "gutta journal note last");
    let lines = lines(top.path());
    assert_in_one_chain(&lines);
    let there = ids(&lines);
    for id in [&first].into_iter().chain(&hers.0).chain(&his.0) {
        assert!(there.contains(id), "{id} was answered, and is not there");
    }
    assert_eq!(last["answer"]["id"], lines[lines.len() - 1]["id"]);
    for line in &lines {
        let text = line["text"].as_str().expect("words");
        let is_whole = text.ends_with("of the fig jar") || ["first", "last"].contains(&text);
        assert!(is_whole, "{text}");
    }
    let listed = json_in(top.path(), "gutta journal list");
    let entries = listed["answer"]["entries"].as_array().expect("rows");
    assert_eq!(entries.len(), lines.len());
}

/// The file cut at every byte of its last two entries: what was whole is there, what
/// was not is said and not believed, and the next entry keeps it aside.
#[test]
fn a_journal_cut_at_any_byte_keeps_every_whole_entry() {
    let top = empty_book();
    let mut ends = Vec::new();
    for words in ["eins", "zwölf Gramm", "drei"] {
        json_in(top.path(), &format!("gutta journal note \"{words}\""));
        ends.push(bytes(top.path()).len());
    }
    let whole = bytes(top.path());
    for cut in ends[0]..=whole.len() {
        let top = empty_book();
        fs::write(journal(top.path()), &whole[..cut]).expect("written");
        let there = ends.iter().filter(|end| **end <= cut).count();
        let is_torn = !ends.contains(&cut);
        let listed = answered(top.path(), &["journal", "list"]);
        let entries = listed["answer"]["entries"].as_array().expect("rows");
        assert_eq!(entries.len(), there, "cut at {cut}");
        let cautions = listed["cautions"].as_array().expect("a list");
        assert_eq!(cautions.len(), usize::from(is_torn), "cut at {cut}");
        if is_torn {
            let said = cautions[0].as_str().expect("words");
            assert!(
                said.starts_with("the journal ends in half a line, cut off when it was written, and not believed: the next entry keeps it aside (it begins {"),
                "{said}"
            );
        }
        let added = answered(top.path(), &["journal", "note", "after"]);
        let cautions = added["cautions"].as_array().expect("a list");
        assert_eq!(cautions.len(), usize::from(is_torn), "cut at {cut}");
        let lines = lines(top.path());
        assert_eq!(lines.len(), there + 1, "cut at {cut}");
        assert_in_one_chain(&lines);
        assert_eq!(lines[there]["id"], added["answer"]["id"]);
        // Every byte is in one of the two files.
        let aside = fs::read(top.path().join("journal.jsonl.torn")).unwrap_or_default();
        let from = ends[there - 1];
        let torn = if is_torn { &whole[from..cut] } else { &[] };
        assert_eq!(aside.strip_suffix(b"\n").unwrap_or_default(), torn);
        assert_eq!(bytes(top.path())[..from], whole[..from]);
    }
}

/// Four of the program at once, a hundred entries each.
#[test]
fn several_at_once_write_whole_lines_in_one_order() {
    const EACH: usize = 100;
    let top = empty_book();
    let one = |writer: usize| {
        let each = (0..EACH).map(|number| {
            let words = format!("{writer} {number}");
            let output = command_in(top.path(), &["journal", "note", &words])
                .output()
                .expect("the program starts");
            assert_eq!(output.status.code(), Some(0));
            acknowledged(&output.stdout).expect("an identifier")
        });
        each.collect::<Vec<String>>()
    };
    let answered: Vec<Vec<String>> = thread::scope(|scope| {
        let writers: Vec<_> = (0..4)
            .map(|writer| scope.spawn(move || one(writer)))
            .collect();
        let each = writers.into_iter();
        each.map(|writer| writer.join().expect("done")).collect()
    });
    let lines = lines(top.path());
    assert_eq!(lines.len(), 4 * EACH);
    assert_in_one_chain(&lines);
    assert_eq!(ids(&lines), answered.into_iter().flatten().collect());
    for writer in 0..4 {
        let begins = format!("{writer} ");
        let own = lines.iter().filter_map(|line| line["text"].as_str());
        let own: Vec<&str> = own.filter(|text| text.starts_with(&begins)).collect();
        let in_order: Vec<String> = (0..EACH).map(|n| format!("{writer} {n}")).collect();
        assert_eq!(own, in_order);
    }
}

/// What is checked is what is there when it is written: of 100 g, not more than 100 g
/// are taken, however many take at once.
#[test]
fn two_cannot_take_the_same_leaf() {
    let top = empty_book();
    let fill = "gutta jar fill fig --tare 400g --gross 500g --at 12%";
    json_in(top.path(), fill);
    let one = |_: usize| {
        let each = (0..8).map(|_| {
            let run = typed_in(top.path(), "gutta jar take fig --mass 6g");
            assert!([0, 1].contains(&run.code), "{}", run.err);
            usize::from(run.code == 0)
        });
        each.sum::<usize>()
    };
    let taken: usize = thread::scope(|scope| {
        let takers: Vec<_> = (0..4)
            .map(|number| scope.spawn(move || one(number)))
            .collect();
        takers
            .into_iter()
            .map(|taker| taker.join().expect("done"))
            .sum()
    });
    // Sixteen times 6 g are 96 g; 32 were asked for.
    assert_eq!(taken, 16);
    let checked = json_in(top.path(), "gutta book check");
    assert_eq!(checked["answer"]["journal_entries"], 17.0);
    assert_eq!(lines(top.path()).len(), 17);
}

/// One clear message, exit code 2, and nothing harmed.
#[track_caller]
fn refuses_to_write(top: &Path, message: &str, hint: &str) {
    let before = bytes(top);
    let error = refused_in(top, "gutta journal note more", 2);
    assert_eq!(error["error"]["message"], message);
    assert_eq!(error["error"]["hint"], hint);
    assert_eq!(error.get("more"), None);
    let file = error["error"]["file"].as_str().expect("a file");
    assert!(file.ends_with("journal.jsonl"), "{file}");
    assert_eq!(bytes(top), before);
}

const WHERE_TO: &str = "nothing was written; make room, or see that you may write there";

/// Runs the program by a shell that lets it write files of one block at most.
#[cfg(unix)]
fn with_one_block(top: &Path, first: &str, words: &str) -> std::process::Output {
    let program = command_in(top, &[]).get_program().to_owned();
    let limit = format!("{first}ulimit -f 1; exec \"$0\" --json journal note \"$1\"");
    Command::new("sh")
        .args(["-c", &limit])
        .arg(program)
        .arg(words)
        .current_dir(top)
        .output()
        .expect("a shell")
}

/// A file that may grow no more: the part of a line that went in is taken back, or
/// known for what it is.
#[cfg(unix)]
#[test]
fn a_limit_to_the_size_of_files_harms_nothing() {
    let top = empty_book();
    // A block is 512 bytes, or 1024 by some shells: a line of 2000 is too long.
    let long = "x".repeat(2000);
    json_in(top.path(), "gutta journal note first");
    let before = bytes(top.path());
    // The signal is left aside, so that the program is told.
    let output = with_one_block(top.path(), "trap '' XFSZ; ", &long);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(output.stdout, b"");
    let error: Json = serde_json::from_slice(&output.stderr).expect("JSON");
    super::schemas::error_holds(&error);
    assert_eq!(error["error"]["message"], "no more may be stored here");
    assert_eq!(error["error"]["hint"], WHERE_TO);
    assert_eq!(bytes(top.path()), before);
    // The signal ends the program in the middle of the line.
    let killed = with_one_block(top.path(), "", &long);
    assert_eq!(killed.status.code(), None);
    assert_eq!(killed.stdout, b"");
    let torn = bytes(top.path());
    assert!(torn.starts_with(&before) && torn.len() > before.len());
    let added = json_in(top.path(), "gutta journal note second");
    let said = added["cautions"][0].as_str().expect("words");
    assert!(
        said.starts_with("the journal ended in half a line, cut off when it was written: it is kept aside in journal.jsonl.torn (it begins {\"id\":\""),
        "{said}"
    );
    let lines = lines(top.path());
    assert_eq!(lines.len(), 2);
    assert_in_one_chain(&lines);
    let aside = fs::read(top.path().join("journal.jsonl.torn")).expect("it is there");
    assert_eq!(aside, [&torn[before.len()..], b"\n"].concat());
}

/// A disk of 16 kB, filled until it is full.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_harms_nothing() {
    let top = tempfile::tempdir().expect("a folder");
    let disk = top.path().join("disk");
    fs::create_dir(&disk).expect("a folder");
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=16k", "tmpfs"])
        .arg(&disk)
        .output();
    if !mounted.is_ok_and(|output| output.status.success()) {
        println!("left out: a small disk cannot be mounted here");
        return;
    }
    fs::write(disk.join("book.toml"), "format = 1\n").expect("written");
    let words = "y".repeat(700);
    let mut answered = BTreeSet::new();
    let error = loop {
        let output = command_in(&disk, &["--json", "journal", "note", &words])
            .output()
            .expect("the program starts");
        if output.status.code() != Some(0) {
            assert_eq!(output.status.code(), Some(2));
            break serde_json::from_slice::<Json>(&output.stderr).expect("JSON");
        }
        let answer: Json = serde_json::from_slice(&output.stdout).expect("JSON");
        answered.insert(
            answer["answer"]["id"]
                .as_str()
                .expect("an identifier")
                .to_owned(),
        );
        assert!(answered.len() < 100, "16 kB hold no 70 kB");
    };
    let there = ids(&lines(&disk));
    let unmounted = Command::new("umount").arg(&disk).status().expect("umount");
    assert!(unmounted.success());
    assert_eq!(error["error"]["message"], "the disk is full");
    assert_eq!(error["error"]["hint"], WHERE_TO);
    assert!(answered.len() > 5);
    assert_eq!(there, answered);
}

#[test]
fn what_is_no_plain_file_is_no_journal() {
    let top = empty_book();
    fs::create_dir(journal(top.path())).expect("a folder");
    let hint = "move it away: the journal is a plain file";
    refuses_to_write(top.path(), "this is a folder, not a file", hint);
    #[cfg(target_os = "linux")]
    {
        let top = empty_book();
        std::os::unix::fs::symlink("/dev/full", journal(top.path())).expect("a link");
        let error = refused_in(top.path(), "gutta journal note more", 2);
        assert_eq!(
            error["error"]["message"],
            "this is a device or a pipe, not a file"
        );
        assert_eq!(error["error"]["hint"], hint);
        let error = refused_in(top.path(), "gutta journal list", 2);
        assert_eq!(
            error["error"]["message"],
            "this is a device or a pipe, not a file"
        );
    }
}

/// A journal that may only be read is read, and not written to.
#[cfg(unix)]
#[test]
fn a_journal_that_may_only_be_read_is_read() {
    use std::os::unix::fs::PermissionsExt;
    let top = empty_book();
    json_in(top.path(), "gutta journal note first");
    let path = journal(top.path());
    fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).expect("set");
    let is_bound = fs::OpenOptions::new().append(true).open(&path).is_err();
    if !is_bound {
        // Who may do everything is bound by no permission, but by this mark.
        let marked = Command::new("chattr").arg("+i").arg(&path).output();
        if !marked.is_ok_and(|output| output.status.success()) {
            println!("left out: nothing here can be made to be read only");
            return;
        }
    }
    let listed = json_in(top.path(), "gutta journal list");
    let error = refused_in(top.path(), "gutta journal note more", 2);
    if !is_bound {
        let unmarked = Command::new("chattr").arg("-i").arg(&path).status();
        assert!(unmarked.expect("chattr").success());
    }
    let entries = listed["answer"]["entries"].as_array().expect("rows");
    assert_eq!(entries.len(), 1);
    assert_eq!(error["error"]["message"], "this may not be written to");
    assert_eq!(error["error"]["hint"], WHERE_TO);
    assert_eq!(lines(top.path()).len(), 1);
}

/// A line that is empty, at the end or anywhere, is none; the order goes on over it.
#[test]
fn empty_lines_break_nothing() {
    let top = empty_book();
    json_in(top.path(), "gutta journal note first");
    let text = String::from_utf8(bytes(top.path())).expect("UTF-8");
    fs::write(journal(top.path()), format!("{text}\n  \n")).expect("written");
    json_in(top.path(), "gutta journal note second");
    let listed = json_in(top.path(), "gutta journal list");
    assert_eq!(
        listed["answer"]["entries"].as_array().map(Vec::len),
        Some(2)
    );
    let text = String::from_utf8(bytes(top.path())).expect("UTF-8");
    let last: Json = serde_json::from_str(text.lines().last().expect("a line")).expect("JSON");
    assert_eq!(last["after"], listed["answer"]["entries"][0]["id"]);
}

/// Two people go on from one book, and git puts their journals together.
#[test]
fn two_peoples_journals_are_put_together_by_git() {
    let top = tempfile::tempdir().expect("a folder");
    let git = |words: &[&str]| {
        Command::new("git")
            .args(["-c", "user.name=A", "-c", "user.email=a@example.invalid"])
            .args(["-c", "core.autocrlf=false"])
            .args(words)
            .current_dir(top.path())
            .env("GIT_CONFIG_GLOBAL", "/dev/null")
            .env("GIT_CONFIG_NOSYSTEM", "1")
            .output()
    };
    if git(&["--version"]).is_err() {
        println!("left out: there is no git here");
        return;
    }
    let git = |words: &[&str]| {
        let output = git(words).expect("git starts");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "git {words:?}: {said}");
    };
    let run = |line: &str| json_in(top.path(), line);
    git(&["init", "-q", "-b", "main", "."]);
    run("gutta book new bench");
    git(&["add", "-A"]);
    git(&["commit", "-q", "-m", "a new book"]);
    // Each begins the journal that neither had, then both go on from one.
    git(&["checkout", "-q", "-b", "hers"]);
    run("gutta lot in bright-24a --mass 500g --at \"10.8% ± 1.0%\" --when 2024-03-01 --book bench");
    git(&["add", "-A"]);
    git(&["commit", "-q", "-m", "hers"]);
    git(&["checkout", "-q", "main"]);
    run(
        "gutta jar fill quince --tare 412.6g --gross 866.1g --at 15.2% --when 2024-03-01 --book bench",
    );
    git(&["add", "-A"]);
    git(&["commit", "-q", "-m", "his"]);
    git(&["merge", "-q", "--no-edit", "hers"]);
    let book = top.path().join("bench");
    assert_eq!(
        run("gutta book check bench")["answer"]["journal_entries"],
        2.0
    );
    git(&["checkout", "-q", "hers"]);
    git(&["merge", "-q", "--no-edit", "main"]);
    // She weighs the jar after he did; her lines come first.
    run("gutta jar weigh quince --gross 851.9g --when 2024-03-09 --book bench");
    run("gutta lot take bright-24a --mass 60g --when 2024-03-09 --book bench");
    git(&["commit", "-q", "-a", "-m", "hers"]);
    git(&["checkout", "-q", "main"]);
    run("gutta jar weigh quince --gross 858.3g --when 2024-03-08 --book bench");
    git(&["commit", "-q", "-a", "-m", "his"]);
    git(&["merge", "-q", "--no-edit", "hers"]);
    assert_eq!(lines(&book).len(), 5);
    let jar = run("gutta jar show quince --book bench");
    let jar = &jar["answer"]["jars"][0];
    // The later weighing counts, wherever it stands: 384.568 g dry in 439.3 g.
    assert_eq!(jar["weighed"], "2024-03-09T00:00:00Z");
    let moisture = jar["moisture"]["value"].as_f64().expect("a number");
    assert!((moisture - 12.458_911_9).abs() < 1e-6, "{moisture}");
    let per_day = jar["lost_per_day"]["value"].as_f64().expect("a number");
    assert!((per_day - 6.4).abs() < 1e-9, "{per_day}");
    run("gutta jar weigh quince --gross 850g --book bench");
    let checked = run("gutta book check bench");
    assert_eq!(checked["answer"]["journal_entries"], 6.0);
    assert_eq!(checked["cautions"], Json::Array(Vec::new()));
    // The book of the examples has the same attributes, at the root.
    let own = fs::read(gutta_tests::root().join(".gitattributes")).expect("it is there");
    assert_eq!(
        own,
        fs::read(book.join(".gitattributes")).expect("it is there")
    );
}
