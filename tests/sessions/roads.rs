//! The roads to a moisture, through the program.

use gutta_tests::situations::situation;

use super::program::{complaint as refused, json, text, value};

#[test]
fn s06_two_lots() {
    let s = situation("S06");
    let watered = json("gutta moisture mix \"460g 9.6%\" \"290g 17.8%\" --to 15%");
    s.assert_answer("combined_moisture", value(&watered, "moisture", "%"));
    s.assert_answer("water_to_target_1", value(&watered, "water", "g"));
    let dry = json("gutta moisture mix \"460g 9.6%\" \"290g 17.8%\" --to 13%");
    let part = |i: usize| dry["answer"]["parts"][i]["value"].as_f64().unwrap();
    s.assert_answer("a_to_use_with_all_b", part(0));
    s.assert_answer("mix_weight", part(0) + part(1));
    // 325.83 g needed, 290 g there.
    assert!((value(&dry, "short_of", "g") - 35.833_333).abs() < 5e-5 * 35.83);
}

#[test]
fn s19_a_jar_weighed_again() {
    let s = situation("S19");
    let jar =
        json("gutta moisture jar --tare 412.6g --then 866.1g --at 15.2% --now 851.9g --to 14.5%");
    s.assert_answer("moisture_now", value(&jar, "moisture", "%"));
    s.assert_answer("dry_matter", value(&jar, "dry_matter", "g"));
    s.assert_answer("net_now", value(&jar, "final_mass", "g"));
    s.assert_answer("lost", value(&jar, "water_lost", "g"));
    s.assert_answer("water_to_restore", value(&jar, "water", "g"));
}

#[test]
fn s20_three_dishes() {
    let s = situation("S20");
    let oven = json(
        "gutta moisture oven \"21.846g 26.902g 26.214g\" \"22.115g 27.241g 26.537g\" \"21.972g 27.003g 26.316g\" --scale 1mg",
    );
    s.assert_answer("mean", value(&oven, "moisture", "%"));
    s.assert_answer("sd", value(&oven, "scatter", "%"));
    for i in 0..3 {
        let dish = oven["answer"]["dishes"][i]["value"].as_f64().unwrap();
        s.assert_answer(&format!("moisture_{}", i + 1), dish);
    }
    let interval = &oven["answer"]["moisture"]["interval95"];
    let (low, high) = (interval[0].as_f64().unwrap(), interval[1].as_f64().unwrap());
    s.assert_answer("ci95_half_width", (high - low) / 2.0);
    assert_eq!(oven["answer"]["upper_bound"], "no");
}

#[test]
fn cased_leaf_has_an_upper_bound() {
    let cased = text("gutta moisture oven \"20.00g 25.00g 24.35g\" --scale 0.01g --cased");
    assert!(
        cased.starts_with("Oven volatiles 13.00 % of total weight: the moisture is at most that."),
        "{cased}"
    );
    assert!(cased.contains("an upper bound of the water"), "{cased}");
    assert!(cased.contains("the least that is needed"), "{cased}");
    assert!(cased.contains("one dish alone"), "{cased}");
}

#[test]
fn an_odd_dish_is_named_and_kept() {
    let odd = text(
        "gutta moisture oven \"20g 25g 24.35g\" \"20g 25g 24.34g\" \"20g 25g 24.36g\" \"20g 25g 24.10g\"",
    );
    // By hand: 13.0, 13.2, 12.8 and 18.0 %, the mean of all four.
    assert!(
        odd.starts_with("The leaf was at 14.2 % of total weight"),
        "{odd}"
    );
    assert!(
        odd.contains("dish 4 lies far from the others: it was kept"),
        "{odd}"
    );
}

#[test]
fn a_dish_that_cannot_be_is_named() {
    assert_eq!(
        refused("gutta moisture oven \"20g 25g 24g\" \"20g 25g 26g\"", 2),
        "gutta moisture oven: DISH: dish 2 is heavier dried out than before\n  20g 25g 26g\n  ^^^^^^^^^^^\nhint: the order is empty, with leaf, dried out: have two of them changed places?\n"
    );
    assert_eq!(
        refused("gutta moisture oven \"20g 25g\"", 2),
        "gutta moisture oven: DISH: a dish is three weighings, and these are 2\n  20g 25g\n  ^^^^^^^\nhint: type the three weighings of a dish in quotes: \"21.846g 26.902g 26.214g\",\n  empty, with leaf, dried out\n"
    );
    assert!(refused("gutta moisture oven \"20g 19g 18g\"", 2).contains("holds no leaf"));
    assert!(refused("gutta moisture oven \"20g 25g 20g\"", 2).contains("is no heavier than empty"));
    assert!(refused("gutta moisture oven", 2).contains("no dish was given"));
}

