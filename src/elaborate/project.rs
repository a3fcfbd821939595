//! What the files of a project declare, found by name.

use super::circle::{Step, What};
use super::env::{Env, Slot};

use super::value::{self, Lookup};
use super::{Poison, Res, library};
use crate::diag::{Diagnostic, code};
use crate::model::{
    Abrasive, Finish, FinishId, Glue, Hardware, HardwareId, Material, OnHand, Shop, Stock, StockId,
};
use crate::schema::{Form, NameUse};
use crate::source::{FileId, Sources, Span};
use crate::syntax::tree::{Expr, ExprKind};
use indexmap::IndexMap;
use std::rc::Rc;

/// A parameter set from outside.
pub struct Set {
    /// Its name.
    pub name: String,
    /// What it is set to.
    pub value: Expr,
}

/// The declarations of a project.
pub struct Project {
    /// The texts, for what is printed as written.
    pub sources: Sources,
    /// `let` and `param` at the top of files.
    pub globals: Rc<Env>,
    /// Species and cores by [`materials::key`], in order of declaration.
    pub materials: IndexMap<String, Material>,
    /// Glues by name, for the shop to take.
    pub glues: IndexMap<String, Glue>,
    /// Abrasives by name, for the shop to take.
    pub abrasives: IndexMap<String, Abrasive>,
    /// Stock by name, in order of declaration.
    pub stocks: IndexMap<String, Stock>,
    /// Hardware by name.
    pub hardware: IndexMap<String, Hardware>,
    /// Finishes by name.
    pub finishes: IndexMap<String, Finish>,
    /// Patterns by name.
    pub patterns: IndexMap<String, Rc<Form>>,
    /// Pieces by name, with the file that they stand in.
    pub pieces: IndexMap<String, (FileId, Rc<Form>)>,
    /// Commissions, with their files.
    pub commissions: Vec<(FileId, Rc<Form>)>,
    /// Notes at the top of the first file.
    pub notes: Vec<Rc<Form>>,
    /// The shop.
    pub shop: Shop,
    /// What is on hand.
    pub rack: Vec<OnHand>,
    /// Names whose declaration is broken: their users stay quiet.
    pub broken: Vec<String>,
    /// Whether a file or a line was not had: it may have declared anything.
    pub holes: bool,
    /// Whether the library is in use.
    pub library: bool,
    /// The edition that the first file states.
    pub edition: u32,
}

/// A lookup that knows no geometry: at the top of files.
pub struct TopLevel<'a> {
    /// The texts.
    pub sources: &'a Sources,
    /// Whether something that was not had may have declared any name.
    pub holes: bool,
    /// How many values wait for the one that is being computed.
    depth: usize,
    /// What is being found.
    trail: Vec<Step>,
    /// How many turns repetitions have taken.
    turns: u32,
    /// Where reports go.
    sink: &'a mut Vec<Diagnostic>,
}

impl<'a> TopLevel<'a> {
    /// A lookup among these texts.
    pub fn new(sources: &'a Sources, holes: bool, sink: &'a mut Vec<Diagnostic>) -> TopLevel<'a> {
        TopLevel {
            sources,
            holes,
            depth: 0,
            trail: Vec::new(),
            turns: 0,
            sink,
        }
    }
}

impl Lookup for TopLevel<'_> {
    fn path(&mut self, _: &[super::env::Segment]) -> Option<Res<value::Value>> {
        None
    }
    fn candidates(&self) -> Vec<String> {
        Vec::new()
    }
    fn excuses(&self, _: &[super::env::Segment]) -> bool {
        self.holes
    }
    fn source(&self, span: Span) -> String {
        self.sources.text(span).to_owned()
    }
    fn depth(&mut self) -> &mut usize {
        &mut self.depth
    }
    fn trail(&mut self) -> &mut Vec<Step> {
        &mut self.trail
    }
    fn name_of(&self, what: &What) -> String {
        match what {
            What::Value(name) | What::Case(name) => name.clone(),
            What::Face(..) | What::Space(..) | What::Division(_) => String::new(),
        }
    }
    fn turns(&mut self) -> &mut u32 {
        &mut self.turns
    }
    fn report(&mut self, diagnostic: Diagnostic) {
        self.sink.push(diagnostic);
    }
}

/// Binds what a `let` says; one without its `=` was reported.
pub fn bind_let(scope: &Env, name: Option<&NameUse>, value: Option<&Expr>) {
    match (name, value) {
        (Some(name), Some(value)) => scope.bind(&name.text, value.clone(), None),
        (Some(name), None) => scope.set(&name.text, Slot::Bad),
        (None, _) => {}
    }
}

