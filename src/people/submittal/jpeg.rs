//! Checks that a JPEG is complete (ISO/IEC 10918-1, baseline and extended sequential).
//! JPEG has no checksum, but its codes must decode to exactly the blocks of its size. For
//! progressive files, which scanners do not write, only the segments and the end are
//! checked.

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum JpegFault {
    /// A segment, a code, or the end is invalid.
    Damaged,
    /// Its size in pixels differs from the declared one.
    OtherSize,
}

use JpegFault::{Damaged, OtherSize};

/// Coefficients per block of 8 by 8 pixels.
const COEFFICIENTS: usize = 64;

/// Reads a JPEG of this width and height to its end.
///
/// # Errors
/// What is wrong with it.
pub(crate) fn check_jpeg(data: &[u8], width: usize, height: usize) -> Result<(), JpegFault> {
    let mut reader = Reader { data, at: 0 };
    if reader.marker()? != 0xd8 {
        return Err(Damaged);
    }
    let mut image = Image::default();
    loop {
        match reader.marker()? {
            0xd9 if image.is_complete() => return Ok(()),
            0xc4 => image.read_huffman_tables(reader.segment()?)?,
            kind @ 0xc0..=0xc2 if image.components.is_empty() => {
                image.is_progressive = kind == 0xc2;
                image.read_frame(reader.segment()?)?;
                if (image.width, image.height) != (width, height) {
                    return Err(OtherSize);
                }
            }
            0xdd => image.restart = usize::from(Reader::new(reader.segment()?).word()?),
            0xda => {
                let components = image.scan_components(reader.segment()?)?;
                if image.is_progressive {
                    reader.skip_codes()
                } else {
                    image.read_scan(&mut reader, &components)?
                }
                image.read.extend(components.iter().map(|c| c.id));
            }
            // Quantization tables, application data, and comments.
            0xdb | 0xe0..=0xef | 0xfe => {
                reader.segment()?;
            }
            _ => return Err(Damaged),
        }
    }
}

struct Reader<'a> {
    data: &'a [u8],
    at: usize,
}

impl<'a> Reader<'a> {
    fn new(data: &'a [u8]) -> Self {
        Self { data, at: 0 }
    }

    fn byte(&mut self) -> Result<u8, JpegFault> {
        let byte = self.data.get(self.at).ok_or(Damaged)?;
        self.at += 1;
        Ok(*byte)
    }

    fn word(&mut self) -> Result<u16, JpegFault> {
        Ok(u16::from_be_bytes([self.byte()?, self.byte()?]))
    }

    /// The kind of the next segment, after any 0xff fill bytes.
    fn marker(&mut self) -> Result<u8, JpegFault> {
        if self.byte()? != 0xff {
            return Err(Damaged);
        }
        loop {
            match self.byte()? {
                0xff => {}
                kind => return Ok(kind),
            }
        }
    }

    fn segment(&mut self) -> Result<&'a [u8], JpegFault> {
        let length = usize::from(self.word()?);
        let start = self.at;
        self.at = start + length.checked_sub(2).ok_or(Damaged)?;
        self.data.get(start..self.at).ok_or(Damaged)
    }

    /// Skips entropy-coded data up to the next marker.
    fn skip_codes(&mut self) {
        while let Some([first, second]) = self.data.get(self.at..self.at + 2) {
            if *first == 0xff && !matches!(second, 0 | 0xd0..=0xd7) {
                return;
            }
            self.at += 1;
        }
    }
}

/// A color component.
#[derive(Debug, Clone, Copy)]
struct Component {
    id: u8,
    across: usize,
    down: usize,
    /// Indexes of its DC and AC tables.
    tables: (usize, usize),
}

/// A Huffman table (annex F.2.2.3).
#[derive(Debug, Clone, Default)]
struct Table {
    counts: [usize; 16],
    symbols: Vec<u8>,
}

#[derive(Default)]
struct Image {
    width: usize,
    height: usize,
    is_progressive: bool,
    components: Vec<Component>,
    dc_tables: [Option<Table>; 4],
    ac_tables: [Option<Table>; 4],
    /// Restart interval, in units.
    restart: usize,
    /// IDs of the components decoded so far.
    read: Vec<u8>,
}

impl Image {
    fn is_complete(&self) -> bool {
        !self.components.is_empty() && self.components.iter().all(|c| self.read.contains(&c.id))
    }

    fn read_huffman_tables(&mut self, segment: &[u8]) -> Result<(), JpegFault> {
        let mut reader = Reader::new(segment);
        while reader.at < segment.len() {
            let which = reader.byte()?;
            let mut table = Table::default();
            for count in &mut table.counts {
                *count = usize::from(reader.byte()?);
            }
            for _ in 0..table.counts.iter().sum() {
                table.symbols.push(reader.byte()?);
            }
            let tables = match which >> 4 {
                0 => &mut self.dc_tables,
                1 => &mut self.ac_tables,
                _ => return Err(Damaged),
            };
            *tables.get_mut(usize::from(which & 15)).ok_or(Damaged)? = Some(table);
        }
        Ok(())
    }

    fn read_frame(&mut self, segment: &[u8]) -> Result<(), JpegFault> {
        let mut reader = Reader::new(segment);
        let _precision = reader.byte()?;
        self.height = usize::from(reader.word()?);
        self.width = usize::from(reader.word()?);
        for _ in 0..reader.byte()? {
            let (id, sampling, _quantization) = (reader.byte()?, reader.byte()?, reader.byte()?);
            let (across, down) = (usize::from(sampling >> 4), usize::from(sampling & 15));
            if !(1..=4).contains(&across) || !(1..=4).contains(&down) {
                return Err(Damaged);
            }
            self.components.push(Component {
                id,
                across,
                down,
                tables: (0, 0),
            });
        }
        Ok(())
    }

