//! Repairs restore what was wanted, and only ever add.

use gutta::Moisture;
use gutta::bench::LeafBasis;
use gutta::blend::formula::{Amounts, Shares};
use gutta::blend::repair::{OverFlavoured, Restoring, Soaked, TooWet, TopUp, Weighed};
use gutta::blend::sheet::{Sheet, SheetSize};
use gutta::measure::{Mass, Measured, Ratio, Scalar};
use proptest::prelude::*;

use super::strategies::{doubtful, mass, moisture};

/// A few roundings of numbers of one size.
const ROUNDING: f64 = 1e-11;

fn exact<S: Scalar>(value: S) -> Measured<S> {
    Measured::exact(value)
}

/// A pan of two to six components with their moistures, and shares that are
/// whole.
fn pan(basis: LeafBasis) -> impl Strategy<Value = Restoring> {
    let part = (mass(), 0.05..1.0_f64, moisture());
    prop::collection::vec(part, 2..7).prop_map(move |parts| {
        let sum: f64 = parts.iter().map(|(_, share, _)| share).sum();
        let parts = parts
            .into_iter()
            .enumerate()
            .map(|(i, (mass, share, at))| Weighed {
                name: format!("leaf {i}"),
                in_pan: exact(mass),
                share: Ratio::of_base(share / sum),
                at: Some(exact(at)),
                source: None,
                stock: None,
            });
        Restoring {
            parts: parts.collect(),
            basis,
        }
    })
}

fn counted(pan: &Restoring, i: usize, mass: Mass) -> f64 {
    let at: Moisture = pan.parts[i].at.expect("a moisture").value();
    match pan.basis {
        LeafBasis::AsWeighed => mass.base(),
        LeafBasis::Dry => (mass * at.dry_share()).base(),
    }
}

fn restores(pan: &Restoring) -> Result<(), TestCaseError> {
    let restored = pan.restore().expect("whole shares");
    let totals: Vec<f64> = restored
        .parts
        .iter()
        .enumerate()
        .map(|(i, part)| counted(pan, i, part.total.best()))
        .collect();
    let all: f64 = totals.iter().sum();
    for (i, part) in restored.parts.iter().enumerate() {
        // The share is restored, and nothing is taken out.
        prop_assert!((totals[i] / all - pan.parts[i].share.base()).abs() < ROUNDING);
        prop_assert!(part.add.best().base() >= -ROUNDING * restored.batch.best().base());
        let in_pan = pan.parts[i].in_pan.value().base();
        let after = in_pan + part.add.best().base();
        prop_assert!((after / part.total.best().base() - 1.0).abs() < ROUNDING);
    }
    // The smallest batch that does: of one component nothing is added.
    let most = &restored.parts[restored.most];
    prop_assert!(most.add.best().base().abs() <= ROUNDING * restored.batch.best().base());
    let left: f64 = restored
        .parts
        .iter()
        .map(|p| p.share_if_left.best().base())
        .sum();
    prop_assert!((left - 1.0).abs() < ROUNDING);
    Ok(())
}

