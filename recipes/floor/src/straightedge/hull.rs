//! The thickness of the convex hull of a profile.

/// Room for the two halves of a convex hull, kept between uses.
#[derive(Default)]
pub(super) struct Hull {
    above: Vec<(f64, f64)>,
    below: Vec<(f64, f64)>,
}

impl Hull {
    /// The greatest vertical thickness of the hull of a profile between two distances, and
    /// the distance where it is found.
    pub(super) fn thickness(&mut self, profile: &[(f64, f64)], from: f64, to: f64) -> (f64, f64) {
        self.above.clear();
        self.below.clear();
        let first = profile.partition_point(|point| point.0 <= from);
        let inside = profile[first..].iter().take_while(|point| point.0 < to);
        self.push(height_at(profile, from));
        for point in inside {
            self.push(*point);
        }
        self.push(height_at(profile, to));
        let (over, under) = (
            tallest(&self.above, &self.below),
            tallest(&self.below, &self.above),
        );
        if over.0 >= under.0 { over } else { under }
    }

    /// Adds the next point to both halves and drops the points that it hides.
    fn push(&mut self, point: (f64, f64)) {
        add(&mut self.above, point, |turn| turn >= 0.0);
        add(&mut self.below, point, |turn| turn <= 0.0);
    }
}

fn add(half: &mut Vec<(f64, f64)>, point: (f64, f64), hidden: impl Fn(f64) -> bool) {
    while let [.., a, b] = half[..] {
        let turn = (b.0 - a.0) * (point.1 - a.1) - (b.1 - a.1) * (point.0 - a.0);
        if !hidden(turn) {
            break;
        }
        half.pop();
    }
    half.push(point);
}

/// The corner of one half that is farthest from the other half.
fn tallest(corners: &[(f64, f64)], other: &[(f64, f64)]) -> (f64, f64) {
    let mut best = (0.0, corners[0].0);
    let mut edge = 0;
    for corner in corners {
        while edge + 2 < other.len() && other[edge + 1].0 < corner.0 {
            edge += 1;
        }
        let gap = (corner.1 - on_line(other[edge], other[edge + 1], corner.0)).abs();
        if gap > best.0 {
            best = (gap, corner.0);
        }
    }
    best
}

/// The point of a profile at a distance.
pub(super) fn height_at(profile: &[(f64, f64)], at: f64) -> (f64, f64) {
    let next = profile.partition_point(|point| point.0 < at);
    let next = next.clamp(1, profile.len() - 1);
    (at, on_line(profile[next - 1], profile[next], at))
}

fn on_line(a: (f64, f64), b: (f64, f64), at: f64) -> f64 {
    let run = b.0 - a.0;
    if run <= 0.0 {
        return a.1;
    }
    a.1 + (b.1 - a.1) * (at - a.0) / run
}
