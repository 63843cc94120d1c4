// PDFs that somebody might send to do harm.

import { deflateSync } from "node:zlib";

// A PDF of one page with these objects after its first three.
function pdf(content, more = []) {
  const stream = (dictionary, bytes) => Buffer.concat([Buffer.from(`<< ${dictionary} /Length ${bytes.length} >>\nstream\n`), bytes, Buffer.from("\nendstream")]);
  const objects = [
    "<< /Type /Catalog /Pages 2 0 R >>",
    "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
    "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R /Resources << /XObject << /A 5 0 R >> >> >>",
    stream(...content),
    ...more.map((one) => (Array.isArray(one) ? stream(...one) : one)),
  ];
  const parts = [Buffer.from("%PDF-1.7\n")];
  const places = [];
  for (const [n, object] of objects.entries()) {
    places.push(parts.reduce((sum, part) => sum + part.length, 0));
    parts.push(Buffer.from(`${n + 1} 0 obj\n`), Buffer.from(object), Buffer.from("\nendobj\n"));
  }
  const start = parts.reduce((sum, part) => sum + part.length, 0);
  const table = places.map((place) => `${String(place).padStart(10, "0")} 00000 n \n`).join("");
  parts.push(Buffer.from(`xref\n0 ${objects.length + 1}\n0000000000 65535 f \n${table}trailer\n<< /Size ${objects.length + 1} /Root 1 0 R >>\nstartxref\n${start}\n%%EOF\n`));
  return Buffer.concat(parts);
}

const DRAW = ["", Buffer.from("q 612 0 0 792 0 0 cm /A Do Q")];
const image = (side, filter = "/FlateDecode") => `/Type /XObject /Subtype /Image /Width ${side} /Height ${side} /ColorSpace /DeviceRGB /BitsPerComponent 8 /Filter ${filter}`;
// Packed twice, a gigabyte of zeros has a few kilobytes.
const twice = (bytes) => deflateSync(deflateSync(Buffer.alloc(bytes)));

// By what is wrong with each: functions that make them.
export const HOSTILE = {
  "lists nested deeply": () => pdf(DRAW, [`${"[".repeat(500_000)}${"]".repeat(500_000)}`]),
  "groups nested deeply": () => pdf(DRAW, [`${"<</A".repeat(200_000)} 1 ${">>".repeat(200_000)}`]),
  "a content stream of 256 MB": () => pdf(["/Filter [/FlateDecode /FlateDecode]", twice(2 ** 28)], [[image(1), deflateSync(Buffer.alloc(3))]]),
  "an image of a gigabyte": () => pdf(DRAW, [[image(20_000, "[/FlateDecode /FlateDecode]"), twice(1_200_000_000)]]),
  "a page that draws itself": () => pdf(DRAW, [["/Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /A 5 0 R >> >>", Buffer.from("/A Do /A Do")]]),
};
