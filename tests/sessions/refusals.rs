//! Every refusal with its exact message and hint, in text and in JSON.

use serde_json::{Value as Json, json};

use super::program::{ANSWERING, refused, typed};

/// A command line that is not answered, and what is said about it.
pub struct Refusal {
    line: &'static str,
    code: i32,
    kind: &'static str,
    message: &'static str,
    hint: &'static str,
    flag: Option<&'static str>,
    /// The text shown, and the part of it that the carets stand under.
    text: Option<(&'static str, &'static str)>,
}

impl Refusal {
    pub const fn new(
        line: &'static str,
        code: i32,
        kind: &'static str,
        message: &'static str,
    ) -> Self {
        Self {
            line,
            code,
            kind,
            message,
            hint: "",
            flag: None,
            text: None,
        }
    }

    pub const fn hint(mut self, hint: &'static str) -> Self {
        self.hint = hint;
        self
    }

    pub const fn flag(mut self, flag: &'static str) -> Self {
        self.flag = Some(flag);
        self
    }

    pub const fn under(mut self, text: &'static str, part: &'static str) -> Self {
        self.text = Some((text, part));
        self
    }

    fn command(&self) -> String {
        let words: Vec<&str> = self.line.split(' ').collect();
        let words = match words.as_slice() {
            ["gutta", "--book", _, rest @ ..] | ["gutta", rest @ ..] => rest,
            other => other,
        };
        let two = words.iter().take(2).copied().collect::<Vec<_>>().join(" ");
        if ANSWERING.contains(&two.as_str()) {
            return two;
        }
        let one = words.first().copied().unwrap_or_default();
        let mut verbs = ANSWERING.iter().filter_map(|name| name.split(' ').next());
        if verbs.any(|verb| verb == one) || matches!(one, "bulk" | "schema" | "help") {
            return one.to_owned();
        }
        "gutta".to_owned()
    }

    fn json(&self) -> Json {
        let mut error = json!({"kind": self.kind, "message": self.message, "hint": self.hint});
        if let Some(flag) = self.flag {
            error["flag"] = json!(flag);
        }
        if let Some((text, part)) = self.text {
            error["text"] = json!(text);
            error["at"] = json!(text.find(part).expect("the part stands in the text"));
        }
        json!({"format": 1, "command": self.command(), "error": error})
    }

    /// The text, each paragraph on one line.
    fn lines(&self) -> Vec<String> {
        let command = self.command();
        let mut head = match command.as_str() {
            "gutta" => "gutta".to_owned(),
            command => format!("gutta {command}"),
        };
        match (self.flag, self.text) {
            // A reading is known by what was typed, not by the form of all.
            (Some("DROPS=AMOUNT"), Some((text, _))) => head += &format!(": the reading `{text}`"),
            (Some("DROPS=AMOUNT"), None) => head += ": the readings",
            (Some(flag), _) => head += &format!(": {flag}"),
            (None, _) => {}
        }
        let mut lines = vec![format!("{head}: {}", self.message)];
        if let Some((text, part)) = self.text {
            let before = text[..text.find(part).expect("the part stands in the text")]
                .chars()
                .count();
            lines.push(format!("  {text}"));
            lines.push(format!(
                "  {}{}",
                " ".repeat(before),
                "^".repeat(part.chars().count().max(1))
            ));
        }
        if !self.hint.is_empty() {
            lines.push(format!("hint: {}", self.hint));
        }
        lines
    }

    fn holds(&self) {
        assert_eq!(refused(self.line, self.code), self.json(), "{}", self.line);
        let run = typed(self.line);
        assert_eq!(run.code, self.code, "{}", self.line);
        assert_eq!(run.out, "", "{}", self.line);
        for printed in run.err.lines() {
            assert!(
                printed.chars().count() <= 80 || printed.starts_with("  "),
                "{printed}"
            );
        }
        // Broken lines are indented by two; so is the text with its carets.
        let mut lines: Vec<String> = Vec::new();
        let shown = self.text.map(|(text, _)| format!("  {text}"));
        for printed in run.err.lines() {
            let is_text =
                shown.as_deref() == Some(printed) || printed.trim().chars().all(|c| c == '^');
            match (printed.strip_prefix("  "), lines.last_mut()) {
                (Some(rest), Some(last)) if !is_text => *last += &format!(" {rest}"),
                _ => lines.push(printed.to_owned()),
            }
        }
        assert_eq!(lines, self.lines(), "{}", self.line);
    }
}

