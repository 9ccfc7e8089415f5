//! Liquids by name, poured together, made weaker, and dropped from one tip,
//! through the program.

use gutta_tests::reference::{Row, table};

use super::program::{complaint, json, refused, text, value};

/// A row of D21 (OIML R 22 tables as a public file works them), by what it is
/// called there; the naive figure is the one that does not agree.
fn d21(quantity: &str, agrees: bool) -> Row {
    table("alcohol/dilution.csv")
        .into_iter()
        .find(|row| row.text("quantity") == quantity && row.agrees() == agrees)
        .unwrap_or_else(|| panic!("no row {quantity}"))
}

#[test]
fn d21_alcohol_made_weaker() {
    let made = json("gutta liquid dilute \"alcohol 96% vol\" --to 70% --make 100mL");
    for (quantity, key, unit) in [
        ("stock_volume", "stock_volume", "mL"),
        ("target_mass", "total", "g"),
        ("water_volume", "water_volume", "mL"),
    ] {
        let row = d21(quantity, true);
        let off = (value(&made, key, unit) - row.number("value")).abs();
        assert!(off <= row.number("tolerance"), "{quantity}: {off}");
    }
    // The trap: volumes do not add up.
    let naive = d21("water_volume", false);
    let off = (value(&made, "water_volume", "mL") - naive.number("value")).abs();
    assert!(off > naive.number("tolerance"), "{off}");
    assert!((value(&made, "contraction", "mL") - 2.65).abs() < 0.01);
    // From the stock that it names, the same comes back.
    let from = json("gutta liquid dilute \"alcohol 96% vol\" --to 70% --from 72.917mL");
    assert!((value(&from, "total_volume", "mL") - 100.0).abs() < 1e-3);
    // And poured together it has the strength.
    let mixed = json("gutta liquid mix \"58.8749g alcohol 96% vol\" \"29.6815g water\"");
    assert!((value(&mixed, "strength", "%") - 70.0).abs() < 2e-3);
    assert!((value(&mixed, "volume", "mL") - 100.0).abs() < 2e-3);
}

#[test]
fn a_liquid_is_shown_by_its_name() {
    let spirit = json("gutta liquid show \"alcohol 70% vol\"");
    // OIML R 22 as printed: 885.56 kg/m³; 62.39 % by mass.
    assert!((value(&spirit, "density", "g/mL") - 0.88556).abs() < 6e-6);
    assert!((value(&spirit, "alcohol", "%") - 62.386).abs() < 1e-3);
    assert!((value(&spirit, "strength", "%") - 70.0).abs() < 1e-9);
    assert_eq!(value(&spirit, "flash_point", "°C").round(), 21.0);
    let cold = json("gutta liquid show \"alcohol 70% vol\" --temp -20°C");
    assert!(value(&cold, "density", "g/mL") > 0.91);
    // By mass as a refractometer shows it: NBS 457 has 1.3163 at 65 Brix.
    let syrup = json("gutta liquid show \"syrup 65 Brix\"");
    assert!((value(&syrup, "density", "g/mL") - 1.3163).abs() < 4e-4);
    assert!((value(&syrup, "sugar", "%") - 65.0).abs() < 1e-9);
    assert!(syrup["answer"]["surface_tension"].is_null());
    let honey = text("gutta liquid show honey");
    assert!(
        honey.contains("type your own, such as honey 17% water"),
        "{honey}"
    );
}

