//! Slips of the hand and what is said about them, word for word.

use super::program::{refused, run, typed};
use super::refusals::{Refusal, all_hold};

const MOISTURE: &str =
    "moisture is water over total weight: type a figure such as 11.2 %, or 17.6 % db on dry basis";
const MASS: &str = "type what the scale shows, such as 10.00 g";
const READING: &str = "write the count, = and what the drops weigh, such as 20 = 0.974 g";

/// A word that begins with a minus is a negative number, or a flag.
#[test]
fn a_negative_number_is_known_by_the_argument_it_stands_for() {
    all_hold(&[
        Refusal::new("gutta moisture basis -1%", 2, "out-of-range", "a moisture must be at least 0 % and below 100 %, not -1 %")
            .flag("MOISTURE").under("-1%", "-1%").hint(MOISTURE),
        Refusal::new("gutta moisture combine \"11% ± 1%\" -1%", 2, "out-of-range", "a moisture must be at least 0 % and below 100 %, not -1 %")
            .flag("MOISTURE").under("-1%", "-1%").hint(MOISTURE),
        Refusal::new("gutta dose -7drops --drop -7mg", 2, "out-of-range", "a typed drop must be from 5 mg to 120 mg, not -7 mg")
            .flag("--drop").under("-7mg", "-7mg").hint("calibrate the dropper by weighing 20 drops a few times: a drop found so is taken at any size"),
        Refusal::new("gutta dose -.5g", 2, "out-of-range", "a mass must be above 0 g, not -0.5 g")
            .flag("DOSE").under("-.5g", "-.5g").hint(MASS),
        Refusal::new("gutta dropper 20=0.6g -20=0.6g --scale 0.01g", 2, "number", "`-20` is no whole count of drops")
            .flag("DROPS=AMOUNT").under("-20=0.6g", "-20").hint(READING),
        Refusal::new("gutta dropper 20=-0.6g", 2, "out-of-range", "a mass must be above 0 g, not -0.6 g")
            .flag("DROPS=AMOUNT").under("20=-0.6g", "-0.6g").hint(MASS),
        Refusal::new("gutta moisture basis -1% --lef", 2, "unknown-flag", "no such flag")
            .flag("--lef").under("--lef", "--lef").hint("gutta moisture basis --help lists them"),
        Refusal::new("gutta dose -7drops --drp 21mg", 2, "unknown-flag", "no such flag")
            .flag("--drp").under("--drp", "--drp").hint("did you mean --drop? gutta dose --help lists them"),
        Refusal::new("gutta water -5g", 2, "stray", "`-5g` belongs to nothing here")
            .under("-5g", "-5g").hint("gutta water --help lists them"),
    ]);
}

/// What cannot exist cannot be read; what exists and is not known is declined.
#[test]
fn what_cannot_exist_ends_with_2_and_what_is_not_known_here_with_1() {
    let water = "the density of water is known here from 0 to 40 °C: leave the temperature out to take 20 °C, or bring the water to that of the room";
    let drop = "calibrate the dropper by weighing 20 drops a few times: a drop found so is taken at any size";
    let density = "weigh 10 mL of it: the density is that mass over 10 mL; spirit has about 0.8 g/mL, syrup 1.3 g/mL";
    let pressure =
        "type the pressure of the room itself, not reduced to sea level, such as 1003 hPa";
    all_hold(&[
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --drop 0mg",
            2,
            "out-of-range",
            "a typed drop must be from 5 mg to 120 mg, not 0 mg",
        )
        .flag("--drop")
        .under("0mg", "0mg")
        .hint(drop),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --drop -3mg",
            2,
            "out-of-range",
            "a typed drop must be from 5 mg to 120 mg, not -3 mg",
        )
        .flag("--drop")
        .under("-3mg", "-3mg")
        .hint(drop),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --drop 200mg",
            1,
            "refused",
            "a typed drop must be from 5 mg to 120 mg, not 200 mg",
        )
        .flag("--drop")
        .under("200mg", "200mg")
        .hint(drop),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --temp -300C",
            2,
            "out-of-range",
            "the temperature must be from 0 °C to 40 °C, not -300 °C",
        )
        .flag("--temp")
        .under("-300C", "-300C")
        .hint(water),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --temp \"-1 K\"",
            2,
            "out-of-range",
            "the temperature must be from 0 °C to 40 °C, not -1 K",
        )
        .flag("--temp")
        .under("-1 K", "-1 K")
        .hint(water),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --temp 60C",
            1,
            "refused",
            "the temperature must be from 0 °C to 40 °C, not 60 °C",
        )
        .flag("--temp")
        .under("60C", "60C")
        .hint(water),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --temp -5C",
            1,
            "refused",
            "the temperature must be from 0 °C to 40 °C, not -5 °C",
        )
        .flag("--temp")
        .under("-5C", "-5C")
        .hint(water),
        Refusal::new(
            "gutta dropper 20=0.6g --pressure 0hPa",
            2,
            "out-of-range",
            "the air pressure must be from 500 hPa to 1100 hPa, not 0 hPa",
        )
        .flag("--pressure")
        .under("0hPa", "0hPa")
        .hint(pressure),
        Refusal::new(
            "gutta dropper 20=0.6g --pressure -10hPa",
            2,
            "out-of-range",
            "the air pressure must be from 500 hPa to 1100 hPa, not -10 hPa",
        )
        .flag("--pressure")
        .under("-10hPa", "-10hPa")
        .hint(pressure),
        Refusal::new(
            "gutta dropper 20=0.6g --humidity 150%",
            2,
            "out-of-range",
            "the relative humidity must be from 0 % to 100 %, not 150 %",
        )
        .flag("--humidity")
        .under("150%", "150%")
        .hint("type the relative humidity of the room, such as 50 %"),
        Refusal::new(
            "gutta dose 2mL --density 0g/mL",
            2,
            "out-of-range",
            "a liquid's density must be from 0.6 g/mL to 1.5 g/mL, not 0 g/mL",
        )
        .flag("--density")
        .under("0g/mL", "0g/mL")
        .hint(density),
    ]);
}

