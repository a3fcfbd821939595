//! What is written either counts or is refused: figures and words that would give wrong furniture, or
//! nothing, each with the one error that it gets.

use crate::support::Texts;
use casewright::measure::Length;
use casewright::model::StockKind;

const GOODS: &str = "
stock ply sheet {
    thick 18mm
    sold  long 2440mm wide 1220mm
}
stock ash board {
    rough 27mm
}
hardware cup hinge {
    mounts cup
    bore   35mm
}
hardware knob pull {
    bore 4mm
}
";

/// A case with one line of a test's own in it, and more beside it.
fn piece(line: &str, goods: &str) -> String {
    format!(
        "{GOODS}{goods}
piece rack \"Rack\" {{
    case body {{
        size   wide 600mm high 700mm deep 300mm
        side   left, right of ply
        bottom floor of ply
        top    lid of ply
        shelf  board of ply at 300mm
        join   floor, lid into left, right with rabbet deep 6mm
        {line}
    }}
}}
"
    )
}

/// The same case by way of a pattern, with the line where it is made.
fn patterned(line: &str) -> String {
    format!(
        "{GOODS}
pattern case plain {{
    size   wide 600mm high 700mm deep 300mm
    side   left, right of ply
    bottom floor of ply
    top    lid of ply
    join   floor, lid into left, right with rabbet deep 6mm
}}
piece rack \"Rack\" {{
    case body like plain {{
        {line}
    }}
}}
"
    )
}

/// The codes of the errors in a text.
fn errors(text: &str) -> Vec<String> {
    let files = Texts::of(&[("rack.case", text)]);
    let compiled =
        casewright::compile(&files, "rack.case", &Default::default()).expect("the text is there");
    let errors = compiled.diagnostics.iter().filter(|d| d.is_error());
    errors.map(|d| d.code.name.to_owned()).collect()
}

fn gives(text: &str, code: &str) {
    assert_eq!(errors(text), [code], "{text}");
}

#[test]
fn a_line_of_what_is_like_a_pattern_lacks_nothing() {
    for (line, code) in [
        ("door d of ply overlay { }", "line.needs"),
        (
            "door d in inside of ply overlay { hinge of cup }",
            "line.no_subject",
        ),
        (
            "door d in inside of ply overlay {\n hinge 2 of cup\n pull of knob\n }",
            "line.no_subject",
        ),
        ("join floor to left", "line.needs"),
        ("band floor of ash thick 3mm", "line.needs"),
        ("shelves in inside of ply", "line.no_subject"),
        ("divide inside { }", "line.no_subject"),
    ] {
        gives(&patterned(line), code);
    }
    assert_eq!(errors(&patterned("shelf s of ply at 200mm")), [""; 0]);
    assert_eq!(errors(&patterned("top lid proud 0mm")), [""; 0]);
}

#[test]
fn the_figures_of_a_joint_leave_something_of_it() {
    let join = |with: &str| piece(&format!("join board into left, right with {with}"), "");
    for (with, code) in [
        ("dado deep 5mm stopped 5000mm on rear", "value.range"),
        ("dado deep 5mm stopped 150mm on front, rear", "value.range"),
        ("dado deep 5mm stopped 142mm on front, rear", "value.range"),
        ("dado deep 5mm stopped 160mm", "value.range"),
        ("dado deep 5mm fit 50mm", "value.range"),
        ("tongue thick 18mm deep 5mm", "value.range"),
        ("tongue thick 0mm deep 5mm", "value.range"),
        ("tongue thick 6mm deep 5mm flush front", "place.axis"),
    ] {
        gives(&join(with), code);
    }
    for with in [
        "dado deep 5mm stopped 141mm on front, rear",
        "dado deep 5mm fit 0.3mm",
    ] {
        assert_eq!(errors(&join(with)), [""; 0], "{with}");
    }
    gives(
        &piece(
            "band lid on front of ash thick 20mm with tongue thick 18mm deep 5mm",
            "",
        ),
        "value.range",
    );
}

