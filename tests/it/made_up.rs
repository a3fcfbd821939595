//! Whole pieces made up at random, as text: cases with shelves, posts, doors, drawers and backs, and stands,
//! joined in every way that suits their corners.

/// Chance from a seed: a linear congruential generator, so that a seed tells all.
pub struct Chance(u64);

impl Chance {
    /// The chance of a seed.
    pub fn of(seed: u64) -> Chance {
        Chance(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).wrapping_add(1))
    }

    /// The next number below a limit.
    pub fn below(&mut self, limit: i64) -> i64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % limit as u64) as i64
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.below(of.len() as i64) as usize]
    }

    fn coin(&mut self) -> bool {
        self.below(2) == 0
    }
}

const GOODS: &str = "stock oak board {
    rough 20mm, 27mm, 34mm, 52mm
    wide  from 100mm to 600mm
    long  from 2m to 4m
}
stock birch18 sheet {
    thick 18mm measured 17.6mm
    sold  long 2440mm wide 1220mm
    grain long
}
stock birch6 sheet {
    thick 6mm measured 5.7mm
    sold  long 2440mm wide 1220mm
    grain long
}
hardware biscuit20 biscuit {
    long  56mm wide 23mm
    thick 4mm
}
hardware dowel8 dowel {
    long 40mm thick 8mm
}
hardware screw40 screw {
    long 40mm thick 4mm
}
hardware pin5 pin {
    thick 5mm deep 10mm
}
hardware runner300 runner {
    mounts side
    long   300mm
    beside 12.7mm
    below  8mm
    above  6mm
}
hardware button25 button {
    wide 25mm thick 8mm deep 10mm below 11mm
}
hardware butt40 hinge {
    mounts butt
    long 40mm wide 14mm thick 1.2mm
}
";

/// A piece made up from a seed; some do not compile, since chance does not know the trade.
pub fn piece(seed: u64) -> String {
    let mut chance = Chance::of(seed);
    let body = match seed % 4 {
        3 => stand(&mut chance),
        _ => case(&mut chance),
    };
    format!("{GOODS}piece made_up \"Made up {seed}\" {{\n{body}}}\n")
}

