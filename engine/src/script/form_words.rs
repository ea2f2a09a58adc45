//! The words that do more than compute, as the reference lists them.

/// A word of the vocabulary that is no plain function.
pub struct FormWord {
    /// Its name.
    pub name: &'static str,
    /// How it is written.
    pub usage: &'static str,
    /// What it does.
    pub sentence: &'static str,
    /// An example.
    pub example: &'static str,
}

/// All such words, in the order of the reference.
pub const FORMS: &[FormWord] = &[
    FormWord {
        name: "material",
        usage: "material(label, product, amount)",
        sentence: "An item of products; the amount is turned into packages by the product's own yield, and whole packages are ordered for the job as a whole.",
        example: "material(\"Underlayment\", book.leveler(room.leveler), volume);",
    },
    FormWord {
        name: "cut",
        usage: "cut(label, product, length, pieces)",
        sentence: "An item of pieces cut from a product that comes in lengths; all pieces of the job are laid out over whole lengths, offcuts used again, and the workbook says \"price again\" when a piece changes.",
        example: "cut(\"Strip\", book.strip(room.strip), wall.length, layers);",
    },
    FormWord {
        name: "labour",
        usage: "labour(label, amount, rate)",
        sentence: "An item of work: hours (or whatever the rate counts by) times a rate of the price book.",
        example: "labour(\"Mix and pour\", volume / factor.pour_rate, rate.crew);",
    },
    FormWord {
        name: "equipment",
        usage: "equipment(label, amount, rate)",
        sentence: "An item for tools and machines, by a rate of the price book.",
        example: "equipment(\"Mixer\", days, rate.mixer);",
    },
    FormWord {
        name: "subcontract",
        usage: "subcontract(label, amount, rate)",
        sentence: "An item of work done by others, by a rate of the price book.",
        example: "subcontract(\"Grinding\", room.area, rate.grinding);",
    },
    FormWord {
        name: "charge",
        usage: "charge(label, money)",
        sentence: "An item that is a sum of money.",
        example: "charge(\"Delivery\", trips * rate.delivery);",
    },
    FormWord {
        name: "caution",
        usage: "caution(condition, text)",
        sentence: "A caution on the row and on the bid wherever the condition holds; with .above and its like it stays live.",
        example: "caution(depth.above(underlayment.depth_to), \"Deeper than one lift allows.\");",
    },
    FormWord {
        name: "total",
        usage: "total(table.column)",
        sentence: "The sum of a column: of a room's rows in a table below it, or of all rooms.",
        example: "let volume = total(rooms.volume);",
    },
    FormWord {
        name: "worked",
        usage: "worked(rate.NAME) or worked(rate.NAME, recipe)",
        sentence: "In job.rhai, what all rooms are charged by a rate (hours, where it is so much for an hour), by every recipe or by the one that is named; 0 where there is none.",
        example: "let tile_time = worked(rate.crew, \"setting\");",
    },
    FormWord {
        name: "step_table",
        usage: "step_table(x, factor.table)",
        sentence: "The value of the last step of a table that starts at or below x.",
        example: "let rate = step_table(depth, factor.pour_rates);",
    },
    FormWord {
        name: "next_step",
        usage: "next_step(x, factor.table)",
        sentence: "The value of the first step of a table that starts at or above x: the next standard size up.",
        example: "let breaker = next_step(amps, factor.breakers);",
    },
    FormWord {
        name: "largest",
        usage: "largest(kind, field, most) or largest(kind, field, most, other_field, value)",
        sentence: "The product of the price book whose field is the largest that is not over an amount, among those whose other field has a certain value; the choice stays live, and where nothing fits the room is refused.",
        example: "let mat = largest(\"heating\", \"covers\", area, \"volts\", 120.V);",
    },
    FormWord {
        name: "done",
        usage: "done()",
        sentence: "Ends the script for this row: the statements that follow give it no cells, items or cautions.",
        example: "if room.heat == \"none\" { done(); }",
    },
    FormWord {
        name: "holds",
        usage: "holds(condition)",
        sentence: "Branches on a condition: true or false for `if`; the workbook says \"price again\" when it would come out otherwise.",
        example: "if holds(depth.above(1.inch)) { … }",
    },
    FormWord {
        name: "is_blank",
        usage: "is_blank(x)",
        sentence: "Branches on whether a takeoff cell was left blank.",
        example: "if is_blank(room.perimeter) { … }",
    },
    FormWord {
        name: "count",
        usage: "count(n)",
        sentence: "Drives a loop: for i in count(n) runs with i = 1 to n, n being a whole number of at most 1000.",
        example: "for layer in count(layers) { … }",
    },
];
