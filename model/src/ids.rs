//! Index types: which vessel, beer, line, format, crew or order of a case is meant.

macro_rules! index {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
    };
}

index! {
    /// A vessel: an index into `Case::vessels`.
    VesselId
}
index! {
    /// A beer: an index into `Case::beers`.
    BeerId
}
index! {
    /// A packaging line: an index into `Case::lines`.
    LineId
}
index! {
    /// A package format: an index into `Case::formats`.
    FormatId
}
index! {
    /// A crew: an index into `Case::crews`.
    CrewId
}
index! {
    /// Kegs of one kind: an index into `Case::kegs`.
    KegPoolId
}
index! {
    /// Cans, labels and the like: an index into `Case::materials`.
    MaterialId
}
index! {
    /// A strain of yeast: an index into `Yeasts::strains`.
    YeastId
}
index! {
    /// An order: an index into `Case::orders`.
    OrderId
}
