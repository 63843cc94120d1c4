//! Warns about house-style texts that this tool cannot back: numbers with a unit,
//! and claims of approval. The house may make both, but nobody else can check
//! them. Also warns about a text that is missing in a language of the papers.

use super::clauses::in_file;
use super::decode::{HouseContent, HouseText};
use super::rules;
use crate::core::finding::Finding;
use crate::core::source::Spanned;
use crate::spec::language::Language;

/// Units as written after a number. Some are also ordinary words: a false alarm
/// on "2 in the box" is better than missing "0.5 in deep".
const UNITS: &str = "s, sec, secs, second, seconds, min, mins, minute, minutes, h, hour, hours, \
    in, inch, inches, ft, m, cm, mm, psi, psig, bar, kpa, mpa, percent, f, c, deg, degree, degrees, \
    seg, segundo, segundos, minuto, minutos, hora, horas, pulg, pulgada, pulgadas, pie, pies, \
    grado, grados, por ciento";

/// Words that claim approval, in lower case.
fn claim_words(language: Language) -> &'static [&'static str] {
    match language {
        Language::En => &[
            "approved",
            "approves",
            "approval",
            "certified",
            "certifies",
            "certification",
            "complies",
            "comply",
            "compliant",
            "compliance",
            "conforms",
            "accepted by",
        ],
        Language::Es => &[
            "aprobado",
            "aprobada",
            "aprobados",
            "aprobadas",
            "aprobación",
            "certificado",
            "certificada",
            "certificados",
            "certificadas",
            "certificación",
            "homologado",
            "homologada",
            "cumple",
            "cumplen",
            "cumplimiento",
            "conforme a",
            "aceptado por",
            "aceptada por",
            "aceptados por",
            "aceptadas por",
        ],
    }
}

/// Checks every text of a house style; `file` is its file.
pub(super) fn check(read: &HouseContent, file: &str) -> Vec<Finding> {
    let replaced = read.clauses.iter().map(|c| (c.language, &c.words));
    let added = read.added.iter().flat_map(|text| {
        let words = text.title.iter().chain(&text.paragraphs);
        words.map(|words| (text.language, words))
    });
    replaced
        .chain(added)
        .flat_map(|(language, words)| check_one(language, words, file))
        .collect()
}

fn check_one(language: Language, words: &Spanned<String>, file: &str) -> Vec<Finding> {
    let text = without_code(&words.value);
    let place = |(start, end): (usize, usize)| in_file(words, start, end, file);
    let excerpt = |(start, end): (usize, usize)| text.get(start..end).unwrap_or_default();
    let figures = numbers_with_unit(&text).into_iter().map(|range| {
        rules::HOUSE_FIGURE
            .at(
                place(range),
                format!("the house style says '{}' by itself", excerpt(range)),
            )
            .help("state figures in the spec, where they are checked; leave the text without them")
    });
    let claims = approval_claims(&text, language).into_iter().map(|range| {
        rules::HOUSE_CLAIMS_APPROVAL
            .at(
                place(range),
                format!("the house style says '{}'", excerpt(range)),
            )
            .help("leave out who approves what, unless your organization answers for the claim")
    });
    figures.chain(claims).collect()
}

/// Blanks out template code in a clause; everything else keeps its place.
fn without_code(text: &str) -> String {
    ["{{", "}}", "{%", "%}"]
        .iter()
        .fold(text.to_owned(), |text, mark| text.replace(mark, "  "))
}

/// Ranges of numbers that have a unit, unit included.
fn numbers_with_unit(text: &str) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(rest) = text.get(at..) {
        let Some(offset) = rest.find(is_digit) else {
            break;
        };
        let start = at + offset;
        let number = rest.get(offset..).unwrap_or_default();
        let long = number.find(|c: char| !(is_digit(c) || ".,/".contains(c)));
        let (digits, after) = number.split_at(long.unwrap_or(number.len()));
        at = start + digits.len();
        // `D2513 s` is not a number; a unit may be attached, spaced, or
        // hyphenated.
        let before = text.get(..start).and_then(|text| text.chars().next_back());
        let unit = after.trim_start_matches(|c: char| c.is_whitespace() || c == '-');
        let gap = after.len() - unit.len();
        if let Some(long) = unit_length(unit)
            && !before.is_some_and(char::is_alphanumeric)
        {
            at += gap + long;
            found.push((start, at));
        }
    }
    found
}

fn is_digit(c: char) -> bool {
    c.is_ascii_digit() || "¼½¾".contains(c)
}

/// Length of the unit at the start of a text.
fn unit_length(text: &str) -> Option<usize> {
    if let Some(sign) = text.chars().next().filter(|c| "%°″℃℉".contains(*c)) {
        let letter = text.get(sign.len_utf8()..)?.trim_start();
        let scale = letter.starts_with(['F', 'C']) && sign == '°';
        let end = text.len() - letter.len() + 1;
        return Some(if scale { end } else { sign.len_utf8() });
    }
    let starts = |unit: &&str| {
        let head = text.get(..unit.len());
        let next = text.get(unit.len()..).and_then(|t| t.chars().next());
        head.is_some_and(|head| head.eq_ignore_ascii_case(unit))
            && !next.is_some_and(char::is_alphanumeric)
    };
    UNITS.split(", ").find(starts).map(str::len)
}

