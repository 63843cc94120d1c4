use super::*;

const SPEC: &str = include_str!("../../../specs/hollow-creek-geothermal.yaml");

fn ask(module: &mut Module, request: &Value, bytes: &[u8]) -> (Value, Vec<u8>) {
    let json = request.to_string();
    let mut message = u32::try_from(json.len()).unwrap().to_le_bytes().to_vec();
    message.extend(json.as_bytes());
    message.extend(bytes);
    let answer = module.answer(&message);
    let (length, rest) = answer.split_first_chunk().unwrap();
    let (json, bytes) = rest.split_at(u32::from_le_bytes(*length) as usize);
    (serde_json::from_slice(json).unwrap(), bytes.to_vec())
}

fn look(text: &str) -> Value {
    json!({ "ask": "look", "path": "spec.yaml", "text": text, "in_view": "card", "today": "2026-11-25" })
}

/// The kinds of the messages about a text.
fn steps(module: &mut Module, most: usize) -> Vec<String> {
    let steps = (0..most).map(|_| ask(module, &json!({ "ask": "step" }), b"").0);
    let kind = |message: Value| match (&message["what"], &message["id"]) {
        (Value::String(what), Value::String(id)) => format!("{what} {id}"),
        (what, _) => what.as_str().unwrap().to_owned(),
    };
    steps.map(kind).collect()
}

#[test]
fn a_text_is_told_of_step_by_step_and_a_newer_one_ends_it() {
    let mut module = Module::default();
    assert_eq!(steps(&mut module, 1), ["done"], "before there is a text");
    ask(&mut module, &look(SPEC), b"");
    assert_eq!(steps(&mut module, 3), ["findings", "papers", "paper card"]);
    ask(&mut module, &look(&SPEC.replace("500 °F", "900 °F")), b"");
    assert_eq!(steps(&mut module, 3), ["findings", "done", "done"]);
}

#[test]
fn a_page_has_a_picture_under_the_id_that_was_told() {
    let mut module = Module::default();
    ask(&mut module, &look(SPEC), b"");
    steps(&mut module, 2);
    let (card, _) = ask(&mut module, &json!({ "ask": "step" }), b"");
    let id = &card["pages"][0]["id"];
    let (_, svg) = ask(&mut module, &json!({ "ask": "picture", "id": id }), b"");
    assert!(svg.starts_with(b"<svg"));
    let (answer, svg) = ask(&mut module, &json!({ "ask": "picture", "id": "?" }), b"");
    assert!(answer["why"].is_string() && svg.is_empty());
}

#[test]
fn what_cannot_be_read_is_answered_in_words() {
    let mut module = Module::default();
    for message in [
        &b""[..],
        b"\xff\xff\xff\xff{}",
        b"\x02\0\0\0{}",
        b"\x02\0\0\0][",
    ] {
        let answer = module.answer(message);
        let text = String::from_utf8_lossy(&answer).into_owned();
        assert!(text.contains("\"why\""), "{text}");
    }
}

#[test]
fn a_starter_is_made_for_sizes_of_the_list_alone() {
    let mut module = Module::default();
    let (choices, _) = ask(&mut module, &json!({ "ask": "choices" }), b"");
    let ips = &choices["sizes"][0][1];
    let starter = |module: &mut Module, sizes: &Value| {
        let request =
            json!({ "ask": "starter", "sizes": sizes, "service": "water", "today": "2026-11-25" });
        ask(module, &request, b"").0
    };
    let text = starter(&mut module, &json!([ips[1]]))["text"].clone();
    assert!(text.as_str().unwrap().contains(ips[1].as_str().unwrap()));
    let metric = &choices["sizes"][2][1][0];
    for wrong in [
        json!([ips[1], metric]),
        json!(["9 in"]),
        json!([ips[1], ips[1]]),
    ] {
        assert!(starter(&mut module, &wrong)["why"].is_string(), "{wrong}");
    }
}
