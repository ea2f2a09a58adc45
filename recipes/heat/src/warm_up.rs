//! How long a heated floor takes to warm up: an estimate by conduction in one dimension.
//!
//! What is assumed: the room stays at the temperature at which all layers start; the heat comes
//! evenly from the lowest millimetres of the mortar, as if the cables were a sheet; below lies
//! insulation, or none, and then concrete without end; the surface gives off heat by the basic
//! curve of EN 1264-2 (from memory: q = 8.92 (tF - ti)^1.1 in W/m2). A wooden floor insulates
//! better than concrete and is warm sooner. Grout, adhesive and furniture are left out.

use std::sync::Arc;

use engine::plugin::{Accepts, Form, Function, Gives, parameter};

use super::conduction::{Layer, Stack};

/// Tile: ISO 10456, ceramic or porcelain tiles (from memory).
const TILE: Layer = layer(1.3, 2300.0 * 840.0, 2);
/// Mortar: ISO 10456, cement and sand (from memory).
const MORTAR: Layer = layer(1.0, 1800.0 * 1000.0, 8);
/// Insulation board: polystyrene foam, common practice, no source.
const INSULATION: Layer = layer(0.035, 30.0 * 1450.0, 4);
/// Concrete of medium density, 2000 kg/m3: ISO 10456:2007 table 3; its heat capacity from memory.
const CONCRETE: Layer = layer(1.35, 2000.0 * 1000.0, 1);
/// Concrete slices, thicker with depth; together they are without end for two days.
const DEPTHS: [f64; 11] = [
    0.004, 0.006, 0.009, 0.013, 0.02, 0.03, 0.045, 0.065, 0.1, 0.15, 0.3,
];

/// Coefficient of the basic curve in W/m2 at a rise of one kelvin.
const CURVE: f64 = 8.92;
/// Steps of the estimate, in seconds.
const STEP: f64 = 60.0;
/// Longest time that is looked at, in steps: two days.
const MOST_STEPS: u32 = 2 * 24 * 60;

const INCH: f64 = 0.0254;

const fn layer(conductivity: f64, capacity: f64, slices: usize) -> Layer {
    Layer {
        thickness: 0.0,
        conductivity,
        capacity,
        slices,
    }
}

/// A floor with heating, in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatedFloor {
    /// Heat from the cables, in W/m2.
    pub flux: f64,
    /// Mortar over the floor, in metres.
    pub mortar: f64,
    /// Tile, in metres.
    pub tile: f64,
    /// Insulation below the mortar, in metres; 0 is none.
    pub insulation: f64,
}

impl HeatedFloor {
    /// Seconds until the surface has risen so many kelvin; two days where it takes longer, or
    /// never comes about.
    pub fn time_to(&self, rise: f64) -> f64 {
        let mut layers = vec![
            Layer {
                thickness: self.tile,
                ..TILE
            },
            Layer {
                thickness: self.mortar,
                ..MORTAR
            },
            Layer {
                thickness: self.insulation,
                ..INSULATION
            },
        ];
        layers.extend(DEPTHS.map(|thickness| Layer {
            thickness,
            ..CONCRETE
        }));
        let mut stack = Stack::new(&layers, 2);
        for step in 1..=MOST_STEPS {
            let before = stack.surface();
            stack.advance(STEP, self.flux, |rise| CURVE * rise.max(0.0).powf(0.1));
            let now = stack.surface();
            if now >= rise {
                let part = (rise - before) / (now - before);
                return (f64::from(step - 1) + part) * STEP;
            }
        }
        f64::from(MOST_STEPS) * STEP
    }
}

