//! From the parser's pairs to the tree: precedence, spans, literals.

use super::layout::MAX_DEPTH;
use super::literal;
use super::mend;
use super::parse::{Rule, Stretch};
use super::tree::{Arg, Expr, ExprKind, Item, Name, Op};
use crate::diag::{Diagnostic, code};
use crate::measure::Rational;
use crate::source::Span;
use pest::iterators::{Pair, Pairs};

/// The words of a line: head, items, and what stands after `=`.
#[derive(Debug)]
pub(super) struct Words {
    pub(super) head: Name,
    pub(super) items: Vec<Item>,
    pub(super) set: Option<Vec<Item>>,
}

/// The words of a line that was read, wholly or up to its fault.
pub(super) fn words(
    pairs: Pairs<'_, Rule>,
    stretch: &Stretch<'_>,
    reports: &mut Vec<Diagnostic>,
) -> Option<Words> {
    let mut builder = Builder {
        stretch,
        reports,
        too_deep: false,
    };
    let mut words: Option<Words> = None;
    for pair in pairs.flat_map(Pair::into_inner) {
        match (pair.as_rule(), &mut words) {
            (Rule::name, None) => {
                words = Some(Words {
                    head: builder.name(&pair),
                    items: Vec::new(),
                    set: None,
                })
            }
            (Rule::item, Some(words)) => words.items.push(builder.item(pair)),
            (Rule::set, Some(words)) => {
                let items = pair.into_inner().map(|item| builder.item(item)).collect();
                words.set = Some(mend::items(items, stretch, builder.reports));
            }
            _ => {} // the end, or what `loose` left over
        }
    }
    let mut words = words?;
    words.items = mend::items(std::mem::take(&mut words.items), stretch, reports);
    Some(words)
}

/// The condition of an `if`.
pub(super) fn condition(
    pairs: Pairs<'_, Rule>,
    stretch: &Stretch<'_>,
    reports: &mut Vec<Diagnostic>,
) -> Option<Expr> {
    let mut builder = Builder {
        stretch,
        reports,
        too_deep: false,
    };
    let part = pairs
        .flat_map(Pair::into_inner)
        .find(|pair| pair.as_rule() == Rule::part)?;
    Some(builder.part(part, 0).expr)
}

struct Builder<'a, 'r> {
    stretch: &'a Stretch<'a>,
    reports: &'r mut Vec<Diagnostic>,
    /// Whether the depth of this line was reported.
    too_deep: bool,
}

/// An expression and how deep it is nested.
struct Built {
    expr: Expr,
    depth: usize,
}

type Row<'i> = std::iter::Peekable<Pairs<'i, Rule>>;

/// How strongly the operators bind.
const OR: u8 = 1;
const AND: u8 = 2;
const COMPARE: u8 = 4; // `not` stands at 3
const SUM: u8 = 5;
const PRODUCT: u8 = 6;
const SIGN: u8 = 7;

impl Builder<'_, '_> {
    fn span(&self, pair: &Pair<'_, Rule>) -> Span {
        let span = pair.as_span();
        self.stretch.span(
            self.stretch.start + span.start(),
            self.stretch.start + span.end(),
        )
    }

    fn name(&self, pair: &Pair<'_, Rule>) -> Name {
        Name {
            text: pair.as_str().to_string(),
            span: self.span(pair),
        }
    }

    fn item(&mut self, pair: Pair<'_, Rule>) -> Item {
        let span = self.span(&pair);
        let mut row = pair.into_inner().peekable();
        let mut exprs = Vec::with_capacity(1);
        while row.peek().is_some() {
            exprs.push(self.expr(&mut row, OR, 0).expr);
        }
        let span = exprs
            .first()
            .zip(exprs.last())
            .map_or(span, |(first, last): (&Expr, &Expr)| {
                first.span.to(last.span)
            });
        Item { exprs, span }
    }

    fn part(&mut self, pair: Pair<'_, Rule>, level: usize) -> Built {
        self.expr(&mut pair.into_inner().peekable(), OR, level + 1)
    }

