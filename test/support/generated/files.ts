import { bentHeads } from '../hostile-files.js';
import type { Random } from './random.js';

/** The header of each kind of import. */
const HEADERS = [
  'unitNumber,depot,vin,modelYear,duty,inServiceOn,inServiceOdometer,mountedOn',
  'unitNumber,readAt,odometer (mi),engineHours',
  'unitNumber,component,action,item,performedOn,odometer',
];
const CELLS = [
  ...[
    '',
    ' ',
    '"',
    '""',
    "'",
    'R-114',
    'Ridge',
    '81,370',
    '81.370',
    '1e999',
    '-5',
    'NaN',
    '=1+1',
    '\u0000',
    '\ud800',
  ],
  ...[
    '2026-02-30',
    '31/12/2025',
    '12/31/2025',
    '2026-04-02T10:00:00Z',
    'water-pump',
    'replace',
    '__proto__',
    '\ufeff',
  ],
  ...['x'.repeat(3000), '"a\nb"', '"open', '12 furlong', '½', '1 000,5', '٣'],
];

/** A CSV file as a spreadsheet might produce on a bad day. */
export function csvFile(random: Random): Buffer {
  const delimiter = random.of([',', ';', '\t', '|']);
  const header = random.chance(0.8) ? random.of(HEADERS) : random.of(CELLS);
  const width = header.split(',').length;
  const rows = Array.from({ length: random.of([0, 1, 3, 30, 400]) }, () =>
    Array.from({ length: random.chance(0.9) ? width : random.below(40) }, () => random.of(CELLS)).join(
      delimiter,
    ),
  );
  const text = [header.replaceAll(',', delimiter), ...rows].join(random.of(['\n', '\r\n', '\r']));
  const bytes = Buffer.from(text, random.of(['utf8', 'latin1', 'utf16le'] as const));
  return random.chance(0.2) ? Buffer.concat([bytes, random.bytes(40)]) : bytes;
}

/** A picture, or the beginning of a file of another kind, with some bytes changed. */
export function bentFile(pictures: readonly Buffer[], random: Random): Buffer {
  const good = random.chance(0.5) ? random.of(pictures) : random.of(bentHeads()).bytes;
  const bytes = Buffer.from(
    good.subarray(0, random.chance(0.3) ? random.below(good.length + 1) : good.length),
  );
  const changes = random.of([0, 1, 3, 20]);
  for (let change = 0; change < changes && bytes.length > 0; change++) {
    const near = random.chance(0.6) ? Math.min(bytes.length, 64) : bytes.length;
    bytes[random.below(near)] = random.of([0, 1, 0x7f, 0x80, 0xff, random.below(256)]);
  }
  return bytes;
}

/** A form around a file, intact or broken. */
export function form(file: Buffer, random: Random): { type: string; body: Buffer } {
  const border = random.of(['x', 'x'.repeat(70), '----=_1', 'x'.repeat(300)]);
  const name = random.of(['file', '', '__proto__', 'a"b', 'é', 'x'.repeat(2000)]);
  const fileName = random.of(['a.jpg', '../../a', '', 'a\u0000b', '%00', 'x'.repeat(3000)]);
  const head = `--${border}\r\ncontent-disposition: form-data; name="${name}"; filename="${fileName}"`;
  const more = random.of([
    '',
    '\r\ncontent-type: image/jpeg',
    '\r\ncontent-transfer-encoding: base64',
    '\r\n: x',
    '\r\nx',
  ]);
  const end = random.of([
    `\r\n--${border}--\r\n`,
    `\r\n--${border}`,
    '',
    `\r\n${head}\r\n\r\nx\r\n--${border}--`,
  ]);
  return {
    type: random.of([
      `multipart/form-data; boundary=${border}`,
      'multipart/form-data',
      'multipart/form-data; boundary=',
    ]),
    body: Buffer.concat([Buffer.from(`${head}${more}\r\n\r\n`), file, Buffer.from(end)]),
  };
}
