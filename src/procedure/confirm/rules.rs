//! Rules about numbers confirmed in an edition of their source.

use crate::core::finding::rules;

rules! {
    UNKNOWN_FIGURE_CONFIRMED = error(
        "A confirmation, or the choice of what governs, names a figure that the tables do not \
         have.")
        .why("Whoever read the figure believes that it is confirmed, while the papers still print \
              the one from memory.")
        .example("confirmations:\n  - {figure: \"us-cycles:high-density:3/4-IPS:heating\", read: 8 \
                  to 14 s, …}")
        .fix("Copy the id from the worksheet of `coldring confirm SPEC`, or from `coldring \
              limits`.");
    READING_NOT_A_VALUE = error("What was read is not a value that the figure can have.")
        .why("A time is compared with a time and a range with a range, and none of them is nothing \
              or less. What was read has to be written down, since `as printed` would confirm a \
              number that nobody copied; only a statement, which stands in the tables word by \
              word, is confirmed so.")
        .example("- {figure: \"us-cycles:high-density:3/4-IPS:heat\", read: as printed, …}")
        .fix("Write the value with its unit, as the worksheet shows it: 8 to 14 s. For a \
              statement, write `as printed`, or the sentence that the edition prints in its \
              place.");
    FIGURE_READ_OTHERWISE = error(
        "A figure was read otherwise than the tables give it, and the spec does not say which \
         governs.")
        .why("One of the two is wrong, or they are of two editions. A joint is heated for one time \
              only, and the choice is the author's: the program must not take either silently.")
        .example("- {figure: \"us-cycles:high-density:3/4-IPS:heat\", read: 9 to 15 s, …}      # \
                  tables: 8 to 14 s")
        .fix("Read the edition once more. Then say in the spec which governs: figures: {governing: \
              [{figure: \"us-cycles:high-density:3/4-IPS:heat\", governs: edition}]}, or \
              `tables`.");
    EDITION_OVERRULED = warning(
        "By the author's choice a figure of the tables governs over what was read in an edition.")
        .why("The papers print the figure of the tables, still marked as from memory where it is. \
              Whoever works under the edition that was read would expect the other.")
        .example("figures:\n  governing:\n    - {figure: \"us-cycles:high-density:3/4-IPS:heat\", \
                  governs: tables}")
        .fix("Write `governs: edition` if the edition that was read is the one you work under. A \
              time of your own, qualified, goes under `cycles` with its source.");
    NOTHING_TO_GOVERN = error(
        "The spec says which reading of a figure governs, and nobody read it otherwise.")
        .why("A choice that decides nothing now would decide silently when the figure is read once \
              more or the tables change.")
        .example("figures:\n  governing:\n    - {figure: \"us-cycles:high-density:1-IPS:heat\", \
                  governs: edition}")
        .fix("Take the entry out of `governing`, or enter what was read in the confirmations \
              file.");
    READING_AFTER_AS_OF = warning(
        "A figure is said to be read later than today (or --as-of).")
        .dated()
        .why("The papers print the day beside the figure as its proof. A day that has not come yet \
              proves nothing; usually the year is wrong.")
        .example("- {figure: \"us-cycles:high-density:3/4-IPS:heat\", read: 8 to 14 s, …, date: \
                  2049-01-01}")
        .fix("Correct the date in the confirmations file.");
    CONFIRMATIONS_EMPTY = note("The confirmations file has no readings yet.")
        .why("Every figure stays as the tables give it, those from memory with their mark.")
        .example("coldring-confirmations: 1\nconfirmations: []")
        .fix("Enter what was read in the edition you work under, as the worksheet shows.");
}