/// A name is one liquid to every command.
#[test]
fn every_command_reads_the_names() {
    let dosed = json("gutta dose 2mL --liquid \"alcohol 70% vol\" --leaf 10g");
    assert!((value(&dosed, "mass", "g") - 2.0 * 0.88556).abs() < 2e-5);
    let drop = json("gutta dropper 20=0.3g --liquid \"alcohol 70% vol\"");
    let density = value(&drop, "drop_mass", "mg") / value(&drop, "drop_volume", "mL") / 1000.0;
    assert!((density - 0.88556).abs() < 6e-6);
    // At its temperature where one is given: 25 °C, OIML R 22.
    let warm = json("gutta dropper 40=2.5mL --liquid \"alcohol 100% vol\" --temp 25°C");
    assert!((value(&warm, "drop_mass", "mg") / 62.5 - 0.784_954).abs() < 1.5e-3);
    let line = "gutta water --leaf 100g --at 11% --to 16% --bring";
    let glycol = json(&format!("{line} \"10g glycol 50%\""));
    let typed = json(&format!("{line} \"10g mine, 50% glycol, 50% water\""));
    assert!((value(&glycol, "water", "g") - value(&typed, "water", "g")).abs() < 1e-9);
    let poured = json(&format!("{line} \"10mL syrup 65 Brix\""));
    let weighed = json(&format!("{line} \"13.1633g syrup 65 Brix\""));
    assert!((value(&poured, "water", "g") - value(&weighed, "water", "g")).abs() < 2e-3);
    // Its volume is that at the temperature of the water.
    let warm = json(&format!("{line} \"10mL alcohol 70% vol\" --temp 30°C"));
    let cool = json(&format!("{line} \"10mL alcohol 70% vol\" --temp 10°C"));
    assert!(value(&warm, "water", "g") > value(&cool, "water", "g") + 0.02);
    let cased = json(
        "gutta casing \"60g honey 17% water\" \"30g water\" --leaf 1kg --at 12% --rate 5% --rate-of liquid --basis as-weighed",
    );
    assert!((value(&cased, "casing_water", "g") - 50.0 * (0.17 * 60.0 + 30.0) / 90.0).abs() < 1e-9);
}

#[test]
fn the_flash_point_goes_by_the_strength() {
    for (line, near) in [
        (
            "gutta liquid show \"alcohol 40% vol\"",
            "40 % by volume flashes near 26 °C",
        ),
        (
            "gutta dose 1mL --liquid \"alcohol 96% vol\"",
            "96 % by volume flashes near 17 °C",
        ),
        (
            "gutta water --leaf 10g --at 11% --to 15% --bring \"1g alcohol 20% vol\"",
            "20 % by volume flashes near 36 °C",
        ),
        (
            "gutta dropper 20=0.3g --liquid \"alcohol 50% vol\"",
            "50 % by volume flashes near 24 °C",
        ),
    ] {
        let said = text(line);
        assert!(
            said.contains(&format!("alcohol burns ({near})")),
            "{line}\n{said}"
        );
    }
    let weak = text("gutta liquid show \"alcohol 5% vol\"");
    assert!(!weak.contains("burns"), "{weak}");
    // Of alcohol among other things the strength is not known.
    let mixed = text("gutta water --leaf 10g --at 11% --to 15% --bring \"1g mine, 20% alcohol\"");
    assert!(mixed.contains("alcohol burns"), "{mixed}");
}

#[test]
fn the_drop_of_another_liquid_from_one_tip() {
    let then = json("gutta dropper 20=1.000g --then \"alcohol 40% vol\"");
    // The tip that gives 50.00 mg of water is 3.184 mm (Harkins and Brown, by the
    // handed table of predictions, where 40 % gives 20.98 mg); times 1.08.
    assert!((value(&then, "tip_diameter", "mm") - 3.184).abs() < 2e-3);
    assert!((value(&then, "then_drop_mass", "mg") / (20.98 * 1.08) - 1.0).abs() < 0.01);
    let u = then["answer"]["then_drop_mass"]["u"].as_f64().unwrap();
    // 5 % of the formula, and a little of the surface tension, known to 1 %.
    assert!((0.05..0.052).contains(&(u / value(&then, "then_drop_mass", "mg"))));
    let said = text("gutta dropper 20=1.000g --then \"alcohol 40% vol\"");
    assert!(
        said.contains("count 20 drops of alcohol 40 % vol onto the zeroed scale"),
        "{said}"
    );
    // From the tip alone it is known to 8 %.
    let tip = json("gutta dropper --tip 3.184mm");
    assert!((value(&tip, "drop_mass", "mg") - 50.0).abs() < 0.1);
    let u = tip["answer"]["drop_mass"]["u"].as_f64().unwrap();
    assert!((u / value(&tip, "drop_mass", "mg") - 0.08).abs() < 1e-6);
    let drawn =
        json("gutta dropper 20=1.000g --scale 0.01g --then \"alcohol 40% vol\" --draws 20000");
    let figures = &drawn["draws"]["figures"];
    assert!(figures["then_drop_mass"]["u"].as_f64().unwrap() > 1.0);
    // With a dropper of the book, and a liquid of its own in it.
    let book = text("gutta dropper --book demo-data --dropper glass --then \"alcohol 40% vol\"");
    assert!(
        book.contains("dropper glass: water as calibrated on 2026-10-04"),
        "{book}"
    );
}

