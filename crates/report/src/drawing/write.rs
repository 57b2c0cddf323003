//! SVG text that is always well formed: names and values are escaped, numbers are short.

/// SVG under way.
#[derive(Default)]
pub struct Svg {
    text: String,
    open: Vec<&'static str>,
}

impl Svg {
    /// Opens an element; it is closed by [`Svg::close`].
    pub fn open(&mut self, name: &'static str, attributes: &[(&str, &str)]) {
        self.tag(name, attributes);
        self.text.push_str(">\n");
        self.open.push(name);
    }

    /// Closes the element opened last.
    pub fn close(&mut self) {
        if let Some(name) = self.open.pop() {
            self.text.push_str(&format!("</{name}>\n"));
        }
    }

    /// An element without content.
    pub fn empty(&mut self, name: &'static str, attributes: &[(&str, &str)]) {
        self.tag(name, attributes);
        self.text.push_str("/>\n");
    }

    /// An element that holds words.
    pub fn words(&mut self, name: &'static str, attributes: &[(&str, &str)], words: &str) {
        self.tag(name, attributes);
        self.text.push('>');
        self.text.push_str(&escaped(words));
        self.text.push_str(&format!("</{name}>\n"));
    }

    /// The whole text, all elements closed.
    pub fn finish(mut self) -> String {
        while !self.open.is_empty() {
            self.close();
        }
        self.text
    }

    fn tag(&mut self, name: &str, attributes: &[(&str, &str)]) {
        self.text.push('<');
        self.text.push_str(name);
        for (key, value) in attributes {
            self.text
                .push_str(&format!(" {key}=\"{}\"", escaped(value)));
        }
    }
}

/// A length with at most two decimals, without trailing zeros.
pub fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_string()
    } else {
        text.to_string()
    }
}

/// Text that means itself between tags and between quotes; letters that XML forbids become spaces.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\u{FFFE}' | '\u{FFFF}' => safe.push(' '),
            letter if letter.is_control() => safe.push(' '),
            letter => safe.push(letter),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_words_cannot_break_out() {
        let mut svg = Svg::default();
        svg.open("svg", &[("a", "\"><script>")]);
        svg.words("text", &[], "5 V & <GND>\u{0}");
        let expected =
            "<svg a=\"&quot;&gt;&lt;script&gt;\">\n<text>5 V &amp; &lt;GND&gt; </text>\n</svg>\n";
        assert_eq!(svg.finish(), expected);
    }

    #[test]
    fn checked_numbers_are_short() {
        assert_eq!(short(12.0), "12");
        assert_eq!(short(0.126), "0.13");
        assert_eq!(short(-0.001), "0");
        assert_eq!(short(100.5), "100.5");
    }
}
