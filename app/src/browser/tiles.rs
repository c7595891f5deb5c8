//! Pictures made of tiles, painted on a canvas: a colour and a hatching for each kind of tile.

use leptos::prelude::window;
use wasm_bindgen::{Clamped, JsCast};
use web_sys::{CanvasRenderingContext2d, Element, HtmlCanvasElement, ImageData, PointerEvent};

/// Lines over the colour of a tile, so far apart; in the units of the style sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hatch {
    /// None.
    Plain,
    /// Falling to the right.
    Falling(u32),
    /// Rising to the right.
    Rising(u32),
    /// Both ways.
    Crossed(u32),
    /// Dots.
    Dotted(u32),
}

impl Hatch {
    fn is_ink(self, x: u32, y: u32, width: u32) -> bool {
        // Added before the remainder so that nothing falls below zero.
        const FAR: u32 = 1 << 20;
        let rising = |apart: u32| (x + y) % apart < width;
        let falling = |apart: u32| (FAR * apart + x - y) % apart < width;
        match self {
            Self::Plain => false,
            Self::Falling(apart) => falling(apart),
            Self::Rising(apart) => rising(apart),
            Self::Crossed(apart) => rising(apart) || falling(apart),
            Self::Dotted(apart) => x % apart < width && y % apart < width,
        }
    }
}

/// Tiles in rows.
pub(crate) struct Tiles<'a> {
    /// How many in a row.
    pub(crate) columns: usize,
    /// The kind of each, row by row.
    pub(crate) kinds: &'a [u8],
    /// The hatching of each kind. Its colour is `--tile-<kind>` of the style sheet, its ink `--tile-ink-<kind>`.
    pub(crate) hatches: &'a [Hatch],
}

/// More dots than this take longer than a frame on a phone; the browser then stretches the picture.
const MOST_DOTS: f64 = 360_000.0;

/// Paints tiles over the whole canvas, as finely as the screen shows it. Nothing happens where there is no canvas to be had.
pub(crate) fn paint(canvas: &HtmlCanvasElement, tiles: &Tiles) {
    let (wide, high) = (f64::from(canvas.client_width()), f64::from(canvas.client_height()));
    let rows = tiles.kinds.len().checked_div(tiles.columns).unwrap_or(0);
    if rows == 0 || wide < 1.0 || high < 1.0 {
        return;
    }
    let scale =
        window().device_pixel_ratio().clamp(1.0, 3.0).min((MOST_DOTS / (wide * high)).sqrt()).max(0.5);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "few enough by then")]
    let [wide, high] = [wide, high].map(|length| (length * scale).round().max(1.0) as u32);
    let inks = colours(canvas, tiles.hatches.len());
    canvas.set_width(wide);
    canvas.set_height(high);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 3")]
    let thick = scale.round().max(1.0) as u32;
    let mut dots: Vec<u8> = Vec::with_capacity((wide * high * 4) as usize);
    let columns: Vec<usize> = (0..wide as usize).map(|x| x * tiles.columns / wide as usize).collect();
    for y in 0..high {
        let row = y as usize * rows / high as usize;
        let kinds = &tiles.kinds[row * tiles.columns..(row + 1) * tiles.columns];
        for (x, column) in (0..wide).zip(&columns) {
            let kind = usize::from(kinds[*column]);
            let (Some(hatch), Some((plain, ink))) = (tiles.hatches.get(kind), inks.get(kind)) else {
                dots.extend([0; 4]);
                continue;
            };
            let apart = hatch.times(thick);
            dots.extend(if apart.is_ink(x, y, thick) { ink } else { plain });
        }
    }
    put(canvas, &dots, wide);
}

impl Hatch {
    fn times(self, by: u32) -> Self {
        match self {
            Self::Plain => Self::Plain,
            Self::Falling(apart) => Self::Falling(apart * by),
            Self::Rising(apart) => Self::Rising(apart * by),
            Self::Crossed(apart) => Self::Crossed(apart * by),
            Self::Dotted(apart) => Self::Dotted(apart * by),
        }
    }
}

fn put(canvas: &HtmlCanvasElement, dots: &[u8], wide: u32) {
    let context = canvas.get_context("2d").ok().flatten();
    let context = context.and_then(|context| context.dyn_into::<CanvasRenderingContext2d>().ok());
    let data = ImageData::new_with_u8_clamped_array(Clamped(dots), wide);
    if let (Some(context), Ok(data)) = (context, data) {
        // Refused only for a picture without dots.
        let _ = context.put_image_data(&data, 0, 0);
    }
}

/// Colour and ink of each kind from the style sheet.
fn colours(canvas: &HtmlCanvasElement, n: usize) -> Vec<([u8; 4], [u8; 4])> {
    let style = window().get_computed_style(canvas).ok().flatten();
    let colour = |name: &str| {
        let text = style.as_ref().and_then(|style| style.get_property_value(name).ok()).unwrap_or_default();
        rgb(text.trim()).unwrap_or([0, 0, 0, 255])
    };
    (0..n).map(|kind| (colour(&format!("--tile-{kind}")), colour(&format!("--tile-ink-{kind}")))).collect()
}

/// `#084c86` and `#fff` as bytes.
fn rgb(text: &str) -> Option<[u8; 4]> {
    let digits = text.strip_prefix('#')?;
    let n = u32::from_str_radix(digits, 16).ok()?;
    let byte = |at: u32| (n >> at) as u8;
    let half = |at: u32| ((n >> at) & 15) as u8 * 17;
    match digits.len() {
        6 => Some([byte(16), byte(8), byte(0), 255]),
        3 => Some([half(8), half(4), half(0), 255]),
        _ => None,
    }
}

/// Where an element was touched: shares of its width and height, 0 to 1.
pub(crate) fn touched_at(event: &PointerEvent) -> Option<(f64, f64)> {
    let element: Element = event.current_target()?.dyn_into().ok()?;
    let area = element.get_bounding_client_rect();
    let share = |at: f64, from: f64, length: f64| ((at - from) / length).clamp(0.0, 1.0);
    (area.width() > 0.0 && area.height() > 0.0).then(|| {
        (
            share(event.client_x(), area.left(), area.width()),
            share(event.client_y(), area.top(), area.height()),
        )
    })
}

/// Whether a pointer is pressed rather than passing over.
pub(crate) fn is_pressed(event: &PointerEvent) -> bool {
    event.buttons() != 0
}
