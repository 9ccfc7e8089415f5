//! `gutta trial add`, `gutta batch add`: lines behind the command, in a file, or
//! as answers.

use clap::Args;

use gutta::blend::record::Step;
use gutta::measure::{Scalar, Scale, Unit};
use gutta_book::{Journal, LotRecord, MakingKind, MakingRecord, NewEntry, field, is_same_name};

use super::{ID, ask, command, step};
use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::record::{Draft, When};
use crate::resolve::shelf::{Shelf, of_entry};
use crate::resolve::{self, Assumed, Flag, making};
use crate::say::{self, Voice};
use crate::session::Session;
use crate::speak::making as speak;

/// What was done.
#[derive(Debug, Args)]
pub struct AddArgs {
    /// The trial or batch
    #[arg(value_name = "ID")]
    id: String,
    /// What was done, a line each: "leaf 11.0 g red flue-cured"
    #[arg(value_name = "LINE")]
    lines: Vec<String>,
    /// A file of such lines
    #[arg(long, value_name = "FILE", conflicts_with = "lines")]
    from: Option<String>,
    /// The scale's smallest step, such as 0.1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
    /// When it was, such as 2026-03-14T18:30:00Z [now]
    #[arg(long, value_name = "MOMENT")]
    when: Option<String>,
}

/// What a line is called in a complaint.
const LINE: &str = "LINE";

/// What all lines of one run share.
pub struct Bench<'a> {
    /// The book.
    pub shelf: &'a Shelf,
    /// When it was.
    pub when: When,
    /// The scale that was weighed on.
    pub scale: Option<Scale>,
}

impl Bench<'_> {
    /// An entry of a kind about a trial or batch.
    pub fn draft(&self, kind: &'static str, record: &MakingRecord) -> Draft {
        let mut draft = Draft::new(kind, self.when.clone());
        draft.put(field::OF, record.id.to_string());
        draft
    }

    /// An entry with what was read on the scale.
    pub fn reading(&self, kind: &'static str, record: &MakingRecord) -> Draft {
        let mut draft = self.draft(kind, record);
        draft.scale(self.scale);
        draft
    }

    /// The entry of a line.
    pub fn entry(
        &self,
        flag: Flag<'_>,
        record: &MakingRecord,
        assumed: &mut Assumed,
    ) -> Outcome<NewEntry> {
        let step: Step = flag.text.parse().map_err(|error| flag.fail(error))?;
        let draft = step::entry(flag, &step, record, self, assumed)?;
        Ok(draft.entry())
    }

    /// Writes entries down, all or none, if what they say can be; and what it is
    /// with them.
    pub fn write(
        &self,
        record: &MakingRecord,
        entries: &[NewEntry],
        about: &'static str,
    ) -> Outcome<(gutta_book::Added, MakingRecord)> {
        let mut after = None;
        let added = Journal::add_if(self.shelf.folder()?, |journal| {
            let lot_of =
                |entry: &NewEntry| Some(entry.fields.get(field::LOT)?.as_str()?.to_owned());
            let taken: Vec<String> = entries.iter().filter_map(lot_of).collect();
            let before = lots_named(journal, &taken);
            for entry in entries {
                journal.suppose(entry);
            }
            after = Some(Self::checked(journal, record, about)?);
            takes_what_is_there(&before, &lots_named(journal, &taken), about)?;
            Ok::<_, Failure>(entries.to_vec())
        })?;
        let after = after.unwrap_or_else(|| record.clone());
        Ok((added, after))
    }

    /// A trial or batch of a journal, which can be.
    fn checked(
        journal: &Journal,
        record: &MakingRecord,
        about: &'static str,
    ) -> Outcome<MakingRecord> {
        let all = journal
            .makings()
            .map_err(|error| of_entry(&error).about(about))?;
        let after = all.into_iter().find(|one| one.id == record.id);
        let after = after.ok_or_else(|| {
            Failure::unreadable("unknown-name", format!("{} is not counted", record.id))
                .hint("a later entry made it void: begin another")
        })?;
        making::now(&after).map_err(|failure| failure.about(about))?;
        Ok(after)
    }
}

/// The lots of these names; what is wrong with another is no matter here.
fn lots_named(journal: &Journal, names: &[String]) -> Vec<LotRecord> {
    if names.is_empty() {
        return Vec::new();
    }
    let is_named = |lot: &LotRecord| names.iter().any(|name| is_same_name(name, &lot.name));
    let lots = journal.lots_found().sound.into_iter();
    lots.filter(is_named).collect()
}

