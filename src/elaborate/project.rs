//! What the files of a project declare, found by name; and the expansion of `like`.

use super::env::{Env, Slot};
use super::load::Loaded;
use super::stmt::{Stmt, merge};
use super::value::{self, Lookup};
use super::{Poison, Res, declare, glues, library, materials};
use crate::diag::{Diagnostic, code};
use crate::model::{Finish, FinishId, Glue, Hardware, HardwareId, Material, Shop, Stock, StockId};
use crate::schema::{self, Entry, Form, NameUse};
use crate::source::{FileId, Sources, Span};
use crate::syntax::tree::{Arg, Expr, ExprKind};
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
    /// Names whose declaration is broken: their users stay quiet.
    broken: Vec<String>,
    /// Whether a file or a line was not had: it may have declared anything.
    holes: bool,
    /// Whether the library is in use.
    library: bool,
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
    pub depth: usize,
    /// Where reports go.
    pub sink: &'a mut Vec<Diagnostic>,
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
    fn report(&mut self, diagnostic: Diagnostic) {
        self.sink.push(diagnostic);
    }
}

/// Gathers the declarations of all files.
///
/// Parameters of files take their values from outside before anything is computed from them.
pub fn gather(loaded: Loaded, sets: &[Set], sink: &mut Vec<Diagnostic>) -> Project {
    let Loaded {
        sources,
        entries: files,
        holes,
        library: in_use,
        ..
    } = loaded;
    let mut project = Project {
        sources,
        globals: Rc::new(Env::default()),
        materials: IndexMap::new(),
        glues: IndexMap::new(),
        stocks: IndexMap::new(),
        hardware: IndexMap::new(),
        finishes: IndexMap::new(),
        patterns: IndexMap::new(),
        pieces: IndexMap::new(),
        commissions: Vec::new(),
        notes: Vec::new(),
        shop: Shop::default(),
        broken: Vec::new(),
        holes,
        library: in_use,
        edition: 1,
    };
    let forms = || {
        files.iter().flat_map(|(file, entries)| {
            entries.iter().filter_map(move |entry| match entry {
                Entry::Form(form) => Some((*file, form)),
                Entry::If(_) => None,
            })
        })
    };
    // Names first, so that the order of lines does not matter; the library's give way.
    let of_library: Vec<FileId> = files
        .iter()
        .map(|(file, _)| *file)
        .filter(|file| library::is_library(&project.sources.get(*file).path))
        .collect();
    let ordered = || {
        let own = forms().filter(|(file, _)| !of_library.contains(file));
        own.chain(forms().filter(|(file, _)| of_library.contains(file)))
    };
    let mut names: IndexMap<String, Span> = IndexMap::new();
    for (file, form) in ordered() {
        let name = form.names.first();
        if let Some(name) =
            name.filter(|_| form.head.word != "commission" && form.head.word != "use")
        {
            let key = materials::key(form.head.word, &name.text);
            if let Some(first) = names.get(&key) {
                if of_library.contains(&file) {
                    continue;
                }
                sink.push(twice(&name.text, name.span, *first));
                continue;
            }
            names.insert(key, name.span);
        }
        match (form.head.word, name) {
            ("let" | "param", Some(name)) => match &form.set {
                Some(value) => project.globals.bind(&name.text, value.clone(), None),
                None => project.globals.set(&name.text, Slot::Bad),
            },
            ("pattern", Some(name)) => {
                project
                    .patterns
                    .insert(name.text.clone(), Rc::new(form.clone()));
            }
            ("piece", Some(name)) => {
                project
                    .pieces
                    .insert(name.text.clone(), (file, Rc::new(form.clone())));
            }
            ("note", _) if file == FileId(0) => project.notes.push(Rc::new(form.clone())),
            ("commission", _) => project.commissions.push((file, Rc::new(form.clone()))),
            _ => {}
        }
    }
    for set in sets {
        if project.globals.binds(&set.name) {
            project.globals.bind(&set.name, set.value.clone(), None);
        }
    }
    let texts = project.sources.clone();
    for (_, form) in ordered().filter(|(_, form)| form.head.word == "param") {
        let mut cx = TopLevel {
            sources: &texts,
            holes,
            depth: 0,
            sink,
        };
        let Some(name) = form.names.first() else {
            continue;
        };
        // Out of bounds is reported once; its users stay quiet.
        if check_bounds(&mut cx, form, &project.globals, None).is_err() {
            project.globals.set(&name.text, Slot::Bad);
        }
    }
    let mut shop: Option<Span> = None;
    // A stock may be like a stock, hardware like hardware, a finish like a finish.
    let goods: Vec<Stmt> = ordered()
        .filter(|(_, form)| {
            let goods = ["stock", "hardware", "finish"];
            goods.contains(&form.head.word) || materials::HEADS.contains(&form.head.word)
        })
        .map(|(_, form)| Stmt::new(form, &project.globals))
        .collect();
    // What others are made of comes first.
    let early = |(_, form): &(FileId, &Form)| materials::HEADS.contains(&form.head.word);
    for (_, form) in ordered()
        .filter(early)
        .chain(ordered().filter(|line| !early(line)))
    {
        let mut cx = TopLevel {
            sources: &texts,
            holes,
            depth: 0,
            sink,
        };
        if matches!(form.head.word, "piece" | "commission") {
            continue; // expanded when it is built, by its own parameters
        }
        let mut stmt = Stmt::new(form, &project.globals);
        let name = stmt.name().to_owned();
        if let Some(head) = form.patterned {
            // It is tried with its defaults; a pattern that is like another is a thing of its head.
            let scope = Env::within(&project.globals);
            for line in form.forms("param").chain(form.forms("let")) {
                bind_let(&scope, line.names.first(), line.set.as_ref());
            }
            stmt = Stmt::new(form, &scope);
            stmt.head = head;
        }
        let Ok(stmt) = expand_within(&mut cx, &project, &stmt, &goods, 0) else {
            project.broken.push(name);
            continue;
        };
        if form.patterned.is_none() {
            complete(&mut cx, &stmt, false);
        }
        let kept = match form.head.word {
            "species" | "core" => materials::material(&mut cx, &stmt).map(|material| {
                let key = materials::key(form.head.word, &name);
                project.materials.entry(key).or_insert(material);
            }),
            "glue" => glues::glue(&mut cx, &stmt).map(|glue| {
                project.glues.entry(name.clone()).or_insert(glue);
            }),
            "stock" => declare::stock(&mut cx, &stmt)
                .and_then(|stock| materials::made_of(&mut cx, &project, &stmt, stock))
                .map(|stock| {
                    project.stocks.entry(name.clone()).or_insert(stock);
                }),
            "hardware" => declare::hardware(&mut cx, &stmt).map(|hardware| {
                project.hardware.entry(name.clone()).or_insert(hardware);
            }),
            "finish" => declare::finish(&mut cx, &stmt).map(|finish| {
                project.finishes.entry(name.clone()).or_insert(finish);
            }),
            "shop" => {
                let mut kept = Ok(());
                match shop {
                    Some(first) => sink.push(
                        Diagnostic::new(
                            &code::NAME_TWICE,
                            "a second shop",
                            form.head_span,
                            "every piece is made in one shop",
                        )
                        .at(first, "the first stands here"),
                    ),
                    None => {
                        let sound;
                        (project.shop, sound) = declare::shop(&mut cx, &project, &stmt);
                        shop = Some(form.head_span);
                        if !sound {
                            kept = Err(Poison);
                        }
                    }
                }
                kept
            }
            "edition" => edition(&mut cx, &stmt).map(|edition| project.edition = edition),
            _ => Ok(()),
        };
        if kept.is_err() {
            debug_assert!(
                sink.iter().any(Diagnostic::is_error),
                "what is poisoned was reported"
            );
            project.broken.push(name);
        }
    }
    // A `let` that nothing uses must make sense too.
    for (_, form) in forms().filter(|(_, f)| f.head.word == "let" && !f.damaged) {
        let mut cx = TopLevel {
            sources: &texts,
            holes: project.has_holes(),
            depth: 0,
            sink,
        };
        if let Some(name) = form.names.first() {
            let _ = value::eval(&mut cx, &project.globals, &name.as_expr());
        }
    }
    project
}

