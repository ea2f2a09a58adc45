//! A drawing as SVG: self-contained markup that any browser or office program shows.

use std::fmt::Write;

use crate::map_draw::{Anchor, Colour, Drawing, Mark, Text};
use crate::surface::Point;

/// Writes a drawing as an SVG document (SVG 1.1).
pub(crate) fn write(drawing: &Drawing, title: &str) -> String {
    let (width, height) = (drawing.width, drawing.height);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\" font-family=\"sans-serif\" \
         stroke-linejoin=\"round\" stroke-linecap=\"round\">\n\
         <title>{}</title>\n<rect width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>\n",
        escape(title)
    );
    for mark in &drawing.marks {
        // Writing to a String cannot fail.
        let _ = match mark {
            Mark::Area { rings, fill } => {
                let path = path(rings, true);
                writeln!(svg, "<path d=\"{path}\" fill=\"{}\"/>", hex(*fill))
            }
            Mark::Lines {
                lines,
                width,
                colour,
            } => writeln!(
                svg,
                "<path d=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"/>",
                path(lines, false),
                hex(*colour),
                number(*width)
            ),
            Mark::Text(text) => {
                if let Some(halo) = text.halo {
                    let stroke = format!(" stroke=\"{}\" stroke-width=\"4\"", hex(halo));
                    words(&mut svg, text, halo, &stroke);
                }
                words(&mut svg, text, text.colour, "");
                Ok(())
            }
        };
    }
    svg.push_str("</svg>\n");
    svg
}

fn words(svg: &mut String, text: &Text, fill: Colour, stroke: &str) {
    let em = text.size.em();
    let anchor = match text.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
    };
    let weight = if text.bold { "bold" } else { "normal" };
    let _ = writeln!(
        svg,
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\" font-weight=\"{weight}\" \
         text-anchor=\"{anchor}\" fill=\"{}\"{stroke}>{}</text>",
        number(text.at.x),
        // Capitals are about 0.72 em high.
        number(text.at.y + 0.36 * em),
        number(em),
        hex(fill),
        escape(&text.text)
    );
}

/// Path data. Points that fall together after rounding are written once.
fn path(lines: &[Vec<Point>], close: bool) -> String {
    let mut path = String::new();
    for line in lines {
        let mut last = String::new();
        for (index, at) in line.iter().enumerate() {
            let place = format!("{} {}", number(at.x), number(at.y));
            if place == last {
                continue;
            }
            path.push(if index == 0 { 'M' } else { 'L' });
            path.push_str(&place);
            last = place;
        }
        if close {
            path.push('Z');
        }
    }
    path
}

/// A number to a tenth of a pixel.
fn number(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    // Adding nothing turns minus zero into zero.
    format!("{}", tenths + 0.0)
}

fn hex(Colour(red, green, blue): Colour) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// Text made safe for markup. Characters that XML 1.0 does not allow become a space.
fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => safe.push(' '),
            control if control.is_control() => safe.push(' '),
            other => safe.push(other),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_escaped() {
        assert_eq!(
            escape("Hall <&\"'> \u{7}\u{ffff}é"),
            "Hall &lt;&amp;&quot;&#39;&gt;   é"
        );
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(number(-0.04), "0");
        assert_eq!(number(12.25), "12.3");
        assert_eq!(number(1200.0), "1200");
    }

    #[test]
    fn a_path_leaves_out_repeats() {
        let line = [(0.0, 0.0), (0.01, 0.0), (5.0, 0.0), (5.0, 5.0)];
        let line = line.map(|(x, y)| Point::new(x, y)).to_vec();
        assert_eq!(path(&[line], true), "M0 0L5 0L5 5Z");
    }
}
