//! The formula of a dilution: leaf, drops and strength, written once.

use uom::si::{SI, Units};

use super::{Dilution, Strong};
use crate::bench::before_water::LEAF;
use crate::bench::dose::{DoseAsWeighed, DoseDry, LeafAsWeighed, LeafBasis};
use crate::bench::dosing::MOISTURE;
use crate::bench::drop::DropSlots;
use crate::matter::{CompositionSlots, Fractions, Moisture, Pile};
use crate::measure::{
    Density, DropMass, Drops, Formula, Inputs, Mass, Point, Ratio, Real, Scalar, Slot,
};

/// The figures of a simulated dilution, in the order of its rows.
pub(super) const FIGURES: &[&str] = &[
    "flavour_needed",
    "neat_drops",
    "strength",
    "drops_exact",
    "dose_reached",
    "dose_reached_dry",
    "carrier_in_trial",
    "carrier_share",
    "moisture_after",
];

/// Leaf, drops and dilution, as a formula.
pub(super) struct Table {
    dose: Slot<Ratio>,
    basis: LeafBasis,
    leaf: Slot<Mass>,
    at: Option<Slot<Moisture>>,
    neat_drop: Option<DropSlots>,
    drop: DropSlots,
    density: Option<Slot<Density>>,
    pub(super) strength: Strength,
    parts: Option<CompositionSlots>,
    pub(super) whole: Option<Drops>,
    pub(super) neat_whole: Option<Drops>,
}

#[derive(Clone, Copy)]
pub(super) enum Strength {
    /// Not made yet: as if it were neat.
    Open,
    Weighed(Slot<Mass>, Slot<Mass>),
    Known(Slot<Ratio>),
}

pub(super) struct Figures<V: Real>
where
    SI<V>: Units<V>,
{
    pub(super) flavour: Mass<V>,
    pub(super) neat_drops: Option<Drops<V>>,
    pub(super) neat_dose: Option<DoseAsWeighed<V>>,
    pub(super) neat_dose_dry: Option<DoseDry<V>>,
    pub(super) one: DropMass<V>,
    pub(super) strength: Ratio<V>,
    pub(super) drops_exact: Drops<V>,
    pub(super) counted: Mass<V>,
    pub(super) dose: DoseAsWeighed<V>,
    pub(super) dose_dry: Option<DoseDry<V>>,
    pub(super) carrier: Mass<V>,
    pub(super) carrier_share: Ratio<V>,
    pub(super) moisture: Option<Moisture<V>>,
}

/// The liquid that the drops of a dilution are of, as a budget shows it.
const DILUTED: &str = "the dilution";
/// What is weighed for it, as a budget shows it.
pub(super) const NEAT: &str = "weighing of the flavouring";
pub(super) const CARRIER: &str = "weighing of the carrier";

impl Table {
    pub(super) fn lay(question: &Dilution, inputs: &mut Inputs) -> Self {
        Self {
            dose: inputs.add("dose", &question.dose),
            basis: question.basis,
            leaf: inputs.add(LEAF, &question.leaf),
            at: question.at.map(|at| inputs.add(MOISTURE, &at)),
            neat_drop: question.neat_drop.map(|drop| drop.add_to(inputs, None)),
            drop: question.drop.add_to(inputs, Some(DILUTED)),
            density: question
                .density
                .filter(|_| question.drop.weighed_mass().is_none())
                .map(|density| inputs.add("density of the carrier", &density)),
            strength: match &question.strong {
                Strong::ToMake { .. } | Strong::LeastToMake { .. } => Strength::Open,
                Strong::Ready(share) => Strength::Known(inputs.add("strength", share)),
            },
            parts: question
                .carrier
                .as_ref()
                .map(|carrier| carrier.add_to(inputs, "the carrier")),
            whole: None,
            neat_whole: None,
        }
    }
}

impl Formula for Table {
    type Figures<V: Real>
        = Figures<V>
    where
        SI<V>: Units<V>;

    fn at<V: Real>(&self, point: &Point<'_, V>) -> Figures<V>
    where
        SI<V>: Units<V>,
    {
        let leaf = LeafAsWeighed::new(point.get(self.leaf));
        let dry = self.at.map(|at| leaf.dry(point.get(at)));
        let dose = point.get(self.dose);
        let flavour = match (self.basis, dry) {
            (LeafBasis::Dry, Some(dry)) => DoseDry::new(dose) * dry,
            _ => DoseAsWeighed::new(dose) * leaf,
        };
        // A drop known by its volume is one of the dilution, which is mostly
        // carrier; typed and calibrated drops have a mass of their own.
        let density = self.density.map(|slot| point.get(slot));
        let one = self
            .drop
            .one_if(point, density)
            .unwrap_or_else(|| DropMass::from_base(V::exact(f64::NAN)));
        let strength = match self.strength {
            Strength::Open => Ratio::from(V::one()),
            Strength::Known(slot) => point.get(slot),
            Strength::Weighed(neat, carrier) => {
                let neat = point.get(neat);
                neat / (neat + point.get(carrier))
            }
        };
        let whole = self.whole.unwrap_or(Drops::new(0.0));
        let counted = self
            .drop
            .counted_if(point, density, whole)
            .unwrap_or_else(|| one * whole.lift::<V>());
        let given = counted * strength;
        let of_neat = self
            .neat_drop
            .zip(self.neat_whole)
            .and_then(|(drop, whole)| drop.counted_if(point, None, whole));
        let carrier = counted - given;
        let moisture = self.parts.as_ref().zip(self.at).map(|(parts, at)| {
            // What the flavouring is made of is not known: it stays.
            let flavouring = Fractions {
                water: Ratio::from(V::zero()),
                carrier: Ratio::from(V::zero()),
                humectant: Ratio::from(V::zero()),
            };
            Pile::leaf(leaf.mass(), point.get(at))
                .with_liquid(carrier, parts.at(point))
                .with_liquid(given, flavouring)
                .moisture()
        });
        Figures {
            neat_drops: self
                .neat_drop
                .and_then(|drop| drop.one_if(point, None))
                .map(|neat| flavour / neat),
            neat_dose: of_neat.map(|mass| mass / leaf),
            neat_dose_dry: of_neat.zip(dry).map(|(mass, dry)| mass / dry),
            drops_exact: flavour / strength / one,
            dose: given / leaf,
            dose_dry: dry.map(|dry| given / dry),
            carrier_share: carrier / leaf.mass(),
            carrier,
            flavour,
            one,
            strength,
            counted,
            moisture,
        }
    }
}
