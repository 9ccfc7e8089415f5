//! Batches: what must hold for any formula, lots and vessel.

use gutta::Moisture;
use gutta::bench::LeafBasis;
use gutta::blend::batch::{
    Cheapest, Choice, Loading, Offer, Packed, Packing, Price, Reconciling, ScaleUp, Short, Supply,
    Taken, Wanted,
};
use gutta::blend::formula::{Amounts, Shares};
use gutta::blend::sheet::{Sheet, SheetSize};
use gutta::matter::LotOfLeaf;
use gutta::measure::{Mass, Measured, ROOM_TEMPERATURE, Ratio, Scalar, Scale};
use proptest::prelude::*;

use super::strategies::{mass, moisture};

/// A few roundings of numbers of one size.
const ROUNDING: f64 = 1e-9;

/// What a solver leaves, as a part of the batch.
const SOLVED: f64 = 1e-6;

fn of_parts(parts: &[f64]) -> Shares {
    let names: Vec<String> = (0..parts.len()).map(|i| format!("leaf {i}")).collect();
    Shares::new(&names, &Amounts::Parts(parts.to_vec())).expect("parts above 0")
}

prop_compose! {
    /// A component to three lots, prices of a bench, stock of some.
    fn cheapest()(
        parts in prop::collection::vec(1.0..10.0_f64, 1..5),
    )(
        lots in prop::collection::vec(
            (any::<prop::sample::Index>(), 0.08..0.20_f64, 20.0..70.0_f64, prop::option::of(0.2..4.0_f64)),
            0..8,
        ),
        first in prop::collection::vec(
            (0.08..0.20_f64, 20.0..70.0_f64, prop::option::of(0.2..4.0_f64)),
            parts.len(),
        ),
        parts in Just(parts),
        is_dry in any::<bool>(),
        may_dry in any::<bool>(),
        within in prop::sample::select(vec![0.0, 0.01, 0.05]),
        to in 0.11..0.18_f64,
    ) -> Cheapest {
        let offer = |component, at, price, stock: Option<f64>| Offer {
            lot: String::new(),
            component,
            at: Moisture::of_base(at),
            price: Price::new(price).expect("a price"),
            stock: stock.map(Mass::of_base),
        };
        let count = parts.len();
        let each = first.into_iter().enumerate();
        let mut offers: Vec<Offer> = each.map(|(i, (at, price, stock))| offer(i, at, price, stock)).collect();
        offers.extend(lots.into_iter().map(|(of, at, price, stock)| offer(of.index(count), at, price, stock)));
        for (i, offer) in offers.iter_mut().enumerate() {
            offer.lot = format!("lot {i}");
        }
        Cheapest {
            wanted: Wanted {
                shares: of_parts(&parts),
                basis: if is_dry { LeafBasis::Dry } else { LeafBasis::AsWeighed },
                within: Ratio::of_base(within),
                finished: Mass::of_base(4.0),
                to: Moisture::of_base(to),
                may_dry,
            },
            offers,
        }
    }
}

fn made(cheapest: &Cheapest) -> Option<Taken> {
    match cheapest.choose().expect("an answer") {
        Choice::Made(taken) => Some(taken),
        Choice::Short(_) => None,
    }
}

