//! Nozzle sets of the user's own, and droplet classes from the nozzle maker's table as keyed in. Classes stay the user's
//! words; two rows say the same where the words are the same.

use super::rig::{nozzle_set, value};
use calc::reach::nozzle_choice::{DropletTable, DropletTableError, Droplets, OwnSet};
use calc::rig::NozzleSet;
use records::rig::{DropletView, RigView};
use units::Pressure;

/// Droplet classes by pressure, in the user's words.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ClassTable {
    table: DropletTable<usize>,
    classes: Vec<String>,
}

impl ClassTable {
    /// The word or the two words that the table has at a pressure; none outside it.
    pub(crate) fn at(&self, pressure: Pressure) -> Droplets<&str> {
        let word = |idx: usize| self.classes.get(idx).map_or("", String::as_str);
        match self.table.at(pressure) {
            Droplets::Class(one) => Droplets::Class(word(one)),
            Droplets::Between(one, other) => Droplets::Between(word(one), word(other)),
            Droplets::Outside => Droplets::Outside,
        }
    }
}

/// A set of the user's own.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NamedSet {
    /// Its number on the rig.
    pub(crate) n: u32,
    /// What it is called; may be empty.
    pub(crate) name: String,
    /// Its numbers.
    pub(crate) nozzles: NozzleSet,
    /// Its droplet table, where one was keyed in.
    pub(crate) droplets: Option<ClassTable>,
}

/// What the user keyed in about nozzles beside the set that is on the rig.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct OwnNozzles {
    /// Sets of which the flow is known.
    pub(crate) sets: Vec<NamedSet>,
    /// Droplet table of the set on the rig.
    pub(crate) on_rig: Option<ClassTable>,
    /// Tables that cannot be used, by the number of the set; 0 is the set on the rig.
    pub(crate) unreadable: Vec<(u32, DropletTableError)>,
}

impl OwnNozzles {
    /// From what the rig's document says.
    pub(crate) fn of(view: &RigView) -> Self {
        let mut unreadable = Vec::new();
        let mut table = |set: Option<u32>| {
            let rows = view.droplets.iter().filter(|row| row.set == set);
            match class_table(rows) {
                None => None,
                Some(Ok(table)) => Some(table),
                Some(Err(error)) => {
                    unreadable.push((set.unwrap_or(0), error));
                    None
                }
            }
        };
        let on_rig = table(None);
        let sets = view
            .sets
            .iter()
            .filter_map(|set| {
                let droplets = table(Some(set.n));
                let nozzles = nozzle_set(&set.nozzle)?;
                Some(NamedSet { n: set.n, name: set.name.clone().unwrap_or_default(), nozzles, droplets })
            })
            .collect();
        Self { sets, on_rig, unreadable }
    }

    /// The sets as the calculation takes them.
    pub(crate) fn candidates(&self) -> Vec<OwnSet> {
        self.sets.iter().map(|set| OwnSet { nozzles: set.nozzles, droplets: None }).collect()
    }
}

/// Rows with a pressure and a class; `None` where there is no such row.
fn class_table<'a>(
    rows: impl Iterator<Item = &'a DropletView>,
) -> Option<Result<ClassTable, DropletTableError>> {
    let mut classes: Vec<String> = Vec::new();
    let mut numbered = Vec::new();
    for row in rows {
        let word = row.class.as_deref().map(str::trim).filter(|word| !word.is_empty());
        let (Some(pressure), Some(word)) = (value(&row.pressure), word) else { continue };
        let idx = classes.iter().position(|known| known == word).unwrap_or_else(|| {
            classes.push(word.to_owned());
            classes.len() - 1
        });
        numbered.push((pressure, idx));
    }
    (!numbered.is_empty()).then(|| DropletTable::new(numbered).map(|table| ClassTable { table, classes }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use records::examples::DITCH_BANK_TRUCK;
    use std::collections::BTreeMap;

    fn own(more: &[(&str, &str)]) -> OwnNozzles {
        let texts: BTreeMap<String, String> = DITCH_BANK_TRUCK
            .iter()
            .chain(more)
            .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
            .collect();
        OwnNozzles::of(&RigView::read(&texts))
    }

    // The table is made up; what it leaves open stays open.
    #[test]
    fn a_class_is_said_in_the_users_words_and_only_where_the_table_says_one() {
        let own = own(&[
            ("droplet.1.pressure", "sheet;psi;60"),
            ("droplet.1.class", "medium"),
            ("droplet.2.pressure", "sheet;psi;20"),
            ("droplet.2.class", "very coarse "),
            ("droplet.3.pressure", "sheet;psi;30"),
            ("droplet.3.class", "very coarse"),
            ("droplet.4.pressure", "sheet;psi;90"),
        ]);
        let table = own.on_rig.unwrap();
        let at = |psi| table.at(Pressure::from_psi(psi));
        assert_eq!(at(25.0), Droplets::Class("very coarse"));
        assert_eq!(at(45.0), Droplets::Between("very coarse", "medium"));
        assert_eq!(at(60.0), Droplets::Class("medium"));
        assert_eq!(at(70.0), Droplets::Outside);
        assert_eq!(at(10.0), Droplets::Outside);
    }

    #[test]
    fn an_own_set_has_its_own_window_and_table() {
        let own = own(&[
            ("set.count", ";;2"),
            ("set.1.name", "Wide fan"),
            ("set.1.by", "flow"),
            ("set.1.flow", "sheet;l_per_min;1.6"),
            ("set.1.pressure", "sheet;bar;2"),
            ("set.1.greatest_pressure", "sheet;bar;4"),
            ("set.2.name", "No flow yet"),
            ("droplet.1.set", "1"),
            ("droplet.1.pressure", "sheet;bar;2"),
            ("droplet.1.class", "coarse"),
        ]);
        assert_eq!(own.on_rig, None);
        assert_eq!(own.sets.len(), 1);
        let set = &own.sets[0];
        assert!((set.nozzles.rated_flow.as_l_per_min() - 1.6).abs() < 1e-9);
        assert_eq!(set.nozzles.least_pressure, None);
        assert_eq!(set.droplets.as_ref().unwrap().at(Pressure::from_bar(2.0)), Droplets::Class("coarse"));
    }

    #[test]
    fn two_rows_at_one_pressure_are_told() {
        let own = own(&[
            ("droplet.1.pressure", "sheet;psi;40"),
            ("droplet.1.class", "medium"),
            ("droplet.2.pressure", "sheet;psi;40"),
            ("droplet.2.class", "fine"),
        ]);
        assert_eq!(own.on_rig, None);
        assert!(matches!(own.unreadable.as_slice(), [(0, DropletTableError::Twice { .. })]));
    }
}