#[test]
fn a_jar_that_cannot_be_is_refused() {
    let lost = refused("gutta moisture jar --then 500g --at 15% --now 400g", 1);
    assert!(
        lost.starts_with(
            "gutta moisture jar: --now: the jar has lost more than the water that was in it"
        ),
        "{lost}"
    );
    let empty = refused(
        "gutta moisture jar --tare 400g --then 500g --at 15% --now 400g",
        2,
    );
    assert!(
        empty.contains("weighed no more now than it does empty"),
        "{empty}"
    );
    let taken = refused(
        "gutta moisture jar --then 500g --at 15% --now 400g --taken 600g",
        1,
    );
    assert!(
        taken.contains("more leaf was taken out than there was"),
        "{taken}"
    );
    assert!(refused("gutta moisture jar --at 15% --now 400g", 2).contains("--then"));
    // A target is read as it is for water: a bare number may be on either basis.
    let bare = refused(
        "gutta moisture jar --then 500g --at 15% --now 490g --to 14",
        2,
    );
    assert!(
        bare.contains("write 14 %, or 14 % db on dry basis"),
        "{bare}"
    );
}

/// By hand: of 500 g at 15 % 100 g are taken, so 340 g of 400 are dry matter,
/// and 380 g are left: 40/380.
#[test]
fn leaf_taken_out_takes_its_dry_matter() {
    let jar = json("gutta moisture jar --then 500g --at 15% --taken 100g --now 380g");
    assert!((value(&jar, "moisture", "%") - 100.0 * 40.0 / 380.0).abs() < 1e-9);
    assert!((value(&jar, "water_lost", "g") - 20.0).abs() < 1e-9);
}

/// By hand: 85 g of dry matter and 17.2 of 20 g at 14 % in 115 g.
#[test]
fn leaf_put_in_brings_its_dry_matter_and_water() {
    let jar = json("gutta moisture jar --then 100g --at 15% --put \"20g 14%\" --now 115g");
    assert!((value(&jar, "dry_matter", "g") - 102.2).abs() < 1e-9);
    assert!((value(&jar, "moisture", "%") - 100.0 * (115.0 - 102.2) / 115.0).abs() < 1e-9);
    assert!((value(&jar, "water_lost", "g") - 5.0).abs() < 1e-9);
}

#[test]
fn lots_that_cannot_make_it_are_refused_with_what_can() {
    assert_eq!(
        refused(
            "gutta moisture mix \"460g 9.6%\" \"290g 17.8%\" --to 20%",
            1
        ),
        "gutta moisture mix: --to: lots at 9.6 % to 17.8 % do not make 20 % by mixing;\n  the nearest they reach is 17.8 %\n  20%\n  ^^^\nhint: mixed, they need 67.78 g of water for it\n"
    );
    let dry = refused("gutta moisture mix \"460g 9.6%\" \"290g 17.8%\" --to 8%", 1);
    assert!(dry.contains("nearest they reach is 9.6 %"), "{dry}");
    assert!(dry.contains("they must lose"), "{dry}");
    let bare = refused("gutta moisture mix \"460g\"", 2);
    assert!(bare.contains("the lot has no moisture"), "{bare}");
}

#[test]
fn lots_of_the_book_bring_their_moisture() {
    let mix = text("gutta moisture mix \"100g bright-24a\" \"100g sun-25\" --book demo-data");
    assert!(mix.contains("lot 1, bright-24a: 10.8 % ± 1.0 %"), "{mix}");
    // By hand: the middle of 10.8 and 12.0 %.
    assert!(
        mix.starts_with("All lots together, 200 g, are at 11.40 %"),
        "{mix}"
    );
}

/// The method goes with the moisture: of cased leaf the water is a lower bound.
#[test]
fn a_moisture_carries_its_method() {
    let least = "so this water is the least that is needed";
    let typed = text("gutta water --leaf 340g --at \"12% ± 0.3%\" --by oven-cased --to 15%");
    assert!(
        typed.contains(least) && typed.contains("an upper bound of the water"),
        "{typed}"
    );
    let plain = text("gutta water --leaf 340g --at \"12% ± 0.3%\" --by oven --to 15%");
    assert!(!plain.contains(least), "{plain}");
    assert!(
        plain.contains("the moisture was found by oven dishes"),
        "{plain}"
    );
    let lot = text("gutta water --leaf 340g --lot dark-22 --to 22% --book demo-data");
    assert!(lot.contains(least), "{lot}");
    let wrong = refused("gutta water --leaf 340g --at 12% --by ovn --to 15%", 2);
    assert_eq!(
        wrong,
        "gutta water: --by: `ovn` is no way to find a moisture\n  ovn\n  ^^^\nhint: did you mean oven?\n"
    );
}

