//! The library `std`: it reads without a word, gives way to a project's own names, and its sizes are
//! those of the trade.

use crate::support::Texts;
use casewright::elaborate::library;
use casewright::measure::{Length, Rational};
use casewright::model::{
    Figure, HardwareKind, Hinge, Material, MaterialSort, Model, Stock, StockKind,
};
use casewright::plan::buying::Amount;

fn model(text: &str) -> Model {
    let compiled = casewright::compile(
        &Texts::of(&[("a.case", text)]),
        "a.case",
        &Default::default(),
    )
    .unwrap();
    assert!(
        compiled.diagnostics.is_empty(),
        "{:#?}",
        compiled.diagnostics
    );
    compiled.model.unwrap()
}

/// Every declaration of the library in one text of a project, with nothing of the library in use.
fn whole() -> Model {
    let text: String = library().iter().map(|declared| declared.text).collect();
    model(&text)
}

fn stock<'m>(model: &'m Model, name: &str) -> &'m Stock {
    let mut named = model.stocks.iter().filter(|stock| stock.name == name);
    let found = named.next().unwrap_or_else(|| panic!("no stock {name}"));
    assert!(named.next().is_none(), "{name} twice");
    found
}

fn material<'m>(model: &'m Model, sort: MaterialSort, name: &str) -> &'m Material {
    let mut of_sort = model.materials.iter().filter(|m| m.sort == sort);
    of_sort
        .find(|m| m.name == name)
        .unwrap_or_else(|| panic!("no {name}"))
}

/// Of `use std` only what is named comes in, with what that is made of.
#[test]
fn a_project_takes_in_what_it_names() {
    assert!(model("edition 1\nuse std\n").stocks.is_empty());
    let model = model("use std\nstock mine sheet like birch_ply18 {\n    measured 17.4mm\n}\n");
    let names: Vec<_> = model.stocks.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["mine", "birch_ply18"]);
    let materials: Vec<_> = model.materials.iter().map(|m| m.name.as_str()).collect();
    assert_eq!(materials, ["european_birch", "birch_plywood"]);
    let mine = stock(&model, "mine");
    assert_eq!(model.material(mine).unwrap().name, "birch_plywood");
    assert_eq!(model.face(mine).unwrap().name, "european_birch");
}

/// A note may compute with what nothing else names.
#[test]
fn a_note_names_it_too() {
    let text = "use std
stock oak board {
    rough 27mm
}
piece p \"P\" {
    case body {
        size   wide 600mm high 400mm deep 300mm
        side   left, right of oak thick 20mm
        bottom floor of oak thick 20mm at 20mm
        join floor into left, right with dado deep 5mm
    }
    note \"\"\"As thick as {mdf18.thick}.\"\"\"
}
";
    let texts = Texts::of(&[("a.case", text)]);
    let compiled = casewright::compile(&texts, "a.case", &Default::default()).unwrap();
    assert!(!compiled.has_errors(), "{:#?}", compiled.diagnostics);
    let model = compiled.model.unwrap();
    assert_eq!(stock(&model, "mdf18").title, "Fibreboard (MDF), 18 mm");
    assert!(model.pieces[0].notes[0].markdown.contains("18"));
}

#[test]
fn all_of_it_compiles_without_a_word() {
    let model = whole();
    assert!(model.materials.len() > 60 && model.stocks.len() > 150 && model.hardware.len() > 120);
    assert!(model.finishes.len() >= 4);
    for declared in library() {
        assert!(
            !declared.docs().is_empty(),
            "{} says nothing",
            declared.path
        );
        let named = library()
            .iter()
            .filter(|d| d.name == declared.name && d.head == declared.head);
        assert_eq!(named.count(), 1, "{} stands twice", declared.path);
    }
    // What weighs something says how much, and every figure says where it comes from.
    for stock in &model.stocks {
        let plastic = ["plastic", "melamine_edging"];
        let known = model.density(stock).is_some();
        assert!(
            known || plastic.iter().any(|p| stock.name.starts_with(p)),
            "{}",
            stock.name
        );
    }
    for one in &model.materials {
        let figures = [
            &one.density,
            &one.radial,
            &one.tangential,
            &one.stiffness,
            &one.strength,
            &one.hardness,
        ];
        for figure in figures.into_iter().flatten() {
            assert!(figure.source.is_some(), "{} without a source", one.name);
        }
        assert!(one.density.is_some(), "{}", one.name);
    }
}

/// It is laid out as `tidy` lays out.
#[test]
fn it_is_tidy() {
    for topic in [
        "species",
        "cores",
        "sheets",
        "boards",
        "hardware",
        "glues",
        "abrasives",
        "finishes",
    ] {
        let path = format!("{}/src/std/{topic}.case", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).unwrap();
        let mut sources = casewright::source::Sources::default();
        let file = sources.add(casewright::source::Source::new(topic, text.clone()));
        let laid_out = casewright::syntax::tidy(&sources, file).expect("it has no faults");
        assert_eq!(laid_out, text, "{topic}");
    }
}

#[test]
fn a_name_of_the_project_wins() {
    let model = model(
        "use std\nstock birch_ply18 sheet {\n    thick 18mm measured 17.4mm\n    sold long 2440mm wide 1220mm\n}\nspecies white_oak {\n    density 700kg per m3\n}\nstock oak board {\n    species white_oak\n    rough 27mm\n}\n",
    );
    let StockKind::Sheet { measured, .. } = &stock(&model, "birch_ply18").kind else {
        panic!("a sheet")
    };
    assert_eq!(*measured, Length::um(17_400));
    let density = model.density(stock(&model, "oak")).unwrap();
    assert_eq!(
        (density.value, &density.source),
        (Rational::int(700), &None)
    );
}

