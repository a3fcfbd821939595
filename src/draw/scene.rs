//! A drawing as values: lines, outlines and lettering in millimetres of paper, y down the page.
//!
//! A scene knows nothing of furniture and nothing of SVG. Positions are floats, since paper is not
//! worked to; figures come from exact lengths and are carried as [`Content`].

use super::text::{Content, ink};

/// A point on the paper: x to the right, y down, millimetres.
pub type Point = (f64, f64);

/// How thick a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// 1 mm: cuts of a saw, cautions.
    Heavy,
    /// 0.5 mm: outlines, what is spoken of.
    Thick,
    /// 0.35 mm: edges seen, balloons, dimension strokes.
    Medium,
    /// 0.18 mm: dimension, extension, leader, centre, hidden.
    Thin,
    /// 0.13 mm: hatching only.
    Hatch,
}

impl Weight {
    /// In millimetres of paper.
    pub fn mm(self) -> f64 {
        match self {
            Weight::Heavy => 1.0,
            Weight::Thick => 0.5,
            Weight::Medium => 0.35,
            Weight::Thin => 0.18,
            Weight::Hatch => 0.13,
        }
    }
}

/// How a line is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    /// Not at all.
    Solid,
    /// Hidden edges.
    Hidden,
    /// Centre lines and cutting planes.
    Centre,
    /// The swing of a door.
    Swing,
}

/// What an outline holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// What is below shows.
    None,
    /// Hides what is below.
    White,
    /// Solid black (red with an accent pen that has no line).
    Black,
}

/// How a shape is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pen {
    /// Of its line; `None` draws none.
    pub weight: Option<Weight>,
    /// Of its line.
    pub dash: Dash,
    /// The one red: what the page is about.
    pub accent: bool,
    /// Of its inside.
    pub fill: Fill,
}

impl Pen {
    /// 1 mm.
    pub const HEAVY: Pen = Pen::of(Weight::Heavy);
    /// 0.5 mm.
    pub const THICK: Pen = Pen::of(Weight::Thick);
    /// 0.35 mm.
    pub const MEDIUM: Pen = Pen::of(Weight::Medium);
    /// 0.18 mm.
    pub const THIN: Pen = Pen::of(Weight::Thin);
    /// 0.13 mm.
    pub const HATCH: Pen = Pen::of(Weight::Hatch);
    /// No line, black inside.
    pub const BLACK: Pen = Pen {
        weight: None,
        dash: Dash::Solid,
        accent: false,
        fill: Fill::Black,
    };
    /// No line, white inside: hides what is below.
    pub const WHITE: Pen = Pen {
        weight: None,
        dash: Dash::Solid,
        accent: false,
        fill: Fill::White,
    };

    const fn of(weight: Weight) -> Pen {
        Pen {
            weight: Some(weight),
            dash: Dash::Solid,
            accent: false,
            fill: Fill::None,
        }
    }

    /// As a hidden edge.
    pub const fn hidden(mut self) -> Pen {
        self.dash = Dash::Hidden;
        self
    }

    /// As a centre line.
    pub const fn centre(mut self) -> Pen {
        self.dash = Dash::Centre;
        self
    }

    /// As the swing of a door.
    pub const fn swing(mut self) -> Pen {
        self.dash = Dash::Swing;
        self
    }

    /// In red.
    pub const fn red(mut self) -> Pen {
        self.accent = true;
        self
    }

    /// In red if so.
    pub const fn red_if(mut self, so: bool) -> Pen {
        self.accent = so;
        self
    }

    /// White inside.
    pub const fn white(mut self) -> Pen {
        self.fill = Fill::White;
        self
    }

    /// Black inside.
    pub const fn black(mut self) -> Pen {
        self.fill = Fill::Black;
        self
    }
}