/// An upper bound stays one through whatever is worked out from it.
#[test]
fn an_upper_bound_goes_on() {
    let reading = refused(
        "gutta water --leaf 100g --at \"19.5% ± 1.5%\" --by oven-cased --to 21% --added 31drops --reading \"20% ± 1%\"",
        1,
    );
    assert!(
        reading
            .starts_with("gutta water: --reading: a reading is not combined with an upper bound"),
        "{reading}"
    );
    let dry = text("gutta water --leaf 100g --at \"19.5% ± 0.5%\" --by oven-cased --to 15%");
    assert!(
        dry.contains("this is the most that is to lose: stop well before"),
        "{dry}"
    );
    assert!(!dry.contains("one oven dish"), "{dry}");
    let jar = text("gutta moisture jar --book demo-data --then 100g --lot dark-22 --now 98g");
    assert!(
        jar.contains("--by oven-cased") && jar.contains("a lower water activity"),
        "{jar}"
    );
    let guess = text("gutta moisture jar --book demo-data --then 100g --lot sun-25 --now 98g");
    assert!(guess.contains("--by feel"), "{guess}");
    let mix = text("gutta moisture mix --book demo-data \"460g dark-22\" \"200g bright-24a\"");
    assert!(mix.contains("--by oven-cased"), "{mix}");
    let air = text("gutta moisture air --humidity 60% --cased");
    assert!(
        air.contains("uncased leaf comes to") && air.contains("cased leaf holds more"),
        "{air}"
    );
    assert!(!air.contains("--by air"), "{air}");
    let own = text("gutta moisture air --humidity 60% --cased --own \"58% 14%\"");
    assert!(own.contains("--by air"), "{own}");
}

/// A lot has one moisture, however many heaps lie of it; and what rounding leaves
/// is nothing.
#[test]
fn lots_are_counted_once_and_met_targets_are_met() {
    let twice = refused(
        "gutta moisture mix --book demo-data \"460g bright-24a\" \"100g bright-24a\"",
        2,
    );
    assert!(twice.contains("this lot stands twice"), "{twice}");
    let met = json("gutta moisture mix \"460g 12%\" \"290g 12%\" --to 12%");
    assert_eq!(met["answer"]["water"]["value"], 0.0);
    let even = json("gutta moisture mix \"300g 10%\" \"100g 20%\" --to 12.5%");
    assert!(even["answer"].get("short_of").is_none(), "{even}");
    assert_eq!(even["answer"]["water"]["value"], 0.0);
    let end = text("gutta moisture mix \"460g 9.6%\" \"290g 17.8%\" --to 9.6%");
    assert!(end.starts_with("Take 460 g of lot 1 alone"), "{end}");
}

/// An upper bound is no estimate: it is not combined with one.
#[test]
fn oven_volatiles_of_cased_leaf_are_not_combined() {
    let line = "gutta moisture combine \"11.6% ± 0.4% jar\" \"13.1% ± 0.3% oven-cased\"";
    assert_eq!(
        refused(line, 1),
        "gutta moisture combine: MOISTURE: oven volatiles of cased leaf are an upper\n  bound of the water, not an estimate of it\n  13.1% ± 0.3% oven-cased\n  ^^^^^^^^^^^^^^^^^^^^^^^\nhint: combine the other estimates alone, or dry a dish of the leaf before it is\n  cased\n"
    );
    let both = text("gutta moisture combine \"11.6% ± 0.4% jar\" \"11.9% ± 0.3% oven\"");
    assert!(
        both.contains("from 11.9 % ± 0.3 % by oven dishes"),
        "{both}"
    );
    let wrong = refused(
        "gutta moisture combine \"11.6% ± 0.4% jra\" \"11.9% ± 0.3%\"",
        2,
    );
    assert!(wrong.contains("did you mean jar?"), "{wrong}");
}

#[test]
fn a_feel_is_a_range_and_said_to_be_a_guess() {
    let feel = text("gutta moisture feel supple");
    assert!(
        feel.starts_with("A guess: leaf that is supple is at 11 to 15 %"),
        "{feel}"
    );
    assert!(feel.contains("common practice, with no source"), "{feel}");
    // Rectangular: u is the width over √12.
    let u = json("gutta moisture feel supple")["answer"]["moisture"]["u"]
        .as_f64()
        .unwrap();
    assert!((u - 4.0 / 12_f64.sqrt()).abs() < 1e-9, "{u}");
    assert!(refused("gutta moisture feel suple", 2).contains("did you mean supple?"));
    assert!(refused("gutta moisture feel", 2).contains("brittle (breaks to dust"));
}
