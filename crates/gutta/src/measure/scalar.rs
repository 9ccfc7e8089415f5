//! What all measured things have in common: one number in base units.

use uom::si::{Dimension, Quantity, SI, Units};

use super::Real;
use super::quantity::from_base;

/// A quantity, or a newtype over one, that can be lifted to any [`Real`].
pub trait Scalar: Copy {
    /// The same quantity with another number stored.
    type In<V: Real>
    where
        SI<V>: Units<V>;

    /// From its number in SI base units.
    fn from_base<V: Real>(value: V) -> Self::In<V>
    where
        SI<V>: Units<V>;

    /// Its number in SI base units.
    fn to_base<V: Real>(quantity: Self::In<V>) -> V
    where
        SI<V>: Units<V>;

    /// The `f64` number in SI base units.
    fn base(self) -> f64;

    /// From the `f64` number in SI base units, unchecked.
    fn of_base(value: f64) -> Self;

    /// The quantity as an exact number of another kind.
    fn lift<V: Real>(self) -> Self::In<V>
    where
        SI<V>: Units<V>,
    {
        Self::from_base(V::exact(self.base()))
    }
}

impl<D> Scalar for Quantity<D, SI<f64>, f64>
where
    D: Dimension + ?Sized + 'static,
{
    type In<V: Real>
        = Quantity<D, SI<V>, V>
    where
        SI<V>: Units<V>;

    fn from_base<V: Real>(value: V) -> Self::In<V>
    where
        SI<V>: Units<V>,
    {
        from_base(value)
    }

    fn to_base<V: Real>(quantity: Self::In<V>) -> V
    where
        SI<V>: Units<V>,
    {
        quantity.value
    }

    fn base(self) -> f64 {
        self.value
    }

    fn of_base(value: f64) -> Self {
        from_base(value)
    }
}

/// Makes a newtype over one private number of dimension known by its meaning a
/// [`Scalar`]: the field holds the number in SI base units.
macro_rules! scalar_newtype {
    ($name:ident) => {
        impl $crate::measure::Scalar for $name {
            type In<V: $crate::measure::Real>
                = $name<V>
            where
                uom::si::SI<V>: uom::si::Units<V>;

            fn from_base<V: $crate::measure::Real>(value: V) -> $name<V>
            where
                uom::si::SI<V>: uom::si::Units<V>,
            {
                $name(value)
            }

            fn to_base<V: $crate::measure::Real>(quantity: $name<V>) -> V
            where
                uom::si::SI<V>: uom::si::Units<V>,
            {
                quantity.0
            }

            fn base(self) -> f64 {
                self.0
            }

            fn of_base(value: f64) -> Self {
                $name(value)
            }
        }
    };
}
pub(crate) use scalar_newtype;
