//! Rules about reading a spec: whether it is YAML, has the fields, and gives
//! quantities with their units.

use crate::core::finding::rules;

rules! {
    NOT_YAML = error("The file is not well-formed YAML, so nothing in it can be checked.")
        .leaves_unread()
        .why("A spec that can be read in two ways would print two procedures. The reader stops at \
              the first place where the structure is not certain.")
        .example("heater:\n\tset_point: 500 °F      # a tab")
        .fix("Indent with spaces, close every bracket and quote, and put quotes around a text that \
              holds ': ' or starts with @, %, & or *.");
    SPEC_TOO_LARGE = error("The file is larger, or nested deeper, than a procedure can be.")
        .leaves_unread()
        .why("A spec has some hundred lines. A file of many megabytes, or thousands of levels \
              deep, is a mistake or an attack, and reading it would take the machine's memory.")
        .example("a: &a [x, x, x]\nb: &b [*a, *a, *a]      # and so on, nine times")
        .fix("Check that the right file was given. A spec may have 1 MiB, 50 000 values and 32 \
              levels.");
    LIST_TOO_LONG = error(
        "A list has more entries than a procedure can use, or too many pipes are claimed.")
        .leaves_unread()
        .why("The papers grow with each entry, and so do the time and the memory that they take. \
              Nobody finds their line in a table of hundreds.")
        .example("dimension_ratio: [7.00, 7.01, 7.02]      # and so on, to 17")
        .fix("Keep up to 200 entries in a list, and up to 300 pairs of a size and a wall in a \
              spec. Give other sizes a spec of their own.");
    SPEC_EMPTY = error("The file holds no procedure.")
        .leaves_unread()
        .why("An empty file is what is left of a save that failed.")
        .example("# only a comment")
        .fix("Start from `coldring new FILE`, which writes a commented spec.");
    FORMAT_VERSION = error("The spec does not say it is written in format 1.")
        .why("The first line tells the tool how to read the rest. A spec of a later format may use \
              a field in another sense, and a time read in another sense is a wrong time.")
        .example("coldring: 2")
        .fix("Write `coldring: 1` as the first line.");
    DUPLICATE_KEY = error("A field or a size is given twice in the same group.")
        .why("Two values for one thing, and the paper can print only one of them. Nobody should \
              have to know which of the two a program picks.")
        .example("heater:\n  set_point: 500 °F\n  set_point: 510 °F")
        .fix("Keep the one that is meant and delete the other.");
    UNKNOWN_FIELD = error("A field that a spec does not have; often a misspelling.")
        .why("A field that is silently ignored looks as if it had been obeyed: a misspelt least \
              wall would protect nobody.")
        .example("heater:\n  setpoint: 500 °F")
        .fix("Use the name the message proposes, or move a remark into a # comment.");
    FIELD_OUT_OF_PLACE = error("A field stands in another group than its own.")
        .leaves_unread()
        .why("Which group a field belongs to is said by its indentation alone. A field that slipped \
              into another group is not read, and what it says would be missing from the papers.")
        .example("tools:\n  stand: HS-2\n  strength: 91 %      # of `cleaning`")
        .fix("Move the line to the group that the message names, indented like the lines there.");
    MISSING_FIELD = error("A field without which no procedure can be written.")
        .leaves_unread()
        .why("A procedure that does not say its resin, its sizes or its heater setting is not one \
              a person can follow, and no default would be honest.")
        .example("scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}      # no resin")
        .fix("Add the field the message names.");
    WRONG_TYPE = error("A single value, a list or a group stands where another of them is wanted.")
        .leaves_unread()
        .why("The value cannot be read as what the field means.")
        .example("heater: 500 °F      # a group of fields is wanted")
        .fix("Give the field the form the message names; `coldring new FILE` shows each.");
    UNKNOWN_WORD = error("A field that takes one of a few words has another one.")
        .leaves_unread()
        .why("Each word changes what is checked and printed; a near miss must not be guessed.")
        .example("procedure: {status: approved}      # draft, qualified or withdrawn")
        .fix("Use one of the words the message lists.");
    TEXT_NOT_PRINTABLE = error("A text is empty, far too long, or holds control characters.")
        .leaves_unread()
        .why("A text that prints as nothing, or that a printer takes as a command, has no place on \
              a paper people trust.")
        .example("procedure: {title: \"\"}")
        .fix("Write a line of ordinary text, at most 300 characters.");
    NO_GLYPH = error("A character that none of the embedded fonts can draw.")
        .why("It would print as an empty box or not at all, and a word with a hole in it is not \
              the word that was approved.")
        .example("procedure: {title: Socket fusion \u{6c34}}")
        .fix("Spell the word with letters the fonts have: Latin, Greek and Cyrillic, and common \
              signs.");
    BLANK_LEFT = error("A value is dots that were to be filled in.")
        .why("The dots of the starter and of these pages stand for what only you know. On a paper \
              they would look like an answer.")
        .example("qualification: {rules: […]}")
        .fix("Write what holds for you, or take the field out.");
    EXAMPLE_LEFT = warning("A text is still the example that the starter or a finding gave.")
        .why("An example reads like an answer once it is printed: a source that nobody has, rules \
              that nobody named. A draft prints it.")
        .example("procedure: {organization: Your organization}")
        .fix("Write your own words in its place.");
    UNFINISHED_TEXT = warning("A text still has a note such as TODO or TBD in it.")
        .why("The note is printed as it stands, and whoever works by the paper finds a gap where \
              the author meant to write something.")
        .example("cycles: {waits: {before_handling: {value: 10 min, source: \"TODO: page\"}}}")
        .fix("Finish the text, or take it out.");
    NUMBER_NOT_A_FILE_NAME = error("The procedure number cannot be used as the name of a folder.")
        .leaves_unread()
        .why("The papers of a procedure are kept in a folder named by its number and revision. A \
              number with a slash would put them somewhere else, and some names mean a device.")
        .example("procedure: {number: GAS/SF/12}")
        .fix("Use letters, digits, hyphens, underscores and points, at most 40, beginning with a \
              letter or a digit.");
    MISSING_UNIT = error("A number without the unit it needs.")
        .leaves_unread()
        .why("500 may be Fahrenheit or Celsius, 20 may be seconds or millimeters. The wrong guess \
              burns a pipe end or a hand.")
        .example("heater: {set_point: 500}")
        .fix("Write the unit after the number: 500 °F, 0.64 in, 18 to 21 s, 5 min, 91 %.");
    WRONG_UNIT = error("A unit that is not known, or that measures something else.")
        .leaves_unread()
        .why("A depth in seconds is a typing error, and the numbers beside it may be wrong too.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 16 s}}}")
        .fix("Use one of the units the message lists.");
    NOT_A_QUANTITY = error("A value that should be a quantity cannot be read as one.")
        .leaves_unread()
        .why("A figure goes onto the paper only when it is certain what it says.")
        .example("heater: {set_point: hot}")
        .fix("Write a decimal number with a point and a unit, a range as `18 to 21 s` with the \
              lower value first.");
    NOT_A_SIZE = error("A value that should be a nominal pipe size cannot be read as one.")
        .leaves_unread()
        .why("One-inch IPS pipe is 1.315 in across, one-inch CTS tubing 1.125 in: a size that does \
              not name its system names two different pipes.")
        .example("scope: {pipe: {sizes: 1-1/4, dimension_ratio: 11}}      # IPS or CTS?")
        .fix("Write 1-1/4 IPS, 1/2 CTS or 63 mm.");
    NOT_A_DATE = error("A date is not written as year-month-day, or is not in the calendar.")
        .leaves_unread()
        .why("03/04/26 is March to one reader and April to the next, and revisions are put in \
              order by their dates.")
        .example("revisions: [{revision: 1, date: 09/14/2026}]")
        .fix("Write 2026-09-14.");
    IMPLAUSIBLE_VALUE = error(
        "A value is far outside anything its field can hold; usually a typing error in the unit, \
        the decimal point or the field.")
        .leaves_unread()
        .why("500 °F as the offset of a face, a hold of 60 min or a record of the year 1026 reads \
              as well as any other value, and every check that builds on it goes wrong without a \
              word. The limits are this program's own. They are wide, they only catch typing \
              errors, and they say nothing about the right value.")
        .example("heater: {set_point: 500 °F, face_offset: 500 °F}")
        .fix("Read the value again where it comes from, and write it with the unit it has there.");
    MIXED_SIZE_SYSTEMS = error("A range of sizes begins in one size system and ends in another.")
        .leaves_unread()
        .why("IPS, CTS and metric sizes are different pipes; there is no row of sizes that leads \
              from one into the other.")
        .example("scope: {pipe: {sizes: 1/2 CTS to 2 IPS, dimension_ratio: 11}}")
        .fix("Give each system its own entry under `pipe`.");
    SAME_NUMBER_TWICE = error("Two specs of one run have the same procedure number and revision.")
        .why("Their papers would lie in the same folder, one over the other, and a crew would \
              carry whichever was written last.")
        .example("# a.yaml and b.yaml both say\nprocedure: {number: HC-SF-104}      # revision 2")
        .fix("Give one of them another number, or a new revision; or build them into different \
              folders with --out.");
    FILE_NOT_READ = error("A file that the spec names could not be read.")
        .why("What stands in the file decides what the papers say, so none is printed without it. \
              Only files in the folder of the spec are read: a spec that was handed on must not \
              reach into the rest of a machine.")
        .example("figures: {confirmations: ../elsewhere/read.yaml}")
        .fix("Put the file in the folder of the spec, or in a folder inside it, and write its path \
              from there: confirmations/read.yaml.");
}
