//! Makes an engraved page fit to stand in a web page among others.
//!
//! In: one SVG of the engraver. Out: an SVG element of bare outlines, text included, so that it looks the same whatever
//! fonts the reader has. Without ids that could meet those of another picture, without style, script or link, whatever the
//! score said; in the colour of the text around it.

use usvg::tiny_skia_path::{PathSegment, Point};
use usvg::{Group, Node, Path, Transform, Tree};

use super::{EngraveError, fonts};

/// Size on the screen against the engraver's ten pixels a millimetre. Chosen by us: a staff is then about as high as on
/// paper at arm's length.
const ON_SCREEN: f32 = 0.55;

/// Steps to an engraver's pixel that coordinates are rounded to. Chosen by us: finer than a screen shows.
const STEPS: f32 = 5.0;

/// The picture for a web page.
///
/// # Errors
/// When the page is not an SVG that can be drawn.
pub fn inline(svg: &str) -> Result<String, EngraveError> {
    let tree = Tree::from_str(svg, &fonts::options()).map_err(|error| EngraveError::Drawing(error.to_string()))?;
    let (width, height) = (tree.size().width(), tree.size().height());
    let mut picture = format!(
        "<svg width=\"{:.0}\" height=\"{:.0}\" viewBox=\"0 0 {:.0} {:.0}\" fill=\"currentColor\">",
        width * ON_SCREEN,
        height * ON_SCREEN,
        width * STEPS,
        height * STEPS
    );
    draw(tree.root(), Transform::from_scale(STEPS, STEPS), &mut picture);
    picture.push_str("</svg>");
    Ok(picture)
}

fn draw(group: &Group, around: Transform, picture: &mut String) {
    let around = around.pre_concat(group.transform());
    for node in group.children() {
        match node {
            Node::Group(group) => draw(group, around, picture),
            Node::Path(path) if path.is_visible() => outline(path, around, picture),
            Node::Text(text) => draw(text.flattened(), around, picture),
            Node::Path(_) | Node::Image(_) => {}
        }
    }
}

/// One path, with all that is around it worked into its points.
fn outline(path: &Path, around: Transform, picture: &mut String) {
    let Some(data) = path.data().clone().transform(around) else { return };
    picture.push_str("<path");
    if path.fill().is_none() {
        picture.push_str(" fill=\"none\"");
    }
    if let Some(stroke) = path.stroke() {
        let scale = around.get_scale().0;
        let width = stroke.width().get() * scale;
        picture.push_str(&format!(" stroke=\"currentColor\" stroke-width=\"{width:.0}\""));
        if stroke.linecap() == usvg::LineCap::Round {
            picture.push_str(" stroke-linecap=\"round\"");
        }
        if let Some(dashes) = stroke.dasharray() {
            let dashes: Vec<String> = dashes.iter().map(|dash| format!("{:.0}", dash * scale)).collect();
            picture.push_str(&format!(" stroke-dasharray=\"{}\"", dashes.join(" ")));
        }
    }
    picture.push_str(" d=\"");
    let mut pen = Pen { at: (0, 0), start: (0, 0), picture };
    for segment in data.segments() {
        match segment {
            PathSegment::MoveTo(to) => pen.begin(to),
            PathSegment::LineTo(to) => pen.line('l', &[to]),
            PathSegment::QuadTo(by, to) => pen.line('q', &[by, to]),
            PathSegment::CubicTo(by, past, to) => pen.line('c', &[by, past, to]),
            PathSegment::Close => pen.close(),
        }
    }
    picture.push_str("\"/>");
}

/// Writes points as steps from the one before, which are short.
struct Pen<'p> {
    at: (i32, i32),
    start: (i32, i32),
    picture: &'p mut String,
}

impl Pen<'_> {
    fn begin(&mut self, to: Point) {
        self.at = rounded(to);
        self.start = self.at;
        self.picture.push_str(&format!("M{} {}", self.at.0, self.at.1));
    }

    fn line(&mut self, command: char, points: &[Point]) {
        self.picture.push(command);
        let mut end = self.at;
        for (index, point) in points.iter().enumerate() {
            end = rounded(*point);
            let between = if index == 0 { "" } else { " " };
            self.picture.push_str(&format!("{between}{} {}", end.0 - self.at.0, end.1 - self.at.1));
        }
        self.at = end;
    }

    fn close(&mut self) {
        self.at = self.start;
        self.picture.push('z');
    }
}

fn rounded(point: Point) -> (i32, i32) {
    (point.x.round() as i32, point.y.round() as i32)
}
