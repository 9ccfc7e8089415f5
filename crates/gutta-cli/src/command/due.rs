//! `gutta journal due`: what is to be seen to.

use clap::Args;

use gutta::blend::record::{Due, due};
use gutta::measure::{Kind, Scalar, Time};
use gutta_book::field;

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::Flag;
use crate::resolve::shelf::{Shelf, of_entry};
use crate::speak::due as speak;

/// What is due, and until when.
#[derive(Debug, Args)]
pub struct DueArgs {
    /// What is due within this time too, such as 2days
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    within: Option<String>,
    /// Jars that come to this moisture, by how they dry
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    limit: Option<String>,
}

impl DueArgs {
    /// Reads the journal and says what is due.
    pub fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let within = match Flag::of("--within", self.within.as_ref()) {
            Some(flag) => {
                let reading = flag.read(&[Kind::Time])?;
                let is_plain = reading.is_exact() && reading.base() >= 0.0;
                if !is_plain {
                    return Err(flag
                        .wrong("doubt", "a stretch of time is a plain figure from 0 up")
                        .hint("type it alone, such as --within 2days"));
                }
                Time::of_base(reading.base())
            }
            None => Time::of_base(0.0),
        };
        let limit = Flag::of("--limit", self.limit.as_ref())
            .map(|flag| flag.target())
            .transpose()?;
        let journal = shelf.journal()?;
        let mut all: Vec<Due<speak::What>> = Vec::new();
        let makings = journal.makings().map_err(|error| of_entry(&error))?;
        for record in makings.iter().filter(|record| record.is_to_be_judged()) {
            if let Some(at) = record.rested() {
                all.push(Due {
                    at,
                    what: speak::What::Judge {
                        id: record.id.to_string(),
                        kind: record.kind,
                        title: record.title.clone(),
                    },
                });
            }
        }
        for entry in journal.counted() {
            if let Some(at) = entry.due().map_err(|error| of_entry(&error))? {
                all.push(Due {
                    at,
                    what: speak::What::Note {
                        id: entry.id.to_string(),
                        text: entry.text(field::TEXT).unwrap_or_default().to_owned(),
                    },
                });
            }
        }
        if let Some((typed, limit)) = &limit {
            for jar in journal.jars().map_err(|error| of_entry(&error))? {
                let now = jar
                    .history
                    .now()
                    .map_err(|error| Failure::from(error).called(jar.name.clone()))?;
                let at = if now.moisture.best() <= *limit {
                    Some(now.weighed)
                } else {
                    now.reaches(*limit)
                        .map(|time| now.weighed.after(time.best()))
                };
                if let Some(at) = at {
                    all.push(Due {
                        at,
                        what: speak::What::Moisten {
                            jar: jar.name,
                            limit: typed.to_string(),
                        },
                    });
                }
            }
        }
        Ok(speak::due(&due(all, shelf.now(), within), shelf.now()))
    }
}
