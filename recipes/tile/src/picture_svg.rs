//! A picture as SVG: self-contained markup that any browser or office program shows.

use std::fmt::Write;

use crate::picture::{Grey, INK, Mark, Picture, Text, WHITE};
use crate::shape::Point;

/// Writes a picture as an SVG document (SVG 1.1).
pub(crate) fn write(picture: &Picture, title: &str) -> String {
    let (width, height) = (picture.width, picture.height);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\" font-family=\"sans-serif\" \
         stroke-linejoin=\"round\" stroke-linecap=\"butt\">\n\
         <title>{}</title>\n<rect width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>\n",
        escape(title)
    );
    for mark in &picture.marks {
        // Writing to a String cannot fail.
        let _ = match mark {
            Mark::Area { rings, fill } => {
                let path = path(rings, true);
                writeln!(svg, "<path d=\"{path}\" fill=\"{}\"/>", hex(*fill))
            }
            Mark::Lines {
                lines,
                width,
                shade,
            } => writeln!(
                svg,
                "<path d=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"/>",
                path(lines, false),
                hex(*shade),
                number(*width)
            ),
            Mark::Text(text) => {
                if text.centred {
                    words(
                        &mut svg,
                        text,
                        WHITE,
                        " stroke=\"#ffffff\" stroke-width=\"5\"",
                    );
                }
                words(&mut svg, text, INK, "");
                Ok(())
            }
        };
    }
    svg.push_str("</svg>\n");
    svg
}

fn words(svg: &mut String, text: &Text, fill: Grey, stroke: &str) {
    let anchor = if text.centred { "middle" } else { "start" };
    let weight = if text.large || text.centred {
        "bold"
    } else {
        "normal"
    };
    let _ = writeln!(
        svg,
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\" font-weight=\"{weight}\" \
         text-anchor=\"{anchor}\" fill=\"{}\"{stroke}>{}</text>",
        number(text.at.x),
        // Capitals are about 0.72 em high.
        number(text.at.y + 0.36 * text.em()),
        number(text.em()),
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

fn hex(shade: Grey) -> String {
    format!("#{shade:02x}{shade:02x}{shade:02x}")
}

/// Text made safe for markup. Characters that XML 1.0 does not allow become a space.
fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
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
    fn text_is_escaped_and_numbers_are_short() {
        assert_eq!(escape("A <&> \u{7}\u{ffff}é"), "A &lt;&amp;&gt;   é");
        assert_eq!(
            (number(-0.04), number(12.25)),
            ("0".to_owned(), "12.3".to_owned())
        );
        let line = [(0.0, 0.0), (0.01, 0.0), (5.0, 0.0), (5.0, 5.0)];
        let line = line.map(|(x, y)| Point::new(x, y)).to_vec();
        assert_eq!(path(&[line], true), "M0 0L5 0L5 5Z");
    }
}
