use std::fs;
use std::path::Path;

use gutta::blend::record::{Identifier, Moment};
use serde_json::Map;

use super::*;

fn note(number: u64, text: &str) -> NewEntry {
    let mut fields = Map::new();
    fields.insert("text".to_owned(), text.into());
    NewEntry {
        at: Moment::of_seconds(1_770_000_000 + i64::try_from(number).unwrap()),
        kind: "note".to_owned(),
        fields,
    }
}

fn texts(journal: &Journal) -> Vec<String> {
    let entries = journal.entries().iter();
    entries
        .map(|entry| entry.fields["text"].as_str().unwrap().to_owned())
        .collect()
}

fn written(dir: &Path) -> String {
    fs::read_to_string(dir.join(JOURNAL)).unwrap()
}

#[test]
fn entries_come_back_as_they_were_added() {
    let dir = tempfile::tempdir().unwrap();
    assert!(Journal::read(dir.path()).unwrap().entries().is_empty());
    let first = Journal::add(dir.path(), &[note(1, "one"), note(2, "two\nlines")]).unwrap();
    let third = Journal::add(dir.path(), &[note(3, "größe \"7\"")]).unwrap();
    let journal = Journal::read(dir.path()).unwrap();
    assert_eq!(texts(&journal), ["one", "two\nlines", "größe \"7\""]);
    assert_eq!(journal.entries()[0].after, None);
    let ids: Vec<Identifier> = journal.entries().iter().map(|e| e.id.clone()).collect();
    assert_eq!(ids, [first.ids, third.ids].concat());
    assert_eq!(journal.entries()[2].after.as_ref(), Some(&ids[1]));
    assert_eq!(journal.entry(&ids[2]).unwrap().at.seconds(), 1_770_000_003);
    assert_eq!(journal.torn(), None);
    assert_eq!(written(dir.path()).lines().count(), 4);
}

/// The file cut at every byte of its last two entries: what was whole is there,
/// what was not is not believed, and the next entry keeps it aside.
#[test]
fn a_file_cut_at_any_byte_loses_no_whole_entry() {
    let dir = tempfile::tempdir().unwrap();
    Journal::add(dir.path(), &[note(1, "one")]).unwrap();
    let one = written(dir.path()).len();
    Journal::add(dir.path(), &[note(2, "zwölf Gramm")]).unwrap();
    let two = written(dir.path()).len();
    Journal::add(dir.path(), &[note(3, "three")]).unwrap();
    let whole = fs::read(dir.path().join(JOURNAL)).unwrap();
    for cut in one..=whole.len() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join(JOURNAL);
        fs::write(&path, &whole[..cut]).unwrap();
        let journal = Journal::read(dir.path()).unwrap();
        let there = 1 + usize::from(cut >= two) + usize::from(cut == whole.len());
        assert_eq!(journal.entries().len(), there, "cut at {cut}");
        let is_torn = ![one, two, whole.len()].contains(&cut);
        assert_eq!(journal.torn().is_some(), is_torn, "cut at {cut}");
        let added = Journal::add(dir.path(), &[note(4, "after")]).unwrap();
        assert_eq!(added.torn.is_some(), is_torn, "cut at {cut}");
        let journal = Journal::read(dir.path()).unwrap();
        assert_eq!(journal.entries().len(), there + 1, "cut at {cut}");
        assert_eq!(journal.torn(), None);
        let last = &journal.entries()[there];
        assert_eq!(last.after.as_ref(), Some(&journal.entries()[there - 1].id));
        // Nothing is dropped: every byte is in one of the two files.
        let aside = fs::read(dir.path().join("journal.jsonl.torn")).unwrap_or_default();
        let kept = if is_torn { aside.len() - 1 } else { 0 };
        let added = last_length(dir.path());
        assert_eq!(
            fs::read(&path).unwrap().len() - added + kept,
            cut,
            "cut at {cut}"
        );
    }
}

fn last_length(dir: &Path) -> usize {
    written(dir).lines().last().unwrap().len() + 1
}