proptest! {
    #[test]
    fn a_ratio_is_restored(pan in pan(LeafBasis::AsWeighed)) {
        restores(&pan)?;
    }

    #[test]
    fn a_ratio_of_dry_leaf_is_restored(pan in pan(LeafBasis::Dry)) {
        restores(&pan)?;
    }

    /// A pan that is right is left alone; twice repaired is once repaired.
    #[test]
    fn once_is_enough(pan in pan(LeafBasis::AsWeighed)) {
        let restored = pan.restore().expect("whole shares");
        let parts = pan.parts.iter().zip(&restored.parts).map(|(part, done)| Weighed {
            in_pan: exact(done.total.best()),
            ..part.clone()
        });
        let again = Restoring { parts: parts.collect(), basis: pan.basis }.restore().expect("whole shares");
        let all = restored.batch.best().base();
        prop_assert!((again.batch.best().base() / all - 1.0).abs() < ROUNDING);
        prop_assert!(again.off_if_left.base() < ROUNDING);
    }

    #[test]
    fn a_share_is_topped_up(pile in doubtful(mass()), share in 0.0..0.9_f64, part in 0.01..0.99_f64) {
        let to = share + (1.0 - share) * part;
        let topped = TopUp { pile, share: Ratio::of_base(share), to: Ratio::of_base(to) }
            .top_up()
            .expect("higher");
        let (add, after) = (topped.add.best().base(), topped.after.best().base());
        prop_assert!(add > 0.0);
        let there = share * pile.value().base() + add;
        prop_assert!((there / after - to).abs() < ROUNDING);
        // The doubt of the pile goes with it, in proportion.
        prop_assert!((topped.add.u() / add - pile.u() / pile.value().base()).abs() < ROUNDING);
        prop_assert!((topped.others.base() * (1.0 - share) + to - 1.0).abs() < ROUNDING);
    }

    #[test]
    fn a_dose_is_brought_down(leaf in mass(), dose in 0.001..0.05_f64, part in 0.05..0.99_f64) {
        let to = dose * part;
        let weakened = OverFlavoured {
            leaf: exact(leaf),
            dose: exact(Ratio::of_base(dose)),
            to: Ratio::of_base(to),
        }
        .weaken()
        .expect("lower");
        let after = weakened.after.best().base();
        prop_assert!((leaf.base() * dose / after / to - 1.0).abs() < ROUNDING);
        prop_assert!((leaf.base() + weakened.add.best().base() - after).abs() < ROUNDING * after);
    }

    /// No flavouring is lost, no step more than doubles, and the last is all.
    #[test]
    fn what_is_soaked_is_spread(batch in mass(), part in 0.001..1.0_f64, dose in 0.001..0.05_f64) {
        let flavouring = Mass::of_base(batch.base() * dose);
        let soaked = Soaked {
            batch: exact(batch),
            component: exact(Mass::of_base(batch.base() * part)),
            flavouring: exact(flavouring),
        };
        let spread = soaked.spread().expect("a part of the batch");
        prop_assert!((spread.batch.best().ratio().base() / dose - 1.0).abs() < ROUNDING);
        prop_assert!((spread.local.best().ratio().base() * part / dose - 1.0).abs() < ROUNDING);
        prop_assert_eq!(spread.steps.last().copied(), Some(batch));
        for pair in spread.steps.windows(2) {
            prop_assert!(pair[1] > pair[0] && pair[1].base() <= 2.0 * pair[0].base());
        }
    }
}

/// Stock that does not reach is said, with what is missing: 10 g of the second
/// is 20 %, so that 40 g of the first are wanted, 10 g are there and 20 g left.
#[test]
fn a_stock_that_does_not_reach_is_said() {
    let grams = |g: f64| Mass::of_base(1e-3 * g);
    let part = |name: &str, in_pan: f64, share: f64, stock: Option<f64>| Weighed {
        source: None,
        name: name.to_owned(),
        in_pan: exact(grams(in_pan)),
        share: Ratio::of_base(share),
        at: None,
        stock: stock.map(grams),
    };
    let pan = |stock| Restoring {
        parts: vec![
            part("a", 10.0, 0.8, Some(stock)),
            part("b", 10.0, 0.2, None),
        ],
        basis: LeafBasis::AsWeighed,
    };
    let (which, missing) = pan(20.0).restore().unwrap().short_of.unwrap();
    assert_eq!(which, 0);
    assert!((missing.base() - 10e-3).abs() < 1e-15);
    assert_eq!(pan(30.0).restore().unwrap().short_of, None);
}

