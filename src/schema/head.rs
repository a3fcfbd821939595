//! The types of the table: what a row says about a head, a clause word, a kind of joint or hardware.
//!
//! Plain data, no behaviour beyond look-ups; the rows are in `table`, the reading in `read`.

/// Where a line stands: what its block belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Context {
    /// At the top of a file.
    File,
    /// In a `piece`.
    Piece,
    /// In a `case`.
    Case,
    /// In a `door`, `doors` or another leaf.
    Leaf,
    /// In the `face` of a drawer.
    Face,
    /// In a `drawer`.
    Drawer,
    /// In `shelves`.
    Shelves,
    /// In a `divide`.
    Divide,
    /// In `assemble`: the stages in their order.
    Assemble,
    /// In `openings`: the part between each two.
    Openings,
    /// In the block of a part, joint, band or opening: remarks on it.
    Thing,
    /// In a `frame`.
    Frame,
    /// In a `run`.
    Run,
    /// In a `worktop`, a `filler`, the `kick` of a run.
    Slab,
    /// In a `stock`.
    Stock,
    /// In a `species`, a `core`, a `glue` or an `abrasive` of the file.
    Material,
    /// In a `hardware`.
    Hardware,
    /// In a `finish` of the file.
    Finish,
    /// In the `shop`.
    Shop,
    /// In the `rack`.
    Rack,
    /// In a board of the rack.
    OnHand,
    /// In a `commission`.
    Commission,
    /// In a `pattern`, beside what stands in the patterned head.
    Pattern,
    /// The block of a line such as `repeat`: what may stand around it may stand in it.
    Around,
}

impl Context {
    /// Every context, in the order of the reference.
    pub const ALL: &[Context] = &[
        Context::File,
        Context::Piece,
        Context::Case,
        Context::Divide,
        Context::Openings,
        Context::Assemble,
        Context::Leaf,
        Context::Drawer,
        Context::Face,
        Context::Shelves,
        Context::Thing,
        Context::Frame,
        Context::Run,
        Context::Slab,
        Context::Stock,
        Context::Material,
        Context::Hardware,
        Context::Finish,
        Context::Shop,
        Context::Rack,
        Context::OnHand,
        Context::Commission,
        Context::Pattern,
    ];

    /// For a sentence: `in a case`.
    pub fn phrase(self) -> &'static str {
        match self {
            Context::File => "at the top of a file",
            Context::Piece => "in a piece",
            Context::Case => "in a case",
            Context::Leaf => "in a door",
            Context::Face => "in the face of a drawer",
            Context::Drawer => "in a drawer",
            Context::Shelves => "in shelves",
            Context::Divide => "in a divide",
            Context::Openings => "in openings",
            Context::Assemble => "in an order of assembly",
            Context::Thing => "in the block of a part or joint",
            Context::Frame => "in a frame",
            Context::Run => "in a run",
            Context::Slab => "in a worktop, filler or kick of a run",
            Context::Stock => "in a stock",
            Context::Material => "in a species, core, glue or abrasive",
            Context::Hardware => "in a hardware",
            Context::Finish => "in a finish",
            Context::Shop => "in the shop",
            Context::Rack => "in the rack",
            Context::OnHand => "in a board of the rack",
            Context::Commission => "in a commission",
            Context::Pattern => "in a pattern",
            Context::Around => "where the line itself stands",
        }
    }
}

/// A head of the language: one row of the table. The same word may have a row for each place.
#[derive(Debug)]
pub struct Head {
    /// The first word of the line.
    pub word: &'static str,
    /// Where it stands.
    pub places: &'static [Context],
    /// The names in its subject.
    pub names: Names,
    /// Whether the names are declared here (or only spoken of).
    pub declares: bool,
    /// A number in its subject.
    pub count: Need,
    /// A title or reason in quotes.
    pub title: Need,
    /// Leading values that are neither names nor a count.
    pub values: &'static [Slot],
    /// Whether `= value` follows.
    pub set: bool,
    /// What the leading kind may be: of stock, of hardware. Its clauses are added to the head's.
    pub kinds: &'static [Kind],
    /// The clauses, in groups that heads share.
    pub clauses: &'static [&'static [Use]],
    /// What stands in its block; none if it takes no block.
    pub block: Option<Context>,
    /// Whether it stands once in its block.
    pub once: bool,
    /// Whether this edition does not build it yet.
    pub later: bool,
    /// One sentence.
    pub doc: &'static str,
    /// A line or block that stands in the first of its places.
    pub example: &'static str,
}