#[test]
fn a_bad_line_in_the_middle_is_an_error_with_its_place() {
    let dir = tempfile::tempdir().unwrap();
    let all: Vec<NewEntry> = (1..=4).map(|n| note(n, "text")).collect();
    Journal::add(dir.path(), &all).unwrap();
    let text = written(dir.path());
    let entries = Journal::read(dir.path()).unwrap();
    let id = |number: usize| entries.entries()[number - 1].id.clone();
    let path = dir.path().join(JOURNAL);
    let errors_of = |text: &str| {
        fs::write(&path, text).unwrap();
        let errors = Journal::read(dir.path()).unwrap_err();
        errors
            .iter()
            .map(|error| (error.line().unwrap_or(0), error.to_string()))
            .collect::<Vec<_>>()
    };
    let lines: Vec<&str> = text.lines().collect();
    let with = |at: usize, line: &str| {
        let mut lines = lines.clone();
        lines[at] = line;
        lines.join("\n") + "\n"
    };
    let broken = errors_of(&with(2, "{\"id\":\"0000"));
    // That the next line comes after it is no error of its own.
    assert_eq!(broken, [(3, "this line is no JSON".to_owned())]);
    // A line that is gone is missed.
    let mut gone = lines.clone();
    gone.remove(2);
    let gone = errors_of(&(gone.join("\n") + "\n"));
    assert_eq!(
        gone,
        [(
            3,
            format!(
                "{} comes after {}, which is not in the journal",
                id(3),
                id(2)
            )
        )]
    );
    let twice = errors_of(&(text.clone() + lines[4] + "\n"));
    assert_eq!(
        twice,
        [(6, format!("{} stands twice in the journal", id(4)))]
    );
    let newer = errors_of(&with(0, "{\"format\":2}"));
    assert_eq!(
        newer,
        [(
            1,
            "this journal has format 2, and this program reads format 1".to_owned()
        )]
    );
    let slip = errors_of(&text.replace(&format!("\"id\":\"{}\"", id(4)), "\"id\":\"0000-0001\""));
    assert_eq!(
        slip,
        [(
            5,
            "a symbol of this identifier is wrong, or two are swapped".to_owned()
        )]
    );
    let no_moment = errors_of(&text.replacen("2026-", "2026/", 1));
    assert_eq!(no_moment.len(), 1, "{no_moment:?}");
    // Nothing is added behind a last line that is none.
    fs::write(&path, with(4, "{\"id\":")).unwrap();
    let error = Journal::add(dir.path(), &[note(5, "text")]).unwrap_err();
    assert_eq!(error.to_string(), "this line is no JSON");
    assert_eq!(written(dir.path()), with(4, "{\"id\":"));
}

/// Two people who went on from the same entry: their lines put together are a
/// journal.
#[test]
fn two_branches_put_together_are_one_journal() {
    let base = tempfile::tempdir().unwrap();
    let first = Journal::add(base.path(), &[note(1, "base")]).unwrap();
    let common = written(base.path());
    let mut both = common.clone();
    for (number, text) in [(2, "hers"), (3, "his")] {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join(JOURNAL), &common).unwrap();
        Journal::add(dir.path(), &[note(number, text)]).unwrap();
        both += &written(dir.path())[common.len()..];
    }
    fs::write(base.path().join(JOURNAL), &both).unwrap();
    let journal = Journal::read(base.path()).unwrap();
    assert_eq!(texts(&journal), ["base", "hers", "his"]);
    assert_eq!(journal.entries()[2].after.as_ref(), first.ids.first());
}

/// Four writers at once: every entry is there, each behind the one before.
#[test]
fn writers_at_once_interleave_whole_entries() {
    const EACH: u64 = 50;
    let dir = tempfile::tempdir().unwrap();
    std::thread::scope(|scope| {
        for writer in 0..4 {
            let dir = dir.path();
            scope.spawn(move || {
                for n in 0..EACH {
                    let number = writer * 1000 + n;
                    Journal::add(dir, &[note(number, &format!("{writer} {n}"))]).unwrap();
                }
            });
        }
    });
    let journal = Journal::read(dir.path()).unwrap();
    assert_eq!(journal.entries().len(), 4 * usize::try_from(EACH).unwrap());
    let pairs = journal.entries().windows(2);
    for pair in pairs {
        assert_eq!(pair[1].after.as_ref(), Some(&pair[0].id));
    }
    for writer in 0..4_u64 {
        let own = texts(&journal)
            .into_iter()
            .filter(|text| text.starts_with(&format!("{writer} ")));
        let expected: Vec<String> = (0..EACH).map(|n| format!("{writer} {n}")).collect();
        assert_eq!(own.collect::<Vec<_>>(), expected);
    }
}

/// A long line without an end is looked for to its beginning, however far back.
#[test]
fn a_torn_line_longer_than_any_window_is_set_aside_whole() {
    let dir = tempfile::tempdir().unwrap();
    Journal::add(dir.path(), &[note(1, "one")]).unwrap();
    let long = "x".repeat(20_000);
    fs::write(dir.path().join(JOURNAL), written(dir.path()) + &long).unwrap();
    let added = Journal::add(dir.path(), &[note(2, "two")]).unwrap();
    assert_eq!(added.torn.as_deref(), Some(long.as_str()));
    assert_eq!(texts(&Journal::read(dir.path()).unwrap()), ["one", "two"]);
    // A file that is one torn line and nothing else.
    fs::write(dir.path().join(JOURNAL), &long).unwrap();
    Journal::add(dir.path(), &[note(3, "three")]).unwrap();
    assert_eq!(texts(&Journal::read(dir.path()).unwrap()), ["three"]);
}

#[test]
fn a_moment_reads_as_it_is_written() {
    // 1 770 000 000 s after the beginning of 1970, by `date -u`.
    let moment = Moment::of_seconds(1_770_000_000);
    assert_eq!(moment_text(moment), "2026-02-02T02:40:00Z");
    assert_eq!(read_moment("2026-02-02T02:40:00Z").unwrap(), moment);
    assert_eq!(read_moment("2026-02-02T03:40:00.9+01:00").unwrap(), moment);
    assert!(moment_text(Moment::of_seconds(i64::MAX)).starts_with("9999-12-"));
    let error = read_moment("yesterday").unwrap_err();
    assert_eq!(error.to_string(), "`yesterday` is no moment in time");
}