fn edition(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<u32> {
    let value = stmt.values.first().ok_or(Poison)?;
    let edition = value::count(cx, &stmt.env, value)?;
    if edition != 1 {
        cx.report(
            Diagnostic::new(
                &code::NAME_LATER,
                format!("edition {edition} is not known"),
                value.span,
                "this program reads edition 1",
            )
            .help("write `edition 1`, or use a newer program"),
        );
        return Err(Poison);
    }
    Ok(edition)
}

/// A name that is taken.
pub fn twice(name: &str, span: Span, first: Span) -> Diagnostic {
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
    fn missing(&self, cx: &mut dyn Lookup, name: &NameUse, what: &str, known: Vec<&str>) -> Poison {
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
        let report = Diagnostic::new(
            &code::NAME_UNKNOWN,
            format!("no {what} is called `{}`", name.text),
            name.span,
            "not declared",
        );
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

/// How deep patterns may be like patterns.
const DEEPEST: usize = 32;

/// A statement with its `like`, and those of its lines, merged in.
pub fn expand(cx: &mut dyn Lookup, project: &Project, stmt: &Stmt) -> Res<Stmt> {
    let whole = expand_within(cx, project, stmt, &[], 0)?;
    complete(cx, &whole, false);
    Ok(whole)
}

/// What must stand on a line may come from what it, or what it stands in, is like: so it is missed
/// only when all of that is put together.
fn complete(cx: &mut dyn Lookup, stmt: &Stmt, merged: bool) {
    // The line of one element is put over that of its array later.
    if stmt.is_of_element() {
        return;
    }
    let merged = merged || stmt.pattern.is_some();
    if merged {
        for fault in schema::complete(&stmt.to_form()) {
            cx.report(fault);
        }
    }
    for line in &stmt.lines {
        complete(cx, line, merged);
    }
}

fn expand_within(
    cx: &mut dyn Lookup,
    project: &Project,
    stmt: &Stmt,
    siblings: &[Stmt],
    depth: usize,
) -> Res<Stmt> {
    names_once(cx, stmt)?;
    let mut whole = match stmt.clause("like") {
        None => stmt.clone(),
        Some(like) => {
            let source = like.of.value().ok_or(Poison)?;
            if depth >= DEEPEST {
                cx.report(Diagnostic::new(
                    &code::VALUE_CYCLE,
                    "patterns that are like each other in a circle",
                    source.span,
                    "no end to it",
                ));
                return Err(Poison);
            }
            let name = name_use(cx, source)?;
            let args: &[Arg] = match &source.kind {
                ExprKind::Call(_, args) => args,
                _ => &[],
            };
            let base = source_of(cx, project, stmt, siblings, &name, args, &like.env)?;
            let base = expand_within(cx, project, &base, siblings, depth + 1)?;
            Stmt {
                pattern: Some(name.text),
                ..merge(base, stmt)
            }
        }
    };
    let lines = std::mem::take(&mut whole.lines);
    for line in &lines {
        // A line whose pattern is broken was reported; leaving it out keeps the rest checked.
        if let Ok(line) = expand_within(cx, project, line, &lines, depth) {
            whole.lines.push(line);
        }
    }
    Ok(whole)
}

/// A value is named once in a block.
fn names_once(cx: &mut dyn Lookup, stmt: &Stmt) -> Res<()> {
    let mut seen: Vec<&NameUse> = Vec::new();
    let mut fine = Ok(());
    for line in stmt
        .lines
        .iter()
        .filter(|l| matches!(l.word(), "let" | "param"))
    {
        let Some(name) = line.names.first() else {
            continue;
        };
        match seen.iter().find(|first| first.text == name.text) {
            Some(first) => {
                cx.report(twice(&name.text, name.span, first.span));
                fine = Err(Poison);
            }
            None => seen.push(name),
        }
    }
    fine
}

/// What `like NAME(args)` names: a pattern, a thing of the top level, or a line beside this one.
fn source_of(
    cx: &mut dyn Lookup,
    project: &Project,
    stmt: &Stmt,
    siblings: &[Stmt],
    name: &NameUse,
    args: &[Arg],
    env: &Rc<Env>,
) -> Res<Stmt> {
    let head = stmt.word();
    if let Some(pattern) = project.patterns.get(&name.text) {
        let of = pattern.patterned.map_or("", |h| h.word);
        if pattern.patterned.is_none() {
            return Err(Poison);
        }
        // A top is like a shelf's pattern no more than a drawer is: heads must agree.
        if of != head {
            cx.report(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    format!("`{}` is a pattern of a {of}", name.text),
                    name.span,
                    format!("this is a {head}"),
                )
                .at(pattern.head_span, "declared here"),
            );
            return Err(Poison);
        }
        let scope = Env::within(&project.globals);
        bind_params(cx, pattern.forms("param"), args, env, &scope, &name.text)?;
        let mut base = Stmt::new(pattern, &scope);
        base.lines.retain(|line| !matches!(line.word(), "param"));
        for line in pattern.forms("let") {
            bind_let(&scope, line.names.first(), line.set.as_ref());
        }
        if let Some(head) = pattern.patterned {
            base.head = head;
        }
        return Ok(base);
    }
    if let Some(sibling) = siblings
        .iter()
        .find(|s| s.word() == head && s.name() == name.text && s.span != stmt.span)
    {
        return Ok(sibling.clone());
    }
    let known: Vec<&str> = project
        .patterns
        .iter()
        .filter(|(_, f)| f.patterned.is_some_and(|h| h.word == head))
        .map(|(n, _)| n.as_str())
        .collect();
    Err(project.missing(cx, name, &format!("pattern of a {head}"), known))
}

/// Binds parameters to arguments or defaults in `scope`, and checks their bounds.
pub fn bind_params<'a>(
    cx: &mut dyn Lookup,
    params: impl Iterator<Item = &'a Form>,
    args: &[Arg],
    env: &Rc<Env>,
    scope: &Rc<Env>,
    of: &str,
) -> Res<()> {
    let params: Vec<&Form> = params.collect();
    let mut fine = Ok(());
    for (i, arg) in args.iter().enumerate() {
        let param = match &arg.name {
            Some(name) => params
                .iter()
                .find(|p| p.names.first().is_some_and(|n| n.text == name.text)),
            None => params.get(i),
        };
        if let Some(name) = &arg.name {
            let first = args
                .iter()
                .find(|a| a.name.as_ref().is_some_and(|n| n.text == name.text));
            if let Some(first) = first.filter(|first| !std::ptr::eq(*first, arg)) {
                cx.report(
                    Diagnostic::new(
                        &code::LINE_DOUBLED,
                        format!("`{}` is given twice", name.text),
                        arg.value.span,
                        "again here",
                    )
                    .at(first.value.span, "it was given here"),
                );
                fine = Err(Poison);
            }
        }
        if param.is_none() {
            let span = arg.name.as_ref().map_or(arg.value.span, |n| n.span);
            let shown = arg.name.as_ref().map_or("this", |n| n.text.as_str());
            let names: Vec<&str> = params
                .iter()
                .filter_map(|p| p.names.first())
                .map(|n| n.text.as_str())
                .collect();
            let mut report = Diagnostic::new(
                &code::NAME_UNKNOWN,
                format!("`{of}` has no parameter `{shown}`"),
                span,
                "not a parameter",
            );
            if let Some(near) = crate::diag::nearest(shown, names.iter().copied()) {
                report = report.help(format!("did you mean `{near}`?"));
            } else if !names.is_empty() {
                report = report.note(format!("its parameters are {}", names.join(", ")));
            }
            cx.report(report);
            fine = Err(Poison);
        }
    }
    for (i, param) in params.iter().enumerate() {
        let Some(name) = param.names.first() else {
            continue;
        };
        let arg = args.iter().enumerate().find(|(j, a)| match &a.name {
            Some(n) => n.text == name.text,
            None => *j == i,
        });
        match (arg, &param.set) {
            (Some((_, arg)), _) => scope.bind(&name.text, arg.value.clone(), Some(env.clone())),
            (None, Some(default)) => scope.bind(&name.text, default.clone(), None),
            // A parameter without its `=` was reported.
            (None, None) => {
                scope.set(&name.text, Slot::Bad);
                fine = Err(Poison);
            }
        }
    }
    for (i, param) in params.iter().enumerate() {
        let given = args.iter().enumerate().find(|(j, arg)| match &arg.name {
            Some(n) => param.names.first().is_some_and(|p| p.text == n.text),
            None => *j == i,
        });
        let given = given.map(|(_, arg)| arg.value.span);
        if check_bounds(cx, param, scope, given).is_err() {
            fine = Err(Poison);
        }
    }
    fine
}

/// Binds what a `let` says; one without its `=` was reported.
pub fn bind_let(scope: &Env, name: Option<&NameUse>, value: Option<&Expr>) {
    match (name, value) {
        (Some(name), Some(value)) => scope.bind(&name.text, value.clone(), None),
        (Some(name), None) => scope.set(&name.text, Slot::Bad),
        (None, _) => {}
    }
}

/// A parameter's value against `from … to …`.
/// `given` is where the value stands, if not on the parameter's own line.
pub fn check_bounds(
    cx: &mut dyn Lookup,
    param: &Form,
    scope: &Rc<Env>,
    given: Option<Span>,
) -> Res<()> {
    let Some(name) = param.names.first() else {
        return Ok(());
    };
    let value_at = Expr {
        kind: ExprKind::Name(name.text.clone()),
        span: name.span,
    };
    let value = value::eval(cx, scope, &value_at)?;
    for (word, wrong) in [
        ("from", std::cmp::Ordering::Less),
        ("to", std::cmp::Ordering::Greater),
    ] {
        let Some(bound_expr) = param.clause(word).and_then(|c| c.value()) else {
            continue;
        };
        let bound = value::eval(cx, scope, bound_expr)?;
        let (value::Value::Quantity(v), value::Value::Quantity(b)) = (&value, &bound) else {
            cx.report(
                Diagnostic::new(
                    &code::TYPE_MISMATCH,
                    format!("`{}` and its bound are not both quantities", name.text),
                    given.unwrap_or(name.span),
                    format!("this is {}", value.kind()),
                )
                .at(bound_expr.span, format!("the bound is {}", bound.kind())),
            );
            return Err(Poison);
        };
        if v.dimension != b.dimension {
            cx.report(
                Diagnostic::new(
                    &code::TYPE_DIMENSION,
                    format!("`{}` and its bound do not measure the same", name.text),
                    given.unwrap_or(name.span),
                    format!("this is a {}", v.dimension),
                )
                .at(bound_expr.span, format!("the bound is a {}", b.dimension)),
            );
            return Err(Poison);
        }
        if v.value.cmp(&b.value) == wrong {
            let units = crate::measure::Units::Mm;
            let (than, most) = if word == "from" {
                ("less", "at least")
            } else {
                ("more", "at most")
            };
            let shown = value.text(units);
            let (at, here) = match given {
                Some(at) => (at, format!("gives {shown}")),
                None => (name.span, format!("is {shown}")),
            };
            cx.report(
                Diagnostic::new(
                    &code::VALUE_BOUNDS,
                    format!("`{}` is {shown}, {than} than its bound", name.text),
                    at,
                    here,
                )
                .at(bound_expr.span, format!("{most} {}", bound.text(units))),
            );
            return Err(Poison);
        }
    }
    Ok(())
}
