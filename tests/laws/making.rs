//! What was made by its sheet is what the sheet promised, however it was weighed.

use gutta::WateringPlan;
use gutta::bench::{Brought, LeafBasis};
use gutta::blend::record::{MadeLeaf, MadeLiquid, Making, MakingNow};
use gutta::blend::sheet::{Planned, Sheet};
use gutta::matter::{Composition, Liquid};
use gutta::measure::{Measured, Scalar};
use proptest::prelude::*;

use super::sheet::sheet;

/// A few roundings of numbers of one size.
const ROUNDING: f64 = 1e-11;

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= ROUNDING * a.abs().max(b.abs())
}

/// All that a sheet asks for, done to the letter; each leaf in as many weighings.
fn made(sheet: &Sheet, plan: &Planned, weighings: usize) -> Option<Making> {
    let Some((_, WateringPlan::Add(water))) = &plan.water else {
        return None;
    };
    let parts = weighings as f64;
    let leaf = plan.lines.iter().flat_map(|line| {
        let name = sheet.shares.lines()[line.component].name().to_owned();
        let leaf = MadeLeaf {
            source: name.clone(),
            name,
            mass: Measured::exact(line.mass.best() / parts),
            at: sheet.lots[line.component],
        };
        std::iter::repeat_n(leaf, weighings)
    });
    let liquid = |liquid: &Liquid, mass| MadeLiquid {
        liquid: Brought::weighed(
            liquid.name.as_str(),
            Measured::exact(mass),
            liquid.composition.clone().unwrap_or_default(),
        ),
        is_known: true,
    };
    let casings = sheet.casings.iter().zip(&plan.casings);
    let flavours = sheet.flavours.iter().zip(&plan.flavours);
    let liquids = casings
        .map(|(line, cased)| liquid(&line.liquid, cased.mass.best()))
        .chain(flavours.map(|(line, given)| liquid(&line.liquid, given.goes_on())))
        .chain([MadeLiquid {
            liquid: Brought::weighed(
                "water",
                Measured::exact(water.water.best()),
                Liquid::water().composition.unwrap_or_default(),
            ),
            is_known: true,
        }]);
    Some(Making {
        leaf: leaf.collect(),
        liquids: liquids.collect(),
    })
}

fn share(now: &MakingNow, name: &str, is_dry: bool) -> f64 {
    let share = now.shares.iter().find(|share| share.name == name);
    let share = share.expect("every component was weighed");
    if is_dry {
        share.dry.as_ref().expect("it is known").best().base()
    } else {
        share.as_weighed.best().base()
    }
}

proptest! {
    /// Shares, doses and moisture come out as they were asked for, and the shares
    /// of either basis sum to 1.
    #[test]
    fn a_sheet_that_was_followed_is_what_was_asked_for(
        sheet in prop_oneof![sheet(LeafBasis::Dry), sheet(LeafBasis::AsWeighed)],
        weighings in 1..4_usize,
    ) {
        let plan = sheet.plan().expect("a sheet");
        let making = made(&sheet, &plan, weighings);
        prop_assume!(making.is_some());
        let making = making.expect("water is to be added");
        let now = making.now().expect("it was made");
        let is_dry = sheet.basis == LeafBasis::Dry;
        for component in sheet.shares.lines() {
            let made = share(&now, component.name(), is_dry);
            prop_assert!(near(made, component.share().base()), "{made}");
        }
        let sum = |pick: &dyn Fn(&str) -> f64| -> f64 {
            sheet.shares.lines().iter().map(|line| pick(line.name())).sum()
        };
        prop_assert!(near(sum(&|name| share(&now, name, true)), 1.0));
        prop_assert!(near(sum(&|name| share(&now, name, false)), 1.0));
        // The casing on leaf as weighed, the flavouring on dry leaf.
        let cased = now.given[0].on_leaf.best().base();
        prop_assert!(near(cased, sheet.casings[0].rate.share.base()), "{cased}");
        let given = now.given[1].on_dry.as_ref().expect("it is known").best().base();
        prop_assert!(near(given, sheet.flavours[0].dose.value().base()), "{given}");
        let moisture = now.moisture.expect("all is known").best().base();
        let wanted = sheet.to.expect("a moisture is wanted").base();
        prop_assert!((moisture - wanted).abs() < 1e-11, "{moisture} {wanted}");
    }

    /// A liquid of which nothing is known leaves out the moisture and nothing else.
    #[test]
    fn what_is_not_known_takes_the_moisture_alone(sheet in sheet(LeafBasis::Dry)) {
        let plan = sheet.plan().expect("a sheet");
        let making = made(&sheet, &plan, 1);
        prop_assume!(making.is_some());
        let mut making = making.expect("water is to be added");
        let known = making.now().expect("it was made");
        making.liquids[0].is_known = false;
        making.liquids[0].liquid.composition = Composition::default();
        let now = making.now().expect("it was made");
        prop_assert!(now.moisture.is_none());
        prop_assert_eq!(now.leaf.best(), known.leaf.best());
        prop_assert_eq!(now.given[0].on_leaf.best(), known.given[0].on_leaf.best());
    }
}
