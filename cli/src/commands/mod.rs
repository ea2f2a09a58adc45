//! The commands, one file each.

mod begin;
mod bid;
mod cuts;
mod explain;
mod heat;
mod layout;
mod prove;
mod survey;
mod tryout;
mod words;

use engine::diag::Outcome;
use engine::workbook::Pictures;

use crate::args::Command;
use crate::print::Terminal;

/// Runs a command.
pub(crate) fn run(command: Command, terminal: &mut Terminal<'_>) -> Outcome<()> {
    match command {
        Command::Tryout { folder, metric } => tryout::run(&folder, metric, terminal),
        Command::Bid {
            takeoff,
            out,
            shop,
            no_maps,
            json,
        } => {
            let pictures = if no_maps {
                Pictures::LeftOut
            } else {
                Pictures::Drawn
            };
            bid::run(&takeoff, out, shop.as_ref(), (pictures, json), terminal)
        }
        Command::Explain {
            takeoff,
            what,
            shop,
            json,
        } => explain::run(&takeoff, &what, shop.as_ref(), json, terminal),
        Command::Survey {
            takeoff,
            room,
            shop,
            json,
        } => survey::run(&takeoff, room.as_deref(), shop.as_ref(), json, terminal),
        Command::Cuts {
            takeoff,
            shop,
            json,
        } => cuts::run(&takeoff, shop.as_ref(), json, terminal),
        Command::Heat {
            takeoff,
            room,
            shop,
            json,
        } => heat::run(&takeoff, room.as_deref(), shop.as_ref(), json, terminal),
        Command::Layout {
            takeoff,
            room,
            shop,
            json,
        } => layout::run(&takeoff, room.as_deref(), shop.as_ref(), json, terminal),
        Command::Begin { folder, metric } => begin::run(&folder, metric, terminal),
        Command::Words { name, json } => words::run(name.as_deref(), json, terminal),
        Command::Prove { recipe, shop, json } => {
            prove::run(recipe.as_deref(), shop.as_ref(), json, terminal)
        }
    }
}
