//! Rules about reading a spec: whether it is YAML, has the fields, and gives
//! quantities with their units.

use crate::core::finding::{
    Finding, Rule,
    Severity::{Error, Warning},
};

/// The rules of this stage.
pub static RULES: &[&Rule] = &[
    &NOT_YAML,
    &SPEC_TOO_LARGE,
    &LIST_TOO_LONG,
    &SPEC_EMPTY,
    &FORMAT_VERSION,
    &DUPLICATE_KEY,
    &UNKNOWN_FIELD,
    &MISSING_FIELD,
    &WRONG_TYPE,
    &UNKNOWN_WORD,
    &TEXT_NOT_PRINTABLE,
    &NO_GLYPH,
    &BLANK_LEFT,
    &EXAMPLE_LEFT,
    &UNFINISHED_TEXT,
    &NUMBER_NOT_A_FILE_NAME,
    &MISSING_UNIT,
    &WRONG_UNIT,
    &NOT_A_QUANTITY,
    &NOT_A_SIZE,
    &NOT_A_DATE,
    &super::plausible::IMPLAUSIBLE_VALUE,
    &MIXED_SIZE_SYSTEMS,
    &SAME_NUMBER_TWICE,
    &FILE_NOT_READ,
];

/// Rules after which everything the spec gives was still read.
static READ_ANYWAY: &[&Rule] = &[
    &FORMAT_VERSION,
    &DUPLICATE_KEY,
    &UNKNOWN_FIELD,
    &NO_GLYPH,
    &BLANK_LEFT,
    &EXAMPLE_LEFT,
    &UNFINISHED_TEXT,
    &SAME_NUMBER_TWICE,
    &FILE_NOT_READ,
];

/// Whether a finding about reading leaves a value of the spec out of what the
/// rules of the trade see.
pub fn leaves_value_unread(finding: &Finding) -> bool {
    let slug = finding.rule.slug;
    let is_in = |rules: &[&Rule]| rules.iter().any(|rule| rule.slug == slug);
    is_in(RULES) && !is_in(READ_ANYWAY)
}

/// The text is not YAML.
pub static NOT_YAML: Rule = Rule {
    slug: "not-yaml",
    severity: Error,
    summary: "The file is not well-formed YAML, so nothing in it can be checked.",
    why: "A spec that can be read in two ways would print two procedures. The reader stops at \
          the first place where the structure is not certain.",
    example: "heater:\n\tset_point: 500 °F      # a tab",
    fix: "Indent with spaces, close every bracket and quote, and put quotes around a text that \
          holds ': ' or starts with @, %, & or *.",
    dated: false,
};

/// The text is larger or more deeply nested than any spec is.
pub static SPEC_TOO_LARGE: Rule = Rule {
    slug: "spec-too-large",
    severity: Error,
    summary: "The file is larger, or nested deeper, than a procedure can be.",
    why: "A spec has some hundred lines. A file of many megabytes, or thousands of levels deep, \
          is a mistake or an attack, and reading it would take the machine's memory.",
    example: "a: &a [x, x, x]\nb: &b [*a, *a, *a]      # and so on, nine times",
    fix: "Check that the right file was given. A spec may have 1 MiB, 50 000 values and 32 levels.",
    dated: false,
};

/// A list has more entries than papers take.
pub static LIST_TOO_LONG: Rule = Rule {
    slug: "list-too-long",
    severity: Error,
    summary: "A list has more entries than a procedure can use, or too many pipes are claimed.",
    why: "The papers grow with each entry, and so do the time and the memory that they take. \
          Nobody finds their line in a table of hundreds.",
    example: "dimension_ratio: [7.00, 7.01, 7.02]      # and so on, to 17",
    fix: "Keep up to 200 entries in a list, and up to 300 pairs of a size and a wall in a spec. \
          Give other sizes a spec of their own.",
    dated: false,
};

/// Nothing in the file.
pub static SPEC_EMPTY: Rule = Rule {
    slug: "spec-empty",
    severity: Error,
    summary: "The file holds no procedure.",
    why: "An empty file is what is left of a save that failed.",
    example: "# only a comment",
    fix: "Start from `coldring new FILE`, which writes a commented spec.",
    dated: false,
};

/// The format is one this version does not read.
pub static FORMAT_VERSION: Rule = Rule {
    slug: "format-version",
    severity: Error,
    summary: "The spec does not say it is written in format 1.",
    why: "The first line tells the tool how to read the rest. A spec of a later format may use \
          a field in another sense, and a time read in another sense is a wrong time.",
    example: "coldring: 2",
    fix: "Write `coldring: 1` as the first line.",
    dated: false,
};

