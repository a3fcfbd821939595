//! What the reference explains beyond single words: each topic short, with an example that is compiled.

use super::examples::Example;
use crate::schema::Context;

/// One topic.
#[derive(Debug)]
pub struct Topic {
    /// The words under which its page is found.
    pub words: &'static [&'static str],
    /// Its title.
    pub title: &'static str,
    /// What there is to know.
    pub text: &'static str,
    /// How it looks.
    pub example: Example,
}

/// Common practice, in the order in which a maker meets the question.
const JOINTS: &str = "Common practice, by what meets:

- A shelf or bottom in the side of a case: `dado`, which carries by itself; in a thin side `tongue` or `dado_rabbet`; `dovetail sliding` where the sides must not spread, and in solid sides that stay flat by it. `stopped` keeps the cut out of sight. Without a cut that shows: `dowels`, `loose_tenons` or `biscuits`.
- A top or bottom at the corner of a case: `rabbet` with the back hidden, `dovetail` or `finger` in solid wood that runs round, `mitre` where no end may show: end grain glues poorly, so `splined`, or `keyed` across the corner when it is dry.
- The box of a drawer: `dovetail half_blind` at the front and `through` at the back; quicker, and strong by its glue, `finger`.
- An apron or rail in a leg or post: `mortise`. It is `haunched` where the apron is level with the leg's end: the mortise stays closed above, and the apron can't twist. The rail above a drawer comes down from above with `dovetail dropped`, which ties the legs; the rail below it has two tenons, `mortise twin`. A tenon that is seen goes `through`, `wedged` or `proud`.
- Stretchers and bars that cross, or end on each other with level faces: `lap`; stronger, and in the frame of a heavy door or a stand, `bridle`.
- The end of a wide solid panel, as a table top: `breadboard`, a cap that keeps it flat and lets it move.
- A solid top on a stand: `buttons`, so that it can move; screws hold it and let it crack. Where nothing moves, or where the joint is taken apart, `screws` or `bolts`; from inside, out of sight, `pocket_screws`.

What enters stands before `into`; where neither does, it is `to`.";