#[test]
fn grain_runs_as_what_it_is_of_can_have_it() {
    for line in [
        "shelf more of ply at 500mm grain none",
        "door d in inside of ply overlay grain inward { hinge 2 of cup }",
    ] {
        gives(&piece(line, ""), "name.unknown_choice");
    }
    let sheet = "stock odd sheet {\n thick 6mm\n sold long 2m wide 1m\n grain up\n}";
    gives(&piece("", sheet), "name.unknown_choice");
}

/// A case without its shelf, with a drawer or door of a test's own.
fn empty(line: &str) -> String {
    piece(line, "").replace("        shelf  board of ply at 300mm\n", "")
}

#[test]
fn words_that_say_nothing_or_the_opposite_are_not_taken() {
    let door = |front: &str| {
        empty(&format!(
            "door d in inside of ply {front} {{\n hinge 2 of cup\n }}"
        ))
    };
    for (front, code) in [
        ("overlay inset", "name.word_not_here"),
        ("overlay set_back 5mm", "name.word_not_here"),
        ("set_back 5mm", "name.word_not_here"),
        ("inset stand_off 3mm", "name.word_not_here"),
        ("inset reveal 2mm", "name.word_not_here"),
        ("overlay gap 3mm on front", "name.unknown_edge"),
        ("overlay gap 3mm on meeting", "name.unknown_edge"),
        ("overlay reveal 2mm on rear", "name.unknown_edge"),
    ] {
        gives(&door(front), code);
    }
    assert_eq!(errors(&door("inset gap 2mm set_back 5mm")), [""; 0]);
    let fitted = |hinge: &str| {
        door(&format!("overlay {{\n {hinge}\n }}")).replace(" {\n hinge 2 of cup\n }", "")
    };
    let at = |at: &str| fitted(&format!("hinge 2 of cup\n pull 1 of knob {at}"));
    gives(
        &fitted("hinge 2 of cup at 80mm from left"),
        "name.unknown_edge",
    );
    gives(&at("at 30mm from left at 30mm from right"), "line.doubled");
    gives(&at("at 30mm from front"), "name.unknown_edge");
    assert_eq!(errors(&at("at 30mm from left at 30mm from top")), [""; 0]);
    let join = |with: &str| piece(&format!("join board into left, right with {with}"), "");
    gives(
        &join("dado deep 5mm stopped 5mm on top"),
        "name.unknown_edge",
    );
    gives(&join("groove deep 5mm thick 3mm"), "name.word_not_here");
    gives(&join("dado_rabbet deep 5mm thick 18mm"), "value.range");
    gives(&join("bridle"), "join.bridle");
    let capped = |cap: &str, with: &str| {
        format!(
            "stock ash board {{\n rough 27mm, 52mm\n}}\npiece t \"T\" {{\n stand body {{\n size wide 900mm high 740mm deep 480mm\n \
             leg a, b, c, d of ash thick 45mm\n top board of ash thick 24mm wide from 90mm to 900mm\n \
             top cap of ash thick 24mm wide from 0mm to 90mm {cap}\n \
             apron left, right, front, rear of ash thick 22mm high 80mm set_in 5mm\n \
             join left, right, front, rear into a, b, c, d with mortise thick 8mm deep 12mm\n \
             join board into cap with breadboard {with}\n }}\n}}\n"
        )
    };
    let cap = |with: &str| capped("grain inward", with);
    assert_eq!(errors(&cap("deep 40mm room 4mm")), [""; 0]);
    assert_eq!(errors(&cap("deep 40mm tenons 5 room 4mm dry")), [""; 0]);
    for (with, code) in [
        // Neither a climate nor the room: nothing is guessed.
        ("deep 40mm", "line.needs"),
        ("room 4mm", "line.needs"),
        ("deep 40mm room 4mm tenons 4", "value.range"),
        ("deep 40mm room 4mm tenons 1", "value.range"),
        ("deep 40mm room 4mm tongue 40mm", "value.range"),
        ("deep 40mm room 4mm thick 24mm", "value.range"),
        ("deep 40mm room 4mm thick 19mm", "cut.edge_cheek"),
        ("deep 40mm room 4mm tenons 9", "join.no_room"),
        ("deep 40mm room 4mm from_ends 25mm", "join.no_room"),
        ("deep 40mm room 4mm from_ends 225mm", "join.no_room"),
        ("deep 86mm room 4mm", "cut.too_deep"),
    ] {
        gives(&cap(with), code);
    }
    for of in ["", "grain inward deep 400mm"] {
        gives(&capped(of, "deep 40mm room 4mm"), "join.breadboard");
    }
    let mitre = |with: &str| {
        let text = piece("", "").replace("floor, lid into", "floor into");
        let joined = format!("join lid to left, right with mitre {with}\n        shelf");
        text.replace("shelf ", &joined)
    };
    assert_eq!(errors(&mitre("keyed 3 of ply deep 15mm")), [""; 0]);
    assert_eq!(errors(&mitre("splined of ash thick 4mm deep 7mm")), [""; 0]);
    for (with, code) in [
        ("keyed 3 of ply", "line.needs"),
        ("splined deep 5mm", "line.needs"),
        ("splined of ash deep 5mm", "stock.thick_missing"),
        ("splined of ply thick 4mm deep 5mm", "stock.thick_stated"),
        ("keyed 3 splined of ply deep 15mm", "name.word_not_here"),
        ("deep 15mm", "name.word_not_here"),
        (
            "splined of ash thick 4mm deep 5mm from_ends 20mm",
            "name.word_not_here",
        ),
        ("splined of ash thick 4mm deep 11mm", "join.no_room"),
        ("keyed 3 of ply deep 23mm", "join.no_room"),
        ("keyed 12 of ply deep 15mm", "join.no_room"),
    ] {
        gives(&mitre(with), code);
    }
    for with in [
        "dovetail through half_blind lap 3mm tails 3",
        "dovetail through lap 3mm tails 3",
        "dovetail lap 3mm tails 3",
    ] {
        gives(&join(with), "name.word_not_here");
    }
    let brad = "hardware brad nail {\n long 40mm thick 1.2mm\n}";
    let nails = |with: &str| {
        piece(
            &format!("join board to left, right with nails {with}"),
            brad,
        )
    };
    gives(&nails("1 of brad from_ends 20mm"), "name.word_not_here");
    assert_eq!(errors(&nails("2 of brad from_ends 20mm")), [""; 0]);
    let goods = "hardware wafer biscuit {\n long 56mm wide 23mm thick 4mm\n}\nhardware wood screw {\n long 40mm thick 4mm\n}";
    let meet = |with: &str| piece(&format!("join board to left, right with {with}"), goods);
    assert_eq!(errors(&meet("biscuits 2 of wafer open_to rear")), [""; 0]);
    assert_eq!(errors(&meet("screws 2 of wood slotted")), [""; 0]);
    gives(
        &meet("biscuits 2 of wafer open_to top"),
        "name.unknown_edge",
    );
    gives(&meet("screws 2 of wood open_to rear"), "name.unknown_word");
    gives(&meet("biscuits 2 of wafer slotted"), "name.word_not_here");
    let band = |with: &str| piece(&format!("band board on front of ash thick 20mm {with}"), "");
    gives(&band("flush top"), "name.word_not_here");
    assert_eq!(errors(&band("wide 30mm flush top")), [""; 0]);
    for option in ["stopped 5mm", "fit 0.1mm", "dry"] {
        let with = band(&format!("with tongue thick 4mm deep 5mm {option}"));
        gives(&with, "name.word_not_here");
    }
}

