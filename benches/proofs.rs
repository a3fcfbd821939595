//! How long the proofs of a finished model take, and how that grows: every rule; the wood of parts; orders
//! of assembly. Half of the parts are boxes with boxes cut out, half are of drawers with dovetailed corners.
//!
//! Ratios within one run are what counts. `cargo bench --bench proofs`

use casewright::model::{Model, PartId};
use casewright::source::{Files, ReadFault};
use casewright::{assembly, compile, rules, solid};

fn main() {
    divan::main();
}

struct Text(String);

impl Files for Text {
    fn read(&self, _: &str) -> Result<String, ReadFault> {
        Ok(self.0.clone())
    }
}

/// Columns of drawers between posts, each drawer on a ledge of its own: about `parts` parts.
fn chest(parts: usize) -> Model {
    // A drawer has five parts and a ledge.
    let drawers = parts / 6;
    let columns = ((drawers as f64 / 3.0).sqrt().ceil() as usize).max(2);
    let rows = (drawers / columns).max(2);
    let text = format!(
        "stock ply12 sheet {{
    thick 12mm
    sold  long 200m wide 200m
    grain none
}}
stock ash board {{
    rough 27mm
}}
piece chest \"Chest\" {{
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
        drawer tray in till gap 3mm on top {{
            box    of ash thick 14mm
            front  thick 20mm
            bottom of ply12 at 6mm over back
            join   left, right into front with dovetail half_blind lap 6mm tails 3
            join   left, right into back with dovetail through tails 3
            join   bottom into left, right, front with groove deep 5mm
            join   bottom to back with butt dry
            runner wooden gap 1mm
        }}
    }}
}}
",
        wide = columns * 250,
        high = rows * 120 + 100,
    );
    let compiled =
        compile(&Text(text), "chest.case", &Default::default()).expect("the text is there");
    assert!(!compiled.has_errors(), "{:?}", compiled.diagnostics.first());
    compiled.model.expect("no errors")
}

const PARTS: [usize; 4] = [125, 250, 500, 1000];

/// Runs a proof of models of four sizes.
fn over<T>(bencher: divan::Bencher, parts: usize, proof: impl Fn(&Model) -> T + Sync) {
    let model = chest(parts);
    let made = model.parts().count();
    bencher
        .counter(divan::counter::ItemsCount::new(made))
        .bench_local(|| proof(&model));
}

#[divan::bench(args = PARTS, sample_count = 5)]
fn all_rules(bencher: divan::Bencher, parts: usize) {
    over(bencher, parts, rules::check);
}

#[divan::bench(args = PARTS, sample_count = 5)]
fn volumes_and_contacts(bencher: divan::Bencher, parts: usize) {
    over(bencher, parts, |model| {
        solid::measure(model).expect("it fits")
    });
}

#[divan::bench(args = PARTS, sample_count = 5)]
fn orders_of_assembly(bencher: divan::Bencher, parts: usize) {
    over(bencher, parts, |model| {
        let pieces = model.pieces.iter();
        let assemblies = pieces.flat_map(|piece| piece.assemblies.iter().map(move |a| (piece, a)));
        let joins = assemblies.map(|(piece, assembly)| {
            let joints = assembly::joints_of(piece, assembly.id);
            let order = assembly::order(piece, &joints).expect("it fits");
            assert!(order.stuck.is_empty());
            order.joins.len()
        });
        joins.sum::<usize>()
    });
}

/// Every part against every other, as if nothing told which are near: what the trees save.
#[divan::bench(args = [125, 250], sample_count = 1)]
fn clashes_without_a_broad_phase(bencher: divan::Bencher, parts: usize) {
    over(bencher, parts, |model| {
        let piece = &model.pieces[0];
        let woods: Vec<solid::Wood> = piece
            .parts
            .iter()
            .map(|part| solid::Wood::of(part).expect("it fits"))
            .collect();
        let shares = |a: PartId, b: PartId| {
            let (a, b) = (&woods[a.0 as usize], &woods[b.0 as usize]);
            !solid::shared(a, b).expect("it fits").is_empty()
        };
        let ids = || piece.parts.iter().map(|part| part.id);
        ids()
            .flat_map(|a| ids().take_while(move |b| *b < a).map(move |b| (a, b)))
            .filter(|(a, b)| shares(*a, *b))
            .count()
    });
}