#[test]
fn a_bare_or_unknown_unit_is_answered_with_what_fits() {
    let moisture = "write 11.2 %, or 11.2 % db on dry basis";
    all_hold(&[
        Refusal::new(
            "gutta dose \"5 mL/kg\"",
            2,
            "unknown-unit",
            "`mL/kg` is not a unit known here",
        )
        .flag("DOSE")
        .under("5 mL/kg", "mL/kg")
        .hint("write g/kg or mg/kg"),
        Refusal::new(
            "gutta dose \"5 water\"",
            2,
            "unknown-unit",
            "`water` is not a unit known here",
        )
        .flag("DOSE")
        .under("5 water", "water")
        .hint("write drops, g, mL or %"),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --bring \"5 water\"",
            2,
            "no-unit",
            "`5` has no unit",
        )
        .flag("--bring")
        .under("5 water", "5")
        .hint("write 5 g, 5 mL or 5 drops"),
        Refusal::new(
            "gutta water --leaf 10g --at \"11 mL/kg\" --to 14%",
            2,
            "unknown-unit",
            "`mL/kg` is not a unit known here",
        )
        .flag("--at")
        .under("11 mL/kg", "mL/kg")
        .hint("write %"),
        Refusal::new(
            "gutta water --leaf 10g --at 11.2 --to 14%",
            2,
            "no-unit",
            "`11.2` has no unit",
        )
        .flag("--at")
        .under("11.2", "11.2")
        .hint(moisture),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 11.2",
            2,
            "no-unit",
            "`11.2` has no unit",
        )
        .flag("--to")
        .under("11.2", "11.2")
        .hint(moisture),
        Refusal::new(
            "gutta moisture basis 11.2",
            2,
            "no-unit",
            "`11.2` has no unit",
        )
        .flag("MOISTURE")
        .under("11.2", "11.2")
        .hint(moisture),
        Refusal::new(
            "gutta dropper 20=0.6g --humidity 50",
            2,
            "no-unit",
            "`50` has no unit",
        )
        .flag("--humidity")
        .under("50", "50")
        .hint("write 50 %"),
    ]);
}

