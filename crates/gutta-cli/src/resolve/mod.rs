//! From text to quantities, naming the flag in every complaint.

pub mod bring;
pub mod complaint;
pub mod curve;
pub mod density;
pub mod drop;
pub mod formula;
pub mod line;
pub mod liquid;
pub mod lot;
pub mod lots;
pub mod making;
pub mod record;
pub mod shelf;
pub mod stock;
pub mod supply;

use gutta::bench::{Added, Drop};
use gutta::matter::Method;
use gutta::measure::{
    AIR_PRESSURE, DENSITY, DROP_COUNT, Density, Drops, Kind, MASS, Mass, Measured, Pressure,
    ROOM_TEMPERATURE, Range, Ratio, Reading, Scalar, Scale, Temperature, VOLUME, WATER_TEMPERATURE,
    read,
};
use gutta::{Caution, Error, ErrorKind, Moisture};

use crate::answer::Answer;
use crate::failure::{Failure, Outcome};
use shelf::Shelf;

/// A flag, or a named argument, with the text that was given for it.
#[derive(Clone, Copy, Debug)]
pub struct Flag<'a> {
    /// The flag as it is typed, such as `--leaf`.
    pub name: &'static str,
    /// Its text.
    pub text: &'a str,
}

impl<'a> Flag<'a> {
    /// A flag with its text.
    pub const fn new(name: &'static str, text: &'a str) -> Self {
        Self { name, text }
    }

    /// A flag that may not be given.
    pub fn of(name: &'static str, text: Option<&'a String>) -> Option<Self> {
        text.map(|text| Self { name, text })
    }

    /// A flag that the question needs: what it says, and what to type.
    pub fn needed(
        name: &'static str,
        what: &str,
        text: Option<&'a String>,
        hint: &str,
    ) -> Outcome<Self> {
        Self::of(name, text)
            .ok_or_else(|| Failure::missing(name, format!("{what} is missing")).hint(hint))
    }

    /// The quantity, of one of some kinds.
    pub fn read(&self, kinds: &[Kind]) -> Outcome<Reading> {
        self.check_not_a_flag()?;
        read(self.text, kinds).map_err(|error| self.fail(error))
    }

    /// A value that is a flag itself was meant for that flag.
    fn check_not_a_flag(&self) -> Outcome<()> {
        if self.text.starts_with("--") {
            return Err(line::no_value_before(self.name, self.text));
        }
        Ok(())
    }

    /// A complaint of the library about this flag.
    pub fn fail(&self, error: Error) -> Failure {
        let failure = Failure::from(error).about(self.name);
        if failure.report().text.is_some() {
            failure
        } else {
            failure.pointing(self.text, 0, self.text.len())
        }
    }

    /// A complaint about the whole text of this flag.
    pub fn wrong(&self, kind: &str, message: impl Into<String>) -> Failure {
        Failure::unreadable(kind, message)
            .about(self.name)
            .pointing(self.text, 0, self.text.len())
    }

    /// Checks what was typed against a range.
    pub fn within(&self, range: &Range, reading: &Reading) -> Outcome<()> {
        range
            .check_typed(reading.base(), &reading.unbroken())
            .map_err(|error| self.fail(error))
    }

    /// A mass above 0, with the doubt of the scale where none is typed.
    pub fn mass(&self, scale: Option<Scale>) -> Outcome<Weight> {
        let reading = self.read(&[Kind::Mass])?;
        self.weight(reading, scale)
    }

    /// The mass of a reading that is one.
    pub fn weight(&self, reading: Reading, scale: Option<Scale>) -> Outcome<Weight> {
        let mass = reading
            .mass()
            .unwrap_or(Measured::exact(Mass::of_base(0.0)));
        self.within(&MASS, &reading)?;
        let mass = match scale {
            Some(scale) if reading.is_exact() => scale.weighed(mass.value()),
            _ => mass,
        };
        Ok(Weight { reading, mass })
    }

    /// A percentage on either basis, not yet a moisture.
    pub fn moisture_reading(&self) -> Outcome<Reading> {
        self.check_not_a_flag()?;
        read(self.text, &[Kind::Share]).map_err(|error| {
            let bare = error.kind() == ErrorKind::NoUnit;
            let mut failure = self.fail(error);
            let report = failure.report_mut();
            if let Some(hint) = report.hint.as_mut().filter(|_| bare) {
                let typed = hint.trim_start_matches("write ").to_owned();
                *hint += &format!(", or {typed} db on dry basis");
            }
            failure
        })
    }