/// Ranges of words that claim approval.
fn approval_claims(text: &str, language: Language) -> Vec<(usize, usize)> {
    let letter = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    // Lowercased letter by letter, so byte ranges still fit the original.
    let lower: String = text
        .chars()
        .map(|c| {
            let mut lower = c.to_lowercase();
            match (lower.next(), lower.next()) {
                (Some(lower), None) if lower.len_utf8() == c.len_utf8() => lower,
                _ => c,
            }
        })
        .collect();
    let mut found: Vec<_> = claim_words(language)
        .iter()
        .flat_map(|claim| lower.match_indices(claim))
        .map(|(start, claim)| (start, start + claim.len()))
        .filter(|(start, end)| {
            let before = lower.get(..*start).and_then(|t| t.chars().next_back());
            let after = lower.get(*end..).and_then(|t| t.chars().next());
            !letter(before) && !letter(after)
        })
        .collect();
    found.sort_unstable();
    found
}

/// Reports texts that exist in another language but not in one of the papers'.
pub(super) fn missing_translations(read: &HouseContent, languages: &[Language]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for language in languages {
        let tag = language.tag();
        let without = |what: String, words: &str| {
            format!("{what} has no text in '{tag}': papers in that language {words}")
        };
        let mut reported = Vec::new();
        for clause in read.clauses.iter().filter(|c| c.language != *language) {
            let key = clause.key.value.as_str();
            let of_key = |c: &&super::decode::HouseClause| c.key.value == key;
            let mut same = read.clauses.iter().filter(of_key);
            if reported.contains(&key) || same.any(|c| c.language == *language) {
                continue;
            }
            reported.push(key);
            findings.push(rules::HOUSE_TEXT_MISSING_IN_LANGUAGE.at(
                clause.key.span,
                without(format!("'{key}'"), "have the program's own words"),
            ));
        }
        for text in unpaired(&read.added, *language) {
            let name = match &text.title {
                Some(title) => format!("'{}'", title.value),
                None => format!("text {}", text.place),
            };
            findings.push(
                rules::HOUSE_TEXT_MISSING_IN_LANGUAGE.at(text.span, without(name, "lack it")),
            );
        }
    }
    findings
}

/// Added texts that a language lacks: for each place, those beyond the number it
/// has there itself.
fn unpaired(added: &[HouseText], language: Language) -> Vec<&HouseText> {
    let nth = |text: &HouseText| {
        let before = added.iter().take_while(|other| !std::ptr::eq(*other, text));
        before
            .filter(|other| other.language == text.language && other.place == text.place)
            .count()
    };
    let own = |place: &str| {
        let there = |t: &&HouseText| t.language == language && t.place == place;
        added.iter().filter(there).count()
    };
    let lacks = |text: &&HouseText| text.language != language && nth(text) >= own(text.place);
    added.iter().filter(lacks).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn excerpt(text: &str, find: impl Fn(&str) -> Vec<(usize, usize)>) -> Vec<String> {
        let text = without_code(text);
        let range = |(start, end)| text.get(start..end).map(str::to_owned);
        find(&text).into_iter().filter_map(range).collect()
    }

    #[test]
    fn numbers_with_a_unit_are_figures() {
        for (text, wanted) in [
            ("at 500 °F or 260°C", &["500 °F", "260°C"][..]),
            ("for 12 to 14 s.", &["14 s"]),
            ("a 5-minute wait, 0.5 in deep", &["5-minute", "0.5 in"]),
            ("¾ in, 90 PSI, 5 %", &["¾ in", "90 PSI", "5 %"]),
            ("espere 30 segundos a 5 mm", &["30 segundos", "5 mm"]),
            ("at 5 percent", &["5 percent"]),
            ("{{ 500 }} °F", &["500    °F"]),
            ("{% if n > 5 %}{{ n }}{% endif %}", &[]),
            ("call 555 0142 at 14 Mill Lane, see D2513 s", &[]),
            ("6 fusers, step 4, 3 sizes", &[]),
        ] {
            assert_eq!(excerpt(text, numbers_with_unit), wanted, "{text}");
        }
    }

    #[test]
    fn claims_are_whole_words_of_the_language() {
        let of = |text: &str, language| excerpt(text, |text| approval_claims(text, language));
        assert_eq!(
            of("Approved pipe, CERTIFIED; accepted by all.", Language::En),
            ["Approved", "CERTIFIED", "accepted by"]
        );
        assert_eq!(of("unapproved, certifieds", Language::En), [""; 0]);
        assert_eq!(
            of("CERTIFICACIÓN. Cumple, aprobada", Language::Es),
            ["CERTIFICACIÓN", "Cumple", "aprobada"]
        );
        assert_eq!(of("Approved", Language::Es), [""; 0]);
    }
}