pub fn all_hold(refusals: &[Refusal]) {
    for refusal in refusals {
        refusal.holds();
    }
}

#[test]
fn what_cannot_or_should_not_be_done_ends_with_1() {
    let target = "type a target within that, such as 14.5 %";
    let drop = "calibrate the dropper by weighing 20 drops a few times: a drop found so is taken at any size";
    let density = "weigh 10 mL of it: the density is that mass over 10 mL; spirit has about 0.8 g/mL, syrup 1.3 g/mL";
    let water = "the density of water is known here from 0 to 40 °C: leave the temperature out to take 20 °C, or bring the water to that of the room";
    all_hold(&[
        Refusal::new("gutta water --leaf 10g --at 11% --to 100%", 1, "refused", "the target moisture must be above 0 % and below 100 %, not 100 %")
            .flag("--to").under("100%", "100%").hint(target),
        Refusal::new("gutta water --leaf 10g --at 11% --to 0%", 1, "refused", "the target moisture must be above 0 % and below 100 %, not 0 %")
            .flag("--to").under("0%", "0%").hint(target),
        Refusal::new("gutta water --leaf 10g --at 11% --to 250%", 1, "refused", "the target moisture must be above 0 % and below 100 %, not 250 %")
            .flag("--to").under("250%", "250%").hint(target),
        Refusal::new("gutta water --leaf 10g --at 11% --to 14% --drop 200mg", 1, "refused", "a typed drop must be from 5 mg to 120 mg, not 200 mg")
            .flag("--drop").under("200mg", "200mg").hint(drop),
        Refusal::new("gutta water --leaf 10g --at 11% --to 14% --drop 4.9mg", 1, "refused", "a typed drop must be from 5 mg to 120 mg, not 4.9 mg")
            .flag("--drop").under("4.9mg", "4.9mg").hint(drop),
        Refusal::new("gutta dose 7drops --drop 0.2g", 1, "refused", "a typed drop must be from 5 mg to 120 mg, not 200 mg")
            .flag("--drop").under("0.2g", "0.2g").hint(drop),
        Refusal::new("gutta dropper 20=0.612g --density 1.6g/mL", 1, "refused", "a liquid's density must be from 0.6 g/mL to 1.5 g/mL, not 1.6 g/mL")
            .flag("--density").under("1.6g/mL", "1.6g/mL").hint(density),
        Refusal::new("gutta dose 2mL --density 0.5g/mL", 1, "refused", "a liquid's density must be from 0.6 g/mL to 1.5 g/mL, not 0.5 g/mL")
            .flag("--density").under("0.5g/mL", "0.5g/mL").hint(density),
        Refusal::new("gutta water --leaf 10g --at 11% --to 14% --temp 41°C", 1, "refused", "the temperature must be from 0 °C to 40 °C, not 41 °C")
            .flag("--temp").under("41°C", "41°C").hint(water),
        Refusal::new("gutta dropper 20=0.612g --pressure 300hPa", 1, "refused", "the air pressure must be from 500 hPa to 1100 hPa, not 300 hPa")
            .flag("--pressure").under("300hPa", "300hPa").hint("type the pressure of the room itself, not reduced to sea level, such as 1003 hPa"),
        Refusal::new("gutta moisture before --leaf 300g --at 2% --added 14g", 1, "refused", "14 g of water were added, and the leaf holds 6.28 g in all now")
            .flag("--added").under("14g", "14g").hint("one of leaf, moisture now and water added is not right: check the moisture first; when the leaf was weighed with the water on it, type --leaf-now in place of --leaf"),
        Refusal::new("gutta moisture before --leaf-now 10g --at 15% --added 12g", 1, "refused", "12 g of water were added, and the leaf holds 1.5 g in all now")
            .flag("--added").under("12g", "12g").hint("one of leaf, moisture now and water added is not right: check the moisture first"),
        Refusal::new("gutta dose 7drops --book demo-data --dropper amber --liquid \"plum casing\"", 1, "refused", "dropper amber is calibrated with fig tincture, not with plum casing")
            .flag("--dropper").under("amber", "amber").hint("weigh it in two minutes: count 20 drops onto the zeroed scale, and type its mass over 20 as --drop 21.4mg, or run gutta dropper 20=0.428g with more weighings"),
        Refusal::new("gutta water --book demo-data --leaf 10g --at 11% --to 14% --dropper amber", 1, "refused", "dropper amber is calibrated with fig tincture, not with water")
            .flag("--dropper").under("amber", "amber").hint("a drop of another liquid has another mass: weigh 20 drops of water from it, and type --drop 47.8mg"),
    ]);
}

