//! `gutta formula change`.

use clap::Args;

use gutta::blend::formula::{GivesWay, difference};
use gutta::measure::{Kind, Ratio, Scalar, read};

use super::args::FormulaArgs;
use super::save::SaveArgs;
use crate::answer::Answer;
use crate::failure::Outcome;
use crate::resolve::shelf::Shelf;
use crate::resolve::{Assumed, Flag, moved};
use crate::speak::formula as speak;

/// One share of a formula, changed.
#[derive(Debug, Args)]
pub struct ChangeArgs {
    #[command(flatten)]
    formula: FormulaArgs,
    /// The share that is changed, and what it is to be: "oriental = 28 %"
    #[arg(long, value_name = "COMPONENT = SHARE", allow_hyphen_values = true)]
    share: Option<String>,
    /// The component that makes room for it [all others, each by its share]
    #[arg(long, value_name = "COMPONENT")]
    gives_way: Option<String>,
    #[command(flatten)]
    save: SaveArgs,
}

impl ChangeArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let before = self.formula.read(shelf, &mut assumed)?;
        let flag = Flag::needed(
            "--share",
            "the share to change",
            self.share.as_ref(),
            "type the component, = and the share it is to have, such as --share \"oriental = 28 %\"",
        )?;
        let Some((name, share)) = flag.text.split_once('=') else {
            return Err(flag
                .wrong("unreadable", "there is no = between component and share")
                .hint("type the component, = and the share it is to have, such as \"oriental = 28 %\""));
        };
        let at = flag.text.len() - share.trim_start().len();
        if share.trim_start().starts_with(['+', '-', '\u{2212}']) {
            return Err(flag
                .wrong("ambiguous", "a share with a sign can be what it is to be, or what it changes by")
                .hint("type the share that it is to have, without a sign, such as \"oriental = 28 %\""));
        }
        let to = read(share.trim(), &[Kind::Share]).map_err(|error| moved(flag, error, at))?;
        if !to.is_exact() || to.basis().is_some() {
            return Err(flag
                .wrong("doubt", "a share of a formula is a plain figure")
                .hint("type it alone, such as \"oriental = 28 %\""));
        }
        let name = before.component(flag, name.trim())?;
        let gives_way = Flag::of("--gives-way", self.gives_way.as_ref())
            .map(|flag| before.component(flag, flag.text.trim()))
            .transpose()?;
        let way = match &gives_way {
            Some(name) => GivesWay::Named(name),
            None => GivesWay::ProRata,
        };
        let to = Ratio::of_base(to.base());
        let after = before
            .written
            .with_share(&name, to, way)
            .map_err(|error| flag.fail(error))?;
        let changes = difference(&before.written, &after);
        let mut answer = speak::change(&before, &after, &name, &changes, assumed);
        self.save
            .keep(&before, speak::share_lines(&after), shelf, &mut answer)?;
        Ok(answer)
    }
}
