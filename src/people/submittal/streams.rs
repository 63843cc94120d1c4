//! Checks the streams of a PDF byte for byte. PDF readers use what they can get out of a
//! damaged stream, which may be nothing. So Flate data must end with its checksum, an
//! image must have the bytes its size takes, a JPEG must decode completely, and both
//! readers must see the same bytes. Data without a checksum, such as a JPEG's colors, may
//! still be altered.

use std::borrow::Cow;

use flate2::{Decompress, FlushDecompress, Status};
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::object::Object as Placed;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream};

use super::jpeg::{JpegFault, check_jpeg};
use crate::core::budget::{UNPACKED_BYTES, UNPACKED_IN_ALL};

/// Why a file's streams cannot be trusted, worded to follow its name; `None` if all are
/// intact. `placing` is the file as read by the reader that places its pages.
pub(crate) fn damage(document: &Document, placing: &Pdf) -> Option<String> {
    let mut budget = UNPACKED_IN_ALL;
    for placed in placing.objects() {
        let Placed::Stream(placed) = placed else {
            continue;
        };
        let id = placed.obj_id();
        let number = id.obj_number;
        let known = u32::try_from(number)
            .ok()
            .zip(u16::try_from(id.gen_number).ok());
        let stream = known.and_then(|id: ObjectId| document.get_object(id).ok()?.as_stream().ok());
        let Some(stream) = stream else {
            return Some(format!(
                "object {number} is a stream for one reader and none for another"
            ));
        };
        let data = placed.raw_data();
        if data.trim_ascii_end() != stream.content.trim_ascii_end() {
            return Some(format!("two readers find other bytes in object {number}"));
        }
        if let Err(why) = check_stream(document, stream, &data, &mut budget) {
            return Some(format!("{} {number}, {why}", name(stream)));
        }
    }
    None
}

/// Name of a stream in messages.
fn name(stream: &Stream) -> &'static str {
    let has = |key: &[u8], value: &[u8]| {
        let name = stream.dict.get(key).and_then(Object::as_name);
        name.is_ok_and(|name| name == value)
    };
    if has(b"Subtype", b"Image") {
        "the image, object"
    } else if has(b"Type", b"ObjStm") || has(b"Type", b"XRef") {
        "the index of the file, object"
    } else {
        "object"
    }
}

type Problem = &'static str;

const CUT: Problem = "is cut off";
const SUM: Problem = "is damaged: its checksum is another one, or it cannot be unpacked";
const SHORT: Problem = "has another number of bytes than an image of its size";
const JPEG: Problem = "is a JPEG that is damaged or cut off";
const TEXT: Problem = "has characters that its encoding does not have";
const LARGE: Problem = "unpacks to more than an attachment may have";
const FILTER: Problem = "is packed in a way that this program does not know";

fn check_stream(
    document: &Document,
    stream: &Stream,
    data: &[u8],
    budget: &mut usize,
) -> Result<(), Problem> {
    let mut data = Cow::Borrowed(data);
    let filters = filters(document, &stream.dict)?;
    for (place, filter) in filters.iter().enumerate() {
        let is_last = place + 1 == filters.len();
        match *filter {
            b"FlateDecode" | b"Fl" => {
                let (unpacked, length) = inflate(&data, !is_last, budget)?;
                if is_last {
                    return check_image_size(document, stream, length);
                }
                data = Cow::Owned(unpacked);
            }
            b"ASCIIHexDecode" | b"AHx" => data = Cow::Owned(decode_ascii_hex(&data)?),
            b"ASCII85Decode" | b"A85" => data = Cow::Owned(decode_ascii85(&data)?),
            b"DCTDecode" | b"DCT" if is_last => return check_jpeg_stream(document, stream, &data),
            // Neither has a checksum; whether they can be read shows when they are
            // placed.
            b"LZWDecode" | b"LZW" | b"RunLengthDecode" | b"RL" => {
                let unpacked = stream.decompressed_content_with_limit(UNPACKED_BYTES);
                return unpacked.map(|_| ()).map_err(|_| CUT);
            }
            b"CCITTFaxDecode" | b"CCF" | b"JBIG2Decode" | b"JPXDecode" if is_last => {
                return Ok(());
            }
            _ => return Err(FILTER),
        }
    }
    check_image_size(document, stream, data.len())
}