#[test]
fn what_is_out_of_range_ends_with_2() {
    let mass = "type what the scale shows, such as 10.00 g";
    let moisture = "moisture is water over total weight: type a figure such as 11.2 %, or 17.6 % db on dry basis";
    all_hold(&[
        Refusal::new(
            "gutta water --leaf 0g --at 11% --to 14%",
            2,
            "out-of-range",
            "a mass must be above 0 g, not 0 g",
        )
        .flag("--leaf")
        .under("0g", "0g")
        .hint(mass),
        Refusal::new(
            "gutta water --leaf \"-8 oz\" --at 11% --to 14%",
            2,
            "out-of-range",
            "a mass must be above 0 g, not -8 oz",
        )
        .flag("--leaf")
        .under("-8 oz", "-8 oz")
        .hint(mass),
        Refusal::new(
            "gutta water --leaf 1001Mg --at 11% --to 14%",
            2,
            "out-of-range",
            "a mass must be above 0 g and at most 1000000000 g, not 1001 Mg",
        )
        .flag("--leaf")
        .under("1001Mg", "1001Mg")
        .hint(mass),
        Refusal::new(
            "gutta water --leaf 10g --at \"-1%\" --to 14%",
            2,
            "out-of-range",
            "a moisture must be at least 0 % and below 100 %, not -1 %",
        )
        .flag("--at")
        .under("-1%", "-1%")
        .hint(moisture),
        Refusal::new(
            "gutta water --leaf 10g --at 100% --to 14%",
            2,
            "out-of-range",
            "a moisture must be at least 0 % and below 100 %, not 100 %",
        )
        .flag("--at")
        .under("100%", "100%")
        .hint(moisture),
        Refusal::new(
            "gutta water --leaf 10g --at \"-3% db\" --to 14%",
            2,
            "out-of-range",
            "a moisture on dry basis must be from 0 % to 10000 %, not -3 % db",
        )
        .flag("--at")
        .under("-3% db", "-3% db")
        .hint("dry basis is water over dry matter: type a figure such as 17.6 % db"),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --tray 0g",
            2,
            "out-of-range",
            "a mass must be above 0 g, not 0 g",
        )
        .flag("--tray")
        .under("0g", "0g")
        .hint(mass),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --band 0%",
            2,
            "out-of-range",
            "the target band must be above 0 % and at most 20 %, not 0 %",
        )
        .flag("--band")
        .under("0%", "0%")
        .hint("the band is the half-width in points of moisture: type a figure such as 1 %"),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --risk 50%",
            2,
            "out-of-range",
            "the risk must be above 0 % and below 50 %, not 50 %",
        )
        .flag("--risk")
        .under("50%", "50%")
        .hint("the risk is the chance of passing the top of the band: type a figure such as 5 %"),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --scale 0g",
            2,
            "out-of-range",
            "the scale's division must be above 0 g and at most 1000 g, not 0 g",
        )
        .flag("--scale")
        .under("0g", "0g")
        .hint("type the smallest step of the scale, such as 0.01 g"),
        Refusal::new(
            "gutta dropper 20=0.612g --humidity 120%",
            2,
            "out-of-range",
            "the relative humidity must be from 0 % to 100 %, not 120 %",
        )
        .flag("--humidity")
        .under("120%", "120%")
        .hint("type the relative humidity of the room, such as 50 %"),
        Refusal::new(
            "gutta dose 0drops --drop 21.4mg",
            2,
            "out-of-range",
            "a count of drops must be above 0 drops, not 0 drops",
        )
        .flag("DOSE")
        .under("0drops", "0drops")
        .hint("type a count such as 7 drops"),
        Refusal::new(
            "gutta dose \"0 g/kg\" --leaf 10g",
            2,
            "out-of-range",
            "a dose must be above 0 g/kg and at most 1000 g/kg, not 0 g/kg",
        )
        .flag("DOSE")
        .under("0 g/kg", "0 g/kg")
        .hint("a dose is flavouring per leaf: type a figure such as 15 g/kg"),
        Refusal::new(
            "gutta dose 0mL --density 0.8g/mL",
            2,
            "out-of-range",
            "a volume must be above 0 mL, not 0 mL",
        )
        .flag("DOSE")
        .under("0mL", "0mL")
        .hint("type a volume such as 2.5 mL"),
        Refusal::new(
            "gutta dose -7drops",
            2,
            "out-of-range",
            "a count of drops must be above 0 drops, not -7 drops",
        )
        .flag("DOSE")
        .under("-7drops", "-7drops")
        .hint("type a count such as 7 drops"),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --drop 0/mL",
            2,
            "out-of-range",
            "drops per volume must be above 0",
        )
        .flag("--drop")
        .under("0/mL", "0/mL")
        .hint("type a figure such as 20/mL"),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --bring \"5g spirit, 140% vol alcohol\"",
            2,
            "out-of-range",
            "a strength by volume must be from 0 % to 100 %, not 140 %",
        )
        .flag("--bring")
        .under("5g spirit, 140% vol alcohol", "5g spirit, 140% vol alcohol")
        .hint("type the strength on the bottle, such as 40% vol"),
    ]);
}