/// The names in a subject.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Names {
    /// No names.
    None,
    /// One or none.
    MayOne,
    /// Exactly one.
    One,
    /// Any number.
    MaySome,
    /// At least one.
    Some,
}

impl Names {
    /// Whether there must be a name.
    pub fn must(self) -> bool {
        matches!(self, Names::One | Names::Some)
    }

    /// Whether there may be several.
    pub fn many(self) -> bool {
        matches!(self, Names::MaySome | Names::Some)
    }
}

/// Whether something is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Never.
    No,
    /// If the maker wants it.
    May,
    /// Always.
    Must,
}

/// A leading value.
#[derive(Debug)]
pub struct Slot {
    /// What it is called in messages and the reference.
    pub name: &'static str,
    /// Its kind of value.
    pub shape: Shape,
    /// Whether it may be left out.
    pub optional: bool,
}

/// The kind of value that a word takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// None: the word says it all.
    Flag,
    /// One length.
    Length,
    /// One or more lengths.
    Lengths,
    /// A bare number: how many, a ratio, a percentage.
    Number,
    /// One or more numbers.
    Numbers,
    /// An angle.
    Angle,
    /// A mass.
    Mass,
    /// A time.
    Time,
    /// An amount of money.
    Money,
    /// Any quantity with its unit.
    Amount,
    /// Words in quotes.
    Text,
    /// Any expression.
    Value,
    /// A code of a caution: `load.shelf_sag`.
    Code,
    /// One word of the maker's or the handbook's.
    Name,
    /// A stock, hardware, piece or pattern, perhaps with arguments.
    Thing,
    /// An opening, or an array of them.
    Opening,
    /// Parts, by name.
    Parts,
    /// Edges.
    Edges,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// One or more of these words.
    Choices(&'static [&'static str]),
    /// A kind of joint.
    Joint,
    /// One of these kinds of joint, with the options that it has here.
    JointOf(&'static [Kind]),
    /// A kind of the head's own list.
    Kind,
    /// A length, an edge, or a face of a part.
    Place,
    /// Two edges or faces.
    Places,
    /// What a price or a load counts: a unit, or a word such as `sheet`.
    Unit,
    /// Nothing, or a length.
    FlagOrLength,
    /// A length, or nothing where `from`, `to` or `between` follows.
    Extent,
    /// An amount, or nothing where `from` or `to` follows.
    Range,
}

/// A word as one head, kind or other word takes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Use {
    /// The clause word.
    pub word: &'static str,
    /// Whether it must be there, unless one of `without` is.
    pub required: bool,
    /// What holds if it is left out.
    pub default: Option<&'static str>,
    /// Its kind of value here, for the few words that take their cue from what stands before them.
    pub shape: Option<Shape>,
    /// Whether this edition does not build it yet.
    pub later: bool,
    /// Words that say the opposite: they do not stand on the same line.
    pub without: &'static [&'static str],
    /// It says something only where one of these stands too; empty: always.
    pub beside: &'static [&'static str],
    /// The edges that its `on` or `from` may name; empty: any.
    pub sides: &'static [&'static str],
    /// Whether it may be said again, for another axis.
    pub many: bool,
    /// What it means here; empty if the word's own sentence says it.
    pub doc: &'static str,
}

/// What can be a pattern can be like one; rows that say more of it have a row of their own.
static LIKE: Use =
    opt("like").says("a pattern of its own head, that this one repeats with changes");