/// Every topic, in the order of the overview.
pub static TOPICS: &[Topic] = &[
    Topic {
        words: &["if", "else", "then"],
        title: "What holds only sometimes",
        text: "`if CONDITION { … } else { … }` stands in every block; `else if` asks on, and one `else` ends it. Both blocks are read, the lines of one count, so both may declare the same name, in each turn of a `repeat` too. Of the other, stocks, hardware, patterns and codes must be known and quantities must measure the same, as in a pattern that nothing is like; sizes and places are not looked at. A clause of the thing around it may stand in a branch. A condition is a comparison, or a value that is `yes` or `no`; `and`, `or` and `not` join them. Within a value: `if CONDITION then A else B`.",
        example: Example {
            context: Context::Case,
            text: "let weight = 60\nif weight > 40 {\n    shelf ledge of oak18 at 300mm\n} else {\n    shelf ledge of birch12 at 300mm\n}\njoin ledge to left, right with butt\nexpect ledge.thick = if weight > 40 then 17.6mm else 12mm",
        },
    },
    Topic {
        words: &["repeat"],
        title: "What comes several times",
        text: "`repeat NAME from A to B { … }` writes its block out for each whole number of the range, which the name stands for. What is declared in it is an array with the number as its index; a repetition within a repetition gives two indices, the outer one first. Nothing is repeated where B is below A; a joint or band of what is made no times is none, and so is one of a name in a branch that does not hold. In a line of the same turn a part's name means the part of that turn. A count may be a value, in brackets: `openings cell (if r < 2 then 3 else 2)`.",
        example: Example {
            context: Context::Case,
            text: "divide cupboard downward {\n    openings row 2 {\n        shelf tier of birch12\n    }\n}\nrepeat r from 1 to 2 {\n    divide row[r] rightward {\n        openings cell (if r < 2 then 3 else 2) {\n            divider post of birch12\n        }\n    }\n}\njoin tier to left, right with butt\njoin post to tier, deck, floor with butt",
        },
    },
    Topic {
        words: &["arrays", "array"],
        title: "Arrays",
        text: "`openings bay 3` makes `bay[1]` to `bay[3]`, first in the direction of the division, and the part in its block stands between each two. A whole array stands wherever a name does: what is `in` an array of openings goes in each and takes its index, and a joint joins each to what it meets. A line for one element, `door flap[3] …`, changes that one. A comparison with an array holds if it holds for every element.",
        example: Example {
            context: Context::Case,
            text: "divide cupboard rightward {\n    openings bay 3 {\n        divider post of oak18\n    }\n}\njoin post to floor, deck with butt\ndoor flap in bay of oak18 inset gap 2mm hung left {\n    band on all of oak thick 6mm\n    hinge 2 of butt50\n}\ndoor flap[3] hung right\nrequire bay.wide >= 250mm \"a folder lies in each\"",
        },
    },
    Topic {
        words: &["reuse", "merging"],
        title: "Patterns, and what is like another",
        text: "`pattern HEAD NAME { param … lines }` declares without building, for any head; `HEAD NAME like SOURCE(PARAM: VALUE) { changes }` makes one. A parameter is a value, or a thing such as a stock: `param wood = oak18`, then `of wood`. The source may also be another thing of the same head beside it. Lines merge by name, or by head where they have none: a clause replaces the clause of the same word, a block is merged line by line, a line of another head replaces the whole line, and a `divide`, `run` or `assemble` is replaced whole. Each value names its parameter. `drop NAME` takes a line out, and the name out of joints, bands and stages.",
        example: Example {
            context: Context::File,
            text: "pattern case plain {\n    param width = 600mm from 300mm to 1200mm\n    param wood = oak18\n    size wide width high 400mm deep 300mm\n    side left, right of wood\n    bottom floor of wood at 50mm\n    top lid of wood\n    back rear of oak6\n    join floor, lid to left, right with butt\n    join rear to left, right, floor, lid with butt\n}\npiece hutch \"Hutch\" {\n    case low like plain(width: 900mm) {\n        size high 350mm\n        bottom floor at 80mm\n        drop rear\n    }\n    case slim like plain(wood: birch16) {\n        place right of low\n    }\n    expect low.high = 350mm\n    expect low.deep = 300mm\n    expect slim.left.thick = 16mm\n}",
        },
    },
    Topic {
        words: &["members", "member"],
        title: "Sizes and faces of things",
        text: "A name, a dot and a word is a length: `wide`, `high` and `deep` of a case, an opening, a part, a drawer, a run; `left`, `right`, `front`, `rear`, `bottom` and `top` are its faces, `thick` is what a part measures. `overall` is the whole piece. Within its case a thing is called by its name, elsewhere the case comes first: `desk.floor.top`, `north.scribe.wide`.",
        example: Example {
            context: Context::File,
            text: "piece counter \"Counter\" {\n    run north wide 1300mm up 100mm {\n        case desk like base_case {\n            drawer tray in inside {\n                box of birch12 high 100mm deep 400mm\n                bottom of birch6 at 10mm over back\n                join left, right into front, back with dovetail through tails 3\n                join bottom into left, right, front with groove deep 5mm\n                join bottom to back with nails 3 of brad20\n                runner of runner400\n            }\n        }\n        case store like base_case\n        filler scribe of white18\n    }\n    bolt north with bolts 4 of case_bolt\n    expect overall.high = 720mm\n    expect north.scribe.wide = 100mm\n    expect desk.inside.wide = 564mm\n    expect desk.floor.top = 118mm\n    expect desk.tray.wide = 538.6mm\n}",
        },
    },
    Topic {
        words: &["joints"],
        title: "Which joint",
        text: JOINTS,
        example: Example {
            context: Context::File,
            text: "piece table \"Table\" {\n    stand table {\n        size wide 900mm high 760mm deep 400mm\n        leg fl, fr, rl, rr of oak thick 45mm\n        top board of oak thick 20mm proud 25mm\n        apron left, right, rear of oak thick 22mm high 112mm set_in 4mm\n        divide front downward {\n            rail upper of oak thick 20mm deep 45mm\n            opening till high 72mm\n            rail lower of oak thick 20mm deep 45mm\n            opening rest\n        }\n        join left, right, rear into fl, fr, rl, rr with mortise thick 8mm deep 22mm haunched\n        join upper into fl, fr with dovetail dropped deep 15mm\n        join lower into fl, fr with mortise twin deep 22mm\n        join board to left, right, rear with buttons 2 of wood_button\n        taper fl, fr, rl, rr on inside to 28mm from 130mm\n    }\n    expect table.left.wide = 22mm\n    expect table.till.wide = 810mm\n}",
        },
    },
    Topic {
        words: &["composition"],
        title: "Several cases in a piece",
        text: "What stands as one is one piece. A `run` sets cases in a row, its fillers share what is left of its width. `place on` and `place right of` set one case on or beside another; a case `in` an opening stands within it. A `worktop` lies over a run, a `kick` stands under it. `bolt` holds neighbours of a run together, `fix` one thing to another.",
        example: Example {
            context: Context::File,
            text: "piece bench \"Bench\" {\n    run north wide 1300mm up 100mm {\n        case desk like base_case\n        case chest like base_case {\n            case nest in inside gap 2mm set_back 10mm {\n                side left, right of birch12\n                bottom floor of birch12\n                top lid of birch12\n                join floor, lid to left, right with butt\n            }\n        }\n        filler scribe of white18\n    }\n    kick plinth of white18 under north set_back 50mm\n    worktop slab of white18 over north proud 20mm on front\n    case hutch like base_case(width: 800mm) {\n        size high 500mm deep 300mm\n        place on slab centred\n    }\n    bolt north with bolts 4 of case_bolt\n    fix slab to desk, chest with screws 4 of screw30\n    expect overall.high = 1338mm\n}",
        },
    },
];