#[test]
fn a_slip_in_what_is_brought_is_shown_in_the_right_form() {
    let line = |bring: &str| -> &'static str {
        // A command line for each, kept for the length of the test run.
        Box::leak(
            format!(
                "gutta water --leaf 10g --at 11% --to 14% --bring \"{bring}\" --book demo-data"
            )
            .into_boxed_str(),
        )
    };
    all_hold(&[
        Refusal::new(line("5g plum casng"), 2, "unknown-name", "say what is in it: `plum casng`")
            .flag("--bring").under("5g plum casng", "5g plum casng").hint("did you mean `plum casing`? if not, type its shares by mass, such as \"5g plum casng, 35% water\"; the rest is solids"),
        Refusal::new(line("5g watr"), 2, "unknown-name", "say what is in it: `watr`")
            .flag("--bring").under("5g watr", "5g watr").hint("did you mean `water`? if not, type its shares by mass, such as \"5g watr, 35% water\"; the rest is solids"),
        Refusal::new(line("5g cordial,"), 2, "unknown-name", "say what is in it: `cordial`")
            .flag("--bring").under("5g cordial,", "5g cordial,").hint("type its shares by mass, such as \"5g cordial, 35% water\"; the rest is solids"),
        Refusal::new(line("5g rum,"), 2, "missing", "the strength of rum is missing")
            .flag("--bring").under("5g rum,", "rum").hint("type it as on the bottle: rum 70% vol"),
        Refusal::new(line("5g rum,, 35% water"), 2, "empty", "nothing stands between two commas")
            .flag("--bring").under("5g rum,, 35% water", ",,").hint("parts have one comma and a blank between them: \"5g rum, 35% water\""),
        Refusal::new(line("5g rum, 35% water, , 5% sugar"), 2, "empty", "nothing stands between two commas")
            .flag("--bring").under("5g rum, 35% water, , 5% sugar", ", ,").hint("parts have one comma and a blank between them: \"5g rum, 35% water, 5% sugar\""),
        Refusal::new(line(", 5g water"), 2, "empty", "nothing stands before the comma")
            .flag("--bring").under(", 5g water", ",").hint("parts have one comma and a blank between them: \"5g water\""),
        Refusal::new(line(""), 2, "empty", "nothing stands here")
            .flag("--bring").under("", "").hint("write 10 g, 10 mL or 10 drops"),
        Refusal::new(line("5g rum, 30%"), 2, "missing", "the share 30% has no name")
            .flag("--bring").under("5g rum, 30%", "30%").hint("type what it is a share of, such as \"5g rum, 30% water\"; the parts are water, alcohol, glycol, glycerine, sugar, solids"),
        Refusal::new(line("5g rum, 30%, 20% sugar"), 2, "missing", "the share 30% has no name")
            .flag("--bring").under("5g rum, 30%, 20% sugar", "30%").hint("type what it is a share of, such as \"5g rum, 30% water, 20% sugar\"; the parts are water, alcohol, glycol, glycerine, sugar, solids"),
        Refusal::new(line("5g rum,35% water"), 2, "stray", "no blank stands behind the comma")
            .flag("--bring").under("5g rum,35% water", ",").hint("parts have one comma and a blank between them: \"5g rum, 35% water\""),
    ]);
    // Without a book too, water is known.
    let error = refused(
        "gutta water --leaf 10g --at 11% --to 14% --bring \"5g watr\"",
        2,
    );
    let hint = error["error"]["hint"].as_str().expect("a hint");
    assert!(hint.starts_with("did you mean `water`?"), "{hint}");
    // A decimal comma is none between parts, and a name may have its own.
    for bring in ["9,6g rum, 30,5% water", "5g rum,dark, 35% water"] {
        let answered = typed(line(bring));
        assert_eq!(answered.code, 0, "{bring}\n{}", answered.err);
    }
}

#[test]
fn what_was_left_out_or_typed_twice_is_told_apart() {
    let at = "weigh an oven dish of it before and after drying, re-weigh a jar whose moisture you knew, or type a wide range such as --at \"11% ± 4%\": the answer then says how far it can be trusted";
    let quoted = |text: &str| -> &'static str {
        Box::leak(format!("a value with blanks goes in quotes: \"{text}\"").into_boxed_str())
    };
    all_hold(&[
        Refusal::new("gutta moisture before --leaf 300g --added 14g", 2, "missing", "the moisture of the leaf is missing")
            .flag("--at").hint(at),
        Refusal::new("gutta moisture after --leaf 300g --added 14g", 2, "missing", "the moisture of the leaf is missing")
            .flag("--at").hint(at),
        Refusal::new("gutta dose 7drops --for --for-at 5%", 2, "missing", "no value: --for-at follows it")
            .flag("--for").hint("type --for and then its value"),
        Refusal::new("gutta dose --for --for-at 5%", 2, "missing", "no value: --for-at follows it")
            .flag("--for").hint("type --for and then its value"),
        Refusal::new("gutta dose 7drops --at 5% --for --for-at 5%", 2, "missing", "no value: --for-at follows it")
            .flag("--for").hint("type --for and then its value"),
        Refusal::new("gutta dose 7drops --at 5% --for --fr-at 5%", 2, "missing", "no value: --fr-at follows it")
            .flag("--for").hint("type --for and then its value"),
        Refusal::new("gutta water --lot --to 14%", 2, "missing", "no value: --to follows it")
            .flag("--lot").hint("type --lot and then its value"),
        Refusal::new("gutta moisture basis 11% 12%", 2, "stray", "`12%` is one value too many")
            .flag("MOISTURE").under("12%", "12%").hint("keep one of 11% and 12%; several estimates of one moisture go to gutta moisture combine"),
        Refusal::new("gutta dose 7drops --drop 21.4mg 8drops", 2, "stray", "`8drops` is one value too many")
            .flag("DOSE").under("8drops", "8drops").hint("keep one of 7drops and 8drops; gutta dose --help shows what else can be said"),
        Refusal::new("gutta water --leaf 10g 11g", 2, "stray", "`11g` is one value too many")
            .flag("--leaf").under("11g", "11g").hint("keep one of 10g and 11g; gutta water --help shows what else can be said"),
        Refusal::new("gutta moisture basis 17.6% db", 2, "stray", "`db` belongs to nothing here")
            .under("db", "db").hint(quoted("17.6% db")),
        Refusal::new("gutta water --leaf 1 lb 6 oz --at 11% --to 14%", 2, "stray", "`lb` belongs to nothing here")
            .under("lb", "lb").hint(quoted("1 lb 6 oz")),
        Refusal::new("gutta water --leaf 10g --at 11.2% ± 0.5% --to 14%", 2, "stray", "`±` belongs to nothing here")
            .under("±", "±").hint(quoted("11.2% ± 0.5%")),
        Refusal::new("gutta dropper 20=0.612g, 20=0.606g", 2, "stray", "`,` stands behind the reading")
            .flag("DROPS=AMOUNT").under("20=0.612g,", ",").hint("write 20=0.612g without it"),
        Refusal::new("gutta dropper 20=0.612g,20=0.606g", 2, "stray", "2 readings stand in the place of one")
            .flag("DROPS=AMOUNT").under("20=0.612g,20=0.606g", "20=0.612g,20=0.606g").hint("write each by itself: 20=0.612g 20=0.606g"),
    ]);
}

