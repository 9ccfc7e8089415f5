//! The formula of a blend: lots, the scale, parts and spoonfuls.

use gutta::Moisture;
use gutta::bench::LeafBasis;
use gutta::blend::formula::{
    Amounts, Batch, BatchSize, GivesWay, Premix, Recipes, ShareChange, Shares, Weighed, difference,
    smallest_batch, too_small,
};
use gutta::blend::spoons::{SpoonLine, SpoonRecipe};
use gutta::measure::{Estimate, Mass, Measured, Ratio, Scalar, Scale};
use gutta_tests::assert_close;
use gutta_tests::situations::{Situation, situation};

use super::{grams, mass, moisture, percent, target};

const LEAVES: [&str; 4] = ["flue_cured", "oriental", "stoved", "fire_cured"];

fn scale(s: &Situation, name: &str) -> Scale {
    Scale::new(mass(&s.typed(name)).value()).unwrap()
}

fn of_percent(number: f64) -> Ratio {
    Ratio::of_base(number / 100.0)
}

fn percent_of(ratio: Ratio) -> f64 {
    ratio.value * 100.0
}

/// The batch of a lot of flue-cured, with the others as they are.
fn s13(s: &Situation, flue_cured: Measured<Moisture>) -> (Batch, Weighed) {
    let share = |leaf: &&str| s.given(&format!("{leaf}_dry_share"));
    let shares = Amounts::Percent(LEAVES.iter().map(share).collect());
    let other = |leaf: &&str| moisture(&s.typed(&format!("{leaf}_moisture")));
    let lots = [flue_cured].into_iter();
    let batch = Batch {
        shares: Shares::new(&LEAVES, &shares).unwrap(),
        basis: LeafBasis::Dry,
        lots: lots.chain(LEAVES[1..].iter().map(other)).collect(),
        size: BatchSize::DryMatter(mass(&s.typed("dry_matter")).value()),
        to: Some(target(&s.typed("target"))),
    };
    let weighed = batch.weighed().unwrap();
    (batch, weighed)
}

#[test]
fn s13_a_drier_lot_keeps_the_dry_shares() {
    let s = situation("S13");
    let (batch, new) = s13(&s, moisture(&s.typed("flue_cured_moisture")));
    for (leaf, line) in LEAVES.iter().zip(&new.lines) {
        s.assert_answer(&format!("{leaf}_as_weighed"), grams(line.best()));
    }
    s.assert_answer("total_as_weighed", grams(new.total.best()));
    s.assert_answer("moisture", percent(new.moisture.best()));
    s.assert_answer("water", grams(new.water.as_ref().unwrap().best()));
    let (_, old) = s13(&s, moisture(&s.typed("flue_cured_moisture_old_lot")));
    s.assert_answer("flue_cured_old_lot", grams(old.lines[0].best()));
    s.assert_answer("moisture_with_old_lot", percent(old.moisture.best()));
    s.assert_answer("water_with_old_lot", grams(old.water.unwrap().best()));

    // The grams of the old lot, weighed of the new one.
    let at: Vec<Moisture> = batch.lots.iter().map(Measured::value).collect();
    let dry_share = |weighed: &Weighed, first: Mass| {
        let others = weighed.lines[1..].iter().map(Estimate::best);
        let weighed = Amounts::Masses([first].into_iter().chain(others).collect());
        let dry = Shares::new(&LEAVES, &weighed).unwrap().to_dry(&at).unwrap();
        percent_of(dry.lines()[0].share())
    };
    let kept = dry_share(&new, new.lines[0].best());
    assert_close("kept", kept, s.given("flue_cured_dry_share"), 1e-12);
    let trap = dry_share(&new, old.lines[0].best());
    s.assert_trap_is("share_if_old_grams_kept", kept, trap);
    s.assert_all_held();
}

