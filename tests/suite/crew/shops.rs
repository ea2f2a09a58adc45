//! Which shops get the crew's lines, and what then falls off the bid's exclusions.

use engine::grid;
use engine::shop::{self, ShopFiles};
use pourwright_tests::story::Story;
use pourwright_tests::trial::Trial;

use super::{PRICES, SHOP};

/// The recipes of a shop by its settings.
fn recipes_of(settings: &str) -> Vec<String> {
    let registry = pourwright::registry().unwrap();
    let shop = shop::load(&ShopFiles::built_in(settings, ""), &registry).unwrap();
    let recipes = shop.recipes.iter();
    recipes.map(|recipe| recipe.manifest.name.clone()).collect()
}

/// All stock recipes but those that must be named, sorted.
fn unasked() -> Vec<String> {
    let registry = pourwright::registry().unwrap();
    let names = registry.recipes().map(|(_, recipe)| recipe.name.to_owned());
    let mut names: Vec<String> = names.filter(|name| name != "crew").collect();
    names.sort();
    names
}

fn sorted(mut names: Vec<String>) -> Vec<String> {
    names.sort();
    names
}

#[test]
fn a_shop_that_names_no_recipes_gets_no_crew() {
    assert_eq!(sorted(recipes_of("name = \"Old shop\"")), unasked());
    let named = recipes_of("name = \"Shop\"\nrecipes = [\"crew\", \"leveling\"]");
    assert_eq!(named, ["leveling", "crew"]);
}

#[test]
fn begin_writes_the_list_of_recipes_and_what_can_be_added() {
    let story = Story::new();
    assert_eq!(story.run(&["begin", "{}/shop"]).code, 0);
    let settings = String::from_utf8(story.read("shop/shop.toml")).unwrap();
    assert!(settings.contains("recipes = ["), "{settings}");
    assert_eq!(sorted(recipes_of(&settings)), unasked());
    let asked = settings.replace("# \"crew\"", "\"crew\"");
    assert_ne!(asked, settings);
    let mut all = unasked();
    all.push("crew".to_owned());
    assert_eq!(sorted(recipes_of(&asked)), sorted(all));
}

/// Everything written on the sheet Bid of a job without anything special.
fn bid_page(recipes: &str) -> String {
    let shop = SHOP.replace("\"leveling\", \"edges\", \"setting\", \"crew\"", recipes);
    let rooms = ["Room|Area (sq ft)|Average depth (in)", "Hall|96|0.5"];
    let job = ["Leveler|Check bag", "Primer|Check jug"];
    let trial = Trial::new(&shop, PRICES, &[("Job", &job), ("Rooms", &rooms)]);
    let bytes = trial.price().unwrap().workbook();
    let sheets = grid::read("bid.xlsx", &bytes).unwrap().sheets;
    let bid = sheets
        .iter()
        .find(|sheet| sheet.name.as_deref() == Some("Bid"))
        .unwrap();
    let cells = bid.rows.iter().flat_map(|(_, row)| row);
    cells
        .map(|(_, cell)| cell.shown())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn what_another_recipe_includes_is_no_longer_excluded() {
    let alone = bid_page("\"leveling\"");
    assert!(
        alone.contains("Grinding of high spots.")
            && alone.contains("Repair of cracks or moisture."),
        "{alone}"
    );
    let with = bid_page("\"leveling\", \"crew\"");
    assert!(
        !with.contains("Grinding of high spots.") && with.contains("Repair of cracks or moisture."),
        "{with}"
    );
    assert!(
        with.contains("Grinding and surface profile beyond the rooms listed for it."),
        "{with}"
    );
    let assessed = bid_page("\"leveling\", \"assess\"");
    assert!(
        assessed.contains("Grinding of high spots.")
            && !assessed.contains("Repair of cracks or moisture."),
        "{assessed}"
    );
}
