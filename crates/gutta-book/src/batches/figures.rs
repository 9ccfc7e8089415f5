//! From the numbers of rows to their figures.

use gutta::Moisture;
use gutta::bench::{RowFlavour, RowWater, Rows};
use gutta::measure::{Density, DropMass, Drops, Mass, Ratio, Scalar, Scale, Unit};

use super::columns::{Columns, NUMBERS, Number};
use super::written::{Column, LONGEST, Pen};

/// How many rows are worked out together.
pub const ROWS: usize = 64;

/// The numbers of some rows in the units of their columns, by [`Number`]: column
/// by column, zero where there is no such column.
pub type Numbers = [[f64; ROWS]; NUMBERS];

/// How many figures a row may be answered with.
const ANSWERS: usize = 8;

/// The places of its columns: the water, its volume, its drops, the moisture and its
/// doubt; the flavouring, its volume, the dose.
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
    columns: [Column; ANSWERS],
    /// Whether each row wants water.
    pub is_dry: [bool; ROWS],
}

impl Answers {
    #[allow(clippy::large_stack_arrays, reason = "made once, and put into a box")]
    pub const fn new() -> Self {
        Self {
            columns: [const { Column::new() }; ANSWERS],
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
    #[inline(always)]
    pub fn work_out(&self, numbers: &Numbers, rows: usize, answers: &mut Answers) {
        let rows = rows.min(ROWS);
        let columns = &mut answers.columns;
        if self.water {
            for row in 0..rows {
                answers.is_dry[row] = self.water(numbers, row, columns);
            }
            for (answer, number) in [
                (MOISTURE, Number::Moisture),
                (U_MOISTURE, Number::MoistureU),
            ] {
                // As it is written, not by way of another unit.
                let typed = &numbers[number as usize];
                let figures = columns[answer].figures[..rows].iter_mut();
                for (figure, (typed, is_dry)) in figures.zip(typed.iter().zip(&answers.is_dry)) {
                    *figure = if *is_dry { *figure } else { *typed };
                }
            }
            columns[0].lay_out::<3>(rows);
            columns[1].lay_out::<3>(rows);
            columns[2].lay_out::<0>(rows);
            columns[MOISTURE].lay_out::<3>(rows);
            columns[U_MOISTURE].lay_out::<4>(rows);
        }
        if self.flavour {
            for row in 0..rows {
                self.flavour(numbers, row, columns);
            }
            columns[5].lay_out::<4>(rows);
            columns[6].lay_out::<4>(rows);
            columns[7].lay_out::<3>(rows);
        }
    }

    #[inline(always)]
    fn water(&self, numbers: &Numbers, row: usize, columns: &mut [Column; ANSWERS]) -> bool {
        let of = |number: Number| self.base(number, numbers[number as usize][row]);
        let watered = self.rows.water(&RowWater {
            leaf: Mass::of_base(of(Number::Batch)),
            at: Moisture::of_base(of(Number::Moisture)),
            to: Moisture::of_base(of(Number::Target)),
            u_at: Ratio::of_base(of(Number::MoistureU)),
            drop: DropMass::of_base(of(Number::Drop)),
            u_drop: DropMass::of_base(of(Number::DropU)),
        });
        let answers = [
            watered.water.base(),
            watered.volume.base(),
            watered.drops.count(),
            watered.moisture.base(),
            watered.u_moisture.base(),
        ];
        for (i, answer) in answers.into_iter().enumerate() {
            columns[i].figures[row] = answer / self.answer_sizes[i];
        }
        watered.is_dry
    }

    #[inline(always)]
    fn flavour(&self, numbers: &Numbers, row: usize, columns: &mut [Column; ANSWERS]) {
        let of = |number: Number| self.base(number, numbers[number as usize][row]);
        let flavoured = RowFlavour {
            leaf: Mass::of_base(of(Number::Batch)),
            drops: Drops::new(of(Number::FlavourDrops)),
            on: self.trial,
            drop: DropMass::of_base(of(Number::FlavourDrop)),
            density: Density::of_base(of(Number::FlavourDensity)),
        }
        .flavouring();
        let answers = [
            flavoured.mass.base(),
            flavoured.volume.base(),
            flavoured.dose.base(),
        ];
        for (i, answer) in (5..).zip(answers) {
            columns[i].figures[row] = answer / self.answer_sizes[i];
        }
    }

    /// Writes the figures of a row, each with a comma before it.
    #[inline(always)]
    pub fn write(&self, answers: &Answers, row: usize, pen: &mut Pen<'_>) {
        let columns = &answers.columns;
        if self.water {
            pen.figure::<3>(&columns[0], row);
            pen.figure::<3>(&columns[1], row);
            pen.figure::<0>(&columns[2], row);
            pen.figure::<3>(&columns[MOISTURE], row);
            pen.figure::<4>(&columns[U_MOISTURE], row);
        }
        if self.flavour {
            pen.figure::<4>(&columns[5], row);
            pen.figure::<4>(&columns[6], row);
            pen.figure::<3>(&columns[7], row);
        }
    }

    /// How many bytes the figures of a row may take, and a line feed.
    pub const ROOM: usize = ANSWERS * LONGEST + 1;
}
