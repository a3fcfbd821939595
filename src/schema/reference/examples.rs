//! The examples of the reference, and what each of them shows.
//!
//! Every head and kind has one in its row. [`MORE`] adds what those leave out, so that no word of
//! the language is without an example. A test puts each of them into a whole project and compiles it.

use super::topics::TOPICS;
use crate::schema::table;
use crate::schema::{Clause, Context, Entry, Form, Use, read};
use crate::source::{Source, Sources};
use crate::syntax::parse;

/// Lines as a maker writes them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Example {
    /// Where they stand.
    pub context: Context,
    /// The lines.
    pub text: &'static str,
}

/// What one example shows: a word as one head, kind or other word takes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// The head, the kind or the word before it.
    pub of: &'static str,
    /// The word.
    pub word: &'static str,
    /// The row of the table that takes it there.
    pub row: &'static Use,
}

/// Every example, in the order of the table; those beyond the rows' own come last.
pub fn examples() -> Vec<Example> {
    let mut all = Vec::new();
    let mut add = |context: Context, text: &'static str| {
        let example = Example { context, text };
        if !text.is_empty() && !all.contains(&example) {
            all.push(example);
        }
    };
    for head in table::heads().filter(|head| !head.later) {
        if let Some(context) = head.places.first() {
            add(*context, head.example);
        }
        for kind in head.kinds.iter().filter(|kind| !kind.later) {
            add(Context::File, kind.example);
        }
    }
    for kind in table::joints().iter().filter(|kind| !kind.later) {
        add(Context::Case, kind.example);
    }
    for example in MORE.iter().chain(TOPICS.iter().map(|topic| &topic.example)) {
        add(example.context, example.text);
    }
    all
}

/// The forms of an example: none where it does not read, which a test refuses.
fn forms(example: Example) -> Vec<Form> {
    let mut sources = Sources::default();
    let file = sources.add(Source::new("example.case", example.text));
    let (tree, _) = parse(&sources, file);
    let (entries, _) = read(&tree.nodes, example.context);
    let mut out = Vec::new();
    flat(entries, &mut out);
    out
}

/// Each form and those within it.
fn flat(entries: Vec<Entry>, out: &mut Vec<Form>) {
    for entry in entries {
        match entry {
            Entry::Form(mut form) => {
                let within = std::mem::take(&mut form.lines);
                out.push(form);
                flat(within, out);
            }
            Entry::If(branch) => {
                flat(branch.then.lines, out);
                flat(branch.otherwise.lines, out);
            }
        }
    }
}

/// What an example shows, each once.
pub fn shown(example: Example) -> Vec<Shown> {
    let mut all: Vec<Shown> = Vec::new();
    for form in forms(example) {
        let head = form.patterned.unwrap_or(form.head);
        for clause in &form.clauses {
            let kind = form
                .kind
                .and_then(|kind| Some((kind.word, kind.takes(clause.word)?)));
            let of = head.takes(clause.word).map(|row| (head.word, row)).or(kind);
            if let Some((of, row)) = of {
                add(&mut all, of, row);
            }
            tails(clause, &mut all);
        }
    }
    all
}

/// The words after a clause: of `with`, the options of the joint.
fn tails(clause: &Clause, all: &mut Vec<Shown>) {
    let joint = (clause.word == "with").then(|| table::joint(clause.value()?.as_name()?));
    let word = table::word(clause.word);
    for tail in &clause.tails {
        let row = match joint.flatten() {
            Some(kind) => kind.takes(tail.word).map(|row| (kind.word, row)),
            None => word.and_then(|word| {
                let row = word.tails.iter().find(|row| row.word == tail.word)?;
                Some((word.word, row))
            }),
        };
        if let Some((of, row)) = row {
            add(all, of, row);
        }
        tails(tail, all);
    }
}

fn add(all: &mut Vec<Shown>, of: &'static str, row: &'static Use) {
    let shown = Shown {
        of,
        word: row.word,
        row,
    };
    if !all.contains(&shown) {
        all.push(shown);
    }
}