#[test]
fn a_book_without_a_name_is_laid_to_its_flag() {
    let error = refused("gutta --book '' water --leaf 10g --at 11% --to 14%", 2);
    let error = &error["error"];
    assert_eq!(error["flag"], "--book");
    assert_eq!(error["message"], "no folder is named");
    assert_eq!(
        error["hint"],
        "type --book and then the folder that holds book.toml, or leave it out"
    );
}

#[test]
fn a_machine_that_asks_nothing_is_told_so() {
    let error = refused("gutta", 2);
    assert_eq!(error["command"], "gutta");
    assert_eq!(error["error"]["kind"], "missing");
    assert_eq!(
        error["error"]["hint"],
        "type gutta and then water, dropper, dose, dilute, series, liquid, casing, formula, sheet, spoons, repair, batch, jar, lot, journal, moisture, book, schema or help; gutta --help says what each is"
    );
    // A person is greeted.
    assert_eq!(run(&[]).code, 0);
}

#[test]
fn help_is_a_word_too() {
    for command in ["", "water", "moisture", "moisture before", "schema", "help"] {
        let asked = typed(&format!("gutta help {command}"));
        assert_eq!(asked.code, 0, "{command}\n{}", asked.err);
        assert_eq!(asked.err, "", "{command}");
        assert_eq!(asked.out, typed(&format!("gutta {command} --help")).out);
    }
    all_hold(&[
        Refusal::new("gutta help watr", 2, "unknown-command", "no command `watr`")
            .under("watr", "watr")
            .hint("did you mean water? gutta --help lists them"),
        Refusal::new(
            "gutta help moisture bases",
            2,
            "unknown-command",
            "no command `bases`",
        )
        .under("bases", "bases")
        .hint("did you mean basis? gutta moisture --help lists them"),
    ]);
}

/// What was typed is said in the units and parts that it was typed in.
#[test]
fn units_come_back_as_they_were_typed() {
    let tonnes = typed("gutta water --leaf \"10 tonnes\" --at 11% --to 14%").out;
    assert!(
        tonnes.starts_with("Add 0.3488 tonnes of water")
            && tonnes.contains("10.35 tonnes")
            && tonnes.contains("leaf 10 tonnes")
            && !tonnes.contains("Mg"),
        "{tonnes}"
    );
    for to in ["14%", "10%"] {
        let line = format!("gutta water --leaf \"1 lb 6 oz ± 1 oz\" --at \"11% ± 1%\" --to {to}");
        let said = typed(&line).out.replace("\n  ", " ");
        assert!(said.contains("1 lb 6 oz of leaf at 11 % to"), "{said}");
    }
    let after = typed(
        "gutta moisture after --leaf \"1 lb 6 oz ± 1 oz\" --at \"17.6% db ± 1%\" --added \"1 oz ± 1%\"",
    );
    let said = after.out.replace("\n  ", " ");
    assert!(
        said.contains("1 lb 6 oz") && said.contains("17.6 % db") && !said.contains("1.38 lb"),
        "{said}"
    );
}

/// The two commands beneath `gutta --narrow` can still be pasted.
#[test]
fn a_command_broken_on_the_narrow_page_is_continued() {
    let narrow = run(&["--narrow"]).out.replace("\\\n", " ");
    let tried: Vec<&str> = narrow
        .lines()
        .map(str::trim)
        .filter(|line| line.starts_with("gutta "))
        .collect();
    assert_eq!(tried.len(), 3, "{narrow}");
    for line in tried {
        assert_eq!(typed(line).code, 0, "{line}");
    }
}