/// What sheets usually measure is used, and the maker is still asked to measure.
#[test]
fn the_usual_measure_is_no_measure_of_the_pack() {
    let text = "use std\nstock mine sheet like red_oak_ply_3_4 {\n    grain wide\n}\nstock pack sheet like red_oak_ply_3_4 {\n    measured 18.1mm\n}\n";
    let model = model(text);
    let StockKind::Sheet { measured, .. } = stock(&model, "mine").kind else {
        panic!("a sheet")
    };
    assert_eq!(measured, Length::inches(23, 32));
    assert!(!stock(&model, "mine").is_measured());
    assert!(!stock(&model, "red_oak_ply_3_4").is_measured());
    assert!(stock(&model, "pack").is_measured());
}

/// The project's own price comes with `like`, under the library's own name too.
#[test]
fn a_price_is_added_with_like() {
    let model = model(
        "use std\nstock birch_ply18 sheet like birch_ply18 {\n    sold long 2440mm wide 1220mm price 60EUR\n}\n",
    );
    let StockKind::Sheet { sizes, .. } = &stock(&model, "birch_ply18").kind else {
        panic!("a sheet")
    };
    assert_eq!(sizes[0].price.as_ref().unwrap().amount, Rational::int(60));
}

fn faults(text: &str) -> Vec<(&'static str, String, Vec<String>)> {
    let texts = Texts::of(&[("a.case", text)]);
    let compiled = casewright::compile(&texts, "a.case", &Default::default()).unwrap();
    let told = compiled.diagnostics.iter();
    told.map(|d| (d.code.name, d.title.clone(), d.help.clone()))
        .collect()
}

fn helps(text: &str) -> Vec<String> {
    faults(text)
        .into_iter()
        .flat_map(|(_, _, help)| help)
        .collect()
}

#[test]
fn a_wrong_name_suggests() {
    let board =
        |species: &str| format!("stock oak board {{\n    species {species}\n    rough 27mm\n}}\n");
    let sheet = |core: &str| format!("stock x sheet {{\n    thick 18mm\n    core {core}\n}}\n");
    assert_eq!(
        helps(&format!("use std\n{}", board("white_oka"))),
        ["did you mean `white_oak`?"]
    );
    assert_eq!(
        helps(&board("white_oak")),
        ["`use std` declares `white_oak`"]
    );
    assert_eq!(
        helps(&board("white_oka")),
        ["did you mean `white_oak`, which `use std` declares?"]
    );
    assert_eq!(
        helps(&format!("use std\n{}", sheet("mfd"))),
        ["did you mean `mdf`?"]
    );
    // A core may be solid wood.
    assert!(faults(&format!("use std\n{}", sheet("white_oak"))).is_empty());
}

#[test]
fn figures_that_cannot_be_are_told() {
    let species = |line: &str| format!("species s {{\n    {line}\n}}\n");
    let code = |line: &str| {
        faults(&species(line))
            .iter()
            .map(|f| f.0)
            .collect::<Vec<_>>()
    };
    assert_eq!(code("density 762kg"), ["type.mismatch"]);
    assert_eq!(code("density 762kg per m2"), ["type.mismatch"]);
    assert_eq!(code("density 762g per m3"), ["value.range"]);
    assert_eq!(code("radial 0.18"), ["value.range"]);
    assert_eq!(code("radial 2mm"), ["type.mismatch"]);
    assert_eq!(code("stiffness 12.3kg"), ["type.mismatch"]);
    assert_eq!(code("stiffness 12.3"), ["type.no_unit"]);
    assert_eq!(code("hardness 1360lb"), ["type.mismatch"]);
    assert_eq!(
        code("density 47.6lb per ft3 source \"own scales\""),
        [""; 0]
    );
    assert_eq!(code("density 762kg per m3 per m3").len(), 1);
    // A broken species is told once, not again where it is used.
    let used = species("radial 0.18") + "stock b board {\n    species s\n    rough 27mm\n}\n";
    assert_eq!(faults(&used).len(), 1);
    // Two of a name are one too many; a stock may bear the name of its wood.
    let twice = species("radial 0.001") + &species("radial 0.002");
    assert_eq!(faults(&twice)[0].0, "name.twice");
    assert!(
        faults(&(species("radial 0.001") + "stock s board {\n    species s\n    rough 27mm\n}\n"))
            .is_empty()
    );
}

/// A figure comes out as it went in, whatever its unit: 1 psi = 6.894757 kPa, 1 lbf = 4.448222 N,
/// 1 lb/ft3 = 16.018463 kg/m3.
#[test]
fn units_round_trip() {
    let text = "species s {\n    density 50lb per ft3\n    stiffness 1820000psi\n    strength 15200psi\n    hardness 1360lbf\n    radial 0.18%\n    tangential 0.00365\n}\n";
    let model = model(text);
    let one = material(&model, MaterialSort::Species, "s");
    let value = |figure: &Option<Figure>| figure.as_ref().unwrap().value;
    let unit = |symbol: &str| {
        casewright::measure::Unit::find(symbol)
            .unwrap()
            .of(Rational::ONE)
            .value
    };
    let mega = Rational::int(1000);
    assert_eq!(
        value(&one.stiffness) * mega / unit("psi"),
        Rational::int(1_820_000)
    );
    assert_eq!(
        value(&one.strength) * mega / unit("psi"),
        Rational::int(15_200)
    );
    assert_eq!(
        value(&one.hardness) * mega / unit("lbf"),
        Rational::int(1360)
    );
    assert_eq!(
        value(&one.density) / Rational::int(1_000_000_000) * unit("ft3") / unit("lb"),
        Rational::int(50)
    );
    assert_eq!(value(&one.radial), Rational::new(18, 10_000));
    assert_eq!(value(&one.tangential), Rational::new(365, 100_000));
    let near = |a: Rational, b: f64| (a.to_f64() - b).abs() < b * 1e-4;
    assert!(near(value(&one.stiffness), 12_548.5) && near(value(&one.strength), 104.80));
    assert!(near(value(&one.hardness), 6049.6) && near(value(&one.density), 800.92));
}