/// The codes of the cautions in a text without errors, those about what is seen left out.
fn cautions(text: &str) -> Vec<String> {
    let files = Texts::of(&[("rack.case", text)]);
    let compiled =
        casewright::compile(&files, "rack.case", &Default::default()).expect("the text is there");
    assert!(!compiled.diagnostics.iter().any(|d| d.is_error()), "{text}");
    let told = compiled.diagnostics.iter().map(|d| d.code.name.to_owned());
    told.filter(|code| !code.starts_with("show.")).collect()
}

#[test]
fn loose_shelves_lie_on_their_pins() {
    let pin = "hardware pin5 pin {\n thick 5mm\n deep 10mm\n}";
    let shelves = |gap: &str, pins: &str| {
        let line = format!("shelves loose 1 of ply in inside {gap} {{\n {pins}\n }}");
        piece(&line, pin).replace("        shelf  board of ply at 300mm\n", "")
    };
    let four = "pins 4 of pin5 pitch 32mm set_back 50mm";
    assert_eq!(cautions(&shelves("gap 1mm", four)), [""; 0]);
    assert_eq!(cautions(&shelves("gap 9mm", four)), [""; 0]);
    gives(&shelves("gap 10mm", four), "value.range");
    gives(&shelves("gap 12mm on right", four), "value.range");
    gives(
        &shelves("gap 1mm", &four.replace("pins 4", "pins 5")),
        "value.range",
    );
    gives(
        &shelves("gap 1mm", &four.replace("32mm", "5mm")),
        "value.range",
    );
    assert_eq!(
        cautions(&shelves("gap 1mm", &four.replace("32mm", "20mm"))),
        [""; 0]
    );
    assert_eq!(cautions(&shelves("gap 1mm", "")), ["join.none"]);
}

