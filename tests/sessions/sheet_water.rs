//! The water of a sheet is that of the mixed leaf.

use gutta_tests::assert_close;

use super::program::{json, text, value};

/// What rounding leaves of figures of a hundred or so.
const ROUNDING: f64 = 1e-9;

/// The same leaf, mixed by `moisture mix`, with the same things brought to `water`:
/// the two know nothing of each other but the pile. All is exact, so that only
/// rounding is between them.
#[test]
fn the_water_of_a_sheet_is_that_of_the_mixed_leaf() {
    let lots = [
        ("a", 46.0, 9.1),
        ("b", 22.0, 11.0),
        ("c", 18.0, 19.5),
        ("d", 14.0, 13.6),
    ];
    let lines = lots.map(|(name, share, _)| format!("\"{share} % {name}\""));
    let flags = lots.map(|(name, _, at)| format!("--lot \"{name} = {at}%\""));
    let (lines, flags) = (lines.join(" "), flags.join(" "));
    let mix = lots.map(|(_, share, at)| format!("\"{}g {at}%\"", share * 5.0));
    let mix = mix.join(" ");
    let sheet = |size: &str, on: &str| {
        json(&format!(
            "gutta sheet {lines} {flags} --batch {size} {on} --book demo-data"
        ))
    };
    for (on, bring) in [
        ("", ""),
        (
            "--casing \"8 % liquid on as-weighed: plum casing\"",
            "--bring \"40g plum casing\"",
        ),
        (
            "--casing \"8 % liquid on as-weighed: plum casing\" --flavour \"2 g/kg on as-weighed: fig tincture\"",
            "--bring \"40g plum casing\" --bring \"1g fig tincture\"",
        ),
        (
            "--flavour \"20 g/kg on as-weighed: fig tincture\"",
            "--bring \"10g fig tincture\"",
        ),
    ] {
        let moisture = value(&json(&format!("gutta moisture mix {mix}")), "moisture", "%");
        let sheet = sheet("500g", &format!("--to 17% {on}"));
        assert_close("mixed", value(&sheet, "moisture", "%"), moisture, ROUNDING);
        let water = json(&format!(
            "gutta water --leaf 500g --at {moisture}% --to 17% {bring} --book demo-data"
        ));
        for key in ["water", "final_mass"] {
            let (got, expected) = (value(&sheet, key, "g"), value(&water, key, "g"));
            assert_close(key, got / expected, 1.0, ROUNDING);
        }
        assert_eq!(sheet["answer"]["plan"], water["answer"]["plan"], "{on}");
        // And what is to be aired off, below the leaf.
        let dry = json(&format!(
            "gutta sheet {lines} {flags} --batch 500g --to 10% {on} --book demo-data"
        ));
        let expected = json(&format!(
            "gutta water --leaf 500g --at {moisture}% --to 10% {bring} --book demo-data"
        ));
        assert_eq!(dry["answer"]["plan"], "dry", "{on}");
        for key in ["water_to_lose", "final_mass"] {
            let (got, expected) = (value(&dry, key, "g"), value(&expected, key, "g"));
            assert_close(key, got / expected, 1.0, ROUNDING);
        }
    }
}

/// The first addition is not to be passed: it is cut off to the scale's step, as
/// `water` cuts it off, and the rest is what is left of the whole. 16 g in all, by
/// hand: 340 g · 4 %/85 %.
#[test]
fn the_first_addition_is_that_of_the_mixed_leaf() {
    let leaf = "--at \"11% ± 2.5%\" --to 15%";
    for (scale, first, rest, reads) in [
        ("--scale 1g", "11 g", "5 g", "351 g"),
        ("--scale 0.1g", "11.7 g", "4.3 g", "351.7 g"),
        ("", "11.7 g", "4.3 g", "351.7 g"),
    ] {
        let told = text(&format!(
            "gutta sheet \"1 part oriental\" {leaf} --batch 340g {scale} --narrow"
        ));
        for what in [
            format!("{first} distilled water; first; the scale reads {reads}"),
            format!("{rest} distilled water; the rest, if it asks for it; the scale reads 356"),
        ] {
            assert!(told.contains(&what), "{what}\n{told}");
        }
        let water = text(&format!("gutta water --leaf 340g {leaf} {scale}"));
        assert!(
            water.starts_with(&format!("Add 16 g of water, {first} of it first")),
            "{water}"
        );
    }
}

/// What is not known of the doubt is asked for; a scale that is given is not.
#[test]
fn the_doubt_asks_for_what_is_missing() {
    let said = text("gutta sheet \"1 part a\" --batch 24g");
    assert!(
        said.contains("Doubt not known: give the lots' moistures with their ±, and the scale"),
        "{said}"
    );
    let said = text("gutta sheet \"1 part a\" --batch 24g --scale 0.1g");
    assert!(
        said.contains("Doubt not known: give the lots' moistures with their ± Caution"),
        "{said}"
    );
}

/// Drops of water are counted where `water` counts them: the same drop, the same
/// whole number.
#[test]
fn the_drops_of_a_sheet_are_those_of_the_mixed_leaf() {
    let sheet = json(
        "gutta sheet \"50 % a\" \"50 % b\" --at 12% --batch 30g --to 14% --dropper glass --book demo-data",
    );
    let water = json("gutta water --leaf 30g --at 12% --to 14% --dropper glass --book demo-data");
    assert_close(
        "water",
        value(&sheet, "water", "g") / value(&water, "water", "g"),
        1.0,
        ROUNDING,
    );
    assert_eq!(
        value(&sheet, "water_drops", "drop"),
        value(&water, "drops", "drop")
    );
    assert_eq!(
        value(&sheet, "first_drops", "drop"),
        value(&water, "first_drops", "drop")
    );
}

#[test]
fn below_the_lots_the_leaf_is_aired() {
    let line = "gutta sheet evening --batch 240g --to 10% --scale bench --book demo-data";
    let sheet = json(line);
    assert_eq!(sheet["answer"]["plan"], "dry");
    let lost = value(&sheet, "water_to_lose", "g");
    assert!(sheet["answer"]["water"].is_null());
    let said = text(&format!("{line} --narrow"));
    assert!(
        said.contains(&format!("{lost:.2} g of water to air off."))
            && said.contains("air it, tossing now and then, until the scale reads this"),
        "{said}"
    );
    // At what it is already there is nothing to do.
    let there = json("gutta sheet \"1 part a\" --at 12% --batch 24g --to 12%");
    assert_eq!(there["answer"]["plan"], "nothing");
    // Nothing is asked of the moisture.
    let none = json("gutta sheet \"1 part a\" --batch 24g");
    assert_eq!(none["answer"]["plan"], "none");
}
