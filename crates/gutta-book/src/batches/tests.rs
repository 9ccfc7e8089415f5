//! Tables read the short way and by the reader of all CSV, held together.

use std::fmt::Write as _;

use gutta::Moisture;
use gutta::bench::{RowFlavour, RowWater, Rows};
use gutta::measure::{Density, DropMass, Drops, Mass, Ratio, Scalar, Scale, Unit};
use proptest::prelude::*;

use super::*;

/// What a table comes to: the rows that are answered, and the lines of those that
/// are left out with their reasons.
#[derive(Debug, PartialEq)]
struct Outcome {
    rows: Vec<Vec<String>>,
    rejects: Vec<(u64, Option<String>)>,
    at_target: u64,
}

/// Hands out a table a few bytes at a time.
struct Trickle<'a>(&'a [u8], usize);

impl std::io::Read for Trickle<'_> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        let len = self.1.min(into.len()).min(self.0.len());
        into[..len].copy_from_slice(&self.0[..len]);
        self.0 = &self.0[len..];
        Ok(len)
    }
}

fn scale() -> Scale {
    Scale::new(Mass::of_base(1e-5)).unwrap()
}

fn worked(table: &[u8], at_once: usize) -> Outcome {
    let mut input = Trickle(table, at_once);
    let mut source = Source::new(&mut input);
    let mut piece = Piece::new();
    assert!(source.fill(&mut piece).unwrap());
    let work = Work::begin(&mut piece, Some(scale())).unwrap();
    let mut written = work.heading();
    let mut rejects = Vec::new();
    let mut counts = Counts::default();
    loop {
        work.on(&mut piece);
        written.extend_from_slice(piece.written());
        rejects.extend(
            piece
                .rejects()
                .iter()
                .map(|reject| (counts.lines + reject.line, reject.wrong.column.clone())),
        );
        counts.add(piece.counts());
        if !source.fill(&mut piece).unwrap() {
            break;
        }
    }
    let rows: Vec<Vec<String>> = records(&written);
    assert_eq!(counts.answered + 1, rows.len() as u64);
    assert_eq!(counts.left_out, rejects.len() as u64);
    Outcome {
        rows,
        rejects,
        at_target: counts.at_target,
    }
}

fn reader(table: &[u8]) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(table)
}

