//! Copies a table record by record with the crate `csv`: no arithmetic.

use std::io;

fn main() -> Result<(), csv::Error> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(io::stdin().lock());
    let mut writer = csv::Writer::from_writer(io::stdout().lock());
    let mut record = csv::ByteRecord::new();
    while reader.read_byte_record(&mut record)? {
        writer.write_byte_record(&record)?;
    }
    writer.flush()?;
    Ok(())
}
