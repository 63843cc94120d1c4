//! Rosters, registers and PDFs at their budget, and just beyond it: a finding,
//! soon, and never a stack or a memory that is used up. Texts in YAML are tested
//! beside `src/core/budget.rs`.

use coldring::core::budget;
use coldring::people::fusers::{decode_csv, decode_yaml};
use coldring::verify::Register;
use tempfile::tempdir;

use crate::support::{coldring, file, run};

#[test]
fn a_register_has_the_same_bounds() {
    let deep = "[".repeat(10_000) + &"]".repeat(10_000);
    assert!(Register::from_yaml(&format!("procedures: {deep}")).is_err());
    let entry = "{number: A-1, revision: '1', withdrawn: 2026-01-01},";
    // Seven values an entry; the first number that is listed twice is said too.
    let many = entry.repeat(budget::REGISTER.nodes / 7 + 1);
    let wrong = Register::from_yaml(&format!("procedures: [{many}]")).unwrap_err();
    assert_eq!(wrong.len(), 1, "read past its budget");
}

/// The rules of a roster's errors, each once, and how many there are.
fn roster_fails(text: &str) -> (Vec<&'static str>, usize) {
    let (_, findings) = decode_csv(text);
    let mut rules: Vec<_> = findings.iter().map(|finding| finding.rule.slug).collect();
    rules.dedup();
    (rules, findings.len())
}

#[test]
fn cells_of_a_roster_are_counted() {
    let rows = |cells: usize| {
        let rows = (0..(cells - 3) / 3).map(|i| format!("P,B{i},\n"));
        format!("name,badge,procedure\n{}", rows.collect::<String>())
    };
    // Two million are no whole number of rows of three.
    let most = budget::ROSTER.nodes / 3 * 3;
    for cells in [999_999, most] {
        assert_eq!(roster_fails(&rows(cells)), (vec![], 0));
    }
    assert_eq!(roster_fails(&rows(most + 3)), (vec!["spec-too-large"], 1));
}

#[test]
fn bytes_of_a_roster_are_counted() {
    let head = "name,badge,procedure\n";
    let note = |bytes: usize| format!("{head}\"{}\",B,\n", "x".repeat(bytes - head.len() - 6));
    let (rules, _) = roster_fails(&note(budget::ROSTER.bytes));
    assert_eq!(rules, ["text-not-printable"]);
    let (rules, _) = roster_fails(&note(budget::ROSTER.bytes + 1));
    assert_eq!(rules, ["spec-too-large"]);
}

#[test]
fn columns_of_a_roster_are_counted() {
    let head = |columns: usize| "name,badge,procedure".to_owned() + &",x".repeat(columns - 3);
    let (rules, count) = roster_fails(&head(budget::COLUMNS));
    assert_eq!((rules, count), (vec!["unknown-field"], budget::COLUMNS - 3));
    let (rules, count) = roster_fails(&head(1_000_000));
    assert_eq!(rules, ["spec-too-large", "unknown-field"]);
    assert_eq!(count, budget::COLUMNS - 2);
}

#[test]
fn reading_stops_where_there_is_too_much_to_mend() {
    let head = "name,badge,procedure\n";
    let rows = |count: usize| format!("{head}{}", "x\n".repeat(count));
    let (rules, count) = roster_fails(&rows(budget::FINDINGS));
    assert_eq!((rules.len(), count), (1, budget::FINDINGS));
    let (rules, count) = roster_fails(&rows(1_000_000));
    assert_eq!(rules.last(), Some(&"spec-too-large"));
    assert_eq!(count, budget::FINDINGS + 1);

    let (_, findings) = decode_yaml(&format!(
        "coldring-fusers: 1\nfusers: [{}1]\n",
        "1,".repeat(1_000_000)
    ));
    assert_eq!(findings.len(), budget::FINDINGS + 1);
}

/// A PDF of these objects, the first its catalog.
fn pdf(objects: &[String]) -> Vec<u8> {
    let mut out = b"%PDF-1.7\n".to_vec();
    let mut table = format!("xref\n0 {}\n0000000000 65535 f \n", objects.len() + 1);
    for (i, object) in objects.iter().enumerate() {
        table.push_str(&format!("{:010} 00000 n \n", out.len()));
        out.extend(format!("{} 0 obj\n{object}\nendobj\n", i + 1).bytes());
    }
    let start = out.len();
    let size = objects.len() + 1;
    out.extend(table.bytes());
    out.extend(
        format!("trailer\n<</Size {size}/Root 1 0 R>>\nstartxref\n{start}\n%%EOF\n").bytes(),
    );
    out
}

#[test]
fn a_pdf_that_breaks_its_readers_proves_nothing() {
    let folder = tempdir().unwrap();
    let ran = run(coldring().args(["keys", "k", "--out"]).arg(folder.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let catalog = "<</Type/Catalog/Pages 2 0 R>>".to_owned();
    let pages = "<</Type/Pages/Kids[3 0 R]/Count 1>>".to_owned();
    let page = "<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]/Contents 4 0 R>>".to_owned();
    let nested = "[".repeat(200_000) + &"]".repeat(200_000);
    let stream = format!("<</Length {}>>stream\n{nested}\nendstream", nested.len());
    // A page below fifty thousand nodes that each hold the next.
    let mut chain = vec![catalog.clone()];
    let kids = |next: usize| format!("<</Type/Pages/Kids[{next} 0 R]/Count 1>>");
    chain.extend((3..50_003).map(kids));
    chain.push("<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>".to_owned());
    for (name, objects) in [
        ("content.pdf", vec![catalog, pages, page, stream]),
        ("chain.pdf", chain),
    ] {
        let file = file(&folder, name, pdf(&objects));
        let ran = run(coldring()
            .args(["verify", &file, "--trust"])
            .arg(folder.path().join("k.public.pem")));
        // Whether the reader gives up or breaks down is the system's affair.
        assert!(matches!(ran.code, Some(1 | 2)), "{name}: {:?}", ran.code);
        let said = ran.out + &ran.err;
        assert!(said.contains(name), "{said}");
        assert!(!said.contains("overflow"), "{said}");
        assert!(said.contains("nothing is proven"), "{said}");
    }
}
