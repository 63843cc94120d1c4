//! Rules about house styles, which decide how an organization's papers look.
//! Safety text is not a matter of style.

use crate::core::finding::rules;

rules! {
    HOUSE_NOT_READ = error("A file of the house style could not be read.")
        .why("Papers in half a house style would pass for those of somebody else. Only files in \
              the folder of the house style are read, so that one handed on cannot reach into the \
              rest of a machine.")
        .example("logo: ../brand/logo.svg")
        .fix("Put the file in the folder of the house style and write its path from there.");
    HOUSE_OF_ANOTHER_ORGANIZATION = warning(
        "The house style names another organization than the procedure.")
        .why("A crew takes the letterhead for the name of whoever answers for the procedure.")
        .example("organization: {name: Alder Fork Gas}      # the spec says Hollow Creek District \
                  Energy")
        .fix("Build with the house style of the organization that issues the procedure, or write \
              both names alike.");
    HOUSE_TOO_MUCH = error(
        "A letterhead, a list of who signs or a text of the house style is too long.")
        .why("The papers keep a fixed room for each, so that no house style pushes figures and \
              cautions onto pages where nobody looks for them.")
        .example("address: [a, b, c, d, e, f, g]      # room for 6 lines")
        .fix("Shorten it, or split a long text into paragraphs.");
    HOUSE_FIGURE = warning("A text of the house style states a figure.")
        .why("A figure in a text is compared with nothing: not with the published tables, not with \
              the spec, and not with the same figure elsewhere on the papers. When the spec \
              changes, it stays behind.")
        .example("extra: {en: [{at: after-cautions, text: \"Heat every size for 12 s.\"}]}")
        .fix("State the figure in the spec and leave it out of the house style; in a replaced \
              clause, say the quantity by its name in {{ }}.");
    HOUSE_CLAIMS_APPROVAL = warning(
        "A text of the house style says that something is approved, certified or compliant.")
        .why("Stamped on a paper that this tool lays out, such a word is read as the tool's. It \
              approves nothing: what governs are local codes, the authority having jurisdiction \
              and the manufacturers, and a procedure is qualified by tests and signatures.")
        .example("extra: {en: [{at: before-scope, text: \"This procedure complies with the \
                  code.\"}]}")
        .fix("Leave the word out, or keep it when your organization answers for it and can show \
              why.");
    HOUSE_TEXT_MISSING_IN_LANGUAGE = warning(
        "The house style says something in one language and not in a language of the papers.")
        .why("Two crews with the same procedure would read different instructions, and neither \
              paper shows that something is missing.")
        .example("extra: {en: [{at: end, title: Questions, text: Call us.}]}      # languages: \
                  [en, es]")
        .fix("Add the text under each language that the papers are made in.");
    COLOR_NOT_READ = error("A color is not written as #rrggbb.")
        .why("A name or a short form is another color to another program.")
        .example("colors: {primary: navy}")
        .fix("Write six hexadecimal digits in quotes: \"#0b3d5c\".");
    COLOR_TOO_PALE = error("A color has too little contrast with white paper.")
        .why("Papers are read in bad light, through a scratched laminate, from a copy of a copy. \
              Text needs a contrast of 7 to 1, a rule 3 to 1.")
        .example("colors: {primary: \"#3f8fd0\"}      # 3.4 to 1")
        .fix("Take a darker shade of the color.");
    LOGO_NOT_READ = error("The logo is not an SVG or PNG that can be drawn.")
        .why("A page with a hole where the name should be is not one that anybody signs.")
        .example("logo: logo.jpg")
        .fix("Save it as plain SVG or as PNG, at most 1 MiB, and a PNG at most 4096 pixels each \
              way.");
    LOGO_REACHES_OUT = error(
        "The SVG of the logo loads something from elsewhere, holds a script, or needs a font.")
        .why("The same spec has to give the same paper on any machine, and an archived paper must \
              hold all that it shows. Letters drawn with a font of one machine are other letters \
              on the next.")
        .example("<image href=\"https://example.com/mark.png\"/>")
        .fix("Save it as plain SVG, without links, and with its letters converted to paths.");
    CLAUSE_UNKNOWN = error("The house style words a clause that there is not.")
        .why("Whoever wrote it believes that the papers say it.")
        .example("replaced: {en: {step-cuts: \"Cut the pipe square.\"}}")
        .fix("Use a key that the schema of a house style offers: `coldring schema house`.");
    CLAUSE_PROTECTED = error("The house style words a clause that no house style may replace.")
        .why("Cautions, what governs, what a mark or a status means, how far a figure can be \
              trusted, and what this tool does not claim are the same on every paper. Softened for \
              style, they would no longer warn. A submittal and a notice of changes have the \
              program's own words in any house style.")
        .example("replaced: {en: {deference: \"This procedure is approved.\"}}")
        .fix("Take the clause out. What the organization wants to add goes under `extra`.");
    CLAUSE_QUANTITIES = error(
        "A clause of the house style leaves a quantity out, or names one that it does not have.")
        .why("The quantities are why the clause is there. A step that no longer says the \
              temperature, or says it only sometimes, is another step.")
        .example("replaced: {en: {step-heater: \"Switch the heater on.\"}}      # no {{ set_point \
                  }}")
        .fix("Say each quantity of the clause once, as {{ name }}.");
    CLAUSE_FAILED = error("A clause of the house style cannot be worded.")
        .why("A clause is text with quantities in {{ }}, and at most branches and short loops. One \
              that does not end, or is not closed, is no sentence.")
        .example("replaced: {en: {step-heater: \"Set {{ set_point\"}}")
        .fix("Fix the place that the finding points at.");
    HOUSE_TEMPLATE = error("The house style has page templates.")
        .why("A page template could leave out a caution, a limit or a figure, and no check could \
              prove that it did not. So the program lays out every paper, and a house style is \
              data: letterhead, logo, colors, words, extra sections, and who signs.")
        .example("pages/procedure.typ      # a folder `pages` or `templates` beside house.yaml")
        .fix("Move the folder out of the house style, and take the key out of house.yaml. Put text \
              of your own under `extra`, and your own wording under `replaced`.");
}