/// A name that is taken.
pub fn twice(name: &str, span: Span, first: Span) -> Diagnostic {
    // Lines may be taken up in another order than they stand in; what stands later is the second.
    let later = span.file != first.file || span.start >= first.start;
    let (span, first) = if later { (span, first) } else { (first, span) };
    Diagnostic::new(
        &code::NAME_TWICE,
        format!("a second `{name}`"),
        span,
        "this name is taken",
    )
    .at(first, "it was given here")
    .help("give one of them another name")
}

impl Project {
    /// Reports a name that nothing declares.
    pub fn missing(
        &self,
        cx: &mut dyn Lookup,
        name: &NameUse,
        what: &str,
        known: Vec<&str>,
    ) -> Poison {
        if self.holes || self.broken.contains(&name.text) {
            return Poison;
        }
        if self.stocks.is_empty()
            && self.hardware.is_empty()
            && self.finishes.is_empty()
            && self.patterns.is_empty()
            && !self.library
            && what != "piece"
        {
            // One missing `use`, one report: further names are noted there.
            cx.report(
                Diagnostic::new(
                    &code::NAME_UNKNOWN,
                    "no stock, hardware, finish or pattern is declared",
                    name.span,
                    format!("no {what} is called `{}`", name.text),
                )
                .help("`use` the file that declares them, or `use std` for common ones"),
            );
            return Poison;
        }
        let head = what.rsplit(' ').next().unwrap_or(what);
        cx.report(self.undeclared(name, what, &[head], known));
        Poison
    }

    /// What else a name stands for.
    fn sort_of(&self, name: &str) -> Option<&'static str> {
        let sorts = [
            (self.stocks.contains_key(name), "a stock"),
            (self.hardware.contains_key(name), "hardware"),
            (self.finishes.contains_key(name), "a finish"),
            (self.patterns.contains_key(name), "a pattern"),
            (self.pieces.contains_key(name), "a piece"),
        ];
        sorts.into_iter().find_map(|(is, sort)| is.then_some(sort))
    }

    /// A name that is not declared: of what, by which heads, and what is known. What the library has
    /// is known where it is in use, and spoken of where it is not.
    fn undeclared(
        &self,
        name: &NameUse,
        what: &str,
        heads: &[&str],
        known: Vec<&str>,
    ) -> Diagnostic {
        let of_library = || library::all().iter().filter(|d| heads.contains(&d.head));
        let title = match what.strip_prefix("pattern ") {
            Some(of) => format!("no pattern of `{of}` is called `{}`", name.text),
            None => format!("no {what} is called `{}`", name.text),
        };
        let is = self.sort_of(&name.text);
        let here = match (is, self.sources.text(name.span) == name.text) {
            (Some(is), true) => format!("this is {is}"),
            (Some(is), false) => format!("stands for `{}`, which is {is}", name.text),
            (None, true) => "not declared".to_owned(),
            (None, false) => format!("stands for `{}`, which is not declared", name.text),
        };
        let report = Diagnostic::new(&code::NAME_UNKNOWN, title, name.span, here);
        if is.is_some() && !known.is_empty() {
            return report.note(format!("known are {}", known.join(", ")));
        }
        let mut near = known.clone();
        if self.library {
            near.extend(of_library().map(|declared| declared.name));
        } else if of_library().any(|declared| declared.name == name.text) {
            return report.help(format!("`use std` declares `{}`", name.text));
        }
        if let Some(near) = crate::diag::nearest(&name.text, near.iter().copied()) {
            return report.help(format!("did you mean `{near}`?"));
        }
        if !self.library
            && let Some(near) = crate::diag::nearest(&name.text, of_library().map(|d| d.name))
        {
            return report.help(format!("did you mean `{near}`, which `use std` declares?"));
        }
        let report = match known.as_slice() {
            [] => report.help(format!(
                "declare it with a line `{what} {} …`, or `use` the file that does",
                name.text
            )),
            _ => report.note(format!("known are {}", known.join(", "))),
        };
        match of_library().next() {
            Some(_) if self.library => {
                report.help("`casewright words std` lists what the library declares")
            }
            _ => report,
        }
    }

    /// Reports a species or core that is not declared.
    pub fn no_material(&self, cx: &mut dyn Lookup, name: &NameUse, heads: &[&str]) -> Poison {
        if self.holes || self.broken.contains(&name.text) {
            return Poison;
        }
        let known = self.materials.keys().filter_map(|key| {
            let (head, name) = key.split_once(' ')?;
            heads.contains(&head).then_some(name)
        });
        let what = heads.first().copied().unwrap_or("species");
        cx.report(self.undeclared(name, what, heads, known.collect()));
        Poison
    }

    /// Reports a glue of the shop that states no times and is not declared.
    pub fn no_glue(&self, cx: &mut dyn Lookup, name: &NameUse) -> Poison {
        if self.holes || self.broken.contains(&name.text) {
            return Poison;
        }
        let known = self.glues.keys().map(String::as_str).collect();
        let report = self.undeclared(name, "glue", &["glue"], known);
        cx.report(report.help("or state its times here, as in `open 10min clamped 1h`"));
        Poison
    }

    /// Reports the abrasive of the shop that does not state how much it sands and is not declared.
    pub fn no_abrasive(&self, cx: &mut dyn Lookup, name: &NameUse) -> Poison {
        if self.holes || self.broken.contains(&name.text) {
            return Poison;
        }
        let known = self.abrasives.keys().map(String::as_str).collect();
        let report = self.undeclared(name, "abrasive", &["abrasive"], known);
        cx.report(report.help("or state what one of a grit sands here, as in `lasts 1m2`"));
        Poison
    }

    /// Whether something that was not had may have declared any name.
    pub fn has_holes(&self) -> bool {
        self.holes
    }

    /// The stock of this name.
    pub fn stock(&self, cx: &mut dyn Lookup, name: &NameUse) -> Res<(StockId, &Stock)> {
        match self.stocks.get_full(&name.text) {
            Some((i, _, stock)) => Ok((StockId(i as u32), stock)),
            None => Err(self.missing(
                cx,
                name,
                "stock",
                self.stocks.keys().map(String::as_str).collect(),
            )),
        }
    }

    /// The hardware of this name.
    pub fn hardware(&self, cx: &mut dyn Lookup, name: &NameUse) -> Res<(HardwareId, &Hardware)> {
        match self.hardware.get_full(&name.text) {
            Some((i, _, hardware)) => Ok((HardwareId(i as u32), hardware)),
            None => Err(self.missing(
                cx,
                name,
                "hardware",
                self.hardware.keys().map(String::as_str).collect(),
            )),
        }
    }

    /// The finish of this name.
    pub fn finish(&self, cx: &mut dyn Lookup, name: &NameUse) -> Res<FinishId> {
        match self.finishes.get_index_of(&name.text) {
            Some(i) => Ok(FinishId(i as u32)),
            None => Err(self.missing(
                cx,
                name,
                "finish",
                self.finishes.keys().map(String::as_str).collect(),
            )),
        }
    }

    /// The piece of this name.
    pub fn piece(&self, cx: &mut dyn Lookup, name: &NameUse) -> Res<Rc<Form>> {
        match self.pieces.get(&name.text) {
            Some((_, form)) => Ok(form.clone()),
            None => Err(self.missing(
                cx,
                name,
                "piece",
                self.pieces.keys().map(String::as_str).collect(),
            )),
        }
    }
}

