//! The steps of a weigh sheet, in the order that hands take them.

use gutta::WateringPlan;
use gutta::bench::{Adding, FirstRule, LeafBasis};
use gutta::blend::sheet::{FlavourLine, Flavoured, Line, Planned};
use gutta::measure::{Digits, Drops, Mass, Scalar, Unit, quantity};

use super::{End, Question};
use crate::document::{Doing, Step};
use crate::say;

impl Question {
    pub(in crate::speak) fn steps(&self, plan: &Planned) -> Vec<Step> {
        let there = self.sheet.in_bowl.iter();
        let there = there.fold(Mass::of_base(0.0), |sum, mass| sum + *mass);
        let mut steps = vec![match self.sheet.tray {
            _ if there.base() > 0.0 => self.hold("the bowl with what is in it", there),
            Some(tray) => Step {
                doing: Doing::Hold,
                gross: Some(self.voice().mass_shown(tray.value())),
                ..Step::hands("the bowl on the scale; then zero it, or read on with the bowl")
            },
            None => Step::hands("the bowl on the scale, and zero it"),
        }];
        for line in &plan.lines {
            steps.push(Step {
                tolerance: Some(self.tolerance(line.tolerance)),
                remark: self.about(line),
                ..self.weigh(
                    self.leaf(line.add),
                    self.called(line.component),
                    line.running,
                )
            });
        }
        if plan.lines.len() > 1 || !plan.lines.is_empty() && there.base() > 0.0 {
            steps.push(Step::hands("toss until it is even"));
        }
        let mut on = plan.leaf;
        for (casing, line) in plan.casings.iter().zip(&self.sheet.casings) {
            on += casing.mass.best();
            steps.push(Step {
                remark: Some("casing, a part at a time".to_owned()),
                ..self.weigh(
                    self.liquid(casing.mass.best()),
                    line.liquid.name.clone(),
                    on,
                )
            });
        }
        if !plan.casings.is_empty() {
            steps.push(Step::hands(
                "let it rest covered until the casing is taken up evenly",
            ));
        }
        let flavours = plan.flavours.iter().zip(&self.sheet.flavours).enumerate();
        for (i, (flavour, line)) in flavours {
            on += flavour.goes_on();
            let dropper = self.droppers.get(i).cloned().flatten();
            let remark = self.about_flavour(flavour, line, dropper.as_deref());
            steps.push(Step {
                remark,
                ..self.weigh(self.amount(flavour), line.liquid.name.clone(), on)
            });
        }
        if !plan.flavours.is_empty() {
            steps.push(Step::hands("toss until it is even"));
        }
        let airs = plan.carrier.base() > 0.0;
        if airs {
            steps.push(self.hold(
                "air it until the alcohol is gone, away from flame",
                plan.before_water - plan.carrier,
            ));
        }
        self.water(plan, &mut steps);
        if let Some(rest) = &self.rest {
            steps.push(Step::hands(format!("rest: {rest}")));
        }
        if let Some((_, water)) = &plan.water {
            let end = End::of(water, self);
            steps.push(self.hold(
                format!("judge; it should be at {}", end.moisture),
                end.net.best(),
            ));
        }
        steps
    }

    /// What to know of a weighing.
    fn about(&self, line: &Line) -> Option<String> {
        let there = self.sheet.in_bowl_of(line.component);
        if there.base() > 0.0 {
            return Some(format!(
                "beside the {} that is in",
                self.voice().mass_shown(there)
            ));
        }
        let small = line.too_small.as_ref();
        small.map(|_| "too little for this scale, see below".to_owned())
    }

    /// What to know of a flavouring: what the drops weigh and give, or that it is too
    /// little.
    fn about_flavour(
        &self,
        flavour: &Flavoured,
        line: &FlavourLine,
        dropper: Option<&str>,
    ) -> Option<String> {
        if flavour.is_less_than_a_drop() {
            return Some("less than a drop: dilute it, see below".to_owned());
        }
        if flavour.counted.is_none() {
            let least = self
                .sheet
                .scale
                .map(|scale| scale.least_weighing(self.sheet.tolerance));
            let is_less = least.is_some_and(|least| flavour.goes_on() < least);
            return is_less.then(|| "too little for this scale, see below".to_owned());
        }
        let mut said = vec![self.voice().mass(flavour.goes_on())];
        said.extend(dropper.map(|dropper| format!("dropper {dropper}")));
        said.extend(reached(flavour, line));
        Some(said.join(", "))
    }

    fn water(&self, plan: &Planned, steps: &mut Vec<Step>) {
        match &plan.water {
            Some((_, WateringPlan::Add(adding))) => self.adding(plan, adding, steps),
            Some((_, WateringPlan::Dry(drying))) => {
                steps.push(self.hold(
                    "air it, tossing now and then, until the scale reads this",
                    drying.final_mass.best(),
                ));
            }
            Some((_, WateringPlan::Nothing(_))) | None => {}
        }
    }

