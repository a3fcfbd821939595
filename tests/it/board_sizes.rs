//! Boards that are sold in a few sizes, each at its price: read, changed by what is like them, and told in
//! the book and by `layout`.

use crate::cli::Folder;
use crate::support::Texts;
use casewright::model::{Model, StockKind};

/// A shelf for scores, of laminated pine from the yard.
const SHELF: &str = "\
/// Laminated pine
stock pine18 board {
    rough 18mm
    sold  long 2000mm wide 200mm price 14.20EUR
    sold  long 2000mm wide 300mm price 22.00EUR
    sold  long 2400mm wide 400mm price 35.00EUR
}
shop {
    rough boards long 10mm wide 5mm thick 0mm
    waste 30%
}
piece shelf \"Score shelf\" {
    case body {
        size   wide 900mm high 1400mm deep 290mm
        side   left, right of pine18 thick 18mm
        top    lid   of pine18 thick 18mm over left, right
        bottom floor of pine18 thick 18mm at 60mm
        repeat i from 1 to 3 {
            shelf deck of pine18 thick 18mm at 60mm + 330mm * i
        }
        join floor into left, right with dado deep 6mm stopped 10mm on front
        join deck  into left, right with dado deep 6mm stopped 10mm on front
        join lid   to   left, right with butt
    }
}
";

fn compile(text: &str) -> (Option<Model>, Vec<String>) {
    let files = Texts::of(&[("a.case", text)]);
    let out = casewright::compile(&files, "a.case", &Default::default()).unwrap();
    let errors = out.diagnostics.iter().filter(|d| d.is_error());
    let titles: Vec<String> = errors.map(|d| d.title.clone()).collect();
    (out.model.filter(|_| titles.is_empty()), titles)
}

/// The sizes of the stock of a name, with the price of one in cents.
fn sizes(model: &Model, name: &str) -> Vec<(i64, i64, Option<i64>)> {
    let stock = model.stocks.iter().find(|stock| stock.name == name);
    let StockKind::Board {
        sizes, wide, long, ..
    } = &stock.expect("it is there").kind
    else {
        panic!("a board")
    };
    assert!(sizes.is_empty() || (wide.is_none() && long.is_none()));
    let whole = |value: f64| value.round() as i64;
    let size = |size: &casewright::model::SoldSize| {
        let price = size.price.as_ref();
        (
            whole(size.long.to_f64_mm()),
            whole(size.wide.to_f64_mm()),
            price.map(|price| whole(price.amount.to_f64() * 100.0)),
        )
    };
    sizes.iter().map(size).collect()
}

