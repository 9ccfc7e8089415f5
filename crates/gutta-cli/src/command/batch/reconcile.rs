//! `gutta batch reconcile`.

use clap::Args;

use gutta::blend::batch::{Packed, Reconciling};
use gutta::measure::{Kind, Measured, ROOM_TEMPERATURE, Scale, read};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use crate::resolve::bring::{Around, bring};
use crate::resolve::lot::lot;
use crate::resolve::shelf::Shelf;
use crate::resolve::{self, Assumed, Flag, moved};
use crate::speak::batch::reconcile as speak;

/// A batch as it was weighed.
#[derive(Debug, Args)]
pub struct ReconcileArgs {
    /// Leaf that went in with its moisture or lot: "1720g 9.1%", "1720g red-23c"
    #[arg(long, value_name = "MASS MOISTURE", allow_hyphen_values = true)]
    leaf: Vec<String>,
    /// All dry leaf that went in, in place of --leaf
    #[arg(
        long,
        value_name = "MASS",
        allow_hyphen_values = true,
        conflicts_with = "leaf"
    )]
    dry: Option<String>,
    /// A liquid that went on: "34g tincture, 60% alcohol"
    #[arg(long, value_name = "AMOUNT LIQUID", allow_hyphen_values = true)]
    bring: Vec<String>,
    /// The moisture that was wanted
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    to: Option<String>,
    /// Packs alike: "72 of 50.3g"
    #[arg(long, value_name = "COUNT of MASS", allow_hyphen_values = true)]
    packs: Vec<String>,
    /// What else is good: the sample, a jar
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    good: Vec<String>,
    /// The moisture of what is good
    #[arg(long, value_name = "MOISTURE", allow_hyphen_values = true)]
    at: Option<String>,
    /// The fines with their moisture: "41.5g 9%"
    #[arg(long, value_name = "MASS MOISTURE", allow_hyphen_values = true)]
    fines: Option<String>,
    /// The scale's smallest step, such as 1g, or a scale of the book
    #[arg(long, value_name = "DIVISION", allow_hyphen_values = true)]
    scale: Option<String>,
}

/// What to type for packs.
const PACKS_FORM: &str = "type the count, of, and what each holds, such as --packs \"72 of 50.3g\"";

impl ReconcileArgs {
    pub(super) fn answer(&self, shelf: &Shelf) -> Outcome<Answer> {
        let mut assumed = Assumed::default();
        let scale = resolve::scale(self.scale.as_ref(), shelf)?;
        let mut typed = None;
        let mut leaf = Vec::new();
        for (i, text) in self.leaf.iter().enumerate() {
            let flag = Flag::new("--leaf", text);
            let one = lot(flag, &format!("leaf {}", i + 1), scale, shelf, &mut assumed)?;
            typed.get_or_insert(one.mass);
            leaf.push(one.lot);
        }
        let dry_leaf = match Flag::of("--dry", self.dry.as_ref()) {
            Some(flag) => {
                let dry = flag.mass(scale)?;
                assumed.exact_if(
                    dry.mass.is_exact(),
                    format!("dry leaf {}", dry.reading.unbroken()),
                );
                typed.get_or_insert(dry.reading);
                Some(dry.mass)
            }
            None => None,
        };
        let Some(typed) = typed else {
            return Err(Failure::missing("--leaf", "what leaf went in is missing").hint(
                "type each lot with its moisture, such as --leaf \"1720g 9.1%\", or all dry leaf as --dry 3400g",
            ));
        };
        let around = Around {
            shelf,
            scale,
            drop: None,
            temperature: ROOM_TEMPERATURE,
            typed_temperature: None,
        };
        let brought = self.bring.iter();
        let brought = brought.map(|text| bring(Flag::new("--bring", text), &around, &mut assumed));
        let brought = brought.collect::<Outcome<Vec<_>>>()?;
        let hint = "type the moisture that was wanted, such as --to 15%";
        let (to_typed, to) =
            Flag::needed("--to", "the moisture wanted", self.to.as_ref(), hint)?.target()?;
        let mut good = Vec::new();
        for text in &self.packs {
            good.push(packed(Flag::new("--packs", text), scale, &mut assumed)?);
        }
        for (i, text) in self.good.iter().enumerate() {
            let name = format!("good {}", i + 1);
            let mass = Flag::new("--good", text).mass(scale)?;
            assumed.exact_if(
                mass.mass.is_exact(),
                format!("{name} {}", mass.reading.unbroken()),
            );
            good.push(Packed {
                name,
                mass: mass.mass,
            });
        }
        if good.is_empty() {
            return Err(Failure::missing("--good", "what came out is missing").hint(
                "type the packs, such as --packs \"72 of 50.3g\", and the rest as --good 161g",
            ));
        }
        let hint = "type what was measured of the finished blend, such as --at \"14.1% ± 0.3%\"";
        let (at_typed, at) = Flag::needed(
            "--at",
            "the moisture of what is good",
            self.at.as_ref(),
            hint,
        )?
        .moisture()?;
        assumed.exact_if(at.is_exact(), format!("moisture {}", at_typed.unbroken()));
        let fines = match Flag::of("--fines", self.fines.as_ref()) {
            Some(flag) => Some(lot(flag, "fines", scale, shelf, &mut assumed)?.lot),
            None => {
                assumed.line("no fines were weighed: they are among what is unexplained");
                None
            }
        };
        let batch = Reconciling {
            leaf,
            dry_leaf,
            brought,
            temperature: Measured::exact(ROOM_TEMPERATURE),
            to,
            good,
            at,
            fines,
        };
        let got = batch.reconcile().map_err(Failure::from)?;
        Ok(speak::reconcile(
            &batch,
            &got,
            (&typed, &to_typed, &at_typed),
            scale,
            assumed,
        ))
    }
}

/// `72 of 50.3g`: with a scale each was weighed on it; with a ± it is that of all.
fn packed(flag: Flag<'_>, scale: Option<Scale>, assumed: &mut Assumed) -> Outcome<Packed> {
    let Some((count, net)) = flag.text.split_once(" of ") else {
        return Err(flag
            .wrong("unreadable", "there is no of between count and mass")
            .hint(PACKS_FORM));
    };
    let whole = count.trim().parse::<u32>().ok().filter(|count| *count > 0);
    let Some(whole) = whole else {
        return Err(flag
            .wrong("number", format!("`{}` is no count of packs", count.trim()))
            .hint(PACKS_FORM));
    };
    let at = flag.text.len() - net.len() + net.len() - net.trim_start().len();
    let reading = read(net.trim(), &[Kind::Mass]).map_err(|error| moved(flag, error, at))?;
    let weight = flag.weight(reading, None)?;
    assumed.exact_if(
        weight.mass.is_exact() && scale.is_none(),
        format!("{whole} packs of {}", weight.reading.unbroken()),
    );
    Ok(match scale {
        Some(scale) if weight.mass.is_exact() => {
            Packed::each_weighed("packs", whole, weight.mass.value(), scale)
        }
        _ => Packed::alike("packs", whole, weight.mass),
    })
}
