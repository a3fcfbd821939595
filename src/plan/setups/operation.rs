//! What an operation is: one thing done to one part with one setting. Plain data.

use crate::measure::{Length, Rational};
use crate::model::{CutKind, JointId, PartId, PartRef, Side};

/// The stages of a part's way through the machines. The order between them is the table in
/// [`super::precedence`]; the order of this list only breaks ties.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the trade say it")]
pub enum Phase {
    /// The boards of a panel, before they are one.
    StavePlane,
    StaveJoint,
    StaveGlue,
    Plane,
    TrueEdge,
    Rip,
    SquareEnd,
    CutToLength,
    /// A groove for a strip that goes on before the joints are cut.
    EarlyGroove,
    /// The tongue of such a strip, or for it.
    EarlyTongue,
    /// The mitred ends of such a strip.
    EarlyMitre,
    /// An end of a strip that goes on early and was run in lengths: see [`Phase::StripSquare`].
    EarlyStripSquare,
    /// Its length.
    EarlyStripLength,
    EarlyBand,
    /// Dadoes and grooves in a face.
    Housing,
    /// Grooves in an edge or end.
    EdgeGroove,
    Score,
    Rabbet,
    Tongue,
    /// An end of a strip that was grooved or tongued in a long length with others, and is only now cut
    /// from it.
    StripSquare,
    /// Its length.
    StripLength,
    Notch,
    /// Notches, openings and recesses of the maker's own.
    CutOut,
    Tails,
    Sockets,
    /// Mortises, for tenons and for loose ones, and slots for buttons.
    Mortise,
    /// Tapers of legs.
    Taper,
    /// Laps and fingers: what is laid out on both and cut away.
    Lap,
    /// Slots for biscuits.
    Slot,
    /// Rows of holes and holes for screws.
    Bore,
    /// Moulded edges, turned and rounded lengths.
    Shape,
    Mitre,
    /// Slots in the faces of mitres.
    MitreSlot,
    Band,
    /// Moulded edges of what has strips.
    LateShape,
    /// What is bored or let in where the finished edge must be there first: hinges, pulls.
    LateBore,
    /// Slots across corners that are glued.
    KeySlot,
}

/// What is done. Dadoes and grooves in a face are one process: the machine does not know the grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the trade say it")]
pub enum Process {
    /// Both edges of a stave jointed, to width.
    JointEdges,
    /// Staves glued edge to edge.
    Panel,
    Plane,
    TrueEdge,
    Rip,
    SquareEnd,
    CutToLength,
    Housing,
    EdgeGroove,
    Score,
    Rabbet,
    Tongue,
    /// Cheeks and shoulders.
    Tenon,
    Mortise,
    /// A slot from an end, between two cheeks.
    OpenMortise,
    WedgeSlot,
    Taper,
    Lap,
    Fingers,
    DovetailKey,
    DovetailHousing,
    PocketHole,
    Notch,
    Tails,
    Sockets,
    Slot,
    /// A row of holes with a guide strip.
    HoleRow,
    Bore,
    Recess,
    /// A notch, opening or recess of the maker's own.
    CutOut,
    Mitre,
    SplineSlot,
    KeySlot,
    /// An edge moulded.
    Profile,
    /// A length turned.
    Turn,
    /// A length rounded by hand.
    Round,
    /// A strip glued on and trimmed flush.
    Band,
    /// Thin ready-made edging: cut over-long by hand, put on, trimmed.
    Tape,
}

/// Where it is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the trade say it")]
pub enum Machine {
    Planer,
    /// The saw with its blade.
    Saw,
    /// The saw with a stacked head.
    SawHead,
    RouterTable,
    /// A router in the hands, with a template or guide.
    Router,
    Drill,
    MitreSaw,
    BiscuitCutter,
    Lathe,
    HandSaw,
    Knife,
    Bench,
}

/// How the cutter was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Listed {
    /// The work asks for no cutter of the shop's list.
    NotAsked,
    /// One of the shop's cutters.
    Shop,
    /// The shop lists no cutters at all, so the usual machine is named.
    NoList,
    /// The shop lists cutters, and none of them can make this cut.
    NoneFits,
}

