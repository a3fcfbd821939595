//! Pieces and commissions: parameters, units, cases, and the order in which a piece is built.

use super::build::Builder;
use super::env::Env;
use super::freeze::unfit_line;
use super::like::{bind_params, expand};
use super::notes::{self, read_expr};
use super::panels::role_of;
use super::project::{Project, Set, TopLevel, name_use};
use super::stmt::Stmt;
use super::value::{self, Lookup};
use super::{Poison, Res, groups, label, unbuilt};
use crate::diag::{Diagnostic, Label, code};
use crate::measure::{InchStep, Length, Units};
use crate::model::{AssemblyKind, Box3, Commission, FinishId, Model, Note, Piece};
use crate::schema::Form;
use crate::source::{FileId, Sources, Span};
use crate::syntax::tree::{Arg, ExprKind, Name};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Reads `--set NAME=VALUE`; each becomes a text of its own, so that messages can show it.
pub fn read_sets(
    sources: &mut Sources,
    sets: &[(String, String)],
    sink: &mut Vec<Diagnostic>,
) -> Vec<Set> {
    let mut read: Vec<Set> = Vec::new();
    for (name, text) in sets {
        let Some(value) = read_expr(sources, &format!("--set {name}"), text, sink) else {
            continue;
        };
        if let Some(first) = read.iter().find(|set| set.name == *name) {
            sink.push(
                Diagnostic::new(
                    &code::LINE_DOUBLED,
                    format!("`{name}` is set twice"),
                    value.span,
                    "again here",
                )
                .at(first.value.span, "it was set here"),
            );
            continue;
        }
        read.push(Set {
            name: name.clone(),
            value,
        });
    }
    read
}

/// What to build: a form, its arguments and their scope, how many.
struct Wanted {
    form: Rc<Form>,
    args: Vec<Arg>,
    copies: u32,
    finish: Option<FinishId>,
    /// Where a commission asks for it.
    made: Option<Span>,
}

/// Builds every piece that the first file asks for: its commission, or else each of its pieces once.
pub fn build(project: &Project, sets: &[Set], sink: &mut Vec<Diagnostic>) -> Option<Model> {
    let first = FileId(0);
    let mut model = Model {
        edition: project.edition,
        files: project
            .sources
            .iter()
            .map(|(_, s)| s.path.clone())
            .collect(),
        commission: None,
        pieces: Vec::new(),
        groups: Vec::new(),
        materials: project.materials.values().cloned().collect(),
        stocks: project.stocks.values().cloned().collect(),
        hardware: project.hardware.values().cloned().collect(),
        finishes: project.finishes.values().cloned().collect(),
        shop: project.shop.clone(),
        rack: project.rack.clone(),
    };
    let mut used: Vec<bool> = sets
        .iter()
        .map(|set| project.globals.binds(&set.name))
        .collect();
    let commissions: Vec<&Rc<Form>> = project
        .commissions
        .iter()
        .filter(|(file, _)| *file == first)
        .map(|(_, form)| form)
        .collect();
    let wanted = match commissions[..] {
        [] => project
            .pieces
            .values()
            .filter(|(file, _)| *file == first)
            .map(|(_, form)| Wanted::by_itself(form))
            .collect(),
        [one] => {
            let (commission, wanted) = read_commission(project, one, sink);
            model.commission = Some(commission);
            wanted
        }
        [one, two, ..] => {
            sink.push(
                Diagnostic::new(
                    &code::NAME_TWICE,
                    "a second commission in one file",
                    two.head_span,
                    "which one is the book for",
                )
                .at(one.head_span, "the first stands here")
                .help("keep each commission in a file of its own, and `use` the pieces there"),
            );
            return None;
        }
    };
    let mut letters = Letters(0);
    for want in &wanted {
        if let Ok(piece) = build_piece(project, want, sets, &mut used, &mut letters, sink) {
            model.pieces.push(piece);
        }
    }
    // What is not made this time is read all the same, where it needs nothing to be said.
    for (file, form) in project.pieces.values() {
        let made = wanted.iter().any(|want| Rc::ptr_eq(&want.form, form));
        if *file == first && !made {
            let want = Wanted::by_itself(form);
            let _ = build_piece(project, &want, sets, &mut used, &mut Letters(0), sink);
        }
    }
    print_file_notes(project, &mut model, sink);
    for (set, _) in sets.iter().zip(&used).filter(|(_, used)| !**used) {
        let known: Vec<String> = wanted
            .iter()
            .flat_map(|w| w.form.forms("param"))
            .filter_map(|p| p.names.first())
            .map(|n| n.text.clone())
            .collect();
        let mut report = Diagnostic::new(
            &code::NAME_UNKNOWN,
            format!("there is no parameter `{}` to set", set.name),
            set.value.span,
            "set to this",
        );
        if let Some(near) = crate::diag::nearest(&set.name, known.iter().map(String::as_str)) {
            report = report.help(format!("did you mean `{near}`?"));
        } else if !known.is_empty() {
            report = report.note(format!("parameters are {}", known.join(", ")));
        }
        sink.push(report);
    }
    if !sink.iter().any(Diagnostic::is_error) {
        unbuilt::check(project, sink);
    }
    if sink.iter().any(Diagnostic::is_error) {
        return None;
    }
    groups::group_parts(&mut model);
    Some(model)
}

