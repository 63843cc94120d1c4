//! Reads one of a few words, however it is capitalized and hyphenated, and by the
//! other names that the trade and spreadsheets have for it.

use super::node::Node;
use super::rules;
use super::scalar::scalar;
use crate::core::finding::Finding;
use crate::core::source::Spanned;

/// A value that a file names by one of a few words.
pub(crate) trait Word: Copy + PartialEq + 'static {
    /// Every value with its word.
    const WORDS: &'static [(&'static str, Self)];
    /// Words of earlier files, which are still read and no longer offered.
    const FORMER: &'static [(&'static str, Self)] = &[];
}

/// What may be ticked or not.
impl Word for bool {
    const WORDS: &'static [(&'static str, Self)] = &[("yes", true), ("no", false)];
}

/// Other names, as [`folded`] leaves them, and the word that each stands for where
/// a field has it. A name that leaves a doubt does not belong here.
const ALSO_WRITTEN: &[(&str, &str)] = &[
    ("true", "yes"),
    ("y", "yes"),
    ("false", "no"),
    ("n", "no"),
    ("crayon", "indicating stick"),
    ("stick", "indicating stick"),
    ("temperaturestick", "indicating stick"),
    ("temperaturecrayon", "indicating stick"),
    ("indicatingcrayon", "indicating stick"),
    ("tempstick", "indicating stick"),
    ("tempcrayon", "indicating stick"),
    ("onestick", "indicating stick"),
    ("onecrayon", "indicating stick"),
    ("1stick", "indicating stick"),
    ("1crayon", "indicating stick"),
    ("temperatureindicatingstick", "indicating stick"),
    ("temperatureindicatingcrayon", "indicating stick"),
    ("twosticks", "two indicating sticks"),
    ("twocrayons", "two indicating sticks"),
    ("2sticks", "two indicating sticks"),
    ("2crayons", "two indicating sticks"),
    ("2indicatingsticks", "two indicating sticks"),
    ("twoindicatingcrayons", "two indicating sticks"),
    ("twotemperaturesticks", "two indicating sticks"),
    ("twotemperaturecrayons", "two indicating sticks"),
    ("twotempsticks", "two indicating sticks"),
    ("2temperaturesticks", "two indicating sticks"),
    ("2temperaturecrayons", "two indicating sticks"),
    ("ipa", "isopropyl alcohol"),
    ("isopropanol", "isopropyl alcohol"),
    ("isopropyl", "isopropyl alcohol"),
    ("couplings", "coupling"),
    ("elbows", "elbow"),
    ("tees", "tee"),
    ("reducers", "reducer"),
    ("threadedtransitions", "threaded transition"),
    ("caps", "cap"),
    ("spigots", "spigot"),
    ("usa", "us"),
    ("passed", "pass"),
    ("failed", "fail"),
    ("english", "en"),
    ("spanish", "es"),
    ("español", "es"),
    ("labels", "label"),
    ("usletter", "letter"),
    ("naturalgas", "gas"),
    ("groundloop", "geothermal"),
    ("groundsource", "geothermal"),
    ("potable", "water"),
    ("potablewater", "water"),
    ("ell", "elbow"),
    ("ells", "elbow"),
    ("strap", "straps"),
    ("sustained", "sustained pressure"),
];

/// A word in small letters, without spaces, hyphens and underscores.
pub(crate) fn folded(word: &str) -> String {
    let joins = |c: char| c.is_whitespace() || "-_\u{2010}\u{2011}–\u{2212}".contains(c);
    let letters = word.chars().filter(|c| !joins(*c));
    letters.flat_map(char::to_lowercase).collect()
}

/// Every folded spelling that is read as this word.
pub(crate) fn spellings(word: &str) -> impl Iterator<Item = String> {
    let own = folded(word);
    let others = ALSO_WRITTEN
        .iter()
        .filter(move |(_, meant)| *meant == word)
        .map(|(other, _)| (*other).to_owned());
    std::iter::once(own).chain(others)
}

/// The word for a value.
pub(crate) fn name<T: Word>(value: &T) -> &'static str {
    let word = T::WORDS.iter().find(|(_, known)| known == value);
    word.map_or("", |(name, _)| name)
}

/// The word of a list that is written here, if it is one of them.
pub(crate) fn known<'w>(
    written: &str,
    words: impl IntoIterator<Item = &'w str>,
) -> Option<&'w str> {
    let written = folded(written);
    let mut words = words.into_iter();
    words.find(|word| spellings(word).any(|spelling| spelling == written))
}

/// One of a few words.
pub(crate) fn word<T: Word>(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<T>> {
    let written = scalar(node, findings)?;
    let readable = || T::WORDS.iter().chain(T::FORMER);
    let name = known(written, readable().map(|(name, _)| *name));
    if let Some((_, value)) = readable().find(|(word, _)| Some(*word) == name) {
        return Some(Spanned::new(*value, node.span));
    }
    let names: Vec<_> = T::WORDS.iter().map(|(name, _)| *name).collect();
    let finding = rules::UNKNOWN_WORD.at(node.span, format!("this field has no word '{written}'"));
    let help = format!("use one of: {}", names.join(", "));
    findings.push(match nearest(&written.to_lowercase(), &names) {
        Some(near) => finding
            .help(format!("did you mean '{near}'? {help}"))
            .edit(node.span, near),
        None => finding.help(help),
    });
    None
}

/// The candidate that is close enough to be a slip of the keys.
pub(crate) fn nearest<'c>(written: &str, candidates: &[&'c str]) -> Option<&'c str> {
    candidates
        .iter()
        .map(|candidate| (strsim::damerau_levenshtein(written, candidate), *candidate))
        .filter(|(distance, candidate)| *distance <= (candidate.len() / 3).max(1))
        .min()
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spec::FaceCheckMethod;

    #[test]
    fn a_word_is_read_however_it_is_joined_and_capitalized() {
        let names = || FaceCheckMethod::WORDS.iter().map(|(name, _)| *name);
        for (written, word) in [
            ("Pyrometer", "pyrometer"),
            ("INDICATING-STICK", "indicating stick"),
            ("indicating_stick", "indicating stick"),
            ("Crayon", "indicating stick"),
            ("Two Indicating Sticks", "two indicating sticks"),
            (" two sticks ", "two indicating sticks"),
        ] {
            assert_eq!(known(written, names()), Some(word), "{written}");
        }
        for written in ["", "sticks", "crayons", "thermometer", "pyrometers"] {
            assert_eq!(known(written, names()), None, "{written}");
        }
    }

    /// A spelling that stands for two words of a field would be a guess.
    #[test]
    fn no_spelling_stands_for_two_words() {
        let mut seen = std::collections::BTreeSet::new();
        for (other, _) in ALSO_WRITTEN {
            assert_eq!(folded(other), *other);
            assert!(seen.insert(other), "{other}");
        }
    }
}