/// The limits, worked out from the grams alone.
fn meets_all(cheapest: &Cheapest, taken: &Taken) -> bool {
    let wanted = &cheapest.wanted;
    let each = || cheapest.offers.iter().zip(&taken.masses);
    let dry = |(offer, mass): (&Offer, &Mass)| (*mass).base() * (1.0 - offer.at.base());
    let counts = |pair: (&Offer, &Mass)| match wanted.basis {
        LeafBasis::Dry => dry(pair),
        LeafBasis::AsWeighed => pair.1.base(),
    };
    let batch = wanted.finished.base();
    let all_dry: f64 = each().map(dry).sum();
    let leaf: f64 = taken.masses.iter().map(|mass| mass.base()).sum();
    let all: f64 = each().map(counts).sum();
    let shares = wanted
        .shares
        .lines()
        .iter()
        .enumerate()
        .all(|(component, line)| {
            let of_it: f64 = each()
                .filter(|(offer, _)| offer.component == component)
                .map(counts)
                .sum();
            (of_it / all - line.share().base()).abs() <= wanted.within.base() + SOLVED
        });
    shares
        && (all_dry - batch * (1.0 - wanted.to.base())).abs() <= SOLVED * batch
        && (wanted.may_dry || leaf <= batch * (1.0 + SOLVED))
        && each().all(|(offer, mass)| {
            mass.base() >= 0.0
                && offer
                    .stock
                    .is_none_or(|stock| mass.base() <= stock.base() + SOLVED * batch)
        })
}