impl Wanted {
    /// A piece as its own file has it.
    fn by_itself(form: &Rc<Form>) -> Wanted {
        Wanted {
            form: form.clone(),
            args: Vec::new(),
            copies: 1,
            made: None,
            finish: None,
        }
    }
}

/// Notes at the top of the first file: of the commission, or of its first piece.
fn print_file_notes(project: &Project, model: &mut Model, sink: &mut Vec<Diagnostic>) {
    let mut cx = TopLevel::new(&project.sources, project.has_holes(), sink);
    let mut notes = Vec::new();
    for form in &project.notes {
        let stmt = Stmt::new(&mut cx, form, &project.globals);
        if let Some((markdown, span)) = &stmt.title {
            let mut origin = stmt.origin();
            origin.span = *span;
            notes.push(notes::note(&mut cx, &stmt.env, Units::Mm, markdown, origin));
        }
    }
    match (&mut model.commission, model.pieces.first_mut()) {
        (Some(commission), _) => commission.notes.extend(notes),
        (None, Some(piece)) => piece.notes.extend(notes),
        (None, None) => {}
    }
}

/// Letters for copies: A to Z, then AA and so on; without I and O, which read as figures.
struct Letters(u32);

impl Letters {
    fn next(&mut self) -> String {
        const LETTERS: &[u8] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
        const COUNT: u32 = LETTERS.len() as u32;
        let mut n = self.0;
        self.0 += 1;
        let mut out = String::new();
        loop {
            out.insert(0, char::from(LETTERS[(n % COUNT) as usize]));
            if n < COUNT {
                return out;
            }
            n = n / COUNT - 1;
        }
    }
}

fn description(docs: &[crate::syntax::tree::Doc]) -> String {
    docs.iter()
        .map(|d| d.text.trim())
        .collect::<Vec<_>>()
        .join("\n")
}

fn read_commission(
    project: &Project,
    form: &Rc<Form>,
    sink: &mut Vec<Diagnostic>,
) -> (Commission, Vec<Wanted>) {
    let mut cx = TopLevel::new(&project.sources, project.has_holes(), sink);
    let stmt = Stmt::new(&mut cx, form, &project.globals);
    let name = stmt.name().to_owned();
    let mut commission = Commission {
        title: stmt
            .title
            .as_ref()
            .map_or_else(|| label::words(&name), |(t, _)| t.clone()),
        name,
        client: None,
        due: None,
        notes: Vec::new(),
        origin: stmt.origin(),
    };
    let docs = description(&stmt.docs);
    if !docs.is_empty() {
        commission.notes.push(Note {
            markdown: docs,
            origin: stmt.origin(),
        });
    }
    let mut finish = None;
    let mut wanted = Vec::new();
    for line in &stmt.lines {
        match line.word() {
            "client" => commission.client = leading_text(&mut cx, line),
            "due" => commission.due = due_date(&mut cx, line),
            "finish" => {
                finish = line
                    .names
                    .first()
                    .and_then(|name| project.finish(&mut cx, name).ok())
            }
            "note" => {
                if let Some((markdown, span)) = &line.title {
                    let mut origin = line.origin();
                    origin.span = *span;
                    commission.notes.push(notes::note(
                        &mut cx,
                        &line.env,
                        Units::Mm,
                        markdown,
                        origin,
                    ));
                }
            }
            "make" => {
                let _ = read_make(&mut cx, project, line, &mut wanted);
            }
            _ => {}
        }
    }
    if wanted.is_empty() && !stmt.damaged && stmt.forms("make").next().is_none() {
        cx.report(
            Diagnostic::new(
                &code::LINE_NEEDS,
                format!("`{}` makes nothing", commission.name),
                stmt.name_span(),
                "no `make`",
            )
            .help("add a line `make 1 of` and a piece"),
        );
    }
    for want in &mut wanted {
        want.finish = finish;
    }
    (commission, wanted)
}

