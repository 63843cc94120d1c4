//! Faults that a file, a folder or a disk brings: at every moment each paper is
//! whole, nothing is written outside the chosen folder, and the message says
//! what to do.

mod budgets;
mod folders;
mod kills;

use std::path::Path;
use std::process::Command;

use crate::support::{AS_OF, GAS, GEOTHERMAL, Run, coldring, run};

/// Every command that writes papers into a folder, without the folder, and the
/// folder in it that it makes.
const WRITERS: &[(&[&str], &str)] = &[
    (
        &[
            "build",
            "--as-of",
            AS_OF,
            "--only",
            "depth-marks",
            GAS,
            "--out",
        ],
        "AF-JP-12-r2",
    ),
    (
        &["forms", "--as-of", AS_OF, GAS, "--out"],
        "AF-JP-12-r2-forms",
    ),
    (&["confirm", GEOTHERMAL, "--out"], "HC-SF-104-r2-confirm"),
    (
        &[
            "compare",
            "--as-of",
            AS_OF,
            "specs/earlier/alder-fork-gas-r1.yaml",
            GAS,
            "--notice",
        ],
        "AF-JP-12-r2-changes",
    ),
    (
        &[
            "submittal",
            "--as-of",
            AS_OF,
            "specs/submittal/AF-S-031.yaml",
            "--out",
        ],
        "AF-S-031-r0-submittal",
    ),
    (
        &[
            "cards",
            "--as-of",
            AS_OF,
            GAS,
            "--fusers",
            "specs/people/fusers.yaml",
            "--out",
        ],
        "cards-2026-11-25",
    ),
];

/// Runs a command of [`WRITERS`] into a folder.
fn write_to(arguments: &[&str], out: &Path) -> Run {
    run(coldring().args(arguments).arg(out))
}

/// Builds a spec where no file may grow past so many kibibytes, which is real for
/// every user; a full disk is refused at the same call.
fn build_confined(kibibytes: u32, spec: &str, out: &Path) -> Run {
    // The signal would end the program before it could say anything.
    let script = format!("trap '' XFSZ; ulimit -f {kibibytes}; exec \"$@\"");
    run(Command::new("bash")
        .args(["-c", &script, "bash", env!("CARGO_BIN_EXE_coldring")])
        .args(["build", "--as-of", AS_OF, spec, "--out"])
        .arg(out))
}