    /// The components of a scan.
    fn scan_components(&self, segment: &[u8]) -> Result<Vec<Component>, JpegFault> {
        let mut reader = Reader::new(segment);
        let mut components = Vec::new();
        for _ in 0..reader.byte()? {
            let (id, tables) = (reader.byte()?, reader.byte()?);
            let component = self.components.iter().find(|c| c.id == id);
            components.push(Component {
                tables: (usize::from(tables >> 4), usize::from(tables & 15)),
                ..*component.ok_or(Damaged)?
            });
        }
        if components.is_empty() {
            Err(Damaged)
        } else {
            Ok(components)
        }
    }

    /// Decodes a scan: as many blocks as the image's size takes.
    fn read_scan(
        &self,
        reader: &mut Reader<'_>,
        components: &[Component],
    ) -> Result<(), JpegFault> {
        let largest =
            |of: fn(&Component) -> usize| self.components.iter().map(of).max().unwrap_or(1);
        let (across, down) = (largest(|c| c.across), largest(|c| c.down));
        // Annex A.2: a scan of a single component is not interleaved.
        let (units, blocks): (usize, fn(&Component) -> usize) = match components {
            [component] => {
                let blocks =
                    |size: usize, own: usize, of: usize| (size * own).div_ceil(of).div_ceil(8);
                let wide = blocks(self.width, component.across, across);
                (wide * blocks(self.height, component.down, down), |_| 1)
            }
            _ => {
                let wide = self.width.div_ceil(8 * across);
                let high = self.height.div_ceil(8 * down);
                (wide * high, |c| c.across * c.down)
            }
        };
        let tables = |component: &Component| {
            let dc = self.dc_tables.get(component.tables.0)?.as_ref()?;
            Some((
                dc,
                self.ac_tables.get(component.tables.1)?.as_ref()?,
                blocks(component),
            ))
        };
        let tables: Option<Vec<_>> = components.iter().map(tables).collect();
        let tables = tables.ok_or(Damaged)?;
        let mut bits = Bits::new(reader);
        for unit in 0..units {
            if unit > 0 && self.restart > 0 && unit % self.restart == 0 {
                bits.restart(unit / self.restart - 1)?;
            }
            for (dc, ac, blocks) in &tables {
                for _ in 0..*blocks {
                    bits.block(dc, ac)?;
                }
            }
        }
        bits.end()
    }
}

/// Reads codes bit by bit.
struct Bits<'r, 'a> {
    reader: &'r mut Reader<'a>,
    byte: u8,
    left: u32,
}

impl<'r, 'a> Bits<'r, 'a> {
    fn new(reader: &'r mut Reader<'a>) -> Self {
        Self {
            reader,
            byte: 0,
            left: 0,
        }
    }

    fn bit(&mut self) -> Result<usize, JpegFault> {
        if self.left == 0 {
            self.byte = self.reader.byte()?;
            // A data byte 0xff is followed by a zero.
            if self.byte == 0xff && self.reader.byte()? != 0 {
                return Err(Damaged);
            }
            self.left = 8;
        }
        self.left -= 1;
        Ok(usize::from(self.byte >> self.left & 1))
    }

    fn symbol(&mut self, table: &Table) -> Result<u8, JpegFault> {
        let (mut code, mut first, mut before) = (0, 0, 0);
        for count in table.counts {
            code = code * 2 + self.bit()?;
            first *= 2;
            if code < first + count {
                let place = before + code.checked_sub(first).ok_or(Damaged)?;
                return table.symbols.get(place).copied().ok_or(Damaged);
            }
            first += count;
            before += count;
        }
        Err(Damaged)
    }

    fn block(&mut self, dc: &Table, ac: &Table) -> Result<(), JpegFault> {
        let size = self.symbol(dc)?;
        if size > 15 {
            return Err(Damaged);
        }
        self.skip(size)?;
        let mut place = 1;
        while place < COEFFICIENTS {
            let symbol = self.symbol(ac)?;
            let (zeros, size) = (usize::from(symbol >> 4), symbol & 15);
            match (zeros, size) {
                // End of block: the other coefficients are zero.
                (0, 0) => return Ok(()),
                (15, 0) => {}
                (_, 0) => return Err(Damaged),
                _ => self.skip(size)?,
            }
            place += zeros + 1;
        }
        match place {
            COEFFICIENTS => Ok(()),
            _ => Err(Damaged),
        }
    }

    fn skip(&mut self, count: u8) -> Result<(), JpegFault> {
        for _ in 0..count {
            self.bit()?;
        }
        Ok(())
    }

    fn restart(&mut self, number: usize) -> Result<(), JpegFault> {
        self.end()?;
        let expected = 0xd0 + number % 8;
        if usize::from(self.reader.marker()?) == expected {
            Ok(())
        } else {
            Err(Damaged)
        }
    }

    /// Checks that less than a byte is left before the next marker.
    fn end(&mut self) -> Result<(), JpegFault> {
        self.left = 0;
        match self.reader.data.get(self.reader.at) {
            Some(0xff) => Ok(()),
            _ => Err(Damaged),
        }
    }
}
