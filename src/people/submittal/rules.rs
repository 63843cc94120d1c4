//! Rules about submittals and the files they name.

use crate::core::finding::rules;

rules! {
    NOTHING_SUBMITTED = error("The submittal encloses neither a procedure nor an attachment.")
        .why("A cover alone gives a reviewer nothing to review.")
        .example("procedures: []")
        .fix("Name the specs of the procedures, or the PDFs to attach.");
    SUBMITTED_FILE_NOT_READ = error("A file that the submittal names could not be read.")
        .why("A submittal with a part missing comes back, or is reviewed without it. Only files in \
              the folder of the submittal, or in the folder that holds that one, are read: a \
              submittal that was handed on must not reach into the rest of a machine.")
        .example("attachments:\n  - {file: /home/me/certificate.pdf, title: Material certificate}")
        .fix("Write the path from the folder of the submittal, with at most one ../ at its start: \
              ../my-procedure.yaml or attachments/certificate.pdf. Copy files from elsewhere \
              there.");
    SUBMITTED_PROCEDURE_HAS_ERRORS = error(
        "A procedure of the submittal has errors, so it has no paper to hand in.")
        .why("A procedure that contradicts itself or the published limits must not reach a \
              reviewer as if crews could work by it.")
        .example("procedures:\n  - spec: ../wrong/everything-at-once.yaml")
        .fix("Fix what `coldring check SPEC` says, or take the procedure out.");
    SUBMITTED_DRAFT = warning("A procedure of the submittal is a draft.")
        .why("A draft may be handed in for comment. The contents and every page of it say that it \
              is one, since a reviewer would else take it for the qualified procedure.")
        .example("procedures:\n  - spec: ../hollow-creek-geothermal.yaml      # status: draft")
        .fix("Qualify the procedure first, or leave it in for comment.");
    SUBMITTED_WITHDRAWN = error("A procedure of the submittal is withdrawn.")
        .why("Nobody may work by a withdrawn procedure, so there is nothing to review.")
        .example("procedures:\n  - spec: ../old.yaml      # status: withdrawn")
        .fix("Submit the procedure that took its place.");
    SUBMITTAL_NAMES_OTHER = warning(
        "The title or a remark of the submittal names a resin or a revision that it does not \
         enclose.")
        .why("The reviewer reads the cover first. What it announces and the enclosed procedures do \
              not have is asked for, or is taken for what was reviewed.")
        .example("title: Socket fusion of PE2708 pipe\nprocedures: [{spec: pe4710-procedure.yaml}]")
        .fix("Correct the text, or enclose the procedure that it is about.");
    SUBMITTED_RECORD_NOT_PLACED = error(
        "A record cannot stand under the procedure that the submittal names it with.")
        .why("The form of a record prints each test joint beside the figures of its procedure. A \
              record that cannot be read whole would print as a whole one, and one of another \
              procedure proves nothing of this one.")
        .example("procedures:\n  - {spec: ../my-procedure.yaml, records: \
                  [../records/of-another.yaml]}")
        .fix("Run `coldring forms SPEC --record FILE` and fix what it says, or name the record \
              with its own procedure.");
    SUBMITTED_RECORD_SHORT = warning(
        "Some test joints of a submitted record failed, or were not made by the procedure.")
        .why("The record is handed in as it is, failed joints and all, and the contents say how \
              many joints count. The reviewer will ask about the others.")
        .example("records: [../records/PQ-7.yaml]      # a strap of joint T-3 failed")
        .fix("See which joints and why with `coldring forms SPEC --record FILE`. Keep joints that \
              failed on the record.");
    SUBMITTED_ROSTER_HAS_ERRORS = error(
        "The roster that the submittal lists fusers from has errors.")
        .why("A row that cannot be read may be the joint that somebody failed, so nobody is listed \
              from such a roster.")
        .example("fusers: {roster: ../people/fusers.yaml}")
        .fix("Fix what `coldring fusers ROSTER` says.");
    SUBMITTED_BADGE_UNKNOWN = error("A badge that the submittal names is not on the roster.")
        .why("The list would be handed in without a person who is to make the joints.")
        .example("fusers: {roster: ../people/fusers.yaml, badges: [AF-999]}")
        .fix("Correct the badge, or add the person to the roster.");
    SUBMITTED_FUSER_NOT_QUALIFIED = warning(
        "A fuser on the list of a submittal is not qualified on its day.")
        .dated()
        .why("The list says so in plain words. A reviewer may still take it for the list of those \
              who will make the joints.")
        .example("fusers: {roster: ../people/fusers.yaml, badges: [AF-007]}      # lapsed")
        .fix("Qualify the person again, or name with `badges` those who will make the joints.");
    NO_FUSER_FOR_PROCEDURE = warning(
        "The list of fusers has nobody qualified for a procedure of the submittal.")
        .dated()
        .why("Nobody may make a joint by a procedure that nobody is qualified for; the reviewer \
              will ask who will.")
        .example("fusers: {roster: ../people/fusers.yaml}      # nobody has AF-JP-12")
        .fix("Name the roster that has them, or qualify fusers for the procedure.");
    ATTACHMENT_NOT_A_PDF = error("An attachment is not a PDF.")
        .why("Pages are placed from PDFs alone. The ending of a name does not make a file one.")
        .example("attachments:\n  - {file: certificate.docx, title: Material certificate}")
        .fix("Save or print the file as PDF, and name that.");
    ATTACHMENT_DAMAGED = error("An attachment is a PDF that is damaged or cut off.")
        .why("Viewers repair damaged files silently and each in its own way. Pages or parts of \
              them could be missing from the submittal, and nobody would see what.")
        .example("attachments:\n  - {file: half-downloaded.pdf, title: Material certificate}")
        .fix("Fetch the file again from whoever issued it. If it opens in a viewer, print it to a \
              new PDF and compare every page.");
    ATTACHMENT_ENCRYPTED = error("An attachment is encrypted.")
        .why("Its pages cannot be taken out without the password. Where none is asked for, whoever \
              issued it restricted what may be done with it, and the program keeps to that.")
        .example("attachments:\n  - {file: locked.pdf, title: Material certificate}")
        .fix("Ask whoever issued it for a copy without encryption.");
    ATTACHMENT_WITHOUT_PAGES = error(
        "An attachment is empty: a file without bytes, or a PDF without a page.")
        .why("The contents would name what is not there.")
        .example("attachments:\n  - {file: empty.pdf, title: Material certificate}")
        .fix("Name the right file, or take the attachment out.");
    ATTACHMENT_TOO_LARGE = error(
        "An attachment, or all of them together, are larger than a submittal may be.")
        .why("An attachment may have 32 MiB and 500 pages, all together 64 MiB and 1000 pages. A \
              larger one is most often the wrong file, such as a whole catalog, and nobody would \
              review it.")
        .example("attachments:\n  - {file: whole-catalog.pdf, title: Product sheet}")
        .fix("Attach the pages that matter, or send the rest as a submittal of its own.");
    ATTACHMENT_LOSES_MARKS = warning(
        "Stamps, comments or filled-in form fields of an attachment are not placed.")
        .why("They lie over a page and are not part of it. A stamp or a signature that the \
              reviewer looks for would be missing.")
        .example("attachments:\n  - {file: stamped.pdf, title: Material certificate}")
        .fix("Print the file to a new PDF, which makes them part of the pages, and attach that.");
}