/// A machine with a cutter mounted and, where that can be set, its width.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tooling {
    /// The machine.
    pub machine: Machine,
    /// The shop's name of the cutter.
    pub cutter: Option<String>,
    /// Width to which a head is stacked, or across a bit.
    pub width: Option<Length>,
    /// Of a bit for dovetails that slide: so much of its length for each so much to the side.
    pub slope: Option<Rational>,
    /// How it was found.
    pub listed: Listed,
}

impl Tooling {
    /// A machine that is used as it stands.
    pub fn plain(machine: Machine) -> Tooling {
        Tooling {
            machine,
            cutter: None,
            width: None,
            slope: None,
            listed: Listed::NotAsked,
        }
    }
}

/// The setting that tells one row of a card from the next.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Setting {
    /// Nothing to set.
    Free,
    /// Planed to this.
    Thickness(Length),
    /// So much comes off.
    Trim(Length),
    /// From the fence to the near wall of the cut; with more passes than one the last fence too.
    Fence {
        /// The first fence.
        at: Length,
        /// The last fence, where a narrower cutter is moved over.
        last: Option<Length>,
    },
    /// A housing with the router in the hands: its near wall from the reference side across it, its
    /// ends from the reference side along it.
    Guided {
        /// The near wall.
        wall: Length,
        /// Where it begins; zero at the part's own edge.
        from: Length,
        /// Where it ends.
        to: Length,
    },
    /// A dovetail housing with the router in the hands along a guide.
    Sliding(Box<Sliding>),
    /// How much of the cutter shows beside the sacrificial fence.
    Exposed(Length),
    /// The same where a shim holds one end of the part off the fence, so that the wall leans.
    Shimmed {
        /// How much of the cutter shows.
        exposed: Length,
        /// How thick the shim is.
        shim: Length,
        /// The side of the part at which it lies.
        at: Side,
    },
    /// From the stop to the cutter.
    Stop(Length),
    /// From the stop to the long point.
    LongPoint(Length),
    /// A knife line so far from the end or edge.
    Line(Length),
    /// A corner taken off.
    Corner {
        /// Along the length (of a tongue, along its run).
        along: Length,
        /// Across the width (of a tongue, how far it stands out).
        across: Length,
        /// How far inside the part's own end and edge it begins, where a tongue stands beyond it.
        inside: [Length; 2],
    },
    /// A row of holes.
    Row {
        /// First centre, from the reference end.
        first: Length,
        /// Between centres.
        pitch: Length,
        /// How many.
        count: u32,
        /// Centres from the reference edge.
        back: Length,
    },
    /// Centres: from the reference end, from the reference edge (or face, in an edge).
    Points(Vec<[Length; 2]>),
    /// Slots: centres from the reference end (in an end: from the reference edge), middle of the
    /// slot from the face that the machine's fence lies on.
    Slots {
        /// Centres.
        centres: Vec<Length>,
        /// From the face.
        height: Length,
    },
    /// Recesses of one size in one line.
    Recess {
        /// Where each begins, from the reference end.
        starts: Vec<Length>,
        /// From the reference edge; in an edge, from the face side.
        back: Length,
        /// Along and across.
        size: [Length; 2],
    },
    /// A notch, opening or recess of the maker's own, laid out with a rule.
    Window {
        /// Where it begins, from the reference end and from the reference edge.
        from: [Length; 2],
        /// Along the length, and across the width.
        size: [Length; 2],
    },
    /// A taper, sawn along a line.
    Tapered {
        /// Where it begins, from the reference end: nothing comes off there.
        starts: Length,
        /// The end to which it runs.
        foot: Side,
        /// How much comes off at that end.
        off: Length,
    },
    /// Along edges: whether with the grain, and how far the cutter takes in from them.
    Along {
        /// Ends come first.
        grain: bool,
        /// The fence, from the outermost of the cutter.
        wide: Length,
    },
    /// A length of the part, from its reference end, and what is left of its thickness there.
    Lengthwise {
        /// Where it begins and ends.
        between: [Length; 2],
        /// Where it is thinnest.
        least: Option<Length>,
    },
    /// Waste between tails or pins, from the reference edge.
    Spaces(Vec<Space>),
    /// The layer in which a strip goes onto its panel, from 1: each is flush before the next.
    Strip(u32),
}

/// The housing of a dovetail that slides. Walls are from the reference side across it, each where it begins
/// and where it ends; they differ where a wall leans.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Sliding {
    /// Where it begins, from the reference side along it; zero at the part's own edge.
    pub from: Length,
    /// Where it ends; `None` if it runs through.
    pub to: Option<Length>,
    /// Its walls at the surface.
    pub mouth: [[Length; 2]; 2],
    /// Its walls at the floor, where it is widest.
    pub floor: [[Length; 2]; 2],
}

