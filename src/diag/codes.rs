//! The one table of codes. A code names the fault in two words, `family.fault`; it is never renamed
//! and never reused for another meaning.

/// Whether a message stops the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// The piece can't be built as written.
    Error,
    /// It can be, but a maker would look twice. `allow CODE "why"` records the decision.
    Caution,
}

/// One row.
#[derive(Debug)]
pub struct Code {
    /// `family.fault`.
    pub name: &'static str,
    /// Error or caution.
    pub severity: Severity,
    /// One line for the index.
    pub title: &'static str,
}

/// Cautions that touch safety: the book always shows them.
const SAFETY: &[&str] = &["shop.part_small"];

impl Code {
    /// Whether a maker may decide to live with it: a caution, and not one about safety.
    pub fn may_be_allowed(&self) -> bool {
        self.severity == Severity::Caution && !SAFETY.contains(&self.name)
    }

    /// The row with this name.
    pub fn find(name: &str) -> Option<&'static Code> {
        CODES.iter().copied().find(|code| code.name == name)
    }
}

impl PartialEq for Code {
    fn eq(&self, other: &Code) -> bool {
        self.name == other.name
    }
}

macro_rules! codes {
    ($($constant:ident $severity:ident $name:literal $title:literal;)*) => {
        /// One constant for each code.
        pub mod code {
            use super::{Code, Severity};
            $(#[doc = $title] pub static $constant: Code = Code { name: $name, severity: Severity::$severity, title: $title };)*
        }
        /// Every code, by family.
        pub static CODES: &[&Code] = &[$(&code::$constant),*];
    };
}

codes! {
    NAME_UNKNOWN_HEAD Error "name.unknown_head" "a line starts with a word that the language does not have";
    NAME_MISPLACED Error "name.misplaced" "a line stands where its head has no place";
    NAME_UNKNOWN_WORD Error "name.unknown_word" "a word stands where the line takes none of this name";
    NAME_WORD_NOT_HERE Error "name.word_not_here" "a word of the language is not one of this line's";
    NAME_RESERVED Error "name.reserved" "a word of the language is used as a name";
    NAME_LATER Error "name.later" "a word that this edition does not build yet";
    NAME_UNKNOWN_KIND Error "name.unknown_kind" "a kind of joint, stock or hardware that does not exist";
    NAME_UNKNOWN_EDGE Error "name.unknown_edge" "something that is no edge stands where edges belong";
    NAME_UNKNOWN_CHOICE Error "name.unknown_choice" "a word is not one of the few that may stand here";
    LINE_NO_VALUE Error "line.no_value" "a word has no value";
    LINE_FLAG_VALUE Error "line.flag_value" "a word that takes no value has one";
    LINE_VALUE_FIRST Error "line.value_first" "a value stands before its word";
    LINE_STRAY_VALUE Error "line.stray_value" "a value belongs to no word";
    LINE_STRAY_TAIL Error "line.stray_tail" "a word attaches to nothing before it";
    LINE_AFTER_WITH Error "line.after_with" "a word of the line stands among the joint's options";
    LINE_NEEDS Error "line.needs" "a line lacks words that it must have";
    LINE_NO_SUBJECT Error "line.no_subject" "a line does not say what it speaks of";
    LINE_TOO_MANY Error "line.too_many" "several things stand where one belongs";
    LINE_DOUBLED Error "line.doubled" "the same thing is stated twice";
    LINE_PREPOSITION Error "line.preposition" "a kind of joint has the wrong preposition";
    LINE_NO_BLOCK Error "line.no_block" "a line that takes no block has one";
    LINE_EQUALS Error "line.equals" "`=` is missing, or has no place";
    LINE_NOT_A_NAME Error "line.not_a_name" "something else stands where a name belongs";
    LINE_NO_PATTERN Error "line.no_pattern" "a pattern of something that has none";
    TYPE_NO_UNIT Error "type.no_unit" "a number without its unit";
    SYNTAX_UNREADABLE Error "syntax.unreadable" "something on this line cannot be read";
    SYNTAX_NOT_TEXT Error "syntax.not_text" "a file is not text";
    SYNTAX_HIDDEN Error "syntax.hidden" "a character that cannot be seen changes how the text reads";
    SYNTAX_DEEP Error "syntax.deep" "something is nested too deep";
    SYNTAX_BRACE_MISSING Error "syntax.brace_missing" "a block is never closed";
    SYNTAX_BRACE_EXTRA Error "syntax.brace_extra" "a brace closes no block";
    SYNTAX_BRACE_PLACE Error "syntax.brace_place" "a block does not begin on the line of its head";
    SYNTAX_BLOCK_MISSING Error "syntax.block_missing" "a condition has no block";
    SYNTAX_AFTER_BLOCK Error "syntax.after_block" "something follows a block on its line";
    SYNTAX_ELSE_PLACE Error "syntax.else_place" "an `else` does not follow the block of an `if`";
    SYNTAX_DOC_PLACE Error "syntax.doc_place" "a description does not stand just above a line";
    SYNTAX_HEAD Error "syntax.head" "a line does not start with a word";
    SYNTAX_VALUE_MISSING Error "syntax.value_missing" "a value is missing";
    SYNTAX_BRACKET Error "syntax.bracket" "a bracket has no partner";
    SYNTAX_QUOTE Error "syntax.quote" "a text is never closed";
    SYNTAX_APART Error "syntax.apart" "a bracket or a dot stands apart from its name";
    SYNTAX_MINUS Error "syntax.minus" "a minus has a blank on one side only";
    SYNTAX_COMPARE_CHAIN Error "syntax.compare_chain" "comparisons stand in a chain";
    VALUE_UNIT Error "value.unit" "a unit does not exist";
    VALUE_UNIT_APART Error "value.unit_apart" "a unit stands apart from its number";
    VALUE_INCH_SIGN Error "value.inch_sign" "a sign stands where the name of a unit belongs";
    VALUE_MIXED Error "value.mixed" "a mixed number is written with a hyphen";
    VALUE_COMMA Error "value.comma" "a decimal is written with a comma";
    VALUE_NUMBER Error "value.number" "a number is written in a way that is not read";
    VALUE_DIVIDE_ZERO Error "value.divide_zero" "something is divided by zero";
    VALUE_OVERFLOW Error "value.overflow" "a number is too large or too fine to be held exactly";
    BOOK_TEMPLATE Error "book.template" "a template of the book cannot be filled in";
    SHOP_NO_CUTTER Caution "shop.no_cutter" "no cutter that the shop lists can make a cut";
    ORDER_OPEN_TIME Caution "order.open_time" "a glue-up takes longer than the glue stays open";
    ORDER_CLAMPS Caution "order.clamps" "a glue-up needs more clamps than are on the wall";
    ORDER_BARRED Error "order.barred" "a stage of the stated order of assembly can't be done";
    ORDER_TRAPPED Error "order.trapped" "parts that can't be put together in any order";
    NAME_UNKNOWN Error "name.unknown" "a name that nothing bears";
    NAME_TWICE Error "name.twice" "one name for two things";
    NAME_EDGE Error "name.edge" "a part is called by an edge that it does not bound";
    USE_MISSING Error "use.missing" "a file that is used can't be read";
    USE_OUTSIDE Error "use.outside" "a file outside the project folder is used";
    USE_CYCLE Error "use.cycle" "files use each other in a circle";
    TYPE_MISMATCH Error "type.mismatch" "another kind of thing is wanted";
    TYPE_DIMENSION Error "type.dimension" "two quantities do not measure the same";
    VALUE_CYCLE Error "value.cycle" "a value is computed from itself";
    VALUE_RANGE Error "value.range" "a value that can't be";
    VALUE_BOUNDS Error "value.bounds" "a parameter outside its bounds";
    VALUE_DATE Error "value.date" "a date that is not one";
    STOCK_THICK_STATED Error "stock.thick_stated" "a thickness is stated for stock that has its own";
    STOCK_THICK_MISSING Error "stock.thick_missing" "a part of board does not say how thick it is";
    PLACE_MISSING Error "place.missing" "nothing says where a part is";
    PLACE_CYCLE Error "place.cycle" "a size follows from itself";
    PLACE_AXIS Error "place.axis" "a measure that runs another way";
    PLACE_THICKNESS Error "place.thickness" "a thickness is stated as a size";
    PLACE_FILLED Error "place.filled" "an opening can't be filled so";
    SUM_OFF Error "sum.off" "sizes do not add up";
    SUM_NO_ROOM Error "sum.no_room" "no room is left";
    SUM_PITCH Error "sum.pitch" "holes do not end on a whole pitch";
    BAND_FACE Error "band.face" "edging on a face";
    BAND_IN_JOINT Error "band.in_joint" "edging where a joint is";
    JOIN_APART Error "join.apart" "parts that are joined do not meet";
    JOIN_FACE Error "join.face" "a face is to enter a part";
    JOIN_LAP_LEVEL Error "join.lap_level" "parts that lap are level at no face";
    JOIN_MITRE_FLAT Error "join.mitre_flat" "a mitre of parts that lie in one plane";
    JOIN_NOT_DROPPED Error "join.not_dropped" "a dovetail that can't be let in from above";
    JOIN_BRIDLE Error "join.bridle" "a bridle joint between parts that do not lie flat to each other";
    JOIN_BREADBOARD Error "join.breadboard" "a breadboard end on what is no solid panel with its grain into a solid cap";
    JOIN_NO_ROOM Error "join.no_room" "no room for the connectors or tails of a joint";
    JOIN_TWO_DEPTHS Error "join.two_depths" "two joints lengthen one end by different amounts";
    FIT_ROW_MISSING Error "fit.row_missing" "no hole of the case's rows where one is needed";
    FIT_ROW_LEVEL Error "fit.row_level" "the holes on both sides of an opening are not level";
    FIT_PLATE_ROW Error "fit.plate_row" "the holes of a row do not take the plates of hinges";
    FIT_NO_HINGE Error "fit.no_hinge" "a door has no hinges";
    REQUIRE_FAILS Error "require.fails" "a requirement of the maker's does not hold";
    EXPECT_FAILS Error "expect.fails" "a figure is not what the maker expects";
    ALLOW_ERROR Error "allow.error" "an error, or a caution about safety, can't be allowed";
    ALLOW_UNKNOWN Error "allow.unknown" "a code that does not exist is allowed";
    NOTE_EXPRESSION Error "note.expression" "something in a note can't be computed";
    FIT_DRAWER_WIDE Error "fit.drawer_wide" "a drawer box is too wide for its room";
    FIT_DRAWER_NARROW Caution "fit.drawer_narrow" "a drawer box is too narrow for its runners";
    FIT_DRAWER_HIGH Error "fit.drawer_high" "a drawer box is too high for its opening";
    FIT_DRAWER_DEEP Error "fit.drawer_deep" "a drawer or its runner is too deep for the case";
    FIT_RUNNER_LONG Error "fit.runner_long" "a runner is longer than its drawer";
    FIT_RUNNER_UNPACKED Error "fit.runner_unpacked" "runners lie behind a face frame";
    FIT_FRONT_BLOCKED Error "fit.front_blocked" "something stands in the way of an inset front";
    FIT_FRONTS_MEET Error "fit.fronts_meet" "two fronts overlap or are too close";
    FIT_FRONT_GAP Caution "fit.front_gap" "an inset front has too little gap";
    FIT_HINGE_COVERS Error "fit.hinge_covers" "a hinge is made for another overlay";
    FIT_HINGE_WIDE Error "fit.hinge_wide" "a hinge is wider than its door is thick";
    FIT_CUP_EDGE Error "fit.cup_edge" "a hinge cup reaches an edge of its door";
    FIT_FLAP_SWING Error "fit.flap_swing" "a flap runs into something as it opens";
    FIT_STAY_REACH Error "fit.stay_reach" "a stay would be screwed on beyond its opening";
    FIT_NO_STAY Caution "fit.no_stay" "nothing holds a flap open";
    FIT_NO_WAY_IN Error "fit.no_way_in" "a loose shelf can't be brought in";
    FIT_PINS_OFF Error "fit.pins_off" "shelf-pin holes run off their panel";
    CUT_USE_RABBET Error "cut.use_rabbet" "a dado at the very end of a part";
    CUT_SHORT_GRAIN Caution "cut.short_grain" "too little wood beyond a housing";
    CUT_TOO_DEEP Error "cut.too_deep" "a housing goes through or nearly through";
    CUT_PAST_HALF Caution "cut.past_half" "a housing goes past half of the stock";
    CUT_TONGUE_THICK Error "cut.tongue_thick" "a tongue leaves no shoulders";
    CUT_DADO_RABBET_THIN Error "cut.dado_rabbet_thin" "a part is too thin for a rabbeted tongue";
    CUT_EDGE_CHEEK Error "cut.edge_cheek" "a groove in an edge leaves too thin a cheek";
    CUT_TONGUE_CUT Error "cut.tongue_cut" "a cut shaves the tongue of another joint";
    CUT_HOUSINGS_MEET Error "cut.housings_meet" "opposite housings nearly meet";
    CUT_CUTS_MEET Error "cut.cuts_meet" "two cuts of one part break into each other";
    CUT_MORTISES_MEET Error "cut.mortises_meet" "two mortises of one part meet";
    CUT_WEB_THIN Caution "cut.web_thin" "a thin web is left between two cuts";
    CUT_OUTSIDE Error "cut.outside" "a cut goes past the edge of its part";
    CUT_AT_BAND Error "cut.at_band" "a cut reaches an edge that is banded";
    CUT_EDGE_WEB Caution "cut.edge_web" "a cut leaves too little wood beside it";
    CUT_OVER_JOINT Caution "cut.over_joint" "a cut lies over what stands against the part";
    CUT_IN_SHAPE Error "cut.in_shape" "a cut or joint lies in wood that is shaped away";
    CUT_IN_TAPER Error "cut.in_taper" "a joint lies where a leg is tapered";
    CUT_MORTISE_ACROSS Caution "cut.mortise_across" "a mortise cuts through most of the fibres of its part";
    CUT_BORE_THROUGH Error "cut.bore_through" "a bore comes out on the other side";
    JOIN_TOO_SHORT Error "join.too_short" "a screw or nail holds nothing";
    JOIN_TOO_LONG Error "join.too_long" "a connector comes out of what holds it";
    JOIN_ACROSS Caution "join.across" "a tongue in solid wood runs across the grain";
    JOIN_DOVETAIL_GRAIN Error "join.dovetail_grain" "dovetails that are not in end grain";
    JOIN_TENON_GRAIN Error "join.tenon_grain" "a tenon, fork or fingers across the grain";
    JOIN_WEDGE_GRAIN Caution "join.wedge_grain" "wedges split what they are driven against";
    JOIN_DOVETAIL_THIN Error "join.dovetail_thin" "dovetails or fingers in sheet that is too thin";
    JOIN_HALF_BLIND Error "join.half_blind" "a lap leaves too short tails";
    JOIN_MITRE_THICK Caution "join.mitre_thick" "a mitre between different thicknesses";
    JOIN_NONE_CARRIES Error "join.none_carries" "a part carries something and is joined to nothing";
    JOIN_NONE Caution "join.none" "a part is joined to nothing";
    JOIN_DRAWER Caution "join.drawer" "the box of a drawer is not whole";
    MOVE_FIELD_GAP Caution "move.field_gap" "a solid panel has too little room to swell";
    MOVE_BREADBOARD Caution "move.breadboard" "a solid panel has too little room to move in a breadboard end";
    MOVE_ACROSS_GRAIN Caution "move.across_grain" "wide solid wood is held across its grain";
    SHOW_HOUSING Caution "show.housing" "a housing runs out in sight";
    SHOW_BARE_EDGE Caution "show.bare_edge" "a bare edge of sheet is in sight";
    SHOW_FACE_GRADE Caution "show.face_grade" "a face that is not good enough is in sight";
    STOCK_MATCHED Error "stock.matched" "matched fronts can't come from one sheet in sequence";
    STOCK_PART_LONG Error "stock.part_long" "a part is larger than any stock that is sold";
    STOCK_PART_THICK Error "stock.part_thick" "a part is thicker than its rough boards give";
    STOCK_RACK_IDLE Caution "stock.rack_idle" "something on the rack holds no part";
    SHOP_SAW_LONG Caution "shop.saw_long" "a part is larger than the saw can cut";
    SHOP_PART_SMALL Caution "shop.part_small" "a part is too small to be cut on its own";
    SPACE_OVERLAP Error "space.overlap" "two parts share space";
    ALLOW_UNUSED Caution "allow.unused" "an allow line allows nothing";
}