/// Name; specific gravity, strength in psi, stiffness in 1e6 psi, hardness in lbf: Wood Handbook,
/// FPL-GTR-282, table 5-3b. Strength of white ash is left out, as the handbook's two tables differ.
const STRENGTH: &[(&str, f64, f64, f64, f64)] = &[
    ("white_oak", 0.68, 15200.0, 1.78, 1360.0),
    ("red_oak", 0.63, 14300.0, 1.82, 1290.0),
    ("southern_red_oak", 0.59, 10900.0, 1.49, 1060.0),
    ("hard_maple", 0.63, 15800.0, 1.83, 1450.0),
    ("black_maple", 0.57, 13300.0, 1.62, 1180.0),
    ("red_maple", 0.54, 13400.0, 1.64, 950.0),
    ("silver_maple", 0.47, 8900.0, 1.14, 700.0),
    ("bigleaf_maple", 0.48, 10700.0, 1.45, 850.0),
    ("black_cherry", 0.50, 12300.0, 1.49, 950.0),
    ("black_walnut", 0.55, 14600.0, 1.68, 1010.0),
    ("white_ash", 0.60, 15400.0, 1.74, 1320.0),
    ("black_ash", 0.49, 12600.0, 1.60, 850.0),
    ("american_beech", 0.64, 14900.0, 1.72, 1300.0),
    ("yellow_birch", 0.62, 16600.0, 2.01, 1260.0),
    ("sweet_birch", 0.65, 16900.0, 2.17, 1470.0),
    ("paper_birch", 0.55, 12300.0, 1.59, 910.0),
    ("shagbark_hickory", 0.72, 20200.0, 2.16, 1880.0),
    ("red_alder", 0.41, 9800.0, 1.38, 590.0),
    ("basswood", 0.37, 8700.0, 1.46, 410.0),
    ("butternut", 0.38, 8100.0, 1.18, 490.0),
    ("american_elm", 0.50, 11800.0, 1.34, 830.0),
    ("sweetgum", 0.52, 12500.0, 1.64, 850.0),
    ("american_sycamore", 0.49, 10000.0, 1.42, 770.0),
    ("yellow_poplar", 0.42, 10100.0, 1.58, 540.0),
    ("quaking_aspen", 0.38, 8400.0, 1.18, 350.0),
    ("eastern_white_pine", 0.35, 8600.0, 1.24, 380.0),
    ("western_white_pine", 0.38, 9700.0, 1.46, 420.0),
    ("sugar_pine", 0.36, 8200.0, 1.19, 380.0),
    ("ponderosa_pine", 0.40, 9400.0, 1.29, 460.0),
    ("loblolly_pine", 0.51, 12800.0, 1.79, 690.0),
    ("shortleaf_pine", 0.51, 13100.0, 1.75, 690.0),
    ("longleaf_pine", 0.59, 14500.0, 1.98, 870.0),
    ("douglas_fir", 0.48, 12400.0, 1.95, 710.0),
    ("sitka_spruce", 0.40, 10200.0, 1.57, 510.0),
    ("red_spruce", 0.40, 10800.0, 1.66, 530.0),
    ("western_redcedar", 0.32, 7500.0, 1.11, 350.0),
    ("baldcypress", 0.46, 10600.0, 1.44, 510.0),
    ("redwood", 0.40, 10000.0, 1.34, 480.0),
    ("redwood_young", 0.35, 7900.0, 1.10, 420.0),
];

/// A density follows from the specific gravity; megapascals of the metric table are within the
/// rounding of the table in inches (half a MPa of strength, 50 MPa of stiffness).
#[test]
fn strength_is_that_of_the_handbook() {
    let model = whole();
    for (name, gravity, strength, stiffness, hardness) in STRENGTH {
        let one = material(&model, MaterialSort::Species, name);
        let value = |figure: &Option<Figure>| figure.as_ref().unwrap().value.to_f64();
        let off = (value(&one.density) - gravity * 1120.0).abs();
        assert!(off <= 0.501, "{name}: density off by {off}");
        let off = (value(&one.strength) - strength * 0.006_894_757).abs();
        assert!(
            off <= 0.5 || *name == "white_ash",
            "{name}: strength off by {off}"
        );
        let off = (value(&one.stiffness) - stiffness * 6894.757).abs();
        assert!(off <= 51.0, "{name}: stiffness off by {off}");
        let off = (value(&one.hardness) - hardness * 4.448_222).abs();
        assert!(off < 0.01, "{name}: hardness off by {off}");
    }
    assert_eq!(STRENGTH.len(), 39);
}

