//! Figures in sentences: rounded to what their doubt supports.

use gutta::Estimate;
use gutta::bench::WEIGHING_TOLERANCE;
use gutta::bench::{Action, Advice, DoseAsWeighed, DoseDry, LeafBasis};
use gutta::measure::{
    Digits, Drops, Manner, Mass, Ratio, Reading, Scalar, Scale, Spread, Unit, Verdict, coverage_95,
    number, quantity,
};

use crate::answer::{Draws, JsonUnit, Shape};

/// Where no doubt of a moisture was typed.
pub const DOUBT_NOT_KNOWN: &str =
    "not known: type it with the moisture, such as --at \"11.2% ± 0.5%\"";

/// A moisture that was worked out is said to a tenth of a point at least.
const TENTH_OF_A_POINT: f64 = 1e-3;

/// A drop's mass is said in milligrams.
pub const MILLIGRAM: &Unit = Unit::MILLIGRAM;

/// Significant figures where no doubt and no scale says how many.
const FIGURES: u32 = 4;

/// A number in SI base units without doubt, in a unit.
pub fn base(base: f64, unit: &Unit) -> String {
    quantity(base, unit, Digits::AtMost(FIGURES))
}

/// An estimate in a unit, rounded to its doubt; a percentage keeps a decimal.
pub fn estimate<S: Scalar>(estimate: &Estimate<S>, unit: &Unit) -> String {
    figures(estimate, unit, FIGURES)
}

/// An estimate in a unit, rounded to its doubt and to so many figures at most.
pub fn figures<S: Scalar>(estimate: &Estimate<S>, unit: &Unit, figures: u32) -> String {
    let said = quantity(estimate.best().base(), unit, within(estimate, figures));
    if unit.symbol() == Unit::PERCENT.symbol() && !said.contains('.') && estimate.u() == 0.0 {
        return quantity(
            estimate.best().base(),
            unit,
            Digits::Place(TENTH_OF_A_POINT),
        );
    }
    said
}

/// An estimate in a unit, with its half-width at 95 %.
pub fn with_doubt<S: Scalar>(estimate: &Estimate<S>, unit: &Unit) -> String {
    quantity(
        estimate.best().base(),
        unit,
        Digits::Doubt(half_width(estimate)),
    )
}

/// A mass that is not to be passed: its four first figures.
pub fn not_more(mass: Mass) -> Mass {
    let step = 10_f64.powf(mass.base().log10().floor() - 3.0);
    if !(step > 0.0 && step.is_finite()) {
        return mass;
    }
    Mass::of_base((mass.base() / step + 1e-6).floor() * step)
}

/// Money, to the hundredth.
pub fn money(sum: f64) -> String {
    number(sum, 2)
}

/// A count of drops, the exact one.
pub fn drops(estimate: &Estimate<Drops>) -> String {
    quantity(
        estimate.best().base(),
        Unit::DROP,
        within(estimate, FIGURES),
    )
}

/// The same where it stands beside the whole drops: what is left over shows.
pub fn drops_exactly(estimate: &Estimate<Drops>) -> String {
    let digits = if half_width(estimate) > 0.5 {
        Digits::Place(0.1)
    } else {
        Digits::AtMost(FIGURES)
    };
    quantity(estimate.best().base(), Unit::DROP, digits)
}

/// A whole count: `1 drop`, `8 drops`.
pub fn whole_drops(drops: Drops) -> String {
    quantity(drops.count(), Unit::DROP, Digits::Place(1.0))
}

/// The half-width of the 95 % interval, in SI base units.
pub fn half_width<S: Scalar>(estimate: &Estimate<S>) -> f64 {
    coverage_95(estimate.dof()) * estimate.u()
}

/// Digits by the doubt, or a few significant ones.
fn within<S: Scalar>(estimate: &Estimate<S>, figures: u32) -> Digits {
    match half_width(estimate) {
        half if half > 0.0 => Digits::Within(half, figures),
        _ => Digits::AtMost(figures),
    }
}

