//! Rows of any kind, by the reader of all that CSV can be.

use csv_core::{ReadRecordResult, Reader};

/// A reader of rows and the last row that it read.
#[derive(Debug)]
pub struct Careful {
    reader: Reader,
    text: Vec<u8>,
    ends: Vec<usize>,
    fields: usize,
}

impl Careful {
    pub fn new() -> Self {
        let mut careful = Self {
            reader: Reader::new(),
            text: vec![0; 256],
            ends: vec![0; 16],
            fields: 0,
        };
        // A mark in front of the text is seen to once, where the table begins,
        // and not in front of each piece of it.
        careful.read(b"\n");
        careful
    }

    /// Reads the row at the beginning of `bytes`, and says how long it is with its
    /// line ending; none when the bytes end within it.
    pub fn read(&mut self, bytes: &[u8]) -> Option<usize> {
        let (mut read, mut written) = (0, 0);
        self.fields = 0;
        loop {
            let (result, nin, nout, nend) = self.reader.read_record(
                &bytes[read..],
                &mut self.text[written..],
                &mut self.ends[self.fields..],
            );
            read += nin;
            written += nout;
            self.fields += nend;
            match result {
                ReadRecordResult::OutputFull => self.text.resize(self.text.len() * 2, 0),
                ReadRecordResult::OutputEndsFull => self.ends.resize(self.ends.len() * 2, 0),
                ReadRecordResult::Record => {
                    let is_split = bytes[read - 1] == b'\r' && bytes.get(read) == Some(&b'\n');
                    return Some(read + usize::from(is_split));
                }
                ReadRecordResult::InputEmpty | ReadRecordResult::End => {
                    self.reader.reset();
                    return None;
                }
            }
        }
    }

    /// The fields of the row, without their quotes.
    pub fn fields(&self) -> impl ExactSizeIterator<Item = &[u8]> + Clone {
        let ends = &self.ends[..self.fields];
        (0..ends.len()).map(|i| {
            let from = if i == 0 { 0 } else { ends[i - 1] };
            &self.text[from..ends[i]]
        })
    }

    /// One field of the row.
    pub fn field(&self, i: usize) -> &[u8] {
        self.fields().nth(i).unwrap_or_default()
    }
}

/// How many lines end in `bytes`: by a line feed, a carriage return, or both.
pub fn lines(bytes: &[u8]) -> u64 {
    let ends = bytes.iter().enumerate().filter(|(i, byte)| match byte {
        b'\n' => true,
        b'\r' => bytes.get(i + 1) != Some(&b'\n'),
        _ => false,
    });
    ends.count() as u64
}
