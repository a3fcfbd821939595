//! One mistake gives one report, what is said twice is told, and nothing that a maker can write in a
//! few lines keeps the program busy for long.

use crate::support::Texts;
use casewright::Compiled;

const GOODS: &str = "
stock ply sheet {
    thick 18mm
    sold  long 2440mm wide 1220mm
}
hardware scr screw {
    long 30mm thick 4mm
}
hardware cup hinge {
    mounts cup
    bore   35mm
}
hardware lev foot { price 3EUR per piece }
hardware anchor strap { price 6EUR per piece }
";

const BOX: &str = "
        size   wide 600mm high 700mm deep 300mm
        side   left, right of ply
        bottom floor of ply
        top    lid of ply
        join   floor, lid to left, right with butt";

/// A file with these lines at its top, a case with these in it, and these beside it.
fn text(top: &str, within: &str, beside: &str) -> String {
    format!(
        "{GOODS}{top}\npiece rack \"Rack\" {{\n    case body {{{BOX}\n{within}\n    }}\n{beside}\n}}\n"
    )
}

fn compiled(text: &str) -> Compiled {
    let files = Texts::of(&[("rack.case", text)]);
    casewright::compile(&files, "rack.case", &Default::default()).expect("the text is there")
}

/// The errors in a text: code and title.
fn errors(text: &str) -> Vec<String> {
    let compiled = compiled(text);
    let errors = compiled.diagnostics.iter().filter(|d| d.is_error());
    errors
        .map(|d| format!("{}: {}", d.code.name, d.title))
        .collect()
}

/// The text gives one error, of this code.
fn one(text: &str, code: &str) {
    let found = errors(text);
    assert!(
        found.len() == 1 && found[0].starts_with(&format!("{code}:")),
        "{code} alone is wanted, not {found:#?}\n{text}"
    );
}

fn top(line: &str, code: &str) {
    one(&text(line, "", ""), code);
}

fn within(lines: &str, code: &str) {
    one(&text("", lines, ""), code);
}

fn sound(text: &str) {
    assert_eq!(errors(text), [""; 0], "{text}");
}

#[test]
fn a_line_of_the_shop_may_name_its_value() {
    for line in [
        "relief groove gap2",
        "relief mortise gap2",
        "fit gap2",
        "web gap2",
        "trim gap2",
    ] {
        sound(&text(&format!("let gap2 = 1mm\nshop {{ {line} }}"), "", ""));
        top(
            &format!("let gap2 = 3kg\nshop {{ {line} }}"),
            "type.mismatch",
        );
        top(&format!("shop {{ {line} }}"), "name.unknown");
    }
    let made = compiled(&text("let gap2 = 1mm\nshop { relief groove gap2 }", "", ""));
    let shop = made.model.expect("it can be built").shop;
    assert_eq!(shop.relief_groove, casewright::measure::Length::mm(1));
    for (line, sort) in [
        ("waste part", "part = 20%"),
        ("loss part", "part = 20%"),
        ("pace spread part per min", "part = 0.2m2"),
        ("pace joint part", "part = 15s"),
    ] {
        sound(&text(&format!("let {sort}\nshop {{ {line} }}"), "", ""));
        top(&format!("shop {{ {line} }}"), "name.unknown");
    }
    sound(&text(
        "let week = 168h\nfinish oil {\n    cure week\n}",
        "",
        "",
    ));
}

#[test]
fn a_description_is_cut_where_its_sentence_ends() {
    for (docs, title) in [
        ("Screw 3.5 x 40 mm", "Screw 3.5 x 40 mm"),
        ("Screw 3.5 x 40 mm. For the rails.", "Screw 3.5 x 40 mm"),
        ("Screw, No. 6 x 1/2 in.", "Screw, No. 6 x 1/2 in"),
        ("Screw, no. Eight, of brass.", "Screw, no. Eight, of brass"),
        ("Series 3. Zinc.", "Series 3"),
        (
            "Plate of 2.5 mm, e.g. Of steel. More.",
            "Plate of 2.5 mm, e.g. Of steel",
        ),
    ] {
        let goods = format!("/// {docs}\nhardware own screw {{\n    long 40mm thick 3.5mm\n}}");
        let model = compiled(&text(&goods, "", ""))
            .model
            .expect("it can be built");
        let own = model.hardware.iter().find(|h| h.name == "own");
        assert_eq!(own.expect("it is declared").title, title);
    }
}

