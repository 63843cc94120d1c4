//! How people and spreadsheets write values. What leaves no doubt is read as the exact
//! spelling is; what does is answered with the text to write, and that text is read.

use coldring::core::finding::{Finding, Severity};
use coldring::spec::decode;
use regex::Regex;

/// The clean spec of the rules, in US and in metric practice.
const BASE: &str = include_str!("../data/base.yaml");
const METRIC: &str = include_str!("../data/metric-base.yaml");

fn edited(base: &str, old: &str, new: &str) -> String {
    assert_eq!(base.matches(old).count(), 1, "{old}");
    base.replace(old, new)
}

fn errors(text: &str) -> Vec<Finding> {
    let (_, mut findings) = decode(text);
    findings.retain(|f| f.severity() == Severity::Error);
    findings
}

/// What a spec says, without where and in which characters it says so.
fn meaning(text: &str) -> String {
    let spec = format!("{:?}", decode(text).0.unwrap());
    let places = Regex::new(r"span: Span \{ start: \d+, end: \d+ \}").unwrap();
    let spec = places.replace_all(&spec, "");
    // As written, quotes escaped.
    let written = Regex::new(r#"text: "(?:[^"\\]|\\.)*""#).unwrap();
    written.replace_all(&spec, "").into_owned()
}

#[test]
fn other_spellings_mean_the_same() {
    let mut wrong = Vec::new();
    for (base, old, spelled) in [
        (
            BASE,
            "set_point: 500 °F",
            vec![
                "500 degrees F",
                "500 deg. F",
                "500℉",
                "500 F",
                "500 f",
                "500º F",
                "500 ℉",
                "500 °Fahrenheit",
            ],
        ),
        (
            BASE,
            "step: 2 °F",
            vec!["±2 °F", "+/- 2 °F", "2 degrees Fahrenheit"],
        ),
        (
            BASE,
            "pipe_temperature: 40 °F to 110 °F",
            vec![
                "40–110 °F",
                "40 - 110 F",
                "40 °F thru 110 °F",
                "40 TO 110 degrees F",
            ],
        ),
        (
            BASE,
            "depth: 0.71 in,",
            vec![
                "0.71 in.,",
                "0.71 inches,",
                "0.71 IN,",
                "1.8034 cm,",
                "18.034mm,",
                "71/100 in,",
            ],
        ),
        (BASE, "thickness: 0.4 mm", vec!["0.04 cm", "0.4MM"]),
        (
            BASE,
            "value: 6 min",
            vec!["6 mins", "360 secs", "6 Minutes", "0.1 hrs", "5 min 60 s"],
        ),
        (
            BASE,
            "strength: 91 %",
            vec!["91%", "91 percent", "91 per cent", "91 pct"],
        ),
        (
            BASE,
            "heat: 18 to 20 s",
            vec!["18-20 s", "18 – 20 sec.", "18 s – 20 s", "18 thru 20 s"],
        ),
        (
            BASE,
            "resin: PE4710",
            vec!["PE 4710", "PE-4710", "pe4710", "Pe_4710"],
        ),
        (BASE, "status: qualified", vec!["Qualified", "QUALIFIED"]),
        (BASE, "service: gas", vec!["Gas", "GAS", "natural gas"]),
        (BASE, "practice: us", vec!["US", "USA"]),
        (BASE, "paper: letter", vec!["Letter", "US Letter"]),
        (BASE, "use: laminated", vec!["Laminated"]),
        (BASE, "method: pyrometer", vec!["Pyrometer"]),
        (
            BASE,
            "agent: isopropyl alcohol",
            vec!["Isopropyl-Alcohol", "IPA", "isopropanol"],
        ),
        (
            BASE,
            "kinds: [coupling, elbow, spigot]",
            vec!["[Couplings, Elbows, Spigots]"],
        ),
        (
            BASE,
            "sizes: 1 IPS to 2 IPS",
            vec![
                "1 to 2 IPS",
                "1\" IPS to 2\" IPS",
                "1 inch IPS – 2 inch IPS",
                "1–2 IPS",
                "1 - 2 ips",
                "1.0 IPS thru 2.0 IPS",
            ],
        ),
        (
            BASE,
            "size: 1-1/4 IPS",
            vec![
                "1-1/4 inch IPS",
                "1 1/4\" IPS",
                "1.25 IPS",
                "1¼ IPS",
                "1-¼ in. IPS",
                "1–1/4 IPS",
            ],
        ),
        (BASE, "largest: 2 IPS", vec!["2IPS", "2-inch IPS", "IPS 2"]),
        (
            METRIC,
            "largest: 90 mm",
            vec!["90mm", "90 MM", "90 millimeters", "d 90"],
        ),
        (METRIC, "practice: metric", vec!["Metric"]),
    ] {
        let (key, value) = old.split_once(": ").unwrap();
        for spelling in spelled {
            let text = edited(base, old, &format!("{key}: {}", quoted(spelling)));
            // 71 hundredths are no division of a rule.
            let is_read = !spelling.contains("71/100");
            let found = errors(&text);
            if found.is_empty() != is_read {
                wrong.push(format!("{spelling} for {value}: {found:?}"));
            } else if is_read && meaning(&text) != meaning(base) {
                wrong.push(format!("{spelling} is not {value}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A crayon is an indicating stick, and a ratio has many names.
#[test]
fn words_of_the_trade_are_read_or_answered_with_the_one_to_write() {
    let check = "{method: pyrometer, accuracy: 3 °F}";
    let stick = |method: &str, more: &str| {
        let check_by = format!("{{method: {method}, melts: 500 °F{more}}}");
        edited(BASE, check, &check_by)
    };
    let one = meaning(&stick("indicating stick", ""));
    for method in [
        "crayon",
        "Crayon",
        "temperature stick",
        "temp-stick",
        "one crayon",
    ] {
        assert_eq!(meaning(&stick(method, "")), one, "{method}");
    }
    let more = ", stays_solid: 506 °F";
    let two = meaning(&stick("two indicating sticks", more));
    for method in ["two crayons", "2 crayons", "two temperature sticks"] {
        assert_eq!(meaning(&stick(method, more)), two, "{method}");
    }
    // One stick or two is for the author to say.
    assert!(!errors(&stick("crayons", "")).is_empty());
    for name in ["sdr", "SDR", "dr", "DR"] {
        let text = BASE.replacen("dimension_ratio:", &format!("{name}:"), 1);
        assert_ne!(text, BASE);
        let found = errors(&text);
        let [only] = found.as_slice() else {
            panic!("{name}: {found:?}");
        };
        let help = only.help.as_deref().unwrap_or_default();
        assert!(help.contains("`dimension_ratio`"), "{name}: {help}");
        assert_eq!(only.edited(&text).as_deref(), Some(BASE), "{name}");
    }
}

/// The value in quotes, with what follows it as it is.
fn quoted(value: &str) -> String {
    let (value, after) = match value.strip_suffix(',') {
        Some(value) => (value, ","),
        None => (value, ""),
    };
    if value.starts_with('[') {
        return value.to_owned();
    }
    format!("'{}'{after}", value.replace('\'', "''"))
}

#[test]
fn what_leaves_a_doubt_is_answered_with_what_to_write() {
    let mut wrong = Vec::new();
    for (base, old, written, answers) in [
        (BASE, "width: 0.62 in", "1,050 in", vec!["1.050 in"]),
        (BASE, "width: 0.62 in", "0,620 in", vec!["0.620 in"]),
        (
            BASE,
            "date: 2026-06-01",
            "06/01/2026",
            vec!["2026-06-01", "2026-01-06"],
        ),
        (BASE, "date: 2026-06-01", "6/25/2026", vec!["2026-06-25"]),
        (BASE, "date: 2026-06-01", "June 1, 2026", vec!["2026-06-01"]),
        (BASE, "date: 2026-06-01", "2026-6-1", vec!["2026-06-01"]),
        (BASE, "largest: 2 IPS", "2\"", vec!["2 IPS", "2 CTS"]),
        (BASE, "largest: 2 IPS", "1,25 IPS", vec!["1-1/4 IPS"]),
        (METRIC, "largest: 90 mm", "90", vec!["90 mm"]),
        (
            BASE,
            "sizes: 1 IPS to 2 IPS",
            "1-2 IPS",
            vec!["1 IPS to 2 IPS"],
        ),
        (
            BASE,
            "sizes: 1 IPS to 2 IPS",
            "1 IPS; 2 IPS",
            vec!["[1 IPS, 2 IPS]"],
        ),
        (
            BASE,
            "sizes: 1 IPS to 2 IPS",
            "1 IPS and 2 IPS",
            vec!["[1 IPS, 2 IPS]"],
        ),
        (
            BASE,
            "kinds: [coupling, elbow, spigot]",
            "coupling, elbow",
            vec!["[coupling, elbow]"],
        ),
        (
            BASE,
            "kinds: [coupling, elbow, spigot]",
            "coupling",
            vec!["[coupling]"],
        ),
        (BASE, "status: qualified", "qualifed", vec!["qualified"]),
        (BASE, "revision: 2, date: 2026-09-01", "Rev. 2", vec!["2"]),
    ] {
        let (key, rest) = old.split_once(": ").unwrap();
        let rest = rest.split_once(',').filter(|_| key == "revision");
        let rest = rest.map_or(String::new(), |(_, rest)| format!(",{rest}"));
        let with = |value: &str| edited(base, old, &format!("{key}: {value}{rest}"));
        let found = errors(&with(&quoted(written)));
        let [only] = found.as_slice() else {
            wrong.push(format!("{written}: {found:?}"));
            continue;
        };
        let help = only.help.as_deref().unwrap_or_default();
        for answer in answers {
            if !help.contains(answer) || !errors(&with(answer)).is_empty() {
                wrong.push(format!("{written}: '{answer}' in '{help}'"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A pipe whose strength is the thing: digits must not change by a thousand.
#[test]
fn a_thousands_separator_is_not_a_decimal_point() {
    let record = include_str!("../../specs/records/AF-PQ-07.yaml");
    let pressure = Regex::new(r"pressure: (\d+) psi").unwrap();
    let first = pressure.captures(record).unwrap();
    let with = |psi: &str| record.replacen(&first[0], &format!("pressure: \"{psi} psi\""), 1);
    let found = coldring::spec::record::record(&with("1,050")).1;
    let help: Vec<_> = found.iter().filter_map(|f| f.help.as_deref()).collect();
    let [help] = help.as_slice() else {
        panic!("{found:?}");
    };
    assert!(
        help.contains("1050 psi") && !help.contains("1.050 psi"),
        "{help}"
    );
    assert!(coldring::spec::record::record(&with("1050")).1.is_empty());
}

#[test]
fn words_that_a_spec_need_not_have_are_read_too() {
    for (old, exact, spelled) in [
        (
            "strength: 91 %}",
            "strength: 91 %, peel: no}",
            "strength: 91 %, peel: false}",
        ),
        (
            "strength: 91 %}",
            "strength: 91 %, peel: yes}",
            "strength: 91 %, peel: TRUE}",
        ),
        (
            "method: pyrometer, accuracy: 3 °F",
            "method: indicating stick, melts: 488 °F",
            "method: Crayon, melts: 488 °F",
        ),
        (
            "method: pyrometer, accuracy: 3 °F",
            "method: two indicating sticks, melts: 488 °F, stays_solid: 512 °F",
            "method: two-sticks, melts: 488 F, stays_solid: 512 F",
        ),
        (
            "depth: 0.71 in, id",
            "depth: to be measured, id",
            "depth: To Be Measured, id",
        ),
    ] {
        let (exact, spelled) = (edited(BASE, old, exact), edited(BASE, old, spelled));
        assert!(errors(&spelled).is_empty(), "{:?}", errors(&spelled));
        assert_eq!(meaning(&exact), meaning(&spelled));
    }
}

#[test]
fn a_method_that_is_not_known_is_one_error() {
    let old = "method: pyrometer, accuracy: 3 °F";
    let text = edited(
        BASE,
        old,
        "method: feeling, melts: 488 °F, stays_solid: 512 °F",
    );
    let found = errors(&text);
    let slugs: Vec<_> = found.iter().map(|f| f.rule.slug).collect();
    assert_eq!(slugs, ["unknown-word"]);
    // A pyrometer has no rating.
    let text = edited(BASE, old, "method: pyrometer, melts: 488 °F");
    assert_eq!(errors(&text).len(), 1);
}