/// For breakdown 10 is added to a length and 5 to a width: sides of 1382 x 290 are 1392 x 295 (the lid, 18
/// lies on them), the lid 910 x 295, floor and decks 876 + 10 = 886 x 295, four of them.
/// A board of 300 holds one side or two of the others; one of 400 a side and one of the others, 1392 + 886 +
/// 3.2 = 2281.2 of 2400. Two sides and five others: 400 and 300 for the sides, and one other, then two of
/// 300 for four others: 35 + 3 x 22 = 101. (All of 300: 2 + 3 boards, 110. Two of 400: 70 + 2 x 22 = 114.)
///
/// Net 2 x 1392 x 295 + 910 x 295 + 4 x 886 x 295 = 2,135,210 mm2, / 0.7 = 3,050,300; laid out 3 x 600,000 +
/// 960,000 = 2,760,000. Of those that hold a side, one of 300 makes up for the 290,300 most cheaply: 22 more.
#[test]
fn a_book_tells_which_boards_to_buy() {
    let folder = Folder::of(&[("shelf.case", SHELF)]);
    let ran = folder.run(&["book", "shelf.case", "--as", "md", "-o", "book.md"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let text = std::fs::read_to_string(folder.path("book.md")).unwrap();
    let (_, from) = text.split_once("## 4 ").expect("what to buy");
    let (chapters, _) = from.split_once("## 6 ").expect("the cut list");
    let laid = folder.run(&["layout", "shelf.case"]).out;
    assert!(laid.contains("101.00 EUR, proven the least"), "{laid}");
    insta::with_settings!({ snapshot_path => "../snapshots", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("board-sizes", format!("## 4 {chapters}\n{laid}"));
    });
    let json = folder
        .run(&["layout", "shelf.case", "--format", "json"])
        .out;
    let json: serde_json::Value = serde_json::from_str(&json).expect("it is JSON");
    let sold = json[0]["sold"].as_array().expect("sizes are listed");
    let told: Vec<_> = sold
        .iter()
        .map(|size| {
            (
                size["wide"]["mm"].as_f64(),
                size["price"].as_f64(),
                size["laid"].as_u64(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            (Some(200.0), Some(14.2), Some(0)),
            (Some(300.0), Some(22.0), Some(3)),
            (Some(400.0), Some(35.0), Some(1)),
        ]
    );
}

/// Sizes of its own take the place of what the stock that it is like promises, and change its sizes line by
/// line; one of another thickness has prices of its own.
#[test]
fn what_is_like_a_stock_has_sizes_of_its_own() {
    let stocks = "
stock ash board {
    rough 27mm
    wide  from 120mm to 240mm
    long  from 2m to 3m
    price 2000EUR per m3
}
stock ash_planed board like ash {
    rough 20mm
    sold  long 2m wide 145mm price 11EUR per m
    sold  long 3m wide 145mm price 12EUR per m
}
stock pine27 board like pine18 {
    rough 27mm
    sold  long 2000mm wide 200mm price 19EUR
}
";
    let used = "
    case other {
        size   wide 900mm high 400mm deep 120mm
        place  right of body
        side   left, right of ash_planed thick 18mm
        bottom floor of pine27 thick 18mm at 50mm
        join   floor into left, right with dado deep 6mm
    }
}
";
    let body = SHELF.strip_suffix("}\n").expect("the piece ends");
    let (model, said) = compile(&format!("{stocks}{body}{used}"));
    let model = model.unwrap_or_else(|| panic!("it is sound: {said:?}"));
    // A metre for 11.00: a thousandth of it a millimetre, a cent.
    let ash = sizes(&model, "ash_planed");
    assert_eq!(ash, [(2000, 145, Some(1)), (3000, 145, Some(1))]);
    let pine = sizes(&model, "pine27");
    assert_eq!(
        pine,
        [
            (2000, 200, Some(1900)),
            (2000, 300, Some(2200)),
            (2400, 400, Some(3500))
        ]
    );
    // A range does not take the place of sizes: both would hold.
    let range = stocks.replace(
        "    sold  long 2000mm wide 200mm price 19EUR\n",
        "    wide 200mm\n",
    );
    let (_, said) = compile(&format!("{range}{body}{used}"));
    assert_eq!(said, ["`wide` of a stock that lists what is sold"]);
}

/// A price of one board is that of one thickness; a volume costs the same in each.
#[test]
fn a_price_of_one_board_is_of_one_thickness() {
    let (_, rest) = SHELF.split_once("}\nshop").expect("a shop");
    let with = |lines: &str| compile(&format!("stock pine18 board {{\n{lines}\n}}\nshop{rest}"));
    let one_size = "long 2400mm\nwide 400mm";
    let slip = ["one price of a board of several thicknesses"];
    for price in ["35EUR", "35EUR per board"] {
        let (_, said) = with(&format!("rough 18mm, 27mm\n{one_size}\nprice {price}"));
        assert_eq!(said, slip);
        let (_, said) = with(&format!(
            "rough 18mm, 27mm\nlong 2400mm\nwide from 300mm to 400mm\nprice {price}"
        ));
        assert_eq!(said, slip);
        let (model, said) = with(&format!("rough 18mm\n{one_size}\nprice {price}"));
        let model = model.unwrap_or_else(|| panic!("it is sound: {said:?}"));
        assert_eq!(sizes(&model, "pine18"), [(2400, 400, Some(3500))]);
    }
    let (model, said) = with(&format!(
        "rough 18mm, 27mm\n{one_size}\nprice 900EUR per m3"
    ));
    assert!(model.is_some(), "{said:?}");
}

/// Sizes are told apart in what is bought. Without the one of 400 there are five boards of 300 laid out,
/// 3,000,000 mm2 where 3,050,300 are needed, so six to buy for 132.00.
#[test]
fn a_change_of_sizes_is_a_change_of_purchases() {
    let folder = Folder::of(&[
        ("old.case", SHELF),
        (
            "new.case",
            &SHELF.replace("    sold  long 2400mm wide 400mm price 35.00EUR\n", ""),
        ),
    ]);
    let ran = folder.run(&["diff", "old.case", "new.case"]);
    let told: Vec<&str> = ran.out.lines().map(str::trim).collect();
    for line in [
        "~  Laminated pine 2000 × 300 × 18             4  →       6      +2",
        "-  Laminated pine 2400 × 400 × 18             1",
        "~  cost  123.00  →  132.00  +9.00  EUR",
    ] {
        assert!(told.contains(&line), "{line}: {}", ran.out);
    }
}
