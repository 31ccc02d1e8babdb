//! A picture of an SVG, drawn with the same face.

use std::sync::{Arc, LazyLock};

use resvg::tiny_skia::{Color, Pixmap, Transform};
use usvg::fontdb::Database;
use usvg::{Options, Tree};

use super::OutputError;
use super::font::unshaped;
use crate::drawing::{Face, Weight};

/// Most pixels an image may have: A0 at 300 dots per inch has 139 million, and each takes four
/// bytes while it is drawn.
const MOST_PIXELS: f64 = 200e6;

/// Metres in an inch; PNG counts pixels per metre.
const METRES_PER_INCH: f64 = 0.0254;

/// Draws an SVG on white and returns it as an 8-bit grey PNG that states its resolution.
///
/// `svg` gives its size in units of length (as `svg` does), and `dots_per_inch`
/// turns that into pixels, rounded to whole ones.
///
/// # Errors
/// The text is no SVG, or the image would have no pixels or more than 200 million.
pub fn png(svg: &str, dots_per_inch: f64) -> Result<Vec<u8>, OutputError> {
    if !(dots_per_inch.is_finite() && dots_per_inch > 0.0) {
        return Err(OutputError::ImageSize {
            width: 0.0,
            height: 0.0,
            dots_per_inch,
        });
    }
    let options = Options {
        dpi: dots_per_inch as f32,
        fontdb: faces(),
        ..Options::default()
    };
    let tree = Tree::from_str(svg, &options).map_err(|error| OutputError::Svg {
        reason: error.to_string(),
    })?;
    let (width, height) = (
        f64::from(tree.size().width()).round(),
        f64::from(tree.size().height()).round(),
    );
    let refused = OutputError::ImageSize {
        width,
        height,
        dots_per_inch,
    };
    if width < 1.0 || height < 1.0 || width * height > MOST_PIXELS {
        return Err(refused);
    }
    let mut pixmap = Pixmap::new(width as u32, height as u32).ok_or(refused)?;
    pixmap.fill(Color::WHITE);
    resvg::render(&tree, Transform::identity(), &mut pixmap.as_mut());
    encode(&pixmap, dots_per_inch)
}

/// The two weights, as a font database. Its default is empty, and text then vanishes silently.
fn faces() -> Arc<Database> {
    static FACES: LazyLock<Arc<Database>> = LazyLock::new(|| {
        let mut database = Database::new();
        for weight in [Weight::Regular, Weight::Bold] {
            database.load_font_data(unshaped(weight));
        }
        database.set_sans_serif_family(Face::of(Weight::Regular).family);
        Arc::new(database)
    });
    Arc::clone(&FACES)
}

fn encode(pixmap: &Pixmap, dots_per_inch: f64) -> Result<Vec<u8>, OutputError> {
    // Sheets are grey throughout, and the background is opaque, so one channel says everything.
    let greys: Vec<u8> = pixmap.pixels().iter().map(|pixel| pixel.green()).collect();
    let failed = |error: ::png::EncodingError| OutputError::Png {
        reason: error.to_string(),
    };
    let mut bytes = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut bytes, pixmap.width(), pixmap.height());
    encoder.set_color(::png::ColorType::Grayscale);
    encoder.set_depth(::png::BitDepth::Eight);
    let per_metre = (dots_per_inch / METRES_PER_INCH).round() as u32;
    encoder.set_pixel_dims(Some(::png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: ::png::Unit::Meter,
    }));
    let mut writer = encoder.write_header().map_err(failed)?;
    writer.write_image_data(&greys).map_err(failed)?;
    writer.finish().map_err(failed)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::super::svg;
    use super::*;
    use crate::drawing::{Drawing, Text, heights};

    /// Greys of an image with its width and its pixels per metre.
    fn read(bytes: &[u8]) -> (Vec<u8>, usize, u32) {
        let mut reader = ::png::Decoder::new(std::io::Cursor::new(bytes))
            .read_info()
            .unwrap();
        let mut greys = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut greys).unwrap();
        let info = reader.info();
        (greys, info.width as usize, info.pixel_dims.unwrap().xppu)
    }

    #[test]
    fn text_is_drawn_where_it_was_placed_and_nowhere_else() {
        let mut drawing = Drawing::new("", 50.8, 25.4);
        drawing.text(Text::new((5.0, 5.0), heights::HEADING, "1R Bay").bold());
        let (greys, width, per_metre) = read(&png(&svg(&drawing), 100.0).unwrap());
        // 50.8 × 25.4 mm at 100 dots per inch; 100 / 0.0254 m = 3937 per metre (computed).
        assert_eq!((width, greys.len(), per_metre), (200, 200 * 100, 3937));
        let dark = |x: usize, y: usize| greys[y * width + x] < 96;
        let found = (0..200)
            .flat_map(|x| (0..100).map(move |y| (x, y)))
            .filter(|&(x, y)| dark(x, y));
        let found: Vec<_> = found.collect();
        assert!(found.len() > 100, "{} dark pixels", found.len());
        // Baseline 5 mm above the lower edge: y from 20.4 − 3.5 − accents to 20.4 + descender mm.
        assert!(
            found
                .iter()
                .all(|(x, y)| (18..100).contains(x) && (61..87).contains(y)),
            "{found:?}"
        );
        assert_eq!(greys[0], 255, "the background is white");
    }

    #[test]
    fn impossible_images_are_refused() {
        let text = svg(&Drawing::new("", 6500.0, 2700.0));
        for dots_per_inch in [1200.0, 0.0, -5.0, f64::NAN] {
            assert!(
                matches!(
                    png(&text, dots_per_inch),
                    Err(OutputError::ImageSize { .. })
                ),
                "{dots_per_inch}"
            );
        }
        assert!(matches!(
            png("no drawing", 100.0),
            Err(OutputError::Svg { .. })
        ));
    }
}