#[test]
fn what_an_element_lacks_is_told_once() {
    let divided = "divide inside rightward { openings bay 3 { divider post of ply } }
        join post to floor, lid with butt\n";
    for (line, code) in [
        ("divider post[1] of nothing", "name.unknown"),
        (
            "join post[2] to left with butt\ndivider post[2] of nothing",
            "name.unknown",
        ),
        ("divider post[2] thick 3mm", "stock.thick_stated"),
        ("divider post[3] thick 3mm", "name.unknown"),
    ] {
        within(&format!("{divided}{line}"), code);
    }
}

#[test]
fn an_element_is_changed_by_one_line() {
    let shelves = "repeat i from 1 to 3 { shelf s of ply at 150mm * i }
        join s to left, right with butt\n";
    let own = |lines: &str| format!("{shelves}{lines}");
    within(
        &own("shelf s[2] at 250mm\nshelf s[2] at 240mm"),
        "line.doubled",
    );
    within(
        &own("shelf s[2] at 250mm\nshelf s[1 + 1] at 240mm"),
        "line.doubled",
    );
    sound(&text(
        "",
        &own("shelf s[2] at 250mm\nshelf s[3] at 500mm"),
        "",
    ));
    // What is like another stands over it.
    sound(&text(
        "",
        &own("shelf s[2] at 250mm"),
        "case other like body {\n    place right of body\n    shelf s[2] at 240mm\n}",
    ));
    one(
        &text(
            "",
            &own("shelf s[2] at 250mm"),
            "case other like body {\n    place right of body\n    shelf s[2] at 240mm\nshelf s[2] at 230mm\n}",
        ),
        "line.doubled",
    );
}

#[test]
fn what_is_bought_for_one_place_is_stated_once() {
    within("foot 4 of lev\nfoot 4 of lev", "line.doubled");
    within("strap 1 of anchor\nstrap 1 of anchor", "line.doubled");
    let two = "case b like body { place right of body }\n";
    for lines in [
        format!("{two}fix body to b with screws 2 of scr\nfix body to b with screws 2 of scr"),
        format!("{two}fix body to b with screws 2 of scr\nfix b to body with screws 4 of scr"),
    ] {
        one(&text("", "", &lines), "line.doubled");
    }
    sound(&text(
        "",
        "",
        &format!("{two}fix body to b with screws 2 of scr"),
    ));
}

#[test]
fn a_price_is_for_what_is_bought() {
    let screw =
        |price: &str| format!("hardware own screw {{\n long 40mm\n thick 4mm\n price {price}\n}}");
    for (price, code) in [
        ("6EUR per 1/0", "value.divide_zero"),
        ("6EUR per 3kg", "type.mismatch"),
        ("6EUR per 3", "type.mismatch"),
        ("6EUR per m2", "type.mismatch"),
        ("6EUR per bag", "name.unknown_choice"),
    ] {
        top(&screw(price), code);
    }
    sound(&text(&screw("6EUR per box of 100"), "", ""));
    sound(&text(&screw("6EUR per piece"), "", ""));
    let coat =
        |per: &str| format!("finish oil {{ coat x 1 dry 2h covers 10m2 per L price 18EUR {per} }}");
    top(&coat("per 3kg"), "type.mismatch");
    top(&coat("per h"), "type.mismatch");
    sound(&text(&coat("per 750ml"), "", ""));
    sound(&text(&coat("per 2 * 1L"), "", ""));
    sound(&text(&coat(""), "", ""));
}