    /// A moisture as found, on either basis.
    pub fn moisture(&self) -> Outcome<(Reading, Measured<Moisture>)> {
        let reading = self.moisture_reading()?;
        let moisture = Moisture::read(&reading).map_err(|error| self.fail(error))?;
        Ok((reading, moisture))
    }

    /// A moisture that is wanted, on either basis.
    pub fn target(&self) -> Outcome<(Reading, Moisture)> {
        let reading = self.moisture_reading()?;
        let target = Moisture::read_target(&reading).map_err(|error| self.fail(error))?;
        Ok((reading, target))
    }

    /// What was found under a word that is one of a few; where nothing was, the
    /// nearest of them is named, or what there is.
    pub fn one_of<T>(
        &self,
        found: Option<T>,
        names: impl IntoIterator<Item = &'static str>,
        kind: &str,
        message: impl Into<String>,
        what_there_is: impl FnOnce() -> String,
    ) -> Outcome<T> {
        found.ok_or_else(|| {
            let hint = match gutta_book::nearest(self.text, names) {
                Some(near) => format!("did you mean {near}?"),
                None => what_there_is(),
            };
            self.wrong(kind, message).hint(hint)
        })
    }

    /// A percentage that carries no doubt.
    pub fn exact_share(&self, range: &Range) -> Outcome<Ratio> {
        let reading = self.read(&[Kind::Share])?;
        if !reading.is_exact() || reading.basis().is_some() {
            return Err(self.fail(
                Error::new(ErrorKind::Doubt, format!("{} is a plain figure", self.name))
                    .with_hint("type it alone, such as 1%"),
            ));
        }
        self.within(range, &reading)?;
        Ok(Ratio::of_base(reading.base()))
    }

    /// A relative humidity within a range, with the doubt that was typed; `RH`
    /// may stand behind it.
    pub fn humidity(&self, range: &Range) -> Outcome<Measured<Ratio>> {
        let text = self.text.trim_end();
        let bare = ["RH", "rh", "rH", "r.h."]
            .iter()
            .find_map(|behind| text.strip_suffix(behind))
            .unwrap_or(text);
        let reading = Flag::new(self.name, bare).read(&[Kind::Share])?;
        if reading.basis().is_some() {
            return Err(self
                .wrong("wrong-kind", "a relative humidity has no moisture basis")
                .hint("type it alone, such as 60%"));
        }
        self.within(range, &reading)?;
        Ok(share_of(&reading))
    }

    /// The count of a reading that is one. Counts are exact.
    pub fn count(&self, reading: &Reading) -> Outcome<Drops> {
        if !reading.is_exact() {
            return Err(self.fail(
                Error::new(ErrorKind::Doubt, "a count of drops is exact").with_hint(
                    "type the count alone, such as 7drops; what is in doubt is the drop: --drop \"21.4mg ± 1mg\"",
                ),
            ));
        }
        self.within(&DROP_COUNT, reading)?;
        Ok(Drops::new(reading.base()))
    }

    /// The density of a liquid.
    pub fn density(&self) -> Outcome<(Reading, Measured<Density>)> {
        let reading = self.read(&[Kind::Density])?;
        self.within(&DENSITY, &reading)?;
        let density = reading.density();
        Ok((
            reading,
            density.unwrap_or(Measured::exact(Density::of_base(0.0))),
        ))
    }

    /// A temperature of anything.
    pub fn any_temperature(&self) -> Outcome<Measured<Temperature>> {
        let reading = self.read(&[Kind::Temperature])?;
        Ok(reading
            .temperature()
            .unwrap_or(Measured::exact(ROOM_TEMPERATURE)))
    }

    /// The temperature of water or of the room.
    pub fn temperature(&self) -> Outcome<Measured<Temperature>> {
        let reading = self.read(&[Kind::Temperature])?;
        self.within(&WATER_TEMPERATURE, &reading)?;
        self.any_temperature()
    }

    /// The pressure of the room.
    pub fn pressure(&self) -> Outcome<Measured<Pressure>> {
        let reading = self.read(&[Kind::Pressure])?;
        self.within(&AIR_PRESSURE, &reading)?;
        Ok(reading
            .pressure()
            .unwrap_or(Measured::exact(gutta::measure::STANDARD_PRESSURE)))
    }
}

