//! Against a floor measured by a public laboratory, and closed forms.

use super::*;

/// Elevations in mm, 300 mm apart, of a concrete test pad: SLAC, Alignment Engineering
/// Group, SPEAR3 concrete test pad, 2003-05-05, "based on ASTM E1155M-96 (2001)".
const PAD: [&[f64]; 5] = [
    &[
        418.617, 419.938, 421.894, 423.748, 425.221, 424.739, 423.799, 424.307, 425.425, 424.688,
        423.164, 422.758, 420.472, 416.738,
    ],
    &[
        418.592, 421.081, 422.072, 421.513, 420.040, 421.132, 420.675, 421.640, 421.894, 421.538,
        421.183, 421.894, 419.684, 420.040, 417.982,
    ],
    &[
        418.338, 419.659, 419.227, 419.227, 418.668, 418.186, 418.973, 419.379, 420.141, 419.532,
        418.643, 418.719, 416.763, 414.782,
    ],
    &[
        418.617, 418.973, 419.100, 420.878, 419.989, 419.227, 419.684, 420.751, 420.065, 421.259,
        421.386, 418.846, 419.887, 418.363,
    ],
    &[
        418.846, 418.135, 418.998, 419.405, 420.294, 420.370, 421.640, 421.259, 422.910, 423.926,
        424.053, 423.164, 422.732, 422.834, 421.513,
    ],
];

/// The curvatures in mm that the same sheet prints, by lines.
const PAD_CURVATURES: [&[f64]; 5] = [
    &[
        0.635, -0.102, -0.381, -1.956, -0.457, 1.448, 0.610, -1.854, -0.787, 1.118, -1.880, -1.448,
    ],
    &[
        -1.499, -1.549, -0.914, 2.565, -1.549, 1.422, -0.711, -0.610, 0.000, 1.067, -2.921, 2.565,
        -2.413,
    ],
    &[
        -1.753, 0.432, -0.559, 0.076, 1.270, -0.381, 0.356, -1.372, -0.279, 0.965, -2.032, -0.025,
    ],
    &[
        -0.229, 1.651, -2.667, 0.127, 1.219, 0.610, -1.753, 1.880, -1.067, -2.667, 3.581, -2.565,
    ],
    &[
        1.575, -0.457, 0.483, -0.813, 1.194, -1.651, 2.032, -0.635, -0.889, -1.016, 0.457, 0.533,
        -1.422,
    ],
];

/// The area of the pad, 3.36 by 6.11 m, in square inches.
const PAD_AREA: f64 = 3360.0 * 6110.0 / (25.4 * 25.4);

fn pad() -> FNumbers {
    let inches = |line: &&[f64]| line.iter().map(|mm| mm / 25.4).collect();
    let lines: Vec<Vec<f64>> = PAD.iter().map(inches).collect();
    f_numbers(&lines, 300.0 / 25.4, PAD_AREA).unwrap()
}

#[test]
fn curvatures_agree_with_the_printed_sheet() {
    // The sheet rounds to 0.001 mm what was measured in inches, so the last digit may differ by one.
    for (heights, printed) in PAD.iter().zip(PAD_CURVATURES) {
        let found = curvatures(heights);
        assert_eq!(found.len(), printed.len());
        for (q, known) in found.iter().zip(printed) {
            assert!((q - known).abs() < 0.001 + 1e-9, "{q} is not {known}");
        }
    }
}

#[test]
fn numbers_of_the_pad_agree_with_a_second_computation() {
    // The visible part of the sheet ends before the F-numbers. These were computed apart
    // from this code with numpy (diff, std with ddof = 1): they check the arithmetic, not the formulas,
    // which are from memory.
    let flatness = [28.84, 20.44, 34.63, 18.50, 32.49];
    let levelness = [20.21, 45.98, 39.55, 46.65, 37.22];
    let found = pad();
    for (pair, (ff, fl)) in found.lines.iter().zip(flatness.into_iter().zip(levelness)) {
        assert!((pair.flatness.value - ff).abs() < 0.006, "{pair:?}");
        assert!((pair.levelness.value - fl).abs() < 0.006, "{pair:?}");
    }
    assert_eq!(found.overall.flatness.readings, 62);
    assert_eq!(found.overall.levelness.readings, 22);
    assert!((found.overall.levelness.value - 33.0).abs() < 0.05);
}