/// Name; coefficients for one per cent of moisture, radial and tangential, in 1e-5: Wood Handbook,
/// FPL-GTR-190, table 13-5.
const MOVEMENT: &[(&str, i64, i64)] = &[
    ("red_alder", 151, 256),
    ("black_ash", 172, 274),
    ("white_ash", 169, 274),
    ("quaking_aspen", 119, 234),
    ("basswood", 230, 330),
    ("american_beech", 190, 431),
    ("paper_birch", 219, 304),
    ("yellow_birch", 256, 338),
    ("butternut", 116, 223),
    ("black_cherry", 126, 248),
    ("american_elm", 144, 338),
    ("hard_maple", 165, 353),
    ("red_maple", 137, 289),
    ("silver_maple", 102, 252),
    ("bigleaf_maple", 126, 248),
    ("red_oak", 158, 369),
    ("white_oak", 180, 365),
    ("sweetgum", 183, 365),
    ("american_sycamore", 172, 296),
    ("black_walnut", 190, 274),
    ("eastern_white_pine", 71, 212),
    ("mahogany", 172, 238),
];

#[test]
fn movement_is_that_of_the_handbook() {
    let model = whole();
    for (name, radial, tangential) in MOVEMENT {
        let one = material(&model, MaterialSort::Species, name);
        let value =
            |figure: &Option<Figure>| figure.as_ref().unwrap().value * Rational::int(100_000);
        assert_eq!(value(&one.radial), Rational::int(*radial), "{name}");
        assert_eq!(value(&one.tangential), Rational::int(*tangential), "{name}");
    }
}

/// Change for one per cent of moisture follows from the shrinkage from green to dry, S per cent, by
/// C = (S/30) / (100 - S (30 - 10)/30) as in the footnotes of table 13-5, FPL-GTR-190: the size at
/// 10 % is that of green wood less S x 20/30 per cent. Shrinkage: table 4-3 there.
#[test]
fn movement_follows_from_shrinkage() {
    let model = whole();
    for (name, radial, tangential) in [
        ("yellow_poplar", 4.6, 8.2),
        ("douglas_fir", 4.8, 7.6),
        ("american_beech", 5.5, 11.9),
        ("black_cherry", 3.7, 7.1),
        ("black_walnut", 5.5, 7.8),
        ("hard_maple", 4.8, 9.9),
    ] {
        let one = material(&model, MaterialSort::Species, name);
        for (figure, shrinkage) in [(&one.radial, radial), (&one.tangential, tangential)] {
            let c = (shrinkage / 30.0) / (100.0 - shrinkage * 20.0 / 30.0);
            let off = (figure.as_ref().unwrap().value.to_f64() - c).abs();
            assert!(off < 0.000_006, "{name}: {off}");
        }
    }
}

/// What is not verified says so, in these words.
#[test]
fn what_is_from_memory_says_so() {
    let model = whole();
    let memory = |figure: &Option<Figure>| {
        figure
            .as_ref()
            .is_some_and(|f| f.source.as_deref() == Some("from memory, unverified"))
    };
    for name in ["european_oak", "scots_pine", "european_beech"] {
        let one = material(&model, MaterialSort::Species, name);
        assert!(
            memory(&one.density) && memory(&one.radial) && memory(&one.tangential),
            "{name}"
        );
        assert!(one.stiffness.is_none() && one.strength.is_none(), "{name}");
    }
    let spruce = material(&model, MaterialSort::Species, "sitka_spruce");
    assert!(memory(&spruce.radial) && !memory(&spruce.stiffness));
}

/// Panels by the Wood Handbook, FPL-GTR-282, table 12-1 (fibreboard, particleboard, hardboard, strand
/// board, plywood) and 12-2 (sheathing): stiffness and strength in megapascals, the least of a range.
#[test]
fn cores_are_those_of_the_handbook() {
    let model = whole();
    for (name, stiffness, strength) in [
        ("mdf", 3590.0, 35.85),
        ("particleboard", 2760.0, 15.17),
        ("hardboard", 3100.0, 31.02),
        ("osb", 4410.0, 21.80),
        ("plywood", 6960.0, 33.72),
        ("douglas_fir_plywood", 7450.0, 41.37),
        ("southern_pine_plywood", 7700.0, 37.09),
        ("lauan_plywood", 7430.0, 33.72),
    ] {
        let one = material(&model, MaterialSort::Core, name);
        let value = |figure: &Option<Figure>| figure.as_ref().unwrap().value.to_f64();
        assert!((value(&one.stiffness) - stiffness).abs() < 1e-9, "{name}");
        assert!((value(&one.strength) - strength).abs() < 1e-9, "{name}");
    }
}

/// The shop takes a glue by its name; what its own line states goes first.
#[test]
fn a_shop_takes_a_glue_by_its_name() {
    let glue = |text: &str| model(text).shop.glues.remove(0);
    let taken = glue("use std\nshop {\n    glue pva\n}\n");
    assert_eq!(
        (taken.open, taken.clamped, taken.cured),
        (600, 3600, Some(86_400))
    );
    assert_eq!(
        taken.covers,
        Some(Rational::int(5000) / Rational::int(1000))
    );
    assert_eq!(taken.source.as_deref(), Some("common practice"));
    let priced = glue("use std\nshop {\n    glue pva open 12min price 9EUR per L\n}\n");
    assert_eq!((priced.open, priced.clamped), (720, 3600));
    assert!(priced.source.is_some() && priced.price.is_some());
    let stated = glue("use std\nshop {\n    glue pva open 12min clamped 45min\n}\n");
    assert_eq!(
        (stated.open, stated.clamped, stated.source),
        (720, 2700, None)
    );
    let own = "glue pva {\n    open 8min\n    clamped 40min\n    source \"the label\"\n}\n";
    let own = glue(&format!("use std\n{own}shop {{\n    glue pva\n}}\n"));
    assert_eq!((own.open, own.source.as_deref()), (480, Some("the label")));
    let like = "glue mine like pva {\n    price 9EUR per L\n}\n";
    let like = glue(&format!("use std\n{like}shop {{\n    glue mine\n}}\n"));
    assert_eq!((like.open, like.price.is_some()), (600, true));
}

