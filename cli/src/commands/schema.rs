//! `schema`: the JSON Schema of a file, for editors.

use cellarwright_model::schema;

use super::finish;
use crate::args::{SchemaArguments, SchemaFile};
use crate::exit::Exit;

/// Runs the command.
pub fn run(arguments: &SchemaArguments) -> Exit {
    let text = match arguments.file {
        SchemaFile::Brewplan => schema::text(schema::File::BrewPlan),
        SchemaFile::Cellar => schema::text(schema::File::Cellar),
        SchemaFile::Change => schema::change::text(),
        SchemaFile::Happened => schema::happened::text(),
        SchemaFile::Study => schema::study::text(),
        SchemaFile::Item => schema::study::item_text(),
        SchemaFile::Result => schema::study::result_text(),
    };
    finish(Ok(text), Exit::Good)
}
