//! PDFs whose pages draw parts that draw parts, for whatever reads PDFs.

use lopdf::{Document, Object, Stream, dictionary};

/// A PDF of one page with this content and these parts, by name.
pub fn pdf(content: Stream, parts: &[(&str, &str)]) -> Vec<u8> {
    let mut document = Document::with_version("1.7");
    let ids: Vec<_> = parts.iter().map(|_| document.new_object_id()).collect();
    let named = || {
        let named = parts.iter().zip(&ids);
        named.map(|((name, _), id)| ((*name).to_owned(), Object::Reference(*id)))
    };
    let resources = || {
        let mut all = lopdf::Dictionary::new();
        named().for_each(|(name, part)| all.set(name, part));
        dictionary! { "XObject" => all }
    };
    for ((_, draws), id) in parts.iter().zip(&ids) {
        let form = dictionary! {
            "Type" => "XObject",
            "Subtype" => "Form",
            "BBox" => vec![0.into(), 0.into(), 9.into(), 9.into()],
            "Resources" => resources(),
        };
        let form = Stream::new(form, draws.as_bytes().to_vec());
        document.objects.insert(*id, form.into());
    }
    let content = document.add_object(content);
    let pages = document.new_object_id();
    let page = document.add_object(dictionary! {
        "Type" => "Page",
        "Parent" => pages,
        "MediaBox" => vec![0.into(), 0.into(), 612.into(), 792.into()],
        "Resources" => resources(),
        "Contents" => content,
    });
    let tree = dictionary! { "Type" => "Pages", "Kids" => vec![page.into()], "Count" => 1 };
    document.objects.insert(pages, tree.into());
    let catalog = document.add_object(dictionary! { "Type" => "Catalog", "Pages" => pages });
    document.trailer.set("Root", catalog);
    let mut bytes = Vec::new();
    document.save_to(&mut bytes).unwrap();
    bytes
}

/// Content without a filter.
pub fn plain(content: &str) -> Stream {
    Stream::new(dictionary! {}, content.as_bytes().to_vec())
}

/// Each part draws the next ten times: ten to the twentieth in all.
pub fn tenfold() -> Vec<u8> {
    let names: Vec<_> = (0..=20).map(|n| format!("p{n}")).collect();
    let ten: Vec<_> = (1..=21).map(|n| format!("/p{n} Do\n").repeat(10)).collect();
    let parts = names.iter().zip(&ten);
    let parts: Vec<_> = parts.map(|(n, d)| (n.as_str(), d.as_str())).collect();
    pdf(plain("/p0 Do"), &parts)
}