#[test]
fn the_box_of_a_drawer_is_whole_and_its_air_stated_where_it_counts() {
    let goods = "stock ply6 sheet {\n thick 6mm\n sold long 2m wide 1m\n}
hardware run runner {\n mounts side\n long 250mm\n beside 13mm\n}";
    let drawer = |head: &str, lines: &str| {
        piece(
            &format!("drawer tray in inside {head} {{\n box of ply high 100mm\n {lines}\n }}"),
            goods,
        )
        .replace("        shelf  board of ply at 300mm\n", "")
    };
    let corners = "join front, back into left, right with rabbet deep 5mm\n";
    let bottom = "bottom of ply6 at 10mm\n";
    let held = "join bottom into left, right, front, back with groove deep 5mm\n";
    let run = "runner of run\n";
    let of = |parts: &[&str]| drawer("", &parts.concat());
    assert_eq!(cautions(&of(&[corners, bottom, held, run])), [""; 0]);
    for open in [
        of(&[bottom, held, run]),
        of(&[&corners.replace("front, back", "front"), bottom, held, run]),
        of(&[
            corners,
            bottom,
            &held.replace("left, right, front, back", "left, front"),
            run,
        ]),
        of(&[corners, run]),
    ] {
        assert_eq!(cautions(&open), ["join.drawer"], "{open}");
    }
    let held = &held.replace(", front, back", "");
    assert_eq!(cautions(&of(&[corners, bottom, held, run])), [""; 0]);
    let whole = [corners, bottom, held].concat();
    let runs = |head: &str, runner: &str| drawer(head, &format!("{whole}{runner}"));
    for (head, runner) in [
        ("gap 2mm", "runner of run"),
        ("gap 2mm", "runner wooden\n face of ply overlay"),
        ("gap 2mm on left", "runner wooden gap 1mm"),
        ("gap 2mm", "runner wooden gap 1mm"),
        ("gap 2mm on all", "runner wooden gap 1mm"),
        ("gap 2mm on bottom", "runner wooden gap 1mm"),
        ("", "runner of run gap 1mm"),
    ] {
        gives(&runs(head, runner), "name.word_not_here");
    }
    gives(&runs("gap 1mm", "runner"), "line.needs");
    for (head, runner) in [
        ("gap 2mm on top", "runner wooden gap 1mm"),
        ("gap 2mm", "runner wooden"),
        ("gap 2mm on left gap 1mm on right", ""),
    ] {
        assert_eq!(errors(&runs(head, runner)), [""; 0]);
    }
}

