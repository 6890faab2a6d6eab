//! Choices that options offer.

use cellarwright_model::measures;
use clap::ValueEnum;

/// Shells that have completions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Shell {
    /// Bash.
    Bash,
    /// Zsh.
    Zsh,
    /// Fish.
    Fish,
    /// PowerShell.
    #[value(name = "powershell")]
    Power,
}

impl Shell {
    /// As the library that writes completions knows it.
    #[must_use]
    pub fn known(self) -> clap_complete::Shell {
        match self {
            Self::Bash => clap_complete::Shell::Bash,
            Self::Zsh => clap_complete::Shell::Zsh,
            Self::Fish => clap_complete::Shell::Fish,
            Self::Power => clap_complete::Shell::PowerShell,
        }
    }
}

/// Kinds of breweries to begin with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Size {
    /// Four fermenters, two serving tanks behind the bar, kegs.
    Brewpub,
    /// Six fermenters, two bright tanks, cans and kegs.
    Production,
}

/// Units of quantities.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitSystem {
    /// hL, kPa, degC.
    Metric,
    /// bbl, gal, psi, degF.
    Us,
}

impl UnitSystem {
    /// As the model knows it.
    #[must_use]
    pub fn known(self) -> measures::UnitSystem {
        match self {
            Self::Metric => measures::UnitSystem::Metric,
            Self::Us => measures::UnitSystem::Us,
        }
    }
}

/// The files that have a schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SchemaFile {
    /// What is to be done.
    Brewplan,
    /// What there is to do it with.
    Cellar,
    /// What `compare` changes in both.
    Change,
    /// What happened since a plan was made, for `replan`.
    Happened,
    /// Demands and layouts, for `study`.
    Study,
    /// A work item of a study, a line of JSON.
    Item,
    /// The result of one, a line of JSON.
    Result,
}