/// What is declined or cannot be read, word for word.
#[test]
fn what_is_wrong_is_said() {
    for (line, code, flag, message, hint) in [
        (
            "gutta dropper 20=1g --then \"glycerine 50%\"",
            1,
            "--then",
            "glycerine 50 % is thicker than water: its drop cannot be worked out from that of water",
            "count 20 drops of glycerine 50 % onto the zeroed scale: a drop has that mass over 20",
        ),
        (
            "gutta dropper --book demo-data 20=1g --then \"fig tincture\"",
            1,
            "--then",
            "fig tincture has no known surface tension: its drop cannot be worked out from that of water",
            "count 20 drops of fig tincture onto the zeroed scale: a drop has that mass over 20",
        ),
        (
            "gutta dropper 20=0.4g --liquid \"alcohol 40%\" --then \"alcohol 70%\"",
            1,
            "--then",
            "the tip is found by drops of water, and these are of another liquid",
            "count 20 drops of distilled water from it onto the scale",
        ),
        (
            "gutta dropper --tip 30mm",
            1,
            "--tip",
            "the tip must be from 0.2 mm to 20 mm, not 30 mm",
            "type the outer diameter of the wetted tip, such as 3.0mm",
        ),
        (
            "gutta liquid dilute \"alcohol 40% vol\" --to 70% --make 1L",
            1,
            "--to",
            "water makes alcohol 40 % vol weaker, not alcohol 70 % vol",
            "take a stronger one, or ask for less than what it has",
        ),
        (
            "gutta liquid dilute \"alcohol 96% vol\" --to 40%",
            2,
            "--make",
            "how much is not said",
            "type what to make, such as --make 100mL, or what there is of the stronger one, such as --from 50mL",
        ),
        (
            "gutta liquid dilute honey --to 40% --make 1L",
            1,
            "LIQUID",
            "honey is not one thing in water alone",
            "this is for alcohol, glycol, glycerine and syrup, such as \"alcohol 96% vol\"",
        ),
        (
            "gutta liquid show alcohol",
            2,
            "LIQUID",
            "the strength of alcohol is missing",
            "type it as on the bottle: alcohol 70% vol",
        ),
        (
            "gutta liquid show \"syrup 65\"",
            2,
            "LIQUID",
            "`65` has no unit",
            "type it as syrup 65 Brix",
        ),
        (
            "gutta liquid show \"glycol 50% vol\"",
            2,
            "LIQUID",
            "% vol is for alcohol with water alone",
            "type its share by mass, such as glycol 50%",
        ),
        (
            "gutta liquid show \"glycol 50%\" --temp 5°C",
            1,
            "--temp",
            "the temperature of glycol must be from 15 °C to 35 °C, not 5 °C",
            "the density of glycol is known here from 15 to 35 °C: weigh it, or bring it to the room's temperature",
        ),
        (
            "gutta liquid show \"alcohol 40% vol\" --temp -21°C",
            1,
            "--temp",
            "the temperature of alcohol must be from -20 °C to 40 °C, not -21 °C",
            "the density of alcohol is known here from -20 to 40 °C: weigh it, or bring it to the room's temperature",
        ),
        (
            "gutta liquid show \"syrup 90 Brix\"",
            1,
            "LIQUID",
            "the strength of a syrup must be from 0 Brix to 85 Brix, not 90 Brix",
            "its density is known here up to 85 Brix: weigh it, and type its mass",
        ),
        (
            "gutta liquid show \"alcohol 101% vol\"",
            2,
            "LIQUID",
            "a strength by volume must be from 0 % to 100 %, not 101 %",
            "type the strength on the bottle, such as 40% vol",
        ),
        (
            "gutta liquid mix",
            2,
            "LIQUID",
            "no liquid was given",
            "type each with its amount in quotes: \"60g glycol\" \"40g water\"",
        ),
        (
            "gutta liquid mix \"5mL molasses\" \"5g water\"",
            2,
            "LIQUID",
            "the density of molasses is not known",
            "weigh it, and type its mass: \"… g molasses\"",
        ),
        (
            "gutta water --leaf 100g --at 11% --to 16% --temp 5°C --bring \"5mL glycol 50%\"",
            1,
            "--temp",
            "the temperature of glycol must be from 15 °C to 35 °C, not 5 °C",
            "the density of glycol is known here from 15 to 35 °C: weigh it, or bring it to the room's temperature",
        ),
        (
            "gutta dose 1mL --liquid molasses",
            2,
            "--density",
            "a dose by volume needs the density",
            "type the density of the flavouring, such as --density 0.846g/mL",
        ),
        (
            "gutta dropper 20=0.6g --liquid molasses",
            2,
            "--liquid",
            "the density of molasses is missing",
            "weigh 10 mL of it: its density is that mass over 10 mL; type it as --density in place of --liquid",
        ),
        (
            "gutta water --leaf 10g --at 11% --to 14% --bring \"1g alcohol 40% vol, 20% water\"",
            2,
            "--bring",
            "`alcohol 40% vol` says what is in it already",
            "leave the shares out, or give the liquid a name of its own: \"1g mine, 20% water\"",
        ),
        (
            "gutta liquid show \"molasses 80%\"",
            2,
            "LIQUID",
            "it is not said what 80 % of molasses is",
            "type the water in it, such as molasses 23% water, or its Brix",
        ),
        (
            "gutta liquid show \"honey 83% water\"",
            2,
            "LIQUID",
            "the water of an ingredient must be from 0 % to 50 %, not 83 %",
            "type the water in it, such as honey 17% water, or its Brix",
        ),
        (
            "gutta liquid show \"alcohol 140 proof\"",
            2,
            "LIQUID",
            "proof is counted in two ways, twice the strength and 1.75 times it",
            "type the strength by volume: alcohol 70% vol",
        ),
        (
            "gutta liquid show \"alcohl 70% vol\"",
            2,
            "LIQUID",
            "there is no bench book to find `alcohl 70% vol` in",
            "did you mean alcohol? type one of the book, or a name that says what is in it: \"alcohol 70% vol\", \"glycol 50%\", \"syrup 65 Brix\" or \"honey 17% water\"",
        ),
        (
            "gutta liquid show \"\"",
            2,
            "LIQUID",
            "the liquid has no name",
            "type one of the book, or a name that says what is in it: \"alcohol 70% vol\", \"glycol 50%\", \"syrup 65 Brix\" or \"honey 17% water\"",
        ),
        (
            "gutta dropper 20=1g --then water",
            1,
            "--then",
            "water: its drop is the one that was weighed",
            "name another liquid, such as alcohol 70% vol",
        ),
        (
            "gutta dropper 20=1g --then \"alcohol 5% vol\"",
            1,
            "--then",
            "alcohol 5 % vol: it is too near water for its drop to be worked out",
            "count 20 drops of it onto the zeroed scale: a drop has that mass over 20",
        ),
        (
            "gutta dropper --tip 3.0mm --temp 35°C",
            1,
            "--temp",
            "the temperature of the drops must be from 15 °C to 30 °C, not 35 °C",
            "the surface tension is known here from 15 to 30 °C: let dropper and liquid come to the room's temperature",
        ),
        (
            "gutta liquid dilute \"alcohol 70% vol\" --to 0% --make 100mL",
            1,
            "--to",
            "a strength of nothing is water alone",
            "take distilled water, or type a strength above 0 %",
        ),
        (
            "gutta liquid dilute \"alcohol 96% vol\" --to \"40% ± 1%\" --make 100mL",
            2,
            "--to",
            "a target is exact",
            "type the strength wanted without ±, such as 70%",
        ),
        (
            "gutta liquid show honey --temp 35°C",
            1,
            "--temp",
            "the temperature of honey must be from 15 °C to 25 °C, not 35 °C",
            "the density of honey is known here from 15 to 25 °C: weigh it, or bring it to the room's temperature",
        ),
    ] {
        let error = refused(line, code);
        let error = &error["error"];
        assert_eq!(error["message"], message, "{line}");
        assert_eq!(error["hint"], hint, "{line}");
        assert_eq!(error["flag"], flag, "{line}");
        let said = complaint(line, code);
        assert!(said.contains(flag), "{line}\n{said}");
    }
}