#[test]
fn a_glue_without_times_is_told() {
    let shop = |line: &str| format!("shop {{\n    {line}\n}}\n");
    assert_eq!(
        helps(&format!("use std\n{}", shop("glue pvaa"))),
        [
            "did you mean `pva`?",
            "or state its times here, as in `open 10min clamped 1h`"
        ]
    );
    assert_eq!(helps(&shop("glue pva"))[0], "`use std` declares `pva`");
    let half = faults(&shop("glue quick open 5min"));
    assert_eq!(half.len(), 1);
    assert_eq!(
        (half[0].0, half[0].1.as_str()),
        ("line.needs", "`quick` lacks its `clamped`")
    );
    // A broken glue is told once.
    let broken = "glue quick {\n    open 5kg\n    clamped 1h\n}\n";
    assert_eq!(faults(&format!("{broken}{}", shop("glue quick"))).len(), 1);
}

const TALL: &str = "use std
piece p \"P\" {
    case body {
        size   wide 600mm high 900mm deep 400mm
        side   left, right of birch_ply18
        bottom floor of birch_ply18 at 60mm
        top    lid of birch_ply18 over left, right
        join   floor into left, right with dado deep 5mm
        join   left, right into lid with rabbet deep 9mm
        door   leaf in inside of birch_ply18 inset gap 2mm hung left {
            hinge 2 of butt_hinge50
            lock  1 of cabinet_lock
        }
        FITTED
    }
}
";

fn tall(fitted: &str) -> casewright::Compiled {
    let texts = Texts::of(&[("a.case", &TALL.replace("FITTED", fitted))]);
    casewright::compile(&texts, "a.case", &Default::default()).unwrap()
}

/// Locks, feet and straps are bought and named in the book; a strap is the restraint that a tall piece
/// needs, so none is bought beside it.
#[test]
fn what_is_fitted_is_bought() {
    let bought = |fitted: &str| {
        let compiled = tall(fitted);
        assert!(!compiled.has_errors(), "{:#?}", compiled.diagnostics);
        let model = compiled.model.unwrap();
        let plans = casewright::plan::make(&model);
        let facts = casewright::book::Facts {
            model: &model,
            plans: &plans,
            findings: &compiled.findings,
            paper: casewright::book::Paper::A4,
            revision: None,
            date: None,
            since: None,
        };
        let templates = casewright::book::Templates::built_in();
        casewright::book::write(&facts, &templates).expect("the templates are sound")
    };
    let plain = bought("");
    assert!(
        plain.contains("Restraint against tipping</td>")
            && plain.contains("Cabinet lock with a bolt</td>")
    );
    let fitted = bought("foot 4 of levelling_foot\n        strap 1 of wall_strap");
    assert!(
        fitted.contains("4 of Levelling foot, 1 of Restraint against tipping, a strap to the wall")
    );
    assert!(fitted.contains("Levelling foot</td>"));
    assert!(!fitted.contains("Restraint against tipping</td>"));
}

/// Boards in inches are of the rough thicknesses of the grading rules for hardwood (National Hardwood
/// Lumber Association; Wood Handbook, FPL-GTR-190, chapter 6): 4/4 to 16/4. Dimension lumber is dressed
/// as in PS 20, dry: 1 is 3/4, 2 is 1 1/2, 4 is 3 1/2 in; widths 2 to 12 are 1 1/2 to 11 1/4 in.
#[test]
fn boards_in_inches_are_graded_sizes() {
    let rough = [
        (1, 1),
        (5, 4),
        (3, 2),
        (7, 4),
        (2, 1),
        (3, 1),
        (7, 2),
        (4, 1),
    ];
    let dressed = [(3, 4), (3, 2), (7, 2)];
    let inches = |list: &[(i64, i64)]| -> Vec<Length> {
        list.iter().map(|(n, d)| Length::inches(*n, *d)).collect()
    };
    let (mut graded, mut metric) = (0, 0);
    for stock in &whole().stocks {
        let text = library()
            .iter()
            .find(|d| d.head == "stock" && d.name == stock.name);
        let text = text.expect("it is of the library").text;
        let StockKind::Board { rough: sizes, .. } = &stock.kind else {
            continue;
        };
        if stock.name.starts_with("dimension_") {
            assert_eq!(*sizes, inches(&dressed), "{}", stock.name);
            assert!(text.contains("wide    from 1 1/2in to 11 1/4in"), "{text}");
        } else if text.contains("in\n") {
            assert!(sizes.iter().all(|s| inches(&rough).contains(s)), "{text}");
            graded += 1;
        } else {
            assert!(text.contains("mm\n") && !text.contains("in,"), "{text}");
            metric += 1;
        }
    }
    assert!(graded >= 18 && metric >= 20, "{graded} {metric}");
}