/// u(w) = s D u_m/(1 − m)² = 0.46 · 500 g · 0.005/0.909² = 1.39178 g, by hand:
/// half of the last digit.
#[test]
fn the_doubt_of_a_lot_is_that_of_its_grams() {
    let s = situation("S13");
    let at = Measured::new(Moisture::of_base(0.091), 0.005, f64::INFINITY);
    let (_, got) = s13(&s, at);
    assert_close("u", got.lines[0].u() * 1e3, 1.39178, 5e-6);
    assert_eq!(got.lines[0].budget(), [("moisture of flue_cured", 1.0)]);
    assert_eq!(got.lines[1].u(), 0.0);
    // The dry matter is what was asked for, whatever the lot holds.
    assert!(got.dry_matter.u() * 1e3 < 1e-9);
}

/// Two parts of 10 % and one of 25 % leaf, as weighed, with 100 g of dry matter:
/// 100/(2/3·0.9 + 1/3·0.75) = 117.647 g, by hand. And 300 g as weighed on equal
/// dry shares of the two: 300 · 0.75/(0.9 + 0.75) = 136.364 g of the first.
#[test]
fn either_basis_and_either_size() {
    let at = |m| Measured::exact(Moisture::of_base(m));
    let batch = |parts: [f64; 2], basis, size| Batch {
        shares: Shares::new(&["a", "b"], &Amounts::Parts(parts.to_vec())).unwrap(),
        basis,
        lots: vec![at(0.10), at(0.25)],
        size,
        to: None,
    };
    let dry = BatchSize::DryMatter(Mass::of_base(0.1));
    let got = batch([2.0, 1.0], LeafBasis::AsWeighed, dry)
        .weighed()
        .unwrap();
    assert_close("total", grams(got.total.best()), 117.647, 5e-4);
    assert!(got.water.is_none());
    let all = BatchSize::AsWeighed(Mass::of_base(0.3));
    let got = batch([1.0, 1.0], LeafBasis::Dry, all).weighed().unwrap();
    assert_close("first", grams(got.lines[0].best()), 136.364, 5e-4);
    assert_close("total", grams(got.total.best()), 300.0, 1e-9);
}

#[test]
fn s14_the_smallest_batch_of_a_scale() {
    let s = situation("S14");
    let smallest = s.given("smallest_share");
    let amounts = Amounts::Percent(vec![100.0 - smallest, smallest]);
    let shares = Shares::new(&["base", "condiment"], &amounts).unwrap();
    let tolerance = of_percent(s.given("tolerance"));
    let this = scale(&s, "scale_division");
    let finer = scale(&s, "finer_scale_division");
    let got = smallest_batch(&shares, &this, tolerance).unwrap();
    assert_eq!(got.line, "condiment");
    s.assert_answer("least_weighing", grams(got.least_weighing));
    s.assert_answer("least_batch", grams(got.batch));
    let batch = |scale: &Scale| grams(smallest_batch(&shares, scale, tolerance).unwrap().batch);
    // Half a division in the place of a whole one.
    let half = Scale::new(this.division() * Ratio::of_base(0.5)).unwrap();
    s.assert_answer("least_batch_half_division", batch(&half));
    s.assert_answer("least_batch_finer_scale", batch(&finer));
    let trial = Mass::of_base(10e-3);
    let error = |scale: &Scale| {
        let lines = too_small(&shares, trial, scale, tolerance).unwrap();
        assert_eq!(lines.len(), 1, "the base leaf is well weighed");
        assert_eq!(lines[0].line, "condiment");
        percent_of(lines[0].error)
    };
    s.assert_answer("error_10g_trial_finer_scale", error(&finer));
    s.assert_answer("error_10g_trial_this_scale", error(&this));
    // At the smallest batch no line is too small.
    assert_eq!(too_small(&shares, got.batch, &this, tolerance).unwrap(), []);
    s.assert_all_held();
}

fn s15(s: &Situation) -> Premix {
    Premix {
        trial: mass(&s.typed("trial")).value(),
        condiment_share: of_percent(s.given("condiment_share")),
        base_share: of_percent(s.given("base_share")),
        condiment: mass(&s.typed("premix_condiment")).value(),
        base: mass(&s.typed("premix_base")).value(),
        scale: scale(s, "scale_division"),
    }
}