#[test]
fn one_mistake_gives_one_report() {
    let sides = "side   left, right of ply";
    let with = |line: &str, more: &str| {
        piece(line, "hardware pin5 pin {\n thick 5mm\n deep 10mm\n}").replace(sides, more)
    };
    gives(
        &with("", &format!("{sides} at 100mm")),
        "name.word_not_here",
    );
    let shelves =
        "shelves loose 1 of ply in inside {\n pins 4 of pin5 pitch 32mm set_back 50mm\n }";
    gives(
        &with(shelves, &format!("{sides} thick 20mm")),
        "stock.thick_stated",
    );
    let kick = with("kick toe of ply set_back 50mm", sides);
    let kick = kick.replace(
        "bottom floor of ply",
        "bottom floor of ply thick 20mm at 60mm",
    );
    gives(&kick, "stock.thick_stated");
    let bands = with("band board, floor, lid on front of ash thick 5mm", sides);
    gives(
        &bands.replace("rough 27mm", "rough 5mm"),
        "stock.part_thick",
    );
    let short = bands.replace("rough 27mm", "rough 27mm\n long from 0m to 0m");
    gives(&short, "stock.part_long");
    let commission = "commission all \"All\" {\n make rack\n}";
    gives(&piece("", commission), "line.needs");
    let whole = piece("", "");
    let cut = |end: &str| whole.get(..whole.find(end).expect("it is there") + end.len());
    for end in [
        "lid into left, right wi",
        "join   floor, lid in",
        "bottom floor of ply\n        to",
    ] {
        gives(cut(end).expect("whole characters"), "syntax.brace_missing");
    }
}

#[test]
fn a_part_lies_by_every_word_of_its_line() {
    for (line, code) in [
        ("shelf s of ply at 100mm set_in 5mm", "name.word_not_here"),
        (
            "shelf s of ply at 100mm deep from left.front set_back 5mm",
            "name.word_not_here",
        ),
        ("shelf s of ply at 100mm at 50mm from top", "line.doubled"),
        (
            "shelf s of ply at 100mm proud 5mm on top",
            "name.unknown_edge",
        ),
        ("shelf s of ply at 100mm over left", "name.word_not_here"),
        ("shelf s of ply at 100mm over s", "name.word_not_here"),
        ("shelf s of ply at 100mm over nothing", "name.unknown"),
        ("bottom b of ply at 50mm set_in 5mm", "name.word_not_here"),
        ("bottom b of ply at 3m", "value.range"),
        ("top t of ply at -300mm", "value.range"),
        ("back b of ply set_back 5mm", "name.word_not_here"),
        ("back b of ply at 50mm set_in 5mm", "name.word_not_here"),
        ("back b of ply over b", "name.word_not_here"),
        (
            "kick k of ply high 80mm at 50mm set_back 5mm",
            "name.word_not_here",
        ),
        ("divider d of ply at 100mm set_in 5mm", "name.word_not_here"),
        (
            "divide inside downward {\n opening a\n shelf s of ply at 50mm\n opening b\n }",
            "name.word_not_here",
        ),
    ] {
        assert_eq!(errors(&empty(line)), [code], "{line}");
    }
    for line in [
        "shelf s of ply at 100mm set_back 5mm",
        "shelf s of ply at 100mm deep 200mm set_in 5mm",
        "shelf s of ply at 100mm deep 200mm set_back 5mm",
        "back b of ply set_in 5mm",
        "back b of ply over left, right high 400mm",
    ] {
        let found = errors(&empty(line));
        assert!(
            !found.iter().any(|code| code == "name.word_not_here"),
            "{line}: {found:?}"
        );
    }
    let bare = piece("", "");
    let (head, rest) = bare.split_once("        side").expect("a case");
    let (_, tail) = rest.split_once("rabbet deep 6mm").expect("its joint");
    gives(&format!("{head}{tail}"), "line.needs");
}

