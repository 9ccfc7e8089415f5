//! Which unit a text names at a place.

use super::Unit;
use super::cursor::{Cursor, Spot};
use super::spelling::UNITS;

/// What stands where a unit may stand.
pub(super) enum Named<'a> {
    /// No word at all.
    Nothing,
    /// A known unit; the cursor behind it.
    Unit(&'static Unit, Cursor<'a>),
    /// A spelling that has several readings.
    Ambiguous(&'static Ambiguous, Spot<'a>),
    /// A word that is no unit.
    Unknown(Spot<'a>),
}

/// A spelling that is never read, because it is said of several units.
pub(super) struct Ambiguous {
    spelling: &'static str,
    cased: bool,
    /// What it may mean.
    pub(super) readings: &'static str,
    /// What to type instead.
    pub(super) instead: &'static str,
}

const fn ambiguous(
    spelling: &'static str,
    readings: &'static str,
    instead: &'static str,
) -> Ambiguous {
    Ambiguous {
        spelling,
        cased: false,
        readings,
        instead,
    }
}

const fn ambiguous_cased(
    spelling: &'static str,
    readings: &'static str,
    instead: &'static str,
) -> Ambiguous {
    Ambiguous {
        cased: true,
        ..ambiguous(spelling, readings, instead)
    }
}

static AMBIGUOUS: &[Ambiguous] = &[
    ambiguous("gr", "gram or grain", "g or grain"),
    ambiguous("dr", "dram, drachm or drop", "dram or drops"),
    ambiguous(
        "ppt",
        "parts per thousand or parts per trillion",
        "‰ or g/kg",
    ),
    ambiguous_cased("t", "tonne or teaspoon", "Mg or tsp"),
    ambiguous_cased("T", "tonne or tablespoon", "Mg or tbsp"),
    ambiguous("m", "metre, milli- or minim", "mL or mg"),
    // Reached only when the case is neither of the two that are read.
    ambiguous("mg", "milligram or megagram", "mg or Mg"),
    ambiguous("mg/kg", "milligram or megagram per kilogram", "mg/kg"),
    ambiguous("mg/g", "milligram or megagram per gram", "mg/g"),
];

/// What the grammar of quantities uses itself, and no unit.
const GRAMMAR: &str = ",;()±+=-−–—‐‑";

/// No unit is spelled longer than this many characters.
const LONGEST: usize = 30;