#[test]
fn samples_combine_by_the_rule_for_two() {
    // F_j F_k sqrt((r_j + r_k) / (r_k F_j^2 + r_j F_k^2)), from memory of the standard.
    let found = pad();
    let [a, b] = [found.lines[0].flatness, found.lines[1].flatness];
    let (r, s) = (a.readings as f64, b.readings as f64);
    let (f, g) = (a.value, b.value);
    let known = f * g * ((r + s) / (s * f * f + r * g * g)).sqrt();
    let both = FNumber::combined([a, b].into_iter());
    assert!((both.value - known).abs() < 1e-12 * known);
}

#[test]
fn the_interval_follows_chi_square() {
    // 12 curvatures have 11 degrees of freedom: scipy.stats.chi2.ppf([0.05, 0.95], 11) =
    // 4.574813, 19.675138.
    let line = pad().lines[0].flatness;
    assert!((line.low / line.value - (4.574_813_f64 / 11.0).sqrt()).abs() < 1e-6);
    assert!((line.high / line.value - (19.675_138_f64 / 11.0).sqrt()).abs() < 1e-6);
    let all = pad().overall.flatness;
    assert!(all.high / all.low < line.high / line.low);
}

#[test]
fn a_zigzag_has_known_numbers() {
    // Heights 0, a, 0, a, ... have curvatures -2a, 2a, ...; of 12 with mean 0 the
    // standard deviation is 2a sqrt(12/11). All z are 0: the levelness is without bound.
    let line: Vec<f64> = (0..14).map(|i| (i % 2) as f64 * 0.125).collect();
    let pair = f_numbers(&[line], 12.0, 1.0).unwrap().lines[0];
    let known = 4.57 / (3.0 * 0.25 * (12.0_f64 / 11.0).sqrt());
    assert!((pair.flatness.value - known).abs() < 1e-12);
    assert_eq!(pair.levelness.value, f64::INFINITY);
}

#[test]
fn a_slope_lowers_levelness_alone() {
    // A rise of 1/8 in a foot has z = 1.25 and no spread: 12.5 / 1.25. It is without curvature.
    let line: Vec<f64> = (0..20).map(|i| i as f64 * 0.125).collect();
    let pair = f_numbers(&[line], 12.0, 1.0).unwrap().overall;
    assert!((pair.levelness.value - 10.0).abs() < 1e-12);
    assert_eq!(pair.flatness.value, f64::INFINITY);
}

#[test]
fn what_the_standard_does_not_allow_is_refused() {
    let line = |points: usize| vec![0.1; points];
    let refusal =
        |lines: &[Vec<f64>], spacing: f64, area: f64| f_numbers(lines, spacing, area * 144.0).err();
    assert_eq!(refusal(&[line(20)], 12.1, 1.0), None);
    assert_eq!(refusal(&[line(20)], 300.0 / 25.4, 1.0), None);
    assert_eq!(refusal(&[line(20)], 24.0, 1.0), Some(Refusal::Spacing));
    assert_eq!(refusal(&[line(20)], f64::NAN, 1.0), Some(Refusal::Spacing));
    assert_eq!(refusal(&[line(20)], 12.0, 0.0), Some(Refusal::Area));
    assert_eq!(refusal(&[], 12.0, 1.0), Some(Refusal::NoLines));
    let short = [line(12), line(11)];
    assert_eq!(refusal(&short, 12.0, 1.0), Some(Refusal::TooShort(1)));
    let broken = [vec![f64::NAN; 12]];
    assert_eq!(refusal(&broken, 12.0, 1.0), Some(Refusal::NotANumber(0)));
}

#[test]
fn a_large_area_needs_many_readings() {
    // 2 sqrt(A) from 320 to 1600 square feet, A / 30 above; from memory of the standard.
    let few = |area: f64| f_numbers(&[vec![0.1; 49]], 12.0, area * 144.0).err();
    let needs = |needed| {
        Some(Refusal::TooFew {
            readings: 39,
            needed,
        })
    };
    assert_eq!(few(380.0), None);
    assert_eq!(few(400.0), needs(40));
    assert_eq!(few(1600.0), needs(80));
    assert_eq!(few(3000.0), needs(100));
}

#[test]
fn refusals_say_which_line() {
    let message = Refusal::TooShort(1).to_string();
    assert!(
        message.starts_with("line 2 has fewer than 12 points"),
        "{message}"
    );
}