#[test]
fn goods_and_shop_take_what_they_use_once() {
    for (goods, code) in [
        (
            "hardware odd hinge {\n mounts cup\n bore 35mm\n long 50mm\n}",
            "name.word_not_here",
        ),
        (
            "hardware odd hinge {\n mounts butt\n long 50mm\n wide 20mm\n thick 1mm\n covers from 1mm to 2mm\n}",
            "name.word_not_here",
        ),
        (
            "hardware odd runner {\n mounts cup\n long 400mm\n}",
            "name.unknown_choice",
        ),
        (
            "hardware odd pull {\n bore 4mm deep 9mm\n}",
            "name.word_not_here",
        ),
        (
            "stock odd board {\n rough 27mm\n price 9EUR per bogus\n}",
            "name.unknown_choice",
        ),
        ("shop {\n hours from 7.5h to 16h\n}", "value.range"),
        (
            "shop {\n cutter odd groove from 9mm to 3mm\n}",
            "value.range",
        ),
        (
            "shop {\n cutter odd groove thick 4mm from 3mm to 9mm\n}",
            "line.doubled",
        ),
        (
            "shop {\n relief groove 0.5mm\n relief groove 1mm\n}",
            "line.doubled",
        ),
        (
            "shop {\n clamp bar 2 long 1m\n clamp bar 3 long 1m\n}",
            "line.doubled",
        ),
        ("let odd = nope", "name.unknown"),
        ("let odd = 1mm / 0", "value.divide_zero"),
    ] {
        gives(&piece("", goods), code);
    }
    gives(&piece("let odd = nope", ""), "name.unknown");
    let two = "shop {\n relief groove 0.5mm\n relief mortise 1mm\n rough sheets long 3mm\n rough boards long 9mm\n}";
    assert_eq!(errors(&piece("", two)), [""; 0]);
}

#[test]
fn a_commission_makes_pieces_each_parameter_once_and_the_rest_is_read_too() {
    let with = |make: &str, more: &str| {
        piece("", "").replace(
            "piece rack \"Rack\" {",
            &format!("commission all \"All\" {{\n make {make}\n}}\n{more}\npiece rack \"Rack\" {{\n param width = 600mm"),
        )
    };
    assert_eq!(errors(&with("2 of rack(width: 700mm)", "")), [""; 0]);
    gives(
        &with("2 of rack(width: 700mm, width: 800mm)", ""),
        "line.doubled",
    );
    gives(&with("2 of rack[2]", ""), "type.mismatch");
    gives(
        &with(
            "2 of rack",
            "piece other \"Other\" {\n case c {\n side left of nothing\n size wide 1m high 1m deep 1m\n }\n}",
        ),
        "name.unknown",
    );
}

#[test]
fn what_is_fitted_or_set_in_lies_where_it_belongs() {
    let door = |fitting: &str| {
        piece(
            &format!("door d in inside of ply overlay {{\n hinge 2 of cup\n {fitting}\n }}"),
            "",
        )
    };
    gives(&door("pull 1 of knob at 5m from top"), "value.range");
    gives(&door("pull 1 of knob at -10mm from left"), "value.range");
    assert_eq!(errors(&door("pull 1 of knob at 100mm from top")), [""; 0]);
    gives(&door("").replace("hinge 2", "hinge 50"), "value.range");
    gives(&piece("shelf more of ply at 3000mm", ""), "value.range");
    gives(&piece("shelf more of ply at -300mm", ""), "value.range");
    let pin = "hardware pin5 pin {\n thick 5mm\n deep 10mm\n}";
    let loose = |gap: &str| {
        piece(
            &format!("shelves loose 1 of ply in inside gap 1mm {gap} {{\n pins 4 of pin5 pitch 32mm set_back 50mm\n }}"),
            pin,
        )
        .replace("        shelf  board of ply at 300mm\n", "")
    };
    gives(&loose("gap 3mm on top"), "name.unknown_edge");
    assert_eq!(errors(&loose("gap 3mm on left")), [""; 0]);
    gives(
        &piece("", "hardware odd runner {\n mounts side\n long 400mm\n}"),
        "line.needs",
    );
}