proptest! {
    #[test]
    fn the_cheapest_lots_meet_every_limit(cheapest in cheapest()) {
        if let Some(taken) = made(&cheapest) {
            prop_assert!(meets_all(&cheapest, &taken), "{taken:?}");
        }
    }

    /// A lot fewer is never cheaper; and what could be made without it can be made
    /// with it.
    #[test]
    fn the_cost_never_falls_when_a_lot_is_withdrawn(
        cheapest in cheapest(),
        which in any::<prop::sample::Index>(),
    ) {
        let mut fewer = cheapest.clone();
        let gone = fewer.offers.remove(which.index(cheapest.offers.len()));
        prop_assume!(fewer.offers.iter().any(|offer| offer.component == gone.component));
        if let Some(without) = made(&fewer) {
            let with = made(&cheapest);
            prop_assert!(with.is_some(), "a lot more makes it impossible");
            let with = with.map_or(f64::NAN, |taken| taken.cost.sum());
            prop_assert!(with <= without.cost.sum() * (1.0 + SOLVED), "{with} {}", without.cost.sum());
        }
    }

    /// A lot that comes in many bags costs what it costs in one, however many lots that
    /// makes.
    #[test]
    fn a_lot_in_many_bags_costs_the_same(cheapest in cheapest()) {
        let mut bagged = cheapest.clone();
        let bags = 240 / cheapest.offers.len() + 1;
        let part = |offer: &Offer| Offer {
            stock: offer.stock.map(|stock| stock * Ratio::of_base(1.0 / bags as f64)),
            ..offer.clone()
        };
        bagged.offers = cheapest.offers.iter().flat_map(|offer| vec![part(offer); bags]).collect();
        match (cheapest.choose().unwrap(), bagged.choose().unwrap()) {
            (Choice::Made(whole), Choice::Made(bags)) => {
                prop_assert!(meets_all(&bagged, &bags));
                let (a, b) = (whole.cost.sum(), bags.cost.sum());
                prop_assert!((a - b).abs() <= SOLVED * a, "{a} {b}");
            }
            (Choice::Short(whole), Choice::Short(bags)) => {
                let (a, b) = (whole.total.base(), bags.total.base());
                prop_assert!((a - b).abs() <= SOLVED * cheapest.wanted.finished.base(), "{a} {b}");
            }
            (whole, bags) => prop_assert!(false, "{whole:?}\n{bags:?}"),
        }
    }

    /// What a short stock is said to make, it makes; a little more it does not. And
    /// within the tolerance that is said it makes all of it.
    #[test]
    fn what_is_said_of_a_short_stock_is_so(cheapest in cheapest()) {
        let Choice::Short(Short { bounds, total, largest, within }) = cheapest.choose().unwrap() else {
            return Ok(());
        };
        prop_assert!(total.base() > 0.0 && !bounds.is_empty());
        let sum: f64 = bounds.iter().map(|(_, by)| by.base()).sum();
        prop_assert!((sum - total.base()).abs() <= ROUNDING);
        let can = |finished: f64| {
            let mut other = cheapest.clone();
            other.wanted.finished = Mass::of_base(finished);
            made(&other).is_some()
        };
        if let Some(largest) = largest {
            let largest = largest.base();
            prop_assume!(largest > 1e-3);
            prop_assert!(can(largest * (1.0 - 1e-5)), "not even {largest}");
            prop_assert!(largest > cheapest.wanted.finished.base() * (1.0 - 1e-5) || !can(largest * (1.0 + 1e-4)));
        } else {
            // Too moist, or out of proportion, at any size.
            prop_assert!(!can(0.01));
        }
        if let Some(within) = within {
            let mut wider = cheapest.clone();
            wider.wanted.within = Ratio::of_base(within.base() + 1e-5);
            prop_assert!(made(&wider).is_some());
        }
    }

    /// Twice the batch takes twice of everything and costs twice, and a kilogram of
    /// it costs the same.
    #[test]
    fn scaling_a_batch_scales_its_grams(
        (parts, lots, prices) in (1..7_usize).prop_flat_map(|n| (
            prop::collection::vec(0.1..20.0_f64, n),
            prop::collection::vec(moisture(), n),
            prop::collection::vec(0.0..90.0_f64, n),
        )),
        is_dry in any::<bool>(),
        size in mass(),
        factor in 0.01..100.0_f64,
        to in 0.10..0.30_f64,
        loss in 0.0..0.5_f64,
    ) {
        let scaled = |factor: f64| {
            let shares = of_parts(&parts);
            let basis = if is_dry { LeafBasis::Dry } else { LeafBasis::AsWeighed };
            let size = SheetSize::Finished(size * Ratio::of_base(factor));
            ScaleUp {
                sheet: Sheet {
                    lots: lots.iter().map(|at| Some(Measured::exact(*at))).collect(),
                    to: Some(Moisture::of_base(to)),
                    ..Sheet::new(shares, basis, size)
                },
                supplies: prices.iter().enumerate().map(|(i, price)| Supply {
                    lot: format!("lot {i}"),
                    price: Some(Price::new(*price).expect("a price")),
                    stock: Some(Mass::of_base(1.0)),
                }).collect(),
                loss: Ratio::of_base(loss),
            }.plan().expect("a batch")
        };
        let (one, more) = (scaled(1.0), scaled(factor));
        for (a, b) in one.needed.iter().zip(&more.needed) {
            let (a, b) = (a.mass.best().base(), b.mass.best().base());
            prop_assert!((b / (a * factor) - 1.0).abs() < ROUNDING);
        }
        let (a, b) = (one.cost.unwrap(), more.cost.unwrap());
        prop_assert!((b.total.sum() - a.total.sum() * factor).abs() <= ROUNDING * b.total.sum());
        let per = |cost: gutta::blend::batch::Cost| cost.with_loss.per_kilogram();
        prop_assert!((per(a) - per(b)).abs() <= ROUNDING * per(a).abs());
        // What a stock reaches for is the same, whatever was asked for.
        let (a, b) = (one.limit().unwrap().largest, more.limit().unwrap().largest);
        prop_assert!((a / b - Ratio::of_base(1.0)).base().abs() < ROUNDING);
    }

    /// Loads sum to what the scale shows for the batch, are alike to a division, and
    /// fit the vessel.
    #[test]
    fn loads_sum_to_the_batch(
        lines in prop::collection::vec(1e-3..3.0_f64, 1..8),
        more in 1.0..1.5_f64,
        vessel in 0.2..30.0_f64,
        division in prop::option::of(prop::sample::select(vec![1e-5, 1e-4, 1e-3])),
    ) {
        let all: f64 = lines.iter().sum::<f64>() * more;
        let scale = division.map(|division| Scale::new(Mass::of_base(division)).expect("a scale"));
        let loading = Loading {
            lines: lines.iter().copied().map(Mass::of_base).collect(),
            fullest: Mass::of_base(all),
            vessel: Mass::of_base(vessel),
            scale,
        };
        let loads = loading.loads().expect("few enough");
        prop_assert!(loads.full.base() <= 1.0 + ROUNDING);
        // One load fewer would not fit.
        let count = loads.each.len() as f64;
        prop_assert!(count == 1.0 || all / (count - 1.0) > vessel);
        for (i, line) in lines.iter().enumerate() {
            let of_it = || loads.each.iter().map(|load| load[i].base());
            let shown = division.map_or(*line, |division| (line / division).round() * division);
            prop_assert!((of_it().sum::<f64>() - shown).abs() <= ROUNDING);
            let (least, most) = (of_it().fold(f64::INFINITY, f64::min), of_it().fold(0.0, f64::max));
            prop_assert!(most - least <= division.unwrap_or(0.0) + ROUNDING);
        }
    }

    /// All of a batch is in packs, in the sample or left over; and what is left
    /// fills no pack.
    #[test]
    fn packs_sample_and_rest_are_the_batch(
        mass in 0.05..20.0_f64,
        net in 0.01..0.5_f64,
        overfill in 0.0..0.01_f64,
        retain in 0.0..0.1_f64,
    ) {
        let packing = Packing {
            mass: Mass::of_base(mass),
            net: Mass::of_base(net),
            overfill: Mass::of_base(overfill),
            retain: Mass::of_base(retain),
        };
        match packing.packs() {
            Ok(packs) => {
                let all = packs.in_packs + packs.left_over + packing.retain;
                prop_assert!((all.base() - mass).abs() < ROUNDING);
                prop_assert!(packs.left_over.base() < net + overfill);
            }
            Err(error) => {
                prop_assert!(error.is_refusal());
                prop_assert!(mass - retain < (net + overfill) * (1.0 + ROUNDING));
            }
        }
    }

    /// The parts of a gap sum to it, whatever was weighed; and what is all there
    /// leaves nothing unexplained.
    #[test]
    fn the_parts_of_a_gap_sum_to_it(
        (leaf, at) in (mass(), moisture()),
        to in moisture(),
        (of_good, good_at) in (0.5..1.1_f64, moisture()),
        (of_fines, fines_at) in (0.001..0.2_f64, moisture()),
    ) {
        let exact = |at: Moisture| Measured::exact(at);
        let batch = Reconciling {
            leaf: vec![LotOfLeaf { mass: Measured::exact(leaf), at: exact(at) }],
            dry_leaf: None,
            brought: Vec::new(),
            temperature: Measured::exact(ROOM_TEMPERATURE),
            to,
            good: vec![Packed {
                name: "good".to_owned(),
                mass: Measured::exact(leaf * Ratio::of_base(of_good)),
            }],
            at: exact(good_at),
            fines: Some(LotOfLeaf {
                mass: Measured::exact(leaf * Ratio::of_base(of_fines)),
                at: exact(fines_at),
            }),
        };
        let got = batch.reconcile().expect("a batch");
        let base = |estimate: &gutta::Estimate<Mass>| estimate.best().base() / leaf.base();
        let parts = base(&got.moisture) + base(&got.fines) + base(&got.unexplained);
        prop_assert!((parts - base(&got.gap)).abs() < ROUNDING);
        // What is unexplained is the dry matter that is not accounted for, at the
        // moisture wanted.
        let missing = (base(&got.dry_in) - base(&got.dry_accounted)) / (1.0 - to.base());
        prop_assert!((missing - base(&got.unexplained)).abs() < ROUNDING);
        // All of the leaf as it went in, and no fines.
        let whole = Reconciling {
            good: vec![Packed { name: "good".to_owned(), mass: Measured::exact(leaf) }],
            at: exact(at),
            fines: None,
            ..batch
        };
        let got = whole.reconcile().expect("a batch");
        prop_assert!(base(&got.unexplained).abs() < ROUNDING);
        prop_assert!((got.dry_recovery.best().base() - 1.0).abs() < ROUNDING);
    }
}