/// A plain number, to a few figures.
pub fn plain(number: f64) -> String {
    let text = base(number * 0.01, Unit::PERCENT);
    text.trim_end_matches('%').trim_end().to_owned()
}

/// A share of the doubt, in whole per cent.
pub fn share(share: f64) -> String {
    format!("{}\u{a0}%", number(share * 100.0, 0))
}

/// What a doubt is made of: each input's share of the variance.
pub fn budget<S: Scalar>(estimate: &Estimate<S>) -> Vec<(String, f64)> {
    let shares = estimate.budget().into_iter();
    shares
        .map(|(input, share)| (input.to_owned(), share))
        .collect()
}

/// A dose that is reached, on the basis that was asked for, with its doubt and
/// what drives it; nothing where it has none.
pub fn doubt_of_dose(
    what: &str,
    basis: LeafBasis,
    as_weighed: Option<&Estimate<DoseAsWeighed>>,
    dry: Option<&Estimate<DoseDry>>,
) -> Option<String> {
    match basis {
        LeafBasis::AsWeighed => as_weighed.and_then(|dose| doubt_on(what, basis, dose)),
        LeafBasis::Dry => dry.and_then(|dose| doubt_on(what, basis, dose)),
    }
}

fn doubt_on<S: Scalar>(what: &str, basis: LeafBasis, dose: &Estimate<S>) -> Option<String> {
    (dose.u() > 0.0).then(|| {
        format!(
            "{what} {} {} (95\u{a0}%): {}",
            with_doubt(dose, Unit::GRAM_PER_KILOGRAM),
            basis.name(),
            drivers(&budget(dose))
        )
    })
}

/// A figure with its doubt and what drives it; nothing where it has none.
pub fn doubt_of<S: Scalar>(what: &str, figure: &Estimate<S>, unit: &Unit) -> Option<String> {
    (figure.u() > 0.0).then(|| {
        format!(
            "{what} {} (95\u{a0}%): {}",
            with_doubt(figure, unit),
            drivers(&budget(figure))
        )
    })
}

/// A reading as it can be typed again: one word of the shell.
pub fn typeable(reading: &Reading) -> String {
    if reading.is_exact() {
        reading.unbroken().replace('\u{a0}', "")
    } else {
        shell_word(&reading.to_string())
    }
}

/// `3 lines`.
pub fn counted(number: usize, one: &str) -> String {
    let s = if number == 1 { "" } else { "s" };
    format!("{number} {one}{s}")
}

/// What was typed as one word of the shell.
pub fn shell_word(text: &str) -> String {
    let text = text.trim();
    if text.contains(char::is_whitespace) {
        format!("\"{text}\"")
    } else {
        text.to_owned()
    }
}

/// What drives a doubt: the worst input, and the next when it counts:
/// `94 % of the doubt from moisture now, 5 % from leaf`.
pub fn drivers(budget: &[(String, f64)]) -> String {
    let worth_saying = budget.iter().take(2).filter(|(_, part)| *part >= 0.05);
    let said: Vec<String> = worth_saying
        .enumerate()
        .map(|(i, (input, part))| {
            let of = if i == 0 { " of the doubt" } else { "" };
            match share(*part).as_str() {
                "100\u{a0}%" => format!("all of the doubt from {input}"),
                part => format!("{part}{of} from {input}"),
            }
        })
        .collect();
    said.join(", ")
}

/// The worst input of an answer in a unit, and what would help; none when the
/// answer is sure enough or nothing of a bench would help.
pub fn advice(advice: &Advice, of: &str, unit: &Unit) -> Option<String> {
    let (action, then) = advice.action?;
    let half = |base: f64| format!("±\u{a0}{}", quantity(base, unit, Digits::Significant(2)));
    Some(format!(
        "{} is {} of the doubt of {of}: {} would bring it from {} to {} (95\u{a0}%)",
        advice.input,
        share(advice.share),
        self::action(&action),
        half(advice.now),
        half(then)
    ))
}

