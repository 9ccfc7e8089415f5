use gutta::bench::Brought;
use gutta::blend::batch::{Packed, Price, Reconciling, ScaleUp, Supply};
use gutta::blend::formula::{Amounts, Shares};
use gutta::blend::sheet::{Sheet, SheetSize};
use gutta::matter::{LotOfLeaf, Part};
use gutta::measure::{Mass, Measured, ROOM_TEMPERATURE, Ratio, Scalar};
use gutta::{Composition, Moisture};
use proptest::prelude::*;

use super::{Answer, Input, between, hold, numbers};

proptest! {
    /// Every weighing, each moisture and what is in the liquid.
    #[test]
    fn of_what_became_of_a_batch(x in numbers::<10>(), to in 0.06..0.3) {
        let leaf = 10_f64.powf(between(x[0], -1.0, 2.0));
        let inputs = [
            Input::new("leaf 1", leaf, 0.001),
            Input::new("moisture of leaf 1", between(x[1], 0.05, 0.25), 0.05),
            Input::new("dry leaf", leaf * between(x[2], 0.1, 0.9), 0.002),
            Input::new("tincture", leaf * between(x[3], 0.01, 0.1), 0.01),
            Input::new("alcohol in tincture", between(x[4], 0.2, 0.6), 0.03),
            Input::new("packs", leaf * between(x[5], 0.5, 1.5), 0.002),
            Input::new("jar", leaf * between(x[6], 0.05, 0.3), 0.002),
            Input::new("moisture of what is good", between(x[7], 0.05, 0.25), 0.03),
            Input::new("fines", leaf * between(x[8], 0.01, 0.1), 0.01),
            Input::new("moisture of fines", between(x[9], 0.05, 0.2), 0.1),
        ];
        hold(&inputs, |inputs| {
            let [leaf, at, dry, tincture, alcohol, packs, jar, good_at, fines, fines_at] = inputs else {
                unreachable!("ten of them");
            };
            let lot = |mass: &Input, at: &Input| LotOfLeaf {
                mass: mass.measured(),
                at: at.measured(),
            };
            let heap = |input: &Input| Packed {
                name: input.name.to_owned(),
                mass: input.measured(),
            };
            let composition = Composition::new(&[(Part::Alcohol, alcohol.measured::<Ratio>())]);
            let got = Reconciling {
                leaf: vec![lot(leaf, at)],
                dry_leaf: Some(dry.measured()),
                brought: vec![Brought::weighed(
                    tincture.name,
                    tincture.measured::<Mass>(),
                    composition.expect("less than all"),
                )],
                temperature: Measured::exact(ROOM_TEMPERATURE),
                to: Moisture::of_base(to),
                good: vec![heap(packs), heap(jar)],
                at: good_at.measured(),
                fines: Some(lot(fines, fines_at)),
            }
            .reconcile()
            .expect("a batch");
            let mut answer = Answer::default();
            answer.figure("dry in", &got.dry_in);
            answer.figure("theoretical", &got.theoretical);
            answer.figure("good", &got.good);
            answer.figure("yield as weighed", &got.yield_as_weighed);
            answer.figure("yield at target", &got.yield_at_target);
            answer.figure("dry accounted", &got.dry_accounted);
            answer.figure("dry recovery", &got.dry_recovery);
            answer.figure("gap", &got.gap);
            answer.figure("moisture", &got.moisture);
            answer.figure("fines", &got.fines);
            answer.figure("unexplained", &got.unexplained);
            answer
        })?;
    }

    /// The price of dry leaf goes by the moisture of its lot alone.
    #[test]
    fn of_the_price_of_dry_leaf(x in numbers::<2>(), per_kilogram in 1.0..90.0) {
        let inputs = [
            Input::new("moisture of a", between(x[0], 0.05, 0.25), 0.05),
            Input::new("moisture of b", between(x[1], 0.05, 0.25), 0.05),
        ];
        hold(&inputs, |inputs| {
            let shares = Shares::new(&["a", "b"], &Amounts::Parts(vec![2.0, 1.0])).expect("shares");
            let basis = gutta::bench::LeafBasis::AsWeighed;
            let supply = |lot: &str| Supply {
                lot: lot.to_owned(),
                price: Price::new(per_kilogram).ok(),
                stock: None,
            };
            let scaled = ScaleUp {
                sheet: Sheet {
                    lots: inputs.iter().map(|at| Some(at.measured())).collect(),
                    ..Sheet::new(shares, basis, SheetSize::AsWeighed(Mass::of_base(1.0)))
                },
                supplies: vec![supply("a"), supply("b")],
                loss: Ratio::of_base(0.0),
            }
            .plan()
            .expect("a batch");
            let mut answer = Answer::default();
            for (name, line) in ["price of a", "price of b"].iter().zip(&scaled.needed) {
                answer.figure(name, line.price_of_dry.as_ref().expect("a price"));
            }
            answer
        })?;
    }
}