fn read_make(
    cx: &mut TopLevel<'_>,
    project: &Project,
    line: &Stmt,
    wanted: &mut Vec<Wanted>,
) -> Res<()> {
    // A line that lacks its piece was reported: what stands in its place is no count.
    let of = line.clause("of").and_then(|c| c.of.value()).ok_or(Poison)?;
    let copies = match &line.count {
        Some(count) => value::count(cx, &line.env, count)?,
        None => 1,
    };
    if !matches!(of.kind, ExprKind::Name(_) | ExprKind::Call(..)) {
        cx.report(
            Diagnostic::new(
                &code::TYPE_MISMATCH,
                "a commission makes pieces",
                of.span,
                "not a piece",
            )
            .help("write `make 2 of` and the name of a piece"),
        );
        return Err(Poison);
    }
    let name = name_use(cx, of)?;
    let form = project.piece(cx, &name)?;
    let args = match &of.kind {
        ExprKind::Call(_, args) => args.clone(),
        _ => Vec::new(),
    };
    wanted.push(Wanted {
        form,
        args,
        copies,
        finish: None,
        made: Some(of.span),
    });
    Ok(())
}

fn leading_text(cx: &mut dyn Lookup, line: &Stmt) -> Option<String> {
    if let Some((text, _)) = &line.title {
        return Some(text.clone());
    }
    let value = line.values.first()?;
    value::text(cx, &line.env, value).ok()
}

fn due_date(cx: &mut dyn Lookup, line: &Stmt) -> Option<String> {
    let text = leading_text(cx, line)?;
    match text.parse::<jiff::civil::Date>() {
        Ok(date) if text.len() == 10 => Some(date.to_string()),
        _ => {
            let span = line.values.first().map_or(line.span, |v| v.span);
            cx.report(
                Diagnostic::new(
                    &code::VALUE_DATE,
                    "a date that is not one",
                    span,
                    "not a day of the calendar",
                )
                .help("write year, month and day, as in `due \"2027-03-12\"`"),
            );
            None
        }
    }
}

