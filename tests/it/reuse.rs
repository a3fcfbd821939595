//! One mechanism for reuse: what a pattern, a repetition, a condition or an array says in a line is what
//! its lines say written out by hand.

use crate::support::Texts;
use casewright::model::{Model, Piece};
use proptest::prelude::*;

const STOCK: &str = "edition 1
stock ply sheet {
    thick 18mm
    sold  long 2440mm wide 1220mm price 80EUR
}
stock thin sheet {
    thick 12mm
    sold  long 2440mm wide 1220mm price 60EUR
}
stock ash board {
    rough 27mm
}
";

fn build(text: &str) -> Model {
    let whole = format!("{STOCK}{text}");
    let files = Texts::of(&[("a.case", &whole)]);
    let compiled = casewright::compile(&files, "a.case", &Default::default()).unwrap();
    compiled
        .model
        .unwrap_or_else(|| panic!("{whole}\n{:#?}", compiled.diagnostics))
}

/// Everything about the parts of a piece but their names and lines: what each is of, where, and its cuts.
fn parts(piece: &Piece) -> Vec<String> {
    let mut out: Vec<String> = piece
        .parts
        .iter()
        .map(|part| {
            let mut cuts: Vec<String> = part
                .cuts
                .iter()
                .map(|cut| format!("{:?} {:?} {:?}", cut.kind, cut.entry, cut.solids))
                .collect();
            cuts.sort();
            format!(
                "{:?} {:?} {:?} {:?} {:?} {cuts:?}",
                part.role, part.stock, part.core, part.finished, part.lay
            )
        })
        .collect();
    out.sort();
    out
}

/// Everything about the openings but their names.
fn openings(piece: &Piece) -> Vec<String> {
    let boxes = piece.openings.iter();
    let mut out: Vec<String> = boxes
        .map(|o| format!("{:?} {:?} {}", o.clear, o.daylight, o.divided))
        .collect();
    out.sort();
    out
}

fn same(a: &str, b: &str) {
    let (x, y) = (build(a), build(b));
    let (p, q) = (&x.pieces[0], &y.pieces[0]);
    assert_eq!(parts(p), parts(q), "\n{a}\n{b}");
    assert_eq!(openings(p), openings(q), "\n{a}\n{b}");
    assert_eq!(p.joints.len(), q.joints.len(), "\n{a}\n{b}");
    assert_eq!(p.overall, q.overall, "\n{a}\n{b}");
}

/// What is drawn for a piece.
#[derive(Debug, Clone)]
struct Drawn {
    wide: u32,
    high: u32,
    ledges: u32,
    columns: u32,
    back: bool,
    thin: bool,
    set_back: u32,
    deep: u32,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    (
        500u32..1200,
        600u32..1200,
        1u32..5,
        2u32..5,
        any::<bool>(),
        any::<bool>(),
        0u32..40,
        3u32..7,
    )
        .prop_map(
            |(wide, high, ledges, columns, back, thin, set_back, deep)| Drawn {
                wide,
                high,
                ledges,
                columns,
                back,
                thin,
                set_back,
                deep,
            },
        )
}

/// With every means of reuse.
fn brief(d: &Drawn) -> String {
    let Drawn {
        wide,
        high,
        ledges,
        columns,
        back,
        thin,
        set_back,
        deep,
    } = d;
    let wood = if *thin { "thin" } else { "ply" };
    let back = if *back { "yes" } else { "no" };
    format!(
        "pattern case shell {{
    param width = 700mm from 400mm to 2m
    param n = 2
    param closed = yes
    param wood = ply
    size wide width high {high}mm deep 300mm
    side left, right of ply
    bottom floor of ply
    repeat i from 1 to n {{
        let rise = 100mm * i
        shelf ledge of wood at rise
    }}
    if closed {{
        back rear of thin
        join rear to left, right with butt
    }} else {{
        cleat hanger of ash thick 18mm wide 60mm at {high}mm - 60mm
        join hanger to left, right with butt
    }}
    join floor, ledge to left, right with butt
}}
pattern case racked like shell(wood: {wood}) {{
    top roof of thin
    join roof to left, right with butt
    drop floor
    bottom base of ply
    join base into left, right with dado deep {deep}mm
}}
piece a \"A\" {{
    param most = {ledges}
    case body like racked(width: {wide}mm, n: most, closed: {back}) {{
        shelf ledge set_back {set_back}mm
        divide inside rightward {{
            opening first wide 150mm
            divider wall of thin high to 90mm
            openings bay {columns} {{
                divider post of thin high to 90mm
            }}
        }}
        join wall, post to base with butt
        shelf ledge[1] set_back {set_back}mm + 5mm
    }}
}}
"
    )
}