/// The word `warm_up`.
pub(super) fn function() -> Function {
    Function {
        name: "warm_up",
        parameters: vec![
            parameter("density", Accepts::In("W/m2")),
            parameter("rise", Accepts::In("K")),
            parameter("mortar", Accepts::In("mm")),
            parameter("tile", Accepts::In("mm")),
            parameter("insulation", Accepts::In("mm")),
        ],
        repeats: false,
        gives: Gives::In("h"),
        sentence: "About how long a floor heated from the bottom of its mortar takes until its surface has risen so far over the room, by conduction in one dimension into tile, mortar, insulation (0 is none) and concrete without end; two days stand for longer or never.",
        example: "warm_up(12.W / 1.sqft, 5.K, 15.mm, 10.mm, 10.mm) < 2.h",
        body: Arc::new(|a| {
            if a[0] < 0.0 || a[1] <= 0.0 || a[2] <= 0.0 || a[3] < 0.0 || a[4] < 0.0 {
                return Err("warming up needs mortar and a rise, and nothing negative".to_owned());
            }
            let floor = HeatedFloor {
                flux: a[0] / (INCH * INCH),
                mortar: a[2] * INCH,
                tile: a[3] * INCH,
                insulation: a[4] * INCH,
            };
            Ok(floor.time_to(a[1] / 1.8))
        }),
        form: Form::Fixed,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FLOOR: HeatedFloor = HeatedFloor {
        flux: 129.0,
        mortar: 0.015,
        tile: 0.010,
        insulation: 0.010,
    };

    /// Until the surface loses heat, tile and mortar over tight insulation take
    /// c d rise / q seconds; with losses it takes longer, but not twice as long.
    #[test]
    fn an_insulated_floor_warms_about_as_fast_as_its_heat_capacity_allows() {
        let capacity = TILE.capacity * FLOOR.tile + MORTAR.capacity * FLOOR.mortar;
        let least = capacity * 5.0 / FLOOR.flux;
        let found = FLOOR.time_to(5.0);
        assert!(
            found > least && found < 2.0 * least,
            "{found} s, at least {least} s"
        );
    }

    #[test]
    fn insulation_and_watts_shorten_the_time_and_mass_lengthens_it() {
        let time = |floor: HeatedFloor| floor.time_to(5.0);
        let plain = time(FLOOR);
        assert!(
            time(HeatedFloor {
                insulation: 0.0,
                ..FLOOR
            }) > 1.5 * plain
        );
        assert!(
            time(HeatedFloor {
                flux: 160.0,
                ..FLOOR
            }) < plain
        );
        assert!(
            time(HeatedFloor {
                mortar: 0.03,
                ..FLOOR
            }) > plain
        );
        assert!(
            time(HeatedFloor {
                tile: 0.02,
                ..FLOOR
            }) > plain
        );
        assert!(FLOOR.time_to(6.0) > plain);
    }

    #[test]
    fn what_never_comes_about_stands_as_two_days() {
        assert_eq!(
            HeatedFloor {
                flux: 20.0,
                ..FLOOR
            }
            .time_to(9.0),
            172_800.0
        );
        assert_eq!(HeatedFloor { flux: 0.0, ..FLOOR }.time_to(1.0), 172_800.0);
    }

    /// Finer slices and steps must not change the estimate by more than it is worth.
    #[test]
    fn the_slices_are_fine_enough() {
        let layers = |finer: usize| {
            let cut = |layer: Layer, thickness| Layer {
                thickness,
                slices: layer.slices * finer,
                ..layer
            };
            let mut layers = vec![
                cut(TILE, FLOOR.tile),
                cut(MORTAR, FLOOR.mortar),
                cut(INSULATION, 0.0),
            ];
            layers.extend(DEPTHS.map(|thickness| cut(CONCRETE, thickness)));
            layers
        };
        let after_three_hours = |finer: usize, step: f64| {
            let mut stack = Stack::new(&layers(finer), 2);
            let steps = (3.0 * 3600.0 / step) as usize;
            for _ in 0..steps {
                stack.advance(step, FLOOR.flux, |rise| CURVE * rise.max(0.0).powf(0.1));
            }
            stack.surface()
        };
        let (coarse, fine) = (after_three_hours(1, STEP), after_three_hours(8, 10.0));
        assert!((coarse - fine).abs() < 0.1, "{coarse} K against {fine} K");
    }
}