#[test]
fn screens_are_narrow_where_asked() {
    for line in [
        "gutta liquid show \"alcohol 70% vol\" --narrow",
        "gutta liquid show honey --narrow --working",
        "gutta liquid mix \"50g syrup 65 Brix\" \"10g glycerine\" \"5mL alcohol 40% vol\" --narrow --working",
        "gutta liquid dilute \"alcohol 96% vol\" --to 70% --make 100mL --narrow --working",
        "gutta dropper 20=0.974g 20=0.981g --then \"alcohol 70% vol\" --narrow --working",
        "gutta dropper --tip 3.0mm --liquid \"alcohol 40% vol\" --narrow --working",
    ] {
        let run = super::program::typed(line);
        assert_eq!(run.code, 0, "{line}\n{}", run.err);
        for printed in run.out.lines() {
            assert!(printed.chars().count() <= 40, "{line}\n{printed}");
        }
    }
}

/// What a second reading found: names that two things can be meant by.
#[test]
fn names_that_blenders_use() {
    // Brix is what is not water; 67 Brix of maple syrup is 33 % of water.
    let maple = json("gutta liquid show \"maple syrup 67 Brix\"");
    assert!((value(&maple, "water", "%") - 33.0).abs() < 1e-9);
    // A doubt in Brix, typed twice or once.
    for typed in [
        "syrup 65 Brix ± 1 Brix",
        "syrup 65 ± 1 Brix",
        "sugar syrup 65% ± 1%",
    ] {
        let syrup = json(&format!("gutta liquid show \"{typed}\""));
        assert!((value(&syrup, "sugar", "%") - 65.0).abs() < 1e-9, "{typed}");
        let u = syrup["answer"]["sugar"]["u"].as_f64().unwrap();
        assert!((u - 1.0 / 1.959_964).abs() < 1e-6, "{typed}: {u}");
    }
    // A spirit by its own name, and words with or without quotes about them.
    for typed in ["\"rum 40% vol\"", "alcohol 40% vol", "\"brandy 40%\""] {
        let spirit = json(&format!("gutta liquid show {typed}"));
        assert!(
            (value(&spirit, "alcohol", "%") - 33.300).abs() < 5e-4,
            "{typed}"
        );
    }
    // The water of honey goes into its density too: one source, not two.
    let honey = json("gutta liquid mix \"10mL honey\" \"10g water\"");
    let u = honey["answer"]["water"]["u"].as_f64().unwrap();
    let a = 0.1715;
    let share = |water: f64, table: f64| {
        let density = (1.4350 - 0.597 * (water - 0.15)) * 0.998_207 * table;
        let honey = 10.0 * density;
        100.0 * (honey * water + 10.0) / (honey + 10.0)
    };
    let h = 1e-6;
    let of_water = (share(a + h, 1.0) - share(a - h, 1.0)) / (2.0 * h) * 0.0285 / 3.0_f64.sqrt();
    let of_table = (share(a, 1.0 + h) - share(a, 1.0 - h)) / (2.0 * h) * 8.0 / 1420.0;
    assert!((u - of_water.hypot(of_table)).abs() < 1e-4, "{u}");
}