/// Refuses what takes more of a lot than there was before.
fn takes_what_is_there(
    before: &[LotRecord],
    after: &[LotRecord],
    about: &'static str,
) -> Outcome<()> {
    for lot in after {
        lot.history.now().map_err(|error| {
            let mut failure = Failure::from(error).about(about);
            let report = failure.report_mut();
            report.message = format!("{}: {}", lot.name, report.message);
            let there = before.iter().find(|one| one.name == lot.name);
            if let Some(there) = there.and_then(|one| one.history.now().ok()) {
                report.hint = Some(format!(
                    "{} were on hand: take that where it was the last of it, or weigh what is left with gutta lot weigh",
                    Voice::plain(None).reading(&there.as_weighed)
                ));
            }
            failure
        })?;
    }
    Ok(())
}

impl AddArgs {
    pub(super) fn answer(
        &self,
        kind: MakingKind,
        shelf: &Shelf,
        session: &mut Session<'_>,
    ) -> Outcome<Answer> {
        let all = shelf.makings()?;
        let record = making::found(Flag::new(ID, &self.id), &all, shelf)?;
        let mut when = When::of(self.when.as_ref(), shelf)?;
        when.not_before(record.at, "it was begun")?;
        let typed = resolve::scale(self.scale.as_ref(), shelf)?;
        let bench = Bench {
            shelf,
            when,
            scale: typed.or(record.scale),
        };
        let mut assumed = Assumed::default();
        let (ids, torn, record) = if let Some(flag) = Flag::of("--from", self.from.as_ref()) {
            let entries = from_file(flag, record, &bench, session, &mut assumed)?;
            let (added, after) = bench.write(record, &entries, "--from")?;
            (added.ids, added.torn, after)
        } else if self.lines.is_empty() {
            ask::all(record, &bench, session, &mut assumed)?
        } else {
            let entries = self
                .lines
                .iter()
                .map(|line| bench.entry(Flag::new(LINE, line), record, &mut assumed));
            let entries = entries.collect::<Outcome<Vec<_>>>()?;
            let (added, after) = bench.write(record, &entries, LINE)?;
            (added.ids, added.torn, after)
        };
        let now = making::now(&record)?;
        let mut answer = speak::added(
            command(kind, "trial add", "batch add"),
            &record,
            now.as_ref(),
            &ids,
        );
        if let Some(torn) = torn {
            crate::speak::jar::caution_torn(&mut answer, &torn);
        }
        if typed.is_none() {
            assumed.line(match bench.scale {
                Some(scale) => format!(
                    "read on the scale of the plan, in steps of {}",
                    say::base(scale.division().base(), Unit::GRAM)
                ),
                None => "taken as exact: all that was weighed, since no scale is named".to_owned(),
            });
        }
        assumed.settle(&mut answer);
        Ok(answer)
    }
}

/// The entries of a file, each line read before any is written.
fn from_file(
    flag: Flag<'_>,
    record: &MakingRecord,
    bench: &Bench<'_>,
    session: &Session<'_>,
    assumed: &mut Assumed,
) -> Outcome<Vec<NewEntry>> {
    if flag.text.trim().is_empty() {
        return Err(Failure::missing(flag.name, "no file is named")
            .hint("type --from and then the file, such as --from trial.txt"));
    }
    let text = gutta_book::read_page(&session.folder.join(flag.text)).map_err(|error| {
        let failure = flag.wrong("file", error.to_string());
        failure.hint(
            error
                .hint()
                .unwrap_or("name a file of lines that say what was done"),
        )
    })?;
    let mut entries = Vec::new();
    let mut failures = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let line_text = line.trim();
        if line_text.is_empty() || line_text.starts_with('#') {
            continue;
        }
        match bench.entry(Flag::new("--from", line), record, assumed) {
            Ok(entry) => entries.push(entry),
            Err(failure) => failures.push(in_file(failure, flag.text, number + 1)),
        }
    }
    let mut failures = failures.into_iter();
    match failures.next() {
        Some(first) => Err(first.with_more(failures.collect())),
        None if entries.is_empty() => Err(flag
            .wrong("missing", "the file says nothing that was done")
            .hint("write a line each, such as leaf 11.0 g red flue-cured")),
        None => Ok(entries),
    }
}

/// A complaint about a line of a file.
fn in_file(mut failure: Failure, file: &str, line: usize) -> Failure {
    let report = failure.report_mut();
    report.file = Some(file.to_owned());
    report.line = Some(line);
    report.column = Some(match (&report.text, report.at) {
        (Some(text), Some(at)) => text[..at].chars().count() + 1,
        _ => 1,
    });
    failure
}
