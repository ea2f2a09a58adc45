//! What can be typed on the command line.

use std::path::PathBuf;

use clap::{Parser, Subcommand};

/// Prices floor preparation and tile jobs from a measured sheet.
///
/// A takeoff (a spreadsheet with a row for each room) goes in; a bid workbook
/// comes out in which every number is live and explains itself. Yields, prices
/// and recipes are the shop's own: they lie in a folder beside the job.
#[derive(Debug, Parser)]
#[command(name = "pourwright", version, max_term_width = 92)]
pub(crate) struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Lay out the built-in demo job in a folder and price it.
    Tryout {
        /// Folder to make; it must not exist or be empty.
        #[arg(default_value = "pourwright-demo")]
        folder: PathBuf,
        /// Lay out the demo job in SI units and euros instead.
        #[arg(long)]
        metric: bool,
    },
    /// Price a takeoff and write the bid workbook.
    Bid {
        /// The takeoff: an .xlsx or .csv file with a sheet of rooms.
        takeoff: PathBuf,
        /// Workbook to write; otherwise it is put beside the takeoff.
        #[arg(short, long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Shop folder; otherwise the nearest one above the takeoff.
        #[arg(long, value_name = "FOLDER")]
        shop: Option<PathBuf>,
        /// Leave the maps of surveyed floors out of the workbook; drawing them takes time.
        #[arg(long)]
        no_maps: bool,
        /// Print the result as JSON, for other programs.
        #[arg(long)]
        json: bool,
    },
    /// Show how a number came about, back to what was measured or priced.
    ///
    /// Name a room and a cell (explain job.xlsx Kitchen depth), a room and an
    /// item, a room and "price", or one item or "total" alone.
    Explain {
        /// The takeoff.
        takeoff: PathBuf,
        /// A room and a cell or item; or one item, a job cell, or "total".
        #[arg(required = true, num_args = 1..=2, value_name = "WHAT")]
        what: Vec<String>,
        /// Shop folder; otherwise the nearest one above the takeoff.
        #[arg(long, value_name = "FOLDER")]
        shop: Option<PathBuf>,
        /// Print the explanation as JSON, for other programs.
        #[arg(long)]
        json: bool,
    },
    /// Judge surveyed floors: flatness, ways to pour, maps.
    ///
    /// Rooms whose row names a sheet of readings are judged against the tolerance that
    /// tile asks for; each way to pour comes with its bags and cost. Maps are
    /// written into a folder beside the takeoff.
    Survey {
        /// The takeoff.
        takeoff: PathBuf,
        /// The room; otherwise all that have readings.
        room: Option<String>,
        /// Shop folder; otherwise the nearest one above the takeoff.
        #[arg(long, value_name = "FOLDER")]
        shop: Option<PathBuf>,
        /// Print the figures as JSON, for other programs.
        #[arg(long)]
        json: bool,
    },
    /// Show how strip is cut: length by length, and room by room for the crew.
    ///
    /// Pieces of all rooms are laid out over whole lengths together, so that offcuts of one
    /// room serve another.
    Cuts {
        /// The takeoff.
        takeoff: PathBuf,
        /// Shop folder; otherwise the nearest one above the takeoff.
        #[arg(long, value_name = "FOLDER")]
        shop: Option<PathBuf>,
        /// Print the cuts as JSON, for other programs.
        #[arg(long)]
        json: bool,
    },
    /// Lay tile out on each room: counts, narrowest cuts, and drawings.
    ///
    /// Rooms that name a tile, or its size, and whose outline is known: by readings, or by
    /// length and width. Drawings with all cuts are written into a folder beside the takeoff;
    /// where another start leaves wider cuts, that one is drawn as well. Shops whose recipes
    /// include tile.
    Layout {
        /// The takeoff.
        takeoff: PathBuf,
        /// The room; otherwise all that can be laid out.
        room: Option<String>,
        /// Shop folder; otherwise the nearest one above the takeoff.
        #[arg(long, value_name = "FOLDER")]
        shop: Option<PathBuf>,
        /// Print the figures as JSON, for other programs.
        #[arg(long)]
        json: bool,
    },
    /// Print what the electrician needs of each heated room, with lines to fill in.
    ///
    /// Product, watts, amps, circuit, breaker, and the resistance to be measured as
    /// received, after laying and after the pour. Shops whose recipes include heat.
    Heat {
        /// The takeoff.
        takeoff: PathBuf,
        /// The room; otherwise all that are heated.
        room: Option<String>,
        /// Shop folder; otherwise the nearest one above the takeoff.
        #[arg(long, value_name = "FOLDER")]
        shop: Option<PathBuf>,
        /// Print the figures as JSON, for other programs.
        #[arg(long)]
        json: bool,
    },
    /// Make a folder to fill in: shop settings, price sheet, takeoff form.
    Begin {
        /// Folder to make; it must not exist or be empty.
        folder: PathBuf,
        /// Use SI units instead of US customary ones.
        #[arg(long)]
        metric: bool,
    },
    /// List the words that recipes can use, or explain one.
    Words {
        /// The word to explain.
        name: Option<String>,
        /// Print the list as JSON, for other programs.
        #[arg(long)]
        json: bool,
    },
    /// Run the checks that come with recipes.
    Prove {
        /// The recipe; otherwise all.
        recipe: Option<String>,
        /// Shop folder; otherwise the nearest one above the current folder.
        #[arg(long, value_name = "FOLDER")]
        shop: Option<PathBuf>,
        /// Print the results as JSON, for other programs.
        #[arg(long)]
        json: bool,
    },
}
