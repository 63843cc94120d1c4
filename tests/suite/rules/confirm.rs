//! Rules about figures that somebody read, as far as one spec shows them; the
//! others take a confirmations file and are tested in `confirm.rs` of the suite.

use super::{Case, case};

pub static CASES: &[Case] = &[
    case("nothing-to-govern")
        .fires(
            &[(
                "least_wall:",
                "figures: {governing: [{figure: us-times:change-over:time, governs: edition}]}\nleast_wall:",
            )],
            "us-times:change-over:time",
        )
        .near(&[("least_wall:", "figures: {governing: []}\nleast_wall:")]),
    case("unknown-figure-confirmed")
        .fires(
            &[(
                "least_wall:",
                "figures: {governing: [{figure: us-times:changeover:time, governs: edition}]}\nleast_wall:",
            )],
            "us-times:changeover:time",
        )
        .saying("did you mean 'us-times:change-over:time'?")
        .near(&[(
            "least_wall:",
            "figures: {governing: [{figure: us-times:change-over:time, governs: edition}]}\nleast_wall:",
        )]),
];