#[test]
fn what_is_missing_is_named_with_the_way_to_get_it() {
    let calibrate = "weigh it in two minutes: count 20 drops onto the zeroed scale, and type its mass over 20 as --drop 21.4mg, or run gutta dropper 20=0.428g with more weighings";
    let basis = "type both moistures for a dose on dry leaf, or --basis as-weighed";
    all_hold(&[
        Refusal::new("gutta water --at 11% --to 14%", 2, "missing", "the leaf as weighed is missing")
            .flag("--leaf").hint("weigh the leaf and type what the scale shows, such as --leaf 10.00g"),
        Refusal::new("gutta water --leaf 10g --to 14%", 2, "missing", "the moisture of the leaf is missing")
            .flag("--at").hint("weigh an oven dish of it before and after drying, re-weigh a jar whose moisture you knew, or type a wide range such as --at \"11% ± 4%\": the first addition is small then, and says so"),
        Refusal::new("gutta water --leaf 10g --at 11%", 2, "missing", "the target moisture is missing")
            .flag("--to").hint("type the moisture wanted, such as --to 14.5%"),
        Refusal::new("gutta water --leaf --at 11% --to 14%", 2, "missing", "no value: --at follows it")
            .flag("--leaf").hint("type --leaf and then its value"),
        Refusal::new("gutta water --leaf", 2, "missing", "no value")
            .flag("--leaf").hint("type --leaf and then its value"),
        Refusal::new("gutta dropper", 2, "empty", "no weighing was given")
            .flag("DROPS=AMOUNT").hint("write the count, = and what the drops weigh, such as 20 = 0.974 g"),
        Refusal::new("gutta dose", 2, "missing", "the dose is missing")
            .flag("DOSE").hint("type what is dosed: 7drops, 0.15g, 0.2mL or \"15 g/kg\""),
        Refusal::new("gutta dose 7drops", 2, "missing", "a dose in drops needs the mass of one drop")
            .flag("--drop").hint(calibrate),
        Refusal::new("gutta dose 2mL", 2, "missing", "a dose by volume needs the density")
            .flag("--density").hint("type the density of the flavouring, such as --density 0.846g/mL"),
        Refusal::new("gutta dose \"15 g/kg\"", 2, "missing", "the leaf as weighed is missing")
            .flag("--leaf").hint("a dose in g/kg is counted on leaf: type what it weighs, such as --leaf 10.00g"),
        Refusal::new("gutta dose 7drops --drop 21.4mg --for 6.5kg", 2, "missing", "the leaf as weighed is missing")
            .flag("--leaf").hint("the dose of the trial is counted on its leaf: type what the trial weighed, such as --leaf 10.00g"),
        Refusal::new("gutta dose 7drops --drop 28/mL", 2, "missing", "--drop in drops per volume needs the density")
            .flag("--density").hint("type the density of the liquid: --density 0.871g/mL; or the drop's mass: --drop 21.4mg"),
        Refusal::new("gutta dose 7drops --drop 21.4mg --leaf 10g --at 12% --for 6.5kg", 2, "missing", "--at is given, and this is missing")
            .flag("--for-at").hint(basis),
        Refusal::new("gutta dose 7drops --drop 21.4mg --leaf 10g --for 6.5kg --for-at 14.2%", 2, "missing", "--for-at is given, and this is missing")
            .flag("--at").hint(basis),
        Refusal::new("gutta dose 7drops --drop 21.4mg --leaf 10g --basis dry", 2, "missing", "a dose on dry leaf needs the moisture")
            .flag("--at").hint("type the moisture of the leaf, such as --at 12%"),
        Refusal::new("gutta dose 7drops --drop 21.4mg --for-at 12%", 2, "missing", "--for-at is about a batch, and there is none")
            .flag("--for").hint("type the leaf of the batch, such as --for 6.5kg"),
        Refusal::new("gutta water --leaf 10g --at 11% --to 14% --reading 12%", 2, "missing", "--reading is about a first addition, and there is none")
            .flag("--added").hint("type what has gone on already, such as --added 10.8g"),
        Refusal::new("gutta moisture basis", 2, "missing", "the moisture is missing")
            .flag("MOISTURE").hint("type a moisture: gutta moisture basis \"17.6% db\", or 15% for wet basis"),
        Refusal::new("gutta moisture before --at 15% --added 14g", 2, "missing", "the leaf as weighed is missing")
            .flag("--leaf").hint("type what the leaf weighed before the water, or what it weighs now as --leaf-now"),
        Refusal::new("gutta moisture after --leaf 10g --at 11%", 2, "missing", "the water that was added is missing")
            .flag("--added").hint("type the water that was added: 14.0g, 2tsp or 8drops"),
        Refusal::new("gutta moisture after --at 11% --added 1g", 2, "missing", "the leaf as weighed is missing")
            .flag("--leaf").hint("type what the leaf weighed before the water, such as --leaf 10.00g"),
        Refusal::new("gutta moisture before --leaf 300g --at 15% --added 8drops", 2, "missing", "the mass of a drop is missing")
            .flag("--drop").hint(calibrate),
        Refusal::new("gutta moisture", 2, "missing", "one more word is needed to say what is asked")
            .hint("type gutta moisture and then basis, combine, before, after, oven, jar, mix, feel, air, keep or hygrometer; gutta moisture --help says what each is"),
    ]);
}

