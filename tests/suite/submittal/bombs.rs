//! PDFs made to break whatever reads them: each is a finding that names it, soon
//! and in bounded memory, and nothing is written.

use lopdf::{Object, Stream, dictionary};

use super::Job;
use crate::pdf_parts::{pdf, plain, tenfold};
use crate::support::Run;

fn put(job: &Job, name: &str, pdf: Vec<u8>) {
    job.put(&format!("sub/{name}.pdf"), pdf);
}

fn attach(job: &Job, name: &str) -> Run {
    job.make(&format!("attachments: [{{file: {name}.pdf, title: T}}]\n"))
}

fn refused(job: &Job, name: &str, says: &str) {
    let ran = attach(job, name);
    assert_eq!(ran.code, Some(1), "{name}: {}", ran.err);
    let found = ran.err.contains("attachment-damaged") && ran.err.contains(says);
    assert!(found, "{name}: {}", ran.err);
    assert!(ran.err.contains(&format!("{name}.pdf")), "{}", ran.err);
    assert!(!job.path("out").exists(), "{name}");
}

#[test]
fn parts_that_draw_parts_without_end() {
    let job = Job::new();
    put(&job, "itself", pdf(plain("/a Do"), &[("a", "/a Do")]));
    refused(&job, "itself", "draws itself");
    put(
        &job,
        "round",
        pdf(plain("/a Do"), &[("a", "/b Do"), ("b", "/a Do")]),
    );
    refused(&job, "round", "draws itself");

    put(&job, "tenfold", tenfold());
    refused(&job, "tenfold", "over and over");

    let names: Vec<_> = (0..=200).map(|n| format!("p{n}")).collect();
    let next: Vec<_> = (1..=201).map(|n| format!("/p{n} Do")).collect();
    let parts = names.iter().zip(&next);
    let parts: Vec<_> = parts.map(|(n, d)| (n.as_str(), d.as_str())).collect();
    put(&job, "deep", pdf(plain("/p0 Do"), &parts));
    refused(&job, "deep", "without end");

    // A symbol that is drawn often, as on a plan, and one that knows its own name.
    let often = "/a Do\n".repeat(1000);
    put(
        &job,
        "plan",
        pdf(plain(&often), &[("a", "/b Do"), ("b", "0 0 5 5 re f")]),
    );
    let ran = attach(&job, "plan");
    assert_eq!(ran.code, Some(0), "{}", ran.err);
}

#[test]
fn content_that_unpacks_without_end() {
    let job = Job::new();
    // Spaces, which deflate packs to a thousandth; and that once more.
    let packed = |bytes: &[u8]| {
        let mut stream = Stream::new(dictionary! {}, bytes.to_vec());
        stream.compress().unwrap();
        stream.content
    };
    let once = packed(&vec![b' '; 300 << 20]);
    let filter = dictionary! { "Filter" => "FlateDecode" };
    put(&job, "bomb", pdf(Stream::new(filter, once.clone()), &[]));
    refused(&job, "bomb", "unpacks to more");
    let filters: Vec<Object> = vec!["FlateDecode".into(), "FlateDecode".into()];
    let twice = Stream::new(dictionary! { "Filter" => filters }, packed(&once));
    put(&job, "twice", pdf(twice, &[]));
    refused(&job, "twice", "unpacks to more");
}

#[test]
fn structures_in_each_other() {
    let job = Job::new();
    let deep = format!("{}{}", "[".repeat(200_000), "]".repeat(200_000));
    let body = format!("%PDF-1.7\n1 0 obj\n{deep}\nendobj\ntrailer <</Root 1 0 R>>\n%%EOF\n");
    job.put("sub/nested.pdf", body);
    let ran = attach(&job, "nested");
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.err.contains("attachment-"), "{}", ran.err);
    // A tree of pages that holds itself.
    job.put(
        "sub/tree.pdf",
        "%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n\
         2 0 obj\n<</Type/Pages/Kids[2 0 R 2 0 R]/Count 9>>\nendobj\n\
         xref\n0 3\n0000000000 65535 f \n0000000009 00000 n \n0000000054 00000 n \n\
         trailer <</Size 3/Root 1 0 R>>\nstartxref\n111\n%%EOF\n",
    );
    let ran = attach(&job, "tree");
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.err.contains("attachment-"), "{}", ran.err);
}