/// What a bench can do about a doubt, in words.
pub fn action(action: &Action) -> String {
    let on = |division: Mass| format!("on a scale of {}", base(division.base(), Unit::GRAM));
    match *action {
        Action::OvenDishes {
            dishes,
            leaf,
            division,
        } => {
            let leaf = base(leaf.base(), Unit::GRAM);
            let dishes = match dishes {
                1 => format!("one oven dish of {leaf} of the same leaf"),
                n => format!("{n} oven dishes of {leaf} each of the same leaf"),
            };
            format!("{dishes} {}", on(division))
        }
        Action::WeighDrops {
            drops,
            with_scatter,
            division,
        } => {
            let scatter = if with_scatter {
                ""
            } else {
                ", their scatter not counted,"
            };
            format!(
                "{} weighed at once {}{scatter}",
                whole_drops(drops),
                on(division)
            )
        }
        Action::WeighAgain { times, drops } => match times {
            1 => format!("one more weighing of {}", whole_drops(drops)),
            n => format!("{n} more weighings of {} each", whole_drops(drops)),
        },
        Action::FillAgain { times, drops } => match times {
            1 => format!("filling once more with {}", whole_drops(drops)),
            n => format!("filling {n} more times with {} each", whole_drops(drops)),
        },
        Action::WeighInstead { division } => {
            format!("weighing it {} instead of counting", on(division))
        }
        Action::FinerScale { division } => format!("weighing {}", on(division)),
    }
}

/// What a Monte Carlo run says, in lines.
pub fn draws(draws: &Draws) -> Vec<String> {
    let mut lines = vec![format!(
        "{} draws, seed {}; 95\u{a0}% of them lie within these, the shortest ranges that hold so many:",
        draws.count, draws.seed
    )];
    for figure in &draws.figures {
        let Shape::Quantity(unit) = figure.key.shape else {
            continue;
        };
        let Spread {
            mean,
            shortest_95: (low, high),
            not_finite,
            ..
        } = figure.spread;
        let unit_is = match unit {
            JsonUnit::Drop => "drops",
            unit => unit.symbol(),
        };
        // As finely as two figures of a standard uncertainty.
        let places = places_for(unit.of_base(high - low) / 4.0);
        let shown = |base: f64| format!("{}\u{a0}{unit_is}", number(unit.of_base(base), places));
        let holds = match figure.first_order {
            Verdict::Holds => "the ± is good enough",
            Verdict::Fails => "the ± is not good enough: go by this",
            Verdict::Open => "too few draws to tell whether the ± is good enough",
        };
        let average = if figure.has_mean {
            format!(", on average {}", shown(mean))
        } else {
            String::new()
        };
        let lost = match not_finite {
            0 => String::new(),
            n => format!("; {n} draws gave no number"),
        };
        lines.push(format!(
            "{}: {} to {}{average}; {holds}{lost}",
            figure.key.what,
            shown(low),
            shown(high),
        ));
    }
    if draws.outside > 0.0 {
        lines.push(format!(
            "{} of the draws were outside the formula's range, and are kept",
            quantity(draws.outside, Unit::PERCENT, Digits::Significant(2))
        ));
    }
    lines
}

/// The decimals that show two figures of a standard uncertainty.
fn places_for(u: f64) -> i32 {
    if u > 0.0 && u.is_finite() {
        // A logarithm of a number on a bench is far inside this range.
        #[allow(clippy::cast_possible_truncation, reason = "bounded just before")]
        let leading = u.log10().floor().clamp(-300.0, 300.0) as i32;
        1 - leading
    } else {
        3
    }
}

/// What is said of masses that the scale cannot weigh within 2 %, each with what
/// it is of; nothing where it can weigh all of them, or where none is known.
pub fn below_least<'a>(
    masses: impl IntoIterator<Item = (&'a str, Mass)>,
    scale: Option<Scale>,
) -> Option<String> {
    below_least_within(masses, scale, Ratio::of_base(WEIGHING_TOLERANCE))
}

