//! `--draws` and `--seed`: the same formula, run on draws of its inputs.

use clap::Args;

use gutta::measure::{Simulation, Spread};
use gutta::{Error, ErrorKind, Result};

use crate::answer::{Answer, DrawnFigure, Draws, Value};
use crate::cores;
use crate::failure::{Failure, Outcome};
use crate::resolve::Flag;

/// The seed when none is typed: the same answer each time.
const SEED: u64 = 1;

/// Fewer draws say nothing about 95 %; more do not fit into memory.
const FEWEST: usize = 1_000;
const MOST: usize = 10_000_000;

/// How often the formula is run on draws of its inputs.
#[derive(Debug, Args)]
pub struct DrawArgs {
    /// Check the doubt by Monte Carlo with this many draws, 1000 and more
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    draws: Option<String>,
    /// The seed of the draws: the same seed, the same digits [1]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    seed: Option<String>,
}

impl DrawArgs {
    /// Whether draws are asked for.
    pub const fn is_asked(&self) -> bool {
        self.draws.is_some() || self.seed.is_some()
    }

    /// Adds what the draws say to an answer, when they are asked for.
    pub fn add(
        &self,
        answer: &mut Answer,
        simulate: impl FnOnce() -> Result<Simulation>,
    ) -> Outcome<()> {
        let seed_flag = Flag::of("--seed", self.seed.as_ref());
        let Some(flag) = Flag::of("--draws", self.draws.as_ref()) else {
            return match seed_flag {
                None => Ok(()),
                Some(_) => Err(Failure::missing(
                    "--draws",
                    "--seed is about draws, and there are none",
                )
                .hint("type how many, such as --draws 100000")),
            };
        };
        let draws = whole::<usize>(flag, "a number of draws")?;
        if !(FEWEST..=MOST).contains(&draws) {
            return Err(flag
                .wrong(
                    "out-of-range",
                    format!("the draws must be from {FEWEST} to {MOST}, not {draws}"),
                )
                .hint("100000 draws show two figures of the doubt"));
        }
        let seed = match seed_flag {
            Some(flag) => whole::<u64>(flag, "a seed")?,
            None => SEED,
        };
        let simulation = simulate().map_err(|error| flag.fail(error))?;
        let (columns, outside) = cores::draw(&simulation, draws, seed);
        let figures = simulation
            .names()
            .iter()
            .zip(columns)
            .filter_map(|(name, mut column)| {
                let figure = answer.figures.iter().find(|f| f.key.name == *name)?;
                let Value::Quantity {
                    best,
                    u,
                    dof,
                    least_dof,
                } = figure.value
                else {
                    return None;
                };
                let spread = Spread::of(&mut column);
                // What carries no doubt draws the same figure each time.
                (u > 0.0 && spread.count > 0).then(|| DrawnFigure {
                    key: figure.key,
                    first_order: spread.confirms(best, u, dof),
                    has_mean: least_dof > 1.0,
                    has_u: least_dof > 2.0,
                    spread,
                })
            })
            .collect();
        answer.draws = Some(Draws {
            count: draws,
            seed,
            outside: outside as f64 / draws as f64,
            figures,
        });
        Ok(())
    }
}

fn whole<T: std::str::FromStr>(flag: Flag<'_>, what: &str) -> Outcome<T> {
    let digits = flag.text.trim();
    digits.parse().map_err(|_| {
        flag.fail(
            Error::new(ErrorKind::Number, format!("`{digits}` is not {what}"))
                .with_hint("type a whole number in plain digits, such as 100000"),
        )
    })
}
