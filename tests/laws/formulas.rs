//! Formulas: what must hold for any shares.

use gutta::Moisture;
use gutta::bench::LeafBasis;
use gutta::blend::formula::{
    Amounts, Batch, BatchSize, GivesWay, Recipes, Shares, difference, smallest_batch, too_small,
};
use gutta::measure::{Mass, Measured, Ratio, Scalar, Scale};
use proptest::prelude::*;

use super::strategies::{mass, moisture};

/// A few roundings of numbers of one size.
const ROUNDING: f64 = 1e-12;

fn names(count: usize) -> Vec<String> {
    (0..count).map(|i| format!("leaf {i}")).collect()
}

fn of_parts(parts: &[f64]) -> Shares {
    Shares::new(&names(parts.len()), &Amounts::Parts(parts.to_vec())).expect("parts above 0")
}

fn parts(most: usize) -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(0.01..20.0_f64, 2..most)
}

/// The two hold the same names in the same order, and shares within rounding.
fn same(a: &Shares, b: &Shares) -> bool {
    a.lines().len() == b.lines().len()
        && a.lines()
            .iter()
            .zip(b.lines())
            .all(|(a, b)| a.name() == b.name() && (a.share() - b.share()).base().abs() < ROUNDING)
}

fn sum(shares: &Shares) -> f64 {
    shares.lines().iter().map(|line| line.share().base()).sum()
}

