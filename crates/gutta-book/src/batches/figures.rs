//! From the numbers of rows to their figures.

use gutta::Moisture;
use gutta::bench::{RowFlavour, RowWater, Rows};
use gutta::measure::{Density, DropMass, Drops, Mass, Ratio, Scalar, Scale, Unit};

use super::columns::{Columns, NUMBERS, Number};
use super::written::{LONGEST, Pen, rounded};

/// How many rows are worked out together.
pub const ROWS: usize = 64;

/// The numbers of some rows in the units of their columns, by [`Number`]: column
/// by column, zero where there is no such column.
pub type Numbers = [[f64; ROWS]; NUMBERS];

/// How many figures a row may be answered with.
const ANSWERS: usize = 8;

/// How many decimals each has: the water, its volume, its drops, the moisture and
/// its doubt; the flavouring, its volume, the dose.
const PLACES: [usize; ANSWERS] = [3, 3, 0, 3, 4, 4, 4, 3];
const MOISTURE: usize = 3;
const U_MOISTURE: usize = 4;

/// The leaf that the drops of a flavouring were tried on.
const TRIAL_LEAF_G: f64 = 10.0;

/// Works rows out.
#[derive(Debug)]
pub struct Figures {
    rows: Rows,
    water: bool,
    flavour: bool,
    /// A unit of each number, in SI base units.
    sizes: [f64; NUMBERS],
    /// A unit of each answer.
    answer_sizes: [f64; ANSWERS],
    trial: Mass,
}

/// The figures of some rows, column by column.
#[derive(Clone, Debug)]
pub struct Answers {
    figures: [[f64; ROWS]; ANSWERS],
    digits: [[u32; ROWS]; ANSWERS],
    /// Whether each row wants water.
    pub is_dry: [bool; ROWS],
}

impl Answers {
    pub const fn new() -> Self {
        Self {
            figures: [[0.0; ROWS]; ANSWERS],
            digits: [[0; ROWS]; ANSWERS],
            is_dry: [true; ROWS],
        }
    }
}

impl Figures {
    /// Rows with these columns, of leaf that was weighed on a scale.
    pub fn new(columns: &Columns, scale: Option<Scale>) -> Self {
        let mut sizes = [1.0; NUMBERS];
        for number in columns.roles.iter().flatten() {
            sizes[*number as usize] = number.unit().size();
        }
        let answer_units = [
            Unit::GRAM,
            Unit::MILLILITRE,
            Unit::DROP,
            Unit::PERCENT,
            Unit::PERCENT,
            Unit::GRAM,
            Unit::MILLILITRE,
            Unit::GRAM_PER_KILOGRAM,
        ];
        Self {
            rows: Rows::new(scale),
            water: columns.water,
            flavour: columns.flavour,
            sizes,
            answer_sizes: answer_units.map(Unit::size),
            trial: Mass::of_base(TRIAL_LEAF_G * Unit::GRAM.size()),
        }
    }

    /// A number of a row in SI base units.
    pub fn base(&self, number: Number, figure: f64) -> f64 {
        figure * self.sizes[number as usize]
    }

    /// Works the first rows out. Numbers are held against their ranges before.
    pub fn work_out(&self, numbers: &Numbers, rows: usize, answers: &mut Answers) {
        let rows = rows.min(ROWS);
        if self.water {
            for row in 0..rows {
                self.water(numbers, row, answers);
            }
        }
        if self.flavour {
            for row in 0..rows {
                self.flavour(numbers, row, answers);
            }
        }
        for (answer, size) in self.answer_sizes.iter().enumerate() {
            let figures = &mut answers.figures[answer][..rows];
            for figure in figures.iter_mut() {
                *figure /= size;
            }
            if answer == MOISTURE || answer == U_MOISTURE {
                let number = if answer == MOISTURE {
                    Number::Moisture
                } else {
                    Number::MoistureU
                };
                let typed = &numbers[number as usize];
                for ((figure, typed), is_dry) in figures.iter_mut().zip(typed).zip(&answers.is_dry)
                {
                    // As it is written, not by way of another unit.
                    *figure = if *is_dry { *figure } else { *typed };
                }
            }
            rounded(figures, PLACES[answer], &mut answers.digits[answer]);
        }
    }

    #[inline]
    fn water(&self, numbers: &Numbers, row: usize, answers: &mut Answers) {
        let of = |number: Number| self.base(number, numbers[number as usize][row]);
        let watered = self.rows.water(&RowWater {
            leaf: Mass::of_base(of(Number::Batch)),
            at: Moisture::of_base(of(Number::Moisture)),
            to: Moisture::of_base(of(Number::Target)),
            u_at: Ratio::of_base(of(Number::MoistureU)),
            drop: DropMass::of_base(of(Number::Drop)),
            u_drop: DropMass::of_base(of(Number::DropU)),
        });
        answers.is_dry[row] = watered.is_dry;
        answers.figures[0][row] = watered.water.base();
        answers.figures[1][row] = watered.volume.base();
        answers.figures[2][row] = watered.drops.count();
        answers.figures[MOISTURE][row] = watered.moisture.base();
        answers.figures[U_MOISTURE][row] = watered.u_moisture.base();
    }

    #[inline]
    fn flavour(&self, numbers: &Numbers, row: usize, answers: &mut Answers) {
        let of = |number: Number| self.base(number, numbers[number as usize][row]);
        let flavoured = RowFlavour {
            leaf: Mass::of_base(of(Number::Batch)),
            drops: Drops::new(of(Number::FlavourDrops)),
            on: self.trial,
            drop: DropMass::of_base(of(Number::FlavourDrop)),
            density: Density::of_base(of(Number::FlavourDensity)),
        }
        .flavouring();
        answers.figures[5][row] = flavoured.mass.base();
        answers.figures[6][row] = flavoured.volume.base();
        answers.figures[7][row] = flavoured.dose.base();
    }

    /// Writes the figures of a row, each with a comma before it.
    #[inline]
    pub fn write(&self, answers: &Answers, row: usize, pen: &mut Pen<'_>) {
        let of = |i: usize| (answers.figures[i][row], answers.digits[i][row]);
        if self.water {
            pen.figure::<{ PLACES[0] }>(of(0));
            pen.figure::<{ PLACES[1] }>(of(1));
            pen.figure::<{ PLACES[2] }>(of(2));
            pen.figure::<{ PLACES[3] }>(of(3));
            pen.figure::<{ PLACES[4] }>(of(4));
        }
        if self.flavour {
            pen.figure::<{ PLACES[5] }>(of(5));
            pen.figure::<{ PLACES[6] }>(of(6));
            pen.figure::<{ PLACES[7] }>(of(7));
        }
    }

    /// How many bytes the figures of a row may take, and a line feed.
    pub const ROOM: usize = ANSWERS * LONGEST + 1;
}