#[test]
fn a_door_closes_what_is_divided_or_holds_a_drawer() {
    let drawer = |set_back: &str| {
        let lines = format!(
            "door d in inside of ply inset gap 2mm {{\n hinge 2 of cup\n }}
        drawer tray in inside {set_back} {{
            box    of ply high 100mm
            bottom of ply at 10mm
            join   front, back into left, right with rabbet deep 5mm
            join   bottom into left, right, front, back with groove deep 5mm
            runner wooden gap 1mm
        }}"
        );
        piece(&lines, "").replace("        shelf  board of ply at 300mm\n", "")
    };
    gives(&drawer(""), "fit.front_blocked");
    // The door is 18 thick.
    gives(&drawer("set_back 17mm"), "fit.front_blocked");
    assert_eq!(errors(&drawer("set_back 18mm")), [""; 0]);
    let divided = "divide inside downward {\n opening a high 200mm\n shelf s of ply set_back 20mm\n opening b\n }
        join s into left, right with dado deep 5mm
        door d in inside of ply inset gap 2mm {\n hinge 2 of cup\n }";
    let divided = piece(divided, "").replace("        shelf  board of ply at 300mm\n", "");
    assert_eq!(errors(&divided), [""; 0]);
    gives(
        &divided.replace("set_back 20mm", "set_back 10mm"),
        "fit.front_blocked",
    );
    let twice = "door d in inside of ply inset gap 2mm {\n hinge 2 of cup\n }
        door e in inside of ply inset gap 2mm {\n hinge 2 of cup\n }";
    gives(&piece(twice, ""), "place.filled");
}

#[test]
fn a_cut_says_where_it_is_and_how_large() {
    for (line, code) in [
        (
            "cut board wide 100mm deep 50mm at 0mm from rear",
            "line.needs",
        ),
        (
            "cut board wide 100mm at 20mm from left at 0mm from rear",
            "line.needs",
        ),
        ("cut board wide 100mm deep 50mm", "line.needs"),
        (
            "cut board wide 100mm deep 50mm at 20mm at 0mm from rear",
            "line.needs",
        ),
        (
            "cut board deep 50mm wide 0mm at 20mm from left at 0mm from rear",
            "value.range",
        ),
        // Two places on one axis.
        (
            "cut board wide 10mm deep 50mm at 20mm from left at 90mm from right at 0mm from rear",
            "sum.off",
        ),
        (
            "cut board wide 10mm deep 50mm at 20mm from left at 90mm from left at 0mm from rear",
            "line.doubled",
        ),
        // Through the thickness.
        (
            "cut board wide 100mm deep 50mm at 20mm from left at 0mm from rear at 0mm from top",
            "place.thickness",
        ),
        (
            "cut board wide 100mm deep 50mm high 18mm at 20mm from left at 0mm from rear",
            "value.range",
        ),
        (
            "cut board wide 100mm deep 50mm high 5mm at 20mm from left at 0mm from rear at 3mm from top",
            "value.range",
        ),
        // Of the left part alone: what is not there, and what is no face.
        (
            "cut shelf9 wide 100mm deep 50mm at 20mm from left at 0mm from rear",
            "name.unknown",
        ),
        (
            "cut board wide 100mm deep 50mm at 20mm from left.thick at 0mm from rear",
            "type.mismatch",
        ),
        (
            "cut board wide 100mm deep 50mm at 20mm from 5mm at 0mm from rear",
            "type.mismatch",
        ),
        (
            "cut board wide 600mm deep 50mm at 20mm from left at 0mm from rear",
            "cut.outside",
        ),
    ] {
        gives(&piece(line, ""), code);
    }
    for line in [
        "cut board wide 100mm deep 50mm at 20mm from left at 0mm from rear",
        "cut board wide 100mm deep 50mm high 5mm at 20mm from left.right at 0mm from rear at 0mm from bottom",
        "cut board wide 100mm deep 50mm at 20mm from body.left at 10mm from inside.rear",
    ] {
        assert_eq!(errors(&piece(line, "")), [""; 0], "{line}");
    }
}

