//! Quantities and sizes as people write them: what is
//! read as a size reads to the same when it is printed.
#![no_main]

use coldring::core::size::Size;
use coldring::core::units::parse_quantity;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Ok(quantity) = parse_quantity(text) {
        let _ = quantity.length_range();
        let _ = quantity.temperature_range();
        let _ = quantity.temperature_difference();
        let _ = quantity.percent();
        let _ = quantity.pressure();
        if let Ok(time) = quantity.duration() {
            assert!(!time.show().is_empty());
        }
    }
    if let Ok(size) = Size::parse(text) {
        assert_eq!(Size::parse(&size.to_string()), Ok(size), "{text:?}");
    }
});