fn build_piece(
    project: &Project,
    want: &Wanted,
    sets: &[Set],
    used: &mut [bool],
    letters: &mut Letters,
    sink: &mut Vec<Diagnostic>,
) -> Res<Piece> {
    let env = Env::within(&project.globals);
    let mut cx = TopLevel::new(&project.sources, project.has_holes(), sink);
    let mut args = want.args.clone();
    for (set, used) in sets.iter().zip(used.iter_mut()) {
        let declared = want
            .form
            .forms("param")
            .filter_map(|p| p.names.first())
            .find(|n| n.text == set.name);
        if let Some(param) = declared {
            *used = true;
            args.retain(|a| a.name.as_ref().is_none_or(|n| n.text != set.name));
            args.push(Arg {
                name: Some(Name {
                    text: set.name.clone(),
                    span: param.span,
                }),
                value: set.value.clone(),
            });
        }
    }
    let name = want
        .form
        .names
        .first()
        .map_or("piece", |n| n.text.as_str())
        .to_owned();
    let bound = bind_params(
        &mut cx,
        want.form.forms("param"),
        &args,
        &project.globals,
        &env,
        (project, &name),
    );
    let stmt = Stmt::new(&mut cx, &want.form, &env);
    if super::unfold::too_many(&mut cx) {
        return Err(Poison);
    }
    let stmt = expand(&mut cx, project, &stmt)?;
    if super::unfold::too_many(&mut cx) {
        return Err(Poison);
    }
    bound?;
    let units = read_units(&mut cx, &stmt);
    let finish = match stmt.forms("finish").next().and_then(|l| l.names.first()) {
        Some(name) => project.finish(&mut cx, name).ok(),
        None => want.finish,
    };
    let params = want
        .form
        .forms("param")
        .filter_map(|p| p.names.first())
        .filter_map(|n| {
            let value = value::eval(&mut cx, &env, &n.as_expr()).ok()?;
            Some((n.text.clone(), value.text(units)))
        })
        .collect();
    let mut piece = Piece {
        title: stmt
            .title
            .as_ref()
            .map_or_else(|| label::words(&name), |(t, _)| t.clone()),
        name,
        docs: description(&stmt.docs),
        copies: want.copies,
        letters: (0..want.copies).map(|_| letters.next()).collect(),
        units,
        finish,
        params,
        cases: Vec::new(),
        overall: Box3 {
            lo: [Length::ZERO; 3],
            hi: [Length::ZERO; 3],
        },
        walls: Vec::new(),
        parts: Vec::new(),
        joints: Vec::new(),
        openings: Vec::new(),
        assemblies: Vec::new(),
        leaves: Vec::new(),
        drawers: Vec::new(),
        rows: Vec::new(),
        shelves: Vec::new(),
        matched: Vec::new(),
        hardware: Vec::new(),
        stated: Vec::new(),
        allowed: Vec::new(),
        notes: Vec::new(),
        origin: stmt.origin(),
    };
    let mut builder = Builder {
        project,
        sink,
        units,
        bodies: Vec::new(),
        panels: Vec::new(),
        spaces: Vec::new(),
        divisions: Vec::new(),
        joints: Vec::new(),
        joints_of: BTreeMap::new(),
        stages: BTreeMap::new(),
        leaves: Vec::new(),
        drawers: Vec::new(),
        rows: Vec::new(),
        shelves: Vec::new(),
        hardware: Vec::new(),
        allowed: Vec::new(),
        overlays: BTreeMap::new(),
        fronts_under: BTreeMap::new(),
        fronts_at: BTreeMap::new(),
        face_frames: BTreeMap::new(),
        covers: BTreeMap::new(),
        filled: BTreeMap::new(),
        current: 0,
        overall: None,
        holes: 0,
        depth: 0,
        slots: Vec::new(),
        runs: Vec::new(),
        fitted: Vec::new(),
        lost_parts: Vec::new(),
        element_lines: BTreeMap::new(),
        lost_cases: stmt.damaged,
        trail: Vec::new(),
        turns: 0,
    };
    let said = builder.sink.len();
    let before = builder.sink.iter().filter(|d| d.is_error()).count();
    builder.declare_composition(&stmt);
    if let Some(report) = nothing_to_build(&builder, &stmt) {
        if !builder.lost_cases && !stmt.damaged && before == 0 {
            builder.sink.push(report);
        }
        return Err(Poison);
    }
    builder.make_cases();
    builder.make_fitted_parts();
    builder.make_piece_cuts(&stmt);
    builder.make_fixings(&stmt);
    builder.take_allows(&stmt);
    builder.overall = builder.overall_box();
    let whole = builder.current;
    if builder.sink.iter().filter(|d| d.is_error()).count() == before {
        builder.current = whole;
        builder.statements(&stmt, &mut piece.stated, &mut piece.notes);
        compute_lets(&mut builder, &stmt);
        for body in 0..builder.bodies.len() {
            if matches!(
                builder.bodies[body].kind,
                AssemblyKind::Case | AssemblyKind::Drawer
            ) {
                builder.current = body;
                let stmt = builder.bodies[body].stmt.clone();
                builder.statements(&stmt, &mut piece.stated, &mut piece.notes);
                compute_lets(&mut builder, &stmt);
            }
        }
    }
    if builder.sink.iter().filter(|d| d.is_error()).count() > before {
        made_so(
            want,
            &piece.params,
            builder.sink.get_mut(said..).unwrap_or_default(),
        );
        return Err(Poison);
    }
    piece.overall = builder.overall.ok_or(Poison)?;
    piece.walls = builder.walls();
    builder.freeze(&mut piece);
    match unfit_line(&piece) {
        None => Ok(piece),
        Some(span) => {
            builder.sink.push(
                Diagnostic::new(
                    &code::VALUE_OVERFLOW,
                    "a size that is too large or too fine to be held exactly",
                    span,
                    "its size or place does not fit",
                )
                .help("round what it is computed from"),
            );
            Err(Poison)
        }
    }
}

