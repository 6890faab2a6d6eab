//! Vessels that are alike form a group; the program counts within a group, names are given after the solve.

use cellarwright_model::case::{Case, Vessel};
use cellarwright_model::ids::VesselId;

/// Position of a group in `Groups`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GroupId(pub usize);

/// Vessels that differ in nothing but their names, unless one has to be told apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// The vessels, in the order of the file.
    pub vessels: Vec<VesselId>,
    /// The first of them, for all their properties.
    pub like: Vessel,
}

impl Group {
    /// How many there are.
    pub fn size(&self) -> usize {
        self.vessels.len()
    }
}

/// All groups, in the order of their first vessel.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Groups(pub Vec<Group>);

impl Groups {
    /// Sorts the vessels of a case into groups.
    pub fn new(case: &Case) -> Self {
        let mut groups: Vec<Group> = Vec::new();
        for id in case.vessel_ids() {
            let vessel = case.vessel(id);
            let is_named = is_told_apart(case, id);
            let alike = groups.iter_mut().find(|group| {
                !is_named
                    && !is_told_apart(case, group.vessels[0])
                    && is_alike(&group.like, vessel)
                    && case.is_connected_alike(group.vessels[0], id)
            });
            match alike {
                Some(group) => group.vessels.push(id),
                None => groups.push(Group { vessels: vec![id], like: vessel.clone() }),
            }
        }
        Self(groups)
    }

    /// The group with this position.
    pub fn get(&self, id: GroupId) -> &Group {
        &self.0[id.0]
    }

    /// All positions.
    pub fn ids(&self) -> impl Iterator<Item = GroupId> + use<> {
        (0..self.0.len()).map(GroupId)
    }

    /// The group of a vessel.
    pub fn of(&self, vessel: VesselId) -> GroupId {
        let found = self.0.iter().position(|group| group.vessels.contains(&vessel));
        GroupId(found.unwrap_or_default())
    }
}

/// Whether a vessel is a group of one: its name stands in an outage or a pin, or what was in it since its last full clean
/// matters, or it is a tank that is only poured from or a vessel that such a tank may be filled from, with a part of what is in it.
fn is_told_apart(case: &Case, id: VesselId) -> bool {
    let vessel = case.vessel(id);
    let is_poured = |tank: VesselId| case.vessel(tank).is_serve_only() && case.reaches_vessel(id, tank);
    let gives_parts = || vessel.is_serve_only() || case.vessel_ids().any(is_poured);
    let uses = vessel.uses;
    let is_tapped = || case.taproom.pours.iter().any(|tap| case.beer(tap.beer).direct);
    case.is_named(id)
        || vessel.full_clean.is_some()
        || ((uses.bright || uses.serve || (uses.package && is_tapped())) && gives_parts())
}

fn is_alike(one: &Vessel, other: &Vessel) -> bool {
    let mut renamed = one.clone();
    renamed.name.clone_from(&other.name);
    renamed.price = other.price;
    renamed == *other
}
