//! What follows from the readings of surveys by plain arithmetic, for each reading and each room.

use std::sync::Arc;

use super::computed::fill;
use crate::diag::Outcome;
use crate::plugin::{Figures, NO_READINGS, OWN_PARAMETERS, Registry, Surveyed};
use crate::quantity::{Dimension, Operator, Unit};
use crate::script::{Entry, NameSet, Scene, SceneFigures, SceneQuestion};
use crate::takeoff::{Question, SURVEY_CELLS, Survey, Surveys};
use crate::trail::{
    Column, ColumnId, Form, Function, Kind, Ledger, Ref, Role, Shape, TableId, builtin,
};

/// The columns that rooms have of a survey, by their names in scripts, and the count of
/// readings that were changed since.
#[derive(Clone, Debug)]
pub(super) struct SurveyCells {
    pub(super) named: Vec<(String, ColumnId)>,
    changed: ColumnId,
    questions: Vec<Arc<Function>>,
    figures: Vec<(&'static str, Vec<Arc<Function>>)>,
}

/// Adds heights to the readings; area, mean, highest and lowest to the rooms.
pub(super) fn add_surveys(
    surveys: &Surveys,
    rooms: TableId,
    registry: &Registry,
    ledger: &mut Ledger,
) -> Outcome<SurveyCells> {
    let (weighted, height, changed) = add_heights(surveys, ledger)?;
    let kind = surveys.surveyor.kind();
    let shown = |dimension, ledger: &Ledger| ledger.shown_in(Kind::Number(dimension));
    let (length, area) = (
        shown(Dimension::LENGTH, ledger),
        shown(Dimension::AREA, ledger),
    );
    let mut named = Vec::new();
    for fact in surveys.surveyor.facts() {
        let unit = shown(fact.dimension, ledger);
        let column = new_column((kind, fact.name, fact.title, fact.note), unit, Role::Cell);
        let of_room = |survey: &Option<Arc<dyn Survey>>| {
            let stated = survey.as_ref().and_then(|survey| survey.fact(fact.name));
            stated.unwrap_or(f64::NAN)
        };
        let values = surveys.of_room.iter().map(of_room).collect();
        let id = ledger.table_mut(rooms).add(Column { values, ..column });
        named.push((fact.name.to_owned(), id));
    }
    let mut add = |name: &str, title: &str, note: &str, unit: &Arc<Unit>, role: Role| {
        let column = new_column((kind, name, title, note), unit.clone(), role);
        let id = ledger.table_mut(rooms).add(column);
        if role == Role::Cell {
            named.push((name.to_owned(), id));
        }
        id
    };
    let units = [&area, &length, &length, &length];
    let mut columns = Vec::new();
    for ((name, title, note), unit) in SURVEY_CELLS.iter().zip(units) {
        columns.push(add(name, title, note, unit, Role::Cell));
    }
    let changed_here = add(
        "changed",
        "Readings changed",
        "How many readings differ from what was surveyed; what has no formula then no longer holds.",
        &Arc::new(Unit::plain()),
        Role::Working,
    );
    let table = surveys.table;
    let surveyed = Shape::build(ledger, rooms, |t| {
        let sum = t.read(Ref::Children(table, weighted))?;
        let area = t.read(Ref::Children(table, surveys.columns.share))?;
        let mean = t.arithmetic(Operator::Divide, sum, area)?;
        let highest = t.read(Ref::Most(table, height))?;
        let lowest = t.read(Ref::Least(table, height))?;
        let changed = t.read(Ref::Children(table, changed))?;
        let nodes = [area, mean, highest, lowest];
        let mut outputs: Vec<_> = columns.into_iter().zip(nodes).collect();
        outputs.push((changed_here, changed));
        Ok(outputs)
    })?;
    let has = |row: usize| u16::from(surveys.of_room[row].is_some());
    fill(ledger, rooms, vec![Shape::default(), surveyed], has, kind)?;
    let answered = answered(surveys, rooms, ledger);
    let questions = surveys.surveyor.questions().iter();
    let of_kind = |figures: &&Figures| figures.survey == Some(kind);
    let figures = registry.figures().map(|(_, figures)| figures);
    Ok(SurveyCells {
        named,
        changed: changed_here,
        questions: questions
            .map(|question| Arc::new(asked(question, answered.clone())))
            .collect(),
        figures: figures
            .filter(of_kind)
            .map(|figures| {
                let functions = figures.functions(&answered, &mut ledger.texts);
                (figures.name, functions)
            })
            .collect(),
    })
}

/// The columns of readings: height by area, height, and whether it was changed.
fn add_heights(surveys: &Surveys, ledger: &mut Ledger) -> Outcome<(ColumnId, ColumnId, ColumnId)> {
    let kind = surveys.surveyor.kind();
    let table = surveys.table;
    let length = ledger.shown_in(Kind::Number(Dimension::LENGTH));
    let volume = ledger.shown_in(Kind::Number(Dimension::VOLUME));
    let mut add = |name: &str, title: &str, note: &str, unit: Arc<Unit>| {
        let column = new_column((kind, name, title, note), unit, Role::Working);
        ledger.table_mut(table).add(column)
    };
    let height = add("height", "Height", "Up is more.", length);
    let weighted = add(
        "weighted",
        "Height by area",
        "Height times the area it stands for.",
        volume,
    );
    let changed = add(
        "changed",
        "Changed",
        "1 where the reading is not what was surveyed.",
        Arc::new(Unit::plain()),
    );
    let mut shape = |down: bool| {
        Shape::build(ledger, table, |t| {
            let read = t.read(Ref::Column(surveys.columns.read))?;
            let up = if down { t.negate(read)? } else { read };
            let share = t.read(Ref::Column(surveys.columns.share))?;
            let by_area = t.arithmetic(Operator::Multiply, share, up)?;
            let before = t.read(Ref::Column(surveys.columns.as_surveyed))?;
            let same = t.call(&builtin::equals(), &[read, before])?;
            let plain = Arc::new(Unit::plain());
            let (no, yes) = (t.constant(0.0, plain.clone())?, t.constant(1.0, plain)?);
            let differs = t.call(&builtin::choose(), &[same, no, yes])?;
            Ok(vec![(height, up), (weighted, by_area), (changed, differs)])
        })
    };
    let shapes = vec![shape(false)?, shape(true)?];
    let down: Vec<bool> = surveys
        .of_room
        .iter()
        .flatten()
        .flat_map(|survey| std::iter::repeat_n(survey.counts_down(), survey.readings().len()))
        .collect();
    fill(ledger, table, shapes, |row| u16::from(down[row]), kind)?;
    Ok((weighted, height, changed))
}

fn new_column(
    (kind, name, title, note): (&str, &str, &str, &str),
    unit: Arc<Unit>,
    role: Role,
) -> Column {
    Column {
        name: format!("{kind}.{name}"),
        title: title.to_owned(),
        note: note.to_owned(),
        kind: Kind::Number(unit.dimension),
        unit,
        role,
        group: kind.to_owned(),
        input: None,
        values: Vec::new(),
    }
}

/// Adds a survey's cells, and the questions that it answers, to the scene of a room.
pub(super) fn enter_scene(
    scene: &mut Scene,
    surveys: &Surveys,
    cells: &SurveyCells,
    reference: impl Fn(ColumnId) -> Ref,
) {
    let kind = surveys.surveyor.kind();
    let entries = cells
        .named
        .iter()
        .map(|(name, column)| (name.clone(), Entry::Value(reference(*column))));
    scene.names.push(NameSet {
        name: kind.to_owned(),
        called: format!("the survey of a {kind}"),
        entries: entries.collect(),
        hint: format!("See: pourwright words {kind}"),
    });
    for function in &cells.questions {
        scene.questions.push(SceneQuestion {
            set: scene.names.len() - 1,
            function: function.clone(),
            rests_on: [reference(surveys.input), reference(cells.changed)],
        });
    }
    for (name, functions) in &cells.figures {
        scene.figures.push(SceneFigures {
            set: Some(scene.names.len() - 1),
            name,
            functions: functions.clone(),
            rests_on: vec![reference(surveys.input), reference(cells.changed)],
        });
    }
}

/// The surveys of the job by the text that names their sheet.
fn answered(surveys: &Surveys, rooms: TableId, ledger: &Ledger) -> Surveyed {
    let names = ledger.table(rooms).values(surveys.input);
    let named = names.iter().zip(&surveys.of_room);
    Arc::new(
        named
            .filter_map(|(name, survey)| Some((name.to_bits(), survey.clone()?)))
            .collect(),
    )
}

/// A question as a function: of the sheet, of the readings changed since, and of what is asked.
fn asked(question: &Question, answered: Surveyed) -> Function {
    let name = question.name;
    let parameters = OWN_PARAMETERS.iter().chain(question.parameters);
    Function {
        name,
        parameters: parameters.cloned().collect(),
        repeats: false,
        gives: question.gives,
        sentence: question.sentence,
        example: "",
        body: Arc::new(
            move |arguments| match answered.get(&arguments[0].to_bits()) {
                Some(survey) => survey.answer(name, &arguments[2..]),
                None => Err(NO_READINGS.to_owned()),
            },
        ),
        form: Form::Fixed,
    }
}