#[test]
fn a_part_that_no_saw_leaves_whole_is_refused() {
    for size in [
        "wide 36.0001mm high 700mm deep 300mm",
        "wide 600mm high 700mm deep 0.001mm",
        "wide 1mm high 700mm deep 300mm",
        "wide 36mm high 700mm deep 300mm",
    ] {
        one(
            &text("", "", "").replace("wide 600mm high 700mm deep 300mm", size),
            "sum.no_room",
        );
    }
}

#[test]
fn one_name_of_a_line_can_be_changed_or_dropped() {
    let sides = |changes: &str| {
        let model = compiled(&text(
            "stock ply12 sheet {\n thick 12mm\n sold long 2440mm wide 1220mm\n}",
            "",
            &format!("case other like body {{\n    place right of body\n{changes}\n}}"),
        ))
        .model
        .expect("it can be built");
        let parts = model.pieces[0].parts.iter();
        parts
            .filter(|p| {
                p.path.starts_with("other.")
                    && (p.path.ends_with("left") || p.path.ends_with("right"))
            })
            .map(|p| format!("{} {}", p.path, model.stocks[p.stock.0 as usize].name))
            .collect::<Vec<_>>()
    };
    assert_eq!(sides(""), ["other.left ply", "other.right ply"]);
    assert_eq!(sides("drop left"), ["other.right ply"]);
    assert_eq!(sides("drop right"), ["other.left ply"]);
    assert_eq!(
        sides("side right of ply12"),
        ["other.left ply", "other.right ply12"]
    );
    assert_eq!(
        sides("side left of ply12"),
        ["other.left ply12", "other.right ply"]
    );
}

#[test]
fn a_name_is_taken_once() {
    let pattern =
        "pattern case w {\n param a = 3\n param a = 9\n size wide 100mm * a high 300mm deep 300mm
    side left, right of ply\n bottom floor of ply\n join floor to left, right with butt }";
    top(pattern, "name.twice");
    one(
        &text(pattern, "", "case c like w { place right of body }"),
        "name.twice",
    );
    within(
        "repeat i from 1 to 2 { repeat i from 1 to 2 { shelf s of ply at 100mm } }",
        "name.twice",
    );
    within(
        "repeat i from 1 to 2 { let i = 3\n shelf s of ply at 100mm * i }",
        "name.twice",
    );
    top("let yes = 3", "name.reserved");
    within("expect yes = 1", "type.mismatch");
    within("expect body.wide = 600", "type.mismatch");
}

#[test]
fn a_long_chain_of_patterns_is_no_circle() {
    let chain = |n: usize| {
        let mut lines: String = (0..n)
            .map(|i| format!("pattern case a{i} like a{} {{ }}\n", i + 1))
            .collect();
        lines.push_str(&format!("pattern case a{n} {{ }}"));
        lines
    };
    top(&chain(33), "syntax.deep");
    sound(&text(&chain(32), "", ""));
    top(
        "pattern case a like b { }\npattern case b like a { }",
        "value.cycle",
    );
}

#[test]
fn words_that_say_nothing_are_told() {
    one(&text("", "", "units mm 1/32in"), "line.stray_value");
    top(
        "stock tape edging {\n thick 1mm\n sold long 50m wide 22mm\n}",
        "name.misplaced",
    );
    one(
        &text("", "", "note \"it is {body.wide wide\""),
        "note.expression",
    );
    sound(&text("", "", "note \"it is `{body.wide` wide\""));
    for file in ["", ".", "sub/", "sub/.."] {
        top(&format!("use \"{file}\""), "use.missing");
    }
}

/// A piece with a parameter, two branches and a pattern that nothing is like.
fn unbuilt(branch: &str, other: &str, pattern: &str) -> String {
    text(
        pattern,
        &format!("if w > 800mm {{\n{branch}\n}} else {{\n{other}\n}}"),
        "param w = 700mm from 600mm to 900mm",
    )
}

