//! Tests of the whole program, by what they hold it to:
//!
//! * `recalculation`: every workbook against an independent spreadsheet engine
//! * `nonsense`: what no takeoff would be read with, typed into a workbook
//! * `published_units`, `published_coverage`, `published_markup`: published definitions and worked
//!   examples
//! * `workbook_text`: the demo workbook, cell by cell
//! * `real_sheets`, `forms`: sheets as people keep them, and as `begin` lays them out
//! * `heat`, `heat_recalculation`: floor heating, and its workbook after edits
//! * `examples`: the example of every function, plugins' included
//! * `surveys`: sheets of readings, and what a survey of them shows
//! * `cutting`: pieces over stock lengths
//! * `edges`: strip, dams and boxes
//! * `setting`: what bonds and joins tile
//! * `crew`: labour and equipment around the pour, and which shops get them
//! * `tile`: tile laid out on rooms, its pieces and cuts
//! * `adjoining`: rooms that adjoin, poured as one level or as two
//! * `assess`: what the floor under a pour asks for, and what carries it
//! * `verdicts`: the tolerance that a room chooses, where its floor is too high, what grinding saves
//! * `joints`: soft joints, from outline and sizes to the workbook
//! * `money`, `money_live`, `money_refused`: a job priced by hand to the cent, with all that comes
//!   on top; the same after edits; what cannot be meant
//! * `alternates`: the job priced again with cells changed, live beside the bid
//! * `flat_floors`: floors that need no pour for the tile
//! * `laws`: what must hold for every job
//! * `commands`: what a person sees
//! * `readme`: the commands of the README, and what they print
//! * `messages`: a folder of wrong inputs, each with its whole message
//! * `hostile_sheets`, `hostile_scripts`: files and recipes that are broken or mean harm
//! * `earlier_work`: a bid that fails or is killed
//! * `office`: the demo workbook in LibreOffice, where it is installed
//! * `layering`: the arrows of the house

#![expect(clippy::unwrap_used, reason = "a test that cannot be set up must stop")]

mod adjoining;
mod alternates;
mod assess;
mod commands;
mod crew;
mod cutting;
mod earlier_work;
mod edges;
mod examples;
mod flat_floors;
mod forms;
mod heat;
mod heat_recalculation;
mod hostile_scripts;
mod hostile_sheets;
mod joints;
mod laws;
mod layering;
mod messages;
mod money;
mod money_live;
mod money_refused;
mod nonsense;
mod office;
mod published_coverage;
mod published_markup;
mod published_units;
mod readme;
mod real_sheets;
mod recalculation;
mod setting;
mod surveys;
mod tile;
mod verdicts;
mod workbook_text;