#[test]
fn what_cannot_be_read_points_at_the_spot() {
    all_hold(&[
        Refusal::new("gutta water --leaf 10 --at 11% --to 14%", 2, "no-unit", "`10` has no unit")
            .flag("--leaf").under("10", "10").hint("write 10 g, 10 oz, 10 lb, 10 kg or 10 mg"),
        Refusal::new("gutta water --leaf 10gr --at 11% --to 14%", 2, "ambiguous-unit", "`gr` can mean gram or grain")
            .flag("--leaf").under("10gr", "gr").hint("write g or grain"),
        Refusal::new("gutta water --leaf 1,250g --at 11% --to 14%", 2, "number", "`1,250` can be read in two ways")
            .flag("--leaf").under("1,250g", "1,250").hint("write 1.250 g or 1250 g"),
        Refusal::new("gutta dropper 20=0.612", 2, "no-unit", "`0.612` has no unit")
            .flag("DROPS=AMOUNT").under("20=0.612", "0.612").hint("write 0.612 g, 0.612 oz, 0.612 mL or 0.612 tsp"),
        Refusal::new("gutta dropper 20:0.612g", 2, "missing", "there is no = in `20:0.612g`")
            .flag("DROPS=AMOUNT").under("20:0.612g", "20:0.612g").hint("write the count, = and what the drops weigh, such as 20 = 0.974 g"),
        Refusal::new("gutta dropper 20=0.612g 20=0.5g --running", 2, "out-of-range", "weighing 2 of a running total does not rise")
            .flag("DROPS=AMOUNT").under("20=0.5g", "20=0.5g").hint("write drops and mass since the one zero, such as 20 = 0.612 g, 40 = 1.218 g"),
        Refusal::new("gutta dropper 20=0.612g 30=2mL", 2, "wrong-kind", "masses and volumes are mixed")
            .flag("DROPS=AMOUNT").under("30=2mL", "30=2mL").hint("weigh all, or fill all to a mark: one dropper for each"),
        Refusal::new("gutta dropper 40=2.5mL --running", 2, "wrong-kind", "a running total is weighed, not filled")
            .flag("DROPS=AMOUNT").under("40=2.5mL", "40=2.5mL").hint("write each volume from empty, and no running total"),
        Refusal::new("gutta dropper 40=2.5mL --scale 0.1g", 2, "clash", "a graduate mark is read, not weighed")
            .flag("--scale").hint("leave --scale out; the doubt of the mark goes with it: \"40 = 2.5mL ± 0.1mL\""),
        Refusal::new("gutta water --leaf 10g --at 11% --to \"14% ± 1%\"", 2, "doubt", "a target is exact")
            .flag("--to").under("14% ± 1%", "14% ± 1%").hint("type the target alone; the width around it is the band"),
        Refusal::new("gutta water --leaf 10g --at 11% --to 14% --scale \"0.1g ± 0.1g\"", 2, "doubt", "a scale's division is exact")
            .flag("--scale").under("0.1g ± 0.1g", "0.1g ± 0.1g").hint("type its smallest step alone, such as --scale 0.01g"),
        Refusal::new("gutta water --leaf 10g --at 11% --to 14% --band \"1% ± 1%\"", 2, "doubt", "--band is a plain figure")
            .flag("--band").under("1% ± 1%", "1% ± 1%").hint("type it alone, such as 1%"),
        Refusal::new("gutta dose \"7drops ± 1drop\" --drop 21.4mg", 2, "doubt", "a count of drops is exact")
            .flag("DOSE").under("7drops ± 1drop", "7drops ± 1drop").hint("type the count alone, such as 7drops; what is in doubt is the drop: --drop \"21.4mg ± 1mg\""),
        Refusal::new("gutta moisture combine 11%", 2, "doubt", "this estimate carries no doubt")
            .flag("MOISTURE").under("11%", "11%").hint("type how sure it is, such as \"11.2% ± 0.5%\": its weight follows from that"),
        Refusal::new("gutta moisture combine \"11% ± 1%\"", 2, "missing", "one estimate alone is not combined")
            .flag("MOISTURE").hint("type two or more, each with its doubt: \"11.2% ± 0.5%\" \"12.0% ± 0.4%\""),
        Refusal::new("gutta dose 7drops --drop 21.4mg --draws few", 2, "number", "`few` is not a number of draws")
            .flag("--draws").under("few", "few").hint("type a whole number in plain digits, such as 100000"),
        Refusal::new("gutta dose 7drops --drop 21.4mg --draws 10", 2, "out-of-range", "the draws must be from 1000 to 10000000, not 10")
            .flag("--draws").under("10", "10").hint("100000 draws show two figures of the doubt"),
        Refusal::new("gutta dose 7drops --drop 21.4mg --draws 1000 --seed -1", 2, "number", "`-1` is not a seed")
            .flag("--seed").under("-1", "-1").hint("type a whole number in plain digits, such as 100000"),
        Refusal::new("gutta dose 7drops --drop 21.4mg --seed 1", 2, "missing", "--seed is about draws, and there are none")
            .flag("--draws").hint("type how many, such as --draws 100000"),
        Refusal::new("gutta dose 0.15g --bottle-loss 0.2g", 2, "missing", "--bottle-loss alone gives neither drops nor a dose")
            .flag("--drop").hint("type the mass of one drop, --drop 21.4mg, or the leaf, --leaf 10.00g"),
        Refusal::new("gutta dose \"1.5% db\" --leaf 10g", 2, "wrong-kind", "a dose has no moisture basis")
            .flag("DOSE").under("1.5% db", "1.5% db").hint("say what it is counted on with --basis dry or --basis as-weighed"),
        Refusal::new("gutta dose 7drops --drop 21.4mg --basis wet", 2, "unknown-value", "there is no `wet`")
            .flag("--basis").under("wet", "wet").hint("type --basis as-weighed or dry"),
    ]);
}

