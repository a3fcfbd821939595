//! How long `check` and `book` take: the score cabinet, and a made-up nest of shelves in four sizes.
//!
//! Ratios within one run are what counts. `cargo bench --bench compile`

use casewright::book::{Facts, Paper, Templates};
use casewright::source::{Files, ReadFault};
use casewright::{Compiled, compile};

fn main() {
    divan::main();
}

/// One text, or the files of the music school.
enum Project {
    One(String),
    School,
}

impl Files for Project {
    fn read(&self, path: &str) -> Result<String, ReadFault> {
        match (self, path) {
            (Project::One(text), _) => Ok(text.clone()),
            (_, "score_cabinet.case") => {
                Ok(include_str!("../examples/music-school/score_cabinet.case").into())
            }
            (_, "stock.case") => Ok(include_str!("../examples/music-school/stock.case").into()),
            (_, "shop.case") => Ok(include_str!("../examples/music-school/shop.case").into()),
            _ => Err(ReadFault::Missing),
        }
    }
}

/// A nest of about `parts` parts: columns of pigeon-holes between posts, each with its ledges.
fn nest(parts: usize) -> Project {
    let columns = ((parts as f64).sqrt() / 2.0).ceil().max(2.0) as usize;
    let rows = (parts / columns).max(2);
    Project::One(format!("{PLY}{}", piece("nest", columns, rows)))
}

/// The stock of the nests.
const PLY: &str = "stock ply12 sheet {
    thick 12mm
    sold  long 200m wide 200m price 60EUR
    grain none
}
";

/// Columns and rows of pigeon-holes; 23 lines.
fn piece(name: &str, columns: usize, rows: usize) -> String {
    format!(
        "piece {name} \"Nest\" {{
    case body {{
        size   wide {wide}mm high {high}mm deep 300mm
        side   left, right of ply12
        bottom floor of ply12 at 20mm
        top    lid of ply12 over left, right
        divide inside rightward {{
            openings bay {columns} {{
                divider post of ply12
            }}
        }}
        divide bay downward {{
            openings till {rows} {{
                shelf ledge of ply12
            }}
        }}
        join floor into left, right with dado deep 4mm
        join left, right into lid with rabbet deep 4mm
        join post into floor, lid with dado deep 4mm
        join ledge into left, right, post with dado deep 3mm
    }}
}}
",
        wide = columns * 200,
        high = rows * 60 + 100,
    )
}

/// A workshop's whole output in one text of about `lines` lines: pieces of four columns and five rows.
fn workshop(lines: usize) -> Project {
    let names: Vec<String> = (0..lines / 25).map(|i| format!("nest_{i}")).collect();
    let pieces: String = names.iter().map(|name| piece(name, 4, 5)).collect();
    let made: String = names
        .iter()
        .map(|name| format!("    make 1 of {name}\n"))
        .collect();
    Project::One(format!(
        "{PLY}{pieces}commission all \"All\" {{\n{made}}}\n"
    ))
}

fn run(project: &Project) -> Compiled {
    let compiled =
        compile(project, "score_cabinet.case", &Default::default()).expect("the text is there");
    assert!(!compiled.has_errors(), "{:?}", compiled.diagnostics.first());
    compiled
}

/// What `check` does: compile, and let the plans judge.
fn checked(project: &Project) -> Compiled {
    let mut compiled = run(project);
    let found = compiled.model.as_ref().map(casewright::plan::findings);
    compiled.judge(found.unwrap_or_default());
    compiled
}

fn book(project: &Project) -> usize {
    let mut compiled = run(project);
    let plans = casewright::plan::make(compiled.model.as_ref().expect("no errors"));
    compiled.judge(plans.findings());
    let model = compiled.model.as_ref().expect("no errors");
    let facts = Facts {
        model,
        plans: &plans,
        findings: &compiled.findings,
        paper: Paper::A4,
        revision: None,
        date: None,
        since: None,
    };
    casewright::book::write(&facts, &Templates::built_in())
        .expect("the templates are sound")
        .len()
}

