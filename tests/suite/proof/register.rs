//! What only a register and a date can say.

use chrono::NaiveDate;
use coldring::proof::{Claim, ClaimedProcedure, Signer, Subject};
use coldring::spec::Status;
use tempfile::tempdir;

use super::*;

#[test]
fn superseded_and_withdrawn_are_said_by_the_register_alone() {
    let folder = tempdir().unwrap();
    let text = code_on(&paper("AF-JP-12-r2/card.pdf"), "2");
    let unread = [("signature", "proven"), ("spec", "unchecked")];
    expect(&["--text", &text], 0, &unread);
    for (name, register, code, verdict) in [
        ("now.csv", "number,revision\nAF-JP-12,2\n", 0, "proven"),
        ("old.csv", "number,revision\nAF-JP-12,3\n", 1, "FALSE"),
        ("none.csv", "number,revision\nHC-SF-104,2\n", 1, "missing"),
        ("ahead.csv", "number,revision\nAF-JP-12,1\n", 1, "missing"),
        (
            "gone.yaml",
            "procedures: [{number: AF-JP-12, revision: 2, withdrawn: 2026-11-25}]",
            1,
            "FALSE",
        ),
        (
            "soon.yaml",
            "procedures: [{number: AF-JP-12, revision: 2, withdrawn: 2026-11-26}]",
            0,
            "proven",
        ),
    ] {
        let register = file(&folder, name, register);
        expect(
            &["--text", &text, "--register", &register],
            code,
            &[
                ("signature", "proven"),
                ("register", verdict),
                ("spec", "unchecked"),
            ],
        );
    }
    let broken = file(&folder, "broken.csv", "number,revision\nAF-JP-12,two\n");
    let ran = verify(&["--text", &text, "--register", &broken]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("row 2"), "{}", ran.err);
}

#[test]
fn a_qualification_holds_through_its_last_day() {
    let folder = tempdir().unwrap();
    let signer = Signer::from_seed(&[7; 32]);
    let public = file(&folder, "public.pem", signer.public_pem().unwrap());
    let claim = Claim {
        subject: Subject::Wallet,
        badge: Some("AF-014".to_owned()),
        procedures: vec![ClaimedProcedure {
            number: "AF-JP-12".to_owned(),
            revision: 2,
            status: Status::Qualified,
            digest: spec_digest(GAS),
            valid_until: NaiveDate::from_ymd_opt(2028, 2, 29),
        }],
    };
    let text = signer.sign(&claim);
    for (day, code, verdict) in [("2028-02-29", 0, "proven"), ("2028-03-01", 1, "FALSE")] {
        let ran = run(coldring()
            .args([
                "verify", "--text", &text, "--trust", &public, "--as-of", day,
            ])
            .args(["--spec", GAS, "--format", "json"]));
        assert_eq!(ran.code, Some(code), "{}{}", ran.out, ran.err);
        let answer = document(&ran);
        let wanted = [
            ("signature", "proven"),
            ("qualification", verdict),
            ("spec", "proven"),
        ];
        let wanted = wanted.map(|(check, verdict)| (check.to_owned(), verdict.to_owned()));
        assert_eq!(verdicts(&answer), wanted);
        assert_eq!(answer["codes"][0]["says"]["badge"], "AF-014");
    }
}