/// Of a commission that makes a piece in several ways, which of them a condition does not hold for.
fn made_so(want: &Wanted, params: &[(String, String)], said: &mut [Diagnostic]) {
    let Some(made) = want.made else { return };
    let conditions = [&code::REQUIRE_FAILS, &code::EXPECT_FAILS];
    for report in said.iter_mut().filter(|d| conditions.contains(&d.code)) {
        report.labels.push(Label {
            span: made,
            text: "made here".into(),
        });
        if !params.is_empty() {
            let params = params
                .iter()
                .map(|(name, value)| format!("{name} = {value}"));
            let params: Vec<String> = params.collect();
            report.notes.push(format!("with {}", params.join(", ")));
        }
    }
}

/// A piece without a case, or with one without parts.
fn nothing_to_build(builder: &Builder<'_>, stmt: &Stmt) -> Option<Diagnostic> {
    if builder.slots.is_empty() {
        let report = Diagnostic::new(
            &code::LINE_NEEDS,
            format!("`{}` has no case", stmt.name()),
            stmt.name_span(),
            "nothing to build",
        );
        return Some(report.help("add a `case` to its block"));
    }
    let empty = |case: &Rc<Stmt>| !case.damaged && !case.lines.iter().any(makes_parts);
    let mut cases = builder.slots.iter().map(|slot| &slot.stmt);
    let case = cases.find(|case| empty(case))?;
    let report = Diagnostic::new(
        &code::LINE_NEEDS,
        format!("`{}` has no parts", case.name()),
        case.name_span(),
        "nothing to build",
    );
    Some(report.help("add lines such as `side left, right of …` to its block"))
}

/// Whether a line of a case makes parts.
fn makes_parts(line: &Stmt) -> bool {
    role_of(line.word()).is_some() || line.word() == "divide"
}

/// A `let` that nothing uses must make sense too.
fn compute_lets(builder: &mut Builder<'_>, stmt: &Stmt) {
    let lets = stmt.forms("let").filter(|line| !line.damaged);
    for line in lets {
        if let Some(name) = line.names.first() {
            let _ = value::eval(builder, &line.env, &name.as_expr());
        }
    }
}

fn read_units(cx: &mut dyn Lookup, stmt: &Stmt) -> Units {
    let Some(line) = stmt.forms("units").next() else {
        return Units::Mm;
    };
    if line.values.first().and_then(|v| v.as_name()) != Some("in") {
        if let Some(fraction) = line.values.get(1) {
            cx.report(
                Diagnostic::new(
                    &code::LINE_STRAY_VALUE,
                    "millimetres have no finest fraction",
                    fraction.span,
                    "one too many",
                )
                .help("write `units mm`, or for inches `units in 1/32in`"),
            );
        }
        return Units::Mm;
    }
    let Some(fraction) = line.values.get(1) else {
        return Units::Inch(InchStep::SixtyFourth);
    };
    let Ok(step) = value::length(cx, &line.env, fraction) else {
        return Units::Inch(InchStep::SixtyFourth);
    };
    for (length, step_of) in [
        (16, InchStep::Sixteenth),
        (32, InchStep::ThirtySecond),
        (64, InchStep::SixtyFourth),
    ] {
        if step == Length::inches(1, length) {
            return Units::Inch(step_of);
        }
    }
    cx.report(
        Diagnostic::new(
            &code::VALUE_RANGE,
            "a fraction that the book does not print",
            fraction.span,
            "not one of three",
        )
        .help("write 1/16in, 1/32in or 1/64in"),
    );
    Units::Inch(InchStep::SixtyFourth)
}