/// Every kind of stock is there in inches and in millimetres. Plywood of 3/4 in is sold as 23/32 in, of
/// 1/2 in as 15/32 in (common practice, and the performance categories of PS 1).
#[test]
fn sheets_are_there_in_both_systems() {
    let model = whole();
    for (metric, inch) in [
        ("birch_ply18", "birch_ply_3_4"),
        ("walnut_ply18", "walnut_ply_3_4"),
        ("softwood_ply18", "softwood_ply_3_4"),
        ("mdf19", "mdf_3_4"),
        ("particleboard19", "particleboard_3_4"),
        ("melamine19", "melamine_3_4"),
        ("hardboard3", "hardboard_1_8"),
        ("osb18", "osb_23_32"),
    ] {
        let (a, b) = (stock(&model, metric), stock(&model, inch));
        let thick = |stock: &casewright::model::Stock| match &stock.kind {
            StockKind::Sheet {
                nominal, measured, ..
            } => (*nominal, *measured),
            _ => panic!("{} is a sheet", stock.name),
        };
        assert!(
            (thick(a).0 - thick(b).0).abs() < Length::mm(2),
            "{metric} {inch}"
        );
        if inch.ends_with("ply_3_4") {
            assert_eq!(thick(b).1, Length::inches(23, 32), "{inch}");
        }
    }
    for name in ["oak", "birch", "maple", "cherry", "walnut", "melamine"] {
        let edging = stock(
            &model,
            &format!(
                "{name}_{}edging_7_8",
                if name == "melamine" { "" } else { "veneer_" }
            ),
        );
        let StockKind::Edging { wide, .. } = &edging.kind else {
            panic!("edging")
        };
        assert_eq!(*wide, Some(Length::inches(7, 8)));
    }
}

/// The shop takes its abrasive by name; what its own line states goes first. A box holds one grit.
#[test]
fn a_shop_takes_an_abrasive_by_its_name() {
    let taken = |text: &str| model(&format!("use std\n{text}")).shop.abrasive.unwrap();
    let square_metre = Rational::int(1_000_000);
    let plain = taken("shop {\n    abrasive sanding_disc150\n}\n");
    assert_eq!(
        (plain.lasts, plain.title.as_str()),
        (square_metre, "Sanding disc, 150 mm")
    );
    assert_eq!(plain.source.as_deref(), Some("common practice"));
    let stated =
        taken("shop {\n    abrasive sanding_disc150 lasts 0.8m2 price 20EUR per box of 50\n}\n");
    assert_eq!(
        (stated.lasts, stated.source),
        (square_metre * Rational::new(4, 5), None)
    );
    let own = taken(
        "abrasive mine like sanding_disc150 {\n    lasts 2m2\n    source \"tried\"\n}\nshop {\n    abrasive mine\n}\n",
    );
    assert_eq!(
        (own.lasts, own.source.as_deref()),
        (square_metre * Rational::int(2), Some("tried"))
    );

    let shop = |line: &str| format!("shop {{\n    {line}\n}}\n");
    assert_eq!(
        helps(&format!("use std\n{}", shop("abrasive sanding_disk150"))),
        [
            "did you mean `sanding_disc150`?",
            "or state what one of a grit sands here, as in `lasts 1m2`"
        ]
    );
    assert_eq!(
        helps(&shop("abrasive sanding_disc150"))[0],
        "`use std` declares `sanding_disc150`"
    );
    assert_eq!(faults(&shop("abrasive mine lasts 0m2")).len(), 1);
    assert_eq!(faults(&shop("abrasive mine lasts 2m")).len(), 1);
    assert_eq!(
        faults(&shop("abrasive a lasts 1m2\n    abrasive b lasts 1m2")).len(),
        1
    );
}

/// A finish of 120, 180, 220 on bare wood: of each grit the same number of discs, in boxes of its own.
#[test]
fn abrasives_are_bought_by_the_grit() {
    let bought = |line: &str| {
        let text = TALL
            .replace("FITTED", "")
            .replace("    case body {", "    finish oil_varnish\n    case body {")
            + &format!("shop {{\n    {line}\n}}\n");
        let compiled = casewright::compile(
            &Texts::of(&[("a.case", &text)]),
            "a.case",
            &Default::default(),
        )
        .unwrap();
        assert!(!compiled.has_errors(), "{:#?}", compiled.diagnostics);
        let plans = casewright::plan::make(&compiled.model.unwrap());
        let area = plans.finishing.plans[0].area;
        let line = plans
            .buying
            .lines
            .into_iter()
            .find(|l| l.what.contains("grits 120, 180, 220"));
        (line.expect("sanding"), area)
    };
    let ceil = |value: Rational| u32::try_from(value.ceil().unwrap()).unwrap();
    let (line, area) = bought("abrasive sanding_disc125 price 0.4EUR per piece");
    let each = ceil(area / Rational::int(700_000));
    assert!(each > 3, "{each}");
    assert_eq!(line.what, "Sanding disc, 125 mm, grits 120, 180, 220");
    assert_eq!(line.amount, Amount::Count(each * 3));
    let price = line.price.unwrap().amount;
    assert_eq!(
        price,
        Rational::int(i64::from(each) * 3) * Rational::new(4, 10)
    );
    // More than a box of a grit, less than two.
    let (line, _) = bought(&format!(
        "abrasive sanding_disc125 price 9EUR per box of {}",
        each - 1
    ));
    assert_eq!(
        line.amount,
        Amount::Packs {
            packs: 6,
            of: each - 1,
            used: each * 3
        }
    );
    assert_eq!(line.price.unwrap().amount, Rational::int(54));
}