fn records(table: &[u8]) -> Vec<Vec<String>> {
    let records = reader(table).into_records();
    records
        .map(|record| record.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

/// The columns of the tables below, in their order.
const HEADER: [&str; 10] = [
    "id",
    "batch_g",
    "moisture_pct_wb",
    "note",
    "target_pct_wb",
    "drop_mg",
    "moisture_u_pct",
    "flavour_drops_per_10g",
    "flavour_drop_mg",
    "flavour_density_g_per_ml",
];

/// The same table worked through by the crate `csv`, `str::parse` and `format!`.
fn expected(table: &[u8]) -> Outcome {
    let mut outcome = Outcome {
        rows: Vec::new(),
        rejects: Vec::new(),
        at_target: 0,
    };
    let mut reader = reader(table);
    let mut record = csv::StringRecord::new();
    let (mut line, mut counted) = (1, 0);
    while reader.read_record(&mut record).unwrap() {
        // The crate has a row begin with what is left of the line ending before.
        let mut byte = usize::try_from(record.position().unwrap().byte()).unwrap();
        while matches!(table.get(byte), Some(b'\r' | b'\n')) {
            byte += 1;
        }
        line += memchr::memchr_iter(b'\n', &table[counted..byte]).count() as u64;
        counted = byte;
        let fields: Vec<&str> = record.iter().collect();
        if outcome.rows.is_empty() {
            let answers = "water_g water_ml water_drops moisture_after_pct_wb \
                u_moisture_after_pct flavour_g flavour_ml flavour_g_per_kg";
            let header = ["id", "note"].into_iter().chain(answers.split_whitespace());
            outcome.rows.push(header.map(str::to_owned).collect());
            continue;
        }
        if fields.iter().all(|field| field.trim().is_empty()) {
            continue;
        }
        match answered(&fields) {
            Ok((row, is_dry)) => {
                outcome.rows.push(row);
                outcome.at_target += u64::from(!is_dry);
            }
            Err(column) => outcome.rejects.push((line, column)),
        }
    }
    outcome
}

fn answered(fields: &[&str]) -> Result<(Vec<String>, bool), Option<String>> {
    if fields.len() != HEADER.len() {
        return Err(None);
    }
    let number = |at: usize, low: f64, high: f64| {
        let text = fields[at].trim();
        if text.is_empty() && HEADER[at] == "moisture_u_pct" {
            return Ok(0.0);
        }
        let is_digits = text
            .bytes()
            .all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b));
        let x = text
            .parse::<f64>()
            .ok()
            .filter(|x| is_digits && x.is_finite());
        // Minus nothing is nothing, and next to nothing is not worked with.
        let is_some = |x: &f64| *x == 0.0 || x.abs() >= 1e-100;
        let x = x.filter(|x| (low..=high).contains(x) && is_some(x));
        let x = x.map(|x| x + 0.0);
        x.ok_or_else(|| Some(HEADER[at].to_owned()))
    };
    let (gram, milligram, percent) = (
        Unit::GRAM.size(),
        Unit::MILLIGRAM.size(),
        Unit::PERCENT.size(),
    );
    let above = f64::MIN_POSITIVE;
    let below_all = 100.0_f64.next_down();
    let leaf = Mass::of_base(number(1, above, 1e9)? * gram);
    let at = number(2, 0.0, below_all)?;
    let to = number(4, above, below_all)?;
    let drop = number(5, 5.0, 120.0)?;
    let u_at = number(6, 0.0, 100.0)?;
    let watered = Rows::new(Some(scale())).water(&RowWater {
        leaf,
        at: Moisture::of_base(at * percent),
        to: Moisture::of_base(to * percent),
        u_at: Ratio::of_base(u_at * percent),
        drop: DropMass::of_base(drop * milligram),
        u_drop: DropMass::of_base(0.0),
    });
    let flavoured = RowFlavour {
        leaf,
        drops: Drops::new(number(7, 0.0, 1e7)?),
        on: Mass::of_base(10.0 * gram),
        drop: DropMass::of_base(number(8, 5.0, 120.0)? * milligram),
        density: Density::of_base(number(9, 0.6, 1.5)? * Unit::GRAM_PER_MILLILITRE.size()),
    }
    .flavouring();
    let moisture = if watered.is_dry {
        (
            watered.moisture.base() / percent,
            watered.u_moisture.base() / percent,
        )
    } else {
        (at, u_at)
    };
    let row = [
        fields[0].to_owned(),
        fields[3].to_owned(),
        format!("{:.3}", watered.water.base() / gram),
        format!("{:.3}", watered.volume.base() / Unit::MILLILITRE.size()),
        format!("{:.0}", watered.drops.count()),
        format!("{:.3}", moisture.0),
        format!("{:.4}", moisture.1),
        format!("{:.4}", flavoured.mass.base() / gram),
        format!("{:.4}", flavoured.volume.base() / Unit::MILLILITRE.size()),
        format!(
            "{:.3}",
            flavoured.dose.base() / Unit::GRAM_PER_KILOGRAM.size()
        ),
    ];
    Ok((row.to_vec(), watered.is_dry))
}

/// A field in quotes.
fn quoted(field: &str) -> String {
    format!("\"{}\"", field.replace('"', "\"\""))
}

/// A figure within a range, with some decimals; now and then one that is none.
fn figure(low: u32, high: u32) -> impl Strategy<Value = String> {
    let decimals = 0_usize..9;
    let good = (low * 1000..high * 1000, decimals)
        .prop_map(|(x, decimals)| format!("{:.decimals$}", f64::from(x) / 1000.0));
    prop_oneof![
        60 => good,
        1 => "[0-9.e+-]{0,12}",
        1 => proptest::sample::select(vec![
            "", " 12.5 ", "nan", "inf", "1e400", "12,5", "-3", "0", "100", "1e2", "5.", ".5",
            "0x1f", "12 g", "00012.500", "123456789012345678",
        ]).prop_map(str::to_owned),
    ]
}