#[test]
fn an_identifier_is_made_of_what_is_said() {
    let id =
        |entry: &NewEntry, after: Option<&Identifier>| entry::line(entry, &entry.fields, after).0;
    let one = id(&note(1, "one"), None);
    assert_eq!(one, id(&note(1, "one"), None));
    assert_ne!(one, id(&note(1, "two"), None));
    assert_ne!(one, id(&note(2, "one"), None));
    assert_ne!(one, id(&note(1, "one"), Some(&one)));
    assert_eq!(one.symbols().len(), 8);
}

/// Two entries that a hash would give one identifier: the later says so, and has
/// another. The first is made up to have the identifier that the second would.
#[test]
fn no_two_entries_have_one_identifier() {
    let dir = tempfile::tempdir().unwrap();
    let first = Journal::add(dir.path(), &[note(1, "one")]).unwrap();
    let two = note(2, "two");
    let (taken, _) = entry::line(&two, &two.fields, first.ids.first());
    // It stands before, and was written after: only its identifier counts here.
    let whole = written(dir.path());
    let own = format!(
        "{{\"id\":\"{taken}\",\"at\":\"2026-01-01T00:00:00Z\",\"kind\":\"note\",\"text\":\"x\"}}\n"
    );
    fs::write(
        dir.path().join(JOURNAL),
        whole.replacen('\n', &format!("\n{own}"), 1),
    )
    .unwrap();
    let added = Journal::add(dir.path(), std::slice::from_ref(&two)).unwrap();
    assert_ne!(added.ids.first(), Some(&taken));
    let journal = Journal::read(dir.path()).unwrap();
    assert_eq!(texts(&journal), ["x", "one", "two"]);
    let last = &journal.entries()[2];
    assert_eq!(last.fields["again"], 1);
    assert!(last.is_as_written());
    assert_eq!(
        journal.doubts(),
        [format!(
            "entry {taken} was changed after it was written: its identifier is that of other words"
        )]
    );
}

/// What a person types, against what `date -u -d` makes of it.
#[test]
fn a_moment_is_typed_in_several_ways() {
    let typed = |text: &str| typed_moment(text).map(Moment::seconds).ok();
    // 2026-03-14T18:30:00Z.
    let evening = 1_773_513_000;
    for text in [
        "2026-03-14T18:30:00Z",
        "2026-03-14T18:30Z",
        "2026-03-14 18:30",
        " 2026-03-14 18:30 ",
        "2026-03-14T18:30",
        "2026-03-14 18:30:00",
        "2026-03-14 19:30+01:00",
        "2026-03-14 19:30 +01:00",
        "2026-03-14 13:30 \u{2212}05:00",
        "2026-03-14 18:30 Z",
        "2026-03-14 19:30:00.9+01",
    ] {
        assert_eq!(typed(text), Some(evening), "{text}");
    }
    assert_eq!(typed("2026-03-14"), Some(evening - 18 * 3600 - 1800));
    for text in [
        "",
        "yesterday",
        "14.03.2026",
        "2026-3-14",
        "2026-02-30",
        "2026-03-14 25:00",
        "18:30",
        "2026-03-14 18:30 CET",
        "2026-03-14 18:30 at night",
    ] {
        assert_eq!(typed(text), None, "{text}");
    }
    let error = typed_moment("yesterday").unwrap_err();
    assert_eq!(error.to_string(), "`yesterday` is no moment in time");
    assert_eq!(
        error.hint(),
        Some("type it such as \"2026-03-14 18:30\", which is UTC, or 2026-03-14")
    );
}

#[test]
fn a_note_says_when_it_is_due_or_what_is_wrong_with_that() {
    let dir = tempfile::tempdir().unwrap();
    let due = |number, text: &str| {
        let mut note = note(number, "turn the jars");
        note.fields.insert(field::DUE.to_owned(), text.into());
        note
    };
    Journal::add(
        dir.path(),
        &[due(0, "2026-10-15T08:00:00Z"), note(1, "no haste")],
    )
    .unwrap();
    let journal = Journal::checked(dir.path()).unwrap();
    let when = |entry: &JournalEntry| entry.due().unwrap();
    let found: Vec<Option<Moment>> = journal.counted().map(when).collect();
    assert_eq!(found, [Some(Moment::of_seconds(1_792_051_200)), None]);
    Journal::add(dir.path(), &[due(2, "soon")]).unwrap();
    let errors = Journal::checked(dir.path()).unwrap_err();
    let said: Vec<String> = errors.iter().map(ToString::to_string).collect();
    assert_eq!(said.len(), 1);
    assert!(said[0].ends_with("`soon` is no moment in time"), "{said:?}");
    assert_eq!(errors.iter().next().and_then(BookError::line), Some(4));
}
