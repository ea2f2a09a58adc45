//! Price books that tests of several recipes share, as text.

/// A leveler that may be poured so deep, such as `"6 in"`, and a primer: what leveling asks for. A
/// literal, so that a test's own products may be joined to it with `concat!`.
#[macro_export]
macro_rules! pour_prices {
    ($deepest:literal) => {
        concat!(
            "[products.leveler.\"Check bag\"]\npackage = \"bag\"\nprice = \"$20\"\nyields = \"0.5 cu ft\"\ndepth = \"1/8 in .. ",
            $deepest,
            "\"\nwater = \"5 qt\"\npot_life = \"20 min\"\n\n[products.primer.\"Check jug\"]\npackage = \"jug\"\nprice = \"$50\"\ncoverage = \"300 sq ft\"\n"
        )
    };
}
