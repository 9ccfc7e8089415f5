//! The sums of a casing with the numbers in them.

use gutta::Moisture;
use gutta::bench::{Cased, LeafBasis, RateOf};
use gutta::measure::{Mass, Scalar, Unit};

use super::Question;
use crate::answer::Answer;
use crate::say;

impl Question {
    /// The sums in numbers.
    pub(super) fn working(&self, answer: &mut Answer, cased: &Cased) {
        let voice = self.voice();
        let mass = |mass: Mass| voice.mass(mass);
        let percent = |moisture: Moisture| say::base(moisture.base(), Unit::PERCENT);
        let rate = self.casing.rate;
        let (leaf, made) = (cased.leaf, cased.made);
        let counted = match rate.basis {
            LeafBasis::AsWeighed => leaf.total(),
            LeafBasis::Dry => {
                answer.working.push(format!(
                    "dry leaf = {} × (1 − {}) = {}",
                    mass(leaf.total()),
                    percent(leaf.moisture()),
                    mass(leaf.dry_leaf())
                ));
                leaf.dry_leaf()
            }
        };
        let over = match rate.of {
            RateOf::Liquid => String::new(),
            RateOf::Solids => {
                let share = made.dry_matter() / made.total();
                format!(" / {} solids", say::base(share.base(), Unit::PERCENT))
            }
        };
        answer.working.push(format!(
            "casing = {} × {}{over} = {}",
            self.rate,
            mass(counted),
            mass(made.total())
        ));
        let both = leaf.mix(made).aired();
        answer.working.push(format!(
            "moisture = ({} + {}) / {} = {}",
            mass(leaf.water()),
            mass(made.water()),
            mass(both.total()),
            percent(both.moisture())
        ));
        let water = cased.bulk.as_ref().and_then(|bulk| bulk.water.as_ref());
        if let (Some(bulk), Some(water)) = (self.casing.bulk, water) {
            answer.working.push(format!(
                "water to bulk = {} × {} / (1 − {}) − {} = {}",
                mass(both.dry_matter()),
                percent(bulk),
                percent(bulk),
                mass(both.water()),
                mass(water.best())
            ));
        }
        if let (Some(to), Some(dried)) = (self.casing.to, &cased.dried) {
            answer.working.push(format!(
                "weight to stop at = {} / (1 − {}) = {}",
                mass(both.dry_matter()),
                percent(to),
                mass(dried.mass.net.best())
            ));
        }
    }
}