#[test]
fn what_is_brought_must_be_said_in_full() {
    let line = |bring: &str| -> &'static str {
        // A command line for each, kept for the length of the test run.
        Box::leak(
            format!("gutta water --leaf 10g --at 11% --to 14% --bring \"{bring}\"")
                .into_boxed_str(),
        )
    };
    all_hold(&[
        Refusal::new(line("60g casing"), 2, "unknown-name", "say what is in it: `casing`")
            .flag("--bring").under("60g casing", "60g casing").hint("type its shares by mass, such as \"60g casing, 35% water\"; the rest is solids"),
        Refusal::new(line("60g"), 2, "missing", "the liquid has no name")
            .flag("--bring").under("60g", "60g").hint("type amount and name, and what is in it, all in one pair of quotes: \"60g casing, 35% water\""),
        Refusal::new(line("60g casing, 35% watr"), 2, "unknown-name", "`watr` is no part of a liquid")
            .flag("--bring").under("60g casing, 35% watr", "watr").hint("did you mean water?"),
        Refusal::new(line("60g casing, 35% vinegar"), 2, "unknown-name", "`vinegar` is no part of a liquid")
            .flag("--bring").under("60g casing, 35% vinegar", "vinegar").hint("the parts are water, alcohol, glycol, glycerine, sugar, solids"),
        Refusal::new(line("60g casing, 65% water, 40% sugar"), 2, "composition", "the parts make 105 %, more than the whole")
            .flag("--bring").under("60g casing, 65% water, 40% sugar", "60g casing, 65% water, 40% sugar").hint("shares are by mass, 100 % in all; what is left is solids"),
        Refusal::new(line("60g casing, 35% water, 5% water"), 2, "composition", "water is named twice")
            .flag("--bring").under("60g casing, 35% water, 5% water", "60g casing, 35% water, 5% water").hint("name each part once, with its whole share"),
        Refusal::new(line("60g casing, 135% water"), 2, "composition", "the share of water must be from 0 % to 100 %, not 135 %")
            .flag("--bring").under("60g casing, 135% water", "60g casing, 135% water").hint("type the share by mass, such as 35% water"),
        Refusal::new(line("9g mix, 40% vol alcohol, 5% sugar"), 2, "wrong-kind", "% vol is for alcohol with water alone")
            .flag("--bring").under("9g mix, 40% vol alcohol, 5% sugar", "9g mix, 40% vol alcohol, 5% sugar").hint("where anything else is in it, type every share by mass"),
        Refusal::new(line("60g casing, 35% db water"), 2, "wrong-kind", "a share in a liquid has no moisture basis")
            .flag("--bring").under("60g casing, 35% db water", "60g casing, 35% db water").hint("type the share by mass alone, such as 35% water"),
        Refusal::new(line("2mL syrup, 35% water"), 2, "missing", "the density of syrup is not known")
            .flag("--bring").under("2mL syrup, 35% water", "2mL syrup, 35% water").hint("weigh it, and type its mass: \"… g syrup\""),
        Refusal::new(line("6drops syrup, 35% water"), 2, "missing", "the drop of syrup is not known")
            .flag("--bring").under("6drops syrup, 35% water", "6drops syrup, 35% water").hint("weigh it, and type its mass: \"… g syrup\"; or calibrate a dropper with it in the book"),
    ]);
}