#[test]
fn s15_a_pre_mix_for_a_share_too_small_to_weigh() {
    let s = situation("S15");
    let plan = s15(&s).plan().unwrap();
    s.assert_answer("condiment_needed", grams(plan.condiment_needed));
    s.assert_answer("premix_take", grams(plan.take));
    s.assert_answer("base_in_take", grams(plan.base_in_take));
    s.assert_answer("base_still_to_add", grams(plan.base_to_add));
    s.assert_answer("condiment_error", percent_of(plan.error));
    s.assert_answer("condiment_error_direct", percent_of(plan.error_direct));
    s.assert_all_held();
    // 5 % of base leaf in the trial is 1 g, and the take brings 6.3 g.
    let short = Premix {
        base_share: of_percent(5.0),
        ..s15(&s)
    };
    let error = short.plan().unwrap_err();
    assert_eq!(
        error.to_string(),
        "7 g of the pre-mix brings 6.3 g of base leaf, and the trial has 1 g"
    );
    assert_eq!(
        error.hint(),
        Some("mix at most 14.285714286 g of base leaf with 10 g of condiment")
    );
}

#[test]
fn s28_parts_ounces_per_pound_and_grams() {
    let s = situation("S28");
    let typed = s.typed("parts");
    let parts: Vec<f64> = typed
        .split_whitespace()
        .map_while(|word| word.parse().ok())
        .collect();
    assert_eq!(parts.len(), 4);
    let shares = Shares::new(&LEAVES, &Amounts::Parts(parts.clone())).unwrap();
    // Sixteen parts are ounces in the pound.
    let ounces = Shares::new(&LEAVES, &Amounts::OuncesPerPound(parts.clone())).unwrap();
    assert_eq!(shares, ounces);
    let pound = ounces.of(mass("1 lb").value());
    let trial = shares.of(mass(&s.typed("trial")).value());
    for (i, part) in parts.iter().enumerate() {
        s.assert_answer(&format!("part_{part}_per_pound"), grams(pound[i]));
        s.assert_answer(&format!("part_{part}_trial"), grams(trial[i]));
    }
    s.assert_all_held();
}

#[test]
fn s31_a_recipe_in_spoonfuls_turned_into_grams() {
    let s = situation("S31");
    let line = |leaf: &&str| SpoonLine {
        name: (*leaf).to_owned(),
        spoons: s.given(&format!("{leaf}_spoons")),
        in_a_weighing: 10,
        weighings: vec![Mass::of_base(
            s.given(&format!("{leaf}_per_spoon")) * 10.0 * 1e-3,
        )],
    };
    let recipe = SpoonRecipe {
        lines: LEAVES.iter().map(line).collect(),
        scale: None,
    };
    let got = recipe.weighed().unwrap();
    s.assert_answer("total", grams(got.total.best()));
    for (leaf, share) in LEAVES.iter().zip(&got.shares) {
        s.assert_answer(&format!("{leaf}_share"), percent_of(share.best()));
        let in_formula = got.formula.share(leaf).unwrap();
        assert_close(
            leaf,
            percent_of(in_formula),
            percent_of(share.best()),
            1e-12,
        );
    }
    s.assert_all_held();
}

/// Ten spoonfuls weighed three times, 21, 22 and 23 g: s = 1 g, u = 1/√3/10 g of
/// one spoonful, with two degrees of freedom, by hand. A scale of 1 g is below
/// that (0.4082 g against 0.5774 g); one of 2 g is above it.
#[test]
fn the_scatter_of_spoonfuls() {
    let gram = |g: f64| Mass::of_base(g * 1e-3);
    let line = SpoonLine {
        name: "oriental".to_owned(),
        spoons: 4.0,
        in_a_weighing: 10,
        weighings: vec![gram(21.0), gram(22.0), gram(23.0)],
    };
    for fine in [None, Some(Scale::new(gram(1.0)).unwrap())] {
        let one = line.one_spoonful(fine.as_ref()).unwrap();
        assert_close("mean", grams(one.value()), 2.2, 1e-12);
        assert_close("u", one.u() * 1e3, 0.057_735, 5e-7);
        assert_eq!(one.dof(), 2.0);
    }
    let coarse = Scale::new(gram(2.0)).unwrap();
    let one = line.one_spoonful(Some(&coarse)).unwrap();
    // √2 · 2 g/√12 over ten.
    assert_close("u", one.u() * 1e3, 0.081_650, 5e-7);
    assert_eq!(one.dof(), f64::INFINITY);
}

