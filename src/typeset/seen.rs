//! What of a page's text can be seen. A template of a house that has to say a
//! caution may say it in white, in dust, beside the page or under a box; what is
//! drawn so was not said. Looked at is the middle line of each run, at both ends
//! and halfway.

use typst::layout::{Abs, Frame, FrameItem, Point, Transform};
use typst::visualize::{Curve, FillRule, Geometry, Paint, ProcessColor, Shape};

/// The least contrast with what is under it: that of large text in WCAG 2.2,
/// success criterion 1.4.3. The program's own gray has nine.
const LEAST_CONTRAST: f32 = 3.0;
/// The smallest type, in points; the program's own has six and more.
const SMALLEST: f64 = 4.0;
/// Paint that lets more through covers nothing, and is not read as text.
const OPAQUE: f32 = 0.5;

/// The texts of a page that can be seen, in the order they are drawn.
pub(super) fn seen(page: &Frame) -> Vec<String> {
    let mut drawn = Drawn::default();
    let size = page.size().to_point();
    drawn.collect(page, Transform::identity(), &mut Vec::new());
    let on_page =
        |p: &Point| p.x >= Abs::zero() && p.y >= Abs::zero() && p.x <= size.x && p.y <= size.y;
    let runs = drawn.runs.iter().filter(|run| run.at.iter().all(on_page));
    let seen = runs.filter(|run| run.at.iter().all(|p| drawn.shows(run, *p)));
    seen.map(|run| run.text.clone()).collect()
}

/// A run of text that is large enough and not cut off.
struct Run {
    text: String,
    at: [Point; 3],
    luminance: f32,
    /// How many areas were drawn before it.
    over: usize,
}

/// An area that was painted so that nothing shows through.
struct Area {
    geometry: Geometry,
    rule: FillRule,
    /// From the page to the geometry.
    back: Transform,
    luminance: f32,
}

#[derive(Default)]
struct Drawn {
    runs: Vec<Run>,
    areas: Vec<Area>,
}

impl Drawn {
    fn collect(&mut self, frame: &Frame, to_page: Transform, clips: &mut Vec<(Curve, Transform)>) {
        for (at, item) in frame.items() {
            let here = to_page.pre_concat(Transform::translate(at.x, at.y));
            match item {
                FrameItem::Group(group) => {
                    let inside = here.pre_concat(group.transform);
                    let clip = group.clip.clone().zip(inside.invert());
                    let clipped = clip.is_some();
                    clips.extend(clip);
                    self.collect(&group.frame, inside, clips);
                    if clipped {
                        clips.pop();
                    }
                }
                FrameItem::Text(run) => {
                    // Half the height of a small letter above the base line.
                    let middle = run.size * -0.25;
                    let along = |share: f64| Point::new(run.width() * share, middle);
                    let at = [0.1, 0.5, 0.9].map(|share| along(share).transform(here));
                    let scale = (here.sx.get() * here.sy.get() - here.kx.get() * here.ky.get())
                        .abs()
                        .sqrt();
                    let whole = at.iter().all(|p| {
                        clips.iter().all(|(curve, back)| {
                            curve.contains(FillRule::NonZero, p.transform(*back))
                        })
                    });
                    let luminance = luminance(&run.fill);
                    if let (true, true, Some(luminance)) =
                        (whole, run.size.to_pt() * scale >= SMALLEST, luminance)
                    {
                        self.runs.push(Run {
                            text: run.text.to_string(),
                            at,
                            luminance,
                            over: self.areas.len(),
                        });
                    }
                }
                FrameItem::Shape(shape, _) => self.areas.extend(area(shape, here)),
                _ => {}
            }
        }
    }

    /// Whether the run is seen at a point: nothing lies over it, and it stands out
    /// from what lies under it.
    fn shows(&self, run: &Run, at: Point) -> bool {
        let (under, over) = self.areas.split_at(run.over.min(self.areas.len()));
        let ground = under.iter().rfind(|area| area.covers(at));
        let ground = ground.map_or(1.0, |area| area.luminance);
        let (light, dark) = (run.luminance.max(ground), run.luminance.min(ground));
        (light + 0.05) / (dark + 0.05) >= LEAST_CONTRAST && !over.iter().any(|area| area.covers(at))
    }
}

impl Area {
    fn covers(&self, at: Point) -> bool {
        let at = at.transform(self.back);
        match &self.geometry {
            Geometry::Line(_) => false,
            Geometry::Rect(size) => {
                let (x, y) = (Abs::zero().min(size.x), Abs::zero().min(size.y));
                let (right, low) = (Abs::zero().max(size.x), Abs::zero().max(size.y));
                at.x >= x && at.x <= right && at.y >= y && at.y <= low
            }
            Geometry::Curve(curve) => curve.contains(self.rule, at),
        }
    }
}

fn area(shape: &Shape, here: Transform) -> Option<Area> {
    Some(Area {
        geometry: shape.geometry.clone(),
        rule: shape.fill_rule,
        back: here.invert()?,
        luminance: luminance(shape.fill.as_ref()?)?,
    })
}

/// The relative luminance of a paint (WCAG 2.2, "relative luminance"); none where
/// it lets most through. Gradients and tilings are taken for gray.
fn luminance(paint: &Paint) -> Option<f32> {
    let Paint::Solid(color) = paint else {
        return Some(0.2);
    };
    let [red, green, blue, alpha] = ProcessColor::Rgb(color.to_rgb()).to_vec4();
    let linear = |part: f32| match part <= 0.04045 {
        true => part / 12.92,
        false => ((part + 0.055) / 1.055).powf(2.4),
    };
    let sum = 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue);
    (alpha >= OPAQUE).then_some(sum)
}