/// A lock of a drawer is on its front, whichever that is, and is bought and told.
#[test]
fn a_drawer_is_locked() {
    let drawer = |block: &str| {
        let leaf = TALL.find("door   leaf").unwrap()..TALL.find("        FITTED").unwrap();
        let text = TALL.replace(
            &TALL[leaf],
            &format!("drawer tray in inside {{\n box of birch_ply12 high 100mm\n bottom of birch_ply6 at 10mm over back\n runner of runner_side350\n {block}\n }}\n"),
        );
        let texts = Texts::of(&[("a.case", &text.replace("FITTED", ""))]);
        let compiled = casewright::compile(&texts, "a.case", &Default::default()).unwrap();
        assert!(!compiled.has_errors(), "{:#?}", compiled.diagnostics);
        let model = compiled.model.unwrap();
        let piece = &model.pieces[0];
        let locks = model.hardware.iter().position(|h| h.name == "cam_lock");
        let bought = piece.hardware.iter();
        let bought = bought.filter(|row| Some(row.hardware.0 as usize) == locks);
        let on_front: u32 = piece.leaves[0].catches.iter().map(|(_, n)| n).sum();
        (bought.map(|row| row.count).sum::<u32>(), on_front)
    };
    let face = "face of birch_ply18 inset gap 2mm";
    assert_eq!(drawer("lock 1 of cam_lock"), (1, 1));
    assert_eq!(drawer(&format!("lock 2 of cam_lock\n {face}")), (2, 2));
    assert_eq!(
        drawer(&format!("{face} {{\n lock 1 of cam_lock\n }}")),
        (1, 1)
    );
}

#[test]
fn what_is_fitted_is_of_its_kind() {
    let said = |fitted: &str| -> Vec<String> {
        let errors = tall(fitted)
            .diagnostics
            .into_iter()
            .filter(|d| d.is_error());
        errors
            .map(|d| format!("{}: {}", d.code.name, d.title))
            .collect()
    };
    assert_eq!(
        said("foot 4 of cam_lock"),
        ["type.mismatch: `cam_lock` is not a foot"]
    );
    assert_eq!(
        said("strap 1 of wall_strip"),
        ["name.unknown: no hardware is called `wall_strip`"]
    );
    assert_eq!(said("foot 0 of glide").len(), 1);
}

/// Shank of a wood screw, No. n: 0.060 + 0.013 n inches (ASME B18.6.1; agrees with the Wood Handbook,
/// FPL-GTR-282, table 8-9). Common nails: table 8-1 there, box nails: 8-2. Biscuits 0 and 10: common practice.
#[test]
fn sizes_are_those_of_the_trade() {
    let model = whole();
    let kind = |name: &str| {
        let mut named = model.hardware.iter().filter(|h| h.name == name);
        let found = named.next().unwrap_or_else(|| panic!("no {name}"));
        found.kind.clone()
    };
    let mut screws = 0;
    for hardware in &model.hardware {
        let Some(rest) = hardware.name.strip_prefix("screw") else {
            continue;
        };
        let (Some((number, _)), false) = (rest.split_once('_'), rest.contains('x')) else {
            continue;
        };
        let HardwareKind::Screw { thick, .. } = hardware.kind else {
            panic!("a screw")
        };
        let n: i64 = number.parse().unwrap();
        assert_eq!(
            thick,
            Length::inches(60 + 13 * n, 1000),
            "{}",
            hardware.name
        );
        screws += 1;
    }
    assert!(screws > 20, "{screws}");
    for (name, long, thick) in [
        ("nail_2", (2, 1), 113),
        ("nail_2_1_2", (5, 2), 131),
        ("nail_3", (3, 1), 148),
        ("nail_3_1_4", (13, 4), 148),
        ("nail_3_1_2", (7, 2), 162),
        ("nail_4", (4, 1), 192),
        ("box_nail_1_1_4", (5, 4), 76),
        ("box_nail_1_1_2", (3, 2), 80),
        ("box_nail_2", (2, 1), 99),
        ("box_nail_2_1_2", (5, 2), 113),
        ("box_nail_3", (3, 1), 128),
        ("box_nail_3_1_2", (7, 2), 135),
        ("box_nail_4", (4, 1), 148),
    ] {
        let HardwareKind::Nail { long: l, thick: t } = kind(name) else {
            panic!("a nail")
        };
        assert_eq!(
            (l, t),
            (
                Length::inches(long.0, long.1),
                Some(Length::inches(thick, 1000))
            ),
            "{name}"
        );
    }
    for (name, long, wide) in [("biscuit0", 47, 15), ("biscuit10", 53, 19)] {
        let HardwareKind::Biscuit {
            long: l,
            wide: w,
            thick,
        } = kind(name)
        else {
            panic!("a biscuit")
        };
        assert_eq!(
            (l, w, thick),
            (Length::mm(long), Length::mm(wide), Length::mm(4)),
            "{name}"
        );
    }
}

/// The size in a name is the size: `mdf_3_4` is 3/4 in, `runner_side400` 400 mm, `nail_2_1_2` 2 1/2 in.
#[test]
fn names_tell_the_size() {
    let model = whole();
    let mut told = 0;
    let mut check = |name: &str, size: Length| {
        let Some(said) = size_in(name) else { return };
        assert_eq!(said, size, "{name}");
        told += 1;
    };
    for stock in &model.stocks {
        if let StockKind::Sheet { nominal, .. } = stock.kind {
            check(&stock.name, nominal);
        }
    }
    for hardware in model.hardware.iter().filter(|h| !h.name.contains("screw")) {
        match &hardware.kind {
            HardwareKind::Hinge(Hinge::Butt { long, .. }) | HardwareKind::Nail { long, .. } => {
                check(&hardware.name, *long);
            }
            HardwareKind::Runner(runner) => check(&hardware.name, runner.long),
            HardwareKind::Pull {
                centres: Some(centres),
                ..
            } => check(&hardware.name, *centres),
            _ => {}
        }
    }
    assert!(told > 160, "{told}");
}

