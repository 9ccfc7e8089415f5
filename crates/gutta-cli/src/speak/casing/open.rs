//! A rate that is not named in full: every reading of it.

use gutta::Estimate;
use gutta::bench::{Cased, Rate};
use gutta::measure::{Scalar, Unit, number};

use super::{
    AFTER, BASIS, CASING, Question, RATE, RATE_OF, READINGS, basis_word, in_words, of_word,
};
use crate::answer::{Answer, Row};
use crate::say;

/// What of a rate was not said.
#[derive(Clone, Copy, Debug)]
pub struct Open {
    /// What of the casing it counts.
    pub of: bool,
    /// The leaf that it is counted on.
    pub basis: bool,
    /// Whether it can be of the liquid only.
    pub only_liquid: bool,
}

impl Open {
    /// What to type so that one reading is left.
    pub fn flags(self) -> String {
        let of = "--rate-of liquid or --rate-of solids";
        let basis = "--basis as-weighed or --basis dry";
        match (self.of, self.basis) {
            (true, true) => format!("type {of}, and {basis}"),
            (true, false) => format!("type {of}"),
            (false, _) => format!("type {basis}"),
        }
    }
}

impl Question {
    /// Every reading of a rate that is not named in full.
    pub fn say_open(mut self, each: &[(Rate, Cased)], open: Open) -> Answer {
        let voice = self.voice();
        let of = |(_, cased): &(Rate, Cased)| cased.casing.best();
        let by_mass =
            |a: &&(Rate, Cased), b: &&(Rate, Cased)| of(a).base().total_cmp(&of(b).base());
        let range = match (each.iter().min_by(by_mass), each.iter().max_by(by_mass)) {
            (Some((_, least)), Some((_, most))) if least.casing.best() < most.casing.best() => {
                let [least, most] = [least, most].map(|cased| voice.weight(&cased.casing));
                format!("{least} to {most}")
            }
            (Some((_, all)), _) => voice.weight(&all.casing),
            (None, _) => String::new(),
        };
        let mut answer = Answer::new(
            "casing",
            format!(
                "A rate of {} is {range} of casing for {}, by how it is counted: say which.",
                self.rate,
                self.leaf_now()
            ),
        );
        let rows = each.iter().map(|(rate, cased)| {
            Row::default()
                .with_word(&RATE_OF, of_word(*rate))
                .with_word(&BASIS, basis_word(*rate))
                .with(&CASING, &cased.casing)
                .with(&AFTER, &cased.moisture)
        });
        answer.put_word(&RATE, "open");
        answer.put_rows(&READINGS, rows.collect());
        let first = each.first().map(of);
        answer.details = each
            .iter()
            .enumerate()
            .map(|(i, (rate, cased))| {
                let ratio = first.map_or(1.0, |first| (cased.casing.best() / first).base());
                let times = match i {
                    0 => String::new(),
                    _ => format!(", {} times the first", number(ratio, 2)),
                };
                format!(
                    "{} {}: {} of casing{times}, then at {} of total weight.",
                    self.rate,
                    in_words(*rate),
                    voice.weight(&cased.casing),
                    say::estimate(&cased.moisture, Unit::PERCENT)
                )
            })
            .collect();
        let tray = self.casing.tray.map_or_else(String::new, |tray| {
            let both = self.casing.leaf.value() + tray.value();
            format!(" ({} with the tray)", voice.reading(&Estimate::exact(both)))
        });
        answer.check = format!(
            "weigh out nothing yet: the scale stays at {}{tray}",
            voice.reading(&self.casing.leaf.estimate("leaf"))
        );
        answer
            .next
            .push(format!("{}, as your own notes have it", open.flags()));
        if self.bulk.is_some() || self.to.is_some() {
            answer
                .next
                .push("the weights in bulk and dried back follow then".to_owned());
        }
        super::always(&mut answer);
        self.settle(&mut answer, open.only_liquid);
        answer
    }
}
