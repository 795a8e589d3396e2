//! The text between quotes in Rust source: what a person may one day read.

/// Each string literal with the line on which it starts. Comments and characters are passed over.
pub fn literals(source: &str) -> Vec<(usize, String)> {
    let mut reader = Reader { rest: source, line: 1 };
    let mut found = Vec::new();
    while let Some(here) = reader.rest.chars().next() {
        let line = reader.line;
        if reader.rest.starts_with("//") {
            reader.until("\n");
        } else if reader.rest.starts_with("/*") {
            reader.block_comment();
        } else if let Some(hashes) = raw_hashes(reader.rest) {
            reader.until("\"");
            let text = reader.until(&format!("\"{hashes}"));
            found.push((line, text.to_owned()));
        } else if here == '"' {
            reader.skip(1);
            found.push((line, reader.quoted().to_owned()));
        } else if here == '\'' {
            reader.character();
        } else if here.is_alphanumeric() || here == '_' {
            reader.word();
        } else {
            reader.skip(here.len_utf8());
        }
    }
    found
}

/// The hashes of a raw string that begins here (`r#"`, `br"`), or nothing.
fn raw_hashes(rest: &str) -> Option<&str> {
    let after =
        rest.strip_prefix('r').or_else(|| rest.strip_prefix("br")).or_else(|| rest.strip_prefix("cr"))?;
    let count = after.bytes().take_while(|it| *it == b'#').count();
    after[count..].starts_with('"').then(|| &after[..count])
}

struct Reader<'a> {
    rest: &'a str,
    line: usize,
}

impl<'a> Reader<'a> {
    fn skip(&mut self, bytes: usize) -> &'a str {
        let (gone, rest) = self.rest.split_at(bytes);
        self.line += gone.matches('\n').count();
        self.rest = rest;
        gone
    }

    /// Skips past the end mark and hands back what stood before it.
    fn until(&mut self, end: &str) -> &'a str {
        let at = self.rest.find(end).unwrap_or(self.rest.len());
        let before = self.skip(at);
        self.skip(end.len().min(self.rest.len()));
        before
    }

    /// Block comments nest.
    fn block_comment(&mut self) {
        let mut depth = 0_usize;
        while !self.rest.is_empty() {
            if self.rest.starts_with("/*") {
                depth += 1;
                self.skip(2);
            } else if self.rest.starts_with("*/") {
                depth -= 1;
                self.skip(2);
                if depth == 0 {
                    return;
                }
            } else {
                let next = self.rest.chars().next().map_or(1, char::len_utf8);
                self.skip(next);
            }
        }
    }

    fn quoted(&mut self) -> &'a str {
        let mut escaped = false;
        let end = self.rest.find(|it| {
            let ends = it == '"' && !escaped;
            escaped = it == '\\' && !escaped;
            ends
        });
        let text = self.skip(end.unwrap_or(self.rest.len()));
        self.skip(1.min(self.rest.len()));
        text
    }

    /// A character (`'"'`, `'\''`), or else the tick of a lifetime.
    fn character(&mut self) {
        let mut after = self.rest.chars().skip(1);
        let (first, second) = (after.next(), after.next());
        if first == Some('\\') {
            self.skip(1 + 1);
            let escaped = self.rest.chars().next().map_or(0, char::len_utf8);
            self.skip(escaped);
            self.until("'");
        } else if second == Some('\'') {
            self.skip(2 + first.map_or(0, char::len_utf8));
        } else {
            self.skip(1);
        }
    }

    /// A name, whole, so that a name that ends in `r` does not begin a raw string.
    fn word(&mut self) {
        let end = self.rest.find(|it: char| !(it.is_alphanumeric() || it == '_'));
        self.skip(end.unwrap_or(self.rest.len()));
    }
}

#[cfg(test)]
mod tests {
    use super::literals;

    fn texts(source: &str) -> Vec<String> {
        literals(source).into_iter().map(|(_, text)| text).collect()
    }

    #[test]
    fn plain_raw_and_byte_strings_are_found() {
        assert_eq!(texts(r###"a("b", r"c\", r#"d"e"#, b"f", br"g")"###), ["b", r"c\", "d\"e", "f", "g"]);
    }

    #[test]
    fn escapes_do_not_end_a_string() {
        assert_eq!(texts(r#"x("a\"b", "c\\", "d")"#), [r#"a\"b"#, r"c\\", "d"]);
    }

    #[test]
    fn comments_are_passed_over() {
        assert_eq!(texts("// \"a\"\n/* \"b\" /* \"c\" */ \"d\" */ \"e\""), ["e"]);
    }

    #[test]
    fn characters_and_lifetimes_do_not_open_a_string() {
        assert_eq!(texts(r#"m('"', '\'','"', '\u{22}', b'"'); fn f<'a>(x: &'a str) { g("h") }"#), ["h"]);
    }

    #[test]
    fn a_name_that_ends_in_r_is_no_raw_string() {
        assert_eq!(texts("for\"a\" bar\"b\""), ["a", "b"]);
    }

    #[test]
    fn lines_are_counted_through_everything() {
        let source = "// one\n/* two\n three */\n\"four\nfive\"\n\"six\"";
        assert_eq!(literals(source).iter().map(|it| it.0).collect::<Vec<_>>(), [4, 6]);
    }

    #[test]
    fn unfinished_source_does_not_run_away() {
        for source in ["\"a", "r#\"a\"", "/* a", "'", "'\\", "\"\\"] {
            literals(source);
        }
    }
}
