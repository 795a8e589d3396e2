//! Licence expressions as crates write them: SPDX with `AND`, `OR`, `WITH` and brackets, and the old slash for `OR`.

/// Whether an expression can be satisfied with allowed licences alone. One that cannot be read is not allowed.
pub fn permits(expression: &str, allowed: impl Fn(&str) -> bool) -> bool {
    let spaced = expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ");
    let mut reader = Reader { words: spaced.split_whitespace().collect(), at: 0, allowed: &allowed };
    let verdict = reader.either();
    reader.at == reader.words.len() && verdict == Some(true)
}

struct Reader<'a> {
    words: Vec<&'a str>,
    at: usize,
    allowed: &'a dyn Fn(&str) -> bool,
}

impl<'a> Reader<'a> {
    fn take(&mut self, word: &str) -> bool {
        let here = self.words.get(self.at) == Some(&word);
        self.at += usize::from(here);
        here
    }

    fn next(&mut self) -> Option<&'a str> {
        let word = self.words.get(self.at).copied();
        self.at += 1;
        word
    }

    /// Any side is enough; `AND` binds tighter. Every side is read to its end, so that a broken one is noticed.
    fn either(&mut self) -> Option<bool> {
        let mut verdict = self.both()?;
        while self.take("OR") {
            verdict |= self.both()?;
        }
        Some(verdict)
    }

    fn both(&mut self) -> Option<bool> {
        let mut verdict = self.one()?;
        while self.take("AND") {
            verdict &= self.one()?;
        }
        Some(verdict)
    }

    fn one(&mut self) -> Option<bool> {
        if self.take("(") {
            let verdict = self.either()?;
            return self.take(")").then_some(verdict);
        }
        let name = self.next().filter(|it| !["AND", "OR", "WITH", ")"].contains(it))?;
        if !self.take("WITH") {
            return Some((self.allowed)(name));
        }
        let exception = self.next()?;
        Some((self.allowed)(&format!("{name} WITH {exception}")))
    }
}

#[cfg(test)]
mod tests {
    use super::permits;

    fn with_mit_and_zlib(expression: &str) -> bool {
        permits(expression, |it| ["MIT", "Zlib", "Apache-2.0 WITH LLVM-exception"].contains(&it))
    }

    #[test]
    fn one_allowed_side_of_or_is_enough() {
        assert!(with_mit_and_zlib("GPL-3.0-only OR MIT"));
        assert!(with_mit_and_zlib("GPL-3.0-only/MIT"));
        assert!(!with_mit_and_zlib("GPL-3.0-only OR MPL-2.0"));
    }

    #[test]
    fn every_side_of_and_is_needed() {
        assert!(with_mit_and_zlib("MIT AND Zlib"));
        assert!(!with_mit_and_zlib("MIT AND GPL-3.0-only"));
    }

    #[test]
    fn and_binds_tighter_than_or_and_brackets_tighter_still() {
        assert!(with_mit_and_zlib("MIT OR Zlib AND GPL-3.0-only"));
        assert!(!with_mit_and_zlib("(MIT OR Zlib) AND GPL-3.0-only"));
    }

    #[test]
    fn an_exception_is_part_of_the_licence() {
        assert!(with_mit_and_zlib("Apache-2.0 WITH LLVM-exception"));
        assert!(!with_mit_and_zlib("Apache-2.0"));
        assert!(!with_mit_and_zlib("MIT WITH LLVM-exception"));
    }

    #[test]
    fn what_cannot_be_read_is_not_allowed() {
        for broken in ["", "MIT OR", "(MIT", "MIT)", "MIT Zlib", "OR MIT", "MIT WITH", "()"] {
            assert!(!with_mit_and_zlib(broken), "{broken:?} was let in");
        }
    }
}