/// The same within another tolerance.
pub fn below_least_within<'a>(
    masses: impl IntoIterator<Item = (&'a str, Mass)>,
    scale: Option<Scale>,
    tolerance: Ratio,
) -> Option<String> {
    let least = scale?.least_weighing(tolerance);
    let is_less = |mass: Mass| mass.base() > 0.0 && mass.base() < least.base() * (1.0 - 1e-9);
    let small: Vec<String> = masses
        .into_iter()
        .filter(|(_, mass)| is_less(*mass))
        .map(|(what, mass)| {
            let grams = quantity(mass.base(), Unit::GRAM, Digits::AtMost(3));
            format!("{grams} of {what}")
        })
        .collect();
    (!small.is_empty()).then(|| {
        format!(
            "too little for this scale, which weighs {} within {}: {}; make more at once, or weigh on a finer scale",
            base(least.base(), Unit::GRAM),
            base(tolerance.base(), Unit::PERCENT),
            small.join(", ")
        )
    })
}

/// A figure behind its article: `a 7.759 %`, `an 8.88 %`.
pub fn with_article(figure: &str) -> String {
    let whole: String = figure.chars().take_while(char::is_ascii_digit).collect();
    // Eight, eighty, eleven and eighteen begin with a vowel to the ear.
    let is_an = whole.starts_with('8') || matches!(whole.as_str(), "11" | "18");
    format!("{} {figure}", if is_an { "an" } else { "a" })
}

/// The word for a count: one drop `brings`, two `bring`.
pub fn of_count<'a>(count: f64, one: &'a str, more: &'a str) -> &'a str {
    if count == 1.0 { one } else { more }
}

/// The step that masses which add up are printed to, in SI base units: the coarsest of
/// `step`, a tenth of it and so on to which the rounded parts make the rounded whole.
pub fn place_of_sum(parts: &[Mass], whole: Mass, step: f64) -> f64 {
    const TENTHS: i32 = 4;
    let adds_up = |tenths: &i32| {
        let steps = |mass: Mass| (mass.base() / step * 10_f64.powi(*tenths)).round();
        let sum: f64 = parts.iter().map(|mass| steps(*mass)).sum();
        (sum - steps(whole)).abs() < 0.5
    };
    step * 10_f64.powi(-(0..TENTHS).find(adds_up).unwrap_or(TENTHS))
}

/// A person's units, and the scale that the masses are read on.
#[derive(Clone, Copy, Debug, Default)]
pub struct Voice {
    manner: Manner,
    scale: Option<Scale>,
    /// One unit of the last digit typed, in SI base units.
    last_place: f64,
}

impl Voice {
    /// The voice for somebody who typed this, with a scale if one is known.
    pub fn of(reading: &Reading, scale: Option<Scale>) -> Self {
        Self {
            manner: Manner::of(reading),
            scale,
            last_place: reading.last_place(),
        }
    }

    /// The voice for somebody who typed no mass, with a scale if one is known.
    pub fn plain(scale: Option<Scale>) -> Self {
        Self {
            scale,
            // Nothing was typed more finely than a few figures.
            last_place: f64::INFINITY,
            ..Self::default()
        }
    }

    /// What the scale is to show: to its step where it is known, whatever the
    /// doubt of what lies on it.
    pub fn reading(&self, mass: &Estimate<Mass>) -> String {
        let digits = match self.scale {
            Some(scale) => Digits::Place(scale.division().base()),
            None => self.exact(mass.best()),
        };
        self.manner.mass(mass.best(), digits)
    }