/// The ladder of lettering: font sizes whose capitals are 1.8, 2.5, 3.5 and 5 mm high (ISO 3098).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TextSize {
    /// 2.6 mm: field names, small notes.
    T1,
    /// 3.5 mm: figures of dimensions.
    T2,
    /// 4.9 mm: letters of views.
    T3,
    /// 7 mm: hands.
    T4,
}

impl TextSize {
    /// Font size in millimetres; italics are cut a little larger, as serif letters look smaller.
    pub fn mm(self, italic: bool) -> f64 {
        match (self, italic) {
            (TextSize::T1, false) => 2.6,
            (TextSize::T1, true) => 3.1,
            (TextSize::T2, false) => 3.5,
            (TextSize::T2, true) => 4.0,
            (TextSize::T3, _) => 4.9,
            (TextSize::T4, _) => 7.0,
        }
    }
}

/// Which point of the lettering stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// Lettering; its place is on the base line.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where.
    pub at: Point,
    /// What.
    pub content: Content,
    /// How large.
    pub size: TextSize,
    /// Heavy.
    pub bold: bool,
    /// Serif italic, for names and notes.
    pub italic: bool,
    /// In red.
    pub accent: bool,
    /// Which point stands at the place.
    pub anchor: Anchor,
    /// Turned about its place, degrees clockwise; -90 reads from the right.
    pub turn: f64,
    /// A white rim, for lettering over lines.
    pub halo: bool,
}

impl Text {
    /// Sans lettering of figure size, from its left end.
    pub fn new(at: Point, content: impl Into<Content>) -> Text {
        Text {
            at,
            content: content.into(),
            size: TextSize::T2,
            bold: false,
            italic: false,
            accent: false,
            anchor: Anchor::Start,
            turn: 0.0,
            halo: false,
        }
    }

    /// Of another size.
    pub fn size(mut self, size: TextSize) -> Text {
        self.size = size;
        self
    }

    /// Of field-name size.
    pub fn small(self) -> Text {
        self.size(TextSize::T1)
    }

    /// Heavy.
    pub fn bold(mut self) -> Text {
        self.bold = true;
        self
    }

    /// Heavy if so.
    pub fn bold_if(mut self, so: bool) -> Text {
        self.bold = so;
        self
    }

    /// Serif italic.
    pub fn italic(mut self) -> Text {
        self.italic = true;
        self
    }

    /// In red.
    pub fn red(mut self) -> Text {
        self.accent = true;
        self
    }

    /// In red if so.
    pub fn red_if(mut self, so: bool) -> Text {
        self.accent = so;
        self
    }

    /// Its middle stands at the place.
    pub fn middle(mut self) -> Text {
        self.anchor = Anchor::Middle;
        self
    }

    /// Its right end stands at the place.
    pub fn end(mut self) -> Text {
        self.anchor = Anchor::End;
        self
    }

    /// Anchored so.
    pub fn anchored(mut self, anchor: Anchor) -> Text {
        self.anchor = anchor;
        self
    }

    /// Reads from the right.
    pub fn upright(self) -> Text {
        self.turned(-90.0)
    }

    /// Turned about its place.
    pub fn turned(mut self, degrees: f64) -> Text {
        self.turn = degrees;
        self
    }

    /// With a white rim.
    pub fn halo(mut self) -> Text {
        self.halo = true;
        self
    }

    /// Width of its lettering.
    pub fn width(&self) -> f64 {
        self.content
            .width(self.size.mm(self.italic), self.bold, self.italic)
    }

    /// The paper that its letters cover (approximate unless turned by a right angle or not at all).
    pub fn ink(&self) -> Rect {
        ink(self)
    }
}

/// A step of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Starts a line.
    Move(Point),
    /// Straight on.
    Line(Point),
    /// A cubic curve: two handles, then the end.
    Curve(Point, Point, Point),
    /// Back to the start.
    Close,
}

/// Something drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A line or an outline.
    Path {
        /// Its steps.
        steps: Vec<Step>,
        /// How.
        pen: Pen,
    },
    /// A circle.
    Circle {
        /// Its middle.
        centre: Point,
        /// Its radius.
        radius: f64,
        /// How.
        pen: Pen,
    },
    /// Lettering.
    Text(Text),
}