/// What the scale cannot weigh is said, and is not shown as nothing.
#[test]
fn a_scale_too_coarse_is_said() {
    let casing = text(
        "gutta casing \"60g honey 17% water\" \"30g water\" \"0.5g glycol\" --leaf 100g --at 12% --rate 5% --rate-of liquid --basis dry --scale 0.1g",
    );
    assert!(!casing.contains("0.0 g of glycol"), "{casing}");
    assert!(
        casing.contains("too little for this scale, which weighs 5 g within 2 %: 4.4 g of casing, 2.92 g of honey 17 % water, 1.46 g of water, 0.0243 g of glycol;"),
        "{casing}"
    );
    let diluted = text("gutta liquid dilute glycol --to 30% --make 3g --scale 0.1g");
    assert!(
        diluted.contains("which weighs 5 g within 2 %: 0.9 g of the stronger, 2.1 g of water"),
        "{diluted}"
    );
    // So loosely is the leaf known that the water to bulk is not poured at once.
    let loose = text(
        "gutta casing --solids 60% --leaf 340g --at \"12% ± 5%\" --rate 8% --rate-of liquid --basis dry --bulk 20%",
    );
    assert!(
        loose.contains("add a part of it, let it rest, and measure"),
        "{loose}"
    );
    let bulk = json(
        "gutta casing --solids 60% --leaf 340g --at \"12% ± 1%\" --rate 8% --rate-of liquid --basis dry --bulk 20%",
    );
    assert!((value(&bulk, "bulk_moisture", "%") - 20.0).abs() < 1e-9);
    assert!(bulk["answer"]["bulk_moisture"]["u"].as_f64().unwrap() > 0.3);
}