/// The filters of a stream, outermost first.
fn filters<'a>(document: &'a Document, of: &'a Dictionary) -> Result<Vec<&'a [u8]>, Problem> {
    let Ok(filter) = of.get(b"Filter") else {
        return Ok(Vec::new());
    };
    let resolved = |object| document.dereference(object).map(|(_, object)| object);
    let name = |object| {
        resolved(object)
            .and_then(Object::as_name)
            .map_err(|_| FILTER)
    };
    match resolved(filter).map_err(|_| FILTER)? {
        Object::Array(filters) => filters.iter().map(name).collect(),
        Object::Null => Ok(Vec::new()),
        filter => Ok(vec![name(filter)?]),
    }
}

/// Unpacks zlib data (RFC 1950) to its end and checksum. Returns the length, and the
/// bytes only if `kept`.
fn inflate(data: &[u8], kept: bool, budget: &mut usize) -> Result<(Vec<u8>, usize), Problem> {
    if data.is_empty() {
        return Ok((Vec::new(), 0));
    }
    let mut decoder = Decompress::new(true);
    let mut unpacked = Vec::new();
    let mut buffer = vec![0; 64 * 1024];
    let mut consumed = 0;
    let mut length = 0usize;
    loop {
        let (before_in, before_out) = (decoder.total_in(), decoder.total_out());
        let rest = data.get(consumed..).unwrap_or_default();
        let status = decoder.decompress(rest, &mut buffer, FlushDecompress::None);
        let status = status.map_err(|_| SUM)?;
        let count = |now: u64, before: u64| usize::try_from(now - before).unwrap_or(usize::MAX);
        let read = count(decoder.total_in(), before_in);
        let made = count(decoder.total_out(), before_out);
        consumed = consumed.saturating_add(read);
        length = length.saturating_add(made);
        *budget = budget.checked_sub(made).ok_or(LARGE)?;
        if length > UNPACKED_BYTES {
            return Err(LARGE);
        }
        if kept {
            unpacked.extend_from_slice(buffer.get(..made).unwrap_or_default());
        }
        match status {
            Status::StreamEnd => return Ok((unpacked, length)),
            _ if read == 0 && made == 0 => return Err(CUT),
            _ => {}
        }
    }
}

/// ISO 32000-2, 7.4.2.
fn decode_ascii_hex(data: &[u8]) -> Result<Vec<u8>, Problem> {
    let mut digits = Vec::new();
    for byte in data {
        match byte {
            b'>' => {
                if digits.len() % 2 == 1 {
                    digits.push(0);
                }
                let pairs = digits.chunks_exact(2);
                return Ok(pairs
                    .map(|pair| pair.iter().fold(0, |sum, d| sum * 16 + d))
                    .collect());
            }
            byte if byte.is_ascii_whitespace() || *byte == 0 => {}
            byte => {
                let digit = char::from(*byte).to_digit(16).ok_or(TEXT)?;
                digits.push(u8::try_from(digit).map_err(|_| TEXT)?);
            }
        }
    }
    Err(CUT)
}

/// ISO 32000-2, 7.4.3.
fn decode_ascii85(data: &[u8]) -> Result<Vec<u8>, Problem> {
    let mut out = Vec::new();
    let mut group: Vec<u32> = Vec::new();
    let mut bytes = data.iter().filter(|b| !b.is_ascii_whitespace() && **b != 0);
    loop {
        match bytes.next().ok_or(CUT)? {
            b'~' => break,
            b'z' if group.is_empty() => out.extend([0; 4]),
            byte @ b'!'..=b'u' => {
                group.push(u32::from(byte - b'!'));
                if group.len() == 5 {
                    out.extend(four_bytes(&group)?);
                    group.clear();
                }
            }
            _ => return Err(TEXT),
        }
    }
    if bytes.next() != Some(&b'>') || group.len() == 1 {
        return Err(TEXT);
    }
    if !group.is_empty() {
        let count = group.len() - 1;
        group.resize(5, 84);
        out.extend(four_bytes(&group)?.into_iter().take(count));
    }
    Ok(out)
}