/// Runs the program itself, so that its start counts too.
fn program(args: &[&str]) -> bool {
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_casewright"));
    let done = command.current_dir(env!("CARGO_MANIFEST_DIR")).args(args);
    done.output().is_ok_and(|output| output.status.success())
}

#[divan::bench(sample_count = 50)]
fn program_starts() -> bool {
    program(&["--version"])
}

#[divan::bench(sample_count = 50)]
fn program_checks_score_cabinet() -> bool {
    program(&["check", "examples/music-school/score_cabinet.case"])
}

#[divan::bench(sample_count = 20)]
fn check_score_cabinet() -> Compiled {
    checked(&Project::School)
}

#[divan::bench(sample_count = 5)]
fn book_score_cabinet() -> usize {
    book(&Project::School)
}

#[divan::bench(args = [10, 100, 1_000, 10_000], sample_count = 3)]
fn check_nest(bencher: divan::Bencher, parts: usize) {
    let project = nest(parts);
    let made = run(&project).model.map_or(0, |m| m.parts().count());
    bencher
        .counter(divan::counter::ItemsCount::new(made))
        .bench_local(|| checked(&project));
}

#[divan::bench(args = [10, 100, 1_000, 10_000], sample_count = 1)]
fn book_nest(bencher: divan::Bencher, parts: usize) {
    let project = nest(parts);
    let made = run(&project).model.map_or(0, |m| m.parts().count());
    bencher
        .counter(divan::counter::ItemsCount::new(made))
        .bench_local(|| book(&project));
}

/// Checks projects of so many lines.
#[divan::bench(args = [1_000, 10_000], sample_count = 3)]
fn check_workshop(bencher: divan::Bencher, lines: usize) {
    let project = workshop(lines);
    let made = run(&project).model.map_or(0, |m| m.parts().count());
    bencher
        .counter(divan::counter::ItemsCount::new(made))
        .bench_local(|| checked(&project));
}

/// Compares a nest with one that is a little deeper: nothing of it stays as it was.
#[divan::bench(args = [10, 100, 1_000], sample_count = 3)]
fn diff_nest(bencher: divan::Bencher, parts: usize) {
    use casewright::diff::{Built, Revision, diff};
    let old = nest(parts);
    let Project::One(text) = &old else { return };
    let new = Project::One(text.replace("deep 300mm", "deep 310mm"));
    let made: Vec<_> = [&old, &new]
        .into_iter()
        .map(|project| {
            let lines = casewright::elaborate::written(project, "nest.case").expect("it is there");
            let compiled = checked(project);
            let plans = casewright::plan::make(compiled.model.as_ref().expect("no errors"));
            (lines, compiled, plans)
        })
        .collect();
    let revision = |i: usize| {
        let (lines, compiled, plans) = &made[i];
        let model = compiled.model.as_ref().expect("no errors");
        Revision {
            lines,
            built: Some(Built {
                model,
                plans: Some(plans),
                findings: &compiled.findings,
            }),
            errors: 0,
        }
    };
    let (was, is) = (revision(0), revision(1));
    let count = was.built.map_or(0, |built| built.model.parts().count());
    bencher
        .counter(divan::counter::ItemsCount::new(count))
        .bench_local(|| diff(&was, &is));
}

/// Reads 100,000 lines.
#[divan::bench(sample_count = 10)]
fn read_100_000_lines(bencher: divan::Bencher) {
    use casewright::source::{Source, Sources};
    let example = include_str!("../tests/good/score-cabinet.case");
    let times = 100_000 / example.lines().count() + 1;
    let mut sources = Sources::default();
    let file = sources.add(Source::new("long.case", example.repeat(times)));
    bencher.bench_local(|| casewright::syntax::parse(&sources, file));
}