/// One piece of waste of a dovetail: its two walls at the outside of the corner, where the tails end,
/// and inside, at their shoulder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Space {
    /// From the reference edge, at the outside.
    pub outside: [Length; 2],
    /// The same inside.
    pub inside: [Length; 2],
}

/// How the part lies at the cutter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Lies {
    /// The surface on the table.
    pub down: Side,
    /// The surface against the fence or stop.
    pub against: Option<Side>,
    /// The surface that goes first, with the fence at the right of the cutter.
    pub leads: Option<Side>,
}

/// Where a stopped cut begins and ends, told by marks on the fence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stops {
    /// Across the cutter.
    pub diameter: Length,
    /// From the cutter's centre to each mark; for a head on the saw also the length over which the
    /// floor rises.
    pub reach: Length,
    /// Whether the end is left round (a router bit) instead of rising (a head).
    pub round: bool,
    /// Uncut at the end that goes first: the cut starts inside.
    pub before: Length,
    /// Uncut at the end that goes last: the cut stops inside.
    pub after: Length,
    /// The part along the feed.
    pub long: Length,
}

impl Stops {
    /// Whether the floor rises over more than a quarter of a head's cut, so that the chisel would make
    /// much of it: such a cut is better made with a router (judgement).
    pub fn mostly_arc(&self) -> bool {
        self.long - self.before - self.after < self.reach * 4
    }

    /// Where the cut starts inside: how far the trailing end is behind the outfeed mark when the
    /// part is lowered.
    pub fn start_block(&self) -> Option<Length> {
        self.before.is_positive().then_some(self.long - self.before)
    }

    /// Where the cut stops inside: how far the leading end is beyond the infeed mark when the feed
    /// ends.
    pub fn end_block(&self) -> Option<Length> {
        self.after.is_positive().then_some(self.long - self.after)
    }
}

/// What an operation answers for, so that nothing is done twice or forgotten.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the trade say it")]
pub enum Work {
    StavePlane,
    StaveJoint,
    StaveGlue,
    Plane,
    TrueEdge,
    Rip,
    SquareEnd,
    CutToLength,
    /// A cut of the part, by index; of a cut that is made in several, its solid.
    Cut {
        cut: usize,
        solid: Option<usize>,
    },
    /// The knife line before such a cut.
    Score {
        cut: usize,
        solid: Option<usize>,
    },
    /// A strip put on, by index of the panel's strips.
    Band(usize),
    /// A shape given, by index of the part's shapes.
    Shape(usize),
}

/// One thing done to one part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Operation {
    /// The part.
    pub at: PartRef,
    /// What it answers for.
    pub work: Work,
    /// Its stage.
    pub phase: Phase,
    /// What is done.
    pub process: Process,
    /// With what.
    pub tooling: Tooling,
    /// Height of the cutter, or depth of the bit.
    pub height: Option<Length>,
    /// Fence, stop or layout.
    pub setting: Setting,
    /// How the part lies.
    pub lies: Lies,
    /// Passes over the cutter.
    pub passes: u32,
    /// Whether the second pass is made from the opposite face, so that the cut is centred.
    pub turned: bool,
    /// Marks for a stopped cut.
    pub stops: Option<Stops>,
    /// The kind of the cut.
    pub kind: Option<CutKind>,
    /// Width of the cut as machined.
    pub width: Option<Length>,
    /// Room in `width`.
    pub fit: Length,
    /// Room in `height`.
    pub relief: Length,
    /// The joint that it serves.
    pub joint: Option<JointId>,
    /// The part that goes in.
    pub filler: Option<PartId>,
}

impl Operation {
    /// An operation that serves no joint; the makers fill in what differs.
    pub fn new(
        at: PartRef,
        work: Work,
        (phase, process): (Phase, Process),
        tooling: Tooling,
        setting: Setting,
        lies: Lies,
    ) -> Operation {
        Operation {
            at,
            work,
            phase,
            process,
            tooling,
            height: None,
            setting,
            lies,
            passes: 1,
            turned: false,
            stops: None,
            kind: None,
            width: None,
            fit: Length::ZERO,
            relief: Length::ZERO,
            joint: None,
            filler: None,
        }
    }
}