    /// Reads from the row what binds at least as strongly as `min`.
    fn expr(&mut self, row: &mut Row<'_>, min: u8, level: usize) -> Built {
        let Some(pair) = row.next() else {
            return Built {
                expr: self.poison(self.stretch.span(self.stretch.end, self.stretch.end)),
                depth: 0,
            };
        };
        let span = self.span(&pair);
        if level > MAX_DEPTH {
            let end = row.by_ref().last().map_or(span, |pair| self.span(&pair));
            return self.deep(span.to(end));
        }
        let mut left = match pair.as_rule() {
            Rule::sign if pair.as_str() == "-" => {
                self.signed(span, row, SIGN, level, ExprKind::Neg)
            }
            Rule::sign => self.signed(span, row, COMPARE, level, ExprKind::Not),
            _ => self.value(pair, level),
        };
        let mut compared = false;
        while let Some(pair) = row.peek() {
            if let Rule::member | Rule::index | Rule::call = pair.as_rule() {
                if let Some(pair) = row.next() {
                    left = self.postfix(left, pair, level);
                }
                continue;
            }
            let Some((op, strength)) = operator(pair).filter(|(_, strength)| *strength >= min)
            else {
                break;
            };
            let op_span = self.span(pair);
            row.next();
            let right = self.expr(row, strength + 1, level + 1);
            let span = left.expr.span.to(right.expr.span);
            if strength == COMPARE && compared {
                self.chain(op_span, span);
                left = Built {
                    expr: self.poison(span),
                    depth: 0,
                };
                continue;
            }
            compared = strength == COMPARE;
            left = self.binary(left, op, op_span, right);
        }
        left
    }

    fn signed(
        &mut self,
        sign: Span,
        row: &mut Row<'_>,
        min: u8,
        level: usize,
        make: fn(Box<Expr>) -> ExprKind,
    ) -> Built {
        let inner = self.expr(row, min, level + 1);
        let span = sign.to(inner.expr.span);
        Built {
            expr: Expr {
                kind: make(Box::new(inner.expr)),
                span,
            },
            depth: inner.depth + 1,
        }
    }

    fn binary(&mut self, left: Built, op: Op, op_span: Span, right: Built) -> Built {
        let depth = left.depth.max(right.depth) + 1;
        let span = left.expr.span.to(right.expr.span);
        if depth > MAX_DEPTH {
            return self.deep(span);
        }
        if op == Op::Sub
            && let Some(mixed) = mend::hyphen(&left.expr, &right.expr, self.stretch, self.reports)
        {
            return Built {
                expr: mixed,
                depth: 0,
            };
        }
        Built {
            expr: Expr {
                kind: ExprKind::Binary(Box::new(left.expr), op, op_span, Box::new(right.expr)),
                span,
            },
            depth,
        }
    }

    fn postfix(&mut self, left: Built, pair: Pair<'_, Rule>, level: usize) -> Built {
        let span = left.expr.span.to(self.span(&pair));
        let depth = left.depth + 1;
        if depth > MAX_DEPTH {
            return self.deep(span);
        }
        let of = Box::new(left.expr);
        let kind = match pair.as_rule() {
            Rule::index => {
                let exprs = pair
                    .into_inner()
                    .flat_map(|item| self.list(item, level + 1))
                    .collect();
                ExprKind::Index(of, exprs)
            }
            Rule::call => {
                let args = pair.into_inner().filter(|arg| arg.as_rule() == Rule::arg);
                ExprKind::Call(
                    of,
                    args.filter_map(|arg| self.arg(arg, level + 1)).collect(),
                )
            }
            _ => match pair.into_inner().next() {
                Some(name) => ExprKind::Member(of, self.name(&name)),
                None => ExprKind::BadUnit,
            },
        };
        Built {
            expr: Expr { kind, span },
            depth,
        }
    }

    /// The values of an item within brackets.
    fn list(&mut self, pair: Pair<'_, Rule>, level: usize) -> Vec<Expr> {
        let mut row = pair.into_inner().peekable();
        let mut exprs = Vec::with_capacity(1);
        while row.peek().is_some() {
            exprs.push(self.expr(&mut row, OR, level + 1).expr);
        }
        exprs
    }