    /// A mass to weigh out: to the scale's step where it is known, or to its
    /// doubt, whichever is the coarser.
    pub fn weight(&self, mass: &Estimate<Mass>) -> String {
        let half = half_width(mass);
        let digits = match self.scale {
            // Two figures of the half-width may be finer than the scale shows.
            Some(scale) if half < 10.0 * scale.division().base() => {
                Digits::Place(scale.division().base())
            }
            _ if half > 0.0 => Digits::Within(half, self.figures(mass.best())),
            _ => self.exact(mass.best()),
        };
        self.manner.mass(mass.best(), digits)
    }

    /// Significant figures of a mass: a few, or more where the leaf was typed
    /// more finely.
    fn figures(&self, mass: Mass) -> u32 {
        let mut steps = mass.base().abs() / (1e4 * self.last_place);
        let mut figures = FIGURES;
        while steps >= 1.0 && figures < 15 {
            steps /= 10.0;
            figures += 1;
        }
        figures
    }

    /// Digits of a mass without doubt: a few figures, or more where the leaf
    /// was typed more finely.
    fn exact(&self, mass: Mass) -> Digits {
        if mass.base().abs() >= 1e4 * self.last_place {
            Digits::Place(self.last_place)
        } else {
            Digits::AtMost(FIGURES)
        }
    }

    /// A mass not to be passed: that of the scale's step below it, or its three
    /// first figures.
    pub fn at_most(&self, mass: Mass) -> Mass {
        // A step short of the figure by rounding alone is that step.
        self.by_steps(mass, |steps| (steps + 1e-9).floor())
    }

    /// A mass to be reached: that of the scale's step above it, or its three first
    /// figures.
    pub fn at_least(&self, mass: Mass) -> Mass {
        self.by_steps(mass, |steps| (steps - 1e-9).ceil())
    }

    fn by_steps(&self, mass: Mass, whole: impl Fn(f64) -> f64) -> Mass {
        let step = match self.scale {
            Some(scale) => scale.division().base(),
            // Three figures are as many as are poured.
            None => 10_f64.powf(mass.base().log10().floor() - 2.0),
        };
        if !(step > 0.0 && step.is_finite()) {
            return mass;
        }
        Mass::of_base(whole(mass.base() / step) * step)
    }

    /// The readings between two masses; the one next to `best` where the scale has
    /// none between them.
    pub fn between(&self, least: Mass, best: Mass, most: Mass) -> String {
        let (from, to) = (self.at_least(least), self.at_most(most));
        let (from, to) = if from <= to { (from, to) } else { (best, best) };
        format!("{} to {}", self.mass_shown(from), self.mass_shown(to))
    }

    /// A mass that the scale shows as it is.
    pub fn mass_shown(&self, mass: Mass) -> String {
        match self.scale {
            Some(scale) => self
                .manner
                .mass(mass, Digits::Place(scale.division().base())),
            None => self.mass(mass),
        }
    }

    /// A mass to a step, without zeros at the end of its decimals.
    pub fn mass_to(&self, mass: Mass, step: f64) -> String {
        let steps = (mass.base() / step).abs().round();
        let mut figures = 1;
        while figures < 15 && steps >= 10_f64.powi(figures) {
            figures += 1;
        }
        let rounded = Mass::of_base((mass.base() / step).round() * step);
        self.manner
            .mass(rounded, Digits::AtMost(figures.unsigned_abs()))
    }

    /// The decimal of the unit that masses are said in which is no coarser than a step,
    /// both in SI base units.
    pub fn decimal(&self, step: f64) -> f64 {
        let size = self.manner.mass_unit().size();
        size * 10_f64.powf(((step / size).log10() + 1e-9).floor())
    }

    /// One unit of the last digit that was typed, in SI base units.
    pub const fn last_place(&self) -> f64 {
        self.last_place
    }

    /// A mass without doubt.
    pub fn mass(&self, mass: Mass) -> String {
        self.manner.mass(mass, self.exact(mass))
    }

    /// A mass, with its half-width at 95 %.
    pub fn with_doubt(&self, mass: &Estimate<Mass>) -> String {
        self.manner
            .mass(mass.best(), Digits::Doubt(half_width(mass)))
    }
}
