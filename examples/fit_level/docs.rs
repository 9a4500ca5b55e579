//! Puts the tables of a fit into the documentation, between the markers that name them.

/// The text with what stands between `<!-- fit: NAME -->` and `<!-- end -->` renewed, for every section.
pub fn renewed(text: &str, sections: &[(&str, String)]) -> Result<String, String> {
    let mut text = text.to_owned();
    for (name, body) in sections {
        let begin = format!("<!-- fit: {name} -->\n");
        let start = text.find(&begin).ok_or_else(|| format!("no marker `{}` found", begin.trim_end()))? + begin.len();
        let length = text[start..].find("<!-- end -->").ok_or_else(|| format!("no end of `{name}` found"))?;
        text.replace_range(start..start + length, &format!("\n{}\n\n", body.trim_end()));
    }
    Ok(text)
}
