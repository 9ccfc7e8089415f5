//! A recipe in spoonfuls, in sentences.

use gutta::blend::spoons::{SpoonGrams, SpoonRecipe};
use gutta::measure::{Reading, Unit};

use super::keys;
use crate::answer::{Answer, Grid, JsonUnit, Key, Row, Shape};
use crate::render::json::Form;
use crate::resolve::Assumed;
use crate::say::{self, Voice};

const GRAMS: Shape = Shape::Quantity(JsonUnit::Gram);

keys! {
    TOTAL = "total": GRAMS, "all of the recipe";
    COMPONENT = "component": Shape::Text, "the leaf";
    SPOONS = "spoons": Shape::Number, "its spoonfuls in the recipe";
    ONE = "spoonful": GRAMS, "one spoonful of it";
    MASS = "mass": GRAMS, "what its spoonfuls weigh";
    SHARE = "share": Shape::Quantity(JsonUnit::Percent), "its share, as weighed";
    LINES = "lines": Shape::Rows { always: &[&COMPONENT, &SPOONS, &ONE, &MASS, &SHARE], known: &[] }, "each leaf, in the order of the recipe";
}

/// The keys of `spoons`.
pub static FORMS: &[Form] = &[Form {
    word: None,
    always: &[&TOTAL, &LINES],
    known: &[],
}];

/// A recipe in grams.
pub fn spoons(
    recipe: &SpoonRecipe,
    grams: &SpoonGrams,
    first: Option<Reading>,
    assumed: Assumed,
) -> Answer {
    // What spoonfuls weigh is worked out, not read off: the scale's step is not
    // theirs.
    let voice = first.map_or_else(|| Voice::plain(None), |first| Voice::of(&first, None));
    let mut answer = Answer::new(
        "spoons",
        format!("The recipe is {} of leaf.", voice.weight(&grams.total)),
    );
    let each = recipe.lines.iter().zip(&grams.lines).zip(&grams.shares);
    let mut cells = Vec::new();
    let mut rows = Vec::new();
    for ((line, mass), share) in each {
        let one = line.one_spoonful(recipe.scale.as_ref());
        let one = one.map(|one| one.estimate("spoonful"));
        cells.push(vec![
            line.name.clone(),
            say::plain(line.spoons),
            one.as_ref()
                .map_or_else(|_| String::new(), |one| voice.weight(one)),
            voice.weight(mass),
            say::estimate(share, Unit::PERCENT),
        ]);
        rows.push(
            Row::default()
                .with_text(&COMPONENT, line.name.clone())
                .with_number(&SPOONS, line.spoons)
                .with_if(&ONE, one.as_ref().ok())
                .with(&MASS, mass)
                .with(&SHARE, share),
        );
    }
    answer.table = Some(Grid {
        columns: vec!["", "spoonfuls", "one", "all", "share"],
        rows: cells,
    });
    answer.put(&TOTAL, &grams.total);
    answer.put_rows(&LINES, rows);
    let on_scale = Voice::plain(recipe.scale);
    answer.check = format!(
        "the recipe's spoonfuls together: the scale reads {}",
        on_scale.mass_shown(grams.total.best())
    );
    if grams.total.u() > 0.0 {
        answer.doubt.push(format!(
            "all of it {} (95\u{a0}%): {}",
            voice.with_doubt(&grams.total),
            say::drivers(&say::budget(&grams.total))
        ));
        answer
            .doubt
            .push("of the mean spoonful; the next one may hold a tenth more or less".to_owned());
    } else {
        answer.doubt.push(
            "not known: weigh ten spoonfuls several times, \"8 flue-cured: 10=21.4g, 10=21.8g\""
                .to_owned(),
        );
    }
    let lines: Vec<String> = recipe
        .lines
        .iter()
        .zip(&grams.lines)
        .map(|(line, mass)| {
            format!(
                "\"{} {}\"",
                voice.mass(mass.best()).replace('\u{a0}', " "),
                line.name
            )
        })
        .collect();
    answer.next.push(format!(
        "from now on weigh: gutta sheet {} --batch {}",
        lines.join(" "),
        voice.mass(grams.total.best()).replace('\u{a0}', "")
    ));
    for (line, mass) in recipe.lines.iter().zip(&grams.lines) {
        answer.working.push(format!(
            "{}: {} spoonfuls × ten weighed over ten = {}",
            line.name,
            say::plain(line.spoons),
            voice.mass(mass.best())
        ));
    }
    assumed.settle(&mut answer);
    answer
}
