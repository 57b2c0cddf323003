//! The drawing as PNG, set in DejaVu Sans Condensed, which is built in: the same picture on every
//! machine. The face's own licence (Bitstream Vera, free to embed) comes with its crate.

use std::sync::Arc;

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::fontdb::Source;
use resvg::usvg::{Options, Tree};

/// The widest picture that is made \[pixels\].
const WIDEST: u32 = 20_000;

/// A picture of an SVG drawing, so many pixels wide. Fails on text that is no SVG and on widths
/// that are nothing or too much.
pub fn png(svg: &str, width_px: u32) -> Result<Vec<u8>, String> {
    if width_px == 0 || width_px > WIDEST {
        return Err(format!(
            "a picture is 1 to {WIDEST} pixels wide, not {width_px}"
        ));
    }
    let tree = tree(svg)?;
    let scale = width_px as f32 / tree.size().width();
    let height_px = (tree.size().height() * scale).round().max(1.0);
    if height_px > WIDEST as f32 {
        return Err(format!(
            "a picture {width_px} pixels wide would be {height_px} high"
        ));
    }
    let mut pixels = Pixmap::new(width_px, height_px as u32).ok_or("no room for the picture")?;
    pixels.fill(Color::WHITE);
    let transform = Transform::from_scale(scale, scale);
    resvg::render(&tree, transform, &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| error.to_string())
}

/// The drawing as it is set: words become shapes here, or vanish without a face.
pub(super) fn tree(svg: &str) -> Result<Tree, String> {
    let mut options = Options {
        font_family: "DejaVu Sans Condensed".to_string(),
        ..Options::default()
    };
    let faces = options.fontdb_mut();
    for face in [
        dejavu::sans_condensed::regular(),
        dejavu::sans_condensed::bold(),
    ] {
        faces.load_font_source(Source::Binary(Arc::new(face)));
    }
    faces.set_sans_serif_family("DejaVu Sans Condensed");
    Tree::from_str(svg, &options).map_err(|error| error.to_string())
}