/// The name that an expression is, for things that are found by name.
pub fn name_use(cx: &mut dyn Lookup, expr: &Expr) -> Res<NameUse> {
    match &expr.kind {
        ExprKind::Name(text) => Ok(NameUse {
            text: text.clone(),
            index: Vec::new(),
            span: expr.span,
        }),
        ExprKind::Index(of, index) => {
            let name = name_use(cx, of)?;
            Ok(NameUse {
                index: index.clone(),
                span: expr.span,
                ..name
            })
        }
        ExprKind::Member(of, member) => {
            let of = name_use(cx, of)?;
            Ok(NameUse {
                text: format!("{}.{}", of.text, member.text),
                index: Vec::new(),
                span: expr.span,
            })
        }
        ExprKind::Call(of, _) => name_use(cx, of),
        ExprKind::BadUnit => Err(Poison),
        _ => {
            cx.report(Diagnostic::new(
                &code::TYPE_MISMATCH,
                "a name is wanted here",
                expr.span,
                "not a name",
            ));
            Err(Poison)
        }
    }
}

/// The name of the stock or hardware that an expression is: itself, or what a parameter stands for.
pub fn thing_use(cx: &mut dyn Lookup, env: &Rc<Env>, expr: &Expr) -> Res<NameUse> {
    let mut name = name_use(cx, expr)?;
    let mut scope = env.clone();
    for _ in 0..MOST_NAMES {
        match scope.find(&name.text).map(|found| (found.env, found.slot)) {
            Some((env, Slot::Todo(value, of))) if value.as_name().is_some() => {
                name.text = value.as_name().unwrap_or_default().to_owned();
                scope = of.unwrap_or(env);
            }
            Some((_, Slot::Bad)) => return Err(Poison),
            _ => return Ok(name),
        }
    }
    // Names that stand for each other in a circle: asking for the value reports it.
    value::eval(cx, env, expr).and(Err(Poison))
}

/// How many names may stand each for the next.
pub const MOST_NAMES: usize = 32;