#[test]
fn what_does_not_go_together_names_both() {
    all_hold(&[
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --drop 47mg --dropper glass",
            2,
            "clash",
            "--dropper and --drop do not go together",
        )
        .flag("--drop")
        .hint("keep one of them"),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --lot bright-24a --to 14%",
            2,
            "clash",
            "--lot and --at do not go together",
        )
        .flag("--at")
        .hint("keep one of them"),
        Refusal::new(
            "gutta dropper 20=0.6g --liquid water --density 0.8g/mL",
            2,
            "clash",
            "--density and --liquid do not go together",
        )
        .flag("--liquid")
        .hint("keep one of them"),
        Refusal::new(
            "gutta moisture before --leaf 300g --leaf-now 314g --at 15% --added 14g",
            2,
            "clash",
            "--leaf-now and --leaf do not go together",
        )
        .flag("--leaf")
        .hint("keep one of them"),
        Refusal::new(
            "gutta water --leaf 10g --leaf 11g --at 11% --to 14%",
            2,
            "clash",
            "given twice",
        )
        .flag("--leaf")
        .hint("keep one of them"),
    ]);
}

#[test]
fn a_slip_of_the_keys_is_answered_with_the_nearest_word() {
    all_hold(&[
        Refusal::new("gutta watr", 2, "unknown-command", "no command `watr`")
            .under("watr", "watr").hint("did you mean water? gutta --help lists them"),
        Refusal::new("gutta moisture bases 12%", 2, "unknown-command", "no command `bases`")
            .under("bases", "bases").hint("did you mean basis? gutta moisture --help lists them"),
        Refusal::new("gutta water --lef 10g", 2, "unknown-flag", "no such flag")
            .flag("--lef").under("--lef", "--lef").hint("did you mean --leaf? gutta water --help lists them"),
        Refusal::new("gutta water --leaf 10 g --at 11% --to 14%", 2, "stray", "`g` belongs to nothing here")
            .under("g", "g").hint("a value with blanks goes in quotes: \"10 g\""),
        Refusal::new("gutta water --leaf 10ounze --at 11% --to 14%", 2, "unknown-unit", "`ounze` is not a unit known here")
            .flag("--leaf").under("10ounze", "ounze").hint("did you mean ounce?"),
        Refusal::new("gutta --book demo-data water --leaf 10g --lot brigt-24a --to 14%", 2, "unknown-name", "the book has no lot `brigt-24a`")
            .flag("--lot").under("brigt-24a", "brigt-24a").hint("did you mean `bright-24a`? its lots are bright-24a, red-23c, sun-25, brown-24, dark-22 and smoke-24"),
    ]);
}