#[test]
fn a_branch_that_does_not_hold_is_read() {
    let shelf = "shelf s of ply at 300mm\njoin s to left, right with butt";
    for (branch, code) in [
        ("shelf s of oka18 at 300mm", "name.unknown"),
        ("shelf s of ply at 3kg", "type.mismatch"),
        ("shelf s of ply at 300mm + 3kg", "type.dimension"),
        ("shelf s of ply at w * 1mm", "type.mismatch"),
        ("let x = w + 3", "type.dimension"),
        (
            "shelf s of ply at 300mm\njoin s to left with screws 2 of srew",
            "name.unknown",
        ),
        ("door d like nothing", "name.unknown"),
        (
            "door d in inside of ply overlay {\n hinge 2 of cop\n}",
            "name.unknown",
        ),
        (
            "shelf s of ply at 300mm {\n allow load.shelf_sgg \"why\"\n}",
            "allow.unknown",
        ),
        ("if w > 3kg {\nshelf s of ply at 300mm\n}", "type.dimension"),
    ] {
        one(&unbuilt(branch, shelf, ""), code);
        let pattern = format!("pattern case zz {{\nparam w = 700mm\n{branch}\n}}");
        one(&unbuilt(shelf, shelf, &pattern), code);
    }
    // Nothing is said of what follows from values, from geometry or from a turn.
    for branch in [
        shelf,
        "shelf s of ply at deck.top + 30mm",
        "let n = 1\nshelf s of ply at 100mm / (n - 1)",
        "repeat i from 1 to 3 { shelf s of ply at 100mm * i }",
        "require inside.wide / 2 > 3mm \"room\"",
        "shelf s of ply at 2000mm",
    ] {
        sound(&unbuilt(branch, shelf, ""));
    }
    // What is declared under a condition is known under it.
    sound(&text(
        "param thin = no\nif thin {\n stock ply9 sheet {\n thick 9mm\n sold long 2m wide 1m\n }\n}",
        "if thin {\n shelf s of ply9 at 300mm\n}",
        "",
    ));
}

#[test]
fn a_pattern_that_nothing_is_like_is_read() {
    top(
        "pattern case zz {\n side left of nope\n size wide 300mm high 1m deep 300mm\n}",
        "name.unknown",
    );
    top("pattern case zz {\n size wide 3kg\n}", "type.mismatch");
    sound(&text(
        "pattern case zz {\n param of_what = ply\n side left of of_what\n size wide 300mm\n}",
        "",
        "",
    ));
    top(
        "pattern case zz {\n param of_what = plu\n side left of of_what\n size wide 300mm\n}",
        "name.unknown",
    );
}

#[test]
fn a_block_that_is_not_closed_is_told_once() {
    let sound = text("", "", "units mm\nfinish oil").replace(
        "stock ply",
        "finish oil {\n coat x 1 dry 2h covers 10m2 per L\n}\nstock ply",
    );
    assert_eq!(errors(&sound), [""; 0]);
    let lines: Vec<&str> = sound.lines().collect();
    let start = sound
        .lines()
        .position(|l| l.contains("case body"))
        .expect("a case");
    for at in start + 1..lines.len() - 1 {
        let mut cut = lines.clone();
        cut.insert(at, "case more {");
        let found = errors(&cut.join("\n"));
        assert!(found.len() <= 2, "at {at}: {found:#?}");
        assert!(
            found.iter().any(|f| f.starts_with("syntax.brace_missing")),
            "{found:#?}"
        );
    }
}

#[test]
fn repetitions_beyond_building_are_told_at_once() {
    let start = std::time::Instant::now();
    within(
        "repeat i from 1 to 1000 { repeat j from 1 to 1000 { shelf s of ply at 300mm } }",
        "value.range",
    );
    let lets = "repeat i from 1 to 200 { repeat j from 1 to 200 { let x = i + j } }";
    sound(&text("", lets, ""));
    assert!(start.elapsed() < std::time::Duration::from_secs(60));
}