/// An upright rectangle of paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Left end.
    pub x0: f64,
    /// Upper end.
    pub y0: f64,
    /// Right end.
    pub x1: f64,
    /// Lower end.
    pub y1: f64,
}

impl Rect {
    /// From two opposite corners, in any order.
    pub fn of(a: Point, b: Point) -> Rect {
        Rect {
            x0: a.0.min(b.0),
            y0: a.1.min(b.1),
            x1: a.0.max(b.0),
            y1: a.1.max(b.1),
        }
    }

    /// To the right.
    pub fn width(&self) -> f64 {
        self.x1 - self.x0
    }

    /// Down.
    pub fn height(&self) -> f64 {
        self.y1 - self.y0
    }

    /// Its middle.
    pub fn middle(&self) -> Point {
        ((self.x0 + self.x1) / 2.0, (self.y0 + self.y1) / 2.0)
    }

    /// Larger by so much on each side.
    pub fn grown(&self, by: f64) -> Rect {
        Rect {
            x0: self.x0 - by,
            y0: self.y0 - by,
            x1: self.x1 + by,
            y1: self.y1 + by,
        }
    }

    /// Its corners, in order round.
    pub fn corners(&self) -> [Point; 4] {
        [
            (self.x0, self.y0),
            (self.x1, self.y0),
            (self.x1, self.y1),
            (self.x0, self.y1),
        ]
    }

    /// Whether both share paper.
    pub fn overlaps(&self, other: &Rect) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }

    /// The smallest that holds both.
    pub fn union(&self, other: &Rect) -> Rect {
        Rect {
            x0: self.x0.min(other.x0),
            y0: self.y0.min(other.y0),
            x1: self.x1.max(other.x1),
            y1: self.y1.max(other.y1),
        }
    }
}

/// A drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Of the paper that it takes.
    pub width: f64,
    /// Of the paper that it takes.
    pub height: f64,
    /// What it shows, in words, for who can't see it.
    pub title: String,
    /// Printed true to size in both directions, even where the page rounds boxes (check rules).
    pub exact: bool,
    /// What is drawn, the undermost first.
    pub shapes: Vec<Shape>,
}

impl Scene {
    /// An empty one.
    pub fn new(width: f64, height: f64, title: impl Into<String>) -> Scene {
        Scene {
            width,
            height,
            title: title.into(),
            exact: false,
            shapes: Vec::new(),
        }
    }

    /// A straight line.
    pub fn line(&mut self, from: Point, to: Point, pen: Pen) {
        self.polyline(&[from, to], pen);
    }

    /// Straight lines one after the other.
    pub fn polyline(&mut self, points: &[Point], pen: Pen) {
        self.path(steps(points, false), pen);
    }

    /// A closed outline.
    pub fn polygon(&mut self, points: &[Point], pen: Pen) {
        self.path(steps(points, true), pen);
    }

    /// An upright rectangle.
    pub fn rect(&mut self, rect: Rect, pen: Pen) {
        self.polygon(&rect.corners(), pen);
    }

    /// Many separate lines in one stroke of the pen.
    pub fn lines(&mut self, lines: &[(Point, Point)], pen: Pen) {
        let steps = lines
            .iter()
            .flat_map(|(a, b)| [Step::Move(*a), Step::Line(*b)])
            .collect();
        self.path(steps, pen);
    }

    /// An outline of any steps; nothing if there are none.
    pub fn path(&mut self, steps: Vec<Step>, pen: Pen) {
        if !steps.is_empty() {
            self.shapes.push(Shape::Path { steps, pen });
        }
    }

    /// A circle.
    pub fn circle(&mut self, centre: Point, radius: f64, pen: Pen) {
        self.shapes.push(Shape::Circle {
            centre,
            radius,
            pen,
        });
    }