/// The same key twice in one group.
pub static DUPLICATE_KEY: Rule = Rule {
    slug: "duplicate-key",
    severity: Error,
    summary: "A field or a size is given twice in the same group.",
    why: "Two values for one thing, and the paper can print only one of them. Nobody should \
          have to know which of the two a program picks.",
    example: "heater:\n  set_point: 500 °F\n  set_point: 510 °F",
    fix: "Keep the one that is meant and delete the other.",
    dated: false,
};

/// A field the format does not have.
pub static UNKNOWN_FIELD: Rule = Rule {
    slug: "unknown-field",
    severity: Error,
    summary: "A field that a spec does not have; often a misspelling.",
    why: "A field that is silently ignored looks as if it had been obeyed: a misspelt least \
          wall would protect nobody.",
    example: "heater:\n  setpoint: 500 °F",
    fix: "Use the name the message proposes, or move a remark into a # comment.",
    dated: false,
};

/// A field that must be there.
pub static MISSING_FIELD: Rule = Rule {
    slug: "missing-field",
    severity: Error,
    summary: "A field without which no procedure can be written.",
    why: "A procedure that does not say its resin, its sizes or its heater setting is not one \
          a person can follow, and no default would be honest.",
    example: "scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}      # no resin",
    fix: "Add the field the message names.",
    dated: false,
};

/// A list where a value is wanted, and the like.
pub static WRONG_TYPE: Rule = Rule {
    slug: "wrong-type",
    severity: Error,
    summary: "A single value, a list or a group stands where another of them is wanted.",
    why: "The value cannot be read as what the field means.",
    example: "heater: 500 °F      # a group of fields is wanted",
    fix: "Give the field the form the message names; `coldring new FILE` shows each.",
    dated: false,
};

/// A word outside the field's list.
pub static UNKNOWN_WORD: Rule = Rule {
    slug: "unknown-word",
    severity: Error,
    summary: "A field that takes one of a few words has another one.",
    why: "Each word changes what is checked and printed; a near miss must not be guessed.",
    example: "procedure: {status: approved}      # draft, qualified or withdrawn",
    fix: "Use one of the words the message lists.",
    dated: false,
};

/// A text that cannot be printed.
pub static TEXT_NOT_PRINTABLE: Rule = Rule {
    slug: "text-not-printable",
    severity: Error,
    summary: "A text is empty, far too long, or holds control characters.",
    why: "A text that prints as nothing, or that a printer takes as a command, has no place on \
          a paper people trust.",
    example: "procedure: {title: \"\"}",
    fix: "Write a line of ordinary text, at most 300 characters.",
    dated: false,
};

/// A character none of the embedded fonts can draw.
pub static NO_GLYPH: Rule = Rule {
    slug: "no-glyph",
    severity: Error,
    summary: "A character that none of the embedded fonts can draw.",
    why: "It would print as an empty box or not at all, and a word with a hole in it is not the \
          word that was approved.",
    example: "procedure: {title: Socket fusion \u{6c34}}",
    fix: "Spell the word with letters the fonts have: Latin, Greek and Cyrillic, and common signs.",
    dated: false,
};

/// A procedure number that cannot name a folder.
pub static NUMBER_NOT_A_FILE_NAME: Rule = Rule {
    slug: "number-not-a-file-name",
    severity: Error,
    summary: "The procedure number cannot be used as the name of a folder.",
    why: "The papers of a procedure are kept in a folder named by its number and revision. A \
          number with a slash would put them somewhere else, and some names mean a device.",
    example: "procedure: {number: GAS/SF/12}",
    fix: "Use letters, digits, hyphens, underscores and points, at most 40, beginning with a \
          letter or a digit.",
    dated: false,
};

/// Dots in the place of a value.
pub static BLANK_LEFT: Rule = Rule {
    slug: "blank-left",
    severity: Error,
    summary: "A value is dots that were to be filled in.",
    why: "The dots of the starter and of these pages stand for what only you know. On a paper \
          they would look like an answer.",
    example: "qualification: {rules: […]}",
    fix: "Write what holds for you, or take the field out.",
    dated: false,
};

/// Words of the starter.
pub static EXAMPLE_LEFT: Rule = Rule {
    slug: "example-left",
    severity: Warning,
    summary: "A text is still the example that the starter or a finding gave.",
    why: "An example reads like an answer once it is printed: a source that nobody has, rules \
          that nobody named. The papers print it, since a draft may wait for it.",
    example: "procedure: {organization: Your organization}",
    fix: "Write your own words in its place.",
    dated: false,
};