    fn adding(&self, plan: &Planned, adding: &Adding, steps: &mut Vec<Step>) {
        let counted = adding.counted();
        let one = counted.map(|drops| drops.mass.best().base() / drops.whole.count());
        // Counted or weighed: what goes on, and what it weighs.
        let said = |drops: Option<Drops>, mass: Mass| match drops {
            Some(drops) => (
                say::whole_drops(drops),
                Mass::of_base(drops.count() * one.unwrap_or_default()),
            ),
            None => (self.liquid(mass), mass),
        };
        let whole = counted.map(|drops| drops.whole);
        let first = counted.and(adding.first.drops);
        let by = match (&counted, &self.water_dropper) {
            (Some(_), Some(dropper)) => format!("distilled water, dropper {dropper}"),
            _ => "distilled water".to_owned(),
        };
        let on = plan.before_water - plan.carrier;
        match adding.first.rule {
            FirstRule::TooLoose | FirstRule::TooCoarse => {
                steps.push(Step::hands(
                    "measure the moisture of the mixed leaf before any water goes on",
                ));
                let (amount, mass) = said(whole, adding.water.best());
                steps.push(Step {
                    remark: Some("if it is as the lots say".to_owned()),
                    ..self.weigh(amount, by, on + mass)
                });
            }
            FirstRule::AllAtOnce => {
                let (amount, mass) = said(whole, adding.water.best());
                let how = if whole.is_some() {
                    "drop by drop over the leaf, tossing"
                } else {
                    "a part at a time over the leaf, tossing"
                };
                steps.push(Step {
                    remark: Some(how.to_owned()),
                    ..self.weigh(amount, by, on + mass)
                });
            }
            FirstRule::ThreeQuarters | FirstRule::WithinBand => {
                // Not to be passed: cut off where it is printed, if that leaves any.
                let cut = self.voice().at_most(adding.first.water);
                let most = if cut.base() > 0.0 {
                    cut
                } else {
                    adding.first.water
                };
                let (amount, mass) = said(first, most);
                steps.push(Step {
                    remark: Some("first".to_owned()),
                    ..self.weigh(amount, by.clone(), on + mass)
                });
                steps.push(Step::hands(
                    "cover it, let it take up the water, and see how it feels",
                ));
                let (_, all) = said(whole, adding.water.best());
                let rest = whole
                    .zip(first)
                    .map(|(whole, first)| Drops::new((whole.count() - first.count()).max(0.0)));
                let (amount, _) = said(rest, all - mass);
                steps.push(Step {
                    remark: Some("the rest, if it asks for it".to_owned()),
                    ..self.weigh(amount, by, on + all)
                });
            }
        }
    }

    /// Something goes into the bowl, which then weighs so much.
    fn weigh(&self, amount: String, what: String, on: Mass) -> Step {
        Step {
            amount: Some(amount),
            doing: Doing::Weigh,
            ..self.hold(what, on)
        }
    }

    /// A reading of the scale to wait for.
    fn hold(&self, what: impl Into<String>, on: Mass) -> Step {
        let voice = self.voice();
        Step {
            doing: Doing::Hold,
            reads: Some(voice.mass_shown(on)),
            gross: self
                .sheet
                .tray
                .map(|tray| voice.mass_shown(on + tray.value())),
            ..Step::hands(what)
        }
    }

    /// A weighing of leaf: as the scale shows it, or as it is where the scale does
    /// not show it at all.
    fn leaf(&self, mass: Mass) -> String {
        let is_unseen = |scale: gutta::measure::Scale| mass < scale.division();
        if self.sheet.scale.is_some_and(is_unseen) {
            self.voice().mass(mass)
        } else {
            self.voice().mass_shown(mass)
        }
    }

    /// How far a weighing may be off: no more than that as it is printed, and no
    /// finer than the scale shows.
    fn tolerance(&self, mass: Mass) -> String {
        let step = self.sheet.scale.map(|scale| scale.division());
        match step {
            Some(step) => {
                let whole = self.voice().at_most(mass);
                let shown = if whole < step { step } else { whole };
                format!("±\u{a0}{}", self.voice().mass_shown(shown))
            }
            // Two figures of it are enough.
            None => format!(
                "±\u{a0}{}",
                quantity(mass.base(), Unit::GRAM, Digits::AtMost(2))
            ),
        }
    }
}

/// How far whole drops may miss the dose before it is said.
const MISS: f64 = 0.05;

/// What whole drops give, where that is not what was asked for.
pub(super) fn reached(flavour: &Flavoured, line: &FlavourLine) -> Option<String> {
    let counted = flavour.dosed.counted.as_ref()?;
    let base = match line.basis {
        LeafBasis::AsWeighed => counted.dose.as_ref()?.best().ratio().base(),
        LeafBasis::Dry => counted.dose_dry.as_ref()?.best().ratio().base(),
    };
    let is_off = (base / line.dose.value().base() - 1.0).abs() > MISS;
    is_off.then(|| {
        format!(
            "gives {}, {} was asked",
            quantity(base, Unit::GRAM_PER_KILOGRAM, Digits::AtMost(3)),
            say::base(line.dose.value().base(), Unit::GRAM_PER_KILOGRAM)
        )
    })
}
