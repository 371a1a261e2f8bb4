//! HTML read as strictly as XML.
#![expect(
    clippy::string_slice,
    reason = "cuts at ASCII signs that were just found"
)]

use std::collections::BTreeSet;

/// Elements without an end (HTML, "Void elements").
const VOID: [&str; 3] = ["meta", "br", "hr"];

/// Reads tags as an XML reader would, void elements apart: each is closed in its turn, every
/// attribute has a quoted value and stands once, every `&` begins a reference, every id stands once.
pub(crate) fn well_formed(page: &str) -> Result<(), String> {
    let mut open: Vec<String> = Vec::new();
    let mut ids = BTreeSet::new();
    let mut pointed = Vec::new();
    let mut rest = page
        .strip_prefix("<!DOCTYPE html>")
        .ok_or("no document type")?;
    while let Some(start) = rest.find('<') {
        references(&rest[..start])?;
        let inside = &rest[start + 1..];
        let end = inside.find('>').ok_or("a tag without its end")?;
        let tag = &inside[..end];
        rest = &inside[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let last = open.pop();
            if last.as_deref() != Some(name) {
                return Err(format!("</{name}> closes {last:?}"));
            }
            continue;
        }
        let name = tag.split_whitespace().next().unwrap_or_default();
        let mut seen = BTreeSet::new();
        for (attribute, value) in attributes(&tag[name.len()..])? {
            references(&value)?;
            if !seen.insert(attribute.clone()) {
                return Err(format!("{attribute} twice in <{tag}>"));
            }
            match attribute.as_str() {
                "id" if !ids.insert(value.clone()) => return Err(format!("id {value} twice")),
                "aria-labelledby" | "aria-describedby" => pointed.push(value),
                _ => {}
            }
        }
        if name == "style" {
            let end = rest.find("</style>").ok_or("style without its end")?;
            rest = &rest[end..];
        }
        if !VOID.contains(&name) {
            open.push(name.to_owned());
        }
    }
    let lost = pointed.iter().find(|id| !ids.contains(*id));
    match (open.last(), lost) {
        (Some(name), _) => Err(format!("<{name}> is never closed")),
        (None, Some(id)) => Err(format!("nothing has the id {id}")),
        (None, None) => references(rest),
    }
}

fn references(text: &str) -> Result<(), String> {
    for part in text.split('&').skip(1) {
        let known = ["amp;", "lt;", "gt;", "quot;"];
        if !known.iter().any(|name| part.starts_with(name)) {
            return Err(format!("a bare & before {part:.20}"));
        }
    }
    Ok(())
}

fn attributes(text: &str) -> Result<Vec<(String, String)>, String> {
    let mut all = Vec::new();
    let mut rest = text.trim_start();
    while !rest.is_empty() {
        let (name, after) = rest.split_once("=\"").ok_or(format!("no value: {rest}"))?;
        let (value, after) = after.split_once('"').ok_or(format!("no end: {rest}"))?;
        all.push((name.to_owned(), value.to_owned()));
        rest = after.trim_start();
    }
    Ok(all)
}
