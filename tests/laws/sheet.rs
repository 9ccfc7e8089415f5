//! The weigh sheet adds up, keeps the shares, and its water is the pile's.

use gutta::bench::{
    Added, Brought, DoseDry, Drop, LeafBasis, Rate, RateOf, Watering, WateringPlan,
};
use gutta::blend::formula::{Amounts, Premix, Shares};
use gutta::blend::sheet::{CasingLine, FlavourLine, Order, Planned, Sheet, SheetSize};
use gutta::matter::{Composition, Liquid, LotOfLeaf, Mixing};
use gutta::measure::{DropMass, Mass, Measured, Ratio, Scalar, Scale};
use gutta::{Moisture, Part};
use proptest::prelude::*;

use super::strategies::{mass, moisture};

/// A few roundings of numbers of one size.
const ROUNDING: f64 = 1e-11;

fn near(a: f64, b: f64, size: f64) -> bool {
    (a - b).abs() <= ROUNDING * size.abs()
}

/// A liquid of water and solids, and a tincture that loses its alcohol.
fn liquid(name: &str, water: f64, alcohol: f64) -> Liquid {
    let share = |part, share| (part, Measured::exact(Ratio::of_base(share)));
    let parts = [share(Part::Water, water), share(Part::Alcohol, alcohol)];
    let composition = Composition::new(&parts).expect("less than the whole");
    Liquid::own(name, Some(composition), None)
}

/// Two to six components with their moistures, a casing and a flavouring.
pub fn sheet(basis: LeafBasis) -> impl Strategy<Value = Sheet> {
    let lines = prop::collection::vec((0.05..1.0_f64, moisture()), 2..7);
    let liquids = (0.2..0.6_f64, 0.0..0.3_f64, 0.01..0.1_f64, 0.0005..0.02_f64);
    let order = prop_oneof![Just(Order::SmallestFirst), Just(Order::BaseFirst)];
    (lines, mass(), liquids, order).prop_map(
        move |(lines, size, (water, alcohol, rate, dose), order)| {
            let names: Vec<String> = (0..lines.len()).map(|i| format!("leaf {i}")).collect();
            let parts = lines.iter().map(|(share, _)| *share).collect();
            let shares = Shares::new(&names, &Amounts::Parts(parts)).expect("shares");
            Sheet {
                lots: lines
                    .iter()
                    .map(|(_, at)| Some(Measured::exact(*at)))
                    .collect(),
                order,
                casings: vec![CasingLine {
                    liquid: liquid("casing", water, 0.0),
                    rate: Rate {
                        share: Ratio::of_base(rate),
                        of: RateOf::Liquid,
                        basis: LeafBasis::AsWeighed,
                    },
                }],
                flavours: vec![FlavourLine {
                    liquid: liquid("tincture", 0.3, alcohol),
                    dose: Measured::exact(Ratio::of_base(dose)),
                    basis: LeafBasis::Dry,
                    drop: None,
                }],
                to: Some(Moisture::of_base(0.3)),
                ..Sheet::new(shares, basis, SheetSize::AsWeighed(size))
            }
        },
    )
}

fn any_sheet() -> impl Strategy<Value = Sheet> {
    prop_oneof![sheet(LeafBasis::AsWeighed), sheet(LeafBasis::Dry)]
}

