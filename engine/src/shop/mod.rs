//! The shop: settings, price book and recipes, found upward from the takeoff or built in.

mod enter;
mod files;
mod load;
mod pricing;
mod settings;

pub use enter::{FactorEntry, PricingEntries, enter_factors, enter_pricing};
pub use files::{ShopFiles, find_shop};
pub use load::{Workshop, load};
pub use pricing::{Basis, KindPricing, Pricing, Rounding};
pub use settings::ShopSettings;