/// A row of the table; most are plain.
fn row() -> impl Strategy<Value = String> {
    let text = prop_oneof![
        10 => "[A-Za-z0-9 äß-]{0,12}",
        1 => "x[a\" é]{0,6}",
        1 => "[a,\"\r\n]{0,8}".prop_map(|field| quoted(&field)),
    ];
    let numbers = (
        figure(1, 4000),
        figure(5, 20),
        figure(9, 25),
        figure(4, 122),
        figure(0, 3),
        figure(0, 30),
        figure(10, 100),
        figure(0, 2),
    );
    let ends = proptest::sample::select(vec!["\n", "\n", "\n", "\r\n", "\n\n", "\r", ",\n"]);
    (text.clone(), text, numbers, ends, 0_u8..40).prop_map(|(id, note, n, end, odd)| {
        let first = if odd == 1 { quoted(&n.0) } else { n.0 };
        let mut row = format!("{id},{first},{},{note},", n.1);
        let _ = write!(row, "{},{},{},{},{},{}{end}", n.2, n.3, n.4, n.5, n.6, n.7);
        if odd == 0 {
            ",,,,,,,,,\n".to_owned()
        } else {
            row
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn both_readers_read_the_same(
        rows in proptest::collection::vec(row(), 0..200),
        at_once in proptest::sample::select(vec![1_usize, 7, 1000, 1 << 20]),
        has_mark in any::<bool>(),
    ) {
        let mark = if has_mark { "\u{feff}" } else { "" };
        let table = format!("{mark}{}\n{}", HEADER.join(","), rows.concat());
        let (got, expected) = (worked(table.as_bytes(), at_once), expected(table.as_bytes()));
        prop_assert_eq!(&got.rows, &expected.rows);
        // Only line feeds are counted above.
        if !table.replace("\r\n", "\n").contains('\r') {
            prop_assert_eq!(&got.rejects, &expected.rejects);
        }
        prop_assert_eq!(got.rejects.len(), expected.rejects.len());
        prop_assert_eq!(got.at_target, expected.at_target);
    }
}

/// Rows that go over the ends of pieces, with and without quotes among them.
#[test]
fn pieces_do_not_show() {
    for odd in ["", "Q,250.5,11.2,\"a, b\",14.5,47.8,,3,21.4,0.846\n"] {
        let mut table = HEADER.join(",") + "\n";
        for i in 0..20_000 {
            let _ = writeln!(
                table,
                "B{i},{}.25,11.2,a note,14.{},47.8,0.5,3,21.4,0.846",
                100 + i % 700,
                i % 10
            );
            if i % 997 == 0 {
                table += odd;
            }
        }
        assert_eq!(
            worked(table.as_bytes(), 1 << 20),
            expected(table.as_bytes())
        );
    }
}

fn rejects(rows: &[u8]) -> Vec<(u64, String)> {
    let mut table = b"id,batch_g,moisture_pct_wb,target_pct_wb,drop_mg\n".to_vec();
    table.extend_from_slice(rows);
    let mut input = table.as_slice();
    let mut source = Source::new(&mut input);
    let mut piece = Piece::new();
    source.fill(&mut piece).unwrap();
    let work = Work::begin(&mut piece, None).unwrap();
    let (mut before, mut rejects, mut answered) = (0, Vec::new(), 0);
    loop {
        work.on(&mut piece);
        let rows = piece.rejects().iter();
        rejects.extend(rows.map(|r| (before + r.line, r.wrong.message.clone())));
        before += piece.counts().lines;
        answered += piece.counts().answered;
        if !source.fill(&mut piece).unwrap() {
            break;
        }
    }
    // The good rows that each of these tables ends with.
    assert!(answered >= 1);
    rejects
}

const GOOD: &[u8] = b"z,250,11.2,14.5,47.8\n";

#[test]
fn a_quote_that_nothing_closes_costs_its_own_row_only() {
    let row = b"a,250,\"11.2,14.5,47.8\n".to_vec();
    assert_eq!(
        rejects(&[row.clone(), GOOD.to_vec()].concat()),
        [(2, "a quote in this row is never closed".to_owned())]
    );
    // More rows behind it than are waited for.
    let many = GOOD.repeat(200_000);
    assert_eq!(rejects(&[row, many].concat()).len(), 1);
}

#[test]
fn what_is_no_text_is_named_where_it_stands() {
    let odd = b"\xff\xfe,250,11.2,14.5,47.8\nb,25\x800,11.2,14.5,47.8\n";
    let said = "this is not text in UTF-8".to_owned();
    assert_eq!(
        rejects(&[odd, GOOD].concat()),
        [(2, said.clone()), (3, said)]
    );
}

#[test]
fn a_row_without_end_is_not_waited_for() {
    let long = vec![b'x'; 3 << 20];
    let found = rejects(&[&long, b"\n".as_slice(), GOOD].concat());
    assert!((1..=4).contains(&found.len()), "{found:?}");
    assert_eq!(found[0].0, 2);
    assert_eq!(found[0].1, "this row has 1 field, and there are 5 columns");
}

#[test]
fn lines_are_counted_however_they_end() {
    let said = |n: u64| (n, "`x` is not a bare number".to_owned());
    let rows = b"a,250,11.2,14.5,47.8\r\nb,x,11.2,14.5,47.8\r\n\r\nc,x,11.2,14.5,47.8\rd,x,1,2,50\n\ne,x,1,2,50\n";
    assert_eq!(
        rejects(&[rows, GOOD].concat()),
        [said(3), said(5), said(6), said(8)]
    );
}

#[test]
fn the_last_row_needs_no_line_ending() {
    assert_eq!(rejects(b"a,250,11.2,14.5,47.8"), []);
    assert_eq!(rejects(b"a,250,11.2,14.5,47.8\r"), []);
    assert_eq!(
        rejects(&[GOOD, b"a,250,11.2,14.5"].concat()),
        [(
            3,
            "this row has 4 fields, and there are 5 columns".to_owned()
        )]
    );
}
