//! How it is asked whether a repair lasts, wherever one is recorded.

use crate::screen::kind::Asks;
use crate::screen::layers::Layer;

/// Lasting or temporary; the first is lasting.
pub fn ask_lasts<A: Asks>(ask: A::Pick) -> Layer<A> {
    let options = [
        "lasting",
        "temporary: tape, plug, clamp, by-pass, a borrowed or wrong part",
    ];
    let options = options.map(str::to_owned).to_vec();
    Layer::choice("Lasting or temporary?", options, ask)
}

/// Until when a temporary one is to hold.
pub fn ask_until<A: Asks>(ask: A::Line) -> Layer<A> {
    Layer::line(
        "Until when is it to hold?",
        "a date, a meter reading such as 1260 h, or words such as next harbour",
        ask,
    )
}
