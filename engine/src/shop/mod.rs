//! The shop: settings, price book and recipes, found upward from the takeoff or built in.

mod enter;
mod enter_money;
mod fees;
mod files;
mod load;
mod pricing;
mod settings;

pub use enter::{FactorEntry, enter_factors};
pub use enter_money::{
    FeeEntry, KindEntries, PricingEntries, enter_allowances, enter_fees, enter_payments,
    enter_pricing,
};
pub use fees::Payment;
pub use files::{ShopFiles, find_shop};
pub use load::{Workshop, load};
pub use pricing::{Basis, KindPricing, Pricing, Rounding};
pub use settings::ShopSettings;