fn case(c: &mut Chance) -> String {
    let solid = c.coin();
    let of = if solid { "oak thick 20mm" } else { "birch18" };
    let (wide, high, deep) = (500 + c.below(700), 400 + c.below(900), 340 + c.below(200));
    let mut out =
        format!("    case body {{\n        size wide {wide}mm high {high}mm deep {deep}mm\n");
    let mut line = |text: String| out.push_str(&format!("        {text}\n"));
    line(format!("side left, right of {of}"));
    let foot = [0, 60, 90][c.below(3) as usize];
    line(format!("bottom floor of {of} at {foot}mm"));
    // The upper corners.
    let corners: &[&str] = if solid {
        &[
            "left, right into lid with dovetail through tails 4 slope 7",
            "left, right to lid with finger 9",
            "left, right to lid with mitre",
            "left, right into lid with rabbet deep 6mm",
        ]
    } else {
        &[
            "left, right into lid with rabbet deep 6mm",
            "left, right to lid with mitre",
            "left, right into lid with tongue thick 6mm deep 6mm",
            "left, right to lid with dowels 4 of dowel8",
        ]
    };
    let corner = c.one(corners);
    line(format!("top lid of {of} over left, right"));
    if corner.contains("tongue") {
        // A tongue at the very end of the top would leave it no wood beyond.
        line("join left, right to lid with screws 3 of screw40".into());
    } else {
        line(format!("join {corner}"));
    }
    let housing = [
        "dado deep 6mm",
        "dado deep 5mm stopped 12mm on front",
        "tongue thick 6mm deep 6mm",
    ];
    let floor = if foot == 0 {
        c.one(&[
            "left, right with screws 3 of screw40",
            "left, right with dowels 4 of dowel8",
        ])
        .replacen("left", "to left", 1)
    } else if solid {
        format!("into left, right with {}", c.one(&housing[..2]))
    } else {
        format!("into left, right with {}", c.one(&housing))
    };
    line(format!("join floor {floor}"));
    let back = c.below(3);
    match back {
        0 => {
            line("back rear of birch6".into());
            line("join rear into left, right, lid, floor with rabbet deep 8mm".into());
        }
        1 => {
            line("back rear of birch6 set_in 12mm".into());
            line("join rear into left, right, floor with groove deep 5mm".into());
            line("join rear to lid with butt dry".into());
        }
        _ => {}
    }
    // What stands in it.
    let rows = 1 + c.below(3);
    line("divide inside downward {".into());
    line(format!("    openings bay {} {{", rows + 1));
    line(format!("        shelf ledge of {of}"));
    line("    }".into());
    line("}".into());
    let held = if solid {
        c.one(&[
            "into left, right with dado deep 6mm",
            "to left, right with dowels 3 of dowel8",
            "into left, right with dovetail sliding deep 6mm slope 6",
            "into left, right with dovetail sliding deep 6mm slope 6 tapered 2mm on front",
        ])
    } else {
        c.one(&[
            "into left, right with dado deep 5mm",
            "into left, right with dado deep 5mm stopped 15mm on front",
            "to left, right with biscuits 3 of biscuit20",
            "into left, right with dado_rabbet deep 6mm",
        ])
    };
    line(format!("join ledge {held}"));
    if !solid {
        let tongue = c.one(&[
            "",
            " with tongue thick 4mm deep 5mm",
            " with groove thick 4mm deep 5mm",
        ]);
        if !held.contains("stopped") && !corner.contains("mitre") {
            line(format!(
                "band ledge, floor on front of oak thick {}mm{tongue}",
                5 + c.below(8)
            ));
        }
    }
    match c.below(3) {
        0 => {
            line("drawer tray in bay[1] {".into());
            line("    box of oak thick 14mm high 60mm".into());
            line(format!("    front of oak thick {}mm", 16 + c.below(4)));
            line("    back set_in 12mm".into());
            line("    bottom of birch6 at 8mm over back".into());
            line(format!(
                "    join {}",
                c.one(&[
                    "left, right into front with dovetail half_blind lap 4mm tails 2 slope 7",
                    "front into left, right with rabbet deep 7mm"
                ])
            ));
            line("    join back into left, right with dado deep 5mm".into());
            line("    join bottom into left, right, front with groove deep 5mm".into());
            line("    join bottom to back with butt dry".into());
            line("    runner of runner300".into());
            line("}".into());
        }
        1 => {
            line("door gate in bay[1] of oak thick 20mm inset gap 2mm hung left {".into());
            line("    frame of oak thick 20mm wide 50mm".into());
            line("    field of birch6".into());
            line(format!(
                "    join top, bottom into left, right with mortise thick 6mm deep {}mm{}",
                20 + c.below(15),
                c.one(&["", " haunched"])
            ));
            line(
                "    join field into left, right, top, bottom with groove deep 8mm gap 1mm".into(),
            );
            line("    hinge 2 of butt40".into());
            line("}".into());
        }
        _ => {
            line(format!(
                "shelves loose {} of {of} in bay[1] {{",
                1 + c.below(2)
            ));
            line("    pins 4 of pin5 pitch 32mm set_back 37mm".into());
            line("}".into());
        }
    }
    out.push_str("    }\n");
    out
}

fn stand(c: &mut Chance) -> String {
    let (wide, high, deep) = (500 + c.below(900), 400 + c.below(500), 350 + c.below(400));
    let leg = 40 + c.below(10);
    let apron = 70 + c.below(50);
    let front = c.coin();
    let aprons = if front {
        "left, right, front, rear"
    } else {
        "left, right, rear"
    };
    let mut out = format!(
        "    stand table {{
        size wide {wide}mm high {high}mm deep {deep}mm
        leg fl, fr, rl, rr of oak thick {leg}mm
        top board of oak thick 20mm proud {}mm
        apron {aprons} of oak thick 22mm high {apron}mm set_in {}mm
",
        c.below(30),
        2 + c.below(5)
    );
    let tenon = c.one(&[
        "mortise thick 8mm deep 18mm",
        "mortise thick 8mm deep 18mm haunched",
        "mortise thick 7mm deep 16mm twin",
        "dowels 2 of dowel8",
    ]);
    let word = if tenon.starts_with("dowels") {
        "to"
    } else {
        "into"
    };
    out.push_str(&format!(
        "        join {aprons} {word} fl, fr, rl, rr with {tenon}\n"
    ));
    let top = [
        format!("join board to {aprons} with buttons 2 of button25"),
        format!("join {aprons} to board with pocket_screws 2 of screw40"),
        format!("join board to {aprons} with screws 2 of screw40"),
    ];
    out.push_str(&format!("        {}\n", top[c.below(3) as usize]));
    if c.coin() {
        let on = c.one(&["inside", "all"]);
        out.push_str(&format!(
            "        taper fl, fr, rl, rr on {on} to {}mm from {}mm\n",
            leg - 10 - c.below(10),
            apron + 10 + c.below(60)
        ));
    }
    out.push_str("    }\n");
    out
}
