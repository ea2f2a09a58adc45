//! Heat conduction in one dimension through layers, by finite volumes and the Crank-Nicolson
//! scheme. All in SI units; temperatures are rises over the start.

/// A layer, as it lies below the one before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Thickness in metres; a layer without thickness is left out.
    pub thickness: f64,
    /// Thermal conductivity in W/(m K).
    pub conductivity: f64,
    /// Heat capacity by volume in J/(m3 K).
    pub capacity: f64,
    /// Into how many equal slices it is cut.
    pub slices: usize,
}

/// A stack of layers with a source of heat in one slice, open at the top and tight at the bottom.
#[derive(Clone, Debug)]
pub struct Stack {
    /// Heat that each slice takes for one kelvin, in J/(m2 K).
    capacities: Vec<f64>,
    /// Conductance from the middle of each slice to the middle of the next, in W/(m2 K).
    between: Vec<f64>,
    /// Resistance from the middle of the first slice to the surface, in m2 K/W.
    to_surface: f64,
    /// Rise of each slice in kelvin.
    rises: Vec<f64>,
    source: usize,
    surface: f64,
}

impl Stack {
    /// A stack of layers from the top down, all at the temperature of the start. The heat comes
    /// from the lowest slice of the layers before `below`.
    pub fn new(layers: &[Layer], below: usize) -> Self {
        let mut slices: Vec<(f64, f64, f64)> = Vec::new();
        let mut source = 0;
        for (index, layer) in layers.iter().enumerate() {
            if index == below {
                source = slices.len().saturating_sub(1);
            }
            if layer.thickness > 0.0 {
                let count = layer.slices.max(1);
                let width = layer.thickness / count as f64;
                let slice = (width, layer.conductivity, layer.capacity);
                slices.extend(std::iter::repeat_n(slice, count));
            }
        }
        let half = |(width, conductivity, _): &(f64, f64, f64)| width / conductivity / 2.0;
        Self {
            capacities: slices.iter().map(|(w, _, c)| w * c).collect(),
            between: slices
                .windows(2)
                .map(|pair| 1.0 / (half(&pair[0]) + half(&pair[1])))
                .collect(),
            to_surface: slices.first().map_or(0.0, half),
            rises: vec![0.0; slices.len()],
            source,
            surface: 0.0,
        }
    }

    /// Rise of the surface, in kelvin.
    pub fn surface(&self) -> f64 {
        self.surface
    }

    /// Heat stored since the start, in J/m2.
    pub fn stored(&self) -> f64 {
        let pairs = self.capacities.iter().zip(&self.rises);
        pairs.map(|(capacity, rise)| capacity * rise).sum()
    }

    /// Goes on by a time in seconds with a heat flux in W/m2 from the source; `loss` gives the
    /// surface's heat transfer in W/(m2 K) at its rise. Gives the heat lost upward, in J/m2.
    pub fn advance(&mut self, time: f64, flux: f64, loss: impl Fn(f64) -> f64) -> f64 {
        let count = self.rises.len();
        let transfer = loss(self.surface);
        let up = transfer / (1.0 + transfer * self.to_surface);
        // Half of each flow is taken at the old rises, half at the new ones.
        let mut diagonal = vec![0.0; count];
        let mut known = vec![0.0; count];
        for index in 0..count {
            let above = if index == 0 {
                up
            } else {
                self.between[index - 1]
            };
            let below = self.between.get(index).copied().unwrap_or(0.0);
            let stored = self.capacities[index] / time;
            diagonal[index] = stored + (above + below) / 2.0;
            known[index] = (stored - (above + below) / 2.0) * self.rises[index];
            if index > 0 {
                known[index] += above / 2.0 * self.rises[index - 1];
            }
            if index + 1 < count {
                known[index] += below / 2.0 * self.rises[index + 1];
            }
        }
        known[self.source] += flux;
        let before = self.rises[0];
        self.rises = solve(&mut diagonal, &self.between, known);
        let middle = self.rises[0];
        self.surface = middle / (1.0 + transfer * self.to_surface);
        if self.source == 0 && transfer == 0.0 {
            // All of the flux passes from the surface to the middle of its slice.
            self.surface = middle + flux * self.to_surface;
        }
        up * (before + middle) / 2.0 * time
    }
}