/// The flag that a complaint is about: that of the temperature where it is one
/// about it and was typed, or else another.
pub fn by_temperature<'a>(typed: Option<Flag<'a>>, or: Flag<'a>, error: &Error) -> Flag<'a> {
    let about_it = error.to_string().starts_with("the temperature");
    typed.filter(|_| about_it).unwrap_or(or)
}

/// The share of a reading that is one.
pub fn share_of(reading: &Reading) -> Measured<Ratio> {
    let none = Measured::exact(Ratio::of_base(0.0));
    reading.share().unwrap_or(none)
}

/// What stands behind a part of a text, a comma and blanks between left out.
pub fn behind(text: &str) -> &str {
    text.trim_start_matches([' ', ',', '\u{a0}'])
}

/// A complaint about a piece of the flag's text, pointing into the whole.
pub fn moved(flag: Flag<'_>, error: Error, by: usize) -> Failure {
    let place = error.place().map(|place| (place.at, place.len));
    let failure = flag.fail(error);
    match place {
        Some((at, len)) => failure.pointing(flag.text, by + at, len),
        None => failure,
    }
}

/// A mass with the way it was typed.
#[derive(Clone, Debug)]
pub struct Weight {
    /// As it was typed.
    pub reading: Reading,
    /// The mass with its doubt.
    pub mass: Measured<Mass>,
}

/// The scale: a typed division, or one of the book by its name.
pub fn scale(text: Option<&String>, shelf: &Shelf) -> Outcome<Option<Scale>> {
    let Some(flag) = Flag::of("--scale", text) else {
        return Ok(None);
    };
    let is_name = flag
        .text
        .trim_start()
        .starts_with(|c: char| c.is_alphabetic() || c == '_');
    if is_name {
        return shelf.scale(flag).map(Some);
    }
    let reading = flag.read(&[Kind::Mass])?;
    if !reading.is_exact() {
        return Err(flag.fail(
            Error::new(ErrorKind::Doubt, "a scale's division is exact")
                .with_hint("type its smallest step alone, such as --scale 0.01g"),
        ));
    }
    Scale::new(Mass::of_base(reading.base()))
        .map(Some)
        .map_err(|error| flag.fail(error))
}

/// The ways to come by a moisture.
const NO_MOISTURE: &str = "weigh an oven dish of it before and after drying, re-weigh a jar whose \
     moisture you knew, or type a wide range such as --at \"11% ± 4%\"";

/// The moisture of the leaf, typed or from a lot of the book. `when_wide` says
/// what comes of a wide range, to somebody who has no moisture.
pub fn leaf_moisture(
    at: Option<&String>,
    lot: Option<&String>,
    when_wide: &str,
    shelf: &Shelf,
    assumed: &mut Assumed,
) -> Outcome<(Reading, Measured<Moisture>)> {
    let (reading, moisture) = match Flag::of("--lot", lot) {
        Some(flag) => {
            let lot = shelf.lot(flag)?;
            assumed.line(format!(
                "lot {}: {}{}",
                lot.name,
                lot.typed.unbroken(),
                lot.source()
            ));
            if let Some(method) = lot.method {
                assumed.method(method);
            }
            (lot.typed.clone(), lot.moisture)
        }
        None => {
            let hint = format!("{NO_MOISTURE}: {when_wide}");
            Flag::needed("--at", "the moisture of the leaf", at, &hint)?.moisture()?
        }
    };
    assumed.exact_if(
        moisture.is_exact(),
        format!("moisture {}", reading.unbroken()),
    );
    Ok((reading, moisture))
}

/// What a wide range of the moisture does to a figure that is worked out of it.
pub const DOUBT_IS_SAID: &str = "the answer then says how far it can be trusted";

/// Whether a liquid's name is that of water, which the book need not have.
pub fn is_water(name: &str) -> bool {
    name.trim().eq_ignore_ascii_case("water")
}

/// What an amount of a liquid can be typed as.
pub const AMOUNTS: &[Kind] = &[Kind::Mass, Kind::Volume, Kind::Drops];

