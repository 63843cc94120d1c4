//! Rules about rosters, in addition to those about reading any file.

use crate::core::finding::rules;

rules! {
    CSV_NOT_READABLE = error("A roster that should be CSV cannot be read as rows and columns.")
        .why("A quotation mark that is never closed swallows every row after it, and people would \
              be missing from the list without anybody noticing.")
        .example("name,badge,procedure\n\"A. Example,A-1,AF-JP-12")
        .fix("Save the table as CSV in UTF-8, with commas or semicolons, a header row, and every \
              quotation mark closed.");
    ROW_AND_HEADER_DIFFER = error("A row of a CSV roster has more or fewer cells than the header.")
        .why("A comma too many moves every later cell one column on: a date of a failed joint \
              would be read as something else.")
        .example("name,badge,procedure\nExample, A.,A-1,AF-JP-12")
        .fix("Put quotation marks around a cell that holds the separator, and give every row as \
              many cells as the header has.");
    BADGE_OF_TWO_PEOPLE = error("The same badge number is given to two different names.")
        .why("People are told apart by their badges. One person's specimen would qualify the \
              other.")
        .example("fusers:\n  - {name: A. Example, badge: A-1}\n  - {name: B. Example, badge: A-1}")
        .fix("Correct the badge, or write the name the same way every time.");
    ROWS_OF_FUSER_DIFFER = error("Two rows of a CSV roster say different things of the same fuser.")
        .why("A person has one language, and one last production joint and one certificate under a \
              procedure. Which of two dates is right decides until when the person is qualified.")
        .example("badge,procedure,last_production_joint\nA-1,AF-JP-12,2026-09-01\nA-1,AF-JP-12,2026-10-01")
        .fix("Keep the one that is right, in every row or in one.");
    FUSER_RULE_NOT_CHOSEN = error(
        "No rule set is chosen that says how long a qualification under the procedure lasts.")
        .why("Gas, other piping and an organization's own work have different rules. A rule set \
              that was guessed would call somebody qualified whom the rule that applies does not.")
        .example("coldring-fusers: 1\nfusers: [{name: A. Example, badge: A-1, qualifications: \
                  [{procedure: AF-JP-12}]}]")
        .fix("Write `rules: {default: us-gas}` or `rules: {procedures: {AF-JP-12: us-gas}}` in the \
              roster, or give --rules AF-JP-12=us-gas. `coldring limits fuser-rules` lists them.");
    FUSER_RULE_FOR_NOBODY = warning(
        "A rule set is chosen for a procedure that nobody on the roster has.")
        .why("Often the number is misspelt, and the procedure that was meant falls under the \
              default.")
        .example("rules: {default: us-gas, procedures: {HC-SF-140: six-months-without-use}}      # \
                  HC-SF-104")
        .fix("Correct the number of the procedure, or take the choice out.");
    FUSER_RULE_FROM_MEMORY = warning(
        "The chosen rule set is from memory; nobody has checked it against its source.")
        .why("Until when a person may work is read from it. A period recalled wrongly keeps a \
              person at work too long, or sends one home.")
        .example("rules: {default: two-year-certificate}")
        .fix("Have a qualified person read the rule in the edition you work under. Then write it \
              as your own, with that edition as its source: {rule: own, months: 6, source: …}.");
    HELD_REVISION_NOT_LATER = error(
        "Specimens are said to hold for a revision that is not later than the one they were made \
         by.")
        .why("The organization's decision is on what changed after the specimens were made. With \
              the two numbers exchanged it covers nobody it was meant for.")
        .example("rules: {revisions: [{procedure: AF-JP-12, made_by: 2, holds_for: 1, source: \
                  Manual 7.9}]}")
        .fix("Write the earlier revision as made_by and the later one as holds_for.");
    FUSER_DATE_IN_FUTURE = warning(
        "A date on the roster lies after the day the list is made for, so it does not count.")
        .dated()
        .why("What has not happened yet qualifies nobody. If the year is mistyped, a joint that \
            failed is overlooked.")
        .example("failed_joints: [{date: 2027-10-02, found_by: test}]")
        .fix("Correct the date. A list for a past date may leave it as it is.");
    FAILED_BEFORE_QUALIFIED = error(
        "A production joint failed on a day before the fuser was first qualified.")
        .why("Nobody makes production joints before they are qualified, so one of the dates is \
              wrong. If it is that of the failure, the specimen seems to have come after it, and a \
              fuser who is barred is listed as qualified.")
        .example("specimen: {date: 2026-03-10, result: pass, record: FQ-21}\nfailed_joints: \
                  [{date: 2025-10-02, found_by: test}]      # 2026-10-02")
        .fix("Correct the date. If it is right, give the specimen or the certificate that \
              qualified the person before it.");
    TEXT_LIKE_A_FORMULA = warning(
        "A text on the roster starts with a sign that makes a spreadsheet compute it.")
        .why("The list is written as CSV as it stands. A spreadsheet that opens it would show the \
              result of a formula in place of a name, or run what somebody has hidden in it.")
        .example("fusers: [{name: \"=1+1\", badge: A-1}]")
        .fix("Begin the text with a letter or a digit.");
}