/// What cannot be done by adding is refused, in words.
#[test]
fn what_adding_cannot_do_is_refused() {
    let grams = |g: f64| exact(Mass::of_base(1e-3 * g));
    let top_up = |share: f64, to: f64| {
        let pile = grams(100.0);
        let error = TopUp {
            pile,
            share: Ratio::of_base(share),
            to: Ratio::of_base(to),
        }
        .top_up();
        error.unwrap_err()
    };
    let error = top_up(0.2, 1.0);
    assert!(error.is_refusal());
    assert_eq!(error.to_string(), "no share is raised to 100 % by adding");
    let error = top_up(0.3, 0.2);
    assert!(error.is_refusal());
    assert_eq!(
        error.to_string(),
        "a top-up raises a share: nothing is taken out"
    );
    let dose = |d: f64| Ratio::of_base(d);
    let error = OverFlavoured {
        leaf: grams(100.0),
        dose: exact(dose(0.01)),
        to: dose(0.02),
    }
    .weaken()
    .unwrap_err();
    assert!(error.is_refusal());
    assert_eq!(error.to_string(), "plain leaf brings a dose down, not up");
    let part = |share: f64| Weighed {
        name: "a".to_owned(),
        in_pan: grams(10.0),
        share: Ratio::of_base(share),
        at: None,
        source: None,
        stock: None,
    };
    let pan = Restoring {
        parts: vec![part(0.5), part(0.4)],
        basis: LeafBasis::AsWeighed,
    };
    let error = pan.restore().unwrap_err();
    assert!(error.is_refusal());
    assert_eq!(error.to_string(), "the shares make 90 %, not 100 %");
    let dry = Restoring {
        parts: vec![part(0.5), part(0.5)],
        basis: LeafBasis::Dry,
    };
    assert_eq!(
        dry.restore().unwrap_err().to_string(),
        "the moisture of a is missing"
    );
}

proptest! {
    /// Drier blend brings a wet pile to its target, and so does air: the mass
    /// balance of what is then there says so.
    #[test]
    fn a_wet_pile_comes_to_its_target(
        pile in mass(), dry in 0.04..0.12_f64, to in 0.13..0.17_f64, wet in 0.18..0.4_f64,
    ) {
        let of = |m| exact(Moisture::of_base(m));
        let question = TooWet {
            pile: exact(pile),
            at: of(wet),
            to: Moisture::of_base(to),
            drier: Some(of(dry)),
        };
        let mended = question.mend().expect("wetter than wanted");
        let add = mended.add.expect("there is some").best();
        let water = pile.base() * wet + add.base() * dry;
        prop_assert!((water / (pile + add).base() - to).abs() < ROUNDING);
        let after = mended.after.expect("there is some").best();
        prop_assert!((after.base() - (pile + add).base()).abs() <= ROUNDING * after.base());
        let stop = mended.stop.best();
        prop_assert!((stop.base() * (1.0 - to) - pile.base() * (1.0 - wet)).abs() <= ROUNDING * pile.base());
        prop_assert!((stop.base() + mended.water.best().base() - pile.base()).abs() <= ROUNDING * pile.base());
    }

    /// A bowl with leaf in it is sheeted at the size of its repair: what is added
    /// is that of the repair, nothing is taken out, and the shares are whole.
    #[test]
    fn a_bowl_is_sheeted_as_it_is_repaired(
        pan in prop_oneof![pan(LeafBasis::AsWeighed), pan(LeafBasis::Dry)],
    ) {
        let restored = pan.restore().expect("whole shares");
        let names: Vec<&str> = pan.parts.iter().map(|part| part.name.as_str()).collect();
        let parts = pan.parts.iter().map(|part| part.share.base()).collect();
        let shares = Shares::new(&names, &Amounts::Parts(parts)).expect("shares");
        let batch = restored.batch.best();
        let sheet = Sheet {
            lots: pan.parts.iter().map(|part| part.at).collect(),
            in_bowl: pan.parts.iter().map(|part| part.in_pan.value()).collect(),
            ..Sheet::new(shares, pan.basis, SheetSize::AsWeighed(batch))
        };
        let plan = sheet.plan().expect("the least that does");
        let size = batch.base();
        for (at, part) in restored.parts.iter().enumerate() {
            let line = plan.lines.iter().find(|line| line.component == at);
            let add = line.map_or(0.0, |line| line.add.base());
            prop_assert!(add >= 0.0);
            prop_assert!((add - part.add.best().base()).abs() <= 1e-9 * size, "{add}");
        }
        if let Some(last) = plan.lines.last() {
            prop_assert!((last.running.base() - size).abs() <= 1e-9 * size);
        }
        // A batch too small for what is in the bowl is refused.
        let small = Sheet { size: SheetSize::AsWeighed(batch * 0.9), ..sheet };
        prop_assert!(small.plan().is_err_and(|error| error.is_refusal()));
    }
}