/// The same, every line written out.
fn long(d: &Drawn) -> String {
    let Drawn {
        wide,
        high,
        ledges,
        columns,
        back,
        thin,
        set_back,
        deep,
    } = d;
    let wood = if *thin { "thin" } else { "ply" };
    let mut lines = format!(
        "piece a \"A\" {{
    case body {{
        size wide {wide}mm high {high}mm deep 300mm
        side left, right of ply
        bottom base of ply
        top roof of thin
        join roof to left, right with butt
        join base into left, right with dado deep {deep}mm
"
    );
    for i in 1..=*ledges {
        let back = if i == 1 { set_back + 5 } else { *set_back };
        lines += &format!(
            "        shelf l{i} of {wood} at {}mm set_back {back}mm\n        join l{i} to left, right with butt\n",
            100 * i
        );
    }
    lines += if *back {
        "        back rear of thin\n        join rear to left, right with butt\n"
    } else {
        "        cleat hanger of ash thick 18mm wide 60mm at roof.top - 60mm\n        join hanger to left, right with butt\n"
    };
    lines += "        divide inside rightward {\n            opening first wide 150mm\n            divider wall of thin high to 90mm\n";
    for i in 1..=*columns {
        lines += &format!("            opening b{i}\n");
        if i < *columns {
            lines += &format!("            divider p{i} of thin high to 90mm\n");
        }
    }
    lines += "        }\n        join wall to base with butt\n";
    for i in 1..*columns {
        lines += &format!("        join p{i} to base with butt\n");
    }
    lines + "    }\n}\n"
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn what_is_brief_is_what_is_written_out(drawn in drawn()) {
        same(&brief(&drawn), &long(&drawn));
    }
}

/// Cases in a run stand as they do one beside the other; fillers share the rest.
#[test]
fn a_run_is_cases_side_by_side() {
    let shell = "pattern case shell {
    param width = 500mm
    size wide width high 400mm deep 300mm
    side left, right of ply
    bottom floor of ply
    top roof of ply
    join floor, roof to left, right with butt
}
";
    let run = format!(
        "{shell}piece a \"A\" {{
    run north wide 1640mm up 100mm {{
        filler one of ply
        case a like shell
        case b like shell(width: 600mm)
        case c like shell {{ size deep 250mm }}
        filler two of ply share 3
    }}
}}
"
    );
    let model = build(&run);
    let piece = &model.pieces[0];
    let place = |name: &str| {
        let case = piece.cases.iter().find(|case| case.name == name).unwrap();
        let mm = |at: usize| {
            let (lo, hi) = (case.envelope.lo[at], case.envelope.hi[at]);
            (lo.to_f64_mm(), hi.to_f64_mm())
        };
        [mm(0), mm(1), mm(2)]
    };
    // 1640 - 1600 = 40, shared 1 to 3.
    assert_eq!(place("a"), [(10.0, 510.0), (0.0, 300.0), (100.0, 500.0)]);
    assert_eq!(place("b"), [(510.0, 1110.0), (0.0, 300.0), (100.0, 500.0)]);
    // Rears in line.
    assert_eq!(
        place("c"),
        [(1110.0, 1610.0), (50.0, 300.0), (100.0, 500.0)]
    );
    let filler = |name: &str| {
        let path = format!("north.{name}");
        piece.parts.iter().find(|p| p.path == path).unwrap()
    };
    let wide = |name: &str| {
        filler(name)
            .finished
            .extent(casewright::model::Axis::X)
            .to_f64_mm()
    };
    assert_eq!((wide("one"), wide("two")), (10.0, 30.0));
    // The second filler is in line with the front of the case beside it.
    assert_eq!(filler("two").finished.lo[1].to_f64_mm(), 50.0);
}

/// A case on another, beside one, and in an opening of one.
#[test]
fn cases_stand_on_beside_and_within_others() {
    let text = "pattern case shell {
    size wide 600mm high 400mm deep 300mm
    side left, right of ply
    bottom floor of ply
    top roof of ply proud 10mm on front
    join floor, roof to left, right with butt
}
piece a \"A\" {
    case above like shell {
        size wide above_wide
        place on base across 50mm
    }
    let above_wide = base.wide - 100mm
    case base like shell {
        divide inside rightward {
            opening left_bay wide 300mm
            divider post of ply
            opening right_bay
        }
        join post to floor, roof with butt
        case till in left_bay gap 2mm set_back 5mm {
            side left, right of thin
            bottom floor of thin
            join floor to left, right with butt
        }
    }
    case tower like shell {
        place right of base across 4mm
        size high 900mm deep 200mm
    }
    require base.till.wide == 296mm \"2 of air at each side\"
    require above.left == base.left + 50mm \"in line\"
}
";
    let model = build(text);
    let piece = &model.pieces[0];
    let place = |name: &str| {
        let case = piece.cases.iter().find(|case| case.name == name).unwrap();
        case.envelope.lo.map(|at| at.to_f64_mm())
    };
    assert_eq!(place("above"), [50.0, 0.0, 400.0]);
    assert_eq!(place("tower"), [604.0, 100.0, 0.0]);
    assert_eq!(place("base.till"), [20.0, 7.0, 18.0]);
}

/// One list over a commission: parts that are alike in several pieces are made together, and each is
/// traced to its piece.
#[test]
fn a_commission_shares_its_parts() {
    let text = "piece one \"One\" {
    param width = 600mm
    case body {
        size wide width high 400mm deep 300mm
        side left, right of ply
        bottom floor of ply
        join floor to left, right with butt
    }
}
piece two \"Two\" {
    case body {
        size wide 900mm high 400mm deep 300mm
        side left, right of ply
        top roof of ply
        join roof to left, right with butt
    }
}
commission both \"Both\" {
    make 2 of one(width: 500mm)
    make 1 of one(width: 700mm)
    make 2 of two
}
";
    let model = build(text);
    let letters: Vec<&str> = model
        .pieces
        .iter()
        .flat_map(|p| p.letters.iter().map(String::as_str))
        .collect();
    assert_eq!(letters, ["A", "B", "C", "D", "E"]);
    // Every side is 400 x 300: one group of 2 hands x 5 units.
    let sides = model
        .groups
        .iter()
        .filter(|group| model.part(group.members[0].0).1.role == casewright::model::Role::Side);
    let of: Vec<usize> = sides.map(|group| group.members.len()).collect();
    assert_eq!(of.iter().sum::<usize>(), 6, "two in each of three pieces");
    assert_eq!(of.len(), 1, "one row of the cut list");
}