/// The first example that shows a word.
pub fn example_of(word: &str) -> Option<Example> {
    examples()
        .into_iter()
        .find(|example| shown(*example).iter().any(|shown| shown.word == word))
}

/// The examples of a head beyond the one in its row.
pub fn more_of(head: &str, places: &[Context]) -> impl Iterator<Item = Example> {
    let starts = format!("{head} ");
    let places = places.to_vec();
    MORE.iter().copied().filter(move |example| {
        example.text.starts_with(&starts) && places.contains(&example.context)
    })
}

const fn more(context: Context, text: &'static str) -> Example {
    Example { context, text }
}

/// Words that the rows' own examples leave out.
pub static MORE: &[Example] = &[
    more(
        Context::Case,
        "case nest in cupboard gap 2mm on left, right, top set_back 20mm {\n    side left, right of oak18\n    bottom floor of oak18\n    top lid of oak18\n    join floor, lid to left, right with butt\n    band left, right, floor, lid on front of oak thick 1mm\n}",
    ),
    more(Context::Case, "place on base centred inward 10mm"),
    more(
        Context::Run,
        "filler scribe of oak thick 20mm grain up share 2",
    ),
    more(Context::Run, "filler scribe of white18 wide 50mm"),
    more(
        Context::Piece,
        "kick plinth of white18 under north high 90mm",
    ),
    more(
        Context::Case,
        "shelf ledge of oak thick 18mm grain across at 560mm",
    ),
    more(Context::Case, "shelf upper like lower at 400mm"),
    more(Context::Case, "back rear of oak6 set_in 12mm"),
    more(
        Context::Case,
        "shelf ledge of oak18 at 560mm deep from 100mm to rear.front",
    ),
    more(
        Context::File,
        "stock pine18 board {\n    rough 18mm\n    sold long 2000mm wide 200mm price 14.2EUR\n    sold long 2000mm wide 300mm price 22EUR\n    sold long 2400mm wide 400mm price 35EUR\n}",
    ),
    more(
        Context::File,
        "stock fir18 sheet {\n    thick 18mm\n    sold long 2440mm wide 1220mm\n    grain long\n    good one\n}",
    ),
    more(
        Context::Case,
        "divider post of oak18 at 400mm high between floor, deck",
    ),
    more(
        Context::Case,
        "rail stretcher of oak18 upright high 60mm at 0mm from top",
    ),
    more(
        Context::Divide,
        "openings locker 2 high 234.8mm {\n    shelf ledge of oak18\n}",
    ),
    more(
        Context::Case,
        "divide cupboard rightward {\n    opening scores wide 300mm\n    divider post of oak18\n    opening parts\n}",
    ),
    more(
        Context::Case,
        "divide cupboard inward {\n    opening near deep 200mm\n    divider screen of oak18\n    opening far\n}",
    ),
    more(
        Context::Divide,
        "openings pile 3 by faces {\n    rail ledge of oak18 deep 80mm\n}",
    ),
    more(Context::Case, "band floor, deck on front like lipping"),
    more(
        Context::Case,
        "band lid on front, left, right of oak thick 8mm mitred",
    ),
    more(
        Context::Case,
        "band deck on front of oak thick 8mm wide 30mm flush top",
    ),
    more(
        Context::Case,
        "band left, right on front of oak thick 1mm early",
    ),
    more(
        Context::Case,
        "rows line32 of pin5 into left, right pitch 32mm set_back 37mm from 128mm to 544mm front",
    ),
    more(
        Context::Case,
        "cut rear wide 60mm high 40mm at 200mm from left at 300mm from bottom",
    ),
    more(
        Context::Case,
        "door gate in cupboard of oak thick 20mm grain up inset set_back 2mm gap 2mm hung left {\n    hinge 2 of butt50\n}",
    ),
    more(
        Context::Case,
        "door gate in cupboard of oak18 overlay 14mm on left, right, bottom overlay 7mm on top stand_off 2mm hung left {\n    band on all of oak thick 6mm\n    hinge 2 of cup_hinge\n}",
    ),
    more(
        Context::Case,
        "flap desk in cupboard of oak thick 20mm grain up inset set_back 2mm gap 2mm {\n    hinge 3 of butt50\n    stay 2 of flap_stay\n}",
    ),
    more(
        Context::Case,
        "flap desk in well of oak18 overlay reveal 1.5mm stand_off 2mm gap 3mm hung top {\n    band on all of oak thick 6mm\n    hinge 2 of cup_hinge\n    stay 1 of lid_stay\n}\nflap other like desk in cupboard",
    ),
    more(
        Context::Case,
        "panel blind in well of oak thick 20mm grain up set_back 5mm\npanel other like blind in cupboard",
    ),
    more(
        Context::Case,
        "panel shade of oak18 faces front at 100mm wide 300mm from left.right high 200mm to deck.bottom",
    ),
    more(
        Context::Face,
        "frame of oak18 wide 40mm\nfield of oak thick 5mm\njoin rails into stiles with mortise thick 6mm deep 20mm\njoin field into stiles, rails with groove deep 6mm",
    ),
    more(Context::Thing, "profile on front of ogee10 faces bottom"),
    more(
        Context::Case,
        "moulding cornice of oak thick 20mm high 40mm on front at 720mm returned",
    ),
    more(Context::Case, "turned fl, fr from 150mm to 600mm"),
    more(Context::Case, "rounded rl, rr from 150mm to 700mm"),
    more(Context::Shop, "cutter ogee10 profile wide 10mm high 12mm"),
    more(
        Context::Case,
        "door right_gate like left_gate in parts hung right",
    ),
    more(
        Context::Case,
        "drawer tray in well gap 1.5mm on top set_back 2mm {\n    box of birch12 high 100mm wide 861.8mm deep 400mm\n    bottom of birch6 at 10mm over back\n    join left, right into front, back with dovetail through tails 3\n    join bottom into left, right, front with groove deep 5mm\n    join bottom to back with nails 3 of brad20\n    runner wooden gap 1.5mm\n}",
    ),
    more(Context::Case, "drawer other like tray in cupboard"),
    more(Context::Case, "shelves upper like loose in well"),
    more(
        Context::Case,
        "shelves boards 2 of oak in cupboard thick 20mm grain across set_back 30mm gap 1mm {\n    pins 4 in line32\n}",
    ),
    more(
        Context::Leaf,
        "hinge 2 of cup_hinge at 90mm from top in line32",
    ),
    more(Context::Drawer, "box of oak thick 12mm high 100mm"),
    more(
        Context::Drawer,
        "face of oak thick 20mm grain across inset set_back 2mm gap 2mm",
    ),
    more(
        Context::File,
        "stock oak18_thin sheet like oak18 {\n    measured 17.2mm\n}",
    ),
    more(
        Context::File,
        "stock ash18 sheet {\n    thick 18mm\n    core mdf\n    species white_ash\n    density 720kg per m3\n}",
    ),
    more(
        Context::File,
        "stock ash board {\n    species white_ash\n    rough 27mm\n    density 680kg per m3\n}",
    ),
    more(
        Context::File,
        "stock ash_tape edging {\n    thick 1mm wide 23mm long 50m\n    species white_ash\n    density 680kg per m3\n}",
    ),
    more(
        Context::File,
        "hardware runner450 runner like runner400 {\n    long 450mm\n    rear 3mm\n}",
    ),
    more(
        Context::File,
        "hardware runner_under400 runner {\n    mounts under\n    long 400mm\n    inside 42mm side_max 16mm recess 13mm\n    above 6mm\n    below 8mm\n}",
    ),
    more(
        Context::File,
        "hardware cup_hinge hinge {\n    bore 35mm deep 13mm set_in 4mm\n    covers from 14mm to 18mm\n    stand_off 2mm\n    set_back 37mm\n}",
    ),
    more(
        Context::File,
        "hardware butt50 hinge {\n    mounts butt\n    long 50mm wide 14mm thick 2mm\n}",
    ),
    more(
        Context::File,
        "hardware handle96 pull {\n    bore 4.5mm pitch 96mm\n}",
    ),
    more(
        Context::File,
        "species bog_oak like white_oak {\n    density 790kg per m3 source \"weighed in the shop\"\n}",
    ),
    more(
        Context::File,
        "core light_mdf like mdf {\n    density 600kg per m3 source \"the maker's sheet\"\n}",
    ),
    more(
        Context::File,
        "glue warm_pva like pva {\n    open 6min\n    price 9EUR per L\n}",
    ),
    more(
        Context::File,
        "finish clear_two like clear_hard {\n    coat varnish 3 dry 8h\n}",
    ),
    more(Context::Shop, "cutter slot4 groove thick 4mm deep 12mm"),
    more(
        Context::Finish,
        "coat varnish 2 dry 8h price 24EUR per 750ml",
    ),
    more(
        Context::Case,
        "join deck into left, right with dado deep 5mm run_out fit 0.2mm",
    ),
    more(
        Context::Case,
        "join deck into left, right with tongue thick 6mm deep 5mm flush top",
    ),
    more(
        Context::Case,
        "join floor to left, right with biscuits 3 of biscuit20 from_ends 50mm",
    ),
    more(
        Context::Piece,
        "stand bench like table {\n    size wide 700mm\n    place right of table\n}",
    ),
    more(
        Context::Case,
        "leg fl, fr of oak thick 45mm set_in 10mm\nleg rl, rr like fl",
    ),
    more(
        Context::Case,
        "apron left of oak thick 22mm high 112mm set_in 4mm\napron right, rear like left",
    ),
    more(
        Context::Case,
        "moulding crown of oak thick 20mm high 40mm on front, left, right at 720mm",
    ),
    more(
        Context::Leaf,
        "frame left, right of oak thick 20mm wide 60mm\nframe top, bottom of oak thick 20mm wide 60mm over left, right\nfield of oak6\njoin left, right into top, bottom with mortise thick 6mm deep 40mm\njoin field into stiles, rails with groove deep 10mm gap 1mm",
    ),
    more(
        Context::Leaf,
        "field of oak thick 12mm\njoin field into stiles, rails with tongue thick 6mm deep 10mm gap 3mm",
    ),
    more(
        Context::Case,
        "join ledge into left, right with dovetail sliding deep 8mm stopped 20mm on front",
    ),
    more(
        Context::Case,
        "join ledge into left, right with dovetail sliding deep 8mm tapered 2mm on front",
    ),
    more(
        Context::Case,
        "join floor to left, right with biscuits 2 of biscuit20 open_to rear",
    ),
    more(
        Context::Case,
        "join floor to left, right with loose_tenons 2 of tenon8 open_to rear",
    ),
    more(
        Context::Case,
        "join left, right to floor with screws 3 of screw40 slotted",
    ),
    more(
        Context::Case,
        "join left, right to lid with mitre splined of birch6 deep 5mm",
    ),
    more(
        Context::Case,
        "join left, right to lid with mitre keyed 3 of oak thick 3mm deep 12mm from_ends 40mm",
    ),
    more(
        Context::Case,
        "join board into cap with breadboard deep 35mm thick 6mm from_ends 70mm fit 0.2mm room 3mm",
    ),
    more(
        Context::Case,
        "join upper into fl, fr with dovetail dropped deep 15mm",
    ),
    more(
        Context::Case,
        "join lower into fl, fr with mortise twin deep 22mm",
    ),
    more(
        Context::Case,
        "join rear into rl, rr with mortise thick 8mm deep 22mm flush front",
    ),
    more(
        Context::Case,
        "join stretcher into left, right with mortise thick 8mm through wedged proud 3mm",
    ),
    more(Context::Drawer, "runner wooden of oak thick 20mm gap 1mm"),
    more(
        Context::Drawer,
        "bottom of oak thick 10mm at 10mm over back",
    ),
    more(
        Context::File,
        "abrasive coarse_disc like sanding_disc150 {\n    lasts 0.8m2\n    source \"worn out in the shop\"\n}",
    ),
];