/// Looks for a unit at the cursor, behind blanks.
///
/// The longest run of words that is a unit is taken, so that `fl oz` is not
/// cut short and `1 lb 6 oz` ends its first unit before the six.
pub(super) fn unit_at(cursor: Cursor<'_>) -> Named<'_> {
    let start = cursor.behind_blanks();
    if !start.peek().is_some_and(begins_unit) {
        return Named::Nothing;
    }
    let known = ends(start.rest())
        .into_iter()
        .rev()
        .find_map(|end| find(&start.rest()[..end]).map(|unit| (unit, end)));
    if let Some((unit, end)) = known {
        let mut behind = start;
        behind.skip(end);
        let mut next = behind.behind_blanks();
        if next.eat(&['/']).is_none() {
            return Named::Unit(unit, behind);
        }
        return unknown(start, next.behind_blanks());
    }
    unknown(start, start)
}

/// The known unit at the cursor, if there is one.
pub(super) fn known_at(cursor: Cursor<'_>) -> Option<&'static Unit> {
    match unit_at(cursor) {
        Named::Unit(unit, _) => Some(unit),
        _ => None,
    }
}

/// The word from the start to behind what already belongs to it.
fn unknown<'a>(start: Cursor<'a>, mut end: Cursor<'a>) -> Named<'a> {
    end.take_while(|c| !c.is_whitespace() && !GRAMMAR.contains(c));
    let spot = end.since(start);
    let word = tidy(spot.words());
    let ambiguous = AMBIGUOUS.iter().find(|a| {
        if a.cased {
            a.spelling == word
        } else {
            a.spelling.eq_ignore_ascii_case(&word)
        }
    });
    match ambiguous {
        Some(ambiguous) => Named::Ambiguous(ambiguous, spot),
        None => Named::Unknown(spot),
    }
}

/// Whether a word may begin with this character.
fn begins_unit(c: char) -> bool {
    !c.is_numeric() && c != '.' && !GRAMMAR.contains(c)
}

/// Where the words that may make up a unit end, as byte offsets.
fn ends(rest: &str) -> Vec<usize> {
    let mut ends = Vec::new();
    let mut before = None;
    for (at, c) in rest.char_indices().take(LONGEST) {
        let raised = c == '3' && matches!(before, Some('m' | 'M')) || c == '³';
        let inside = c.is_alphabetic() || raised || "%‰°º˚℃℉/".contains(c);
        let joins = c.is_whitespace() || c == '.' && before.is_some_and(char::is_alphabetic);
        // A word ends where letters stop, not between two letters.
        let letters = c.is_alphabetic() || raised;
        if at > 0 && !(letters && before.is_some_and(char::is_alphabetic)) {
            ends.push(at);
        }
        if !inside && !joins {
            return ends;
        }
        before = Some(c);
    }
    if rest.chars().nth(LONGEST).is_none() {
        ends.push(rest.len());
    }
    ends
}

/// The unit that a run of words spells.
fn find(words: &str) -> Option<&'static Unit> {
    if words.ends_with(char::is_whitespace) {
        return None;
    }
    let spelling = tidy(words);
    let said = slashed(&spelling);
    UNITS
        .iter()
        .find(|unit| unit.is_spelled(&spelling) || unit.is_spelled(&said))
        .copied()
}

/// A spelling as the rows have it: one letter for both micro signs, a plain
/// three, one degree sign, no dots, single blanks, none beside a slash.
fn tidy(words: &str) -> String {
    let mut tidy = String::new();
    for c in words.chars() {
        match c {
            'µ' | 'μ' => tidy.push('u'),
            '³' => tidy.push('3'),
            'º' | '˚' => tidy.push('°'),
            '℃' => tidy.push_str("°C"),
            '℉' => tidy.push_str("°F"),
            '.' => {}
            c if c.is_whitespace() => tidy.push(' '),
            c => tidy.push(c),
        }
    }
    let single = tidy.split_whitespace().collect::<Vec<_>>().join(" ");
    single
        .replace(" /", "/")
        .replace("/ ", "/")
        .replace("° ", "°")
}

/// The same with `/` where "per" is said between units or before one.
fn slashed(spelling: &str) -> String {
    spelling
        .split(' ')
        .map(|word| {
            if word.eq_ignore_ascii_case("per") {
                "/"
            } else {
                word
            }
        })
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" /", "/")
        .replace("/ ", "/")
}

/// Whether a quotient of two units would be made another by a change to one of
/// them that is no slip of the keys: `mL` of `mL/kg` is a unit as it stands.
fn changes_a_unit(word: &str, spelling: &str) -> bool {
    let (Some(typed), Some(known)) = (word.split_once('/'), spelling.split_once('/')) else {
        return false;
    };
    [(typed.0, known.0), (typed.1, known.1)]
        .into_iter()
        .any(|(typed, known)| !typed.eq_ignore_ascii_case(known) && find(typed).is_some())
}

/// The spelling nearest to a word, when it is near, among the units that pass.
pub(super) fn nearest(word: &str, pass: impl Fn(&Unit) -> bool) -> Option<&'static str> {
    let word = tidy(word).to_lowercase();
    let far = match word.chars().count() {
        0 | 1 => 0,
        // Two slips in a short word make any word of any other.
        2..=6 => 1,
        7..=LONGEST => 2,
        _ => return None,
    };
    UNITS
        .iter()
        .filter(|unit| pass(unit))
        .flat_map(|unit| unit.spellings())
        .filter(|spelling| !changes_a_unit(&word, spelling))
        .map(|spelling| {
            let plain = spelling.to_lowercase();
            // A word cut short: `fl` for `fl oz`.
            let is_start = far > 0 && plain.starts_with(&word);
            let distance = strsim::damerau_levenshtein(&word, &plain);
            let distance = if is_start { distance.min(1) } else { distance };
            ((distance, !is_start), spelling)
        })
        .filter(|((distance, _), _)| *distance <= far)
        .min_by_key(|(order, _)| *order)
        .map(|(_, spelling)| spelling)
}