proptest! {
    /// A factor on all parts changes nothing, and masses are parts.
    #[test]
    fn parts_by_any_factor_are_the_same_shares(parts in parts(9), factor in 0.001..1000.0_f64) {
        let scaled: Vec<f64> = parts.iter().map(|part| part * factor).collect();
        prop_assert!(same(&of_parts(&parts), &of_parts(&scaled)));
        let masses = scaled.iter().map(|part| Mass::of_base(*part)).collect();
        let weighed = Shares::new(&names(parts.len()), &Amounts::Masses(masses)).unwrap();
        prop_assert!(same(&of_parts(&parts), &weighed));
        prop_assert!((sum(&weighed) - 1.0).abs() < ROUNDING);
    }

    /// What is weighed of leaves is what would be weighed of the blends they
    /// are in, leaf by leaf and together.
    #[test]
    fn expanding_a_nested_blend_keeps_mass(
        outer in parts(5),
        inner in parts(5),
        innermost in parts(5),
        batch in mass(),
    ) {
        // The second leaf of each is the blend below it; `leaf 0` is in all.
        let under = |parts: &[f64], blend: &str| {
            let mut names = names(parts.len());
            names[1] = blend.to_owned();
            Shares::new(&names, &Amounts::Parts(parts.to_vec())).unwrap()
        };
        let (top, middle) = (under(&outer, "base"), under(&inner, "heart"));
        let bottom = of_parts(&innermost);
        let mut recipes = Recipes::default();
        recipes.insert("base", middle.clone());
        recipes.insert("heart", bottom.clone());
        let leaves = recipes.expand(&top).unwrap();
        prop_assert!(leaves.share("base").is_none() && leaves.share("heart").is_none());
        let weighed: f64 = leaves.of(batch).iter().map(|mass| mass.base()).sum();
        prop_assert!((weighed / batch.base() - 1.0).abs() < ROUNDING);
        let base = batch * top.share("base").unwrap();
        let heart = base * middle.share("heart").unwrap();
        for line in leaves.lines() {
            let of = |shares: &Shares, mass: Mass| {
                shares.share(line.name()).map_or(0.0, |share| (mass * share).base())
            };
            let step_by_step = of(&top, batch) + of(&middle, base) + of(&bottom, heart);
            let at_once = (batch * line.share()).base();
            prop_assert!((at_once - step_by_step).abs() < ROUNDING * batch.base());
        }
    }

    /// Dry shares survive any moistures of the lots.
    #[test]
    fn dry_shares_survive_any_lots(
        (parts, lots) in (2..8_usize).prop_flat_map(|n| (
            prop::collection::vec(0.01..20.0_f64, n),
            prop::collection::vec(moisture(), n),
        )),
        size in mass(),
        is_dry in any::<bool>(),
    ) {
        let shares = of_parts(&parts);
        let batch = Batch {
            shares: shares.clone(),
            basis: LeafBasis::Dry,
            lots: lots.iter().map(|at| Measured::exact(*at)).collect(),
            size: if is_dry { BatchSize::DryMatter(size) } else { BatchSize::AsWeighed(size) },
            to: None,
        };
        let got = batch.weighed().unwrap();
        let dry = got.dry_matter.best();
        let wanted = if is_dry { dry } else { got.total.best() };
        prop_assert!((wanted.base() / size.base() - 1.0).abs() < ROUNDING);
        for ((line, at), share) in got.lines.iter().zip(&lots).zip(shares.lines()) {
            let of_dry = (line.best() * at.dry_share() / dry).base();
            prop_assert!((of_dry - share.share().base()).abs() < ROUNDING);
        }
        // To shares as weighed and back.
        let as_weighed = shares.to_as_weighed(&lots).unwrap();
        prop_assert!(same(&as_weighed.to_dry(&lots).unwrap(), &shares));
        let weighed = as_weighed.of(got.total.best());
        for (line, mass) in got.lines.iter().zip(weighed) {
            prop_assert!((line.best() - mass).base().abs() < ROUNDING * got.total.best().base());
        }
    }

    /// A change and its opposite return; what one gains the others give.
    #[test]
    fn a_change_and_its_opposite_return(
        parts in parts(8),
        first in any::<prop::sample::Index>(),
        to in 0.01..0.99_f64,
        by_name in any::<bool>(),
    ) {
        let shares = of_parts(&parts);
        let (i, count) = (first.index(parts.len()), parts.len());
        let (name, giver) = (format!("leaf {i}"), format!("leaf {}", (i + 1) % count));
        let from = shares.share(&name).unwrap();
        let (way, to) = if by_name {
            let has = shares.share(&giver).unwrap();
            // Some of what both have.
            (GivesWay::Named(giver.as_str()), (from + has).base() * to)
        } else {
            (GivesWay::ProRata, to)
        };
        let changed = shares.with_share(&name, Ratio::of_base(to), way).unwrap();
        prop_assert!((changed.share(&name).unwrap().base() - to).abs() < ROUNDING);
        prop_assert!((sum(&changed) - 1.0).abs() < ROUNDING);
        let points: f64 = difference(&shares, &changed).iter().map(|c| c.points().base()).sum();
        prop_assert!(points.abs() < ROUNDING);
        if by_name {
            let moved = difference(&shares, &changed);
            let others = moved.iter().filter(|c| c.name != name && c.name != giver);
            prop_assert!(others.map(|c| c.points().base().abs()).all(|p| p < ROUNDING));
        }
        let back = changed.with_share(&name, from, way).unwrap();
        // Rounding at 1 % is carried up to what was 99 %.
        prop_assert!(back.lines().iter().zip(shares.lines())
            .all(|(a, b)| (a.share() - b.share()).base().abs() < 100.0 * ROUNDING));
    }

    /// Differences of any two versions sum to zero, also where components come
    /// and go, and the other way round they are the opposite.
    #[test]
    fn differences_sum_to_zero(a in parts(8), b in parts(8)) {
        let (a, b) = (of_parts(&a), of_parts(&b));
        let there = difference(&a, &b);
        let points: f64 = there.iter().map(|change| change.points().base()).sum();
        prop_assert!(points.abs() < ROUNDING);
        let back = difference(&b, &a);
        prop_assert_eq!(there.len(), back.len());
        for change in &there {
            let other = back.iter().find(|other| other.name == change.name).unwrap();
            prop_assert_eq!(change.points().base(), -other.points().base());
        }
    }

    /// No line is too small in the smallest batch, and one is just below it.
    #[test]
    fn the_smallest_batch_is_the_smallest(
        parts in parts(8),
        division in 1e-6..1e-3_f64,
        tolerance in 0.001..0.2_f64,
    ) {
        let shares = of_parts(&parts);
        let scale = Scale::new(Mass::of_base(division)).unwrap();
        let tolerance = Ratio::of_base(tolerance);
        let smallest = smallest_batch(&shares, &scale, tolerance).unwrap();
        prop_assert!(too_small(&shares, smallest.batch, &scale, tolerance).unwrap().is_empty());
        let less = smallest.batch * Ratio::of_base(0.999);
        let small = too_small(&shares, less, &scale, tolerance).unwrap();
        prop_assert!(small.iter().any(|line| line.line == smallest.line));
    }
}

/// A lot whose moisture is better known leaves less doubt, and the doubts of two
/// lots add in squares in the total.
#[test]
fn doubts_of_lots_add_in_squares() {
    let batch = |u: [f64; 2]| Batch {
        shares: of_parts(&[3.0, 1.0]),
        basis: LeafBasis::Dry,
        lots: u
            .iter()
            .map(|u| Measured::new(Moisture::of_base(0.12), *u, f64::INFINITY))
            .collect(),
        size: BatchSize::DryMatter(Mass::of_base(0.5)),
        to: None,
    };
    let total = |u| batch(u).weighed().expect("a batch").total.u();
    let both = total([0.004, 0.009]);
    let apart = total([0.004, 0.0]).hypot(total([0.0, 0.009]));
    assert!(
        both > 0.0 && (both / apart - 1.0).abs() < ROUNDING,
        "{both} against {apart}"
    );
}
