//! YAML text → typed spec and findings.
#![no_main]

use coldring::spec::decode;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let (spec, findings) = decode(text);
    assert!(spec.is_some() || !findings.is_empty(), "lost in silence");
    for span in findings.iter().filter_map(|finding| finding.span) {
        assert!(text.get(span.range()).is_some(), "{span:?} lies outside");
    }
});