/// A word that may be left out.
pub const fn opt(word: &'static str) -> Use {
    Use {
        word,
        required: false,
        default: None,
        shape: None,
        later: false,
        without: &[],
        beside: &[],
        sides: &[],
        many: false,
        doc: "",
    }
}

/// A word that must be there.
pub const fn req(word: &'static str) -> Use {
    Use {
        required: true,
        ..opt(word)
    }
}

/// A word with a default.
pub const fn def(word: &'static str, default: &'static str) -> Use {
    Use {
        default: Some(default),
        ..opt(word)
    }
}

/// A word of a later edition.
pub const fn later(word: &'static str) -> Use {
    Use {
        later: true,
        ..opt(word)
    }
}

impl Use {
    /// With what it means here.
    #[must_use]
    pub const fn says(self, doc: &'static str) -> Use {
        Use { doc, ..self }
    }

    /// Never on one line with these.
    #[must_use]
    pub const fn without(self, without: &'static [&'static str]) -> Use {
        Use { without, ..self }
    }

    /// Only where one of these stands.
    #[must_use]
    pub const fn beside(self, beside: &'static [&'static str]) -> Use {
        Use { beside, ..self }
    }

    /// Only at these edges.
    #[must_use]
    pub const fn sides(self, sides: &'static [&'static str]) -> Use {
        Use { sides, ..self }
    }

    /// Once for each axis.
    #[must_use]
    pub const fn each_axis(self) -> Use {
        Use { many: true, ..self }
    }

    /// With another kind of value.
    #[must_use]
    pub const fn takes(self, shape: Shape) -> Use {
        Use {
            shape: Some(shape),
            ..self
        }
    }
}

/// A clause word of the closed list.
#[derive(Debug)]
pub struct Word {
    /// The word.
    pub word: &'static str,
    /// Its kind of value.
    pub shape: Shape,
    /// The words that qualify it.
    pub tails: &'static [Use],
    /// Whether a maker may still use it as a name: words of stock, hardware and shop only.
    pub free: bool,
    /// One sentence.
    pub doc: &'static str,
}

/// How a joint speaks of the second part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Preposition {
    /// The first enters the second.
    Into,
    /// Neither enters, or both alike.
    To,
}

impl Preposition {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Preposition::Into => "into",
            Preposition::To => "to",
        }
    }
}

/// A kind of joint, of hardware or of stock.
#[derive(Debug, PartialEq)]
pub struct Kind {
    /// The word.
    pub word: &'static str,
    /// Of a joint: which word joins the two parts.
    pub preposition: Option<Preposition>,
    /// Whether how many follows at once: `biscuits 2`.
    pub count: Need,
    /// Its options or clauses.
    pub clauses: &'static [Use],
    /// Whether this edition does not build it yet.
    pub later: bool,
    /// One sentence.
    pub doc: &'static str,
    /// A line or block that uses it.
    pub example: &'static str,
}

impl Head {
    /// The clause of this word, if the head takes it.
    pub fn takes(&self, word: &str) -> Option<&'static Use> {
        let own = self.words().find(|row| row.word == word);
        own.or_else(|| (word == LIKE.word && self.can_be_patterned()).then_some(&LIKE))
    }

    /// Whether a pattern can be declared of it, which others are then `like`: whatever has a block and
    /// stands within something.
    pub fn can_be_patterned(&self) -> bool {
        let around = matches!(self.block, None | Some(Context::Around));
        !around && !self.places.contains(&Context::File)
    }

    /// The words that it takes, in the order of the table.
    pub fn words(&self) -> impl Iterator<Item = &'static Use> {
        self.clauses.iter().flat_map(|group| group.iter())
    }

    /// The kind of this word, of stock or hardware.
    pub fn kind(&self, word: &str) -> Option<&'static Kind> {
        self.kinds.iter().find(|kind| kind.word == word)
    }
}

impl Kind {
    /// The option of this word, if the kind takes it.
    pub fn takes(&self, word: &str) -> Option<&'static Use> {
        self.clauses.iter().find(|row| row.word == word)
    }
}
