//! The plan of a map: shades, contours, outline and symbols.

use crate::contour::Contours;
use crate::map::MapInput;
use crate::map_bands::{Band, Bands};
use crate::map_draw::{Colour, Drawing, Mark, Size, closed};
use crate::map_labels::Lettering;
use crate::map_layout::{Fit, Frame, Labels};
use crate::map_symbols as symbols;
use crate::surface::Point;

/// More marks of readings than this would hide the floor.
const MOST_READINGS: usize = 100;

/// Draws plans.
pub(crate) struct Plan<'a> {
    /// What to draw.
    pub(crate) input: &'a MapInput<'a>,
    /// Its shades.
    pub(crate) bands: &'a Bands,
    /// Where it stands on the page.
    pub(crate) fit: Fit,
    /// The edge of the floor, on the page.
    pub(crate) floor: Vec<Vec<Point>>,
    /// The outline of the room, on the page.
    pub(crate) outline: Vec<Vec<Point>>,
}

impl Plan<'_> {
    /// Draws the plan with these of its readings, and labels inside a frame of the page.
    pub(crate) fn draw(
        &self,
        drawing: &mut Drawing,
        contours: &Contours<'_>,
        readings: &[(Point, f64)],
        frame: Frame,
    ) {
        let marked: Vec<Point> = readings.iter().map(|(at, _)| *at).collect();
        let mut lettering = Lettering {
            floor: &self.floor,
            outline: &self.outline,
            readings: &marked,
            labels: Labels::new(frame),
        };
        let lines = self.ground(drawing, contours);
        for (from, to) in self.input.joints {
            let (from, to) = (self.fit.point(*from), self.fit.point(*to));
            symbols::joint(drawing, from, to);
            let (width, height) = ((to.x - from.x).abs(), (to.y - from.y).abs());
            let reach = 2.0 * symbols::JOINT;
            let middle = from.toward(to, 0.5);
            let frame = Frame::around(middle, width + reach, height + reach);
            lettering.labels.take(frame);
        }
        drawing.lines(closed(&self.outline), 3.5, Colour::INK);
        for at in &marked {
            symbols::reading(drawing, *at);
            let size = 2.0 * symbols::READING;
            lettering.labels.take(Frame::around(*at, size, size));
        }
        // Notes come first, for they say what to do; then what fits of the rest.
        self.features(drawing, &mut lettering);
        for (line, band) in &lines {
            // The depth on the line is that of the upper edge of the band below it.
            let text = (self.input.length_label)(self.bands.shown(band.top));
            lettering.contour(drawing, line, &text, band.fill);
        }
        for &(at, height) in readings {
            let is_dry = self.bands.is_dry(height);
            let ground = (!is_dry).then(|| self.bands.fill(height));
            let text = self.reading_label(height);
            lettering.reading(drawing, at, &text, ground);
        }
    }

    /// Shades the floor and draws the contours; gives each line with the band below it.
    fn ground(&self, drawing: &mut Drawing, contours: &Contours<'_>) -> Vec<(Vec<Point>, Band)> {
        let bands = &self.bands.bands;
        // Each shade is laid over the lighter one before it, so no gap can show between them.
        match bands.first() {
            Some(first) if !self.bands.dry => drawing.marks.push(Mark::Area {
                rings: self.floor.clone(),
                fill: first.fill,
            }),
            _ => symbols::dry(drawing, self.floor.clone()),
        }
        let mut found = Vec::new();
        for band in bands.iter().skip(usize::from(!self.bands.dry)) {
            let region = contours.below(band.top);
            drawing.marks.push(Mark::Area {
                rings: self.fit.lines(&region.rings),
                fill: band.fill,
            });
            let lines = self.fit.lines(&region.lines);
            found.extend(lines.into_iter().map(|line| (line, *band)));
        }
        for (line, band) in &found {
            // The edge of the dry floor stands out.
            let is_shore = self.bands.level.is_some() && band.least == 0.0;
            let width = if is_shore { 3.0 } else { 1.5 };
            drawing.lines(vec![line.clone()], width, band.fill.ink());
        }
        found
    }

    /// What stands beside a reading.
    fn reading_label(&self, height: f64) -> String {
        if self.bands.is_dry(height) {
            "dry".to_owned()
        } else {
            (self.input.length_label)(self.bands.shown(height))
        }
    }

    /// Readings to mark, on the page, with their heights; fewer when their labels would not
    /// stand side by side.
    pub(crate) fn readings(&self) -> Vec<(Point, f64)> {
        let all = &self.input.surface.vertices[..self.input.surface.readings()];
        let width = |height: f64| Size::Small.width(&self.reading_label(height));
        let widest = all.iter().map(|r| width(r.height)).fold(0.0, f64::max);
        // Not all labels are as wide as the widest.
        let (mut across, mut along) = ((0.85 * widest).max(24.0), 24.0);
        loop {
            let mut marked: Vec<(Point, f64)> = Vec::new();
            for reading in all {
                let at = self.fit.point(reading.at);
                let is_near = |(other, _): &(Point, f64)| {
                    (other.x - at.x).abs() < across && (other.y - at.y).abs() < along
                };
                if !marked.iter().any(is_near) {
                    marked.push((at, reading.height));
                }
                if marked.len() > MOST_READINGS {
                    break;
                }
            }
            if marked.len() <= MOST_READINGS {
                return marked;
            }
            // First as far apart one way as the other, then further apart both ways.
            if along >= across {
                across *= 1.25;
            }
            along *= 1.25;
        }
    }

    /// Registers, dams and high spots, then the words beside them, which keep off them all.
    fn features(&self, drawing: &mut Drawing, lettering: &mut Lettering<'_>) {
        let mut notes: Vec<(Frame, &str, bool)> = Vec::new();
        let dams = self.input.openings.iter().map(|opening| (opening, true));
        let registers = self
            .input
            .registers
            .iter()
            .map(|register| (register, false));
        for (feature, is_dam) in registers.chain(dams) {
            let (from, to) = (self.fit.point(feature.from), self.fit.point(feature.to));
            let reach = if is_dam {
                symbols::dam(drawing, from, to);
                symbols::DAM
            } else {
                symbols::register(drawing, from, to);
                1.0
            };
            let (width, height) = ((to.x - from.x).abs(), (to.y - from.y).abs());
            let middle = from.toward(to, 0.5);
            let frame = Frame::around(middle, width + 2.0 * reach, height + 2.0 * reach);
            notes.push((frame, &feature.text, false));
        }
        for spot in self.input.high_spots {
            let at = self.fit.point(spot.at);
            symbols::high_spot(drawing, at);
            let reach = 2.0 * symbols::HIGH_SPOT + 4.0;
            notes.push((Frame::around(at, reach, reach), &spot.text, true));
        }
        for (frame, _, _) in &notes {
            lettering.labels.take(*frame);
        }
        for (frame, text, bold) in notes {
            if !text.trim().is_empty() {
                lettering.note(drawing, frame, text, bold);
            }
        }
    }
}