#[test]
fn rows_are_named_whole_and_where_they_fit() {
    let pins = "hardware peg pin {\n    thick 5mm deep 8mm\n}\n";
    let rows = "rows line32 of peg into left, right pitch 32mm set_back 37mm from 352mm to 640mm";
    let shelves = |pins: &str| format!("{rows}\n shelves s 1 of ply in inside {{ {pins} }}");
    for (line, code) in [
        (
            "rows of peg into left pitch 32mm set_back 37mm from 52mm to 84mm",
            "line.no_subject",
        ),
        (
            "rows r of peg into left pitch 32mm set_back 37mm from 52mm",
            "line.needs",
        ),
        (
            "rows r of cup into left pitch 32mm set_back 37mm from 52mm to 84mm",
            "type.mismatch",
        ),
        (
            "rows r of peg into board pitch 32mm set_back 37mm from 52mm to 84mm",
            "place.axis",
        ),
        (
            "rows r of peg into left pitch 32mm set_back 37mm from 52mm to 90mm",
            "sum.pitch",
        ),
        (
            "rows r of peg into left pitch 32mm set_back 37mm from 84mm to 52mm",
            "value.range",
        ),
        (
            "rows r of peg into left pitch 5mm set_back 37mm from 52mm to 62mm",
            "value.range",
        ),
        (
            "rows r of peg into left pitch 32mm set_back 148mm from 52mm to 84mm",
            "value.range",
        ),
    ] {
        gives(&piece(line, pins), code);
    }
    for (line, code) in [
        ("pins 4 in line23", "name.unknown"),
        ("pins 4 in line32 pitch 32mm", "name.word_not_here"),
        ("pins 4 of peg in line32", "name.word_not_here"),
        ("pins 4", "line.needs"),
        ("pins 2 in line32", "value.range"),
    ] {
        gives(&piece(&shelves(line), pins), code);
    }
    assert_eq!(errors(&piece(&shelves("pins 4 in line32"), pins)), [""; 0]);
}

/// Boards that all come in one width and length state one figure of each: they are sold in that size alone.
#[test]
fn boards_of_one_size_state_one_figure() {
    let text = "stock pine board {\n rough 25mm\n wide 150mm\n long 3m\n}
piece rack \"Rack\" {
    case body {
        size wide 600mm high 700mm deep 140mm
        side left, right of pine thick 20mm
        shelf low of pine thick 20mm at 200mm
        join low into left, right with dado deep 6mm
    }
}";
    let files = Texts::of(&[("a.case", text)]);
    let compiled = casewright::compile(&files, "a.case", &Default::default()).unwrap();
    let model = compiled.model.expect("no errors");
    let StockKind::Board {
        sizes, wide, long, ..
    } = &model.stocks[0].kind
    else {
        panic!("a board")
    };
    let sold: Vec<_> = sizes.iter().map(|size| (size.long, size.wide)).collect();
    assert_eq!(sold, [(Length::mm(3000), Length::mm(150))]);
    assert_eq!((*wide, *long), (None, None));
}