/// Solves the tridiagonal equations by elimination; off the diagonal stands minus half of what
/// conducts between two slices.
fn solve(diagonal: &mut [f64], between: &[f64], mut known: Vec<f64>) -> Vec<f64> {
    for index in 1..known.len() {
        let off = -between[index - 1] / 2.0;
        let factor = off / diagonal[index - 1];
        diagonal[index] -= factor * off;
        known[index] -= factor * known[index - 1];
    }
    for index in (0..known.len()).rev() {
        if index + 1 < known.len() {
            known[index] += between[index] / 2.0 * known[index + 1];
        }
        known[index] /= diagonal[index];
    }
    known
}

#[cfg(test)]
mod tests {
    use super::*;

    const CONCRETE: Layer = Layer {
        thickness: 2.0,
        conductivity: 1.35,
        capacity: 2_000_000.0,
        slices: 1000,
    };

    /// Constant flux into a semi-infinite solid: surface rise 2 q / k sqrt(a t / pi)
    /// (Carslaw and Jaeger, Conduction of Heat in Solids; from memory). Two metres are without
    /// end for a few hours.
    #[test]
    fn a_thick_solid_warms_as_the_closed_form_says() {
        let mut stack = Stack::new(&[CONCRETE], 1);
        stack.source = 0;
        let flux = 150.0;
        for minute in 1..=360 {
            stack.advance(60.0, flux, |_| 0.0);
            if [60, 180, 360].contains(&minute) {
                let spread = CONCRETE.conductivity / CONCRETE.capacity;
                let time = f64::from(minute) * 60.0;
                let exact = 2.0 * flux / CONCRETE.conductivity
                    * (spread * time / std::f64::consts::PI).sqrt();
                let off = (stack.surface() / exact - 1.0).abs();
                assert!(
                    off < 2e-3,
                    "{minute} min: {} K, exact {exact} K",
                    stack.surface()
                );
            }
        }
    }

    /// What goes in is stored or lost; there is no third.
    #[test]
    fn no_heat_is_lost_or_made() {
        let layers = [
            Layer {
                thickness: 0.010,
                conductivity: 1.3,
                capacity: 1.9e6,
                slices: 5,
            },
            Layer {
                thickness: 0.015,
                conductivity: 1.0,
                capacity: 1.8e6,
                slices: 8,
            },
            Layer {
                thickness: 0.0,
                ..CONCRETE
            },
            Layer {
                thickness: 0.3,
                slices: 60,
                ..CONCRETE
            },
        ];
        let mut stack = Stack::new(&layers, 2);
        let (flux, step) = (130.0, 45.0);
        let mut lost = 0.0;
        for count in 1..=500 {
            lost += stack.advance(step, flux, |rise| 8.92 * rise.max(0.0).powf(0.1));
            let given = flux * step * f64::from(count);
            assert!((stack.stored() + lost - given).abs() < 1e-9 * given);
        }
        assert!(lost > 0.1 * stack.stored(), "much of it went up: {lost}");
    }

    /// Tight at the bottom, all heat goes up in the end: the surface rises to (q / 8.92)^(1/1.1).
    #[test]
    fn in_the_end_all_heat_goes_up() {
        let layer = Layer {
            thickness: 0.03,
            slices: 15,
            ..CONCRETE
        };
        let mut stack = Stack::new(&[layer], 1);
        for _ in 0..5000 {
            stack.advance(60.0, 100.0, |rise| 8.92 * rise.max(0.0).powf(0.1));
        }
        let exact = (100.0f64 / 8.92).powf(1.0 / 1.1);
        assert!(
            (stack.surface() - exact).abs() < 1e-6,
            "{} K",
            stack.surface()
        );
    }
}
