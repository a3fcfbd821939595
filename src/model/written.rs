//! What the maker wrote, as plain data: the checked lines of every file of a project, each word with
//! its text and each number with its value. Two revisions are compared by it; nothing is built from
//! it, and the library that ships inside the program is not in it.
//!
//! It is no part of [`super::Model`], since it is there even where the lines make no piece.

use crate::measure::Quantity;

/// A line with its block.
#[derive(Clone, Debug)]
pub struct WrittenLine {
    /// The file, relative to the project folder.
    pub file: String,
    /// The number of its line in the file, from 1.
    pub line: u32,
    /// Its first word; empty for what could not be read.
    pub head: String,
    /// The names that it declares or speaks of.
    pub names: Vec<String>,
    /// Head, names, count, leading values and title, as they stand.
    pub subject: Vec<Token>,
    /// `=` and what is set.
    pub set: Vec<Token>,
    /// Its clauses, also those that stand as lines of its block.
    pub clauses: Vec<WrittenClause>,
    /// Its description (`///`), in one line.
    pub docs: String,
    /// The other lines of its block.
    pub lines: Vec<WrittenLine>,
    /// Whether its place among its neighbours says something.
    pub order: WrittenOrder,
    /// Whether it could not be read as a whole: then all of it is in `subject`, word by word.
    pub damaged: bool,
}

/// Whether the place of a line among its neighbours says something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WrittenOrder {
    /// It may stand anywhere in its block.
    Free,
    /// It counts among all lines of its block: order is place in `divide`, time in a finish.
    Block,
    /// It counts among lines of the same head: bands cover each other, pieces take their letters.
    Head,
}

/// A word with its values and its tails.
#[derive(Clone, Debug)]
pub struct WrittenClause {
    /// The clause word.
    pub word: &'static str,
    /// The word and its values.
    pub tokens: Vec<Token>,
    /// What qualifies it.
    pub tails: Vec<WrittenClause>,
}

/// A word, number or sign.
#[derive(Clone, Debug)]
pub struct Token {
    /// As it stands in the text.
    pub text: String,
    /// Whether a blank stands before it.
    pub spaced: bool,
    /// What it comes to, if it is a number: `1/2in` says the same as `12.7mm`.
    pub value: Option<Quantity>,
}

impl Token {
    /// Whether both say the same.
    pub fn says(&self, other: &Token) -> bool {
        match (self.value, other.value) {
            (Some(a), Some(b)) => {
                // An amount of money is of one currency, which its dimension does not tell.
                let currency = |token: &Token| -> String {
                    let digit = |c: char| c.is_ascii_digit() || c == '.';
                    token.text.trim_start_matches(digit).to_owned()
                };
                a == b && (a.dimension.money == 0 || currency(self) == currency(other))
            }
            (None, None) => self.text == other.text,
            _ => false,
        }
    }
}

/// Tokens as text.
pub fn text_of<'a>(tokens: impl IntoIterator<Item = &'a Token>) -> String {
    let mut out = String::new();
    for token in tokens {
        if token.spaced && !out.is_empty() {
            out.push(' ');
        }
        out.push_str(&token.text);
    }
    out
}

impl WrittenLine {
    /// Every token of the line, in the order of subject, set and clauses.
    pub fn tokens(&self) -> Vec<&Token> {
        let mut out: Vec<&Token> = self.subject.iter().chain(&self.set).collect();
        self.clauses.iter().for_each(|clause| clause.all(&mut out));
        out
    }

    /// How many lines it is with its block.
    pub fn count(&self) -> usize {
        1 + self.lines.iter().map(WrittenLine::count).sum::<usize>()
    }
}

impl WrittenClause {
    /// Adds its tokens and those of its tails.
    pub fn all<'a>(&'a self, out: &mut Vec<&'a Token>) {
        out.extend(&self.tokens);
        self.tails.iter().for_each(|tail| tail.all(out));
    }
}