fn final_mass(plan: &Planned) -> f64 {
    let (_, water) = plan.water.as_ref().expect("a moisture is wanted");
    water.final_mass().best().base()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Every component is one line, in the order asked for, and the running
    /// total ends at the leaf.
    #[test]
    fn lines_are_all_there_in_their_order(sheet in any_sheet()) {
        let plan = sheet.plan().expect("a sheet");
        let mut seen: Vec<usize> = plan.lines.iter().map(|line| line.component).collect();
        seen.sort_unstable();
        prop_assert_eq!(seen, (0..sheet.shares.lines().len()).collect::<Vec<_>>());
        let mut running = 0.0;
        for line in &plan.lines {
            running += line.mass.best().base();
            prop_assert!(near(line.running.base(), running, running));
        }
        prop_assert!(near(running, plan.leaf.base(), running));
        prop_assert!(near(running, sheet.size.mass().base(), running));
        let sizes: Vec<f64> = plan.lines.iter().map(|line| line.mass.best().base()).collect();
        let in_order = sizes.windows(2).all(|pair| match sheet.order {
            Order::SmallestFirst => pair[0] <= pair[1],
            Order::BaseFirst => pair[0] >= pair[1],
        });
        prop_assert!(in_order);
        let on = plan.casings[0].mass.best() + plan.flavours[0].goes_on();
        prop_assert!(near(plan.before_water.base(), running + on.base(), running));
    }

    /// Dry shares are those of the formula, whatever the lots' moistures.
    #[test]
    fn dry_shares_survive_any_lots(sheet in sheet(LeafBasis::Dry)) {
        let plan = sheet.plan().expect("a sheet");
        let dry: Vec<f64> = plan.lines.iter().map(|line| {
            let at = sheet.lots[line.component].expect("a moisture").value();
            (line.mass.best() * at.dry_share()).base()
        }).collect();
        let all: f64 = dry.iter().sum();
        prop_assert!(near(all, plan.dry_matter.as_ref().expect("known").best().base(), all));
        for (line, dry) in plan.lines.iter().zip(&dry) {
            let share = sheet.shares.lines()[line.component].share().base();
            prop_assert!(near(dry / all, share, 1.0));
        }
    }

    /// The water is that of the pile made by hand: the lots mixed, the casing and
    /// the flavouring brought.
    #[test]
    fn the_water_is_that_of_the_pile(sheet in any_sheet()) {
        let plan = sheet.plan().expect("a sheet");
        let lots = plan.lines.iter().map(|line| LotOfLeaf {
            mass: Measured::exact(line.mass.best()),
            at: sheet.lots[line.component].expect("a moisture"),
        });
        let mixed = Mixing { lots: lots.collect(), to: None }.mixed().expect("lots");
        let leaf = Measured::exact(mixed.mass.best());
        let mut by_hand = Watering::new(leaf, mixed.moisture.measured(), sheet.to.expect("a target"));
        let dry = mixed.mass.best() * mixed.moisture.best().dry_share();
        let dose = DoseDry::new(sheet.flavours[0].dose.value()).ratio();
        for (liquid, mass) in [
            (&sheet.casings[0].liquid, mixed.mass.best() * sheet.casings[0].rate.share),
            (&sheet.flavours[0].liquid, dry * dose),
        ] {
            by_hand.brought.push(Brought {
                amount: Added::Mass(Measured::exact(mass)),
                ..Brought::weighed("it", Measured::exact(mass), liquid.composition.clone().expect("known"))
            });
        }
        let by_hand = by_hand.plan().expect("a plan");
        let same = match (plan.water.expect("wanted").1, by_hand) {
            (WateringPlan::Add(a), WateringPlan::Add(b)) => near(a.water.best().base(), b.water.best().base(), leaf.value().base()),
            (WateringPlan::Dry(a), WateringPlan::Dry(b)) => near(a.water.best().base(), b.water.best().base(), leaf.value().base()),
            _ => false,
        };
        prop_assert!(same);
    }

    /// A finished batch finishes at what was asked for, and a dry one has so much
    /// dry leaf.
    #[test]
    fn a_size_is_what_comes_of_it(sheet in any_sheet(), wanted in mass()) {
        let finished = Sheet { size: SheetSize::Finished(wanted), ..sheet.clone() };
        let made = final_mass(&finished.plan().expect("a sheet"));
        prop_assert!(near(made, wanted.base(), wanted.base()));
        let dry = Sheet { size: SheetSize::DryMatter(wanted), ..sheet };
        let made = dry.plan().expect("a sheet").dry_matter.expect("known").best().base();
        prop_assert!(near(made, wanted.base(), wanted.base()));
    }

    /// Scaling the batch scales every figure of it.
    #[test]
    fn a_batch_scales(sheet in any_sheet(), factor in 0.1..10.0_f64) {
        let size = |factor: f64| SheetSize::AsWeighed(sheet.size.mass() * factor);
        let of = |factor| Sheet { size: size(factor), ..sheet.clone() }.plan().expect("a sheet");
        let (one, many) = (of(1.0), of(factor));
        let all = many.leaf.base();
        for (a, b) in one.lines.iter().zip(&many.lines) {
            prop_assert!(near(a.mass.best().base() * factor, b.mass.best().base(), all));
            prop_assert!(near(a.mass.u() * factor, b.mass.u(), all));
        }
        prop_assert!(near(final_mass(&one) * factor, final_mass(&many), final_mass(&many)));
    }

    /// A pre-mix that is advised can be made, and is as good as was asked for.
    #[test]
    fn a_premix_keeps_the_tolerance(
        trial in 0.005..0.2_f64, condiment in 0.005..0.1_f64, base in 0.3..0.9_f64,
        division in 1e-6..2e-4_f64, tolerance in 0.01..0.1_f64,
    ) {
        let scale = Scale::new(Mass::of_base(division)).expect("a scale");
        let tolerance = Ratio::of_base(tolerance);
        let of = Ratio::of_base;
        let found = Premix::smallest(Mass::of_base(trial), of(condiment), of(base), &scale, tolerance);
        if let Some((premix, plan)) = found {
            let least = scale.least_weighing(tolerance);
            prop_assert!(plan.error <= tolerance);
            prop_assert!(premix.condiment >= least && plan.take >= least);
            prop_assert!(plan.take <= premix.made());
            // What is taken holds what the trial needs.
            let in_take = plan.take * (premix.condiment / premix.made());
            prop_assert!(near(in_take.base(), trial * condiment, trial));
        }
    }
}

/// A flavouring is counted where its drops are few and weighed where they are
/// many: 24 g at 1 g/kg are 0.024 g, one drop of 20 mg is 24 times that for 500.
#[test]
fn many_drops_are_weighed() {
    let drop = DropMass::new(Mass::of_base(20e-6));
    let drop = Drop::of_mass(Measured::exact(drop)).expect("a drop");
    let of = |grams: f64| {
        let shares = Shares::new(&["bright"], &Amounts::Parts(vec![1.0])).expect("shares");
        let sheet = Sheet {
            flavours: vec![FlavourLine {
                liquid: liquid("tincture", 0.3, 0.4),
                dose: Measured::exact(Ratio::of_base(1e-3)),
                basis: LeafBasis::AsWeighed,
                drop: Some(drop),
            }],
            ..Sheet::new(
                shares,
                LeafBasis::AsWeighed,
                SheetSize::AsWeighed(Mass::of_base(grams * 1e-3)),
            )
        };
        let plan = sheet.plan().expect("no moisture is needed");
        plan.flavours[0].counted.map(|(drops, _)| drops.count())
    };
    assert_eq!(of(24.0), Some(1.0));
    assert_eq!(of(500.0), Some(25.0));
    // 250 drops: with no density to say their volume they are too many to count.
    assert_eq!(of(5000.0), None);
    // A quarter of a drop is neither counted nor taken for one.
    assert_eq!(of(5.0), None);
}