    fn arg(&mut self, pair: Pair<'_, Rule>, level: usize) -> Option<Arg> {
        let mut name = None;
        for pair in pair.into_inner() {
            match pair.as_rule() {
                Rule::key => name = pair.into_inner().next().map(|pair| self.name(&pair)),
                _ => {
                    return Some(Arg {
                        name,
                        value: self.part(pair, level).expr,
                    });
                }
            }
        }
        None
    }

    fn value(&mut self, pair: Pair<'_, Rule>, level: usize) -> Built {
        let span = self.span(&pair);
        let text = pair.as_str();
        let mut depth = 0;
        let kind = match pair.as_rule() {
            Rule::name => ExprKind::Name(text.to_string()),
            Rule::measure => match literal::measure(text, span) {
                Ok(quantity) => ExprKind::Measure(quantity),
                Err(report) => {
                    self.reports.push(report);
                    ExprKind::BadUnit
                }
            },
            Rule::number => match literal::number(text, span) {
                Ok(number) => ExprKind::Number(number),
                Err(report) => {
                    self.reports.push(report);
                    ExprKind::BadUnit
                }
            },
            Rule::string => ExprKind::Text(text.trim_matches('"').to_string()),
            Rule::markdown => {
                ExprKind::Markdown(text.get(3..text.len() - 3).unwrap_or("").to_string())
            }
            Rule::group => match pair.into_inner().next() {
                Some(part) => {
                    let inner = self.part(part, level);
                    return Built {
                        expr: Expr {
                            kind: inner.expr.kind,
                            span,
                        },
                        depth: inner.depth + 1,
                    };
                }
                None => ExprKind::BadUnit,
            },
            Rule::choice => {
                let mut parts = pair
                    .into_inner()
                    .filter(|p| p.as_rule() == Rule::part)
                    .map(|part| self.part(part, level));
                match (parts.next(), parts.next(), parts.next()) {
                    (Some(a), Some(b), Some(c)) => {
                        depth = a.depth.max(b.depth).max(c.depth) + 1;
                        ExprKind::Choice(Box::new(a.expr), Box::new(b.expr), Box::new(c.expr))
                    }
                    _ => ExprKind::BadUnit,
                }
            }
            _ => ExprKind::BadUnit,
        };
        Built {
            expr: Expr { kind, span },
            depth,
        }
    }

    fn poison(&self, span: Span) -> Expr {
        Expr {
            kind: ExprKind::BadUnit,
            span,
        }
    }

    fn deep(&mut self, span: Span) -> Built {
        if !self.too_deep {
            self.too_deep = true;
            self.reports.push(
                Diagnostic::new(
                    &code::SYNTAX_DEEP,
                    "an expression is nested too deep",
                    span,
                    format!("more than {MAX_DEPTH} steps"),
                )
                .help("give parts of it a name with `let`"),
            );
        }
        Built {
            expr: self.poison(span),
            depth: 0,
        }
    }

    fn chain(&mut self, op: Span, whole: Span) {
        self.reports.push(
            Diagnostic::new(
                &code::SYNTAX_COMPARE_CHAIN,
                "comparisons stand in a chain",
                op,
                "compares the outcome of a comparison",
            )
            .at(whole, "")
            .help("join two comparisons with `and`: `a < b and b < c`"),
        );
    }
}

fn operator(pair: &Pair<'_, Rule>) -> Option<(Op, u8)> {
    if !matches!(pair.as_rule(), Rule::spaced | Rule::tight) {
        return None;
    }
    Some(match pair.as_str() {
        "or" => (Op::Or, OR),
        "and" => (Op::And, AND),
        "+" => (Op::Add, SUM),
        "-" => (Op::Sub, SUM),
        "*" => (Op::Mul, PRODUCT),
        "/" => (Op::Div, PRODUCT),
        "<" => (Op::Less, COMPARE),
        "<=" => (Op::LessEq, COMPARE),
        ">" => (Op::Greater, COMPARE),
        ">=" => (Op::GreaterEq, COMPARE),
        "==" => (Op::Equal, COMPARE),
        _ => (Op::NotEqual, COMPARE),
    })
}

/// The number of a whole literal, for the repair of mixed numbers.
pub(super) fn whole(expr: &Expr) -> Option<Rational> {
    match expr.kind {
        ExprKind::Number(number) if number.is_integer() => Some(number),
        _ => None,
    }
}
