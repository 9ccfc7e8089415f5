//! What is declined of less than a drop and of series of doses, or cannot be
//! read: word for word, and each hint typed.

use super::program::{complaint, json, refused, value};
use super::small_doses::{cautions, to_type};

/// What is declined or cannot be read, word for word.
#[test]
fn what_is_wrong_is_said() {
    for (line, code, flag, message, hint) in [
        (
            "gutta dilute 20g/kg --leaf 10g --dilution-drop 29mg --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 4 drops of the dilution weigh: there is nothing to dilute",
            "count drops of the flavouring itself, or take 14 drops of the dilution or more",
        ),
        // Twice the drops that the dose weighs are half carrier: 0.2 g are 6.9 drops
        // of 29 mg, twice that 13.8. 0.2 g are 8.16 drops of 24.5 mg; 0.01 g are 1 drop of 10 mg, and less
        // than half of one of 24.5 mg.
        (
            "gutta dilute 20g/kg --leaf 10g --drop 24.5mg --dilution-drop 29mg --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 4 drops of the dilution weigh: there is nothing to dilute",
            "count 8 drops of the flavouring itself, or take 14 drops of the dilution or more",
        ),
        (
            "gutta dilute 1g/kg --leaf 10g --drop 10mg --dilution-drop 9mg --drops 1 --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 1 drop of the dilution weighs: there is nothing to dilute",
            "count 1 drop of the flavouring itself, or take 3 drops of the dilution or more",
        ),
        (
            "gutta dilute 1g/kg --leaf 10g --drop 24.5mg --dilution-drop 9mg --drops 1 --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 1 drop of the dilution weighs: there is nothing to dilute",
            "take 3 drops of the dilution or more",
        ),
        // 200 g are 6897 drops of 29 mg, and 2 kg of a tenth.
        (
            "gutta dilute 20g/kg --leaf 10kg --dilution-drop 29mg --scale 0.01g",
            1,
            "DOSE",
            "the dose is more than 4 drops of the dilution weigh: there is nothing to dilute",
            "weigh 200.0 g of the flavouring itself: so much is not counted",
        ),
        (
            "gutta dilute 20g/kg --leaf 10kg --dilution-drop 29mg --strength 10%",
            1,
            "DOSE",
            "the dose is more than 1000 drops of this dilution: nobody counts so many",
            "weigh 2000.0 g of it, or take a stronger one",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --weigh \"0.8g ± 0.02g\"",
            2,
            "--weigh",
            "what is to be weighed is a plain figure",
            "type it alone, such as --weigh 0.8g: the scale's step says how well it is weighed",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --weigh 0.004g --scale 0.01g",
            1,
            "--weigh",
            "so little flavouring is below the scale's division",
            "weigh 3 times as much flavouring, or use a finer scale",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --scale 0.01g",
            2,
            "--dilution-drop",
            "the mass of a drop of the dilution is missing",
            "a weak dilution drops like its carrier: count 20 drops of the carrier onto the zeroed scale, and type their mass over 20 as --dilution-drop 29mg",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg",
            2,
            "--scale",
            "neither the scale nor the flavouring to weigh is said",
            "type the scale's step, such as --scale 0.01g, or what to weigh, such as --weigh 0.8g",
        ),
        (
            "gutta dilute 0.9g/kg --dilution-drop 29mg --scale 0.01g",
            2,
            "--leaf",
            "the leaf as weighed is missing",
            "type what the trial weighs, such as --leaf 10.0g",
        ),
        (
            "gutta dilute --leaf 10g",
            2,
            "DOSE",
            "the dose is missing",
            "type what is wanted for each kilogram of leaf, such as \"0.9 g/kg\"",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --basis dry --dilution-drop 29mg --scale 0.01g",
            2,
            "--at",
            "a dose on dry leaf needs the moisture",
            "type the moisture of the leaf, such as --at 12%",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --strength 100%",
            2,
            "--strength",
            "the strength of a dilution must be above 0 % and below 100 %, not 100 %",
            "type the flavouring in it by mass, such as 10%",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --drops 2.5 --scale 0.01g",
            2,
            "--drops",
            "the drops are a whole count from 1 to 1000",
            "type a count such as --drops 4",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 290mg --scale 0.01g",
            1,
            "--dilution-drop",
            "a typed drop must be from 5 mg to 120 mg, not 290 mg",
            "calibrate the dropper by weighing 20 drops a few times: a drop found so is taken at any size",
        ),
        (
            "gutta dilute 0.9 --leaf 10g",
            2,
            "DOSE",
            "`0.9` has no unit",
            "type it as flavouring for each kilogram of leaf, such as 0.9g/kg",
        ),
        (
            "gutta dilute \"0.9g/kg ± 0.1g/kg\" --leaf 10g --dilution-drop 29mg --scale 0.01g",
            2,
            "DOSE",
            "a dose that is wanted is exact",
            "type it alone, such as \"0.9 g/kg\"; what is in doubt is the drop: --dilution-drop \"29mg ± 1mg\"",
        ),
        (
            "gutta series 0g/kg \"4-6g/kg\" --leaf 10g --drop 24.5mg",
            2,
            "DOSE",
            "a dose that is wanted is exact",
            "type it alone, such as \"5 g/kg\"; what is in doubt is the drop: --drop \"24.5mg ± 1mg\"",
        ),
        (
            "gutta series \"0.1 g/kg, 0.2g/kg\" --leaf 10g --drop 24.5mg",
            2,
            "DOSE",
            "several doses stand in one text",
            "type each as a word of its own, those with blanks in quotes: \"0.1 g/kg\" \"0.2g/kg\"",
        ),
        (
            "gutta series 0.1g/kg,0.2g/kg --leaf 10g --drop 24.5mg",
            2,
            "DOSE",
            "several doses stand in one text",
            "type each as a word of its own, those with blanks in quotes: \"0.1g/kg\" \"0.2g/kg\"",
        ),
        (
            "gutta dilute \"1g/kg 5 g/kg ± 1g/kg\" --leaf 10g --dilution-drop 29mg --scale 0.01g",
            2,
            "DOSE",
            "several doses stand in one text",
            "type one of them; for several on portions of one base: gutta series \"1g/kg\" \"5 g/kg ± 1g/kg\"",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-dropper amber --scale 0.01g",
            2,
            "--dilution-dropper",
            "there is no bench book to find `amber` in",
            "name its folder with --book DIR, or type the drop: --dilution-drop 29mg",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 20/mL --scale 0.01g",
            2,
            "--carrier",
            "--dilution-drop in drops per volume needs the carrier, for its density",
            "name it, such as --carrier \"alcohol 40% vol\", or type the drop's mass: --dilution-drop 29mg",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 20/mL --carrier molasses --scale 0.01g",
            2,
            "--carrier",
            "the density of molasses is not known, and --dilution-drop in drops per volume needs it",
            "type the drop's mass: --dilution-drop 29mg",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-dropper glass --book demo-data --scale 0.01g",
            1,
            "--dilution-dropper",
            "dropper glass is calibrated with water, and no carrier is named",
            "where water is the carrier, say --carrier water; a weak dilution drops like its carrier: count 20 drops of the carrier onto the zeroed scale, and type their mass over 20 as --dilution-drop 29mg",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-dropper amber --carrier water --book demo-data --scale 0.01g",
            1,
            "--dilution-dropper",
            "dropper amber is calibrated with fig tincture, not with water",
            "a weak dilution drops like its carrier: count 20 drops of the carrier onto the zeroed scale, and type their mass over 20 as --dilution-drop 29mg",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --strength 10% --tolerance 5%",
            2,
            "--tolerance",
            "--strength and --tolerance do not go together",
            "a dilution that is there is counted, not weighed: leave --tolerance out",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --weigh 1g --tolerance 5%",
            2,
            "--scale",
            "--tolerance is about the scale, and none is said",
            "type its step, such as --scale 0.01g, or leave --tolerance out",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --strength \"10% vol\"",
            2,
            "--strength",
            "the strength of a dilution is by mass",
            "type the flavouring over all of it, both in grams, alone: --strength 10%",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --strength \"10% db\"",
            2,
            "--strength",
            "the strength of a dilution is by mass",
            "type the flavouring over all of it, both in grams, alone: --strength 10%",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --drops -4 --scale 0.01g",
            2,
            "--drops",
            "the drops are a whole count from 1 to 1000",
            "type a count such as --drops 4",
        ),
        (
            "gutta dilute 0.9g/kg --leaf 10g --dilution-drop 29mg --carrier alcohol 40% vol --scale 0.01g",
            2,
            "--carrier",
            "`40%` belongs to nothing here",
            "quote it: --carrier \"alcohol 40% vol\"",
        ),
        // The dose behind it: `40%` was taken for that.
        (
            "gutta dilute --carrier alcohol 40% vol 0.9g/kg",
            2,
            "--carrier",
            "`vol` belongs to nothing here",
            "quote it: --carrier \"alcohol 40% vol\"",
        ),
        (
            "gutta series 0g/kg 5g/kg --liquid fig tincture --leaf 10g --drop 20mg",
            2,
            "DOSE",
            "`tincture` does not begin with a number",
            "type a dose such as 0.9g/kg; a name with blanks goes in quotes: \"fig tincture\"",
        ),
        // 5 g at 0.1 g within 2 %; 0.01 mg in 4 drops of 29 mg are 1 part in 11600.
        (
            "gutta dilute 1mg/kg --leaf 10g --dilution-drop 29mg --scale 0.1g",
            1,
            "DOSE",
            "so weak a dilution takes 57.99 kg of carrier for 5 g of flavouring, the least that the scale weighs well",
            "dilute twice: first 5 g of flavouring with 495 g of carrier, 1 in 100; then ask for 0.1 g/kg with that as the flavouring; or use a finer scale",
        ),
        // 0.03 mg in 2 drops are 1 part in 1933, 966 g for 0.5 g; in 3, 1449 g.
        (
            "gutta dilute 3mg/kg --leaf 10g --dilution-drop 29mg --drops 8 --scale 0.01g",
            1,
            "DOSE",
            "so weak a dilution takes 3.866 kg of carrier for 0.5 g of flavouring, the least that the scale weighs well",
            "dilute twice: first 0.5 g of flavouring with 49.5 g of carrier, 1 in 100; then ask for 0.3 g/kg with that as the flavouring; or take 2 drops of the dilution or fewer; or use a finer scale",
        ),
        // 115.9 of 116 mg: 0.5 g of carrier want 580 g of flavouring; at 1 g, 50 g
        // and 58 kg.
        (
            "gutta dilute 11.59g/kg --leaf 10g --dilution-drop 29mg --scale 1g",
            1,
            "DOSE",
            "it takes 57.95 kg of flavouring for so little carrier to be weighed well",
            "count drops of the flavouring itself, or take 8 drops of the dilution or more",
        ),
        (
            "gutta series 0g/kg 5g/kg --leaf 10g --drop 24.5mg --scale 10g",
            1,
            "--leaf",
            "a portion of 5 g is below the scale's division",
            "use a finer scale, or take 1000 g of base, so that each portion is weighed within 2 %",
        ),
        (
            "gutta series 5mL 10g/kg --leaf 10g --drop 20mg",
            2,
            "DOSE",
            "`5mL` is a volume, and a share is asked for",
            "type it as flavouring for each kilogram of leaf, such as 0.9g/kg",
        ),
        (
            "gutta series 5g/kg --leaf 10g --drop 20mg",
            2,
            "DOSE",
            "a series has two doses or more",
            "type each dose, the blank too: 0g/kg 5g/kg 10g/kg",
        ),
        (
            "gutta series 5g/kg 10g/kg --leaf 10g",
            2,
            "--drop",
            "the mass of a drop is missing",
            "weigh it in two minutes: count 20 drops onto the zeroed scale, and type its mass over 20 as --drop 21.4mg, or run gutta dropper 20=0.428g with more weighings",
        ),
        (
            "gutta series 5g/kg -1g/kg --leaf 10g --drop 20mg",
            2,
            "DOSE",
            "a dose must be above 0 g/kg and at most 1000 g/kg, not -1 g/kg",
            "a dose is flavouring per leaf: type a figure such as 15 g/kg",
        ),
        (
            "gutta dose 3drops --book demo-data --dropper glass --liquid \"alcohol 40% vol\" --leaf 10g",
            1,
            "--dropper",
            "dropper glass is calibrated with water, not with alcohol 40 % vol",
            "a drop of another liquid has another mass: weigh 20 drops of the flavouring, and type their mass over 20 as --drop 21.4mg; gutta dropper --then works out that of thin liquids; for water itself say --liquid water",
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

/// Each hint, typed, is answered, and does what it is for.
#[test]
fn hints_can_be_followed() {
    let line = "gutta dilute 20g/kg --leaf 10g --dilution-drop 29mg --scale 0.01g --drops 14";
    let made = json(line);
    assert_eq!(cautions(&made).len(), 2, "{made}");
    // 200 mg in 14 drops of 29 mg.
    assert!((value(&made, "strength", "%") - 100.0 * 200.0 / 406.0).abs() < 1e-9);
    let second = json("gutta dilute 0.1g/kg --leaf 10g --dilution-drop 29mg --scale 0.1g");
    // 5 g at 1 mg in 116 mg: 575 g of carrier.
    assert!((value(&second, "carrier_to_weigh", "g") - 575.0).abs() < 1e-9);
    let fewer = json("gutta dilute 3mg/kg --leaf 10g --dilution-drop 29mg --drops 2 --scale 0.01g");
    assert!(value(&fewer, "carrier_to_weigh", "g") < 1000.0);
    let more = json("gutta dilute 11.59g/kg --leaf 10g --dilution-drop 29mg --drops 8 --scale 1g");
    assert!(value(&more, "neat_to_weigh", "g") < 1000.0);
    let weak = json("gutta dilute 10mg/kg --leaf 10g --at 12% --dilution-drop 29mg --scale 0.01g");
    let then = json(&to_type(&weak));
    let (once, twice) = (
        value(&weak, "flavour_needed", "g"),
        value(&then, "flavour_needed", "g"),
    );
    assert!((twice / once / 50.0 - 1.0).abs() < 1e-9, "{once} {twice}");
    let base = json("gutta series 0g/kg 5g/kg --leaf 1000g --drop 24.5mg --scale 10g");
    assert_eq!(cautions(&base).len(), 2, "{base}");
    json(
        "gutta dilute 0.9g/kg --leaf 10g --dilution-dropper glass --carrier water --book demo-data --scale 0.01g",
    );
    json("gutta series \"0.1 g/kg\" \"0.2g/kg\" --leaf 10g --drop 24.5mg");
}