/// A word of the trade is kept, and what a bottle says is read.
#[test]
fn a_spirit_keeps_its_name() {
    let rum = text("gutta liquid show \"rum 40% vol\"");
    assert!(
        rum.starts_with("rum 40 % vol: 66.7 % water, 33.3 % alcohol by mass")
            && rum.contains("--then \"rum 40% vol\" works its drop out"),
        "{rum}"
    );
    for label in ["alcohol 70 vol%", "Alcohol 70 Vol %", "alcohol 70% vol"] {
        let answer = text(&format!("gutta liquid show \"{label}\""));
        assert!(answer.starts_with("alcohol 70 % vol: 62.39 %"), "{answer}");
    }
}

/// What is said to be typed can be typed: weak alcohol is too near water.
#[test]
fn a_drop_is_offered_where_it_can_be_worked_out() {
    for percent in [5, 12, 17, 18, 20, 40, 96] {
        let name = format!("alcohol {percent}% vol");
        let show = text(&format!("gutta liquid show \"{name}\""));
        let offered = show.contains("gutta dropper … --then");
        let line = format!("gutta dropper 20=0.974g --then \"{name}\"");
        if offered {
            text(&line);
        } else {
            refused(&line, 1);
        }
        assert!(show.contains("Surface tension"), "{show}");
    }
}

/// What no reading of a rate can do is not put off until one is named.
#[test]
fn an_open_rate_is_checked_all_the_same() {
    let line = "gutta casing --solids 60% --leaf 340g --at 12% --rate 8%";
    let error = refused(&format!("{line} --bulk 10% --to 40%"), 1);
    assert_eq!(error["error"]["flag"], "--to");
    let open = text(&format!("{line} --bulk 20% --to 14% --tray 612g"));
    assert!(
        open.contains("the scale stays at 340 g (952 g with the tray)"),
        "{open}"
    );
    let cold = text("gutta liquid mix \"50g syrup 80 Brix\" \"50g water\" --temp 5°C");
    assert!(
        cold.contains("the volume is not known (the temperature of syrup must be from 10 °C to 30 °C, not 5 °C)"),
        "{cold}"
    );
}
