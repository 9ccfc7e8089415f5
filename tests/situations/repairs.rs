//! Repairs, and whole leaf for strip.

use gutta::bench::LeafBasis;
use gutta::blend::Strip;
use gutta::blend::repair::{OverFlavoured, Restoring, Soaked, TopUp, Weighed};
use gutta::measure::{Mass, Measured, Ratio, Scalar};
use gutta_tests::assert_close;
use gutta_tests::situations::situation;

use super::{grams, mass, moisture};

fn share(percent: f64) -> Ratio {
    Ratio::of_base(percent / 100.0)
}

fn part(name: &str, in_pan: f64, share: Ratio) -> Weighed {
    Weighed {
        name: name.to_owned(),
        in_pan: Measured::exact(Mass::of_base(in_pan * 1e-3)),
        share,
        at: None,
        source: None,
        stock: None,
    }
}

#[test]
fn s10_one_component_over_weighed() {
    let s = situation("S10");
    let names = ["flue_cured", "oriental", "stoved", "fire_cured"];
    let batch = s.given("batch");
    let parts = names.map(|name| {
        let wanted = share(s.given(name));
        // The others are at their target already.
        let in_pan = match name {
            "fire_cured" => s.given("fire_cured_in_pan"),
            _ => batch * wanted.value,
        };
        part(name, in_pan, wanted)
    });
    let pan = Restoring {
        parts: parts.to_vec(),
        basis: LeafBasis::AsWeighed,
    };
    let restored = pan.restore().unwrap();
    assert_eq!(names[restored.most], "fire_cured");
    let after = grams(restored.batch.best());
    s.assert_answer("factor", after / batch);
    s.assert_answer("new_batch", after);
    for (name, part) in names.iter().zip(&restored.parts) {
        if *name == "fire_cured" {
            assert_close("nothing of it", grams(part.add.best()), 0.0, 1e-12);
            s.assert_answer(
                "fire_cured_share_if_left",
                part.share_if_left.best().value * 100.0,
            );
        } else {
            s.assert_answer(&format!("{name}_total"), grams(part.total.best()));
            s.assert_answer(&format!("{name}_add"), grams(part.add.best()));
        }
    }
    s.assert_all_held();
}

#[test]
fn s11_one_share_topped_up() {
    let s = situation("S11");
    let topped = TopUp {
        pile: mass(&s.typed("pile")),
        share: share(s.given("oriental_now")),
        to: share(s.given("oriental_wanted")),
    }
    .top_up()
    .unwrap();
    s.assert_answer("oriental_add", grams(topped.add.best()));
    s.assert_answer("pile_after", grams(topped.after.best()));
    s.assert_answer("other_shares_factor", topped.others.value);
    let typed = s.typed("others");
    let others: Vec<&str> = typed.split_whitespace().collect();
    for pair in others.chunks_exact(2) {
        let percent: f64 = pair[1].parse().unwrap();
        let name = format!("{}_after", pair[0].replace('-', "_"));
        s.assert_answer(&name, percent * topped.others.value);
    }
    s.assert_all_held();
}

#[test]
fn s12_a_pile_made_to_the_wrong_ratio() {
    let s = situation("S12");
    let parts = |quantity: &str| -> Vec<f64> {
        let typed = s.typed(quantity);
        let ratio = typed.split_whitespace().next().unwrap();
        ratio.split(':').map(|part| part.parse().unwrap()).collect()
    };
    let (made, wanted) = (parts("made"), parts("wanted"));
    let (all_made, all_wanted): (f64, f64) = (made.iter().sum(), wanted.iter().sum());
    let pile = s.given("pile");
    let parts = (0..2).map(|i| {
        let in_pan = pile * made[i] / all_made;
        part(
            ["base", "condiment"][i],
            in_pan,
            Ratio::of_base(wanted[i] / all_wanted),
        )
    });
    let pan = Restoring {
        parts: parts.collect(),
        basis: LeafBasis::AsWeighed,
    };
    let restored = pan.restore().unwrap();
    s.assert_answer("base_add", grams(restored.parts[0].add.best()));
    s.assert_answer("pile_after", grams(restored.batch.best()));
    s.assert_all_held();
}

#[test]
fn s24_whole_leaf_for_strip() {
    let s = situation("S24");
    let leaf = Strip {
        dry: mass(&s.typed("dry_strip")),
        stem: Measured::exact(share(s.given("stem_share"))),
        at: moisture(&s.typed("moisture")),
    }
    .whole_leaf()
    .unwrap();
    s.assert_answer("dry_whole_leaf", grams(leaf.dry.best()));
    s.assert_answer("whole_leaf", grams(leaf.as_weighed.best()));
    s.assert_answer("dry_stem", grams(leaf.stem.best()));
    s.assert_all_held();
}

#[test]
fn s27_flavour_soaked_into_one_component() {
    let s = situation("S27");
    let spread = Soaked {
        batch: mass(&s.typed("batch")),
        component: mass(&s.typed("soaked_component")),
        flavouring: mass(&s.typed("flavouring")),
    }
    .spread()
    .unwrap();
    s.assert_answer("local_dose", spread.local.best().ratio().value * 1e3);
    s.assert_answer("batch_dose", spread.batch.best().ratio().value * 1e3);
    let steps: Vec<String> = spread
        .steps
        .iter()
        .map(|step| format!("{:.0}", grams(*step)))
        .collect();
    s.assert_text("mix_steps", &steps.join(" "));
    s.assert_all_held();
}

#[test]
fn s30_an_over_flavoured_batch() {
    let s = situation("S30");
    let dose = |quantity: &str| Ratio::of_base(s.given(quantity) * 1e-3);
    let weakened = OverFlavoured {
        leaf: mass(&s.typed("leaf_basis_of_dose")),
        dose: Measured::exact(dose("dose_now")),
        to: dose("dose_wanted"),
    }
    .weaken()
    .unwrap();
    s.assert_answer("plain_blend_add", grams(weakened.add.best()));
    s.assert_answer("batch_after", grams(weakened.after.best()));
    s.assert_all_held();
}