fn four_bytes(group: &[u32]) -> Result<[u8; 4], Problem> {
    let digits = group.iter().map(|digit| u64::from(*digit));
    let number = digits.fold(0, |sum, digit| sum * 85 + digit);
    u32::try_from(number)
        .map(u32::to_be_bytes)
        .map_err(|_| TEXT)
}

/// Checks that an image has at least the bytes of its declared size. Extra bytes are
/// common and harmless.
fn check_image_size(document: &Document, stream: &Stream, length: usize) -> Result<(), Problem> {
    match image_rows(document, stream) {
        Some((rows, bytes)) if length < rows.saturating_mul(bytes) => Err(SHORT),
        _ => Ok(()),
    }
}

/// Rows of an image and packed bytes per row; `None` if it is not an image or its color
/// space is not handled here.
fn image_rows(document: &Document, stream: &Stream) -> Option<(usize, usize)> {
    let entry = |of: &'_ Dictionary, key: &[u8]| -> Option<Object> {
        let (_, object) = document.dereference(of.get(key).ok()?).ok()?;
        Some(object.clone())
    };
    let number = |of: &'_ Dictionary, key: &[u8]| {
        let number = entry(of, key)?.as_i64().ok()?;
        usize::try_from(number).ok()
    };
    let dict = &stream.dict;
    if entry(dict, b"Subtype")?.as_name().ok()? != b"Image" {
        return None;
    }
    let is_mask = entry(dict, b"ImageMask").is_some_and(|is| is.as_bool().unwrap_or(false));
    let bits = if is_mask {
        1
    } else {
        number(dict, b"BitsPerComponent")?.saturating_mul(color_components(document, dict)?)
    };
    let bits = number(dict, b"Width")?.saturating_mul(bits);
    // With a PNG predictor, each row starts with a filter byte.
    let parameters = entry(dict, b"DecodeParms");
    let parameters = parameters.as_ref().and_then(|object| object.as_dict().ok());
    let predictor = parameters.and_then(|parameters| number(parameters, b"Predictor"));
    let kind = usize::from(predictor.is_some_and(|predictor| predictor >= 10));
    Some((
        number(dict, b"Height")?,
        bits.div_ceil(8).saturating_add(kind),
    ))
}

/// Number of color components per pixel.
fn color_components(document: &Document, of: &Dictionary) -> Option<usize> {
    let resolved = |object| document.dereference(object).ok().map(|(_, object)| object);
    let space = resolved(of.get(b"ColorSpace").ok()?)?;
    let (name, profile) = match space {
        Object::Array(parts) => (resolved(parts.first()?)?.as_name().ok()?, parts.get(1)),
        space => (space.as_name().ok()?, None),
    };
    match name {
        b"DeviceGray" | b"CalGray" | b"Indexed" | b"Separation" => Some(1),
        b"DeviceRGB" | b"CalRGB" | b"Lab" => Some(3),
        b"DeviceCMYK" => Some(4),
        b"ICCBased" => {
            let profile = resolved(profile?)?.as_stream().ok()?;
            let count = resolved(profile.dict.get(b"N").ok()?)?.as_i64().ok()?;
            usize::try_from(count).ok()
        }
        _ => None,
    }
}

fn check_jpeg_stream(document: &Document, stream: &Stream, data: &[u8]) -> Result<(), Problem> {
    let declared = |key: &[u8]| {
        let (_, number) = document.dereference(stream.dict.get(key).ok()?).ok()?;
        usize::try_from(number.as_i64().ok()?).ok()
    };
    let (Some(width), Some(height)) = (declared(b"Width"), declared(b"Height")) else {
        return Err(SHORT);
    };
    check_jpeg(data, width, height).map_err(|fault| match fault {
        JpegFault::Damaged => JPEG,
        JpegFault::OtherSize => SHORT,
    })
}
