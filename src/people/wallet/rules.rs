//! Rules about wallet cards, in addition to those about specs and rosters.

use crate::core::finding::rules;

rules! {
    CARDS_OF_UNQUALIFIED_PROCEDURE = error(
        "Wallet cards are asked for of a procedure that is a draft or withdrawn.")
        .why("A card with a name and a date says that its holder may join pipe by these figures. \
              Nobody may while the procedure itself is not qualified, or is no longer in effect.")
        .example("procedure: {status: draft}      # coldring cards draft.yaml --fusers people.yaml")
        .fix("Qualify the procedure first, and print its cards then; or leave the spec out.");
    TWO_SPECS_OF_ONE_PROCEDURE = error(
        "Two specs of one run of cards have the same procedure number.")
        .why("A roster names a procedure by its number. With two revisions at hand, a fuser would \
              get two cards with different figures, and the old one could be the one in the \
              pocket.")
        .example("# coldring cards old.yaml new.yaml, both with\nprocedure: {number: AF-JP-12}")
        .fix("Give only the spec of the current revision.");
    GAS_CARDS_BY_OTHER_RULE = error(
        "A fuel gas procedure under US practice has its fusers' dates from a rule set other than \
         us-gas.")
        .why("49 CFR 192.285(c) says how long such a qualification lasts, and when a joint ends \
              it. A card by another rule set could keep a fuser on gas pipe after that day.")
        .example("rules: {procedures: {AF-JP-12: six-months-without-use}}      # AF-JP-12 is for \
                  gas")
        .fix("Choose us-gas. An organization's own rule is taken where it is 12 months or fewer, \
              which never ends later.");
    GAS_RULE_FOR_OTHER_WORK = warning(
        "The rule set us-gas is chosen for a procedure that is not for fuel gas under US practice.")
        .why("49 CFR Part 192 governs gas pipelines. Other work has other rules, which may end a \
              qualification sooner, as after six months without use.")
        .example("rules: {procedures: {HC-SF-104: us-gas}}      # HC-SF-104 is for ground-source \
                  loops")
        .fix("Choose the rule set that governs the work; `coldring limits fuser-rules` lists \
              them.");
    FIGURES_PAST_WALLET_CARD = error(
        "The figures of the procedure do not fit the card without type too small to read.")
        .why("A heating time that is misread in poor light spoils the joint.")
        .example("# coldring cards many-sizes.yaml --fusers people.yaml --card-trim id-1")
        .fix("Let the card be larger: --card-trim smallest finds the smallest that holds them.");
    NAME_PAST_WALLET_CARD = warning(
        "A name or badge on the roster is too long for the card, so that person has none.")
        .why("A name that is cut short or set too small to read could be somebody else's.")
        .example("fusers: [{name: a name of more than two lines, badge: A-1}]")
        .fix("Write the name as the person's identity document shortens it, or choose a larger \
              card with --card-trim.");
    CODE_PAST_WALLET_CARD = warning(
        "The signed code of a card would be too fine to read, so that person has no card.")
        .why("A card without its code would pass for one that nobody signed, and a code of very \
              small squares is read by no phone.")
        .example("# coldring cards a.yaml b.yaml c.yaml --combined --key private.pem, with long \
                  badges")
        .fix("Make a card for each procedure, without --combined; or shorten the badge.");
    PANELS_PAST_PAPER = warning(
        "A combined card has more panels than the paper holds in a row, so nobody has it.")
        .why("A combined card is printed in one piece and folded; pieces glued together come \
              apart.")
        .example("# coldring cards a.yaml b.yaml c.yaml --combined --fusers people.yaml")
        .fix("Make a card for each procedure, without --combined; give fewer specs; or choose a \
              smaller card with --card-trim.");
}
