//! What a finished file shows, as lines of text that can be kept and compared.
//!
//! Words stand as they are read. Everything else that is drawn, where it lies and how, goes into one short
//! digest for each layer: it changes when anything of the layer does, and says where to look.

use std::collections::BTreeMap;

use lopdf::{
    Dictionary, Document, Object,
    content::{Content, Operation},
    decode_text_string,
};
use serde_json::Value;
use sha2::{Digest, Sha256};

/// How deep the objects of a JSON file are taken apart into lines.
const JSON_DEPTH: usize = 2;

/// Bytes of a digest that are kept: two layers that differ have the same once in 10^14.
const DIGEST_BYTES: usize = 6;

/// What a file shows; of a file of plain text, the text.
pub fn shown(name: &str, bytes: &[u8]) -> String {
    let text = || String::from_utf8(bytes.to_vec()).expect("the file is text");
    match name.rsplit('.').next() {
        Some("pdf") => pdf(bytes),
        Some("svg") => svg(&text()),
        Some("dxf") => dxf(&text()),
        Some("json") => {
            let mut lines = String::new();
            json("", &serde_json::from_str(&text()).unwrap(), 0, &mut lines);
            lines
        }
        Some("png") => format!("{}\n", digest(bytes)),
        _ => text(),
    }
}

fn digest(bytes: &[u8]) -> String {
    let hash = Sha256::digest(bytes);
    hash[..DIGEST_BYTES]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// A value of a line each: members of objects, elements of lists.
fn json(path: &str, value: &Value, depth: usize, lines: &mut String) {
    match value {
        Value::Object(members) if depth < JSON_DEPTH => {
            for (name, member) in members {
                json(&format!("{path}/{name}"), member, depth + 1, lines);
            }
        }
        Value::Array(elements) if elements.iter().any(Value::is_object) => {
            for element in elements {
                lines.push_str(&format!("{path} {element}\n"));
            }
        }
        other => lines.push_str(&format!("{path} {other}\n")),
    }
}

/// The words and drawings of something that is read from front to back, by layer.
#[derive(Default)]
struct Page {
    words: Vec<String>,
    layers: BTreeMap<String, String>,
}

impl Page {
    fn draw(&mut self, layer: &str, what: &str) {
        let drawn = self.layers.entry(layer.to_owned()).or_default();
        drawn.push_str(what);
        drawn.push('\n');
    }

    fn lines(&self) -> String {
        let layers = self.layers.iter();
        let layers: Vec<_> = layers
            .map(|(name, drawn)| format!("{name} {}", digest(drawn.as_bytes())))
            .collect();
        format!("{}\n{}\n", layers.join(", "), self.words.join(" | "))
    }
}

/// An SVG as this program writes it: an element a line, a group for each layer.
fn svg(text: &str) -> String {
    let (mut page, mut layer) = (Page::default(), "no layer");
    for line in text.lines() {
        if let Some(id) = line
            .strip_prefix("<g ")
            .and_then(|group| between(group, "id=\"", "\""))
        {
            layer = id;
        }
        if line.starts_with("<text ") {
            page.words.push(
                between(line, ">", "<")
                    .expect("a text has words")
                    .to_owned(),
            );
        }
        page.draw(layer, line);
    }
    page.lines()
}

/// A DXF: a code and a value in two lines; comments and texts are words.
fn dxf(text: &str) -> String {
    let (mut page, mut layer) = (Page::default(), "no layer");
    let lines: Vec<&str> = text.lines().collect();
    for group in lines.chunks(2) {
        match (group[0].trim(), group[1]) {
            ("8", value) => layer = value,
            ("1" | "999", value) => page.words.push(value.to_owned()),
            _ => {}
        }
        page.draw(layer, &group.join(" "));
    }
    page.lines()
}

fn between<'a>(text: &'a str, start: &str, end: &str) -> Option<&'a str> {
    let rest = &text[text.find(start)? + start.len()..];
    Some(&rest[..rest.find(end)?])
}

/// Titles and fonts of a PDF, then each of its pages.
fn pdf(bytes: &[u8]) -> String {
    let document = Document::load_mem(bytes).unwrap();
    let mut lines = String::new();
    for object in document.objects.values() {
        match object {
            Object::Dictionary(entries) => {
                if let Some(title) = entries
                    .get(b"Title")
                    .ok()
                    .and_then(|title| decode_text_string(title).ok())
                {
                    lines.push_str(&format!("title: {title}\n"));
                }
            }
            Object::Stream(stream) if stream.dict.has(b"Length1") => {
                let face = stream
                    .decompressed_content()
                    .unwrap_or_else(|_| stream.content.clone());
                lines.push_str(&format!("face: {}\n", digest(&face)));
            }
            _ => {}
        }
    }
    for (number, id) in document.get_pages() {
        let sides = document
            .get_dictionary(id)
            .unwrap()
            .get(b"MediaBox")
            .unwrap();
        let page = pdf_page(
            &document,
            &Content::decode(&document.get_page_content(id))
                .unwrap()
                .operations,
            &document.get_page_fonts(id).unwrap(),
        );
        lines.push_str(&format!("page {number}, {sides:?}: {}", page.lines()));
    }
    lines
}

fn pdf_page(
    document: &Document,
    operations: &[Operation],
    fonts: &BTreeMap<Vec<u8>, &Dictionary>,
) -> Page {
    let (mut page, mut layer, mut font) = (Page::default(), String::new(), None);
    for Operation { operator, operands } in operations {
        match (operator.as_str(), operands.as_slice()) {
            ("BDC", [_, Object::Name(name)]) => layer = String::from_utf8(name.clone()).unwrap(),
            ("Tf", [Object::Name(name), _]) => font = Some(fonts[name]),
            ("Tj", [Object::String(codes, _)]) => {
                let encoding = font
                    .expect("a font is set")
                    .get_font_encoding(document)
                    .unwrap();
                page.words
                    .push(Document::decode_text(&encoding, codes).unwrap());
                continue;
            }
            _ => {}
        }
        page.draw(&layer, &format!("{operands:?} {operator}"));
    }
    page
}