#[test]
fn a_sum_that_is_no_whole_is_refused() {
    let said = |amounts: Amounts| {
        let error = Shares::new(&["flue-cured", "oriental"], &amounts).unwrap_err();
        assert!(error.is_refusal());
        (error.to_string(), error.hint().unwrap().to_owned())
    };
    let (message, hint) = said(Amounts::Percent(vec![70.0, 29.5]));
    assert_eq!(message, "the shares sum to 99.5 %, not to 100 %");
    assert_eq!(
        hint,
        "make flue-cured 70.5 %, or type the same numbers as parts"
    );
    let (message, hint) = said(Amounts::OuncesPerPound(vec![6.0, 11.0]));
    assert_eq!(message, "the shares sum to 17 oz, not to 16 oz");
    assert_eq!(
        hint,
        "make oriental 10 oz, or type the same numbers as parts"
    );
    // No one line can be lowered by so much.
    let (_, hint) = said(Amounts::Percent(vec![150.0, 150.0]));
    assert_eq!(hint, "type the same numbers as parts");
    let near = Amounts::Percent(vec![70.0, 30.0 + 5e-8]);
    assert!(Shares::new(&["a", "b"], &near).is_ok());
    let beyond = Amounts::Percent(vec![70.0, 30.0 + 2e-7]);
    assert!(Shares::new(&["a", "b"], &beyond).is_err());
}

#[test]
fn what_is_no_formula_is_refused() {
    let said = |names: &[&str], parts: &[f64]| {
        let error = Shares::new(names, &Amounts::Parts(parts.to_vec())).unwrap_err();
        error.to_string()
    };
    assert_eq!(said(&[], &[]), "a formula needs a component");
    assert_eq!(said(&["a", "b"], &[1.0]), "2 names and 1 amounts");
    assert_eq!(said(&["a", " "], &[1.0, 1.0]), "line 2 has no name");
    assert_eq!(
        said(&["a", "a "], &[1.0, 1.0]),
        "a stands twice in the formula"
    );
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(said(&["a"], &[bad]), "the amount of a must be above 0");
    }
    assert_eq!(
        said(&["a", "b"], &[f64::MAX, f64::MAX]),
        "the amounts are too large"
    );
    assert_eq!(
        said(&["a", "b"], &[1.0, 1e-13]),
        "the amount of b is nothing beside the rest"
    );
}

fn two(first: &str, second: &str) -> Shares {
    Shares::new(&[first, second], &Amounts::Parts(vec![1.0, 1.0])).unwrap()
}

#[test]
fn a_blend_that_is_made_of_itself_is_refused() {
    let mut recipes = Recipes::default();
    recipes.insert("base", two("stoved", "house"));
    recipes.insert("house", two("oriental", "base"));
    let error = recipes.expand(&two("flue-cured", "base")).unwrap_err();
    assert!(error.is_refusal());
    assert_eq!(
        error.to_string(),
        "base is made of itself: base > house > base"
    );
    assert_eq!(
        error.hint(),
        Some("take base out of house, or name the leaf apart from the blend")
    );
    // Deeper than is followed, and no end of the stack.
    let mut deep = Recipes::default();
    for i in 0..100_000 {
        deep.insert(format!("{i}"), two("leaf", &format!("{}", i + 1)));
    }
    let error = deep.expand(&two("leaf", "0")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "blends stand in blends more than 64 deep"
    );
}

