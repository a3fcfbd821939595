//! The tree: what was written, with every span, comment and blank line.

use crate::measure::Quantity;
use crate::source::{FileId, Span};

/// A file, read.
#[derive(Clone, Debug)]
pub struct Tree {
    /// Whose text this is.
    pub file: FileId,
    /// Its lines.
    pub nodes: Vec<Node>,
}

/// What stands in a file or a block.
#[derive(Clone, Debug)]
pub enum Node {
    /// A line `head item … { }`.
    Line(Line),
    /// `if c { } else { }`.
    If(If),
    /// A comment alone on its line; the text with its slashes.
    Comment(Span),
    /// One or more blank lines.
    Blank,
    /// What could not be read; reported already, kept for the formatter.
    Bad(Span),
}

/// `head item item … { lines }`.
#[derive(Clone, Debug)]
pub struct Line {
    /// The `///` lines before it, without slashes.
    pub docs: Vec<Doc>,
    /// The first word.
    pub head: Name,
    /// What follows, flat.
    pub items: Vec<Item>,
    /// What stands after `=`.
    pub set: Option<Vec<Item>>,
    /// The block.
    pub block: Option<Block>,
    /// A comment at the end of the line (after `{` where there is a block).
    pub comment: Option<Span>,
    /// Comments within the line: after a comma, an operator or a bracket that carries it on.
    pub inner_comments: Vec<Span>,
    /// The whole, without docs and comment.
    pub span: Span,
    /// Whether a part of it could not be read (reported already): missing things stay quiet.
    pub damaged: bool,
}

/// One `///` line.
#[derive(Clone, Debug)]
pub struct Doc {
    /// Its words.
    pub text: String,
    /// With its slashes.
    pub span: Span,
}

/// `{ … }`.
#[derive(Clone, Debug)]
pub struct Block {
    /// The lines.
    pub nodes: Vec<Node>,
    /// A comment after the closing brace.
    pub comment: Option<Span>,
    /// Both braces.
    pub span: Span,
}

/// `if condition { } else …`.
#[derive(Clone, Debug)]
pub struct If {
    /// The condition.
    pub condition: Expr,
    /// What holds if so.
    pub then: Block,
    /// What holds otherwise: lines, or one more `if` as the only node.
    pub otherwise: Option<Block>,
    /// A comment after the first `{`.
    pub comment: Option<Span>,
    /// The whole.
    pub span: Span,
}

/// A word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Name {
    /// As written.
    pub text: String,
    /// Where.
    pub span: Span,
}

/// An expression, or several with commas.
#[derive(Clone, Debug)]
pub struct Item {
    /// One or more.
    pub exprs: Vec<Expr>,
    /// From the first to the last.
    pub span: Span,
}

/// An expression with its place.
#[derive(Clone, Debug)]
pub struct Expr {
    /// What it is.
    pub kind: ExprKind,
    /// Where; with its parentheses, where it stands in some.
    pub span: Span,
}

/// The kinds of expression.
#[derive(Clone, Debug)]
pub enum ExprKind {
    /// A number with a unit glued to it, in base units; also `5ft 3 1/2in`.
    Measure(Quantity),
    /// A value that could not be read, such as a number with a unit that does not exist; reported
    /// already, so everything that uses it stays quiet.
    BadUnit,
    /// A bare number.
    Number(crate::measure::Rational),
    /// `"…"`, without its quotes.
    Text(String),
    /// `"""…"""`, without its quotes: Markdown.
    Markdown(String),
    /// A word.
    Name(String),
    /// `of.member`.
    Member(Box<Expr>, Name),
    /// `of[a, b]`.
    Index(Box<Expr>, Vec<Expr>),
    /// `of(name: value, …)`.
    Call(Box<Expr>, Vec<Arg>),
    /// `-a`.
    Neg(Box<Expr>),
    /// `not a`.
    Not(Box<Expr>),
    /// `a op b`; the span of the operator is kept for messages.
    Binary(Box<Expr>, Op, Span, Box<Expr>),
    /// `if a then b else c`.
    Choice(Box<Expr>, Box<Expr>, Box<Expr>),
}

/// An argument of a call.
#[derive(Clone, Debug)]
pub struct Arg {
    /// The parameter's name.
    pub name: Option<Name>,
    /// Its value.
    pub value: Expr,
}

/// An operator between two values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Op {
    Add,
    Sub,
    Mul,
    Div,
    Less,
    LessEq,
    Greater,
    GreaterEq,
    Equal,
    NotEqual,
    And,
    Or,
}

impl Op {
    /// Whether it asks how two values compare.
    pub fn compares(self) -> bool {
        matches!(
            self,
            Op::Less | Op::LessEq | Op::Greater | Op::GreaterEq | Op::Equal | Op::NotEqual
        )
    }

    /// As written.
    pub fn symbol(self) -> &'static str {
        match self {
            Op::Add => "+",
            Op::Sub => "-",
            Op::Mul => "*",
            Op::Div => "/",
            Op::Less => "<",
            Op::LessEq => "<=",
            Op::Greater => ">",
            Op::GreaterEq => ">=",
            Op::Equal => "==",
            Op::NotEqual => "!=",
            Op::And => "and",
            Op::Or => "or",
        }
    }
}

impl Expr {
    /// Adds every word that stands in it for a thing; members after a dot are none.
    pub fn names_in<'e>(&'e self, out: &mut Vec<&'e str>) {
        match &self.kind {
            ExprKind::Name(name) => out.push(name),
            ExprKind::Member(of, _) | ExprKind::Neg(of) | ExprKind::Not(of) => of.names_in(out),
            ExprKind::Index(of, at) => {
                of.names_in(out);
                at.iter().for_each(|index| index.names_in(out));
            }
            ExprKind::Call(of, args) => {
                of.names_in(out);
                args.iter().for_each(|arg| arg.value.names_in(out));
            }
            ExprKind::Binary(a, _, _, b) => {
                a.names_in(out);
                b.names_in(out);
            }
            ExprKind::Choice(a, b, c) => {
                a.names_in(out);
                b.names_in(out);
                c.names_in(out);
            }
            ExprKind::Measure(_)
            | ExprKind::BadUnit
            | ExprKind::Number(_)
            | ExprKind::Text(_)
            | ExprKind::Markdown(_) => {}
        }
    }

    /// The word, if this is one.
    pub fn as_name(&self) -> Option<&str> {
        match &self.kind {
            ExprKind::Name(name) => Some(name),
            _ => None,
        }
    }
}