#[test]
fn a_name_needs_a_book() {
    // The root of the repository is no bench book, nor is any folder above.
    all_hold(&[
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --dropper glass",
            2,
            "no-book",
            "there is no bench book to find `glass` in",
        )
        .flag("--dropper")
        .under("glass", "glass")
        .hint("name its folder with --book DIR, or type the drop: --drop 47.8mg"),
        Refusal::new(
            "gutta water --leaf 10g --lot bright-24a --to 14%",
            2,
            "no-book",
            "there is no bench book to find `bright-24a` in",
        )
        .flag("--lot")
        .under("bright-24a", "bright-24a")
        .hint("name its folder with --book DIR, or type the moisture: --at 11.2%"),
        Refusal::new(
            "gutta water --leaf 10g --at 11% --to 14% --scale bench",
            2,
            "no-book",
            "there is no bench book to find `bench` in",
        )
        .flag("--scale")
        .under("bench", "bench")
        .hint("name its folder with --book DIR, or type the scale's division: --scale 0.01g"),
        Refusal::new(
            "gutta dose 2mL --liquid fig",
            2,
            "no-book",
            "there is no bench book to find `fig` in",
        )
        .flag("--liquid")
        .under("fig", "fig")
        .hint("name its folder with --book DIR, or type its density: --density 0.871g/mL; names such as alcohol 70% vol need no book"),
    ]);
}