/// Water that went on: weighed, measured, or counted with a drop that is known.
pub fn water_added(
    flag: Flag<'_>,
    reading: &Reading,
    scale: Option<Scale>,
    drop: Option<Drop>,
    assumed: &mut Assumed,
) -> Outcome<Added> {
    let exact = |assumed: &mut Assumed, is_exact| {
        assumed.exact_if(is_exact, format!("water {}", reading.unbroken()));
    };
    if let Some(volume) = reading.volume() {
        flag.within(&VOLUME, reading)?;
        exact(assumed, volume.is_exact());
        return Ok(Added::Volume(volume));
    }
    if reading.drops().is_none() {
        let mass = flag.weight(reading.clone(), scale)?.mass;
        exact(assumed, mass.is_exact());
        return Ok(Added::Mass(mass));
    }
    let count = flag.count(reading)?;
    match drop {
        Some(drop) => Ok(Added::Drops(count, drop)),
        None => {
            Err(Failure::missing("--drop", "the mass of a drop is missing").hint(drop::CALIBRATE))
        }
    }
}

/// How a moisture was found, where it is said.
pub fn method(text: Option<&String>, assumed: &mut Assumed) -> Outcome<()> {
    let Some(flag) = Flag::of("--by", text) else {
        return Ok(());
    };
    let names = Method::ALL.map(Method::name);
    let method = flag.one_of(
        Method::named(flag.text),
        names,
        "unknown-value",
        format!("`{}` is no way to find a moisture", flag.text),
        || format!("it is {}", names.join(", ")),
    )?;
    assumed.method(method);
    Ok(())
}

/// What is taken for granted, gathered while flags are read.
#[derive(Debug, Default)]
pub struct Assumed {
    method: Option<Method>,
    lines: Vec<String>,
    exact: Vec<String>,
    cautions: Vec<Caution>,
}

impl Assumed {
    /// Something assumed, in a line.
    pub fn line(&mut self, line: impl Into<String>) {
        self.lines.push(line.into());
    }

    /// Something assumed that may have been said already.
    pub fn once(&mut self, line: String) {
        if !self.lines.contains(&line) {
            self.lines.push(line);
        }
    }

    /// A number that carries no doubt.
    pub fn exact_if(&mut self, is_exact: bool, what: impl Into<String>) {
        let what = what.into();
        // What is in a liquid is said once, however often it goes on.
        if is_exact && !self.exact.contains(&what) {
            self.exact.push(what);
        }
    }

    /// How the moisture was found.
    pub fn method(&mut self, method: Method) {
        self.line(format!("the moisture was found {}", method.words()));
        self.carry(method);
    }

    /// What of a method goes on into what is worked out: an upper bound stays
    /// one, whatever else goes in, and a guess a guess.
    pub fn carry(&mut self, method: Method) {
        if method.is_upper_bound() && !self.is_upper_bound() {
            self.caution(Caution::OvenVolatiles);
        }
        let goes_on = method.is_upper_bound() || method == Method::Feel;
        if !self.is_upper_bound() && (goes_on || self.method.is_none()) {
            self.method = Some(method);
        }
    }

    /// The method of what is worked out by another: a bound stays a bound, a guess
    /// a guess.
    pub fn method_by(&self, method: Method) -> Method {
        match self.method {
            Some(found) if found.is_upper_bound() || found == Method::Feel => found,
            _ => method,
        }
    }

    /// Whether the moisture is at most what was typed.
    pub fn is_upper_bound(&self) -> bool {
        self.method.is_some_and(Method::is_upper_bound)
    }

    /// A caution that what was read gives rise to.
    pub fn caution(&mut self, caution: Caution) {
        if !self.cautions.contains(&caution) {
            self.cautions.push(caution);
        }
    }

    /// What was taken for granted elsewhere, too.
    pub fn join(&mut self, other: Self) {
        self.lines.extend(other.lines);
        self.exact.extend(other.exact);
        self.cautions.extend(other.cautions);
        if let Some(method) = other.method {
            self.carry(method);
        }
    }

    /// Hands all of it over to the answer; these cautions come first.
    pub fn settle(self, answer: &mut Answer) {
        answer.assumed = self.lines;
        if !self.exact.is_empty() {
            let line = format!("taken as exact: {}", self.exact.join(", "));
            answer.assumed.push(line);
        }
        let cautions = self.cautions.iter().map(ToString::to_string);
        answer.cautions.splice(0..0, cautions);
    }
}