/// The size at the end of a name: millimetres at once behind a word, inches behind underscores.
fn size_in(name: &str) -> Option<Length> {
    let end = name.trim_end_matches(|c: char| c.is_ascii_digit() || c == '_');
    let size = name.get(end.len()..)?;
    let numbers: Vec<i64> = size.split('_').filter_map(|n| n.parse().ok()).collect();
    match (size.starts_with('_'), numbers.as_slice()) {
        (false, [mm]) => Some(Length::mm(*mm)),
        (true, [whole]) => Some(Length::inches(*whole, 1)),
        (true, [above, below]) => Some(Length::inches(*above, *below)),
        (true, [whole, above, below]) => Some(Length::inches(whole * below + above, *below)),
        _ => None,
    }
}

const SET: &str = "param sheet = 18mm from 6mm to 25mm\nstock ply sheet {\n    thick 18mm measured sheet\n    sold long 2440mm wide 1220mm price 60USD\n}\n";

fn set(value: &str) -> casewright::Compiled {
    let options = casewright::elaborate::Options {
        set: vec![("sheet".into(), value.into())],
    };
    casewright::compile(&Texts::of(&[("a.case", SET)]), "a.case", &options).unwrap()
}

/// A parameter of a file that is set from outside reaches the stock, within its bounds.
#[test]
fn a_set_parameter_reaches_the_stock() {
    let model = set("17.4mm").model.unwrap();
    let casewright::model::StockKind::Sheet {
        measured, sizes, ..
    } = &model.stocks[0].kind
    else {
        panic!("a sheet")
    };
    assert_eq!(*measured, Length::um(17_400));
    assert_eq!(sizes[0].price.as_ref().unwrap().currency, "USD");
    let codes: Vec<_> = set("99mm")
        .diagnostics
        .iter()
        .map(|d| d.code.name)
        .collect();
    assert_eq!(codes, ["value.bounds"]);
}

/// A price never takes a currency that the maker did not write beside it.
#[test]
fn a_price_shows_its_currency() {
    let text = SET.replace("price 60USD", "price cost") + "let cost = 60USD\n";
    let compiled = casewright::compile(
        &Texts::of(&[("a.case", &text)]),
        "a.case",
        &Default::default(),
    )
    .unwrap();
    let codes: Vec<_> = compiled.diagnostics.iter().map(|d| d.code.name).collect();
    assert_eq!(codes, ["type.mismatch"]);
}

#[test]
fn every_name_of_it_is_listed() {
    let words = casewright::elaborate::library_words();
    assert!(
        words.lines().all(|line| line.chars().count() <= 96),
        "it fits a terminal"
    );
    let listed = words.lines().filter(|l| l.starts_with("- ")).count();
    assert_eq!(listed, library().len());
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    for declared in library() {
        let line = format!("- `{}`: {}", declared.name, declared.docs());
        assert!(words.contains(&line), "{line}");
        let page = casewright::elaborate::library_page(declared.name).unwrap();
        for text in declared.text.lines() {
            assert!(page.contains(&format!("    {text}\n")), "{}", declared.path);
        }
    }
    let figures = "density 762kg per m3; radial 0.00180; tangential 0.00365; stiffness 12.3GPa";
    assert!(words.contains(figures), "main figures are told");
    assert!(
        words.contains("Wood Handbook, FPL-GTR-190 table 13-5"),
        "and their sources"
    );
    assert!(casewright::elaborate::library_page("no_such_thing").is_none());
}

/// A strip on an edge into which a lid is let flush would lie in the lid: another cure is told.
#[test]
fn a_flush_lid_is_told_to_cover_its_sides() {
    let text = "stock ply sheet {\n    thick 18mm\n    sold long 2440mm wide 1220mm\n}\npiece p \"P\" {\n    case body {\n        size wide 600mm high 400mm deep 300mm\n        side left, right of ply\n        bottom floor of ply\n        top lid of ply\n        join floor into left, right with rabbet deep 9mm\n        join lid into left, right with rabbet deep 9mm\n    }\n}\n";
    let compiled = casewright::compile(
        &Texts::of(&[("a.case", text)]),
        "a.case",
        &Default::default(),
    )
    .unwrap();
    let checked = casewright::rules::check(&compiled.model.unwrap());
    let bare = checked
        .diagnostics
        .iter()
        .find(|d| d.title == "the top edge of `left` is bare")
        .unwrap();
    assert!(
        bare.help
            .iter()
            .any(|h| h.starts_with("let `lid` cover it: `over left`")),
        "{bare:?}"
    );
}

#[test]
fn a_list_without_its_comma_is_told_so() {
    let compiled = casewright::compile(
        &Texts::of(&[(
            "a.case",
            "stock oak board {\n    rough 27mm\n}\npiece p \"P\" {\n    case body {\n        size wide 600mm high 400mm deep 300mm\n        side left, right of oak thick 18mm\n        band left on front rear of oak thick 8mm\n    }\n}\n",
        )]),
        "a.case",
        &Default::default(),
    )
    .unwrap();
    let said: Vec<&str> = compiled
        .diagnostics
        .iter()
        .map(|d| d.title.as_str())
        .collect();
    assert!(
        said.contains(&"`rear` follows `front` without a comma"),
        "{said:?}"
    );
}