/// 46 % to 50 %: the others, 54 % together, keep 50/54 of theirs; by hand, 22 %
/// becomes 20.370 %.
#[test]
fn one_share_raised_and_who_gave_way() {
    let amounts = Amounts::Percent(vec![46.0, 22.0, 18.0, 14.0]);
    let shares = Shares::new(&LEAVES, &amounts).unwrap();
    let to = of_percent(50.0);
    let all = shares
        .with_share("flue_cured", to, GivesWay::ProRata)
        .unwrap();
    assert_close("oriental", percent_of(all.lines()[1].share()), 20.370, 5e-4);
    let changes = difference(&shares, &all);
    let raised: Vec<bool> = changes.iter().map(ShareChange::was_raised).collect();
    let gave: Vec<bool> = changes.iter().map(ShareChange::gave_way).collect();
    assert_eq!(raised, [true, false, false, false]);
    assert_eq!(gave, [false, true, true, true]);

    let stoved = GivesWay::Named("stoved");
    let one = shares.with_share("flue_cured", to, stoved).unwrap();
    let changes = difference(&shares, &one);
    let gave: Vec<&str> = changes
        .iter()
        .filter(|change| change.gave_way())
        .map(|change| change.name.as_str())
        .collect();
    assert_eq!(gave, ["stoved"]);
    assert_close("points", percent_of(changes[2].points()), -4.0, 1e-12);

    let said = |name, to, way| {
        let error = shares.with_share(name, of_percent(to), way).unwrap_err();
        (error.to_string(), error.hint().unwrap().to_owned())
    };
    let (message, hint) = said("flue_cured", 64.0, stoved);
    assert_eq!(
        message,
        "flue_cured at 64 % takes 18 points, and stoved has 18"
    );
    assert_eq!(hint, "stay below 64 %, or let all others give way");
    let (message, _) = said("flue_cured", 100.0, GivesWay::ProRata);
    assert_eq!(message, "flue_cured must stay above 0 % and below 100 %");
    let (message, hint) = said("air_cured", 10.0, GivesWay::ProRata);
    assert_eq!(message, "air_cured is not in the formula");
    assert_eq!(hint, "it has flue_cured, oriental, stoved, fire_cured");
    let (message, _) = said("stoved", 10.0, stoved);
    assert_eq!(message, "stoved cannot give way to itself");
}

#[test]
fn what_cannot_be_weighed_is_refused() {
    let gram = |g: f64| Mass::of_base(g * 1e-3);
    // 10 kg needs 350 g of condiment: 3500 g of a pre-mix that holds 10 %.
    let large = Premix {
        trial: gram(10_000.0),
        ..s15(&situation("S15"))
    };
    let error = large.plan().unwrap_err();
    assert!(error.is_refusal());
    assert_eq!(
        error.to_string(),
        "the trial takes 3500 g of the pre-mix, and 100 g are made"
    );
    let scale = Scale::new(gram(0.1)).unwrap();
    for tolerance in [0.0, 1.0, f64::NAN] {
        let error = smallest_batch(&two("a", "b"), &scale, Ratio::of_base(tolerance));
        assert_eq!(
            error.unwrap_err().to_string(),
            "the tolerance must be above 0 % and below 100 %"
        );
    }
    let error = two("a", "b").to_dry(&[]).unwrap_err();
    assert_eq!(error.to_string(), "2 components and 0 moistures");
    let line = |spoons, weighings: &[f64]| SpoonLine {
        name: "stoved".to_owned(),
        spoons,
        in_a_weighing: 10,
        weighings: weighings.iter().map(|g| gram(*g)).collect(),
    };
    for (line, message) in [
        (line(3.0, &[]), "no spoonful of stoved was weighed"),
        (
            line(0.0, &[26.0]),
            "the spoonfuls of stoved must be above 0",
        ),
    ] {
        let recipe = SpoonRecipe {
            lines: vec![line],
            scale: None,
        };
        assert_eq!(recipe.weighed().unwrap_err().to_string(), message);
    }
}