    /// Lettering.
    pub fn text(&mut self, text: Text) {
        self.shapes.push(Shape::Text(text));
    }

    /// Puts another drawing into this one, its origin at `at`.
    pub fn place(&mut self, other: &Scene, at: Point) {
        for shape in &other.shapes {
            let mut shape = shape.clone();
            shape.shift(at);
            self.shapes.push(shape);
        }
    }

    /// The paper that is drawn on, lettering included; `None` if nothing is.
    pub fn extent(&self) -> Option<Rect> {
        self.shapes
            .iter()
            .filter_map(Shape::extent)
            .reduce(|a, b| a.union(&b))
    }

    /// The paper under each lettering, in order.
    pub fn lettering(&self) -> Vec<(&Text, Rect)> {
        self.shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Text(text) => Some((text, text.ink())),
                _ => None,
            })
            .collect()
    }

    /// Moves all of it so that it starts `margin` from the upper left corner, and sets its size.
    pub fn fitted(mut self, margin: f64) -> Scene {
        if let Some(extent) = self.extent() {
            let by = (margin - extent.x0, margin - extent.y0);
            self.shapes.iter_mut().for_each(|shape| shape.shift(by));
            self.width = extent.width() + 2.0 * margin;
            self.height = extent.height() + 2.0 * margin;
        }
        self
    }
}

fn steps(points: &[Point], close: bool) -> Vec<Step> {
    let mut out: Vec<Step> = points
        .iter()
        .enumerate()
        .map(|(i, p)| {
            if i == 0 {
                Step::Move(*p)
            } else {
                Step::Line(*p)
            }
        })
        .collect();
    if close && !out.is_empty() {
        out.push(Step::Close);
    }
    out
}

fn moved(p: Point, by: Point) -> Point {
    (p.0 + by.0, p.1 + by.1)
}

impl Shape {
    /// Moves it.
    pub fn shift(&mut self, by: Point) {
        match self {
            Shape::Path { steps, .. } => {
                for step in steps {
                    *step = match *step {
                        Step::Move(p) => Step::Move(moved(p, by)),
                        Step::Line(p) => Step::Line(moved(p, by)),
                        Step::Curve(a, b, p) => {
                            Step::Curve(moved(a, by), moved(b, by), moved(p, by))
                        }
                        Step::Close => Step::Close,
                    };
                }
            }
            Shape::Circle { centre, .. } => *centre = moved(*centre, by),
            Shape::Text(text) => text.at = moved(text.at, by),
        }
    }

    /// The paper that it covers, half its line included.
    pub fn extent(&self) -> Option<Rect> {
        let half = |pen: &Pen| pen.weight.map_or(0.0, |w| w.mm() / 2.0);
        match self {
            Shape::Path { steps, pen } => steps
                .iter()
                .flat_map(|step| match *step {
                    Step::Move(p) | Step::Line(p) => vec![p],
                    Step::Curve(a, b, p) => vec![a, b, p],
                    Step::Close => Vec::new(),
                })
                .map(|p| Rect::of(p, p))
                .reduce(|a, b| a.union(&b))
                .map(|rect| rect.grown(half(pen))),
            Shape::Circle {
                centre,
                radius,
                pen,
            } => Some(Rect::of(*centre, *centre).grown(radius + half(pen))),
            Shape::Text(text) => Some(text.ink()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fitted_scene_starts_at_its_margin() {
        let mut scene = Scene::new(0.0, 0.0, "box");
        scene.rect(Rect::of((-10.0, 5.0), (30.0, 25.0)), Pen::THICK);
        let scene = scene.fitted(1.0);
        // Outline 40 x 20 plus half a line (0.25) and 1 mm all round.
        assert_eq!((scene.width, scene.height), (42.5, 22.5));
        let extent = scene.extent().expect("drawn");
        assert!((extent.x0 - 1.0).abs() < 1e-9 && (extent.y0 - 1.0).abs() < 1e-9);
    }
}