/// A bare number.
pub static MISSING_UNIT: Rule = Rule {
    slug: "missing-unit",
    severity: Error,
    summary: "A number without the unit it needs.",
    why: "500 may be Fahrenheit or Celsius, 20 may be seconds or millimetres. The wrong guess \
          burns a pipe end or a hand.",
    example: "heater: {set_point: 500}",
    fix: "Write the unit after the number: 500 °F, 0.64 in, 18 to 21 s, 5 min, 91 %.",
    dated: false,
};

/// A unit of another kind, or none that is known.
pub static WRONG_UNIT: Rule = Rule {
    slug: "wrong-unit",
    severity: Error,
    summary: "A unit that is not known, or that measures something else.",
    why: "A depth in seconds is a slip of the pen, and the figure next to it is then suspect.",
    example: "tools: {depth_gauges: {1 IPS: {depth: 16 s}}}",
    fix: "Use one of the units the message lists.",
    dated: false,
};

/// Not a number at all, or a range the wrong way round.
pub static NOT_A_QUANTITY: Rule = Rule {
    slug: "not-a-quantity",
    severity: Error,
    summary: "A value that should be a quantity cannot be read as one.",
    why: "A figure goes onto the paper only when it is certain what it says.",
    example: "heater: {set_point: hot}",
    fix: "Write a decimal number with a point and a unit, a range as `18 to 21 s` with the \
          lower value first.",
    dated: false,
};

/// A note of the author to themselves.
pub static UNFINISHED_TEXT: Rule = Rule {
    slug: "unfinished-text",
    severity: Warning,
    summary: "A text still has a note such as TODO or TBD in it.",
    why: "The note is printed as it stands, and whoever works by the paper finds a gap where the \
          author meant to write something.",
    example: "cycles: {waits: {before_handling: {value: 10 min, source: \"TODO: page\"}}}",
    fix: "Finish the text, or take it out.",
    dated: false,
};

/// Not a nominal size.
pub static NOT_A_SIZE: Rule = Rule {
    slug: "not-a-size",
    severity: Error,
    summary: "A value that should be a nominal pipe size cannot be read as one.",
    why: "One-inch IPS pipe is 1.315 in across, one-inch CTS tubing 1.125 in: a size that does \
          not name its system names two different pipes.",
    example: "scope: {pipe: {sizes: 1-1/4, dimension_ratio: 11}}      # IPS or CTS?",
    fix: "Write 1-1/4 IPS, 1/2 CTS or 63 mm.",
    dated: false,
};

/// Not a date.
pub static NOT_A_DATE: Rule = Rule {
    slug: "not-a-date",
    severity: Error,
    summary: "A date is not written as year-month-day, or is not in the calendar.",
    why: "03/04/26 is March to one reader and April to the next, and revisions are put in order \
          by their dates.",
    example: "revisions: [{revision: 1, date: 09/14/2026}]",
    fix: "Write 2026-09-14.",
    dated: false,
};

/// A range from one size system into another.
pub static MIXED_SIZE_SYSTEMS: Rule = Rule {
    slug: "mixed-size-systems",
    severity: Error,
    summary: "A range of sizes begins in one size system and ends in another.",
    why: "IPS, CTS and metric sizes are different pipes; there is no row of sizes that leads \
          from one into the other.",
    example: "scope: {pipe: {sizes: 1/2 CTS to 2 IPS, dimension_ratio: 11}}",
    fix: "Give each system its own entry under `pipe`.",
    dated: false,
};

/// Two specs of one run would be written to the same folder.
pub static SAME_NUMBER_TWICE: Rule = Rule {
    slug: "same-number-twice",
    severity: Error,
    summary: "Two specs of one run have the same procedure number and revision.",
    why: "Their papers would lie in the same folder, one over the other, and a crew would carry \
          whichever was written last.",
    example: "# a.yaml and b.yaml both say\nprocedure: {number: HC-SF-104}      # revision 2",
    fix: "Give one of them another number, or a new revision; or build them into different \
          folders with --out.",
    dated: false,
};

/// A file that the spec names is not at hand.
pub static FILE_NOT_READ: Rule = Rule {
    slug: "file-not-read",
    severity: Error,
    summary: "A file that the spec names could not be read.",
    why: "What stands in the file decides what the papers say, so none is printed without it. \
          Only files in the folder of the spec are read: a spec that was handed on must not \
          reach into the rest of a machine.",
    example: "figures: {confirmations: ../elsewhere/read.yaml}",
    fix: "Put the file in the folder of the spec, or in a folder inside it, and write its path \
          from there: confirmations/read.yaml.",
    dated: false,
};
